"""The aligner measured by mir_eval's alignment metrics (mir_eval 0.8, module `alignment`)."""

from __future__ import annotations

import warnings

import mir_eval
import numpy as np

from lessonmaker.sound.align import fit_take
from lessonmaker.theory.metre import Metre
from tests.tools.tone_takes import play, random_score


def test_onsets_satisfy_mir_evals_alignment_metrics() -> None:
    score = random_score(11, [Metre(4, 4)] * 16)
    audio, notes, _ = play(score, swing_share=0.6)
    found = {(note.note, note.visit): note.time_s for note in fit_take(score, audio).notes}
    true = np.array(sorted(notes.values()))
    estimated = np.array([found[key] for key in sorted(notes, key=notes.__getitem__)])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        measured = mir_eval.alignment.evaluate(true, estimated, duration=audio.seconds)
    assert measured["pc"] > 0.99
    assert measured["mae"] < 0.02
    assert measured["pcs"] > 0.95
    assert measured["perceptual"] > 0.95
