"""What moves in every frame, as a run among others: decoded again by PyAV, its colours held against ITU-R BT.709."""

from fractions import Fraction

import av
import numpy as np
import pytest

from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.aac import packed_sound
from lessonmaker.video.encode import Format, Run, encode_run, packed
from lessonmaker.video.film import FilmInfo, join_film
from lessonmaker.video.moving import encode_moving

SIZE = (320, 180)
FORM = Format(*SIZE, Fraction(30))
BEFORE, MOVING, AFTER = 45, 130, 61


class Still:
    """One grey."""

    size = SIZE

    def __init__(self, grey):
        self.grey = grey

    def changes(self, _):
        return [0]

    def key(self, _):
        return self.grey

    def planes(self, key):
        chroma = np.full((SIZE[1] // 2, SIZE[0] // 2), 128, np.uint8)
        return np.full(SIZE[::-1], key, np.uint8), chroma, chroma


def picture(number):
    """A wide bar that moves two pixels a frame over a ground that turns from blue to green."""
    drawn = np.empty((SIZE[1], SIZE[0], 3), np.uint8)
    drawn[:] = (20, number, 150 - number)
    drawn[:, 2 * number : 2 * number + 40] = (220, 60, 30)
    return drawn


@pytest.fixture(scope="module")
def frames(tmp_path_factory):
    """The frames of a film whose middle moves: (time, Y, U, V), and the packets that are key frames."""
    parts = [
        packed(encode_run(Still(60), FORM, Run(0, BEFORE))),
        packed(encode_moving(map(picture, range(MOVING)), FORM)),
        packed(encode_run(Still(200), FORM, Run(BEFORE + MOVING, BEFORE + MOVING + AFTER))),
    ]
    total = BEFORE + MOVING + AFTER
    silence = np.zeros((total * 1600, 2), np.float32)
    info = FilmInfo("", "", "", total * TICKS_PER_SECOND // 30, ())
    path = tmp_path_factory.mktemp("moving") / "film.mp4"
    join_film(path, parts, packed_sound(silence), FORM, info)
    with av.open(str(path)) as container:
        found = [(frame.pts * frame.time_base, planes(frame)) for frame in container.decode(video=0)]
    with av.open(str(path)) as container:
        keys = [n for n, p in enumerate(p for p in container.demux(video=0) if p.size) if p.is_keyframe]
    return found, keys


def planes(frame):
    """A frame's planes without what lies beyond its edges."""
    stacked = frame.to_ndarray()
    height, width = SIZE[1], SIZE[0]
    chroma = stacked[height:].reshape(2, height // 2, width // 2)
    return stacked[:height], chroma[0], chroma[1]


def expected(rgb):
    """Y, U and V of a picture by ITU-R BT.709-6, items 3.2 to 3.5 and 4.6."""
    red, green, blue = np.moveaxis(rgb.astype(float), 2, 0) / 255
    luma = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    halves = ((blue - luma) / 1.8556, (red - luma) / 1.5748)
    height, width = luma.shape
    chroma = (part.reshape(height // 2, 2, width // 2, 2).mean(axis=(1, 3)) for part in halves)
    return (16 + 219 * luma, *(128 + 224 * part for part in chroma))


def test_every_frame_is_there_at_a_constant_rate(frames):
    found, _ = frames
    assert [time for time, _ in found] == [Fraction(n, 30) for n in range(BEFORE + MOVING + AFTER)]


def test_every_picture_is_seen_in_the_colours_of_bt_709(frames):
    found, _ = frames
    for number in range(MOVING):
        for plane, wanted in zip(found[BEFORE + number][1], expected(picture(number)), strict=True):
            assert np.abs(plane - wanted).mean() < 1.5, number


def test_what_stands_beside_it_is_untouched(frames):
    found, _ = frames
    for numbers, grey in ((range(BEFORE), 60), (range(BEFORE + MOVING, len(found)), 200)):
        for number in numbers:
            assert np.abs(found[number][1][0].astype(int) - grey).max() <= 1, number


def test_a_key_frame_begins_it_and_comes_every_two_seconds(frames):
    _, keys = frames
    assert [k for k in keys if BEFORE <= k <= BEFORE + MOVING] == [
        BEFORE,
        BEFORE + 60,
        BEFORE + 120,
        BEFORE + MOVING,
    ]


def test_an_empty_run_has_no_units():
    assert encode_moving([], FORM) == []
