"""How devices are made: what an enclosure goes round, which triad is spelled out, how long a loop is."""

import pytest

FALSE = [
    (
        "copper-kettle",
        "1",
        "An enclosure at the start of the bar drops us on the fifth of C7.",
        "fault 'fifth'",
    ),
    ("jetty", "3", "G and C close in around F.", "fault 'c'"),
    # triads
    ("jetty", "4", "Over G seven he lays down an E minor triad before the F.", "fault 'e minor triad'"),
    ("jetty", "4", "B, G sharp, E: what you've got is an E minor triad.", "fault 'e minor triad'"),
    ("cobblers-lantern", "12", "Think of an E minor triad sitting on G seven.", "fault 'e minor triad'"),
    (
        "lantern-ferry",
        "11",
        "C, E, G, an A minor seventh shape missing its third.",
        "fault 'a minor seventh shape'",
    ),
    # enclosures
    ("jetty", "3", "We circle the fifth, G above and E below.", "fault 'fifth'"),
    ("jetty", "3", "The line wraps itself around the A.", "fault 'a'"),
    ("jetty", "3", "The third of D minor is surrounded by G above and E flat below.", "fault 'e flat'"),
    ("weir", "4", "We wrap around the B flat, C above and A flat below.", "fault 'a flat'"),
    (
        "weir",
        "4",
        "C and A surround the B flat, a half step on each side.",
        "fault 'a half step on each side'",
    ),
    # sides
    ("jetty", "10", "That G sharp is approached from below.", "fault 'from below'"),
    ("lantern-ferry", "9", "Between two Ds sits a C sharp, an upper neighbour.", "fault 'upper neighbour'"),
    # loops
    ("lanterns-2", "13-14", "D, B flat and G keep cycling against the beat.", "fault 'g'"),
    ("lanterns-2", "13-14", "A four-note cell goes round and round over E flat.", "fault 'four-note cell'"),
    ("lantern-5", "13-14", "Down we go in groups of four.", "fault 'groups of four'"),
    # broken chords
    (
        "lantern-ferry",
        "30",
        "Both arpeggios in bar thirty run from the bottom up.",
        "fault 'from the bottom up'",
    ),
    ("lanterns-2", "11-12", "The cell is always root, third, fifth.", "fault 'root, third, fifth'"),
    # where notes and figures lead
    ("lanterns-2", "16", "The E flat resolves to D.", "fault 'd'"),
    ("lantern-ferry", "16-17", "That E comes a whole beat early.", "fault 'a whole beat'"),
    ("lanterns-2", "11-12", "There's a sequence here, a step higher each time.", "fault 'a step higher'"),
    (
        "lantern-4",
        "21-22",
        "F, D, C, E flat, and then it comes back a third higher.",
        "fault 'a third higher'",
    ),
]
TRUE = [
    ("copper-kettle", "1", "An enclosure at the start of the bar drops us on the third of C7."),
    ("jetty", "3", "G and E close in around F."),
    ("jetty", "4", "Over G seven he lays down an E major triad before the F."),
    ("cobblers-lantern", "12", "Think of an E major triad sitting on G seven."),
    ("lantern-ferry", "11", "C, E, G, an A minor seventh shape missing its root."),
    ("jetty", "3", "We circle the third, G above and E below."),
    ("jetty", "3", "The line wraps itself around the F."),
    ("weir", "4", "We wrap around the B flat, C above and A below."),
    ("weir", "4", "The third is approached from below."),
    ("jetty", "10", "That G sharp is approached from above."),
    ("lantern-ferry", "9", "Between two Ds sits a C sharp, a lower neighbour."),
    ("lanterns-2", "13-14", "D, B flat and A keep cycling against the beat."),
    ("lanterns-2", "13-14", "A three-note cell goes round and round over E flat."),
    ("lantern-5", "13-14", "Down we go in groups of three."),
    ("lantern-ferry", "30", "Both arpeggios in bar thirty run from the top down."),
    ("lanterns-2", "11-12", "The cell is always third, fifth, root."),
    ("lantern-ferry", "16-17", "That E comes half a beat early."),
    ("lanterns-2", "11-12", "There's a sequence here, a step lower each time."),
    ("lantern-4", "21-22", "F, D, C, E flat, and then it comes back a third lower."),
    ("jetty", "4", "You could play an E minor triad over G seven."),
    ("lanterns-2", "13-14", "It isn't a four-note cell that goes round and round."),
]


@pytest.mark.parametrize(("score", "bars", "say", "fault"), FALSE)
def test_what_a_device_is_not_made_of_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(("score", "bars", "say"), TRUE)
def test_what_it_is_made_of_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
