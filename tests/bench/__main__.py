"""Figures of this machine, as tables: python -m tests.bench, from the checkout.

With the name of a table, such as `python -m tests.bench alignment`, that table is printed instead; `--help` tells them.

Of times nothing is asserted: how fast a machine is says nothing about whether the product is right.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from fractions import Fraction
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from lessonmaker.build.check import check_order
from lessonmaker.build.lesson import ReadyLesson, fit_lesson, ready_lesson
from lessonmaker.build.narrator import Narrator, narrator_of
from lessonmaker.build.order import Order, find_order
from lessonmaker.build.pictures import FilmPictures
from lessonmaker.build.scenario import Scenario, stage
from lessonmaker.build.sounds import Programme
from lessonmaker.build.voice import Voice
from lessonmaker.picture import painter as painter_module
from lessonmaker.picture.look import standard_look
from lessonmaker.picture.page import Engraving
from lessonmaker.picture.painter import Painter
from lessonmaker.score.edition import make_edition
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video import film
from lessonmaker.video.encode import Coder, Format, Run, encode_run
from tests.bench.alignment import add_options, print_alignment
from tests.bench.any_order import any_order_rows
from tests.bench.composite import plain_composite, ticks_to_frame, write_composite
from tests.bench.faults import add_fault_options, print_faults
from tests.bench.hearing import hearing_rows
from tests.bench.light import light_errors
from tests.bench.long_film import add_long_options, print_long
from tests.bench.overlay import add_overlay_options, print_overlay
from tests.bench.peak import peak_megabytes
from tests.bench.rebuild import add_rebuild_options, print_rebuild
from tests.bench.stopwatch import Stopwatch, seconds_of

LESSON, EDITION = "the-tin-heron", "concert"
RATE = Fraction(30)
ENOUGH_S = 0.040
STAGES = (
    "engraving",
    "painting",
    "encoding",
    "pictures, the rest",
    "speaking",
    "mixing sound",
    "sound to AAC, file",
)
PICTURE_STAGES = STAGES[:4]


def table(title: str, rows: list[tuple[str, str]]) -> None:
    """Print a table of two columns."""
    width = max(len(name) for name, _ in rows)
    print(f"\n{title}")
    for name, value in rows:
        print(f"  {name:{width}}  {value}", flush=True)


def film_seconds(scenario: Scenario) -> float:
    """How long the film plays."""
    return scenario.timeline.duration / TICKS_PER_SECOND


def info(scenario: Scenario) -> film.FilmInfo:
    """What the film's file says of itself."""
    timeline = scenario.timeline
    return film.FilmInfo(timeline.title, timeline.composer, "", timeline.duration, timeline.chapters)


def one_process(order: Order, lesson: ReadyLesson, folder: Path) -> tuple[Scenario, float]:
    """Make the film in this process and tell the stages apart; the seconds its pictures took."""
    watch = Stopwatch()
    places = (
        (Voice, "narrate", "speaking"),
        (Programme, "mixed", "mixing sound"),
        (Engraving, "made", "engraving"),
        (painter_module, "engraved", "engraving"),
        (Painter, "planes", "painting"),
        (Coder, "picture", "encoding"),
        (Coder, "same", "encoding"),
        (film, "encode_run", "pictures, the rest"),
        (film, "join", "sound to AAC, file"),
    )
    with watch.watching(*places), watch.on("layout"):
        scenario = stage(lesson, order.editions[0], order.book, narrator(lesson, order), standard_look())
        film.write_film(
            folder / "one.mp4", scenario.painter, scenario.programme.mixed(), RATE, info(scenario)
        )
    length, parts, busy = film_seconds(scenario), watch.seconds, watch.processor_seconds
    pictures, busy_pictures = (sum(some[name] for name in PICTURE_STAGES) for some in (parts, busy))
    everything = sum(parts.values())
    megabytes = (folder / "one.mp4").stat().st_size / 1e6
    rows = [(name, f"{parts[name]:7.2f} s   processor {busy[name]:6.2f} s") for name in (*STAGES, "layout")]
    rows += [
        ("pictures in all", f"{pictures:7.2f} s   {length / pictures:5.1f} x real time"),
        ("pictures, processor time", f"{busy_pictures:7.2f} s   {length / busy_pictures:5.1f} x real time"),
        ("film in all, sound too", f"{everything:7.2f} s   {length / everything:5.1f} x real time"),
        ("file", f"{megabytes:7.1f} MB  {60 * megabytes / length:5.1f} MB a minute"),
    ]
    table(
        f"A film of {length:.0f} s, {order.book.size[0]} x {order.book.size[1]}, {RATE} frames/s, one process",
        rows,
    )
    return scenario, pictures


def against_moviepy(scenario: Scenario, folder: Path, seconds: int) -> None:
    """The same stretch of the film here and as a plain MoviePy composite, in turn."""
    performance = max(scenario.timeline.clips, key=lambda clip: (clip.kind == "take") * clip.cut_end_s)
    first = ticks_to_frame(performance.start, RATE) // 60 * 60 + 120
    last = first + int(seconds * RATE)
    form = Format(*scenario.painter.size, RATE)
    ours = seconds_of(lambda: encode_run(fresh(scenario.painter), form, Run(first, last)))
    clip = plain_composite(scenario.painter, first, last, RATE)
    theirs = seconds_of(lambda: write_composite(clip, folder / "plain.mp4", RATE))
    table(
        f"{seconds} s of the performance, pictures only",
        [
            ("here, engraving included", f"{ours:7.2f} s   {seconds / ours:5.1f} x real time"),
            ("plain MoviePy, pictures ready", f"{theirs:7.2f} s   {seconds / theirs:5.2f} x real time"),
            ("ratio", f"{theirs / ours:7.0f}"),
        ],
    )


