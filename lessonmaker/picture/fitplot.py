"""The picture of a take fitted to its score: waveform, bars, how sure each is, and the places to check.

Time runs in rows, each beginning with a bar where it can. Over the waveform stand the bars' numbers, under it
how well each bar's notes were heard, a lane for each way in which the player left the page, and the time. What
lies outside the etude is greyed. Under the rows the places to check are listed.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from lessonmaker.picture.faces import Face
from lessonmaker.picture.fitview import FitPlot, Row, row_breaks
from lessonmaker.picture.look import Look, Rgb, standard_look
from lessonmaker.picture.shapes import Box
from lessonmaker.picture.sheet import Sheet
from lessonmaker.picture.text import Setting, set_text, shorten
from lessonmaker.sound.model import Departure
from lessonmaker.sound.takereport import time_text

__all__ = ["Drawing", "draw_fit_png", "draw_fit_svg"]

SHORTEST_ROW_S, LONGEST_ROW_S = 12.0, 75.0
USUAL_BAR_S = 2.0
TICKS_S = (1, 2, 5, 10, 15, 30, 60)
LEAST_TICK_PX = 90
LOUDEST_PERCENTILE = 99.8
FEW_PLACES = 4
KINDS = {"wrong": "other note", "octave": "octave", "missing": "missing", "added": "added"}

Levels = npt.NDArray[np.float32]


def draw_fit_png(plot: FitPlot) -> bytes:
    """The picture as a PNG file."""
    drawing = Drawing(plot)
    return drawing.sheet.png(drawing.width, drawing.draw())


def draw_fit_svg(plot: FitPlot) -> bytes:
    """The picture as an SVG file."""
    drawing = Drawing(plot)
    return drawing.sheet.svg(drawing.width, drawing.draw())


class Drawing:
    """A picture being drawn, from the top down."""

    def __init__(self, plot: FitPlot, look: Look | None = None) -> None:
        self.plot = plot
        self.look = look or standard_look()
        self.sheet = Sheet(self.colour("paper"))
        self.width = round(self.size("width"))
        self.loudest = max(float(np.percentile(np.abs(plot.take.samples), LOUDEST_PERCENTILE)), 1e-6)

    def colour(self, use: str) -> Rgb:
        """A colour of the look."""
        return self.look.colour(use)

    def face(self, use: str) -> Face:
        """A face of the look."""
        return self.look.face(use)

    def size(self, name: str) -> float:
        """A size of the look."""
        return self.look.size("fit", name)

    @property
    def left(self) -> float:
        """Where the rows begin."""
        return self.size("left")

    @property
    def right(self) -> float:
        """Where the rows end."""
        return self.width - self.size("right")

    def draw(self) -> int:
        """Draw everything; the picture's height."""
        y = self.header()
        rows = self.rows(y)
        for row in rows:
            self.row(row)
        bottom = rows[-1].top + self.below(rows[-1])
        return round(self.list_places(bottom + self.size("row_gap")) + self.size("row_gap"))

    # The head -------------------------------------------------------------------------------------------

    def header(self) -> float:
        """Title, verdict and what was found; where they end."""
        size, margin, room = self.size, self.size("right"), self.width - 2 * self.size("right")
        y = size("top")
        title = self.sheet.text(
            self.plot.title, margin, y, size("title_size"), self.colour("ink"), self.face("title")
        )
        name = shorten(self.plot.take_name, self.face("text"), (size("text_size"),), room - title.width - 40)
        self.sheet.setting(name, self.right, y, self.colour("second"), self.plot.take_name, "right")
        y += 1.25 * size("leading")
        accepted = self.plot.fit.accepted
        verdict = f"{'Accepted' if accepted else 'Refused'}, confidence {self.plot.fit.confidence:.0%}"
        colour = self.colour("now" if accepted else "tension")
        self.sheet.text(verdict, margin, y, size("verdict_size"), colour, self.face("strong"))
        for line in self.facts():
            y += size("leading")
            setting = shorten(line, self.face("text"), (size("text_size"), size("small_size")), room)
            self.sheet.setting(setting, margin, y, self.colour("ink"), line)
        return y + size("row_gap")

    def facts(self) -> Iterator[str]:
        """What was found, a line each."""
        report = self.plot.report
        if not self.plot.fit.accepted:
            why = self.plot.fit.details.get("refused")
            yield f"This recording does not seem to be of the score{f': {why}' if why else ''}."
            if report is not None:
                yield f"The bars stand where it fits best; {self.plot.fit.details['heard']:.0%} of the notes are heard."
        if report is None or not self.plot.fit.accepted:
            return
        yield f"Sounds {report.pitch}"
        yield f"Tempo: {report.tempo}"
        around = f" · {', '.join(report.around)}" if report.around else ""
        yield f"Played: {'; '.join(report.played)}{around}"

    # Rows -----------------------------------------------------------------------------------------------

    def above(self, start_s: float, end_s: float) -> float:
        """What a row takes above its waveform: more where something is tagged in it."""
        tagged = any(start_s <= time_s < end_s for time_s, _ in (*self.plot.jumps, *self.plot.pins))
        return self.size("number_lane") + (self.size("tag_lane") if tagged else 0.0)

    def below(self, row: Row) -> float:
        """What a row takes from the top of its waveform on."""
        lanes = len(row.kinds) * self.size("mark_lane") + bool(row.passages) * self.size("passage_lane")
        return self.size("wave") + self.sure_height + lanes + self.size("axis")

    @property
    def sure_height(self) -> float:
        """What the lane takes that says how sure each bar is."""
        return self.size("sure_gap") + self.size("sure") if self.plot.bars else 0.0

    def rows(self, top: float) -> list[Row]:
        """The rows, the first one below `top`."""
        room, seconds = self.right - self.left, self.plot.take.seconds
        lengths = [bar.end_s - bar.start_s for bar in self.plot.bars]
        usual_s = float(np.median(lengths)) if lengths else USUAL_BAR_S
        most_s = float(np.clip(usual_s * room / self.size("bar_width"), SHORTEST_ROW_S, LONGEST_ROW_S))
        row_s = min(most_s, seconds / np.ceil(seconds / most_s) + usual_s, seconds)
        rows = []
        for start_s, end_s in pairwise(row_breaks([bar.start_s for bar in self.plot.bars], seconds, row_s)):
            there = {away.kind for away in self.plot.fit.departures if start_s <= away.time_s < end_s}
            kinds = tuple(kind for kind in KINDS if kind in there)
            passages = tuple(one for one in self.plot.passages if self.plot.overlaps(one, start_s, end_s))
            top += self.above(start_s, end_s)
            rows.append(Row(start_s, end_s, top, self.left, room / row_s, kinds, passages))
            top += self.below(rows[-1]) + self.size("row_gap")
        return rows

    def row(self, row: Row) -> None:
        """One row with all its lanes."""
        self.grounds(row)
        self.wave(row)
        self.bar_lines(row)
        self.tags(row)
        y = row.top + self.size("wave")
        if self.plot.bars:
            y = self.sureness(row, y + self.size("sure_gap"))
        if row.passages:
            y = self.passages(row, y)
        for kind in row.kinds:
            y = self.marks(row, kind, y)
        self.axis(row, y)

    def grounds(self, row: Row) -> None:
        """What lies behind the waveform: grey outside the etude, amber round unsure bars."""
        bars = self.plot.bars
        inside = (
            (bars[0].start_s, bars[-1].end_s) if bars else (self.plot.take.seconds, self.plot.take.seconds)
        )
        for start_s, end_s in ((0.0, inside[0]), (inside[1], self.plot.take.seconds)):
            if (sides := row.span(start_s, end_s)) is not None:
                ground = Box(sides[0], row.top, sides[1], row.top + self.size("wave"))
                self.sheet.box(ground, self.colour("cell"))
        top, bottom = row.top - self.size("number_lane"), row.top + self.size("wave") + self.sure_height
        for bar in bars:
            if bar.unsure and (sides := row.span(bar.start_s, bar.end_s)) is not None:
                self.sheet.box(Box(sides[0], top, sides[1], bottom), self.colour("light"))

    def wave(self, row: Row) -> None:
        """The waveform: its peaks either side of a middle line, and darker its mean level."""
        for levels, use in (
            (self.levels(row, peaks=True), "played"),
            (self.levels(row, peaks=False), "second"),
        ):
            self.envelope(row, levels, self.colour(use))

    def envelope(self, row: Row, levels: Levels, colour: Rgb) -> None:
        """One value a column, drawn up and down from the middle of a row's waveform."""
        middle, half = row.top + self.size("wave") / 2, self.size("wave") / 2 - 2
        xs = row.left + self.size("column") * (np.arange(len(levels)) + 0.5)
        heights = np.maximum(half * np.minimum(levels / self.loudest, 1.0), 0.5)
        upper = list(zip(xs, middle - heights, strict=True))
        lower = list(zip(xs, middle + heights, strict=True))
        if len(upper) > 1:
            self.sheet.area([*upper, *reversed(lower)], colour)

    def levels(self, row: Row, peaks: bool) -> Levels:
        """The greatest or the mean (root of the mean square) level in each column of a row."""
        take = self.plot.take
        columns = max(int((row.end_s - row.start_s) * row.pixels_a_second / self.size("column")), 1)
        edges = np.linspace(row.start_s * take.rate, row.end_s * take.rate, columns + 1).astype(np.intp)
        samples = take.samples[edges[0] : max(edges[-1], edges[0] + 1)]
        starts = np.minimum(edges[:-1] - edges[0], len(samples) - 1)
        if peaks:
            return np.asarray(np.maximum.reduceat(np.abs(samples), starts), np.float32)
        power = np.add.reduceat(np.square(samples), starts) / np.maximum(np.diff(edges), 1)
        return np.asarray(np.sqrt(power), np.float32)

    def bar_lines(self, row: Row) -> None:
        """A line where each bar starts, its number above, and its section's letter."""
        baseline = row.top - 0.28 * self.size("number_lane")
        bottom = (
            row.top + self.size("wave") + (self.size("sure_gap") + self.size("sure") if self.plot.bars else 0)
        )
        taken = row.left - 100
        for bar in self.plot.bars:
            if not row.within(bar.start_s):
                continue
            x = row.x(bar.start_s)
            self.sheet.line([(x, row.top - 6), (x, bottom)], self.colour("ink"), 1.5)
            label = set_text(
                bar.label, self.face("strong" if bar.unsure else "text"), self.size("small_size")
            )
            start = self.section(bar.section, x, baseline, taken)
            if start >= taken and start + label.advance <= self.width - 4:
                colour = self.colour("tension" if bar.unsure else "ink")
                self.sheet.setting(label, start, baseline, colour, bar.label)
                taken = start + label.advance + 8

    def section(self, letter: str, x: float, baseline: float, taken: float) -> float:
        """A section's boxed letter, where there is one and room for it; where the bar's number begins."""
        size = self.size("small_size")
        setting = set_text(letter, self.face("title"), size)
        side = max(setting.advance + 8, size + 2)
        if not letter or x < taken:
            return x + 2
        top = baseline - 0.86 * size
        self.sheet.box(Box(x, top, x + side, top + 1.1 * size), self.colour("ink"), 2, 2)
        self.sheet.setting(setting, x + side / 2, baseline, self.colour("ink"), letter, "middle")
        return x + side + 6

    def tags(self, row: Row) -> None:
        """Jumps and pins: a line through the waveform and what it is, above the bars' numbers."""
        marks = [(time_s, text, "tension") for time_s, text in self.plot.jumps]
        marks += [(time_s, f"pin {text}", "now") for time_s, text in self.plot.pins]
        baseline = row.top - self.size("number_lane") - 0.3 * self.size("tag_lane")
        taken = 0.0
        for time_s, text, use in sorted(marks):
            if not row.within(time_s):
                continue
            x, colour, pin = row.x(time_s), self.colour(use), self.size("pin")
            self.sheet.line([(x, baseline - 10), (x, row.top + self.size("wave"))], colour, 3)
            self.head(x, baseline - 10, pin, use)
            label = set_text(text, self.face("strong"), self.size("small_size"))
            start = min(x + pin + 6, self.width - 8 - label.advance)
            if start >= taken:
                self.sheet.setting(label, start, baseline, colour, text)
                taken = start + label.advance + 10

    def head(self, x: float, y: float, half: float, use: str) -> None:
        """A pin's round head, or a jump's arrow."""
        if use == "now":
            self.sheet.box(Box(x - half, y - half, x + half, y + half), self.colour(use), half)
        else:
            self.sheet.area([(x - half, y - half), (x + half, y), (x - half, y + half)], self.colour(use))

    def sureness(self, row: Row, top: float) -> float:
        """How sure each bar is: the higher the surer; where the lane ends."""
        bottom = top + self.size("sure")
        seen = [(bar, sides) for bar in self.plot.bars if (sides := row.span(bar.start_s, bar.end_s))]
        if seen:
            self.lane_name("sure", (top + bottom) / 2)
        for bar, sides in seen:
            box = Box(sides[0] + 1.5, top, sides[1] - 1.5, bottom)
            self.sheet.box(box, self.colour("cell"))
            height = bar.sure * self.size("sure")
            colour = self.colour("tension" if bar.unsure else "now")
            self.sheet.box(Box(box.left, bottom - max(height, 2.0), box.right, bottom), colour)
        return bottom

    def passages(self, row: Row, top: float) -> float:
        """A block under each passage that is not the page's; where the lane ends."""
        bottom, size = top + self.size("passage_lane"), self.size("small_size")
        self.lane_name("off page", (top + bottom) / 2 + 2)
        for passage in row.passages:
            sides = row.span(*self.plot.times_of(passage))
            assert sides is not None
            box = Box(sides[0] + 1.5, top + 4, sides[1] - 1.5, bottom)
            self.sheet.box(box, self.colour("tension"))
            setting = set_text(passage.text, self.face("strong"), size)
            if setting.advance <= box.width - 16:
                self.sheet.setting(
                    setting, box.left + 8, bottom - 0.3 * size, self.colour("paper"), passage.text
                )
        return bottom

    def marks(self, row: Row, kind: str, top: float) -> float:
        """The departures of one kind; where their lane ends."""
        bottom = top + self.size("mark_lane")
        middle = (top + bottom) / 2
        self.lane_name(KINDS[kind], middle)
        end = row.x(row.end_s)
        self.sheet.line([(row.left, middle), (end, middle)], self.colour("hairline"), 1)
        for away in self.plot.fit.departures:
            if away.kind == kind and row.within(away.time_s):
                self.mark(away, row.x(away.time_s), middle)
        return bottom

    def mark(self, away: Departure, x: float, y: float) -> None:
        """One departure: a cross, a diamond, a ring or a plus."""
        half, colour = self.size("mark"), self.colour("tension")
        if away.kind == "wrong":
            self.sheet.line([(x - half, y - half), (x + half, y + half)], colour, 3)
            self.sheet.line([(x - half, y + half), (x + half, y - half)], colour, 3)
        elif away.kind == "octave":
            self.sheet.area([(x - half, y), (x, y - half), (x + half, y), (x, y + half)], colour)
        elif away.kind == "missing":
            self.sheet.box(Box(x - half, y - half, x + half, y + half), colour, half, 3)
        else:
            self.sheet.line([(x - half, y), (x + half, y)], colour, 3)
            self.sheet.line([(x, y - half), (x, y + half)], colour, 3)

    def lane_name(self, name: str, middle: float) -> None:
        """What a lane shows, at its left."""
        size = self.size("small_size")
        self.sheet.text(
            name,
            self.left - 12,
            middle + 0.33 * size,
            size,
            self.colour("second"),
            self.face("text"),
            "right",
        )

    def axis(self, row: Row, top: float) -> None:
        """Time, in minutes and seconds."""
        step_s = next((s for s in TICKS_S if s * row.pixels_a_second >= LEAST_TICK_PX), TICKS_S[-1])
        size = self.size("small_size")
        y = top + 8
        self.sheet.line([(row.left, y), (row.x(row.end_s), y)], self.colour("second"), 1.5)
        for tick in range(int(-(-row.start_s // step_s)), int(row.end_s // step_s) + 1):
            x = row.x(tick * step_s)
            self.sheet.line([(x, y), (x, y + 7)], self.colour("second"), 1.5)
            text = time_text(tick * step_s).partition(".")[0]
            half = set_text(text, self.face("text"), size).advance / 2
            self.sheet.text(
                text,
                min(x, self.width - half - 4),
                y + 8 + 0.8 * size,
                size,
                self.colour("second"),
                self.face("text"),
                "middle",
            )

    # Places to check ------------------------------------------------------------------------------------

    def list_places(self, top: float) -> float:
        """The places to check, in two columns; where they end."""
        places = list(self.places())
        if not places:
            return top - self.size("row_gap")
        leading, most = self.size("leading"), int(self.size("list_most"))
        left, y = self.size("right"), top + leading
        self.sheet.text(
            "To check", left, y, self.size("verdict_size"), self.colour("ink"), self.face("strong")
        )
        shown = places if len(places) <= 2 * most else places[: 2 * most - 1]
        if len(shown) < len(places):
            shown = [*shown, ("", f"and {len(places) - len(shown)} bars more: see lessonmaker sync")]
        lines = -(-len(shown) // 2) if len(shown) > FEW_PLACES else len(shown)
        size = self.size("text_size")
        if any(
            self.named(bar, size).advance + set_text(text, self.face("text"), size).advance
            > self.size("list_width")
            for bar, text in shown
        ):
            size = self.size("small_size")
        for number, (bar, text) in enumerate(shown):
            column, line = divmod(number, lines)
            x = left + column * (self.size("list_width") + self.size("list_gap"))
            self.place(bar, text, x, y + (line + 1) * leading, size)
        return y + lines * leading

    def named(self, bar: str, size: float) -> Setting:
        """A bar's name and the space after it."""
        name = f"bar{'s' if '-' in bar else ''} {bar}   " if bar else ""
        return set_text(name, self.face("strong"), size)

    def place(self, bar: str, text: str, x: float, y: float, size: float) -> None:
        """One place to check."""
        name = self.named(bar, size)
        self.sheet.setting(name, x, y, self.colour("tension"), bar)
        setting = shorten(text, self.face("text"), (size,), self.size("list_width") - name.advance)
        self.sheet.setting(setting, x + name.advance, y, self.colour("ink"), text)

    def places(self) -> Iterator[tuple[str, str]]:
        """Unsure bars and departures, bar by bar in playing order."""
        report = self.plot.report
        if report is None or not self.plot.fit.accepted:
            return
        texts = {bar.bar: bar.text for bar in report.departures}
        begun = {passage.first: passage for passage in report.passages}
        for at, bar in enumerate(self.plot.bars):
            if at in begun:
                yield begun[at].bars, begun[at].text
            said = ["times unsure"] if bar.unsure else []
            said += [texts[bar.label]] if bar.label in texts else []
            if said:
                yield bar.label, "; ".join(said)
