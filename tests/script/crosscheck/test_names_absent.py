"""Notes that are named and are nowhere near are false, however they are spoken of."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "9", "We spell B half-diminished as B, D, F sharp, A, straight up.", "fault 'f sharp'"),
        ("jetty", "11", "B and G natural squeeze the A from both sides.", "fault 'g natural'"),
        ("lanterns-2", "3", "On beat four sits E natural, and it hums.", "fault 'e natural'"),
        ("lanterns-2", "9", "We brush past an E natural on our way up.", "fault 'e natural'"),
        ("lantern-4", "13", "F and A flat take turns for the whole bar.", "fault 'a flat'"),
        ("copper-lane", "4", "At the end F natural leans into the G.", "fault 'f natural'"),
        ("jetty", "9-11", "Bar eleven has an F in the middle of it.", "fault 'f'"),
    ],
)
def test_a_note_that_is_nowhere_near_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "9", "There's no F sharp in bar nine."),
        ("jetty", "9", "You could play an F sharp here as well."),
        ("jetty", "9", "The B half-diminished would have an F sharp in another key."),
        ("jetty", "11", "B and G sharp squeeze the A from both sides."),
        ("lanterns-2", "3", "Is that an E natural on beat four?"),
        ("lanterns-2", "9", "We brush past an E flat on our way up."),
        ("lantern-4", "13", "F and G take turns for the whole bar."),
        ("copper-lane", "4", "At the end F sharp leans into the G."),
    ],
)
def test_what_is_there_denied_wished_for_or_asked_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
