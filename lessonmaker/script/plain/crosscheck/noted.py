"""The notes that a sentence names, and those that may be meant by them: what is lit, and all of that name in sight.

Common practice, no source. A letter that was read as no note counts where no chord of that root is near, or where
something else says that notes are spoken of.
"""

from __future__ import annotations

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.bearers import bears, notes_near
from lessonmaker.script.plain.crosscheck.letters import tonics
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.moves import Thing, things_in
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.intervals import size_said
from lessonmaker.script.plain.note_names import OF_OTHERS, named_note

__all__ = ["MOVED_AGAIN", "Pair", "far_said", "later_pairs", "noted", "said_around"]

Pair = tuple[Note, Note]
# What is said of a figure as it comes again, and not of its notes.
MOVED_AGAIN = pattern_of(
    r"\b(?:again|same|moved|cop(?:y|ies)|transposed|sequence\w*|statements?|repeat\w*|shift\w*|each time|every time"
    r"|than)\b"
)
FILLER = pattern_of(
    r"(?:[,;:.!?\s]|\b(?:and|but|so|just|now|here|there|from|with|that|of|we|it|goes?|plays?|hear|have|are|is)\b)*"
)
# What comes after names, and is said of what follows them.
GOES_ON = pattern_of(
    r"\W*(?:(?:and|but|so) )?"
    r"(?:then|before|until|after|next|from there|which|where|when|finally|in|over|to|on)\b"
)
OF_A_CHORD = pattern_of(r"\b(?:in|of|over|against|on|for|at)(?: (?:the|that|an?))? $")
NEAR = 8  # notes of the line after one to which it may be said to go
DISPLACED = 9  # semitones of a step that may be heard as one the other way, put into another octave


def noted(told: Told) -> list[Thing]:
    """The notes that a sentence names, in the order of the words, each once."""
    found = list(things_in(told))
    roots = tonics(told)
    taken = [(each.first, each.last) for each in found]
    taken += [(chord.first, chord.last) for chord in told.chords_named]
    for letter in letters_in(told.sentence):
        if OF_OTHERS.match(told.sentence.written, letter.last):
            continue
        if any(first < letter.last and letter.first < last for first, last in taken):
            continue
        pitch = named_note(letter.name).pitch_class
        notes = tuple(note for note in notes_near(told) if bears(note, letter, told))
        is_root = pitch in roots and (not found or OF_A_CHORD.search(told.text[: letter.first]))
        if notes and not is_root:
            found.append(Thing(letter.first, letter.last, (), notes))
    return sorted(found, key=lambda each: (each.first, -each.last))


def said_around(told: Told, first: int, last: int) -> tuple[int, int]:
    """[begin, end), the words that are said of names at [first, last): their part, and the next where they end theirs.

    Names that stand alone in their part have the one before said of them as well.
    """
    begin, end = told.part_of(first)[0], told.part_of(last - 1)[1]
    alone, closes = FILLER.fullmatch(told.text, begin, first), FILLER.fullmatch(told.text, last, end)
    while alone and begin > 0 and FILLER.fullmatch(told.text, begin, first):
        begin = told.part_of(begin - 1)[0]
    while closes and end < len(told.text) and FILLER.fullmatch(told.text, last, end):
        after = told.part_of(end)[1]
        if GOES_ON.match(told.text, end):
            break
        end = after
    return begin, end


def later_pairs(told: Told, one: Thing, other: Thing) -> list[Pair]:
    """The pairs of which the first may be said to go to the second: those that follow each other, or else come soon.

    What was lit for both names is always one of them.
    """
    line = {note.id: at for at, note in enumerate(told.music.line)}
    pairs = [
        (line[b.id] - line[a.id], (a, b))
        for a in one.notes
        for b in other.notes
        if a.id in line and b.id in line and 0 < line[b.id] - line[a.id] <= NEAR
    ]
    next_ = [pair for far, pair in pairs if far == 1]
    lit = [(a, b) for a in one.lit[-1:] for b in other.lit[:1] if a.onset < b.onset]
    return [*lit, *(pair for pair in next_ or [pair for _, pair in pairs] if pair not in lit)]


def far_said(told: Told, pair: Pair) -> str:
    """How far two notes are apart, and which way: "from the C at 7.1 to the E flat at 7.2 is a major sixth down"."""
    one, other = pair
    size = other.sounding.midi - one.sounding.midi
    far = size_said(abs(size))
    way = " up" if size > 0 else " down" if size < 0 else ""
    at = [told.music.position(each) for each in pair]
    return f"from the {one.written.name} at {at[0]} to the {other.written.name} at {at[1]} is {far}{way}"
