"""A piece as MusicXML 4.0 text: one part with chord symbols, ties, triplets, repeats and endings.

`written` is how many semitones above sounding pitch the part is written; `told` whether the file says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from xml.etree import ElementTree as ET

from tests.tools.random_piece import CHORDS, Change, LineNote, Piece

__all__ = ["piece_xml"]

DIVISIONS = 12
# Lengths that one note can have, longest first: type and dots.
LENGTHS = {
    Fraction(4): ("whole", 0),
    Fraction(3): ("half", 1),
    Fraction(2): ("half", 0),
    Fraction(3, 2): ("quarter", 1),
    Fraction(1): ("quarter", 0),
    Fraction(3, 4): ("eighth", 1),
    Fraction(1, 2): ("eighth", 0),
    Fraction(1, 4): ("16th", 0),
}
THIRD = Fraction(1, 3)
FLAT_NAMES = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
SHARP_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
FIFTHS = (0, -5, 2, -3, 4, -1, -6, 1, -4, 3, -2, 5)  # of each major key from C up
ALTERS = {"": 0, "#": 1, "b": -1}
# Diatonic steps of an interval of 0 to 11 semitones.
STEPS = (0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6)


def piece_xml(piece: Piece, written: int = 0, told: bool = True) -> str:
    """The whole piece as text."""
    root = ET.Element("score-partwise", version="4.0")
    _add(_add(root, "work"), "work-title", "Study")
    _add(_add(_add(root, "part-list"), "score-part", id="P1"), "part-name", "Solo")
    part = _add(root, "part", id="P1")
    writer = _Writer(piece, written, told)
    for bar in range(piece.bars):
        writer.write_bar(_add(part, "measure", number=str(bar + 1)), bar)
    return ET.tostring(root, encoding="unicode")


def _add(parent: ET.Element, tag: str, text: object = None, /, **attributes: str) -> ET.Element:
    element = ET.SubElement(parent, tag, {key.replace("_", "-"): value for key, value in attributes.items()})
    element.text = None if text is None else str(text)
    return element


class _Writer:
    def __init__(self, piece: Piece, written: int, told: bool) -> None:
        self.piece, self.written, self.told = piece, written, told
        self.fifths = FIFTHS[(piece.key + written) % 12]
        self.names = SHARP_NAMES if self.fifths > 0 else FLAT_NAMES

    def write_bar(self, measure: ET.Element, bar: int) -> None:
        self._bar_line(measure, bar, "left")
        if bar == 0:
            self._attributes(measure)
        start, end = Fraction(bar * self.piece.beats), Fraction((bar + 1) * self.piece.beats)
        changes = [change for change in self.piece.changes if start <= change.start < end]
        for onset, length, note in _parts(self.piece.notes, start, end):
            while changes and changes[0].start < onset + length:
                change = changes.pop(0)
                self._harmony(measure, change, change.start - onset)
            self._note(measure, onset, length, note)
        self._bar_line(measure, bar, "right")

    def _attributes(self, measure: ET.Element) -> None:
        attributes = _add(measure, "attributes")
        _add(attributes, "divisions", DIVISIONS)
        _add(_add(attributes, "key"), "fifths", self.fifths)
        time = _add(attributes, "time")
        _add(time, "beats", self.piece.beats)
        _add(time, "beat-type", 4)
        clef = _add(attributes, "clef")
        low = sum(note.pitch for note in self.piece.notes) < 52 * len(self.piece.notes)
        _add(clef, "sign", "F" if low else "G")
        _add(clef, "line", 4 if low else 2)
        if self.written and self.told:
            self._transpose(attributes)
        direction = _add(measure, "direction", placement="above")
        metronome = _add(_add(direction, "direction-type"), "metronome")
        _add(metronome, "beat-unit", "quarter")
        _add(metronome, "per-minute", self.piece.tempo)

    def _transpose(self, attributes: ET.Element) -> None:
        down, semitones = divmod(abs(self.written), 12)
        sign = -1 if self.written > 0 else 1
        transpose = _add(attributes, "transpose")
        _add(transpose, "diatonic", sign * STEPS[semitones])
        _add(transpose, "chromatic", sign * semitones)
        if down:
            _add(transpose, "octave-change", sign * down)

    def _harmony(self, measure: ET.Element, change: Change, offset: Fraction) -> None:
        name, chord = self.names[(change.root + self.written) % 12], CHORDS[change.chord]
        harmony = _add(measure, "harmony")
        root = _add(harmony, "root")
        _add(root, "root-step", name[0])
        if name[1:]:
            _add(root, "root-alter", ALTERS[name[1:]])
        _add(harmony, "kind", chord.kind, text=chord.text)
        if offset:
            _add(harmony, "offset", int(offset * DIVISIONS))

    def _note(self, measure: ET.Element, onset: Fraction, length: Fraction, note: LineNote | None) -> None:
        element = _add(measure, "note")
        ties = []
        if note is None:
            _add(element, "rest")
        else:
            self._pitch(element, note.pitch + self.written)
            ends = (onset > note.start, onset + length < note.start + note.length)
            ties = [kind for kind, there in zip(("stop", "start"), ends, strict=True) if there]
        _add(element, "duration", int(length * DIVISIONS))
        for kind in ties:
            _add(element, "tie", type=kind)
        _add(element, "voice", 1)
        triplet = length == THIRD
        kind, dots = ("eighth", 0) if triplet else LENGTHS[length]
        _add(element, "type", kind)
        for _ in range(dots):
            _add(element, "dot")
        if triplet:
            ratio = _add(element, "time-modification")
            _add(ratio, "actual-notes", 3)
            _add(ratio, "normal-notes", 2)
        if ties:
            notations = _add(element, "notations")
            for kind in ties:
                _add(notations, "tied", type=kind)

    def _pitch(self, element: ET.Element, midi: int) -> None:
        name, pitch = self.names[midi % 12], _add(element, "pitch")
        _add(pitch, "step", name[0])
        if name[1:]:
            _add(pitch, "alter", ALTERS[name[1:]])
        _add(pitch, "octave", midi // 12 - 1)

    def _bar_line(self, measure: ET.Element, bar: int, side: str) -> None:
        """Repeat signs and endings of this side of a bar."""
        for repeat in self.piece.repeats:
            ending, direction = _marks(repeat.first, repeat.last, repeat.ending, bar, side)
            if ending or direction:
                line = _add(measure, "barline", location=side)
                if direction:
                    _add(line, "bar-style", "heavy-light" if side == "left" else "light-heavy")
                if ending:
                    _add(line, "ending", number=ending[0], type=ending[1])
                if direction:
                    _add(line, "repeat", direction=direction)


def _marks(first: int, last: int, ending: int, bar: int, side: str) -> tuple[tuple[str, str] | None, str]:
    """((ending number, type) or None, repeat direction or "") at one side of a bar."""
    opens, closes = last - ending + 1, last + ending
    if side == "left":
        begun = {opens: ("1", "start"), last + 1: ("2", "start")}.get(bar) if ending else None
        return begun, "forward" if bar == first else ""
    over = {last: ("1", "stop"), closes: ("2", "discontinue")}.get(bar) if ending else None
    return over, "backward" if bar == last else ""


def _parts(
    notes: tuple[LineNote, ...], start: Fraction, end: Fraction
) -> Iterator[tuple[Fraction, Fraction, LineNote | None]]:
    """(onset, writable length, note or None for a rest) that fill a bar."""
    at = start
    for note in notes:
        begin, stop = max(note.start, start), min(note.start + note.length, end)
        if begin >= stop:
            continue
        yield from ((onset, length, None) for onset, length in _writable(at, begin))
        yield from ((onset, length, note) for onset, length in _writable(begin, stop))
        at = stop
    yield from ((onset, length, None) for onset, length in _writable(at, end))


def _writable(start: Fraction, end: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """(onset, length) of the single lengths that a stretch is written with; thirds of a beat stay thirds."""
    while start < end:
        whole = Fraction(end.numerator // end.denominator)
        if start.denominator == 3 or (end.denominator == 3 and start >= whole):
            length = THIRD
        else:
            room = (whole if end.denominator == 3 else end) - start
            length = next(one for one in LENGTHS if one <= room)
        yield start, length
        start += length
