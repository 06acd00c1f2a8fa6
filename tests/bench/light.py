"""How far the light is from the notes: the demo takes against the times at which they were performed."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import numpy.typing as npt

from lessonmaker.score.model import Score
from lessonmaker.timeline.model import TICKS_PER_SECOND, AudioClip, Light, Timeline

__all__ = ["light_errors"]

DATA = Path(__file__).parents[1] / "data"


def light_errors(name: str, timeline: Timeline, score: Score) -> dict[str, npt.NDArray[np.float64]]:
    """Seconds from the true start to the light, of every bar and every note of the whole performance.

    Raises:
        ValueError: the light does not follow the bars that were played.
    """
    clip = max((one for one in timeline.clips if one.stretch == 1), key=heard_seconds)
    struck = {note.id for note in score.struck}  # and not the heads that a note is tied on to
    bars = lit(timeline, clip, "bar")
    notes = [light for light in lit(timeline, clip, "note") if light.targets[0] in struck]
    bar_rows, note_rows = rows(f"{name}.bars.csv"), rows(f"{name}.truth.csv")
    bar_of = {note.id: note.bar for note in score.notes}
    check([score.bars[light.targets[0]].number for light in bars], bar_rows)
    check([score.bars[bar_of[light.targets[0]]].number for light in notes], note_rows)
    return {
        "bars": errors(bars, clip, [float(row["time_s"]) for row in bar_rows]),
        "notes": errors(notes, clip, [float(row["onset_s"]) for row in note_rows]),
    }


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table of true times."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def heard_seconds(clip: AudioClip) -> float:
    """How much of the take a clip plays."""
    return clip.cut_end_s - clip.cut_start_s


def lit(timeline: Timeline, clip: AudioClip, kind: str) -> list[Light]:
    """The lights of a kind while a clip sounds, in order."""
    end = clip.start + heard_seconds(clip) * TICKS_PER_SECOND
    lights = (light for light in timeline.lights if light.kind == kind and light.use == "now")
    return sorted(
        (light for light in lights if clip.start <= light.start < end), key=lambda light: light.start
    )


def check(lit_bars: list[str], true_rows: list[dict[str, str]]) -> None:
    """See that the same bars are lit as were played."""
    if lit_bars != [row["bar"] for row in true_rows]:
        raise ValueError("the light does not follow the bars that were played")


def errors(lights: list[Light], clip: AudioClip, true_s: list[float]) -> npt.NDArray[np.float64]:
    """From the true times to the light, in seconds; light that is late is positive."""
    shown = np.array([light.start - clip.start for light in lights]) / TICKS_PER_SECOND + clip.cut_start_s
    return np.asarray(shown - np.array(true_s), np.float64)
