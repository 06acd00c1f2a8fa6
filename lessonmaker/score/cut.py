"""Cutting a few bars out of a score's MEI, as a small MEI document of their own.

The cut opens with the clef, key and metre in force at its first bar. Chord symbols, rehearsal marks,
tempo words and bar numbers are left out; in their place stand invisible anchors, `harm` elements whose
text is as wide as the room that must be kept free. Bars before and after the cut come along, each in a
system of its own, only where a tie or slur crosses the edge: so it is drawn broken, as on paper.

Source for the elements: Music Encoding Initiative guidelines 5.0 (scoreDef, measure, ending, harm).
"""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from lxml import etree

from lessonmaker.score.model import Bar, Key, Score

__all__ = ["MEI", "XML_ID", "Anchor", "cut_bars", "parse_mei", "signature_text"]

MEI = "{http://www.music-encoding.org/ns/mei}"
XML_ID = "{http://www.w3.org/XML/1998/namespace}id"
CONTINUED = "continued-"
LEFT_OUT = {f"{MEI}{name}" for name in ("harm", "reh", "tempo", "mNum", "sb", "pb")}
SKELETON = (
    '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><meiHead/><music><body><mdiv><score>'
    '<scoreDef><staffGrp><staffDef n="1" lines="5"/></staffGrp></scoreDef><section><pb/></section>'
    "</score></mdiv></body></music></mei>"
)
METRE_ATTRIBUTES = {"meter.count": "count", "meter.unit": "unit", "meter.sym": "sym", "meter.form": "form"}


@dataclass(frozen=True)
class Anchor:
    """A place to know the x of, and to keep room at: a time in a bar, or a note.

    `text` is what stands there unseen; its width keeps the next anchor of the same `group` away.
    """

    id: str
    group: int
    bar: int
    text: str
    tstamp: str = ""
    note: str = ""


@dataclass
class _Source:
    """A parsed score: its measures, what is in force at each, and where every element stands."""

    staff: str
    measures: list[etree._Element] = field(default_factory=list)
    clefs: list[etree._Element] = field(default_factory=list)
    metres: list[etree._Element | None] = field(default_factory=list)
    home: dict[str, int] = field(default_factory=dict)
    crossing: list[tuple[int, int, etree._Element]] = field(default_factory=list)


def parse_mei(mei: str) -> etree._Element:
    """The root element of an MEI document; entities and network are never followed."""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, remove_blank_text=True)
    return etree.fromstring(mei.encode(), parser)


def signature_text(key: Key) -> str:
    """A key signature as MEI writes it: "0", "3s", "2f"."""
    return f"{abs(key.fifths)}{'s' if key.fifths > 0 else 'f'}" if key.fifths else "0"


@lru_cache(maxsize=8)
def _source(mei: str, first_note: str) -> _Source:
    root = parse_mei(mei)
    source = _Source(_staff_of(root, first_note))
    clef, metre = etree.Element(f"{MEI}clef", shape="G", line="2"), None
    for element in root.iter(
        f"{MEI}clef", f"{MEI}meterSig", f"{MEI}scoreDef", f"{MEI}staffDef", f"{MEI}measure"
    ):
        if element.tag == f"{MEI}measure":
            source.measures.append(element)
            source.clefs.append(clef)
            source.metres.append(metre)
        elif not _other_staff(element, source.staff):
            found_clef, found_metre = _clef_in(element), _metre_in(element)
            clef = clef if found_clef is None else found_clef
            metre = metre if found_metre is None else found_metre
    _index(source)
    return source


def _staff_of(root: etree._Element, note_id: str) -> str:
    for note in root.iter(f"{MEI}note"):
        if note.get(XML_ID) == note_id:
            return next((staff.get("n", "1") for staff in note.iterancestors(f"{MEI}staff")), "1")
    return "1"


def _other_staff(element: etree._Element, staff: str) -> bool:
    for owner in (element, *element.iterancestors(f"{MEI}staff", f"{MEI}staffDef")):
        if owner.tag in (f"{MEI}staff", f"{MEI}staffDef"):
            return owner.get("n", staff) != staff
    return False


