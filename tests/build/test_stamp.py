"""What makes the parts: every library that leaves a trace in them counts."""

import re
import tomllib
from pathlib import Path

from lessonmaker.build.stamp import LIBRARIES, tools_digest, tools_versions

PROJECT = Path(__file__).parents[2] / "pyproject.toml"
WITHOUT_TRACE = {
    "audioop-lts",  # what the language itself had before
    "pyyaml",  # reads what is digested once it is read
    "webvtt-py",  # reads transcripts, of which scripts are drafted
}


def test_every_dependency_counts_but_those_that_leave_no_trace():
    dependencies = tomllib.loads(PROJECT.read_text())["project"]["dependencies"]
    names = {re.match(r"[\w.-]+", one)[0].lower() for one in dependencies}
    assert names == set(LIBRARIES) | WITHOUT_TRACE


def test_the_digest_is_the_same_again_and_the_versions_are_named():
    assert len(tools_digest()) == 64
    assert tools_digest() == tools_digest()
    assert set(tools_versions()) == {"lessonmaker", *LIBRARIES}
