"""What something is said to begin, end, peak or rest on is held against all that may be meant by it."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "8", "So the tune takes a breath, and the line finishes on A.", "fault 'a'"),
        ("jetty", "10", "The first note of the bar is the fifth of E7.", "fault 'fifth'"),
        ("lantern-ferry", "15", "Our long descent finally comes to rest on the root.", "fault 'root'"),
        ("lantern-ferry", "15", "We set off from the seventh and head downhill.", "fault 'seventh'"),
        ("jetty", "12", "In bar twelve nothing is as high as this G, G is the topmost note.", "fault 'g'"),
        ("jetty", "12", "The climb tops out on a G before the bar is over.", "fault 'g'"),
        ("jetty", "12", "G is as high as the bar goes.", "fault 'g'"),
        ("tin-roof", "24", "The last note of the tune is the B.", "fault 'b'"),
        ("lantern-quay", "1", "A is the longest note of the bar.", "fault 'a'"),
        ("lantern-weather", "1", "Up we go as far as a C, where we stop.", "fault 'c'"),
        (
            "lantern-weather",
            "22",
            "The stack has nothing above the ninth.",
            "fault 'nothing above the ninth'",
        ),
    ],
)
def test_a_note_that_nothing_begins_or_ends_with_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "8", "So the tune takes a breath, and the line finishes on E."),
        ("jetty", "10", "The first note of the bar is the third of E7."),
        ("lantern-ferry", "15", "Our long descent finally comes to rest on the third."),
        ("lantern-ferry", "15", "We set off from the ninth and head downhill."),
        ("jetty", "12", "The climb tops out on an A before the bar is over."),
        ("jetty", "12", "A is as high as the bar goes."),
        ("jetty", "12", "The note at the top of bar twelve is the minor third."),
        ("tin-roof", "24", "The last note of the tune is the A."),
        ("lantern-quay", "1", "B is the longest note of the bar."),
        ("lantern-weather", "22", "The stack has nothing above the eleventh."),
        ("lantern-weather", "22", "The stack might end on the ninth in another tune."),
        ("lantern-ferry", "15", "It doesn't come to rest on the root."),
    ],
)
def test_a_note_that_something_begins_or_ends_with_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