def _clef_in(element: etree._Element) -> etree._Element | None:
    if element.tag == f"{MEI}clef":
        return element
    if element.get("clef.shape") is None:
        return None
    names = {"clef.shape": "shape", "clef.line": "line", "clef.dis": "dis", "clef.dis.place": "dis.place"}
    return etree.Element(
        f"{MEI}clef", {new: element.get(old, "") for old, new in names.items() if element.get(old)}
    )


def _metre_in(element: etree._Element) -> etree._Element | None:
    if element.tag == f"{MEI}meterSig":
        return element
    found = {new: element.get(old, "") for old, new in METRE_ATTRIBUTES.items() if element.get(old)}
    return etree.Element(f"{MEI}meterSig", found) if "count" in found else None


def _index(source: _Source) -> None:
    for number, measure in enumerate(source.measures):
        for element in measure.iter():
            if element.get(XML_ID):
                source.home[element.get(XML_ID, "")] = number
    for element in (element for measure in source.measures for element in measure.iter()):
        start = source.home.get(element.get("startid", "").lstrip("#"))
        end = source.home.get(element.get("endid", "").lstrip("#"))
        if start is not None and end is not None and start != end:
            source.crossing.append((start, end, element))


def cut_bars(score: Score, bars: Sequence[int], anchors: Sequence[Anchor], show_time: bool) -> str:
    """The MEI of a few bars, to be drawn as one system.

    Args:
        score: the score to cut from.
        bars: indices into `score.bars`, ascending.
        anchors: the places whose x must be known, each with the text that keeps its room free.
        show_time: whether the metre is printed at the start; a change inside the cut always is.
    """
    source = _source(score.mei, score.notes[0].id if score.notes else "")
    at = [source.home[score.bars[bar].id] for bar in bars]
    root = parse_mei(SKELETON)
    section = next(root.iter(f"{MEI}section"))
    before, after = _crossed(source, at[0], at[-1])
    _open(root, score, source, bars[0], at[0], show_time)
    if before:
        section.extend((_measure(source, at[0] - 1), etree.Element(f"{MEI}sb")))
        section.append(_time_again(score, source, bars[0], at[0], show_time))
    _fill(section, score, source, bars, at)
    if after:
        section.extend((etree.Element(f"{MEI}sb"), _measure(source, at[-1] + 1)))
    _keep_whole(root, source, at, before)
    _anchor(root, score, anchors)
    return etree.tostring(root, encoding="unicode")


def _crossed(source: _Source, first: int, last: int) -> tuple[bool, bool]:
    before = any(start < first <= end <= last for start, end, _ in source.crossing)
    after = any(first <= start <= last < end for start, end, _ in source.crossing)
    around = any(start < first and last < end for start, end, _ in source.crossing)
    return before or around, after or around


def _open(root: etree._Element, score: Score, source: _Source, bar: int, at: int, show_time: bool) -> None:
    staff = next(root.iter(f"{MEI}staffDef"))
    staff.set("n", source.staff)
    staff.append(copy.deepcopy(source.clefs[at]))
    staff.append(etree.Element(f"{MEI}keySig", sig=signature_text(score.bars[bar].key)))
    staff.append(_metre(score.bars[bar], source, at, show_time))


def _metre(bar: Bar, source: _Source, at: int, shown: bool) -> etree._Element:
    found = source.metres[at]
    plain = etree.Element(f"{MEI}meterSig", count=str(bar.metre.beats), unit=str(bar.metre.unit))
    metre = plain if found is None else copy.deepcopy(found)
    metre.set("visible", "true" if shown else "false")
    return metre


def _time_again(score: Score, source: _Source, bar: int, at: int, show_time: bool) -> etree._Element:
    change = etree.Element(f"{MEI}scoreDef")
    if show_time:
        change.append(_metre(score.bars[bar], source, at, True))
    return change


def _measure(source: _Source, at: int) -> etree._Element:
    measure = copy.deepcopy(source.measures[at])
    measure.attrib.pop("n", "")
    for element in [element for element in measure.iter() if _unwanted(element, source.staff)]:
        parent = element.getparent()
        if parent is not None:
            parent.remove(element)
    return measure


def _unwanted(element: etree._Element, staff: str) -> bool:
    if element.tag in LEFT_OUT or not isinstance(element.tag, str):
        return True
    if element.tag == f"{MEI}staff":
        return element.get("n", staff) != staff
    return staff not in element.get("staff", staff).split()


