"""Notes, chords and places that are told by what stands beside them are lit where they are so, and else false."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("heron", "9-10", "The flat nine of C sharp becomes the flat thirteen of F sharp.", "'10.1'"),
        ("copper", "8", "The flat seven of C minor is the fourth of F.", "lit 'fourth' ('b7@8.2&'"),
        (
            "kettle",
            "9-10",
            "The F belongs to both, the flat seven of the one, the ninth of the other.",
            "9.3",
        ),
        ("jetty", "6", "Three to flat nine, back to the root.", "'6.3'"),
        (
            "kettle",
            "5",
            "Bar five boxes in the third, the eleventh above and the sharp nine below it.",
            "'5.2'",
        ),
        ("kettle", "5", "The third gets wrapped by its neighbours.", "'5.1 5.1& 5.2'"),
        ("tram", "7", "The nine sits between two sharp elevens.", "'7.2& 7.3&'"),
        ("copper", "2", "The seventh in bar two comes between one and five.", "'2.2&'"),
        ("jetty", "10", "The tenth bar kicks off with everybody on the downbeat.", "'10.1'"),
        ("copper", "4-5", "The A flat seven falls a half step to the next chord.", "('4-5'"),
        ("copper", "4-5", "From A flat seven we sink a half step to the tonic.", "('4-5'"),
        (
            "jetty",
            "5-8",
            "A bar of Em7, a bar of A7, half a bar of Dm7 and half a bar of G7.",
            "'7.3 to 7.4'",
        ),
        (
            "kettle",
            "13-14",
            "I arpeggiate from the third to the seventh in bar fourteen.",
            "'14.2 14.2& 14.3'",
        ),
        ("lanterns", "11-12", "We land on the flat nine in the second last bar.", "11.2&"),
    ],
)
def test_notes_and_chords_by_what_stands_beside_them(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        (
            "copper",
            "4-5",
            "The A flat seven goes up a fifth to the next chord.",
            "a flat seven goes up a fifth",
        ),
        (
            "kettle",
            "14-15",
            "He arpeggiates from the root up to the fifth in bar fifteen.",
            "arpeggiates from the root",
        ),
        ("jetty", "9-10", "Look, the D minor chord here is borrowed.", "d minor"),
        ("jetty", "5-8", "Em7 lasts two bars.", "em7 lasts two bars"),
    ],
)
def test_what_chords_do_and_arpeggios_reach_is_false_where_it_is_not_so(read, score, bars, say, fault):
    assert f"fault '{fault}" in read(f"{score}.musicxml", bars, say)


def test_what_each_chord_of_a_kind_has_is_lit_in_each(read):
    found = read("copper.musicxml", "6-8", "On the dominants you get the third.")
    assert "'6.3 8.3'" in found


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("kettle", "10", "The bar opens and closes with a third.", "lit 'third' ('3,3@10'"),
        ("kettle", "13", "The bar starts and ends on the thirteenth.", "fault 'thirteenth' ('5@13.1'"),
        (
            "jetty",
            "4",
            "The E keeps bouncing back, once on the downbeat and once on the and of two.",
            "'4.1 4.2&'",
        ),
        ("jetty", "3", "G and E wrap themselves around the F.", "'3.1 3.1& 3.2'"),
        ("jetty", "9", "Bar nine outlines Bm7b5.", "'9.2 9.2& 9.3 9.4'"),
        ("jetty", "9", "There's a Dm arpeggio in bar nine.", "'9.2& 9.3 9.4'"),
        ("heron", "8", "A major seventh held for the entire bar.", "lit 'major seventh' ('7@8.1'"),
    ],
)
def test_both_ends_typed_chords_and_notes_that_come_back(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("jetty", "1-4", "Not one diminished chord in these four bars."),
        ("copper", "4", "I found the sharp eleven too sour."),
    ],
)
def test_what_is_rightly_denied_or_was_not_kept_is_nothing(read, score, bars, say):
    assert read(f"{score}.musicxml", bars, say) == ""


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "kettle",
            "4",
            "Cm7 gets its third and its fifth, F7 gets the flat nine, the seventh, the fifth and the third.",
            "lit 'fifth' ('5@4.4', '4.4') lit 'third' ('3@4.4&', '4.4&')",
        ),
        ("tram", "8", "The dominant only gets one note, its third.", "lit 'third' ('3@8.3'"),
        (
            "heron",
            "5-6",
            "The F sharp in bar five leads to the G on the downbeat of six.",
            "lit 'g' ('b7@6.1'",
        ),
    ],
)
def test_each_chord_has_what_is_said_after_it(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("copper", "10", "The whole bar is made of three notes that keep changing places."),
        ("kettle", "22", "The only two notes that aren't altered are the root and the seventh."),
        ("kettle", "20", "E frames the G."),
        ("tram", "9-12", "A flat, D flat, G, C: the roots move in fourths."),
    ],
)
def test_counts_of_some_notes_and_roots_in_a_row_are_never_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


def test_a_row_in_the_first_bar_of_a_score_is_looked_for_from_its_first_note(read):
    found = read("elevator.musicxml", "1-2", "The third, the root, and the fifth of C in bar one.")
    assert found == "fault 'third, the root, and the fifth' ('3,1,5@1', 'None to None')"


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("copper", "8-9", "C minor, F seven, and then B minor instead of B flat.", "('9'"),
        ("heron", "1-3", "The F sharp of bar one returns in bar three.", "'3.1'"),
        ("thistle", "7", "We end on the root, the first long note since bar one.", "'7.4'"),
        ("tram", "9-10", "The rhythm of these two bars is identical.", "('9-10'"),
    ],
)
def test_what_comes_instead_comes_back_or_is_alike(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told
