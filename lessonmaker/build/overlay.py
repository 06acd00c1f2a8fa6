"""The score laid over a film of its performance: read, fitted, laid out, written."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import Literal

from lessonmaker.analysis.whole import analyse
from lessonmaker.build.lesson import fit_lesson
from lessonmaker.build.outputs import write
from lessonmaker.build.progress import Progress
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.picture.band import Band, BandStyle, make_band
from lessonmaker.picture.look import Look, standard_look
from lessonmaker.picture.raster import Area
from lessonmaker.score.edition import Edition, make_edition
from lessonmaker.score.model import Score
from lessonmaker.score.rows import rows
from lessonmaker.script.model import Lit
from lessonmaker.script.pins import clock_text
from lessonmaker.sound.model import Fit
from lessonmaker.sound.takereport import report_take, unsure_bars
from lessonmaker.timeline.clock import TakeClock
from lessonmaker.timeline.model import TICKS_PER_SECOND, Chapter, Timeline
from lessonmaker.timeline.through import Film, play_through
from lessonmaker.video.film import FilmInfo
from lessonmaker.video.footage import Footage, read_footage, refuse_broken
from lessonmaker.video.markers import BarMark, Timecode, bar_table, even_rate
from lessonmaker.video.overlay import Lay, Part, overlay_film
from lessonmaker.video.texts import chapter_lines

__all__ = ["Overlaid", "Overlay", "OverlayStyle", "fitted_film", "make_overlay", "mark_files"]

Side = Literal["bottom", "top", "left", "right"]

WIDE_UNITS, TALL_UNITS, SIDE_UNITS = (
    1920.0,
    1080.0,
    900.0,
)  # the length of a line in look units: its music in size
WIDE_BARS, TALL_BARS = 4, 2
MOST_SHARE = {1: Fraction(1, 3), 2: Fraction(1, 2)}  # of the picture's height, by the systems in sight
SIDE_SHARE = Fraction(9, 25)  # of the picture's width
SIDE_SYSTEMS = 4
ANY_RATE = Fraction(TICKS_PER_SECOND)
SLOWEST = Fraction(1, 4)  # a film so much shorter than the printed tempo takes cannot hold the piece


@dataclass(frozen=True)
class OverlayStyle:
    """How the score is laid over a film.

    Attributes:
        side: Where the band lies.
        beside: The film is made smaller and stands beside the band, instead of lying under it.
        systems: How many systems are in sight; None: one along the picture, four at its side.
        paper: How much the paper covers what lies behind it, 0 to 1.
        form: Show the form strip under the systems.
        labels: Label each note with its degree as it sounds.
        chords: Show the chord symbols.
    """

    side: Side = "bottom"
    beside: bool = False
    systems: int | None = None
    paper: float = 1.0
    form: bool = False
    labels: bool = False
    chords: bool = True

    @property
    def upright(self) -> bool:
        """Whether the band stands at the picture's side."""
        return self.side in ("left", "right")

    @property
    def rows(self) -> int:
        """The systems in sight."""
        return self.systems or (SIDE_SYSTEMS if self.upright else 1)


@dataclass(frozen=True)
class Overlay:
    """A film to be overlaid: with which score (and what of it), in which edition, from when to when, written where.

    `look` has its colours, faces and sizes.
    `code` is the time code it begins with, instead of the film's own; `bar_chapters` asks for a chapter a bar.
    """

    film: Path
    score: Path
    edition: Edition
    output: Path
    style: OverlayStyle = field(default_factory=OverlayStyle)
    start_s: float = 0.0
    end_s: float | None = None
    look: Look = field(default_factory=standard_look)
    code: str | None = None
    bar_chapters: bool = False


@dataclass(frozen=True)
class Overlaid:
    """A finished film with its bar table and chapters, and what was noteworthy."""

    film: Path
    bars: Path
    chapters: Path
    seconds: float
    remarks: tuple[Fault, ...]


@dataclass(frozen=True)
class FittedFilm:
    """A film and its score, brought together; what all editions share."""

    footage: Footage
    score: Score
    fit: Fit
    remarks: tuple[Fault, ...]


def fitted_film(
    film: Path,
    path: Path,
    score: Score,
    fitting: Callable[[], None] = lambda: None,
) -> FittedFilm:
    """Fit a film's sound to a score.

    Args:
        film: the film.
        path: the score's file, for messages.
        score: the score.
        fitting: called before the sound is fitted.

    Raises:
        MaterialError: the film cannot be used, is too short for the score, or is of something else.
    """
    footage = read_footage(film)
    refuse_short(footage, path, score)
    refuse_broken(footage)

    fitting()
    fit = fit_lesson(score, film)
    if not fit.accepted:
        what = (
            f"the sound of {film.name} does not seem to be of {path.name} (confidence {fit.confidence:.0%})"
        )
        todo = f"see what is heard of it: lessonmaker sync {path} {film} --plot take.png"
        raise MaterialError(Fault(what, todo, Place(film)))
    return FittedFilm(footage, score, fit, remarks_on(film, score, fit, float(footage.seconds)))


