"""What holds for all tests: time says nothing about what is right, and a file's tests stay together."""

import gc
import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "untimed",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.load_profile("untimed")
# The commands that tests start keep what they compile for those after them, also where Python is told to write nothing.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
os.environ["PYTHONPYCACHEPREFIX"] = str(Path(__file__).parents[1] / ".pytest_cache" / "bytecode")
gc.disable()  # until everything is imported: what is imported stays


def pytest_collection_finish():
    """From here on garbage is looked for among what the tests make."""
    gc.freeze()
    gc.enable()


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """A file's tests run in one process, in order, so that what they share is made once."""
    from xdist.scheduler import LoadFileScheduling

    config.option.loadscopereorder = False  # files with few tests may take long: none of them last
    return LoadFileScheduling(config, log)
