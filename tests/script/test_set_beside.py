"""Bars that another is only set beside, chords that open a sentence, thirds of the line, rows that are not there."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "the-lantern-stairs",
            "17-20",
            "Bar eighteen, though, is not bar two: there's a sharp nine now.",
            "'18.1'",
        ),
        ("kettle-3", "16-20", "Bar sixteen, unlike bar two, has a sharp nine.", "'16.2&'"),
        ("kettle-3", "16-17", "Compared with bar two it's more altered, with a sharp nine.", "'16.2&'"),
        (
            "kettle-3",
            "16-18",
            "Bar eighteen isn't in the same key as bar sixteen, but it ends on the flat thirteen.",
            "'18.3'",
        ),
        ("the-lantern-stairs", "1-18", "Bar eighteen differs from bar two in its sharp nine.", "'18.1'"),
        ("carousel", "4-18", "Eleven is not like bar four; the sharp eleven comes first.", "'11.1'"),
        ("copper", "3-11", "Bar eleven is not bar three: here the third comes on the downbeat.", "'11.1'"),
        (
            "the-lantern-stairs",
            "17-18",
            "Where bar two opened on a flat nine, this one opens on a sharp nine.",
            "'18.1'",
        ),
        (
            "gravel",
            "17-19",
            "Compared to bar seventeen the ladder is plainer here: third, fifth, seventh, ninth.",
            "'19.1 19.2 19.2& 19.3'",
        ),
        ("lamps", "2-8", "Bar eight has the same chord as bar two but opens on the flat nine.", "'8.1'"),
    ],
)
def test_what_is_said_goes_for_the_bar_that_another_is_set_beside(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


def test_what_each_of_two_bars_has_is_its_own(read):
    say = "Where bar two had the flat nine on the downbeat, bar eighteen has a sharp nine."
    told = read("the-lantern-stairs.musicxml", "1-18", say)
    assert "'2.1'" in told
    assert "'18.1'" in told


def test_which_of_many_bars_is_this_one_is_not_guessed(read):
    say = "Where bar two opened on a flat nine, this one opens on a sharp nine."
    told = read("the-lantern-stairs.musicxml", "1-18", say)
    assert "sharp nine" not in told


def test_where_a_note_is_not_sets_no_bars_beside_each_other(read):
    say = "The flat thirteen isn't in bar seventeen, it's in bar eighteen."
    assert "fault" not in read("kettle-3.musicxml", "16-18", say)


@pytest.mark.parametrize("verb", ["gives", "just hands", "carries", "brings", "had", "will want"])
def test_a_seven_that_opens_a_sentence_is_the_chord_that_is_there(read, verb):
    told = read("kiln-weather.musicxml", "23-24", f"A seven {verb} us a flat thirteen and a sharp eleven.")
    assert "'23.2'" in told or "'23.2 23.2&'" in told
    assert "fault" not in told
    assert "lit 'seven'" not in told


def test_a_minor_and_a_flat_minor_act_as_chords(read):
    assert "'2.1'" in read("jetty.musicxml", "1-2", "A minor wants its third up front.")
    told = read("the-lantern-stairs.musicxml", "11-12", "A flat minor sinks from the ninth to the root.")
    assert "12.2" in told


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("kiln-weather", "4", "A seventh shows up on beat two."),
        ("copper", "9", "A seven lands on the downbeat."),
    ],
)
def test_a_seventh_that_stands_on_a_beat_is_a_note(read, score, bars, say):
    assert "lit 'seven" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize("say", ["A minor third gives you the color.", "A minor blues needs a flat third."])
def test_a_small_word_before_a_thing_names_no_chord(read, say):
    assert read("copper.musicxml", "1-4", say) == ""


@pytest.mark.parametrize(
    "say",
    [
        "From there it's a ladder of thirds, three, five, seven, nine, straight up the chord.",
        "It all rises in thirds, three, five, seven, nine.",
        "Everything is stacked in thirds: the third, the fifth, the seventh and the ninth.",
    ],
)
def test_thirds_that_are_told_one_by_one_are_of_the_line(read, say):
    told = read("the-lantern-stairs.musicxml", "1-2", say)
    assert "'1.1& 1.2 1.2& 1.3'" in told
    assert "lit 'thirds'" not in told


def test_fifths_of_the_chords_are_root_motion_still(read):
    assert "chords move by fifths" in read("kettle-3.musicxml", "15-18", "The chords move by fifths here.")


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("the-lantern-stairs", "20-21", "The rest of the bar is just the plain chord: root, fifth, third."),
        ("copper", "18-19", "What's left of the bar is the plain chord: root, third, fifth."),
        ("copper", "3-4", "After that it's simply ninth, root, seventh."),
        ("heron", "20-21", "The rest is plain chord notes: root, third, fifth."),
    ],
)
def test_names_of_a_row_that_is_not_there_are_not_lit_one_by_one(read, score, bars, say):
    assert read(f"{score}.musicxml", bars, say) == ""


def test_a_row_that_is_there_is_lit(read):
    told = read("kettle-3.musicxml", "2-3", "The rest of the bar is plain: root, seventh, fifth.")
    assert "2.3& 2.4 2.4&" in told


def test_a_number_by_which_something_is_back_is_a_bar(read):
    told = read("lamps.musicxml", "8-10", "By ten the tension is back: flat nine, sharp eleven.")
    assert "10.3" in told
    assert "question" not in told
