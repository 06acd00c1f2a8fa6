"""What is said to be so when a chord comes, or a bar begins: a note rings on, is cut off, or nothing is played.

"The high G stops dead the moment D7 comes in" is false where every such G sounds on into a D7. The moment is each that
may be meant. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.near import chords_near, is_so_named
from lessonmaker.script.plain.crosscheck.spoken_of import subject_before, subjects
from lessonmaker.script.plain.crosscheck.told import Told, Untrue

__all__ = ["notes_at_the_change", "notes_with_chords", "silent_at_the_change"]

TODO = "say what is so then"
SOON = Fraction(1)  # quarters: how long before a moment a note may end that ends there, as one hears it


@dataclass(frozen=True)
class Moment:
    """When something is said to be so, at [first, last) of a sentence: the instants that may be meant."""

    first: int
    last: int
    times: tuple[Fraction, ...]


WHEN = pattern_of(
    r"\b(?:when|as|once|while|by the time|the (?:very )?(?:moment|second|instant)(?: that)?|just as"
    r"|as soon as|at the point where"
    r"|before|until|till|into|so)(?: (?:the|our|that|an?))? $"
)
COMES = pattern_of(
    r"(?: chord)? (?:(?:finally|then|suddenly|actually|first|itself) )?(?:comes|arrives|enters|starts"
    r"|begins|drops|shows up|slips|kicks in|takes over"
    r"|appears|turns up|hits|lands|sounds|is (?:here|there|reached|struck|played)|gets there|changes"
    r"|pops|rolls|moves|slides)\b"
)
THE_CHANGE = pattern_of(
    r"\b(?:when|as|once|while|by the time|the (?:very )?(?:moment|second|instant)(?: that)?|just as"
    r"|as soon as|at)"
    r" (?:the (?:next |new |following )?(?:chord|harmony)(?:s)? (?:changes?|arrives|comes|moves|switches"
    r"|shifts)|the (?:chord change|change of (?:chord|harmony)))\b"
)
BAR_LINE = pattern_of(
    r"\b(?:at|by|before|on|over|across|past|through|into) the bar ?-?line\b|\b(?:at|by) the end of (?:the|this) bar\b"
)


def _moments(told: Told) -> Iterator[Moment]:
    """When the sentence says that something is so."""
    harmony = told.harmony
    for name in told.chords_named:
        if WHEN.search(told.text[: name.first]) or COMES.match(told.text, name.last):
            times = tuple(each.span.start for each in chords_near(told, harmony) if is_so_named(name, each))
            if times:
                yield Moment(name.first, name.last, times)
    near = [bar.start for bar in told.music.bars_in(told.spans)]
    near += [bar.end for bar in told.music.bars_in(told.spans)]
    for match in BAR_LINE.finditer(told.text):
        yield Moment(*match.span(), tuple(near))
    for match in THE_CHANGE.finditer(told.text):
        yield Moment(*match.span(), tuple(each.span.start for each in chords_near(told, harmony)))


# Notes that ring on, or do not -----------------------------------------------------------------------------

RINGS_ON = pattern_of(
    r"\b(?:rings? (?:on|over|out|through)|(?:is|are|was|'s|keeps?|stays?) (?:\w+ )?(?:ringing|sounding"
    r"|hanging|held|tied|sustained)|simply rings"
    r"|(?:hangs?|holds?|carries|lingers?|lasts?|sustains?) (?:on|over)|stays put|is (?:still"
    r"|already) (?:there|going))\b"
)
CUT_OFF = pattern_of(
    r"\b(?:(?:stops?|ends?|breaks off|finishes|dies|quits)(?: (?:dead|short|right|exactly|just|precisely"
    r"|cold|abruptly|clean))*|(?:is|gets|are|was)"
    r" (?:cut (?:off|short)|let go|released|stopped|clipped|damped|over|gone|dropped|silenced"
    r"|choked)(?: (?:right|exactly|just))?|lets go|falls silent)"
    r"(?= (?:at|by|when|as|once|the|before|on|just|for|of)\b)"
    r"(?! (?:on|at) (?:(?:the|its|an?) )?(?:[a-g]\b|root|[a-z]+th\b|third))"
)
FARTHEST = 30
# Between a note that is held and a chord that comes later: "is held for a beat, then it climbs, and D minor begins".
ANOTHER_TIME = pattern_of(r"^ for (?:an?|one|two|three|four|half)\b|[,;:] (?:and|but|then|so)\b|\bthen\b")


def notes_at_the_change(told: Told) -> Iterator[Untrue]:
    """Notes that are said to ring on when something comes, or to be cut off, where none of them does."""
    moments = list(_moments(told))
    found = subjects(told) if moments else []
    for pattern, test in ((RINGS_ON, _rings), (CUT_OFF, _is_cut)):
        for match in pattern.finditer(told.text) if moments else ():
            subject = subject_before(told, match.start(), found)
            moment = min(moments, key=lambda each: abs(each.first - match.end()))
            if subject is None or (subject.lit and len(subject.every_note) > 1):
                continue
            if ANOTHER_TIME.search(told.text[match.end() : max(moment.first, match.end())]):
                continue
            if pattern is CUT_OFF and not 0 <= moment.first - match.end() <= FARTHEST:
                continue
            if not any(test(note, time) for note in subject.every_note for time in moment.times):
                note = subject.every_note[0]
                at = format_position(told.music.score, note.onset + note.held)
                yield Untrue(
                    *match.span(),
                    f"the {note.written.name} sounds until {at}",
                    TODO,
                    told.music.target_of(note),
                )


def _rings(note: Note, time: Fraction) -> bool:
    return note.onset < time < note.onset + note.held


def _is_cut(note: Note, time: Fraction) -> bool:
    return time - SOON < note.onset + note.held <= time


# Notes that come with a chord ------------------------------------------------------------------------------

WITH = pattern_of(
    r"\b(?:together|along|at (?:exactly )?the (?:very )?same (?:time|moment|instant)|simultaneously"
    r"|in step|in sync|right|exactly|arrives?|comes?(?: in)?|lands?"
    r"|enters?|starts?|is struck|hits|sounds) (?:with|as) (?:the )?$"
)
NO_ATTACK_SAID = pattern_of(
    r"\b(?:held|tied|before|after|rings?|still|not|against|rest|rests|ends?|stops?)\b"
)


def notes_with_chords(told: Told) -> Iterator[Untrue]:
    """Notes that are said to come together with a chord, where none of them does."""
    harmony = told.harmony
    found = subjects(told)
    for name in told.chords_named:
        before = WITH.search(told.text[: name.first])
        subject = subject_before(told, before.start(), found) if before is not None else None
        if before is None or subject is None or NO_ATTACK_SAID.search(told.text, subject.last, name.first):
            continue
        times = {each.span.start for each in chords_near(told, harmony) if is_so_named(name, each)}
        if times and not any(note.onset in times for note in subject.every_note):
            note = subject.every_note[0]
            what = f"the {note.written.name} is at {told.music.position(note)}"
            yield Untrue(before.start(), name.last, what, TODO, told.music.target_of(note))


# Silence ----------------------------------------------------------------------------------------------------

WHO = r"(?:melody|line|tune|horn|soloist|you|we|i|music|solo|player|singer|voice|everything|it)"
NOTHING_NEW = (
    r"(?:no (?:new |fresh |other )?notes?|nothing(?: new| fresh| else)?)(?: is| gets| are)? (?:played"
    r"|struck|hit|attacked|sounded|added|happens?|comes?|starts?)"
    r"|nobody (?:plays|strikes|hits) (?:anything|a thing|a note)"
)
QUIET = (
    rf"{WHO}(?: (?:has|have|is|are|had))?(?:'s|'re|'ve)? (?:(?:already|all|simply|just|long) )?(?:gone "
    rf"|fallen |gone completely |stays? |keeps? |goes |falls |been |be )?"
    r"(?:quiet|silent|resting|out|mute|stopped|finished)"
)
STATE = pattern_of(rf"\b(?:(?P<new>{NOTHING_NEW})|(?P<quiet>{QUIET}))(?!\w)")
FROM_THE_START = pattern_of(
    r"\b(?<!of )(?<!half )(?P<bar>(?:the|this|that) (?:\w+ )?(?:bar|measure)|(?:bar|measure) [\w-]+) (?:opens?"
    r"|starts?"
    r"|begins?|is|stays|kicks off)"
    r" (?:with (?:a )?(?:\w+ )?(?:silence|rest|rests|breath|pause|gap|hole)|(?:\w+ )?(?:silent|empty"
    r"|quiet|at rest|in silence)(?: (?:from the start|at first|right away|from the off"
    r"|from the downbeat))?)\b"
)


def silent_at_the_change(told: Told) -> Iterator[Untrue]:
    """A chord that is said to come while nothing is played, and a bar that is said to open so."""
    moments = [each for each in _moments(told) if not BAR_LINE.match(told.text, each.first)]
    for match in STATE.finditer(told.text) if moments else ():
        moment = min(moments, key=lambda each: abs(each.first - match.start()))
        struck = [told.music.struck_at(time) for time in moment.times]
        sounding = [told.music.sounding_at(time) if match["quiet"] else None for time in moment.times]
        there = [*[notes[0] for notes in struck if notes], *filter(None, sounding)]
        if all(notes or held for notes, held in zip(struck, sounding, strict=True)):
            yield _played(told, match, there[0])
    for match in FROM_THE_START.finditer(told.text):
        bars = told.music.bars_in(told.spans_at(match.start()))
        there = [
            note for bar in bars[-1:] for note in [*told.music.struck_at(bar.start), *_held(told, bar.start)]
        ]
        if there and all([*told.music.struck_at(bar.start), *_held(told, bar.start)] for bar in bars):
            yield _played(told, match, there[0])


def _held(told: Told, time: Fraction) -> list[Note]:
    held = told.music.sounding_at(time)
    return [held] if held is not None else []


def _played(told: Told, match: re.Match[str], note: Note) -> Untrue:
    what = f"the {note.written.name} at {told.music.position(note)} sounds then"
    return Untrue(*match.span(), what, TODO, told.music.target_of(note))
