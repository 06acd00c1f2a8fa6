"""A lesson as a MoviePy clip, by the package's own function, held against the film that `build` makes of it."""

import json
import subprocess
import sys
from fractions import Fraction

import av
import numpy as np
import pytest
from moviepy import ColorClip, CompositeVideoClip

import lessonmaker
from lessonmaker.cli import main
from lessonmaker.faults import MaterialError, UsageError
from lessonmaker.timeline.model import TICKS_PER_SECOND
from tests.tools.at_once import in_one_process
from tests.tools.tiny_book import make_book

RATE = 30
SOUND_RATE = 48_000


@pytest.fixture(scope="module")
def filmed(tmp_path_factory):
    """A book, its film's pictures (frames, height, width, 3) and the film's sound (samples, 2)."""
    book = make_book(tmp_path_factory.mktemp("clip") / "book")
    with in_one_process():
        assert main(["build", str(book), "--edition", "e-flat"]) == 0
    pictures, sound = [], []
    with av.open(str(book / "out" / "e-flat" / "four-bars.mp4")) as container:
        for frame in container.decode(video=0, audio=0):
            if isinstance(frame, av.VideoFrame):
                pictures.append(frame.to_ndarray(format="rgb24"))
            else:
                sound.append(frame.to_ndarray().T)
    return book, np.array(pictures), np.concatenate(sound)


@pytest.fixture(scope="module")
def clip(filmed):
    book, _, _ = filmed
    return lessonmaker.clip(book / "scripts" / "four-bars.yaml", edition="e-flat")


def test_what_a_build_has_spoken_is_not_spoken_again(filmed, monkeypatch):
    book, _, _ = filmed

    def speaks(*_):
        raise AssertionError("spoken again")

    with monkeypatch.context() as patch:
        patch.setattr("lessonmaker.sound.narration.narrate", speaks)
        said = lessonmaker.clip(book / "scripts" / "four-bars.yaml", edition="e-flat").audio
    assert np.abs(said.to_soundarray(fps=SOUND_RATE)).max() > 0.01


def timeline_of(book):
    return json.loads((book / "out" / "e-flat" / "four-bars.timeline.json").read_text())


def apart(one, other):
    """How far two pictures are from each other: the mean and the share of pixels that are clearly different."""
    difference = np.abs(one.astype(int) - other.astype(int)).max(axis=2)
    return difference.mean(), (difference > 64).mean()


def test_a_clip_is_exactly_as_long_as_the_lesson(filmed, clip):
    book, pictures, _ = filmed
    ticks = timeline_of(book)["duration"]
    assert Fraction(clip.duration) == Fraction(float(Fraction(ticks, TICKS_PER_SECOND)))
    assert round(clip.audio.duration * SOUND_RATE) == Fraction(ticks, TICKS_PER_SECOND) * SOUND_RATE
    assert 0 <= len(pictures) - clip.duration * RATE < 1
    assert clip.fps == RATE


def test_frames_are_those_of_the_film(filmed, clip):
    _, pictures, _ = filmed
    for number in range(0, len(pictures), 7):
        mean, different = apart(clip.get_frame(number / RATE), pictures[number])
        assert mean < 3 and different < 0.002, number


def test_the_measure_tells_neighbouring_frames_of_the_film_apart(filmed, clip):
    _, pictures, _ = filmed
    moves = [n for n in range(60, len(pictures), 3) if apart(pictures[n - 3], pictures[n])[1] > 0.004]
    assert len(moves) > 5
    for number in moves[:8]:
        assert apart(clip.get_frame(number / RATE), pictures[number])[1] < 0.002


def test_frames_are_the_same_in_any_order(filmed, clip):
    _, pictures, _ = filmed
    numbers = list(range(0, len(pictures), 11))
    in_order = [clip.get_frame(number / RATE) for number in numbers]
    shuffled = np.random.default_rng(5).permutation(len(numbers))
    for index in shuffled:
        assert np.array_equal(clip.get_frame(numbers[index] / RATE), in_order[index])


def test_a_frame_may_be_drawn_on(clip):
    first = clip.get_frame(5.0)
    kept = first.copy()
    first[:] = 0
    assert np.array_equal(clip.get_frame(5.0), kept)


def test_sound_is_the_film_s_to_the_sample(filmed, clip):
    _, _, sound = filmed
    samples = clip.audio.to_soundarray(fps=SOUND_RATE)
    length = min(len(samples), len(sound))
    assert np.abs(samples).max() > 0.1
    assert np.corrcoef(samples[:length, 0], sound[:length, 0])[0, 1] > 0.99
    for shift in (-1, 1):
        moved = np.roll(samples[:length, 0], shift)
        assert (
            np.abs(moved - sound[:length, 0]).mean() > np.abs(samples[:length, 0] - sound[:length, 0]).mean()
        )


