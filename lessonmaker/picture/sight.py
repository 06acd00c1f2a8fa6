"""What is in sight at an instant: a page and the marks on it, as plain hashable values.

Two instants with equal sights have equal pixels. Fades are cut into `FULL` levels; everything else is on or off.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Collection, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from lessonmaker.picture.recent import Recent
from lessonmaker.score.model import PICKUP_NUMBER, Score
from lessonmaker.timeline.model import (
    TICKS_PER_SECOND,
    Arrow,
    Caption,
    CaptionTerm,
    Label,
    Light,
    Page,
    Sign,
    SignShape,
    Timeline,
)

__all__ = ["FULL", "Dissolve", "Mark", "Sight", "Sights", "pages_in"]

FULL = 32
STRIPS_KEPT = 64
SHOWN_NUMBER_OF_PICKUP = "pickup"
Timed = Light | Label | Arrow | Sign | Caption | CaptionTerm | Page


class Mark(NamedTuple):
    """Something on a page that comes and goes.

    kind: "bar", "span", "area", "note", "chord", "label", "arrow", "sign", "caption", "cell", "curve", "letter" or
    "place"; `name` says which; `use` the colour or state; `level` how much of it is there, from 1 to `FULL`.
    """

    kind: str
    name: Hashable
    use: str = ""
    level: int = FULL


@dataclass(frozen=True)
class Sight:
    """A page (an index into `Timeline.pages`) and the marks on it."""

    page: int
    marks: frozenset[Mark]


@dataclass(frozen=True)
class Dissolve:
    """Two sights mixed: `level` of `FULL` parts of the second."""

    first: Sight
    second: Sight
    level: int


def pages_in(key: Hashable) -> frozenset[int]:
    """The pages that are in sight where a painter's key is."""
    if isinstance(key, Dissolve):
        return frozenset((key.first.page, key.second.page))
    return frozenset((cast(Sight, key).page,))


class Spans:
    """Things with a start and an end, quickly found by time: what is there changes only where one starts or ends."""

    def __init__(self, things: Sequence[Timed]) -> None:
        self.things = things
        self.starts: NDArray[np.int64] = np.array([thing.start for thing in things], np.int64)
        self.ends: NDArray[np.int64] = np.array([thing.end for thing in things], np.int64)
        self.edges: list[int] = sorted({*self.starts.tolist(), *self.ends.tolist()})
        self.found: dict[int, tuple[int, ...]] = {}

    def passed(self, tick: int) -> int:
        """How many starts and ends have come at a tick: where that is equal, all is as it was."""
        return bisect_right(self.edges, tick)

    def at(self, tick: int) -> tuple[int, ...]:
        """The indices of what is there at a tick."""
        passed = self.passed(tick)
        if passed not in self.found:
            there = np.nonzero((self.starts <= tick) & (tick < self.ends))[0]
            self.found[passed] = tuple(there.tolist())
        return self.found[passed]


