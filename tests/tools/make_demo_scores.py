"""Write the demo's scores: `python tests/tools/make_demo_scores.py` makes media/*.musicxml from etudes/*.txt.

MusicXML 4.0 partwise: chord symbols with kinds, degrees and bass, beams, accidentals, rehearsal marks, tempo,
double bars before sections, repeats and endings. The same text always gives the same file.
"""

from __future__ import annotations

import argparse
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree as ET

from etude_text import ETUDES, Bar, Etude, Event, Symbol, read_etude

MEDIA = Path(__file__).parents[2] / "media"
DIVISIONS = 12
TYPES = {"1": "whole", "2": "half", "4": "quarter", "8": "eighth", "16": "16th"}
ACCIDENTALS = {-1: "flat", 0: "natural", 1: "sharp"}
ALTERS = {"b": -1, "#": 1}
DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)
# suffix -> MusicXML kind, its text, added degrees (value, alter against a dominant chord)
KINDS: dict[str, tuple[str, str, tuple[tuple[int, int], ...]]] = {
    "": ("major", "", ()),
    "maj7": ("major-seventh", "maj7", ()),
    "6/9": ("major-sixth", "6/9", ((9, 0),)),
    "7": ("dominant", "7", ()),
    "7b9": ("dominant", "7", ((9, -1),)),
    "7alt": ("dominant", "7alt", ()),
    "13": ("dominant-13th", "13", ()),
    "13sus": ("suspended-fourth", "13sus", ((7, 0), (9, 0), (13, 0))),
    "m7": ("minor-seventh", "m7", ()),
    "m6": ("minor-sixth", "m6", ()),
    "m(maj7)": ("major-minor", "m(maj7)", ()),
    "m7b5": ("half-diminished", "m7b5", ()),
    "dim7": ("diminished-seventh", "dim7", ()),
}
SHARP_ORDER, FLAT_ORDER = "FCGDAEB", "BEADGCF"


def child(parent: ET.Element, tag: str, content: str | int | None = None, /, **attributes: str) -> ET.Element:
    """Append an element with text and attributes (an underscore in a name stands for a hyphen)."""
    element = ET.SubElement(parent, tag, {key.replace("_", "-"): value for key, value in attributes.items()})
    element.text = None if content is None else str(content)
    return element


def key_alters(fifths: int) -> dict[str, int]:
    """The alteration of each letter in a key signature."""
    letters = SHARP_ORDER[:fifths] if fifths > 0 else FLAT_ORDER[: abs(fifths)]
    return dict.fromkeys(letters, 1 if fifths > 0 else -1)


def beam_marks(bar: Bar, edges: list[Fraction]) -> dict[int, str]:
    """The eighths' beams of a bar: event index -> begin, continue or end; beams stay within `edges`."""
    runs: list[list[int]] = [[]]
    for index, event in enumerate(bar.events):
        if not event.step or event.length >= 1 or (runs[-1] and _parted(bar, runs[-1][-1], index, edges)):
            runs.append([])
        if event.step and event.length < 1:
            runs[-1].append(index)
    marks: dict[int, str] = {}
    for run in (run for run in runs if len(run) > 1):
        marks |= dict.fromkeys(run, "continue") | {run[0]: "begin", run[-1]: "end"}
    return marks


def _parted(bar: Bar, before: int, index: int, edges: list[Fraction]) -> bool:
    first, second = bar.events[before], bar.events[index]
    crossed = any(first.at < edge <= second.at for edge in edges)
    return crossed or first.token != second.token or (second.token == "8t" and second.at.denominator == 1)


def write_symbol(measure: ET.Element, symbol: Symbol) -> None:
    """Write a `<harmony>`."""
    kind, text, degrees = KINDS[symbol.suffix]
    harmony = child(measure, "harmony")
    _name(harmony, "root", symbol.root)
    child(harmony, "kind", kind, **({"text": text} if text else {}))
    if symbol.bass:
        _name(harmony, "bass", symbol.bass)
    for value, alter in degrees:
        degree = child(harmony, "degree", **({"print_object": "no"} if "sus" in text or "/" in text else {}))
        child(degree, "degree-value", value)
        child(degree, "degree-alter", alter)
        child(degree, "degree-type", "add")


