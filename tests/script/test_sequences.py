"""Sequences as far as they go on, and the way that they and other devices are said to go."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("harbour-lamps", "17-18", "Bar eighteen is a sequence of bar seventeen.", "18.2 18.3"),
        ("harbour-lamps", "17-18", "It's a sequence, a fourth higher.", "17.1 17.2 17.3 18.1 18.2 18.3"),
        ("lanterns", "19-21", "A sequence from measure nineteen on, in thirds.", "21.3& 21.4"),
        ("kettle-and-steam", "18-20", "The sequence here goes down.", "20.3 20.4"),
        ("salt-lantern", "13-14", "Each little cell begins one step lower than the last.", "14.4"),
        ("lantern-weather", "5-6", "Every group of four here begins one note further up.", "6.2&"),
        (
            "lantern-at-the-weir",
            "19-19",
            "The arpeggio in the second half of this measure goes up.",
            "19.4&",
        ),
    ],
)
def test_a_figure_is_lit_as_far_as_it_goes_on(read, score, bars, say, found):
    said = read(f"{score}.musicxml", bars, say)
    assert f"{found}'" in said
    assert "fault" not in said


@pytest.mark.parametrize(
    ("score", "bars", "say", "words"),
    [
        (
            "kettle-and-steam",
            "18-20",
            "This sequence climbs by whole steps.",
            "sequence climbs by whole steps",
        ),
        (
            "harbour-lamps",
            "17-18",
            "The second bar is a sequence of the first, a third lower.",
            "sequence of the first, a third lower",
        ),
        ("rivers", "9-10", "This sequence climbs by step.", "sequence climbs by step"),
        (
            "salt-lantern",
            "13-14",
            "Each little cell begins one step higher.",
            "each little cell begins one step higher",
        ),
        ("harbour-lamps", "3-3", "The arpeggio in bar three descends.", "arpeggio in bar three descends"),
    ],
)
def test_another_way_than_it_goes_is_false(read, score, bars, say, words):
    assert f"fault '{words}'" in read(f"{score}.musicxml", bars, say)


def test_the_way_of_an_arpeggio_is_heard_beyond_its_place(read):
    say = "The arpeggio in the second half of this measure goes down."
    assert "fault 'arpeggio in the second half" in read("lantern-at-the-weir.musicxml", "19-19", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "lantern-weather",
            "21-21",
            "The D stays put, only the lower voice creeps down.",
            "21.1& 21.2& 21.3& 21.4&'",
        ),
        (
            "lantern-weather",
            "21-21",
            "The D stays put, only the lower voice creeps down.",
            "'21.1 21.2 21.3 21.4'",
        ),
        ("lantern-ferry-2", "9-10", "The top voice walks down.", "'9.1 9.2& 9.4 10.1& 10.3'"),
        (
            "lantern-weather",
            "21-21",
            "In bar twenty-one the lower voice climbs.",
            "fault 'lower voice climbs'",
        ),
        ("harbour-lamps", "15-16", "You get to the next chord early.", "'15.4&'"),
        ("herons", "20-21", "There's a note that slips in just before the downbeat.", "'20.4&'"),
        (
            "copper-kettle-blues",
            "12-13",
            "The note of bar thirteen was struck before the bar line.",
            "'12.4&'",
        ),
    ],
)
def test_voices_and_early_arrivals_are_heard_in_many_words(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


def test_a_voice_on_the_other_side_is_left_alone(read):
    assert "voice" not in read("lantern-weather.musicxml", "21-21", "The top voice walks down.")


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("paperferry", "13-14", "Four-eighth groups against the three.", "'13.1 13.1& 13.2 13.2& 13.3"),
        ("grey-sluice", "11-12", "Two-beat groups running over the three.", "12.3 12.3&'"),
        ("lampoil", "13-14", "They come in dotted eighths against the beat.", "('13-14'"),
        ("kettle-street", "13-14", "It comes in groups of three.", "lit 'groups of three'"),
        ("kettle-street", "13-14", "It's groups of four, square on the beat.", "fault 'groups of four'"),
    ],
)
def test_groups_against_the_beat_or_the_bar(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("rivet", "22", "Sharp nine, nine, flat nine, root, all the way down by half steps.", "22.3-22.4&"),
        ("turnstile-sprint", "8-8", "A chromatic descent closes the bar.", "'8.2 8.3 8.3&'"),
    ],
)
def test_half_steps_are_those_that_were_spoken_of(read, score, bars, say, found):
    said = read(f"{score}.musicxml", bars, say)
    assert found in said
    assert "22.2 " not in said


def test_two_notes_on_both_sides_of_another_are_no_enclosure(read):
    said = read(
        "lampoil.musicxml", "1-2", "Two flat sevens in the opening bar, one on each side of the ninth."
    )
    assert "side" not in said
    assert "'1.3'" in said


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("paper-lantern-parade", "7-7", "Note above, note below, then home.", "'7.1 7.1& 7.2'"),
        ("tarpaulin", "10-10", "He goes round the F sharp before he lands on it.", "'10.1 10.1& 10.2'"),
        ("quince", "9-13", "In bar nine you wrap the third.", "'9.1& 9.2 9.2&'"),
    ],
)
def test_an_enclosure_is_heard_in_many_words(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("ferry", "14-15", "The motif moves up a whole step."),
        ("ferry", "14-15", "The pattern climbs by a whole step."),
        ("ferry", "14-15", "The cell goes up a whole step in the second bar."),
        (
            "thistle",
            "5-6",
            "This is a sequence going down by a whole step.",
        ),  # by half bars: a pair that is moved
    ],
)
def test_a_figure_that_is_moved_as_is_said_is_lit(read, score, bars, say):
    found = read(f"{score}.musicxml", bars, say)
    assert "lit" in found
    assert "fault" not in found


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("ferry", "14-15", "The motif moves down a whole step."),
        ("ferry", "14-15", "The same figure again, a whole step down."),
        ("ferry", "14-15", "Bar fifteen takes the same idea up a half step."),
        ("ferry", "14-15", "The sequence's second half is a half step higher than the first."),
    ],
)
def test_a_figure_that_is_moved_otherwise_is_false(read, score, bars, say):
    assert "fault" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize("say", ["The lick drops a third at the end.", "The pattern falls by a whole step."])
def test_what_a_figure_may_do_itself_is_not_false(read, say):
    assert "fault" not in read("ferry.musicxml", "14-15", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        (
            "lamplighter-2",
            "14-15",
            "Each of these four cells comes to rest on the root of its chord.",
            "root",
        ),
        ("grey-sluice", "11-12", "The top of each group goes G, F sharp, F.", "g, f sharp, f"),
    ],
)
def test_groups_of_which_a_note_each_is_told_are_not_lit_as_a_whole(read, score, bars, say, lit):
    found = read(f"{score}.musicxml", bars, say)
    assert f"lit '{lit}'" in found
    assert found.count("lit") == 1


@pytest.mark.parametrize(
    ("score", "bars", "say", "words"),
    [
        ("gaslight-errand", "21-22", "The sequence is exact.", "sequence is exact"),
        ("gaslight-errand", "21-22", "An exact sequence.", "exact sequence"),
        ("gaslight-errand", "21-22", "This is a rhythmic sequence.", "rhythmic sequence"),
        (
            "gaslight-errand",
            "37-38",
            "The sequence goes through the changes.",
            "sequence goes through the changes",
        ),
        ("cobblers-umbrella", "17-20", "The sequence here is exact.", "sequence here is exact"),
    ],
)
def test_a_sequence_that_is_moved_in_another_way_is_false(read, score, bars, say, words):
    assert read(f"{score}.musicxml", bars, say).startswith(f"fault '{words}'")


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("gaslight-errand", "21-22", "The sequence goes through the changes."),
        ("gaslight-errand", "21-22", "The sequence is not exact."),
        ("gaslight-errand", "37-38", "A diatonic sequence."),
        ("biscuit-tin-hop", "15-17", "An exact sequence."),
        ("cobblers-umbrella", "17-20", "A rhythmic sequence."),
    ],
)
def test_a_sequence_that_is_moved_as_is_said_is_not(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)
