"""A fit as data: for programs (`sync --json`), and as a small readable text that is kept.

The text has a line a bar. It names a note by its place in the bar, sounding pitch and voice instead of its id,
so that it survives a fresh export of the score and every edit that leaves the notes alone. `Origin` says what
it was made of: a fit of other notes, another take or other pins, or by another aligner is not used.
"""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from functools import cache
from importlib import resources
from importlib.metadata import version
from typing import Any

from lessonmaker.score.model import Note, Score
from lessonmaker.sound.model import Anchor, BarTime, Departure, Fit, NoteTime

__all__ = ["DamagedFitError", "Origin", "aligner_digest", "fit_json", "fit_text", "music_digest", "parse_fit"]

FORMAT = "lessonmaker fit 2"
DECIMALS = 4
ALIGNER_FILES = (".py", ".json")
ALIGNER, READER = "align", "read.py"
LIBRARIES = ("numpy", "scipy", "soundfile", "soxr", "av")

Row = list[Any]


class DamagedFitError(ValueError):
    """A text that is no stored fit, or no whole one."""


@dataclass(frozen=True)
class Origin:
    """What a fit was made of: SHA-256 digests in hexadecimal, and the pins as text.

    Attributes:
        take: Of the recording's file.
        notes: Of the score's notes, metres and playing order (see `music_digest`).
        pins: What the author pinned: [place, seconds] each.
        aligner: Of the aligner's own code and weights, and the libraries it stands on.
    """

    take: str
    notes: str
    pins: tuple[tuple[str, float], ...]
    aligner: str

    @classmethod
    def of(cls, score: Score, take_digest: str, anchors: Sequence[Anchor]) -> Origin:
        """What a fit of this score and take with these anchors is made of."""
        pins = ((anchor_text(score, anchor), anchor.time_s) for anchor in anchors)
        return cls(take_digest, music_digest(score), tuple(pins), aligner_digest())


def anchor_text(score: Score, anchor: Anchor) -> str:
    """A pinned place: bar, time round, quarters into the bar."""
    return f"{score.bars[anchor.bar].number}x{anchor.visit}+{anchor.place}"


def music_digest(score: Score) -> str:
    """What of a score the aligner follows, as a digest: sounding notes, metres, bar numbers, order, tempo.

    Spelling, chord symbols, titles, words, sections, clefs, keys and layout are left out.
    """
    notes = sorted(
        [*note_key(score, note), str(note.held), note.grace, note.in_tuplet]
        for note in score.notes
        if not note.tied_on
    )
    bars = [[bar.number, str(bar.start), str(bar.length), str(bar.metre)] for bar in score.bars]
    order = [[visit.bar, visit.number] for visit in score.order]
    return sha256(json.dumps([notes, bars, order, score.tempo]).encode())


@cache
def aligner_digest() -> str:
    """The aligner's code and weights and the versions of its libraries, as a digest."""
    sound = resources.files("lessonmaker.sound")
    folder = sound.joinpath(ALIGNER)
    files = sorted((f for f in folder.iterdir() if f.name.endswith(ALIGNER_FILES)), key=lambda f: f.name)
    files.append(sound.joinpath(READER))
    whole = hashlib.sha256()
    for file in files:
        whole.update(f"{file.name} {sha256(file.read_bytes())}\n".encode())
    for library in LIBRARIES:
        whole.update(f"{library} {version(library)}\n".encode())
    return whole.hexdigest()


def sha256(data: bytes) -> str:
    """A digest in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


# For programs ------------------------------------------------------------------------------------------


def fit_json(score: Score, fit: Fit) -> dict[str, Any]:
    """What `sync --json` prints: plain data, bars by printed number, notes by index into Score.struck."""
    index = {note.id: i for i, note in enumerate(score.struck)}
    return {
        "accepted": fit.accepted,
        "confidence": round(fit.confidence, DECIMALS),
        "bars": [
            {**bar_json(score, bar.bar, bar.visit, bar.time_s), "sure": round(bar.sure, 3)}
            for bar in fit.bars
        ],
        "notes": [
            {"index": index[note.note], "pass": note.visit, "time_s": rounded(note.time_s)}
            for note in fit.notes
        ],
        "departures": [
            {
                **bar_json(score, away.bar, away.visit, away.time_s),
                "kind": away.kind,
                "index": None if away.note is None else index[away.note],
                "heard": away.heard,
            }
            for away in fit.departures
        ],
        "end_s": rounded(fit.end_s),
        "swing": round(fit.swing, 3),
        **fit.details,
    }


def bar_json(score: Score, bar: int, visit: int, time_s: float) -> dict[str, Any]:
    """A bar by its printed number, the time round, and a moment in it."""
    return {"bar": number_or_text(score.bars[bar].number), "pass": visit, "time_s": rounded(time_s)}


def number_or_text(printed: str) -> int | str:
    """A bar's number as a number, where it is one."""
    return int(printed) if printed.isdecimal() else printed


def rounded(time_s: float) -> float:
    """Seconds to a tenth of a millisecond."""
    return round(time_s, DECIMALS)


# To be kept --------------------------------------------------------------------------------------------


