"""How quickly a score is laid over a film, and in how much memory: `python -m tests.bench overlay`.

The film is 1920 x 1080 at 30 frames a second, as a camera makes it; its sound is a demo take, fitted beforehand.
"""

from __future__ import annotations

import argparse
import os
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from itertools import islice
from multiprocessing import get_context
from pathlib import Path

import av
import numpy as np
from moviepy import CompositeVideoClip, ImageClip, VideoFileClip

from lessonmaker.build.check import check_order
from lessonmaker.build.layer import make_layer
from lessonmaker.build.lesson import ready_lesson
from lessonmaker.build.order import Order, find_order
from lessonmaker.build.overlay import (
    FittedFilm,
    Overlay,
    laid_out,
    make_versions,
    part_of,
    stage_film,
)
from lessonmaker.build.progress import Progress
from lessonmaker.score.edition_table import EDITIONS
from lessonmaker.score.model import Score
from lessonmaker.script.overlay_style import OverlayStyle
from lessonmaker.sound.model import Fit
from lessonmaker.sound.read import read_audio
from lessonmaker.video.footage import open_film, read_footage, timed_frames
from lessonmaker.video.overlay import Composer, last_tick
from tests.bench.memory import most_held
from tests.tools.camera_film import camera_film
from tests.tools.likeness import likeness

__all__ = ["add_overlay_options", "print_overlay"]

LESSON = "the-tin-heron"
TOGETHER = ("concert", "b-flat", "e-flat", "bass-clef")
JUDGED = 60  # frames
SIZE, RATE = (1920, 1080), Fraction(30)
SOUND_RATE = 48_000


@dataclass(frozen=True)
class Case:
    """A film and what is laid over it; it travels to other processes."""

    film: Path
    score: Score
    fit: Fit
    order: Order

    def overlay(self, output: Path, seconds: float, paper: int = 100) -> Overlay:
        """The first seconds of the film, overlaid."""
        return Overlay(
            film=self.film,
            score=Path("score.musicxml"),
            edition=self.order.editions[0],
            output=output,
            style=OverlayStyle(paper=paper),
            end_s=seconds,
        )

    @property
    def fitted(self) -> FittedFilm:
        """The film, as if it had been listened to."""
        return FittedFilm(read_footage(self.film), self.score, self.fit, ())


def add_overlay_options(parser: argparse.ArgumentParser) -> None:
    """The options of this table."""
    parser.add_argument("--seconds", type=float, default=10, help="how much of the film is overlaid")
    parser.add_argument("--long", type=float, default=60, help="and how much where start-up counts little")
    parser.add_argument(
        "--minutes", type=float, nargs="*", default=[1, 5], help="lengths at which memory is measured"
    )


