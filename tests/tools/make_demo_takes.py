"""Render the demo's takes: `python tests/tools/make_demo_takes.py` makes media/*.ogg and their true times.

Needs the dev extras, the `fluidsynth` program and the two General MIDI soundfonts named in media/LICENCES.md.
The true note and bar times go to tests/data. Everything is seeded;
another version of fluidsynth may sound a little different.
"""

from __future__ import annotations

import argparse
import csv
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path
from random import Random

import numpy as np
import soundfile
from demo_band import Sequence, accompany, count_in, solo
from demo_performance import Feel, Performance, Played, perform
from etude_text import read_etude
from numpy.typing import NDArray
from scipy.signal import fftconvolve

REPOSITORY = Path(__file__).parents[2]
RATE_HZ = 44100
FONTS = {
    "fluid": Path("/usr/share/sounds/sf2/FluidR3_GM.sf2"),
    "general": Path("/usr/share/sounds/sf3/MuseScore_General_Lite.sf3"),
}
Audio = NDArray[np.float64]
SOLO_RMS = 0.1
FLOOR_DB = -56.0
ROOM_S, ROOM_WET, ROOM_DELAY_S = 0.4, 0.28, 0.007
PEAK = 0.84
TAIL_S = 2.2
SEED = 20


@dataclass(frozen=True)
class Recipe:
    """How one take is made; `band_db` is the band's level against the soloist, None without a band."""

    etude: str
    program: int
    solo_font: str
    band_font: str
    band_db: float | None
    cents: float
    feel: Feel


TWO_BARS_OF_FOUR = (-8, -6, -4, -3, -2, -1)
ONE_BAR_OF_SEVEN = (-7, -6, -5, -4, -3, -2, -1)
RECIPES = (
    # alto saxophone; sticks count "one, two, one two three four", the pickup comes in over the count
    Recipe("gaslight-errand", 65, "general", "fluid", -3.0, 6.0, Feel(True, False, TWO_BARS_OF_FOUR, 0.6)),
    # trumpet alone; one bar of seven is counted
    Recipe("the-tin-heron", 56, "fluid", "general", None, -5.0, Feel(False, True, ONE_BAR_OF_SEVEN, 0.5)),
)


def render(sequence: Sequence, font: Path, duration_s: float, folder: Path) -> Audio:
    """Play a sequence with fluidsynth, dry, mixed down to mono."""
    midi, wav = folder / "take.mid", folder / "take.wav"
    sequence.save(midi)
    options = ["-ni", "-q", "-R", "0", "-C", "0", "-g", "0.5", "-r", str(RATE_HZ), "-F", str(wav)]
    subprocess.run(["fluidsynth", *options, str(font), str(midi)], check=True, capture_output=True)
    stereo, _ = soundfile.read(wav, always_2d=True)
    mono = np.zeros(round(duration_s * RATE_HZ))
    length = min(len(mono), len(stereo))
    mono[:length] = stereo[:length].mean(axis=1)
    return mono


