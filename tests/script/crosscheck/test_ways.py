"""A note or a line that is said to go one way, and goes the other, is false, however it is put."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        (
            "weir",
            "10",
            "Down we go by half steps from F to D, and then we jump up to B.",
            "question 'jump up'",
        ),
        ("weir", "18", "The line rises steadily to B flat.", "fault 'rises'"),
        ("weir", "18", "Everything here climbs.", "question 'climbs'"),
        ("weir", "17", "Bar seventeen goes down the D minor triad.", "question 'goes down'"),
        ("lanterns-2", "4", "The B natural gives in and sinks to the C.", "question 'sinks'"),
        ("jetty", "2", "Four eighths in one breath, starting low and working up.", "question 'working up'"),
        ("jetty", "7", "Our F goes down a third to A before the chord changes.", "question 'goes down'"),
        ("jetty", "9-10", "A slides up into the third of E seven.", "question 'slides up'"),
        ("weir", "18", "Everything in this bar is on the way up.", "question 'on the way up'"),
    ],
)
def test_what_goes_the_other_way_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("weir", "10", "F slides down to D and drops to the B."),
        ("weir", "17", "The D at the start climbs to F."),
        ("weir", "18", "After the G we tumble down to the B flat."),
        ("weir", "17", "Bar seventeen goes up the D minor triad."),
        ("lanterns-2", "4", "B natural pushes up to C."),
        ("lanterns-2", "4", "The B natural falls on beat three."),
        ("lanterns-2", "4", "The B natural could just as well sink to the A."),
        ("jetty", "2", "Four eighths in one breath, starting high and working down."),
        ("jetty", "7", "Our F goes up a third to A before the chord changes."),
        ("jetty", "9-10", "A slides down into the third of E seven."),
        ("weir", "18", "Everything in this bar is on the way down."),
    ],
)
def test_what_goes_as_is_said_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
