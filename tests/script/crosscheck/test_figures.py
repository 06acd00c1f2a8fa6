"""In which order the degrees of a figure come, where it sets out, how it is moved, from where a note is met."""

import pytest

FALSE = [
    ("1", "The tune starts by arpeggiating F minor: root, third, fifth, seventh, up it goes.", "root, third"),
    ("3", "It's the same trick on E flat, climbing root, third, fifth and seventh.", "root, third, fifth"),
    ("3", "This arpeggio climbs out of the root of E flat to its ninth.", "root"),
    ("4", "Two notes close in on the fifth, first from below, then from above.", "first from below"),
    ("4", "An enclosure of the fifth: the upper note comes after the lower one.", "upper note comes after"),
    ("4", "F sharp below, then A flat above, and the fifth in the middle.", "below, then a flat above"),
]
TRUE = [
    ("1", "Third, fifth, seventh, ninth, that's the way up the F minor chord."),
    ("3", "It's the same trick on E flat, climbing third, fifth, seventh and ninth."),
    ("3", "This arpeggio climbs out of the third of E flat to its ninth."),
    ("1", "Bar one is a big arpeggio rising from the third of F minor to the ninth."),
    ("4", "Two notes close in on the fifth, first from above, then from below."),
    ("4", "An enclosure of the fifth: the lower note comes after the upper one."),
    ("5", "The line falls to the root and then climbs back up root, third, fifth, seventh."),
    ("8", "E flat seven comes down flat nine, seventh, fifth, third, nice and even."),
    ("1-3", "Bar three is bar one all over again, just a whole step lower."),
]


@pytest.mark.parametrize(("bars", "say", "fault"), FALSE)
def test_a_figure_that_is_made_otherwise_is_false(read, bars, say, fault):
    assert f"fault '{fault}" in read("copper-lane.musicxml", bars, say)


@pytest.mark.parametrize(("bars", "say"), TRUE)
def test_a_figure_that_is_so_made_is_not_false(read, bars, say):
    assert "fault" not in read("copper-lane.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "10", "A half step from below slides into the G sharp.", "fault 'from below'"),
        ("jetty", "10", "A half step from above slides into the G sharp.", ""),
        ("cellar-blues", "3", "E flat first and then C sharp, both squeezing the D.", ""),
        ("copper-lane", "1", "Third, fifth and seventh go up first, then comes the ninth.", ""),
        ("cellar-blues", "12", "No third at the bottom of this climb, but the fifth.", ""),
    ],
)
def test_the_side_and_the_order_of_notes(read, score, bars, say, fault):
    told = read(f"{score}.musicxml", bars, say)
    assert (fault in told) if fault else ("fault" not in told)


@pytest.mark.parametrize(
    ("say", "fault"),
    [
        ("Here's the same arpeggio once more, carried up a third over F seven.", "fault 'up a third'"),
        ("Here's the same arpeggio once more, carried up a fourth over F seven.", ""),
    ],
)
def test_how_far_a_figure_is_moved(read, say, fault):
    told = read("tin-kettle.musicxml", "1-2", say)
    assert (fault in told) if fault else ("fault" not in told)
