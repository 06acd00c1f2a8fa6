"""A take played like a machine, as a fit: from `LEAD_IN_S` on, each bar and note exactly where the score has it."""

from __future__ import annotations

from lessonmaker.score.model import Score
from lessonmaker.sound.model import BarTime, Fit, NoteTime

LEAD_IN_S, QUARTER_S = 2.0, 0.5


def even_fit(score: Score) -> Fit:
    """The score played as printed, repeats included, at 120 quarters a minute."""
    zero = score.order[0].start
    starts = [LEAD_IN_S + float(visit.start - zero) * QUARTER_S for visit in score.order]
    notes = [
        NoteTime(note.id, visit.number, onset_s, onset_s + float(note.held) * QUARTER_S)
        for visit, start_s in zip(score.order, starts, strict=True)
        for note in score.struck
        if note.bar == visit.bar
        for onset_s in [start_s + float(note.onset - score.bars[note.bar].start) * QUARTER_S]
    ]
    bars = tuple(
        BarTime(visit.bar, visit.number, start_s) for visit, start_s in zip(score.order, starts, strict=True)
    )
    end_s = starts[-1] + float(score.bars[score.order[-1].bar].length) * QUARTER_S
    return Fit(True, 1.0, bars, tuple(notes), end_s, 0.5, {})
