"""The loudness meter against published test signals and an outside meter.

Signals and tolerances: EBU Tech 3341 (2016), table 1, cases 1 to 5 (integrated, +-0.1 LU) and 15 to 19 (true peak,
+0.2/-0.4 dB), generated here from their description, from memory. Outside meter: pyloudnorm.
"""

import numpy as np
import pyloudnorm
import pytest

from lessonmaker.sound.loudness import integrated_lufs, short_term_lufs, true_peak_dbtp
from lessonmaker.sound.model import Audio

RATE = 48_000


def tone(parts):
    """A stereo 1 kHz sine: (dBFS peak, seconds) one after another."""
    levels = np.concatenate([np.full(round(s * RATE), 10 ** (db / 20)) for db, s in parts])
    wave = levels * np.sin(2 * np.pi * 1000 * np.arange(len(levels)) / RATE)
    return Audio(np.stack([wave, wave], axis=1).astype(np.float32), RATE)


CASES = {
    "1": ([(-23, 20)], -23.0),
    "2": ([(-33, 20)], -33.0),
    "3": ([(-36, 10), (-23, 60), (-36, 10)], -23.0),
    "4": ([(-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10)], -23.0),
    "5": ([(-26, 20), (-20, 20.1), (-26, 20)], -23.0),
}


@pytest.mark.parametrize("case", CASES)
def test_integrated_loudness_of_the_test_signals(case):
    parts, expected = CASES[case]
    assert integrated_lufs(tone(parts)) == pytest.approx(expected, abs=0.1)


def test_short_term_loudness_of_a_steady_tone():
    measured = short_term_lufs(tone([(-23, 10)]))
    assert len(measured) == 71
    assert measured == pytest.approx(np.full(71, -23.0), abs=0.1)


@pytest.mark.parametrize(
    ("fraction", "phase", "level", "expected"),
    [(4, 0, 0.5, -6.0), (4, 45, 0.5, -6.0), (6, 60, 0.5, -6.0), (8, 67.5, 0.5, -6.0), (4, 45, 1.41, 3.0)],
)
def test_true_peak_of_the_test_signals(fraction, phase, level, expected):
    wave = level * np.sin(2 * np.pi * np.arange(RATE) / fraction + np.deg2rad(phase))
    wave *= np.clip(np.minimum(np.arange(RATE), np.arange(RATE)[::-1]) / 4800, 0, 1)
    measured = true_peak_dbtp(Audio(np.stack([wave, wave], axis=1).astype(np.float32), RATE))
    assert expected - 0.4 <= measured <= expected + 0.2


def test_the_outside_meter_agrees_on_music_like_noise():
    rng = np.random.default_rng(2)
    noise = rng.normal(0, 0.1, (20 * RATE, 2)) * np.repeat(rng.uniform(0.02, 1, 20), RATE)[:, None]
    outside = pyloudnorm.Meter(RATE).integrated_loudness(noise)
    assert integrated_lufs(Audio(noise.astype(np.float32), RATE)) == pytest.approx(outside, abs=0.1)


def test_a_mono_signal_is_measured_as_it_is_heard():
    stereo = tone([(-23, 5)])
    assert integrated_lufs(Audio(stereo.samples[:, 0], RATE)) == integrated_lufs(stereo)


def test_too_little_or_nothing_has_no_loudness():
    assert integrated_lufs(tone([(-23, 0.3)])) is None
    assert integrated_lufs(Audio(np.zeros((RATE, 2), np.float32), RATE)) is None
