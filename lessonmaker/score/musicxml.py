"""Reading one part of a MusicXML score, exactly.

Time is counted in the file's own divisions, as fractions of a quarter. Conventions: MusicXML 4.0; a
<duration> is the sounding truth, <type> is only how it looks.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from lxml import etree

from lessonmaker.score.directions import apply_barline, apply_direction, apply_sound, tempo_of
from lessonmaker.score.harmony import ChordReader
from lessonmaker.score.model import Clef, Key
from lessonmaker.score.numbers import exact, whole
from lessonmaker.score.order import Signs
from lessonmaker.score.raw import RawBar, RawChange, RawNote, RawPart
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch

__all__ = ["part_names", "read_part"]

CHROMATIC_STEPS = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)
COMMON_TIME = Metre(4, 4)
TREBLE = Clef("G", 2)


def part_names(root: etree._Element) -> dict[str, str]:
    """Name of each part by its id, in the score's order."""
    listed = {
        p.get("id", ""): (p.findtext("part-name") or "").strip()
        for p in root.iterfind("part-list/score-part")
    }
    return {
        part.get("id", ""): listed.get(part.get("id", ""), "") or part.get("id", "")
        for part in root.findall("part")
    }


def read_part(root: etree._Element, part_id: str) -> RawPart:
    """Read the part with this id; its notes and measures carry ids already (see score.prepare)."""
    part = next(part for part in root.findall("part") if part.get("id", "") == part_id)
    reader = _Reader()
    bars = [reader.bar(measure) for measure in part.findall("measure")]
    return RawPart(
        title=_text(root, "work/work-title") or _text(root, "movement-title") or _credit(root, "title"),
        composer=_composer(root),
        name=part_names(root)[part_id],
        clef=reader.clef or TREBLE,
        tempo=reader.tempo,
        bars=bars,
        mei="",
        remarks=[*reader.remarks, *reader.chords.remarks],
    )


def _text(root: etree._Element, path: str) -> str:
    return " ".join((root.findtext(path) or "").split())


def _credit(root: etree._Element, kind: str) -> str:
    for credit in root.findall("credit"):
        if (credit.findtext("credit-type") or "").strip() == kind:
            return " ".join("".join(w.text or "" for w in credit.findall("credit-words")).split())
    return ""


def _composer(root: etree._Element) -> str:
    creators = root.findall("identification/creator")
    named = [
        c for c in creators if c.get("type", "composer").lower() == "composer" and (c.text or "").strip()
    ]
    return " ".join((named[0].text or "").split()) if named else _credit(root, "composer")


@dataclass
class _Cursor:
    """Where in the bar the next element stands, in quarters; a chord note stands where the last note did."""

    at: Fraction = Fraction(0)
    last: Fraction = Fraction(0)
    extent: Fraction = Fraction(0)


