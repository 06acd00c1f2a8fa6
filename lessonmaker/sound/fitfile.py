"""A fit as data: for programs (`sync --json`), and as a small readable file.

The file names a note by bar, place in the bar, sounding pitch and voice instead of its id, so that it
survives a fresh export of the score and every edit that leaves the note itself alone.
"""

from __future__ import annotations

import json
from collections import defaultdict
from fractions import Fraction
from pathlib import Path
from typing import Any

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score.model import Note, Score
from lessonmaker.sound.model import BarTime, Fit, NoteTime

__all__ = ["fit_json", "load_fit", "save_fit"]

FORMAT = "lessonmaker fit 1"
DECIMALS = 4


def fit_json(score: Score, fit: Fit) -> dict[str, Any]:
    """What `sync --json` prints: plain data, bars by printed number, notes by index into Score.struck."""
    index = {note.id: i for i, note in enumerate(score.struck)}
    return {
        "accepted": fit.accepted,
        "confidence": round(fit.confidence, DECIMALS),
        "bars": [
            {"bar": _number(score.bars[bar.bar].number), "pass": bar.visit, "time_s": _rounded(bar.time_s)}
            for bar in fit.bars
        ],
        "notes": [
            {"index": index[note.note], "pass": note.visit, "time_s": _rounded(note.time_s)}
            for note in fit.notes
        ],
        "end_s": _rounded(fit.end_s),
        "swing": round(fit.swing, 3),
        **fit.details,
    }


def save_fit(path: Path, score: Score, fit: Fit) -> None:
    """Write a fit to a readable JSON file, one bar or note a line."""
    notes = {note.id: note for note in score.struck}
    head = {
        "format": FORMAT,
        "accepted": fit.accepted,
        "confidence": fit.confidence,
        "end_s": _rounded(fit.end_s),
        "swing": fit.swing,
        "details": fit.details,
    }
    bars = [[bar.bar, score.bars[bar.bar].number, bar.visit, _rounded(bar.time_s)] for bar in fit.bars]
    rows = [
        [*_key(score, notes[note.note]), note.visit, _rounded(note.time_s), _rounded(note.end_s)]
        for note in fit.notes
    ]
    text = json.dumps(head, indent=1)[:-2] + f',\n "bars": {_lines(bars)},\n "notes": {_lines(rows)}\n}}\n'
    path.write_text(text, encoding="utf-8")


def load_fit(path: Path, score: Score) -> Fit:
    """Read a stored fit for a score; notes the score no longer has are left out.

    Raises:
        MaterialError: The file is missing or is no stored fit.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        if data["format"] != FORMAT:
            raise ValueError("another format")
        return _fit_from(data, score)
    except (OSError, ValueError, KeyError, TypeError, ZeroDivisionError) as error:
        todo = "run sync again to make it anew"
        raise MaterialError(Fault(f"{path.name} holds no stored fit", todo, Place(path))) from error


def _fit_from(data: dict[str, Any], score: Score) -> Fit:
    ids: dict[tuple[Any, ...], list[str]] = defaultdict(list)
    for note in score.struck:
        ids[tuple(_key(score, note))].append(note.id)
    bars = [BarTime(int(bar), int(visit), float(time)) for bar, _, visit, time in data["bars"]]
    notes = [
        NoteTime(name, int(visit), float(time), float(end))
        for *key, visit, time, end in data["notes"]
        for name in ids[tuple(key)]
    ]
    return Fit(
        bool(data["accepted"]),
        float(data["confidence"]),
        tuple(bar for bar in bars if 0 <= bar.bar < len(score.bars)),
        tuple(notes),
        float(data["end_s"]),
        float(data["swing"]),
        dict(data["details"]),
    )


def _key(score: Score, note: Note) -> list[Any]:
    """Bar index, place in the bar in quarters as text, sounding MIDI pitch, voice."""
    place: Fraction = note.onset - score.bars[note.bar].start
    return [note.bar, str(place), note.sounding.midi, note.voice]


def _lines(rows: list[list[Any]]) -> str:
    return "[\n  " + ",\n  ".join(json.dumps(row) for row in rows) + "\n ]" if rows else "[]"


def _number(printed: str) -> int | str:
    return int(printed) if printed.isdecimal() else printed


def _rounded(time_s: float) -> float:
    return round(time_s, DECIMALS)
