"""A chord that is named and that neither the letters beside it nor the notes in sight make is false."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "18", "A, C and E, a plain A major triad.", "a major triad"),
        ("tin-roof", "12", "C, E, G on top, so that is a minor triad over E seven.", "minor triad"),
        ("jetty", "18", "An F major triad goes round and round in this bar.", "f major triad"),
        ("lantern-4", "10", "We spell a B flat minor triad on top of F seven.", "b flat minor triad"),
    ],
)
def test_a_triad_that_is_not_there_is_false(read, score, bars, say, fault):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" in found
    assert fault in found


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "18", "A, C and E, a plain A minor triad."),
        ("tin-roof", "12", "C, E and G make a major triad over E seven."),
        ("jetty", "18", "An A minor triad goes round and round in this bar."),
        ("lantern-4", "10", "We spell a D major triad on top of F seven."),
        ("jetty", "18", "You could play an F major triad here."),
    ],
)
def test_a_triad_that_is_there_or_wished_for_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
