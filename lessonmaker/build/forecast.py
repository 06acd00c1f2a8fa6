"""How long a build still takes: from the work found and done in it so far, and from what earlier builds measured.

Work is counted in nominal seconds, as its tasks guess them. What such a second takes is measured, each kind of work by
itself; until enough of a kind has been done, what earlier builds measured counts, times the pace of this one. Of a film
that is not laid out yet the work is guessed from what was expected of it, and from how true that was of the last
film of its group. The main process lays films out and joins them, one at a time, while workers do the rest.
"""

from __future__ import annotations

import json
from collections.abc import Hashable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from math import inf
from pathlib import Path

from lessonmaker.files import finished_file

__all__ = ["Cost", "Expected", "Forecast", "keep_costs", "kept_costs"]

LAYING, JOINING, WHOLE = "laying out", "joining", "a whole film"
USUAL_S = {LAYING: 1.0, JOINING: 0.5}
"""What the main process's own steps take a film, and the kind of work that no worker shares."""

TRUSTED_S, STEADY_S, SLACK_S = 5.0, 1.0, 1.0
"""So many seconds count as much as what was known before: of a kind, of the pace, of a film's work."""

DOUBTED = 3
"""As much as so many films of other groups counts what is expected of a film."""

QUEUED = 1.5
"""About how many tasks a worker has before it when the main process turns to something else."""

FILE = "costs.json"


@dataclass
class Cost:
    """Work that was done, in nominal seconds (steps of the main process in films), and the seconds it took."""

    work: float = 0.0
    took_s: float = 0.0

    def add(self, work: float, took_s: float) -> None:
        """Count more of it."""
        self.work += work
        self.took_s += took_s


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
class Forecast:
    """Keeps the account of a build's films; `before` is what earlier builds measured."""

    films: list[FilmWork]
    before: Mapping[str, Cost] = field(default_factory=dict)
    costs: dict[str, Cost] = field(default_factory=dict)
    tasks: Cost = field(default_factory=Cost)
    laid_last: list[FilmWork] = field(default_factory=list)

    @classmethod
    def of(cls, expected: Sequence[Expected], before: Mapping[str, Cost] | None = None) -> Forecast:
        """The forecast of films of which nothing is done."""
        return cls([FilmWork(one) for one in expected], before or {})

    def found(self, film: int, kind: str, seconds: float) -> None:
        """Work for a film has been found, so many nominal seconds."""
        found = self.films[film].found
        found[kind] = found.get(kind, 0.0) + seconds

    def done(self, kind: str, seconds: float, took_s: float) -> None:
        """Work that was found has been done."""
        self.costs.setdefault(kind, Cost()).add(seconds, took_s)
        if kind not in (LAYING, JOINING, WHOLE):
            self.tasks.add(1, took_s)

    def laid(self, film: int) -> None:
        """All the work for a film has been found."""
        self.films[film].laid = True
        self.laid_last.append(self.films[film])

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

    @property
    def mixed_rate(self) -> float:
        """What a nominal second of work that is not found yet takes."""
        mix = found_in(one for one in self.laid_last if one.expected.shared)
        if sum(mix.values()):
            return self.seconds_of(mix) / sum(mix.values())
        known = {kind: cost for kind, cost in self.before.items() if kind not in (LAYING, JOINING, WHOLE)}
        work = sum(cost.work for cost in known.values())
        return self.pace * (sum(cost.took_s for cost in known.values()) / work if work else 1.0)

    def seconds_of(self, work: Mapping[str, float]) -> float:
        """What work takes a worker."""
        return sum(seconds * self.rate(kind) for kind, seconds in work.items())

    def guess(self, film: FilmWork) -> float:
        """About how much work a film is, in nominal seconds: beside what was expected, as much as one like it."""
        expected = film.expected
        like = [one for one in self.laid_last if one.expected.group == expected.group][-1:]
        others = [one for one in self.laid_last if one.expected.shared == expected.shared]
        doubt = SLACK_S if like else DOUBTED * expected.seconds + SLACK_S
        found = sum(sum(one.found.values()) for one in like or others)
        foreseen = sum(one.expected.seconds for one in like or others)
        return (found + doubt) / (foreseen + doubt) * (expected.seconds + SLACK_S) - SLACK_S

    def unfound(self, film: FilmWork) -> float:
        """About how much work of a film is not found yet."""
        return 0.0 if film.laid else max(0.0, self.guess(film) - sum(film.found.values()))

    @property
    def workers_s(self) -> float:
        """How long what is left of the films' parts takes one worker."""
        films = [one for one in self.films if one.expected.shared]
        left = {kind: found - self.cost(kind).work for kind, found in found_in(films).items()}
        return self.seconds_of(left) + self.mixed_rate * sum(map(self.unfound, films))

    @property
    def main_s(self) -> float:
        """How long what is left of the main process's own steps takes."""
        joinings = sum(one.expected.shared and not one.finished for one in self.films)
        return sum(self.layings_s) + joinings * self.rate(JOINING)

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
        left = sum(one.found.get(WHOLE, 0.0) + self.unfound(one) for one in films)
        return (left - self.cost(WHOLE).work) * self.rate(WHOLE)

    def left_s(self, width: int) -> float:
        """Seconds left, with so many workers.

        They go on while the main process lays a film out, until their queues are empty; that films are joined
        meanwhile is not counted on, as they get ready close to each other.
        """
        queued_s = QUEUED * self.task_s
        meanwhile_s = sum(min(one, queued_s) for one in self.layings_s)
        return self.main_s + max(0.0, self.workers_s / width - meanwhile_s) + self.alone_s

    @property
    def task_s(self) -> float:
        """How long a task takes, in the mean."""
        return self.tasks.took_s / self.tasks.work if self.tasks.work else STEADY_S

    @property
    def share(self) -> float:
        """The share of the work that is done."""
        done_s = sum(cost.took_s for cost in self.costs.values()) + sum(one.spent_s for one in self.films)
        left_s = self.workers_s + self.main_s + self.alone_s
        return done_s / (done_s + left_s) if done_s else 0.0


def found_in(films: Iterable[FilmWork]) -> dict[str, float]:
    """The work that was found for films, by kind."""
    found: dict[str, float] = {}
    for one in films:
        for kind, seconds in one.found.items():
            found[kind] = found.get(kind, 0.0) + seconds
    return found


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
    costs = {
        **forecast.before,
        **{kind: one for kind, one in forecast.costs.items() if one.work >= TRUSTED_S},
    }
    with suppress(OSError), finished_file(store / FILE, durable=False) as fragment:
        fragment.write_text(json.dumps({kind: asdict(one) for kind, one in costs.items()}), encoding="utf-8")
