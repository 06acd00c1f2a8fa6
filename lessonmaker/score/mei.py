"""Reading one staff of an MEI score, as Verovio normalises it (older versions of MEI are brought up to date).

A pitch is what `accid.ges` or `accid` says. Where a file carries no `accid.ges` at all (written by hand), key
signature and earlier accidentals in the bar count as on paper.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from lxml import etree

from lessonmaker.score.directions import apply_words, ending_numbers, text_of
from lessonmaker.score.harmony import ChordReader
from lessonmaker.score.mei_values import (
    alteration,
    clef_of,
    key_alteration,
    key_of,
    local,
    metre_of,
    tempo_of,
    transposition_of,
    value_quarters,
    xml_id,
)
from lessonmaker.score.model import Clef, Key
from lessonmaker.score.numbers import exact, whole
from lessonmaker.score.order import Signs
from lessonmaker.score.raw import RawBar, RawChange, RawNote, RawPart
from lessonmaker.score.source import MEI_NAMESPACE
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch

__all__ = ["keep_part", "part_names", "read_part"]

M = f"{{{MEI_NAMESPACE}}}"
TREBLE = Clef("G", 2)
NOT_ENGRAVED = ("harm", "sb", "pb", "expansion")
CONTAINERS = ("section", "lem", "app", "choice", "orig", "sic", "add", "supplied", "unclear")
LAYER_CONTAINERS = (
    "beam",
    "tuplet",
    "graceGrp",
    "bTrem",
    "fTrem",
    "app",
    "lem",
    "choice",
    "supplied",
    "unclear",
    "add",
)
WHOLE_BAR = ("mRest", "mSpace", "mRpt")
SIGN_GLYPHS = {"U+E047": "segno", "U+E048": "coda"}


def part_names(root: etree._Element) -> dict[str, str]:
    """Name of each staff by its number, in the score's order."""
    names: dict[str, str] = {}
    for staff in root.iter(f"{M}staffDef"):
        number = staff.get("n", "")
        if number and not names.get(number):
            names[number] = _label(staff)
    return {number: name or f"Staff {number}" for number, name in names.items()}


def _label(staff: etree._Element) -> str:
    """The staff's own label, else that of a group that holds only this staff."""
    label = staff.find(f"{M}label")
    group = staff.getparent()
    if label is None and group is not None and len(group.findall(f"{M}staffDef")) == 1:
        label = group.find(f"{M}label")
    return text_of(label) if label is not None else staff.get("label", "")


def keep_part(root: etree._Element, number: str) -> None:
    """Drop every other staff and what belongs to it, in place; the one kept becomes staff 1."""
    for later in list(root.iter(f"{M}mdiv"))[1:]:
        _drop(later)
    for tag in ("staffDef", "staff"):
        for element in list(root.iter(f"{M}{tag}")):
            if element.get("n", "") == number:
                element.set("n", "1")
            else:
                _drop(element)
    for element in [e for e in root.iter(etree.Element) if e.get("staff") and local(e) != "staffDef"]:
        if number in element.get("staff", "").split():
            element.set("staff", "1")
        elif (parent := element.getparent()) is not None and local(parent) == "measure":
            _drop(element)


def _drop(element: etree._Element) -> None:
    if (parent := element.getparent()) is not None:
        parent.remove(element)


def read_part(root: etree._Element, name: str) -> RawPart:
    """Read the only staff; `mei` of the result has no chord symbols, breaks and expansions, and has beams."""
    reader = _Reader(gestural=any(e.get("accid.ges") for e in root.iter(etree.Element)))
    for score in list(root.iter(f"{M}score"))[:1]:
        reader.walk(score)
    reader.tie_ends()
    _add_beams(root, reader.bars)
    for tag in NOT_ENGRAVED:
        for element in list(root.iter(f"{M}{tag}")):
            _drop(element)
    return RawPart(
        title=_header(root, "title"),
        composer=_composer(root),
        name=name,
        clef=reader.clef or TREBLE,
        tempo=reader.tempo,
        bars=reader.bars,
        mei=etree.tostring(root, encoding="unicode"),
        remarks=[*reader.remarks, *reader.chords.remarks],
    )


def _header(root: etree._Element, tag: str) -> str:
    found = root.find(f"{M}meiHead/{M}fileDesc/{M}titleStmt/{M}{tag}")
    return text_of(found) if found is not None else ""


def _composer(root: etree._Element) -> str:
    for person in root.iterfind(f"{M}meiHead/{M}fileDesc/{M}titleStmt//{M}persName"):
        if person.get("role") == "composer":
            return text_of(person)
    return _header(root, "composer")


@dataclass(frozen=True)
class _Inside:
    """What an event takes from the elements around it."""

    factor: Fraction = Fraction(1)
    grace: bool = False
    tuplet: bool = False


