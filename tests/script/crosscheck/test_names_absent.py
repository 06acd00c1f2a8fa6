"""Notes that are named and are nowhere near are false, however they are spoken of."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "9", "We spell B half-diminished as B, D, F sharp, A, straight up.", "fault 'f sharp'"),
        ("lanterns-2", "3", "On beat four sits E natural, and it hums.", "fault 'e natural'"),
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
        ("lanterns-2", "3", "Is that an E natural on beat four?"),
    ],
)
def test_what_is_denied_wished_for_or_asked_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
