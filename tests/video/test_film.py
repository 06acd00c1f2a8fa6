"""Films of simple pictures, decoded again by PyAV: rate, length, frames, colours, sound, chapters."""

from fractions import Fraction
from itertools import pairwise
from math import ceil

import av
import numpy as np
import pytest

from lessonmaker.timeline.model import TICKS_PER_SECOND, Chapter
from lessonmaker.video import film as films
from lessonmaker.video.aac import joined_sound, packed_sound
from lessonmaker.video.encode import Format, Run, encode_run, frame_to_tick, packed, runs, unpacked

SECONDS = 5
SIZE = (320, 180)


class Steps:
    """A grey that changes every `step` ticks; a frame shows the grey it begins with."""

    size = SIZE

    def __init__(self, step: int) -> None:
        self.step = step

    def changes(self, rate):
        return [
            ceil(k * self.step * rate / TICKS_PER_SECOND)
            for k in range(SECONDS * TICKS_PER_SECOND // self.step)
        ]

    def key(self, tick):
        return tick // self.step

    def planes(self, key):
        luma = np.full(SIZE[::-1], 40 + 11 * (key % 16), np.uint8)
        chroma = np.full((SIZE[1] // 2, SIZE[0] // 2), 128, np.uint8)
        return luma, chroma, chroma


def info(seconds: float = SECONDS) -> films.FilmInfo:
    marks = (Chapter(0, "First"), Chapter(2 * TICKS_PER_SECOND, "Sécond"))
    return films.FilmInfo("A title", "An author", "A book", int(seconds * TICKS_PER_SECOND), marks)


def tone() -> np.ndarray:
    wave = 0.2 * np.sin(2 * np.pi * 440 * np.arange(SECONDS * 48_000) / 48_000)
    return np.stack([wave, wave], 1).astype(np.float32)


def decoded(path):
    with av.open(str(path)) as container:
        frames = container.decode(video=0)
        return [(frame.pts * frame.time_base, frame.to_ndarray()[: SIZE[1]]) for frame in frames]


@pytest.mark.parametrize("rate", [Fraction(30), Fraction(60), Fraction(25), Fraction(30000, 1001)])
def test_a_film_has_a_constant_rate_and_every_frame_its_own_picture(tmp_path, rate):
    pictures = Steps(TICKS_PER_SECOND // 5)
    films.write_film(tmp_path / "film.mp4", pictures, tone(), rate, info())
    frames = decoded(tmp_path / "film.mp4")
    assert len(frames) == -(-SECONDS * rate.numerator // rate.denominator)
    for number, (time, luma) in enumerate(frames):
        assert time == pytest.approx(float(number / rate), abs=1e-4)
        wanted = pictures.planes(pictures.key(frame_to_tick(number, rate)))[0][0, 0]
        assert abs(int(luma.mean()) - int(wanted)) <= 1, number


def test_frames_between_changes_are_identical_to_the_bit(tmp_path):
    films.write_film(tmp_path / "film.mp4", Steps(TICKS_PER_SECOND), tone(), Fraction(30), info())
    frames = [luma for _, luma in decoded(tmp_path / "film.mp4")]
    for second in range(SECONDS):
        for number in range(30 * second + 1, 30 * second + 30):
            if number % 60:
                assert np.array_equal(frames[number], frames[number - 1]), number


def test_the_stream_is_what_is_promised(tmp_path):
    films.write_film(tmp_path / "film.mp4", Steps(TICKS_PER_SECOND), tone(), Fraction(30), info())
    with av.open(str(tmp_path / "film.mp4")) as container:
        picture, sound = container.streams.video[0], container.streams.audio[0]
        assert (picture.codec_context.name, picture.codec_context.profile) == ("h264", "High")
        assert picture.codec_context.pix_fmt == "yuv420p"
        # ITU-T H.273: 1 is BT.709 in all three tables; range 1 is limited in libavutil's table
        assert (picture.codec_context.colorspace, picture.codec_context.color_primaries) == (1, 1)
        assert (picture.codec_context.color_trc, picture.codec_context.color_range) == (1, 1)
        assert picture.average_rate == 30
        assert (sound.codec_context.name, sound.codec_context.sample_rate) == ("aac", 48_000)
        assert container.metadata["title"] == "A title"
        assert [(entry["start"], entry["metadata"]["title"]) for entry in container.chapters()] == [
            (0, "First"),
            (2000, "Sécond"),
        ]
        keys = [packet.pts * packet.time_base for packet in container.demux(picture) if packet.is_keyframe]
    assert keys == [0, 1, 2, 3, 4]  # the whole picture changes every second


def test_a_film_may_have_no_chapters(tmp_path):
    bare = films.FilmInfo("A title", "An author", "A book", SECONDS * TICKS_PER_SECOND, ())
    films.write_film(tmp_path / "film.mp4", Steps(TICKS_PER_SECOND), tone(), Fraction(30), bare)
    with av.open(str(tmp_path / "film.mp4")) as container:
        assert container.chapters() == []
    assert len(decoded(tmp_path / "film.mp4")) == SECONDS * 30


def test_the_index_stands_before_the_data(tmp_path):
    films.write_film(tmp_path / "film.mp4", Steps(TICKS_PER_SECOND), tone(), Fraction(30), info())
    data = (tmp_path / "film.mp4").read_bytes()
    assert 0 < data.find(b"moov") < data.find(b"mdat")


def test_sound_starts_with_the_picture(tmp_path):
    click = np.zeros((SECONDS * 48_000, 2), np.float32)
    click[96_000:96_480] = 0.8
    films.write_film(tmp_path / "film.mp4", Steps(TICKS_PER_SECOND), click, Fraction(30), info())
    with av.open(str(tmp_path / "film.mp4")) as container:
        blocks = [(f.pts * f.time_base, f.to_ndarray()[0]) for f in container.decode(audio=0)]
    heard = next(float(t) + np.argmax(np.abs(b) > 0.3) / 48_000 for t, b in blocks if np.abs(b).max() > 0.3)
    assert heard == pytest.approx(2.0, abs=0.003)


def test_runs_encoded_apart_join_to_the_same_pictures(tmp_path):
    pictures, form = Steps(TICKS_PER_SECOND // 4), Format(*SIZE, Fraction(30))
    frames = films.frame_count(info().duration, form.rate)
    parts = runs(pictures.changes(form.rate), frames, form, starts=(37, 100), most=3)
    assert len(parts) > 3
    encoded = [packed(encode_run(pictures, form, part)) for part in parts]
    sound = joined_sound([(0, packed_sound(tone()))], len(tone()))
    films.join_film(tmp_path / "joined.mp4", encoded, sound, form, info())
    films.write_film(tmp_path / "whole.mp4", pictures, tone(), form.rate, info())
    joined, whole = decoded(tmp_path / "joined.mp4"), decoded(tmp_path / "whole.mp4")
    assert len(whole) == len(joined) == frames
    for (one_time, one), (other_time, other) in zip(joined, whole, strict=True):
        assert one_time == other_time
        assert np.abs(one.astype(int) - other.astype(int)).max() <= 2


def test_a_run_that_fails_leaves_no_file(tmp_path):
    class Broken(Steps):
        def planes(self, key):
            if key == 3:
                raise RuntimeError("the brush broke")
            return super().planes(key)

    with pytest.raises(RuntimeError, match="the brush broke"):
        films.write_film(tmp_path / "film.mp4", Broken(TICKS_PER_SECOND), tone(), Fraction(30), info())
    assert list(tmp_path.iterdir()) == []


def test_runs_begin_with_scenes_and_share_long_ones_evenly():
    form = Format(*SIZE, Fraction(30))
    changes = [*range(0, 600, 2), *range(600, 6000, 100)]
    parts = runs(changes, 6000, form, starts=(0, 601, 4001), most=100)
    assert [parts[0].first, parts[-1].last] == [0, 6000]
    assert {601, 4001} <= {part.first for part in parts}
    assert all(one.last == other.first for one, other in pairwise(parts))
    scenes = {part.first: max(start for start in (0, 601, 4001) if start <= part.first) for part in parts}
    assert all((first - scene) % form.key_every == 0 for first, scene in scenes.items())
    loads = [sum(part.first <= change < part.last for change in changes) for part in parts]
    assert max(loads) <= 130
    assert len(parts) <= 6


def test_a_scene_that_has_moved_is_cut_as_before():
    form = Format(*SIZE, Fraction(30))
    scene = [0, 5, *range(90, 600, 3)]
    here = runs([0, *(100 + change for change in scene)], 800, form, starts=(100,), most=50)
    there = runs([0, *(131 + change for change in scene)], 831, form, starts=(131,), most=50)
    assert [(part.first - 100, part.last - 100) for part in here[1:]] == [
        (part.first - 131, part.last - 131) for part in there[1:]
    ]
    assert len(here) > 3


def test_a_short_film_is_one_run():
    assert runs([0], 20, Format(*SIZE, Fraction(30)), most=8) == [Run(0, 20)]
    assert runs([0], 20, Format(*SIZE, Fraction(30)), starts=(19, 20)) == [Run(0, 20)]


def test_access_units_are_packed_and_unpacked():
    units = [(b"key", True), (b"", False), (b"x" * 70_000, False)]
    assert list(unpacked(packed(units))) == units
