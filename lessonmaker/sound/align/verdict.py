"""How sure the aligner is, and whether the take is of this score at all."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from lessonmaker.sound.align.features import FRAME_S
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.smooth import Timing
from lessonmaker.sound.align.structure import share_reached

__all__ = ["Verdict", "judge"]

LEAST_REACHED, REACHED_WIDTH = 0.31, 0.025
LEAST_HEARD, HEARD_WIDTH = 0.25, 0.05
BODY = (0.15, 0.85)
CHANCE_ROLLS = (5, 11, 23)
FEWEST_NOTES = 3
UNSURE_SHARE = 0.5

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Verdict:
    """How sure an alignment is.

    `reached` is the path's evidence as a share of what the likeliest pitches of all frames would gather,
    `heard` the share of the score's notes heard at their place; `unsure` lists bars of the line as played. The
    take is accepted where `confidence` reaches a half.
    """

    confidence: float
    reached: float
    heard: float
    unsure: tuple[int, ...]

    @property
    def accepted(self) -> bool:
        """Whether the take is of this score."""
        return self.confidence >= 0.5


def judge(evidence: Float, lowest: int, line: Line, played: Line, timing: Timing, gain: float) -> Verdict:
    """Weigh a finished alignment; `gain` is its path's whole evidence.

    The gain is compared with what the likeliest pitch of every frame from the first bar played to the last
    would give: a wrong take that finds a few likely moments reaches little of that, however clear it sounds.
    The share heard is of all the score's notes, not of those placed (a take of something else skips most of
    the score), less what other pitches of the line would have reached by chance in the same places. The
    confidence saturates well below the share a clear sound reaches, so that it does not follow the timbre.
    """
    spans = _bodies(played, timing)
    heard = _sounding(evidence, spans, played.pitches - lowest)
    share = len(set(played.struck[heard].tolist())) / len(set(line.struck.tolist()))
    chance = (
        _chance(evidence, spans, played.pitches - lowest)
        * len(set(played.struck.tolist()))
        / len(line.struck)
    )
    reached = share_reached(gain, evidence, timing.beat_times)
    excess = min((reached - LEAST_REACHED) / REACHED_WIDTH, (share - chance - LEAST_HEARD) / HEARD_WIDTH)
    return Verdict(float(expit(excess)), reached, share, _unsure_bars(played, heard))


def _bodies(played: Line, timing: Timing) -> Ints:
    """First and last frame (2, notes) of the middle of each note."""
    lengths = np.maximum(timing.ends(played) - timing.onsets, FRAME_S)
    frames = [np.floor((timing.onsets + share * lengths) / FRAME_S) for share in BODY]
    return np.array([np.maximum(frames[0], 0), np.maximum(frames[1] + 1, 1)]).astype(np.intp)


def _sounding(evidence: Float, spans: Ints, columns: Ints) -> Flags:
    """(notes,): whether each column beats the filler over its span."""
    notes = zip(*spans, columns, strict=True)
    return np.array([bool(len(evidence[a:b]) and evidence[a:b, column].mean() > 0) for a, b, column in notes])


def _chance(evidence: Float, spans: Ints, columns: Ints) -> float:
    """The share of notes that seem heard when each is given another note's pitch."""
    shares = [
        _sounding(evidence, spans[:, different], rolled[different]).mean()
        for rolled in (np.roll(columns, roll) for roll in CHANCE_ROLLS)
        if (different := rolled != columns).any()
    ]
    return float(np.mean(shares)) if shares else 0.0


def _unsure_bars(played: Line, heard: Flags) -> tuple[int, ...]:
    """Bars in which less than half as many notes are heard as in the whole take."""
    count = len(played.visits)
    notes = np.bincount(played.bars, minlength=count)
    found = np.bincount(played.bars, heard, minlength=count)
    few = found < UNSURE_SHARE * heard.mean() * notes
    return tuple(int(bar) for bar in np.flatnonzero(few & (notes >= FEWEST_NOTES)))
