"""What only the cross-check finds false is a fault in a short sentence, in a long one a question that stops nothing."""

import json

from lessonmaker.cli import main
from tests.tools.sentence_sets import OPEN

SHORT = "The D rings as the ninth of E minor."
LONG = "The D on the and of three rings as the ninth of E minor."


def test_in_a_short_sentence_it_is_a_fault(read):
    assert "fault 'ninth' ('b7@5.3&'" in read("jetty.musicxml", "5", SHORT)


def test_in_a_long_one_it_is_a_question_with_what_is_there_to_paste(read):
    found = read("jetty.musicxml", "5", LONG)
    assert "question 'ninth' ['b7@5.3&', '-']" in found
    assert "fault" not in found


def test_it_is_told_and_stops_no_build(tmp_path, capsys):
    script = tmp_path / "long.yaml"
    score = json.dumps(str(OPEN.with_name("jetty.musicxml")))
    script.write_text(f"lesson: L\nscore: {score}\ncues:\n  - bars: 5\n    say: {LONG}\n", encoding="utf-8")
    assert main(["check", str(script)]) == 0
    told = "this does not seem to be so: the D at 5.3& is the b7, not the ninth; "
    assert f"long.yaml:5:49: {told}" in capsys.readouterr().err


def test_it_is_explained_as_doubted(tmp_path, capsys):
    script = tmp_path / "long.yaml"
    score = json.dumps(str(OPEN.with_name("jetty.musicxml")))
    script.write_text(f"lesson: L\nscore: {score}\ncues:\n  - bars: 5\n    say: {LONG}\n", encoding="utf-8")
    assert main(["check", str(script), "--explain"]) == 0
    assert "doubted “ninth” → this does not seem to be so: the D at 5.3&" in capsys.readouterr().out


def test_what_may_well_be_another_note_is_a_question_in_a_long_sentence(read):
    say = "On beat one the melody touches A, which over F seven amounts to the ninth."
    found = read("night-tram.musicxml", "6", say)
    assert "question 'ninth' ['3@6.1', '-']" in found
    assert "fault" not in found
