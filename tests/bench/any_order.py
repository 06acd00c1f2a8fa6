"""Frames read out of a lesson's clip in any order, beside those that MoviePy's own reader finds in the film's file."""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

from moviepy import VideoClip, VideoFileClip

from lessonmaker.build.clip import InAnyOrder
from lessonmaker.build.scenario import Scenario
from lessonmaker.video.clip import Stretch, lesson_clip

__all__ = ["any_order_rows"]

IN_ORDER = 300


def any_order_rows(scenario: Scenario, film: Path, rate: Fraction, reads: int) -> list[tuple[str, str]]:
    """Rows of a table: milliseconds a frame, and how many times as long the film's file takes."""
    duration = scenario.timeline.duration
    clip = lesson_clip(InAnyOrder.of(scenario), [Stretch(0, duration, duration - 1)], rate)
    order = random.Random(1)
    times = [order.randrange(int(clip.duration * rate)) / float(rate) for _ in range(2 * reads)]
    begin = clip.duration / 3
    following = [begin + number / float(rate) for number in range(IN_ORDER)]
    first, again = milliseconds(clip, times[:reads]), milliseconds(clip, times[reads:])
    in_order = milliseconds(clip, following)
    with VideoFileClip(str(film), audio=False) as file:
        sought = milliseconds(file, times[reads:])
        played = milliseconds(file, following)
    return [
        ("the clip, any order, at first", spread(first)),
        ("the clip, any order, later", spread(again)),
        ("the film's file, any order", spread(sought)),
        ("the clip, frames in order", spread(in_order)),
        ("the film's file, frames in order", spread(played)),
        ("any order: file / clip, later", f"{statistics.mean(sought) / statistics.mean(again):7.1f}"),
        ("in order: file / clip", f"{statistics.mean(played) / statistics.mean(in_order):7.1f}"),
    ]


def milliseconds(clip: VideoClip, times: Sequence[float]) -> list[float]:
    """How long each frame takes to read."""
    took = []
    for seconds in times:
        start = time.perf_counter()
        clip.get_frame(seconds)
        took.append(1000 * (time.perf_counter() - start))
    return took


def spread(took: Sequence[float]) -> str:
    """Mean, median and longest."""
    return f"mean {statistics.mean(took):6.1f} ms   median {statistics.median(took):6.1f}   longest {max(took):6.0f}"
