"""Progress: how far, how long still, and how it is shown."""

import io
from datetime import datetime

import pytest

from lessonmaker.build.progress import LONGEST_LOG, WIDTH, Log, Progress, clock


class Terminal(io.StringIO):
    def isatty(self):
        return True


def test_films_to_come_count_as_the_mean_of_those_begun():
    progress = Progress(films=4, stream=io.StringIO())
    progress.expect(100)
    progress.begin()
    progress.expect(300)
    progress.begin()
    assert progress.total == 800
    progress.advance(200)
    assert progress.line(progress.began_s) == "0 of 4 films,  25% of the work, 0:00 left"


def test_the_time_left_follows_from_the_speed_so_far():
    progress = Progress(films=1, stream=io.StringIO())
    progress.expect(900)
    progress.advance(300)
    assert progress.left_s(progress.began_s + 10) == pytest.approx(20)
    assert progress.line(progress.began_s + 60) == "0 of 1 film,  33% of the work, 2:00 left"


def test_a_terminal_has_one_line_redrawn():
    stream = Terminal()
    progress = Progress(films=1, stream=stream)
    progress.expect(10)
    progress.advance(5)
    progress.advance(1)  # too soon after the last to be drawn
    assert stream.getvalue().startswith("\r0 of 1 film,  50% of the work, 0:00 left")
    assert len(stream.getvalue()) == WIDTH + 1
    progress.step("writing")
    assert stream.getvalue().endswith(" \rwriting\n")


def test_elsewhere_there_is_a_line_a_step():
    stream = io.StringIO()
    progress = Progress(films=1, stream=stream)
    progress.step("speaking")
    progress.expect(10)
    progress.advance(10)
    progress.clear()
    assert stream.getvalue() == "speaking\n"


def test_nothing_is_said_of_the_time_left_before_the_first_picture():
    progress = Progress(films=1, stream=io.StringIO())
    progress.expect(10)
    assert progress.line(progress.began_s) == "0 of 1 film,   0% of the work"
    assert clock(3599.6) == "60:00"


def test_programs_are_told_how_far_it_is():
    events = []
    progress = Progress(films=2, stream=io.StringIO(), tell=events.append)
    progress.step("speaking")
    progress.expect(10)
    progress.begin()
    progress.advance(5)
    assert events[0] == {"event": "step", "text": "speaking"}
    assert (events[1]["event"], events[1]["films"], events[1]["films_done"], events[1]["share"]) == (
        "progress",
        2,
        0,
        0.25,
    )
    assert events[1]["left_s"] >= 0


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
