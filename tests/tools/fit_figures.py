"""How near a fit comes to the truth of a case."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.optimize import linear_sum_assignment

from lessonmaker.sound.model import Fit
from tests.tools.scored_takes import Case

__all__ = ["Figures", "errors_s", "figures", "lit_share", "share_within"]

Array = npt.NDArray[np.float64]
STEP_S = 0.01
SURE = 0.5


@dataclass(frozen=True)
class Figures:
    """One case's figures.

    `note_errors_s` and `bar_errors_s` are found minus true times (inf where nothing was found), `lit` the
    share of the time in which the right bar is lit. Where a passage is played in another key, the note errors
    are those of the other bars, `named` is the share of its bars that the fit names as unsure or left, and
    `blamed` the share of the other bars that it names.
    """

    accepted: bool
    confidence: float
    note_errors_s: Array
    bar_errors_s: Array
    lit: float
    shift_found: bool
    named: float
    blamed: float


def figures(case: Case, fit: Fit) -> Figures:
    """The figures of a fit, whether it was accepted or not."""
    struck = case.score.struck
    index = {note.id: number for number, note in enumerate(struck)}
    true_notes = [(note.index, note.time_s) for note in case.notes]
    true_bars = [(bar.bar, bar.time_s) for bar in case.bars]
    found_bars = [(bar.bar, bar.time_s) for bar in fit.bars]
    elsewhere = _elsewhere(case)
    on_page = [(struck[note.index].bar, note.visit) not in elsewhere for note in case.notes]
    note_errors = errors_s(true_notes, [(index[note.note], note.time_s) for note in fit.notes])
    return Figures(
        fit.accepted,
        fit.confidence,
        note_errors[np.array(on_page, bool)],
        errors_s(true_bars, found_bars),
        lit_share(true_bars, found_bars, case.end_s),
        fit.details.get("transposed_by") == case.shift,
        *_named(case, fit),
    )


def _elsewhere(case: Case) -> set[tuple[int, int]]:
    return {(bar.bar, bar.visit) for bar in case.bars if bar.elsewhere}


def errors_s(true: Sequence[tuple[int, float]], found: Sequence[tuple[int, float]]) -> Array:
    """The time found less the true one for each true (key, time), inf where nothing was found.

    Times of one key are matched one to one at the least total distance.
    """
    by_key = defaultdict(list)
    for key, time_s in found:
        by_key[key].append(time_s)
    rows = defaultdict(list)
    for row, (key, _) in enumerate(true):
        rows[key].append(row)
    out = np.full(len(true), np.inf)
    for key, there in rows.items():
        times = np.array(by_key[key])
        distance = np.abs(np.array([true[row][1] for row in there])[:, None] - times[None, :])
        for mine, theirs in zip(*linear_sum_assignment(distance), strict=True):
            out[there[mine]] = times[theirs] - true[there[mine]][1]
    return out


def lit_share(true: Sequence[tuple[int, float]], found: Sequence[tuple[int, float]], end_s: float) -> float:
    """The share of the time from the first bar to the end in which the right bar is lit."""
    if not found or not true:
        return 0.0
    clock = np.arange(min(time for _, time in true), end_s, STEP_S)
    return float(np.mean(_lit(true, clock) == _lit(found, clock)))


def _lit(bars: Sequence[tuple[int, float]], clock: Array) -> npt.NDArray[np.intp]:
    in_order = sorted(bars, key=lambda bar: bar[1])
    at = np.searchsorted([time for _, time in in_order], clock, "right") - 1
    return np.where(at >= 0, np.array([key for key, _ in in_order])[at], -1)


def share_within(errors_s: Array, limit_s: float) -> float:
    """The share of errors within a limit; not a number where there are none."""
    return float(np.mean(np.abs(errors_s) <= limit_s)) if len(errors_s) else float("nan")


def _named(case: Case, fit: Fit) -> tuple[float, float]:
    """The share of the bars in another key that the fit names, and of the others that it names."""
    elsewhere = _elsewhere(case)
    others = {(bar.bar, bar.visit) for bar in case.bars} - elsewhere
    named = {(bar.bar, bar.visit) for bar in fit.bars if bar.sure < SURE} | _unsure(case, fit)
    share = [len(named & bars) / len(bars) if bars else float("nan") for bars in (elsewhere, others)]
    return share[0], share[1]


def _unsure(case: Case, fit: Fit) -> set[tuple[int, int]]:
    """Bars (index, time round) that the details call unsure, by their printed numbers."""
    by_number = {bar.number: bar.index for bar in case.score.bars}
    return {(by_number[number], visit) for number, visit in fit.details.get("unsure", [])}
