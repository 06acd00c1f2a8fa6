"""Time codes, against FFmpeg's counting of them."""

from __future__ import annotations

import io
import re
from fractions import Fraction

import av
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.markers import CodeError, Timecode, even_rate

NTSC, NTSC_60, FILM = Fraction(30000, 1001), Fraction(60000, 1001), Fraction(24000, 1001)


def frame_by_ffmpeg(code: str, rate: Fraction) -> int:
    """The frame number that FFmpeg writes into a QuickTime time code track (4 bytes, big-endian)."""
    file = io.BytesIO()
    with av.open(file, "w", format="mov") as output:
        stream = output.add_stream("mpeg4", rate=rate)
        stream.width = stream.height = 16
        stream.metadata["timecode"] = code
        frame = av.VideoFrame.from_ndarray(np.zeros((24, 16), np.uint8), format="yuv420p")
        output.mux(stream.encode(frame))
        output.mux(stream.encode(None))
    file.seek(0)
    with av.open(file) as film:
        packet = next(film.demux(film.streams.data[0]))
        return int.from_bytes(bytes(packet), "big")


@pytest.mark.parametrize(
    ("code", "rate"),
    [
        ("00:00:59;29", NTSC),
        ("00:01:00;02", NTSC),
        ("00:09:59;29", NTSC),
        ("00:10:00;00", NTSC),
        ("01:00:00;00", NTSC),
        ("23:59:59;29", NTSC),
        ("00:01:00;04", NTSC_60),
        ("13:27:30;59", NTSC_60),
        ("01:00:00:00", NTSC),
        ("10:11:12:23", FILM),
        ("10:11:12:24", Fraction(25)),
        ("00:00:01:49", Fraction(50)),
    ],
)
def test_codes_count_the_frames_that_ffmpeg_counts(code, rate):
    clock = Timecode.starting(code, rate)
    assert clock.first == frame_by_ffmpeg(code, rate)
    assert clock.at(0) == code


@given(frame=st.integers(0, 2_589_407))  # the drop-frame day at 29.97 (SMPTE ST 12-1, from memory)
@settings(max_examples=300)
def test_a_frame_has_one_drop_frame_code(frame):
    clock = Timecode(NTSC, frame, drop=True)
    assert Timecode.starting(clock.at(0), NTSC) == clock


def test_drop_frame_codes_keep_to_the_clock_on_the_wall():
    hour = 3600 * TICKS_PER_SECOND
    assert Timecode.usual(NTSC).at(hour) == "01:00:00;00"
    assert Timecode.usual(FILM).at(hour) == "00:59:56:09"  # 86313 whole frames of 24 numbers a second
    assert Timecode.usual(Fraction(25)).at(hour) == "01:00:00:00"


@pytest.mark.parametrize(
    ("code", "rate", "message"),
    [
        ("00:01:00;00", NTSC, "is a number that is dropped; write 00:01:00;02 or later"),
        ("00:11:00;03", 2 * NTSC, "is a number that is dropped; write 00:11:00;04 or later"),
        ("00:00:00:25", Fraction(25), "at 25 frames a second; write hours up to 23, .* frames up to 24"),
        ("24:00:00:00", Fraction(25), "is no time code at 25"),
        ("00:00:00;10", Fraction(25), "drops numbers, as .* only; write 00:00:00:10"),
        ("1:2:3", Fraction(25), "write hours, minutes, seconds and frames"),
    ],
)
def test_what_is_no_code_is_told(code, rate, message):
    with pytest.raises(CodeError) as caught:
        Timecode.starting(code, rate)
    assert re.search(message, f"{caught.value}; {caught.value.todo}")


@pytest.mark.parametrize(
    ("rate", "even"),
    [
        (Fraction(8_100_000, 270_269), NTSC),
        (Fraction(2987, 100), NTSC),
        (Fraction(30), Fraction(30)),
        (Fraction(24), Fraction(24)),
        (FILM, FILM),
        (Fraction(15), Fraction(15)),
        (Fraction(120), Fraction(120)),
    ],
)
def test_uneven_rates_are_taken_for_the_usual_one(rate, even):
    assert even_rate(rate) == even
