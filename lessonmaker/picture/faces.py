"""Faces: which font file of which installed Python package, at which weight.

A package is found by its metadata and its files are read; its code is never imported. Upright fonts with Latin letters
are taken, variable ones (an axis "wght", OpenType 1.9) as well as single weights (usWeightClass in OS/2).
"""

from __future__ import annotations

import io
import string
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path
from platform import node

from lessonmaker.faults import Fault, MaterialError

__all__ = ["Face", "FontFile", "Upright", "face_at", "font_data", "font_file", "fonts_not_here", "uprights"]

ENDINGS = (".ttf", ".otf")
LATIN = f"{string.ascii_letters}{string.digits} .,:;!?'\"()/&+-·–’"
NORMAL_WIDTH = 5  # of usWidthClass's 1 to 9
ITALIC = 1  # a bit of fsSelection


@dataclass(frozen=True)
class FontFile:
    """A font file: its package, its path as the package lists it, and the digest of what it holds."""

    package: str
    path: str
    digest: str


@dataclass(frozen=True)
class Face:
    """A font file at a weight (400 regular, 600 semibold)."""

    file: FontFile
    weight: int


@dataclass(frozen=True)
class Upright:
    """An upright font and the weights it has."""

    file: FontFile
    lightest: int
    heaviest: int
    width: int = NORMAL_WIDTH

    def face(self, weight: int) -> Face:
        """The font at the nearest weight that it has."""
        return Face(self.file, min(max(weight, self.lightest), self.heaviest))


def font_file(package: str, path: str) -> FontFile:
    """A file of an installed package.

    Raises:
        PackageNotFoundError: the package is not installed.
        OSError: it has no such file.
    """
    return FontFile(package, path, sha256(located(package, path).read_bytes()).hexdigest())


def located(package: str, path: str) -> Path:
    """Where a file of a package lies.

    Raises:
        PackageNotFoundError: the package is not installed.
    """
    return Path(str(distribution(package).locate_file(path)))


@cache
def font_data(file: FontFile) -> bytes:
    """What a font file holds.

    Raises:
        MaterialError: the package is not installed on this machine, or not in the version that was looked at.
    """
    try:
        data = located(file.package, file.path).read_bytes()
    except (PackageNotFoundError, OSError) as error:
        what = f"the fonts of the look are not on {node()}: {file.package}"
        raise MaterialError(Fault(what, f"install it: pip install {file.package}")) from error
    if sha256(data).hexdigest() != file.digest:
        what = f"{file.package} has other fonts on {node()} than where the look was read"
        raise MaterialError(Fault(what, "install the same version on every machine"))
    return data


def fonts_not_here(files: Sequence[FontFile]) -> list[str]:
    """The packages of font files that are not on this machine as they were where the look was read."""
    return list(dict.fromkeys(file.package for file in files if not is_here(file)))


def is_here(file: FontFile) -> bool:
    """Whether a font file is on this machine."""
    try:
        font_data(file)
    except MaterialError:
        return False
    return True


def uprights(package: str) -> tuple[Upright, ...]:
    """The upright fonts with Latin letters that a package holds, those of normal width first.

    Raises:
        PackageNotFoundError: the package is not installed.
    """
    paths = [str(path) for path in distribution(package).files or () if path.suffix.lower() in ENDINGS]
    found = [one for path in sorted(paths) for one in upright(package, path)]
    return tuple(sorted(found, key=lambda one: abs(one.width - NORMAL_WIDTH)))


def upright(package: str, path: str) -> Iterator[Upright]:
    """A font, if it is upright, whole and Latin."""
    from fontTools.ttLib import TTFont, TTLibError  # a tenth of a second to import, for looks of a book's own

    try:
        data = located(package, path).read_bytes()
        with TTFont(io.BytesIO(data), lazy=True) as font:
            about, letters = font["OS/2"], font.getBestCmap() or {}
            slanted = about.fsSelection & ITALIC or font["post"].italicAngle
            if slanted or any(ord(letter) not in letters for letter in LATIN):
                return
            axes = {axis.axisTag: axis for axis in font["fvar"].axes} if "fvar" in font else {}
            weight = axes.get("wght")
            lightest = round(weight.minValue) if weight else about.usWeightClass
            heaviest = round(weight.maxValue) if weight else about.usWeightClass
            file = FontFile(package, path, sha256(data).hexdigest())
            yield Upright(file, lightest, heaviest, about.usWidthClass)
    except (TTLibError, OSError, ValueError, KeyError, AssertionError):
        return


def face_at(fonts: Sequence[Upright], weight: int) -> Face:
    """The face nearest to a weight; of equally near ones the first.

    Args:
        fonts: upright fonts of a package, at least one.
        weight: 400 regular, 600 semibold.
    """
    faces = [one.face(weight) for one in fonts]
    return min(faces, key=lambda face: abs(face.weight - weight))
