"""The demo's scores as music21 reads them: bars add up, and every device is where this table says.

| device | Gaslight Errand, bar | The Tin Heron, bar |
|---|---|---|
| dominant b9, #9, b13 | 4, 6, 6 | 3, 10, 16, 22, 24 |
| dominant 9, #11, 13 | 37 | 12 |
| #11 on major | 2, 10, 17, 19, 43 | 2, 5, 14, 19 |
| #5 on major | 25 | |
| a ii-V heard as one altered dominant | 23-24 | |
| the tritone substitute's triad | 8 | 16 |
| enclosure | 14-15, 24-25 | |
| sequence through the changes | 21-22 | |
| cross rhythm of 2 + 3 eighths | 37-38 | |
| oblique motion under a held top note | 40 | 19 |
| wide leaps | 27 | |
| purely diatonic passage | 33-36 | 13-14 |
| landing notes | 7, 15, 32, 44 | |
| slash chord | 13 | 18 |
| anticipation | 12-13 | |
| triplets | 11, 29 | 15 |
"""

from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

import music21
import pytest

MEDIA = Path(__file__).parents[2] / "media"
SWING, SEVEN = "gaslight-errand", "the-tin-heron"


@dataclass(frozen=True)
class Fact:
    """One notehead: beat from 1, name with octave (flats as b), staff place, length, chord."""

    bar: int
    beat: float
    name: str
    midi: int
    step: int
    quarters: float
    tie: str | None
    chord: "music21.harmony.Harmony | None"

    @property
    def above_root(self) -> int:
        assert self.chord is not None
        return (self.midi - self.chord.root().pitchClass) % 12


@cache
def measures(etude: str) -> list[music21.stream.Measure]:
    part = music21.converter.parse(MEDIA / f"{etude}.musicxml").parts[0]
    return list(part.getElementsByClass(music21.stream.Measure))


@cache
def facts(etude: str) -> list[Fact]:
    found, chord = [], None
    for measure in measures(etude):
        first = (
            measure.barDuration.quarterLength - measure.duration.quarterLength + 1
            if measure.number == 0
            else 1
        )
        for element in measure.flatten().getElementsByClass(["Harmony", "Note"]):
            if isinstance(element, music21.harmony.Harmony):
                chord = element
            else:
                found.append(_fact(measure.number, first, element, chord))
    return found


def _fact(bar: int, first: float, note: music21.note.Note, chord: "music21.harmony.Harmony | None") -> Fact:
    pitch = note.pitch
    tie = note.tie.type if note.tie else None
    name = pitch.nameWithOctave.replace("-", "b")
    return Fact(
        bar,
        float(note.offset + first),
        name,
        pitch.midi,
        pitch.diatonicNoteNum,
        float(note.quarterLength),
        tie,
        chord,
    )


def between(etude: str, first: int, last: int) -> list[Fact]:
    found = [fact for fact in facts(etude) if first <= fact.bar <= last]
    assert found, f"no notes in bars {first} to {last}"
    return found


def note_at(etude: str, bar: int, beat: float) -> Fact:
    (found,) = [fact for fact in facts(etude) if fact.bar == bar and fact.beat == pytest.approx(beat)]
    return found


@pytest.mark.parametrize(("etude", "quarters", "last", "struck"), [(SWING, 4, 44, 275), (SEVEN, 7, 26, 215)])
def test_bars_add_up_and_are_numbered_as_printed(etude: str, quarters: int, last: int, struck: int) -> None:
    full = [measure for measure in measures(etude) if measure.number > 0]
    assert [measure.number for measure in full] == list(range(1, last + 1))
    assert {measure.duration.quarterLength for measure in full} == {quarters}
    assert len([fact for fact in facts(etude) if fact.tie not in ("stop", "continue")]) == struck


def test_the_swing_etude_has_a_pickup_of_three_eighths() -> None:
    pickup = measures(SWING)[0]
    assert (pickup.number, pickup.duration.quarterLength) == (0, 1.5)
    assert [(fact.name, fact.beat) for fact in between(SWING, 0, 0)] == [("C4", 3.5), ("F4", 4), ("G4", 4.5)]


@pytest.mark.parametrize(
    ("etude", "marks"),
    [(SWING, {1: "A", 9: "B", 17: "C", 25: "D", 33: "E"}), (SEVEN, {1: "A", 11: "B", 19: "C"})],
)
def test_rehearsal_marks(etude: str, marks: dict[int, str]) -> None:
    marked = [(m.number, mark) for m in measures(etude) for mark in m.getElementsByClass("RehearsalMark")]
    assert {number: mark.content for number, mark in marked} == marks


def test_the_seven_four_etude_repeats_with_two_endings() -> None:
    part = music21.converter.parse(MEDIA / f"{SEVEN}.musicxml").parts[0]
    played = [m.number for m in part.expandRepeats().getElementsByClass(music21.stream.Measure)]
    assert [int(number) for number in played] == [*range(1, 9), *range(1, 7), *range(9, 27)]


