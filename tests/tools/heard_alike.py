"""The same music in another key, and all that is found in it without the names of chords and keys."""

from __future__ import annotations

from dataclasses import replace

from lessonmaker.analysis.model import Analysis
from lessonmaker.score.model import Key, Score
from lessonmaker.theory.chord import transpose_chord
from lessonmaker.theory.pitch import Interval, Pitch

__all__ = ["FLATS", "SHARPS", "pitch", "told", "transposed"]

SHARPS = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]
FLATS = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]


def pitch(midi: int, names: list[str]) -> Pitch:
    """A sounding MIDI number by one of its names."""
    name = names[midi % 12]
    return Pitch(name[0], name.count("#") - name[1:].count("b"), midi // 12 - 1)


def transposed(music: Score, interval: Interval) -> Score:
    """The score an interval away: notes, chords and signature."""
    moved = tuple(replace(note, sounding=note.sounding.transposed(interval)) for note in music.notes)
    changes = tuple(
        replace(each, chord=each.chord and transpose_chord(each.chord, interval)) for each in music.changes
    )
    bars = tuple(replace(bar, key=Key(interval.fifths)) for bar in music.bars)
    return replace(music, notes=moved, changes=changes, bars=bars)


def told(found: Analysis) -> list[object]:
    """All that is found, without the names of chords and keys."""
    return [
        [(one.note, one.degree, one.role, one.resolves_to) for one in found.findings],
        found.phrases,
        [(key.span, key.mode, key.confidence) for key in found.keys],
        [(one.span, one.numeral, one.function) for one in found.functions],
        [(use.span, use.scale, use.text, use.deciding) for use in found.scales],
        found.devices,
        [(one.span, one.kind, one.text) for one in found.proposals],
        found.tension,
    ]
