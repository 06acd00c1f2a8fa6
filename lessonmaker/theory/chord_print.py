"""Chord symbols, notes and degrees in print and in words: one house style.

Minor is "m" and never "-"; sevenths are "maj7" and "7"; alterations stand in brackets, a half-diminished
chord is "m7(♭5)", a diminished one "°7". The style is the project's own.
"""

from __future__ import annotations

from dataclasses import dataclass

from lessonmaker.theory.chord_value import Chord, ChordDegree, simplified
from lessonmaker.theory.kinds import DEGREE_SEMITONES, KINDS
from lessonmaker.theory.pitch import NoteName
from lessonmaker.theory.signs import in_print

__all__ = ["ChordPrint", "chord_parts", "chord_spoken", "chord_text", "degree_spoken", "note_spoken"]

NUMBER_WORDS = {
    "1": "one",
    "2": "two",
    "3": "three",
    "4": "four",
    "5": "five",
    "6": "six",
    "7": "seven",
    "8": "eight",
    "9": "nine",
    "11": "eleven",
    "13": "thirteen",
}
SPOKEN_DEGREES = {"1": "root", "3": "third", "b3": "flat third"}
ALTER_WORDS = {-2: " double flat", -1: " flat", 0: "", 1: " sharp", 2: " double sharp"}
PRINTED_ALTERS = {-2: "𝄫", -1: "♭", 1: "♯", 2: "𝄪"}
HEAD_WORDS = {
    "sus": "sus",
    "maj": "major",
    "°": "diminished",
    "♭": "flat",
    "♯": "sharp",
    "(": "",
    ")": "",
    "/": "",
}


@dataclass(frozen=True)
class ChordPrint:
    """A chord symbol in the house style: what is drawn at each size.

    `quality` ("m" or "") stands beside the root on its line, `superscript` is raised ("7(♭9)"),
    `bass` follows a stroke on the root's line. Accidentals in `superscript` are ♭ ♯ characters.
    """

    root: NoteName
    quality: str
    superscript: str
    bass: NoteName | None = None


def chord_parts(chord: Chord) -> ChordPrint:
    """The drawing parts of a chord symbol in the house style."""
    simple = simplified(chord)
    if simple.kind == "other":
        return ChordPrint(chord.root, "", in_print(chord.text), chord.bass)
    head, rest = _head(simple)
    bracket = "".join(_printed(degree) for degree in _ordered(rest))
    superscript = head + (f"({bracket})" if bracket else "")
    if head.endswith(")") and bracket:
        superscript = f"{head[:-1]}{bracket})"
    if superscript.startswith("(add") and superscript.count("add") == 1 and not KINDS[simple.kind].quality:
        superscript = superscript[1:-1]
    return ChordPrint(chord.root, KINDS[simple.kind].quality, superscript, chord.bass)


def _head(simple: Chord) -> tuple[str, list[ChordDegree]]:
    """The superscript without its brackets, and the degrees that go into them."""
    rest = list(simple.degrees)
    natural = {d.value for d in rest if d.action == "add" and d.alter == 0}
    if simple.kind == "suspended-fourth":
        sevenths = [d for d in rest if d.value == 7 and d.alter != 1]
        if sevenths:
            top = 13 if 13 in natural else 9 if 9 in natural else 7
            said = {(value, 0) for value in (9, 13) if value in natural}
            return f"{top}sus", [d for d in rest if d not in sevenths and (d.value, d.alter) not in said]
        if any((d.value, d.alter) == (7, 1) for d in rest):
            return "maj7sus", [d for d in rest if d.value != 7]
    if simple.kind in ("major-sixth", "minor-sixth") and 9 in natural:
        return "6/9", [d for d in rest if d != ChordDegree("add", 9, 0)]
    if simple.kind == "diminished" and ChordDegree("add", 7, 1) in rest:
        return "°(maj7)", [d for d in rest if d.value != 7]
    if simple.kind in ("major-minor", "half-diminished") and natural & {9, 11, 13}:
        top = max(natural & {9, 11, 13})
        head = KINDS[simple.kind].superscript.replace("7", str(top))
        return head, [d for d in rest if not (d.action == "add" and d.alter == 0 and 9 <= d.value <= top)]
    return KINDS[simple.kind].superscript, rest


