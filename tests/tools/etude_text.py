"""The demo etudes as short text, read into plain values.

A header (`key: value`), a blank line, then one line a bar: its printed number, a bar line, then chord
symbols in angle brackets, note lengths (4 a quarter, 8. a dotted eighth, 8t a triplet eighth, kept until the
next one), notes (F#4, Bb5; a tilde ties on) and rests (r). `pickup 3/2` opens an upbeat of three halves of a
quarter; `[A]` is a rehearsal mark, `repeat` opens a repeated passage, `ending 1` and `ending 2` its two
endings, `end` the last bar line.

Times are exact quarters; a bar that does not add up raises ValueError.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

__all__ = ["ETUDES", "Bar", "Etude", "Event", "Symbol", "bars_played", "midi_of", "read_etude"]

ETUDES = Path(__file__).parent / "etudes"
LENGTHS = {"1": Fraction(4), "2": Fraction(2), "4": Fraction(1), "8": Fraction(1, 2), "16": Fraction(1, 4)}
LENGTH = re.compile(r"^(?P<base>1|2|4|8|16)(?P<mark>[.t]?)$")
NOTE = re.compile(r"^(?P<step>[A-G])(?P<accidental>[#b]?)(?P<octave>\d)(?P<tie>~?)$")
SYMBOL = re.compile(r"^<(?P<root>[A-G][#b]?)(?P<suffix>[^/>]*(?:6/9)?)(?:/(?P<bass>[A-G][#b]?))?>$")
SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
ALTER = {"": 0, "#": 1, "b": -1}
MARK_FACTOR = {"": Fraction(1), ".": Fraction(3, 2), "t": Fraction(2, 3)}


@dataclass(frozen=True)
class Symbol:
    """A chord symbol at a time within its bar."""

    at: Fraction
    root: str
    suffix: str
    bass: str | None


@dataclass(frozen=True)
class Event:
    """A note (step, alter, octave) or a rest (step ""), with its printed length token."""

    at: Fraction
    length: Fraction
    token: str
    step: str = ""
    alter: int = 0
    octave: int = 0
    tie: bool = False


@dataclass
class Bar:
    """A printed bar; `number` 0 is the pickup, `ending` 1 or 2 inside an ending, else 0."""

    number: int
    length: Fraction
    section: str = ""
    repeat_opens: bool = False
    ending: int = 0
    events: list[Event] = field(default_factory=list)
    symbols: list[Symbol] = field(default_factory=list)


@dataclass
class Etude:
    """A whole etude: header fields and bars."""

    header: dict[str, str]
    bars: list[Bar] = field(default_factory=list)

    @property
    def metre(self) -> tuple[int, int]:
        """Beats and beat unit."""
        beats, unit = self.header["metre"].split("/")
        return int(beats), int(unit)


def midi_of(event: Event) -> int:
    """The MIDI number of a note; C4 is 60."""
    return 12 * (event.octave + 1) + SEMITONES[event.step] + event.alter


def read_etude(name: str) -> Etude:
    """Read `etudes/<name>.txt`."""
    text = (ETUDES / f"{name}.txt").read_text(encoding="utf-8")
    head, body = text.split("\n\n", 1)
    etude = Etude(dict(line.split(": ", 1) for line in head.splitlines() if not line.startswith("#")))
    _read_body(etude, body.split("\nend\n", 1)[0].splitlines())
    return etude


def _read_body(etude: Etude, lines: list[str]) -> None:
    beats, unit = etude.metre
    full = Fraction(4 * beats, unit)
    section, opens, ending = "", False, 0
    for line in lines:
        words = line.split()
        if words[0].startswith("["):
            section, ending = words[0].strip("[]"), 0
        elif words[0] == "repeat":
            opens = True
        elif words[0] == "ending":
            ending = int(words[1])
        else:
            etude.bars.append(_read_bar(line, full, section, opens, ending))
            section, opens = "", False


def _read_bar(line: str, full: Fraction, section: str, opens: bool, ending: int) -> Bar:
    label, music = line.split("|", 1)
    words = label.split()
    pickup = words[0] == "pickup"
    bar = Bar(0 if pickup else int(words[0]), Fraction(words[1]) if pickup else full, section, opens, ending)
    at, token = Fraction(0), "4"
    for word in music.split():
        if LENGTH.match(word):
            token = word
        elif word.startswith("<"):
            bar.symbols.append(_symbol(word, at))
        else:
            bar.events.append(_event(word, at, token))
            at += bar.events[-1].length
    if at != bar.length:
        raise ValueError(f"bar {bar.number} lasts {at} quarters, not {bar.length}: {line}")
    return bar


def _symbol(word: str, at: Fraction) -> Symbol:
    match = SYMBOL.match(word)
    if match is None:
        raise ValueError(f"{word} is no chord symbol")
    return Symbol(at, match["root"], match["suffix"], match["bass"])


def _event(word: str, at: Fraction, token: str) -> Event:
    parts = LENGTH.match(token)
    assert parts is not None
    length = LENGTHS[parts["base"]] * MARK_FACTOR[parts["mark"]]
    if word == "r":
        return Event(at, length, token)
    note = NOTE.match(word)
    if note is None:
        raise ValueError(f"{word} is no note, rest or length")
    return Event(
        at, length, token, note["step"], ALTER[note["accidental"]], int(note["octave"]), bool(note["tie"])
    )


def bars_played(etude: Etude) -> list[tuple[int, Bar]]:
    """(time round, bar) in playing order: one repeat at most, with its first and second endings."""
    start = next((index for index, bar in enumerate(etude.bars) if bar.repeat_opens), None)
    if start is None:
        return [(1, bar) for bar in etude.bars]
    first = max(index for index, bar in enumerate(etude.bars) if bar.ending == 1) + 1
    again = [bar for bar in etude.bars[start:first] if bar.ending == 0]
    seconds = [bar for bar in etude.bars[first:] if bar.ending == 2]
    rest = etude.bars[first + len(seconds) :]
    played = [(1, bar) for bar in etude.bars[:first]] + [(2, bar) for bar in again]
    return played + [(2, bar) for bar in seconds] + [(1, bar) for bar in rest]
