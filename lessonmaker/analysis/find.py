"""Where the same thing happens again: a device, or a tension and its resolution, over the same function.

A question is what is looked for and, after "over", the chord it stands over:

| question | finds |
|---|---|
| `b9 -> 5 over V` | flat nines that resolve to a fifth, over dominants |
| `#11 over I` | sharp elevens over the tonic |
| `b9 over C7` | flat nines over that chord, by its symbol as it is printed |
| `enclosure over ii` | enclosures over second steps |
| `arpeggio 3-5-7-9`, `bVI triad` | a device with a detail |
| `arpeggio 3-5-b7-9` | arpeggios that have just these degrees in a row |
| `sequence` | every sequence |
| `suspension over V` | notes by their role |
| `altered scale` | where a scale is used |

Degrees may be said in words: `flat nine -> fifth`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import get_args

from lessonmaker.analysis.device_names import DEVICES, DeviceName, device_name
from lessonmaker.analysis.functions import function_at
from lessonmaker.analysis.model import Analysis
from lessonmaker.analysis.words import chord_words, degree_words
from lessonmaker.score.model import Note, Score
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, degree_spoken, family, parse_chord, readings
from lessonmaker.theory.kinds import DEGREE_SEMITONES, Family
from lessonmaker.theory.numeral import bare_numeral
from lessonmaker.theory.scale import scales_named
from lessonmaker.theory.signs import in_ascii

__all__ = ["Found", "Question", "QuestionError", "find", "find_like", "parse_question"]

PAIR = re.compile(r"(.+?)(?:\s*(?:->|→)\s*|\s+to\s+)(?:the )?(.+)")
SAID = {
    words: degree for degree in DEGREE_SEMITONES for words in (degree_spoken(degree), degree_words(degree))
}
ROLES = ("anticipation", "suspension", "passing", "neighbour", "approach", "tension")
SCALE = " scale"
FUNCTIONS = (
    "tonic",
    "subdominant",
    "dominant",
    "secondary dominant",
    "substitute dominant",
    "passing",
    "borrowed",
)
FAMILIES = tuple(kind for kind in get_args(Family) if kind not in ("open", "none"))
NUMERAL = re.compile(r"[b#]?[IViv]+")
SIGNED = re.compile(r"[b#]")
EXAMPLES = (
    'ask for "b9 -> 5 over V", "#11 over I", "b9 over C7", "enclosure over ii", "arpeggio 3-5-7-9", "sequence", '
    '"suspension", "altered scale", or bars such as 12-13'
)
EVERYWHERE = ("phrase", "landing note", "eighth-note line", "register peak", "density", "space")
LEAST_CONFIDENCE = 0.5
FEWEST_NOTES = 4


class QuestionError(ValueError):
    """A question that cannot be understood; the message says what can be asked."""


@dataclass(frozen=True)
class Question:
    """What is looked for: a device, a note by its `degree` or its `role`, a scale; over a chord, or over any ("").

    `chord` is the chord that `over` names, if it does so by a symbol; `row` the degrees that a device is to have.
    """

    device: DeviceName | None = None
    degree: str = ""
    over: str = ""
    role: str = ""
    scales: tuple[str, ...] = ()
    chord: Chord | None = None
    row: tuple[str, ...] = ()


@dataclass(frozen=True)
class Found:
    """One place: its span, its notes, what it is and a sentence about it."""

    kind: str
    span: Span
    notes: tuple[str, ...]
    text: str


def parse_question(text: str) -> Question:
    """Understand a question.

    Raises:
        QuestionError: it cannot be understood.
    """
    what, _, over = (part.strip() for part in in_ascii(text).partition(" over "))
    over = over.removeprefix("the ").removeprefix("a ").strip()
    asked = _what(what)
    if asked is None:
        raise QuestionError(f"{text!r} cannot be looked for; {EXAMPLES}. Devices are {', '.join(DEVICES)}")
    if not over or NUMERAL.fullmatch(over) or over.casefold() in (*FUNCTIONS, *FAMILIES):
        return replace(asked, over=over)
    try:
        return replace(asked, over=over, chord=parse_chord(over))
    except ValueError:
        raise QuestionError(f"{over!r} is no chord that can be asked for; {EXAMPLES}") from None


def _what(what: str) -> Question | None:
    """What is looked for, wherever it is."""
    pair = PAIR.fullmatch(what)
    first, second = (_degree(part) for part in (pair.groups() if pair is not None else ("", "")))
    if first and second:
        return Question(DeviceName("resolution", f"{first} -> {second}"))
    if degree := _degree(what):
        return Question(degree=degree)
    if (device := device_name(what)) is not None:
        return _device(device)
    said = what.casefold().removeprefix("the ").removesuffix(" note")
    if said in ROLES or said.removesuffix("s") in ROLES:
        return Question(role=said if said in ROLES else said.removesuffix("s"))
    scales = scales_named(said.removesuffix(SCALE)) if said.endswith(SCALE) else ()
    return Question(scales=scales) if scales else None


def _device(device: DeviceName) -> Question:
    """A device; an arpeggio whose degrees have signs by its plain numbers, and those degrees besides."""
    row = tuple(device.detail.split("-"))
    signed = device.kind == "arpeggio" and SIGNED.search(device.detail)
    if not signed or any(degree not in DEGREE_SEMITONES for degree in row):
        return Question(device)
    return Question(DeviceName(device.kind, SIGNED.sub("", device.detail)), row=row)


def _degree(said: str) -> str:
    """A degree as it is written or said ("b9", "flat nine", "the ninth"), or nothing."""
    words = said.strip().casefold().removeprefix("the ").removeprefix("a ")
    return words if words in DEGREE_SEMITONES else SAID.get(words, "")


def find(question: Question, score: Score, analysis: Analysis) -> tuple[Found, ...]:
    """Every place of a score that a question asks for, in time."""
    if question.scales:
        found = _scales(question.scales, analysis)
    else:
        found = _devices(question, analysis) if question.device else _notes(question, score, analysis)
    over = [each for each in found if _is_over(question, each.span.start, score, analysis)]
    return tuple(sorted(over, key=lambda each: each.span.start))


def _devices(question: Question, analysis: Analysis) -> Iterator[Found]:
    by_note = analysis.by_note
    for device in analysis.devices:
        degrees = [by_note[note].degree for note in device.notes if note in by_note] if question.row else []
        if question.device and question.device.fits(device) and _has_row(question.row, degrees):
            yield Found(device.kind, device.span, device.notes, device.text)


def _has_row(row: Sequence[str], degrees: Sequence[str | None]) -> bool:
    """Whether some degrees stand in a row among others."""
    return any(list(degrees[at : at + len(row)]) == list(row) for at in range(len(degrees) - len(row) + 1))


def _scales(wanted: tuple[str, ...], analysis: Analysis) -> Iterator[Found]:
    for use in analysis.scales:
        if use.scale in wanted and use.confidence >= LEAST_CONFIDENCE:
            yield Found("scale", use.span, use.notes, use.text)


def _notes(question: Question, score: Score, analysis: Analysis) -> Iterator[Found]:
    by_note = analysis.by_note
    for note in score.struck:
        finding = by_note.get(note.id)
        if finding is None or finding.degree is None:
            continue
        if finding.role == question.role if question.role else finding.degree == question.degree:
            text = f"The {degree_words(finding.degree)} of {chord_words(finding.chord)}: {finding.role or 'foreign'}."
            span = Span(note.onset, note.onset + max(note.held, Fraction(1, 64)))
            yield Found("note", span, (note.id,), text)


def _is_over(question: Question, time: Fraction, score: Score, analysis: Analysis) -> bool:
    over = question.over
    if not over:
        return True
    if question.chord is not None:
        before = [change for change in score.changes if change.onset <= time]
        return bool(before) and _is_chord(before[-1].written, question.chord)
    function = function_at(analysis.functions, time)
    if function is None:
        return False
    if NUMERAL.fullmatch(over):
        return bare_numeral(function.numeral).casefold() == over.casefold()
    kind = family(readings(function.chord)[0])
    return over.casefold() in (function.function, kind) or (
        over == "dominant" and kind in ("altered", "suspended")
    )


def _is_chord(there: Chord | None, asked: Chord) -> bool:
    """Whether a chord is the one asked for: its root and its family, an altered or suspended one for a dominant."""
    if there is None or there.root.pitch_class != asked.root.pitch_class:
        return False
    kinds = [family(readings(chord)[0]) for chord in (there, asked)]
    return kinds[0] == kinds[1] or (kinds[1] == "dominant" and kinds[0] in ("altered", "suspended"))


# By an example -------------------------------------------------------------------------------------------


def find_like(
    span: Span, score: Score, analysis: Analysis, where: tuple[Score, Analysis]
) -> tuple[Found, ...]:
    """Where what happens in a span of one score happens in another (or elsewhere in the same one).

    The same device with the same detail over the same function, and the same degrees in a row.
    """
    there, heard = where
    found: dict[Span, Found] = {}
    for device in analysis.devices:
        inside = span.start <= device.span.start and device.span.end <= span.end
        if inside and device.kind not in EVERYWHERE and device.confidence >= LEAST_CONFIDENCE:
            function = function_at(analysis.functions, device.span.start)
            over = bare_numeral(function.numeral) if function else ""
            question = Question(DeviceName(device.kind, device.detail), over=over)
            found |= {each.span: each for each in find(question, there, heard)}
    found |= {each.span: each for each in _same_degrees(span, (score, analysis), where)}
    own = there is score
    elsewhere = (
        each
        for each in found.values()
        if not own or each.span.start >= span.end or each.span.end <= span.start
    )
    return tuple(sorted(elsewhere, key=lambda each: each.span.start))


def _same_degrees(span: Span, one: tuple[Score, Analysis], other: tuple[Score, Analysis]) -> Iterator[Found]:
    wanted = [degree for _, degree in _degrees(*one, span)]
    if len(wanted) < FEWEST_NOTES:
        return
    score, analysis = other
    bars = score.bars
    line = _degrees(score, analysis, Span(bars[0].start, bars[-1].end))
    for first in range(len(line) - len(wanted) + 1):
        part = line[first : first + len(wanted)]
        if [degree for _, degree in part] == wanted:
            notes = [note for note, _ in part]
            text = f"The same degrees in a row: {' '.join(wanted)}."
            whole = Span(notes[0].onset, notes[-1].onset + notes[-1].held)
            yield Found("degrees", whole, tuple(note.id for note in notes), text)


def _degrees(score: Score, analysis: Analysis, span: Span) -> Sequence[tuple[Note, str]]:
    by_note = analysis.by_note
    notes = [note for note in score.struck if span.start <= note.onset < span.end]
    return [(note, by_note[note.id].degree or "-") for note in notes if note.id in by_note]
