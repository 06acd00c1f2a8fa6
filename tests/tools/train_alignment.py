"""Train the aligner's weights on performed takes and write them beside the aligner.

    python -m tests.tools.train_alignment --takes 200 --seed 7 --notes SAXOPHONE TRUMPET FLUTE

`--notes` are folders of recorded notes (see recorded_notes.py). Pitch: a multinomial logit over 35 pitches, one
weight vector over semitone offsets shared by all of them, on frames inside notes; once for the long windows,
once for the short ones. Onset: a network with one hidden layer beside a direct path, as a conditional logit
over the frames within 0.15 s of a rough guess, to which the guess's Gaussian is added as the smoothing will
do. All by L-BFGS with a ridge. A sixth of the takes is kept out of training and measured.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize

from lessonmaker.sound.align.features import (
    FRAME_S,
    LOWEST_PITCH,
    Features,
    best_tuning,
    features,
    short_whitened,
)
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.onsets import OnsetStreams, onset_inputs, onset_logits, situations
from lessonmaker.sound.align.pitch import pitch_evidence
from lessonmaker.sound.align.weights import PITCH_OFFSETS, SITUATIONS, OnsetNetwork
from tests.tools.performed_takes import PerformedTake, performed_takes
from tests.tools.recorded_notes import RecordedNotes

OUT = Path(__file__).parents[2] / "lessonmaker/sound/align/weights.json"
CLASSES = 35
PITCH_FRAMES = 200
GUESS_S = 0.025
TARGET_S = 0.006
HALF_WINDOW = 15
UNITS = 24
PITCH_RIDGE, ONSET_RIDGE = 0.001, 0.001
KEPT_OUT_EVERY = 6

Float = npt.NDArray[np.float32]
Double = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Moments:
    """Notes to find: `inputs` (notes, window, k), the guesses' logits and `frames` (notes, window), the true
    frames and the situations (notes,).
    """

    inputs: npt.NDArray[np.float16]
    prior: Float
    frames: Ints
    true: Double
    kind: Ints

    @classmethod
    def of(cls, parts: Sequence[Moments]) -> Moments:
        """Several together."""
        names = ("inputs", "prior", "frames", "true", "kind")
        return cls(*(np.concatenate([getattr(part, name) for part in parts]) for name in names))


def pitch_examples(whitened: Float, take: PerformedTake, rng: np.random.Generator) -> tuple[Float, Float]:
    """Spectra around each candidate (n, CLASSES, PITCH_OFFSETS) and the right candidates (n,)."""
    times = np.arange(len(whitened)) * FRAME_S
    label = np.full(len(whitened), -1)
    for note in (note for note in take.notes if note.sounds):
        label[(times > note.onset_s + 0.02) & (times < note.end_s - 0.02)] = note.pitch
    frames = np.flatnonzero(label >= 0)
    frames = rng.choice(frames, min(PITCH_FRAMES, len(frames)), replace=False)
    lowest = min(note.pitch for note in take.notes) - 3
    padded = np.pad(whitened[frames], ((0, 0), (60, 60)))
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


def moments_of(
    heard: Features, take: PerformedTake, weights: tuple[Float, Float], rng: np.random.Generator
) -> Moments:
    """The notes of a take that sound; `weights` tell pitches in long and in short windows."""
    line = line_of_take(take)
    lowest = int(line.pitches.min()) - 3
    evidence = pitch_evidence(heard.whitened, lowest, int(line.pitches.max()) + 3, weights[0])
    streams, around = OnsetStreams(heard, evidence, lowest, weights[1]), situations(line)
    rows = []
    for note, pitch, before in zip(take.notes, line.pitches, around.before, strict=True):
        guess = (note.onset_s + rng.normal(0, GUESS_S)) / FRAME_S
        frames = round(guess) + np.arange(-HALF_WINDOW, HALF_WINDOW + 1)
        prior = -0.5 * ((frames - guess) * FRAME_S / GUESS_S) ** 2
        rows.append((onset_inputs(streams.of(int(pitch), int(before)), frames), prior, frames))
    inputs, prior, frames = (np.stack(column) for column in zip(*rows, strict=True))
    sounds = np.array([note.sounds for note in take.notes])
    true = np.array([note.onset_s for note in take.notes]) / FRAME_S
    return Moments(
        inputs[sounds].astype(np.float16),
        prior[sounds].astype(np.float32),
        frames[sounds],
        true[sounds],
        around.kind[sounds],
    )


class OnsetTraining:
    """The loss of an onset network and its slope, over standardised inputs."""

    def __init__(self, moments: Moments, units: int) -> None:
        notes, self.window, self.size = moments.inputs.shape
        self.notes, self.units, self.prior = notes, units, moments.prior
        inputs = moments.inputs.reshape(-1, self.size).astype(np.float32)
        self.mean, self.scale = inputs.mean(axis=0), inputs.std(axis=0) + 1e-6
        inputs -= self.mean
        inputs /= self.scale
        kind = np.repeat(moments.kind, self.window)
        order = np.argsort(kind, kind="stable")
        self.inputs, self.kind, self.back = inputs[order], kind[order], np.argsort(order, kind="stable")
        self.order = order
        self.parts = [slice(*np.searchsorted(self.kind, [k, k + 1])) for k in range(SITUATIONS)]
        target = np.exp(-0.5 * ((moments.frames - moments.true[:, None]) * FRAME_S / TARGET_S) ** 2) + 1e-12
        self.target = (target / target.sum(axis=1, keepdims=True)).astype(np.float32)

    def start(self, rng: np.random.Generator) -> Double:
        """Small random weights to begin with."""
        hidden = rng.normal(0, 1 / np.sqrt(self.size), self.size * self.units)
        rest = np.zeros(SITUATIONS * (self.units + self.size))
        return np.concatenate([hidden, rng.normal(0, 0.1, self.units), rest])

    def parted(self, flat: Double) -> OnsetNetwork:
        """A network over standardised inputs."""
        sizes = np.cumsum([self.size * self.units, self.units, SITUATIONS * self.units])
        hidden, out, bias, direct = (part.astype(np.float32) for part in np.split(flat, sizes))
        shape = (SITUATIONS, -1)
        return OnsetNetwork(hidden.reshape(self.size, -1), bias.reshape(shape), out, direct.reshape(shape))

    def loss(self, flat: Double) -> tuple[float, Double]:
        """Cross entropy against the targets with a ridge, and its slope."""
        network = self.parted(flat)
        hidden = np.tanh(self.inputs @ network.hidden + network.bias[self.kind])
        logits = hidden @ network.out
        for part, direct in zip(self.parts, network.direct, strict=True):
            logits[part] += self.inputs[part] @ direct
        logits = logits[self.back].reshape(self.notes, -1) + self.prior
        logits -= logits.max(axis=1, keepdims=True)
        log_chance = logits - np.log(np.exp(logits).sum(axis=1, keepdims=True))
        value = -(self.target * log_chance).sum() / self.notes + ONSET_RIDGE * (flat**2).sum()
        off = ((np.exp(log_chance) - self.target) / self.notes).ravel()[self.order]
        at_hidden = off[:, None] * network.out * (1 - hidden**2)
        slope = np.concatenate(
            [
                (self.inputs.T @ at_hidden).ravel(),
                hidden.T @ off,
                *(at_hidden[part].sum(axis=0) for part in self.parts),
                *(self.inputs[part].T @ off[part] for part in self.parts),
            ]
        )
        return float(value), (slope + 2 * ONSET_RIDGE * flat).astype(float)

    def unscaled(self, flat: Double) -> OnsetNetwork:
        """The network over inputs as they come; a constant in a logit changes nothing and is left out."""
        network = self.parted(flat)
        hidden = network.hidden / self.scale[:, None]
        bias = network.bias - self.mean @ hidden
        return OnsetNetwork(hidden, bias, network.out, network.direct / self.scale)


def train_onset(moments: Moments, rng: np.random.Generator) -> OnsetNetwork:
    """The network that tells an onset."""
    training = OnsetTraining(moments, UNITS)
    found = minimize(
        training.loss, training.start(rng), jac=True, method="L-BFGS-B", options={"maxiter": 120}
    )
    return training.unscaled(found.x)


def onset_errors_ms(moments: Moments, network: OnsetNetwork) -> Double:
    """Errors (notes,) of the mean under the network's posterior."""
    errors = []
    for inputs, prior, frames, true, kind in zip(
        moments.inputs, moments.prior, moments.frames, moments.true, moments.kind, strict=True
    ):
        logits = onset_logits(inputs.astype(np.float32), int(kind), network) + prior
        chance = np.exp(logits - logits.max())
        errors.append(1000 * FRAME_S * ((chance * frames).sum() / chance.sum() - true))
    return np.array(errors)


