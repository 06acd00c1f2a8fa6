"""The programme: levels by an outside meter, peaks by oversampling, joins, exact places, tempo."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pyloudnorm
import pytest
from scipy.signal import resample_poly

from lessonmaker.sound.loudness import gated_lufs, integrated_lufs, short_term_lufs, weighted_power
from lessonmaker.sound.mix import (
    BLOCK_FRAMES,
    FADE_FRAMES,
    MIX_RATE,
    SILENT_BLOCKS,
    Clip,
    Level,
    finished,
    measured,
    mix,
    mix_blocks,
    programme_gain,
    stretches,
    with_loudness,
)
from lessonmaker.sound.model import Audio
from lessonmaker.sound.stretch import stretched
from lessonmaker.sound.voice import speak

TEXT = "The bass leans on the flat thirteen, then the sharp nine and the flat nine, before it comes to rest."


def plucked(seconds, rate=MIX_RATE, level=0.2, seed=3):
    """A made-up line of decaying notes, and their onsets in seconds."""
    rng = np.random.default_rng(seed)
    onsets = np.arange(0.1, seconds - 0.5, 0.25)
    samples = np.zeros(round(seconds * rate), np.float32)
    ramp = np.arange(round(0.4 * rate)) / rate
    for onset in onsets:
        pitch = 220 * 2 ** (rng.integers(0, 20) / 12)
        note = sum(np.sin(2 * np.pi * pitch * k * ramp) / k for k in range(1, 6)) * np.exp(-12 * ramp)
        at = round(onset * rate)
        samples[at : at + len(note)] += (level * np.minimum(ramp / 0.003, 1) * note)[: len(samples) - at]
    return Audio(samples, rate), onsets


@pytest.fixture(scope="module")
def lesson():
    """A soft take and a voice in turn, with their clips."""
    take, _ = plucked(30, level=0.03)
    voice = speak(TEXT)
    clips, at = [], 4801
    for index in range(3):
        clips.append(Clip(at, voice, "narration", 0.0, voice.seconds))
        at += round(voice.seconds * MIX_RATE) + 9603
        clips.append(Clip(at, take, "take", 2.0 + index, 10.0 + index))
        at += 8 * MIX_RATE + 4807
    return mix(clips, at), clips


def heard(programme, clip):
    frames = round((clip.cut_end_s - clip.cut_start_s) / float(clip.stretch) * MIX_RATE)
    return Audio(programme.samples[clip.start : clip.start + frames], MIX_RATE)


def true_peak(samples):
    return 20 * np.log10(np.abs(resample_poly(samples, 4, 1, axis=0)).max())


def test_the_programme_has_its_loudness_by_an_outside_meter(lesson):
    """Target -14 LUFS; EBU R 128 allows 0.5 LU."""
    measured = pyloudnorm.Meter(MIX_RATE).integrated_loudness(lesson[0].samples.astype(float))
    assert measured == pytest.approx(-14, abs=0.2)


def test_the_true_peak_stays_under_the_ceiling(lesson):
    assert true_peak(lesson[0].samples) <= -1.0


def test_another_level_is_kept_too(lesson):
    quiet = mix(lesson[1], len(lesson[0].samples), Level(lufs=-23.0, peak_dbtp=-6.0))
    measured = pyloudnorm.Meter(MIX_RATE).integrated_loudness(quiet.samples.astype(float))
    assert measured == pytest.approx(-23, abs=0.2)
    assert true_peak(quiet.samples) <= -6.0


def test_speech_and_playing_are_within_two_lu(lesson):
    programme, clips = lesson
    levels = {
        kind: [np.median(short_term_lufs(heard(programme, clip))) for clip in clips if clip.kind == kind]
        for kind in ("take", "narration")
    }
    everything = levels["take"] + levels["narration"]
    assert max(everything) - min(everything) < 2.0


def test_the_gain_never_moves_a_joint_abruptly():
    """Two cuts in the middle of a steady tone: no step at a join is larger than the tone's own."""
    tone = np.sin(2 * np.pi * 220 * np.arange(6 * MIX_RATE) / MIX_RATE).astype(np.float32)
    audio = Audio(tone * np.float32(0.3), MIX_RATE)
    clips = [Clip(4800, audio, "take", 1.0, 2.0), Clip(52800, audio, "take", 3.3337, 4.3337)]
    programme = mix(clips, 3 * MIX_RATE).samples[:, 0]
    steps = np.abs(np.diff(programme))
    own = steps[12000:40000].max()
    assert steps.max() < 1.2 * own
    outside = np.concatenate([programme[: 4800 - FADE_FRAMES], programme[100800:]])
    assert not outside.any()


