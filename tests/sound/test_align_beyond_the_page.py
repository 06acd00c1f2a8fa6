"""Takes that need more than the page: pinned places, passages at another pitch, a band with a beat of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lessonmaker.score.model import Note, Score
from lessonmaker.sound.align import fit_take
from lessonmaker.sound.model import Anchor, Audio, Fit
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Pitch
from tests.tools.tone_takes import ALTERATIONS, LETTERS, in_order, play, random_score

FOUR = Metre(4, 4)
BAND_EARLY_S = 0.03


@pytest.fixture(scope="module")
def score() -> Score:
    return random_score(5, [FOUR] * 16)


def errors_s(fit: Fit, notes: dict[tuple[str, int], float]) -> dict[str, float]:
    found = {(note.note, note.visit): note.time_s for note in fit.notes}
    return {name: found.get((name, visit), np.inf) - time_s for (name, visit), time_s in notes.items()}


def printed_elsewhere(score: Score, bars: Sequence[int], semitones: int) -> Score:
    """The score with some bars printed that much lower: played as before, they sound higher than printed."""

    def moved(note: Note) -> Note:
        midi = note.sounding.midi - semitones
        pitch = Pitch(LETTERS[midi % 12], ALTERATIONS[midi % 12], midi // 12 - 1)
        return replace(note, sounding=pitch, written=pitch) if note.bar in bars else note

    return replace(score, notes=tuple(moved(note) for note in score.notes))


def test_a_pinned_bar_starts_when_the_author_says(score: Score) -> None:
    audio, _, bars = play(score)
    pin = Anchor(6, 1, Fraction(0), bars[6, 1] + 0.12)
    free, pinned = fit_take(score, audio), fit_take(score, audio, [pin])
    starts = {bar.bar: bar.time_s for bar in pinned.bars}
    assert starts[6] == pytest.approx(pin.time_s, abs=0.003)
    assert {bar.bar: bar.time_s for bar in free.bars}[6] == pytest.approx(bars[6, 1], abs=0.03)
    assert all(abs(starts[bar] - bars[bar, 1]) < 0.03 for bar in (0, 1, 2, 11, 15))


def test_pins_say_which_of_two_equal_passages_was_played(score: Score) -> None:
    """Bars 1-4 printed twice over, played once: only the author knows whether as bars 1-4 or as bars 5-8."""
    twice = in_order(score, [(bar, 1) for bar in (0, 1, 2, 3, 8, 9, 10, 11)])
    copies = tuple(
        replace(note, id=f"{note.id}again", bar=note.bar + 4, onset=note.onset + 16)
        for note in score.notes
        if note.bar < 4
    )
    rest = tuple(note for note in score.notes if note.bar not in range(4, 8))
    doubled = replace(score, notes=tuple(sorted((*rest, *copies), key=lambda note: note.onset)))
    audio, _, bars = play(twice)
    fit = fit_take(doubled, audio, [Anchor(4, 1, Fraction(0), bars[0, 1])])
    assert [bar.bar for bar in fit.bars] == [4, 5, 6, 7, 8, 9, 10, 11]
    assert fit.bars[0].time_s == pytest.approx(bars[0, 1], abs=0.03)


@pytest.mark.parametrize("bars", [range(4, 9), (2, 5, 9, 12)], ids=["a passage", "single bars"])
def test_bars_at_another_pitch_are_followed_and_named(score: Score, bars: Sequence[int]) -> None:
    audio, notes, _ = play(score)
    fit = fit_take(printed_elsewhere(score, bars, 2), audio)
    assert fit.accepted
    assert max(map(abs, errors_s(fit, notes).values())) < 0.05
    named = {
        bar
        for run in fit.details["off_page"]
        if run["semitones"] == 2
        for bar in range(int(run["from"][0]), int(run["to"][0]) + 1)
    }
    assert named == {bar + 1 for bar in bars}


def test_bars_of_something_else_do_not_shift_the_others(score: Score) -> None:
    audio, notes, _ = play(score)
    other = random_score(77, [FOUR] * 16)
    foreign = [note for note in other.notes if note.bar in range(6, 10)]
    kept = [note for note in score.notes if note.bar not in range(6, 10)]
    mixed = replace(
        score,
        notes=tuple(
            sorted(
                [*kept, *(replace(note, id=f"x{note.id}") for note in foreign)], key=lambda note: note.onset
            )
        ),
    )
    fit = fit_take(mixed, audio)
    errors = errors_s(fit, {key: time_s for key, time_s in notes.items() if key[0] in {n.id for n in kept}})
    assert fit.accepted
    assert np.mean([abs(error) < 0.05 for error in errors.values()]) > 0.95
    assert {int(number) for number, _ in fit.details["unsure"]} <= {7, 8, 9, 10}
    assert len(fit.details["unsure"]) >= 3


def with_cymbal(audio: Audio, beats_s: Sequence[float]) -> Audio:
    """Bursts of noise with a sharp attack: no pitch, most of it above 5 kHz."""
    rng, sound = np.random.default_rng(4), audio.samples.copy()
    time_s = np.arange(int(0.08 * audio.rate)) / audio.rate
    for start_s in beats_s:
        begin = int(start_s * audio.rate)
        burst = np.diff(rng.standard_normal(len(time_s) + 1)) * np.exp(-time_s * 60) * 0.05
        sound[begin : begin + len(burst)] += burst.astype(np.float32)
    return Audio(sound, audio.rate)


def test_bars_start_with_the_band_where_one_plays(score: Score) -> None:
    audio, notes, bars = play(score)
    starts = [bars[bar, 1] for bar in range(16)]
    beats = np.interp(np.arange(61) / 4, np.arange(16), starts) - BAND_EARLY_S
    alone, together = fit_take(score, audio), fit_take(score, with_cymbal(audio, beats.tolist()))
    assert not alone.details["with_band"]
    assert together.details["with_band"]
    moved = np.array([bar.time_s for bar in together.bars]) - [bar.time_s for bar in alone.bars]
    assert np.median(moved[:15]) == pytest.approx(-BAND_EARLY_S, abs=0.006)
    assert np.abs(moved[:15] + BAND_EARLY_S).max() < 0.02
    assert np.mean([abs(error) < 0.05 for error in errors_s(together, notes).values()]) > 0.98
