"""What tells a note that is not as printed: clues about its place in the take, and a network that weighs them.

Each note of the line is looked at in the middle of its place: how much its own pitch sounds there, which
other pitch sounds most, whether that one begins and stops with the place (a chord, a bass or a room's tail
does not), how nearly the same pitches sound elsewhere in the take (so that no timbre is blamed), and how loud
it is. What scoops, grace notes and vibrato do is over before the middle of a note or stays near its pitch.
`departures.json` beside this file holds the weights and says what made them; the trainer is under tests/tools.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

import numpy as np
import numpy.typing as npt
from scipy.ndimage import uniform_filter1d

from lessonmaker.sound.align.features import FRAME_S, LOWEST_PITCH, PITCHES
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.pitch import pitch_evidence
from lessonmaker.sound.align.smooth import Timing
from lessonmaker.sound.align.weights import trained_weights

__all__ = [
    "PEAK_FRAMES",
    "StrayNetwork",
    "Wide",
    "note_bodies",
    "note_clues",
    "trained_networks",
    "wide_evidence",
]

AROUND_SEMITONES = 13
HIGHEST_PITCH = LOWEST_PITCH + PITCHES - 15
BODY = (0.2, 0.85)
SHORTEST_FRAMES = 3
PEAK_FRAMES = 5
NEAR_SEMITONES = 2
FEWEST_NEAR = 4
CONTRAST_SHARE, CONTRAST_LIMIT = 0.5, 4

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Wide:
    """Pitch evidence (frames, pitches) from `lowest` on, an octave wider than the line to either side."""

    evidence: Float
    lowest: int


@dataclass(frozen=True, eq=False)
class StrayNetwork:
    """Weights of one hidden layer: `hidden` (clues, units), `out` (units, kinds) and their constants.

    `mean` and `deviation` (clues,) are those of the clues it was trained on.
    """

    mean: Float
    deviation: Float
    hidden: Float
    bias: Float
    out: Float
    constant: Float

    def chances(self, clues: Array) -> Array:
        """(places, clues) to the chances (places, kinds)."""
        units = np.tanh((clues - self.mean) / self.deviation @ self.hidden + self.bias)
        logits = units @ self.out + self.constant
        chances = np.exp(logits - logits.max(axis=1, keepdims=True))
        return np.asarray(chances / chances.sum(axis=1, keepdims=True), np.float64)


@lru_cache(maxsize=1)
def trained_networks() -> tuple[StrayNetwork, StrayNetwork]:
    """The networks the package carries: for notes (right, another pitch, missing), for added ones (no, yes)."""
    data = json.loads(files(__package__).joinpath("departures.json").read_text(encoding="utf-8"))
    names = ("mean", "deviation", "hidden", "bias", "out", "constant")
    notes, added = (
        StrayNetwork(*(np.array(data[kind][name], np.float32) for name in names))
        for kind in ("notes", "added")
    )
    return notes, added


def wide_evidence(whitened: Float, line: Line) -> Wide:
    """Evidence for the pitches of the line and an octave around."""
    low, high = int(line.pitches.min()), int(line.pitches.max())
    lowest = min(low, max(LOWEST_PITCH, low - AROUND_SEMITONES))
    highest = max(high, min(HIGHEST_PITCH, high + AROUND_SEMITONES))
    return Wide(pitch_evidence(whitened, lowest, highest, trained_weights().pitch), lowest)


def note_clues(wide: Wide, level: Float, line: Line, timing: Timing) -> tuple[Array, Ints]:
    """What the network goes by, (notes, clues), and the likeliest other pitch (notes,) of each note."""
    ends = timing.ends(line)
    spans = note_bodies(timing.onsets, ends, len(wide.evidence))
    means = np.array([wide.evidence[a:b].mean(axis=0) for a, b in spans], np.float64)
    loud = np.array([level[a:b].mean() for a, b in spans], np.float64)
    columns = line.pitches - wide.lowest
    before, after = _neighbours(means)
    rise, fall = means - before, means - after
    score = (
        means
        + CONTRAST_SHARE * np.clip(rise, -CONTRAST_LIMIT, CONTRAST_LIMIT)
        + CONTRAST_SHARE * np.clip(fall, -CONTRAST_LIMIT, CONTRAST_LIMIT)
    )
    rows = np.arange(len(columns))
    score[rows, columns] = -np.inf
    other = score.argmax(axis=1)
    previous, following = np.roll(columns, 1), np.roll(columns, -1)
    previous[0], following[-1] = -1, -1
    own = means[rows, columns]
    held_on = np.where(previous == columns, 0.0, means[rows, np.maximum(previous, 0)])
    found = (
        own,
        means[rows, other],
        rise[rows, other],
        fall[rows, other],
        rise[rows, columns],
        fall[rows, columns],
        own - _typical(line.pitches, own),
        np.full(len(own), np.median(own)),
        _peaks(wide, columns, timing.onsets, ends),
        held_on,
        loud,
        loud - np.median(loud),
        np.log(np.maximum(ends - timing.onsets, FRAME_S)),
        other - columns == 12,
        other - columns == -12,
        other == previous,
        other == following,
        (other + wide.lowest < line.pitches.min()) | (other + wide.lowest > line.pitches.max()),
        *_company(line.pitches, own, other - columns),
        means[rows, other] - np.median(own),
    )
    return np.stack([np.asarray(clue, np.float64) for clue in found], axis=1), other + wide.lowest


def note_bodies(onsets: Array, ends: Array, frames: int) -> Ints:
    """First frame and the one after the last (notes, 2) of the middle of each note; some frames at least."""
    lengths = np.maximum(ends - onsets, FRAME_S)
    first, last = (np.round((onsets + share * lengths) / FRAME_S) for share in BODY)
    first = np.clip(first, 0, frames - SHORTEST_FRAMES)
    last = np.clip(np.maximum(last, first + SHORTEST_FRAMES), SHORTEST_FRAMES, frames)
    return np.stack([first, last], axis=1).astype(np.intp)


def _neighbours(means: Array) -> tuple[Array, Array]:
    """The rows before and after; at the ends the row of nothing heard."""
    nothing = np.full((1, means.shape[1]), means.min())
    return np.concatenate([nothing, means[:-1]]), np.concatenate([means[1:], nothing])


def _typical(pitches: Ints, own: Array) -> Array:
    """The median evidence (notes,) of notes that are near in pitch; of all, where few are."""
    by_pitch = {}
    for pitch in np.unique(pitches):
        near = np.abs(pitches - pitch) <= NEAR_SEMITONES
        by_pitch[pitch] = np.median(own[near] if near.sum() >= FEWEST_NEAR else own)
    return np.array([by_pitch[pitch] for pitch in pitches])


def _company(pitches: Ints, own: Array, steps: Ints) -> tuple[Array, Array]:
    """How other notes of nearly the same pitch fare: own evidence above theirs, share with the same step.

    An instrument whose overtone outsings a tone does so each time.
    """
    above, same = np.zeros(len(own)), np.zeros(len(own))
    for note, pitch in enumerate(pitches):
        near = np.abs(pitches - pitch) <= 1
        near[note] = False
        if near.any():
            above[note] = own[note] - np.median(own[near])
            same[note] = (steps[near] == steps[note]).sum() / (near.sum() + 1)
    return above, same


def _peaks(wide: Wide, columns: Ints, onsets: Array, ends: Array) -> Array:
    """The most evidence (notes,) that each note's pitch has for a moment anywhere in its place."""
    peaks = []
    for column, onset, end in zip(columns, onsets, ends, strict=True):
        first = int(np.clip(onset / FRAME_S, 0, len(wide.evidence) - PEAK_FRAMES))
        last = max(first + PEAK_FRAMES, int(end / FRAME_S))
        peaks.append(uniform_filter1d(wide.evidence[first:last, column], PEAK_FRAMES, mode="nearest").max())
    return np.array(peaks)
