"""The analysis in words and as plain data: what the `analyse` command prints."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Any

from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.analysis.model import Analysis, Finding
from lessonmaker.score.model import PICKUP_NUMBER, Bar, Note, Score
from lessonmaker.score.position import Span, span_ends
from lessonmaker.theory.chord import Chord, chord_text, readings
from lessonmaker.theory.degree import degree_of
from lessonmaker.theory.signs import in_print

__all__ = ["analysis_json", "device_place", "notes_json", "report_text"]

BEAT_PARTS = {Fraction(0): "", Fraction(1, 2): "&", Fraction(1, 4): "e", Fraction(3, 4): "a"}
DEVICE_KEYS = ("kind", "text", "confidence", "notes", "detail")
SCALE_KEYS = ("root", "scale", "text", "confidence", "notes", "deciding", "outside")


def notes_json(score: Score, analysis: Analysis) -> list[dict[str, object]]:
    """Every struck note as plain data.

    Keys: `index` (in the order of `Score.struck`), `id`, `bar` (the printed number, an int where it is one),
    `beat` (1.0 is the bar's first beat), `onset` (quarters from the first full bar), `pitch` (sounding MIDI
    number), `name`, `chord` (text or null), `label` (degree in ASCII or null), `other_readings` (a `chord` and `label`
    for each further way to hear a chord over a foreign bass: Am/F as an Fmaj7), `role`, `resolves_to` (the index of the
    note it resolves to, or null).
    """
    findings = analysis.by_note
    places = _indices(score)
    return [
        _note_json(index, note, score.bars[note.bar], findings[note.id])
        | {"resolves_to": places.get(findings[note.id].resolves_to or "")}
        for index, note in enumerate(score.struck)
    ]


def _indices(score: Score) -> dict[str, int]:
    """The place of each struck note in `Score.struck`, by its id."""
    return {note.id: index for index, note in enumerate(score.struck)}


def device_place(
    score: Score, span: Span, notes: Sequence[str], onsets: Mapping[str, Fraction]
) -> tuple[str, str]:
    """From where to where a device, a phrase or a scale goes, as positions."""
    return span_ends(score, span, onsets[notes[-1]] if notes else None)


def analysis_json(score: Score, analysis: Analysis) -> dict[str, object]:
    """The whole analysis as plain data.

    Keys: `notes`, `phrases`, `keys`, `functions`, `scales`, `devices`, `proposals`, `tension`. Each part but the
    notes has `from` and `to`, positions as a lesson script writes them; notes are named by index.
    """
    return {
        "notes": notes_json(score, analysis),
        "phrases": _Plain(score).placed(analysis.phrases, ("notes",)),
        "keys": _Plain(score).placed(analysis.keys, ("tonic", "mode", "confidence")),
        "functions": _Plain(score).placed(analysis.functions, ("chord", "numeral", "function")),
        "scales": _Plain(score).placed(analysis.scales, SCALE_KEYS),
        "devices": _Plain(score).placed(analysis.devices, DEVICE_KEYS),
        "proposals": _Plain(score).placed(analysis.proposals, ("kind", "hear", "text", "confidence")),
        "tension": _Plain(score).placed(analysis.tension, ("value",)),
    }


class _Plain:
    """Turns what was found into plain data."""

    def __init__(self, score: Score) -> None:
        self.score = score
        self.places = _indices(score)
        self.onsets = {note.id: note.onset for note in score.struck}

    def placed(self, found: Sequence[Any], names: Sequence[str]) -> list[dict[str, object]]:
        """Some attributes of each thing found, with its place."""
        return [self.one(each, names) for each in found]

    def one(self, each: Any, names: Sequence[str]) -> dict[str, object]:
        """Some attributes of one thing found, with its place."""
        notes = getattr(each, "notes", ())
        first, last = device_place(self.score, each.span, notes, self.onsets)
        return {"from": first, "to": last} | {name: self.value(getattr(each, name)) for name in names}

    def value(self, value: object) -> object:
        """Note ids become indices, chords and note names texts."""
        if isinstance(value, tuple):
            return [self.places.get(item, item) for item in value]
        if isinstance(value, Chord):
            return chord_text(value)
        return value if isinstance(value, float | str) else str(value)


def _note_json(index: int, note: Note, bar: Bar, finding: Finding) -> dict[str, object]:
    return {
        "index": index,
        "id": note.id,
        "bar": int(bar.number) if bar.number.isdecimal() else bar.number,
        "beat": float(_beat(note.onset, bar)),
        "onset": float(note.onset),
        "pitch": note.sounding.midi,
        "name": str(note.sounding),
        "chord": None if finding.chord is None else chord_text(finding.chord),
        "label": finding.degree,
        "other_readings": [
            {"chord": chord_text(reading), "label": degree}
            for reading, degree in _other_readings(note, finding)
        ],
        "role": finding.role,
    }


def _other_readings(note: Note, finding: Finding) -> list[tuple[Chord, str]]:
    """The further ways to hear a note's chord, each with the degree that the note is of it."""
    further = readings(finding.chord)[1:] if finding.chord is not None else ()
    return [(reading, degree_of(note.sounding.midi % 12, reading)) for reading in further]


