"""Candidates for notes that the score does not have: what sounds where the line rests or a long note goes on.

After the first part of each note the clearest stretch of another pitch is looked for, until the next note
begins; the clues tell a note of its own from a room's tail, a band's chord, an ornament before the next note.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.ndimage import uniform_filter1d

from lessonmaker.sound.align.features import FRAME_S
from lessonmaker.sound.align.line import Line
from lessonmaker.sound.align.smooth import Timing
from lessonmaker.sound.align.strays import PEAK_FRAMES, Wide, note_bodies

__all__ = ["Extras", "extras"]

LEAST_OWN_S, OWN_SHARE = 0.12, 0.35
SHORTEST_FRAMES = 8
FLOOR = 1.0
TAIL_S, SHORTEST_REST_S = 0.15, 0.1
# How far from a stretch, in frames, what comes before and after it is looked at.
FAR, NEAR = 16, 5
CLUES = 17

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Extras:
    """Candidates for added notes: a row each.

    `note` is the note of the line before it, `pitch` what sounds, `begin` and `end` frames, `clues`
    (candidates, CLUES) what the network goes by.
    """

    note: Ints
    pitch: Ints
    begin: Ints
    end: Ints
    clues: Array


def extras(wide: Wide, level: Float, line: Line, timing: Timing) -> Extras:
    """The clearest stretch of another pitch after each note's first part, until the next note."""
    ends = timing.ends(line)
    spans = note_bodies(timing.onsets, ends, len(wide.evidence))
    columns = line.pitches - wide.lowest
    own = np.array([wide.evidence[a:b, column].mean() for (a, b), column in zip(spans, columns, strict=True)])
    smooth = uniform_filter1d(wide.evidence, PEAK_FRAMES, axis=0, mode="nearest")
    take = _Take(wide, smooth, level, columns, float(np.median(own)), _rest_evidence(wide, timing, ends))
    rows = []
    for note, (onset, end) in enumerate(zip(timing.onsets, ends, strict=True)):
        begin = int((onset + max(LEAST_OWN_S, OWN_SHARE * (end - onset))) / FRAME_S)
        limit = int(timing.onsets[note + 1] / FRAME_S) if note + 1 < len(columns) else int(end / FRAME_S)
        stretch = _clearest(take, note, begin, min(limit, len(wide.evidence)))
        if stretch is not None:
            pitch, first, last = stretch
            rows.append(
                (note, pitch + wide.lowest, first, last, take.clues(note, pitch, first, last, end, limit))
            )
    places = np.array([row[:4] for row in rows], np.intp).reshape(-1, 4)
    found = np.array([row[4] for row in rows], np.float64).reshape(-1, CLUES)
    return Extras(places[:, 0], places[:, 1], places[:, 2], places[:, 3], found)


@dataclass(frozen=True, eq=False)
class _Take:
    """What the candidates of a take are judged against."""

    wide: Wide
    smooth: Float
    level: Float
    columns: Ints
    clarity: float
    rests: float

    def clues(self, note: int, pitch: int, first: int, last: int, end_s: float, limit: int) -> list[float]:
        """One candidate's clues (CLUES,)."""
        evidence, own = self.wide.evidence, int(self.columns[note])
        inside, here = evidence[first:last], evidence[first:last, pitch]
        early = evidence[max(0, first - FAR) : max(1, first - NEAR)]
        late = evidence[last + NEAR : last + FAR, pitch]
        quiet = self.level[max(0, first - NEAR - 1) : first]
        loud = self.level[first:last]
        following = int(self.columns[note + 1]) if note + 1 < len(self.columns) else own
        recent = self.columns[max(0, note - 3) : note]
        return [
            here.mean(),
            here.mean() - self.clarity,
            np.log((last - first) * FRAME_S),
            here.mean() - early[:, pitch].mean(),
            here.mean() - (late.mean() if len(late) else -4.0),
            inside[:, own].mean(),
            early[:, own].mean(),
            loud.mean(),
            loud.max() - quiet.min() if len(quiet) else 0.0,
            min(1.0, (limit - last) * FRAME_S),
            min(1.0, first * FRAME_S - end_s),
            pitch in recent,
            abs(pitch - own) in (12, 19, 24),
            abs(pitch - own) <= 1,
            abs(pitch - following) <= 2,
            self.rests,
            pitch < self.columns.min() or pitch > self.columns.max(),
        ]


def _rest_evidence(wide: Wide, timing: Timing, ends: Array) -> float:
    """How clearly something is heard in the line's rests: a band plays on in them."""
    heard = [
        wide.evidence[int((end + TAIL_S) / FRAME_S) : int(onset / FRAME_S)].max(axis=1).mean()
        for end, onset in zip(ends[:-1], timing.onsets[1:], strict=True)
        if onset - end > TAIL_S + SHORTEST_REST_S
    ]
    return float(np.median(heard)) if heard else 0.0


def _clearest(take: _Take, note: int, begin: int, end: int) -> tuple[int, int, int] | None:
    """The pitch (a column), first and end frame of the stretch that gathers most evidence, if there is one."""
    if end - begin < SHORTEST_FRAMES:
        return None
    over = np.maximum(take.smooth[begin:end] - np.float32(FLOOR), 0)
    over[:, take.columns[note]] = 0
    best, found = 0.0, None
    for pitch in np.flatnonzero((over > 0).sum(axis=0) >= SHORTEST_FRAMES):
        edges = np.flatnonzero(np.diff(np.concatenate([[0], over[:, pitch] > 0, [0]]))).reshape(-1, 2)
        for first, last in edges:
            total = float(over[first:last, pitch].sum())
            if last - first >= SHORTEST_FRAMES and total > best:
                best, found = total, (int(pitch), begin + int(first), begin + int(last))
    return found
