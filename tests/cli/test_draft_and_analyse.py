"""`draft` and `analyse` as commands."""

import json
import re
from pathlib import Path

import pytest

from lessonmaker.cli import main

SCORE = Path(__file__).parents[2] / "media" / "the-tin-heron.musicxml"


def test_a_draft_is_printed(capsys) -> None:
    assert main(["draft", str(SCORE)]) == 0
    printed = capsys.readouterr().out
    assert printed.startswith("# A first draft")
    assert "cues:" in printed


def test_a_draft_is_written_and_passes_check(tmp_path: Path, capsys) -> None:
    script = tmp_path / "heron.yaml"
    assert main(["draft", str(SCORE), "--output", str(script)]) == 0
    assert "Next: lessonmaker check" in capsys.readouterr().out
    assert main(["check", str(script)]) == 0
    assert "no faults" in capsys.readouterr().out


def test_a_draft_beside_a_book_is_to_be_named_in_it(tmp_path: Path, capsys) -> None:
    assert main(["new", str(tmp_path / "book")]) == 0
    script = tmp_path / "book" / "scripts" / "heron.yaml"
    assert main(["draft", str(SCORE), "--output", str(script)]) == 0
    named = (
        f"Next: name it in {script.with_name('book.yaml')}, under lessons; then lessonmaker check {script}"
    )
    assert named in capsys.readouterr().out


def test_a_draft_writes_over_nothing(tmp_path: Path, capsys) -> None:
    script = tmp_path / "heron.yaml"
    script.write_text("mine")
    assert main(["draft", str(SCORE), "--output", str(script)]) == 1
    assert "there is a file of this name already" in capsys.readouterr().err
    assert script.read_text() == "mine"


def test_a_folder_that_is_not_there_is_a_fault(tmp_path: Path, capsys) -> None:
    assert main(["draft", str(SCORE), "--output", str(tmp_path / "none" / "a.yaml")]) == 1
    assert "the draft cannot be written" in capsys.readouterr().err


def test_a_draft_from_words_says_what_it_left_unlinked(tmp_path: Path, capsys) -> None:
    words = tmp_path / "words.srt"
    words.write_text("1\n00:00:01,000 --> 00:00:04,000\nIn bar five there is a sharp nine.\n")
    assert main(["draft", str(SCORE), "--from", str(words), "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert "[sharp nine](-)" in said["script"]
    assert said["unlinked"][0]["time_s"] == 1.0


def test_a_transcript_may_go_on_for_hours(tmp_path: Path, capsys) -> None:
    words = tmp_path / "words.vtt"
    words.write_text(
        "WEBVTT\n\n59:58.000 --> 01:00:02.500\nIn bar five there is a sharp nine.\n\n"
        "01:30:00.000 --> 01:30:04.000\nThat was bar seven, with a sharp nine.\n\n"
        "100:00:01.000 --> 100:00:03.000\nIn bar five there is a sharp nine.\n"
    )
    assert main(["draft", str(SCORE), "--from", str(words), "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert [each["time_s"] for each in said["unlinked"]] == [3598.0, 5400.0, 360001.0]
    times = re.findall(r"# said from (\S+) to (\S+)", said["script"])
    assert times == [("59:58", "1:00:02"), ("1:30:00", "1:30:04"), ("100:00:01", "100:00:03")]
    assert main(["draft", str(SCORE), "--from", str(words)]) == 0
    assert re.findall(r"not linked, at (\S+): ", capsys.readouterr().err) == ["59:58", "1:30:00", "100:00:01"]


def test_analyse_finds_what_is_asked_for(capsys) -> None:
    assert main(["analyse", str(SCORE), "--find", "#11 -> 3 over V"]) == 0
    assert "the-tin-heron.musicxml 3.5&-3.6: resolution." in capsys.readouterr().out


def test_analyse_finds_in_a_whole_book(capsys) -> None:
    assert main(["analyse", str(SCORE.parents[1]), "--find", "two five one", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["found"]
    assert {Path(each["score"]).stem for each in found} == {"gaslight-errand", "the-tin-heron"}


def test_a_book_is_named_by_its_folder_or_its_file(capsys) -> None:
    book, said = SCORE.parents[1], []
    for name in (book, book / "scripts", book / "scripts" / "book.yaml"):
        assert main(["analyse", str(name), "--find", "cross rhythm"]) == 0
        said.append(capsys.readouterr().out)
    assert "gaslight-errand.musicxml 37.1-38.4: cross rhythm." in said[0]
    assert len(set(said)) == 1


def test_a_score_of_several_lessons_is_looked_into_once(tmp_path: Path, capsys) -> None:
    scripts = tmp_path / "scripts"
    scripts.mkdir()
    (scripts / "book.yaml").write_text(
        "book: Parts\nlessons: [part-1.yaml, part-2.yaml]\neditions: [concert]\n"
    )
    for number, bars in enumerate(("1-4", "5-8"), 1):
        cue = f'- {{bars: "{bars}", say: "Here it goes."}}'
        script = f"lesson: Part {number}\nscore: {SCORE}\ntake: {SCORE.with_suffix('.ogg')}\ncues:\n  {cue}\n"
        (scripts / f"part-{number}.yaml").write_text(script)
    assert main(["analyse", str(SCORE), "--find", "#11 -> 3 over V", "--json"]) == 0
    alone = json.loads(capsys.readouterr().out)["found"]
    assert main(["analyse", str(tmp_path), "--find", "#11 -> 3 over V", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["found"]
    assert [(each["from"], each["to"]) for each in found] == [(each["from"], each["to"]) for each in alone]
    assert [Path(each["score"]).name for each in found] == ["the-tin-heron.musicxml"] * len(found)
    assert found


def test_bars_that_the_score_has_not_are_named(capsys) -> None:
    assert main(["analyse", str(SCORE), "--find", "99-100"]) == 2
    assert "there is no bar or section '99'" in capsys.readouterr().err


def test_a_question_that_is_none_is_wrong_usage(capsys) -> None:
    assert main(["analyse", str(SCORE), "--find", "wobble"]) == 2
    assert "'wobble' cannot be looked for" in capsys.readouterr().err


def test_nothing_found_is_said(capsys) -> None:
    assert main(["analyse", str(SCORE), "--find", "blues form"]) == 0
    assert "nothing of the kind was found" in capsys.readouterr().out


@pytest.mark.parametrize("part", ["Phrases", "Keys", "Harmony", "Resolution", "Two five one"])
def test_analyse_ends_with_what_the_line_does(capsys, part: str) -> None:
    assert main(["analyse", str(SCORE)]) == 0
    assert part in capsys.readouterr().out.splitlines()
