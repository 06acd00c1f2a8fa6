"""Passages of plain notes, and passages all from one scale."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonmaker.analysis.devices.passages import diatonic_passage, passages_of
from lessonmaker.analysis.model import KeyCentre
from lessonmaker.analysis.scales import scales_of
from lessonmaker.analysis.whole import etude_of
from lessonmaker.score.model import Key
from lessonmaker.score.position import Span
from lessonmaker.theory.pitch import NoteName

COLOURED = "[G7] Ab4e Bb4 Db5 Eb5 B4 Ab4 F4 Bb4"
PLAIN = "[Cmaj7] C4e D4 E4 G4 B4 A4 G4 E4"


def devices(score, kind, keys=()):
    etude = replace(etude_of(score), keys=keys)
    return [device for device in passages_of(etude, scales_of(etude)) if device.kind == kind]


def test_plain_bars_among_coloured_ones(tune):
    line = [COLOURED, COLOURED, PLAIN, PLAIN, PLAIN, PLAIN, COLOURED, COLOURED]
    (passage,) = devices(tune(" | ".join(line)), "diatonic passage")
    assert passage.span == Span(8, 24)
    assert passage.text == "Four bars with no note outside the key."
    assert len(passage.notes) == 32
    assert passage.confidence >= 0.8


def test_where_all_is_plain_it_is_no_device(tune):
    assert devices(tune(" | ".join([PLAIN] * 6)), "diatonic passage") == []


def test_a_claim_of_plain_bars_holds_wherever_it_is_true(tune):
    etude = etude_of(tune(" | ".join([PLAIN, PLAIN, COLOURED])))
    assert diatonic_passage(etude, Span(0, 8)).text == "Two bars with no note outside the key."
    assert diatonic_passage(etude, Span(4, 8)).text == "A bar with no note outside the key."
    assert diatonic_passage(etude, Span(4, 12)) is None
    assert diatonic_passage(etude, Span(12, 16)) is None


def test_plain_bars_in_a_mostly_plain_etude_need_colour_round_them(tune):
    line = [*[PLAIN] * 9, COLOURED, PLAIN, PLAIN, COLOURED, *[PLAIN] * 9]
    spans = [passage.span for passage in devices(tune(" | ".join(line)), "diatonic passage")]
    assert Span(40, 48) not in spans
    coloured = [COLOURED, COLOURED, PLAIN, PLAIN, COLOURED, *[PLAIN] * 9]
    spans = [passage.span for passage in devices(tune(" | ".join(coloured)), "diatonic passage")]
    assert Span(8, 16) in spans


def test_one_plain_bar_is_no_passage(tune):
    assert devices(tune(" | ".join([COLOURED, PLAIN, COLOURED])), "diatonic passage") == []


def test_an_empty_bar_ends_no_passage_and_begins_none(tune):
    line = [COLOURED, "r1", PLAIN, "r1", PLAIN, COLOURED, COLOURED, COLOURED]
    (passage,) = devices(tune(" | ".join(line)), "diatonic passage")
    assert passage.span == Span(8, 20)


def test_the_key_centre_wins_over_the_signature(tune):
    score = tune(" | ".join([COLOURED, COLOURED, PLAIN, PLAIN, COLOURED]))
    key = KeyCentre(Span(0, 20), NoteName("D"), "major", 0.9)
    assert devices(score, "diatonic passage", (key,)) == []


def test_a_written_signature_is_read_at_sounding_pitch(tune):
    from lessonmaker.theory.pitch import Interval

    score = tune(" | ".join([COLOURED, COLOURED, PLAIN, PLAIN, COLOURED]))
    bars = tuple(replace(bar, key=Key(2)) for bar in score.bars)
    written = replace(score, bars=bars, transposition=Interval.parse("M2"))
    assert len(devices(written, "diatonic passage")) == 1


def test_a_stretch_all_from_one_scale(tune):
    (passage,) = devices(tune("[G7] B4e Bb4 Ab4 G4 Eb5 Db5 F4 Ab4 | [Cmaj7] G4w"), "single-scale passage")
    assert passage.detail == "altered"
    assert passage.text == "Eight notes in a row, all from the altered scale."
    assert passage.span == Span(0, 4)
    assert len(passage.notes) == 8


def test_a_run_up_a_scale(tune):
    line = "[Dm7] D4e E4 F4 G4 A4 B4 C5 A4 | [G7] B4e G4 D5 F4 A4 B4 G4 D4 | [Cmaj7] C4w"
    (run,) = devices(tune(line), "single-scale passage")
    assert run.text == "A run of seven notes up the major scale, step by step."
    assert run.notes == tuple(f"v1n{place}" for place in range(7))


def test_thirds_are_no_run(tune):
    line = "[Dm7] D4e F4 A4 C5 E5 C5 A4 F4 | [G7] B3e D4 F4 A4 B4 A4 F4 D4 | [Cmaj7] C4w"
    assert devices(tune(line), "single-scale passage") == []


@pytest.mark.parametrize("line", ["r1", "[C7] r1 | r1", "[C7] C4w", "[N.C.] C4q D4 E4 F4"])
def test_scores_with_little_in_them_have_none(tune, line):
    etude = etude_of(tune(line))
    assert passages_of(etude, scales_of(etude)) == ()


def test_a_bar_whose_chord_lies_outside_the_key_is_not_plain(tune):
    borrowed = PLAIN.replace("[Cmaj7]", "[Ab7]")
    line = [COLOURED, COLOURED, PLAIN, PLAIN, borrowed, COLOURED, COLOURED]
    (passage,) = devices(tune(" | ".join(line)), "diatonic passage")
    assert passage.span == Span(8, 16)


def test_the_last_note_of_the_phrase_before_is_no_part_of_it(tune):
    line = [COLOURED, "[Cmaj7] G4h r", PLAIN, PLAIN, COLOURED, COLOURED]
    (passage,) = devices(tune(" | ".join(line)), "diatonic passage")
    assert passage.span == Span(8, 16)
