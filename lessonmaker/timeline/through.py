"""A film of a performance, played through: the timeline of its score, in the film's own time.

Nothing is cut, slowed or spoken: bars and notes light when the film sounds them, the systems turn ahead, and
commentary is read (`told`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from lessonmaker.score.model import Score
from lessonmaker.score.rows import rows
from lessonmaker.script.model import Lit
from lessonmaker.sound.model import Fit
from lessonmaker.timeline.clock import TakeClock
from lessonmaker.timeline.compile import chapters, form_of
from lessonmaker.timeline.layout import in_turn, leading_rows, played_rows
from lessonmaker.timeline.model import Chapter, Label, Light, Page, Timeline, Use, seconds_to_ticks
from lessonmaker.timeline.performance import TURN
from lessonmaker.timeline.reel import Reel
from lessonmaker.timeline.told import Coloured, ReadCue, Telling, Unread, read_in, tell

__all__ = ["Film", "play_through"]


@dataclass(frozen=True)
class Film:
    """What a film is to be laid under.

    Attributes:
        title, composer, edition: Said by its files.
        score: As the edition prints it.
        fit: When it sounds, in seconds from the film's start.
        start_s, end_s: The part of the film that is kept; the timeline begins with it.
        rows: How many systems are in sight.
        most: How many bars a system has at most.
        labels: The degree labels to be shown, by note; none by default.
        telling: The commentary that is read while it plays; none by default.
    """

    title: str
    composer: str
    edition: str
    score: Score
    fit: Fit
    start_s: Fraction
    end_s: Fraction
    rows: int = 1
    most: int = 4
    labels: Mapping[str, Lit] | None = None
    telling: Telling | None = None

    @cached_property
    def clock(self) -> TakeClock:
        """When bars and notes sound, in seconds of the film."""
        return TakeClock(self.score, self.fit)

    @cached_property
    def read(self) -> tuple[tuple[ReadCue, ...], tuple[Unread, ...]]:
        """When each cue of the commentary is read, and what of it cannot be."""
        if self.telling is None:
            return (), ()
        return read_in(self.telling, self.score, self.clock, self.tick, self.duration)

    @property
    def duration(self) -> int:
        """The length of the part that is kept, in ticks."""
        return seconds_to_ticks(self.end_s - self.start_s)

    def tick(self, seconds: float) -> int:
        """Where a second of the film falls, held within the part that is kept."""
        return min(seconds_to_ticks(max(Fraction(seconds) - self.start_s, Fraction(0))), self.duration)


def play_through(film: Film) -> Timeline:
    """The timeline of a film from its start to its end."""
    reel = Reel()
    show_rows(reel, film)
    telling, (read, _) = film.telling, film.read
    coloured = tell(reel, telling, film.score, read, film.duration) if telling is not None else []
    light(reel, film, coloured)
    label(reel, film)
    reel.cursor = film.duration
    bars = tuple(dict.fromkeys(bar.bar for bar in film.fit.bars))
    reel.close_scene("play", bars, film.title)
    last = reel.pages[-1]
    reel.pages[-1] = Page(last.start, film.duration, last.kind, last.rows, last.dissolve, last.playing)
    return Timeline(
        title=film.title,
        composer=film.composer,
        edition=film.edition,
        duration=film.duration,
        form=form_of(film.score),
        bar_numbers=tuple(bar.number for bar in film.score.bars),
        scenes=tuple(reel.scenes),
        pages=tuple(reel.pages),
        lights=tuple(sorted(reel.lights, key=lambda one: one.start)),
        labels=tuple(sorted(reel.labels, key=lambda one: one.start)),
        arrows=tuple(sorted(reel.arrows, key=lambda one: one.start)),
        captions=tuple(reel.captions),
        chapters=chapters_of(film),
        clips=(),
        heard=telling.heard if telling is not None else (),
        signs=tuple(sorted(reel.signs, key=lambda one: one.start)),
        cues=tuple(reel.cues),
    )


def show_rows(reel: Reel, film: Film) -> None:
    """Put up the systems, each ahead of the eye."""
    played = film.fit.bars
    order = played_rows(rows(film.score, film.most), played)
    if film.rows == 1:
        order = leading_rows(order, played)
    for index, row in enumerate(order):
        shown, playing = in_turn(order, index, film.rows)
        start = film.tick(played[row.place].time_s) if index else 0
        repeated = shown.count(shown[playing]) > 1
        reel.show(Page(start, start, "play", shown, TURN if start else 0, playing if repeated else None))


def light(reel: Reel, film: Film, coloured: Sequence[Coloured]) -> None:
    """Light each bar and each note while it sounds; a note that is named meanwhile in the colour of its name."""
    uses: dict[str, list[Coloured]] = {}
    for one in coloured:
        uses.setdefault(one.note, []).append(one)
    clock = film.clock
    for place, bar in enumerate(film.fit.bars):
        start, end = (film.tick(seconds) for seconds in clock.bar_s(place))
        if start < end:
            reel.lights.append(Light("bar", start, end, targets=(bar.bar,)))
    for head in clock.heads:
        start, end = film.tick(head.start_s), film.tick(head.end_s)
        if start < end:
            named = (one.use for one in uses.get(head.note.note, ()) if one.start <= start < one.end)
            reel.lights.append(Light("note", start, end, (head.head,), next(named, "now")))


def label(reel: Reel, film: Film) -> None:
    """Label each note with its degree while its bar sounds."""
    clock = film.clock
    ends = {(bar.bar, bar.visit): film.tick(clock.bar_s(place)[1]) for place, bar in enumerate(film.fit.bars)}
    for note in film.fit.notes:
        lit = (film.labels or {}).get(note.note)
        start, end = film.tick(note.time_s), ends.get((clock.bar_of[note.note], note.visit), 0)
        if lit is not None and lit.label is not None and start < end:
            use: Use = "tension" if lit.tension else "rest"
            reel.labels.append(Label(start, end, note.note, lit.label, use))


def chapters_of(film: Film) -> tuple[Chapter, ...]:
    """The chapters that its cues begin, else its sections."""
    marks = [Chapter(one.start, one.cue.chapter) for one in film.read[0] if one.cue.chapter]
    return chapters(marks, film.title, film.duration) if marks else sections(film)


def sections(film: Film) -> tuple[Chapter, ...]:
    """A chapter for each section that is played, the first at the film's start."""
    found = [Chapter(0, film.title)]
    for bar in film.fit.bars:
        printed, start = film.score.bars[bar.bar], film.tick(bar.time_s)
        if printed.section and start < film.duration:
            title = f"Section {printed.section} (bar {printed.number})"
            found = [one for one in found if one.start < start] + [Chapter(start, title)]
    return tuple(found) if not found[0].start else (Chapter(0, film.title), *found)