def _beat(onset: Fraction, bar: Bar) -> Fraction:
    """The place in the bar as counted in its printed unit, beat 1 first; a pickup ends with the last beat."""
    return 1 + position_in_bar(onset, bar) / bar.metre.unit_quarters


def report_text(score: Score, analysis: Analysis) -> str:
    """The analysis bar by bar for people: chords, beats, notes, degrees and roles in columns."""
    findings = analysis.by_note
    names = {note.id: str(note.sounding) for note in score.struck}
    bars = groupby(score.struck, key=lambda note: note.bar)
    parts = [_bar_text(score.bars[index], list(notes), findings, names) for index, notes in bars]
    return "\n\n".join(parts) + "\n"


def _bar_text(bar: Bar, notes: list[Note], findings: dict[str, Finding], names: dict[str, str]) -> str:
    title = "Pickup" if bar.number == PICKUP_NUMBER else f"Bar {bar.number}"
    heading = f"{title}  [{bar.section}]" if bar.section else title
    heard = [findings[note.id] for note in notes]
    chords = [_chord_text(finding) for finding in heard]
    shown = [chord if place == 0 or chord != chords[place - 1] else "" for place, chord in enumerate(chords)]
    rows = [
        (
            chord,
            _beat_text(note.onset, bar),
            names[note.id],
            _degree_text(note, finding),
            _role_text(finding, names),
        )
        for chord, note, finding in zip(shown, notes, heard, strict=True)
    ]
    return "\n".join([heading, *_aligned(rows)])


def _chord_text(finding: Finding) -> str:
    """The chord as printed, and what else it may be heard as: "Am/F or Fmaj7"."""
    if finding.chord is None:
        return ""
    return " or ".join(chord_text(each) for each in (finding.chord, *readings(finding.chord)[1:]))


def _degree_text(note: Note, finding: Finding) -> str:
    """The degree of a note, by each way to hear its chord: "1 or 3"."""
    if finding.degree is None:
        return ""
    return " or ".join(
        map(in_print, (finding.degree, *(degree for _, degree in _other_readings(note, finding))))
    )


def _role_text(finding: Finding, names: dict[str, str]) -> str:
    """The role of a note that is no chord tone, and where it resolves."""
    mark = "" if finding.role in (None, "chord tone") else str(finding.role)
    return f"{mark} → {names[finding.resolves_to]}" if finding.resolves_to is not None else mark


def _beat_text(onset: Fraction, bar: Bar) -> str:
    whole, rest = divmod(_beat(onset, bar), 1)
    return f"{whole}{BEAT_PARTS.get(rest, f'+{rest}')}"


def _aligned(rows: Sequence[tuple[str, ...]]) -> list[str]:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return [
        "  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