def level(audio: Audio) -> float:
    """The RMS of the 50 ms frames that sound."""
    size = RATE_HZ // 20
    frames = np.sqrt(np.mean(audio[: len(audio) // size * size].reshape(-1, size) ** 2, axis=1))
    return float(np.sqrt(np.mean(frames[frames > 0.05 * frames.max()] ** 2)))


def pink_noise(generator: np.random.Generator, length: int) -> Audio:
    """Noise whose power falls with frequency, RMS 1."""
    spectrum = np.fft.rfft(generator.standard_normal(length))
    noise = np.fft.irfft(spectrum / np.sqrt(np.maximum(np.arange(len(spectrum)), 1)), length)
    return np.asarray(noise / noise.std())


def small_room(generator: np.random.Generator, audio: Audio) -> Audio:
    """The audio with the decay of a small room added."""
    times = np.arange(round(ROOM_S * 1.2 * RATE_HZ)) / RATE_HZ
    decay = generator.standard_normal(len(times)) * 10 ** (-3 * times / ROOM_S)
    decay[times < ROOM_DELAY_S] = 0
    wet = fftconvolve(audio, decay / np.sqrt(np.sum(decay**2)))[: len(audio)]
    return np.asarray(audio + ROOM_WET * wet)


def sound(recipe: Recipe, performance: Performance, beats: int, rng: Random) -> tuple[Audio, set[int]]:
    """The take as audio, and which notes are slurred to."""
    duration_s = performance.grid(performance.end_beat) + TAIL_S
    generator = np.random.default_rng(rng.getrandbits(32))
    line, slurred = solo(performance, recipe.program, recipe.cents, rng)
    with tempfile.TemporaryDirectory() as folder:
        audio = render(line, FONTS[recipe.solo_font], duration_s, Path(folder))
        audio *= SOLO_RMS / level(audio)
        band = Sequence() if recipe.band_db is None else accompany(performance, beats, rng)
        count_in(band, performance, rng)
        audio += _levelled(render(band, FONTS[recipe.band_font], duration_s, Path(folder)), recipe.band_db)
    audio = small_room(generator, audio)
    audio += pink_noise(generator, len(audio)) * SOLO_RMS * 10 ** (FLOOR_DB / 20)
    return audio * PEAK / np.abs(audio).max(), slurred


def _levelled(audio: Audio, band_db: float | None) -> Audio:
    return audio * (SOLO_RMS / level(audio)) * 10 ** ((band_db if band_db is not None else -6.0) / 20)


def write_truth(path: Path, performance: Performance, slurred: set[int]) -> None:
    """The true times: a row a played note, and beside it a row a played bar."""
    path.parent.mkdir(parents=True, exist_ok=True)
    notes = [
        [
            n.index,
            n.bar,
            float(n.beat),
            n.time_round,
            n.midi,
            f"{n.onset_s:.4f}",
            _attack(n, place in slurred),
        ]
        for place, n in enumerate(performance.notes)
    ]
    _write(path, ["index", "bar", "beat", "pass", "midi", "onset_s", "attack"], notes)
    bars = [[bar.bar, bar.time_round, f"{bar.time_s:.4f}"] for bar in performance.bars]
    _write(path.with_name(path.name.replace(".truth.csv", ".bars.csv")), ["bar", "pass", "time_s"], bars)


def write_audio(path: Path, audio: Audio) -> None:
    """Write in seconds: libsndfile's Vorbis writer overflows its stack when given a minute at once."""
    with soundfile.SoundFile(path, "w", RATE_HZ, 1) as file:
        for start in range(0, len(audio), RATE_HZ):
            file.write(audio[start : start + RATE_HZ])


def _attack(note: Played, slurred: bool) -> str:
    return ("ghosted, " if note.ghosted else "") + ("slurred" if slurred else "tongued")


def _write(path: Path, head: list[str], rows: list[list[object]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerows([head, *rows])


def make(recipe: Recipe, media: Path, data: Path) -> None:
    """Make one take and its truth."""
    rng = Random(f"{SEED} {recipe.etude}")
    etude = read_etude(recipe.etude)
    performance = perform(etude, recipe.feel, rng)
    audio, slurred = sound(recipe, performance, etude.metre[0], rng)
    write_truth(data / f"{recipe.etude}.truth.csv", performance, slurred)
    write_audio(media / f"{recipe.etude}.ogg", audio)
    print(f"{recipe.etude}: {len(audio) / RATE_HZ:.1f} s, swing {performance.ratio:.2f}")


def main() -> None:
    """Make every take."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--media", type=Path, default=REPOSITORY / "media", help="folder for the takes")
    parser.add_argument(
        "--data", type=Path, default=REPOSITORY / "tests" / "data", help="where the truth goes"
    )
    arguments = parser.parse_args()
    for recipe in RECIPES:
        make(recipe, arguments.media, arguments.data)


if __name__ == "__main__":
    main()