@pytest.mark.parametrize("start", [4800, 4801, 4847, 10 * MIX_RATE - 30, 10 * MIX_RATE + 1])
def test_a_clip_lies_exact_to_the_sample(start):
    rng = np.random.default_rng(1)
    noise = Audio(rng.normal(0, 0.1, 2 * MIX_RATE).astype(np.float32), MIX_RATE)
    programme = mix([Clip(start, noise, "take", 0.5, 1.5)], start + 2 * MIX_RATE).samples[:, 0]
    inside = programme[start : start + 40000]
    source = noise.samples[24000:64000]
    gain = (inside @ source) / (source @ source)
    assert np.abs(inside - gain * source).max() < 1e-5 * np.abs(inside).max()


def test_a_mono_recording_at_another_rate_is_heard_in_both_channels_at_its_length():
    audio = Audio((0.2 * np.sin(np.arange(44100) * 0.06)).astype(np.float32), 44100)
    programme = mix([Clip(0, audio, "take", 0.0, 1.0)], 2 * MIX_RATE).samples
    assert programme.shape == (2 * MIX_RATE, 2)
    assert np.array_equal(programme[:, 0], programme[:, 1])
    assert np.abs(programme[MIX_RATE - 2000 : MIX_RATE - 1500]).max() > 0.05
    assert not programme[MIX_RATE + 1 :].any()


def test_clips_that_sound_together_are_added():
    audio = Audio((0.2 * np.sin(np.arange(MIX_RATE) * 0.05)).astype(np.float32), MIX_RATE)
    alone = mix([Clip(0, audio, "take", 0.0, 1.0)], MIX_RATE, Level(-40.0)).samples
    twice = mix([Clip(0, audio, "take", 0.0, 1.0)] * 2, MIX_RATE, Level(-40.0)).samples
    assert np.abs(alone - twice).max() < 0.01 * np.abs(alone).max()


def test_silence_stays_silence():
    audio = Audio(np.zeros(MIX_RATE, np.float32), MIX_RATE)
    assert not mix([Clip(0, audio, "take", 0.0, 1.0)], MIX_RATE).samples.any()
    assert len(mix([], 100).samples) == 100


def test_blocks_are_the_programme(lesson):
    programme, clips = lesson
    blocks = list(mix_blocks(clips, len(programme.samples)))
    assert np.array_equal(np.concatenate(blocks), programme.samples)


def spaced(clips):
    """The clips with a second's silence between."""
    return [replace(clip, start=clip.start + number * MIX_RATE) for number, clip in enumerate(clips)]


def test_a_programme_is_cut_where_it_is_silent(lesson):
    clips, frames = spaced(lesson[1]), len(lesson[0].samples) + 6 * MIX_RATE
    programme = mix(clips, frames).samples
    parts = stretches(with_loudness(clips), frames)
    assert [len(part.clips) for part in parts] == [1] * 6
    outside = np.ones(frames, bool)
    for part in parts:
        assert part.start % BLOCK_FRAMES == 0
        edge = SILENT_BLOCKS * BLOCK_FRAMES if part.start else 0
        inside = programme[part.start : part.start + part.frames]
        assert not inside[:edge].any() and not inside[len(inside) - edge :].any() and inside.any()
        outside[part.start : part.start + part.frames] = False
    assert not programme[outside].any()


