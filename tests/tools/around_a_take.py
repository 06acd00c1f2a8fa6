"""What is heard around the music of a take: clicks or a spoken count, talk before and after, a thump.

Needs the espeak-ng program.
"""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path

import numpy as np
import soundfile

from tests.tools.take_sound import RATE, Samples

__all__ = ["add_after", "add_before"]

COUNT = ("one", "two", "three", "four", "five", "six", "seven")
TALK = (
    "all right, the top of the page, not too fast.",
    "one more time, from the beginning.",
    "hang on, I need a bit of water first. fine, here it comes.",
)
AFTERWARDS = ("well, that will have to do.", "no, I can do that better.")


def add_before(
    rng: np.random.Generator, sound: Samples, before: str, lead_s: float, count: int, beat_s: float
) -> None:
    """Add clicks, a spoken count or talk before the music, which starts `count` beats after `lead_s`."""
    for beat in range(count):
        part = _click() if before == "clicks" else _said(COUNT[beat], 300, 0.08)
        _lay(sound, part, lead_s + beat * beat_s)
    if before == "talk":
        words = _said(str(rng.choice(TALK)), 190, 0.06)
        _lay(sound, words[: int((lead_s - 0.4) * RATE)], 0.2)


def add_after(rng: np.random.Generator, sound: Samples, end_s: float) -> None:
    """Add nothing, a thump or talk after the music."""
    after = str(rng.choice(["nothing", "thump", "talk"]))
    if after == "thump":
        length = int(0.05 * RATE)
        thump = 0.15 * rng.standard_normal(length) * np.exp(-np.arange(length) / 200)
        _lay(sound, thump, end_s + 0.9)
    if after == "talk":
        _lay(sound, _said(str(rng.choice(AFTERWARDS)), 190, 0.06), end_s + 1.2)


def _lay(sound: Samples, part: Samples, start_s: float) -> None:
    """Add a part to the sound from a time on, as far as the sound goes."""
    start = int(start_s * RATE)
    end = min(start + len(part), len(sound))
    sound[start:end] += part[: max(0, end - start)]


def _click() -> Samples:
    time_s = np.arange(int(0.03 * RATE)) / RATE
    return 0.25 * np.sin(2 * np.pi * 1100 * time_s) * np.exp(-time_s * 160)


def _said(text: str, words_a_minute: int, loud: float) -> Samples:
    """Words of a synthetic voice, without the silence around them."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "said.wav")
        subprocess.run(["espeak-ng", "-s", str(words_a_minute), "-w", path, text], check=True)
        sound, rate = soundfile.read(path)
    assert rate == RATE
    loudest = np.flatnonzero(np.abs(sound) > 0.02)
    sound = sound[loudest[0] : loudest[-1]]
    return sound * loud / float(sound.std())