def refuse_short(footage: Footage, path: Path, score: Score) -> None:
    """Refuse a film that cannot hold the score, before it is listened to for long.

    Raises:
        MaterialError: it would have to be played four times too fast.
    """
    if score.tempo is None:
        return
    printed_s = sum(score.bars[visit.bar].length for visit in score.order) * 60 / Fraction(score.tempo)
    if footage.seconds < printed_s * SLOWEST:
        lasts, needs = clock_text(float(footage.seconds)), clock_text(float(printed_s))
        what = (
            f"{footage.path.name} is shorter than the score: it lasts {lasts}, and {path.name} takes {needs}"
        )
        todo = "give the whole film, or a score of the part that it shows"
        raise MaterialError(Fault(what, todo, Place(footage.path)))


def remarks_on(film: Path, score: Score, fit: Fit, seconds: float) -> tuple[Fault, ...]:
    """What is to be said of a fitted film."""
    unsure = list(unsure_bars(score, fit))
    printed = [visit.bar for visit in score.order] == [bar.bar for bar in fit.bars]
    phrases = () if printed else report_take(score, fit, seconds).played
    said = [Fault(f"the playing is not as printed: {phrase}", "", Place(film)) for phrase in phrases]
    if unsure:
        which = f"bar {unsure[0]}" if len(unsure) == 1 else f"bars {', '.join(unsure)}"
        said.append(
            Fault(
                f"the light may be out of time in {which}: few of the notes there are heard", "", Place(film)
            )
        )
    return tuple(said)


def make_overlay(order: Overlay, fitted: FittedFilm, progress: Progress) -> Overlaid:
    """Lay a score over a film and write it, with its bar table and chapters.

    Raises:
        MaterialError: the film breaks off, the part asked for is not in it, or the output cannot be what it is called.
        OSError: a file cannot be written.
    """
    refuse_same_file(order)
    part = part_of(order, fitted.footage)
    clock = clock_of(order, fitted.footage, part.start_s)
    if order.code is not None or fitted.footage.timecode is not None:
        part = replace(part, code=clock.at(0))
    film, timeline, score = staged(order, fitted, part)
    style = replace(order.style, systems=film.rows)
    band, lay = laid_out(style, fitted.footage, timeline, score, order.look)
    info = FilmInfo(timeline.title, timeline.composer, "", timeline.duration, timeline.chapters)
    progress.expect(round((part.end_s - part.start_s) * fitted.footage.rate))
    overlay_film(order.output, fitted.footage, band, lay, part, info, progress.advance)
    progress.clear()
    return finished(order, film, timeline, clock, (*fitted.remarks, *band.remarks))


def finished(
    order: Overlay, film: Film, timeline: Timeline, clock: Timecode, remarks: tuple[Fault, ...]
) -> Overlaid:
    """Write the bar table and the chapters of a film that is written."""
    bars, chapters = mark_files(order.output)
    write(bars, bar_table(bar_marks(film), clock))
    write(chapters, chapter_lines(timeline.chapters))
    return Overlaid(order.output, bars, chapters, timeline.duration / TICKS_PER_SECOND, remarks)


def mark_files(output: Path) -> tuple[Path, Path]:
    """Where the bar table and the chapters of a film are written."""
    return output.with_suffix(".bars.csv"), output.with_suffix(".chapters.txt")


def refuse_same_file(order: Overlay) -> None:
    """The film itself is never written over."""
    if order.output.resolve() == order.film.resolve():
        todo = "name another file with --output"
        raise MaterialError(Fault("the film would be written over itself", todo, Place(order.film)))


def part_of(order: Overlay, footage: Footage) -> Part:
    """The part of the film that is kept.

    Raises:
        MaterialError: it is not in the film, or empty.
    """
    end_s = footage.seconds if order.end_s is None else min(Fraction(order.end_s), footage.seconds)
    start_s = Fraction(order.start_s)
    if start_s >= end_s:
        asked = f"from {clock_text(order.start_s)}" + (
            "" if order.end_s is None else f" to {clock_text(order.end_s)}"
        )
        what = f"there is nothing of the film {asked}: it lasts {clock_text(float(footage.seconds))}"
        raise MaterialError(Fault(what, "give times within the film", Place(order.film)))
    return Part(start_s, end_s)


