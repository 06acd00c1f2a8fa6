"""The same pictures as a plain MoviePy composite: page stills, and on them what is lit as clips of its own."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import numpy.typing as npt
from moviepy import CompositeVideoClip, ImageClip

from lessonmaker.picture.painter import Painter
from lessonmaker.picture.sight import Sight
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.encode import frame_to_tick

__all__ = ["plain_composite", "write_composite"]

Picture = npt.NDArray[np.uint8]


def plain_composite(painter: Painter, first: int, last: int, rate: Fraction) -> CompositeVideoClip:
    """Frames first..last-1 as a still of each page with overlays that come and go on it.

    The stills and overlays are painted here, before anything is timed.
    """
    clips: list[ImageClip] = []
    for start, end, sight in stretches(painter, first, last, rate):
        seconds, length = float((start - first) / rate), float((end - start) / rate)
        page = painter.timeline.pages[sight.page]
        still = painter.rgb(max(page.start, frame_to_tick(first, rate)))
        clips.append(ImageClip(still, duration=length).with_start(seconds))
        overlay = lit_part(still, painter.rgb(frame_to_tick(start, rate)))
        if overlay is not None:
            part, left, top = overlay
            clips.append(ImageClip(part, duration=length).with_start(seconds).with_position((left, top)))
    return CompositeVideoClip(clips, size=painter.size).with_duration(float((last - first) / rate))


def stretches(painter: Painter, first: int, last: int, rate: Fraction) -> list[tuple[int, int, Sight]]:
    """Frames start..end-1 of one look; a dissolve is taken as a cut."""
    found: list[tuple[int, int, Sight]] = []
    for frame in range(first, last):
        key = painter.key(frame_to_tick(frame, rate))
        sight = key if isinstance(key, Sight) else key.second  # type: ignore[attr-defined]
        if found and found[-1][2] == sight:
            found[-1] = (found[-1][0], frame + 1, sight)
        else:
            found.append((frame, frame + 1, sight))
    return found


def lit_part(still: Picture, shown: Picture) -> tuple[Picture, int, int] | None:
    """The rectangle in which a picture differs from its page, and its left and top edge."""
    differs = (still != shown).any(axis=2)
    if not differs.any():
        return None
    rows, columns = np.flatnonzero(differs.any(axis=1)), np.flatnonzero(differs.any(axis=0))
    part = shown[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    return np.ascontiguousarray(part), int(columns[0]), int(rows[0])


def write_composite(clip: CompositeVideoClip, path: Path, rate: Fraction) -> None:
    """Write it as MoviePy does when nothing else is asked of it."""
    clip.write_videofile(str(path), fps=float(rate), codec="libx264", audio=False, logger=None)


def ticks_to_frame(ticks: int, rate: Fraction) -> int:
    """The frame that shows a tick."""
    return int(ticks * rate / TICKS_PER_SECOND)
