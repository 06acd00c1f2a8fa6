"""Where the player left the page, on takes of plain tones and of rendered players, whose every note is known."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

from lessonmaker.score.model import Note, Score
from lessonmaker.sound.align.departures import Departures, OffPage, bar_sureness, departures_of
from lessonmaker.sound.align.features import Features, features, samples_of
from lessonmaker.sound.align.fit import fit_take
from lessonmaker.sound.align.line import Line, follow, line_of
from lessonmaker.sound.align.pitch import pitch_evidence
from lessonmaker.sound.align.smooth import Timing
from lessonmaker.sound.align.weights import trained_weights
from lessonmaker.sound.model import Audio
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Pitch
from tests.tools.departing_takes import departing_take
from tests.tools.take_sound import FONTS
from tests.tools.tone_takes import ALTERATIONS, LETTERS, play, random_score

FOUR = Metre(4, 4)
NEAR_S = 0.12
EVIDENCE_MARGIN = 2


@dataclass(frozen=True)
class Placed:
    """A score's line, its place in a take, and the take's features."""

    heard: Features
    line: Line
    timing: Timing

    def departures(self) -> Departures:
        return departures_of(self.heard, self.line, self.timing)

    def sureness(self) -> np.ndarray:
        lowest = int(self.line.pitches.min()) - EVIDENCE_MARGIN
        highest = int(self.line.pitches.max()) + EVIDENCE_MARGIN
        evidence = pitch_evidence(self.heard.whitened, lowest, highest, trained_weights().pitch)
        return bar_sureness(evidence, lowest, self.line, self.timing)


def placed(score: Score, audio: Audio) -> Placed:
    """The score's line where the aligner finds it."""
    fit = fit_take(score, audio)
    heard = features(samples_of(audio), fit.details["tuning_cents"] / 100)
    line = follow(line_of(score), range(len(fit.bars))).transposed(fit.details["transposed_by"])
    struck = {note.id: index for index, note in enumerate(score.struck)}
    onsets = {struck[note.note]: note.time_s for note in fit.notes}
    times = np.array([onsets[int(index)] for index in line.struck])
    beats = np.interp(
        np.arange(line.beats + 1), line.bar_beats, [*(bar.time_s for bar in fit.bars), fit.end_s]
    )
    return Placed(heard, line, Timing(times, np.zeros(len(times)), beats, fit.swing / (1 + fit.swing)))


def changed(score: Score, change: Callable[[int, Note], Note | None]) -> Score:
    """The score with its notes changed, or left out where the change is None."""
    notes = (change(number, note) for number, note in enumerate(score.notes))
    return replace(score, notes=tuple(note for note in notes if note is not None))


