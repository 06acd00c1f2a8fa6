"""Where in the score the take is, roughly: a search over steps of the line, tempo and time.

A semi-Markov Viterbi search (Rabiner 1989, section IV.D): a state is a step of about a second and a half
(whole beats inside a bar) at a tempo, ended at a frame; its gain is the pitch evidence its notes gather,
read off cumulative sums, and no worse than `OFF_PAGE` a frame, for players leave the page and come back.
From any bar's end the path may jump to any bar's start, and it may enter and leave the line anywhere, each
at a price. Times advance a block at a time and only as much of the past is kept as a step can reach back; of what
came before there is only where each state came from (`Choices`), which grows with bars times duration.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from tempfile import SpooledTemporaryFile

import numpy as np
import numpy.typing as npt
from numpy.lib.stride_tricks import sliding_window_view

from lessonmaker.sound.align.choices import HELD_BYTES, Choices
from lessonmaker.sound.align.features import FRAME_S
from lessonmaker.sound.align.line import Line, swung
from lessonmaker.sound.align.pins import Pin

__all__ = [
    "Rough",
    "Steps",
    "find_structure",
    "pieces_of",
    "share_reached",
    "step_at",
    "summed",
    "tempo_moves",
]

FRAMES_A_TICK = 12
TICK_S = FRAMES_A_TICK * FRAME_S
STEP_S = 1.5
SLOWEST, FASTEST = 1.6, 0.62
TEMPO_STEP = 1.06
TEMPO_SPREAD = 0.06
NEAR = 2
SWING_SHARE = 0.59
JUMP_BARS = 1.2
OFF_PAGE = -0.2
PIN_BARS = 20
PIN_SPREAD_S = 0.2
CHUNK = 256
IMPOSSIBLE = np.float32(-1e9)
FROM_STEP, FROM_JUMP, FROM_START = 0, 1, 2
MOVES = 2 * NEAR + 1

Float = npt.NDArray[np.float32]
Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Rough:
    """A path found: bars of the line in playing order, the times (beats + 1,) of their beats, the gain.

    The route is empty where the take is shorter than any bar.
    """

    route: tuple[int, ...]
    beat_times: Array
    gain: float


def share_reached(gain: float, evidence: Float, beat_times: Array) -> float:
    """A path's gain as a share of what the likeliest pitch of every frame it passes would gather."""
    first, last = np.clip(beat_times[[0, -1]] / FRAME_S, 0, len(evidence)).astype(np.intp)
    return gain / max(1e-9, float(evidence[first : last + 1].max(axis=1).sum()))


NOTHING = Rough((), np.zeros(1), 0.0)


@dataclass(frozen=True, eq=False)
class Steps:
    """Steps of a line: `edges` (steps + 1,) in beats, `quarters` (steps,), bars' first and last steps."""

    edges: Ints
    quarters: Array
    first: Ints
    last: Ints


def find_structure(
    evidence: Float, lowest: int, line: Line, quarter_s: float, pins: Sequence[Pin] = ()
) -> Rough:
    """The best path of a take through a line.

    Args:
        evidence: (frames, pitches) from `pitch_evidence`.
        lowest: The MIDI pitch of its first column.
        line: The line, at the take's transposition.
        quarter_s: How long a quarter lasts at the score's tempo.
        pins: Places of the line that the path is to pass at their times.
    """
    return _Search(evidence, lowest, line, quarter_s, pins).run()


def summed(evidence: Float, frames: int) -> Float:
    """Cumulative sums (pitches, ticks + 1) of evidence (frames, pitches), `frames` frames a tick."""
    ticks = len(evidence) // frames
    blocks = evidence[: ticks * frames].reshape(ticks, frames, -1).sum(axis=1)
    total = np.zeros((evidence.shape[1], ticks + 1), np.float32)
    for row, column in zip(total, blocks.T, strict=True):
        row[1:] = np.cumsum(column, dtype=np.float64)
    return total


def pieces_of(line: Line, edges: Ints, share: float) -> list[tuple[int, float, float, int]]:
    """Which step holds which note: (step, from, to as shares of the step, pitch), cut at the edges."""
    onsets = swung(line.onsets, line.straight, share)
    ends = swung(line.ends, line.straight, share)
    ends = np.minimum(ends, np.append(onsets[1:], line.beats))
    pieces = []
    for onset, end, pitch in zip(onsets, ends, line.pitches, strict=True):
        while onset < end - 1e-6:
            step = int(np.searchsorted(edges, onset + 1e-9, "right")) - 1
            until = min(end, edges[step + 1])
            size = edges[step + 1] - edges[step]
            pieces.append((step, (onset - edges[step]) / size, (until - edges[step]) / size, int(pitch)))
            onset = until
    return pieces