@pytest.mark.parametrize("part", [2, "The lean", "2"])
def test_a_part_is_what_the_lesson_shows_then(filmed, clip, part):
    book, _, _ = filmed
    cut = lessonmaker.clip(book / "scripts" / "four-bars.yaml", edition="e-flat", part=part)
    cue = timeline_of(book)["cues"][1]
    start = cue["start"] / TICKS_PER_SECOND
    assert cut.duration == pytest.approx((cue["end"] - cue["start"]) / TICKS_PER_SECOND, abs=1e-9)
    for into in (0.0, 1.0, cut.duration / 2, cut.duration - 0.6):
        assert np.array_equal(cut.get_frame(into), clip.get_frame(start + into))
    first = round(start * SOUND_RATE)
    samples = clip.audio.to_soundarray(fps=SOUND_RATE)[first : first + round(cut.duration * SOUND_RATE)]
    assert np.array_equal(cut.audio.to_soundarray(fps=SOUND_RATE), samples)


def test_a_part_shows_nothing_of_what_follows(filmed, clip):
    book, _, _ = filmed
    timeline = timeline_of(book)
    for cue in timeline["cues"]:
        cut = lessonmaker.clip(book / "scripts" / "four-bars.yaml", edition="e-flat", part=cue["number"])
        (page,) = [page for page in timeline["pages"] if page["start"] == cue["end"]]
        rises = (page["start"] - page["dissolve"]) / TICKS_PER_SECOND
        assert np.array_equal(cut.get_frame(cut.duration), clip.get_frame(rises - 1.5 / RATE))
        assert not np.array_equal(cut.get_frame(cut.duration), clip.get_frame(rises + 2 / RATE))


def test_a_clip_in_a_size_of_its_own_is_laid_out_for_it(filmed):
    book, _, _ = filmed
    small = lessonmaker.clip(book / "scripts" / "four-bars.yaml", part=2, size=(320, 180))
    assert small.get_frame(1.0).shape == (180, 320, 3)


def test_a_layer_is_the_lesson_without_its_paper(filmed):
    book, _, _ = filmed
    script, paper = book / "scripts" / "four-bars.yaml", np.array([251, 248, 242])
    whole, layer = (lessonmaker.clip(script, part=2, layer=on) for on in (False, True))
    assert whole.mask is None
    assert layer.mask.duration == layer.duration == whole.duration
    for time in (3.0, 0.5, 4.5):
        picture, cover = layer.get_frame(time).astype(float), layer.mask.get_frame(time)[:, :, None]
        assert cover.min() == 0 and cover.max() == 1 and (cover == 0).mean() > 0.5
        over_paper = picture * cover + paper * (1 - cover)
        assert np.abs(over_paper - whole.get_frame(time)).max() <= 3
    blue = CompositeVideoClip([ColorClip(layer.size, color=(0, 0, 90), duration=1), layer.subclipped(3, 4)])
    corner = blue.get_frame(0.5)[-3, 3]
    assert np.abs(corner - (0, 0, 90)).max() <= 1


def test_what_is_wrong_is_told(filmed, monkeypatch):
    book, _, _ = filmed
    script = book / "scripts" / "four-bars.yaml"
    for wrong, message in [
        ({"lesson": book / "scripts" / "five-bars.yaml"}, "is no lesson script"),
        ({"edition": "e-flatt"}, r"there is no edition 'e-flatt' .did you mean 'e-flat'"),
        ({"part": 9}, "Four Bars has no cue 9: its cues are 1 to 2"),
        ({"part": "The leen"}, "did you mean 'The lean'"),
        ({"size": (321, 180)}, "321x180 is no picture size: both sides must be even"),
    ]:
        monkeypatch.chdir(book.parent)
        with pytest.raises(UsageError, match=message):
            lessonmaker.clip(**{"lesson": script, **wrong})


def test_a_folder_of_several_lessons_is_no_lesson(book):
    (book / "scripts" / "other.yaml").write_text((book / "scripts" / "four-bars.yaml").read_text())
    file = book / "scripts" / "book.yaml"
    file.write_text(file.read_text().replace("[four-bars.yaml]", "[four-bars.yaml, other.yaml]"))
    with pytest.raises(UsageError, match=r"a clip is of one lesson; .* has: four-bars, other"):
        lessonmaker.clip(book)


def test_a_faulty_lesson_is_told_before_anything_is_made(book, change):
    change("b9@2", "#9@2")
    with pytest.raises(MaterialError, match="there is no #9 in bar 2"):
        lessonmaker.clip(book / "scripts" / "four-bars.yaml", part=99)
    assert not (book / "out").exists()


def test_importing_the_package_stays_cheap():
    seen = "import sys, lessonmaker; print([name for name in ('moviepy', 'numpy', 'verovio') if name in sys.modules])"
    run = subprocess.run([sys.executable, "-c", seen], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
