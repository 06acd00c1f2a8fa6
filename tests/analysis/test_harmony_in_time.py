"""Which chord a note belongs to: changes, held notes, anticipations, suspensions, what the author hears."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.analysis.whole import analyse
from lessonmaker.theory.chord import chord_text, parse_chord


def labels(findings) -> list[str | None]:
    return [finding.degree for finding in findings]


def roles(findings) -> list[str | None]:
    return [finding.role for finding in findings]


def chords(findings) -> list[str]:
    return [chord_text(finding.chord) for finding in findings]


def test_an_empty_bar_keeps_the_last_chord(heard) -> None:
    found = heard("[Dm7] D4w | rw | F4w | [G7] G4w")
    assert chords(found) == ["Dm7", "Dm7", "G7"]
    assert labels(found) == ["1", "b3", "1"]


def test_no_chord_ends_the_harmony(heard) -> None:
    found = heard("[C7] C4w | [N.C.] E4w | G4w | [F] A4w")
    assert labels(found) == ["1", None, None, "3"]
    assert roles(found)[1:3] == [None, None]


def test_a_pickup_before_the_first_chord_has_no_label(heard) -> None:
    found = heard("G4e A4 | [C] C5w", pickup=True)
    assert labels(found) == [None, None, "1"]


def test_a_pickup_held_into_the_first_chord_belongs_to_it(heard) -> None:
    found = heard("r A4e~ | [F] A4h r", pickup=True)
    assert (labels(found), roles(found)) == (["3"], ["anticipation"])


def test_off_beat_tied_over_the_bar_line_is_an_anticipation(heard) -> None:
    found = heard("[Dm7] D4q F4 A4 G4e B4~ | [G7] B4q G4h.")
    assert (labels(found)[4], roles(found)[4], chords(found)[4]) == ("3", "anticipation", "G7")


def test_off_beat_held_over_the_bar_line_needs_no_tie(heard) -> None:
    found = heard("[Dm7] D4q F4 A4 C5e B4q. | [G7] G4h r")
    assert (labels(found)[4], roles(found)[4]) == ("3", "anticipation")


def test_short_stepwise_note_on_the_last_off_beat_stays(heard) -> None:
    found = heard("[Dm7] D4q F4 A4 C5e D5 | [Cmaj7] E5w")
    assert (labels(found)[4], roles(found)[4]) == ("1", "chord tone")


def test_note_on_the_last_beat_is_no_anticipation(heard) -> None:
    found = heard("[Dm7] D4h F4q C5~ | [G7] C5q B4h.")
    assert (labels(found)[2], roles(found)[2]) == ("b7", "suspension")


def test_anticipation_without_a_new_chord_is_what_it_is(heard) -> None:
    found = heard("[Dm7] D4h A4q G4e F4~ | F4q A4h.")
    assert (labels(found)[3], roles(found)[3]) == ("b3", "chord tone")


def test_anticipation_in_seven(heard) -> None:
    found = heard("[Dm7] D4h F4h A4h G4e B4~ | [G7] B4w G4h.", metre="7/4", groups=(2, 2, 3))
    assert (labels(found)[4], roles(found)[4]) == ("3", "anticipation")


def test_anticipation_in_six_eight_is_the_sixth_eighth(heard) -> None:
    found = heard("[Dm7] D4q. A4q B4e~ | [G7] B4q. r", metre="6/8")
    assert (labels(found)[2], roles(found)[2]) == ("3", "anticipation")
    early = heard("[Dm7] D4q. A4e C5q~ | [G7] C5e A4 F4 B4q.", metre="6/8")
    assert labels(early)[2] == "b7"


def test_tied_note_that_steps_to_the_new_chord_is_a_suspension(heard) -> None:
    found = heard("[Dm7] F4h C5h~ | [G7] C5q B4q G4h")
    assert (labels(found)[1], roles(found)[1], chords(found)[1]) == ("b7", "suspension", "Dm7")
    assert found[1].resolves_to == found[2].note


def test_tied_note_that_leaps_is_no_suspension(heard) -> None:
    found = heard("[Dm7] F4h C5h~ | [G7] C5q F4q G4h")
    assert (labels(found)[1], roles(found)[1]) == ("b7", "chord tone")


def test_common_tone_held_over_is_no_suspension(heard) -> None:
    found = heard("[C] E4h G4h~ | [G7] G4q F4q G4h")
    assert roles(found)[1] == "chord tone"


def test_change_inside_a_held_note_leaves_its_label(heard) -> None:
    found = heard("[Dm7] A4h. [G7] B4q", second="C5w")
    assert chords(found) == ["Dm7", "Dm7", "G7"]


def test_off_beat_before_a_change_inside_the_bar(heard) -> None:
    found = heard("[Dm7] D4q F4e B4q. [G7] r", second="")
    assert chords(found) == ["Dm7", "Dm7", "Dm7"]
    pushed = heard("[Dm7] D4q F4e B4e~ [G7] B4h")
    assert (chords(pushed)[2], labels(pushed)[2], roles(pushed)[2]) == ("G7", "3", "anticipation")
    own = heard("[Dm7] D4q F4e C5e~ [G7] C5q B4")
    assert (labels(own)[2], roles(own)[2]) == ("b7", "suspension")


def test_the_author_hears_one_chord_where_two_are_printed(heard) -> None:
    hear = ((Fraction(0), Fraction(8), parse_chord("G7alt")),)
    found = heard("[Dm7] F4q Ab4 Bb4 Db5 | [G7] Eb5w | [Cmaj7] E4w", hear)
    assert labels(found) == ["b7", "b9", "#9", "#11", "b13", "3"]
    assert chords(found)[5] == "Cmaj7"


def test_after_what_the_author_hears_the_printed_chord_returns(heard) -> None:
    hear = ((Fraction(2), Fraction(4), parse_chord("Db7")),)
    found = heard("[G7] G4h G4h | G4w", hear)
    assert chords(found) == ["G7", "D♭7", "G7"]


def test_voices_are_analysed_by_themselves(heard) -> None:
    found = heard("[Cmaj7] C5q D5e E5e G5h", second="E4w")
    by_note = {finding.note: finding for finding in found}
    assert by_note["v1n1"].resolves_to == "v1n2"
    assert by_note["v2n0"].degree == "3"


PITCHES = st.sampled_from(["C4", "Db4", "D4", "Eb4", "E4", "F4", "F#4", "G4", "Ab4", "A4", "Bb4", "B4"])
OTHER_SPELLING = {"Db": "C#", "Eb": "D#", "F#": "Gb", "Ab": "G#", "Bb": "A#"}


@given(st.lists(PITCHES, min_size=8, max_size=8), st.sampled_from(["C7", "Cmaj7", "Cm7", "C7alt", "F/G"]))
def test_findings_do_not_depend_on_spelling(tune, names: list[str], chord: str) -> None:
    respelt = [OTHER_SPELLING.get(name[:-1], name[:-1]) + name[-1] for name in names]
    one, other = (analyse(tune(f"[{chord}] " + " ".join(line))) for line in (names, respelt))
    assert one.findings == other.findings


@given(st.lists(PITCHES, min_size=8, max_size=8), st.integers(0, 7))
def test_findings_do_not_depend_on_how_a_note_is_tied(tune, names: list[str], split: int) -> None:
    whole = [f"{name}e" for name in names]
    tied = [f"{n[:-1]}s~ {n[:-1]}s" if place == split else n for place, n in enumerate(whole)]
    one, other = (analyse(tune("[Dm7] " + " ".join(line) + " | [G7] B4w")) for line in (whole, tied))
    assert [(f.degree, f.role) for f in one.findings] == [(f.degree, f.role) for f in other.findings]
