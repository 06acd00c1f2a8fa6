"""The commands as a user calls them, and how they say what is wrong."""

import errno
import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from lessonmaker.build import films
from lessonmaker.cli import main

BOOK = Path(__file__).parents[2]
SCORE = BOOK / "media" / "the-tin-heron.musicxml"
TAKE = BOOK / "media" / "the-tin-heron.ogg"
SMALL_LESSON = """\
lesson: Two Bars
score: ../media/the-tin-heron.musicxml
take: ../media/the-tin-heron.ogg
cues:
  - bars: 2
    title: The landing
    say: The answer falls to the [sharp eleven](#11@2) of {chord 2}.
"""


@pytest.fixture
def book(tmp_path):
    """A small book: one short lesson in two editions, in a small picture."""
    for name in ("scripts", "media", "shared"):
        (tmp_path / name).mkdir()
    shutil.copy(SCORE, tmp_path / "media")
    shutil.copy(TAKE, tmp_path / "media")
    (tmp_path / "scripts" / "two-bars.yaml").write_text(SMALL_LESSON)
    (tmp_path / "scripts" / "book.yaml").write_text(
        "book: Small\nlessons: [two-bars.yaml]\neditions: [concert, e-flat]\nsize: 640x360\n"
    )
    return tmp_path


def change(book, old, new):
    script = book / "scripts" / "two-bars.yaml"
    assert old in script.read_text()
    script.write_text(script.read_text().replace(old, new))


def fault(capsys, *arguments, status=1):
    """The one message of a command that fails."""
    assert main([str(argument) for argument in arguments]) == status
    captured = capsys.readouterr()
    assert "Traceback" not in captured.err
    return captured.err


