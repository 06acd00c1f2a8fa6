"""Films for tests: a picture that says its own time, and the sound of the tiny book's take.

The upper left shows the time of the frame as squares, black or white: its milliseconds in binary.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

from tests.tools.tiny_book import RATE, take

BASE = Fraction(1, 90_000)
SQUARE, BITS = 16, 16
GREY = 110
BLOCK = 48_000  # samples handed to an encoder at once


def make_film(
    path: Path,
    times_s: Sequence[Fraction],
    size: tuple[int, int] = (480, 270),
    turned: int = 0,
    sound: np.ndarray | None = None,
    colours: tuple[int, int, int] = (1, 1, 1),
    code: str | None = None,
    *,
    matrix: Sequence[int] | None = None,
    pixels: str = "yuv420p",
    full: bool = False,
    aspect: Fraction = Fraction(1),
    codec: str = "aac",
    heard_from_s: Fraction = Fraction(0),
    options: Mapping[str, str] | None = None,
    square: int = SQUARE,
    rate: int = RATE,
) -> Path:
    """A film whose frames come at the given seconds, with the take (or other sound), which begins at a second.

    It is `turned` by degrees or by a display `matrix`, has `colours` (primaries, transfer, matrix; H.273), and a time
    `code` (in MOV). `options` are x264's.
    """
    samples = take() if sound is None else sound
    with av.open(str(path), "w") as container:
        picture = container.add_stream("libx264", rate=30)
        picture.width, picture.height = size
        picture.pix_fmt = pixels
        coder = picture.codec_context
        coder.time_base = picture.time_base = BASE
        coder.options = {"preset": "ultrafast", "crf": "10"} | dict(options or {})
        coder.color_primaries, coder.color_trc, coder.colorspace = colours
        coder.color_range = 2 if full else 1
        if aspect != 1:
            coder.sample_aspect_ratio = aspect
        if code:
            picture.metadata["timecode"] = code
        if matrix:
            picture.set_display_matrix(matrix)
        elif turned:
            picture.set_display_rotation(turned)
        heard = container.add_stream(codec, rate=rate, layout="mono")
        for time_s in times_s:
            frame = clock_frame(size, round(time_s * 1000), square, pixels)
            frame.pts, frame.time_base = round(time_s / BASE), BASE
            container.mux(picture.encode(frame))
        container.mux(picture.encode(None))
        for start in range(0, len(samples), BLOCK):
            block = av.AudioFrame.from_ndarray(
                samples[None, start : start + BLOCK].astype(np.float32), format="fltp", layout="mono"
            )
            block.sample_rate, block.time_base = rate, Fraction(1, rate)
            block.pts = start + round(heard_from_s * rate)
            container.mux(heard.encode(block))
        container.mux(heard.encode(None))
    return path


def clock_frame(
    size: tuple[int, int], milliseconds: int, square: int = SQUARE, pixels: str = "yuv420p"
) -> av.VideoFrame:
    """A grey picture with its time, in squares from the left and then from the next row."""
    frame = av.VideoFrame(*size, pixels)
    bits = frame.format.components[0].bits
    kind, scale = (np.uint8, 1) if bits == 8 else (np.uint16, 1 << bits - 8)
    for number, plane in enumerate(frame.planes):
        values = np.frombuffer(memoryview(plane), kind).reshape(plane.height, -1)
        values[:] = (128 if number else GREY) * scale
        if not number:
            clock = clock_squares(size[0], milliseconds, square) * scale
            values[: clock.shape[0], : clock.shape[1]] = clock
    return frame


def clock_squares(width: int, milliseconds: int, square: int) -> np.ndarray:
    """The squares that show a time: one row of sixteen, or two of as many as there is room for."""
    across, rows = (BITS, 1) if square == SQUARE else (width // square, 2)
    bits = milliseconds >> np.arange(across * rows).reshape(rows, across) & 1
    return np.where(bits, 235, 16).astype(np.uint16).repeat(square, axis=0).repeat(square, axis=1)


def clock_ms(luma: np.ndarray, square: int = SQUARE) -> int:
    """The time that a frame's luma (8 bits) shows."""
    across, rows = (BITS, 1) if square == SQUARE else (luma.shape[1] // square, 2)
    half = square // 2
    shown = luma[half : rows * square : square, half : across * square : square] > 128
    return int(shown.ravel() @ (1 << np.arange(across * rows)))
