"""What makes the parts: this program and the libraries whose output is in them, as a digest.

A part that another version made is not used again. The program counts by its own files, not by its number.
"""

from __future__ import annotations

from functools import cache
from importlib import resources
from importlib.metadata import version
from pathlib import Path

from lessonmaker import __version__
from lessonmaker.digest import digest_of
from lessonmaker.files import file_digest

__all__ = ["tools_digest", "tools_versions"]

OWN_FILES = (".py", ".yaml", ".json")
LIBRARIES = (
    "av",
    "cairocffi",
    "cairosvg",
    "fontpkg-source-sans-3",
    "fontpkg-source-serif-4",
    "fonttools",
    "hibari-tts",
    "lxml",
    "moviepy",
    "numpy",
    "pillow",
    "pocketsphinx",
    "pydub",
    "python-stretch",
    "scipy",
    "soundfile",
    "soxr",
    "uharfbuzz",
    "verovio",
)


@cache
def tools_digest() -> str:
    """The digest of this program's files and of the versions of the libraries that it stands on."""
    with resources.as_file(resources.files("lessonmaker")) as folder:
        own = {str(path.relative_to(folder)): file_digest(path) for path in own_files(folder)}
    return digest_of(own, [version(name) for name in LIBRARIES])


def tools_versions() -> dict[str, str]:
    """The versions of this program and of the libraries that it stands on, by name."""
    return {"lessonmaker": __version__, **{name: version(name) for name in LIBRARIES}}


def own_files(folder: Path) -> list[Path]:
    """The files that the program is made of; the demo's are a book's."""
    return sorted(
        path
        for path in folder.rglob("*")
        if path.suffix in OWN_FILES and path.relative_to(folder).parts[0] != "demo"
    )
