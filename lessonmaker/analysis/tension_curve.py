"""A curve of tension over the form: how much each half bar pulls, from the notes, their chords and their places.

What it counts, each from 0 to 1 and all measured within the etude:

| part | what it is | weight |
|---|---|---|
| dissonance | the time that notes rub against their chord, by degree, a little less on weak beats | 0.35 |
| function | how far the harmony is from rest: tonic, subdominant, dominant, borrowed dominants | 0.25 |
| register | how high the line lies between its lowest and its highest note | 0.15 |
| density | notes struck a quarter, against the busiest half bar | 0.15 |
| chromaticism | the share of notes outside the key | 0.10 |

Silence counts as rest. The sum is divided by the greatest of the etude, so that the curve is the same in every key.

Sources (from memory): that surface dissonance by scale degree and distance from the tonic add up is Lerdahl's,
Tonal Pitch Space (2001); that pitch height, onset frequency and harmony are parameters that add up to
felt tension is Farbood's, A Parametric, Temporal Model of Musical Tension (2012). The numbers of the degrees, of
the functions and the weights are our own choice, not measured.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.functions import function_at
from lessonmaker.analysis.lines import Heard, is_strong
from lessonmaker.analysis.model import TensionPoint
from lessonmaker.analysis.scale_fit import key_at
from lessonmaker.score.model import Bar
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, family, readings
from lessonmaker.theory.degree import is_chord_tone, is_tension
from lessonmaker.theory.scale import SCALES

__all__ = ["dissonance", "half_bars", "key_pitch_classes", "mode_pitch_classes", "rubbing", "tension_curve"]

WEIGHTS = {"dissonance": 0.35, "function": 0.25, "register": 0.15, "density": 0.15, "chromaticism": 0.10}
# How much a degree that is no chord tone rubs.
DEGREE_DISSONANCE = {
    "9": 0.3,
    "13": 0.3,
    "6": 0.3,
    "b7": 0.3,
    "11": 0.4,
    "7": 0.4,
    "#11": 0.6,
    "#5": 0.6,
    "b13": 0.7,
    "#9": 0.7,
    "b9": 0.9,
}
FOREIGN_DISSONANCE = 0.9
WEAK_BEAT = 0.8
FUNCTION_TENSION = {
    "tonic": 0.0,
    "subdominant": 0.35,
    "passing": 0.5,
    "related second step": 0.5,
    "dominant": 0.7,
    "secondary dominant": 0.8,
    "substitute dominant": 0.85,
}
# Where no function is known.
FAMILY_TENSION = {
    "major": 0.1,
    "minor": 0.25,
    "suspended": 0.5,
    "half-diminished": 0.5,
    "augmented": 0.6,
    "dominant": 0.7,
    "diminished": 0.7,
    "altered": 0.85,
}
ALTERED_ADDS = 0.15


@dataclass(frozen=True)
class _Range:
    """What the parts are measured against: lowest and highest pitch."""

    low: int
    high: int

    def height(self, pitch: int) -> float:
        return (pitch - self.low) / (self.high - self.low) if self.high > self.low else 0.0


@dataclass(frozen=True)
class _Window:
    """A half bar with the notes that sound in it, each with how long it does (quarters), and those struck."""

    span: Span
    sounding: tuple[tuple[Heard, float], ...]
    struck: tuple[Heard, ...]

    @property
    def quarters(self) -> float:
        return float(self.span.end - self.span.start)


def tension_curve(etude: Etude) -> tuple[TensionPoint, ...]:
    """The tension of each half bar (from strong beat to strong beat) in time; empty for a score without notes."""
    windows = _windows(etude)
    if not etude.melody:
        return ()
    pitches = [heard.pitch for heard in etude.melody]
    reach = _Range(min(pitches), max(pitches))
    busiest = max(len(window.struck) / window.quarters for window in windows)
    sums = [_tension(etude, window, reach, busiest) for window in windows]
    greatest = max(sums) or 1.0
    return tuple(
        TensionPoint(window.span, round(total / greatest, 4))
        for window, total in zip(windows, sums, strict=True)
    )


def half_bars(bar: Bar) -> tuple[Span, ...]:
    """A bar cut at its strong beats."""
    beats = (bar.start + beat for beat in bar.metre.beat_starts)
    inner = [time for time in beats if bar.start < time < bar.end and is_strong(time, bar)]
    starts = [bar.start, *inner]
    return tuple(Span(*ends) for ends in zip(starts, [*starts[1:], bar.end], strict=True))


def _windows(etude: Etude) -> list[_Window]:
    line = etude.melody
    onsets = [heard.note.onset for heard in line]
    spans = [span for bar in etude.score.bars for span in half_bars(bar) if span.end > span.start]
    return [_window(line, onsets, span) for span in spans]


def _window(line: Sequence[Heard], onsets: Sequence[Fraction], span: Span) -> _Window:
    first, last = bisect_left(onsets, span.start), bisect_left(onsets, span.end)
    held = line[first - 1 : first] if first and line[first - 1].end > span.start else ()
    sounding = (*held, *line[first:last])
    lengths = [float(min(each.end, span.end) - max(each.note.onset, span.start)) for each in sounding]
    return _Window(span, tuple(zip(sounding, lengths, strict=True)), tuple(line[first:last]))


def _tension(etude: Etude, window: _Window, reach: _Range, busiest: float) -> float:
    parts = {
        "dissonance": _mean(window, rubbing),
        "function": _function_tension(etude, window.span),
        "register": _mean(window, lambda heard: reach.height(heard.pitch)),
        "density": len(window.struck) / window.quarters / busiest if busiest else 0.0,
        "chromaticism": _chromaticism(etude, window),
    }
    return sum(WEIGHTS[name] * value for name, value in parts.items())


def _mean(window: _Window, value: Callable[[Heard], float]) -> float:
    """A note's value, averaged over the window's time, silence counting nothing."""
    return sum(value(heard) * length for heard, length in window.sounding) / window.quarters


# Dissonance ----------------------------------------------------------------------------------------------


def rubbing(heard: Heard) -> float:
    """How much a note rubs against its chord in its place, from 0 to 1."""
    if heard.chord is None or heard.degree is None:
        return 0.0
    return dissonance(heard.degree, heard.chord) * (1.0 if heard.is_strong else WEAK_BEAT)


@lru_cache(maxsize=4096)
def dissonance(degree: str, chord: Chord) -> float:
    """How much a degree rubs against its chord, from 0 (a chord tone) to 1."""
    if is_chord_tone(degree, chord):
        return 0.0
    return (
        DEGREE_DISSONANCE.get(degree, FOREIGN_DISSONANCE) if is_tension(degree, chord) else FOREIGN_DISSONANCE
    )


# Harmony -------------------------------------------------------------------------------------------------


def _function_tension(etude: Etude, span: Span) -> float:
    """The harmony's distance from rest, averaged over a span's time."""
    starts = etude.harmony.starts
    inside = starts[bisect_right(starts, span.start) : bisect_left(starts, span.end)]
    times = [span.start, *inside, span.end]
    total = sum(_tension_at(etude, time) * float(until - time) for time, until in pairwise(times))
    return total / float(span.end - span.start)


def _tension_at(etude: Etude, time: Fraction) -> float:
    chord = etude.harmony.at(time)
    if chord is None:
        return 0.0
    kind = family(readings(chord)[0])
    function = function_at(etude.functions, time)
    known = None if function is None else FUNCTION_TENSION.get(function.function)
    if known is None:
        return FAMILY_TENSION.get(kind, 0.0)
    return min(1.0, known + (ALTERED_ADDS if kind == "altered" else 0.0))


def _chromaticism(etude: Etude, window: _Window) -> float:
    """The share of the notes struck that lie outside the key; 0 where no key is known."""
    inside = key_pitch_classes(etude, window.span)
    if inside is None or not window.struck:
        return 0.0
    return sum(heard.pitch % 12 not in inside for heard in window.struck) / len(window.struck)


def key_pitch_classes(etude: Etude, span: Span) -> frozenset[int] | None:
    """The pitch classes of the key in force at the start of a span; a minor key has both sevenths."""
    key = key_at(etude, span)
    if key is None:
        return None
    return mode_pitch_classes(key.tonic.pitch_class, key.mode)


@lru_cache(maxsize=256)
def mode_pitch_classes(tonic: int, mode: str) -> frozenset[int]:
    """The pitch classes of a key by its tonic (0 is C) and mode."""
    if mode == "blues":
        steps = {*SCALES["mixolydian"].semitones, *SCALES["blues"].semitones}
    elif mode == "minor":
        steps = {*SCALES["aeolian"].semitones, *SCALES["harmonic minor"].semitones}
    else:
        steps = set(SCALES[mode if mode in SCALES else "major"].semitones)
    return frozenset((tonic + step) % 12 for step in steps)
