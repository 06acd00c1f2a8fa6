"""The time left, held against builds in simulated time."""

import random

import pytest

from lessonmaker.build.forecast import (
    JOINING,
    LAYING,
    WHOLE,
    Cost,
    Expected,
    Forecast,
    keep_costs,
    kept_costs,
)
from lessonmaker.build.store import Store
from tests.tools.simulated_build import Machine, MadeUpFilm, simulate

SLOW = {"fit": 2.1, "speech": 1.8, "pictures": 2.0, "sound": 2.2, "film": 1.9, "main": 1.8}
QUICK = {"fit": 0.42, "speech": 0.5, "pictures": 0.45, "sound": 0.4, "film": 0.5, "main": 0.5}
LENGTHS = {"one": 1.0, "two": 3.0, "three": 0.4, "four": 1.8, "five": 0.7}


def film(lesson, length, chance, share=1.0):
    """A film of about five minutes times `length`, of whose parts a share is to be made."""

    def tasks(seconds, each):
        number = max(1, round(length * share * seconds / each))
        return [chance.uniform(0.5, 1.5) * each for _ in range(number)]

    before = {"fit": [8 * length], "speech": tasks(4, 0.4)}
    return MadeUpFilm(lesson, before, {"pictures": tasks(18, 1.0), "sound": tasks(3, 0.2)})


def nominal(film, films):
    """How much work a film is, when what is shared with the other films of its lesson counts for a quarter."""
    kinds = {**film.before, **film.after}
    return sum(sum(tasks) / (films if kind in film.shared else 1) for kind, tasks in kinds.items())


def wrong_tellings(machine, films, expected, store, before=None, seed=1):
    """The tellings after the first tenth that are not right within a third: seconds told, and seconds left.

    A second more or less is right, as that is what is read.
    """
    took_s, told = simulate(machine, films, Forecast.of(expected, before), store, seed)
    later = [(one.left_s, took_s - one.at_s) for one in told if one.at_s >= took_s / 10]
    assert len(later) > 20
    return [(left_s, rest_s) for left_s, rest_s in later if abs(left_s - rest_s) > max(rest_s / 3, 1.0)]


def first_telling(machine, films, expected, store, before=None):
    """What is told when the first task is done: seconds told, and seconds left."""
    took_s, told = simulate(machine, films, Forecast.of(expected, before), store)
    return told[0].left_s, took_s - told[0].at_s


def machine_of(rates, width):
    return Machine(width, rates, laying_s=0.7 * rates["main"], joining_s=0.2 * rates["main"])


BOOKS: dict[str, dict[str, float]] = {
    "even": {"one": 1.0, "two": 1.0},
    "uneven": LENGTHS,
    "the longest last": dict(sorted(LENGTHS.items(), key=lambda one: one[1])),
}
SHAPES = [(lengths, width) for lengths in BOOKS for width in (2, 8)] + [("one lesson", 2)]
BOOKS["one lesson"] = {"one": 1.0}


def book(lengths, chance, share=lambda _number: 1.0):
    """Four films a lesson, and what is expected of them: off by up to 15 %, the same way for a lesson's editions."""
    films, expected = [], []
    for lesson, length in lengths.items():
        off = chance.uniform(0.85, 1.15)
        for _ in range(4):
            films.append(film(lesson, length, chance, share(len(films))))
            expected.append(Expected(lesson, nominal(films[-1], 4) * off))
    return films, expected


@pytest.mark.parametrize(("lengths", "width"), SHAPES)
@pytest.mark.parametrize("rates", [SLOW, QUICK], ids=["slow", "quick"])
@pytest.mark.parametrize("seed", range(2))
def test_a_book_from_nothing_on_a_machine_of_which_nothing_is_known(lengths, rates, width, seed, tmp_path):
    films, expected = book(BOOKS[lengths], random.Random(seed))
    assert not wrong_tellings(machine_of(rates, width), films, expected, Store(tmp_path), seed=seed)


