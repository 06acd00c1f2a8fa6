"""Degrees that are said to come one after the other, and come otherwise: "up the chord, root, third, fifth, seventh".

Common practice, no source. They may be counted from the chord of the moment, the next one, one that is named, or the
root of a triad that the notes make; a note or two may pass between two of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_shapes import TRIADS
from lessonmaker.script.plain.claim import named_degrees
from lessonmaker.script.plain.crosscheck.bearers import chords_at
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.theory.chord import chord_tones, readings
from lessonmaker.theory.kinds import DEGREE_SEMITONES

__all__ = ["degree_rows"]

SIGN = r"(?:(?:flat|sharp|natural|major|minor|perfect|raised|lowered)[ -])?"
ALTERED = r"(?:flat|sharp)[ -](?:five|nine|eleven|thirteen)"
STEP = rf"(?:{SIGN}(?:root|second|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth)|{ALTERED})"
NEXT = r"(?:,? (?:and then|and|then|to|up to|down to|back to)(?: the)? |, (?:the )?)"
NUMBER = rf"(?:{ALTERED}|(?:flat )?(?:three|five|seven|nine)|one(?! [a-z]))"
AND = r"(?:,? (?:and|then|and then) |, )"
BEFORE = r"(?<![\w-])(?<!\bon )(?<!\bbeat )(?<!\bbar )(?<!\bbars )"
AFTER = r"(?![\w'-]| (?:notes?|beats?|bars?|chord|times)\b)"
ROWS = (
    (pattern_of(rf"{BEFORE}{STEP}(?:{NEXT}{STEP}){{2,}}{AFTER}"), pattern_of(STEP)),
    (pattern_of(rf"{BEFORE}(?<!\w )(?:one, )?{NUMBER}(?:{AND}{NUMBER}){{2,}}{AFTER}"), pattern_of(NUMBER)),
    (
        pattern_of(
            rf"\b(?:goes|up|down|as|plays?|through|is|just|of) (?P<row>{NUMBER}(?:{AND}{NUMBER}){{2,}}){AFTER}"
        ),
        pattern_of(NUMBER),
    ),
)
ANY_QUALITY = {
    "second": {1, 2, 3},
    "ninth": {1, 2, 3},
    "nine": {1, 2, 3},
    "eleventh": {5, 6},
    "thirteenth": {8, 9},
}
# What makes a row one of notes that follow each other.
IN_ORDER = pattern_of(
    r"\b(?:then|cells?|sp(?:ell|elt)\w*|patterns?|always|each time|every time|order|in turn|figures?|arpeggio\w*|runs?"
    r"|running|climb\w*|up|down|upwards?|downwards?|rising|falling|rises?|falls?|drops?|tumbl\w+|descend\w*|ascend\w*"
    r"|goes|going|through|outlin\w+|stack\w*|broken|starts?|begins?|ladder|cycle\w*|loops?|motif|sequence|shape|top)\b"
)
EACH = pattern_of(r"\b(?:always|each|every|whichever|whatever)\b")  # of one chord at a time
ANY_ORDER = pattern_of(
    r"\b(?:any order|order of your|mix\w*|only|just|nothing but|between|among|combin\w+|touch\w*|keep\w*|circl\w+"
    r"|have|has|there are|contains?|left hand|voicing|pads?|comp\w*|bass|choose|pick|either|uses?"
    r"|using|guide\w*|downbeats?|beats?|accent\w*|long|peaks?|targets?|goals?"
    r"|chords go|each bar|every bar|inversion|is all|are all|chords? (?:is|has|have))\b"
)
FIFTH, OTHER_FIFTHS = 7, {6, 8}  # semitones above a root
MOST_BETWEEN = 2  # notes between two of a row


def degree_rows(told: Told) -> Iterator[Untrue]:
    """Rows of three degrees or more that no notes that follow each other have."""
    if not IN_ORDER.search(told.text) or ANY_ORDER.search(told.text):
        return
    for first, last, degrees in _rows(told):
        line = told.line_at(first)
        row = (
            degrees
            if _has_other_fifth(told, line)
            else [each - OTHER_FIFTHS if FIFTH in each else each for each in degrees]
        )
        if len(line) < len(row) or _comes_so(told, line, row):
            continue
        words, there = told.sentence.words(first, last), _closest(told, line, row)
        what = f"“{words}”: what comes there is {told.music.degrees_said(there)}"
        yield Untrue(first, last, what, "say how they come", meant=told.is_fact(first, last))


def _has_other_fifth(told: Told, line: Sequence[Note]) -> bool:
    """Whether a chord that some notes sound over has a fifth that is not perfect."""
    chords = [chord for note in line for chord in chords_at(note, told)]
    return any(
        {"b5", "#5"} & set(chord_tones(reading).values()) for chord in chords for reading in readings(chord)
    )


def _rows(told: Told) -> Iterator[tuple[int, int, list[set[int]]]]:
    """The rows [first, last) of a sentence, each degree as semitones above a root; none is part of a chord's name."""
    text = told.text
    for name in told.chords_named:
        text = text[: name.first] + "_" * (name.last - name.first) + text[name.last :]
    for pattern, step in ROWS:
        for match in pattern.finditer(text):
            first, last = match.span("row" if "row" in pattern.groupindex else 0)
            row = [_semitones(word) for word in step.findall(text, first, last)]
            if all(row):
                yield first, last, row


