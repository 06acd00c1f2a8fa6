"""Layers read back: frames with their cover, straight, as they are decoded."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import av
import numpy as np

__all__ = ["LayerFrames"]


class LayerFrames(Sequence[np.ndarray]):
    """The frames of a layer: each red, green, blue and cover, (height, width, 4), 0 to 255, made when asked for.

    FFmpeg's own decoder of VP9 leaves alpha out; libvpx, which it carries too, does not.
    """

    def __init__(self, path: Path) -> None:
        with av.open(str(path)) as film:
            stream = film.streams.video[0]
            webm = path.suffix == ".webm"
            decoder = av.CodecContext.create("libvpx-vp9", "r") if webm else stream.codec_context
            packets = film.demux(stream)
            self.frames = [
                one for packet in packets for one in decoder.decode(packet if packet.size else None)
            ]

    def __len__(self) -> int:
        return len(self.frames)

    def __getitem__(self, number: int) -> np.ndarray:
        return rgba(self.frames[number])


def rgba(frame: av.VideoFrame) -> np.ndarray:
    """BT.709 of limited range as full red, green, blue; the matrix of ITU-R BT.709-6 (3.2, 3.3) inverted here."""
    bits = frame.format.components[0].bits
    kind, scale = (np.uint8, 1.0) if bits == 8 else (np.uint16, float(1 << bits - 8))
    planes = [
        np.frombuffer(memoryview(plane), kind).reshape(plane.height, -1)[:, : plane.width] / scale
        for plane in frame.planes
    ]
    luma, blue, red = (planes[0] - 16) / 219, (planes[1] - 128) / 224, (planes[2] - 128) / 224
    if blue.shape != luma.shape:
        blue, red = (np.repeat(np.repeat(plane, 2, 0), 2, 1) for plane in (blue, red))
    made_red, made_blue = luma + 1.5748 * red, luma + 1.8556 * blue
    made_green = (luma - 0.2126 * made_red - 0.0722 * made_blue) / 0.7152
    cover = planes[3] * (255 / ((1 << bits) - 1) * scale)
    return np.dstack([255 * made_red, 255 * made_green, 255 * made_blue, cover])
