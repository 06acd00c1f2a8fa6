"""A lesson as a MoviePy clip."""

from fractions import Fraction

import numpy as np
import pytest

from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.clip import Stretch, lesson_clip

SECOND = TICKS_PER_SECOND
RATE = Fraction(30)


class Greys:
    """A grey a second."""

    size = (64, 36)

    def rgb(self, tick):
        return np.full((36, 64, 3), 10 + 20 * (tick // SECOND), np.uint8)


def whole(seconds=3):
    return [Stretch(0, seconds * SECOND, seconds * SECOND - 1)]


def greys(clip, *times):
    return [int(clip.get_frame(time)[0, 0, 0]) for time in times]


def test_a_clip_has_the_lesson_s_pictures_in_any_order():
    clip = lesson_clip(Greys(), whole(), RATE)
    assert (clip.duration, tuple(clip.size), clip.fps) == (3, (64, 36), 30)
    assert clip.audio is None
    assert greys(clip, 2.5, 0.0, 1.2, 3.0) == [50, 10, 30, 50]


def test_a_clip_of_a_rate_that_is_no_whole_number_has_its_fraction():
    assert lesson_clip(Greys(), whole(), Fraction(30_000, 1001)).fps == pytest.approx(29.97003)


def test_a_clip_has_the_lesson_s_sound_to_the_sample():
    samples = np.linspace(-0.5, 0.5, 2 * 3 * 48_000, dtype=np.float32).reshape(-1, 2)
    clip = lesson_clip(Greys(), whole(), RATE, samples)
    assert clip.audio.duration == 3
    assert np.array_equal(clip.audio.to_soundarray(fps=48_000), samples.astype(float))


def test_stretches_follow_one_another_in_picture_and_sound():
    samples = np.arange(2 * 4 * 48_000, dtype=np.float32).reshape(-1, 2)
    cut = [Stretch(3 * SECOND, 4 * SECOND, 4 * SECOND), Stretch(SECOND, 2 * SECOND, 2 * SECOND)]
    clip = lesson_clip(Greys(), cut, RATE, samples)
    assert clip.duration == clip.audio.duration == 2
    assert greys(clip, 0.0, 0.99, 1.0, 1.99) == [70, 70, 30, 30]
    heard = clip.audio.to_soundarray(fps=48_000)
    assert np.array_equal(heard, np.concatenate([samples[3 * 48_000 :], samples[48_000 : 2 * 48_000]]))


def test_a_stretch_may_stand_still_before_its_end():
    clip = lesson_clip(Greys(), [Stretch(0, 3 * SECOND, 2 * SECOND - 1)], RATE)
    assert clip.duration == 3
    assert greys(clip, 0.5, 1.5, 2.5) == [10, 30, 30]