def moved(note: Note, semitones: int) -> Note:
    midi = note.sounding.midi + semitones
    pitch = Pitch(LETTERS[midi % 12], ALTERATIONS[midi % 12], midi // 12 - 1)
    return replace(note, written=pitch, sounding=pitch)


def said(found: Departures) -> list[tuple[str, int | None, int | None]]:
    return [(one.kind, one.note, one.heard) for one in found.single]


@pytest.fixture(scope="module")
def page() -> Score:
    return random_score(1, [FOUR] * 16)


@pytest.mark.parametrize(("semitones", "share"), [(0.0, 0.5), (0.0, 0.63), (-9.3, 0.5)])
def test_a_take_as_printed_has_no_departures(page: Score, semitones: float, share: float) -> None:
    found = placed(page, play(page, semitones=semitones, swing_share=share)[0]).departures()
    assert said(found) == []
    assert found.off_page == ()


def test_wrong_octave_and_missing_notes_are_found_with_what_sounds(page: Score) -> None:
    slips = {10: 2, 22: -2, 35: 12, 50: 5, 64: -12}
    gone = {16, 44, 71}
    played = changed(page, lambda number, note: None if number in gone else moved(note, slips.get(number, 0)))
    there = placed(page, play(played)[0])
    pitches = {number: note.sounding.midi for number, note in enumerate(page.notes)}
    expected = [
        ("octave" if abs(by) == 12 else "wrong", number, pitches[number] + by) for number, by in slips.items()
    ]
    expected += [("missing", number, None) for number in gone]
    assert sorted(said(there.departures()), key=str) == sorted(expected, key=str)


def test_what_sounds_is_told_at_the_takes_own_pitch(page: Score) -> None:
    played = changed(page, lambda number, note: moved(note, 4 if number == 40 else 0))
    found = placed(page, play(played, semitones=3)[0]).departures()
    assert said(found) == [("wrong", 40, page.notes[40].sounding.midi + 4 + 3)]
    assert found.single[0].sure > 0.6


def with_added(score: Score, numbers: Sequence[int]) -> tuple[Score, list[int]]:
    """The score with half of some long notes given to another note a third higher; those notes' pitches."""
    notes, pitches = [], []
    for number, note in enumerate(score.notes):
        if number not in numbers:
            notes.append(note)
            continue
        half = note.duration / 2
        other = moved(note, 3)
        pitches.append(other.sounding.midi)
        notes.append(replace(note, duration=half, held=half))
        notes.append(replace(other, id=f"{note.id}+", onset=note.onset + half, duration=half, held=half))
    return replace(score, notes=tuple(notes)), pitches


def test_a_note_in_a_long_notes_second_half_is_added(page: Score) -> None:
    long = (31, 35, 63)
    assert all(page.notes[number].held >= 1 for number in long)
    played, pitches = with_added(page, long)
    audio, times, _ = play(played)
    found = placed(page, audio).departures()
    assert said(found) == [("added", None, pitch) for pitch in pitches]
    for one, number in zip(found.single, long, strict=True):
        assert one.time_s == pytest.approx(times[f"{page.notes[number].id}+", 1], abs=NEAR_S)
        assert one.bar == page.notes[number].bar


def test_bars_in_another_key_are_named_as_a_whole(page: Score) -> None:
    played = changed(page, lambda _, note: moved(note, 2 if 8 <= note.bar < 12 else 0))
    found = placed(page, play(played)[0]).departures()
    assert found.off_page == (OffPage(8, 11, 2),)
    assert found.bars_off_page == {8, 9, 10, 11}
    assert not [one for one in found.single if one.bar in found.bars_off_page]


def test_bars_of_another_line_are_named_without_an_interval(page: Score) -> None:
    rng = np.random.default_rng(5)
    steps = rng.choice([-6, -5, -4, -3, 3, 4, 5, 6], len(page.notes))
    played = changed(page, lambda number, note: moved(note, int(steps[number]) if 6 <= note.bar < 9 else 0))
    assert placed(page, play(played)[0]).departures().off_page == (OffPage(6, 8, None),)


def test_a_bar_is_as_sure_as_its_notes_are_heard(page: Score) -> None:
    played = changed(page, lambda number, note: moved(note, 5 + number % 3) if note.bar == 8 else note)
    sure = placed(page, play(played)[0]).sureness()
    assert sure.shape == (16,)
    assert sure[8] < 0.3
    assert np.delete(sure, 8).min() > 0.7
    assert sure.max() <= 1


def test_a_bar_of_rest_is_as_sure_as_its_neighbours(page: Score) -> None:
    resting = changed(page, lambda _, note: None if note.bar == 5 else note)
    sure = placed(resting, play(resting)[0]).sureness()
    assert sure[5] == pytest.approx((sure[4] + sure[6]) / 2)


@pytest.mark.parametrize("semitones", [-36, 36])
def test_of_a_line_that_is_nowhere_heard_nothing_is_told(page: Score, semitones: int) -> None:
    there = placed(page, play(page)[0])
    found = replace(there, line=there.line.transposed(semitones)).departures()
    assert found == Departures((), ())


needs_fluidsynth = pytest.mark.skipif(
    not (shutil.which("fluidsynth") and all(Path(font).exists() for font in FONTS[:2])),
    reason="needs fluidsynth and its SoundFonts",
)


@needs_fluidsynth
@pytest.mark.parametrize(
    ("seed", "surroundings", "hard", "precise", "complete"),
    [(901, "alone", False, 0.95, 0.8), (902, "alone", True, 0.9, 0.75), (903, "band", False, 0.85, 0.5)],
)
def test_of_a_rendered_player_most_is_found_and_little_else(
    seed: int, surroundings: str, hard: bool, precise: float, complete: float
) -> None:
    take = departing_take(seed, surroundings, share=0.1, hard=hard, fonts=FONTS[:2])
    there = placed(take.score, take.audio)
    found = there.departures().single
    struck = {int(index): note for note, index in enumerate(there.line.struck)}
    true_notes = {struck[one.index] for one in take.departures if one.index is not None}
    told = {one.note for one in found if one.note is not None}
    false_added = [
        one
        for one in found
        if one.kind == "added"
        and not any(
            truth.index is None and truth.heard == one.heard and abs(truth.time_s - one.time_s) < NEAR_S
            for truth in take.departures
        )
    ]
    assert len(true_notes) >= 5
    assert len(told & true_notes) >= complete * len(true_notes)
    assert len(told - true_notes) + len(false_added) <= (1 - precise) * len(found)
