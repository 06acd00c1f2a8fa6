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
PITCH_FRAMES = 400
GUESS_S = 0.02
TARGET_S = 0.006
HALF_WINDOW = 15
PITCH_RIDGE, ONSET_RIDGE = 0.001, 0.02

Float = npt.NDArray[np.float32]
Example = tuple[Float, Float, Float, npt.NDArray[np.intp], float]


def pitch_examples(heard: Features, take: PerformedTake, rng: np.random.Generator) -> tuple[Float, Float]:
    """Spectra around each candidate (n, CLASSES, PITCH_OFFSETS) and the right candidates (n,)."""
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
    """By situation: (inputs (window, k), the guess's logits, target shares, frames, true frame)."""
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
        shares = (target / target.sum()).astype(np.float32)
        out[kind].append((inputs, prior.astype(np.float32), shares, frames, true))
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
    errors = [
        frames[int(np.argmax(inputs @ weights + prior))] - true for inputs, prior, _, frames, true in examples
    ]
    return 1000 * FRAME_S * float(np.sqrt(np.mean(np.square(errors))))


def pitch_accuracy(examples: Sequence[tuple[Float, Float]], weights: Float) -> float:
    """The share of frames whose likeliest pitch is the right one."""
    return float(np.mean([((x @ weights).argmax(axis=1) == y).mean() for x, y in examples]))


def _split(takes: int) -> tuple[list[int], list[int]]:
    """Numbers of the takes to train on and of those kept out (every fifth)."""
    kept = list(range(0, takes, 5))
    return [number for number in range(takes) if number % 5], kept


def train(takes: int, seed: int) -> dict[str, object]:
    """Make the takes, train, measure: what `weights.json` holds."""
    rng = np.random.default_rng(seed)
    made = []
    for take in performed_takes(takes, seed):
        made.append((take, features(take.samples, best_tuning(take.samples))))
        print(f"{len(made)}/{takes} {take.description}", flush=True)
    training, kept = _split(takes)
    spectra = [pitch_examples(heard, take, rng) for take, heard in made]
    pitch = train_pitch([spectra[number] for number in training])
    moments = [onset_examples(heard, take, pitch, rng) for take, heard in made]
    onset, errors = [], []
    for kind in range(SITUATIONS):
        onset.append(train_onset([example for number in training for example in moments[number][kind]]))
        errors.append(onset_error_ms([e for number in kept for e in moments[number][kind]], onset[-1]))
    return {
        "made_by": f"python -m tests.tools.train_alignment --takes {takes} --seed {seed}",
        "trained_on": f"{len(training)} takes from tests/tools/performed_takes.py, {len(kept)} kept out",
        "kept_out_pitch_accuracy": round(pitch_accuracy([spectra[number] for number in kept], pitch), 3),
        "kept_out_onset_error_ms": [round(error, 1) for error in errors],
        "pitch": [round(float(weight), 4) for weight in pitch],
        "onset": [[round(float(weight), 4) for weight in row] for row in onset],
    }


def main() -> None:
    """Train and write the weights."""
    parser = argparse.ArgumentParser(description="Train the aligner's weights on performed takes.")
    parser.add_argument("--takes", type=int, default=120)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, default=OUT)
    arguments = parser.parse_args()
    data = train(arguments.takes, arguments.seed)
    rows = ",\n".join(f" {json.dumps(key)}: {json.dumps(value)}" for key, value in data.items())
    arguments.out.write_text("{\n" + rows + "\n}\n", encoding="utf-8")
    print({key: value for key, value in data.items() if key not in ("pitch", "onset")})


if __name__ == "__main__":
    main()
