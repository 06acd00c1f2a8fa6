"""A rhythm section over a piece's changes: walking bass, ride cymbal and comping, in time with a clock."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

import numpy as np

from lessonmaker.score.model import Score, Visit
from tests.tools.random_piece import CHORDS, Change
from tests.tools.take_sound import Track

__all__ = ["band_track"]

COMP, BASS, DRUMS = 1, 2, 9
COMP_PROGRAMS, BASS_PROGRAMS = (0, 4, 26), (32, 33)
RIDE, FOOT, SNARE, KICK = 51, 44, 38, 36
BASS_RANGE = (28, 50)
STRAY_S = 0.005

At = Callable[[Fraction], float]


def band_track(
    rng: np.random.Generator, score: Score, order: Sequence[Visit], changes: Sequence[Change], at: At
) -> Track:
    """Every beat of the bars in the order given; `at` takes quarters from the start of what is played."""
    band = _Band(rng, at)
    for visit in order:
        bar = score.bars[visit.bar]
        for beat in range(int(bar.length)):
            printed = bar.start + beat
            change = [one for one in changes if one.start <= printed][-1]
            band.beat(visit.start - order[0].start + beat, beat, change, change.start == printed)
    return band.track


class _Band:
    def __init__(self, rng: np.random.Generator, at: At) -> None:
        self.rng, self.at, self.track, self.low = rng, at, Track(), 38
        self.track.add(0, "program_change", program=int(rng.choice(COMP_PROGRAMS)), channel=COMP)
        self.track.add(0, "program_change", program=int(rng.choice(BASS_PROGRAMS)), channel=BASS)

    def beat(self, place: Fraction, number: int, change: Change, begins: bool) -> None:
        """All that sounds within one beat."""
        half, after = place + Fraction(1, 2), place + 1
        self._bass(place, after, change, begins)
        self._hit(place, RIDE, 70)
        if number % 2:
            self._hit(place, FOOT, 70)
            self._hit(half, RIDE, 58)
        if self.rng.random() < 0.13:
            self._hit(
                half if self.rng.random() < 0.6 else place, int(self.rng.choice([SNARE, SNARE, KICK])), 55
            )
        if self.rng.random() < 0.42:
            start = place if self.rng.random() < 0.45 else half
            self._comp(start, start + Fraction(int(self.rng.choice([2, 3, 5, 9])), 5), change)

    def _stray(self) -> float:
        return float(self.rng.normal(0, STRAY_S))

    def _bass(self, place: Fraction, after: Fraction, change: Change, begins: bool) -> None:
        tones = CHORDS[change.chord].tones
        over = 0 if begins else int(self.rng.choice([*tones[1:], *tones[1:], -1, 1, 2]))
        wanted = [pitch for pitch in range(*BASS_RANGE) if (pitch - change.root - over) % 12 == 0]
        self.low = min(
            wanted, key=lambda pitch: abs(pitch - self.low) + 4 * (pitch == self.low) + self.rng.random()
        )
        start_s, end_s = self.at(place), self.at(after)
        self.track.note(
            start_s + self._stray(),
            start_s + 0.92 * (end_s - start_s),
            self.low,
            self.rng.normal(88, 5),
            BASS,
        )

    def _hit(self, place: Fraction, drum: int, velocity: float) -> None:
        start_s = self.at(place) + self._stray()
        self.track.note(start_s, start_s + 0.1, drum, self.rng.normal(velocity, 7), DRUMS)

    def _comp(self, start: Fraction, end: Fraction, change: Change) -> None:
        start_s, end_s, loud = self.at(start), self.at(end), self.rng.normal(66, 7)
        for tone in CHORDS[change.chord].tones[1:]:
            pitch = 48 + (change.root + tone) % 12
            self.track.note(start_s + 0.6 * self._stray(), end_s, pitch, loud, COMP)
        if self.rng.random() < 0.5:
            self.track.note(start_s, end_s, 60 + (change.root + 2) % 12, loud, COMP)