@pytest.mark.parametrize("width", [2, 8])
def test_what_earlier_builds_measured_tells_kinds_of_work_apart(width, tmp_path):
    """A machine that speaks quickly and paints slowly, slower by a quarter than it was then: others use it too."""
    strange = {"fit": 0.3, "speech": 0.3, "pictures": 4.0, "sound": 6.0, "film": 2.0, "main": 1.5}
    usual = {"fit": 40.0, "speech": 80.0, "pictures": 360.0, "sound": 60.0, "film": 8.0}
    before = {kind: Cost(work, work * strange[kind]) for kind, work in usual.items()}
    before |= {LAYING: Cost(8, 8.4), JOINING: Cost(8, 2.4)}
    films, expected = book(LENGTHS, random.Random(5))
    now = machine_of({kind: 1.25 * rate for kind, rate in strange.items()}, width)
    wrong = wrong_tellings(now, films, expected, Store(tmp_path / "now"), before)
    assert not [
        rest_s for _, rest_s in wrong if rest_s > now.rates["pictures"]
    ]  # as long as one task of this machine
    then = machine_of(strange, width)
    first_s, rest_s = first_telling(then, films, expected, Store(tmp_path / "then"), before)
    assert first_s == pytest.approx(rest_s, rel=1 / 3)
    unknown_s, rest_s = first_telling(then, films, expected, Store(tmp_path / "unknown"))
    assert abs(unknown_s - rest_s) > rest_s / 3


@pytest.mark.parametrize("width", [2, 8])
def test_a_book_that_is_partly_kept(width, tmp_path):
    """Of every second film a tenth is to be made, of others all."""
    films, expected = book(LENGTHS, random.Random(3), lambda number: 0.1 if number % 2 else 1.0)
    assert not wrong_tellings(machine_of(SLOW, width), films, expected, Store(tmp_path))


@pytest.mark.parametrize("width", [2, 8])
def test_films_whose_parts_turn_out_to_be_kept(width, tmp_path):
    """All is expected to be made, and of most films a fifth is: the first film of a lesson tells."""
    chance = random.Random(4)
    films, _ = book(LENGTHS, chance, lambda _: 0.2)
    expected = [Expected(one.lesson, 30 * LENGTHS[one.lesson]) for one in films]
    wrong = wrong_tellings(machine_of(SLOW, width), films, expected, Store(tmp_path))
    assert not [one for one in wrong if one[0] < one[1]]


def test_films_that_need_nothing_made_are_joined_all_the_same():
    forecast = Forecast.of([Expected("one", 0.0)] * 4)
    forecast.found(0, "scene", 0.0)
    forecast.laid(0)
    forecast.spent(0, 1.0)
    assert forecast.left_s(2) == pytest.approx(3 * 0.7 + 4 * (0.2 + 0.4 / 2), rel=0.3)
    assert 0 < forecast.share < 0.3


def test_work_that_is_done_whole_comes_after_the_rest():
    forecast = Forecast.of([Expected("one", 40.0), Expected("a film", 30.0, shared=False)])
    before_s = forecast.left_s(2)
    forecast.found(1, WHOLE, 60.0)
    forecast.laid(1)
    assert forecast.left_s(2) == pytest.approx(before_s + 30.0)
    assert forecast.left_s(1) == pytest.approx(forecast.left_s(2) + 20.0, abs=0.5)
    forecast.done(WHOLE, 60.0, 60.0)
    assert forecast.left_s(2) == pytest.approx(before_s - 30.0)


def test_what_was_measured_is_kept_for_the_next_build(tmp_path):
    forecast = Forecast.of([Expected("one", 10.0)], {"sound": Cost(9.0, 18.0), "fit": Cost(7.0, 7.0)})
    forecast.done("pictures", 10.0, 25.0)
    forecast.done("sound", 1.0, 9.0)
    forecast.done("fit", 8.0, 4.0)
    forecast.done("speech", 0.5, 1.0)
    forecast.done("scene", 0.0, 0.1)
    keep_costs(forecast, tmp_path)
    assert kept_costs(tmp_path) == {
        "sound": Cost(9.0, 18.0),
        "pictures": Cost(10.0, 25.0),
        "fit": Cost(8.0, 4.0),
        "speech": Cost(0.5, 1.0),
    }
    assert Forecast.of([], kept_costs(tmp_path)).usual("pictures") == 2.5


@pytest.mark.parametrize(
    "text",
    ["", "[]", '{"fit": 3}', '{"fit": {"work": "x", "took_s": 1}}', '{"fit": {"work": NaN, "took_s": 1}}', "[" * 9999]
)  # fmt: skip
def test_costs_that_are_damaged_are_not_used(text, tmp_path):
    assert kept_costs(tmp_path) == {}
    (tmp_path / "costs.json").write_text(text)
    assert kept_costs(tmp_path) == {}
    keep_costs(Forecast.of([]), tmp_path / "not there")