def _name(harmony: ET.Element, what: str, name: str) -> None:
    element = child(harmony, what)
    child(element, f"{what}-step", name[0])
    if name[1:]:
        child(element, f"{what}-alter", ALTERS[name[1:]])


def write_event(
    measure: ET.Element, event: Event, tied_from: bool, accidental: str | None, beam: str | None
) -> None:
    """Write a `<note>`: elements in the order the MusicXML 4.0 schema asks for."""
    note = child(measure, "note")
    if event.step:
        _pitch(note, event)
    else:
        child(note, "rest")
    child(note, "duration", int(event.length * DIVISIONS))
    ties = [kind for kind, wanted in (("stop", tied_from), ("start", event.tie)) if wanted]
    for kind in ties:
        child(note, "tie", type=kind)
    child(note, "voice", 1)
    _look(note, event, accidental, beam)
    _notations(note, event, ties)


def _pitch(note: ET.Element, event: Event) -> None:
    pitch = child(note, "pitch")
    child(pitch, "step", event.step)
    if event.alter:
        child(pitch, "alter", event.alter)
    child(pitch, "octave", event.octave)


def _look(note: ET.Element, event: Event, accidental: str | None, beam: str | None) -> None:
    child(note, "type", TYPES[event.token.rstrip(".t")])
    if event.token.endswith("."):
        child(note, "dot")
    if accidental:
        child(note, "accidental", accidental)
    if event.token.endswith("t"):
        ratio = child(note, "time-modification")
        child(ratio, "actual-notes", 3)
        child(ratio, "normal-notes", 2)
    if beam:
        child(note, "beam", beam, number="1")


def _notations(note: ET.Element, event: Event, ties: list[str]) -> None:
    tuplet = _tuplet(event)
    if not ties and tuplet is None:
        return
    notations = child(note, "notations")
    for kind in ties:
        child(notations, "tied", type=kind)
    if tuplet:
        child(notations, "tuplet", type=tuplet, number="1", bracket="no")


def _tuplet(event: Event) -> str | None:
    if not event.token.endswith("t"):
        return None
    return {Fraction(0): "start", Fraction(2, 3): "stop"}.get(event.at % 1)


class Speller:
    """Which notes need a printed accidental: a bar's own alterations last to its bar line."""

    def __init__(self, fifths: int) -> None:
        self.key = key_alters(fifths)
        self.seen: dict[tuple[str, int], int] = {}

    def mark(self, event: Event, tied_from: bool) -> str | None:
        """The accidental to print, or None."""
        place = (event.step, event.octave)
        current = self.seen.get(place, self.key.get(event.step, 0))
        if not event.step or tied_from or current == event.alter:
            return None
        self.seen[place] = event.alter
        return ACCIDENTALS[event.alter]


def write_attributes(measure: ET.Element, etude: Etude) -> None:
    """Key, metre and clef of the first bar."""
    attributes = child(measure, "attributes")
    child(attributes, "divisions", DIVISIONS)
    child(child(attributes, "key"), "fifths", etude.header["fifths"])
    time = child(attributes, "time")
    for tag, value in zip(("beats", "beat-type"), etude.metre, strict=True):
        child(time, tag, value)
    clef = child(attributes, "clef")
    child(clef, "sign", "G")
    child(clef, "line", 2)


def write_tempo(measure: ET.Element, etude: Etude) -> None:
    """The feel in words and the metronome mark."""
    direction = child(measure, "direction", placement="above")
    child(child(direction, "direction-type"), "words", etude.header["feel"])
    metronome = child(child(direction, "direction-type"), "metronome")
    child(metronome, "beat-unit", "quarter")
    child(metronome, "per-minute", etude.header["tempo"])
    child(direction, "sound", tempo=etude.header["tempo"])


def write_rehearsal(measure: ET.Element, bar: Bar) -> None:
    """The rehearsal mark."""
    if bar.section:
        direction = child(measure, "direction", placement="above")
        child(child(direction, "direction-type"), "rehearsal", bar.section)


