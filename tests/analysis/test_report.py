"""The analysis as data and as a page for people."""

from __future__ import annotations

import json
from typing import Any

import pytest

from lessonmaker.analysis.report import notes_json, report_text
from lessonmaker.analysis.whole import analyse
from lessonmaker.theory.pitch import Interval
from tests.tools.heard_alike import transposed

LINE = "r F4e Ab4 | [Bb7alt] Ab4e Gb5 D5t Bb4 Cb5 Bb4h~ | Bb4q [N.C.] C5q r h"


def test_notes_as_data(tune) -> None:
    score = tune(LINE, pickup=True)
    found = notes_json(score, analyse(score))
    assert json.loads(json.dumps(found)) == found
    assert found[0] == {
        "index": 0,
        "id": "v1n0",
        "bar": 0,
        "beat": 4.0,
        "onset": -1.0,
        "pitch": 65,
        "name": "F4",
        "chord": None,
        "label": None,
        "other_readings": [],
        "role": None,
        "resolves_to": None,
    }
    assert [note["beat"] for note in found] == [4.0, 4.5, 1.0, 1.5, 2.0, 2 + 1 / 3, 2 + 2 / 3, 3.0, 2.0]
    assert [note["label"] for note in found[2:]] == ["b7", "b13", "3", "1", "b9", "1", None]
    assert {note["chord"] for note in found[2:-1]} == {"B♭7alt"}
    assert [note["index"] for note in found] == list(range(9))


def test_tied_on_notes_are_not_listed(tune) -> None:
    score = tune("[C] C5h~ h~ | C5h D5", pickup=False)
    assert [note["name"] for note in notes_json(score, analyse(score))] == ["C5", "D5"]


def test_page_shows_chords_degrees_and_roles_in_columns(tune) -> None:
    score = tune("[Cmaj7] D5q C5 B4e C5 D5 E5 | [F] A4w")
    assert report_text(score, analyse(score)) == (
        "Bar 1\n"
        "  Cmaj7  1   D5  9  tension → C5\n"
        "         2   C5  1\n"
        "         3   B4  7\n"
        "         3&  C5  1\n"
        "         4   D5  9  passing → E5\n"
        "         4&  E5  3\n"
        "\n"
        "Bar 2\n"
        "  F  1  A4  3\n"
    )


HYBRID = "[Am/F] A4q C5 E5 F#5 | [Eb/Db] F5h [F/G] A4h"


def test_a_chord_over_a_foreign_bass_is_labelled_by_both_readings(tune) -> None:
    score = tune(HYBRID)
    found = notes_json(score, analyse(score))
    assert [(note["chord"], note["label"]) for note in found] == [
        *(("Am/F", degree) for degree in ("1", "b3", "5", "6")),
        ("E♭/D♭", "9"),
        ("F/G", "9"),
    ]
    assert [note["other_readings"] for note in found] == [
        *([{"chord": "Fmaj7", "label": degree}] for degree in ("3", "5", "7", "b9")),
        [],
        [],
    ]


@pytest.mark.parametrize("interval", ["m2", "M3", "A4", "M7"])
def test_both_readings_are_the_same_in_every_key(tune, interval: str) -> None:
    score = tune(HYBRID)
    moved = transposed(score, Interval.parse(interval))
    here, there = (notes_json(each, analyse(each)) for each in (score, moved))
    assert [_labels(note) for note in here] == [_labels(note) for note in there]


def _labels(note: dict[str, Any]) -> list[object]:
    return [note["label"], *(reading["label"] for reading in note["other_readings"])]


def test_page_shows_both_readings_of_a_chord_over_a_foreign_bass(tune) -> None:
    score = tune("[Am/F] A4h C5 | [C/E] G4w | [N.C.] A4w")
    assert report_text(score, analyse(score)) == (
        "Bar 1\n"
        "  Am/F or Fmaj7  1  A4  1 or 3\n"
        "                 3  C5  ♭3 or 5\n"
        "\n"
        "Bar 2\n"
        "  C/E  1  G4  5\n"
        "\n"
        "Bar 3\n"
        "    1  A4\n"
    )


def test_triplets_are_written_as_fractions_of_the_beat(tune) -> None:
    score = tune("[C] C4t E4 G4 C5h.")
    assert "1+1/3" in report_text(score, analyse(score))
