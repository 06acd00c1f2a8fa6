"""The scale a passage uses: the situations of the trade (common practice, no source)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonmaker.analysis.model import KeyCentre
from lessonmaker.analysis.scales import parts_in_scale, scale_fits, scale_of, scales_of
from lessonmaker.analysis.whole import etude_of
from lessonmaker.analysis.words import number_words
from lessonmaker.score.position import Span, parse_span
from lessonmaker.theory.pitch import NoteName

TWO_FIVE_ONE = "[Dm7] D4e E4 F4 G4 A4 B4 C5 D5 | [G7] B4e A4 G4 F4 E4 D4 C4 B3 | [Cmaj7] C4e D4 E4 G4 E4h"
ALTERED = "[G7] B4e Bb4 Ab4 G4 Eb5 Db5 F4 Ab4 | [Cmaj7] G4w"

# line, then root, scale, and the degrees that decide it, of its one passage
SITUATIONS = {
    "a diatonic two five one is major": (TWO_FIVE_ONE, "C", "major", {"b3", "b7", "13", "3"}),
    "altered": (ALTERED, "G", "altered", {"b9", "#9", "#11", "b13"}),
    "half-whole has sharp nine with thirteen": (
        "[G7] G4e Ab4 Bb4 B4 C#5 D5 E5 F5 | [Cmaj7] E5w",
        "G",
        "half-whole diminished",
        {"b9", "#9", "#11", "13"},
    ),
    "whole tone has nine with flat thirteen": (
        "[G7] G4e A4 B4 C#5 D#5 F5 G5 D#5 | [Cmaj7] E5w",
        "G",
        "whole tone",
        {"9", "#11", "b13"},
    ),
    "lydian dominant": ("[G7] G4e A4 B4 C#5 D5 E5 F5 D5 | [Cmaj7] E5w", "G", "lydian dominant", {"#11"}),
    "mixolydian flat six": ("[G7] G4e A4 B4 C5 D5 Eb5 F5 D5 | [Cm] C5w", "G", "mixolydian b6", {"b13"}),
    "phrygian dominant": (
        "[G7] G4e Ab4 B4 C5 D5 Eb5 F5 D5 | [Cm7] Eb5w",
        "G",
        "phrygian dominant",
        {"b9", "b13"},
    ),
    "bebop dominant by its eighth note": (
        "[G7] G5e F#5 F5 E5 D5 C5 B4 A4 | [Cmaj7] G4w",
        "G",
        "bebop dominant",
        {"7"},
    ),
    "bebop major": ("[C6] C5e B4 A4 Ab4 G4 F4 E4 D4 | C4w", "C", "bebop major", {"#5"}),
    "bebop dorian": ("[Dm7] D5e C5 B4 A4 G4 F#4 F4 E4 | D4w", "D", "bebop dorian", {"3"}),
    "one bebop scale over two and five": (
        "[Dm7] D4e E4 F4 A4 C5 B4 A4 F4 | [G7] G5e F#5 F5 E5 D5 C5 B4 A4 | [Cmaj7] G4w",
        "G",
        "bebop dominant",
        {"b3", "b7", "7"},
    ),
    "blues over a minor chord, the blue note in passing": (
        "[Cm7] C5e Eb5 F5 Gb5 G5 Bb5 G5 F5 | Eb5e F5 Gb5 F5 Eb5 C5 Eb5q",
        "C",
        "blues",
        {"#11"},
    ),
    "half a bar of altered colours": (
        "[Dm7] D4e F4 A4 C5 [G7] Bb4 Ab4 F4 Eb4 | [Cmaj7] D4w",
        "G",
        "altered",
        {"b9", "#9", "b13"},
    ),
    "minor blues": ("[Cm7] C4e Eb4 F4 Gb4 G4 Bb4 C5 Bb4 | G4 Gb4 F4 Eb4 C4h", "C", "blues", {"#11"}),
    "dorian by the sixth": ("[Dm7] D4e E4 F4 G4 A4 B4 C5 A4 | B4q C5q A4h", "D", "dorian", {"13"}),
    "one sixth is enough": ("[Am7] A4e B4 C5 E5 F#5 E5 C5 B4 | A4w", "A", "dorian", {"13"}),
    "aeolian by the flat sixth": ("[Dm7] D4e E4 F4 G4 A4 Bb4 C5 A4 | Bb4q C5q A4h", "D", "aeolian", {"b13"}),
    "phrygian": ("[Dm7] D4e Eb4 F4 G4 A4 Bb4 C5 A4 | Eb4q F4q A4h", "D", "phrygian", {"b9", "b13"}),
    "melodic minor": ("[Cm6] C4e D4 Eb4 F4 G4 A4 B4 G4 | Eb4w", "C", "melodic minor", {"7"}),
    "lydian": ("[Cmaj7] C4e D4 E4 F#4 G4 A4 B4 G4 | F#4q E4q G4h", "C", "lydian", {"#11"}),
    "lydian augmented": ("[Cmaj7#5] C4e D4 E4 F#4 G#4 A4 B4 G#4 | E4w", "C", "lydian augmented", {"#11"}),
    "half-diminished with a natural nine": (
        "[Dm7b5] D4e E4 F4 G4 Ab4 Bb4 C5 Ab4 | E4q F4q Ab4h",
        "D",
        "locrian natural 2",
        {"9"},
    ),
    "whole-half over a diminished chord": (
        "[Bdim7] B3e C#4 D4 E4 F4 G4 Ab4 Bb4 | B4w",
        "B",
        "whole-half diminished",
        {"9", "7"},
    ),
    "major pentatonic": (
        "[Cmaj7] C4e D4 E4 G4 A4 C5 A4 G4 | E4 D4 C4 A3 G3 A3 C4q",
        "C",
        "major pentatonic",
        {"9"},
    ),
    "one blues scale over two dominants": (
        "[C7] C5e Bb4 G4 Gb4 F4 Eb4 C4 Eb4 | C5e Bb4 G4 Gb4 F4 Eb4 C4q | [F7] C5e Bb4 G4 Gb4 F4 Eb4 C4 Eb4",
        "C",
        "blues",
        {"#11", "5", "b9", "9"},
    ),
    "a minor two five one is harmonic minor": (
        "[Bm7b5] D5e B4 A4 F4 E4 D4 C4 B3 | [E7b9] G#3e B3 D4 F4 E4 D4 B3 G#3 | [Am] A3e B3 C4 E4 A4h",
        "A",
        "harmonic minor",
        {"3"},
    ),
}


@pytest.mark.parametrize(("line", "root", "scale", "deciding"), SITUATIONS.values(), ids=SITUATIONS)
def test_situations(tune, line, root, scale, deciding):
    etude = etude_of(tune(line))
    (use,) = scales_of(etude)
    assert (str(use.root), use.scale) == (root, scale)
    assert use.confidence >= 0.7
    assert {etude.finding[name].degree for name in use.deciding} == deciding
    assert set(use.deciding) <= set(use.notes)
    assert use.outside == ()


def test_chromatic_passing_and_approach_notes_do_not_count_against_a_scale(tune):
    etude = etude_of(tune("[Dm7] D4e E4 F4 F#4 G4 G#4 A4 B4 | C5 B4 Bb4 A4 F4 E4 D4q"))
    (use,) = scales_of(etude)
    assert use.scale == "dorian"
    assert [etude.finding[name].degree for name in use.outside] == ["3", "#11", "b13"]
    assert use.text.endswith("three notes in passing lie outside.")


def test_a_note_that_is_struck_again_over_the_next_chord_decides_no_scale_of_the_old_one(tune):
    line = "[Dm7] D5e C5 A4 F4 E4q. Ab4e | [Db7] Ab4e F4 Db5 B4 Ab4q G4 | [Cmaj7] G4e E4 C5 B4 G4h"
    etude = etude_of(tune(line))
    early = etude.heard[5]
    assert (early.chord.root.pitch_class, early.degree) == (1, "5")
    over_the_old = [name for use in scales_of(etude) for name in use.notes if use.span.start < 3]
    assert early.note.id not in over_the_old


def test_each_dominant_has_its_own_scale(tune):
    line = f"{TWO_FIVE_ONE} | [Dm7] D4e E4 F4 A4 C5 B4 A4 F4 | {ALTERED}"
    found = [(use.scale, use.span) for use in scales_of(etude_of(tune(line)))]
    assert [scale for scale, _ in found] == ["major", "altered"]
    assert found[1][1] == Span(16, 20)


@pytest.mark.parametrize(
    "line",
    [
        "[Dm7] D4e F4 A4 D5 A4 F4 D4q",
        "[G7] G4h B4h",
        "[C] r1",
        "r1",
        "[N.C.] C4e E4 G4 C5 G4 E4 C4q",
        "[C7] C4w",
    ],
)
def test_an_arpeggio_or_nothing_decides_nothing(tune, line):
    assert scales_of(etude_of(tune(line))) == ()


@pytest.mark.parametrize(
    "line",
    {
        "nine, third, seventh of a diminished chord fit two scales": "[G7] Ab4e B4 D5 F5 Ab5 F5 D5 B4 | [Cmaj7] C5w",
        "a slip to the side and back": "[Dm7] D4e E4 F4 G4 Eb4 F4 Gb4 Ab4 | D4e E4 F4 A4 D5h",
        "half steps all the way": "[C7] C4e C#4 D4 Eb4 E4 F4 F#4 G4 | G#4 A4 Bb4 B4 C5h",
        "half-whole, but for a flat thirteen in the thirteenth's place": "[C7] C4e Db4 Eb4 E4 Gb4 G4 Ab4 Bb4",
        "whole tone, but for a natural five": "[C7#5] C4e D4 E4 F#4 G4 G#4 Bb4 C5",
        "a triad, then a diminished chord": "[F] A4q C5e F5 [Abdim7] D5e Ab4 F4q | [Gm7] G4w",
    }.values(),
)
def test_what_no_one_scale_explains_is_not_worth_saying(tune, line):
    assert all(use.confidence < 0.5 for use in scales_of(etude_of(tune(line))))


def test_a_bebop_scale_is_heard_only_where_a_run_has_its_added_note(tune):
    line = "[C7] E5e Eb5 C5 Bb4 G4 Bb4 C5q | [F7] A4e C5 Eb5 F5 Eb5 C5 A4q"
    assert scales_of(etude_of(tune(line))) == ()


def test_without_the_sixth_a_minor_chord_is_left_open(tune):
    etude = etude_of(tune("[Dm7] D4e E4 F4 G4 A4 C5 A4 G4 | F4 E4 D4 C4 A3 C4 D4q"))
    assert all(use.confidence < 0.5 for use in scales_of(etude))


def test_the_key_decides_between_equals(tune):
    etude = etude_of(tune("[Dm7] D4e E4 F4 G4 A4 C5 A4 G4 | F4 E4 D4 C4 A3 C4 D4q"))
    for tonic, scale in (("C", "dorian"), ("F", "aeolian")):
        key = KeyCentre(Span(0, 8), NoteName(tonic), "major", 1.0)
        assert scale_of(replace(etude, keys=(key,)), Span(0, 8)).scale == scale


def test_a_line_without_chords_has_a_scale(tune):
    (use,) = scales_of(etude_of(tune("D4e E4 F4 G4 A4 B4 C5 D5 | B4e A4 G4 F4 E4 D4 C4 B3")))
    assert (str(use.root), use.scale) == ("C", "major")
    assert use.text == "The line keeps to the major scale: its fourth and its seventh decide it."


def test_one_scale_over_several_chords_says_so(tune):
    (use,) = scales_of(etude_of(tune(TWO_FIVE_ONE)))
    assert use.text == "One major scale serves all three chords: its fourth and its seventh decide it."
    assert use.used == ("1", "9", "3", "4", "5", "13", "7")


def test_a_scale_over_one_chord_names_what_decides(tune):
    (use,) = scales_of(etude_of(tune(ALTERED)))
    assert use.text == (
        "Over the dominant the line uses the altered scale: "
        "the flat nine, the sharp nine, the sharp eleven and the flat thirteen decide it."
    )
    assert use.used == ("1", "b9", "#9", "3", "#11", "b13", "b7")


# Claims ----------------------------------------------------------------------------------------------------


def claim(score, where, name, root=None):
    return scale_fits(etude_of(score), parse_span(score, where), name, root)


@pytest.mark.parametrize(
    ("line", "where", "name"),
    [
        (ALTERED, "1", "altered"),
        (ALTERED, "1", "super locrian"),
        (ALTERED, "1", "melodic minor"),
        (TWO_FIVE_ONE, "1-3", "major"),
        (TWO_FIVE_ONE, "1", "dorian"),
        (SITUATIONS["half-whole has sharp nine with thirteen"][0], "1", "diminished"),
        (SITUATIONS["one blues scale over two dominants"][0], "1-3", "blues"),
        (SITUATIONS["bebop dominant by its eighth note"][0], "1", "bebop"),
        ("[C7] C4e C#4 D4 Eb4 E4 F4 F#4 G4", "1", "chromatic"),
    ],
)
def test_a_true_claim(tune, line, where, name):
    verdict = claim(tune(line), where, name)
    assert verdict.verdict == "true"
    assert verdict.contradicting == ()
    assert verdict.nearest is verdict.use


def test_a_claim_about_hundreds_of_notes_is_judged(tune):
    plain = " | ".join(["[Cmaj7] D4e F4 G4 A4 B4 D5 A4 G4"] * 80)
    verdict = claim(tune(plain), "all", "altered")
    assert verdict.verdict == "false"
    assert len(verdict.contradicting) >= 560  # all but a note in each bar, which may lead in


def test_a_claim_is_undecided_where_another_scale_fits_as_well(tune):
    verdict = claim(tune("[Dm7] D4e E4 F4 G4 A4 C5 A4 G4"), "1", "dorian")
    assert verdict.verdict == "undecided"
    assert "aeolian" in [other.scale for other in verdict.others]
    assert verdict.text.startswith("every note fits the dorian scale, but ")


def test_a_false_claim_says_which_notes_contradict_it_and_what_is_there(tune):
    score = tune(ALTERED)
    verdict = claim(score, "1", "lydian dominant")
    assert verdict.verdict == "false"
    degrees = [etude_of(score).finding[name].degree for name in verdict.contradicting]
    assert degrees == ["#9", "b9", "b13", "b9"]
    assert verdict.text == "the lydian dominant scale has no sharp nine and no flat nine and no flat thirteen"
    assert (verdict.nearest.scale, str(verdict.nearest.root)) == ("altered", "G")


def test_the_nearest_true_claim_is_the_same_scale_over_one_chord(tune):
    score = tune(f"{TWO_FIVE_ONE} | {ALTERED}")
    verdict = claim(score, "2-4", "altered")
    assert verdict.verdict == "false"
    assert (verdict.nearest.scale, verdict.nearest.span) == ("altered", Span(12, 16))
    assert verdict.text == f"{number_words(len(verdict.contradicting))} notes lie outside the altered scale"
    degrees = {note.sounding.step for note in score.struck if note.id in verdict.contradicting}
    assert degrees == {"A", "E", "D", "C"}


def test_a_scale_that_lacks_a_tone_of_the_chord_is_false(tune):
    verdict = claim(tune("[Cmaj7] C4e D4 G4 A4 D4 C4 G4 A4"), "1", "mixolydian")
    assert verdict.verdict == "false"
    assert verdict.text == "the mixolydian scale lacks the major seventh of the chord"


def test_a_scale_nothing_asks_for_is_false(tune):
    verdict = claim(tune("[G7] G4e A4 B4 C5 D5 E5 F5 D5 | B4e A4 G4 F4 E4 D4 C4 B3"), "1-2", "bebop dominant")
    assert verdict.verdict == "false"
    assert verdict.text.startswith(
        "nothing in the line asks for the bebop dominant scale: it fits the mixolydian"
    )


def test_half_steps_alone_are_chromatic(tune):
    verdict = claim(tune("[C7] C4e C#4 D4 Eb4 G4 F4 E4 C4"), "1", "chromatic")
    assert (verdict.verdict, verdict.text) == ("false", "no five notes in a row move by half step")


def test_the_root_may_be_said(tune):
    score = tune(TWO_FIVE_ONE)
    assert claim(score, "1", "dorian", NoteName("D")).verdict == "true"
    assert claim(score, "1", "dorian", NoteName("E")).verdict == "false"


def test_the_parts_of_a_span_in_a_scale_are_found(tune):
    score = tune(f"{TWO_FIVE_ONE} | {ALTERED}")
    (part,) = parts_in_scale(etude_of(score), parse_span(score, "all"), "altered")
    assert part.use.span == Span(12, 16)


def test_an_undecided_claim_has_a_nearest_one_too(tune):
    verdict = claim(
        tune("[Dm7] D4e E4 F4 G4 A4 C5 A4 G4 | [Cmaj7] C4e D4 E4 F#4 G4 A4 B4 G4"), "1-2", "dorian"
    )
    assert (verdict.verdict, verdict.nearest.scale) == ("false", "lydian")


def test_a_name_of_no_scale_is_refused_with_the_nearest(tune):
    with pytest.raises(ValueError, match=r"'mixolydien' is no scale: did you mean .*mixolydian"):
        claim(tune(ALTERED), "1", "mixolydien")


def test_a_span_without_notes_has_no_verdict(tune):
    assert claim(tune("[C7] C4w | r1"), "2", "mixolydian") is None


# With the key known ----------------------------------------------------------------------------------------


def in_key(score, tonic, mode):
    etude = etude_of(score)
    return replace(etude, keys=(KeyCentre(Span(0, score.bars[-1].end), NoteName(tonic), mode, 1.0),))


def test_over_several_chords_of_a_minor_key_the_scale_is_natural_minor(tune):
    line = "[Cm7] C4e D4 Eb4 F4 G4 Ab4 Bb4 C5 | [Fm7] Ab4e G4 F4 Eb4 C4 Bb3 Ab3 C4 | [Cm7] Eb4e D4 C4 Bb3 C4h"
    (use,) = scales_of(in_key(tune(line), "C", "minor"))
    assert (str(use.root), use.scale) == ("C", "aeolian")
    assert use.text == (
        "One natural minor scale serves all three chords: its second and its flat sixth decide it."
    )


def test_a_first_chord_of_the_key_is_not_drawn_into_a_foreign_scale(tune):
    line = "[Dm7] F4e A4 D5 A4 C5 A4 F4 D4 | [Ebmaj7] A4e Bb4 D5 F5 G4 C5 Bb4 A4 | G4 F4 Eb4 D4 G4h"
    uses = [use for use in scales_of(in_key(tune(line), "D", "minor")) if use.confidence >= 0.5]
    assert [(str(use.root), use.scale, use.span) for use in uses] == [("E♭", "lydian", Span(4, 12))]


def test_a_chord_that_contradicts_the_scale_round_it_is_cut_out(tune):
    line = "[Dm7] D4e E4 F4 G4 A4 B4 C5 D5 | [G7] Ab5e F5 D5 B4 Ab4q F4q | [Cmaj7] C4e D4 E4 F4 G4 A4 B4 G4"
    uses = scales_of(in_key(tune(line), "C", "major"))
    assert all(use.outside == () for use in uses)
    assert {use.scale for use in uses if use.confidence >= 0.5} <= {"dorian", "major"}
