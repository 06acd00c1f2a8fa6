"""Sentences that are true, and put in words that say something else at first sight; with false ones beside them."""

import pytest

SCORE = "marigold-ferry.musicxml"


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("17-18", "The pattern goes in twos against the bar."),
        ("23", "D and B sharp surround the third, then C sharp itself comes on beat two."),
        ("4", "F falls to the D sharp and that one gives way to the E a half step up."),
        ("6", "G, the flat nine, opens the F sharp seven bar and lasts a beat."),
        ("4", "D sharp enters between the beats and not upon one."),
        ("14", "It goes up and comes down again, past E both times."),
        ("17", "After the A it is the seventh, G sharp, that leads us down."),
        ("10", "Bar ten comes down mostly by half steps from F to C sharp, with whole steps among them."),
        ("13-14", "Apart from the last note, fourteen copies thirteen a whole step up."),
        ("14", "E sounds twice with G sharp between."),
        ("14", "Over C sharp the E's the third, and it's the D sharp that's the ninth."),
    ],
)
def test_what_is_true_is_not_called_false(read, bars, say):
    assert "fault" not in read(SCORE, bars, say)


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("17-18", "The pattern goes in fives against the bar."),
        ("14", "It goes up and comes down again, past D sharp twice."),
        ("14", "E sounds three times with G sharp between."),
        ("6-7", "F sharp seven moves up a half step to B minor."),
        ("17", "The A is the seventh here."),
        ("13-14", "Apart from the last note, fourteen copies thirteen a fourth up."),
    ],
)
def test_what_is_false_still_is(read, bars, say):
    assert "fault" in read(SCORE, bars, say)
