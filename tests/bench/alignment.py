"""How well takes are fitted to their scores, as a table by kind of take: python -m tests.bench alignment.

Every figure is of takes made here (tests/tools/scored_takes.py), whose truth is known.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import numpy.typing as npt
import scipy.signal

from lessonmaker.sound.align import fit_take
from tests.bench.compare import LIBRARIES, installed, share_of
from tests.tools.fit_figures import Figures, figures, share_within
from tests.tools.recorded_notes import RecordedNotes
from tests.tools.scored_takes import INSTRUMENTS, KINDS, Case, make_case
from tests.tools.take_sound import FONTS, write_take

__all__ = ["add_options", "print_alignment"]

NEAR_S, NEARER_S = 0.05, 0.02
RECORDED = "recorded notes"
RECORDED_KINDS = ("solo", "band, equal level", "wrong: the same changes")
HOP_S = 0.01
TEN_MINUTES_S = 600
FILE_RATE_HZ, FILE_CHANNELS = 44100, 2
# "verdict": taken if right, refused if wrong; "pitch": the transposition found; "median": of found less true.
COLUMNS = ("verdict", "< 50 ms", "< 20 ms", "bars < 50", "bar lit", "pitch", "median", "worst", "its seed")
CELL = 9
Map = Callable[[Callable[["Job"], "Outcome"], Sequence["Job"]], Iterable["Outcome"]]


@dataclass(frozen=True)
class Job:
    """One case to make and fit; `notes` is a folder of recorded notes, or None; `font` a SoundFont, or any."""

    kind: str
    seed: int
    hard: bool
    instrument: str
    font: Path | None
    notes: Path | None
    compare: bool

    @property
    def row(self) -> str:
        """The row of the table that it counts in."""
        if self.notes is None:
            return self.kind
        wrong = "wrong: " if KINDS[self.kind].wrong else ""
        return f"{wrong}{RECORDED}, {RecordedNotes.of(self.notes).name}"

    def make(self) -> Case:
        """The case."""
        recorded = RecordedNotes.of(self.notes) if self.notes else None
        fonts = [self.font] if self.font else FONTS
        return make_case(self.kind, self.seed, self.hard, self.instrument, fonts, recorded=recorded)


@dataclass(frozen=True)
class Outcome:
    """What came of a job; `others` are the libraries' shares of onsets within 50 ms."""

    job: Job
    right: bool
    banded: bool
    figures: Figures
    others: dict[str, float]

    @property
    def as_it_should_be(self) -> bool:
        """Accepted if right, refused if wrong."""
        return self.figures.accepted == self.right


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of this table."""
    parser.add_argument("--seeds", type=int, default=3, help="cases a kind of take")
    parser.add_argument("--first", type=int, default=1, help="the first seed")
    parser.add_argument("--instrument", choices=list(INSTRUMENTS), default="", help="any where not said")
    parser.add_argument("--font", type=Path, help="a SoundFont; any of those installed where not said")
    parser.add_argument("--kinds", nargs="*", default=list(KINDS), metavar="KIND", help="these kinds alone")
    parser.add_argument("--notes", nargs="*", type=Path, default=[], help="folders of recorded notes")
    parser.add_argument("--compare", action="store_true", help="the libraries of the extra `compare` too")
    parser.add_argument("--jobs", type=int, default=1, help="processes to fit with")
    parser.add_argument("--no-cost", action="store_true", help="leave time and memory out")


def print_alignment(options: argparse.Namespace) -> None:
    """Print the tables."""
    with ExitStack() as stack:
        run: Map = map
        if options.jobs > 1:
            pool = ProcessPoolExecutor(options.jobs, mp_context=get_context("spawn"))
            run = stack.enter_context(pool).map
        for hard in (False, True):
            _print_table(list(_jobs(options, hard)), list(LIBRARIES) if options.compare else [], run)
    if not options.no_cost:
        _print_cost()


def _jobs(options: argparse.Namespace, hard: bool) -> Iterator[Job]:
    kinds = [(kind, None) for kind in options.kinds]
    kinds += [(kind, notes) for notes in options.notes for kind in RECORDED_KINDS]
    for kind, notes in kinds:
        for seed in range(options.first, options.first + options.seeds):
            yield Job(kind, seed, hard, options.instrument, options.font, notes, options.compare)


def outcome_of(job: Job) -> Outcome:
    """Make a case and fit it."""
    case = job.make()
    found = figures(case, fit_take(case.score, case.audio))
    there = [library for library in LIBRARIES if job.compare and case.right and installed(library)]
    others = {library: share_of(library, case) for library in there}
    return Outcome(job, case.right, case.banded, found, others)


def _print_table(jobs: Sequence[Job], others: Sequence[str], run: Map) -> None:
    """The table of one flavour, a row as soon as its cases are done, then what is said below it."""
    rows = {row: [job for job in jobs if job.row == row] for row in dict.fromkeys(job.row for job in jobs)}
    width = max(map(len, rows))
    print(f"\n{'Hard' if jobs[0].hard else 'Plain'} takes, seeds {jobs[0].seed} to {jobs[-1].seed}")
    _print_row(width, ["takes", *COLUMNS, *others])
    everything = []
    for row, some in rows.items():
        outcomes = list(run(outcome_of, some))
        _print_row(width, [row, *_cells(outcomes, others)])
        everything += outcomes
    _print_below(everything)


def _print_row(width: int, cells: Sequence[str]) -> None:
    first, *rest = cells
    print("  " + "  ".join([first.ljust(width), *(cell.ljust(CELL) for cell in rest)]).rstrip(), flush=True)


def _cells(some: Sequence[Outcome], others: Sequence[str]) -> list[str]:
    """One row: means over its cases; what was refused counts as nothing found, as it does to the author."""
    right = f"{sum(one.as_it_should_be for one in some)} of {len(some)}"
    if not some[0].right:
        confidence = max(one.figures.confidence for one in some)
        return [right, f"highest confidence {confidence:.2f}"]
    errors = np.concatenate([one.figures.note_errors_s for one in some])
    worst = min(some, key=lambda one: _share(one, NEAR_S))
    return [
        right,
        *(f"{statistics.mean(_share(one, limit) for one in some):.1%}" for limit in (NEAR_S, NEARER_S)),
        f"{statistics.mean(_bar_share(one) for one in some):.1%}",
        f"{statistics.mean(one.figures.lit * one.figures.accepted for one in some):.1%}",
        f"{sum(one.figures.shift_found for one in some)} of {len(some)}",
        f"{1000 * np.median(errors):+.0f} ms",
        f"{_share(worst, NEAR_S):.1%}",
        str(worst.job.seed),
        *(_library_cell(library, some) for library in others),
    ]


def _share(one: Outcome, limit_s: float) -> float:
    return share_within(one.figures.note_errors_s, limit_s) * one.figures.accepted


def _bar_share(one: Outcome) -> float:
    return share_within(one.figures.bar_errors_s, NEAR_S) * one.figures.accepted


def _library_cell(library: str, some: Sequence[Outcome]) -> str:
    if not installed(library):
        return "not installed"
    return f"{statistics.mean(one.others[library] for one in some):.1%}"


def _print_below(outcomes: Sequence[Outcome]) -> None:
    """Bar starts with a band and without, bars in another key, and what went wrong."""
    for name, banded in (("with a band", True), ("alone", False)):
        some = [one.figures.bar_errors_s for one in outcomes if one.right and one.banded == banded]
        if some:
            errors = np.concatenate(some)
            far = 1000 * np.median(np.abs(errors))
            print(
                f"  bar starts {name}: median {1000 * np.median(errors):+.1f} ms, median distance {far:.1f} ms"
            )
    moved = [one.figures for one in outcomes if not np.isnan(one.figures.named)]
    if moved:
        named, blamed = (np.mean([getattr(one, what) for one in moved]) for what in ("named", "blamed"))
        print(f"  bars in another key: {named:.0%} named, {blamed:.1%} of the others named too")
    for one in (one for one in outcomes if not one.as_it_should_be):
        what = "accepted" if one.figures.accepted else "refused"
        print(
            f"  wrongly {what}: {one.job.row}, seed {one.job.seed}, confidence {one.figures.confidence:.2f}"
        )


def _print_cost() -> None:
    """Time a minute of audio in one process, beside a plain spectrogram of the same take; memory."""
    print("\nTime a minute of audio, one process, and how many spectrograms (SciPy's, 10 ms hop) that is")
    for name, kind in (
        ("accepted, alone", "solo"),
        ("accepted, louder band", "band louder"),
        ("refused, another piece", "wrong: another piece"),
        ("refused, the same changes", "wrong: the same changes"),
    ):
        print(f"  {name:26}  {_time_of(make_case(kind, 1))}", flush=True)
    print("\nMost memory of a process that fits a take of ten minutes (44.1 kHz, stereo)")
    for name, kind in (
        ("accepted, with a band", "band, equal level"),
        ("refused", "wrong: the same changes"),
    ):
        print(f"  {name:26}  {_memory_of(kind)}", flush=True)


def _time_of(case: Case) -> str:
    minutes = case.audio.seconds / 60
    seconds, fits = _seconds_of(lambda: fit_take(case.score, case.audio).accepted)
    beside, _ = _seconds_of(lambda: _spectrogram(case.audio.samples, case.audio.rate))
    said = "accepted" if fits else "refused"
    return f"{seconds / minutes:5.2f} s   {seconds / beside:5.1f} spectrograms   ({said}, {case.audio.seconds:.0f} s)"


def _seconds_of(work: Callable[[], object]) -> tuple[float, object]:
    """The processor time of the quicker of two runs, and what came of it."""
    took = []
    for _ in range(2):
        start = time.process_time()
        result = work()
        took.append(time.process_time() - start)
    return min(took), result


def _spectrogram(samples: npt.NDArray[np.float32], rate: int) -> object:
    hop = int(HOP_S * rate)
    return np.abs(scipy.signal.stft(samples, rate, nperseg=4096, noverlap=4096 - hop)[2])


def _memory_of(kind: str) -> str:
    case = _long_case(kind)
    with tempfile.TemporaryDirectory() as name:
        score, take = Path(name, "score.musicxml"), Path(name, "take.wav")
        score.write_text(case.xml, encoding="utf-8")
        write_take(take, case.audio, FILE_RATE_HZ, FILE_CHANNELS)
        line = [sys.executable, "-m", "tests.bench.fit_peak", str(score), str(take)]
        said = subprocess.run(line, check=True, capture_output=True, text=True).stdout
    return f"{said.strip()}, {case.audio.seconds:.0f} s"


def _long_case(kind: str) -> Case:
    """A case of ten minutes or a little more: as many bars as its tempo needs."""
    short = make_case(kind, 1, bars=24)
    return make_case(kind, 1, bars=round(1.08 * 24 * TEN_MINUTES_S / short.end_s))