def tempo_moves(step: float, spread: float, near: int) -> Float:
    """Log prior (2 near + 1,) of the tempo moving that many grid steps between two steps."""
    moves = np.arange(-near, near + 1)
    return np.asarray(-0.5 * (moves * np.log(step) / spread) ** 2, np.float32)


def step_at(edges: Ints, beat: float) -> tuple[int, float]:
    """The step that holds a beat, and how far into it (0 to 1) the beat lies."""
    step = int(np.clip(np.searchsorted(edges, beat + 1e-6, "right") - 1, 0, len(edges) - 2))
    return step, (beat - float(edges[step])) / float(edges[step + 1] - edges[step])


def _steps_of(line: Line, quarter_s: float) -> Steps:
    edges: list[int] = [0]
    last = []
    for begin, end in zip(line.bar_beats, line.bar_beats[1:], strict=False):
        seconds = line.beat_quarters[begin:end].sum() * quarter_s
        count = int(np.clip(round(seconds / STEP_S), 1, end - begin))
        edges += [int(begin + cut) for cut in np.round(np.linspace(0, end - begin, count + 1))[1:]]
        last.append(len(edges) - 2)
    quarters = np.add.reduceat(line.beat_quarters, edges[:-1])
    ends = np.array(last)
    return Steps(np.array(edges), quarters, np.append(0, ends[:-1] + 1), ends)