def fresh(painter: Painter) -> Painter:
    """A painter that has engraved nothing yet."""
    return Painter(painter.timeline, painter.score, painter.given_look, painter.size, painter.rate)


def two_processes(scenario: Scenario, alone: float) -> None:
    """The pictures by two workers."""
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as workers:
        list(workers.map(abs, range(8)))

        def pictures() -> None:
            tasks = FilmPictures(scenario.painter).tasks
            jobs = [workers.submit(task.work) for task in tasks]
            assert all(job.result() for job in jobs)

        both = seconds_of(pictures)
    ratio = f"{both:7.2f} s   {alone / both:5.2f} x one process ({os.cpu_count()} processors)"
    table("Pictures by two processes", [("both at work, their start included", ratio)])


def memory(scenario: Scenario) -> None:
    """What a worker holds at most, for a part of the film and for all of it."""
    whole = film.frame_count(scenario.timeline.duration, RATE)
    rows = []
    for frames in (whole // 4, whole):
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as worker:
            peak = worker.submit(peak_megabytes, scenario.painter, RATE, frames).result()
        rows.append((f"{float(frames / RATE):.0f} s of film", f"{peak:6.0f} MB"))
    table("Most memory of a worker", rows)


def commands(order: Order, times: int) -> None:
    """How long the program takes to answer."""
    rows = []
    for words in (["--help"], ["check", str(order.book.folder)]):
        line = [sys.executable, "-m", "lessonmaker", *words]
        took = [seconds_of(lambda line=line: run_quietly(line)) for _ in range(times)]  # type: ignore[misc]
        rows.append((f"lessonmaker {words[0]}", f"{statistics.median(took):6.2f} s"))
    table(f"Commands (median of {times})", rows)


def run_quietly(line: list[str]) -> None:
    """Run a command that must succeed."""
    subprocess.run(line, check=True, capture_output=True)


def fitting(lesson: ReadyLesson) -> None:
    """How long a take is fitted."""
    assert lesson.take is not None
    take, minutes = lesson.take.path, lesson.take_seconds / 60
    took = seconds_of(lambda: fit_lesson(lesson.checked.score, take))
    row = f"{took:6.2f} s   {took / minutes:5.2f} s a minute of take"
    table(f"Fitting a take of {60 * minutes:.0f} s", [(take.name, row)])


def narrator(lesson: ReadyLesson, order: Order) -> Narrator:
    """The voices of a lesson."""
    return narrator_of(lesson.checked, order.editions, Voice.of(order.book))


def light(order: Order, scenario: Scenario | None = None) -> None:
    """How far the light is from the true times, in every demo lesson with a table of them."""
    rows = []
    for lesson in map(ready_lesson, check_order(order)):
        made = scenario or stage(
            lesson, order.editions[0], order.book, narrator(lesson, order), standard_look()
        )
        score = make_edition(lesson.checked.score, order.editions[0]).score
        for what, errors in light_errors(lesson.name, made.timeline, score).items():
            rows.append((f"{lesson.name}, {len(errors)} {what}", spread(errors)))
    table("Light against the true times (late is positive)", rows)


def spread(errors: np.ndarray[tuple[int], np.dtype[np.float64]]) -> str:
    """Errors in seconds, in short."""
    away = np.abs(errors)
    return (
        f"median {1000 * np.median(away):5.1f} ms   mean {1000 * np.mean(errors):+6.1f} ms   "
        f"largest {1000 * away.max():5.0f} ms   within 40 ms {np.mean(away <= ENOUGH_S):6.1%}"
    )


def main() -> None:
    """Print the tables asked for."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description="Figures of this machine.")
    parser.add_argument(
        "--quick", action="store_true", help="one lesson's light, a shorter stretch, no repeats"
    )
    tables = parser.add_subparsers(dest="table", metavar=f"[{' | '.join(TABLES)}]")
    for name, (what, add, _) in TABLES.items():
        add(tables.add_parser(name, help=what))
    options = parser.parse_args()
    if options.table:
        TABLES[options.table][2](options)
    else:
        film_tables(options.quick)


def no_options(parser: argparse.ArgumentParser) -> None:
    """A table that has no options."""
    del parser


def print_hearing(options: argparse.Namespace) -> None:
    """How long an analysis and a check take."""
    del options
    table("Processor time of hearing a score and checking what is said of it", hearing_rows())


TABLES = {
    "alignment": ("how well takes are fitted to their scores", add_options, print_alignment),
    "faults": (
        "builds killed, damaged, out of disk, two at once: what is lost",
        add_fault_options,
        print_faults,
    ),
    "hearing": ("how long an analysis and a check take", no_options, print_hearing),
    "long-film": ("how well a long film is fitted and lit", add_long_options, print_long),
    "overlay": ("how long a film takes to be laid under its score", add_overlay_options, print_overlay),
    "rebuild": ("how long a book takes to build, and to build again", add_rebuild_options, print_rebuild),
}


def film_tables(quick: bool) -> None:
    """How quickly films are made, and how near the light comes."""
    order = find_order([LESSON], [EDITION])
    lesson = ready_lesson(check_order(order)[0])
    with tempfile.TemporaryDirectory() as name:
        scenario, alone = one_process(order, lesson, Path(name))
        against_moviepy(scenario, Path(name), 6 if quick else 10)
        two_processes(scenario, alone)
        rows = any_order_rows(scenario, Path(name) / "one.mp4", RATE, 60 if quick else 200)
        table("Frames of the lesson's clip", rows)
    memory(scenario)
    commands(order, 1 if quick else 3)
    fitting(lesson)
    light(order if quick else find_order([], [EDITION]), scenario if quick else None)


if __name__ == "__main__":
    main()
