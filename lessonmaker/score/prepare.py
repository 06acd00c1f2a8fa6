"""A MusicXML part made ready for engraving: alone, with ids on notes and bars, beams where none are written.

What belongs to another page is taken out (system breaks, layout, credits), and the chord symbols too: they
are drawn from what was read.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction

from lxml import etree

from lessonmaker.score.numbers import exact
from lessonmaker.score.raw import RawBar

__all__ = ["add_beams", "give_ids", "keep_part", "strip_for_engraving"]

GOOD_ID = re.compile(r"^[A-Za-z_][\w.-]{0,63}$", re.ASCII)
NOT_ENGRAVED = (
    "credit",
    "defaults",
    "part/measure/print",
    "part/measure/harmony",
    "part/measure/attributes/measure-style",
)
FLAGGED = {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4, "128th": 5}
TYPES = {"whole": 1, "half": 2, "quarter": 4, "eighth": 8, "16th": 16, "32nd": 32}
DOTTED = {0: Fraction(1), 1: Fraction(3, 2), 2: Fraction(7, 4)}
NOTE_VALUES = {4 * by / parts: (name, dots) for name, parts in TYPES.items() for dots, by in DOTTED.items()}
AFTER_DOTS = (
    *("accidental", "time-modification", "stem", "notehead", "notehead-text", "staff", "beam"),
    *("notations", "lyric", "play", "listen"),
)
AFTER_BEAMS = ("notations", "lyric", "play", "listen")


def keep_part(root: etree._Element, part_id: str) -> None:
    """Drop every other part, in place."""
    for part in root.findall("part"):
        if part.get("id", "") != part_id:
            root.remove(part)
    for parts in root.findall("part-list"):
        for listed in list(parts):
            if listed.tag == "part-group" or listed.get("id", "") != part_id:
                parts.remove(listed)


def give_ids(part: etree._Element) -> None:
    """Give each bar and note an id of its own; ids of the file stay where they are sound and unique."""
    taken: set[str] = set()
    for index, measure in enumerate(part.findall("measure")):
        _give_id(measure, f"bar{index}", taken)
        for count, note in enumerate(measure.findall("note"), start=1):
            _give_id(note, f"bar{index}n{count}", taken)


def _give_id(element: etree._Element, name: str, taken: set[str]) -> None:
    own = element.get("id", "")
    chosen = own if GOOD_ID.match(own) and own not in taken else name
    while chosen in taken:
        chosen += "x"
    taken.add(chosen)
    element.set("id", chosen)


def strip_for_engraving(root: etree._Element) -> None:
    """Take out layout, credits and chord symbols, and write what Verovio needs to see, in place."""
    for path in NOT_ENGRAVED:
        for element in root.findall(path):
            parent = element.getparent()
            if parent is not None:
                parent.remove(element)
    for note in root.iterfind("part/measure/note"):
        _show_ties(note)
    _show_values(root)


def _show_values(root: etree._Element) -> None:
    """Notes and rests that only last (<duration>) get a note value to be seen (<type>, <dot>)."""
    divisions = Fraction(1)
    for element in root.iterfind("part/measure/*"):
        if element.tag == "attributes":
            divisions = exact(element.findtext("divisions")) or divisions
        elif element.tag == "note" and element.find("type") is None and element.find("grace") is None:
            shown = exact(element.findtext("duration")) / divisions * _tuplet_factor(element)
            name, dots = NOTE_VALUES.get(shown, ("", 0))
            if name and element.find("rest[@measure='yes']") is None:
                _write_value(element, name, dots)


def _tuplet_factor(note: etree._Element) -> Fraction:
    """How much longer than it lasts a note is written."""
    actual = exact(note.findtext("time-modification/actual-notes")) or Fraction(1)
    normal = exact(note.findtext("time-modification/normal-notes")) or Fraction(1)
    return actual / normal


def _write_value(note: etree._Element, name: str, dots: int) -> None:
    value = etree.Element("type")
    value.text = name
    _insert_before(note, value, AFTER_DOTS)
    for _ in range(dots):
        _insert_before(note, etree.Element("dot"), AFTER_DOTS)


def _show_ties(note: etree._Element) -> None:
    """Ties that only sound (<tie>) become visible (<tied>)."""
    kinds = [tie.get("type", "") for tie in note.findall("tie")]
    if not kinds or note.find("notations/tied") is not None:
        return
    notations = note.find("notations")
    if notations is None:
        notations = etree.Element("notations")
        _insert_before(note, notations, ("lyric", "play", "listen"))
    for kind in kinds:
        etree.SubElement(notations, "tied", type=kind)


def _insert_before(note: etree._Element, element: etree._Element, tags: Iterable[str]) -> None:
    followers = [child for child in note if child.tag in tags]
    if followers:
        followers[0].addprevious(element)
    else:
        note.append(element)


def add_beams(part: etree._Element, bars: list[RawBar]) -> None:
    """Beam the flagged notes by the metre, where the part has no beam at all; `bars` are the same bars."""
    if part.find("measure/note/beam") is not None:
        return
    for measure, bar in zip(part.findall("measure"), bars, strict=True):
        onsets = {note.id: note.offset for note in bar.notes}
        shift = (
            bar.metre.bar_quarters - bar.extent
            if bar.implicit and bar.extent < bar.metre.bar_quarters
            else Fraction(0)
        )
        for group in _beam_groups(measure, onsets, bar, shift):
            _write_beam(group)


def _beam_groups(
    measure: etree._Element, onsets: dict[str, Fraction], bar: RawBar, shift: Fraction
) -> Iterator[list[etree._Element]]:
    """Runs of flagged notes of one voice inside one beam span; a rest or a longer note ends a run."""
    spans = list(bar.metre.beam_spans())
    runs: dict[str, list[etree._Element]] = {}
    span_of: dict[str, Fraction] = {}
    for note in measure.findall("note"):
        if note.find("chord") is not None or note.find("grace") is not None:
            continue
        voice = (note.findtext("voice") or "1").strip()
        onset = onsets.get(note.get("id", ""))
        flagged = onset is not None and (note.findtext("type") or "").strip() in FLAGGED
        span = (
            next((start for start, end in spans if start <= (onset or 0) + shift < end), None)
            if flagged
            else None
        )
        if span is None or span_of.get(voice) != span:
            yield from _finished(runs.pop(voice, []))
        if span is not None:
            runs.setdefault(voice, []).append(note)
            span_of[voice] = span
        else:
            span_of.pop(voice, None)
    for run in runs.values():
        yield from _finished(run)


def _finished(run: list[etree._Element]) -> Iterator[list[etree._Element]]:
    if len(run) > 1:
        yield run


def _write_beam(notes: list[etree._Element]) -> None:
    """The first-level beam: Verovio draws the further levels from the note values."""
    for index, note in enumerate(notes):
        beam = etree.Element("beam", number="1")
        beam.text = "begin" if index == 0 else "end" if index == len(notes) - 1 else "continue"
        _insert_before(note, beam, AFTER_BEAMS)
