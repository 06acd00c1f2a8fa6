"""How performed takes sound: MIDI at times in seconds, FluidSynth's rendering, colour, room and noise.

Needs the fluidsynth program, mido, and the SoundFonts named where they are used.
"""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path

import mido
import numpy as np
import numpy.typing as npt
import soundfile
import soxr
from scipy.fft import next_fast_len
from scipy.signal import fftconvolve

from lessonmaker.sound.model import Audio

RATE = 22050
FONTS = (
    Path("/usr/share/sounds/sf2/FluidR3_GM.sf2"),
    Path("/usr/share/sounds/sf2/TimGM6mb.sf2"),
    Path("/usr/share/sounds/sf3/MuseScore_General_Lite.sf3"),
)
BEND_SEMITONES = 12

Samples = npt.NDArray[np.floating]


class Track:
    """MIDI messages at times in seconds, written as one track."""

    def __init__(self) -> None:
        self.events: list[tuple[float, int, mido.Message]] = []

    def add(self, time_s: float, kind: str, **values: int) -> None:
        self.events.append((max(0.0, time_s), len(self.events), mido.Message(kind, **values)))

    def note(self, start_s: float, end_s: float, pitch: int, velocity: float, channel: int = 0) -> None:
        loud = int(np.clip(velocity, 1, 127))
        self.add(start_s, "note_on", note=int(pitch), velocity=loud, channel=channel)
        self.add(end_s, "note_off", note=int(pitch), velocity=0, channel=channel)

    def bend(self, time_s: float, semitones: float) -> None:
        value = int(np.clip(round(semitones / BEND_SEMITONES * 8192), -8192, 8191))
        self.add(time_s, "pitchwheel", pitch=value)

    def save(self, path: Path) -> None:
        track, last = mido.MidiTrack([mido.MetaMessage("set_tempo", tempo=500_000)]), 0
        for time_s, _, message in sorted(self.events, key=lambda event: event[:2]):
            tick = round(time_s * 1920)
            track.append(message.copy(time=tick - last))
            last = tick
        file = mido.MidiFile(ticks_per_beat=960)
        file.tracks.append(track)
        file.save(path)


def render(track: Track, font: Path, seconds: float) -> Samples:
    with tempfile.TemporaryDirectory() as folder:
        midi, wav = Path(folder, "take.mid"), Path(folder, "take.wav")
        track.save(midi)
        command = [
            "fluidsynth",
            "-ni",
            "-q",
            "-R",
            "0",
            "-C",
            "0",
            "-g",
            "0.5",
            "-r",
            str(RATE),
            "-F",
            wav,
            font,
            midi,
        ]
        subprocess.run(command, check=True, capture_output=True)
        sound = soundfile.read(wav)[0].mean(axis=1)
    out = np.zeros(int(seconds * RATE))
    out[: len(sound)] = sound[: len(out)]
    return out


def level(sound: Samples) -> Samples:
    """Scaled to the same level where it sounds."""
    blocks = np.sqrt((sound[: len(sound) // 1102 * 1102].reshape(-1, 1102) ** 2).mean(axis=1))
    sounding = blocks[blocks > 0.05 * blocks.max()]
    return sound * 0.1 / float(np.sqrt((sounding**2).mean()))


def coloured(rng: np.random.Generator, sound: Samples) -> Samples:
    """Through a random equaliser: a smooth curve over octaves, as players, reeds and microphones differ."""
    size = next_fast_len(len(sound), real=True)
    octaves = np.log2(np.maximum(np.fft.rfftfreq(size, 1 / RATE), 30) / 30)
    knots = np.arange(0, 10, 0.7)
    decibels = np.interp(octaves, knots, rng.normal(0, rng.uniform(0, 6), len(knots))) + rng.uniform(
        -3, 1
    ) * (octaves - 4)
    return np.fft.irfft(np.fft.rfft(sound, size) * 10 ** (decibels / 20), size)[: len(sound)]


def decaying_noise(rng: np.random.Generator, decay_s: float) -> Samples:
    """Noise that falls by 60 dB in the time given: how a room answers."""
    time_s = np.arange(int(decay_s * 1.2 * RATE)) / RATE
    return rng.standard_normal(len(time_s)) * 10 ** (-3 * time_s / decay_s)


def with_tail(sound: Samples, answer: Samples, late_s: float, wet: float) -> Samples:
    """The sound and a room's answer to it, which comes late and has this level against the sound."""
    answer = np.where(np.arange(len(answer)) < int(late_s * RATE), 0, answer)
    answer *= wet / np.sqrt((answer**2).sum())
    return sound + fftconvolve(sound, answer)[: len(sound)]


def pink_noise(rng: np.random.Generator, length: int) -> Samples:
    """Noise whose power falls with the frequency from 20 Hz on, RMS 1."""
    size = next_fast_len(length, real=True)
    frequencies = np.maximum(np.fft.rfftfreq(size, 1 / RATE), 20)
    noise = np.fft.irfft(np.fft.rfft(rng.standard_normal(length), size) / np.sqrt(frequencies), size)[:length]
    return noise / noise.std()


def in_room(rng: np.random.Generator, sound: Samples) -> npt.NDArray[np.float32]:
    """A room half the time, then noise, hum and a little saturation."""
    if rng.random() < 0.5:
        decay_s, wet = rng.uniform(0.2, 2.2), rng.uniform(0.15, 0.9)
        tail = decaying_noise(rng, decay_s)
        sound = with_tail(sound, tail, rng.uniform(0.003, 0.015), wet)
    noise = pink_noise(rng, len(sound))
    sound = level(sound)
    sound = sound + noise * 0.1 * 10 ** (-rng.uniform(12, 55) / 20)
    drive = rng.uniform(0.2, 2.0) / np.abs(sound).max()
    return np.asarray(np.tanh(sound * drive) / np.tanh(drive * np.abs(sound).max()) * 0.7, np.float32)


def write_take(path: Path, audio: Audio, rate: int, channels: int) -> None:
    """Write a take at another rate, with so many equal channels."""
    sound = soxr.resample(audio.samples, audio.rate, rate)
    soundfile.write(path, np.repeat(sound[:, None], channels, axis=1), rate)
