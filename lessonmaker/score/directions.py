"""Words and signs beside the notes: repeats, endings, jumps, rehearsal marks, tempo (MusicXML 4.0)."""

from __future__ import annotations

import math
import re

from lxml import etree

from lessonmaker.score.order import Signs

__all__ = [
    "apply_barline",
    "apply_direction",
    "apply_sound",
    "apply_words",
    "ending_numbers",
    "tempo_of",
    "text_of",
]

BEAT_UNIT_QUARTERS = {
    "breve": 8.0,
    "whole": 4.0,
    "half": 2.0,
    "quarter": 1.0,
    "eighth": 0.5,
    "16th": 0.25,
    "32nd": 0.125,
}
CAPO = re.compile(r"\b(d\.?\s?c\.|d\.?\s?c\b|da\s+capo\b)", re.IGNORECASE)
SEGNO = re.compile(r"\b(d\.?\s?s\.|d\.?\s?s\b|dal\s+segno\b|del\s+segno\b)", re.IGNORECASE)
AL_FINE = re.compile(r"\bal\s+fine\b", re.IGNORECASE)
AL_CODA = re.compile(r"\bal(la)?\s+coda\b", re.IGNORECASE)
TO_CODA = re.compile(r"\bto\s+coda\b", re.IGNORECASE)
FINE = re.compile(r"^\W*fine\W*$", re.IGNORECASE)
CODA = re.compile(r"^\W*coda\W*$", re.IGNORECASE)
WITH_REPEATS = re.compile(r"\b(with|con)\s+(repeat|rep)", re.IGNORECASE)


def tempo_of(element: etree._Element) -> float | None:
    """Quarters a minute that a <direction> or <sound> states, if it does."""
    sounds = [element] if element.tag == "sound" else element.findall("sound")
    for sound in sounds:
        if tempo := _positive(sound.get("tempo")):
            return tempo
    metronome = element.find("direction-type/metronome")
    if metronome is None:
        return None
    unit = BEAT_UNIT_QUARTERS.get((metronome.findtext("beat-unit") or "").strip())
    a_minute = _positive(metronome.findtext("per-minute"))
    if unit is None or a_minute is None:
        return None
    return a_minute * unit * (2 - 0.5 ** len(metronome.findall("beat-unit-dot")))


def _positive(text: str | None) -> float | None:
    match = re.search(r"\d+(\.\d+)?", text or "")
    value = float(match[0]) if match else 0.0
    return value if 0 < value < math.inf else None


def apply_direction(element: etree._Element, signs: Signs, arrivals: Signs) -> str:
    """Enter a <direction>'s signs; the name of its rehearsal mark, or "".

    `arrivals` are the signs of the bar that begins here: the next one for a direction at a bar's end.
    """
    said = Signs()
    for sound in element.findall("sound"):
        apply_sound(sound, said)
    apply_words(" ".join(text_of(words) for words in element.iterfind("direction-type/words")), said)
    marks = {str(kind.tag) for kind in element.iterfind("direction-type/*")}
    arrivals.segno |= said.segno or ("segno" in marks and not said.jump)
    signs.coda |= said.coda or ("coda" in marks and not (said.to_coda or said.jump))
    signs.fine |= said.fine
    signs.to_coda |= said.to_coda
    if said.jump:
        signs.jump, signs.jump_until, signs.jump_repeats = said.jump, said.jump_until, said.jump_repeats
    names = (text_of(mark) for mark in element.iterfind("direction-type/rehearsal"))
    return next((name for name in names if name), "")


def text_of(element: etree._Element) -> str:
    """All the text in an element, its white space made single."""
    return " ".join("".join(str(text) for text in element.itertext()).split())


def apply_sound(sound: etree._Element, signs: Signs) -> None:
    """Enter what a <sound> says about the order of playing."""
    if sound.get("dacapo") == "yes":
        signs.jump = "capo"
    if sound.get("dalsegno"):
        signs.jump = "segno"
    signs.fine = signs.fine or sound.get("fine") is not None
    signs.to_coda = signs.to_coda or sound.get("tocoda") is not None
    signs.segno = signs.segno or sound.get("segno") is not None
    signs.coda = signs.coda or sound.get("coda") is not None


def apply_words(text: str, signs: Signs) -> None:
    """Enter the jumps that printed words ask for."""
    jump = "capo" if CAPO.search(text) else "segno" if SEGNO.search(text) else ""
    if jump:
        signs.jump = jump
        signs.jump_until = "fine" if AL_FINE.search(text) else "coda" if AL_CODA.search(text) else ""
        signs.jump_repeats = WITH_REPEATS.search(text) is not None
    elif TO_CODA.search(text):
        signs.to_coda = True
    elif FINE.match(text):
        signs.fine = True
    elif CODA.match(text):
        signs.coda = True


def apply_barline(element: etree._Element, signs: Signs, open_ending: tuple[int, ...]) -> tuple[int, ...]:
    """Enter a <barline>'s repeats and endings; the ending that is still open after it."""
    for ending in element.findall("ending"):
        if ending.get("type") == "start":
            open_ending = ending_numbers(ending.get("number", "") or ending.text or "")
            signs.ending, signs.ending_start = open_ending, True
        else:
            open_ending = ()
    repeat = element.find("repeat")
    if repeat is not None and repeat.get("direction") == "forward":
        signs.repeat_start = True
    elif repeat is not None:
        signs.repeat_end = True
        signs.times = _times(repeat.get("times"))
        signs.after_jump = repeat.get("after-jump") == "yes"
    if element.get("segno") is not None or element.find("segno") is not None:
        signs.segno = True
    if element.get("coda") is not None or element.find("coda") is not None:
        signs.coda = True
    return open_ending


def _times(text: str | None) -> int | None:
    return int(text) if text and text.isdecimal() and 0 < len(text) < 4 else None


def ending_numbers(text: str) -> tuple[int, ...]:
    """The times round that an ending's label names: "1,2", "1. 2.", "1-3"; (1,) where it names none."""
    numbers: list[int] = []
    for first, last in re.findall(r"(\d{1,2})(?:\s*-\s*(\d{1,2}))?", text):
        numbers.extend(range(int(first), int(last or first) + 1))
    return tuple(sorted({n for n in numbers if n > 0})) or (1,)