class _Reader:
    """Walks the score in order and carries what lasts from bar to bar."""

    def __init__(self, gestural: bool) -> None:
        self.gestural = gestural
        self.metre = Metre(4, 4)
        self.key = Key(0)
        self.transposition = Interval(0, 0)
        self.clef: Clef | None = None
        self.tempo: float | None = None
        self.chords = ChordReader()
        self.remarks: dict[str, None] = {}
        self.bars: list[RawBar] = []
        self.changes = 0
        self.at = Fraction(0)
        self.onsets: dict[str, Fraction] = {}
        self.accidentals: dict[tuple[str, int], int] = {}
        self.ties_from: set[str] = set()
        self.ties_on: set[str] = set()

    def walk(self, element: etree._Element, ending: tuple[int, ...] = ()) -> None:
        """Read the bars below an element; `ending` holds the times round of the ending around them."""
        for child in element:
            tag = local(child)
            if tag in ("scoreDef", "staffDef", "staffGrp"):
                self._definition(child)
            elif tag == "measure":
                self._bar(child, ending)
            elif tag == "ending":
                first = len(self.bars)
                self.walk(child, ending_numbers(child.get("n", "")))
                if len(self.bars) > first:
                    self.bars[first].signs.ending_start = True
            elif tag in CONTAINERS:
                self.walk(child, ending)

    def _definition(self, element: etree._Element) -> None:
        self.metre = metre_of(element) or self.metre
        self.key = key_of(element) or self.key
        self.clef = self.clef or clef_of(element)
        self.tempo = self.tempo or tempo_of(element)
        if local(element) == "staffDef":
            self.transposition = transposition_of(element) or self.transposition
        for child in element:
            if local(child) in ("staffGrp", "staffDef"):
                self._definition(child)

    def _bar(self, measure: etree._Element, ending: tuple[int, ...]) -> None:
        bar = RawBar(
            id=xml_id(measure),
            number=measure.get("n", ""),
            implicit=measure.get("metcon") == "false",
            metre=self.metre,
            key=self.key,
            transposition=self.transposition,
        )
        bar.signs.ending = ending
        left, right = measure.get("left", ""), measure.get("right", "")
        bar.signs.repeat_start = left in ("rptstart", "rptboth")
        bar.signs.repeat_end = right in ("rptend", "rptboth")
        if self.bars and self.bars[-1].signs.repeat_end is False and left in ("rptend", "rptboth"):
            self.bars[-1].signs.repeat_end = True
        self.bars.append(bar)
        self._staff(measure, bar)
        for event in measure:
            self._event(event, bar)

    def _staff(self, measure: etree._Element, bar: RawBar) -> None:
        for layer in measure.iterfind(f"{M}staff/{M}layer"):
            self.at = Fraction(0)
            self.accidentals = {}
            self._layer(layer, bar, layer.get("n", "1"), _Inside())
            bar.extent = max(bar.extent, self.at)

    def _layer(self, element: etree._Element, bar: RawBar, voice: str, inside: _Inside) -> None:
        for child in element:
            tag = local(child)
            if tag in WHOLE_BAR:
                self.at += bar.metre.bar_quarters
            elif tag in ("note", "chord", "rest", "space"):
                self._timed(child, bar, voice, inside)
            elif tag in LAYER_CONTAINERS:
                self._layer(child, bar, voice, _within(child, inside))
            if tag in ("mRpt", "beatRpt", "halfmRpt", "multiRpt", "multiRest"):
                self.remarks.setdefault(f"bar {bar.number} is abbreviated (<{tag}>): its notes are not read")

    def _timed(self, element: etree._Element, bar: RawBar, voice: str, inside: _Inside) -> None:
        """A note, chord, rest or space: read its notes, move on."""
        grace = inside.grace or element.get("grace") is not None
        length = Fraction(0) if grace else value_quarters(element, element) * inside.factor
        self.onsets[xml_id(element)] = self.at
        heads = element.findall(f"{M}note") if local(element) == "chord" else [element]
        if local(element) in ("note", "chord") and element.get("cue") != "true":
            for head in heads:
                self._head(head, element, bar, voice, replace(inside, grace=grace))
        self.at += length

    def _head(
        self, note: etree._Element, event: etree._Element, bar: RawBar, voice: str, inside: _Inside
    ) -> None:
        pitch = self._pitch(note)
        if pitch is None:
            return
        self.onsets[xml_id(note)] = self.at
        tie = note.get("tie", "") + event.get("tie", "")
        duration = Fraction(0) if inside.grace else value_quarters(note, event) * inside.factor
        bar.notes.append(
            RawNote(
                id=xml_id(note),
                offset=self.at,
                duration=duration,
                pitch=pitch,
                grace=inside.grace,
                tie_from="i" in tie or "m" in tie,
                tie_on="t" in tie or "m" in tie,
                staff=1,
                voice=voice,
                in_tuplet=inside.tuplet,
            )
        )

    def _pitch(self, note: etree._Element) -> Pitch | None:
        step = note.get("pname", "").upper()
        octave = note.get("oct.ges", note.get("oct", ""))
        if step not in tuple("CDEFGAB") or not octave.isdecimal() or len(octave) > 1:
            return None
        place = (step, whole(octave))
        alter = alteration(note)
        if alter is None and not self.gestural:
            alter = self.accidentals.get(place, key_alteration(self.key, step))
        self.accidentals[place] = alter or 0
        return Pitch(step, alter or 0, whole(octave))

    def _event(self, event: etree._Element, bar: RawBar) -> None:
        """What stands beside the staff: chord symbols, marks, words, ties, tempo."""
        tag = local(event)
        if tag == "harm":
            self._harm(event, bar)
        elif tag == "reh":
            bar.section = bar.section or text_of(event)
        elif tag == "tempo":
            self.tempo = self.tempo or tempo_of(event)
        elif tag in ("dir", "repeatMark"):
            _mark(event, bar.signs)
        elif tag == "tie":
            self.ties_from.add(event.get("startid", "").lstrip("#"))
            self.ties_on.add(event.get("endid", "").lstrip("#"))

    def _harm(self, event: etree._Element, bar: RawBar) -> None:
        text = text_of(event)
        if not text or event.find(f"{M}fb") is not None:
            return
        readable, chord = self.chords.from_text(text)
        if readable:
            self.changes += 1
            bar.changes.append(RawChange(f"change{self.changes}", self._offset(event, bar), chord))

    def _offset(self, event: etree._Element, bar: RawBar) -> Fraction:
        start = event.get("startid", "").lstrip("#")
        if start in self.onsets:
            return self.onsets[start]
        beat = exact(event.get("tstamp", "1"))
        return max((beat - 1) * bar.metre.unit_quarters, Fraction(0))

    def tie_ends(self) -> None:
        """Enter the ties: their ends may stand in a later bar than they do."""
        for note in (note for bar in self.bars for note in bar.notes):
            note.tie_from = note.tie_from or note.id in self.ties_from
            note.tie_on = note.tie_on or note.id in self.ties_on


