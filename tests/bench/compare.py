"""The same cases given to general-purpose libraries: Sync Toolbox, and librosa's dynamic time warping.

Sync Toolbox (Müller et al. 2021, JOSS 6(64), 3434) as its own examples use it: quantised chroma and onset
features (DLNCO) at 50 Hz, the chroma turned by the best shift, multi-resolution warping. librosa (McFee et
al. 2015): constant-Q chroma of the take and of the score played on a piano, subsequence warping. Both
take the printed order at the printed tempo. Needs the extra `compare`.
"""

from __future__ import annotations

import contextlib
import importlib.util
import io
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from tests.tools.fit_figures import errors_s, share_within
from tests.tools.scored_takes import Case
from tests.tools.take_sound import RATE, Track, render

__all__ = ["LIBRARIES", "installed", "share_of"]

Array = npt.NDArray[np.float64]
WITHIN_S = 0.05
FEATURE_RATE_HZ = 50
HOP = 512
PIANO_FONT = Path("/usr/share/sounds/sf2/TimGM6mb.sf2")


@dataclass(frozen=True)
class Printed:
    """The score as printed: of each note its index in Score.struck, start, end (seconds) and pitch."""

    index: list[int]
    start_s: Array
    end_s: Array
    pitch: npt.NDArray[np.intp]


def printed(case: Case) -> Printed:
    """The notes of a case's score in printed order at the printed tempo."""
    score = case.score
    quarter_s = 60 / (score.tempo or 120)
    rows = [
        (index, visit.start - score.order[0].start + note.onset - score.bars[visit.bar].start, note)
        for visit in score.order
        for index, note in enumerate(score.struck)
        if note.bar == visit.bar
    ]
    start_s = np.array([float(place) * quarter_s for _, place, _ in rows])
    held_s = np.array([float(note.held) * quarter_s for _, _, note in rows])
    pitch = np.array([note.sounding.midi for _, _, note in rows])
    return Printed([index for index, _, _ in rows], start_s, start_s + held_s, pitch)


def by_sync_toolbox(case: Case, notes: Printed) -> Array:
    """The take's time for each printed note."""
    import pandas as pd
    from synctoolbox.dtw.mrmsdtw import sync_via_mrmsdtw
    from synctoolbox.dtw.utils import (
        compute_optimal_chroma_shift,
        make_path_strictly_monotonic,
        shift_chroma_vectors,
    )
    from synctoolbox.feature import csv_tools, pitch, pitch_onset
    from synctoolbox.feature.chroma import pitch_to_chroma, quantize_chroma, quantized_chroma_to_CENS
    from synctoolbox.feature.dlnco import pitch_onset_features_to_DLNCO as dlnco
    from synctoolbox.feature.utils import estimate_tuning

    sound = case.audio.samples.astype(float)
    frame = pd.DataFrame(
        {
            "start": notes.start_s,
            "duration": notes.end_s - notes.start_s,
            "pitch": notes.pitch,
            "velocity": 0.8,
            "instrument": "piano",
        }
    )
    tuning = estimate_tuning(sound, RATE)
    heard = quantize_chroma(
        pitch_to_chroma(pitch.audio_to_pitch_features(sound, RATE, FEATURE_RATE_HZ, tuning_offset=tuning))
    )
    written = quantize_chroma(pitch_to_chroma(csv_tools.df_to_pitch_features(frame, FEATURE_RATE_HZ)))
    onsets_heard = dlnco(
        pitch_onset.audio_to_pitch_onset_features(sound, RATE, tuning_offset=tuning), heard.shape[1]
    )
    onsets_written = dlnco(csv_tools.df_to_pitch_onset_features(frame), written.shape[1])
    coarse = [quantized_chroma_to_CENS(some, 201, 50, FEATURE_RATE_HZ)[0] for some in (heard, written)]
    shift = compute_optimal_chroma_shift(*coarse)
    path = make_path_strictly_monotonic(
        sync_via_mrmsdtw(
            heard,
            shift_chroma_vectors(written, shift),
            onsets_heard,
            shift_chroma_vectors(onsets_written, shift),
            input_feature_rate=FEATURE_RATE_HZ,
        )
    )
    return np.interp(notes.start_s, path[1] / FEATURE_RATE_HZ, path[0] / FEATURE_RATE_HZ)


def by_librosa(case: Case, notes: Printed) -> Array:
    """The take's time for each printed note."""
    import librosa

    track = Track()
    for start_s, end_s, pitch in zip(notes.start_s, notes.end_s, notes.pitch, strict=True):
        track.note(float(start_s), float(end_s), int(pitch), 90)
    piano = render(track, PIANO_FONT, float(notes.end_s[-1]) + 0.5)
    written, heard = (
        librosa.feature.chroma_cqt(y=np.asarray(sound, np.float32), sr=RATE, hop_length=HOP)
        for sound in (piano, case.audio.samples)
    )
    _, path = librosa.sequence.dtw(written, heard, metric="cosine", subseq=True)
    path = path[::-1] * HOP / RATE
    return np.interp(notes.start_s, path[:, 0], path[:, 1])


LIBRARIES: dict[str, tuple[str, Callable[[Case, Printed], Array]]] = {
    "Sync Toolbox": ("synctoolbox", by_sync_toolbox),
    "librosa": ("librosa", by_librosa),
}


def installed(library: str) -> bool:
    """Whether the library is there to compare with."""
    return importlib.util.find_spec(LIBRARIES[library][0]) is not None


def share_of(library: str, case: Case) -> float:
    """The share of a case's note onsets that the library places within 50 ms."""
    notes = printed(case)
    place: Callable[..., Any] = LIBRARIES[library][1]
    with warnings.catch_warnings(), contextlib.redirect_stdout(io.StringIO()):
        warnings.simplefilter("ignore")
        times = place(case, notes)
    found = list(zip(notes.index, times.tolist(), strict=True))
    return share_within(errors_s([(note.index, note.time_s) for note in case.notes], found), WITHIN_S)
