"""Sequences: a figure stated again at once on another pitch.

Common practice, no source. A sequence is exact (the same semitones), diatonic (the same steps of one scale), through
the changes (the same degrees of each chord) or rhythmic (the same rhythm and contour, or the rhythm alone of figures
that come to rest). A scale, a repeated note and a figure that comes back on its own pitch are none.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.analysis.etude import Etude, Ticks, device_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words

__all__ = ["has_own_degrees", "is_diatonic", "sequences_of"]

LONGEST_FIGURE = 24
FEWEST_STATEMENTS = {2: 4, 3: 3}  # by the figure's length; longer figures: two
ENOUGH_STATEMENTS = 3
TWICE_NEEDS_NOTES = 4
NEAR = 1  # semitones by which an interval may give way to the key or the chord
ANY_WAY = -1  # intervals of any size and direction: only the rhythm is the same
CONFIDENCE = {"exact": 0.9, "through the changes": 0.85, "diatonic": 0.8, "rhythmic": 0.5}
ONLY_TWICE = 0.3  # less sure
WEIGHT = {"exact": 3, "through the changes": 3, "diatonic": 3, "rhythmic": 1}
STEP_SETS = (
    (0, 2, 4, 5, 7, 9, 11),
    (0, 2, 3, 5, 7, 9, 11),
    (0, 2, 3, 5, 7, 8, 11),
)
HOW = {"exact": ", exactly", "diatonic": ", by the steps of one scale", "rhythmic": ": the rhythm stays"}
INTERVALS = {
    1: "a half step",
    2: "a whole step",
    3: "a minor third",
    4: "a major third",
    5: "a fourth",
    6: "a tritone",
    7: "a fifth",
    12: "an octave",
}


@dataclass(frozen=True)
class Found:
    """A sequence: its statements, how it moves, and how much speaks for it."""

    statements: tuple[tuple[Heard, ...], ...]
    kind: str

    @property
    def notes(self) -> tuple[Heard, ...]:
        """All its notes in time."""
        return tuple(heard for statement in self.statements for heard in statement)

    @property
    def worth(self) -> tuple[int, int, int, int]:
        """By which of two that overlap the better is taken: notes by weight, then a start on a beat, then brevity."""
        first = self.statements[0][0]
        whole = len(self.notes) * WEIGHT[self.kind]
        on_bar = first.note.onset == first.bar.start
        return (whole, on_bar, first.is_on_a_beat, -len(self.statements[0]))


def sequences_of(etude: Etude) -> tuple[Device, ...]:
    """The sequences of the melody, of those that overlap the best."""
    gaps = etude.melody_ticks.gaps
    rests = [place for place in range(1, len(gaps)) if gaps[place] > gaps[place - 1]]
    found = [each for length in range(2, LONGEST_FIGURE + 1) for each in _of_length(etude, length, rests)]
    taken: set[str] = set()
    chosen: list[Found] = []
    for each in sorted(found, key=lambda each: each.worth, reverse=True):
        ids = {heard.note.id for heard in each.notes}
        if not ids & taken:
            taken |= ids
            chosen.append(each)
    return tuple(sorted((_device(each) for each in chosen), key=lambda device: device.span.start))


def _of_length(etude: Etude, length: int, rests: Sequence[int]) -> Iterator[Found]:
    line, ticks = etude.melody, etude.melody_ticks
    for near in (0, NEAR, None, ANY_WAY):
        places = range(len(line) - 2 * length + 1) if near != ANY_WAY else _resting(etude, length, rests)
        for first in places:
            if ticks.pitches[first] == ticks.pitches[first + length]:
                continue  # a repetition
            count = _statements(ticks, first, length, near)
            if count > 1:
                found = _judged(line, first, length, count, near)
                if found is not None:
                    yield found


def _resting(etude: Etude, length: int, rests: Sequence[int]) -> Iterator[int]:
    """Where figures begin that last as long as bars and end, at one of `rests`, with their longest note or a rest."""
    line, ticks = etude.melody, etude.melody_ticks
    for last in rests:
        first = last - length + 1
        if first < 0 or last + length >= len(line) or ticks.gaps[last] <= max(ticks.gaps[first:last]):
            continue
        bar = line[first].bar.metre.bar_quarters * ticks.grid
        if (ticks.onsets[last + 1] - ticks.onsets[first]) % bar == 0:
            yield first


def _statements(ticks: Ticks, first: int, length: int, near: int | None) -> int:
    """How often the figure that begins at a place is stated from there on."""
    count = 1
    period = ticks.onsets[first + length] - ticks.onsets[first]
    while _states(ticks, first, first + count * length, length, near, count * period):
        count += 1
    return count


def _states(ticks: Ticks, first: int, again: int, length: int, near: int | None, period: int) -> bool:
    """Whether a figure comes again: in the same rhythm, at this time, with its intervals (or only its contour)."""
    if again + length > len(ticks.onsets) or ticks.onsets[again] - ticks.onsets[first] != period:
        return False
    inner = length - 1
    if ticks.gaps[first : first + inner] != ticks.gaps[again : again + inner]:
        return False
    if near == ANY_WAY:
        return True
    one, other = ticks.steps[first : first + inner], ticks.steps[again : again + inner]
    return one == other or (near != 0 and all(_alike(a, b, near) for a, b in zip(one, other, strict=True)))


def _alike(one: int, other: int, near: int | None) -> bool:
    same_way = (one > 0) - (one < 0) == (other > 0) - (other < 0)
    return same_way and (near is None or abs(one - other) <= near)


def _judged(line: Sequence[Heard], first: int, length: int, count: int, near: int | None) -> Found | None:
    statements = tuple(tuple(line[first + n * length : first + (n + 1) * length]) for n in range(count))
    notes = line[first : first + count * length]
    if count < FEWEST_STATEMENTS.get(length, 2) or _is_plain(notes, statements):
        return None
    kind = _kind(statements, near)
    if kind in ("exact", "diatonic") and not _goes_one_way(statements):
        return None
    if kind is None or (count < ENOUGH_STATEMENTS and (length < TWICE_NEEDS_NOTES or kind == "rhythmic")):
        return None
    return Found(statements, kind)


def _is_plain(notes: Sequence[Heard], statements: Sequence[Sequence[Heard]]) -> bool:
    """Whether this is a scale or an arpeggio one way, a repetition, or a figure on one note."""
    ways = {
        (later.pitch > earlier.pitch) - (later.pitch < earlier.pitch) for earlier, later in pairwise(notes)
    }
    stays = any(one[0].pitch == other[0].pitch for one, other in pairwise(statements))
    flat = len({heard.pitch for heard in statements[0]}) == 1
    return len(ways) == 1 or stays or flat


def _goes_one_way(statements: Sequence[Sequence[Heard]]) -> bool:
    """Whether each statement lies higher than the one before, or each lower."""
    return len({other[0].pitch > one[0].pitch for one, other in pairwise(statements)}) == 1


def _kind(statements: Sequence[Sequence[Heard]], near: int | None) -> str | None:
    if near == 0:
        return "through the changes" if has_own_degrees(statements) and _other_roots(statements) else "exact"
    if near in (None, ANY_WAY):
        return "rhythmic" if _is_rhythmic(statements) else None
    if has_own_degrees(statements):
        return "through the changes"
    return "diatonic" if is_diatonic(statements) else None


def has_own_degrees(statements: Sequence[Sequence[Heard]]) -> bool:
    """Whether each statement has the same degrees of a chord of its own, the most of them chord tones."""
    numbers = {tuple((heard.degree or "").lstrip("b#") for heard in statement) for statement in statements}
    chords = [statement[0].chord for statement in statements]
    apart = (
        all(one is not None and one != other for one, other in pairwise(chords)) and chords[-1] is not None
    )
    own = all(2 * sum(heard.is_stable for heard in statement) > len(statement) for statement in statements)
    return len(numbers) == 1 and apart and own


def _other_roots(statements: Sequence[Sequence[Heard]]) -> bool:
    """Whether the chords move as the statements do not: else an exact sequence carries its chords with it."""
    kinds = {statement[0].chord.kind for statement in statements if statement[0].chord is not None}
    return len(kinds) > 1


def _is_rhythmic(statements: Sequence[Sequence[Heard]]) -> bool:
    figure = statements[0]
    lengths = {later.note.onset - earlier.note.onset for earlier, later in pairwise(figure)}
    return len(figure) > 2 and len(statements) >= ENOUGH_STATEMENTS and len(lengths) > 1


def is_diatonic(statements: Sequence[Sequence[Heard]]) -> bool:
    """Whether one scale of seven notes has all the notes, and the figure the same steps of it each time."""
    tones = {heard.pitch % 12 for statement in statements for heard in statement}
    for shape, root in ((shape, root) for shape in STEP_SETS for root in range(12)):
        places = {(root + step) % 12: number for number, step in enumerate(shape)}
        if tones <= places.keys() and len({_steps(statement, places, root) for statement in statements}) == 1:
            return True
    return False


def _steps(statement: Sequence[Heard], places: dict[int, int], root: int) -> tuple[int, ...]:
    heights = [places[h.pitch % 12] + 7 * ((h.pitch - root) // 12) for h in statement]
    return tuple(later - earlier for earlier, later in pairwise(heights))


# Words ---------------------------------------------------------------------------------------------------


def _device(found: Found) -> Device:
    count, length = len(found.statements), len(found.statements[0])
    text = f"A figure of {number_words(length)} notes is stated {_times(count)}{_moves(found)}{_how(found)}."
    sure = CONFIDENCE[found.kind] - (ONLY_TWICE if count < ENOUGH_STATEMENTS else 0)
    return device_of("sequence", found.notes, text, sure, found.statements, found.kind)


def _times(count: int) -> str:
    return "twice" if count == 2 else f"{number_words(count)} times"


def _moves(found: Found) -> str:
    moves = {other[0].pitch - one[0].pitch for one, other in pairwise(found.statements)}
    size = next(iter(moves))
    if len(moves) == 1 and abs(size) in INTERVALS:
        way = "higher" if size > 0 else "lower"
        each = "the second time " if len(found.statements) == 2 else "each time "
        return f", {each}{INTERVALS[abs(size)]} {way}"
    if all(move > 0 for move in moves) or all(move < 0 for move in moves):
        return f", each time {'higher' if size > 0 else 'lower'}"
    return ""


def _how(found: Found) -> str:
    if found.kind == "through the changes":
        order = "-".join((heard.degree or "").lstrip("b#") for heard in found.statements[0])
        return f", the same degrees of each chord ({order})"
    return HOW[found.kind]
