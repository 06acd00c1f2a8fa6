"""Places of the etude pinned to times in the take: `sync: {1.1: 0:03.2, 33.1: 1:05}`.

A place is a position as everywhere in a script; of a bar or a section its beginning counts. A time is
minutes and seconds (`1:05`, `0:03.2`), hours before them (`1:02:05`), or plain seconds (`65`), counted from
the take's own beginning.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lessonmaker.faults import Fault
from lessonmaker.score.model import Score
from lessonmaker.score.position import PositionError, Span, bars_in, parse_span
from lessonmaker.script.fields import Reading, entries_of, scalar_text
from lessonmaker.script.model import Lesson, Pin, PinnedPlace
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.yamltext import Node, Scalar

if TYPE_CHECKING:  # with all that analyses, a tenth of a second to import: a book's head needs none of it
    from lessonmaker.script.music import Findings

__all__ = ["TIME_EXAMPLE", "beyond_the_take", "clock_seconds", "clock_text", "pinned_places", "read_pins"]

CLOCK = pattern_of(r"(?:(?:(\d{1,2}):)?(\d{1,3}):)?(\d{1,5}(?:\.\d{1,6})?)")
TIME_ROUND = pattern_of(r"x([1-9]\d?)(?![^.\s])")
PINS_EXAMPLE = "places and their times in the take, as in {1.1: 0:03.2, 33.1: 1:05}"
TIME_EXAMPLE = "minutes and seconds such as 1:05 or 0:03.2, or seconds such as 65"
SIXTY = 60


def read_pins(node: Node, reading: Reading) -> tuple[Pin, ...] | None:
    """The pins of a lesson, in the order written."""
    return entries_of(node, reading, ("places", "time"), PINS_EXAMPLE, read_pin)


def read_pin(key: Scalar, node: Node, reading: Reading) -> Pin | None:
    """One place and its time."""
    text = scalar_text(node, reading, TIME_EXAMPLE)
    if text is None:
        return None
    time_s = clock_seconds(text)
    if time_s is None:
        reading.fault(node.place, f"{text!r} is no time in the take", f"write {TIME_EXAMPLE}")
        return None
    return Pin(key.text.strip(), time_s, key.place, node.place)


def clock_seconds(text: str) -> float | None:
    """The seconds of a time as written, or None."""
    match = CLOCK.fullmatch(text)
    if match is None:
        return None
    hours, minutes, seconds = int(match[1] or 0), int(match[2] or 0), float(match[3])
    if (match[2] is not None and seconds >= SIXTY) or (match[1] is not None and minutes >= SIXTY):
        return None
    return (SIXTY * hours + minutes) * SIXTY + seconds


def clock_text(time_s: float) -> str:
    """A time as it is written in a script: 0:03.2, 1:05, 1:02:05."""
    tenths = round(10 * time_s)
    minutes, rest = divmod(tenths, 10 * SIXTY)
    hours, minutes = divmod(minutes, SIXTY)
    seconds, tenth = divmod(rest, 10)
    head = f"{hours}:{minutes:02}" if hours else f"{minutes}"
    return f"{head}:{seconds:02}" + (f".{tenth}" if tenth else "")


def beyond_the_take(lesson: Lesson, take_seconds: float) -> tuple[Fault, ...]:
    """Faults for pins that lie after the take's end."""
    return tuple(
        Fault(
            f"{pin.position} is pinned to {clock_text(pin.time_s)}, but the take ends at {clock_text(take_seconds)}",
            "times count from the beginning of the take's file",
            pin.time_place,
        )
        for pin in lesson.sync
        if pin.time_s > take_seconds
    )


def pinned_places(lesson: Lesson, score: Score, findings: Findings) -> tuple[PinnedPlace, ...]:
    """The lesson's pins as places of the score, in the order of their times.

    A position that names nothing or several playings, two pins of one place, and times that run backwards
    are faults.
    """
    if lesson.sync and lesson.take is None:
        todo = "add the take, as in `take: ../media/etude.flac`, or delete `sync`"
        findings.fault(lesson.places["sync"], "there is no take to pin places in", todo)
    found = [place for pin in lesson.sync if (place := pinned_place(pin, score, findings)) is not None]
    refuse_doubles(found, findings)
    refuse_backwards(found, score, findings)
    return tuple(sorted(found, key=lambda place: place.time_s))


def pinned_place(pin: Pin, score: Score, findings: Findings) -> PinnedPlace | None:
    """The place of a pin; where it is played several times, the pin has to say which."""
    try:
        span = span_in_take(score, pin.position)
    except PositionError as error:
        findings.fault(pin.place, str(error), "")
        return None
    bar = score.bars[bars_in(score, span)[0]]
    times = sum(visit.bar == bar.index for visit in score.order)
    if span.visit is None and times > 1:
        listed = ", ".join(f"{pin.position}x{number}" for number in range(1, times + 1))
        what = f"{pin.position} is played {times} times"
        findings.fault(pin.place, what, f"say which of them is pinned: {listed}")
        return None
    return PinnedPlace(bar.index, span.visit or 1, span.start - bar.start, pin.time_s, pin)


def span_in_take(score: Score, text: str) -> Span:
    """The span that a text names; in a take a bar may come again that is printed without a repeat.

    Raises:
        PositionError: the text names nothing.
    """
    again = TIME_ROUND.search(text)
    try:
        return parse_span(score, text)
    except PositionError:
        if again is None or not is_place(score, text[: again.start()].partition(".")[0]):
            raise
    return replace(parse_span(score, text[: again.start()] + text[again.end() :]), visit=int(again[1]))


def is_place(score: Score, text: str) -> bool:
    """Whether a text names something in the score."""
    try:
        parse_span(score, text)
    except PositionError:
        return False
    return True


def refuse_doubles(places: Sequence[PinnedPlace], findings: Findings) -> None:
    """A fault for each pin of a place that is pinned already."""
    seen: dict[tuple[int, int, Fraction], str] = {}
    for place in places:
        position = place.pin.position
        other = seen.setdefault((place.bar, place.visit, place.quarters), position)
        if other != position:
            findings.fault(place.pin.place, f"{position} and {other} are one place", "keep one of them")


def refuse_backwards(places: Sequence[PinnedPlace], score: Score, findings: Findings) -> None:
    """A fault for each pin that is played after another as printed, but not pinned after it."""
    order = {(visit.bar, visit.number): at for at, visit in enumerate(score.order)}
    moments = {
        (order[place.bar, place.visit], place.quarters): place
        for place in places
        if (place.bar, place.visit) in order
    }
    for one, other in pairwise(moments[moment] for moment in sorted(moments)):
        if other.time_s <= one.time_s:
            what = f"{other.pin.position} is played after {one.pin.position}, but is pinned to "
            what += f"{clock_text(other.time_s)}, not after {clock_text(one.time_s)}"
            findings.fault(other.pin.time_place, what, "mend one of the two times")
