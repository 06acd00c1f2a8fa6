"""lessonmaker: video lessons that keep a score, a recording and a commentary in time with each other."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from moviepy import VideoClip

__all__ = ["__version__", "clip"]

__version__ = "0.1.0"


def clip(
    lesson: str | Path,
    *,
    edition: str | None = None,
    part: int | str | None = None,
    size: tuple[int, int] | None = None,
    allow_code: bool = False,
    layer: bool = False,
) -> VideoClip:
    """A lesson, or a part of one, as a MoviePy clip with its sound.

    Its frames are those of the film that `build` makes, painted when they are asked for, in any order; its sound is
    (frames, 2) at 48 kHz; its `fps` is the book's rate. The take's fit is kept in the book's `out` folder, as
    `build` keeps it.

    Args:
        lesson: a lesson script, or a lesson's name in the book of the current folder.
        edition: the edition's id; the book's first unless given.
        part: a cue's number (from 1); a title: the chapter that begins with it; or bars such as "3-4": all cues about
            nothing but these. The whole lesson unless given.
        size: width and height in pixels, both even; the book's unless given.
        allow_code: whether scenes that the lesson names by functions of the book's own Python files may be made.
        layer: whether the paper is transparent: the clip then has a mask, and lies over other pictures.

    Raises:
        lessonmaker.faults.MaterialError: the book, the lesson or the take is faulty; all faults are in it.
        lessonmaker.faults.UsageError: there is no such lesson, edition or part, or the size cannot be.
    """
    from lessonmaker.build.clip import clip_of  # takes seconds to import

    return clip_of(lesson, edition, part, size, allow_code, layer)
