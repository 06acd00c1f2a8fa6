"""The example that puts a lesson into a film of one's own runs as it ships."""

import shutil
import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import av
import numpy as np
import pytest

import lessonmaker

REPOSITORY = Path(__file__).parents[2]
SIZE = (320, 180)
RATE, SOUND_RATE = 10, 48_000


@pytest.fixture(scope="module")
def example(tmp_path_factory):
    """The example, run where `new --demo` would have put it."""
    book = tmp_path_factory.mktemp("composed") / "book"
    for folder in ("scripts", "media", "shared"):
        shutil.copytree(
            REPOSITORY / folder, book / folder, ignore=shutil.ignore_patterns("*.png", "__pycache__")
        )
    keep = sys.dont_write_bytecode
    sys.dont_write_bytecode = True
    spec = spec_from_file_location("compose_film", book / "scripts" / "compose_film.py")
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    sys.dont_write_bytecode = keep
    return module


@pytest.fixture(scope="module")
def film(example):
    return example.compose(size=SIZE)


@pytest.fixture(scope="module")
def lesson(example):
    """The part of the lesson that the film shows."""
    return lessonmaker.clip(example.LESSON, edition="b-flat", part="Call and answer", size=SIZE)


def test_it_is_an_opening_a_part_of_the_lesson_and_a_closing(film, lesson):
    assert film.duration == pytest.approx(3 + lesson.duration + 2)
    assert np.array_equal(film.get_frame(3 + 2), lesson.get_frame(2))
    assert film.get_frame(film.duration - 0.01).mean() < 5
    opening, middle = film.get_frame(0.0), film.get_frame(2.5)
    assert (np.abs(middle.astype(int) - opening).max(axis=2) > 60).mean() > 0.005


def test_its_sound_is_the_opening_s_and_the_lesson_s(film, lesson):
    sound = film.audio.to_soundarray(fps=SOUND_RATE)
    assert np.abs(sound[:SOUND_RATE]).max() > 0.05
    start = 3 * SOUND_RATE
    wanted = lesson.audio.to_soundarray(fps=SOUND_RATE)
    assert np.abs(sound[start : start + len(wanted)] - wanted).max() < 1e-6


def test_it_is_written_with_ordinary_moviepy(film, tmp_path):
    path = tmp_path / "evening.mp4"
    film.subclipped(2, 5).write_videofile(
        str(path), fps=RATE, audio_fps=SOUND_RATE, logger=None, temp_audiofile_path=str(tmp_path)
    )
    with av.open(str(path)) as container:
        frames = [frame.to_ndarray(format="rgb24") for frame in container.decode(video=0)]
    assert len(frames) == 3 * RATE
    for number in (0, 15, 29):
        difference = np.abs(frames[number].astype(int) - film.get_frame(2 + number / RATE)).max(axis=2)
        assert difference.mean() < 12, number


def test_a_lesson_of_the_book_can_show_its_opening(example):
    script = example.LESSON.with_name("with-opening.yaml")
    head = "lesson: A Short One\nscore: ../media/the-tin-heron.musicxml\n"
    script.write_text(f"{head}cues:\n  - scene: compose_film:opening\n  - bars: 1\n")
    clip = lessonmaker.clip(script, part=1, size=SIZE, allow_code=True)
    assert 3 <= clip.duration < 3.6
    assert np.array_equal(clip.get_frame(1.5), example.opening(SIZE).get_frame(1.5))
