"""Train the aligner's weights on performed takes and write them beside the aligner.

    python -m tests.tools.train_alignment --takes 120 --seed 1

Pitch: a multinomial logit over 35 pitches, one weight vector over semitone offsets shared by all of them, on
frames inside notes. Onset: for each situation a conditional logit over the frames within 0.15 s of a
rough guess, to which the guess's Gaussian is added as the smoothing will do. Both by L-BFGS with a ridge.
A fifth of the takes is kept out of training and measured.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize

from lessonmaker.sound.align.features import FRAME_S, LOWEST_PITCH, Features, best_tuning, features
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.onsets import OnsetStreams, onset_inputs, situations
from lessonmaker.sound.align.pitch import pitch_evidence
from lessonmaker.sound.align.weights import PITCH_OFFSETS, SITUATIONS
from tests.tools.performed_takes import PerformedTake, performed_takes

OUT = Path(__file__).parents[2] / "lessonmaker/sound/align/weights.json"
CLASSES = 35
PITCH_FRAMES = 700
GUESS_S = 0.02
TARGET_S = 0.006
HALF_WINDOW = 15
PITCH_RIDGE, ONSET_RIDGE = 0.001, 0.02

Float = npt.NDArray[np.float32]
Example = tuple[Float, Float, Float, float]


def pitch_examples(heard: Features, take: PerformedTake, rng: np.random.Generator) -> tuple[Float, Float]:
    """Whitened spectra around each candidate pitch (n, CLASSES, PITCH_OFFSETS) and the right candidates (n,)."""
    times = np.arange(heard.frames) * FRAME_S
    label = np.full(heard.frames, -1)
    for note in take.notes:
        label[(times > note.onset_s + 0.02) & (times < note.end_s - 0.02)] = note.pitch
    frames = np.flatnonzero(label >= 0)
    frames = rng.choice(frames, min(PITCH_FRAMES, len(frames)), replace=False)
    lowest = min(note.pitch for note in take.notes) - 3
    padded = np.pad(heard.whitened[frames], ((0, 0), (60, 60)))
    columns = lowest + np.arange(CLASSES)[:, None] + PITCH_OFFSETS - LOWEST_PITCH + 60
    return padded[:, columns], (label[frames] - lowest).astype(np.float32)


def train_pitch(examples: Sequence[tuple[Float, Float]]) -> Float:
    """The weight vector (PITCH_OFFSETS,)."""
    inputs = np.concatenate([x for x, _ in examples])
    right = np.concatenate([y for _, y in examples]).astype(int)
    rows = np.arange(len(right))

    def loss(weights: npt.NDArray[np.float64]) -> tuple[float, npt.NDArray[np.float64]]:
        logits = inputs @ weights.astype(np.float32)
        chance = np.exp(logits - logits.max(axis=1, keepdims=True))
        chance /= chance.sum(axis=1, keepdims=True)
        value = -np.log(chance[rows, right] + 1e-9).mean() + PITCH_RIDGE * (weights**2).sum()
        chance[rows, right] -= 1
        slope = np.tensordot(chance, inputs, axes=2) / len(right) + 2 * PITCH_RIDGE * weights
        return float(value), slope.astype(float)

    found = minimize(loss, np.zeros(len(PITCH_OFFSETS)), jac=True, method="L-BFGS-B", options={"maxiter": 60})
    return np.asarray(found.x, np.float32)


def line_of_take(take: PerformedTake) -> Line:
    """The take's notes as the aligner's line, one bar of all the beats."""
    notes = take.notes
    onsets = np.array([note.beat for note in notes])
    count = len(notes)
    return Line(
        (0,),
        np.array([0, take.beats]),
        np.ones(take.beats),
        0.0,
        np.arange(count),
        np.zeros(count, np.intp),
        onsets,
        onsets + np.array([note.beats for note in notes]),
        np.array([note.pitch for note in notes]),
        np.array([note.straight for note in notes]),
    )


def onset_examples(
    heard: Features, take: PerformedTake, pitch_weights: Float, rng: np.random.Generator
) -> list[list[Example]]:
    """By situation: (inputs (window, k), guess's logits, target shares, true frame)."""
    line = line_of_take(take)
    lowest = int(line.pitches.min()) - 2
    evidence = pitch_evidence(heard.whitened, lowest, int(line.pitches.max()) + 2, pitch_weights)
    streams, around = OnsetStreams(heard, evidence, lowest), situations(line)
    out: list[list[Example]] = [[] for _ in range(SITUATIONS)]
    for note, pitch, before, kind in zip(take.notes, line.pitches, around.before, around.kind, strict=True):
        true = note.onset_s / FRAME_S
        guess = true + rng.normal(0, GUESS_S / FRAME_S)
        frames = round(guess) + np.arange(-HALF_WINDOW, HALF_WINDOW + 1)
        target = np.exp(-0.5 * ((frames - true) * FRAME_S / TARGET_S) ** 2) + 1e-12
        prior = -0.5 * ((frames - guess) * FRAME_S / GUESS_S) ** 2
        inputs = onset_inputs(streams.of(int(pitch), int(before), int(kind)), frames)
        out[kind].append((inputs, prior.astype(np.float32), (target / target.sum()).astype(np.float32), true))
    return out


def train_onset(examples: Sequence[Example]) -> Float:
    """One situation's weights (k,)."""
    inputs = np.stack([example[0] for example in examples])
    prior = np.stack([example[1] for example in examples])
    target = np.stack([example[2] for example in examples])
    scale = inputs.std(axis=(0, 1)) + 1e-6
    inputs = (inputs - inputs.mean(axis=(0, 1))) / scale

    def loss(weights: npt.NDArray[np.float64]) -> tuple[float, npt.NDArray[np.float64]]:
        logits = inputs @ weights.astype(np.float32) + prior
        logits -= logits.max(axis=1, keepdims=True)
        log_chance = logits - np.log(np.exp(logits).sum(axis=1, keepdims=True))
        value = -(target * log_chance).sum() / len(inputs) + ONSET_RIDGE * (weights**2).sum()
        slope = np.tensordot(np.exp(log_chance) - target, inputs, axes=2) / len(inputs)
        return float(value), (slope + 2 * ONSET_RIDGE * weights).astype(float)

    found = minimize(loss, np.zeros(inputs.shape[2]), jac=True, method="L-BFGS-B", options={"maxiter": 80})
    return np.asarray(found.x / scale, np.float32)


def onset_error_ms(examples: Sequence[Example], weights: Float) -> float:
    """Root mean square error of the likeliest frame."""
    errors = []
    for inputs, prior, _, true in examples:
        guess = int(np.argmax(prior))
        best = int(np.argmax(inputs @ weights + prior))
        errors.append((best - guess) * FRAME_S + (round_guess(true, prior, guess) - true) * FRAME_S)
    return 1000 * float(np.sqrt(np.mean(np.square(errors))))


def main() -> None:
    """Train, measure on the takes kept out, and write the weights."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--takes", type=int, default=120)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, default=OUT)
    arguments = parser.parse_args()
