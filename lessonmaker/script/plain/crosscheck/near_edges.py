"""Which notes may be meant as the first, last, highest, lowest, longest or shortest of what is spoken of.

Common practice, no source. All that may fairly be meant is gathered: a bar, a phrase, a run, what one chord lasts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, hull
from lessonmaker.script.plain.crosscheck.edge_words import Edge, Level
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.ends import Side

__all__ = ["Scope", "may_be_meant"]

LONG = Fraction(1)  # quarters: a note that a line may come to rest on
RESTS = ("first", "last", "rest")
FEWEST = 3  # notes of a figure with ends of its own


class Scope:
    """The bars of which something is said, and as what: bars, the piece, phrases, the line, or anything there."""

    def __init__(self, told: Told, spans: Sequence[Span], level: Level) -> None:
        self.told, self.spans, self.level = told, spans, level
        self.music = told.music


def may_be_meant(scope: Scope, side: Edge) -> list[Note]:
    """The notes that may be the one at an end of what is spoken of."""
    pick, level = PICKS["last" if side == "rest" else side], scope.level
    if level == "piece":
        return pick(scope.music.line) if scope.music.line else []
    shown = scope.told.notes_in(scope.told.spans)
    stretches: list[Sequence[Note]] = [shown] if level == "phrase" else list(_bars(scope))
    if level != "bar":
        stretches += _sung(scope)
    if level == "any":
        stretches += _parts(scope)
    found = [note for stretch in stretches if stretch for note in pick(stretch)]
    if side in ("first", "last", "rest") and level != "phrase":
        found += _at_bar_lines(scope, side)
    if level == "tune" and scope.music.line:
        found += pick(scope.music.line)
    if level == "any" or side == "rest":
        found += _turns(scope, side)
    if side != "first" and shown:
        after = scope.told.next_note(shown[-1])
        found = [note for note in found if note in shown or note == after]
    return list(dict.fromkeys(found))


def _best(key: Callable[[Note], Fraction | int]) -> Callable[[Sequence[Note]], list[Note]]:
    def pick(notes: Sequence[Note]) -> list[Note]:
        best = max(key(note) for note in notes)
        found = [note for note in notes if key(note) == best]
        return found if len(found) < len(notes) or len(notes) == 1 else []

    return pick


PICKS: dict[Side, Callable[[Sequence[Note]], list[Note]]] = {
    "first": lambda notes: list(notes[:1]),
    "last": lambda notes: list(notes[-1:]),
    "highest": _best(lambda note: note.sounding.midi),
    "lowest": _best(lambda note: -note.sounding.midi),
    "longest": _best(lambda note: note.held),
    "shortest": _best(lambda note: -note.held),
}


def _bars(scope: Scope) -> Iterator[Sequence[Note]]:
    """The notes of the bars, one by one, of their stretches, and of all of them."""
    music = scope.music
    whole = hull(scope.spans)
    bars = [Span(bar.start, bar.end) for bar in music.bars_in(scope.spans)]
    for span in dict.fromkeys((whole, *scope.spans, *bars)):
        held = music.sounding_at(span.start)
        struck = music.struck_between(span.start, span.end)
        yield struck
        yield music.struck_in(span)
        if held is not None:
            yield (held, *struck)


def _sung(scope: Scope) -> Iterator[Sequence[Note]]:
    """The phrases and breaths in the bars, and what each chord lasts."""
    music, near = scope.music, _near(scope)
    for phrase in music.analysis.phrases:
        if near & set(phrase.notes):
            yield [music.struck_by_id[each] for each in phrase.notes]
    yield from (breath for breath in _breaths(music.line) if any(note.id in near for note in breath))
    for span in scope.spans if scope.level != "phrase" else ():
        changes = [span.start, *(change.onset for change in music.changes_in(span)), span.end]
        yield from (music.struck_between(*times) for times in pairwise(sorted(changes)))


def _parts(scope: Scope) -> Iterator[Sequence[Note]]:
    """What else there is in the bars: devices, what is lit, what stands on the beats that are named."""
    music, told, near = scope.music, scope.told, _near(scope)
    for device in music.analysis.devices:
        for group in (device.notes, *device.groups):
            inside = [music.struck_by_id[each] for each in group if each in near]
            if len(inside) >= FEWEST:
                yield inside
    yield from (shown.notes for shown in told.shown if len(shown.notes) > 1)
    for place in told.places:
        if place.level == "beat" and place.test is not None:
            yield [note for note in told.notes_in(told.spans) if place.test(note, music)]


def _near(scope: Scope) -> set[str]:
    """The ids of the notes in the bars."""
    return {note.id for span in scope.spans for note in scope.music.struck_in(span)}


def _breaths(line: Sequence[Note]) -> Iterator[Sequence[Note]]:
    """The notes between rests."""
    start = 0
    for at, (one, next_) in enumerate(pairwise(line), 1):
        if next_.onset > one.onset + one.held:
            yield line[start:at]
            start = at
    yield line[start:]


def _at_bar_lines(scope: Scope, side: Edge) -> Iterable[Note]:
    """The notes that lead over a bar line: a pickup, and what it leads to; the one before an anticipation."""
    line, music = scope.music.line, scope.music
    early = set(music.anticipations)
    for span in scope.spans:
        inside = [at for at, note in enumerate(line) if span.start <= note.onset < span.end]
        if side != "first" and inside:
            last = line[inside[-1]]
            tied = last.onset + last.held > span.end
            yield from line[max(inside[-1] - 1, 0) : inside[-1]] if last in early or tied else ()
            yield from _next(line, inside[-1]) if scope.level != "bar" else ()
        if side == "first" and inside and inside[0] and scope.level != "bar":
            yield line[inside[0] - 1]


def _next(line: Sequence[Note], at: int) -> Sequence[Note]:
    return line[at + 1 : at + 2]


def _turns(scope: Scope, side: Edge) -> Iterator[Note]:
    """Where the line turns, or rests on a longer note, as the end of a run, its start, or a peak."""
    line = scope.music.line
    near = _near(scope)
    for before, note, after in zip([None, *line], line, [*line[1:], None], strict=False):
        if note.id not in near:
            continue
        up = [0 if other is None else note.sounding.midi - other.sounding.midi for other in (before, after)]
        rests = before is None or note.held > before.held or after is None
        peak, trough = min(up) >= 0, max(up) <= 0
        if (side == "highest" and peak) or (side == "lowest" and trough):
            yield note
        turns = side in ("first", "last") or scope.level == "any"
        if side in RESTS and ((turns and (peak or trough)) or (rests and note.held >= LONG)):
            yield note
