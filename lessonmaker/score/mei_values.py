"""Single values of MEI: note values, accidentals, keys, metres, clefs, tempo (MEI 5, data types)."""

from __future__ import annotations

from fractions import Fraction

from lxml import etree

from lessonmaker.score.model import Clef, Key
from lessonmaker.score.numbers import whole
from lessonmaker.score.source import MEI_NAMESPACE
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, NoteName

__all__ = [
    "alteration",
    "clef_of",
    "key_alteration",
    "key_of",
    "local",
    "metre_of",
    "tempo_of",
    "transposition_of",
    "value_quarters",
    "xml_id",
]

M = f"{{{MEI_NAMESPACE}}}"
XML_ID = "{http://www.w3.org/XML/1998/namespace}id"
ALTERATIONS = {
    "n": 0,
    "s": 1,
    "f": -1,
    "ss": 2,
    "x": 2,
    "ff": -2,
    "ts": 3,
    "xs": 3,
    "sx": 3,
    "tf": -3,
    "ns": 1,
    "nf": -1,
}
LONG_VALUES = {"breve": Fraction(8), "long": Fraction(16), "maxima": Fraction(32)}
METRE_SYMBOLS = {"common": Metre(4, 4), "cut": Metre(2, 2)}


def local(element: etree._Element) -> str:
    """The element's name without its namespace; "" for comments."""
    return etree.QName(element).localname if isinstance(element.tag, str) else ""


def xml_id(element: etree._Element) -> str:
    """The element's xml:id, or ""."""
    return element.get(XML_ID, "")


def value_quarters(note: etree._Element, event: etree._Element) -> Fraction:
    """The note value in quarters, dots included; a note in a chord takes the chord's."""
    holder = note if note.get("dur") else event
    dur = holder.get("dur", "")
    base = LONG_VALUES.get(dur) or (
        Fraction(4, int(dur)) if dur.isdecimal() and 0 < int(dur) < 4096 else Fraction(0)
    )
    dots = min(max(whole(holder.get("dots")), len(holder.findall(f"{M}dot"))), 4)
    return base * (2 - Fraction(1, 2**dots))


def alteration(note: etree._Element) -> int | None:
    """Semitones of the sounding accidental, from the note or its <accid>; None where none is written."""
    holders = [note, *note.findall(f"{M}accid")]
    for attribute in ("accid.ges", "accid"):
        for holder in holders:
            if (said := holder.get(attribute)) in ALTERATIONS:
                return ALTERATIONS[said]
    return None


def key_alteration(key: Key, step: str) -> int:
    """What a key signature does to a letter."""
    place = NoteName(step).fifths
    return (key.fifths - place + 5) // 7


def key_of(element: etree._Element) -> Key | None:
    """The key signature that a definition states."""
    signature = element.find(f"{M}keySig")
    holder = element if signature is None else signature
    text = next((holder.get(a, "") for a in ("sig", "keysig", "key.sig") if holder.get(a)), "")
    mode = holder.get("mode", element.get("key.mode", ""))
    mode = mode if mode in ("major", "minor") else ""
    if text == "0":
        return Key(0, mode)
    if len(text) < 2 or not text[:-1].isdecimal() or text[-1] not in "sf":
        return None
    return Key(int(text[:-1]) * (1 if text[-1] == "s" else -1), mode)


def metre_of(element: etree._Element) -> Metre | None:
    """The metre that a definition states; several in a group add up."""
    found = [metre for sig in element.findall(f".//{M}meterSig") if (metre := _metre(sig, "")) is not None]
    if not found:
        return _metre(element, "meter.")
    if len(found) == 1:
        return found[0]
    unit = max(metre.unit for metre in found)
    groups = tuple(n * unit // m.unit for m in found for n in (m.groups or (m.beats,)))
    return Metre(sum(groups), unit, groups)


def _metre(element: etree._Element, prefix: str) -> Metre | None:
    counts = tuple(whole(term) for term in element.get(f"{prefix}count", "").split("+"))
    unit = whole(element.get(f"{prefix}unit"))
    if unit <= 0 or unit > 128 or not all(0 < count <= 128 for count in counts):
        return METRE_SYMBOLS.get(element.get(f"{prefix}sym", ""))
    return Metre(sum(counts), unit, counts if len(counts) > 1 else ())


def clef_of(element: etree._Element) -> Clef | None:
    """The clef that a definition states."""
    clef = element.find(f"{M}clef")
    holder, prefix = (element, "clef.") if clef is None else (clef, "")
    shape = holder.get(f"{prefix}shape", "")
    if shape not in ("G", "F", "C"):
        return None
    octaves = {"8": 1, "15": 2}.get(holder.get(f"{prefix}dis", ""), 0)
    down = holder.get(f"{prefix}dis.place", "above") == "below"
    return Clef(shape, whole(holder.get(f"{prefix}line")) or 2, -octaves if down else octaves)


def transposition_of(element: etree._Element) -> Interval | None:
    """Written above sounding (MEI says sounding above written)."""
    if element.get("trans.semi") is None:
        return None
    return -Interval(whole(element.get("trans.diat")), whole(element.get("trans.semi")))


def tempo_of(element: etree._Element) -> float | None:
    """Quarters a minute, from midi.bpm or a metronome mark."""
    if (bpm := _positive(element.get("midi.bpm"))) is not None:
        return bpm
    beats, unit = _positive(element.get("mm")), whole(element.get("mm.unit"))
    if beats is None or unit <= 0:
        return None
    return beats * 4 / unit * (2 - 0.5 ** min(max(whole(element.get("mm.dots")), 0), 4))


def _positive(text: str | None) -> float | None:
    try:
        value = float(text or 0)
    except ValueError:
        return None
    return value if 0 < value < 10_000 else None
