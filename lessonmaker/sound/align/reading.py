"""How a take reads its score: tuning, transposition and tempo, decided together by the path they allow.

A tuning of half a semitone and the next transposition sound alike, so neither is settled alone: where the
first guess leaves any doubt, the best few pairs are all searched, and the path that gains most wins.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from lessonmaker.sound.align.features import GLANCE_FRAMES, Features, best_tuning, features, glance
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.pins import Pin
from lessonmaker.sound.align.pitch import pitch_evidence
from lessonmaker.sound.align.structure import Rough, find_structure, share_reached
from lessonmaker.sound.align.transposition import rank_transpositions
from lessonmaker.sound.align.weights import trained_weights

__all__ = ["Found", "Reading", "find_reading"]

SHIFTS = range(-24, 25)
MARGIN_SEMITONES = 2
SURE_LIKENESS = 0.4
SURE_MARGIN = 0.08
SURE_GAIN, SURE_REACHED = 0.3, 0.32
OTHER_TUNINGS = (-0.33, 0.0, 0.33)
SAME_TUNING = 0.15
FAR_TUNING_PRICE = 0.25
PAIRS_TRIED = 2
UNKNOWN_TEMPI = (75.0, 150.0, 300.0)
OTHER_TEMPI = (0.5, 2.0)
AS_PRINTED_BONUS = 1.05
MEASURED_TUNING_BONUS = 1.1
UNLIKELY_TUNING = 0.38
SILENT_NEPERS, SILENT_EVIDENCE = -4.0, -1.0

Float = npt.NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Reading:
    """The line at one transposition, and the take's evidence (frames, pitches) for pitches from `lowest`."""

    heard: Features
    line: Line
    shift: int
    lowest: int
    evidence: Float


@dataclass(frozen=True, eq=False)
class Found:
    """A reading and the best path through it."""

    reading: Reading
    rough: Rough

    @property
    def gain(self) -> float:
        """The path's evidence a frame."""
        return self.rough.gain / self.reading.heard.frames

    @property
    def is_sure(self) -> bool:
        """Whether the path gains enough, also against what the likeliest pitch of each of its frames would."""
        reached = share_reached(self.rough.gain, self.reading.evidence, self.rough.beat_times)
        return self.gain > SURE_GAIN and reached > SURE_REACHED


def find_reading(samples: Float, line: Line, tempo: float | None, pins: Sequence[Pin] = ()) -> Found:
    """The tuning, transposition and tempo whose path gains most.

    Args:
        samples: The take, mono (n,).
        line: The score's line at its printed pitch.
        tempo: Quarters a minute as printed, None where the score says nothing.
        pins: Places of the line that sound at known times.
    """
    tempi = (tempo,) if tempo else UNKNOWN_TEMPI
    quarter_s = 60 / tempi[len(tempi) // 2]
    heard = features(samples, best_tuning(samples))
    ranking = _ranked(heard.whitened[::GLANCE_FRAMES], line, quarter_s)
    first = _best_tempo(_reading(heard, line, ranking[0][1]), tempi, pins)
    margin = ranking[0][0] - ranking[1][0]
    likely = first.reading.shift == 0 or abs(heard.tuning) < UNLIKELY_TUNING
    clear = ranking[0][0] > SURE_LIKENESS and margin > SURE_MARGIN
    if likely and clear:
        first = _with_other_tempi(first, tempi, pins)
        if first.is_sure:
            return first
    return _among_others(samples, heard, line, tempi, first, pins)


def _among_others(
    samples: Float,
    heard: Features,
    line: Line,
    tempi: Sequence[float],
    first: Found,
    pins: Sequence[Pin],
) -> Found:
    """The best of the first guess, other pairs of tuning and transposition, and half and double tempo."""
    quarter_s = 60 / tempi[len(tempi) // 2]
    pairs = _likely_pairs(samples, heard, line, quarter_s)
    pairs = [pair for pair in pairs if pair != (heard.tuning, first.reading.shift)]
    tried = [first]
    for tuning, shift in pairs:
        other = heard if tuning == heard.tuning else features(samples, tuning)
        tried.append(_best_tempo(_reading(other, line, shift), tempi, pins))
    best = max(tried, key=lambda found: _preference(found, heard.tuning))
    return _with_other_tempi(best, tempi, pins)


def _with_other_tempi(found: Found, tempi: Sequence[float], pins: Sequence[Pin]) -> Found:
    """Where a printed tempo leaves little gain, the same reading at half and double tempo as well."""
    if found.is_sure or len(tempi) > 1:
        return found
    others = [tempo * factor for tempo in tempi for factor in OTHER_TEMPI]
    return max(found, _best_tempo(found.reading, others, pins), key=lambda found: found.gain)


def _preference(found: Found, measured_tuning: float) -> float:
    """The gain, with a little more weight for the pitch as printed and the tuning as measured."""
    printed = AS_PRINTED_BONUS if found.reading.shift == 0 else 1.0
    measured = MEASURED_TUNING_BONUS if found.reading.heard.tuning == measured_tuning else 1.0
    return found.gain * printed * measured


def _likely_pairs(samples: Float, heard: Features, line: Line, quarter_s: float) -> list[tuple[float, int]]:
    """(tuning, transposition): as printed, and the likeliest ones, of all tunings worth a look."""
    ranked = [(heard.tuning, _ranked(heard.whitened[::GLANCE_FRAMES], line, quarter_s))]
    ranked += [
        (tuning, _ranked(glance(samples, tuning), line, quarter_s))
        for tuning in OTHER_TUNINGS
        if abs(tuning - heard.tuning) > SAME_TUNING
    ]
    likely = sorted(
        (
            (like - FAR_TUNING_PRICE * tuning**2, tuning, shift)
            for tuning, ranking in ranked
            for like, shift in ranking
        ),
        reverse=True,
    )
    return list(dict.fromkeys([(heard.tuning, 0), *(pair[1:] for pair in likely[:PAIRS_TRIED])]))


def _ranked(glanced: Float, line: Line, quarter_s: float) -> list[tuple[float, int]]:
    return rank_transpositions(glanced, trained_weights().pitch, line, quarter_s, SHIFTS)


def _reading(heard: Features, line: Line, shift: int) -> Reading:
    moved = line.transposed(shift)
    lowest = int(moved.pitches.min()) - MARGIN_SEMITONES
    highest = int(moved.pitches.max()) + MARGIN_SEMITONES
    evidence = pitch_evidence(heard.whitened, lowest, highest, trained_weights().pitch)
    silent = heard.level < SILENT_NEPERS  # noise alone has likely pitches, too
    evidence[silent] = np.minimum(evidence[silent], SILENT_EVIDENCE)
    return Reading(heard, moved, shift, lowest, evidence)


def _best_tempo(reading: Reading, tempi: Iterable[float], pins: Sequence[Pin]) -> Found:
    paths = [find_structure(reading.evidence, reading.lowest, reading.line, 60 / bpm, pins) for bpm in tempi]
    return Found(reading, max(paths, key=lambda rough: rough.gain))
