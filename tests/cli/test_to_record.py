"""`check --to-record` as an author calls it, before anything is recorded."""

import json

import pytest

from lessonmaker.cli import main


@pytest.fixture
def two_cues(change):
    """The lesson with a second cue that says something."""
    change(
        "The [flat nine](b9@2) leans on {chord 2}.",
        "|\n      The [flat nine](b9@2) leans on {chord 2}. Hear it\n"
        "      once more.\n  - bars: 3\n    say: So it ends.",
    )


@pytest.mark.usefixtures("two_cues")
def test_the_sheet_goes_once_through_and_then_edition_by_edition(book, capsys):
    assert main(["check", str(book), "--to-record"]) == 0
    script = book / "scripts" / "four-bars.yaml"
    assert capsys.readouterr().out.splitlines() == [
        f"{script}: Four Bars: 4 sentences to record, about 0:07",
        "  for every edition, read as for concert, about 0:04",
        "    cue 2, The lean",
        "       11   2.1 s  The flat nine leans on G7.  [concert]",
        "       11   1.4 s  Hear it once more.",
        "    cue 3",
        "       14   1.0 s  So it ends.",
        "  for e-flat, about 0:02",
        "    cue 2, The lean",
        "       11   2.1 s  The flat nine leans on E7.  [e-flat]",
        "4 sentences to record, about 0:07; lengths are estimated, at the draft voice's pace.",
    ]


@pytest.mark.usefixtures("two_cues")
def test_the_sheet_for_programs(book, capsys):
    assert main(["check", str(book), "--to-record", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["faults"], answer["remarks"], answer["misreadings"]) == ([], [], [])
    assert [(one["cue"], one["line"], one["text"], one["editions"]) for one in answer["to_record"]] == [
        (2, 11, "The flat nine leans on G7.", ["concert"]),
        (2, 11, "Hear it once more.", ["concert", "e-flat"]),
        (3, 14, "So it ends.", ["concert", "e-flat"]),
        (2, 11, "The flat nine leans on E7.", ["e-flat"]),
    ]
    first = answer["to_record"][0]
    assert first["words"] == "The flat nine leans on G seven."
    assert (first["lesson"], first["recorded"]) == ("four-bars", None)
    lengths = [one["estimated_seconds"] for one in answer["to_record"]]
    assert answer["estimated_seconds"] == pytest.approx(sum(lengths), abs=0.2)


def test_where_nothing_is_said_nothing_is_to_be_recorded(book, change, capsys):
    change("    say: The [flat nine](b9@2) leans on {chord 2}.\n", "")
    assert main(["check", str(book), "--to-record"]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "Everything is recorded."


def test_only_the_lessons_named_are_looked_at(book, fault):
    assert "did you mean 'four-bars'?" in fault("check", book, "for-bars", "--to-record", status=2)


@pytest.mark.parametrize("command", [["check", "--listen"], ["check", "--to-record"], ["build"]])
def test_a_recording_that_is_no_sound(book, change, fault, command):
    change("take: ../media/four-bars.wav\n", "narration: ../media/read.wav\n")
    change("  - play: all\n    title: All of it\n", "")
    (book / "media" / "read.wav").write_text("hum")
    said = fault(*command, book)
    assert "read.wav is not sound that can be read; export it as WAV, FLAC, Ogg, MP3 or M4A" in said
