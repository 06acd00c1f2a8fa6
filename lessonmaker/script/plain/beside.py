"""How two stretches of the line are alike: in their notes, their rhythm, their contour.

A stretch is laid beside another by where its notes stand in it, so that a bar is compared with a bar. Steps of
the staff are counted beside semitones, as what stays in the key is heard as moved too. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.plain.intervals import OCTAVE

__all__ = ["Beside", "Run", "holds", "runs_of_units", "touch"]

FEWEST = 3  # notes of a stretch that has a shape
FILLED = 0.8  # how many of the notes are struck at the same places, where one has more of them


@dataclass(frozen=True)
class Beside:
    """Two stretches beside each other: the notes of a `model`, of its `copy`, and where each begins."""

    model: tuple[Note, ...]
    copy: tuple[Note, ...]
    model_span: Span
    copy_span: Span

    @classmethod
    def of(cls, music: Music, model: Span, copy: Span) -> Beside:
        """The notes of the line that are struck in two spans."""
        return cls(music.line_in(model), music.line_in(copy), model, copy)

    @cached_property
    def pairs(self) -> tuple[tuple[Note | None, Note | None], ...]:
        """The notes that stand at the same place, in time; None where a stretch has none."""
        own = {note.onset - self.model_span.start: note for note in self.model}
        others = {note.onset - self.copy_span.start: note for note in self.copy}
        return tuple((own.get(at), others.get(at)) for at in sorted({*own, *others}))

    @cached_property
    def both(self) -> tuple[tuple[Note, Note], ...]:
        """The notes that both have, place by place."""
        return tuple((one, other) for one, other in self.pairs if one is not None and other is not None)

    @property
    def is_whole(self) -> bool:
        """Whether both have notes enough to be heard as alike."""
        return min(len(self.model), len(self.copy)) >= FEWEST

    @property
    def has_rhythm(self) -> bool:
        """Whether the notes are struck at the same places."""
        return len(self.both) == len(self.pairs)

    @property
    def rhythm_share(self) -> float:
        """How much of the rhythm is the same, 0 to 1."""
        return len(self.both) / max(len(self.pairs), 1)

    @property
    def semitones(self) -> int | None:
        """How far all notes are moved, or None: the same number of notes, each as far as the first."""
        moves = {b.sounding.midi - a.sounding.midi for a, b in zip(self.model, self.copy, strict=False)}
        return moves.pop() if len(self.model) == len(self.copy) and len(moves) == 1 else None

    @property
    def steps(self) -> int | None:
        """How many steps of the staff all notes are moved, or None."""
        moves = {b.written.diatonic - a.written.diatonic for a, b in zip(self.model, self.copy, strict=False)}
        return moves.pop() if len(self.model) == len(self.copy) and len(moves) == 1 else None

    @property
    def changed(self) -> tuple[int, ...]:
        """The places, counted along `pairs`, where the two differ at the same height."""
        return tuple(
            at
            for at, (one, other) in enumerate(self.pairs)
            if one is None or other is None or one.sounding != other.sounding
        )

    @property
    def same_share(self) -> float:
        """How many of the notes are the same, 0 to 1."""
        return 1 - len(self.changed) / max(len(self.pairs), 1)

    def contour_share(self, way: int = 1) -> float:
        """How much of the contour is the same (or, with -1, turned upside down), 0 to 1."""
        one, other = (_contour(notes) for notes in (self.model, self.copy))
        count = max(len(one), len(other), 1)
        return sum(a == way * b for a, b in zip(one, other, strict=False)) / count

    @property
    def reversed_share(self) -> float:
        """How many of the notes are the model's read from its end, 0 to 1."""
        pairs = zip(reversed(self.model), self.copy, strict=False)
        same = sum(a.sounding.midi % OCTAVE == b.sounding.midi % OCTAVE for a, b in pairs)
        return same / max(len(self.model), len(self.copy), 1)

    @property
    def begins_alike(self) -> int:
        """How many notes at the beginning are the same."""
        return min(self.changed, default=len(self.pairs))

    def begins_moved(self, way: int) -> int:
        """How many notes at the beginning are the model's, moved one way (1 up, -1 down) or, with 0, the same."""
        if not way:
            return self.begins_alike
        count = 0
        for one, other in self.pairs:
            step = 0 if one is None or other is None else other.sounding.midi - one.sounding.midi
            if step * way <= 0 or step != self.copy[0].sounding.midi - self.model[0].sounding.midi:
                break
            count += 1
        return count

    @property
    def steps_alike(self) -> int:
        """How many notes at the beginning are the model's, each as many steps of the staff away as the first."""
        count, apart = 0, self.copy[0].written.diatonic - self.model[0].written.diatonic if self.both else 0
        for one, other in self.pairs:
            if one is None or other is None or other.written.diatonic - one.written.diatonic != apart:
                break
            count += 1
        return count

    @property
    def is_alike(self) -> bool:
        """Whether the one is heard as the other, moved or fitted to its chord."""
        if self.semitones is not None or self.same_share >= 0.75:
            return self.is_whole and self.rhythm_share >= 0.75
        shape = self.steps is not None or self.contour_share() == 1
        return self.is_whole and ((self.has_rhythm and shape) or self.is_filled)

    @property
    def is_filled(self) -> bool:
        """Whether one is the other with few notes more, that goes the same ways: C E G, C E F G."""
        own, others = zip(*self.both, strict=True) if self.both else ((), ())
        few = len(self.both) > FEWEST and self.rhythm_share >= FILLED
        return few and _contour(own) == _contour(others)

    @property
    def moved(self) -> float:
        """How far the copy lies above its model on the whole, in semitones."""
        own, others = ([note.sounding.midi for note in notes] for notes in (self.model, self.copy))
        return sum(others) / max(len(others), 1) - sum(own) / max(len(own), 1)


