"""How long a build still takes: from the work found and done in it so far, and from what earlier builds measured.

Work is counted in nominal seconds, as its tasks guess them. What such a second takes is measured, each kind of work by
itself; until enough of a kind has been done, what earlier builds measured counts, times the pace of this one. Of a film
that is not laid out yet the work is guessed from what was expected of it, and from how true that was of
films of its group. The main process lays films out and finishes them, one at a time, while workers do the rest.
"""

from __future__ import annotations

import json
from collections.abc import Hashable, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from math import inf
from pathlib import Path

from lessonmaker.files import finished_file

__all__ = ["Cost", "Expected", "Forecast", "keep_costs", "kept_costs"]

LAYING, JOINING, WHOLE, ANY = "laying out", "joining", "a whole film", "any"
USUAL_S = {LAYING: 0.7, JOINING: 0.2}
"""What the main process's own steps take a film."""

FILM, FILM_S = "film", 0.4
"""The kind of work that is asked for when all else of a film is made: to put it together."""

TRUSTED_S, STEADY_S, SLACK_S = 5.0, 1.0, 1.0
"""So many seconds count as much as what was known before: of a kind, of the pace, of a film's work."""

REMEMBERED_S = 40.0
"""So many seconds of a kind of work, nominal and taken, say how long it takes now."""

DOUBTED = 3
"""As much as so many films of other groups counts what is expected of a film."""

HEARD = ("fit", "listening", "weighing", "speech", "levels", "sound")
"""Kinds of work that films of one group hardly ever have each for itself: a lesson is heard alike in all editions."""

QUEUED = 1.5
"""About how many tasks a worker has before it when the main process turns to something else."""

FILE = "costs.json"


@dataclass
class Cost:
    """Work that was done, in nominal seconds (steps of the main process in films), and the seconds it took."""

    work: float = 0.0
    took_s: float = 0.0

    def add(self, work: float, took_s: float) -> None:
        """Count more of it; what was done long ago counts less and less, as others may use the machine now."""
        kept = REMEMBERED_S / max(REMEMBERED_S, min(self.work, self.took_s))
        self.work = kept * self.work + work
        self.took_s = kept * self.took_s + took_s


@dataclass(frozen=True)
class Expected:
    """What is expected of a film: those like it, about how long its parts take, whether workers share them."""

    group: Hashable = None
    seconds: float = 0.0
    shared: bool = True


@dataclass
class FilmWork:
    """A film's work as far as it was found; the main process's steps that are over, and its seconds in the next."""

    expected: Expected
    found: dict[str, float] = field(default_factory=dict)
    steps: set[str] = field(default_factory=set)
    spent_s: float = 0.0
    laid: bool = False
    finished: bool = False


@dataclass
class Known:
    """What was found of some films, by kind, and what had been expected of them."""

    found: dict[str, float] = field(default_factory=dict)
    expected: float = 0.0

    def add(self, found: Mapping[str, float], expected: float = 0.0) -> None:
        """Count more of it."""
        self.expected += expected
        for kind, seconds in found.items():
            self.found[kind] = self.found.get(kind, 0.0) + seconds


