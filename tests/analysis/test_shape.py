"""Peaks, the busiest passage, rests, and the most dissonant spot."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonmaker.analysis.device_names import device_kind
from lessonmaker.analysis.devices.shape import shapes_of
from lessonmaker.analysis.model import Phrase
from lessonmaker.analysis.whole import etude_of
from lessonmaker.score.position import Span


def devices(score, kind):
    return [device for device in shapes_of(etude_of(score)) if device.kind == kind]


def test_the_highest_note_is_the_peak(tune):
    (peak,) = devices(tune("[Cmaj7] C4q E4 G4 C5 | [Am7] A4 B5 A4 E4"), "register peak")
    assert peak.notes == ("v1n5",)
    assert peak.span == Span(5, 6)
    assert peak.confidence >= 0.8
    assert peak.text == "The highest note of the etude, the ninth of the minor chord, comes only here."


def test_a_peak_reached_twice_is_two_places_less_sure(tune):
    peaks = devices(tune("[Cmaj7] C4q B5 B5 E4 | B5 A4 G4 C4"), "register peak")
    assert [peak.notes for peak in peaks] == [("v1n1", "v1n2"), ("v1n4",)]
    assert [peak.text.rpartition(": ")[2] for peak in peaks] == [
        "this is the first time.",
        "this is the second time.",
    ]
    assert all(0.5 <= peak.confidence < 0.7 for peak in peaks)


@pytest.mark.parametrize(
    "line", ["[C] C4q D4 E4 D4 | C4 D4 E4 C4", " | ".join(["[C] C4q B5 B4 C5"] * 5), "r1"]
)
def test_where_nothing_stands_out_there_is_no_peak(tune, line):
    assert devices(tune(line), "register peak") == []


def test_a_phrase_has_its_own_peak(tune):
    score = tune("[C] C4e E4 G4 C5 G4 E4 C4q | C4e G4 C5 A5 G5 E5 C5q")
    etude = etude_of(score)
    names = [note.id for note in score.struck]
    phrases = (Phrase(Span(0, 4), tuple(names[:7])), Phrase(Span(4, 8), tuple(names[7:])))
    peaks = [each for each in shapes_of(replace(etude, phrases=phrases)) if each.kind == "register peak"]
    assert [peak.notes for peak in peaks] == [("v1n3",), ("v1n10",)]
    assert peaks[0].text == "The phrase rises to its highest note here, the root of the major chord."
    assert peaks[0].confidence < 0.5 < peaks[1].confidence


def test_the_busiest_passage(tune):
    sixteenths = " ".join(["C5s D5 E5 F5"] * 4)
    score = tune(f"[C] C4q E4 G4 E4 | C4q E4 G4 E4 | {sixteenths} | C4q E4 G4 E4")
    (busy,) = devices(score, "density")
    assert len(busy.notes) == 16
    assert busy.span == Span(8, 12)
    assert busy.text == "The busiest passage: sixteen notes in a bar's time, against about seven on average."
    assert busy.confidence >= 0.7


def test_an_even_line_has_no_busiest_passage(tune):
    assert devices(tune(" | ".join(["[C] C4e D4 E4 F4 G4 A4 B4 C5"] * 6)), "density") == []


def test_the_longest_rest_stands_out(tune):
    spaces = devices(tune("[C] C4q E4 G4 E4 | C4h r | r | C4h r | C4w"), "space")
    assert [space.span for space in spaces] == [Span(6, 12), Span(14, 16)]
    assert [space.text for space in spaces] == [
        "Six beats of rest, the longest of the etude.",
        "Two beats of rest.",
    ]
    assert spaces[0].confidence > spaces[1].confidence
    assert all(space.notes == () for space in spaces)


def test_a_rest_after_a_phrase_says_so(tune):
    score = tune("[C] C4q E4 G4 E4 | C4h r | r | C4h E4")
    names = [note.id for note in score.struck]
    phrases = (Phrase(Span(0, 6), tuple(names[:5])), Phrase(Span(12, 16), tuple(names[5:])))
    found = shapes_of(replace(etude_of(score), phrases=phrases))
    (text,) = [device.text for device in found if device.kind == "space"]
    assert text == "Six beats of rest between two phrases, the longest of the etude."


def test_a_short_breath_is_found_but_not_worth_saying(tune):
    spaces = devices(tune("[C] C4q. re C4q E4 | C4q r E4 G4"), "space")
    assert [space.text for space in spaces] == ["Half a beat of rest.", "One beat of rest."]
    assert all(0.3 <= space.confidence < 0.5 for space in spaces)


def test_rests_are_counted_in_felt_beats(tune):
    (space,) = devices(tune("[C] C4q. r | C4q. E4", metre="6/8"), "space")
    assert space.text == "One beat of rest, the longest of the etude."
    (uneven,) = devices(tune("[C] C4h re rq | C4h E4q.", metre="7/8"), "space")
    assert uneven.text == "Three eighths of rest, the longest of the etude."


def test_the_most_dissonant_spot(tune):
    (spot,) = devices(
        tune("[Dm7] D4e F4 A4 C5 E5q D5q | [G7] Ab4q. Bb4e Ab4q G4q | [Cmaj7] E4w"), "most dissonant spot"
    )
    assert spot.notes == ("v1n6", "v1n7")
    assert spot.text == (
        "The flat nine and the sharp nine rub against the dominant more than anything else in the etude."
    )
    assert spot.confidence >= 0.7


def test_chord_tones_rub_nowhere(tune):
    assert devices(tune("[C] C4q E4 G4 C5 | [G7] B4 D5 F5 G5"), "most dissonant spot") == []


def test_the_kinds_are_known_by_name(tune):
    line = "[Dm7] D4e F4 A4 C5 E5q D5q | [G7] Ab4q. Bb4e Ab4q G4q | r | [Cmaj7] E4s F4 G4 A4 B4 C5 D5 E5 G5h"
    kinds = {device.kind for device in shapes_of(etude_of(tune(line)))}
    assert kinds == {"register peak", "space", "density", "most dissonant spot"}
    assert all(device_kind(kind) == kind for kind in kinds)
