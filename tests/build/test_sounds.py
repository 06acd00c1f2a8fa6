"""The sound of a film as tasks: what they are known by, and what travels with them."""

import pickle

import numpy as np
import pytest
import soundfile

from lessonmaker.build.sounds import Programme
from lessonmaker.build.takes import Loudness, TakeFile, TakeSound, lufs_bytes
from lessonmaker.files import file_digest
from lessonmaker.sound.carried import CarriedFile
from lessonmaker.sound.model import Audio
from lessonmaker.timeline.model import TICKS_PER_SECOND, AudioClip
from lessonmaker.timeline.performance import TAKE

RATE = 48_000
VOICE = Audio(np.sin(np.arange(RATE // 2) / 30).astype(np.float32), 24_000)


@pytest.fixture
def take(tmp_path):
    path = tmp_path / "take.wav"
    noise = np.random.default_rng(1).normal(0, 0.1, 2 * RATE).astype(np.float32)
    soundfile.write(path, noise, RATE, subtype="FLOAT")
    return TakeFile(path, file_digest(path))


def programme(take, start_s=2.0, cut_s=(0.5, 1.5), voice=VOICE):
    clips = (
        AudioClip(int(start_s * TICKS_PER_SECOND), TAKE, "take", *cut_s),
        AudioClip(int((start_s + 3) * TICKS_PER_SECOND), "voice", "narration", 0.0, 1.0),
    )
    return Programme(clips, {"voice": voice}, take, 10 * RATE)


def weighed(take, lufs=-20.0):
    return TakeFile(take.path, take.digest, Loudness(lufs))


def test_the_keys_of_a_weighed_take_are_found_without_reading_it(take, monkeypatch):
    monkeypatch.setattr("lessonmaker.sound.read.read_audio", lambda *_, **__: pytest.fail("read"))
    assert len({task.key for task in programme(weighed(take)).measuring}) == 2


def test_a_stretch_is_known_again_where_it_is_heard_at_another_time(take):
    step_s = 1024 / RATE
    assert programme(weighed(take)).keys == programme(weighed(take), 2.0 + 30 * step_s).keys


def test_a_stretch_is_another_where_anything_heard_in_it_differs(take):
    first = programme(weighed(take)).keys
    other_take = TakeFile(take.path, "0" * 64, Loudness(-20.0))
    quieter = Audio(VOICE.samples * np.float32(0.5), VOICE.rate)
    for changed, index in (
        (programme(other_take), 0),
        (programme(weighed(take, -21.0)), 0),
        (programme(weighed(take), cut_s=(0.5, 1.4)), 0),
        (programme(weighed(take), cut_s=(0.4, 1.5)), 0),
        (programme(weighed(take), voice=quieter), 1),
    ):
        assert [one != other for one, other in zip(first, changed.keys, strict=True)] == [
            index == 0,
            index == 1,
        ]


def test_what_is_sent_of_a_take_is_the_samples_of_the_piece(take):
    whole, _ = soundfile.read(take.path, dtype="float32")
    piece = TakeSound(take).part(1000, 3000).part(500, 5000)
    sent = pickle.loads(pickle.dumps(piece))
    assert isinstance(sent, Audio)
    assert sent.rate == RATE
    assert np.array_equal(sent.samples, whole[1500:3000])
    assert np.array_equal(piece.samples, sent.samples)


def test_a_task_makes_the_same_here_and_where_it_was_sent(take):
    for task in programme(weighed(take)).measuring:
        assert pickle.loads(pickle.dumps(task.work))() == task.work()


def test_a_worker_finds_the_loudness_that_is_found_here(take):
    task = take.weighing
    made = pickle.loads(pickle.dumps(task.work))()
    assert float(made) == take.lufs


def test_a_silent_take_has_no_loudness(tmp_path):
    path = tmp_path / "silent.wav"
    soundfile.write(path, np.zeros(RATE, np.float32), RATE)
    assert lufs_bytes(CarriedFile(path)) == b"null"