def print_overlay(options: argparse.Namespace) -> None:
    """Print the tables."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        longest = max(options.seconds, options.long, *(60 * length for length in options.minutes))
        case = made_case(folder, longest)
        megabits = case.film.stat().st_size * 8e-6 / float(read_footage(case.film).seconds)
        print(f"\nA film of {SIZE[0]} x {SIZE[1]}, {RATE} frames/s, {megabits:.1f} Mbit/s")
        ours = overlay_rows(case, folder, options.seconds, options.long)
        print_likeness(case, folder / "made.mp4", options.seconds)
        edition_rows(case, folder, options.seconds)
        composite_row(case, folder, options.seconds, ours)
        layer_rows(case, folder, options.seconds)
        if options.minutes:
            memory_rows(case, folder, options.minutes)


def made_case(folder: Path, seconds: float) -> Case:
    """The film, its score and fit."""
    order = find_order([LESSON], ["concert"])
    lesson = ready_lesson(check_order(order)[0])
    assert lesson.take is not None and lesson.fit is not None
    sound = read_audio(lesson.take.path, SOUND_RATE).samples
    film = camera_film(folder / "film.mp4", seconds, sound, SOUND_RATE, SIZE, RATE)
    return Case(film, lesson.checked.score, lesson.fit, order)


def busy_s() -> float:
    """Processor time of this process and of those it has waited for."""
    return sum(os.times()[:4])


def timed(seconds: float, work: Callable[[], object]) -> tuple[float, str]:
    """How long some work takes by the clock, and that in words."""
    start, busy = time.perf_counter(), busy_s()
    work()
    took, busy = time.perf_counter() - start, busy_s() - busy
    cores = f"processor {busy:7.2f} s, {busy / took:4.2f} at once"
    return took, f"{took:7.2f} s   {seconds / took:5.2f} x real time   {cores}"


def overlay_rows(case: Case, folder: Path, seconds: float, long_s: float) -> float:
    """One frame, a stretch on opaque and on clear paper, a long stretch; seconds of the stretch on opaque paper."""
    output, took = folder / "made.mp4", {}
    rows = (
        ("start-up and one frame", float(1 / RATE), 100),
        (f"{long_s:.0f} s", long_s, 100),
        (f"{seconds:.0f} s, paper of 60 %", seconds, 60),
        (f"{seconds:.0f} s", seconds, 100),
    )
    for what, length, paper in rows:
        took[what], row = timed(length, partial(overlay, case, output, length, paper))
        bits = f"   {output.stat().st_size * 8e-6 / length:.1f} Mbit/s" if length > 1 else ""
        print(f"  {what:24}  {row}{bits}", flush=True)
    return took[f"{seconds:.0f} s"]


def print_likeness(case: Case, made: Path, seconds: float) -> None:
    """How alike the first two seconds of a stretch that was written are to what was handed to the encoder."""
    order, fitted = case.overlay(made, seconds), case.fitted
    part = part_of(fitted.footage, order.start_s, order.end_s)
    band, lay = laid_out(order, stage_film(order, fitted, part), fitted.footage)
    composer = Composer(fitted.footage, band, lay)
    with open_film(case.film) as source, av.open(str(made)) as container:
        frames = timed_frames(source, fitted.footage, part.start_s, part.end_s)
        handed_over = (composer.frame(frame, gone_s) for frame, _, gone_s in frames)
        found = likeness(islice(container.decode(video=0), JUDGED), handed_over)
    print(f"  {'against what it is to be':24}  luma PSNR {found.psnr_db:.2f} dB, SSIM {found.ssim:.4f}")


def edition_rows(case: Case, folder: Path, seconds: float) -> None:
    """Editions of one film, each by itself and from one decoding."""
    orders = [
        replace(case.overlay(folder / f"{name}.mp4", seconds), edition=EDITIONS[name]) for name in TOGETHER
    ]
    for what, groups in (("apart", [[order] for order in orders]), ("from one decoding", [orders])):
        _, row = timed(len(orders) * seconds, partial(make_groups, groups, case.fitted))
        print(f"  {f'{len(orders)} editions, {what}':24}  {row}", flush=True)


def make_groups(groups: Sequence[Sequence[Overlay]], fitted: FittedFilm) -> None:
    """Overlay groups of editions, each from one decoding."""
    for orders in groups:
        make_versions(orders, fitted, Progress(films=len(orders)))


def overlay(case: Case, output: Path, seconds: float, paper: int = 100) -> None:
    """Overlay the first seconds."""
    make_versions([case.overlay(output, seconds, paper)], case.fitted, Progress())


def composite_row(case: Case, folder: Path, seconds: float, ours: float) -> None:
    """The same strip as stills with masks over the film, put together and written by MoviePy as it does by itself."""
    stills = strip_stills(case, folder, seconds)
    with VideoFileClip(str(case.film), audio=False) as under:
        clip = CompositeVideoClip([under.subclipped(0, seconds), *stills], size=SIZE)
        path = folder / "plain.mp4"
        took, row = timed(
            seconds, partial(clip.write_videofile, str(path), codec="libx264", audio=False, logger=None)
        )
    print(f"  {'plain MoviePy composite':24}  {row}")
    print(f"  {'ratio':24}  {took / ours:7.2f}", flush=True)


def strip_stills(case: Case, folder: Path, seconds: float) -> list[ImageClip]:
    """The strip as it is to be seen, a still a look; made before anything is timed."""
    order, fitted = case.overlay(folder / "none.mp4", seconds), case.fitted
    staged = stage_film(order, fitted, part_of(fitted.footage, order.start_s, order.end_s))
    band, lay = laid_out(order, staged, fitted.footage)
    looks: list[tuple[int, object]] = []
    for number in range(round(seconds * RATE)):
        key = band.key(last_tick((number + 1) / RATE))
        if not looks or looks[-1][1] != key:
            looks.append((number, key))
    ends = [*(number for number, _ in looks[1:]), round(seconds * RATE)]
    stills = []
    for (start, key), end in zip(looks, ends, strict=True):
        pixels, _ = band.cover(key)  # type: ignore[arg-type]
        mask = ImageClip(pixels[:, :, 3] / 255, is_mask=True)
        still = ImageClip(np.ascontiguousarray(pixels[:, :, :3]), duration=float((end - start) / RATE))
        place = (lay.picture.left, lay.picture.top)
        stills.append(still.with_mask(mask).with_start(float(start / RATE)).with_position(place))
    return stills


def layer_rows(case: Case, folder: Path, seconds: float) -> None:
    """The layer in both its forms."""
    for ending in (".mov", ".webm"):
        output = folder / f"layer{ending}"
        order = case.overlay(output, seconds)
        _, row = timed(seconds, partial(make_layer, order, case.fitted, Progress()))
        megabytes = output.stat().st_size / 1e6 / seconds
        print(f"  {'layer, ' + ending:24}  {row}   {megabytes:.2f} MB a second", flush=True)


def memory_rows(case: Case, folder: Path, minutes: list[float]) -> None:
    """The most memory of a process that overlays a stretch of the film."""
    print("\nMost memory of a process that overlays")
    for length in minutes:
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as worker:
            peak = worker.submit(peak_megabytes, case, folder / "made.mp4", 60 * length).result()
        print(f"  {length:4.1f} minutes  {peak:6.0f} MB", flush=True)


def peak_megabytes(case: Case, output: Path, seconds: float) -> float:
    """What this process has held at most after overlaying."""
    overlay(case, output, seconds)
    return most_held() / 1e6
