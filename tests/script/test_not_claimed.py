"""What a sentence names without claiming it of this music."""

import pytest

from tests.tools.sentence_sets import OPEN, judge_set

SENTENCES = OPEN.with_name("not-claimed.yaml")


def test_what_is_only_named_is_not_claimed() -> None:
    judged = judge_set(SENTENCES)
    assert len(judged) >= 10
    assert [each for each in judged if each.verdict != "right"] == []


@pytest.mark.parametrize(
    "say",
    [
        "Whenever we see a C flat we think of trouble.",
        "When you hit a flat nine, don't rush.",
        "I always tell people that a flat nine is only a second with better manners.",
    ],
)
def test_what_is_done_with_any_such_note_lights_nothing(read, say):
    assert "lit" not in read("tram.musicxml", "4-4", say)


def test_altered_tones_are_no_altered_chord(read):
    assert "lit" not in read("copper-lane.musicxml", "1-1", "There are no altered tones in this bar.")


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("tram", "2-2", "My grandmother could sing the root of anything."),
        ("tram", "4-4", "Root, third, fifth: the first thing they ever taught us."),
        ("copper-lane", "3-3", "A major seventh is a half step from an octave, so mind the gap."),
        ("pantry-light", "7-8", "Two bars without a rest."),
    ],
)
def test_what_is_said_of_no_note_here_is_left_alone(read, score, bars, say):
    assert read(f"{score}.musicxml", bars, say) == ""


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "copper-lane",
            "3-3",
            "Same idea as bar one, only now it starts on the offbeat.",
            "lit 'starts on the",
        ),
        ("pepper-alley", "9-10", "A flat seven, the flat six, leads to G seven, the five.", "9 to 10"),
        (
            "orrin-lock",
            "2-2",
            "A chromatic line, C, C flat, B flat, right through the chord change.",
            "chromatic run",
        ),
        ("orrin-lock", "2-2", "Half the bar is D flat, the other half is B flat seven.", "2.3 to 2.4"),
        (
            "turnstile-sprint",
            "21-21",
            "The flat nine, the seven: that's D seven altered for you.",
            "lit 'flat nine",
        ),
    ],
)
def test_chords_and_bars_named_beside_what_is_said_make_nothing_false(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told
