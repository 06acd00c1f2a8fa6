"""How long notes are said to be: "hold it for four beats", "a quarter-note G", "the longest one", "all equally long".

Common practice, no source. A note may be as long as it is printed, as it sounds, until the next one, or over and over.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.score.position import overlap
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.values import times_of, value_words
from lessonmaker.script.plain.durations import QUANTITY, length_said, quantity_of
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.theory.metre import Metre

__all__ = [
    "TODO",
    "is_long",
    "notes_beyond",
    "notes_in_values",
    "notes_lasting",
]

TODO = "say how long it is"

# For so long -----------------------------------------------------------------------------------------------

HELD = inflected(
    "hold, ring, last, stay, sit, hang, sustain, linger, dwell, keep, stretch, park, camp, sing, stand, freeze, lean"
)
EXACTLY = (
    r"(?:just|only|exactly|all of|all|a good|a full|the full|its|their|precisely|fully|at least"
    r"|no less than)"
)
LASTING = re.compile(
    rf"\b(?:{HELD}\b(?P<between>[^,;:]{{0,40}}?) for"
    rf"|{inflected('last')})(?: {EXACTLY})* (?P<quantity>{QUANTITY})"
    rf"|(?<![\w-])(?P<quantity2>{QUANTITY})(?: |-)long\b"
)
# What follows a stretch of time that is no note's length.
NOT_ITS_LENGTH = re.compile(
    r" (?:of (?:rest|silence|nothing|air|space)|early|late|later|ahead|apart|each|long|to (?!the bar)"
    r"|at a time|or)\b"
)
# What else may last.
OTHER_THINGS = re.compile(
    r"\b(?:chords?|harmon\w+|bass|phrases?|lines?|runs?|figures?|patterns?|riffs?|ideas?|pauses?|rests?"
    r"|silen\w+|loops?|cycles?"
    r"|motifs?|licks?|shapes?|cells?|groups?|arpeggios?|triads?|breath|enclosures?|sequences?|scales?"
    r"|triplets?|trills?"
    r"|in|within|around|above|below|near|between|inside|off|out|quiet|silent|going|climbing|falling"
    r"|moving|running|change|pedal"
    r"|dominants?|major|minor|seven|vamps?|key|tonic chord|breathe?|wait\w*)\b"
)


def notes_lasting(told: Told) -> Iterator[Untrue]:
    """Notes that are said to last for so many beats or bars."""
    for match in LASTING.finditer(told.text):
        words = match["quantity"] or match["quantity2"]
        start = match.start("quantity") if match["quantity"] else match.start("quantity2")
        first = told.part_of(match.start())[0]
        if NOT_ITS_LENGTH.match(told.text[match.end() :]) or OTHER_THINGS.search(told.text[first:start]):
            continue
        notes = _subject(told, first, start)
        metre = told.music.bars_in(told.spans)[0].metre
        if notes and not any(_is_as_long(note, words, told) for note in notes):
            yield Untrue(start, match.end(), is_long(notes[0], metre, told), TODO)


def _subject(told: Told, first: int, at: int) -> list[Note]:
    """The notes that something is said of at a character of a part: those named or lit in it before, else the last lit.

    With a note come those of its name in sight, and those of the degrees that the part names.
    """
    inside = [each for each in told.shown if first <= each.first and each.last <= at and each.notes]
    letters = _letters(told, at)
    named = [name for place, name in letters if first <= place]
    degrees = {
        degree
        for claim in told.named
        if claim.kind in ("degree", "set") and first <= claim.first < at
        for degree in claim.names
    }
    before = [] if inside or named or degrees else told.may_be_it(at)
    before = before if not before or before[0].device else [each for each in before if each.device is None]
    if (
        letters
        and not named
        and not degrees
        and not inside
        and (not before or before[0].last < letters[-1][0])
    ):
        named, before = [letters[-1][1]], []
    lit = inside or before
    if any(each.device is not None for each in lit) or _has_pedal(told):
        return []
    classes = {note.sounding.name.pitch_class for each in inside[-1:] or before for note in each.notes}
    classes |= {named_note(name).pitch_class for name in named}
    notes = [note for each in lit for note in each.notes]
    others = [
        note
        for note in told.notes_in([*told.spans, *told.spans_at(at)])
        if classes & _classes_of(note) or told.music.finding(note).degree in degrees
    ]
    return [*notes, *(note for note in others if note not in notes)]


# A letter that is no chord's where it is said to last: "one single D, three beats long".
A_LETTER = re.compile(
    r"\b(?:one|single|lone|long|tied|held|repeated|whole|half|quarter|eighth|an?|same)"
    r" ([A-G](?:[ -](?:flat|sharp|natural))?)(?=,| (?:is|for|lasts|that|held|tied)\b)"
)


def _letters(told: Told, at: int) -> list[tuple[int, str]]:
    """Where the notes that are named by their letters before a character stand, and their names."""
    named = {name.first: name.name for name in told.notes_named if name.first < at}
    more = {match.start(1): match[1] for match in A_LETTER.finditer(told.sentence.written[:at])}
    return sorted((more | named).items())


def _has_pedal(told: Told) -> bool:
    """Whether a note comes again and again in the bars in sight, so that it is stayed on."""
    devices = (device for device in told.music.analysis.devices if device.kind == "pedal")
    return any(overlap(device.span, span) > 0 for device in devices for span in told.spans)


def _classes_of(note: Note) -> set[int]:
    """The pitch classes of a note, as it is written and as it sounds."""
    return {note.written.name.pitch_class, note.sounding.name.pitch_class}


def _is_as_long(note: Note, words: str, told: Told) -> bool:
    """Whether a note lasts for a stretch of time as it is said, of beats to half a beat, of bars to what they touch."""
    bar = told.music.score.bars[note.bar]
    length = quantity_of(words.replace("-", " "), bar.metre)
    lengths = times_of(note, told)
    if re.search(r"bar|measure", words):
        there = {each.bar for each in told.notes_in(told.spans) if _classes_of(note) & _classes_of(each)}
        is_one = any(length - bar.length < each <= length + bar.metre.unit_quarters for each in lengths)
        return is_one or len(there) * bar.length >= length > bar.length or length > MOST_BARS * bar.length
    units = {Fraction(1)}
    if bar.metre.is_compound and "beat" in words:
        units.add(Fraction(3))
    return any(abs(each - length * unit) < _slack(length) for each in lengths for unit in units)


MOST_BARS = 2  # what is stayed on for longer is under the line


def _slack(length: Fraction) -> Fraction:
    """How far from what is said a length may be."""
    return Fraction(3, 4) if length >= LONG else Fraction(1, 4)


LONG = Fraction(3)  # quarters of what is not heard to the eighth


def is_long(note: Note, metre: Metre, told: Told) -> str:
    """How long a note is, in words."""
    at = told.music.position(note)
    return f"the {note.written.name} at {at} lasts {length_said(note.held, metre)}"


# Of a value ------------------------------------------------------------------------------------------------

IN_VALUES = re.compile(
    r"\bin (?:straight |even |plain |steady |all |slow |quick |running |nothing but |pure )*$"
)


def notes_in_values(told: Told) -> Iterator[Untrue]:
    """Notes that are said to go in a value that none of them has."""
    for word in value_words(told.text):
        first = told.part_of(word.first)[0]
        if word.count or not IN_VALUES.search(told.text[first : word.first]):
            continue
        notes = _subject(told, first, word.first)
        if len(notes) > 1 and not any(word.fits(note, told) for note in notes):
            metre = told.music.score.bars[notes[0].bar].metre
            yield Untrue(word.first, word.last, is_long(notes[0], metre, told), TODO)


BEYOND = re.compile(
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
            metre = told.music.score.bars[other.bar].metre
            yield Untrue(first + beyond.start(), word.last, is_long(other, metre, told), TODO)
