"""Triads and seventh chords that the line is said to spell out, or that named notes are said to be, and are not.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_shapes import SPELLS, steps_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.letters import pitch_class, pitch_classes
from lessonmaker.script.plain.crosscheck.loose_letters import letter_rows
from lessonmaker.script.plain.crosscheck.told import Shown, Told, Untrue
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.stance_words import DENIALS, OTHERS

__all__ = ["triads_spelt"]

THREE = 3  # notes of a triad
LETTER = r"[a-g](?:b|#|[ -](?:flat|sharp))?"
SEVENTHS = r"half[ -]diminished|(?:fully[ -])?diminished|minor|dominant|major"
SAID = (
    pattern_of(
        rf"(?:(?<![\w#'])(?P<root>{LETTER})[ -])?(?<![\w-])(?P<kind>major|minor|diminished|augmented)"
        r" (?P<form>triads?|shapes?)\b"
    ),
    pattern_of(rf"(?<![\w#'])(?P<root>{LETTER}) (?P<kind>)(?P<form>triads?)\b"),
    pattern_of(
        rf"(?:(?<![\w#'])(?P<root>{LETTER})[ -])?(?<![\w-])(?P<kind>(?:{SEVENTHS})[ -]seventh)"
        r" (?P<form>shapes?|chord shapes?)\b"
    ),
)
# What stands between notes and the chord that they are said to be, or between the chord and its notes.
ARE = pattern_of(
    r"\b(?:that's|it's|is|are|'s|makes?|spells?|outlines?|forms?|gives?|so|there's|being|or|up|gets?|call|just|simply"
    r"|which|basically|think|hear|blowing|playing|as|traces?)\b|,|:"
)
# "Think of a C minor triad sitting on it": a way to hear what is there.
HEARD_SO = pattern_of(
    r"\b(?:think of (?:it as )?|if you (?:can )?(?:grab|play|know|hear|see|think) )(?:an?|the|that) $"
)
ON_IT = pattern_of(
    r",? (?:sitting|stacked|lying|laid|floating|perched|riding|over|on|on top|going|you already|you've already)\b"
)
MISSING = pattern_of(
    r" (?:missing|without|minus|with no|lacking) (?:its |the |an? )?(?P<step>root|third|fifth|seventh)\b"
)
STEPS = ("root", "third", "fifth", "seventh")
CLOSE = 5  # notes that follow each other and may spell a chord out from a bar to the next
FAR = 60  # characters between notes and what they are said to be


@dataclass(frozen=True)
class Triad:
    """A chord of three or four notes at [first, last) of a sentence.

    `root` is the pitch class of its root, if that is said, `kinds` the semitones that it may have above it, without the
    step that is said to be left out, and `lacks` that one.
    """

    first: int
    last: int
    root: int | None
    kinds: tuple[tuple[int, ...], ...]
    lacks: str = ""

    @property
    def chords(self) -> list[set[int]]:
        """The pitch classes of what it may be."""
        roots = range(OCTAVE) if self.root is None else (self.root,)
        return [{(root + step) % OCTAVE for step in steps} for root in roots for steps in self.kinds]

    def is_in(self, classes: set[int]) -> bool:
        """Whether its notes are among some pitch classes."""
        return any(tones <= classes for tones in self.chords)

    def may_be(self, classes: set[int]) -> bool:
        """Whether some pitch classes are its notes, all of them, more, or of four some."""
        partial = [tones for tones in self.chords if len(tones) > THREE]
        return self.is_in(classes) or any(classes <= tones for tones in partial)


def triads_spelt(told: Told) -> Iterator[Untrue]:
    """Triads of which some note is not where they are said to be, or that are not what their notes make."""
    rows = letter_rows(told.sentence)
    for triad in _triads(told):
        row = next((row for row in rows if _is_of(told.text, row, triad)), None)
        outlined = _outlined(told, triad)
        if row is not None:
            if not triad.may_be({pitch_class(letter) for letter in row}):
                yield _untrue(told, triad, f"{_named(told, row)} are no such chord")
        elif outlined is not None:
            if not triad.may_be(pitch_classes(outlined.notes)):
                names = ", ".join(f"{note.written.name}" for note in outlined.notes)
                yield _untrue(told, triad, f"the notes are {names}")
        elif triad.root is not None and not any(
            triad.is_in(pitch_classes(notes)) for notes in _windows(told)
        ):
            yield _untrue(told, triad, "no such chord is spelled out there")


def _triads(told: Told) -> Iterator[Triad]:
    """The triads that a sentence names."""
    for pattern in SAID:
        for match in pattern.finditer(told.text):
            root, first = match["root"], match.start()
            opens = not told.text[:first].strip()
            if root == "a" and (opens or told.sentence.written[first] == "a"):
                root, first = None, match.start("kind")
            if root is None and (not match["kind"] or match["form"].startswith("shape")):
                continue
            lacks = MISSING.match(told.text, match.end())
            left = STEPS.index(lacks["step"]) if lacks is not None else None
            kinds = tuple(
                tuple(step for at, step in enumerate(steps) if at != left)
                for steps in steps_of(match["kind"])
            )
            tonic = named_note(root).pitch_class if root else None
            yield Triad(first, match.end(), tonic, kinds, lacks["step"] if lacks is not None else "")


def _is_of(text: str, row: Sequence[Claim], triad: Triad) -> bool:
    """Whether named notes stand beside a triad as what it is made of."""
    if len({pitch_class(letter) for letter in row}) < THREE:
        return False
    begin, end = (row[-1].last, triad.first) if row[-1].last <= triad.first else (triad.last, row[0].first)
    between = text[begin:end]
    return (
        0 <= end - begin <= FAR
        and not pattern_of(r"[.;!?]").search(between)
        and ARE.search(between) is not None
    )


def _outlined(told: Told, triad: Triad) -> Shown | None:
    """What is lit right before a triad that it is said to spell, of just three notes by their names."""
    shown = told.shown_before(triad.first)
    if shown is None or len({note.written.name.pitch_class for note in shown.notes}) != THREE:
        return None
    between = told.text[shown.last : triad.first]
    spells = pattern_of(rf" (?:just |simply )?{SPELLS}(?: (?:an?|the))? ").fullmatch(between)
    return shown if spells is not None else None


def _windows(told: Told) -> Iterator[Sequence[Note]]:
    """The notes of each bar in sight, and the few that follow each other from a bar to the next."""
    for bar in told.music.bars_in(told.spans):
        inside = [note for note in told.music.struck if bar.start <= note.onset < bar.end]
        held = told.music.sounding_at(bar.start)
        yield [*inside, *((held,) if held is not None else ())]
    near = [
        note for note in (_beside(told, 0), *told.notes_in(told.spans), _beside(told, -1)) if note is not None
    ]
    for at in range(len(near)):
        yield near[at : at + CLOSE]


def _beside(told: Told, edge: int) -> Note | None:
    """The note before those in sight, or after them."""
    notes = told.notes_in(told.spans)
    if not notes:
        return None
    return told.note_before(notes[0]) if edge == 0 else told.next_note(notes[-1])


def _named(told: Told, row: Sequence[Claim]) -> str:
    return told.sentence.words(row[0].first, row[-1].last)


def _untrue(told: Told, triad: Triad, what: str) -> Untrue:
    words = told.sentence.words(triad.first, triad.last)
    first, last = told.part_of(triad.first)
    heard = HEARD_SO.search(told.text[: triad.first]) is not None and ON_IT.match(told.text, triad.last)
    part = told.text[first:last]
    meant = (bool(heard) and not pattern_of(DENIALS).search(part)) or bool(triad.lacks)
    meant = meant and not OTHERS.search(part)
    return Untrue(triad.first, triad.last, f"“{words}”: {what}", "name the chord that is there", meant=meant)
