"""The chords of a score one after the other, each while it is in force, with its place in the keys.

Conventions: roots are pitch classes as they sound; `written` is the chord as the score's page prints it. Steps of a key
are semitones above its tonic.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from lessonmaker.analysis.functions import function_at
from lessonmaker.analysis.model import Function, KeyCentre
from lessonmaker.score.position import Span, overlap
from lessonmaker.script.music import Music
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.theory.chord import Chord, chord_text, chord_tones, family, readings
from lessonmaker.theory.kinds import Family

__all__ = ["DOMINANT", "SMALL", "Harmony", "Heard", "is_minor"]

SMALL: frozenset[Family] = frozenset(("minor", "half-diminished"))
DOMINANT: frozenset[Family] = frozenset(("dominant", "altered", "suspended"))
RELATIVE = {"major": 3, "minor": 9}  # how far above home the relative key of a mode is


@dataclass(frozen=True)
class Heard:
    """A chord while it is in force; `index` is its place among the chords of the score."""

    index: int
    span: Span
    chord: Chord
    written: Chord

    @property
    def root(self) -> int:
        """The pitch class of its root."""
        return readings(self.chord)[0].root.pitch_class

    @property
    def roots(self) -> frozenset[int]:
        """The pitch classes that may be called its root: a slash chord's too."""
        return frozenset(each.root.pitch_class for each in (self.chord, *readings(self.chord)))

    @property
    def family(self) -> Family:
        """What kind of chord it is."""
        return family(readings(self.chord)[0])

    @property
    def tones(self) -> frozenset[str]:
        """The degrees that its symbol says."""
        return frozenset(chord_tones(readings(self.chord)[0]).values())

    @property
    def text(self) -> str:
        """Its symbol as the page prints it."""
        return chord_text(self.written)


class Harmony:
    """The chords and keys of a score, for what is said of them."""

    def __init__(self, music: Music) -> None:
        self.music = music

    @cached_property
    def chords(self) -> tuple[Heard, ...]:
        """The chords in time, one that is only written again as part of the one before."""
        changes, bars = self.music.score.changes, self.music.score.bars
        ends = [*(change.onset for change in changes[1:]), bars[-1].end] if changes else []
        found: list[Heard] = []
        for change, end in zip(changes, ends, strict=True):
            if change.chord is None or change.written is None or end <= change.onset:
                continue
            if found and found[-1].span.end == change.onset and found[-1].chord == change.chord:
                found[-1] = replace(found[-1], span=Span(found[-1].span.start, end))
            else:
                found.append(Heard(len(found), Span(change.onset, end), change.chord, change.written))
        return tuple(found)

    def within(self, span: Span) -> tuple[Heard, ...]:
        """The chords that are in force in a span."""
        ends, starts = self.chord_times
        return self.chords[bisect_right(ends, span.start) : bisect_left(starts, span.end)]

    @cached_property
    def chord_times(self) -> tuple[tuple[Fraction, ...], tuple[Fraction, ...]]:
        """When each chord ends, and when each begins."""
        return tuple(each.span.end for each in self.chords), tuple(each.span.start for each in self.chords)

    def before(self, each: Heard) -> Heard | None:
        """The chord right before one."""
        return self.chords[each.index - 1] if each.index else None

    def after(self, each: Heard) -> Heard | None:
        """The chord right after one."""
        return self.chords[each.index + 1] if each.index + 1 < len(self.chords) else None

    def function(self, each: Heard) -> Function | None:
        """What the analysis hears a chord do."""
        return function_at(self.music.analysis.functions, each.span.start)

    @cached_property
    def home(self) -> KeyCentre | None:
        """The key that the piece begins and ends in, or else is in for the longest time."""
        keys = self.music.analysis.keys
        if keys and keys[0].tonic == keys[-1].tonic:
            return keys[0]
        lasting: dict[tuple[int, str], Fraction] = defaultdict(Fraction)
        for key in keys:
            lasting[key.tonic.pitch_class, key.mode] += key.span.end - key.span.start
        return max(keys, key=lambda key: lasting[key.tonic.pitch_class, key.mode], default=None)

    def keys_in(self, span: Span) -> list[KeyCentre]:
        """The keys that are heard in a span."""
        return [key for key in self.music.analysis.keys if overlap(key.span, span) > 0]

    def keys_of(self, each: Heard) -> list[KeyCentre]:
        """The keys that a chord may be told by: the one that it is heard in, and home."""
        function = self.function(each)
        local = [function.key] if function is not None else []
        return [*local, *([self.home] if self.home is not None else [])]

    def relative(self, mode: str) -> int | None:
        """The tonic of the relative key of a mode, "major" or "minor", of home; home's own, if it is of that mode."""
        home = self.home
        if home is None:
            return None
        if is_minor(home) == (mode == "minor"):
            return home.tonic.pitch_class
        return (home.tonic.pitch_class + RELATIVE[mode]) % OCTAVE

    def said(self, chords: Sequence[Heard]) -> str:
        """Some chords by their symbols."""
        names = [each.text for each in chords]
        return " and ".join(filter(None, (", ".join(names[:-1]), names[-1]))) if names else "no chord"


def is_minor(key: KeyCentre) -> bool:
    """Whether a key is one with a minor third."""
    return key.mode in ("minor", "dorian", "phrygian", "aeolian")
