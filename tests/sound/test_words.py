"""Word times against speech whose boundaries are known."""

import shutil
import subprocess
from itertools import pairwise

import numpy as np
import pytest
import soundfile

from lessonmaker.sound.aligner import aligner_name, aligner_samples, without_pauses
from lessonmaker.sound.breaths import VoiceSettings
from lessonmaker.sound.model import Audio
from lessonmaker.sound.narration import narrate
from lessonmaker.sound.voice import speak, speak_sentences
from lessonmaker.sound.words import time_words

WORDS = [
    "In",
    "bar",
    "three",
    "the",
    "bass",
    "leans",
    "on",
    "the",
    "flat",
    "thirteen,",
    "then",
    "the",
    "sharp",
    "nine.",
    "It",
    "falls",
    "to",
    "A♭7",
    "by",
    "step.",
]
LINES = (
    "The line climbs in thirds until it meets the seventh.",
    "Listen to the way the phrase breathes before the bridge.",
    "Here the flat nine resolves a half step to the fifth.",
)


def joined(parts, rate, gap_s):
    """Recordings one after another, and the seconds at which each starts."""
    gap = np.zeros(round(gap_s * rate), np.float32)
    starts, pieces, at = [], [], 0
    for part in parts:
        starts.append(at / rate)
        pieces += [part, gap]
        at += len(part) + len(gap)
    return Audio(np.concatenate(pieces), rate), starts


def test_every_written_word_has_a_time_in_order():
    narration = narrate(WORDS)
    times = narration.words
    assert narration.draft
    assert [time.word for time in times] == WORDS
    assert not any(time.guessed for time in times)
    assert all(first.end_s <= second.start_s + 1e-9 for first, second in pairwise(times))
    assert all(time.start_s < time.end_s for time in times)
    assert times[-1].end_s <= narration.audio.seconds + 0.011


def test_what_was_timed_before_changes_no_word():
    """Workers time sentences in any order; a film is the same to the byte whoever times them."""
    lines = [
        *LINES,
        "Go down a third, and the flat thirteen leans on the fifth of it all.",
        "Play all of it in daylight, slowly.",
        "The flat nine of G seven falls by step to the fifth.",
    ]
    told = [(line.split(), speak(line)) for line in lines]
    in_turn = [time_words(audio, words) for words, audio in told]
    for begin in range(1, len(told)):
        backwards = [*reversed(told[:begin]), *reversed(told[begin:])]
        times = {tuple(words): time_words(audio, words) for words, audio in backwards}
        assert [times[tuple(words)] for words, _ in told] == in_turn


def test_the_first_words_of_joined_sentences_start_where_they_were_put():
    spoken = [speak(line, seed=seed) for seed, line in enumerate(LINES)]
    audio, starts = joined([part.samples for part in spoken], spoken[0].rate, 0.6)
    times = time_words(audio, " ".join(LINES).split())
    firsts = np.cumsum([0, *(len(line.split()) for line in LINES[:-1])])
    errors = [times[index].start_s - start for index, start in zip(firsts, starts, strict=True)]
    assert np.abs(errors).max() < 0.08


def test_single_words_are_found_within_a_twentieth_of_a_second():
    """Words spoken one by one and set at known places: edges of the words themselves."""
    words = ["seven", "thirds", "climb", "bridges", "above", "dominant", "tension", "resolving"]
    spoken = [speak(word) for word in words]
    audio, starts = joined([part.samples for part in spoken], spoken[0].rate, 0.3)
    times = time_words(audio, words)
    errors = np.array([time.start_s for time in times]) - (np.array(starts) + 0.03)
    assert np.median(np.abs(errors)) < 0.05
    assert np.abs(errors).max() < 0.12


