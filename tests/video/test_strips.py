"""Pictures put together from strips, decoded again by PyAV: what changed is shown, what stayed is untouched."""

from fractions import Fraction

import av
import numpy as np
import pytest

from lessonmaker.video.encode import Format, Run, encode_run, film_sets, key_picture
from lessonmaker.video.strips import Strip, changed_strips

FORM = Format(650, 362, Fraction(30))  # neither side is whole macroblocks
FRAMES = 150
START_CODE = b"\0\0\0\1"


class Boxes:
    """Paper on which each picture changes one box; now and then all of it but a margin, or nothing."""

    size = (FORM.width, FORM.height)

    def __init__(self) -> None:
        chance = np.random.default_rng(11)
        self.boxes = [self.box(chance, number) for number in range(FRAMES)]
        self.pictures = [np.full((FORM.height, FORM.width), 220, np.uint8)]
        for top, left, bottom, right, shade in self.boxes[1:]:
            picture = self.pictures[-1].copy()
            picture[top:bottom, left:right] = shade
            self.pictures.append(picture)

    def box(self, chance, number):
        if number % 40 == 39:
            return 20, 20, FORM.height, FORM.width, 200
        top, left = chance.integers(20, (FORM.height, FORM.width))
        height, width = chance.integers(0, (60, 300))
        return top, left, top + height, left + width, int(chance.integers(30, 220))

    def changes(self, _rate):
        return range(FRAMES)

    def key(self, tick):
        return round(tick * FORM.rate / 240_000)

    def planes(self, key):
        luma = self.pictures[key]
        chroma = np.ascontiguousarray(255 - luma[::2, ::2])
        return luma, chroma, chroma


def decoded(units):
    decoder = av.CodecContext.create("h264", "r")
    sets = b"".join(START_CODE + unit for unit in film_sets(FORM))
    frames = [frame for data, _ in units for frame in decoder.decode(av.Packet(sets + data))]
    frames += decoder.decode(None)
    return [frame.to_ndarray()[: FORM.height, : FORM.width] for frame in frames]


@pytest.fixture(scope="module")
def shown():
    units = encode_run(Boxes(), FORM, Run(0, FRAMES))
    return decoded(units), [key for _, key in units]


def test_every_frame_shows_its_picture(shown):
    frames, keys = shown
    assert len(frames) == FRAMES
    assert [number for number, key in enumerate(keys) if key] == [0, 60, 120]
    for number, (frame, picture) in enumerate(zip(frames, Boxes().pictures, strict=True)):
        assert np.abs(frame.astype(int) - picture).max() <= 24, number
        assert np.mean((frame.astype(float) - picture) ** 2) < 2, number


def test_what_does_not_change_stays_to_the_bit(shown):
    frames, keys = shown
    boxes = Boxes()
    for number in range(1, FRAMES):
        if keys[number]:
            continue
        top, _, bottom, _, _ = boxes.boxes[number]
        rows = slice(top // 16 * 16, -(-bottom // 16) * 16)
        rest = np.ones(frames[0].shape, bool)
        rest[rows] = False
        assert np.array_equal(frames[number][rest], frames[number - 1][rest]), number


def test_equal_pictures_of_key_frames_are_equal_to_the_bit():
    still = Boxes()
    still.pictures = [still.pictures[-1]] * FRAMES
    units = encode_run(still, FORM, Run(0, FRAMES))
    first, *later = [data for data, key in units if key]
    assert len(later) == 2
    assert len(set(later)) == 1
    assert len(first) == pytest.approx(len(later[0]), abs=FORM.height // 16)  # but for its id in each slice
    assert max(len(data) for data, key in units if not key) < 30


def test_two_runs_show_the_same_to_the_bit_as_one(shown):
    boxes = Boxes()
    apart = decoded([*encode_run(boxes, FORM, Run(0, 60)), *encode_run(boxes, FORM, Run(60, FRAMES))])
    assert len(apart) == FRAMES
    assert all(np.array_equal(one, other) for one, other in zip(apart, shown[0], strict=True))


def test_a_run_is_the_same_bytes_wherever_it_stands():
    class Later(Boxes):
        def key(self, tick):
            return super().key(tick) - 37

    assert encode_run(Later(), FORM, Run(37, 37 + 90)) == encode_run(Boxes(), FORM, Run(0, 90))


def test_key_frames_that_follow_each_other_have_different_ids():
    # ITU-T H.264, 7.4.3: two IDR pictures in a row differ in idr_pic_id; the join of two runs is such a place.
    assert all(key_picture(frame) != key_picture(frame + 1) for frame in range(100))
    assert all(key_picture(frame) != key_picture(0) for frame in range(1, 100))


def test_a_strip_covers_what_changed_in_each_row():
    before = tuple(np.zeros((48 // part, 640 // part), np.uint8) for part in (1, 2, 2))
    after = tuple(plane.copy() for plane in before)
    after[0][20, 16 * 9] = after[0][31, 16 * 11 + 15] = 1  # luma of macroblocks 9 and 11 of row 1
    after[2][16, 8 * 30] = after[2][23, 8 * 39] = 1  # chroma of macroblocks 30 and 39 of row 2
    assert changed_strips(before, after) == [Strip(1, 9, 8), Strip(2, 24, 16)]
