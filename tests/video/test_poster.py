"""A picture out of a film: as it is seen."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from PIL import Image

from lessonmaker.video.poster import write_poster
from tests.tools.clock_film import GREY, clock_ms, make_film

SIZE = (256, 144)
TIMES = [Fraction(number, 25) for number in range(50)]
BT601, BT709 = (6, 6, 6), (1, 1, 1)


def poster(folder, **how):
    film = make_film(folder / "film.mp4", TIMES, SIZE, sound=np.zeros(16_000, np.float32), **how)
    write_poster(folder / "poster.png", film, Fraction(1) + Fraction(1, 50))
    with Image.open(folder / "poster.png") as picture:
        return picture.copy()


@pytest.mark.parametrize(("colours", "full"), [(BT709, False), (BT601, False), (BT709, True)])
def test_it_is_the_frame_in_sight_in_full_range(tmp_path, colours, full):
    picture = poster(tmp_path, colours=colours, full=full)
    assert (picture.mode, picture.size) == ("RGB", SIZE)
    assert clock_ms(np.asarray(picture.convert("L"))) == 1000
    level = GREY if full else (GREY - 16) * 255 / 219
    assert np.asarray(picture)[60:140] == pytest.approx(level, abs=2)


def test_a_turned_film_is_upright(tmp_path):
    picture = poster(tmp_path, turned=90)
    assert picture.size == (144, 256)
    assert clock_ms(np.rot90(np.asarray(picture.convert("L")), -1)) == 1000


def test_pixels_that_are_not_square_are_made_so(tmp_path):
    assert poster(tmp_path, aspect=Fraction(4, 3)).size == (341, 144)
