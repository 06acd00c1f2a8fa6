"""Chord symbols as files write them: MusicXML <harmony>, and the text of MEI <harm>."""

from __future__ import annotations

from dataclasses import replace

from lxml import etree

from lessonmaker.score.numbers import whole
from lessonmaker.theory.chord import Chord, ChordDegree, chord_from_kind, parse_change
from lessonmaker.theory.kinds import KIND_ALIASES, KINDS
from lessonmaker.theory.pitch import Interval, NoteName, Pitch

__all__ = ["ChordReader"]

NO_CHORD_TEXTS = ("n.c.", "nc", "n.c", "no chord")
MINOR_THIRD_KINDS = ("minor", "diminished", "half-dim", "major-minor")
DIMINISHED_FIFTH_KINDS = ("diminished", "half-dim")
MAJOR_SEVENTH_KINDS = ("major-seventh", "major-ninth", "major-11th", "major-13th", "major-minor")


class ChordReader:
    """Reads chord symbols leniently; what was guessed stands in `remarks`, each kind of guess once."""

    def __init__(self) -> None:
        self.remarks: dict[str, None] = {}

    def from_musicxml(self, harmony: etree._Element) -> tuple[bool, Chord | None]:
        """Whether the element is a chord symbol at all, and its chord (None for N.C.)."""
        kind = harmony.find("kind")
        value = (kind.text or "").strip() if kind is not None else ""
        text = kind.get("text", "").strip() if kind is not None else ""
        if value == "none" or text.lower() in NO_CHORD_TEXTS:
            return True, None
        root = _name(harmony.find("root"), "root")
        if root is None:
            self._remark("chord symbols without a root that can be read are left out")
            return False, None
        if len(harmony.findall("kind")) > 1:
            self._remark("of stacked chord symbols only the first is read")
        self._remark_kind(value)
        chord = chord_from_kind(root, value, text, _degrees(harmony), _name(harmony.find("bass"), "bass"))
        return True, chord and _inverted(chord, harmony.findtext("inversion"))

    def from_text(self, text: str) -> tuple[bool, Chord | None]:
        """The chord that a text such as "G7alt" or "Dm7b5/Ab" names; (False, None) where it names none."""
        try:
            return True, parse_change(text.strip())
        except ValueError:
            self._remark(f"{text.strip()!r} is no chord symbol that can be read: it is left out")
            return False, None

    def _remark_kind(self, value: str) -> None:
        if not value:
            self._remark("some chord symbols have no kind: their text decides")
        elif value not in KINDS:
            known = "" if value in KIND_ALIASES else ": the symbol's text decides"
            self._remark(f"the chord kind {value!r} is not in MusicXML{known}")

    def _remark(self, text: str) -> None:
        self.remarks.setdefault(text)


def _name(element: etree._Element | None, stem: str) -> NoteName | None:
    """The note name in a <root> or <bass>."""
    if element is None:
        return None
    step = (element.findtext(f"{stem}-step") or "").strip().upper()
    alter = whole(element.findtext(f"{stem}-alter"))
    return NoteName(step, alter) if step in tuple("CDEFGAB") and abs(alter) <= 2 else None


def _degrees(harmony: etree._Element) -> tuple[ChordDegree, ...]:
    found = []
    for degree in harmony.findall("degree"):
        action = (degree.findtext("degree-type") or "add").strip()
        value = whole(degree.findtext("degree-value"))
        if value > 0 and action in ("add", "alter", "subtract"):
            found.append(ChordDegree(action, value, whole(degree.findtext("degree-alter"))))
    return tuple(found)


def _inverted(chord: Chord, inversion: str | None) -> Chord:
    """The chord with the bass that an <inversion> asks for, where no bass is printed."""
    index = whole(inversion)
    if chord.bass is not None or index not in (1, 2, 3):
        return chord
    kind = chord.kind
    third = "m3" if kind.startswith(MINOR_THIRD_KINDS) else "M3"
    fifth = (
        "d5" if kind.startswith(DIMINISHED_FIFTH_KINDS) else "A5" if kind.startswith("augmented") else "P5"
    )
    seventh = "M7" if kind in MAJOR_SEVENTH_KINDS else "d7" if kind == "diminished-seventh" else "m7"
    bass = Pitch(chord.root.step, chord.root.alter, 4).transposed(
        Interval.parse((third, fifth, seventh)[index - 1])
    )
    return replace(chord, bass=bass.name)
