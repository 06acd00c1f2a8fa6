"""What holds for all tests."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)  # how fast an example is says nothing about whether it is right
settings.load_profile("untimed")
