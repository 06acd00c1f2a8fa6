"""Runs and leaps: chromatic runs, streams of eighths, wide leaps, a voice that stays while the other moves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.etude import Etude, connected, device_of, runs_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import degree_words, number_words

__all__ = ["runs_and_leaps_of"]

FEWEST_HALF_STEPS = 3
SURE_HALF_STEPS = 4
LONGEST_RUN_NOTE = Fraction(1)
EIGHTH = Fraction(1, 2)
FEWEST_BARS_OF_EIGHTHS = Fraction(3, 2)
LEAP, WIDE_LEAP = 6, 8  # a fifth, also a diminished one; a sixth
FEWEST_LEAPS = 3
FEWEST_OBLIQUE = 6
LARGEST_VOICE_STEP = 4


def runs_and_leaps_of(etude: Etude) -> tuple[Device, ...]:
    """Chromatic runs, eighth-note lines, angular leaps and oblique motion of the melody."""
    line = etude.melody
    oblique = [*_oblique(line), *_oblique_voices(etude)]
    found = [*_chromatic(line), *_eighths(line), *_leaps(line, oblique), *oblique]
    return tuple(sorted(found, key=lambda device: (device.span.start, device.span.end)))


def _degree(heard: Heard) -> str:
    return f"the {degree_words(heard.degree)}" if heard.degree else "its last note"


# Chromatic runs ------------------------------------------------------------------------------------------


def _chromatic(line: Sequence[Heard]) -> Iterator[Device]:
    for run in _half_step_runs(line):
        steps = len(run) - 1
        if steps >= FEWEST_HALF_STEPS and _runs(run):
            way = "up" if run[-1].pitch > run[0].pitch else "down"
            text = f"A chromatic run {way}: {number_words(steps)} half steps, to {_degree(run[-1])}."
            yield device_of("chromatic run", run, text, 0.9 if steps >= SURE_HALF_STEPS else 0.55)


def _runs(notes: Sequence[Heard]) -> bool:
    """Whether notes follow each other fast enough to be a run: slower ones are a line of half steps."""
    gaps = [later.note.onset - earlier.note.onset for earlier, later in pairwise(notes)]
    return 2 * sum(gap <= LONGEST_RUN_NOTE for gap in gaps) >= len(gaps)


def _half_step_runs(line: Sequence[Heard]) -> Iterator[tuple[Heard, ...]]:
    """The longest stretches that move by half steps in one direction."""
    for way in (1, -1):
        yield from runs_of(line, lambda a, b, way=way: connected(a, b) and b.pitch - a.pitch == way)  # type: ignore[misc]


# Eighths -------------------------------------------------------------------------------------------------


def _eighths(line: Sequence[Heard]) -> Iterator[Device]:
    for run in runs_of(line, lambda a, b: a.note.held == EIGHTH == b.note.onset - a.note.onset):
        full = [heard for heard in run if heard.note.held == EIGHTH]
        bars = len(full) * EIGHTH / run[0].bar.metre.bar_quarters
        if bars >= FEWEST_BARS_OF_EIGHTHS:
            text = f"An unbroken line of {number_words(len(full))} eighth notes."
            yield device_of("eighth-note line", full, text, 0.8 if bars >= 2 else 0.6)


# Leaps ---------------------------------------------------------------------------------------------------


def _leaps(line: Sequence[Heard], oblique: Sequence[Device]) -> Iterator[Device]:
    """Leaps of a fifth and more in a row, most of them a sixth and more, that turn round (nearly) each time."""
    for run in runs_of(line, lambda a, b: connected(a, b) and abs(b.pitch - a.pitch) >= LEAP):
        sizes = [later.pitch - earlier.pitch for earlier, later in pairwise(run)]
        straight = sum(one * other > 0 for one, other in pairwise(sizes))
        wide = sum(abs(size) >= WIDE_LEAP for size in sizes)
        still = any(d.span.start < run[-1].end and run[0].note.onset < d.span.end for d in oblique)
        turn = len(sizes) >= FEWEST_LEAPS + FEWEST_LEAPS * straight
        if turn and 2 * wide >= len(sizes) and not still:
            each = "most of them" if straight else "each"
            count = number_words(len(sizes)).capitalize()
            text = f"{count} wide leaps in a row, {each} turning back on the one before."
            yield device_of("angular leaps", run, text, 0.7 if straight else 0.8)


# Oblique motion ------------------------------------------------------------------------------------------


def _oblique(line: Sequence[Heard]) -> Iterator[Device]:
    """Every other note stays while those between move by step in one direction."""
    place = 0
    while place + FEWEST_OBLIQUE <= len(line):
        end = _oblique_end(line, place)
        if end - place >= FEWEST_OBLIQUE:
            notes = line[place:end]
            yield _oblique_device(notes, notes[0::2], notes[1::2])
            place = end - 1
        else:
            place += 1


def _oblique_end(line: Sequence[Heard], first: int) -> int:
    """Where a stretch that begins with the staying note ends."""
    stays = line[first].pitch
    moving: list[int] = []
    for place in range(first + 1, len(line)):
        if not connected(line[place - 1], line[place]):
            return place
        pitch = line[place].pitch
        if (place - first) % 2 == 0:
            if pitch != stays:
                return place
        elif (
            pitch == stays
            or not _moves_on(moving, pitch)
            or (moving and (pitch > stays) != (moving[0] > stays))
        ):
            return place  # a voice that crosses the staying one is heard as one line with it
        else:
            moving.append(pitch)
    return len(line)


def _moves_on(moving: Sequence[int], pitch: int) -> bool:
    if not moving:
        return True
    step = pitch - moving[-1]
    same_way = len(moving) < 2 or (moving[1] - moving[0]) * step > 0
    return 1 <= abs(step) <= LARGEST_VOICE_STEP and same_way


def _oblique_device(notes: Sequence[Heard], still: Sequence[Heard], moving: Sequence[Heard]) -> Device:
    top = still[0].pitch > moving[0].pitch
    way = "falls" if moving[-1].pitch < moving[0].pitch else "climbs"
    voice, side = ("top", "under") if top else ("bottom", "above")
    text = f"Oblique motion: the {voice} note stays while the line {side} it {way}."
    return device_of("oblique motion", notes, text, 0.85 if len(moving) > 3 else 0.7, [still, moving])


def _oblique_voices(etude: Etude) -> Iterator[Device]:
    """A note held in one voice over a stepwise line of another."""
    for held_line in etude.lines:
        for other in (line for line in etude.lines if line is not held_line):
            for held in (heard for heard in held_line if heard.note.held >= 2):
                notes = [h for h in other if held.note.onset <= h.note.onset < held.end]
                steps = [later.pitch - earlier.pitch for earlier, later in pairwise(notes)]
                one_way = steps and (all(0 < s <= 2 for s in steps) or all(-2 <= s < 0 for s in steps))
                if len(notes) >= 3 and one_way:
                    both = sorted([held, *notes], key=lambda heard: heard.note.onset)
                    yield _oblique_device(both, [held], notes)
