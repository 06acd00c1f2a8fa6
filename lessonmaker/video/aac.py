"""The sound of a film: stretches encoded to AAC by themselves, and their packets joined to a stream.

A packet of AAC-LC holds 1024 samples, and overlaps with its neighbours: the first of a stream only leads in, and packet
n is decoded to the samples from (n - 1) * 1024 on. A stretch begins and ends in silence, at whole packets, so that
its packets may stand among those of silence, or of another stretch, as if all had been encoded in one go.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cache
from math import ceil
from typing import Any

import av
import numpy as np
import numpy.typing as npt

from lessonmaker.timeline.model import SOUND_RATE
from lessonmaker.video.encode import packed, unpacked

__all__ = ["PACKET", "joined_sound", "packed_sound", "sound_packets", "sound_stream"]

SOUND_BITS_PER_SECOND = 192_000
SOUND_BLOCK = 16 * 1024
PACKET = 1024
TIME_BASE = Fraction(1, SOUND_RATE)
# At higher bit rates this search sounds better than the other and is faster (FFmpeg's change fcb681ac, 2018). Noise
# shaping and noise substitution, left out, cost a quarter of the time and gain nothing here: measured on a demo film
# at this rate, the error lies 52.9 dB below the sound without them and 52.7 dB with them.
SOUND_SEARCH = {"aac_coder": "fast", "aac_tns": "0", "aac_pns": "0"}


def sound_stream(container: av.container.OutputContainer) -> av.AudioStream:
    """The stream of a file that takes the packets."""
    return container.add_stream(
        "aac", rate=SOUND_RATE, layout="stereo", bit_rate=SOUND_BITS_PER_SECOND, options=SOUND_SEARCH
    )


def packed_sound(samples: npt.NDArray[np.float32]) -> bytes:
    """A stretch's samples (frames, 2) at 48 kHz as packets of AAC, the one that leads in among them, in one."""
    return packed([(packet, True) for packet in encoded(samples)])


def encoded(samples: npt.NDArray[np.float32]) -> Iterator[bytes]:
    """The packets of samples."""
    codec = av.CodecContext.create("aac", "w")
    assert isinstance(codec, av.AudioCodecContext)
    codec.sample_rate, codec.layout, codec.format = SOUND_RATE, "stereo", "fltp"
    codec.bit_rate, codec.time_base, codec.options = SOUND_BITS_PER_SECOND, TIME_BASE, SOUND_SEARCH
    codec.flags |= av.codec.context.Flags.bitexact
    for start in range(0, len(samples), SOUND_BLOCK):
        block = np.ascontiguousarray(samples[start : start + SOUND_BLOCK].T)
        frame = av.AudioFrame.from_ndarray(block, format="fltp", layout="stereo")
        frame.sample_rate, frame.pts, frame.time_base = SOUND_RATE, start, TIME_BASE
        yield from map(bytes, codec.encode(frame))
    yield from map(bytes, codec.encode(None))


@cache
def silence() -> bytes:
    """A packet of silence."""
    return list(encoded(np.zeros((4 * PACKET, 2), np.float32)))[2]


def joined_sound(stretches: Iterable[tuple[int, bytes]], frames: int) -> Iterator[bytes]:
    """The packets of a programme, in order.

    Args:
        stretches: in order, where each begins (a frame at 48 kHz at a whole number of packets), and its packets as
            `packed_sound` gives them.
        frames: the programme's length at 48 kHz.
    """
    done = 0
    for start, packets in stretches:
        leading, *others = (data for data, _ in unpacked(packets))
        first = start // PACKET
        for _ in range(done, first):
            yield silence()
        if done <= first:
            yield silence() if start else leading
        yield from others
        done = first + 1 + len(others)
    for _ in range(done, ceil(frames / PACKET) + 1):
        yield silence()


def sound_packets(stream: av.AudioStream, packets: Iterable[bytes]) -> Iterator[av.Packet[Any]]:
    """Packets in order as those of a stream."""
    for number, data in enumerate(packets):
        packet = av.Packet(data)
        packet.stream, packet.time_base = stream, TIME_BASE
        packet.pts = packet.dts = (number - 1) * PACKET
        packet.duration, packet.is_keyframe = PACKET, True
        yield packet