def test_help_needs_nothing_heavy():
    code = (
        "import sys; from lessonmaker.cli.parser import parse; parse(['analyse', 'x']); print(*sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not {"numpy", "verovio", "av", "moviepy", "lxml"} & set(run.stdout.split())


@pytest.mark.parametrize("command", ["new", "check", "build", "sync", "analyse"])
def test_every_command_has_an_example(command, capsys):
    with pytest.raises(SystemExit, match="0"):
        main([command, "--help"])
    assert f"Example: lessonmaker {command}" in capsys.readouterr().out


def test_wrong_usage_has_its_own_status(capsys):
    with pytest.raises(SystemExit, match="2"):
        main(["sync", str(SCORE)])
    assert "take" in capsys.readouterr().err
    assert "did you mean 'b-flat'?" in fault(capsys, "build", BOOK, "--edition", "b-flt", status=2)


def test_the_demo_book_is_started_and_checked(tmp_path, capsys):
    assert main(["new", "--demo", str(tmp_path / "book")]) == 0
    assert main(["check", str(tmp_path / "book")]) == 0
    assert capsys.readouterr().out.count("no faults") == 2
    assert "something here already" in fault(capsys, "new", tmp_path / "book")


def test_a_new_book_is_empty(tmp_path, capsys):
    assert main(["new", str(tmp_path / "my-book")]) == 0
    assert sorted(path.name for path in (tmp_path / "my-book").iterdir()) == ["media", "scripts", "shared"]
    assert main(["check", str(tmp_path / "my-book")]) in (0, 1)
    assert "Traceback" not in capsys.readouterr().err


def test_analyse_prints_what_is_promised(capsys):
    assert main(["analyse", "--json", str(SCORE)]) == 0
    notes = json.loads(capsys.readouterr().out)["notes"]
    wanted = {"index", "id", "bar", "beat", "onset", "pitch", "chord", "label", "role"}
    assert wanted <= set(notes[0])
    assert [note["index"] for note in notes] == list(range(len(notes)))


def test_sync_prints_what_is_promised(capsys):
    assert main(["sync", "--json", str(SCORE), str(TAKE)]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["accepted"] is True
    assert set(answer["bars"][0]) == {"bar", "pass", "time_s"}
    assert set(answer["notes"][0]) == {"index", "pass", "time_s"}


def test_a_take_of_something_else_is_refused(capsys):
    other = BOOK / "media" / "gaslight-errand.ogg"
    assert main(["sync", "--json", str(SCORE), str(other)]) == 1
    assert json.loads(capsys.readouterr().out)["accepted"] is False


def test_a_book_is_built_in_its_editions(book, capsys):
    assert main(["build", str(book)]) == 0
    printed = capsys.readouterr()
    assert "an octave lower" in printed.err
    for edition in ("concert", "e-flat"):
        files = sorted(path.name for path in (book / "out" / edition).iterdir())
        assert files == sorted(
            f"two-bars{end}" for end in (".chapters.txt", ".mp4", ".png", ".srt", ".timeline.json", ".vtt")
        )
    timeline = json.loads((book / "out" / "concert" / "two-bars.timeline.json").read_text())
    assert timeline["ticks_per_second"] == 240_000
    assert [scene["kind"] for scene in timeline["scenes"]] == ["title", "tension", "end"]
    assert "B♭maj7" in (book / "out" / "concert" / "two-bars.vtt").read_text()


FAULTS = {
    "a tab": ("    title:", "\ttitle:", r"two-bars.yaml:6:1: .*tab"),
    "an unknown key": ("    title:", "    titel:", r"two-bars.yaml:6:5: .*title"),
    "a key twice": ("    title: The landing", "    title: One\n    title: Two", r"two-bars.yaml:7:5: "),
    "a bar that is not there": ("bars: 2", "bars: 99", r"two-bars.yaml:5:11: .*99"),
    "a false claim": ("(#11@2)", "(b13@2)", r"two-bars.yaml:7:\d+: there is no b13 in bar 2"),
    "a missing score": ("the-tin-heron.musicxml", "the-tin-hero.musicxml", r"two-bars.yaml:2:8: "),
}


@pytest.mark.parametrize("name", FAULTS)
def test_faults_have_their_place(book, capsys, name):
    old, new, message = FAULTS[name]
    change(book, old, new)
    said = fault(capsys, "check", book)
    assert len(said.strip().splitlines()) == 1
    assert re.search(message, said), said


def test_faults_come_as_json(book, capsys):
    change(book, "(#11@2)", "(b13@2)")
    assert main(["check", "--json", str(book)]) == 1
    (one,) = json.loads(capsys.readouterr().out)["faults"]
    assert (one["line"], "no b13" in one["what"]) == (7, True)


def test_a_take_that_is_no_sound(book, capsys):
    (book / "media" / "the-tin-heron.ogg").write_text("not audio at all")
    assert "the-tin-heron.ogg" in fault(capsys, "build", book)
    assert not list((book / "out").rglob("*.mp4"))


def test_a_take_of_another_etude_is_refused_before_anything_is_made(book, capsys):
    shutil.copy(BOOK / "media" / "gaslight-errand.ogg", book / "media" / "the-tin-heron.ogg")
    assert "does not seem to be of the-tin-heron.musicxml" in fault(capsys, "build", book)
    assert not list((book / "out").rglob("*.mp4"))


def test_an_output_folder_that_cannot_be_made(book, capsys):
    (book / "taken").write_text("a file")
    assert "output folder cannot be made" in fault(capsys, "build", book, "--output", book / "taken")


def test_a_full_disk(book, capsys, monkeypatch):
    def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(films, "finish_film", full)
    assert "the disk is full" in fault(capsys, "build", book, "--edition", "concert")
    assert not list((book / "out").rglob("*.part"))


def test_a_missing_cairo_library(capsys, monkeypatch):
    def missing(*_):
        raise OSError('no library called "cairo-2" was found')

    monkeypatch.setattr("lessonmaker.cli.build.build_order", missing)
    assert "apt install libcairo2" in fault(capsys, "build", BOOK)


def test_an_interrupted_command_says_so(capsys, monkeypatch):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("lessonmaker.cli.build.build_order", stopped)
    assert "is whole" in fault(capsys, "build", BOOK, status=130)
