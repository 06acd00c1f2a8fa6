"""Turnarounds whose dominant, or whose sixth step too, is replaced by the one a tritone away; and what is none."""

from __future__ import annotations

import pytest

from lessonmaker.analysis.model import Device
from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Score
from lessonmaker.score.position import format_span
from tests.analysis.conftest import build
from tests.analysis.test_situations import changes_of
from tests.tools.written_otherwise import in_every_key

SUBSTITUTED = [
    ("Em7 A7|Dm7 Db7|Cmaj7|Cmaj7", "III-VI-II-bII", "a chord that stands for the tonic"),
    ("Cmaj7 A7|Dm7 Db7|Cmaj7|Cmaj7", "I-VI-II-bII", "the tonic"),
    ("Cmaj7 Am7|Dm7 Db7|Cmaj7|Cmaj7", "I-VI-II-bII", "the tonic"),
    ("Em7 Eb7|Dm7 Db7|Cmaj7|Cmaj7", "III-bIII-II-bII", "a chord that stands for the tonic"),
    ("Em7 Ebm7|Dm7 Db7|Cmaj7|Cmaj7", "III-bIII-II-bII", "a chord that stands for the tonic"),
    ("Cmaj7 Eb7|Dm7 Db7|Cmaj7|Cmaj7", "I-bIII-II-bII", "the tonic"),
    ("Cmaj7 Ebdim7|Dm7 Db7|Cmaj7 Ebdim7|Dm7 Db7", "I-bIII-II-bII", "the tonic"),
    ("Cm6 Am7b5|Dm7b5 Db7|Cm6|Cm6", "I-VI-II-bII", "the tonic"),
    ("Em7 A7|Dm7 C#7|Cmaj7|Cmaj7", "III-VI-II-bII", "a chord that stands for the tonic"),
]


def turnarounds(score: Score) -> list[Device]:
    return [device for device in analyse(score).devices if device.kind == "turnaround"]


@pytest.mark.parametrize(("bars", "numerals", "start"), SUBSTITUTED)
def test_a_turnaround_may_come_home_by_a_half_step(bars: str, numerals: str, start: str) -> None:
    score = changes_of(build, bars)
    found = turnarounds(score)[0]
    assert (found.detail, format_span(score, found.span)) == (numerals, "1-2")
    text = f"A turnaround: four chords that lead from {start} round to the substitute dominant."
    assert found.text == text


@pytest.mark.parametrize(("bars", "numerals"), [turnaround[:2] for turnaround in SUBSTITUTED])
def test_it_is_the_same_in_every_key(bars: str, numerals: str) -> None:
    score = changes_of(build, bars)
    found = turnarounds(score)
    assert [turnarounds(other) for other in in_every_key(score)] == [found] * 11
    assert found[0].detail == numerals


@pytest.mark.parametrize(
    "bars",
    [
        "Em7 A7|Dm7 Dbm7|Cmaj7|Cmaj7",
        "E7 A7|D7 Db7|Cmaj7|Cmaj7",
        "Em7 A7|Dm7 D7|Gmaj7|Gmaj7",
        "Em7|Em7|A7|A7|Dm7|Dm7|Db7|Db7|Cmaj7",
        "Dm7 Db7|Cmaj7|Dm7 Db7|Cmaj7",
        "Em7 Eb7|Dm7|G7|Cmaj7",
    ],
)
def test_other_changes_by_half_steps_are_no_turnaround(bars: str) -> None:
    assert [
        device.detail for device in turnarounds(changes_of(build, bars)) if device.detail.endswith("bII")
    ] == []


BLUES = "F7|Bb7|F7|F7|Bb7|Bb7|F7|D7|Gm7|C7|F7 D7|Gm7 C7"


def test_the_last_two_bars_of_a_blues_turn_round_from_its_dominant_tonic() -> None:
    score = changes_of(build, BLUES)
    assert [(format_span(score, each.span), each.detail) for each in turnarounds(score)] == [
        ("11-12", "I-VI-II-V")
    ]


@pytest.mark.parametrize(
    ("bars", "numerals"),
    [
        ("Bb6 Bdim7|Cm7 F7|Bb6|Bb6", "I-#I-II-V"),
        ("C6 Ebdim7|Dm7 G7|C6|C6", "I-bIII-II-V"),
        ("Em7 Ebm7|Dm7 G7|C6|C6", "III-bIII-II-V"),
    ],
)
def test_a_passing_chord_may_stand_for_the_sixth_step(bars: str, numerals: str) -> None:
    score = changes_of(build, bars)
    assert [each.detail for each in turnarounds(score)] == [numerals]
    assert [turnarounds(other) for other in in_every_key(score)] == [turnarounds(score)] * 11


def test_a_major_chord_there_passes_nowhere() -> None:
    assert not turnarounds(changes_of(build, "C6 Db6|Dm7 G7|C6|C6"))
