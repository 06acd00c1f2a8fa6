"""`build` as a user calls it: what it makes, what it says, and what it leaves when it is stopped."""

import json
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from lessonmaker.build import films, lesson, workers, workshop
from lessonmaker.build.record import Record
from lessonmaker.cli import main
from lessonmaker.faults import Fault, MaterialError
from lessonmaker.files import host
from lessonmaker.score.edition import Decision
from lessonmaker.sound.loudness import true_peak_dbtp
from lessonmaker.sound.model import Audio
from tests.tools.at_once import at_once
from tests.tools.tiny_book import make_book

ENDINGS = (".chapters.txt", ".mp4", ".png", ".srt", ".timeline.json", ".vtt")
RATE = 30


@pytest.fixture(scope="module")
def built(tmp_path_factory, worker_id):
    """A book built over older files of the same names: (folder, films as JSON, what was said meanwhile).

    Test processes beside each other share one.
    """
    base = tmp_path_factory.getbasetemp()
    folder = (base if worker_id == "master" else base.parent) / "built"
    try:
        folder.mkdir()
    except FileExistsError:
        wait_for(folder / "answer.json")
    else:
        build_over_older(folder)
    status, out, err = json.loads((folder / "answer.json").read_text())
    assert status == 0, err
    return (
        folder / "book",
        [event for event in map(json.loads, out.splitlines()) if event["event"] == "film"],
        err,
    )


def wait_for(path, most_s=300):
    """Wait until another test process has made a file."""
    last_s = time.monotonic() + most_s
    while not path.exists():
        assert time.monotonic() < last_s
        time.sleep(0.1)


def build_over_older(folder):
    """Build a book where an older build, and one that lost its power, have left files."""
    book = make_book(folder / "book")
    for edition in ("concert", "e-flat"):
        (book / "out" / edition).mkdir(parents=True)
        for ending in ENDINGS:
            (book / "out" / edition / f"four-bars{ending}").write_text("older")
            (book / "out" / edition / f".four-bars{ending}.part").write_text("left by a power cut")
    command = [sys.executable, "-m", "lessonmaker", "build", "--json", str(book)]
    run = subprocess.run(command, capture_output=True, text=True)
    (folder / "answer").write_text(json.dumps([run.returncode, run.stdout, run.stderr]))
    (folder / "answer").rename(folder / "answer.json")


def half_made(book):
    """Files of an interrupted build; the fit and the parts that were finished before are whole and stay."""
    files = [path for path in (book / "out").rglob("*") if path.is_file()]
    return [path for path in files if path.parts[len(book.parts) + 1] not in ("sync", "store", "build.log")]


def decoded(path):
    """A film's pictures' times, its sound (samples, 2), and its container's metadata and chapters."""
    times, blocks = [], []
    with av.open(str(path)) as container:
        for frame in container.decode(video=0, audio=0):
            if isinstance(frame, av.VideoFrame):
                times.append(frame.pts * frame.time_base)
            else:
                blocks.append(frame.to_ndarray().T)
        return times, np.concatenate(blocks), dict(container.metadata), container.chapters()


def test_every_file_is_there_and_nothing_else(built):
    book, _, _ = built
    for edition in ("concert", "e-flat"):
        files = sorted(path.name for path in (book / "out" / edition).iterdir())
        assert files == sorted(f"four-bars{ending}" for ending in ENDINGS)
        assert all((book / "out" / edition / name).stat().st_size > 20 for name in files)
    assert not list(book.rglob("*.part"))
    assert all(path.name.isascii() for path in (book / "out").rglob("*"))


def test_the_film_is_as_long_as_its_timeline_at_a_constant_rate(built):
    book, answer, _ = built
    timeline = json.loads((book / "out" / "concert" / "four-bars.timeline.json").read_text())
    seconds = Fraction(timeline["duration"], timeline["ticks_per_second"])
    times, sound, _, _ = decoded(book / "out" / "concert" / "four-bars.mp4")
    assert times == [Fraction(number, RATE) for number in range(len(times))]
    assert 0 <= Fraction(len(times), RATE) - seconds < Fraction(1, RATE)
    assert len(sound) / 48_000 == pytest.approx(float(seconds), abs=0.05)
    assert answer[0]["seconds"] == pytest.approx(float(seconds), abs=0.001)


