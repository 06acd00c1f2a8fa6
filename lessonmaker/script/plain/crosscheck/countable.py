"""What can be counted in some bars: rests, steps and leaps, chords and their changes, ties, accidentals, devices.

Common practice, no source. How many there are is a range: the fewest that anybody would count, and the most.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from itertools import groupby, pairwise
from typing import Literal

from lessonmaker.analysis.model import Device
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, hull, overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.intervals import INTERVAL, interval_sizes, semitones_of, steps_of
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.passage import rests_of

__all__ = ["Found", "Thing", "things_in"]


@dataclass(frozen=True)
class Found:
    """How many of a thing there are at least and at most, and where the first one is, in quarters."""

    fewest: int
    most: int
    onset: Fraction | None = None


Said = Literal["denied", "counted", "either"]
Count = Callable[[Told, Sequence[Span]], Found]


@dataclass(frozen=True)
class Thing:
    """A thing at [first, last) of a sentence, what one of it is called, and how it is counted.

    What is `said` as "denied" or "counted" is only looked at where that is said of it.
    """

    first: int
    last: int
    noun: str
    count: Count
    said: Said = "either"


# Rests ---------------------------------------------------------------------------------------------------

REST_VALUES = {"whole": Fraction(4), "half": Fraction(2), "quarter": Fraction(1), "eighth": Fraction(1, 2)}
REST = pattern_of(
    rf"(?<![\w-])(?:(?P<value>{'|'.join(REST_VALUES)})[ -]rests?|rests?|silences?|pauses?)\b"
    r"(?! (?:of (?:the|it|us|you|this|that|your|our|them)|on|is (?:easy|history|clear|up|just|all)|assured)\b)"
)


def _rests_in(told: Told, spans: Sequence[Span]) -> list[Span]:
    """What bars have of each rest, bar by bar, in time."""
    bars = [Span(bar.start, bar.end) for bar in told.music.bars_in(spans)]
    return [
        Span(max(rest.start, bar.start), min(rest.end, bar.end))
        for rest in rests_of(told.music)
        for bar in bars
        if overlap(rest, bar) > 0
    ]


def _rests(told: Told, spans: Sequence[Span], value: str = "") -> Found:
    """Rests as they are printed: what is silent may be printed as one, or as some rests one after the other."""
    pieces = [piece for piece in _rests_in(told, spans) if any(overlap(piece, span) > 0 for span in spans)]
    at = pieces[0].start if pieces else None
    if value:
        length = REST_VALUES[value]
        same = [piece for piece in pieces if piece.end - piece.start == length]
        return Found(len(same), sum(int((piece.end - piece.start) / length) for piece in pieces), at)
    joined = sum(one.end < other.start for one, other in pairwise(pieces)) + bool(pieces)
    eighths = sum(max(int((piece.end - piece.start) * 2), 1) for piece in pieces)
    return Found(joined, eighths, at)


# Steps and leaps -----------------------------------------------------------------------------------------

IN_A_ROW = pattern_of(
    r"[^,;:.]{0,20}?\b(?:in a row|running|back to back|in succession|one after (?:the other|another))\b"
)
STEPS = dict.fromkeys(("half step", "semitone", "whole step", "whole tone", "step"), 1) | {"tritone": 4}
LEAP = r"(?:leaps?|jumps?|skips?|drops?|plunges?|hops?)"
MOVE = pattern_of(
    rf"(?<![\w-])(?:({INTERVAL})[ -]{LEAP}\b|{LEAP} (?:up |down )?of an? ({INTERVAL})"
    r"|((?:half|whole)[ -](?:steps|tones)|semitones)\b)"
)
WIDER = pattern_of(
    rf"(?<![\w-])(?:intervals?|leaps?|jumps?|steps?|skips?|moves?|gaps?|thing|nothing|anything)"
    rf"(?: (?:that is|that's|here|in it|in here|is|goes|at all))*"
    rf" (?:wider|bigger|larger|greater|more|further|farther) than an? (?P<size>{INTERVAL}|(?:half|whole)[ -]"
    r"(?:step|tone)|step)"
)


def _moves(
    told: Told, spans: Sequence[Span], fits: Callable[[Note, Note], bool], *, in_a_row: bool = False
) -> Found:
    """Two notes of the line in a row that are so far apart: both in the bars, or one just before or after them.

    Those that are said to come `in_a_row` are counted as far as they do.
    """
    span = hull(spans)
    inside = [fits(*pair) for pair in pairwise(told.music.line_in(span))]
    near = sorted([*told.notes_beside([span], 1), *told.music.line_in(span)], key=lambda note: note.onset)
    wider = [fits(*pair) for pair in pairwise(near)]
    first = told.music.line_in(span)[inside.index(True) + 1].onset if any(inside) else None
    count = _longest_run if in_a_row else sum
    return Found(count(inside), count(wider), first)


def _longest_run(fitting: Sequence[bool]) -> int:
    return max((len(list(run)) for fits, run in groupby(fitting) if fits), default=0)


def _is_so_far(name: str, one: Note, other: Note) -> bool:
    return abs(other.sounding.midi - one.sounding.midi) in interval_sizes(name)


def _is_wider(name: str, one: Note, other: Note) -> bool:
    """Whether two notes are further apart than an interval, by their letters and as it sounds, with no rest between."""
    plain = name.replace("-", " ")
    steps = STEPS.get(plain) or steps_of(plain)
    most = semitones_of("tritone")[0] if plain == "fourth" else max(interval_sizes(plain))
    apart = abs(other.written.diatonic - one.written.diatonic)
    joined = one.onset + one.held >= other.onset
    return joined and apart > steps and abs(other.sounding.midi - one.sounding.midi) > most


# Chords --------------------------------------------------------------------------------------------------

CHORDS = pattern_of(
    r"(?<![\w-])(?:chords?|harmon(?:y|ies))\b"
    r"(?![ -](?:tones?|notes?|changes?|symbols?|members?|scales?|shapes?|progression|rhythm|that)\b)"
)


def _chords(told: Told, spans: Sequence[Span]) -> Found:
    """Chords as they are printed: at least those of different roots."""
    heard = [
        each for each in told.harmony.within(hull(spans)) if any(overlap(each.span, s) > 0 for s in spans)
    ]
    roots = {each.root for each in heard}
    return Found(len(roots), len(heard), heard[-1].span.start if heard else None)


# Accidentals and ties ------------------------------------------------------------------------------------

SIGN = pattern_of(
    r"(?<![A-G] )(?<![A-G]-)(?<![\w-])(sharps?|flats?)(?: or (?:an? )?(flats?|sharps?))?\b"
    r"(?! (?:root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|two|three|four|five|six|seven|nine"
    r"|eleven|thirteen|side|key|major|minor)s?\b)(?![- ]?\d)"
)
SIGNS = {"sharp": 1, "flat": -1}


def _signs(told: Told, spans: Sequence[Span], signs: Sequence[str]) -> Found:
    """Notes with a sharp or a flat that their key signature has not."""
    alters = {SIGNS[sign] for sign in signs}
    struck = [note for span in spans for note in told.music.struck_between(span.start, span.end)]
    with_sign = [note for note in struck if note.written.name.alter in alters]
    printed = [note for note in with_sign if not _is_of_the_key(told, note)]
    return Found(len(printed), len(with_sign), printed[0].onset if printed else None)


SHARPS = "FCGDAEB"


def _is_of_the_key(told: Told, note: Note) -> bool:
    """Whether the key signature gives a note its sign."""
    fifths, name = told.music.score.bars[note.bar].key.fifths, note.written.name
    own = SHARPS[:fifths] if fifths > 0 else SHARPS[fifths:] if fifths < 0 else ""
    return name.step in own and name.alter == (1 if fifths > 0 else -1)


TIED = pattern_of(
    r"(?<![\w-])(?:ties?\b(?! (?:in|with|it|to)\b)"
    r"|(?:note |thing )?(?:is |gets |are |get |being )?(?:tied|held|carried)(?: over| on| across)?"
    r"(?: (?:over|across|into|past|beyond))? (?:the|an?y?|its|this|that) (?:next )?(?:bar ?-?lines?|bars?|measures?))\b"
)


def _ties(told: Told, spans: Sequence[Span]) -> Found:
    """Notes that sound on over the bar lines within some bars, and over the last of them where it is one bar."""
    bars = told.music.bars_in(spans)
    lines = {bar.end for bar in bars[:-1]} or {bar.end for bar in bars}
    over = [
        note for note in told.music.struck for line in lines if note.onset < line < note.onset + note.held
    ]
    return Found(len(over), len(over) + 2, over[0].onset if over else None)


# Notes and devices by their names ------------------------------------------------------------------------

LETTER = pattern_of(
    r"(?<![\w#'-])([A-G](?:[ -](?:flat|sharp|natural)|b|#)?)(?:'?s)?(?![\w#'-])"
    r"(?! (?:major|minor|seven|six|nine|eleven|thirteen|half|dim|chords?|triads?|arpeggios?|scales?|dominant|sus|alt"
    r"|section|blues|lydian|dorian|mixolydian|altered)\w*)"
)
SURE = 0.8  # how sure a device is that anybody would count


def _letters(told: Told, spans: Sequence[Span], name: str) -> Found:
    """Notes of a name that are struck in some bars, or by any name for it sound there."""
    named = named_note(name)
    mine = [note for note in told.notes_in(spans) if _is_so_called(note, named.pitch_class)]
    struck = [note for note in mine if note.written.name == named and note.onset >= spans[0].start]
    return Found(len(struck), len(mine), struck[0].onset if struck else None)


def _is_so_called(note: Note, pitch_class: int) -> bool:
    return pitch_class in (note.written.name.pitch_class, note.sounding.name.pitch_class)


def _devices(told: Told, spans: Sequence[Span], kind: str) -> Found:
    """Devices of a kind that surely are in some bars, each with notes of its own; there may be any number besides."""
    found = [each for each in told.music.analysis.devices if each.kind == kind and each.confidence >= SURE]
    inside = [each for each in found if any(overlap(each.span, span) > 0 for span in spans)]
    apart, notes = list[Device](), set[str]()
    for each in inside:
        if not notes & set(each.notes):
            apart.append(each)
            notes |= set(each.notes)
    return Found(len(apart), ANY_NUMBER, apart[0].span.start if apart else None)


ANY_NUMBER = 99

# All of them ---------------------------------------------------------------------------------------------


def things_in(told: Told) -> Iterator[Thing]:
    """The things that a sentence names and that can be counted, in no order."""
    text = told.text
    for match in REST.finditer(text):
        yield Thing(*match.span(), "rest", partial(_rests, value=match["value"] or ""))
    for match in MOVE.finditer(text):
        size = pattern_of(r"s$").sub("", next(filter(None, match.groups())).replace("-", " "))
        in_a_row = IN_A_ROW.match(text, match.end()) is not None
        said: Said = "denied" if match[3] and not in_a_row else "either"  # "three semitones" are a distance
        fits = partial(_is_so_far, size)
        yield Thing(*match.span(), "one", partial(_moves, fits=fits, in_a_row=in_a_row), said)
    for match in WIDER.finditer(text):
        yield Thing(*match.span(), "wider one", partial(_moves, fits=partial(_is_wider, match["size"])))
    for match in CHORDS.finditer(text):
        yield Thing(*match.span(), "chord", _chords)
    for match in SIGN.finditer(told.sentence.written):
        signs = [each.rstrip("s") for each in match.groups() if each]
        yield Thing(*match.span(), "one", partial(_signs, signs=signs))
    for match in TIED.finditer(text):
        yield Thing(*match.span(), "tie", _ties, "denied")
    for match in LETTER.finditer(told.sentence.written):
        yield Thing(*match.span(), match[1], partial(_letters, name=match[1]), "counted")
    for claim in told.named:
        if claim.kind == "device":
            yield Thing(claim.first, claim.last, claim.name, partial(_devices, kind=claim.name), "counted")
