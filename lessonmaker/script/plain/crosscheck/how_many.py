"""How many notes there are, of a value or at all: "in triplets", "four sixteenths", "five different pitches".

Common practice, no source. A value is false where no note in sight has it, a number where there are fewer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.values import TODO, ValueWord, is_long, notes_printed, value_words
from lessonmaker.script.plain.durations import FEW, count_said, few_of, value_said

__all__ = ["notes_beyond", "notes_counted", "values_there"]

# A value that tells how much time, or where, and no note: "an eighth early", "on every quarter".
NO_NOTE_BEFORE = pattern_of(
    r"\b(?:by|every|each|against|over|after|before|than|count\w*(?: it| this)?(?: in)?|feel\w*(?: \w+){0,3}? in"
    r"|within|hear|time of|space of|worth of|instead of|beats?|bars?|measures?|of an|tempo|half an|per|to the|on the"
    r"|between(?: the)?|pulse of|last|first|final|opening|closing|next|other|second|third|like|as"
    r"|think\w*(?: \w+){0,3}?|subdivi\w+(?: \w+){0,3}?)"
    r"(?: (?:an?|the|its|another))? $"
)
NO_NOTE_AFTER = pattern_of(
    r"[ -](?:early|late|later|earlier|before|ahead|after|behind|away|off|out|rests?"
    r"|of (?:rest|silence|nothing|air|space|the)|pulse|grid|feel|lead|pick-?ups?|anticipations?|shift\w*|delay\w*"
    r"|push\w*|displace\w*|apart|too|in advance|tones?|long|sooner|equals?|worth|tempo|of a|subdivi\w+|value"
    r"|to spare|beats?|times?|click|in the (?:bass|left|drums))\b"
)
IF = pattern_of(r"\W*(?:and |but |so |now )*if\b")  # what is advised then is no fact


def _is_of_notes(word: ValueWord, told: Told) -> bool:
    """Whether a value is said of notes, and not of time."""
    first = told.part_of(word.first)[0]
    before = told.text[first : word.named], told.text[first : word.first]
    return not (any(map(NO_NOTE_BEFORE.search, before)) or NO_NOTE_AFTER.match(told.text[word.last :]))


def _sight(told: Told, at: int) -> tuple[Span, ...]:
    """The bars that are named in the part of the sentence at a character, else all that are shown or named."""
    first, last = told.part_of(at)
    bars = [place for place in told.places if place.level == "bar" and place.spans]
    if any(first <= place.first < last for place in bars):
        return told.spans_at(at)
    return (*told.spans, *(span for place in bars for span in place.spans))


def values_there(told: Told) -> Iterator[Untrue]:
    """Values that no note in sight has, or fewer notes than is said."""
    for word in value_words(told.text):
        shown = told.shown_at(word.first, word.last)
        if not _is_of_notes(word, told) or IF.match(told.text) or (shown is not None and shown.notes):
            continue
        spans = _sight(told, word.first)
        printed = notes_printed(told, spans)
        fitting = [note for note in printed if word.fits(note, told)]
        said = told.sentence.words(word.named, word.last)
        if printed and not fitting:
            yield Untrue(
                word.first,
                word.last,
                f"{_there(printed, told)}, and no {said}",
                "name the value that is there",
            )
        elif len({note.onset for note in fitting}) < word.count:
            what = count_said(len({note.onset for note in fitting}))
            yield Untrue(word.first, word.last, what, "say how many there are")


def _there(notes: Sequence[Note], told: Told) -> str:
    """What value the first of some notes has, in words."""
    at = told.music.position(notes[0])
    length, metre = notes[0].held or notes[0].duration, told.music.score.bars[notes[0].bar].metre
    return f"there is {value_said(length, metre)} at {at}"


BEYOND = pattern_of(
    r"\b(?:nothing|no notes?|not a note|none|never|not|\w+n't)\b[^,;:.]{0,50}?"
    r" (?P<than>longer|shorter|slower|faster|quicker) than (?:an?|the) $"
)


def notes_beyond(told: Told) -> Iterator[Untrue]:
    """Notes that are longer, or shorter, than all of a passage are said to be."""
    for word in value_words(told.text):
        first = told.part_of(word.first)[0]
        beyond = BEYOND.search(told.text[first : word.first])
        length = word.length
        if beyond is None or length is None or not (told.is_of_a_bar or len(told.bars) == 1):
            continue
        notes = [
            note
            for span in told.spans_at(word.first)
            for note in told.music.struck_between(span.start, span.end)
        ]
        long = beyond["than"] in ("longer", "slower")
        other = next(
            (note for note in notes if (note.duration > length if long else note.held < length)), None
        )
        if other is not None:
            yield Untrue(first + beyond.start(), word.last, is_long(other, told), TODO)


# How many notes -------------------------------------------------------------------------------------------

NOTES = pattern_of(
    rf"(?<![\w'-])(?!twelve\b|12\b)(?P<count>{FEW})(?:[ -](?:different|separate|distinct"
    r"|little|quick|short|long|even|equal|straight|repeated|closing|opening|descending|ascending|rising|falling))*"
    r"[ -](?P<what>notes?|pitches|tones)\b"
    r"(?![ -](?:chords?|voicings?|scales?|per|in the chord|of (?:the|an?|any|every) (?:chord|scale|triad)|apart|away"
    r"|later|above|below|higher|lower|out of|from))"
)


def notes_counted(told: Told) -> Iterator[Untrue]:
    """Numbers of notes, or of different pitches, that are more than all there are in sight."""
    for match in NOTES.finditer(told.text):
        notes = told.notes_in(told.spans)
        pitches = {note.sounding.midi for note in notes}
        many = len(pitches if pattern_of(r"different|distinct|pitches").search(match[0]) else notes)
        if notes and few_of(match["count"]) > many:
            noun = "pitch" if match["what"] == "pitches" else "note"
            yield Untrue(match.start(), match.end(), count_said(many, noun), "say how many there are")
