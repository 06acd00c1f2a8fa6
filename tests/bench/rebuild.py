"""How long a book takes to build, and to build again: `python -m tests.bench rebuild`.

The demo book is built in a folder of its own: from nothing, with nothing changed, with one sentence changed, on one
processor. With `--synthetic` a book of many lessons is made from the demo's, each with a title and words of its own,
and built with the memory of all its processes watched.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from lessonmaker.theory.counting import UNITS
from tests.bench.stopwatch import Stopwatch
from tests.tools.at_once import AtOnce

__all__ = ["add_rebuild_options", "print_rebuild"]

REPOSITORY = Path(__file__).parents[2]
SENTENCE = "Count two, two, three."
CHANGED = "Count two, two, three, as if you were walking upstairs."
LESSONS = ("gaslight-errand", "the-tin-heron")
FILM_S = 290
WATCHED_S = 0.5


def add_rebuild_options(parser: argparse.ArgumentParser) -> None:
    """The options of this table."""
    parser.add_argument(
        "--synthetic", action="store_true", help="build a large book too (a quarter of an hour)"
    )
    parser.add_argument("--lessons", type=int, default=10, help="how many lessons that book has")
    parser.add_argument("--minutes", type=float, default=8, help="about how long its films are")


def print_rebuild(options: argparse.Namespace) -> None:
    """Print the tables."""
    with tempfile.TemporaryDirectory() as name:
        demo_tables(Path(name))
    with tempfile.TemporaryDirectory() as name:
        overhead_table(Path(name))
    if options.synthetic:
        with tempfile.TemporaryDirectory() as name:
            synthetic_table(Path(name), options.lessons, options.minutes)


def demo_tables(folder: Path) -> None:
    """The demo book: full, again, one sentence, one processor."""
    book = demo_book(folder / "book")
    full, told = told_build(book)
    again = build(book)
    script = book / "scripts" / "the-tin-heron.yaml"
    script.write_text(script.read_text().replace(SENTENCE, CHANGED))
    sentence = build(book)
    shutil.rmtree(book / "out")
    alone = build(book, processors={0})
    print("\nThe demo book, eight films, 39 minutes")
    for what, seconds in (
        ("from nothing", full),
        ("nothing changed", again),
        ("one sentence changed", sentence),
    ):
        print(f"  {what:24}  {seconds:7.2f} s   {seconds / full:6.1%} of the full build")
    for what, some in (("from the start", told), ("after a tenth", told[len(told) // 10 :])):
        right = sum(abs(left - rest) <= rest / 3 for left, rest in some)
        print(f"  {'time left, ' + what:24}  right within a third {right} of {len(some)} times")
    print(
        f"  {'one processor':24}  {alone:7.2f} s   {alone / full:6.2f} x the time of {len(usable())}",
        flush=True,
    )


def overhead_table(folder: Path) -> None:
    """What keeping and finding parts costs, in one process that does all the work itself."""
    from lessonmaker.build import films, pictures, workshop
    from lessonmaker.build.order import find_order
    from lessonmaker.build.plan import plan_of
    from lessonmaker.build.progress import Progress
    from lessonmaker.build.store import Store
    from lessonmaker.build.workers import Workers

    watch = Stopwatch()
    places = (
        (Store, "get", "store"),
        (Store, "put", "store"),
        (pictures, "digest_of", "keys"),
        (pictures.FilmPictures, "shown_on", "keys"),
        (workshop.Workshop, "work", "all else"),
    )
    order = find_order([str(demo_book(folder / "book")), LESSONS[1]], ["concert"])
    with watch.watching(*places), watch.on("all else"), io.StringIO() as nowhere:
        list(
            films.make_films(
                order,
                plan_of(order, folder / "out"),
                folder / "out",
                Progress(stream=nowhere),
                Workers(AtOnce(), lambda: 1),
            )
        )
    whole = sum(watch.processor_seconds.values())
    print("\nOne film, all in one process, processor time")
    for name, seconds in watch.processor_seconds.items():
        print(f"  {name:24}  {seconds:7.2f} s   {seconds / whole:6.1%}", flush=True)


def synthetic_table(folder: Path, lessons: int, minutes: float) -> None:
    """A large book, with the memory that its build takes."""
    book = synthetic_book(folder / "book", lessons, minutes)
    seconds, peaks = watched_build(book)
    films = list((book / "out").glob("*/*.mp4"))
    size = sum(path.stat().st_size for path in films) / 1e9
    print(f"\nA book of {lessons} lessons in 4 editions, about {minutes:.0f} minutes a film")
    print(f"  {'from nothing':24}  {seconds / 60:7.2f} min  {len(films)} films, {size:.1f} GB")
    quarters = [max(peaks[at * len(peaks) // 4 : (at + 1) * len(peaks) // 4] or [0]) for at in range(4)]
    print(
        f"  {'most memory, by quarter':24}  " + "  ".join(f"{peak / 1e6:.0f} MB" for peak in quarters),
        flush=True,
    )
    print(f"  {'nothing changed':24}  {build(book):7.2f} s")


def demo_book(book: Path) -> Path:
    """The demo book in a folder."""
    for name in ("scripts", "media", "shared"):
        shutil.copytree(REPOSITORY / name, book / name)
    return book


def synthetic_book(book: Path, lessons: int, minutes: float) -> Path:
    """Lessons made from the demo's: a title of their own, other words in each cue, cues again until long enough."""
    demo_book(book)
    names = [f"etude-{number:02}.yaml" for number in range(1, lessons + 1)]
    for number, name in enumerate(names, 1):
        text = (book / "scripts" / f"{LESSONS[number % 2]}.yaml").read_text()
        (book / "scripts" / name).write_text(own_lesson(text, f"Etude {UNITS[number]}", minutes))
    file = book / "scripts" / "book.yaml"
    file.write_text(re.sub(r"(?m)^lessons: .*", f"lessons: [{', '.join(names)}]", file.read_text()))
    return book


