"""The demo's takes fitted to their scores, against their true note times; mir_eval's alignment metrics."""

import csv
from pathlib import Path

import mir_eval
import numpy as np
import pytest

from lessonmaker.score.read import read_score
from lessonmaker.sound.align.fit import fit_take
from lessonmaker.sound.read import read_audio

BOOK = Path(__file__).parents[2]


@pytest.fixture(scope="module", params=["gaslight-errand", "the-tin-heron"])
def times(request):
    """(true, found) onsets in seconds of the notes that were played, in the order of playing."""
    score = read_score(BOOK / "media" / f"{request.param}.musicxml")
    fit = fit_take(score, read_audio(BOOK / "media" / f"{request.param}.ogg"))
    index = {note.id: number for number, note in enumerate(score.struck)}
    found = {(index[note.note], note.visit): note.time_s for note in fit.notes}
    with (BOOK / "tests" / "data" / f"{request.param}.truth.csv").open() as file:
        truth = [(int(row["index"]), int(row["pass"]), float(row["onset_s"])) for row in csv.DictReader(file)]
    assert fit.accepted
    assert {(number, visit) for number, visit, _ in truth} == set(found)
    return np.array(
        [(time, found[number, visit]) for number, visit, time in sorted(truth, key=lambda t: t[2])]
    )


def test_nearly_every_onset_is_found_to_a_twentieth_of_a_second(times):
    error = np.abs(times[:, 1] - times[:, 0])
    assert np.mean(error <= 0.050) >= 0.97
    assert np.median(error) < 0.020
    assert np.mean(error <= 0.040) >= 0.95


def test_mir_eval_agrees(times):
    # mir_eval.alignment (Raffel et al. 2014): shares of onsets within a window.
    assert mir_eval.alignment.percentage_correct(times[:, 0], times[:, 1], window=0.05) >= 0.97
