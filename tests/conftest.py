"""What holds for all tests: how fast an example is says nothing about whether it is right."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "untimed",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.load_profile("untimed")