def test_title_and_chapters_stand_in_the_film(built):
    book, _, _ = built
    _, _, metadata, chapters = decoded(book / "out" / "e-flat" / "four-bars.mp4")
    assert metadata["title"] == "Four Bars (E♭ edition)"
    assert (metadata["artist"], metadata["album"]) == ("Odo Plinth", "Tiny")
    titles = [chapter["metadata"]["title"] for chapter in chapters]
    lines = (book / "out" / "e-flat" / "four-bars.chapters.txt").read_text().splitlines()
    assert [line.split(" ", 1)[1] for line in lines] == titles
    assert lines[0].startswith("0:00 ")


def test_the_sound_keeps_below_full_scale_once_decoded(built):
    book, _, _ = built
    _, sound, _, _ = decoded(book / "out" / "concert" / "four-bars.mp4")
    assert -30 < true_peak_dbtp(Audio(sound, 48_000)) <= -1.0


def test_captions_name_chords_as_the_edition_does(built):
    book, _, _ = built
    for edition, chord in (("concert", "G7"), ("e-flat", "E7")):
        for ending in (".vtt", ".srt"):
            assert chord in (book / "out" / edition / f"four-bars{ending}").read_text()


def test_what_the_copyist_decided_is_told(built):
    _, answer, _ = built
    concert, e_flat = sorted(answer, key=lambda film: film["edition"])
    assert (concert["edition"], concert["decisions"], concert["remarks"]) == ("concert", [], [])
    first = e_flat["decisions"][0]
    assert (first["kind"], first["bars"]) == ("octave", "1-4")
    assert first["text"].startswith("the etude is printed an octave lower")


def test_steps_are_told_one_a_line(built):
    _, _, said = built
    assert said.splitlines()[:2] == ["Tiny: 2 films to make", "four-bars: fitting the take"]
    assert "\r" not in said


def test_two_takes_are_fitted_at_once_by_workers(book, fault, change, monkeypatch):
    scripts = book / "scripts"
    shutil.copy(scripts / "four-bars.yaml", scripts / "five-bars.yaml")
    change("cues:", "sync: {1: 0:00.4}\ncues:")
    (scripts / "book.yaml").write_text(
        (scripts / "book.yaml").read_text().replace("[four-bars.yaml]", "[four-bars.yaml, five-bars.yaml]")
    )
    both = threading.Barrier(2, timeout=30)

    def fit(score, take, anchors):
        del score, take, anchors
        both.wait()
        raise MaterialError(Fault("both were fitted at once"))

    @contextmanager
    def two_threads(_width, _ready):
        with ThreadPoolExecutor(2) as pool:
            yield pool

    monkeypatch.setattr(lesson, "fit_lesson", fit)
    monkeypatch.setattr(workers, "worker_pool", two_threads)
    monkeypatch.setattr(workers, "processors", lambda: 2)
    assert fault("build", book) == "both were fitted at once"


def test_people_are_told_each_film_and_each_remark_once(book, capsys, monkeypatch):
    remark = Fault("bar 3 is a quarter short")
    decision = Decision("octave", (), "1-4", "an octave lower")

    def made(_order, planned, *_):
        for one, decided in zip(planned, ((), (decision,)), strict=True):
            yield films.Made(one, Record(one.now, {}, {}, 23.7, 5.0, (remark,), decided))

    monkeypatch.setattr(films, "make_films", made)
    assert main(["build", str(book)]) == 0
    captured = capsys.readouterr()
    folder = book / "out"
    assert captured.out.splitlines() == [
        f"{folder / edition / 'four-bars.mp4'} (24 s)" for edition in ("concert", "e-flat")
    ]
    assert captured.err.splitlines()[1:] == [
        "remark: bar 3 is a quarter short",
        "remark: four-bars, E♭ edition: bars 1-4: an octave lower",
    ]


