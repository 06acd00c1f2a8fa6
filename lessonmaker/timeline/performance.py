"""Playing from the take: the sound, the bar and note that light as they sound, and the page that turns ahead.

Light is given its exact time; the painter shows it on the last frame that is not later than that.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from lessonmaker.score.model import Score
from lessonmaker.timeline.clock import Passage, TakeClock
from lessonmaker.timeline.layout import STANDARD_ROOM, Room, Row, played_rows, rows_in_sight
from lessonmaker.timeline.model import AudioClip, Light, Page
from lessonmaker.timeline.reel import MILLISECOND, Reel, whole_samples

__all__ = ["TAKE", "Pages", "Playing", "Stage", "perform", "perform_turning"]

Pages: TypeAlias = tuple[tuple[Row, ...], ...]

TAKE = "take"
LEAD_S, RELEASE_S = 0.35, 1.2
EXCERPT_LEAD_S, EXCERPT_RELEASE_S = 0.06, 0.12
TURN = 200 * MILLISECOND
SCENE_DISSOLVE = 250 * MILLISECOND


@dataclass(frozen=True)
class Stage:
    """What playing needs: the score, when it sounds, the take's length, and the room for it in the picture."""

    score: Score
    clock: TakeClock
    take_seconds: float
    room: Room = STANDARD_ROOM


@dataclass(frozen=True)
class Playing:
    """How a passage is performed: `seen_s` is how long its first systems are in sight before the sound."""

    tempo: Fraction
    heading: str
    seen_s: float


@dataclass(frozen=True)
class Cut:
    """A piece of the take laid on the timeline: `start` ticks is where second `start_s` of the take is heard."""

    start: int
    start_s: float
    end_s: float
    tempo: Fraction

    def tick(self, seconds: float) -> int:
        """Where a second of the take falls, held within the cut."""
        inside = min(max(seconds, self.start_s), self.end_s)
        return self.start + whole_samples(Fraction(inside - self.start_s) / self.tempo)

    @property
    def end(self) -> int:
        """Where the cut ends, in ticks."""
        return self.tick(self.end_s)


def lay(reel: Reel, stage: Stage, passage: Passage, tempo: Fraction, lead_s: float, release_s: float) -> Cut:
    """Cut the take around a passage and lay it at the cursor."""
    start_s = max(passage.start_s - lead_s, 0.0)
    end_s = min(passage.end_s + release_s, stage.take_seconds)
    cut = Cut(reel.cursor, start_s, end_s, tempo)
    reel.clips.append(AudioClip(cut.start, TAKE, "take", start_s, end_s, tempo))
    return cut


def light(reel: Reel, stage: Stage, passage: Passage, cut: Cut) -> None:
    """Light each bar and each note of a passage while it sounds."""
    for place in range(passage.first, passage.last + 1):
        start_s, end_s = stage.clock.bar_s(place)
        bar = stage.clock.fit.bars[place].bar
        span = cut.tick(max(start_s, passage.start_s)), cut.tick(min(end_s, passage.end_s))
        if span[0] < span[1]:
            reel.lights.append(Light("bar", *span, targets=(bar,)))
    for head in stage.clock.heads_in(passage):
        span = cut.tick(head.start_s), cut.tick(head.end_s)
        if span[0] < span[1]:
            reel.lights.append(Light("note", *span, targets=(head.head,)))


def perform_turning(reel: Reel, stage: Stage, passage: Passage, playing: Playing) -> None:
    """A performance in a few systems that turn ahead of the eye; the first are seen before they sound."""
    played = stage.clock.fit.bars[passage.first : passage.last + 1]
    order = played_rows(stage.room.rows(stage.score), played)
    count = stage.room.played
    show_row(reel, rows_in_sight(order, 0, count), reel.cursor, SCENE_DISSOLVE)
    reel.wait(playing.seen_s)
    cut = lay(reel, stage, passage, playing.tempo, LEAD_S, RELEASE_S)
    for index, row in list(enumerate(order))[1:]:
        start = cut.tick(stage.clock.bar_s(passage.first + row.place)[0])
        show_row(reel, rows_in_sight(order, index, count), start, TURN)
    light(reel, stage, passage, cut)
    reel.cursor = cut.end
    reel.close_scene("play", tuple(dict.fromkeys(bar.bar for bar in played)), playing.heading)


def show_row(reel: Reel, in_sight: tuple[tuple[Row, ...], int], start: int, dissolve: int) -> None:
    """Turn to the systems in sight while one of them plays."""
    shown, playing = in_sight
    repeated = shown.count(shown[playing]) > 1
    reel.show(Page(start, start, "play", shown, dissolve, playing if repeated else None))


def perform(reel: Reel, stage: Stage, passage: Passage, tempo: Fraction, pages: Pages) -> None:
    """An excerpt over pages that are already laid out: it turns to the page whose bars sound."""
    cut = lay(reel, stage, passage, tempo, EXCERPT_LEAD_S, EXCERPT_RELEASE_S)
    for place in range(passage.first, passage.last + 1):
        start = max(cut.tick(stage.clock.bar_s(place)[0]), cut.start)
        play_on(reel, pages, stage.clock.fit.bars[place].bar, start)
    light(reel, stage, passage, cut)
    reel.cursor = cut.end


def play_on(reel: Reel, pages: Pages, bar: int, start: int) -> None:
    """Turn where a bar begins that is the last in sight: what follows is to be in sight before it sounds."""
    wanted = [page for page in pages if bar in page[0]] or [page for page in pages if holds(page, bar)]
    if wanted and (reel.pages[-1].rows != wanted[0]):
        reel.show(Page(start, start, reel.pages[-1].kind, wanted[0], TURN))


def turn_to(reel: Reel, pages: Pages, bar: int, start: int, dissolve: int) -> None:
    """Show the page that holds a bar, unless it is in sight."""
    last = reel.pages[-1]
    wanted = [page for page in pages if holds(page, bar)]
    if wanted and not holds(last.rows, bar):
        reel.show(Page(start, start, last.kind, wanted[0], dissolve))


def holds(page: tuple[Row, ...], bar: int) -> bool:
    """Whether a bar stands on a page."""
    return any(bar in row for row in page)