def staged(order: Overlay, fitted: FittedFilm, part: Part) -> tuple[Film, Timeline, Score]:
    """The film as it is to be played through, its timeline, and the score as it is drawn."""
    style = order.style
    wide = fitted.footage.seen_size[0] * fitted.footage.seen_aspect >= fitted.footage.seen_size[1]
    score = make_edition(fitted.score, order.edition).score
    most = WIDE_BARS if wide and not style.upright else TALL_BARS
    film = Film(
        title=score.title or order.score.stem,
        composer=score.composer,
        edition=order.edition.label,
        score=score,
        fit=fitted.fit,
        start_s=part.start_s,
        end_s=part.end_s,
        rows=min(style.rows, len(rows(score, most))),
        most=most,
        labels=degree_labels(fitted.score) if style.labels else None,
    )
    timeline = play_through(film)
    if order.bar_chapters:
        timeline = replace(timeline, chapters=bar_chapters(film))
    return film, timeline, score if style.chords else replace(score, changes=())


def degree_labels(score: Score) -> dict[str, Lit]:
    """The degree of every note that has one, by the note."""
    return {
        finding.note: Lit(finding.note, finding.degree, finding.role == "tension")
        for finding in analyse(score).findings
    }


def laid_out(
    style: OverlayStyle, footage: Footage, timeline: Timeline, score: Score, look: Look
) -> tuple[Band, Lay]:
    """The band, and where it and the film stand."""
    width, height = footage.seen_size
    broad = round(width * footage.seen_aspect / 2) * 2  # in square pixels
    if style.upright:
        band_width = round(broad * SIDE_SHARE / 4) * 4
        shape = BandStyle(style.rows, SIDE_UNITS, style.paper, style.form)
        band = make_band(timeline, score, ANY_RATE, shape, band_width, height, look)
    else:
        units = WIDE_UNITS if broad >= height else TALL_UNITS
        shape = BandStyle(style.rows, units, style.paper, style.form)
        most = int(height * MOST_SHARE.get(style.rows, Fraction(2, 3)))
        band = make_band(timeline, score, ANY_RATE, shape, broad, most, look)
    size = evenly(band.size[0] / footage.seen_aspect), band.size[1]
    return band, Lay(*places(style, (width, height), size), look.colour("paper"))


def places(style: OverlayStyle, whole: tuple[int, int], band: tuple[int, int]) -> tuple[Area, Area]:
    """Where the film and the band stand on a picture of a size."""
    (width, height), (across, down) = whole, band
    left = width - across if style.side == "right" else 0
    top = {"top": 0, "bottom": height - down}.get(style.side, evenly((height - down) / 2))
    picture = Area(left, top, left + across, top + down)
    if not style.beside:
        return Area(0, 0, width, height), picture
    room = {
        "bottom": Area(0, 0, width, top),
        "top": Area(0, down, width, height),
        "left": Area(across, 0, width, height),
        "right": Area(0, 0, left, height),
    }[style.side]
    share = min(Fraction(room.width, width), Fraction(room.height, height))
    film_width, film_height = evenly(width * share), evenly(height * share)
    x = room.left + evenly((room.width - film_width) / 2)
    y = room.top + evenly((room.height - film_height) / 2)
    return Area(x, y, x + film_width, y + film_height), picture


def evenly(pixels: float | Fraction) -> int:
    """The next lower even number."""
    return int(pixels) // 2 * 2


def bar_marks(film: Film) -> list[BarMark]:
    """The bars of the part that is kept, as they are played."""
    clock = TakeClock(film.score, film.fit)
    marks = []
    for place, bar in enumerate(film.fit.bars):
        start, end = (film.tick(seconds) for seconds in clock.bar_s(place))
        if start < end:
            marks.append(BarMark(film.score.bars[bar.bar].number, bar.visit, start, end))
    return marks


def bar_chapters(film: Film) -> tuple[Chapter, ...]:
    """A chapter for each bar that is played, the first at the film's start."""
    found = {0: film.title}
    for mark in bar_marks(film):
        found[mark.start] = f"Bar {mark.number}" + (f", time {mark.visit}" if mark.visit > 1 else "")
    return tuple(Chapter(start, title) for start, title in found.items())


def clock_of(order: Overlay, footage: Footage, start_s: Fraction) -> Timecode:
    """The time code of what is made: as asked for, else the film's own at that second, which may begin at nothing.

    Raises:
        MaterialError: what is asked for is no time code at the film's rate.
    """
    rate = even_rate(footage.rate)
    if order.code is not None:
        try:
            return Timecode.starting(order.code, rate)
        except ValueError as error:
            raise MaterialError(Fault(str(error), "mend --code", Place(order.film))) from None
    clock = Timecode.usual(rate)
    if footage.timecode is not None:
        with suppress(ValueError):
            clock = Timecode.starting(footage.timecode, rate)
    return clock.later(start_s)
