"""What a sentence says of a bar's ends, its chord, its notes and a note's name is lit where it is so, else a fault."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("late-ferryman", "1-1", "In bar one you come in on two.", "'1.2'"),
        ("late-ferryman", "13-14", "The new phrase begins on the second beat of fourteen.", "'14.2'"),
        ("slate-and-candle", "9-9", "Then a new phrase kicks off on three.", "'9.3'"),
        ("slate-and-candle", "19-19", "Measure nineteen has five notes.", "'19.1 19.1& 19.2 19.2& 19.3'"),
        ("late-ferryman", "4-5", "The F sharp goes up a half step to the G.", "'5.1'"),
        ("lantern-waltz", "9-12", "The flat nine begins bar nine and, an octave down, ends it.", "'9.1 9.3'"),
        (
            "slate-and-candle",
            "14-14",
            "We meet the sharp ninth and then, at once, the flat ninth.",
            "'14.2&'",
        ),
        (
            "lanterns",
            "4-5",
            "In bar four we lean on the flat nine on beat four, and that flat nine falls.",
            "'4.4'",
        ),
    ],
)
def test_what_is_so_is_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("lampoil", "5-8", "The natural thirteenth on the G seven wants some warmth.", "('13@7'"),
        ("ropewalk", "11-12", "It lands on the third of F.", "('3@12'"),
        ("jetty", "13-13", "In bar thirteen there's a thirteenth on the and of one.", "('13@13'"),
        ("kites", "3-3", "Root's on beat four.", "('1@3'"),
        ("tarpaulin", "17-17", "The pickup at the tail end is the root.", "('1@17'"),
        ("rivet", "4-4", "The G right at the end of the measure is the thirteenth.", "('13@4'"),
        ("late-ferryman", "9-9", "And the bar finishes on the thirteenth.", "('#11@9.4'"),
        ("late-ferryman", "12-12", "The D altered bar begins on the root.", "('#9@12.1'"),
        ("slate-and-candle", "14-14", "Altered again, and we start it on the flat thirteen.", "('3@14.1'"),
        ("slate-and-candle", "20-20", "On the D flat chord the first note is the root.", "('b7@20.3'"),
        ("late-ferryman", "22-22", "The A natural on beat four is the flattened thirteenth.", "('13@22.4'"),
        ("late-ferryman", "20-21", "The flat nine of G seven resolves upward to the fifth.", "('1@21.1'"),
        ("pigeon-loft", "17-17", "We arrive in bar seventeen on the root.", "fault 'root'"),
        ("pepper-alley", "17-20", "Bar twenty opens squarely on the downbeat.", "('20.3'"),
        ("late-ferryman", "7-7", "Bar seven holds five notes, and no more.", "fault 'five notes'"),
        (
            "ladder-street",
            "29-32",
            "Bar thirty is nothing but eighths.",
            "fault 'nothing but eighths'",
        ),
        (
            "marzipan-weather",
            "1-6",
            "The first phrase is nine bars long.",
            "fault 'first phrase is nine bars long'",
        ),
        ("corner-blues", "9-12", "Bar nine is a major chord.", "fault 'major chord'"),
        ("corner-blues", "9-12", "Bar nine is B half-diminished.", "fault 'b half-diminished'"),
    ],
)
def test_what_is_not_so_is_a_fault(read, score, bars, say, fault):
    assert "fault" in read(f"{score}.musicxml", bars, say)
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("marzipan-weather", "1-6", "The first phrase is about nine bars long."),
        ("late-ferryman", "9-9", "Does the bar finish on the thirteenth?"),
        ("late-ferryman", "7-7", "Bar seven holds two notes leading into eight."),
        ("late-ferryman", "7-7", "Bar seven has about five notes."),
        ("corner-blues", "9-12", "Is bar nine a major chord?"),
        ("corner-blues", "9-12", "Bar nine is a major event."),
        ("pepper-alley", "17-20", "The phrase before starts on the downbeat of twenty."),
        ("copper-lane", "21-24", "The tied E flat is a sus four over the next chord."),
    ],
)
def test_what_is_asked_hedged_or_of_something_else_is_never_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