def _contour(notes: Sequence[Note]) -> list[int]:
    heights = [note.sounding.midi for note in notes]
    return [(after > before) - (after < before) for before, after in pairwise(heights)]


@dataclass(frozen=True)
class Run:
    """A figure that comes again at once: the notes of each time; `is_cross` where it moves through the bar."""

    groups: tuple[tuple[Note, ...], ...]
    is_cross: bool = False

    @property
    def notes(self) -> tuple[Note, ...]:
        """All of its notes in time."""
        return tuple(note for group in self.groups for note in group)

    @property
    def whole(self) -> tuple[tuple[Note, ...], ...]:
        """The groups without one that is cut short."""
        return tuple(group for group in self.groups if len(group) >= len(self.groups[0]))

    @property
    def counts(self) -> set[int]:
        """How often it may be said to come."""
        return {len(self.whole), len(self.groups)}

    def has_size(self, size: int, in_notes: bool) -> bool:
        """Whether a group may be said to be so long: in notes, its shortest note, sixteenths, eighths or quarters."""
        lengths = [b.onset - a.onset for a, b in pairwise(self.notes) if b.onset > a.onset]
        durations = {self.period / min(lengths), self.period, 2 * self.period, 4 * self.period}
        return size == len(self.groups[0]) or (size in durations and not in_notes)

    @property
    def period(self) -> Fraction:
        """How long a group is, in quarters."""
        return self.groups[1][0].onset - self.groups[0][0].onset

    @property
    def moves(self) -> list[tuple[int, int]]:
        """How far each group begins from the one before, in semitones and in steps of the staff."""
        firsts = [group[0] for group in self.whole]
        return [
            (b.sounding.midi - a.sounding.midi, b.written.diatonic - a.written.diatonic)
            for a, b in pairwise(firsts)
        ]


def runs_of_units(music: Music, span: Span) -> list[Run]:
    """The runs of units alike (half bars, bars, two bars) that begin in a span, the longest first."""
    bars = [bar for bar in music.score.bars if span.start <= bar.start < span.end]
    found: list[Run] = []
    if not bars:
        return found
    length = bars[0].length
    for unit in (length / 2, length, 2 * length):
        starts = [bars[0].start + unit * at for at in range(int((bars[-1].end - bars[0].start) / unit))]
        spans = [Span(start, start + unit) for start in starts]
        run = spans[:1]
        for before, each in pairwise([*spans, Span(span.end, span.end)]):
            if Beside.of(music, before, each).is_alike:
                run.append(each)
                continue
            if len(run) > 1:
                found.append(Run(tuple(music.line_in(one) for one in run)))
            run = [each]
    return sorted(found, key=lambda run: -len(run.notes))


def touch(one: Span, other: Span) -> bool:
    """Whether two spans have some time in common."""
    return one.start < other.end and other.start < one.end


def holds(one: Span, other: Span) -> bool:
    """Whether one span has all of another."""
    return one.start <= other.start and other.end <= one.end
