"""Every room's tests are run: pytest leaves out folders called "build", "dist" and the like unless told otherwise.

Outside: the `norecursedirs` option of pytest's reference.
"""

from fnmatch import fnmatch

import pytest


def test_no_folder_of_tests_is_left_out(pytestconfig: pytest.Config) -> None:
    patterns = pytestconfig.getini("norecursedirs")
    folders = [
        path.name for path in (pytestconfig.rootpath / "tests").iterdir() if any(path.glob("test_*.py"))
    ]
    assert "build" in folders
    assert [name for name in folders if any(fnmatch(name, pattern) for pattern in patterns)] == []
