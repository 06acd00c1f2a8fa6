"""Where a note moves to, as a sentence says it: "the flat nine falls to the fifth". Common practice, no source."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.intervals import INTERVAL, OCTAVE, interval_sizes
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.scope import is_next_subject
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import FALLING, GAP, MOVING, RISING, SOUNDING
from lessonmaker.theory.degree import degree_of

__all__ = [
    "AT_ONCE",
    "HOW_FAR",
    "OCTAVE",
    "goes_against",
    "is_named",
    "leading_notes",
    "led_to",
    "motion_between",
    "reached_from",
    "without_places",
]

AT_ONCE = pattern_of(r"\b(?:directly|immediately|straight(?! (?:up|down)))\b")
DIRECT = pattern_of(
    rf"(?:,? (?:which |that )?{SOUNDING}(?: (?:along|up|by|in|first|here|there))?,?(?: and"
    r"| then)+)?[\s,]*(?:(?:which|that|it|and|then|finally"
    r"|just|simply|here|there|of course|now|promptly|duly|gently|slowly"
    r"|only"
    r"|always|quickly|eventually|immediately|has to|needs to|wants to|will|can only|is|was|gets|has)[\s,]+)*"
    rf"(?P<motion>{MOVING}{GAP})"
    r" (?:(?:in)?to|onto|towards?|on)(?: the| a| an| its)?(?: chord's)?"
)


# How far a note is said to go: "falls a whole step", "down by a fourth".
HOW_FAR = pattern_of(
    r"\b(?:an?|one|by)(?: (?:little|mere|single|tiny|simple|big|clean|plain))*"
    rf" (?P<size>half[- ]step|semitone|whole[- ](?:step|tone)|tone|(?:minor|major) second|{INTERVAL})"
    r"(?: (?:up|down|higher|lower))?\b"
    r"(?! (?:and|or|plus)\b)"
)


def motion_between(sentence: Sentence, before: Claim, claim: Claim, places: Sequence[Place]) -> str:
    """The words that say that one degree moves to the next ("falls a half step"), or nothing.

    Args:
        sentence: what is said.
        before: the degree that moves.
        claim: where it moves to.
        places: what the sentence names; those between the two are passed over ("the third in bar two falls to ...").
    """
    match = DIRECT.fullmatch(without_places(sentence, before.last, claim.first, places).rstrip())
    return match["motion"] if match is not None else ""


def without_places(sentence: Sentence, first: int, last: int, places: Sequence[Place]) -> str:
    """The words of [first, last) of a sentence without the places that it names there, and what leads to them.

    A place with which another part of the sentence begins is left as a semicolon.
    """
    text = sentence.text[first:last]
    inside = [place for place in places if first <= place.first and place.last <= last]
    for place in reversed(inside):
        if is_next_subject(sentence, place, places):
            text = text[: place.first - first] + ";" + text[place.last - first :]
            continue
        start = pattern_of(r"\s*(?:in|of|on|at|from)(?: the)?\s*$").sub("", text[: place.first - first])
        rest = text[place.last - first :]
        text = (start.rstrip() if rest[:1] in (",", ";", ":") else start) + rest
    return text


def reached_from(note: Note, music: Music) -> list[Note]:
    """What a note moves to: what it resolves to, and the next note of the line."""
    line = music.line
    goal = music.finding(note).resolves_to
    found = [music.struck_by_id[goal]] if goal in music.struck_by_id else []
    following = line[line.index(note) + 1 :][:1] if note in line else []
    return found + [each for each in following if each not in found]


def led_to(note: Note, music: Music) -> list[Note]:
    """The notes of the line after one, as far as it goes on one way: "falls to the root", in the end."""
    found: list[Note] = []
    before, way = note, 0
    for after in music.line[bisect_right(music.line_onsets, note.onset) :]:
        step = after.sounding.midi - before.sounding.midi
        if way * step < 0:
            break
        way = way or step
        found.append(after)
        before = after
    return found


def leading_notes(span: Span, music: Music) -> list[Note]:
    """The notes of a span a half step below the tonic of the key that is heard, or the major seventh of their chord."""
    tonics = [
        (note, key.tonic.pitch_class)
        for note in music.struck_between(span.start, span.end)
        for key in music.analysis.keys
        if key.span.start <= note.onset < key.span.end
    ]
    return [
        note
        for note, tonic in tonics
        if (note.sounding.midi + 1) % OCTAVE == tonic or music.finding(note).degree == "7"
    ]


def is_named(claim: Claim, note: Note, before: Note, music: Music) -> bool:
    """Whether a degree names a note, over its own chord or over that of the note that moves to it."""
    if claim.kind == "note":
        return note.written.name == named_note(claim.name)
    if music.finding(note).degree in claim.names:
        return True
    chord = music.finding(before).chord
    return chord is not None and degree_of(note.sounding.midi % OCTAVE, chord) in claim.names


def goes_against(motion: str, before: Note, after: Note) -> bool:
    """Whether a note moves another way, or another way far, than is said; an octave more or less is as well."""
    step = after.sounding.midi - before.sounding.midi
    falls = pattern_of(FALLING).match(motion) is not None or " down" in motion
    rises = pattern_of(RISING).match(motion) is not None or " up" in motion
    far = HOW_FAR.search(motion)
    if far is not None and abs(step) % OCTAVE not in {size % OCTAVE for size in interval_sizes(far["size"])}:
        return True
    return abs(step) < OCTAVE / 2 and (
        (falls and not rises and step > 0) or (rises and not falls and step < 0)
    )
