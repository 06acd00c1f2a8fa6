"""Writing an edition's pitches, keys, clef and accidentals into its MEI, note by note, ids untouched."""

from __future__ import annotations

from collections.abc import Mapping

from lxml import etree

from lessonmaker.score.accidentals import printed_accidentals
from lessonmaker.score.cut import MEI, XML_ID, parse_mei, signature_text
from lessonmaker.score.model import Clef, Note, Score
from lessonmaker.theory.chord import chord_text

__all__ = ["rewrite_mei"]

ACCIDENTALS = {-3: "tf", -2: "ff", -1: "f", 0: "n", 1: "s", 2: "x", 3: "ts"}
SOUNDED = {**ACCIDENTALS, 2: "ss"}
ACCID_ATTRIBUTES = ("accid", "accid.ges")
# Placements that were right for the source's pitches only.
PLACED = {
    "note": ("stem.dir", "ploc", "oloc", "loc"),
    "chord": ("stem.dir",),
    "rest": ("ploc", "oloc", "loc"),
    "slur": ("curvedir", "bezier"),
    "tie": ("curvedir", "bezier"),
    "artic": ("place",),
    "tuplet": ("num.place", "bracket.place"),
    "beam": ("place",),
}
KEY_ATTRIBUTES = ("keysig", "key.sig")
KEY_DETAILS = ("mode", "pname", "accid", "key.mode", "key.pname", "key.accid", "keysig.mode")
CLEF_ATTRIBUTES = ("clef.shape", "clef.line", "clef.dis", "clef.dis.place")
TRANSPOSITION = ("trans.diat", "trans.semi")


def rewrite_mei(source: Score, edition: Score) -> str:
    """The MEI of an edition.

    Args:
        source: the score as read, whose `mei` is rewritten.
        edition: the same score, with the pitches, keys, clef and chords to print.
    """
    root = parse_mei(source.mei)
    written = {note.id: note for note in edition.notes}
    elements = {one.get(XML_ID): one for one in root.iter(f"{MEI}note") if one.get(XML_ID) in written}
    kept = _kept_accidentals(source, edition, elements)
    printed = printed_accidentals(edition.bars, edition.notes, kept)
    for note_id, element in elements.items():
        note = written[note_id or ""]
        _write_note(element, note, printed.get(note.id))
    _write_keys(root, edition)
    _write_chords(root, edition)
    if _moved(source, edition):
        _write_clef(root, edition.clef, source.clef)
        _write_transposition(root, edition)
        _forget_placements(root)
    return etree.tostring(root, encoding="unicode")


def _moved(source: Score, edition: Score) -> bool:
    pairs = zip(source.notes, edition.notes, strict=True)
    return source.clef != edition.clef or any(old.written != new.written for old, new in pairs)


def _kept_accidentals(
    source: Score, edition: Score, elements: Mapping[str | None, etree._Element]
) -> set[str]:
    """Notes whose printed accidental the author chose and that still stand alike in their key."""
    kept = set()
    for old, new in zip(source.notes, edition.notes, strict=True):
        element = elements.get(old.id)
        if element is None or not _prints_accidental(element):
            continue
        before = old.written.name.fifths - source.bars[old.bar].key.fifths
        if before == new.written.name.fifths - edition.bars[new.bar].key.fifths:
            kept.add(old.id)
    return kept


def _prints_accidental(element: etree._Element) -> bool:
    child = element.find(f"{MEI}accid")
    return bool(element.get("accid") or (child is not None and child.get("accid")))


def _write_note(element: etree._Element, note: Note, printed: int | None) -> None:
    pitch = note.written
    element.set("pname", pitch.step.lower())
    element.set("oct", str(pitch.octave))
    for child in element.findall(f"{MEI}accid"):
        element.remove(child)
    for name in (*ACCID_ATTRIBUTES, "pname.ges", "oct.ges", "pnum"):
        element.attrib.pop(name, "")
    if printed is not None:
        element.set("accid", ACCIDENTALS[printed])
    elif pitch.alter:
        element.set("accid.ges", SOUNDED[pitch.alter])


def _write_keys(root: etree._Element, edition: Score) -> None:
    """Every key signature becomes the one in force in the bar that it stands before or in."""
    keys = {bar.id: bar.key for bar in edition.bars}
    current = edition.bars[0].key
    pending: list[etree._Element] = []
    for element in root.iter(f"{MEI}scoreDef", f"{MEI}staffDef", f"{MEI}keySig", f"{MEI}measure"):
        if element.tag == f"{MEI}measure":
            current = keys.get(element.get(XML_ID, ""), current)
            for waiting in pending:
                _write_key(waiting, signature_text(current))
            pending.clear()
        elif next(element.iterancestors(f"{MEI}measure"), None) is not None:
            _write_key(element, signature_text(current))
        else:
            pending.append(element)


def _write_key(element: etree._Element, signature: str) -> None:
    for name in KEY_DETAILS:
        element.attrib.pop(name, "")
    names = (
        ("sig",) if element.tag == f"{MEI}keySig" else [name for name in KEY_ATTRIBUTES if element.get(name)]
    )
    for name in names:
        element.set(name, signature)


def _write_clef(root: etree._Element, clef: Clef, source: Clef) -> None:
    if clef == source:
        return
    for element in list(root.iter(f"{MEI}clef")):
        layer = next(element.iterancestors(f"{MEI}layer"), None)
        parent = element.getparent()
        if layer is not None and parent is not None:
            parent.remove(element)
        else:
            _set_clef(element, clef)
    for element in root.iter(f"{MEI}scoreDef", f"{MEI}staffDef"):
        if element.get("clef.shape"):
            for name in CLEF_ATTRIBUTES:
                element.attrib.pop(name, "")
            _set_clef(etree.SubElement(element, f"{MEI}clef"), clef)


def _set_clef(element: etree._Element, clef: Clef) -> None:
    for name in ("dis", "dis.place", "oct"):
        element.attrib.pop(name, "")
    element.set("shape", clef.shape)
    element.set("line", str(clef.line))
    if clef.octave:
        element.set("dis", str(7 * abs(clef.octave) + 1))
        element.set("dis.place", "above" if clef.octave > 0 else "below")


def _write_transposition(root: etree._Element, edition: Score) -> None:
    for element in root.iter(f"{MEI}scoreDef", f"{MEI}staffDef"):
        had = [element.attrib.pop(name, "") for name in TRANSPOSITION]
        first = element.tag == f"{MEI}staffDef" and next(element.iterancestors(f"{MEI}section"), None) is None
        moved = edition.transposition.steps or edition.transposition.semitones
        if moved and (first or any(had)):
            element.set("trans.diat", str(-edition.transposition.steps))
            element.set("trans.semi", str(-edition.transposition.semitones))


def _write_chords(root: etree._Element, edition: Score) -> None:
    texts = {change.id: chord_text(change.written) for change in edition.changes}
    for element in root.iter(f"{MEI}harm"):
        if element.get(XML_ID) in texts:
            for child in list(element):
                element.remove(child)
            element.text = texts[element.get(XML_ID) or ""]


def _forget_placements(root: etree._Element) -> None:
    for kind, names in PLACED.items():
        for element in root.iter(f"{MEI}{kind}"):
            for name in names:
                element.attrib.pop(name, "")
