"""Counts of pitches, tensions and altered notes, and what all tensions are said to be: lit, false, or left alone."""

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "lit"),
    [
        ("9", "Four pitches, that's all there is in bar nine.", "lit 'four pitches' ('9.1-9.3'"),
        ("12", "Bar twelve gives us four tensions.", "lit 'four tensions' ('12.3-12.4&'"),
        ("12", "Three altered notes in bar twelve.", "lit 'three altered notes' ('12.3-12.4&'"),
    ],
)
def test_as_many_as_are_said_are_lit(read, bars, say, lit):
    assert lit in read("orchard-clock.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("orchard-clock", "6", "This bar has five different pitches.", "fault 'five different pitches'"),
        ("lamplighter-2", "16", "The bar contains no fewer than five different pitches.", "fault"),
        ("paper-lantern-parade", "13-14", "There are four different pitches in these two bars.", "fault"),
        ("orchard-clock", "4", "There are six tensions in bar four.", "fault 'six tensions'"),
        ("night-tram", "10", "Bar ten has two altered notes.", "fault 'two altered notes'"),
        ("kites", "4", "All the tensions in this bar are natural ones.", "fault"),
        ("night-tram", "10", "The tensions in bar ten are all natural.", "fault"),
    ],
)
def test_other_counts_and_kinds_are_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "Bar four has about six tensions.",
        "The last two tensions are close together.",
        "Are all the tensions natural?",
    ],
)
def test_what_is_hedged_or_asked_or_one_of_several_is_left_alone(read, say):
    assert "fault" not in read("orchard-clock.musicxml", "4", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        (
            "orchard-clock",
            "5",
            "We hold the last note for two bars.",
            "fault 'hold the last note for two bars'",
        ),
        (
            "biscuit-2",
            "12",
            "We hold the first chorus's last note for a whole bar.",
            "fault 'for a whole bar'",
        ),
        ("orchard-clock", "5", "The lowest note lasts three beats.", "fault 'lasts three beats'"),
    ],
)
def test_a_note_that_is_held_for_less_than_is_said_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


def test_what_is_kept_up_for_some_bars_is_no_note(read):
    assert "fault" not in read("orchard-clock.musicxml", "5", "Keep the tempo steady for two bars.")


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("kites", "12", "Bar twelve climbs.", "fault 'climbs'"),
        ("kites", "12", "Bar twelve is an ascending line.", "fault 'is an ascending line'"),
        ("kites", "5", "The line drops in bar five.", "fault 'drops'"),
        ("kites", "7", "The seventh is on top.", "fault 'seventh'"),
        ("gatepost", "5", "That B flat is the root.", "fault 'root'"),
        ("orchard-clock", "6", "Both chords begin on their fifth.", "fault 'fifth'"),
        ("kites", "16", "The highest note comes on beat two.", "fault 'highest note comes on beat two'"),
        (
            "orchard-clock",
            "9",
            "The last note is struck on beat one.",
            "fault 'last note is struck on beat one'",
        ),
    ],
)
def test_a_line_or_a_note_that_is_otherwise_than_is_said_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("kites", "12", "Bar twelve falls."),
        ("kites", "12", "The tension climbs in bar twelve."),
        ("kites", "7", "The fifth is on top."),
        ("orchard-clock", "9", "The highest note is on beat three."),
        ("orchard-clock", "9", "Is the highest note on beat two?"),
    ],
)
def test_what_is_so_or_asked_or_said_of_no_line_is_never_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("lantern-weather", "20-21", "Two triplets in a row, so keep the tongue light.", "fault 'triplets'"),
        ("kites", "13-16", "The sequence runs over four bars.", "fault 'sequence runs over four bars'"),
        ("kites", "13-14", "The C seven outlines root, third, fifth, seventh.", "fault 'root, third, fifth"),
        (
            "paper-lantern-parade",
            "9-12",
            "Over the A seven it goes three, five, seven, nine.",
            "fault 'three, five",
        ),
        ("orchard-clock", "9-12", "Bar nine comes to rest on the third.", "fault 'third'"),
        (
            "copper-kettle-blues-2",
            "14-15",
            "The figure starts over on the root of A flat each time.",
            "fault 'root'",
        ),
    ],
)
def test_figures_and_rows_that_are_not_as_they_are_said_to_be_are_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        ("kites", "13-16", "The sequence lasts three bars.", "lit 'sequence'"),
        (
            "kites",
            "13-14",
            "The C seven outlines third, fifth, seventh, ninth.",
            "lit 'third, fifth, seventh, ninth'",
        ),
        ("orchard-clock", "9-12", "Bar nine comes to rest on the ninth.", "lit 'ninth'"),
    ],
)
def test_figures_and_rows_that_are_as_they_are_said_to_be_are_lit(read, score, bars, say, lit):
    told = read(f"{score}.musicxml", bars, say)
    assert lit in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("gatepost", "1-4", "The highest note in these bars is the F.", "fault 'f'"),
        ("kites", "13-15", "Every bar has five notes.", "fault 'five notes'"),
        ("gatepost", "1-4", "Each bar starts with a rest.", "fault 'starts with a rest'"),
        ("gatepost", "5", "Beat two is a rest.", "fault 'beat two is a rest'"),
        ("night-tram", "3", "Two dotted quarters in bar three.", "fault 'two dotted quarters'"),
        ("night-tram", "8", "The sharp eleven is tied over.", "fault 'is tied over'"),
    ],
)
def test_each_bar_and_a_tie_that_is_not_there_are_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("kites", "13-15", "Every bar has four notes."),
        ("kites", "8-9", "The A at the end of bar eight is tied over the bar line."),
        ("gatepost", "1-4", "The highest note in these bars is the G."),
        ("gatepost", "7", "Beat one is a rest."),
    ],
)
def test_each_bar_and_a_tie_that_is_there_are_not_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("kites", "11", "Bar eleven rests for a beat and a half."),
        ("orchard-clock", "9", "The ninth is held over beat four."),
        ("orchard-clock", "11-12", "The flat thirteen rises into bar thirteen."),
    ],
)
def test_what_is_held_there_or_goes_on_into_the_next_bar_is_not_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
