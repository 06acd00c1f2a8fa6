from pathlib import Path

import pytest

from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.timeline.clock import TakeClock
from tests.tools.even_take import even_fit

MEDIA = Path(__file__).parents[2] / "media"


@pytest.fixture(scope="session")
def swing() -> Score:
    """44 bars in 4/4 with a pickup of three eighths."""
    return read_score(MEDIA / "gaslight-errand.musicxml")


@pytest.fixture(scope="session")
def seven() -> Score:
    """26 bars in 7/4 with a repeat and two endings: bars 1-8, 1-6, 9-26."""
    return read_score(MEDIA / "the-tin-heron.musicxml")


@pytest.fixture(scope="session")
def swing_clock(swing: Score) -> TakeClock:
    return TakeClock(swing, even_fit(swing))


@pytest.fixture(scope="session")
def seven_clock(seven: Score) -> TakeClock:
    return TakeClock(seven, even_fit(seven))
