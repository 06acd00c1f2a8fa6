"""A note that is named for a beat on which it does not sound is false, also where it is elsewhere in sight."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("weir", "9", "There's an F sitting on beat three of this bar."),
        ("weir", "14", "The C comes in nice and full on beat two."),
        ("jetty", "3", "On the downbeat we play an A, and it rings."),
        ("harbour-lamp", "2", "A sharp on the and of two, and then it gets quiet."),
        ("lanterns-2", "1", "On beat two we climb up to an F."),
    ],
)
def test_a_note_that_does_not_sound_on_its_beat_is_false(read, score, bars, say):
    assert "fault" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("weir", "9", "There's an A flat sitting on beat three of this bar."),
        ("weir", "14", "The D comes in nice and full on beat two."),
        ("jetty", "3", "On the downbeat we play a G, and it rings."),
        ("harbour-lamp", "2", "A sharp on beat four, and then it gets quiet."),
        ("lanterns-2", "1", "On the and of three we climb up to an F."),
        ("lanterns-2", "1", "On beat three we climb from the D up to an F."),
    ],
)
def test_what_is_on_the_beat_or_may_be_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
