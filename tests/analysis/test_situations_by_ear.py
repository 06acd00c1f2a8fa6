"""Situations by ear (`situations_by_ear.yaml`), each in its own key and spelling and in six others."""

import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Score
from lessonmaker.theory.chord import Chord
from lessonmaker.theory.pitch import Interval, NoteName
from lessonmaker.theory.signs import in_ascii
from tests.analysis.test_situations import (
    INTERVALS,
    LEAST,
    disagreements,
    missing,
    parts_of,
    respelt,
    tied_anew,
    tune_of,
)
from tests.tools.heard_alike import FLATS, SHARPS, told, transposed

FILE = Path(__file__).with_name("situations_by_ear.yaml")
SITUATIONS: dict[str, dict[str, str]] = yaml.safe_load(FILE.read_text(encoding="utf-8"))


def those_with(key: str) -> list[str]:
    """The names of the situations that say something of a kind."""
    return [name for name, each in SITUATIONS.items() if key in each]


@pytest.mark.parametrize("name", those_with("notes"))
def test_notes_are_heard_as_a_teacher_names_them(tune, name: str) -> None:
    each = SITUATIONS[name]
    found = list(analyse(tune_of(tune, each["line"])).findings)
    assert disagreements(found, each["notes"]) == []


@pytest.mark.parametrize("name", those_with("devices"))
def test_devices_are_heard_as_a_teacher_names_them(tune, name: str) -> None:
    each = SITUATIONS[name]
    assert missing(tune_of(tune, each["line"]), each["devices"]) == []


@pytest.mark.parametrize("name", those_with("harmony"))
def test_keys_and_numerals_are_those_of_a_teacher(tune, name: str) -> None:
    found = analyse(tune_of(tune, SITUATIONS[name]["line"]))
    keys, _, numerals = SITUATIONS[name]["harmony"].partition(":")
    assert keys == "." or [in_ascii(f"{key.tonic} {key.mode}") for key in found.keys] == keys.split(", ")
    assert not numerals or [function.numeral for function in found.functions] == numerals.split()


@pytest.mark.parametrize("name", those_with("functions"))
def test_functions_are_those_of_a_teacher(tune, name: str) -> None:
    found = analyse(tune_of(tune, SITUATIONS[name]["line"])).functions
    assert ", ".join(function.function for function in found) == SITUATIONS[name]["functions"]


@pytest.mark.parametrize("name", those_with("scale"))
def test_a_scale_is_named_and_what_decides_it(tune, name: str) -> None:
    found = analyse(tune_of(tune, SITUATIONS[name]["line"]))
    scale, _, degrees = SITUATIONS[name]["scale"].partition(" / ")
    if scale.startswith("-"):
        assert scale[1:] not in {use.scale for use in found.scales}
        return
    uses = [use for use in found.scales if in_ascii(f"{use.root} {use.scale}") == scale]
    assert [use for use in uses if use.confidence >= LEAST]
    deciding = {found.by_note[note].degree for use in uses for note in use.deciding}
    assert set(degrees.split()) <= deciding


@pytest.mark.parametrize("name", those_with("proposals"))
def test_another_chord_is_proposed_or_not(tune, name: str) -> None:
    kinds = {each.kind for each in analyse(tune_of(tune, SITUATIONS[name]["line"])).proposals}
    for part in parts_of(SITUATIONS[name]["proposals"]):
        assert (part.lstrip("-") in kinds) is not part.startswith("-")


@pytest.mark.parametrize("name", those_with("phrases"))
def test_phrases_are_where_one_breathes(tune, name: str) -> None:
    score = tune_of(tune, SITUATIONS[name]["line"])
    place = {note.id: number for number, note in enumerate(score.struck)}
    found = [f"{place[each.notes[0]]}-{place[each.notes[-1]]}" for each in analyse(score).phrases]
    assert ", ".join(found) == SITUATIONS[name]["phrases"]


def roots_respelt(score: Score, names: list[str]) -> Score:
    """Every chord with its root and bass by a sharp's name, or a flat's."""

    def renamed(note: NoteName) -> NoteName:
        name = names[note.pitch_class]
        return NoteName(name[0], name.count("#") - name[1:].count("b"))

    def spelt(chord: Chord | None) -> Chord | None:
        if chord is None:
            return None
        return replace(chord, root=renamed(chord.root), bass=chord.bass and renamed(chord.bass))

    return replace(score, changes=tuple(replace(each, chord=spelt(each.chord)) for each in score.changes))


VARIANTS: dict[str, Callable[[Score, random.Random], Score]] = {
    "transposed up": lambda score, choose: transposed(score, Interval.parse(choose.choice(INTERVALS[:12]))),
    "transposed down": lambda score, choose: transposed(score, Interval.parse(choose.choice(INTERVALS[13:]))),
    "notes respelt": respelt,
    "roots in sharps": lambda score, _: roots_respelt(score, SHARPS),
    "roots in flats": lambda score, _: roots_respelt(score, FLATS),
    "ties split": tied_anew,
}


@pytest.mark.parametrize("name", SITUATIONS)
def test_a_situation_by_ear_is_heard_alike_in_six_variants(tune, name: str) -> None:
    score, choose = tune_of(tune, SITUATIONS[name]["line"]), random.Random(name)
    here = told(analyse(score))
    for variant, made in VARIANTS.items():
        assert told(analyse(made(score, choose))) == here, variant
