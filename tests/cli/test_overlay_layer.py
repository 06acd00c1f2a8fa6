"""`overlay --layer`: laid over the film, the layer makes the overlaid film."""

from __future__ import annotations

import csv
from fractions import Fraction

import av
import numpy as np
import pytest

from lessonmaker.cli import main
from tests.tools.clock_film import make_film
from tests.tools.layers import LayerFrames
from tests.tools.tiny_book import score_text

LENGTH_S = 9
NTSC = Fraction(30000, 1001)
AT = (1, 60, 100, 180)


@pytest.fixture
def score(tmp_path):
    path = tmp_path / "four-bars.musicxml"
    path.write_text(score_text(), encoding="utf-8")
    return path


def even_times(rate, length_s=LENGTH_S):
    return [number / rate for number in range(int(length_s * rate))]


def overlay(film, score, output, *options):
    return main(["overlay", str(film), str(score), "--output", str(output), *options])


def luma_frames(path):
    with av.open(str(path)) as container:
        planes = [frame.planes[0] for frame in container.decode(container.streams.video[0])]
        return [np.frombuffer(one, np.uint8).reshape(one.height, -1)[:, : one.width] for one in planes]


def luma(rgb):
    return 16 + rgb @ (219 / 255 * np.array([0.2126, 0.7152, 0.0722]))


def bar_rows(output):
    return list(csv.DictReader(output.with_suffix(".bars.csv").read_text(encoding="utf-8").splitlines()))


def start_code(path):
    with av.open(str(path)) as container:
        return next(
            one["timecode"] for one in (stream.metadata for stream in container.streams) if "timecode" in one
        )


@pytest.mark.parametrize(
    ("ending", "rate", "options"),
    [
        (".mov", Fraction(25), ()),
        (".mov", NTSC, ("--paper", "60", "--side", "right")),
        (".webm", Fraction(25), ("--paper", "0", "--form")),
    ],
)
def test_a_layer_over_the_film_is_the_overlaid_film(tmp_path, score, ending, rate, options):
    film = make_film(tmp_path / "film.mp4", even_times(rate))
    whole, alone = tmp_path / "whole.mp4", tmp_path / f"alone{ending}"
    assert overlay(film, score, whole, *options) == 0
    assert overlay(film, score, alone, "--layer", *options) == 0
    under, over, together = luma_frames(film), LayerFrames(alone), luma_frames(whole)
    assert len(under) == len(over) == len(together)
    if not options:  # paper that covers wholly has no hole under any ink
        assert set(np.unique(over[60][:, :, 3])) == {0, 255}
    for number in AT:
        cover = over[number][:, :, 3] / 255
        laid = cover * luma(over[number][:, :, :3]) + (1 - cover) * under[number]
        off = np.abs(laid - together[number])
        assert off.mean() < 0.5  # codes of 8 bits; the overlaid film is coded with loss
        assert off.max() < 48
    assert (tmp_path / "whole.bars.csv").read_bytes() == (tmp_path / "alone.bars.csv").read_bytes()
    with av.open(str(alone)) as container:
        assert container.streams.video[0].average_rate == rate


def test_a_layer_stands_upright_over_a_turned_film(tmp_path, score, capsys):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)), turned=90)
    alone = tmp_path / "alone.mov"
    assert overlay(film, score, alone, "--layer", "--side", "top") == 0
    assert "remark" not in capsys.readouterr().err  # a title that is not shown cannot be too long
    frame = LayerFrames(alone)[50]
    assert frame.shape[:2] == (480, 270)
    assert frame[:8, :, 3].min() == 255
    assert frame[-8:, :, 3].max() == 0


def test_a_layer_of_an_uneven_film_has_the_usual_rate(tmp_path, score):
    steps = np.random.default_rng(3).choice([2400, 3000, 3750, 2870], 400)
    times = [Fraction(0), *(Fraction(int(tick), 90_000) for tick in np.cumsum(steps))]
    film = make_film(tmp_path / "film.mp4", [time_s for time_s in times if time_s < LENGTH_S])
    alone = tmp_path / "alone.mov"
    assert overlay(film, score, alone, "--layer") == 0
    with av.open(str(alone)) as container:
        stream = container.streams.video[0]
        assert stream.average_rate == NTSC
        assert float(stream.frames / stream.average_rate) == pytest.approx(LENGTH_S, abs=0.05)


@pytest.mark.parametrize(
    ("own", "options", "code"),
    [
        (None, (), "00:00:00;00"),
        (None, ("--from", "2"), "00:00:01;29"),  # the frame in sight at 2 s, 59 frames on
        ("09:59:58;00", ("--from", "2"), "09:59:59;29"),
        ("09:59:58:00", ("--from", "2"), "09:59:59:29"),
        ("09:59:58;00", ("--code", "01:00:00:00"), "01:00:00:00"),
    ],
)
def test_the_time_code_is_the_films_or_as_asked_for(tmp_path, score, own, options, code):
    film = make_film(tmp_path / "film.mov", even_times(NTSC), code=own)
    for output, more in ((tmp_path / "alone.mov", ("--layer",)), (tmp_path / "whole.mov", ())):
        assert overlay(film, score, output, *options, *more) == 0
        if own or "--code" in options or more:
            assert start_code(output) == code
        rows = bar_rows(output)
        assert rows[0]["timecode"][8] == code[8]


@pytest.mark.parametrize(
    ("options", "status", "message"),
    [
        (("--layer", "--beside"), 2, "a --layer holds no film"),
        (
            ("--layer", "--output", "made.mp4"),
            1,
            "made.mp4 is no name for a layer; end its name with .mov or .webm",
        ),
        (("--layer", "--code", "1:00"), 1, "is no time code; write hours, minutes, seconds and frames"),
        (
            ("--code", "01:00:00;00"),
            1,
            "as is done at 29.97 frames a second and twice that only; write 01:00:00:00",
        ),
        (
            ("--layer", "--code", "00:00:00:25"),
            1,
            "is no time code at 25 frames a second; write hours up to 23",
        ),
        (
            ("--output", "made.avi"),
            1,
            "made.avi is no name for a film; end its name with .mp4, .m4v, .mov, .mkv",
        ),
        (("--from", "0:50"), 1, "there is nothing of the film from 0:50: it lasts 0:09"),
    ],
)
def test_what_cannot_be_is_told_in_one_line(tmp_path, score, capsys, options, status, message):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)))
    assert overlay(film, score, tmp_path / "made.mov", *options) == status
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 1  # nothing has been listened to by then
    assert message in said[0]
    assert not (tmp_path / "made.mov").exists()


def test_a_chapter_a_bar(tmp_path, score):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)))
    output = tmp_path / "made.mkv"
    assert overlay(film, score, output, "--bar-chapters") == 0
    rows = bar_rows(output)
    with av.open(str(output)) as container:
        chapters = container.chapters()
    assert [one["metadata"]["title"] for one in chapters[1:]] == [f"Bar {row['bar']}" for row in rows]
    starts = [float(one["start"] * one["time_base"]) for one in chapters[1:]]
    assert starts == pytest.approx([float(row["start_s"]) for row in rows], abs=2e-3)