def fit_text(score: Score, fit: Fit, origin: Origin, about: str) -> str:
    """A fit as text, to be kept.

    Args:
        score: The score it is of.
        fit: The fit.
        origin: What it was made of.
        about: What a reader should know first.
    """
    data = {
        "format": FORMAT,
        "about": about,
        "origin": asdict(origin),
        "accepted": fit.accepted,
        "confidence": fit.confidence,
        "end_s": rounded(fit.end_s),
        "swing": fit.swing,
        "details": fit.details,
        "bars": list(bar_rows(score, fit)),
        "departures": list(departure_rows(score, fit)),
    }
    data["digest"] = content_digest(data)
    fields = (f" {json.dumps(name)}: {field_text(value)}" for name, value in data.items())
    return "{\n" + ",\n".join(fields) + "\n}\n"


def field_text(value: Any) -> str:
    """A value on one line, or a list of rows with a line each."""
    if isinstance(value, list) and value:
        return "[\n  " + ",\n  ".join(json.dumps(row, ensure_ascii=False) for row in value) + "\n ]"
    return json.dumps(value, ensure_ascii=False)


def content_digest(data: Mapping[str, Any]) -> str:
    """A digest of everything but the digest itself."""
    rest = {name: value for name, value in data.items() if name != "digest"}
    return sha256(json.dumps(rest, sort_keys=True).encode())


def bar_rows(score: Score, fit: Fit) -> Iterator[dict[str, Any]]:
    """A bar each: its number (and index), the time round, its start, and its notes' starts and ends."""
    printed = {note.id: note for note in score.struck}
    inside: dict[tuple[int, int], list[Row]] = defaultdict(list)
    for time in fit.notes:
        note = printed[time.note]
        row = [*note_key(score, note)[1:], rounded(time.time_s), rounded(time.end_s)]
        inside[note.bar, time.visit].append(row)
    for bar in fit.bars:
        yield {
            "bar": score.bars[bar.bar].number,
            "index": bar.bar,
            "pass": bar.visit,
            "time_s": rounded(bar.time_s),
            "sure": round(bar.sure, 3),
            "notes": inside[bar.bar, bar.visit],
        }


def departure_rows(score: Score, fit: Fit) -> Iterator[dict[str, Any]]:
    """A departure each; a printed note by its place, pitch and voice."""
    printed = {note.id: note for note in score.struck}
    for away in fit.departures:
        key = None if away.note is None else note_key(score, printed[away.note])[1:]
        yield {**asdict(away), "note": key, "time_s": rounded(away.time_s)}


def note_key(score: Score, note: Note) -> Row:
    """Bar index, place in the bar in quarters as text, sounding MIDI pitch, voice."""
    place: Fraction = note.onset - score.bars[note.bar].start
    return [note.bar, str(place), note.sounding.midi, note.voice]


def parse_fit(text: str, score: Score, origin: Origin) -> tuple[Fit | None, tuple[str, ...]]:
    """Read a kept fit.

    Args:
        text: What `fit_text` made.
        score: The score.
        origin: What the fit should be made of.

    Returns:
        The fit, or None where it was made of something else; and what differs ("take", "notes" ...).

    Raises:
        DamagedFitError: The text is no fit, or was changed since.
    """
    try:
        data = json.loads(text)
        if data["digest"] != content_digest(data):
            raise ValueError("changed since it was written")
        if data["format"] != FORMAT:
            return None, ("aligner",)
        other = different(data["origin"], origin)
        return (None, other) if other else (fit_from(data, score), ())
    except (ValueError, LookupError, TypeError, AttributeError, RecursionError) as error:
        raise DamagedFitError(str(error)) from error


def different(stored: Mapping[str, Any], origin: Origin) -> tuple[str, ...]:
    """The names of what the stored fit was made of that is different now."""
    now = json.loads(json.dumps(asdict(origin)))
    return tuple(name for name, value in now.items() if stored[name] != value)


def fit_from(data: Mapping[str, Any], score: Score) -> Fit:
    """The fit in a text whose notes are known to be the score's."""
    rows = data["bars"]
    if not all(0 <= row["index"] < len(score.bars) for row in rows):
        raise ValueError("bars that the score does not have")
    return Fit(
        bool(data["accepted"]),
        float(data["confidence"]),
        tuple(BarTime(row["index"], row["pass"], row["time_s"], row["sure"]) for row in rows),
        tuple(note_times(rows, score)),
        float(data["end_s"]),
        float(data["swing"]),
        dict(data["details"]),
        tuple(departures(data["departures"], score)),
    )


def note_times(rows: Iterable[Mapping[str, Any]], score: Score) -> Iterator[NoteTime]:
    """The notes of all bars; heads that share place, pitch and voice each have their row."""
    for row in rows:
        ids = ids_by_key(score, row["index"])
        for *key, time_s, end_s in row["notes"]:
            yield NoteTime(ids[tuple(key)].pop(0), row["pass"], time_s, end_s)


def departures(rows: Iterable[Mapping[str, Any]], score: Score) -> Iterator[Departure]:
    """The departures, each with its printed note's id."""
    for row in rows:
        key = row["note"]
        note = None if key is None else ids_by_key(score, row["bar"])[tuple(key)][0]
        yield Departure(**{**row, "note": note})


def ids_by_key(score: Score, bar: int) -> dict[tuple[Any, ...], list[str]]:
    """The ids of a bar's struck notes by place, pitch and voice."""
    ids: dict[tuple[Any, ...], list[str]] = defaultdict(list)
    for note in score.struck:
        if note.bar == bar:
            ids[tuple(note_key(score, note)[1:])].append(note.id)
    return ids