def _ordered(degrees: list[ChordDegree]) -> list[ChordDegree]:
    return sorted(degrees, key=lambda degree: (degree.action == "subtract", degree.value, degree.alter))


def _printed(degree: ChordDegree) -> str:
    if degree.action == "subtract":
        return f"no{degree.value}"
    if degree.value == 7:
        return {1: "maj7", 0: "add♭7"}.get(degree.alter, "add𝄫7")
    return f"{PRINTED_ALTERS.get(degree.alter) or 'add'}{degree.value}"


def chord_text(chord: Chord | None) -> str:
    """The chord symbol as plain text in the house style: "B♭7(♭9)", "F/G", "N.C." for None."""
    if chord is None:
        return "N.C."
    parts = chord_parts(chord)
    bass = "" if parts.bass is None else f"/{parts.bass}"
    return f"{parts.root}{parts.quality}{parts.superscript}{bass}"


def chord_spoken(chord: Chord | None) -> str:
    """The chord symbol in words: "B flat seven sharp nine", "F over G", "no chord" for None."""
    if chord is None:
        return "no chord"
    simple = simplified(chord)
    words = [note_spoken(chord.root), _kind_spoken(simple)]
    if chord.bass is not None:
        words += ["over", note_spoken(chord.bass)]
    return " ".join(word for word in words if word)


def _kind_spoken(simple: Chord) -> str:
    head, rest = _head(simple)
    kind = KINDS[simple.kind]
    said = _head_spoken(head, kind.quality) if head != kind.superscript else kind.spoken
    return " ".join([said, *(_degree_words(degree) for degree in _ordered(rest))]).strip()


def _head_spoken(head: str, quality: str) -> str:
    spaced = head
    for sign, word in HEAD_WORDS.items():
        spaced = spaced.replace(sign, f" {word} ")
    spoken = " ".join(NUMBER_WORDS.get(word, word) for word in spaced.replace("69", "6 9").split())
    return f"minor {spoken}" if quality == "m" else spoken


def _degree_words(degree: ChordDegree) -> str:
    number = NUMBER_WORDS.get(str(degree.value), str(degree.value))
    if degree.action == "subtract":
        return f"no {number}"
    sign = {-1: "flat ", 1: "sharp "}.get(degree.alter, "")
    if degree.value == 7:
        return {1: "major seven", 0: "add flat seven"}.get(degree.alter, "add seven")
    return f"{sign}{number}" if sign else f"add {number}"


def note_spoken(name: NoteName, octave: int | None = None) -> str:
    """A note's name in words: "B flat", "F sharp four"; A is "Ay", so that a voice says the letter."""
    letter = "Ay" if name.step == "A" else name.step
    number = "" if octave is None else f" {NUMBER_WORDS.get(str(octave), str(octave))}"
    return f"{letter}{ALTER_WORDS[name.alter]}{number}"


def degree_spoken(degree: str) -> str:
    """A degree in words: "b9" is "flat nine", "#11" "sharp eleven", "bb7" "double flat seven", "1" "root".

    Raises:
        ValueError: the text is no degree.
    """
    if degree not in DEGREE_SEMITONES:
        raise ValueError(f"{degree!r} is no degree: write one of {' '.join(DEGREE_SEMITONES)}")
    if degree in SPOKEN_DEGREES:
        return SPOKEN_DEGREES[degree]
    number = degree.lstrip("b#")
    sign = {"bb": "double flat ", "b": "flat ", "#": "sharp "}.get(degree[: len(degree) - len(number)], "")
    return f"{sign}{NUMBER_WORDS[number]}"