def test_ctrl_c_ends_it_at_once_and_leaves_nothing_half_made(book):
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    build = subprocess.Popen(
        [sys.executable, "-c", "import signal\nsignal.signal(signal.SIGINT, signal.default_int_handler)\n"
         "from lessonmaker.cli import program\nprogram()", "build", str(book)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        env=environment,
    )  # fmt: skip
    for line in build.stderr:
        if line.startswith("four-bars, E♭"):  # the first film is being encoded by now
            break
    pressed_s = time.monotonic()
    os.killpg(build.pid, signal.SIGINT)
    out, err = build.communicate(timeout=30)
    assert time.monotonic() - pressed_s < 10
    assert (build.returncode, out, err) == (130, "", "Stopped. What was finished before is whole.\n")
    assert not half_made(book)


@pytest.fixture
def short(change):
    """The lesson without its performance: quickly made."""
    change("  - play: all\n    title: All of it\n", "")
    change("take: ../media/four-bars.wav\n", "")


@pytest.mark.usefixtures("short")
def test_a_worker_that_dies_is_told(book, fault, monkeypatch):
    monkeypatch.setattr(workshop, "prepare_worker", os.abort)
    assert "processes that make films were ended from outside" in fault("build", book, "--edition", "concert")
    assert not half_made(book)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is full")
@pytest.mark.usefixtures("short")
def test_a_full_disk_is_told_and_the_film_before_stays(book, fault, monkeypatch):
    monkeypatch.setattr(workers, "worker_pool", at_once)  # the name of what is begun tells whose it is
    folder = book / "out" / "concert"
    folder.mkdir(parents=True)
    (folder / "four-bars.mp4").write_text("the film before")
    (folder / f".four-bars.mp4.{host()}-{os.getpid()}.part").symlink_to("/dev/full")
    assert "the disk is full; free some space" in fault("build", book, "--edition", "concert")
    assert [path.name for path in folder.iterdir()] == ["four-bars.mp4"]
    assert (folder / "four-bars.mp4").read_text() == "the film before"


def test_an_output_folder_where_a_file_stands(book, fault):
    (book / "taken").write_text("mine")
    assert f"{book}/taken/concert: the output folder cannot be made" in fault(
        "build", book, "--output", book / "taken"
    )
    assert (book / "taken").read_text() == "mine"


def test_an_output_folder_that_may_not_be_written(book, fault, monkeypatch):
    monkeypatch.setattr("lessonmaker.build.outputs.os.access", lambda *_: False)
    assert "may not be written to; name another with --output" in fault("build", book)


def test_a_missing_cairo_library(book, tmp_path):
    (tmp_path / "cairocffi.py").write_text("raise OSError('no library called \"cairo-2\" was found')\n")
    environment = {**os.environ, "PYTHONPATH": str(tmp_path)}
    command = [sys.executable, "-m", "lessonmaker"]
    build = subprocess.run([*command, "build", str(book)], capture_output=True, text=True, env=environment)
    assert build.returncode == 1
    assert build.stderr.splitlines()[-1:] == [
        "the cairo library is not installed; install it: `apt install libcairo2` on Debian and Ubuntu, "
        "`dnf install cairo` on Fedora, `brew install cairo` on macOS, the GTK runtime on Windows"
    ]
    subprocess.run([*command, "check", str(book)], capture_output=True, env=environment, check=True)


def test_two_lessons_of_one_name_do_not_overwrite_each_other(book, fault):
    shutil.copy(book / "scripts" / "four-bars.yaml", book / "scripts" / "Four Bars.yaml")
    file = book / "scripts" / "book.yaml"
    file.write_text(file.read_text().replace("[four-bars.yaml]", "[four-bars.yaml, Four Bars.yaml]"))
    assert "Four Bars.yaml and four-bars.yaml would both be made as four-bars" in fault("build", book)


def test_a_mistake_of_our_own_is_short_and_kept(book, capsys, monkeypatch, tmp_path):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    monkeypatch.setattr("lessonmaker.build.films.check_order", lambda _: 1 / 0)
    assert main(["build", str(book)]) == 1
    said = capsys.readouterr().err.splitlines()[-1]
    assert said.startswith(
        "lessonmaker itself failed (ZeroDivisionError: division by zero); please report it"
    )
    (kept,) = tmp_path.glob("lessonmaker-failure-*.txt")
    assert "Traceback" in kept.read_text()
