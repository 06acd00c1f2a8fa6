"""Starting a book in a new folder: empty, or filled with the demo book."""

from __future__ import annotations

import shutil
from importlib import resources
from pathlib import Path

from lessonmaker.faults import Fault, MaterialError, Place

__all__ = ["FOLDERS", "new_book"]

FOLDERS = ("scripts", "media", "shared")
NOT_OF_THE_BOOK = shutil.ignore_patterns("*.png", "__pycache__")  # the README's pictures; what Python leaves
BOOK_TEXT = """\
# A book: its lessons, and the editions they are made in.
book: {title}
author: your name
lessons: []             # lesson scripts in this folder, such as first-etude.yaml
editions: [concert, b-flat, e-flat, bass-clef]
"""


def new_book(folder: Path, demo: bool) -> None:
    """Make a folder with a book in it.

    Raises:
        MaterialError: the folder holds something already.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise MaterialError(
            Fault("there is something here already", "name a new or an empty folder", Place(folder))
        )
    for name in FOLDERS:
        (folder / name).mkdir(parents=True, exist_ok=True)
        if demo:
            shutil.copytree(demo_folder() / name, folder / name, ignore=NOT_OF_THE_BOOK, dirs_exist_ok=True)
    if not demo:
        title = folder.resolve().name.replace("-", " ").replace("_", " ").capitalize()
        (folder / "scripts" / "book.yaml").write_text(BOOK_TEXT.format(title=title), encoding="utf-8")


def demo_folder() -> Path:
    """Where the demo book lies: in the installed package, or in a checkout at its top."""
    package = Path(str(resources.files("lessonmaker")))
    installed = package / "demo"
    return installed if installed.is_dir() else package.parent
