"""How sure the aligner is, and whether the take is of this score at all."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.align.features import FRAME_S
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.smooth import Timing

__all__ = ["Verdict", "judge"]

LEAST_GAIN = 0.12
LEAST_HEARD = 0.2
BODY = (0.15, 0.85)

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Verdict:
    """`gain` is the path's evidence a frame, `heard` the share of the score's notes heard at their place."""

    accepted: bool
    confidence: float
    gain: float
    heard: float


def judge(evidence: Float, lowest: int, line: Line, played: Line, timing: Timing, gain: float) -> Verdict:
    """Weigh a finished alignment.

    Of all the score's notes, not of those placed: a take of something else skips most of the score.
    """
    heard = notes_heard(evidence, lowest, played, timing)
    visits = np.array(played.visits)[played.bars]
    found = {(int(visit), int(note)) for visit, note in zip(visits[heard], played.struck[heard], strict=True)}
    share = len(found) / len(line.struck)
    a_frame = gain / len(evidence)
    return Verdict(a_frame > LEAST_GAIN and share > LEAST_HEARD, share, a_frame, share)


def notes_heard(evidence: Float, lowest: int, played: Line, timing: Timing) -> npt.NDArray[np.bool_]:
    """(notes,): whether each note's own pitch beats the filler over the middle of its time."""
    ends = np.minimum(
        np.append(timing.onsets[1:], np.inf),
        timing.onsets + timing.at(played.ends) - timing.at(played.onsets),
    )
    lengths = np.maximum(ends - timing.onsets, FRAME_S)
    first, last = (np.floor((timing.onsets + share * lengths) / FRAME_S).astype(np.intp) for share in BODY)
    spans = zip(np.maximum(first, 0), np.maximum(last + 1, 1), played.pitches - lowest, strict=True)
    return np.array([bool(len(evidence[a:b]) and evidence[a:b, pitch].mean() > 0) for a, b, pitch in spans])
