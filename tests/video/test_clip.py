"""A lesson as a MoviePy clip."""

import numpy as np
import pytest

from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.clip import lesson_clip


class Greys:
    size = (64, 36)

    def key(self, tick):
        return tick // TICKS_PER_SECOND

    def rgb(self, tick):
        return np.full((36, 64, 3), 10 + 20 * self.key(tick), np.uint8)


def test_a_clip_has_the_lesson_s_pictures_in_any_order():
    clip = lesson_clip(Greys(), 3 * TICKS_PER_SECOND)
    assert clip.duration == 3
    assert clip.size == (64, 36) or list(clip.size) == [64, 36]
    assert [int(clip.get_frame(time)[0, 0, 0]) for time in (2.5, 0.0, 1.2, 3.0)] == [50, 10, 30, 50]


def test_a_clip_has_the_lesson_s_sound():
    samples = np.zeros((3 * 48_000, 2), np.float32)
    samples[48_000:96_000] = 0.25
    clip = lesson_clip(Greys(), 3 * TICKS_PER_SECOND, samples)
    assert clip.audio.duration == pytest.approx(3)
    assert clip.audio.get_frame(1.5)[0] == pytest.approx(0.25, abs=1e-3)