class _Reader:
    """Carries what lasts from bar to bar: divisions, metre, key, transposition."""

    def __init__(self) -> None:
        self.divisions = Fraction(1)
        self.metre = COMMON_TIME
        self.key = Key(0)
        self.transposition = Interval(0, 0)
        self.clef: Clef | None = None
        self.tempo: float | None = None
        self.chords = ChordReader()
        self.remarks: dict[str, None] = {}
        self.ending: tuple[int, ...] = ()
        self.changes = 0
        self.cursor = _Cursor()
        self.next_signs = Signs()
        self.next_section = ""
        self.readers = {
            "attributes": self._attributes,
            "note": self._note,
            "backup": self._move,
            "forward": self._move,
            "harmony": self._harmony,
            "direction": self._direction,
            "sound": self._sound,
            "barline": self._barline,
        }

    def bar(self, measure: etree._Element) -> RawBar:
        bar = RawBar(
            id=measure.get("id", ""),
            number=measure.get("number", "").strip(),
            implicit=measure.get("implicit") == "yes",
            metre=self.metre,
            key=self.key,
            transposition=self.transposition,
            section=self.next_section,
            signs=self.next_signs,
        )
        self.next_signs, self.next_section = Signs(), ""
        bar.signs.ending = self.ending
        self.cursor = _Cursor()
        for element in measure:
            if reader := self.readers.get(str(element.tag)):
                reader(element, bar)
        bar.extent = self.cursor.extent
        return bar

    def _quarters(self, element: etree._Element, tag: str = "duration") -> Fraction:
        """A length in divisions as quarters; 0 where none or nonsense is written."""
        return exact(element.findtext(tag)) / self.divisions

    def _attributes(self, element: etree._Element, bar: RawBar) -> None:
        divisions = exact(element.findtext("divisions"))
        if divisions > 0:
            self.divisions = divisions
        if (clef := element.find("clef")) is not None and self.clef is None:
            self.clef = _clef(clef)
        if (transpose := element.find("transpose")) is not None:
            self._transpose(transpose, bar)
        if self.cursor.extent > 0 and element.find("time") is not None:
            self.remarks.setdefault(f"a new metre inside bar {bar.number} is read from the next bar on")
        if (time := element.find("time")) is not None:
            self.metre = _metre(time) or self.metre
        if (key := element.find("key")) is not None and key.find("fifths") is not None:
            mode = (key.findtext("mode") or "").strip()
            self.key = Key(
                max(-11, min(11, whole(key.findtext("fifths")))), mode if mode in ("major", "minor") else ""
            )
        if self.cursor.extent == 0:
            bar.metre, bar.key = self.metre, self.key

    def _transpose(self, element: etree._Element, bar: RawBar) -> None:
        found = _transposition(element)
        if (bar.notes or self.changes) and found != self.transposition:
            self.remarks.setdefault(f"the part changes its transposition in bar {bar.number}")
        if element.find("double") is not None:
            self.remarks.setdefault("the part is doubled at the octave: it is read at its own pitch")
        self.transposition = bar.transposition = found

    def _note(self, element: etree._Element, bar: RawBar) -> None:
        cursor = self.cursor
        grace = element.find("grace") is not None
        duration = Fraction(0) if grace else max(self._quarters(element), Fraction(0))
        chord = element.find("chord") is not None
        onset = cursor.last if chord else cursor.at
        if not chord:
            cursor.last = cursor.at
            cursor.at += duration
            cursor.extent = max(cursor.extent, cursor.at)
        pitch = self._pitch(element, bar)
        if pitch is None or element.find("cue") is not None or element.get("print-object") == "no":
            return
        bar.notes.append(_raw_note(element, onset, duration, pitch, grace))

    def _pitch(self, note: etree._Element, bar: RawBar) -> Pitch | None:
        """A note's pitch; None for a rest, an unpitched note, and what is no pitch at all."""
        element = note.find("pitch")
        if element is None:
            return None
        step = (element.findtext("step") or "").strip().upper()
        octave = (element.findtext("octave") or "").strip()
        alter = whole(element.findtext("alter"))
        if step in tuple("CDEFGAB") and abs(alter) <= 2 and octave in tuple("0123456789"):
            return Pitch(step, alter, int(octave))
        self.remarks.setdefault(f"bar {bar.number} has a note without a sensible pitch: it is left out")
        return None

    def _move(self, element: etree._Element, bar: RawBar) -> None:
        """A <backup> or <forward>."""
        cursor = self.cursor
        cursor.at += self._quarters(element) * (-1 if element.tag == "backup" else 1)
        cursor.extent = max(cursor.extent, cursor.at)
        if cursor.at < 0:
            self.remarks.setdefault(
                f"bar {bar.number} goes back to before its own start: read from its start"
            )
            cursor.at = Fraction(0)

    def _harmony(self, element: etree._Element, bar: RawBar) -> None:
        readable, chord = self.chords.from_musicxml(element)
        if readable:
            self.changes += 1
            offset = max(self.cursor.at + self._quarters(element, "offset"), Fraction(0))
            bar.changes.append(RawChange(f"change{self.changes}", offset, chord))

    def _direction(self, element: etree._Element, bar: RawBar) -> None:
        if self.tempo is None:
            self.tempo = tempo_of(element)
        late = self.cursor.at > 0 and self.cursor.at >= bar.metre.bar_quarters
        section = apply_direction(element, bar.signs, self.next_signs if late else bar.signs)
        if late:
            self.next_section = section or self.next_section
        else:
            bar.section = bar.section or section

    def _sound(self, element: etree._Element, bar: RawBar) -> None:
        if self.tempo is None:
            self.tempo = tempo_of(element)
        apply_sound(element, bar.signs)

    def _barline(self, element: etree._Element, bar: RawBar) -> None:
        self.ending = apply_barline(element, bar.signs, self.ending)


def _clef(element: etree._Element) -> Clef:
    sign = (element.findtext("sign") or "").strip()
    if sign not in ("G", "F", "C"):
        return TREBLE
    line = whole(element.findtext("line")) or {"G": 2, "F": 4, "C": 3}[sign]
    return Clef(sign, line, whole(element.findtext("clef-octave-change")))


def _metre(element: etree._Element) -> Metre | None:
    """The metre of a <time>: additive groups from "3+2", and from several beats over one or more units."""
    pairs = zip(element.findall("beats"), element.findall("beat-type"), strict=False)
    terms = [([whole(n) for n in (b.text or "").split("+")], whole(u.text)) for b, u in pairs]
    if not terms or any(u <= 0 or u > 128 or not all(0 < n <= 128 for n in ns) for ns, u in terms):
        return None
    unit = max(u for _, u in terms)
    groups = tuple(n * unit // u for ns, u in terms for n in ns)
    return Metre(sum(groups), unit, groups if len(groups) > 1 else ())


def _transposition(element: etree._Element) -> Interval:
    """Written above sounding, from a <transpose> (which says sounding above written)."""
    octaves = whole(element.findtext("octave-change"))
    chromatic = whole(element.findtext("chromatic"))
    steps = CHROMATIC_STEPS[abs(chromatic) % 12] + 7 * (abs(chromatic) // 12)
    diatonic = steps if chromatic >= 0 else -steps
    if element.find("diatonic") is not None:
        said = Interval(whole(element.findtext("diatonic")), chromatic)
        diatonic = said.steps if abs(Pitch("C", 0, 4).transposed(said).alter) <= 1 else diatonic
    return -Interval(diatonic + 7 * octaves, chromatic + 12 * octaves)


def _raw_note(
    element: etree._Element, onset: Fraction, duration: Fraction, pitch: Pitch, grace: bool
) -> RawNote:
    ties = {tie.get("type") for tie in (*element.findall("tie"), *element.findall("notations/tied"))}
    return RawNote(
        id=element.get("id", ""),
        offset=onset,
        duration=duration,
        pitch=pitch,
        grace=grace,
        tie_from="start" in ties,
        tie_on="stop" in ties,
        staff=whole(element.findtext("staff")) or 1,
        voice=(element.findtext("voice") or "1").strip(),
        in_tuplet=element.find("time-modification") is not None,
    )
