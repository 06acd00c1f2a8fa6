"""Trains the two networks that tell where a player left the page, and writes departures.json.

    python -m tests.tools.train_departures --takes 160 --seed 1

Takes of departing_takes.py in all surroundings are fitted to their scores; the clues of every note and of
every candidate for an added note, with what is true of them, train one network each: a multinomial logit over
one hidden layer, by L-BFGS, with a penalty on the squared weights.

Needs what take_sound.py needs.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize

import lessonmaker.sound.align as align
from lessonmaker.sound.align.added import extras
from lessonmaker.sound.align.features import FRAME_S, Features, features, samples_of
from lessonmaker.sound.align.fit import fit_take
from lessonmaker.sound.align.line import Line, follow, line_of
from lessonmaker.sound.align.smooth import Timing
from lessonmaker.sound.align.strays import StrayNetwork, note_clues, wide_evidence
from tests.tools.departing_takes import SURROUNDINGS, DepartingTake, TrueDeparture, departing_take

UNITS = {"notes": 10, "added": 6}
KINDS = {"notes": 3, "added": 2}
PENALTY = 3.0
ROUNDS = 400
SHARE = 0.12
NEAR_S = 0.12
DIGITS = 4

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Rows = tuple[Array, Ints]


def note_rows(
    heard: Features, line: Line, timing: Timing, truth: Sequence[TrueDeparture]
) -> tuple[Rows, Rows]:
    """Clues and true kinds: of the notes, and of the candidates for added notes beside notes as printed."""
    by_index = {one.index: one for one in truth if one.index is not None}
    kinds = [_kind(by_index.get(int(index))) for index in line.struck]
    wide = wide_evidence(heard.whitened, line)
    clues, _ = note_clues(wide, heard.level, line, timing)
    found = extras(wide, heard.level, line, timing)
    added = [one for one in truth if one.index is None]
    are = [
        any(one.heard == pitch and abs(begin * FRAME_S - one.time_s) < NEAR_S for one in added)
        for pitch, begin in zip(found.pitch, found.begin, strict=True)
    ]
    kept = [bool(kinds[note] == 0 or is_added) for note, is_added in zip(found.note, are, strict=True)]
    return (clues, np.array(kinds, np.intp)), (found.clues[kept], np.array(are, np.intp)[kept])


def _kind(one: TrueDeparture | None) -> int:
    return 0 if one is None else 2 if one.kind == "missing" else 1


def trained(clues: Array, kinds: Ints, count: int, units: int) -> StrayNetwork:
    """A network that tells `count` kinds."""
    mean, deviation = clues.mean(axis=0), clues.std(axis=0) + 1e-6
    scaled, wanted = (clues - mean) / deviation, np.eye(count)[kinds]
    shapes = ((clues.shape[1], units), (units,), (units, count), (count,))
    cuts = np.cumsum([int(np.prod(shape)) for shape in shapes])

    def parts(flat: Array) -> list[Array]:
        return [part.reshape(shape) for part, shape in zip(np.split(flat, cuts[:-1]), shapes, strict=True)]

    def loss(flat: Array) -> tuple[float, Array]:
        hidden, bias, out, constant = parts(flat)
        inner = np.tanh(scaled @ hidden + bias)
        logits = inner @ out + constant
        chances = np.exp(logits - logits.max(axis=1, keepdims=True))
        chances /= chances.sum(axis=1, keepdims=True)
        price = PENALTY / 2 * ((hidden**2).sum() + (out**2).sum())
        total = -np.log(np.maximum((chances * wanted).sum(axis=1), 1e-12)).sum() + price
        back = chances - wanted
        through = back @ out.T * (1 - inner**2)
        slopes = (
            scaled.T @ through + PENALTY * hidden,
            through.sum(axis=0),
            inner.T @ back + PENALTY * out,
            back.sum(axis=0),
        )
        return float(total), np.concatenate([slope.ravel() for slope in slopes])

    start = np.random.default_rng(0).normal(0, 0.3, cuts[-1])
    best = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": ROUNDS})
    return StrayNetwork(*(np.asarray(part, np.float32) for part in (mean, deviation, *parts(best.x))))


def save(networks: dict[str, StrayNetwork], made_by: str) -> None:
    """Write departures.json into the package."""
    data: dict[str, object] = {"made_by": made_by}
    for name, network in networks.items():
        data[name] = {
            field.name: np.round(getattr(network, field.name).astype(float), DIGITS).tolist()
            for field in fields(network)
        }
    path = Path(str(align.__file__)).with_name("departures.json")
    path.write_text(json.dumps(data, separators=(",", ":")).replace("]],", "]],\n") + "\n", encoding="utf-8")


def _take_rows(take: DepartingTake) -> tuple[Rows, Rows]:
    """The rows of one take, at the places that the aligner finds."""
    fit = fit_take(take.score, take.audio)
    heard = features(samples_of(take.audio), fit.details["tuning_cents"] / 100)
    places = {bar.bar: number for number, bar in enumerate(fit.bars)}
    line = follow(line_of(take.score), sorted(places)).transposed(fit.details["transposed_by"])
    struck = {note.id: index for index, note in enumerate(take.score.struck)}
    onsets = {struck[note.note]: note.time_s for note in fit.notes}
    beats = np.interp(
        np.arange(line.beats + 1),
        line.bar_beats,
        [*(bar.time_s for bar in fit.bars), fit.end_s],
    )
    times = np.array([onsets[int(index)] for index in line.struck])
    share = fit.swing / (1 + fit.swing)
    return note_rows(heard, line, Timing(times, np.zeros(len(times)), beats, share), take.departures)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--takes", type=int, default=160)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    rows: dict[str, list[Rows]] = {name: [] for name in UNITS}
    around = list(SURROUNDINGS)
    for number in range(asked.takes):
        take = departing_take(
            asked.seed + number, around[number % len(around)], SHARE, hard=number // len(around) % 2 == 1
        )
        for name, more in zip(rows, _take_rows(take), strict=True):
            rows[name].append(more)
    networks = {}
    for name, parts in rows.items():
        clues, kinds = (np.concatenate(column) for column in zip(*parts, strict=True))
        networks[name] = trained(clues, kinds.astype(np.intp), KINDS[name], UNITS[name])
    save(networks, f"tests/tools/train_departures.py, {asked.takes} takes from seed {asked.seed}")


if __name__ == "__main__":
    main()
