"""A line played with recorded single notes of a real instrument: a folder of files named by pitch (As3.wav).

The nearest recording is resampled to the pitch, its attack kept where a note is tongued and left out where it
is slurred to; a small room follows. A note's onset is where its recording comes up to a tenth of its first
third of a second's peak, or the middle of the cross-fade.

Such folders are npm's packages tonejs-instrument-saxophone-wav, -trumpet-wav, -flute-wav and -violin-wav
(the packages say MIT; the project that makes them says the code is MIT, the samples are CC BY 3.0).
Nothing of them is kept here.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
import soundfile
import soxr

from tests.tools.player import Habits, Sounded, slurs
from tests.tools.take_sound import RATE, Samples, decaying_noise, with_tail

__all__ = ["RecordedNotes"]

NAME = re.compile(r"^([A-G])(s?)(-?\d)$")
SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
FARTHEST_SEMITONES = 3
ATTACK_SHARE, ATTACK_WITHIN_S = 0.1, 0.35
SLUR_SKIPS_S, CROSS_FADE_S = 0.09, 0.03
RELEASE_S = 0.04
STRAY_CENTS = 6.0
ROOM_S, ROOM_LATE_S, ROOM_WET = 0.35, 0.005, 0.25


@dataclass(frozen=True)
class RecordedNotes:
    """The recordings of one instrument: MIDI pitch to file."""

    name: str
    files: dict[int, Path]

    @classmethod
    def of(cls, folder: Path) -> RecordedNotes:
        """The folder's recordings.

        Raises:
            FileNotFoundError: no file in it is named by a pitch.
        """
        files = {}
        for path in sorted(folder.glob("*.wav")):
            if match := NAME.match(path.stem):
                letter, sharp, octave = match.groups()
                files[12 * (int(octave) + 1) + SEMITONES[letter] + len(sharp)] = path
        if not files:
            raise FileNotFoundError(f"{folder} holds no recordings named like As3.wav")
        return cls(folder.parent.name if folder.name == "package" else folder.name, files)

    @property
    def lowest(self) -> int:
        """The lowest pitch to ask for."""
        return min(self.files) + 1

    def play(
        self, rng: np.random.Generator, notes: Sequence[Sounded], cents: float, habits: Habits
    ) -> Samples:
        """The notes as mono samples at `RATE`."""
        sound = np.zeros(int((notes[-1].end_s + 1) * RATE))
        runs = slurs(rng, notes, habits)
        for run in runs:
            for number, note in enumerate(run):
                last = number == len(run) - 1
                off_by = cents + float(rng.normal(0, STRAY_CENTS))
                part, onset = self._note(note, off_by, slurred=number > 0, goes_on=not last)
                start = int(note.onset_s * RATE) - onset
                part, start = part[max(0, -start) :], max(0, start)
                end = min(start + len(part), len(sound))
                gain = float(np.clip(note.velocity / 88, 0.2, 1.3)) ** 1.5 * rng.uniform(0.85, 1.15)
                sound[start:end] += gain * part[: end - start]
        return with_tail(sound, decaying_noise(rng, ROOM_S), ROOM_LATE_S, ROOM_WET)

    def _note(self, note: Sounded, cents: float, slurred: bool, goes_on: bool) -> tuple[Samples, int]:
        """A note's samples, and how many of them are before its onset."""
        nearest = min(self.files, key=lambda pitch: abs(pitch - note.pitch))
        if abs(nearest - note.pitch) > FARTHEST_SEMITONES:
            raise ValueError(f"no recording within {FARTHEST_SEMITONES} semitones of pitch {note.pitch}")
        recording, rate, attack = _recording(self.files[nearest])
        ratio = 2 ** ((note.pitch - nearest + cents / 100) / 12)
        fade = int(CROSS_FADE_S * RATE)
        begin = attack + int(SLUR_SKIPS_S * rate) if slurred else 0
        tail_s = CROSS_FADE_S / 2 if goes_on else RELEASE_S
        seconds = note.end_s - note.onset_s + tail_s + (CROSS_FADE_S / 2 if slurred else attack / rate)
        cut = recording[begin : begin + int(seconds * ratio * rate) + 1]
        part = np.asarray(soxr.resample(cut, rate * ratio, RATE), float)[: int(seconds * RATE)]
        before = fade // 2 if slurred else int(attack / rate / ratio * RATE)
        if slurred:
            part[:fade] *= np.linspace(0, 1, fade)[: len(part)]
        end = min(fade if goes_on else int(RELEASE_S * RATE), len(part))
        part[len(part) - end :] *= np.linspace(1, 0, end)
        return part, before


@lru_cache(maxsize=64)
def _recording(path: Path) -> tuple[Samples, int, int]:
    """Mono samples at one level, their rate, and where the attack is."""
    sound, rate = soundfile.read(path, always_2d=True)
    mono = sound.mean(axis=1)
    size = rate // 200
    shape = np.sqrt(np.convolve(mono[: int(ATTACK_WITHIN_S * rate)] ** 2, np.ones(size) / size, "same"))
    attack = int(np.flatnonzero(shape > ATTACK_SHARE * shape.max())[0])
    return mono / np.sqrt(np.mean(mono[attack : attack + rate // 2] ** 2)), rate, attack
