"""A take against its score: the steps in order, from samples to a `Fit`."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from lessonmaker.score.model import Note, Score
from lessonmaker.sound.align.band import band_beat_times
from lessonmaker.sound.align.features import samples_of
from lessonmaker.sound.align.line import Line, follow, line_of, place_in_beats
from lessonmaker.sound.align.onsets import OnsetStreams, situations
from lessonmaker.sound.align.pins import Pin, pins_of, pins_on_route
from lessonmaker.sound.align.reading import Found, Reading, find_reading
from lessonmaker.sound.align.refine import refine
from lessonmaker.sound.align.smooth import Timing, place_onsets
from lessonmaker.sound.align.verdict import Verdict, judge
from lessonmaker.sound.align.weights import trained_weights
from lessonmaker.sound.model import Anchor, Audio, BarTime, Fit, NoteTime

__all__ = ["fit_take"]

Array = npt.NDArray[np.float64]


def fit_take(score: Score, take: Audio, anchors: Sequence[Anchor] = ()) -> Fit:
    """Find when each bar and note of a score sounds in a take.

    The take may hold anything before and after, leave repeats out or play passages again, and sound
    transposed. A take of something else comes back with `accepted` False. Anchors pin places to times.
    """
    line = line_of(score)
    found = find_reading(samples_of(take), line, score.tempo, pins_of(score, line, anchors))
    reading = found.reading
    if not found.rough.route:
        return Fit(False, 0.0, (), (), 0.0, 1.0, {"refused": "the take is shorter than a bar"})
    played, beat_times, pins = _settle(score, found, anchors)
    weights = trained_weights()
    streams = OnsetStreams(reading.heard, reading.evidence, reading.lowest, weights.short_pitch)
    timing = place_onsets(streams, played, situations(played), beat_times, weights.onset, pins)
    verdict = judge(reading.evidence, reading.lowest, reading.line, played, timing, found.rough.gain)
    return _as_fit(score, reading, played, timing, verdict)


def _settle(score: Score, found: Found, anchors: Sequence[Anchor]) -> tuple[Line, Array, tuple[Pin, ...]]:
    """The line as played with refined beat times; each jump re-tried a bar or two earlier and later."""
    reading, route = found.reading, found.rough.route

    def refined(route: Sequence[int], times: Array) -> tuple[float, Line, Array, tuple[Pin, ...]]:
        played = follow(reading.line, route)
        pins = pins_on_route(score, played, times, anchors)
        times, gain = refine(reading.evidence, reading.lowest, played, times, pins)
        return gain, played, times, pins

    best = refined(route, found.rough.beat_times)
    for jump in [at for at in range(1, len(route)) if route[at] != route[at - 1] + 1]:
        _, played, times, _ = best
        for moved in _moved_jumps(route, jump, len(reading.line.visits)):
            if follow(reading.line, moved).beats == played.beats:
                other = refined(moved, times)
                if other[0] > best[0] + 1:
                    route, best = moved, other
    return best[1:]


def _moved_jumps(route: tuple[int, ...], jump: int, bars: int) -> list[tuple[int, ...]]:
    """The route with the jump before place `jump` one or two bars earlier and later, where that can be."""
    moved = []
    for by in (-2, -1, 1, 2):
        if not (0 < jump + by < len(route)):
            continue
        if by > 0:
            new = range(route[jump - 1] + 1, route[jump - 1] + 1 + by)
            changed = (*route[:jump], *new, *route[jump + by :])
        else:
            new = range(route[jump] + by, route[jump])
            changed = (*route[: jump + by], *new, *route[jump:])
        if new[0] >= 0 and new[-1] < bars:
            moved.append(changed)
    return moved


def _as_fit(score: Score, reading: Reading, played: Line, timing: Timing, verdict: Verdict) -> Fit:
    numbers = _visit_numbers(score, played)
    band = band_beat_times(reading.heard.attack, timing)
    bars = _bar_times(score, played, timing if band is None else replace(timing, beat_times=band), numbers)
    notes = _note_times(score, played, timing, numbers)
    details = {
        "transposed_by": reading.shift,
        "tuning_cents": round(100 * reading.heard.tuning),
        "quarters_a_minute": round(
            60 / float(np.median(np.diff(timing.beat_times) / played.beat_quarters)), 1
        ),
        "with_band": band is not None,
        "jumps": _jumps(score, played),
        "gain_a_frame": round(verdict.gain, 3),
        "heard": round(verdict.heard, 3),
        "unsure": _unsure(score, played, numbers, verdict),
    }
    swing = timing.share / (1 - timing.share)
    return Fit(
        verdict.accepted, verdict.confidence, bars, notes, float(timing.beat_times[-1]), swing, details
    )


def _visit_numbers(score: Score, played: Line) -> list[int]:
    """The time round of each bar played: as the score counts from its beginning, else counted as played."""
    visits = [score.order[visit] for visit in played.visits]
    if played.visits == tuple(range(len(played.visits))):
        return [visit.number for visit in visits]
    return [sum(earlier.bar == visit.bar for earlier in visits[: i + 1]) for i, visit in enumerate(visits)]


def _bar_times(score: Score, played: Line, timing: Timing, numbers: list[int]) -> tuple[BarTime, ...]:
    starts = played.bar_beats[:-1].astype(float)
    starts[0] += played.lead_in
    times = timing.at(starts)
    return tuple(
        BarTime(score.order[visit].bar, number, max(0.0, float(time)))
        for visit, number, time in zip(played.visits, numbers, times, strict=True)
    )


def _note_times(score: Score, played: Line, timing: Timing, numbers: list[int]) -> tuple[NoteTime, ...]:
    """Every struck note of the bars played: the line's own, and chord and other-voice notes with them."""
    printed = score.struck
    placed = {
        (int(bar), printed[index].onset): k
        for k, (bar, index) in enumerate(zip(played.bars, played.struck, strict=True))
    }
    in_bar = defaultdict(list)
    for note in printed:
        in_bar[note.bar].append(note)
    ends = _ends(played, timing)
    out = []
    for bar, (visit, number) in enumerate(zip(played.visits, numbers, strict=True)):
        for note in in_bar[score.order[visit].bar]:
            k = placed.get((bar, note.onset))
            if k is None:
                out.append(_aside(score, played, timing, bar, note, number))
            else:
                out.append(NoteTime(note.id, number, float(timing.onsets[k]), float(ends[k])))
    return tuple(out)


