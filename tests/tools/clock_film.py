"""Films for tests: a picture that says its own time, and the sound of the tiny book's take.

The upper left shows the time of the frame as 16 squares, black or white: its milliseconds in binary.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

from tests.tools.tiny_book import RATE, take

BASE = Fraction(1, 90_000)
SQUARE, BITS = 16, 16
GREY = 110


def make_film(
    path: Path,
    times_s: Sequence[Fraction],
    size: tuple[int, int] = (480, 270),
    turned: int = 0,
    sound: np.ndarray | None = None,
    colours: tuple[int, int, int] = (1, 1, 1),
    code: str | None = None,
) -> Path:
    """A film whose frames come at the given seconds, with the take as AAC; `turned` degrees by its display matrix.

    `code` is its time code (in MOV).
    """
    samples = take() if sound is None else sound
    with av.open(str(path), "w") as container:
        picture = container.add_stream("libx264", rate=30)
        picture.width, picture.height = size
        picture.pix_fmt = "yuv420p"
        codec = picture.codec_context
        codec.time_base = picture.time_base = BASE
        codec.options = {"preset": "ultrafast", "crf": "10"}
        codec.color_primaries, codec.color_trc, codec.colorspace = colours
        if code:
            picture.metadata["timecode"] = code
        if turned:
            picture.set_display_rotation(turned)
        heard = container.add_stream("aac", rate=RATE, layout="mono")
        for time_s in times_s:
            frame = clock_frame(size, round(time_s * 1000))
            frame.pts, frame.time_base = round(time_s / BASE), BASE
            container.mux(picture.encode(frame))
        container.mux(picture.encode(None))
        if len(samples):
            block = av.AudioFrame.from_ndarray(samples[None].astype(np.float32), format="fltp", layout="mono")
            block.sample_rate, block.pts, block.time_base = RATE, 0, Fraction(1, RATE)
            container.mux(heard.encode(block))
        container.mux(heard.encode(None))
    return path


def clock_frame(size: tuple[int, int], milliseconds: int) -> av.VideoFrame:
    """A grey picture with its time."""
    luma = np.full((size[1], size[0]), GREY, np.uint8)
    for bit in range(BITS):
        luma[:SQUARE, bit * SQUARE : (bit + 1) * SQUARE] = 235 if milliseconds >> bit & 1 else 16
    chroma = np.full((size[1] // 2, size[0]), 128, np.uint8)
    return av.VideoFrame.from_ndarray(np.concatenate([luma, chroma]), format="nv12").reformat(
        format="yuv420p"
    )


def clock_ms(luma: np.ndarray) -> int:
    """The time that a frame's luma shows."""
    row = luma[SQUARE // 2, SQUARE // 2 : BITS * SQUARE : SQUARE]
    return sum(1 << bit for bit, value in enumerate(row) if value > 128)