def write_bar_line(measure: ET.Element, etude: Etude, index: int, side: str) -> None:
    """A bar line that is not plain: repeats, endings, doubles before a section, the final one."""
    style, repeat, ending = bar_line(etude.bars, index, side)
    if not (style or repeat or ending):
        return
    line = child(measure, "barline", location=side)
    if style:
        child(line, "bar-style", style)
    if ending:
        number, kind = ending
        child(line, "ending", f"{number}." if kind == "start" else None, number=str(number), type=kind)
    if repeat:
        child(line, "repeat", direction=repeat)


def bar_line(bars: list[Bar], index: int, side: str) -> tuple[str, str, tuple[int, str] | None]:
    """(style, repeat direction, (ending, type)) of a bar line; empty where it is plain."""
    bar = bars[index]
    neighbour = index - 1 if side == "left" else index + 1
    beside = bars[neighbour] if 0 <= neighbour < len(bars) else None
    turns = bar.ending and (beside is None or beside.ending != bar.ending)
    if side == "left":
        starts = (bar.ending, "start") if turns else None
        return ("heavy-light", "forward", starts) if bar.repeat_opens else ("", "", starts)
    if turns and bar.ending == 1:
        return "light-heavy", "backward", (1, "stop")
    if beside is None:
        return "light-heavy", "", None
    double = "light-light" if beside.section and bar.number else ""
    return double, "", (bar.ending, "discontinue") if turns else None


def write_measure(part: ET.Element, etude: Etude, index: int, tied_from: bool) -> bool:
    """Write one bar; returns whether its last note is tied on."""
    bar = etude.bars[index]
    measure = child(part, "measure", number=str(bar.number), **({} if bar.number else {"implicit": "yes"}))
    write_bar_line(measure, etude, index, "left")
    if index == 0:
        write_attributes(measure, etude)
        write_tempo(measure, etude)
    write_rehearsal(measure, bar)
    write_music(measure, etude, bar, tied_from)
    write_bar_line(measure, etude, index, "right")
    return bar.events[-1].tie


def write_music(measure: ET.Element, etude: Etude, bar: Bar, tied_from: bool) -> None:
    """Chord symbols and notes of one bar, in order of time."""
    marks = beam_marks(bar, [Fraction(edge) for edge in etude.header["beams"].split()])
    speller = Speller(int(etude.header["fifths"]))
    for index, event in enumerate(bar.events):
        for symbol in (symbol for symbol in bar.symbols if symbol.at == event.at):
            write_symbol(measure, symbol)
        tied = tied_from and index == 0
        write_event(measure, event, tied, speller.mark(event, tied), marks.get(index))


def score_xml(etude: Etude) -> str:
    """The whole etude as MusicXML text."""
    root = ET.Element("score-partwise", version="4.0")
    child(child(root, "work"), "work-title", etude.header["title"])
    identification = child(root, "identification")
    child(identification, "creator", etude.header["composer"], type="composer")
    child(identification, "rights", etude.header["rights"])
    child(child(identification, "encoding"), "software", "tests/tools/make_demo_scores.py")
    miscellaneous = child(identification, "miscellaneous")
    child(miscellaneous, "miscellaneous-field", etude.header["rights"], name="origin")
    score_part = child(child(root, "part-list"), "score-part", id="P1")
    child(score_part, "part-name", etude.header["part"])
    part = child(root, "part", id="P1")
    tied = False
    for index in range(len(etude.bars)):
        tied = write_measure(part, etude, index, tied)
    ET.indent(root, " ")
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n{DOCTYPE}\n' + ET.tostring(root, encoding="unicode") + "\n"
    )


def main() -> None:
    """Write every etude's score."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=MEDIA, help="folder for the .musicxml files")
    out = parser.parse_args().out
    for path in sorted(ETUDES.glob("*.txt")):
        (out / f"{path.stem}.musicxml").write_text(score_xml(read_etude(path.stem)), encoding="utf-8")


if __name__ == "__main__":
    main()
