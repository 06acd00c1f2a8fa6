"""A part of a lesson: the cues that a number, a title or bars name, and when they take place.

A number is a cue's, from 1. A title begins a chapter: its cue, and those after it up to the next title. Bars are all
cues that show or play nothing but these bars, wherever they stand in the lesson.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from lessonmaker.faults import UsageError
from lessonmaker.score.position import PositionError, bars_in, parse_span
from lessonmaker.script.model import CheckedCue, CheckedLesson
from lessonmaker.timeline.compile import chapter_title
from lessonmaker.timeline.model import Timeline

__all__ = ["Part", "cues_of", "stretches_of"]

Part = int | str


def cues_of(part: Part, checked: CheckedLesson) -> tuple[int, ...]:
    """The numbers of the cues, from 1, that a part of a lesson holds, in order.

    Raises:
        UsageError: the lesson has no such part.
    """
    if isinstance(part, int):
        if 1 <= part <= len(checked.cues):
            return (part,)
        raise UsageError(f"{checked.lesson.title} has no cue {part}: its cues are 1 to {len(checked.cues)}")
    return cues_titled(part, checked) or cues_about(part, checked)


def cues_titled(title: str, checked: CheckedLesson) -> tuple[int, ...]:
    """The cues of a chapter, by its title with or without its bars; none if no chapter is called so.

    Raises:
        UsageError: several chapters are called so.
    """
    firsts = [number for number, cue in enumerate(checked.cues, 1) if said(title) in titles_of(cue, checked)]
    if len(firsts) > 1:
        numbers = " and ".join(map(str, firsts))
        raise UsageError(f"{title!r} is the title of cues {numbers}: name one of them by its number")
    if not firsts:
        return ()
    after = range(firsts[0] + 1, len(checked.cues) + 1)
    end = next((number for number in after if checked.cues[number - 1].cue.title), len(checked.cues) + 1)
    return tuple(range(firsts[0], end))


def titles_of(cue: CheckedCue, checked: CheckedLesson) -> dict[str, str]:
    """What a cue's chapter is called, from what counts of it to how it is written; nothing without a title."""
    if not cue.cue.title:
        return {}
    return {said(title): title for title in (cue.cue.title, chapter_title(checked.score, cue))}


def said(title: str) -> str:
    """What counts of a title: not its capitals and blanks."""
    return " ".join(title.split()).casefold()


def cues_about(text: str, checked: CheckedLesson) -> tuple[int, ...]:
    """The cues that show or play nothing but some bars.

    Raises:
        UsageError: there are no such bars, or no cue is about them alone.
    """
    try:
        bars = set(bars_in(checked.score, parse_span(checked.score, text)))
    except PositionError as error:
        raise UsageError(
            f"{text!r} is no title in {checked.lesson.title}{near(text, checked)}, and {error}"
        ) from None
    shown = {number: bars_of(cue, checked) for number, cue in enumerate(checked.cues, 1)}
    about = tuple(number for number, own in shown.items() if own and own <= bars)
    if not about:
        raise UsageError(f"no cue of {checked.lesson.title} is about {text} alone")
    return about


def bars_of(cue: CheckedCue, checked: CheckedLesson) -> set[int]:
    """Indices of the bars that a cue shows and plays."""
    spans = (*cue.compare, *(span for span in (cue.bars, cue.play) if span is not None))
    return {bar for span in spans for bar in bars_in(checked.score, span)}


def near(text: str, checked: CheckedLesson) -> str:
    """The nearest title, as a question."""
    known = {key: title for cue in checked.cues for key, title in titles_of(cue, checked).items()}
    found = difflib.get_close_matches(said(text), known, 1)
    return f" (did you mean {known[found[0]]!r}?)" if found else ""


def stretches_of(numbers: Iterable[int], timeline: Timeline) -> tuple[tuple[int, int], ...]:
    """When some cues take place: (start, end) in ticks, those that follow one another as one.

    Raises:
        UsageError: they take no time at all.
    """
    chosen = set(numbers)
    found: list[tuple[int, int]] = []
    for cue in timeline.cues:
        if cue.number in chosen and cue.start < cue.end:
            joins = bool(found) and found[-1][1] == cue.start
            found[-1:] = [(found[-1][0], cue.end)] if joins else [*found[-1:], (cue.start, cue.end)]
    if not found:
        raise UsageError(f"nothing is seen or heard in cue {' and '.join(map(str, sorted(chosen)))}")
    return tuple(found)
