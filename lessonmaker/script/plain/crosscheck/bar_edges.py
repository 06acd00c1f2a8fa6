"""How a note is said to stand to the bar line and to its chord: early, late, before it, tied over it.

"The E shows up a whole beat early" is false where no E comes a beat before a bar, a chord or a beat; "the G is tied
into bar seven" where no G sounds on into it. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.bearers import NAMES, bears, notes_near
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.stance_words import DENIALS
from lessonmaker.script.plain.verbs import inflected

__all__ = ["bar_edges"]

BEAT, EIGHTH = "beat", "eighth"
# How much earlier or later something comes: of what unit, and how many of it.
AMOUNTS = {
    r"half a beat|a half[- ]beat": (BEAT, Fraction(1, 2)),
    r"an? (?:whole |full |entire )?beat|one (?:whole |full )?beat": (BEAT, Fraction(1)),
    r"a beat and a half|one and a half beats": (BEAT, Fraction(3, 2)),
    r"two (?:whole |full )?beats": (BEAT, Fraction(2)),
    r"three (?:whole |full )?beats": (BEAT, Fraction(3)),
    r"an eighth(?:[ -]note)?|a quaver": (EIGHTH, Fraction(1)),
    r"a quarter(?:[ -]note)?|a crotchet": (EIGHTH, Fraction(2)),
    r"a dotted quarter(?:[ -]note)?": (EIGHTH, Fraction(3)),
    r"a half[ -]note|a minim": (EIGHTH, Fraction(4)),
    r"a sixteenth(?:[ -]note)?|a semiquaver": (EIGHTH, Fraction(1, 2)),
}
HOW_MUCH = "|".join(AMOUNTS)
TARGET = (
    r"(?:(?:the|its|that|this) (?:bar ?line|(?:next )?(?:chord|harmony|change|bar)|down-?beat)"
    r"|it's due|time|schedule)"
)
EARLY = pattern_of(
    rf"\b(?P<much>{HOW_MUCH}) (?:(?:too )?(?:early|soon)|ahead(?: of {TARGET})?|in advance|before {TARGET})(?!\w)"
)
LATE = pattern_of(rf"\b(?P<much>{HOW_MUCH}) (?:(?:too )?late|behind(?: {TARGET})?|after {TARGET})(?!\w)")
BY = rf"(?:[^,;:]{{0,30}}? by (?P<much>{HOW_MUCH}))(?! or)(?!\w)"
PUSHED = pattern_of(rf"\b(?:anticipat\w+|early|push(?:es|ed)|rush(?:es|ed)|ahead){BY}")
DELAYED = pattern_of(rf"\b(?:delay\w*|late|behind|held back|holds? back|displaced){BY}")
COMES = (
    r"\b(?:arrives?|comes?|comes? in|shows? up|lands?|sounds?|hits|enters?|is|gets? (?:there|in)|appears?)"
    r"(?: (?:a (?:little|touch|bit|hair|shade)|slightly|just|way|too))?"
)
TOO_SOON = pattern_of(rf"{COMES} (?:early|ahead of (?:{TARGET}|the beat))(?! in\b)(?!\w)")
TOO_LATE = pattern_of(rf"{COMES} (?:late|behind the beat)(?! in\b)(?!\w)")
BEFORE_LINE = pattern_of(
    r"\b(?:just|right|immediately|directly) before (?:the|that|this) (?:bar ?line|end of the bar)\b"
)
AFTER_LINE = pattern_of(r"\b(?:just|right|immediately|directly) after (?:the|that|this) bar ?line\b")
TIE = inflected("tie, hold, hang, ring, sustain, carry, last, keep, hold on, hang on, let ring, linger")
OVER_LINE = pattern_of(
    rf"\b{TIE}(?: (?:it|on|over|right|straight|out|the|that|its|your|a|[a-g](?: flat| sharp| natural)?|\w+th|third"
    r"|root)){0,4}"
    r" (?:across|over|past|through|into|beyond|to) (?:(?:the|that) (?:bar ?line|next bar|following bar)|bar \w+)\b"
)


def bar_edges(told: Told) -> Iterator[Untrue]:
    """What is said of a note that is named, and of no note of that name in sight."""
    for pattern, test, what in CASES:
        for match in pattern.finditer(told.text):
            claims = _said_of(told, *match.span())
            notes = [note for note in notes_near(told) if any(bears(note, claim, told) for claim in claims)]
            if claims and not any(test(told, note, match) for note in notes):
                yield _untrue(told, match, claims[-1], what)


def _said_of(told: Told, first: int, last: int) -> Sequence[Claim]:
    """The notes that words may be said of: those in their part of the sentence, or the last one before."""
    start, end = told.part_of(first)
    end = max(end, last)
    named = [claim for claim in told.named if claim.kind in NAMES]
    inside = [claim for claim in named if start <= claim.first < end]
    found = inside or [claim for claim in named if claim.last <= first]
    if not found or any(claim.count or claim.which or claim.stance == "denied" for claim in found):
        return ()
    start = min(start, found[0].first)
    if pattern_of(DENIALS).search(told.text[start:end]) or not told.is_plain(start, end):
        return ()
    return found


def _untrue(told: Told, match: re.Match[str], claim: Claim, what: str) -> Untrue:
    own = next((note for note in told.notes_in(told.spans) if bears(note, claim, told)), None)
    name, words = told.sentence.words(claim.first, claim.last), told.sentence.words(*match.span())
    if own is None:
        return Untrue(claim.first, claim.last, f"there is no {name} “{words}”", "say what is there")
    at = told.music.position(own)
    return Untrue(*match.span(), f"“{words}”: the {name} at {at} {what}", "say where it is", at)


# What may be so of a note --------------------------------------------------------------------------------------


def _quarters(told: Told, note: Note, match: re.Match[str]) -> Fraction:
    unit, count = next(
        amount for words, amount in AMOUNTS.items() if pattern_of(words).fullmatch(match["much"])
    )
    metre = told.music.score.bars[note.bar].metre
    return count * (metre.unit_quarters if unit == BEAT else Fraction(1, 2))


def _is_early(told: Told, note: Note, match: re.Match[str]) -> bool:
    """Whether a note comes so much before a bar line, a chord, or the beat."""
    edges = [bar.end for bar in told.music.score.bars[note.bar :][:1]]
    edges += [change.onset for change in told.music.score.changes if change.onset > note.onset][:1]
    unit = told.music.score.bars[note.bar].metre.unit_quarters
    within = (note.onset - told.music.score.bars[note.bar].start) % unit
    away = {edge - note.onset for edge in edges} | {unit - within}
    return _quarters(told, note, match) in away


def _is_late(told: Told, note: Note, match: re.Match[str]) -> bool:
    bar = told.music.score.bars[note.bar]
    edges = [bar.start]
    edges += [change.onset for change in told.music.score.changes if change.onset <= note.onset][-1:]
    away = {note.onset - edge for edge in edges} | {(note.onset - bar.start) % bar.metre.unit_quarters}
    return _quarters(told, note, match) in away


def _is_off(told: Told, note: Note, _: re.Match[str]) -> bool:
    """Whether a note comes neither with a bar nor with a chord."""
    bars = {bar.start for bar in told.music.score.bars}
    return note.onset not in bars | {change.onset for change in told.music.score.changes}


def _is_before_line(told: Told, note: Note, _: re.Match[str]) -> bool:
    bar, after = told.music.score.bars[note.bar], told.next_note(note)
    return after is None or after.bar != note.bar or bar.end - note.onset <= bar.metre.unit_quarters


def _is_after_line(told: Told, note: Note, _: re.Match[str]) -> bool:
    bar, before = told.music.score.bars[note.bar], told.note_before(note)
    return before is None or before.bar != note.bar or note.onset - bar.start <= bar.metre.unit_quarters


def _is_over_line(told: Told, note: Note, _: re.Match[str]) -> bool:
    return note.onset + note.held > told.music.score.bars[note.bar].end


CASES = (
    (EARLY, _is_early, "does not come so early"),
    (LATE, _is_late, "does not come so late"),
    (PUSHED, _is_early, "does not come so early"),
    (DELAYED, _is_late, "does not come so late"),
    (TOO_SOON, _is_off, "comes with its bar or chord"),
    (TOO_LATE, _is_off, "comes with its bar or chord"),
    (BEFORE_LINE, _is_before_line, "is not at the end of its bar"),
    (AFTER_LINE, _is_after_line, "is not at the start of its bar"),
    (OVER_LINE, _is_over_line, "ends before the bar line"),
)
