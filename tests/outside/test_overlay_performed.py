"""A film of a whole piece that a player with habits performs: every bar is lit when it was played, to the end.

The take is rendered by FluidSynth from what the player does, so that the truth is known to the sample.
"""

import csv
import shutil
from fractions import Fraction

import av
import numpy as np
import pytest

from lessonmaker.cli import main
from tests.tools.clock_film import clock_ms, make_film
from tests.tools.scored_takes import FONTS, make_case

pytestmark = pytest.mark.skipif(
    not (shutil.which("fluidsynth") and all(font.exists() for font in FONTS)),
    reason="needs fluidsynth and its soundfonts",
)

RATE = Fraction(25)
SIZE, SQUARE = (320, 180), 8
LATEST_S = 0.04


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The case, and the film with its score over it."""
    folder = tmp_path_factory.mktemp("performed")
    case = make_case("solo", 5, bars=24)
    (folder / "piece.musicxml").write_text(case.xml, encoding="utf-8")
    times = [number / RATE for number in range(int(case.audio.seconds * RATE))]
    film = make_film(
        folder / "film.mp4", times, SIZE, sound=case.audio.samples, rate=case.audio.rate, square=SQUARE
    )
    output = folder / "made.mp4"
    assert main(["overlay", str(film), str(folder / "piece.musicxml"), "--output", str(output)]) == 0
    return case, output


def test_every_bar_is_lit_when_it_was_played(made):
    case, output = made
    with output.with_suffix(".bars.csv").open(encoding="utf-8") as file:
        starts = [float(row["start_s"]) for row in csv.DictReader(file)]
    late = np.array(starts) - [bar.time_s for bar in case.bars]
    assert len(late) == 24
    assert np.abs(late).max() <= LATEST_S


def test_the_clock_of_every_frame_says_when_it_is_shown(made):
    _, output = made
    with av.open(str(output)) as container:
        shown = [
            (float(frame.time), clock_ms(frame.to_ndarray(format="gray"), SQUARE))
            for frame in container.decode(video=0)
        ]
    assert len(shown) > 60 * RATE
    assert all(round(time_s * 1000) == clock for time_s, clock in shown)
