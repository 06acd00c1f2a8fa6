"""A picture out of a film, as it is seen: upright, with square pixels, in full red, green and blue."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
from av.video.reformatter import ColorRange, Colorspace
from PIL import Image

from lessonmaker.files import finished_file
from lessonmaker.video.cover import seen
from lessonmaker.video.footage import open_film, read_footage, timed_frames

__all__ = ["write_poster"]


def write_poster(path: Path, film: Path, second: Fraction) -> None:
    """Write the frame that is in sight at a second of a film as a PNG file, whole or not at all.

    Raises:
        MaterialError: the film cannot be read there.
        OSError: the file cannot be written.
    """
    footage = read_footage(film)
    with open_film(film) as container:
        frame, _, _ = next(timed_frames(container, footage, second, footage.seconds))
        colours = frame.reformat(
            format="rgb24",
            src_colorspace=Colorspace.ITU601 if footage.colours.bt601 else Colorspace.ITU709,
            src_color_range=ColorRange.JPEG if footage.colours.full else ColorRange.MPEG,
            dst_color_range=ColorRange.JPEG,
        ).to_ndarray()
    picture = Image.fromarray(np.dstack([seen(colours[:, :, one], footage.turn) for one in range(3)]))
    if footage.seen_aspect != 1:
        width = round(picture.width * footage.seen_aspect)
        picture = picture.resize((width, picture.height), Image.Resampling.BICUBIC)
    with finished_file(path) as fragment:
        picture.save(fragment, format="PNG")
