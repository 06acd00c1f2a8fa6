"""The score laid over a film of its performance: read, fitted, laid out, written."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path

from lessonmaker.analysis.whole import analyse
from lessonmaker.build.lesson import anchors_of
from lessonmaker.build.outputs import OverlayOutputs, write, write_captions, write_times
from lessonmaker.build.progress import Progress
from lessonmaker.build.store import Store
from lessonmaker.build.telling import chapter_remarks, telling_of, unread_remarks
from lessonmaker.build.workshop import processors
from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.picture.band import Band, BandStyle, caption_letters, make_band
from lessonmaker.picture.look import Look, standard_look
from lessonmaker.picture.raster import Area
from lessonmaker.score.edition import Decision, Edition, make_edition
from lessonmaker.score.model import Score
from lessonmaker.score.rows import rows
from lessonmaker.script.model import CheckedLesson, Lit
from lessonmaker.script.overlay_style import PERCENT, STANDARD_STYLE, OverlayStyle
from lessonmaker.script.pins import clock_text
from lessonmaker.sound.model import Anchor, Fit
from lessonmaker.sound.takereport import report_take, unsure_bars
from lessonmaker.timeline.clock import TakeClock
from lessonmaker.timeline.model import TICKS_PER_SECOND, Chapter, Timeline
from lessonmaker.timeline.through import Film, play_through
from lessonmaker.video.film import FilmInfo
from lessonmaker.video.footage import Footage, read_footage, refuse_broken
from lessonmaker.video.layer import packing_of
from lessonmaker.video.markers import BarMark, CodeError, Timecode, bar_table, even_rate
from lessonmaker.video.overlay import Lay, Part, Version, format_of, overlay_films
from lessonmaker.video.spans import KeptSpans

__all__ = [
    "KeptFilm",
    "Overlaid",
    "Overlay",
    "fitted_film",
    "make_versions",
    "part_of",
    "pins_in",
    "refuse_code",
    "refuse_order",
    "refuse_unfit",
    "seconds_of_work",
]

WIDE_UNITS, TALL_UNITS, SIDE_UNITS = (
    1920.0,
    1080.0,
    900.0,
)  # the length of a line in look units: its music in size
WIDE_BARS, TALL_BARS = 4, 2
MOST_SHARE = {1: Fraction(1, 3), 2: Fraction(1, 2)}  # of the picture's height, by the systems in sight
SIDE_SHARE = Fraction(9, 25)  # of the picture's width
ANY_RATE = Fraction(TICKS_PER_SECOND)
PIXEL_S = 1.7e-8  # about how long a processor takes for a pixel of a frame
SLOWEST = Fraction(1, 4)  # a film so much shorter than the printed tempo takes cannot hold the piece


@dataclass(frozen=True)
class Overlay:
    """A film to be overlaid: with which score, in which edition, from when to when, written where.

    `look` has its colours, faces and sizes, `lesson` is what is told in it.
    `code` is the time code it begins with, instead of the film's own; `bar_chapters` asks for a chapter a bar;
    a `layer` is the score alone, transparent round it.
    """

    film: Path
    score: Path
    edition: Edition
    output: Path
    style: OverlayStyle = STANDARD_STYLE
    start_s: float = 0.0
    end_s: float | None = None
    look: Look = field(default_factory=standard_look)
    code: str | None = None
    bar_chapters: bool = False
    lesson: CheckedLesson | None = None
    layer: bool = False


@dataclass(frozen=True)
class Overlaid:
    """A finished film with what goes with it, how long it is, when it first plays, and what was noteworthy."""

    outputs: OverlayOutputs
    seconds: float
    plays_at_s: Fraction
    remarks: tuple[Fault, ...]
    decisions: tuple[Decision, ...]


@dataclass(frozen=True)
class FittedFilm:
    """A film and its score, brought together; what all editions share."""

    footage: Footage
    score: Score
    fit: Fit
    remarks: tuple[Fault, ...]


@dataclass(frozen=True)
class StagedFilm:
    """A film as it is to be played through, its timeline, and the score as it is drawn.

    `decisions` are its copyist's; `remarks` say what of its lesson is not told.
    """

    film: Film
    timeline: Timeline
    score: Score
    decisions: tuple[Decision, ...]
    remarks: tuple[Fault, ...]


def fitted_film(
    footage: Footage,
    path: Path,
    score: Score,
    fit_film: Callable[[], tuple[Fit, tuple[Fault, ...]]],
    end_s: float | None = None,
) -> FittedFilm:
    """Fit a film's sound to a score.

    Args:
        footage: the film, which its head says to be fit (see `refuse_unfit`).
        path: the score's file, for messages.
        score: the score.
        fit_film: fits the film once it is known to be whole, or gives the kept fit, with what is to be said of that.
        end_s: to which second it is to be whole; to its end where None.

    Raises:
        MaterialError: the film breaks off, or is of something else.
    """
    film = footage.path
    refuse_broken(footage, end_s)
    fit, said = fit_film()
    if not fit.accepted:
        what = (
            f"the sound of {film.name} does not seem to be of {path.name} (confidence {fit.confidence:.0%})"
        )
        todo = f"see what is heard of it: lessonmaker sync {path} {film} --plot take.png"
        raise MaterialError(Fault(what, todo, Place(film)))
    return FittedFilm(footage, score, fit, (*said, *remarks_on(film, score, fit, float(footage.seconds))))


def pins_in(film: Path, lesson: CheckedLesson) -> tuple[Anchor, ...]:
    """The places that a lesson pins in a film: those in its take, where that is the film."""
    take = lesson.lesson.take
    return anchors_of(lesson.pinned) if take is not None and take.samefile(film) else ()


def refuse_unfit(film: Path, path: Path, score: Score) -> Footage:
    """What a film is, unless its head says already that the score cannot be laid over it.

    Raises:
        MaterialError: it cannot be used, or is too short for the score.
    """
    footage = read_footage(film)
    refuse_short(footage, path, score)
    return footage


def refuse_order(order: Overlay, footage: Footage) -> None:
    """Refuse what cannot be made of a film as it is asked for, before the film is listened to.

    Raises:
        MaterialError: the output cannot be what it is called, the part is not in the film, or the code is none.
    """
    refuse_same_file(order)
    if order.layer:
        packing_of(order.output)
    else:
        format_of(order.output, footage)
    clock_of(order, footage, part_of(footage, order.start_s, order.end_s).start_s)


def refuse_code(code: str | None, footage: Footage, place: Place) -> None:
    """Refuse a text that is no time code at a film's rate.

    Raises:
        MaterialError: it is none.
    """
    try:
        if code is not None:
            Timecode.starting(code, even_rate(footage.rate))
    except CodeError as error:
        raise MaterialError(Fault(str(error), error.todo, place)) from None


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


@dataclass(frozen=True)
class LaidOver:
    """An overlay that is laid out: what is to be written, and what is told of it."""

    order: Overlay
    staged: StagedFilm
    clock: Timecode
    part: Part
    version: Version
    remarks: tuple[Fault, ...]


def make_versions(
    orders: Sequence[Overlay], fitted: FittedFilm, progress: Progress, kept: KeptFilm | None = None
) -> list[Overlaid]:
    """Lay a score over a film, in versions of the same part of it, and write each with its bar table and chapters.

    Args:
        orders: the versions.
        fitted: the film.
        progress: told how far it is.
        kept: where spans of films that tell a lesson are kept, if they are.

    Raises:
        MaterialError: the film breaks off, the part asked for is not in it, or an output cannot be what it is called.
        OSError: a file cannot be written.
    """
    footage = fitted.footage
    laid = [lay_over(order, fitted, kept) for order in orders]
    part = laid[0].part
    work_s = seconds_of_work(footage, part)
    frame_s = work_s / max(float((part.end_s - part.start_s) * footage.rate), 1.0)
    for _ in laid:
        progress.expect(work_s)
        progress.begin()
    versions = [one.version for one in laid]
    overlay_films(footage, part, versions, processors(), lambda frames: progress.advance(frames * frame_s))
    for _ in laid:
        progress.finished()
    return [finished(one.order, one.staged, one.clock, one.remarks) for one in laid]


@dataclass(frozen=True)
class KeptFilm:
    """Where spans of overlaid films are kept, and a digest of the film and of what makes them."""

    store: Store
    basis: str

    def spans(self, band: Band) -> KeptSpans:
        """Where those are kept that have a band laid over them."""
        return KeptSpans(self.store, digest_of(self.basis, band.style), band.content)


def lay_over(order: Overlay, fitted: FittedFilm, kept: KeptFilm | None) -> LaidOver:
    """An overlay, laid out."""
    refuse_same_file(order)
    footage = fitted.footage
    part = part_of(footage, order.start_s, order.end_s)
    clock = clock_of(order, footage, part.start_s)
    if order.code is not None or footage.timecode is not None:
        part = replace(part, code=clock.at(0))
    staged = stage_film(order, fitted, part)
    timeline = staged.timeline
    band, lay = laid_out(order, staged, footage)
    info = FilmInfo(timeline.title, timeline.composer, "", timeline.duration, timeline.chapters)
    spans = kept.spans(band) if kept is not None and order.lesson is not None else None
    version = Version(order.output, band, lay, info, spans)
    return LaidOver(order, staged, clock, part, version, (*fitted.remarks, *staged.remarks, *band.remarks))


def finished(order: Overlay, staged: StagedFilm, clock: Timecode, remarks: tuple[Fault, ...]) -> Overlaid:
    """Write what goes with a film that is written."""
    outputs = OverlayOutputs(order.output, captioned=order.lesson is not None)
    if outputs.captioned:
        write_captions(outputs.captions, staged.timeline)
    marks = bar_marks(staged.film)
    write(outputs.bars, bar_table(marks, clock))
    write_times(outputs, staged.timeline)
    plays_at_s = Fraction(marks[0].start + marks[0].end, 2 * TICKS_PER_SECOND) if marks else Fraction(0)
    seconds = staged.timeline.duration / TICKS_PER_SECOND
    return Overlaid(outputs, seconds, plays_at_s, remarks, staged.decisions)


def seconds_of_work(footage: Footage, part: Part) -> float:
    """About how long the film takes one processor."""
    return float((part.end_s - part.start_s) * footage.rate) * footage.width * footage.height * PIXEL_S


def refuse_same_file(order: Overlay) -> None:
    """The film itself is never written over."""
    if order.output.resolve() == order.film.resolve():
        todo = "name another file with --output"
        raise MaterialError(Fault("the film would be written over itself", todo, Place(order.film)))


def part_of(footage: Footage, start_s: float, end_s: float | None) -> Part:
    """The part of a film that is kept.

    Raises:
        MaterialError: it is not in the film, or empty.
    """
    last_s = footage.seconds if end_s is None else min(Fraction(end_s), footage.seconds)
    if start_s >= last_s:
        asked = f"from {clock_text(start_s)}" + ("" if end_s is None else f" to {clock_text(end_s)}")
        what = f"there is nothing of the film {asked}: it lasts {clock_text(float(footage.seconds))}"
        raise MaterialError(Fault(what, "give times within the film", Place(footage.path)))
    return Part(Fraction(start_s), last_s)


def stage_film(order: Overlay, fitted: FittedFilm, part: Part) -> StagedFilm:
    """Everything of a film but its pictures."""
    style = order.style
    made = make_edition(fitted.score, order.edition)
    score = made.score
    most = WIDE_BARS if is_wide(fitted.footage) and not style.upright else TALL_BARS
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
        labels=degree_labels(fitted.score, order.lesson) if style.labels else None,
    )
    if order.lesson is not None:
        letters = caption_letters(order.look, shape_of(style, fitted.footage, captioned=True).units)
        film = replace(
            film,
            title=order.lesson.lesson.title,
            composer=order.lesson.lesson.composer or score.composer,
            telling=telling_of(order.lesson, score, order.edition, letters),
        )
    timeline = play_through(film)
    if order.bar_chapters:
        timeline = replace(timeline, chapters=bar_chapters(film))
    drawn = score if style.chords else replace(score, changes=())
    return StagedFilm(film, timeline, drawn, made.decisions, tuple(remarks_on_lesson(order, film, timeline)))


def remarks_on_lesson(order: Overlay, film: Film, timeline: Timeline) -> Iterator[Fault]:
    """What of the lesson is not told, and which of its titles are no chapters."""
    if order.lesson is not None:
        read, unread = film.read
        yield from unread_remarks(order.lesson, unread)
        if not order.bar_chapters:
            yield from chapter_remarks(order.lesson, read, timeline.chapters)


def degree_labels(score: Score, lesson: CheckedLesson | None) -> dict[str, Lit]:
    """The degree of every note that has one, by the note; as a lesson hears them, where there is one."""
    analysis = analyse(score) if lesson is None else lesson.analysis
    return {
        finding.note: Lit(finding.note, finding.degree, finding.role == "tension")
        for finding in analysis.findings
    }


def is_wide(footage: Footage) -> bool:
    """Whether a film is at least as wide as it is high, as it is seen."""
    width, height = footage.seen_size
    return width * footage.seen_aspect >= height


def shape_of(style: OverlayStyle, footage: Footage, captioned: bool) -> BandStyle:
    """How the band is made. Captions stand on the side of the film; in the band itself where the film has no room."""
    along = WIDE_UNITS if is_wide(footage) else TALL_UNITS
    return BandStyle(
        style.rows,
        SIDE_UNITS if style.upright else along,
        style.paper / PERCENT,
        style.form,
        ("above" if style.side == "bottom" else "below") if captioned else None,
        captions_free=not (style.beside or style.upright),
    )


def laid_out(order: Overlay, staged: StagedFilm, footage: Footage) -> tuple[Band, Lay]:
    """The band, and where it and the film stand."""
    style, timeline = replace(order.style, systems=staged.film.rows), staged.timeline
    width, height = footage.seen_size
    broad = round(width * footage.seen_aspect / 2) * 2  # in square pixels
    if style.upright:
        broad = round(broad * SIDE_SHARE / 4) * 4
    most = height if style.upright else int(height * MOST_SHARE.get(style.rows, Fraction(2, 3)))
    shape = shape_of(style, footage, captioned=bool(timeline.captions))
    band = make_band(timeline, staged.score, ANY_RATE, shape, broad, most, order.look)
    size = evenly(band.size[0] / footage.seen_aspect), band.size[1]
    return band, Lay(*places(style, (width, height), size), order.look.colour("paper"))


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
        refuse_code(order.code, footage, Place(order.film))
        return Timecode.starting(order.code, rate)
    clock = Timecode.usual(rate)
    if footage.timecode is not None:
        with suppress(CodeError):
            clock = Timecode.starting(footage.timecode, rate)
    return clock.later(start_s)
