"""The engraver's toolkit, which finds its fonts in whichever thread it is made.

Verovio keeps the path of its fonts for each thread by itself and sets it where it is imported: a toolkit made in
another thread, or in a process forked from one, can load nothing.
"""

from __future__ import annotations

from importlib.resources import files

import verovio

__all__ = ["new_toolkit"]


def new_toolkit() -> verovio.toolkit:
    """A silent toolkit of its own."""
    verovio.enableLog(verovio.LOG_OFF)
    verovio.setDefaultResourcePath(str(files("verovio") / "data"))
    return verovio.toolkit()
