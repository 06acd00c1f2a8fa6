"""What is said of each of several bars, and is not so in one: "each of them begins on A", "the long note is the root".

Common practice, no source. A bar may begin with a note that is held into it, or struck early.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.beside import Beside
from lessonmaker.script.plain.claim import named_degrees
from lessonmaker.script.plain.crosscheck.bars_told import bars_told, shown_bars
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.verbs import ENDING, LANDING, STARTING
from lessonmaker.script.plain.vocabulary import degree_names, ordinal_of
from lessonmaker.theory.degree import accepts

__all__ = ["each_bar"]

FEWEST = 2  # bars of which something is said of each
BAR = r"(?:bars?|measures?)"
EACH = pattern_of(
    rf"\b(?:(?:each|every(?: single)?)(?: (?:one|of (?:the|these|those)(?: \w+)?))? ?{BAR}"
    rf"|(?:all|both)(?: (?:of )?(?:the|these|those))?(?: (?:two|three|four|five|six|eight))? {BAR}|always"
    rf"|(?:each|every one|all|both) of (?:them|these|those)(?: {BAR})?|(?:each|every) time)\b"
)
ORDINAL = r"(?:root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth)"
SIGN = r"(?:flat|sharp|natural|major|minor)"
NAMED = (
    r"(?:(?:the|its|an?|that|chord's|their|own|high|low|same|long|short|held|tied) )*"
    rf"(?:(?P<degree>(?:{SIGN} )?{ORDINAL}|{SIGN} (?:nine|eleven|thirteen))"
    r"|(?P<letter>(?:[b-g]|a(?= flat| sharp| natural|[,.;:!?]|$))(?:[b#]|[ -](?:flat|sharp|natural))?))"
    r"(?![\w'#-])(?! (?:note|bar|time|one|beat|chord|major|minor|seven|triad)\b)"
)
UP = r"(?: (?:up|off|out|down|right|straight|squarely|safely))*"
OF_IT = r"(?: (?:in|of|at|on) (?:it|them|(?:the|each|every|this|that) (?:\w+ )?\w+))*"
IS = rf"{OF_IT},? (?:is|are|'s|was)(?: (?:always|just|simply|again))*"
FIRST = pattern_of(rf"\b(?:(?:{STARTING}){UP} (?:on|with|from|at)|(?:first|opening) note{IS}) {NAMED}")
LAST = pattern_of(rf"\b(?:(?:{ENDING}|{LANDING}){UP} (?:on|with|at)|(?:last|final|closing) note{IS}) {NAMED}")
LONGEST = pattern_of(rf"\b(?:long(?:est)?|held) note{IS} {NAMED}")
WHICH = pattern_of(
    r"\blong(?:est)? (?:note|one)\b[^;:!]{0,60}?(?: is| comes|'s)(?: (?:always|just|simply))* (?:the )?(?P<which>first"
    r"|last)(?: one| note| in the bar)?(?=\W*$|[,.;])"
)
# It is said of less, or less surely.
NOT_OF_EACH = pattern_of(
    r"\b(?:except|apart|but|until|till|almost|nearly|mostly|other|half|chord(?=s)|phrase|group|would|could|if|bass"
    r"|left hand|not|never|no|none)\b|n't\b"
    rf"|\bthe (?:first|second|third|last|latter|former)(?: one)?(?: \w+ly)? (?:{STARTING}|{ENDING}|{LANDING}|is|has)\b"
)
OF_THE_BAR = Callable[[Told, Span], Sequence[Note]]


def each_bar(told: Told) -> Iterator[Untrue]:
    """The first, last or longest note of each bar, by its name, and a figure that is moved each time."""
    each, bars = EACH.search(told.text), _bars(told)
    if each is not None and not NOT_OF_EACH.search(told.text) and len(bars) >= FEWEST:
        for pattern, notes_of, what in ROLES:
            match = pattern.search(told.text)
            if match is not None:
                yield from _named(told, match, [notes_of(told, bar) for bar in bars], what)
        yield from _which_is_longest(told, bars)
        yield from _spelt(told, bars)
    yield from _moved_each_time(told)


def _bars(told: Told) -> list[Span]:
    """The bars that are named or shown, each with notes."""
    named = list(dict.fromkeys(bar for each in bars_told(told) for bar in each.bars))
    return [bar for bar in (named if len(named) > 1 else shown_bars(told)) if told.music.line_in(bar)]


def _firsts(told: Told, bar: Span) -> Sequence[Note]:
    """What a bar may be said to begin with: the first note, and one that is held into it."""
    held = told.music.sounding_at(bar.start)
    return [*told.music.line_in(bar)[:1], *([held] if held is not None else [])]


def _lasts(told: Told, bar: Span) -> Sequence[Note]:
    """What a bar may be said to end with: the last note, one that is longest, one that the last comes after."""
    return [*told.music.line_in(bar)[-2:], *_longest(told, bar)]


def _longest(told: Told, bar: Span) -> Sequence[Note]:
    notes = told.music.line_in(bar)
    return [note for note in notes if note.held == max(each.held for each in notes)]


ROLES: tuple[tuple[re.Pattern[str], OF_THE_BAR, str], ...] = (
    (FIRST, _firsts, "begins"),
    (LAST, _lasts, "ends"),
    (LONGEST, _longest, "has its longest note"),
)


def _named(told: Told, match: re.Match[str], groups: Sequence[Sequence[Note]], what: str) -> Iterator[Untrue]:
    """A bar in which none of some notes has a name."""
    for notes in groups:
        if any(_may_be(told, match, note) for note in notes):
            continue
        note = notes[0]
        bar = told.music.score.bars[note.bar].number
        first = match.start("degree") if match["degree"] else match.start("letter")
        words = f"bar {bar} {what} on another note, at {told.music.position(note)}"
        yield Untrue(
            first, match.end(), words, "name what each of them has", target=told.music.target_of(note)
        )
        return


def _may_be(told: Told, match: re.Match[str], note: Note) -> bool:
    """Whether a note has a name, over any chord that it sounds with."""
    if match["letter"]:
        named = named_note(match["letter"]).pitch_class
        return named in (note.written.name.pitch_class, note.sounding.name.pitch_class)
    finding = told.music.finding(note)
    if finding.chord is None or finding.degree is None:
        return True
    names = named_degrees(match["degree"])
    return any(accepts(name, finding.degree, finding.chord) != "false" for name in names)


def _which_is_longest(told: Told, bars: Sequence[Span]) -> Iterator[Untrue]:
    """The first or the last note of each bar that is said to be its longest."""
    match = WHICH.search(told.text)
    if match is None:
        return
    for bar in bars:
        notes, longest = told.music.line_in(bar), _longest(told, bar)
        wanted = notes[0] if match["which"] == "first" else notes[-1]
        if wanted not in longest:
            at = told.music.position(longest[0])
            what = f"the longest note of {told.music.said(bar)} is at {at}"
            yield Untrue(*match.span("which"), what, "say where it is", at, of_these=_points(told))
            return


THESE = pattern_of(rf"\b(?:these|those|both|all (?:two|three|four|five|six|eight)) {BAR}")


def _points(told: Told) -> bool:
    return THESE.search(told.text) is not None


# A chord that is spelt the same way in each --------------------------------------------------------------

DEGREE = rf"(?:{ORDINAL}|one|three|five|seven|nine)"
ROW = pattern_of(
    rf"(?<![\w-]){DEGREE}(?:,? (?:and |then |and then )?{DEGREE}(?![\w-])){{2,4}}(?! (?:bars?|times|beats?)\b)"
)
NUMBERS = {"one": 1, "three": 3, "five": 5, "seven": 7, "nine": 9}


def _spelt(told: Told, bars: Sequence[Span]) -> Iterator[Untrue]:
    """Degrees in their order that each bar is said to have, and that come so in none."""
    match = ROW.search(told.text)
    if match is None:
        return
    row = [_names(word) for word in pattern_of(DEGREE).findall(match[0])]
    found = [told.music.struck_between(bar.start, bar.end) for bar in bars]
    owns = [[note for note in notes if any(_has(told, note, names) for names in row)] for notes in found]
    if any(_comes(told, row, notes) for notes in (*found, *owns)) or not all(owns):
        return
    words = f"they come in no such order: {told.music.degrees_said(owns[0])}"
    yield Untrue(*match.span(), words, "say them in their order", of_these=_points(told))


def _names(word: str) -> tuple[str, ...]:
    return degree_names("", 1 if word == "root" else NUMBERS.get(word) or ordinal_of(word))


def _has(told: Told, note: Note, names: Sequence[str]) -> bool:
    return told.music.finding(note).degree in names


def _comes(told: Told, row: Sequence[Sequence[str]], notes: Sequence[Note]) -> bool:
    """Whether degrees come one after the other somewhere among some notes."""
    return any(
        all(_has(told, note, names) for note, names in zip(notes[at:], row, strict=False))
        for at in range(len(notes) - len(row) + 1)
    )


# A figure that is moved each time -------------------------------------------------------------------------

EACH_TIME = pattern_of(
    r"\b(?:each|every) (?:time|one|copy|repeat|repetition)\b[^.;:]{0,30}?\b(?P<way>higher|lower|up|down"
    r"|climb\w*|ris(?:es|ing)|fall\w*|sink\w*|drop\w*)\b"
)
RISES = pattern_of(r"higher|up|climb|ris")


def _moved_each_time(told: Told) -> Iterator[Untrue]:
    """A sequence that is lit, and goes the other way each time."""
    match = EACH_TIME.search(told.text)
    lit = [each for each in told.shown if each.device is not None and each.device.kind == "sequence"]
    if match is None or len(lit) != 1 or NOT_OF_EACH.search(match[0]):
        return
    notes, way = lit[0].notes, 1 if RISES.match(match["way"]) else -1
    bars = [Span(bar.start, bar.end) for bar in told.music.bars_in([Span(notes[0].onset, notes[-1].onset)])]
    moves = [Beside.of(told.music, one, other).moved * way for one, other in pairwise(bars)]
    groups = [told.music.line_in(bar) for bar in bars]
    if not all(groups):
        return
    firsts = [(b[0].sounding.midi - a[0].sounding.midi) * way for a, b in pairwise(groups)]
    if len(moves) > 1 and any(move < 0 and first < 0 for move, first in zip(moves, firsts, strict=True)):
        other = "lower" if way > 0 else "higher"
        what, todo = f"it sits {other} at least once", f"say where it sits {other}"
        yield Untrue(*match.span(), what, todo, of_these=True)
