"""The aligner's cases say the truth: pieces are read as they were written, takes sound where it is said."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from tests.tools.fit_figures import errors_s, lit_share
from tests.tools.piece_xml import piece_xml
from tests.tools.player import PLAIN, Habits, Sounded
from tests.tools.random_piece import STYLES, Piece, Repeat, changes_of_a_form, line_over
from tests.tools.recorded_notes import RecordedNotes
from tests.tools.scored_takes import score_of, visits_of, with_repeats
from tests.tools.take_sound import RATE

BARS = 24
REPEATS = (Repeat(2, 5), Repeat(8, 12, 2))


def piece(seed: int, beats: int) -> Piece:
    rng = np.random.default_rng(seed)
    key, changes = changes_of_a_form(rng, BARS, beats)
    line = line_over(rng, changes, BARS * beats, STYLES[seed % len(STYLES)], 50, key)
    return Piece(beats, BARS, key, 120, changes, line, REPEATS)


@pytest.mark.parametrize(
    ("seed", "beats", "written"), [(0, 4, 0), (1, 3, 2), (2, 5, 14), (3, 7, 9), (4, 4, -3), (5, 4, 3)]
)
def test_a_piece_is_read_as_it_was_written(seed: int, beats: int, written: int) -> None:
    made = piece(seed, beats)
    score = score_of(piece_xml(made, written))
    read = [(note.onset, note.held, note.sounding.midi, note.in_tuplet) for note in score.struck]
    assert read == [(note.start, note.length, note.pitch, note.triplet) for note in made.notes]
    assert len(score.changes) == len(made.changes)
    assert [change.onset for change in score.changes] == [change.start for change in made.changes]
    assert score.transposition.semitones == written
    assert not score.remarks


def test_printed_repeats_are_those_of_the_piece() -> None:
    made = piece(0, 4)
    order = [visit.bar for visit in score_of(piece_xml(made)).order]
    assert order == with_repeats(made, [True, True])
    assert with_repeats(made, [False, False]) == [*range(11), *range(13, BARS)]


def test_a_reading_that_is_not_told_sounds_as_it_is_written() -> None:
    made = piece(0, 4)
    score = score_of(piece_xml(made, 14, told=False))
    assert [note.sounding.midi - 14 for note in score.struck] == [note.pitch for note in made.notes]


def test_bars_count_their_visits() -> None:
    visits = visits_of(score_of(piece_xml(piece(0, 3))), [4, 5, 4, 5, 6])
    assert [(visit.bar, visit.number) for visit in visits] == [(4, 1), (5, 1), (4, 2), (5, 2), (6, 1)]
    assert [visit.start - visits[0].start for visit in visits] == [0, 3, 6, 9, 12]


def test_times_are_matched_one_to_one() -> None:
    true = [(7, 1.0), (7, 5.0), (8, 2.0), (9, 3.0)]
    np.testing.assert_allclose(
        errors_s(true, [(7, 4.9), (7, 1.2), (8, 2.0), (3, 0.0)]), [0.2, -0.1, 0.0, np.inf]
    )
    assert np.isinf(errors_s(true[:2], [(7, 4.9)])[0])


def test_the_lit_share_is_of_the_time_from_the_first_bar_to_the_end() -> None:
    true = [(0, 1.0), (1, 2.0), (2, 3.0)]
    assert lit_share(true, true, 5.0) == 1
    assert lit_share(true, [(0, 1.0), (1, 2.5), (2, 3.0)], 5.0) == pytest.approx(0.875, abs=0.01)
    assert lit_share(true, [], 5.0) == 0


@pytest.fixture
def recordings(tmp_path: Path) -> RecordedNotes:
    """Two notes that start 40 ms into their files."""
    for name, frequency in (("A4", 440.0), ("Cs5", 554.37)):
        time_s = np.arange(44100) / 44100
        tone = np.sin(2 * np.pi * frequency * time_s) * (time_s > 0.04)
        soundfile.write(tmp_path / f"{name}.wav", 0.5 * tone, 44100)
    return RecordedNotes.of(tmp_path)


def test_recorded_notes_begin_at_their_onsets_in_tune(recordings: RecordedNotes) -> None:
    habits = Habits(**{**PLAIN.__dict__, "slurred": 0.0})
    notes = [Sounded(0, 0, 1, 70, 1.0, 1.4, 88), Sounded(1, 0, 1, 72, 2.0, 2.4, 88)]
    sound = recordings.play(np.random.default_rng(1), notes, 0, habits)
    for note in notes:
        start = int(note.onset_s * RATE)
        before, after = (np.abs(sound[start + by : start + by + 200]).max() for by in (-450, 250))
        assert before < 0.2 * after
        spectrum = np.abs(np.fft.rfft(sound[start + 1000 : start + 8000] * np.hanning(7000), 1 << 17))
        heard = np.argmax(spectrum) * RATE / (1 << 17)
        assert 12 * np.log2(heard / 440) + 69 == pytest.approx(note.pitch, abs=0.3)


def test_a_folder_without_recordings_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError, match=r"holds no recordings named like As3\.wav"):
        RecordedNotes.of(tmp_path)


def test_a_pitch_far_from_every_recording_is_an_error(recordings: RecordedNotes) -> None:
    with pytest.raises(ValueError, match="no recording within 3 semitones of pitch 50"):
        recordings.play(np.random.default_rng(1), [Sounded(0, 0, 1, 50, 0.5, 1.0, 88)], 0, PLAIN)