@dataclass
class Forecast:
    """Keeps the account of a build's films; `before` is what earlier builds measured."""

    films: list[FilmWork]
    before: Mapping[str, Cost] = field(default_factory=dict)
    costs: dict[str, Cost] = field(default_factory=dict)
    tasks: Cost = field(default_factory=Cost)
    over: dict[str, float] = field(default_factory=dict)
    worked_s: float = 0.0
    groups: dict[Hashable, Known] = field(default_factory=dict)
    firsts: dict[Hashable, FilmWork] = field(default_factory=dict)
    all_groups: dict[bool, Known] = field(default_factory=lambda: {True: Known(), False: Known()})

    @classmethod
    def of(cls, expected: Sequence[Expected], before: Mapping[str, Cost] | None = None) -> Forecast:
        """The forecast of films of which nothing is done."""
        return cls([FilmWork(one) for one in expected], before or {})

    def found(self, film: int, kind: str, seconds: float) -> None:
        """Work for a film has been found, so many nominal seconds."""
        one = self.films[film]
        one.found[kind] = one.found.get(kind, 0.0) + seconds
        if one.laid:
            self.learn(one.expected, {kind: seconds})

    def learn(self, film: Expected, found: Mapping[str, float], expected: float = 0.0) -> None:
        """Learn how much work there is to films like one."""
        self.groups.setdefault(film.group, Known()).add(found, expected)
        self.all_groups[film.shared].add(found, expected)

    def done(self, kind: str, seconds: float, took_s: float) -> None:
        """Work that was found has been done."""
        self.costs.setdefault(kind, Cost()).add(seconds, took_s)
        self.over[kind] = self.over.get(kind, 0.0) + seconds
        self.worked_s += took_s
        if kind not in (LAYING, JOINING, WHOLE):
            self.tasks.add(1, took_s)

    def laid(self, film: int) -> None:
        """All the work for a film has been found."""
        one = self.films[film]
        one.laid = True
        self.firsts.setdefault(one.expected.group, one)
        self.learn(one.expected, one.found, one.expected.seconds)

    def finished(self, film: int) -> None:
        """A film is finished."""
        self.films[film].finished = True

    def spent(self, film: int, seconds: float) -> None:
        """The main process has spent so many seconds on a film, and goes on with something else."""
        one = self.films[film]
        one.spent_s += seconds
        for kind, over in ((LAYING, one.laid), (JOINING, one.finished)):
            if over and kind not in one.steps:
                one.steps.add(kind)
                self.done(kind, 1, one.spent_s)
                one.spent_s = 0.0

    @property
    def pace(self) -> float:
        """How long this build's work takes, beside what it took before."""
        usual_s = sum(cost.work * self.usual(kind) for kind, cost in self.costs.items())
        took_s = sum(cost.took_s for cost in self.costs.values())
        return (took_s + STEADY_S) / (usual_s + STEADY_S)

    def usual(self, kind: str) -> float:
        """What a nominal second of a kind took before."""
        cost = self.before.get(kind)
        return cost.took_s / cost.work if cost and cost.work else USUAL_S.get(kind, 1.0)

    def cost(self, kind: str) -> Cost:
        """What has been done of a kind."""
        return self.costs.get(kind, Cost())

    def rate(self, kind: str) -> float:
        """What a nominal second of a kind takes."""
        cost = self.cost(kind)
        known = TRUSTED_S if kind not in USUAL_S else 1.0
        return (cost.took_s + known * self.usual(kind) * self.pace) / (cost.work + known)

    def seconds_of(self, work: Mapping[str, float]) -> float:
        """What work takes a worker."""
        return sum(seconds * self.rate(kind) for kind, seconds in work.items())

    def like(self, film: Expected) -> Known:
        """What is known of the films of a film's group; of those of all others where there is nothing."""
        return self.groups.get(film.group) or self.all_groups[film.shared]

    def guess(self, film: Expected) -> float:
        """About how much work a film is, in nominal seconds: beside what was expected, as much as those like it."""
        like = self.like(film)
        doubt = SLACK_S + (0.0 if film.group in self.groups else DOUBTED * film.seconds)
        true = (sum(like.found.values()) + doubt) / (like.expected + doubt)
        return max(0.0, true * (film.seconds + SLACK_S) - SLACK_S)

    def unfound(self, film: FilmWork) -> dict[str, float]:
        """About how much work of a film is not found yet, by kind, mixed as in those like it or in earlier builds."""
        if film.laid:
            return {FILM: FILM_S} if self.joined_by_workers and FILM not in film.found else {}
        mix = self.like(film.expected).found
        total = sum(mix.values())
        if not total:
            mix, total = self.usual_mix, sum(self.usual_mix.values())
        if not mix:
            return {ANY: max(0.0, self.guess(film.expected) - sum(film.found.values()))}
        each = self.guess(film.expected) / total
        first = self.firsts.get(film.expected.group)
        heard = HEARD if first is not None and first is not film else ()
        return {
            kind: max(0.0, each * part - film.found.get(kind, 0.0))
            for kind, part in mix.items()
            if kind not in heard
        }

    @property
    def joined_by_workers(self) -> bool:
        """Whether workers put films together, as far as that has been seen."""
        return all(FILM in one.found for one in self.films if one.finished and one.expected.shared)

    @property
    def usual_mix(self) -> dict[str, float]:
        """How much there was of each kind of work in earlier builds."""
        return {kind: one.work for kind, one in self.before.items() if kind not in (LAYING, JOINING, WHOLE)}

    @property
    def workers_s(self) -> float:
        """How long what is left of the films' parts takes one worker."""
        work = Known()
        for one in self.films:
            if one.expected.shared:
                work.add(one.found)
            if one.expected.shared and not one.finished:
                work.add(self.unfound(one))
        left = {kind: seconds - self.over.get(kind, 0.0) for kind, seconds in work.found.items()}
        return self.seconds_of(left)

    @property
    def main_s(self) -> float:
        """How long what is left of the main process's own steps takes."""
        return sum(self.layings_s) + sum(self.joinings_s)

    @property
    def joinings_s(self) -> list[float]:
        """How long its last step takes for each film that is not finished."""
        films = [one for one in self.films if one.expected.shared and not one.finished]
        return [self.rate(JOINING)] * len(films)

    @property
    def layings_s(self) -> list[float]:
        """How long it takes to lay out each film that is not."""
        usual_s = self.rate(LAYING)
        films = [one for one in self.films if one.expected.shared and not one.laid]
        return [max(0.0, usual_s - one.spent_s) for one in films]

    @property
    def alone_s(self) -> float:
        """How long what is left of films takes that are made whole, by the main process."""
        films = [one for one in self.films if not one.expected.shared]
        found = sum(sum(one.found.values()) for one in films)
        unfound = sum(self.guess(one.expected) for one in films if not one.laid)
        return (found + unfound - self.over.get(WHOLE, 0.0)) * self.rate(WHOLE)

    def left_s(self, width: int) -> float:
        """Seconds left, with so many workers.

        They go on while the main process is at a step, until their queues are empty. With its last steps that is so for
        every second film, as films get ready close to each other; for none where it puts them together itself.
        """
        queued_s = QUEUED * self.task_s
        joinings_s = self.joinings_s[1::2] if self.joined_by_workers else []
        meanwhile_s = sum(min(one, queued_s) for one in (*self.layings_s, *joinings_s))
        return self.main_s + max(0.0, self.workers_s / width - meanwhile_s) + self.alone_s

    @property
    def task_s(self) -> float:
        """How long a task takes, in the mean."""
        return self.tasks.took_s / self.tasks.work if self.tasks.work else STEADY_S

    @property
    def share(self) -> float:
        """The share of the work that is done."""
        left_s = self.workers_s + self.main_s + self.alone_s
        return self.worked_s / (self.worked_s + left_s) if self.worked_s else 0.0


def kept_costs(store: Path) -> dict[str, Cost]:
    """What earlier builds measured; nothing where nothing is kept, or where that is damaged."""
    try:
        held = json.loads((store / FILE).read_text(encoding="utf-8"))
        costs = {str(kind): Cost(float(one["work"]), float(one["took_s"])) for kind, one in held.items()}
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return {}
    return {kind: one for kind, one in costs.items() if 0 < one.work < inf and 0 < one.took_s < inf}


def keep_costs(forecast: Forecast, store: Path) -> None:
    """Keep what a build has measured for the next ones; where that cannot be, they have to guess."""
    costs = dict(forecast.before)
    for kind, one in forecast.costs.items():
        if one.work >= TRUSTED_S or (one.work and kind not in costs):
            costs[kind] = Cost(forecast.over[kind], forecast.over[kind] * one.took_s / one.work)
    with suppress(OSError), finished_file(store / FILE, durable=False) as fragment:
        fragment.write_text(json.dumps({kind: asdict(one) for kind, one in costs.items()}), encoding="utf-8")
