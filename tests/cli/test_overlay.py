"""`overlay`: the film's own clock, the lit bar and the sound agree; nothing of the film is lost."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from fractions import Fraction
from itertools import pairwise

import av
import numpy as np
import pytest

from lessonmaker.cli import main
from tests.tools.clock_film import clock_ms, make_film
from tests.tools.own_looks import make_look
from tests.tools.tiny_book import LEAD_IN_S, QUARTER_S, score_text

LENGTH_S = 9
FRAME_S = 1 / 25
STEPS = ("fitting its sound", "laying the score over it")
BLUE = 142  # a sample of Cb that is blue


def even_times(rate: Fraction) -> list[Fraction]:
    return [number / rate for number in range(int(LENGTH_S * rate))]


def uneven_times() -> list[Fraction]:
    rng = np.random.default_rng(3)
    steps = rng.choice([2400, 3000, 3750, 4300], 400)
    times = [Fraction(0), *(Fraction(int(tick), 90_000) for tick in np.cumsum(steps))]
    return [time_s for time_s in times if time_s < LENGTH_S]


@pytest.fixture
def score(tmp_path):
    path = tmp_path / "four-bars.musicxml"
    path.write_text(score_text(), encoding="utf-8")
    return path


def overlay(tmp_path, film, score, *options):
    output = tmp_path / "made.mp4"
    status = main(["overlay", str(film), str(score), "--output", str(output), *options])
    return status, output


def frames_of(path):
    with av.open(str(path)) as container:
        stream = container.streams.video[0]
        return [
            (float(frame.pts * stream.time_base), frame.rotation, frame.to_ndarray(format="gray"))
            for frame in container.decode(stream)
        ]


def sound_packets(path):
    with av.open(str(path)) as container:
        stream = container.streams.audio[0]
        return [
            (float(packet.pts * packet.time_base), bytes(packet))
            for packet in container.demux(stream)
            if packet.pts is not None
        ]


def lit_columns(path):
    """When each frame comes, and the middle of the blue rule under the bar that is lit, as a share of the width."""
    found = []
    with av.open(str(path)) as container:
        stream = container.streams.video[0]
        for frame in container.decode(stream):
            blue = np.frombuffer(frame.planes[1], np.uint8).reshape(-1, frame.planes[1].line_size)
            counts = (blue[:, : frame.width // 2] > BLUE).sum(axis=1)
            if counts.max() > frame.width / 20:
                columns = np.flatnonzero(blue[int(counts.argmax()), : frame.width // 2] > BLUE)
                found.append((float(frame.pts * stream.time_base), float(columns.mean() * 2 / frame.width)))
    return found


@pytest.mark.parametrize(
    "times", [even_times(Fraction(25)), even_times(Fraction(30000, 1001)), uneven_times()]
)
def test_frames_keep_their_times_and_the_sound_is_the_same(tmp_path, score, times):
    film = make_film(tmp_path / "film.mp4", times)
    status, output = overlay(tmp_path, film, score)
    assert status == 0
    made = frames_of(output)
    assert [round(time_s, 4) for time_s, _, _ in made] == pytest.approx(
        [float(one) for one in times], abs=5e-4
    )
    assert all(abs(clock_ms(luma) - time_s * 1000) <= 1 for time_s, _, luma in made)
    assert sound_packets(output) == sound_packets(film)


def test_the_bars_light_up_when_they_sound(tmp_path, score):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)))
    _, output = overlay(tmp_path, film, score)
    rows = (tmp_path / "made.bars.csv").read_text(encoding="utf-8").splitlines()
    starts = [float(row.split(",")[2]) for row in rows[1:]]
    assert starts == pytest.approx([LEAD_IN_S + bar * 4 * QUARTER_S for bar in range(4)], abs=0.06)
    lit = lit_columns(output)
    changes = [later for (_, one), (later, other) in pairwise(lit) if abs(one - other) > 0.05]
    assert changes == pytest.approx(starts[1:], abs=FRAME_S)


def test_a_turned_film_stays_turned(tmp_path, score):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)), turned=90)
    status, output = overlay(tmp_path, film, score, "--side", "top")
    time_s, rotation, luma = frames_of(output)[50]
    assert status == 0
    assert rotation == 90
    assert clock_ms(luma) == pytest.approx(time_s * 1000, abs=1)
    upright = np.rot90(luma)  # as a player shows it: the band lies at its head
    assert upright[:8].mean() > 230
    assert upright[-8:].mean() < 200


def test_a_part_begins_at_nothing(tmp_path, score):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)))
    _, output = overlay(tmp_path, film, score, "--from", "2", "--to", "5")
    made = frames_of(output)
    assert len(made) == 75
    assert [clock_ms(luma) for _, _, luma in made] == [2000 + 40 * number for number in range(75)]


def test_a_look_of_ones_own_is_laid_over_a_film(tmp_path, score, capsys):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25))[:225])
    look = make_look(tmp_path)
    status, output = overlay(tmp_path, film, score, "--look", str(look), "--from", "2", "--to", "3")
    assert status == 0
    _, _, luma = frames_of(output)[10]
    # Its paper, #171B20, as grey in full range: ITU-R BT.709-6, item 3.2.
    assert np.median(luma[-6:]) == pytest.approx(0.2126 * 0x17 + 0.7152 * 0x1B + 0.0722 * 0x20, abs=2)
    look.write_text("colours: {papre: '#FFFFFF'}\n")
    assert overlay(tmp_path, film, score, "--look", str(look))[0] == 1
    assert "look.yaml:1:11: 'papre' is no key of the colours; did you mean paper?" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ("silent film", "has no sound track|is silent|holds no samples"),
        ("no film", "is not a film that can be read"),
        ("folder", "is a folder, not a film; name the film in it"),
        ("hdr", r"is in HDR \(PQ\)"),
        ("wide", "has BT.2020 colours"),
        ("name", "is no name for a film"),
    ],
)
def test_bad_films_are_told_in_one_line(tmp_path, score, capsys, change, message):
    film, options = tmp_path / "film.mp4", ()
    times = even_times(Fraction(25))[:60]
    if change == "folder":
        film.mkdir()
    elif change == "no film":
        film.write_bytes(b"no film at all" * 100)
    elif change == "silent film":
        make_film(film, times, sound=np.zeros(50_000, np.float32))
    else:
        colours = {"hdr": (9, 16, 9), "wide": (9, 1, 9)}.get(change, (1, 1, 1))
        make_film(film, times if change != "name" else even_times(Fraction(25)), colours=colours)
    if change == "name":
        options = ("--output", str(tmp_path / "made.txt"))
    status, output = overlay(tmp_path, film, score, *options)
    said = capsys.readouterr().err
    assert status == 1
    assert len([line for line in said.splitlines() if "film" in line and not line.endswith(STEPS)]) == 1
    assert re.search(message, said)
    assert not output.exists()


def test_a_frame_that_stands_is_shown_again_for_each_light(tmp_path, score):
    film = make_film(tmp_path / "film.mp4", [Fraction(0), Fraction(8)])
    _, output = overlay(tmp_path, film, score)
    made = frames_of(output)
    assert {clock_ms(luma) for time_s, _, luma in made if time_s < 8} == {0}
    rows = (tmp_path / "made.bars.csv").read_text(encoding="utf-8").splitlines()
    lit = lit_columns(output)
    changes = [later for (_, one), (later, other) in pairwise(lit) if abs(one - other) > 0.05]
    assert changes == pytest.approx([float(row.split(",")[2]) for row in rows[2:]], abs=1 / 25)


def test_a_film_of_something_else_is_refused(tmp_path, score, capsys):
    noise = np.random.default_rng(5).normal(0, 0.1, 9 * 22_050)
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)), sound=noise)
    status, output = overlay(tmp_path, film, score)
    assert status == 1
    assert "does not seem to be of four-bars.musicxml" in capsys.readouterr().err
    assert not output.exists()


@pytest.fixture
def broken_off(tmp_path):
    """A film whose index comes first, of which the last fifth is missing."""
    film, index_first = make_film(tmp_path / "film.mp4", even_times(Fraction(25))), tmp_path / "whole.mp4"
    with (
        av.open(str(film)) as source,
        av.open(str(index_first), "w", options={"movflags": "+faststart"}) as target,
    ):
        streams = [target.add_stream_from_template(stream) for stream in source.streams]
        for packet in source.demux():
            if packet.dts is not None:
                packet.stream = streams[packet.stream_index]
                target.mux(packet)
    whole = index_first.read_bytes()
    film.write_bytes(whole[: len(whole) * 8 // 10])
    return film


def test_a_film_that_breaks_off_leaves_nothing_behind(tmp_path, score, broken_off, capsys):
    status, output = overlay(tmp_path, broken_off, score)
    assert status == 1
    assert re.search(r"breaks off at 0:0\d\.\d of 0:09", capsys.readouterr().err)
    assert not output.exists()
    assert not list(tmp_path.glob("*.part"))


def test_a_film_that_breaks_off_can_be_trimmed_to_what_is_there(tmp_path, score, broken_off):
    status, output = overlay(tmp_path, broken_off, score, "--to", "0:06")
    made = frames_of(output)
    assert status == 0
    assert [clock_ms(luma) for _, _, luma in made] == [40 * number for number in range(150)]


def test_a_film_shorter_than_the_score_is_told(tmp_path, score, capsys):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25))[:38])
    with av.open(str(film)) as container:
        assert container.streams.video[0].duration is not None
    status, output = overlay(tmp_path, film, score)
    assert status == 1
    assert (
        "is shorter than the score: it lasts 0:01.5, and four-bars.musicxml takes 0:08"
        in capsys.readouterr().err
    )
    assert not output.exists()


def test_an_output_folder_that_is_not_there_is_told_before_the_film_is_fitted(tmp_path, score, capsys):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)))
    status = main(["overlay", str(film), str(score), "--output", str(tmp_path / "none" / "made.mp4")])
    (said,) = capsys.readouterr().err.splitlines()
    assert status == 1
    assert "none: there is no such folder; make it, or name another with --output" in said


def test_progress_and_the_film_are_json_lines(tmp_path, score, capsys):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)))
    status, output = overlay(tmp_path, film, score, "--json")
    events = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert status == 0
    assert [event["text"] for event in events if event["event"] == "step"] == [
        "film.mp4: fitting its sound",
        "film.mp4, Concert edition: laying the score over it",
    ]
    shares = [event["share"] for event in events if event["event"] == "progress"]
    assert shares and shares == sorted(shares) and 0 < shares[0] <= shares[-1] <= 1
    assert all(event["left_s"] >= 0 for event in events if event["event"] == "progress")
    (made,) = (event for event in events if event["event"] == "film")
    assert (made["film"], made["seconds"]) == (str(output), pytest.approx(LENGTH_S, abs=0.1))


@pytest.mark.skipif(os.name == "nt", reason="no such signal there")
def test_ctrl_c_leaves_nothing_behind(tmp_path, score):
    film = make_film(tmp_path / "film.mp4", even_times(Fraction(25)))
    output = tmp_path / "made.mp4"
    command = [
        sys.executable,
        "-m",
        "lessonmaker",
        "overlay",
        str(film),
        str(score),
        "--output",
        str(output),
        "--json",
    ]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None and process.stderr is not None
        for line in process.stdout:
            if json.loads(line)["event"] == "progress":
                break
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=30) == 130
        assert "Traceback" not in process.stderr.read()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["film.mp4", "four-bars.musicxml"]