def own_lesson(text: str, title: str, minutes: float) -> str:
    """A script under another title, with other words and so many minutes."""
    head, cues = text.split("\ncues:\n")
    head = re.sub(r"(?m)^lesson: .*", f"lesson: {title}", head)
    first, again = (
        cues.replace("say: |\n", f"say: |\n      {title}, {time}.\n") for time in ("first", "second")
    )
    more = re.split(r"(?m)^  - ", again)[1:][: extra(cues, minutes)]
    return f"{head}\ncues:\n{first}" + "".join(f"  - {cue}" for cue in more)


def extra(cues: str, minutes: float) -> int:
    """How many cues more make a film so long."""
    count = len(re.findall(r"(?m)^  - ", cues))
    return round(count * max(0.0, 60 * minutes / FILM_S - 1))


def command(book: Path) -> list[str]:
    """The command that builds a book."""
    return [sys.executable, "-m", "lessonmaker", "build", str(book)]


def build(book: Path, processors: set[int] | None = None) -> float:
    """Build a book, perhaps on some processors alone; the seconds it took."""
    before = usable()
    os.sched_setaffinity(0, processors or before)
    begun = time.perf_counter()
    try:
        subprocess.run(command(book), check=True, capture_output=True, cwd=REPOSITORY)
    finally:
        os.sched_setaffinity(0, before)
    return time.perf_counter() - begun


def told_build(book: Path) -> tuple[float, list[tuple[float, float]]]:
    """Build a book; the seconds it took, and each time left that it told, beside what was left then."""
    begun, told = time.perf_counter(), []
    with subprocess.Popen(
        [*command(book), "--json"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, cwd=REPOSITORY
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            event = json.loads(line)
            if event.get("event") == "progress":
                told.append((event["left_s"], time.perf_counter()))
    if process.returncode:
        raise SystemExit(f"the build ended with status {process.returncode}")
    ended = time.perf_counter()
    return ended - begun, [(left_s, ended - at) for left_s, at in told]


def usable() -> set[int]:
    """The processors that may be used."""
    return os.sched_getaffinity(0)


def watched_build(book: Path) -> tuple[float, list[int]]:
    """Build a book; the seconds it took, and now and then the bytes that all its processes held."""
    begun, peaks = time.perf_counter(), []
    process = subprocess.Popen(
        command(book), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=REPOSITORY
    )
    while process.poll() is None:
        peaks.append(sum(map(resident_bytes, family(process.pid))))
        time.sleep(WATCHED_S)
    if process.returncode:
        raise SystemExit(f"the build ended with status {process.returncode}")
    return time.perf_counter() - begun, peaks


def family(process: int) -> Iterator[int]:
    """A process and those it has started, by number."""
    yield process
    for children in Path(f"/proc/{process}/task").glob("*/children"):
        for child in read(children).split():
            yield from family(int(child))


def resident_bytes(process: int) -> int:
    """What a process holds in memory, its share of what several hold counted by their number."""
    found = re.search(r"(?m)^Pss:\s+(\d+) kB", read(Path(f"/proc/{process}/smaps_rollup")))
    return 1024 * int(found[1]) if found else 0


def read(path: Path) -> str:
    """A file of /proc; nothing where its process has ended."""
    try:
        return path.read_text()
    except OSError:
        return ""
