"""The form strip: one cell a bar, the whole form always in sight."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lessonmaker.picture.figures import Figure, Frame, text_figure
from lessonmaker.picture.shapes import Box, Shape, ShapePen, rectangle
from lessonmaker.picture.text import set_text
from lessonmaker.score.model import PICKUP_NUMBER
from lessonmaker.timeline.model import Timeline

__all__ = ["Strip", "layout_strip"]

LEAST_POINTS = 2
CURVE_AIR = 3
LEAST_CELL_IN_GAPS = 2.5  # a cell is at least this many gaps wide; a longer form gets narrower gaps
PICKUP_CELL = 0.5  # of a bar's
Form = tuple[tuple[str, tuple[int, ...]], ...]


@dataclass(frozen=True)
class Strip:
    """Where each bar's cell and each section's letter stand, in look units."""

    frame: Frame
    cells: Mapping[int, Box]
    letters: tuple[tuple[str, float], ...]

    def cell_figures(self, bar: int, state: str) -> list[Figure]:
        """A bar's cell, filled by its state: "current" (taller), "played", "discussed" or "empty"."""
        box = self.cells[bar]
        radius = min(self.frame.look.size("strip", "radius"), box.width / 4)
        if state == "current":
            taller = box.grown(0, self.frame.look.size("strip", "taller"))
            return [Figure((rectangle(taller, radius),), taller, "now")]
        if state == "played":
            return [Figure((rectangle(box, radius),), box, "played")]
        return self.edged_cell(box, radius, state)

    def edged_cell(self, box: Box, radius: float, state: str) -> list[Figure]:
        """A cell with an edge: empty, or amber for bars that are discussed."""
        discussed = state == "discussed"
        edge = self.frame.look.size("strip", "edge_discussed" if discussed else "edge")
        fill, line = ("discussed", "ink") if discussed else ("cell", "cell_edge")
        return [
            Figure((rectangle(box, radius),), box, fill),
            Figure((rectangle(box, radius, min(edge, box.width / 4)),), box, line),
        ]

    def curve_figures(self, curve: Sequence[tuple[int, Sequence[float]]]) -> list[Figure]:
        """The tension over the form: a line through the cells, at their lower edge where there is rest."""
        line = self.frame.look.size("strip", "curve")
        points = [
            point
            for bar, values in curve
            if bar in self.cells
            for point in points_in(self.cells[bar], values)
        ]
        if len(points) < LEAST_POINTS:
            return []
        pen = ShapePen()
        pen.moveTo(points[0])
        for point in points[1:]:
            pen.lineTo(point)
        left, right = points[0][0], points[-1][0]
        box = Box(left, min(y for _, y in points), right, max(y for _, y in points)).grown(line)
        return [Figure((Shape(pen.commands, line=line, filled=False),), box, "ink")]

    def letter_figures(self, number: int, *, current: bool) -> list[Figure]:
        """A section's letter: ink where we are, grey elsewhere."""
        letter, x = self.letters[number]
        look = self.frame.look
        setting = set_text(letter, look.face("title"), look.size("strip", "letter_size"))
        return text_figure(setting, x, look.size("strip", "baseline"), "ink" if current else "second")


def points_in(cell: Box, values: Sequence[float]) -> list[tuple[float, float]]:
    """A cell's part of the curve: one point in the middle of each part of the bar."""
    step = cell.width / len(values)
    return [
        (cell.left + (place + 0.5) * step, cell.bottom - CURVE_AIR - value * (cell.height - 2 * CURVE_AIR))
        for place, value in enumerate(values)
    ]


def layout_strip(frame: Frame, timeline: Timeline) -> Strip:
    """Place the cells of a form across the measure; a narrower one for a pickup, before its section's letter."""
    form = tuple((letter, bars) for letter, bars in timeline.form if bars)
    shares = {bar: share_of(bar, timeline.bar_numbers) for _, bars in form for bar in bars}
    cell, gap, section_gap = cell_widths(frame, form, sum(shares.values()))
    top, bottom = frame.look.size("strip", "top"), frame.look.size("strip", "bottom")
    cells: dict[int, Box] = {}
    starts: list[tuple[str, float]] = []
    x = frame.left
    for letter, bars in form:
        for bar in bars:
            cells[bar] = Box(x, top, x + cell * shares[bar], bottom)
            x = cells[bar].right + gap
        starts.append((letter, cells[next((bar for bar in bars if shares[bar] == 1), bars[0])].left))
        x += section_gap - gap
    return Strip(frame, cells, tuple(clear_letters(frame, starts)))


def share_of(bar: int, numbers: Sequence[str]) -> float:
    """How wide the cell of a bar is beside that of a full one."""
    return PICKUP_CELL if bar < len(numbers) and numbers[bar] == PICKUP_NUMBER else 1


def cell_widths(frame: Frame, form: Form, full: float) -> tuple[float, float, float]:
    """Widths of a cell, of the gap between cells, and of the gap between sections; `full` cells fit in all."""
    look = frame.look
    gap, section_gap = look.size("strip", "gap"), look.size("strip", "section_gap")
    gaps, breaks = sum(len(section) for _, section in form) - len(form), max(len(form) - 1, 0)
    measure = frame.right - frame.left
    cell = (measure - gaps * gap - breaks * section_gap) / max(full, 1)
    if cell >= LEAST_CELL_IN_GAPS * gap:
        return cell, gap, section_gap
    share = measure / (full * LEAST_CELL_IN_GAPS * gap + gaps * gap + breaks * section_gap)
    return LEAST_CELL_IN_GAPS * gap * share, gap * share, section_gap * share


def clear_letters(frame: Frame, starts: Iterable[tuple[str, float]]) -> Iterable[tuple[str, float]]:
    """Section letters, each blank where it would stand on the one before it."""
    size = frame.look.size("strip", "letter_size")
    free = frame.left
    for letter, x in starts:
        width = set_text(letter, frame.look.face("title"), size).advance
        fits = x >= free and x + width <= frame.right + size / 4
        yield (letter if fits else "", x)
        if fits and letter:
            free = x + width + size / 5
