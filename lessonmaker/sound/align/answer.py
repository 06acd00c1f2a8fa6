"""An alignment in the score's own terms: bars and notes by time, where the player left the page, how sure it is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from lessonmaker.score.model import Note, Score
from lessonmaker.sound.align.band import band_beat_times
from lessonmaker.sound.align.departures import Departures, OffPage, bar_sureness, departures_of
from lessonmaker.sound.align.line import Line, place_in_beats
from lessonmaker.sound.align.reading import Reading
from lessonmaker.sound.align.smooth import Timing
from lessonmaker.sound.align.verdict import Verdict
from lessonmaker.sound.model import BarTime, Departure, Fit, NoteTime

__all__ = ["Aligned", "as_fit"]

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Aligned:
    """A finished alignment: `played` is the line as it sounded, `moved` its bars at another pitch, by semitones."""

    reading: Reading
    played: Line
    timing: Timing
    verdict: Verdict
    moved: Mapping[int, int]


def as_fit(score: Score, aligned: Aligned) -> Fit:
    """What is handed on of an alignment."""
    reading, played, timing, verdict = aligned.reading, aligned.played, aligned.timing, aligned.verdict
    numbers = _visit_numbers(score, played)
    band = band_beat_times(reading.heard.attack, timing)
    left = departures_of(reading.heard, played, timing) if verdict.accepted else Departures((), ())
    details = {
        "transposed_by": reading.shift,
        "tuning_cents": round(100 * reading.heard.tuning),
        "quarters_a_minute": round(
            60 / float(np.median(np.diff(timing.beat_times) / played.beat_quarters)), 1
        ),
        "with_band": band is not None,
        "jumps": _jumps(score, played),
        "reached": round(verdict.reached, 3),
        "heard": round(verdict.heard, 3),
        "unsure": _unsure(score, played, numbers, verdict),
        "off_page": _off_page(score, played, numbers, (*left.off_page, *_runs(aligned.moved))),
    }
    return Fit(
        verdict.accepted,
        verdict.confidence,
        _bar_times(score, aligned, timing if band is None else replace(timing, beat_times=band), numbers),
        _note_times(score, played, timing, numbers),
        float(timing.beat_times[-1]),
        timing.share / (1 - timing.share),
        details,
        _departures(score, aligned, left, numbers),
    )


def _runs(moved: Mapping[int, int]) -> list[OffPage]:
    """Neighbouring bars at one other pitch together."""
    runs: list[OffPage] = []
    for bar in sorted(moved):
        if runs and runs[-1].last == bar - 1 and runs[-1].semitones == moved[bar]:
            runs[-1] = replace(runs[-1], last=bar)
        else:
            runs.append(OffPage(bar, bar, moved[bar]))
    return runs


def _off_page(
    score: Score, played: Line, numbers: list[int], runs: tuple[OffPage, ...]
) -> list[dict[str, Any]]:
    """Runs of bars that are something else altogether, by printed number and time round."""

    def named(bar: int) -> tuple[str, int]:
        return score.bars[score.order[played.visits[bar]].bar].number, numbers[bar]

    return [
        {"from": named(run.first), "to": named(run.last), "semitones": run.semitones}
        for run in sorted(runs, key=lambda run: run.first)
    ]


def _departures(
    score: Score, aligned: Aligned, left: Departures, numbers: list[int]
) -> tuple[Departure, ...]:
    """Single departures; pitches as the score would print them in a moved passage, too."""
    printed, played = score.struck, aligned.played
    return tuple(
        Departure(
            one.kind,
            score.order[played.visits[one.bar]].bar,
            numbers[one.bar],
            one.time_s,
            None if one.note is None else printed[int(played.struck[one.note])].id,
            None if one.heard is None else one.heard - aligned.reading.shift - aligned.moved.get(one.bar, 0),
        )
        for one in left.single
    )


def _visit_numbers(score: Score, played: Line) -> list[int]:
    """The time round of each bar played: as the score counts from its beginning, else counted as played."""
    visits = [score.order[visit] for visit in played.visits]
    if played.visits == tuple(range(len(played.visits))):
        return [visit.number for visit in visits]
    return [sum(earlier.bar == visit.bar for earlier in visits[: i + 1]) for i, visit in enumerate(visits)]


def _bar_times(score: Score, aligned: Aligned, beats: Timing, numbers: list[int]) -> tuple[BarTime, ...]:
    """Bar starts on the beats given, with how sure each bar is."""
    played, reading = aligned.played, aligned.reading
    sure = bar_sureness(reading.evidence, reading.lowest, played, aligned.timing)
    starts = played.bar_beats[:-1].astype(float)
    starts[0] += played.lead_in
    times = beats.at(starts)
    return tuple(
        BarTime(score.order[visit].bar, number, max(0.0, float(time)), float(share))
        for visit, number, time, share in zip(played.visits, numbers, times, sure, strict=True)
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
    ends = timing.ends(played)
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


def _jumps(score: Score, played: Line) -> list[tuple[str, str]]:
    """Printed numbers of the bars before and after each place where the take leaves the printed order."""
    numbers = [score.bars[score.order[visit].bar].number for visit in played.visits]
    leaves = [at for at in range(1, len(numbers)) if played.visits[at] != played.visits[at - 1] + 1]
    return [(numbers[at - 1], numbers[at]) for at in leaves]


def _unsure(score: Score, played: Line, numbers: list[int], verdict: Verdict) -> list[tuple[str, int]]:
    """Printed number and time round of the bars in which few notes were heard."""
    return [(score.bars[score.order[played.visits[bar]].bar].number, numbers[bar]) for bar in verdict.unsure]
