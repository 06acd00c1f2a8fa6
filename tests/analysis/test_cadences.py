"""Cadences that go elsewhere than from the dominant home, and keys that are relatives. Common practice, no source."""

import pytest

from lessonmaker.analysis.whole import analyse
from lessonmaker.score.position import format_span


def _found(tune, chords, kind):
    score = tune(" | ".join(f"[{each}] C4w" for each in chords))
    return [
        (format_span(score, each.span), each.detail) for each in analyse(score).devices if each.kind == kind
    ]


@pytest.mark.parametrize(
    ("chords", "kind", "found"),
    [
        (["Cmaj7", "Dm7", "G7", "Cmaj7", "Fmaj7", "C6"], "plagal cadence", ("5-6", "IVmaj7-I6")),
        (["Cmaj7", "Dm7", "G7", "Cmaj7", "Fm6", "Cmaj7"], "plagal cadence", ("5-6", "iv6-Imaj7")),
        (["Cmaj7", "Dm7", "G7", "Am7", "Dm7", "G7", "Cmaj7"], "deceptive cadence", ("3-4", "V7-vi7")),
        (["Cmaj7", "Dm7", "G7", "Abmaj7", "Dm7", "G7", "Cmaj7"], "deceptive cadence", ("3-4", "V7-bVImaj7")),
        (["Cm7", "Dm7b5", "G7", "Abmaj7", "Dm7b5", "G7", "Cm6"], "deceptive cadence", ("3-4", "V7-bVImaj7")),
    ],
)
def test_a_cadence_that_goes_elsewhere_is_found(tune, chords, kind, found):
    assert found in _found(tune, chords, kind)


@pytest.mark.parametrize(
    ("chords", "kind"),
    [
        (["Cmaj7", "Dm7", "G7", "Cmaj7"], "plagal cadence"),
        (["Cmaj7", "Fmaj7", "G7", "Cmaj7"], "plagal cadence"),
        (["Cmaj7", "Dm7", "G7", "Cmaj7"], "deceptive cadence"),
        (["Cmaj7", "A7", "Dm7", "G7", "Em7", "A7", "Dm7", "G7", "Cmaj7"], "deceptive cadence"),
        (
            ["C7", "F7", "C7", "C7", "F7", "F7", "C7", "C7", "G7", "F7", "C7", "G7"],
            "plagal cadence",  # of a blues the fourth step is a part
        ),
        (
            ["Cm7", "Fm7", "Cm7", "C7", "Fm7", "Fm7", "Cm7", "Cm7", "Ab7", "G7", "Cm7", "G7"],
            "plagal cadence",  # and of one in minor
        ),
        (["Cm7", "F7", "Cm7", "F7", "Cm7", "Dm7b5", "G7", "Cm6"], "plagal cadence"),  # the dorian fourth step
    ],
)
def test_other_chords_make_no_such_cadence(tune, chords, kind):
    assert not _found(tune, chords, kind)


def test_a_change_to_the_relative_key_is_called_so(tune):
    chords = ["Cm7", "F7", "Bbmaj7", "Ebmaj7", "Am7b5", "D7", "Gm6", "Gm6"]
    score = tune(" | ".join(f"[{each}] C4w" for each in chords))
    (change,) = [each for each in analyse(score).devices if each.kind == "key change"]
    assert change.text == "The key changes: minor, a minor third down (the relative minor)."
