"""What is said not to be there, and is, is false however it is put."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "6", "What we never hear in bar six is the flat nine.", "flat nine"),
        (
            "jetty",
            "2",
            "Four short notes and a long one, and none of them is the root.",
            "none of them is the root",
        ),
        ("jetty", "4", "G seven here, the flat nine is nowhere, it's all plain.", "flat nine is nowhere"),
        ("jetty", "14", "One colour that bar fourteen never touches is the ninth.", "the ninth"),
        ("jetty", "16", "A natural never shows up over the B half-diminished.", "a natural never shows up"),
        ("jetty", "17", "There isn't a single chromatic note in bar seventeen.", "chromatic note"),
        ("jetty", "10", "No tension at all in this bar.", "no tension"),
        ("jetty", "11", "There isn't a skip in bar eleven, it's all steps.", "a skip"),
        ("jetty", "13", "Nothing in this bar is longer than a quarter.", "longer than a quarter"),
    ],
)
def test_what_is_denied_and_there_is_false(read, score, bars, say, fault):
    told = read(f"{score}.musicxml", bars, say)
    assert "fault" in told
    assert fault in told.split("fault", 1)[1]


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "6", "What we never hear in bar six is the sharp nine."),
        ("jetty", "18", "No tension at all in this bar."),
        ("jetty", "2", "It moves without a single leap."),
        ("jetty", "18", "There isn't a single chromatic note in bar eighteen."),
        ("jetty", "13", "Nothing in this bar is longer than a half note."),
        ("jetty", "9", "G never shows up over the B half-diminished."),
        ("pigeon-loft", "20", "The sharp ninth, then the flat ninth; no third to be found."),
        ("jetty", "6", "The flat nine is nowhere until beat two."),
        ("jetty", "4", "Don't forget the flat nine here."),
    ],
)
def test_what_is_not_there_or_is_denied_of_less_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
