"""Bars grouped 3+3+2 against their beats: where they are found, and what is near them and none."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonmaker.analysis.find import find, parse_question
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Score
from lessonmaker.score.position import format_position
from lessonmaker.score.read import read_score
from tests.analysis.conftest import build
from tests.tools.heard_alike import FLATS, SHARPS
from tests.tools.written_otherwise import in_every_edition, in_every_key, spelt, tied

ONE_BAR = "A cross rhythm: the eighths of the bar are grouped 3+3+2, against the beats."
LANTERN = Path(__file__).parents[1] / "script" / "sentences" / "lantern.musicxml"
RHYTHM = "[D7] F#4q A4 C5 A4 | A4q. C5q. D5q | [Gmaj7] B4w"
FIGURE = "[G7] B3q D4 F4 D4 | B4e D5 F5 B4 D5 F5 B4 D5 | [Cmaj7] B4w"


def cross_rhythms(score: Score) -> list[Device]:
    return [device for device in analyse(score).devices if device.kind == "cross rhythm"]


@pytest.mark.parametrize(
    ("line", "metre", "groups"),
    [
        (RHYTHM, "4/4", [1, 1, 1]),
        (FIGURE, "4/4", [3, 3, 2]),
        ("[Dm7] D4q F4 A4 F4 | A4q re A4q re D5q | C5w", "4/4", [1, 1, 1]),
        ("[Dm7] D4q F4 A4 F4 | A4q. A4e~ A4q D5q | C5w", "4/4", [1, 1, 1]),
        ("[Dm7] D4q F4 A4 F4 | A5e F5 D5 A5 F5 D5 A5 F5 | G5w", "2/2", [3, 3, 2]),
        ("[Dm7] D4q F4 A4 F4 | E5e D5 C5 F5 E5 D5 G5 F5 | G5w", "4/4", [3, 3, 2]),
    ],
)
def test_a_bar_is_grouped_by_its_rhythm_or_by_a_figure(line: str, metre: str, groups: list[int]) -> None:
    score = build(line, metre)
    (found,) = cross_rhythms(score)
    assert (found.text, found.detail) == (ONE_BAR, "3+3+2")
    assert [len(group) for group in found.groups] == groups
    assert format_position(score, found.span.start) == "2.1"
    assert (found.span.start, found.span.end) == (score.bars[1].start, score.bars[1].end)


def test_bars_in_a_row_are_one_cross_rhythm() -> None:
    score = build("[D7] F#4q. A4 C5q | F#4q. A4 C5q | A4w | F#4q. A4 C5q | D4w")
    first, other = cross_rhythms(score)
    assert first.text == "A cross rhythm: the eighths of two bars are grouped 3+3+2, against the beats."
    assert len(first.groups) == 6
    assert format_position(score, other.span.start) == "4.1"


@pytest.mark.parametrize(
    ("line", "metre"),
    [
        ("[Dm7] A4q. G4e F4h | D4w", "4/4"),
        ("[Dm7] A4q. G4e~ G4h | D4w", "4/4"),
        ("[Dm7] A4q. A4e r4 A4q D5q | C5w", "4/4"),
        ("[Dm7] A4e C5q E5q C5q A4e | D4w", "4/4"),
        ("[Dm7] A4q F4q. D4q. | D4w", "4/4"),
        ("[Dm7] A4e re rq. G4e~ G4q | D4w", "4/4"),
        ("[Dm7] D4e F4 A4 C5 D4 F4 A4 C5 | D4w", "4/4"),
        ("[Dm7] D4e E4 F4 G4 A4 B4 C5 D5 | E5w", "4/4"),
        ("[Dm7] D4e F4 E4 G4 F4 A4 G4 B4 | C5w", "4/4"),
        ("[Dm7] D4e F4 A4 D4 F4 A4 F4 E4 | D4w", "4/4"),
        ("[Dm7] A4q. C5q. D5q | A4w", "3+3+2/8"),
    ],
)
def test_plain_syncopation_and_other_groups_are_not_found(line: str, metre: str) -> None:
    beats, unit = metre.split("/")
    groups = tuple(map(int, beats.split("+"))) if "+" in beats else ()
    score = build(line, f"{sum(groups) or beats}/{unit}", groups=groups)
    assert [device.detail for device in cross_rhythms(score) if device.detail == "3+3+2"] == []


@pytest.mark.parametrize(
    ("line", "details"),
    [
        ("[Dm7] D4e F4 A4 D4 F4 A4 D4 F4 | A4e D4 F4 A4 D4h | D4w", ["3"]),
        ("[F#m7] A4e C#5 E5 A4 C#5 E5 A4 C#5 | [B7] D#5 A4 C5 D#5 A4 C5 A4h", []),
        ("[Fmaj7] A4e C5 E5 A4 C5 E5 A4 C5 | [Bm7b5] D5 A4 B4 D5 A4 B4 D5q", []),
    ],
)
def test_threes_that_go_on_over_the_bar_line_are_no_bar_of_their_own(line: str, details: list[str]) -> None:
    assert [device.detail for device in cross_rhythms(build(line))] == details


@pytest.mark.parametrize("line", [RHYTHM, FIGURE])
def test_it_is_found_in_every_key_and_spelling(line: str) -> None:
    score = build(line)
    (found,) = cross_rhythms(score)
    others = [*in_every_key(score), spelt(score, FLATS), spelt(score, SHARPS)]
    assert [cross_rhythms(other) for other in others] == [[found]] * 13


def test_it_is_found_in_every_edition() -> None:
    score = read_score(LANTERN)
    found = [device for device in cross_rhythms(score) if device.detail == "3+3+2"]
    assert [format_position(score, device.span.start) for device in found] == ["21.1"]
    for printed in in_every_edition(score):
        assert [device for device in cross_rhythms(printed) if device.detail == "3+3+2"] == found


def test_it_is_found_however_it_is_tied() -> None:
    score = build(RHYTHM)
    assert cross_rhythms(tied(score)) == cross_rhythms(score)


def test_it_is_asked_for_by_its_grouping() -> None:
    score = build(RHYTHM)
    assert len(find(parse_question("cross rhythm 3+3+2"), score, analyse(score))) == 1
