"""A take against its score, on takes of plain tones whose every onset is known."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.sound.align import fit_take
from lessonmaker.sound.fitfile import fit_json
from lessonmaker.sound.model import Audio, Fit
from lessonmaker.sound.read import read_audio
from lessonmaker.theory.metre import Metre
from tests.tools.tone_takes import add_clicks, in_order, play, random_score

ROOT = Path(__file__).parents[2]
FOUR = Metre(4, 4)
WITHIN_S = 0.05


def within(fit: Fit, notes: dict[tuple[str, int], float], limit_s: float = WITHIN_S) -> float:
    """The share of true onsets that the fit has within the limit."""
    found = {(note.note, note.visit): note.time_s for note in fit.notes}
    return float(np.mean([abs(found.get(key, np.inf) - time_s) < limit_s for key, time_s in notes.items()]))


def bars_within(fit: Fit, bars: dict[tuple[int, int], float]) -> float:
    found = {(bar.bar, bar.visit): bar.time_s for bar in fit.bars}
    return float(np.mean([abs(found.get(key, np.inf) - time_s) < WITHIN_S for key, time_s in bars.items()]))


@pytest.fixture(scope="module")
def sixteen_bars() -> Score:
    return random_score(1, [FOUR] * 16)


@pytest.mark.parametrize("share", [0.5, 0.63])
def test_a_take_falls_into_place_and_its_swing_is_found(sixteen_bars: Score, share: float) -> None:
    audio, notes, bars = play(sixteen_bars, swing_share=share)
    fit = fit_take(sixteen_bars, audio)
    assert fit.accepted
    assert fit.confidence > 0.9
    assert within(fit, notes) == 1
    assert within(fit, notes, 0.02) > 0.9
    assert bars_within(fit, bars) == 1
    assert fit.swing == pytest.approx(share / (1 - share), abs=0.08)
    assert fit.details["jumps"] == []


def test_every_note_and_bar_is_there_once_and_in_order(sixteen_bars: Score) -> None:
    fit = fit_take(sixteen_bars, play(sixteen_bars)[0])
    assert [bar.bar for bar in fit.bars] == list(range(16))
    assert [note.note for note in fit.notes] == [note.id for note in sixteen_bars.struck]
    assert (np.diff([note.time_s for note in fit.notes]) > 0).all()
    assert all(note.end_s > note.time_s for note in fit.notes)
    assert fit.end_s > fit.bars[-1].time_s


def test_a_count_in_and_noise_before_are_passed_over(sixteen_bars: Score) -> None:
    audio, notes, bars = play(sixteen_bars, start_s=6.0)
    clicked = add_clicks(audio, [6.0 - 0.45 * beats for beats in (8, 6, 4, 3, 2, 1)])
    fit = fit_take(sixteen_bars, clicked)
    assert within(fit, notes) == 1
    assert bars_within(fit, bars) == 1


@pytest.mark.parametrize(
    ("semitones", "shift", "cents"), [(3, 3, 0), (-14, -14, 0), (12, 12, 0), (0.4, 0, 40)]
)
def test_another_pitch_is_found_and_reported(
    sixteen_bars: Score, semitones: float, shift: int, cents: int
) -> None:
    audio, notes, _ = play(sixteen_bars, semitones=semitones)
    fit = fit_take(sixteen_bars, audio)
    assert fit.accepted
    assert fit.details["transposed_by"] == shift
    assert fit.details["tuning_cents"] == pytest.approx(cents, abs=5)
    assert within(fit, notes) == 1


FIRST_ENDING = [*((bar, 1) for bar in range(8)), *((bar, 2) for bar in range(7))]
REPEATED = [*FIRST_ENDING, (8, 2), *((bar, 1) for bar in range(9, 16))]


def test_printed_repeats_and_endings_are_followed(sixteen_bars: Score) -> None:
    score = in_order(sixteen_bars, REPEATED)
    audio, notes, bars = play(score)
    fit = fit_take(score, audio)
    assert within(fit, notes) == 1
    assert bars_within(fit, bars) == 1
    assert fit.details["jumps"] == []


def test_a_repeat_may_be_left_out(sixteen_bars: Score) -> None:
    audio, notes, _ = play(in_order(sixteen_bars, [(bar, 1) for bar in range(16) if bar != 7]))
    fit = fit_take(in_order(sixteen_bars, REPEATED), audio)
    assert [bar.bar for bar in fit.bars] == [bar for bar in range(16) if bar != 7]
    assert within(fit, notes) == 1


def test_a_passage_played_twice_is_found(sixteen_bars: Score) -> None:
    again = [
        *((bar, 1) for bar in range(8)),
        *((bar, 2) for bar in range(4, 8)),
        *((bar, 1) for bar in range(8, 16)),
    ]
    audio, notes, bars = play(in_order(sixteen_bars, again))
    fit = fit_take(sixteen_bars, audio)
    assert fit.details["jumps"] == [("8", "5")]
    assert within(fit, notes) == 1
    assert bars_within(fit, bars) == 1


def test_a_take_may_break_off(sixteen_bars: Score) -> None:
    audio, notes, bars = play(sixteen_bars)
    cut_s = bars[11, 1] + 0.05
    fit = fit_take(sixteen_bars, Audio(audio.samples[: int(cut_s * audio.rate)], audio.rate))
    assert fit.accepted
    assert within(fit, {key: time_s for key, time_s in notes.items() if time_s < bars[10, 1]}) == 1


def test_a_pickup_keeps_its_place() -> None:
    score = random_score(2, [FOUR] * 13, pickup=True)
    audio, notes, bars = play(score)
    fit = fit_take(score, audio)
    assert within(fit, notes) == 1
    assert bars_within(fit, bars) == 1
    assert score.bars[fit.bars[0].bar].number == "0"


def test_metres_may_change() -> None:
    metres = [FOUR] * 4 + [Metre(3, 4)] * 4 + [Metre(7, 8, (2, 2, 3))] * 4 + [Metre(6, 8)] * 4
    score = random_score(3, metres)
    audio, notes, bars = play(score)
    fit = fit_take(score, audio)
    assert within(fit, notes) == 1
    assert bars_within(fit, bars) == 1


@pytest.mark.parametrize("quarter_s", [0.3, 0.45, 0.8])
def test_a_score_without_a_tempo_is_followed(sixteen_bars: Score, quarter_s: float) -> None:
    audio, notes, _ = play(sixteen_bars, quarter_s=quarter_s)
    fit = fit_take(replace(sixteen_bars, tempo=None), audio)
    assert within(fit, notes) == 1
    assert fit.details["quarters_a_minute"] == pytest.approx(60 / quarter_s, rel=0.06)


def test_chords_lead_with_their_top_note_and_carry_the_others(sixteen_bars: Score) -> None:
    audio, notes, _ = play(sixteen_bars)
    first = sixteen_bars.notes[0]
    below = replace(first.sounding, octave=first.sounding.octave - 1)
    score = replace(sixteen_bars, notes=(replace(first, id="low", sounding=below), *sixteen_bars.notes))
    fit = fit_take(score, audio)
    assert within(fit, {**notes, ("low", 1): notes[first.id, 1]}) == 1


@pytest.mark.parametrize("seed", [7, 8, 9])
def test_a_take_of_something_else_is_refused(sixteen_bars: Score, seed: int) -> None:
    fit = fit_take(sixteen_bars, play(random_score(seed, [FOUR] * 16))[0])
    assert not fit.accepted
    assert fit.confidence < 0.2


def test_noise_is_refused(sixteen_bars: Score) -> None:
    noise = np.random.default_rng(1).normal(0, 0.1, 20 * 22050).astype(np.float32)
    assert not fit_take(sixteen_bars, Audio(noise, 22050)).accepted


def test_a_take_of_a_second_is_refused_and_not_fatal(sixteen_bars: Score) -> None:
    audio, _, _ = play(sixteen_bars)
    fit = fit_take(sixteen_bars, Audio(audio.samples[:22050], 22050))
    assert not fit.accepted
    assert fit.details["refused"] == "the take is shorter than a bar"


def test_bars_played_otherwise_are_named(sixteen_bars: Score) -> None:
    other = random_score(5, [FOUR] * 16)
    swapped = [note for note in sixteen_bars.notes if note.bar not in (8, 9)]
    swapped += [replace(note, id=f"x{note.id}") for note in other.notes if note.bar in (8, 9)]
    audio, notes, _ = play(replace(sixteen_bars, notes=tuple(sorted(swapped, key=lambda note: note.onset))))
    fit = fit_take(sixteen_bars, audio)
    assert fit.accepted
    assert {bar for bar, _ in fit.details["unsure"]} <= {"9", "10"}
    assert fit.details["unsure"]
    assert within(fit, {key: time_s for key, time_s in notes.items() if not key[0].startswith("x")}) > 0.95


def test_json_speaks_of_printed_bars_and_struck_notes(sixteen_bars: Score) -> None:
    fit = fit_take(sixteen_bars, play(sixteen_bars)[0])
    data = fit_json(sixteen_bars, fit)
    assert data["accepted"] is True
    assert [row["bar"] for row in data["bars"]] == list(range(1, 17))
    assert [row["index"] for row in data["notes"]] == list(range(len(sixteen_bars.struck)))
    assert {row["pass"] for row in data["bars"] + data["notes"]} == {1}
    assert data["bars"][0]["time_s"] == pytest.approx(2.0, abs=WITHIN_S)


@pytest.mark.parametrize("name", ["gaslight-errand", "the-tin-heron"])
def test_the_demo_takes_reach_their_truth(name: str) -> None:
    score = read_score(ROOT / f"media/{name}.musicxml")
    fit = fit_take(score, read_audio(ROOT / f"media/{name}.ogg", 22050))
    rows = list(
        csv.DictReader((ROOT / f"tests/data/{name}.truth.csv").read_text(encoding="utf-8").splitlines())
    )
    struck = score.struck
    truth = {(struck[int(row["index"])].id, int(row["pass"])): float(row["onset_s"]) for row in rows}
    assert len(truth) > 200
    assert within(fit, truth) >= 0.97
    assert within(fit, truth, 0.02) >= 0.95
