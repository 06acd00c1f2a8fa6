"""Captions and chapter lines."""

import io

import webvtt

from lessonmaker.timeline.model import TICKS_PER_SECOND, Caption, Chapter
from lessonmaker.video.texts import chapter_lines, subrip
from lessonmaker.video.texts import webvtt as to_webvtt

CAPTIONS = (
    Caption(int(1.5 * TICKS_PER_SECOND), 4 * TICKS_PER_SECOND, ("Over B♭7 the line", "leans on a < b & c.")),
    Caption(3700 * TICKS_PER_SECOND, 3702 * TICKS_PER_SECOND, ("Done.",)),
)


def test_webvtt_is_read_back_by_webvtt_py():
    # Outside: the general-purpose reader webvtt-py.
    read = webvtt.from_buffer(io.StringIO(to_webvtt(CAPTIONS)))
    assert [(caption.start, caption.end) for caption in read] == [
        ("00:00:01.500", "00:00:04.000"),
        ("01:01:40.000", "01:01:42.000"),
    ]
    assert "Over B♭7 the line" in read[0].text


def test_special_characters_are_escaped():
    assert "leans on a &lt; b &amp; c." in to_webvtt(CAPTIONS)


def test_subrip_has_numbers_and_commas():
    assert subrip(CAPTIONS).startswith("1\n00:00:01,500 --> 00:00:04,000\nOver B♭7 the line\nleans")


def test_chapter_lines_start_at_zero_and_grow_hours():
    marks = (Chapter(0, "The whole etude"), Chapter(3725 * TICKS_PER_SECOND, "Bridge (bars 17–24)"))
    assert chapter_lines(marks) == "0:00 The whole etude\n1:02:05 Bridge (bars 17–24)\n"