def _aside(score: Score, played: Line, timing: Timing, bar: int, note: Note, number: int) -> NoteTime:
    """A note that is not of the line (another voice, off its onsets), placed by the beat curve."""
    place = place_in_beats(note, score.bars[note.bar], played, bar)
    onset, end = timing.at(np.array(place))
    return NoteTime(note.id, number, float(onset), float(end))


def _ends(played: Line, timing: Timing) -> Array:
    """Where each note of the line stops or the next begins."""
    held = timing.onsets + timing.at(played.ends) - timing.at(played.onsets)
    return np.asarray(np.minimum(held, np.append(timing.onsets[1:], np.inf)))


def _jumps(score: Score, played: Line) -> list[tuple[str, str]]:
    """Printed numbers of the bars before and after each place where the take leaves the printed order."""
    numbers = [score.bars[score.order[visit].bar].number for visit in played.visits]
    leaves = [at for at in range(1, len(numbers)) if played.visits[at] != played.visits[at - 1] + 1]
    return [(numbers[at - 1], numbers[at]) for at in leaves]


def _unsure(score: Score, played: Line, numbers: list[int], verdict: Verdict) -> list[tuple[str, int]]:
    """Printed number and time round of the bars in which few notes were heard."""
    return [(score.bars[score.order[played.visits[bar]].bar].number, numbers[bar]) for bar in verdict.unsure]