# device: (etude, bar, beat, note, chord root, semitones above the root)
TENSIONS = {
    "b9 on a dominant": (SWING, 4, 3.5, "Db5", "C", 1),
    "9 on a dominant": (SEVEN, 12, 1.5, "D5", "C", 2),
    "#9 on a dominant": (SWING, 6, 1.5, "F5", "D", 3),
    "#11 on a dominant": (SEVEN, 12, 2, "F#5", "C", 6),
    "b13 on a dominant": (SWING, 6, 3, "Bb4", "D", 8),
    "13 on a dominant": (SEVEN, 12, 1, "A4", "C", 9),
    "b9 on a dominant, in seven": (SEVEN, 3, 7, "Bb4", "A", 1),
    "#9 on a dominant, in seven": (SEVEN, 22, 1.5, "Eb5", "C", 3),
    "b13 on a dominant, in seven": (SEVEN, 24, 6, "F5", "A", 8),
    "9 on a dominant, in four": (SWING, 37, 1.5, "C5", "Bb", 2),
    "#11 on a dominant, in four": (SWING, 37, 2, "E5", "Bb", 6),
    "13 on a dominant, in four": (SWING, 37, 1, "G4", "Bb", 9),
    "#11 on major, held": (SWING, 2, 1, "G4", "Db", 6),
    "#11 on major, in the bridge": (SWING, 17, 3, "E5", "Bb", 6),
    "#11 on major, in seven": (SEVEN, 5, 1, "A4", "Eb", 6),
    "#5 on major": (SWING, 25, 3, "C#5", "F", 8),
    "anticipation": (SWING, 13, 1, "A4", "F", 4),
    "landing on the fifth": (SWING, 7, 1, "D4", "G", 7),
    "landing on the third": (SWING, 15, 1, "A4", "F", 4),
    "landing on the ninth": (SWING, 32, 1, "G5", "F", 2),
    "last landing, on the ninth": (SWING, 44, 1, "G5", "F", 2),
}


@pytest.mark.parametrize("device", TENSIONS)
def test_a_note_stands_against_its_chord_as_the_table_says(device: str) -> None:
    etude, bar, beat, name, root, semitones = TENSIONS[device]
    fact = note_at(etude, bar, beat)
    assert fact.chord is not None
    heard = (fact.name, fact.chord.root().name.replace("-", "b"), fact.above_root)
    assert heard == (name, root, semitones)


COLOURS = [
    (SWING, "dominant", {1}, (4,)),
    (SWING, "dominant", {3}, (6,)),
    (SWING, "dominant", {8}, (6,)),
    (SWING, "dominant", {2, 6, 9}, (37,)),
    (SEVEN, "dominant", {1, 3, 8}, (3, 10, 16, 22, 24)),
    (SEVEN, "dominant", {2, 6, 9}, (12,)),
    (SWING, "major", {6}, (2, 10, 17, 19, 43)),
    (SEVEN, "major", {6}, (2, 5, 14, 19)),
    (SWING, "major", {8}, (25,)),
]


@pytest.mark.parametrize(("etude", "kind", "semitones", "bars"), COLOURS)
def test_the_colours_are_in_every_bar_listed(
    etude: str, kind: str, semitones: set[int], bars: tuple[int, ...]
) -> None:
    for bar in bars:
        line = [fact for fact in between(etude, bar, bar) if fact.chord]
        found = {fact.above_root for fact in line if fact.chord.chordKind.startswith(kind)}
        assert semitones <= found, f"bar {bar}"


def test_landing_notes_are_long_and_on_the_beat() -> None:
    assert [note_at(SWING, bar, 1).quarters for bar in (7, 15, 32, 44)] == [2, 2, 2, 4]


def test_a_two_five_can_be_heard_as_one_altered_dominant() -> None:
    line = between(SWING, 23, 24)
    printed = [(fact.chord.root().name, fact.chord.chordKind) for fact in line if fact.chord]
    assert list(dict.fromkeys(printed)) == [("G", "minor-seventh"), ("C", "dominant-seventh")]
    over_c = [(fact.midi - 60) % 12 for fact in line]
    assert set(over_c) <= {0, 1, 3, 4, 6, 8, 10}, "a natural nine, fifth or thirteenth contradicts it"
    assert {1, 3, 6, 8} <= set(over_c[:6]), "the four altered colours come before the V is printed"


