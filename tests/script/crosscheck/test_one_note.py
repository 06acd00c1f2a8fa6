"""Two names that are given to one note are false where no note bears both."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "3", "We end up on E, which is the eleventh here.", "fault 'eleventh'"),
        ("jetty", "3", "Everything leans into the F, the fifth of D minor.", "fault 'fifth'"),
        ("jetty", "5", "The D on the and of three rings as the ninth of E minor.", "fault 'ninth'"),
        ("jetty", "4", "With the F as the third, G7 gets its bite.", "fault 'third'"),
        ("jetty", "5-6", "That E gets tied over and suddenly becomes the third of A7.", "fault 'third'"),
        ("jetty", "2", "The C opens the bar, and that's the fifth of A minor.", "fault 'fifth'"),
        (
            "jetty",
            "5-6",
            "The E at the end of five gets tied over and becomes the third of A7.",
            "fault 'third'",
        ),
        (
            "harbour-glass",
            "3",
            "In E minor eleven the A, the thirteenth, sits on the and of three.",
            "fault 'thirteenth'",
        ),
        ("copper-kettle", "1", "We squeeze the E, the fifth of C7, from both sides.", "fault 'fifth'"),
        ("copper-kettle", "9", "The bar ends on a half-note F, and that's it.", "fault 'f'"),
        ("jetty", "4", "The F just before beat four is the fifth of G7.", "fault 'fifth'"),
        (
            "jetty",
            "10",
            "A G sharp opens the bar, and that makes it the seventh of E7.",
            "fault 'seventh'",
        ),
        ("jetty", "4", "The G sharp drops down to E, the flat nine of G7.", "fault 'flat nine'"),
        ("jetty", "8", "The long note is the root of C major.", "fault 'root'"),
    ],
)
def test_a_note_has_both_of_its_names(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "3", "We end up on E, which is the ninth here."),
        ("jetty", "4", "On beat two there's a G sharp, the flat nine of G7."),
        ("jetty", "2", "The C opens the bar, and that's the minor third of A minor."),
        ("jetty", "5-6", "The E at the end of five gets tied over and becomes the fifth of A7."),
        ("copper-kettle", "9", "The bar ends on a half-note E, and that's it."),
        ("jetty", "10", "A G sharp opens the bar, and that makes it the third of E7."),
        ("jetty", "4", "The F just before beat four is the seventh of G7."),
        ("jetty", "6-7", "A to G, the root goes to the seventh."),
        ("jetty", "8", "The long note is the third of C major."),
        ("copper-kettle", "8", "B flat to A, flat nine to five, and we are in D minor."),
        ("jetty", "3", "We enclose the third, G above and E below."),
        ("jetty", "3", "Why isn't E the eleventh of D minor?"),
        ("jetty", "3", "The E isn't the eleventh of D minor."),
    ],
)
def test_what_agrees_or_is_not_said_of_it_is_left_alone(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


def test_what_it_is_instead_is_said(faults):
    told = faults("jetty.musicxml", "3", "Everything leans into the F, the fifth of D minor.")
    assert "the F at 3.2 is the b3, not the fifth" in told