@dataclass(frozen=True)
class Sights:
    """A timeline read instant by instant. `lead` ticks: light comes at most that much before its time."""

    timeline: Timeline
    score: Score
    lead: int

    @cached_property
    def lights(self) -> Spans:
        """The timeline's lights by time."""
        return Spans(self.timeline.lights)

    @cached_property
    def bar_lights(self) -> Spans:
        """The lights of bars that sound, by time."""
        return Spans([light for light in self.timeline.lights if light.kind == "bar"])

    @cached_property
    def labels(self) -> Spans:
        """The timeline's labels by time."""
        return Spans(self.timeline.labels)

    @cached_property
    def arrows(self) -> Spans:
        """The timeline's arrows by time."""
        return Spans(self.timeline.arrows)

    @cached_property
    def signs(self) -> Spans:
        """The timeline's signs by time."""
        return Spans(self.timeline.signs)

    @cached_property
    def captions(self) -> Spans:
        """The timeline's captions by time."""
        return Spans(self.timeline.captions)

    @cached_property
    def page_starts(self) -> NDArray[np.int64]:
        """Where each page begins."""
        return np.array([page.start for page in self.timeline.pages], np.int64)

    @cached_property
    def same_page(self) -> tuple[int, ...]:
        """For each page the first page that looks the same."""
        seen: dict[Hashable, int] = {}
        pages = enumerate(self.timeline.pages)
        return tuple(seen.setdefault((page.kind, page.rows, page.playing), index) for index, page in pages)

    @cached_property
    def note_bars(self) -> dict[str, int]:
        """The bar of each note."""
        return {note.id: note.bar for note in self.score.notes}

    @cached_property
    def change_bars(self) -> dict[str, int]:
        """The bar of each chord symbol."""
        return {change.id: change.bar for change in self.score.changes}

    @cached_property
    def section_of(self) -> dict[int, int]:
        """The section (its place in the form) of each bar."""
        return {bar: number for number, (_, bars) in enumerate(self.timeline.form) for bar in bars}

    @cached_property
    def strips(self) -> Recent[frozenset[Mark]]:
        """Form strips asked for last, by the bars discussed, the bars played, and where we are: each has all bars."""
        return Recent(STRIPS_KEPT)

    @cached_property
    def plays(self) -> Recent[frozenset[int]]:
        """The bars played that were asked for last, by the tick since when, and the starts and ends passed."""
        return Recent(STRIPS_KEPT)

    def at(self, tick: int) -> Sight | Dissolve:
        """What is in sight on a frame that begins at a tick."""
        now = tick + self.lead
        page = max(int(np.searchsorted(self.page_starts, now, side="right")) - 1, 0)
        following = page + 1
        if following < len(self.timeline.pages):
            coming = self.timeline.pages[following]
            into = now - (coming.start - coming.dissolve)
            if coming.dissolve and into > 0 and self.same_page[page] != self.same_page[following]:
                level = level_of(into, coming.dissolve)
                return Dissolve(self.sight(page, now), self.sight(following, now), level)
        return self.sight(page, now)

    def sight(self, page: int, now: int) -> Sight:
        """A page with its marks."""
        return Sight(self.same_page[page], self.marks(self.timeline.pages[page], now))

    def marks(self, page: Page, now: int) -> frozenset[Mark]:
        """The marks on a page at a tick."""
        if page.kind == "own":
            return frozenset()
        if page.kind in ("title", "end"):
            return self.strip_marks((), None).union(self.caption_marks(now))
        bars = frozenset(bar for row in page.rows for bar in row)
        lit = [self.timeline.lights[index] for index in self.lights.at(now)]
        current = self.current_bar(lit)
        return self.strip_marks(lit, current, now).union(
            strongest(self.light_marks(lit, bars, now)),
            strongest(self.label_marks(bars, now)),
            strongest(self.sign_marks(bars, now)),
            self.caption_marks(now),
            (self.place_mark(page, current, now),),
        )

    def light_marks(self, lit: Iterable[Light], bars: frozenset[int], now: int) -> Iterator[Mark]:
        """Lights on the staves."""
        for light in lit:
            level = fade_level(light, now)
            if light.kind in ("span", "area"):
                name = tuple(target for target in light.targets if self.bar_of(target) in bars)
                if name:
                    yield Mark(light.kind, name, light.use, level)
            elif light.kind != "range":
                for target in light.targets:
                    if self.bar_of(target) in bars:
                        yield Mark(light.kind, target, light.use, level)

    def label_marks(self, bars: frozenset[int], now: int) -> Iterator[Mark]:
        """Labels and arrows."""
        for label in (self.timeline.labels[index] for index in self.labels.at(now)):
            if self.bar_of(label.note) in bars:
                yield Mark("label", (label.note, label.text), label.use, fade_level(label, now))
        for arrow in (self.timeline.arrows[index] for index in self.arrows.at(now)):
            if {self.bar_of(arrow.from_note), self.bar_of(arrow.to_note)} <= bars:
                yield Mark("arrow", (arrow.from_note, arrow.to_note), "ink", fade_level(arrow, now))

    def sign_marks(self, bars: frozenset[int], now: int) -> Iterator[Mark]:
        """Signs under the staves."""
        for sign in (self.timeline.signs[index] for index in self.signs.at(now)):
            if self.touches(sign.shape, bars):
                yield Mark("sign", sign.shape, "", fade_level(sign, now))

    def touches(self, shape: SignShape, bars: Collection[int]) -> bool:
        """Whether a sign has something in some bars."""
        return any(self.bar_of(target) in bars for target in shape.targets)

    def caption_marks(self, now: int) -> Iterator[Mark]:
        """The caption, with which of its terms are spoken."""
        for index in self.captions.at(now):
            terms = self.timeline.captions[index].terms
            spoken = tuple(number for number, term in enumerate(terms) if term.start <= now < term.end)
            yield Mark("caption", (index, spoken))

    def strip_marks(self, lit: Sequence[Light], current: int | None, now: int = 0) -> frozenset[Mark]:
        """The form strip: one mark a bar, one a section letter."""
        discussed = frozenset(int(bar) for light in lit if light.kind == "range" for bar in light.targets)
        played = self.played(now) if lit and not discussed else frozenset()
        return self.strip_with(discussed, played, current)

    def strip_with(
        self, discussed: frozenset[int], played: frozenset[int], current: int | None
    ) -> frozenset[Mark]:
        """The form strip where some bars are discussed, some have been played, and we are at one."""
        asked = (discussed, played, current)
        return self.strips.get_or_make(asked, lambda: frozenset(self.new_strip(*asked)))

    def new_strip(
        self, discussed: frozenset[int], played: frozenset[int], current: int | None
    ) -> Iterator[Mark]:
        """The marks of a form strip."""
        for bar in self.section_of:
            state = "discussed" if bar in discussed else "played" if bar in played else "empty"
            yield Mark("cell", bar, "current" if bar == current else state)
        where = self.section_of.get(current) if current is not None else None
        if where is None and discussed:
            where = self.section_of.get(min(discussed))
        if self.timeline.curve:
            yield Mark("curve", "")
        for number, (letter, _) in enumerate(self.timeline.form):
            if letter:
                yield Mark("letter", number, "current" if number == where else "")

    def played(self, now: int) -> frozenset[int]:
        """The bars that have been lit since the scene began."""
        starts = [scene.start for scene in self.timeline.scenes if scene.start <= now < scene.end]
        since = starts[0] if starts else now
        asked = since, self.bar_lights.passed(now)
        return self.plays.get_or_make(asked, lambda: self.played_since(since, now))

    def played_since(self, since: int, now: int) -> frozenset[int]:
        """The bars that have been lit since a tick."""
        lights = cast(Sequence[Light], self.bar_lights.things)
        return frozenset(int(bar) for one in lights if since <= one.start <= now for bar in one.targets)

    def current_bar(self, lit: Sequence[Light]) -> int | None:
        """The bar we are at: the one that sounds, else the one of the note, chord or bars last lit."""
        for kinds in (("bar",), ("note",), ("area",), ("span",), ("chord",)):
            found = [light for light in lit if light.kind in kinds]
            if found:
                return self.bar_of(max(found, key=lambda light: light.start).targets[0])
        return None

    def bar_of(self, target: str | int) -> int | None:
        """The bar of a light's target: a bar's index, a note's or a chord symbol's id."""
        if isinstance(target, int):
            return target
        return self.note_bars.get(target, self.change_bars.get(target))

    def place_mark(self, page: Page, current: int | None, now: int) -> Mark:
        """The section letter and the words for the place, as the header has them."""
        numbers = self.timeline.bar_numbers
        bars = [bar for row in page.rows for bar in row]
        if page.kind == "play" and current is not None:
            number = numbers[current]
            words = SHOWN_NUMBER_OF_PICKUP if number == PICKUP_NUMBER else f"bar {number} of {numbers[-1]}"
            return Mark("place", (self.letter_of(current), words))
        scene = next((scene for scene in self.timeline.scenes if scene.start <= now < scene.end), None)
        shown = list(scene.bars) if scene is not None and scene.bars else bars
        return Mark("place", (self.letter_of_all(shown), place_words(tuple(shown), numbers)))

    def letter_of_all(self, bars: Sequence[int]) -> str:
        """The letter of the section that bars belong to, where it is one."""
        letters = {self.letter_of(bar) for bar in bars}
        return letters.pop() if len(letters) == 1 else ""

    def letter_of(self, bar: int | None) -> str:
        """The letter of a bar's section."""
        section = self.section_of.get(bar) if bar is not None else None
        return "" if section is None else self.timeline.form[section][0]

    def change_ticks(self) -> Iterator[tuple[int, int]]:
        """Stretches (first, last tick) in which the picture changes; a cut is a stretch of one tick."""
        fading: list[Light | Label | Arrow | Sign] = [
            *self.timeline.lights,
            *self.timeline.labels,
            *self.timeline.arrows,
            *self.timeline.signs,
        ]
        for thing in fading:
            yield thing.start, thing.start + thing.fade_in
            yield thing.end - thing.fade_out, thing.end
        for caption in self.timeline.captions:
            times: list[Caption | CaptionTerm] = [caption, *caption.terms]
            for timed in times:
                yield timed.start, timed.start
                yield timed.end, timed.end
        for page in self.timeline.pages:
            yield max(page.start - page.dissolve, 0), page.start
        for scene in self.timeline.scenes:
            yield scene.start, scene.start
            yield scene.end, scene.end

    def changes(self, rate: Fraction) -> list[int]:
        """The frame numbers at which the picture may differ from the one before; the first is 0."""
        frame = Fraction(TICKS_PER_SECOND) / rate
        frames = {0}
        for first, last in self.change_ticks():
            frames.update(range(self.frame_of(first, frame), self.frame_of(last, frame) + 1))
        total = math.ceil(self.timeline.duration / frame)
        return sorted(number for number in frames if 0 <= number < total)

    def frame_of(self, tick: int, frame: Fraction) -> int:
        """The first frame that shows what begins at a tick."""
        return max(-((self.lead - tick) * frame.denominator // frame.numerator), 0)


def strongest(marks: Iterable[Mark]) -> Iterator[Mark]:
    """The marks, those that differ in nothing but level once, at the highest; none at level 0."""
    levels: dict[tuple[str, Hashable, str], int] = {}
    for mark in marks:
        key = (mark.kind, mark.name, mark.use)
        levels[key] = max(levels.get(key, 0), mark.level)
    return (Mark(*key, level) for key, level in levels.items() if level)


def level_of(part: int, whole: int) -> int:
    """A share as a level from 0 to `FULL`."""
    return min(max(part * FULL // whole, 0), FULL)


def fade_level(thing: Light | Label | Arrow | Sign, now: int) -> int:
    """How much of a fading thing is there."""
    rise = level_of(now - thing.start, thing.fade_in) if thing.fade_in else FULL
    fall = level_of(thing.end - now, thing.fade_out) if thing.fade_out else FULL
    return min(rise, fall)


@lru_cache(maxsize=256)
def place_words(bars: tuple[int, ...], numbers: tuple[str, ...]) -> str:
    """Bars as a reader says them: "bar 3", "bars 1–8", "bars 3–4, 27–28"."""
    runs: list[list[int]] = []
    for bar in bars:
        if runs and bar == runs[-1][-1] + 1:
            runs[-1].append(bar)
        else:
            runs.append([bar])
    words = [numbers[run[0]] if len(run) == 1 else f"{numbers[run[0]]}–{numbers[run[-1]]}" for run in runs]
    return f"bar{'s' if len(bars) > 1 else ''} {', '.join(words)}" if words else ""