def _fill(
    section: etree._Element, score: Score, source: _Source, bars: Sequence[int], at: Sequence[int]
) -> None:
    home: etree._Element = section
    ending: etree._Element | None = None
    for place, (bar, number) in enumerate(zip(bars, at, strict=True)):
        inside = next(source.measures[number].iterancestors(f"{MEI}ending"), None)
        if place and _changed(score, bars[place - 1], bar):
            section.append(_change(score, source, bar, number, bars[place - 1]))
        if inside is None:
            home = section
        elif inside is not ending:
            home = _ending(inside, source, number, at)
            section.append(home)
        ending = inside
        home.append(_measure(source, number))


def _changed(score: Score, before: int, bar: int) -> bool:
    old, new = score.bars[before], score.bars[bar]
    return old.key.fifths != new.key.fifths or old.metre != new.metre


def _change(score: Score, source: _Source, bar: int, at: int, before: int) -> etree._Element:
    change = etree.Element(f"{MEI}scoreDef")
    old, new = score.bars[before], score.bars[bar]
    if old.key.fifths != new.key.fifths:
        change.append(etree.Element(f"{MEI}keySig", sig=signature_text(new.key)))
    if old.metre != new.metre:
        change.append(_metre(new, source, at, True))
    return change


def _ending(ending: etree._Element, source: _Source, at: int, cut: Sequence[int]) -> etree._Element:
    """The same ending around what the cut shows of it: open where the cut breaks it."""
    copied = etree.Element(f"{MEI}ending", {str(name): str(value) for name, value in ending.attrib.items()})
    inside = [source.home[measure.get(XML_ID, "")] for measure in ending.iter(f"{MEI}measure")]
    if inside[0] != at:
        copied.set(XML_ID, CONTINUED + copied.get(XML_ID, ""))
        copied.set("lstartsym", "none")
    if inside[-1] not in cut:
        copied.set("lendsym", "none")
    return copied


def _keep_whole(root: etree._Element, source: _Source, at: Sequence[int], before: bool) -> None:
    """Tie what crosses the edges to the bars beside the cut, and drop what reaches nothing."""
    present = {element.get(XML_ID): element for element in root.iter() if element.get(XML_ID)}
    measures = list(root.iter(f"{MEI}measure"))
    if before:
        _bring_in(measures[0], source, at, present)
    for element in list(root.iter()):
        start, end = element.get("startid", ""), element.get("endid", "")
        if end and end.lstrip("#") not in present:
            end = _last_note(measures[-1])
            element.set("endid", end)
        if (start and start.lstrip("#") not in present) or (end and end.lstrip("#") not in present):
            parent = element.getparent()
            if parent is not None:
                parent.remove(element)


def _bring_in(
    measure: etree._Element, source: _Source, at: Sequence[int], present: Mapping[str | None, etree._Element]
) -> None:
    for start, end, element in source.crossing:
        if start >= at[0] or end < at[0] or element.get(XML_ID) in present:
            continue
        copied = copy.deepcopy(element)
        if copied.get("startid", "").lstrip("#") not in present:
            if copied.tag == f"{MEI}tie":
                continue
            copied.set("startid", _last_note(measure))
        measure.append(copied)


def _last_note(measure: etree._Element) -> str:
    notes = [note.get(XML_ID, "") for note in measure.iter(f"{MEI}note", f"{MEI}rest", f"{MEI}mRest")]
    return f"#{notes[-1]}" if notes else ""


def _anchor(root: etree._Element, score: Score, anchors: Sequence[Anchor]) -> None:
    measures = {measure.get(XML_ID): measure for measure in root.iter(f"{MEI}measure")}
    for anchor in anchors:
        harm = etree.SubElement(measures[score.bars[anchor.bar].id], f"{MEI}harm", n=str(anchor.group))
        harm.set(XML_ID, anchor.id)
        staff = next(root.iter(f"{MEI}staffDef")).get("n", "1")
        harm.set("staff", staff)
        harm.set(*(("startid", f"#{anchor.note}") if anchor.note else ("tstamp", anchor.tstamp)))
        harm.text = anchor.text