@pytest.mark.skipif(not shutil.which("espeak-ng"), reason="espeak-ng is not installed")
def test_another_voice_agrees_with_its_own_words(tmp_path):
    """A second synthesiser (espeak-ng) speaks each word by itself: where it starts is known."""
    words = ["The", "line", "climbs", "in", "thirds", "over", "dominant", "seven", "chords"]
    parts = []
    for index, word in enumerate(words):
        path = tmp_path / f"{index}.wav"
        subprocess.run(
            ["espeak-ng", "-v", "en-us", "-s", "140", "-w", str(path), word], check=True, timeout=20
        )
        samples, rate = soundfile.read(path, dtype="float32")
        active = np.flatnonzero(np.abs(samples) > 0.01 * np.abs(samples).max())
        parts.append(samples[active[0] : active[-1]])
    audio, starts = joined(parts, rate, 0.15)
    times = time_words(audio, words)
    errors = np.abs(np.array([time.start_s for time in times]) - starts)
    assert not any(time.guessed for time in times)
    assert np.median(errors) < 0.05
    assert errors.max() < 0.15


def test_a_long_reading_is_aligned_throughout():
    words = (" ".join(LINES) + " ").split() * 8
    draft = speak_sentences(words, VoiceSettings())
    known = {part.first: part.start_s for part in draft.sentences}
    times = time_words(draft.audio, words)
    errors = [abs(times[first].start_s - start) for first, start in known.items()]
    assert draft.audio.seconds > 60
    assert np.max(errors) < 0.1


@pytest.mark.parametrize("word", ["日本", "—", "☃", "x" * 200, "'''", "123456789012345678901234567890"])
def test_no_word_makes_it_fail(word):
    words = ["The", "line", word, "climbs."]
    times = time_words(speak("The line climbs."), words)
    assert [time.word for time in times] == words
    assert all(first.start_s <= second.start_s for first, second in pairwise(times))


def test_a_word_without_sounds_is_guessed_between_its_neighbours():
    times = time_words(speak("The line climbs."), ["The", "line", "日本", "climbs."])
    assert [time.guessed for time in times] == [False, False, True, False]
    assert times[1].end_s <= times[2].start_s <= times[2].end_s <= times[3].start_s


@pytest.mark.parametrize("samples", [np.zeros(0, np.float32), np.zeros(16000, np.float32)])
def test_silence_gives_guessed_times(samples):
    times = time_words(Audio(samples, 16000), ["two", "words"])
    assert len(times) == 2
    assert times[-1].end_s <= len(samples) / 16000 + 0.011


def test_no_words_no_times():
    assert time_words(speak("Hello there."), []) == ()


def test_the_authors_recording_is_used_where_there_is_one(tmp_path):
    path = tmp_path / "cue.wav"
    voice = speak(LINES[0], seed=9)
    soundfile.write(path, voice.samples, voice.rate)
    narration = narrate(LINES[0].split(), path)
    assert not narration.draft
    assert narration.audio.seconds == pytest.approx(voice.seconds, abs=0.001)
    assert not any(time.guessed for time in narration.words)


def test_every_reading_of_a_word_is_listened_for_but_the_authors_own_is_the_only_one():
    assert aligner_name("line") == "line"
    assert aligner_name("Lied") == "lied=L_AY_D/L_IY_D"
    assert aligner_name("lied", {"lied": "leet"}) == "lied=L_IY_T"
    assert aligner_name("日本") is None


def test_a_long_stop_inside_a_word_is_not_taken_for_a_pause_but_silence_at_its_start_is():
    """Noise for a word, silence in or before it: where the silence is decides where the word begins."""
    sound = np.random.default_rng(1).normal(0, 0.2, 4800).astype(np.float32)
    silence = np.zeros(3200, np.float32)
    stopped = aligner_samples(Audio(np.concatenate([sound, silence, sound]), 16000))
    paused = aligner_samples(Audio(np.concatenate([sound[:800], silence, sound]), 16000))
    assert without_pauses([(0.0, 0.8)], stopped) == [(0.0, 0.8)]
    ((start, end),) = without_pauses([(0.0, 0.55)], paused)
    assert start == pytest.approx(0.24)
    assert end == 0.55