def test_a_stretch_is_the_same_to_the_bit_wherever_it_is_heard(lesson):
    clips, frames = spaced(lesson[1]), len(lesson[0].samples) + 6 * MIX_RATE
    later = 7 * BLOCK_FRAMES
    moved = [replace(clip, start=clip.start + later) for clip in clips[2:]]
    here = stretches(with_loudness(clips), frames)[2:]
    there = stretches(with_loudness(moved), frames + later)
    assert [part.start - later for part in there] == [part.start for part in here]
    for one, other in zip(here, there, strict=True):
        found, again = measured(one), measured(other)
        assert found.gains_db == again.gains_db and np.array_equal(found.power, again.power)
        level = Level()
        assert np.array_equal(finished(one, found, 0.25, level), finished(other, again, 0.25, level))


def test_the_gain_of_a_programme_is_in_quarters_of_a_decibel(lesson):
    programme, clips = lesson
    parts = [measured(part) for part in stretches(with_loudness(clips), len(programme.samples))]
    for lufs in (-14.0, -17.37, -23.0):
        gain_db = programme_gain(parts, Level(lufs))
        assert gain_db * 4 == round(gain_db * 4)
        assert programme_gain([*parts, *parts], Level(lufs)) == gain_db  # twice the same is as loud


def test_the_powers_of_the_parts_give_the_loudness_of_the_whole(lesson):
    """Against FFmpeg's meter on the whole programme; each part with silence about it, as in the programme."""
    programme = lesson[0]
    power = weighted_power(programme.samples)
    assert gated_lufs([power]) == pytest.approx(integrated_lufs(programme), abs=0.05)


@pytest.mark.parametrize(("start", "first", "last"), [(-1, 0.0, 1.0), (0, -1.0, 1.0), (0, 1.0, 0.5)])
def test_a_clip_before_zero_or_backwards_is_refused(start, first, last):
    with pytest.raises(ValueError, match="a clip must lie after zero and run forwards"):
        mix([Clip(start, plucked(2)[0], "take", first, last)], MIX_RATE)


def rises(samples, rate):
    """Where the sound rises most steeply about each moment: a rise of log energy over 10 ms, by milliseconds."""
    step = rate // 1000
    energy = np.log(np.square(samples[: len(samples) // step * step]).reshape(-1, step).mean(axis=1) + 1e-6)
    return np.concatenate([np.zeros(5), energy[10:] - energy[:-10], np.zeros(5)])


@pytest.mark.parametrize("tempo", [Fraction(3, 5), Fraction(4, 5), Fraction(5, 4)])
def test_a_slower_tempo_keeps_every_onset_in_proportion(tempo):
    audio, onsets = plucked(12)
    played = stretched(np.stack([audio.samples] * 2, axis=1), MIX_RATE, tempo)
    assert len(played) == round(len(audio.samples) / tempo)
    found, before = rises(played[:, 0], MIX_RATE), rises(audio.samples, MIX_RATE)
    errors = []
    for onset in onsets:
        true = (
            round(onset * 1000) + np.argmax(before[round(onset * 1000) - 20 : round(onset * 1000) + 20]) - 20
        )
        middle = round(true / float(tempo))
        errors.append(np.argmax(found[middle - 60 : middle + 60]) - 60)
    assert abs(np.median(errors)) <= 10
    assert np.percentile(np.abs(errors), 90) <= 10


def test_a_slower_tempo_keeps_the_pitch():
    tone = np.sin(2 * np.pi * 440 * np.arange(2 * MIX_RATE) / MIX_RATE).astype(np.float32)
    played = stretched(np.stack([tone] * 2, axis=1), MIX_RATE, Fraction(3, 5))[:, 0][MIX_RATE : 2 * MIX_RATE]
    assert np.argmax(np.abs(np.fft.rfft(played * np.hanning(len(played))))) == 440


def test_a_tempo_of_nothing_is_refused():
    with pytest.raises(ValueError, match="a tempo must be positive"):
        stretched(np.zeros((10, 2), np.float32), MIX_RATE, Fraction(0))