@pytest.mark.parametrize(
    ("etude", "bar", "count", "triad", "root"),
    [(SWING, 8, 6, {"Gb", "Bb", "Db"}, "C"), (SEVEN, 16, 6, {"Eb", "G", "Bb"}, "A")],
)
def test_a_triad_of_the_tritone_substitute(
    etude: str, bar: int, count: int, triad: set[str], root: str
) -> None:
    line = between(etude, bar, bar)[:count]
    assert {fact.name[:-1] for fact in line} == triad
    assert {fact.chord.root().name for fact in line if fact.chord} == {root}
    assert {fact.above_root for fact in line} == {6, 10, 1}


@pytest.mark.parametrize(("bar", "around"), [(14, ["Bb4", "G#4"]), (24, ["Ab4", "Bb4"])])
def test_an_enclosure_from_above_and_below(bar: int, around: list[str]) -> None:
    before, target = between(SWING, bar, bar)[-2:], note_at(SWING, bar + 1, 1)
    assert [fact.name for fact in before] == around
    assert (target.name, target.above_root) == ("A4", 4)
    assert sorted(fact.midi - target.midi for fact in before) == [-1, 1]


def test_a_sequence_through_the_changes() -> None:
    line = between(SWING, 21, 22)
    cells = [line[start : start + 4] for start in range(0, 16, 4)]
    roots = [cell[0].chord.root().name for cell in cells if cell[0].chord]
    assert roots == ["D", "G", "C", "F"]
    moves = {tuple(b.step - a.step for a, b in pairwise(cell)) for cell in cells}
    assert moves == {(2, 3, -1)}
    assert [[fact.above_root for fact in cell] for cell in cells] == [
        [3, 7, 0, 10],
        [4, 7, 0, 10],
        [4, 7, 0, 11],
        [4, 7, 0, 11],
    ]


def test_a_cross_rhythm_of_two_and_three_eighths() -> None:
    line = between(SWING, 37, 38)
    assert {fact.quarters for fact in line} == {0.5}
    assert len(line) == 15
    cells = [line[start : start + 5] for start in (0, 5, 10)]
    starts = [(cell[0].bar, cell[0].beat) for cell in cells]
    assert starts == [(37, 1), (37, 3.5), (38, 2)]
    moves = {tuple(b.step - a.step for a, b in pairwise(cell)) for cell in cells}
    assert moves == {(3, 2, -1, -1)}


@pytest.mark.parametrize(
    ("etude", "bar", "top", "lower"),
    [(SWING, 40, "D5", ["G4", "F#4", "F4", "E4"]), (SEVEN, 19, "A5", ["F5", "E5", "D5", "C5"])],
)
def test_oblique_motion_under_a_held_top_note(etude: str, bar: int, top: str, lower: list[str]) -> None:
    line = between(etude, bar, bar)[:8]
    assert {fact.name for fact in line[::2]} == {top}
    assert [fact.name for fact in line[1::2]] == lower


def test_wide_leaps() -> None:
    line = between(SWING, 27, 27)
    assert [abs(b.midi - a.midi) for a, b in pairwise(line)] == [19, 16, 14, 12, 10]


@pytest.mark.parametrize(("etude", "first", "last"), [(SWING, 33, 36), (SEVEN, 13, 14)])
def test_a_purely_diatonic_passage(etude: str, first: int, last: int) -> None:
    line = between(etude, first, last)
    assert {fact.midi % 12 for fact in line} <= {5, 7, 9, 10, 0, 2, 4}
    assert len(line) > 14


def test_an_anticipation_tied_over_the_bar_line() -> None:
    early, late = note_at(SWING, 12, 4.5), note_at(SWING, 13, 1)
    assert (early.name, early.tie, late.name, late.tie) == ("A4", "start", "A4", "stop")


@pytest.mark.parametrize(("etude", "bar", "root", "bass"), [(SWING, 13, "F", "A"), (SEVEN, 18, "D", "C")])
def test_slash_chords(etude: str, bar: int, root: str, bass: str) -> None:
    chord = note_at(etude, bar, 1).chord
    assert chord is not None
    assert (chord.root().name, chord.bass().name) == (root, bass)


@pytest.mark.parametrize(("etude", "bar"), [(SWING, 11), (SWING, 29), (SEVEN, 15)])
def test_triplets(etude: str, bar: int) -> None:
    triplet = [fact for fact in between(etude, bar, bar) if fact.quarters == pytest.approx(1 / 3)]
    assert len(triplet) in (3, 6)


def test_many_kinds_of_chord() -> None:
    kinds = {fact.chord.chordKind for etude in (SWING, SEVEN) for fact in facts(etude) if fact.chord}
    assert kinds >= {
        "major",
        "major-seventh",
        "major-sixth",
        "minor-seventh",
        "minor-sixth",
        "minor-major-seventh",
        "dominant-seventh",
        "dominant-13th",
        "suspended-fourth",
        "half-diminished-seventh",
        "diminished-seventh",
    }
    texts = {fact.chord.chordKindStr for etude in (SWING, SEVEN) for fact in facts(etude) if fact.chord}
    assert "7alt" in texts