class _Search:
    """One search: fixed tables, then buffers that slide along with time."""

    def __init__(
        self, evidence: Float, lowest: int, line: Line, quarter_s: float, pins: Sequence[Pin]
    ) -> None:
        self.line, self.lowest = line, lowest
        self.steps = _steps_of(line, quarter_s)
        self.tempi = np.exp(np.arange(np.log(FASTEST), np.log(SLOWEST), np.log(TEMPO_STEP)))
        ticks = self.steps.quarters[:, None] * quarter_s * self.tempi / TICK_S
        self.ticks = np.maximum(1, np.round(ticks)).astype(np.intp)
        self.longest = int(self.ticks.max())
        self.block = int(self.ticks.min())
        sums = summed(evidence, FRAMES_A_TICK)
        self.end = sums.shape[1] - 1
        self.sums = np.pad(sums, ((0, 0), (self.longest, CHUNK)), mode="edge")
        self.pieces = pieces_of(line, self.steps.edges, SWING_SHARE)
        self.moves = tempo_moves(TEMPO_STEP, TEMPO_SPREAD, NEAR)
        bar_gain = self._bar_gain(evidence, quarter_s)
        self.jump, self.pin_gain = JUMP_BARS * bar_gain, PIN_BARS * bar_gain
        self.pins = [(pin.time_s, *step_at(self.steps.edges, pin.beat)) for pin in pins]
        self._make_buffers()

    def _bar_gain(self, evidence: Float, quarter_s: float) -> float:
        """What a usual bar gains where every note is heard perfectly."""
        bar_quarters = float(self.line.beat_quarters.sum()) / len(self.line.visits)
        return float(np.median(evidence.max(axis=1))) * bar_quarters * quarter_s / FRAME_S

    def _make_buffers(self) -> None:
        count, tempi = self.ticks.shape
        self.width = self.longest + CHUNK
        self.reach = np.full((count + 1, tempi, self.width), IMPOSSIBLE, np.float32)
        self.jumped = np.full((tempi, self.width), IMPOSSIBLE, np.float32)
        self.jump_from = np.zeros((tempi, self.end + 1), np.int16)
        self.chosen = np.zeros((count, tempi, CHUNK), np.uint8)
        rows = np.arange(count)[:, None] * tempi + np.arange(tempi)
        self.before = rows * self.width - self.ticks
        self.before_jump = np.arange(tempi) * self.width - self.ticks[self.steps.first]
        self.entering = np.full((len(self.steps.first), 1, 1), -0.5 * self.jump, np.float32)
        self.entering[0] = 0
        self.leaving = np.full((len(self.steps.last), 1, 1), -0.5 * self.jump, np.float32)
        self.leaving[-1] = 0
        self.best = (float(IMPOSSIBLE), 0, 0, 0)

    def run(self) -> Rough:
        """Advance through the whole take, then follow the best path back."""
        with SpooledTemporaryFile(HELD_BYTES) as file:
            back = Choices(file, *self.chosen.shape)
            for chunk in range(0, self.end + 1, CHUNK):
                size = min(CHUNK, self.end + 1 - chunk)
                gains = self._gains(chunk, size)
                for offset in range(0, size, self.block):
                    until = min(offset + self.block, size)
                    self._advance(chunk, offset, until, gains[:, :, offset:until])
                back.add(self.chosen)
                self.reach[:, :, : self.longest] = self.reach[:, :, CHUNK:].copy()
                self.jumped[:, : self.longest] = self.jumped[:, CHUNK:].copy()
            return self._trace(back)

    def _gains(self, chunk: int, size: int) -> Float:
        """(steps, tempi, size): the evidence that a step ended at each tick gathers."""
        gains = np.zeros((*self.ticks.shape, size), np.float32)
        windows = sliding_window_view(self.sums, size, axis=1)
        for step, begin, end, pitch in self.pieces:
            ticks = self.ticks[step]
            start = chunk + self.longest - ticks
            row = windows[pitch - self.lowest]
            a, b = (np.round(share * ticks).astype(np.intp) for share in (begin, end))
            gains[step] += row[start + b] - row[start + a]
        np.maximum(gains, (OFF_PAGE * FRAMES_A_TICK * self.ticks[..., None]).astype(np.float32), out=gains)
        for time_s, step, share in self.pins:
            ticks = self.ticks[step][:, None]
            passed_s = (chunk + np.arange(size) - (1 - share) * ticks) * TICK_S
            gains[step] += self.pin_gain * np.exp(-0.5 * ((passed_s - time_s) / PIN_SPREAD_S) ** 2)
        return gains

    def _advance(self, chunk: int, offset: int, until: int, gains: Float) -> None:
        """One block of ticks, all of which depend on earlier blocks only."""
        columns = self.longest + np.arange(offset, until)
        value = np.take(self.reach, self.before[..., None] + columns)
        source = np.full(value.shape, FROM_STEP, np.int8)
        first = self.steps.first
        bars, origin = value[first], source[first]
        jumped = np.take(self.jumped, self.before_jump[..., None] + columns)
        _replace(bars, origin, jumped, FROM_JUMP)
        ticks = np.arange(chunk + offset, chunk + until)
        enters = np.where(self.ticks[first][..., None] <= ticks, self.entering, IMPOSSIBLE)
        _replace(bars, origin, enters.astype(np.float32), FROM_START)
        value[first], source[first] = bars, origin
        value += gains
        self._note_best(value, chunk + offset)
        moved, move = self._with_tempo_moves(value)
        self.reach[1:, :, columns] = moved
        self.chosen[:, :, offset:until] = source * MOVES + move
        ends = moved[self.steps.last]
        self.jumped[:, columns] = ends.max(axis=0) - self.jump
        self.jump_from[:, ticks] = ends.argmax(axis=0)

    def _note_best(self, value: Float, tick: int) -> None:
        ends = value[self.steps.last] + self.leaving
        bar, tempo, ahead = np.unravel_index(int(ends.argmax()), ends.shape)
        if ends[bar, tempo, ahead] > self.best[0]:
            self.best = (float(ends[bar, tempo, ahead]), int(bar), int(tempo), tick + int(ahead))

    def _with_tempo_moves(self, value: Float) -> tuple[Float, npt.NDArray[np.int8]]:
        """The best value from which each tempo can be reached, and the move (0 .. 2 NEAR) that gives it."""
        best = value.copy()
        move = np.full(value.shape, NEAR, np.int8)
        tempi = value.shape[1]
        for index, price in enumerate(self.moves):
            shift = index - NEAR
            to = slice(max(0, -shift), tempi - max(0, shift))
            of = slice(max(0, shift), tempi - max(0, -shift))
            _replace(best[:, to], move[:, to], value[:, of] + price, index)
        return best, move

    def _trace(self, back: Choices) -> Rough:
        gain, bar, tempo, tick = self.best
        if gain < IMPOSSIBLE / 2:
            return NOTHING
        step = int(self.steps.last[bar])
        path = []
        while True:
            begin = tick - int(self.ticks[step, tempo])
            path.append((step, begin, tick))
            source, tick = back.at(step, tempo, tick) // MOVES, begin
            if source == FROM_START:
                break
            step = step - 1 if source == FROM_STEP else int(self.steps.last[self.jump_from[tempo, tick]])
            tempo += back.at(step, tempo, tick) % MOVES - NEAR
        return self._rough(path[::-1], gain)

    def _rough(self, path: list[tuple[int, int, int]], gain: float) -> Rough:
        """Bars and beat times from (step, first tick, last tick)."""
        edges = self.steps.edges
        bar_of = {int(step): bar for bar, step in enumerate(self.steps.first)}
        route = tuple(bar_of[step] for step, _, _ in path if step in bar_of)
        times: list[float] = []
        for step, begin, end in path:
            count = int(edges[step + 1] - edges[step])
            times += [(begin + (end - begin) * beat / count) * TICK_S for beat in range(count)]
        return Rough(route, np.array([*times, path[-1][2] * TICK_S]), gain)


def _replace(best: Float, source: npt.NDArray[np.int8], other: Float, name: int) -> None:
    """Where `other` is better, take it and note where it came from; in place."""
    better = other > best
    np.copyto(best, other, where=better)
    source[better] = name
