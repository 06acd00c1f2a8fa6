"""What moves in every frame, as a run of a film: every picture is encoded, each from the one before.

The settings are those of `encode`, so that such a run stands among the others in one film.
"""

from __future__ import annotations

from collections.abc import Iterable

import av
import numpy as np
import numpy.typing as npt
from av.video.reformatter import ColorRange, Colorspace, Interpolation

from lessonmaker.video.encode import Format, configure, film_sets
from lessonmaker.video.h264 import IDR_SLICE, SLICE, START_CODE, picture_sets, unit_type, units
from lessonmaker.video.strips import PRESET, SETTINGS

__all__ = ["encode_moving"]


def encode_moving(pictures: Iterable[npt.NDArray[np.uint8]], form: Format) -> list[tuple[bytes, bool]]:
    """The access units of a run, one a picture, and which of them are key frames: the first, and one every two seconds.

    Args:
        pictures: RGB, (height, width, 3).
        form: the film's shape.

    Raises:
        ValueError: the encoder does not follow the film's parameter sets.
    """
    codec = av.CodecContext.create("libx264", "w")
    assert isinstance(codec, av.VideoCodecContext)
    configure(codec, form)
    params = f"{SETTINGS}:keyint={form.key_every}:min-keyint=1"
    codec.options = {"preset": PRESET, "profile": "high", "x264-params": params}
    packets = []
    for number, picture in enumerate(pictures):
        frame = av.VideoFrame.from_ndarray(picture, format="rgb24").reformat(
            format="yuv420p",
            src_color_range=ColorRange.JPEG,
            dst_color_range=ColorRange.MPEG,
            dst_colorspace=Colorspace.ITU709,
            interpolation=Interpolation.AREA,  # a chroma sample is the mean of its four pixels, as elsewhere
        )
        frame.pts, frame.time_base = number, 1 / form.rate
        packets += codec.encode(frame)
    packets += codec.encode(None)
    if packets and picture_sets(bytes(packets[0])) != film_sets(form):
        raise ValueError("a moving run and the film have different parameter sets")
    return [(pictures_alone(bytes(packet)), bool(packet.is_keyframe)) for packet in packets]


def pictures_alone(stream: bytes) -> bytes:
    """An access unit without parameter sets and messages: the film has its own."""
    return b"".join(START_CODE + unit for unit in units(stream) if unit_type(unit) in (SLICE, IDR_SLICE))
