"""The aligner measured by mir_eval's alignment metrics (mir_eval 0.8, module `alignment`).

The takes: plain tones, and a saxophone with and without a band, performed loosely with a SoundFont.
"""

from __future__ import annotations

import shutil
import warnings
from collections.abc import Sequence

import mir_eval
import numpy as np
import pytest

from lessonmaker.sound.align import fit_take
from lessonmaker.theory.metre import Metre
from tests.tools.fit_figures import errors_s
from tests.tools.scored_takes import make_case
from tests.tools.take_sound import FONTS
from tests.tools.tone_takes import play, random_score


def measured(true_s: Sequence[float], found_s: Sequence[float], seconds: float) -> dict[str, float]:
    """Every metric of true times and those found for them."""
    order = np.argsort(true_s)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        return dict(
            mir_eval.alignment.evaluate(
                np.asarray(true_s)[order], np.asarray(found_s)[order], duration=seconds
            )
        )


def test_onsets_satisfy_mir_evals_alignment_metrics() -> None:
    score = random_score(11, [Metre(4, 4)] * 16)
    audio, notes, _ = play(score, swing_share=0.6)
    found = {(note.note, note.visit): note.time_s for note in fit_take(score, audio).notes}
    metrics = measured(list(notes.values()), [found[key] for key in notes], audio.seconds)
    assert metrics["pc"] > 0.99
    assert metrics["mae"] < 0.02
    assert metrics["pcs"] > 0.95
    assert metrics["perceptual"] > 0.95


@pytest.mark.skipif(
    shutil.which("fluidsynth") is None or shutil.which("espeak-ng") is None or not FONTS[1].exists(),
    reason="needs the fluidsynth and espeak-ng programs and Debian's timgm6mb-soundfont",
)
@pytest.mark.parametrize(
    ("kind", "seed", "hard"),
    [
        ("solo", 21, False),
        ("band, equal level", 22, False),
        ("band louder", 23, True),
        ("reverb and noise", 24, True),
    ],
)
def test_performed_takes_satisfy_them_too(kind: str, seed: int, hard: bool) -> None:
    case = make_case(kind, seed, hard, "alto", fonts=FONTS[1:2], bars=24)
    fit = fit_take(case.score, case.audio)
    index = {note.id: number for number, note in enumerate(case.score.struck)}
    true = [(note.index, note.time_s) for note in case.notes]
    times = np.array([time_s for _, time_s in true])
    found = times + errors_s(true, [(index[note.note], note.time_s) for note in fit.notes])
    metrics = measured(times, found, case.audio.seconds)
    assert fit.accepted
    assert metrics["pc"] >= 0.97  # the share within 0.3 s
    assert metrics["mae"] < 0.03
    assert metrics["pcs"] > 0.85
    assert metrics["perceptual"] > 0.95
    bars = [(bar.bar, bar.time_s) for bar in case.bars]
    bar_times = np.array([time_s for _, time_s in bars])
    found_bars = bar_times + errors_s(bars, [(bar.bar, bar.time_s) for bar in fit.bars])
    assert mir_eval.alignment.percentage_correct(bar_times, found_bars, window=0.05) >= 0.95
