"""Chord symbols: reading them, and the way to everything else about chords.

Symbols are read as musicians type them and as MusicXML `harmony` elements carry them; values, tones and
readings come from `chord_value`, print and speech from `chord_print`.
"""

from __future__ import annotations

from lessonmaker.theory.chord_print import (
    ChordPrint,
    chord_parts,
    chord_spoken,
    chord_text,
    degree_spoken,
    note_spoken,
)
from lessonmaker.theory.chord_value import (
    Chord,
    ChordDegree,
    chord_tones,
    family,
    readings,
    seventh_understood,
    simplified,
    transpose_chord,
)
from lessonmaker.theory.kinds import KIND_ALIASES, KINDS
from lessonmaker.theory.pitch import NoteName
from lessonmaker.theory.symbol_text import NO_CHORD, read_quality, split_symbol

__all__ = [
    "Chord",
    "ChordDegree",
    "ChordPrint",
    "chord_from_kind",
    "chord_parts",
    "chord_spoken",
    "chord_text",
    "chord_tones",
    "degree_spoken",
    "family",
    "note_spoken",
    "parse_change",
    "parse_chord",
    "readings",
    "seventh_understood",
    "simplified",
    "transpose_chord",
]

SIGN_ALTERS = {"": 0, "b": -1, "#": 1, "bb": -2, "##": 2, "x": 2}


def parse_chord(text: str) -> Chord:
    """Read a chord symbol as musicians type it: Bbmaj7, C-7, G7(b9,#11), F/G, C°7, C6/9.

    Raises:
        ValueError: the text is no chord symbol, or says that no chord sounds.
    """
    chord = parse_change(text)
    if chord is None:
        raise ValueError(f"{text!r} is no chord: it says that none sounds")
    return chord


def parse_change(text: str) -> Chord | None:
    """Read a chord symbol, or None for "N.C.".

    Raises:
        ValueError: the text is neither.
    """
    if NO_CHORD.match(text):
        return None
    root, quality, bass = split_symbol(text)
    kind, degrees = read_quality(quality)
    return Chord(
        _note_name(root),
        kind,
        tuple(ChordDegree(*degree) for degree in degrees),
        None if bass is None else _note_name(bass),
        quality,
    )


def _note_name(text: str) -> NoteName:
    return NoteName(text[0], SIGN_ALTERS[text[1:]])


def chord_from_kind(
    root: NoteName,
    kind: str,
    text: str = "",
    degrees: tuple[ChordDegree, ...] = (),
    bass: NoteName | None = None,
) -> Chord | None:
    """A chord from the parts of a MusicXML `harmony`, read leniently; None where it says that none sounds.

    The text decides where the kind is empty, "other" or unknown, and where it says "alt" or "sus" and
    the kind does not. Text that cannot be read makes it "other"; no text at all, a plain major triad.
    """
    if kind == "none":
        return None
    says_more = ("alt" in text and kind != "altered") or ("sus" in text and not kind.startswith("suspended"))
    if kind in KINDS and kind != "other" and not says_more:
        return Chord(root, kind, degrees, bass, text)
    source = KIND_ALIASES.get(kind, text)
    try:
        read_kind, read = read_quality(source)
    except ValueError:
        return Chord(root, kind if kind in KINDS else "other", degrees, bass, text)
    if kind == "other" and not source:
        read_kind = "other"
    known = tuple(ChordDegree(*degree) for degree in read)
    further = () if read_kind == "altered" or says_more else tuple(d for d in degrees if d not in known)
    return Chord(root, read_kind, known + further, bass, text)
