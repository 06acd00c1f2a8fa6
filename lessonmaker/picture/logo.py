"""The logo: a PNG or JPEG file, read with care, and its pixels on a picture."""

from __future__ import annotations

import io
import struct
import warnings
import zlib
from pathlib import Path

import numpy as np
from PIL import Image, ImageOps

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.picture.raster import Pixels

__all__ = ["read_picture", "scaled_picture"]

FORMATS = ("PNG", "JPEG")
MOST_BYTES, MOST_PIXELS = 10_000_000, 16_000_000
HELD = (3200, 800)  # as large as the largest film shows it
SMALLER = "make the picture smaller"
DEEP_MODES = ("I", "F")
UNREADABLE = (
    OSError,
    ValueError,
    SyntaxError,
    EOFError,
    struct.error,
    zlib.error,
)


def read_picture(path: Path, place: Place) -> tuple[bytes, int, int]:
    """A picture file as a PNG of a bounded size, with its width and height in pixels.

    Args:
        path: a PNG or JPEG file of at most 10 MB and 16 million pixels.
        place: where it is named, for faults.

    Raises:
        MaterialError: it is too large, or no whole picture.
    """
    if path.stat().st_size > MOST_BYTES:
        what = f"{path.name} has {path.stat().st_size / 1e6:.1f} MB, a logo at most {MOST_BYTES // 10**6}"
        raise MaterialError(Fault(what, SMALLER, place))
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)  # our own bound is lower
            with Image.open(path, formats=FORMATS) as picture:
                refuse_large(picture, path, place)
                whole = ImageOps.exif_transpose(picture).convert("RGBA")
    except Image.DecompressionBombError as error:
        raise MaterialError(Fault(f"{path.name} has far too many pixels", SMALLER, place)) from error
    except UNREADABLE as error:
        raise MaterialError(
            Fault(f"{path.name} is no whole PNG or JPEG picture", "save it again", place)
        ) from error
    whole.thumbnail(HELD, Image.Resampling.LANCZOS)
    held = io.BytesIO()
    whole.save(held, format="PNG")
    return held.getvalue(), *whole.size


def refuse_large(picture: Image.Image, path: Path, place: Place) -> None:
    """Raise for a picture that would take much memory, and for one that is deeper than 8 bits.

    Raises:
        MaterialError: it is.
    """
    width, height = picture.size
    if width * height > MOST_PIXELS:
        what = f"{path.name} has {width} x {height} pixels, a logo at most {MOST_PIXELS // 10**6} million"
        raise MaterialError(Fault(what, SMALLER, place))
    if picture.mode.startswith(DEEP_MODES):
        raise MaterialError(Fault(f"{path.name} has more than 8 bits a channel", "save it with 8", place))


def scaled_picture(data: bytes, width: int, height: int) -> Pixels:
    """A held picture at a size in pixels: (height, width, 4), uint8, its colours not multiplied by its cover."""
    with Image.open(io.BytesIO(data), formats=("PNG",)) as picture:
        resized = picture.convert("RGBa").resize((width, height), Image.Resampling.LANCZOS)
    return np.asarray(resized.convert("RGBA"))
