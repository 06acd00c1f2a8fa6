"""The bench's tables are there: what they need of the program and of the tests is found."""

import pytest

from lessonmaker.script.load import load_lesson
from tests.bench import __main__ as bench
from tests.bench.hearing import SAID, long_lesson


def test_every_table_can_be_asked_for(monkeypatch, capsys):
    for name in bench.TABLES:
        monkeypatch.setattr("sys.argv", ["bench", name, "--help"])
        with pytest.raises(SystemExit, match=r"^0$"):
            bench.main()
        assert f"tests.bench {name}" in capsys.readouterr().out
    assert len(bench.TABLES) >= 5


def test_the_lesson_that_is_timed_has_its_sentences(tmp_path):
    script = tmp_path / "lesson.yaml"
    script.write_text(long_lesson(), encoding="utf-8")
    assert len(load_lesson(script).cues) == SAID
