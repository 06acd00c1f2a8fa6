"""Metres and their beats. The groupings are common practice, no source."""

import itertools
from fractions import Fraction

import pytest

from lessonmaker.theory.metre import Metre

BEAT_GROUPS = [
    (Metre(4, 4), (1, 1, 1, 1)),
    (Metre(7, 4, (2, 2, 3)), (1,) * 7),
    (Metre(2, 2), (1, 1)),
    (Metre(6, 8), (3, 3)),
    (Metre(12, 8), (3, 3, 3, 3)),
    (Metre(3, 8), (3,)),
    (Metre(5, 8), (3, 2)),
    (Metre(5, 8, (2, 3)), (2, 3)),
    (Metre(7, 8), (2, 2, 3)),
    (Metre(9, 8, (2, 2, 2, 3)), (2, 2, 2, 3)),
    (Metre(17, 16), (2, 2, 2, 2, 2, 2, 2, 3)),
    (Metre(1, 8), (1,)),
]


@pytest.mark.parametrize(("metre", "groups"), BEAT_GROUPS)
def test_beat_groups(metre: Metre, groups: tuple[int, ...]) -> None:
    assert metre.beat_groups == groups


@pytest.mark.parametrize("beats", range(1, 30))
@pytest.mark.parametrize("unit", [1, 2, 4, 8, 16])
def test_beats_and_beams_fill_every_bar(beats: int, unit: int) -> None:
    metre = Metre(beats, unit)
    assert sum(metre.beat_groups) == beats
    spans = list(metre.beam_spans())
    assert spans[0][0] == 0 and spans[-1][1] == metre.bar_quarters
    assert all(a[1] == b[0] and a[0] < a[1] for a, b in itertools.pairwise(spans))


def test_lengths_and_text() -> None:
    assert Metre(7, 8).bar_quarters == Fraction(7, 2)
    assert Metre(7, 8).beat_starts == (0, 1, 2)
    assert (str(Metre(7, 4, (2, 2, 3))), str(Metre(6, 8))) == ("2+2+3/4", "6/8")
    assert [Metre(6, 8).is_compound, Metre(3, 8).is_compound, Metre(6, 4).is_compound] == [True, False, False]