def _semitones(word: str) -> set[int]:
    """How far above a root a degree may be."""
    names = named_degrees({"one": "root"}.get(word, word))
    return ANY_QUALITY.get(word) or {
        DEGREE_SEMITONES[name] % OCTAVE for name in names if name in DEGREE_SEMITONES
    }


def _comes_so(told: Told, line: Sequence[Note], row: Sequence[set[int]]) -> bool:
    """Whether some notes of a line have the degrees of a row, from one root, or each over a chord of its own."""
    changing = len({told.music.finding(note).chord for note in line}) > 1
    named = {name.root.pitch_class for name in told.chords_named}
    named |= {
        named_note(claim.names[0]).pitch_class for claim in told.named if _is_shape(claim.kind, claim.names)
    }
    roots = {root for note in line for root in _roots(told, note)} | named | _triad_roots(line, row)
    roots |= _tonics(told, line)
    if any(_follow(line, row, {root}, told) for root in roots):
        return True
    return changing and not EACH.search(told.text) and _follow(line, row, set(), told, gap=len(line))


def _is_shape(kind: str, names: Sequence[str]) -> bool:
    return (
        kind == "device"
        and len(names) == 1
        and pattern_of(r"[a-g](?:b|#|[ -](?:flat|sharp))?").fullmatch(names[0]) is not None
    )


def _roots(told: Told, note: Note) -> set[int]:
    """The roots, as they are written, of the chords that a note may be heard over."""
    shift = told.music.score.transposition.semitones
    return {
        (reading.root.pitch_class + shift) % OCTAVE
        for chord in chords_at(note, told)
        for reading in (chord, *readings(chord))
    }


def _tonics(told: Told, line: Sequence[Note]) -> set[int]:
    """The tonics, as they are written, of the keys that some notes are heard in."""
    shift = told.music.score.transposition.semitones
    keys = told.music.analysis.keys
    return {
        (key.tonic.pitch_class + shift) % OCTAVE
        for key in keys
        if any(key.span.start <= note.onset < key.span.end for note in line)
    }


def _triad_roots(line: Sequence[Note], row: Sequence[set[int]]) -> set[int]:
    """The roots of the triads that three notes make which follow each other, where a row is of a triad's degrees."""
    if any(not each & {0, 3, 4, 6, 7, 8} or each & {10, 11, 1, 2} for each in row):
        return set()
    found = set()
    for three in zip(line, line[1:], line[2:], strict=False):
        classes = {note.written.name.pitch_class for note in three}
        found |= {
            root
            for root in classes
            for steps in TRIADS.values()
            if {(root + step) % OCTAVE for step in steps} == classes
        }
    return found


def _follow(
    line: Sequence[Note], row: Sequence[set[int]], roots: set[int], told: Told, *, gap: int = MOST_BETWEEN
) -> bool:
    """Whether notes have the degrees of a row one after the other, above a root, or those of their own chords."""
    reached = {-1}
    for at, wanted in enumerate(row):
        ahead = len(line) if not at else gap + 1
        reached = {
            later
            for start in reached
            for later in range(start + 1, min(start + 1 + ahead, len(line)))
            if _is_one(line[later], wanted, roots or _roots(told, line[later]))
        }
    return bool(reached)


def _is_one(note: Note, wanted: set[int], roots: set[int]) -> bool:
    written = note.written.name.pitch_class
    return any((written - root) % OCTAVE in wanted for root in roots)


def _closest(told: Told, line: Sequence[Note], row: Sequence[set[int]]) -> Sequence[Note]:
    """The notes that follow each other and have most of the degrees of a row."""
    size = len(row)

    def alike(at: int) -> int:
        pairs = zip(line[at : at + size], row, strict=True)
        return sum(_is_one(note, wanted, _roots(told, note)) for note, wanted in pairs)

    at = max(range(len(line) - size + 1), key=alike)
    return line[at : at + size]
