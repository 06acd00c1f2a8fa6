"""Progress: how far, how long still, and how it is shown."""

import io
import re
from datetime import datetime

import pytest

from lessonmaker.build import progress as progress_module
from lessonmaker.build.forecast import Expected, Forecast
from lessonmaker.build.progress import LONGEST_LOG, WIDTH, Log, Progress, clock
from lessonmaker.build.workshop import Task


class Terminal(io.StringIO):
    def isatty(self):
        return True


def task(seconds):
    return Task("key", bytes, "pictures", seconds)


def films_of_a_lesson(number, seconds, **more):
    forecast = Forecast.of([Expected("one", seconds)] * number)
    return Progress(films=number, forecast=forecast, width=lambda: 2, **more)


def test_the_films_to_come_count_as_the_last_one_of_their_lesson():
    progress = films_of_a_lesson(4, 100, stream=io.StringIO())
    before_s = progress.forecast.left_s(2)
    for film in range(2):
        progress.found(film, task(200))
        progress.begin(film)
    assert progress.forecast.left_s(2) == pytest.approx(2 * before_s, rel=0.1)
    progress.done(task(200), 300)
    assert progress.line.startswith("0 of 4 films,  25% of the work, 7:")


def test_a_film_that_is_made_here_goes_on_as_quickly_as_so_far(monkeypatch):
    now_s = iter([0.0, 10.0, 10.0, 60.0, 60.0])
    monkeypatch.setattr(progress_module, "monotonic", lambda: next(now_s))
    progress = Progress(stream=io.StringIO())
    progress.expect(9000)
    progress.begin()
    progress.advance(3000)
    assert progress.forecast.left_s(1) == pytest.approx(20, rel=0.05)
    progress.advance(3000)
    assert progress.line == "0 of 1 film,  67% of the work, 0:30 left"


def test_a_terminal_has_one_line_redrawn():
    stream = Terminal()
    progress = films_of_a_lesson(1, 10, stream=stream)
    progress.found(0, task(10))
    progress.begin(0)
    progress.done(task(5), 5.0)
    progress.done(task(1), 1.0)  # too soon after the last to be drawn
    assert re.match(r"\r0 of 1 film,  \d\d% of the work, 0:0\d left", stream.getvalue())
    assert len(stream.getvalue()) == WIDTH + 1
    progress.step("writing")
    assert stream.getvalue().endswith(" \rwriting\n")


def test_elsewhere_there_is_a_line_a_step():
    stream = io.StringIO()
    progress = films_of_a_lesson(1, 10, stream=stream)
    progress.step("speaking")
    progress.found(0, task(10))
    progress.done(task(10), 10.0)
    progress.clear()
    assert stream.getvalue() == "speaking\n"


def test_minutes_and_seconds():
    assert (clock(0.4), clock(3599.6)) == ("0:00", "60:00")


def test_programs_are_told_how_far_it_is():
    events = []
    progress = films_of_a_lesson(2, 10, stream=io.StringIO(), tell=events.append)
    progress.step("speaking")
    progress.found(0, task(10))
    progress.begin(0)
    progress.done(task(5), 5.0)
    assert events[0] == {"event": "step", "text": "speaking"}
    assert (events[1]["event"], events[1]["films"], events[1]["films_done"]) == ("progress", 2, 0)
    assert events[1]["share"] == pytest.approx(5 / 22, abs=0.03)
    assert events[1]["left_s"] == pytest.approx(15 / 2 + 1, abs=1)


def test_the_log_notes_each_step_with_its_time(tmp_path):
    log = Log(tmp_path / "build.log")
    progress = Progress(stream=io.StringIO(), log=log)
    progress.step("speaking")
    progress.note("out/concert/four-bars.mp4 (24 s)")
    lines = (tmp_path / "build.log").read_text().splitlines()
    assert [line[21:] for line in lines] == ["speaking", "out/concert/four-bars.mp4 (24 s)"]
    assert all(datetime.fromisoformat(line[:19]) for line in lines)
    (tmp_path / "build.log").write_text("x" * (LONGEST_LOG + 1))
    log.begin()
    assert not (tmp_path / "build.log").exists()
    Log(tmp_path / "nowhere" / "build.log").note("lost")
    assert not (tmp_path / "nowhere").exists()