def pitch_accuracy(examples: Sequence[tuple[Float, Float]], weights: Float) -> float:
    """The share of frames whose likeliest pitch is the right one."""
    return float(np.mean([((x @ weights).argmax(axis=1) == y).mean() for x, y in examples]))


def train(takes: int, seed: int, recorded: Sequence[RecordedNotes]) -> dict[str, object]:
    """Make the takes, train, measure: what `weights.json` holds, but for `made_by`."""
    rng = np.random.default_rng(seed)
    made = []
    for take in performed_takes(takes, seed, recorded):
        made.append((take, features(take.samples, best_tuning(take.samples))))
        print(f"{len(made)}/{takes} {take.description}", flush=True)
    training = [number for number in range(takes) if number % KEPT_OUT_EVERY]
    kept = list(range(0, takes, KEPT_OUT_EVERY))
    weights, accuracy = [], []
    for spectrum in (
        lambda heard: heard.whitened,
        lambda heard: np.concatenate([*short_whitened(heard.attack)]),
    ):
        spectra = [pitch_examples(spectrum(heard), take, rng) for take, heard in made]
        weights.append(train_pitch([spectra[number] for number in training]))
        accuracy.append(pitch_accuracy([spectra[number] for number in kept], weights[-1]))
    moments = [moments_of(heard, take, (weights[0], weights[1]), rng) for take, heard in made]
    network = train_onset(Moments.of([moments[number] for number in training]), rng)
    left = Moments.of([moments[number] for number in kept])
    errors = onset_errors_ms(left, network)
    return {
        "trained_on": f"{len(training)} takes from tests/tools/performed_takes.py, {len(kept)} kept out",
        "kept_out_pitch_accuracy": [round(share, 3) for share in accuracy],
        "kept_out_onset_error_ms": [
            round(float(np.sqrt((errors[left.kind == kind] ** 2).mean())), 1) for kind in range(SITUATIONS)
        ],
        "kept_out_onsets_within_50_ms": round(float((np.abs(errors) <= 50).mean()), 4),
        "pitch": _rounded(weights[0]),
        "short_pitch": _rounded(weights[1]),
        "hidden": _rounded(network.hidden),
        "bias": _rounded(network.bias),
        "out": _rounded(network.out),
        "direct": _rounded(network.direct),
    }


def _rounded(weights: Float) -> object:
    return np.round(weights.astype(float), 4).tolist()


def main() -> None:
    """Train and write the weights."""
    parser = argparse.ArgumentParser(description="Train the aligner's weights on performed takes.")
    parser.add_argument("--takes", type=int, default=200)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--notes", type=Path, nargs="*", default=[], help="folders of recorded notes")
    parser.add_argument("--out", type=Path, default=OUT)
    arguments = parser.parse_args()
    recorded = [RecordedNotes.of(folder) for folder in arguments.notes]
    by = f"python -m tests.tools.train_alignment --takes {arguments.takes} --seed {arguments.seed}"
    if recorded:
        by += " --notes " + " ".join(notes.name for notes in recorded)
    data = {"made_by": by, **train(arguments.takes, arguments.seed, recorded)}
    rows = ",\n".join(f" {json.dumps(key)}: {json.dumps(value)}" for key, value in data.items())
    arguments.out.write_text("{\n" + rows + "\n}\n", encoding="utf-8")
    print({key: value for key, value in data.items() if key.startswith(("made", "trained", "kept"))})


if __name__ == "__main__":
    main()
