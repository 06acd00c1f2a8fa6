"""Public-domain scores performed with a SoundFont that nothing was trained on.

Scores: music21's corpus (Cuthbert and Ariza 2010): chorale melodies of Bach, a violin of Corelli's and one of
Mozart's. Sound: Csound's General MIDI bank (Debian's csound-soundfont), played by FluidSynth.
"""

from __future__ import annotations

import itertools
import shutil
import warnings
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.sound.align import fit_take
from lessonmaker.sound.model import Audio
from tests.tools.fit_figures import errors_s, share_within
from tests.tools.player import PLAIN, Clock, add_graces, play_notes, solo_track
from tests.tools.take_sound import RATE, level, render

FONT = Path("/usr/share/sounds/sf2/sf_GMbank.sf2")
pytestmark = pytest.mark.skipif(
    not FONT.exists() or shutil.which("fluidsynth") is None,
    reason="needs the fluidsynth program and Debian's csound-soundfont",
)
# work, part, bars to play, General MIDI program (from 0), quarters a minute
WORKS = (
    ("bach/bwv66.6", 0, 10, 68, 84),  # oboe
    ("bach/bwv57.8", 0, 13, 73, 92),  # flute
    ("corelli/opus3no1/1grave", 0, 19, 40, 58),  # violin
    ("mozart/k155/movement1", 0, 30, 71, 112),  # clarinet
)
NAMES = [work[0] for work in WORKS]


@dataclass(frozen=True)
class Performed:
    score: Score
    audio: Audio
    notes: list[tuple[int, float]]


def read(work: str, part: int, bars: int, folder: Path) -> Score:
    """The part as music21 writes it and the product reads it."""
    from music21 import corpus

    path = folder / "part.musicxml"
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        corpus.parse(work).parts[part].measures(0, bars).write("musicxml", path)
    return read_score(path)


def perform(score: Score, program: int, tempo: float, seed: int) -> Performed:
    """The printed order, played with habits, a second and a half of silence before it."""
    rng, habits, last = np.random.default_rng(seed), PLAIN, score.order[-1]
    quarters = float(last.start + score.bars[last.bar].length - score.order[0].start)
    clock = Clock(rng, tempo, quarters, 1.5, habits)
    notes = play_notes(
        rng, score, score.order, lambda place, _: clock(float(place)), habits, lambda _, pitch: pitch
    )
    track = solo_track(rng, add_graces(rng, notes, habits), program, 12, habits)
    sound = level(render(track, FONT, clock(quarters) + 2))
    sound += 0.001 * rng.standard_normal(len(sound))
    true = [(note.index, note.onset_s) for note in notes if note.index is not None]
    return Performed(score, Audio(np.asarray(sound, np.float32), RATE), true)


@pytest.fixture(scope="module")
def performed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Performed]:
    folder = tmp_path_factory.mktemp("corpus")
    return {
        work: perform(read(work, part, bars, folder), program, tempo, seed)
        for seed, (work, part, bars, program, tempo) in enumerate(WORKS)
    }


@pytest.mark.parametrize("work", NAMES)
def test_a_public_domain_part_falls_into_place(work: str, performed: dict[str, Performed]) -> None:
    one = performed[work]
    fit = fit_take(one.score, one.audio)
    index = {note.id: number for number, note in enumerate(one.score.struck)}
    errors = errors_s(one.notes, [(index[note.note], note.time_s) for note in fit.notes])
    assert fit.accepted
    assert len(one.notes) > 30
    assert share_within(errors, 0.05) >= 0.97
    assert share_within(errors, 0.02) >= 0.85


@pytest.mark.parametrize(("work", "other"), list(itertools.permutations(NAMES, 2)))
def test_the_take_of_another_work_is_refused(work: str, other: str, performed: dict[str, Performed]) -> None:
    fit = fit_take(performed[work].score, performed[other].audio)
    assert not fit.accepted
