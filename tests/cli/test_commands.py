"""`new`, `check` and `analyse` as a user calls them; help and wrong usage."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from lessonmaker.cli import main

DEMO = Path(__file__).parents[2]
SCORE = DEMO / "media" / "the-tin-heron.musicxml"
HEAVY = {
    "numpy",
    "scipy",
    "verovio",
    "av",
    "moviepy",
    "lxml",
    "yaml",
    "PIL",
    "cairocffi",
    "hibari",
    "soundfile",
}
HEAVY_FOR_CHECK = HEAVY - {"verovio", "lxml", "yaml"} | {"onnxruntime", "pocketsphinx"}
COMMANDS = ["new", "check", "build", "release", "clean", "sync", "analyse", "draft"]


def imported(*arguments):
    """The modules a command imports."""
    code = (
        "import sys\nfrom lessonmaker.cli import main\n"
        f"try: main({[str(argument) for argument in arguments]!r})\n"
        "except SystemExit: pass\nprint('MODULES', *sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(run.stdout.rpartition("MODULES")[2].split())


def test_help_imports_nothing_heavy():
    assert not HEAVY & imported("--help")


def test_check_imports_no_sound_and_no_pictures(book):
    modules = imported("check", book)
    assert "verovio" in modules
    assert not HEAVY_FOR_CHECK & modules


def test_check_reads_pronunciations_without_the_voice_s_dictionary(book, fault):
    (book / "shared").mkdir(exist_ok=True)
    own = book / "shared" / "pronunciations.yaml"
    own.write_text("heron: /ˈhɛrən/\n", encoding="utf-8")
    assert not HEAVY_FOR_CHECK & imported("check", book)
    own.write_text("heron: /ˈh♯rən/\n", encoding="utf-8")
    assert "'♯' in the pronunciation of 'heron' stands for no sound" in fault("check", str(book))


def test_check_listens_to_recordings_on_request_only(book, change):
    (book / "media" / "read.wav").write_text("no sound")
    change("take: ../media/four-bars.wav\n", "narration: ../media/read.wav\n")
    assert not HEAVY_FOR_CHECK & imported("check", book)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_an_example(command, capsys):
    with pytest.raises(SystemExit, match="0"):
        main([command, "--help"])
    assert f"Example: lessonmaker {command}" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([], "COMMAND"),
        (["biuld"], "invalid choice: 'biuld'"),
        (["sync"], "required: NAME"),
        (["check", "--edition", "concert"], "unrecognized arguments"),
        (["new"], "required: folder"),
    ],
)
def test_wrong_usage_has_a_status_of_its_own(arguments, message, capsys):
    with pytest.raises(SystemExit, match="2"):
        main(arguments)
    assert message in capsys.readouterr().err


def test_the_nearest_edition_is_suggested(book, fault, capsys):
    assert "did you mean 'b-flat'?" in fault("build", book, "--edition", "b-flt", status=2)
    assert main(["build", "--json", str(book), "--edition", "b-flt"]) == 2
    assert "b-flat" in json.loads(capsys.readouterr().out)["faults"][0]["what"]


def test_the_nearest_lesson_is_suggested(book, fault):
    assert "did you mean 'four-bars'?" in fault("check", book, "for-bars", status=2)


def test_an_interval_that_is_none(fault):
    assert "neither an edition" in fault("analyse", SCORE, "--written-for", "trumpets", status=2)


def test_the_demo_book_is_started_and_checked(tmp_path, fault, capsys):
    assert main(["new", "--demo", str(tmp_path / "book")]) == 0
    assert f"lessonmaker build {tmp_path / 'book'}" in capsys.readouterr().out
    assert main(["check", str(tmp_path / "book")]) == 0
    assert capsys.readouterr().out.count("no faults") == 2
    before = {path: path.read_bytes() for path in (tmp_path / "book").rglob("*") if path.is_file()}
    assert "something here already" in fault("new", tmp_path / "book")
    assert {path: path.read_bytes() for path in (tmp_path / "book").rglob("*") if path.is_file()} == before


def test_an_empty_book_has_the_three_folders(tmp_path):
    assert main(["new", str(tmp_path / "my-book")]) == 0
    assert sorted(path.name for path in (tmp_path / "my-book").iterdir()) == ["media", "scripts", "shared"]


def test_an_empty_book_is_checked_with_a_sensible_message(tmp_path, fault, capsys):
    assert main(["new", str(tmp_path / "my-book")]) == 0
    capsys.readouterr()
    assert "book.yaml:4:10: the list is empty; write a list of lesson scripts" in fault(
        "check", tmp_path / "my-book"
    )


def test_check_as_json(book, capsys):
    assert main(["check", "--json", str(book)]) == 0
    said = json.loads(capsys.readouterr().out)
    assert (said["faults"], said["questions"], said["remarks"]) == ([], [], [])
    (mention,) = said["mentions"]
    assert mention == {
        "cue": 2,
        "words": "flat nine",
        "status": "lit",
        "target": "b9@2",
        "notes": [6],
        "from": "2.3",
        "to": "2.3",
        "choices": [],
    }


def test_check_as_json_has_all_it_understood_beside_the_faults(book, change, capsys):
    change(
        "The [flat nine](b9@2) leans on {chord 2}.",
        "The [flat nine](b9@2) leans. The sharp nine in bar two burns. One of the chord tones. How are you?",
    )
    assert main(["check", "--json", str(book)]) == 1
    said = json.loads(capsys.readouterr().out)
    (fault,) = said["faults"]
    assert fault["what"].startswith("there is no #9 in bar 2: it has 3 b7 b9 1")
    assert (fault["line"], fault["column"]) == (10, 43)
    states = [(each["words"], each["status"], each["target"]) for each in said["mentions"]]
    assert states[0] == ("flat nine", "lit", "b9@2")
    assert states[1][:2] == ("sharp nine", "fault")
    assert all("you" not in words for words, _, _ in states)


@pytest.mark.parametrize(
    "say",
    ["The sharp nine burns.", "The sharp nine resolves to the fifth.", "The sharp eleven falls to the third.",
     "Listen to the sharp nine.", "It ends on the sharp nine.", "The top note is the sharp nine.",
     "The flat thirteen pulls down to the fifth.", "First the sharp nine, then the root."],
)  # fmt: skip
def test_what_is_said_plainly_of_the_music_and_is_not_there_is_a_fault(book, change, capsys, say):
    change("The [flat nine](b9@2) leans on {chord 2}.", say)
    change("bars: 2", "bars: 1-2")
    assert main(["check", str(book)]) == 1
    assert re.search(
        r"there is no (#9|#11|b13) in bars 1-2|the (last|highest) note of bars 1-2 is the",
        capsys.readouterr().err,
    )


def test_questions_are_asked_beside_the_faults(book, change, capsys):
    change("The [flat nine](b9@2) leans on {chord 2}.", "Flat seven sings. The sharp nine burns.")
    change("bars: 2", "bars: 1-2")
    assert main(["check", str(book)]) == 1
    said = capsys.readouterr().err
    assert "there is no #9 in bars 1-2" in said
    assert "remark: " in said
    assert "“flat seven” may be 2 things; say which: [flat seven](b7@1.4)" in said


def test_a_question_is_no_fault_and_can_be_pasted(book, change, capsys):
    change("[flat nine](b9@2) leans on {chord 2}", "flat seven sings")
    change("bars: 2", "bars: 1-2")
    assert main(["check", "--json", str(book)]) == 0
    said = json.loads(capsys.readouterr().out)
    (mention,) = said["mentions"]
    (question,) = said["questions"]
    assert (mention["status"], mention["from"], mention["to"]) == ("question", None, None)
    assert question["choices"] == mention["choices"] == ["b7@1.4", "b7@2.2"]
    assert all(question["what"] != remark["what"] for remark in said["remarks"])
    for choice in mention["choices"]:
        assert choice in question["todo"]
        change("flat seven sings", f"[flat seven]({choice}) sings")
        assert main(["check", str(book)]) == 0
        change(f"[flat seven]({choice}) sings", "flat seven sings")


def test_check_explains_what_it_understood(book, change, capsys):
    change("{chord 2}.", "{chord 2}. Take your time. The sharp nine in bar two burns.")
    assert main(["check", "--explain", str(book)]) == 1
    captured = capsys.readouterr()
    lines = [line.strip() for line in captured.out.splitlines()]
    assert lines[lines.index("Cue 2: The lean (bars 2)") + 1 :][:7] == [
        "The flat nine leans on {chord 2}.",
        "lights  “flat nine” → b9@2",
        "Take your time.",
        "(nothing)",
        "The sharp nine in bar two burns.",
        "FAULT   “sharp nine” → #9@2",
        "there is no #9 in bar 2: it has 3 b7 b9 1 over G7; no note of the score is a #9; !#9@2 overrules",
    ]
    assert "there is no #9 in bar 2" in captured.err


def test_a_lesson_is_found_by_script_by_name_and_in_a_book(book, capsys, monkeypatch):
    script = book / "scripts" / "four-bars.yaml"
    assert main(["check", str(script)]) == main(["check", str(book), "four-bars"]) == 0
    monkeypatch.chdir(book)
    assert main(["check", "four-bars"]) == main(["check"]) == 0
    assert capsys.readouterr().out.count("Four Bars: 2 cues, no faults") == 4


def test_a_folder_without_a_book(tmp_path, fault):
    assert f"{tmp_path}: this folder holds no book" in fault("check", tmp_path)


def test_analyse_for_people(book, capsys):
    assert main(["analyse", str(book / "media" / "four-bars.musicxml")]) == 0
    bar = capsys.readouterr().out.partition("Bar 2")[2].partition("Bar 3")[0]
    assert [line.split() for line in bar.splitlines() if "A♭4" in line] == [
        ["3", "A♭4", "♭9", "tension", "→", "G4"]
    ]


def test_analyse_for_programs(book, capsys):
    assert main(["analyse", "--json", str(book / "media" / "four-bars.musicxml")]) == 0
    notes = json.loads(capsys.readouterr().out)["notes"]
    wanted = {"index", "id", "bar", "beat", "onset", "pitch", "chord", "label", "role"}
    assert all(wanted <= set(note) for note in notes)
    assert [note["index"] for note in notes] == list(range(14))
    lean = notes[6]
    assert (lean["bar"], lean["beat"], lean["onset"], lean["pitch"]) == (2, 3, 6, 68)
    assert (lean["chord"], lean["label"], lean["role"]) == ("G7", "b9", "tension")


def test_a_reader_that_has_seen_enough_is_no_failure():
    command = f"{sys.executable} -m lessonmaker analyse --json {SCORE} | head -1"
    run = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=True)
    assert (run.stdout, run.stderr) == ("{\n", "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is full")
@pytest.mark.parametrize("extra", [[], ["--json"]])
def test_an_output_that_takes_no_more(extra):
    command = [sys.executable, "-m", "lessonmaker", "analyse", str(SCORE), *extra]
    with Path("/dev/full").open("w") as full:
        run = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True)
    assert run.returncode == 1
    (one,) = run.stderr.splitlines()
    assert "disk is full" in one or "No space left" in one


def test_a_terminal_without_flat_signs(book):
    score = book / "media" / "four-bars.musicxml"
    for extra in ([], ["--json"]):
        run = subprocess.run(
            [sys.executable, "-m", "lessonmaker", "analyse", str(score), *extra],
            capture_output=True,
            env={"PYTHONIOENCODING": "ascii", "PATH": os.environ["PATH"]},
            check=True,
        )
        assert b"\\u266d9" in run.stdout or b'"b9"' in run.stdout
        assert run.stderr == b""
