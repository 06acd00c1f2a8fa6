"""What a sentence says of the steps of the line: by half steps, in stacked fourths, with ends alike.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, words_like
from lessonmaker.script.plain.intervals import QUALITY, interval_sizes
from lessonmaker.script.plain.shape import Shape
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, FALLING, MOVING, RISING, STARTING
from lessonmaker.script.plain.vocabulary import NUMBER, number_of, ordinal_of

__all__ = [
    "HALF_STEPS",
    "SAME_ENDS",
    "STACK",
    "half_step_runs",
    "is_of_size",
    "shape_claims",
    "stacks",
]

HALF_STEPS, STACK, SAME_ENDS = "half steps", "stack", "same ends"
FEWEST = 3  # notes of a run

# By half steps ---------------------------------------------------------------------------------------------

BY_HALF_STEPS = (
    r"(?:(?:by|in) (?:half[- ]steps|semitones)|(?:a|one) (?:half[- ]step|semitone) at a time"
    r"|(?:half[- ]step|semitone) by (?:half[- ]step|semitone)"
    r"|chromatically)"
)
ALL_HALF_STEPS = (
    r"(?:(?:all|only|just|nothing but) (?:in |by )?|through (?:the )?)(?:half[- ]steps|semitones)"
)
MOVES = pattern_of(rf"\b(?:{MOVING})(?: along| on)? $")
THROUGHOUT = r"chromatic(?= (?:from \w+ to \w+|throughout|all the way|the whole way)\b)"
SOME_WORDS = r"(?: (?!and\b|but\b|then\b)[\w'-]+){0,4}?"
DOWN = pattern_of(rf"\b(?:{FALLING}|down(?:wards?)?|lower){SOME_WORDS} $")
UP = pattern_of(rf"\b(?:{RISING}|up(?:wards?)?|higher){SOME_WORDS} $")
AFTER = pattern_of(r"(?:,? (?:we|it|you|i|the line) \w+)? (down|up)(?:wards?)?\b")


def _half_steps(sentence: Sentence) -> Iterator[Claim]:
    text = sentence.text
    for match in words_like(f"{BY_HALF_STEPS}|{THROUGHOUT}|{ALL_HALF_STEPS}").finditer(text):
        before, after = text[: match.start()], AFTER.match(text, match.end())
        way = (after and {"down": -1, "up": 1}[after[1]]) or (
            -1 if DOWN.search(before) else 1 if UP.search(before) else 0
        )
        is_plain = pattern_of(f"chromatic|{ALL_HALF_STEPS}").fullmatch(match[0]) or MOVES.search(before)
        if way or is_plain:
            yield Claim("device", match.start(), match.end(), HALF_STEPS, shape=Shape(way), sure=False)


def half_step_runs(line: Sequence[Note], way: int) -> list[list[Note]]:
    """The runs of three notes or more that go by half steps, down (-1), up (1), or either way (0)."""
    found: list[list[Note]] = []
    for step in (way,) if way else (-1, 1):
        run = list(line[:1])
        for before, note in pairwise(line):
            if note.sounding.midi - before.sounding.midi == step:
                run.append(note)
                continue
            found.append(run)
            run = [note]
        found.append(run)
    return [run for run in found if len(run) >= FEWEST]


# Intervals -------------------------------------------------------------------------------------------------

SIZE = r"(?:second|third|fourth|fifth|sixth|seventh|octave)"
STACKED = pattern_of(
    r"(?:\b(?:(?P<count>two|three|four|five|six"
    rf"|[2-6]) )?(?:(?P<quality>{QUALITY}) )?(?P<size>{SIZE})s\b)(?! of\b)"
)
STACKING = pattern_of(
    r"\b(?:stack|pile|build|heap)(?:s|ed|ing)?(?: (?:up|of|on|in|out of|together|these|those|some|its))* ?$"
    r"|\b(?:chain|string|series|tower|ladder|row|succession) of $|\b(?:stacked|piled|consecutive"
    r"|successive) $"
)
STACKED_AFTER = pattern_of(
    r" (?:in a row|stacked|piled|on top of (?:each other|one another)|one after the other)\b"
)


def _stacks(sentence: Sentence) -> Iterator[Claim]:
    for match in STACKED.finditer(sentence.text):
        before = sentence.text[: match.start()]
        stacked = STACKING.search(before) or STACKED_AFTER.match(sentence.text, match.end())
        if stacked or match["quality"] == "perfect":
            count = number_of(match["count"]) if match["count"] else 0
            detail = f"{match['quality'] or ''} {match['size']}".strip()
            names = ("stacked",) if stacked else ()
            yield Claim("device", match.start(), match.end(), STACK, names, detail, 0, count, sure=False)


def is_of_size(before: Note, after: Note, detail: str) -> bool:
    """Whether two notes are an interval apart, by their letters; its quality counts where it is said."""
    *quality, size = detail.split()
    number = 8 if size == "octave" else ordinal_of(size)
    semitones = abs(after.sounding.midi - before.sounding.midi)
    steps = abs(after.written.diatonic - before.written.diatonic)
    return steps == number - 1 and (not quality or semitones in interval_sizes(detail))


def stacks(line: Sequence[Note], detail: str, fewest: int) -> list[list[Note]]:
    """The runs of at least so many intervals of a size, all one way."""
    found: list[list[Note]] = []
    run: list[Note] = []
    for before, note in pairwise(line):
        goes_on = is_of_size(before, note, detail)
        up = note.sounding.midi > before.sounding.midi
        if goes_on and len(run) > 1 and up == (run[1].sounding.midi > run[0].sounding.midi):
            run.append(note)
            continue
        found.append(run)
        run = [before, note] if goes_on else []
    return [run for run in (*found, run) if len(run) > fewest]


# Bars beside each other ------------------------------------------------------------------------------------

SAME = (
    rf"(?P<side>{STARTING}|{ENDING})(?: (?:up|off|out))?(?: (?:with|on|in|by|from))? (?:exactly |precisely )?"
    rf"(?P<same>the (?:very )?same (?:(?P<count>{NUMBER}) )?notes)"
)


def _same_ends(sentence: Sentence) -> Iterator[Claim]:
    for match in words_like(SAME).finditer(sentence.text):
        side = "last" if pattern_of(ENDING).fullmatch(match["side"]) else "first"
        count = number_of(match["count"]) if match["count"] else 0
        yield Claim("device", *match.span("same"), SAME_ENDS, (), side, 0, count, sure=False)


def shape_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of the steps of the line, and of bars that are alike."""
    for finder in (_same_ends, _half_steps, _stacks):
        yield from finder(sentence)