def _within(element: etree._Element, inside: _Inside) -> _Inside:
    if local(element) == "graceGrp":
        return replace(inside, grace=True)
    if local(element) != "tuplet":
        return inside
    num, numbase = whole(element.get("num")), whole(element.get("numbase"))
    factor = Fraction(numbase, num) if num > 0 and numbase > 0 else Fraction(1)
    return replace(inside, factor=inside.factor * factor, tuplet=True)


def _mark(event: etree._Element, signs: Signs) -> None:
    """Enter a <dir> or <repeatMark>."""
    apply_words(text_of(event), signs)
    kinds = {SIGN_GLYPHS.get(symbol.get("glyph.num", "").upper()) for symbol in event.iter(f"{M}symbol")}
    kinds.add(event.get("func"))
    signs.segno |= "segno" in kinds
    signs.coda |= "coda" in kinds and not signs.to_coda
    signs.fine |= "fine" in kinds
    if "daCapo" in kinds or "dalSegno" in kinds:
        signs.jump = signs.jump or ("capo" if "daCapo" in kinds else "segno")


def _add_beams(root: etree._Element, bars: list[RawBar]) -> None:
    """Beam flagged notes by the metre, where the score has no beam at all."""
    if next(root.iter(f"{M}beam"), None) is not None:
        return
    offsets = {note.id: (note.offset, bar) for bar in bars for note in bar.notes if not note.grace}
    for tag in ("layer", "tuplet"):
        for holder in list(root.iter(f"{M}{tag}")):
            for run in _runs(holder, offsets):
                _wrap(run)


def _runs(
    holder: etree._Element, offsets: dict[str, tuple[Fraction, RawBar]]
) -> Iterator[list[etree._Element]]:
    """Runs of two or more flagged notes or chords, one after another, in one beam span."""
    run: list[etree._Element] = []
    before: int | None = None
    for child in [*holder, None]:
        span = None if child is None else _beam_span(child, offsets)
        if span is None or span != before:
            if len(run) > 1:
                yield run
            run = []
        if span is not None and child is not None:
            run.append(child)
        before = span


def _beam_span(event: etree._Element, offsets: dict[str, tuple[Fraction, RawBar]]) -> int | None:
    """Which beam span of its bar a flagged note or chord stands in."""
    head = event.find(f"{M}note") if local(event) == "chord" else event
    if head is None or whole(event.get("dur")) < 8 or xml_id(head) not in offsets:
        return None
    offset, bar = offsets[xml_id(head)]
    late = max(bar.metre.bar_quarters - bar.extent, Fraction(0)) if bar.implicit else Fraction(0)
    spans = enumerate(bar.metre.beam_spans())
    return next((index for index, (start, end) in spans if start <= offset + late < end), None)


def _wrap(run: list[etree._Element]) -> None:
    beam = etree.Element(f"{M}beam")
    run[0].addprevious(beam)
    beam.extend(run)
