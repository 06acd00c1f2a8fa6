"""Positions in a score as musicians count them, read and written.

| text | meaning |
|---|---|
| `12`, `12-15` | a bar, bars (the last one included); numbers as printed, `0` the pickup |
| `12.3`, `12.3&` | beat 3 of bar 12, its second half |
| `12.3e`, `12.3a`, `12.3+1/3` | its second and fourth sixteenth, any fraction of the beat |
| `12.3-13.1` | from one position to the end of another |
| `A`, `A-B` | the section under a rehearsal mark, sections |
| `12x2`, `12.3x2`, `Ax2` | the second time round |
| `12.2 of 6` | beat 2 where six are counted in the bar |
| `all` | the whole score |

A span ends with the thing its last position names, as `12-15` ends with bar 15: `12.3-13.1` ends with the
first beat of bar 13, `12.3-13.1&` too, `12.3-13.1+0/2` with the first half of that beat.

What a beat is: the printed unit over 4. Over 2 halves and quarters are counted; 6, 9 or 12 over 8 or less are
counted in dotted beats and in units; all else over 8 or less in units. Where a text means different places
in two ways of counting, the error lists both, each with the text that says it. `&`, `e`, `a` divide a plain
beat, not a dotted one. Beats of a pickup are numbered so that it ends with the last beat of its metre.

A bar number wins over a rehearsal mark of the same name. Where several bars bear one number (bars of two
endings, say), `12x1` is the first of them played, `12x2` the second.
"""

from __future__ import annotations

import difflib
import re
from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.score.model import Bar, Note, Score

__all__ = [
    "INSTANT",
    "PositionError",
    "Span",
    "bars_in",
    "format_position",
    "format_span",
    "hull",
    "notes_in",
    "overlap",
    "parse_span",
    "span_ends",
    "whole_bars",
]

POSITION = re.compile(
    r"^(?P<name>[^\s.]+?)(?:x(?P<early>\d{1,3}))?"
    r"(?:\.(?P<beat>\d{1,3})(?P<part>[&ea]|\+\d{1,4}/\d{1,4})?(?:x(?P<late>\d{1,3}))?"
    r"(?:\s*of\s*(?P<count>\d{1,3}))?)?$"
)
SECTION_VISIT = re.compile(r"^(?P<name>.*?)(?:x(?P<visit>\d{1,3}))?$", re.DOTALL)
PARTS = {"": (Fraction(0), Fraction(1)), "&": (Fraction(1, 2), Fraction(1, 2))}
PARTS |= {"e": (Fraction(1, 4), Fraction(1, 4)), "a": (Fraction(3, 4), Fraction(1, 4))}
PART_NAMES = {Fraction(0): "", Fraction(1, 2): "&", Fraction(1, 4): "e", Fraction(3, 4): "a"}
UNIT_NAMES = {
    Fraction(2): "halves",
    Fraction(1): "quarters",
    Fraction(1, 2): "eighths",
    Fraction(1, 4): "sixteenths",
    Fraction(3, 2): "dotted quarters",
    Fraction(3, 4): "dotted eighths",
}


INSTANT = Fraction(1, 64)  # of a quarter: shorter than what is written


class PositionError(ValueError):
    """A text that names no place, or more than one; the message says what there is."""


@dataclass(frozen=True)
class Span:
    """A stretch of the printed score, in quarters (see score.model); `visit` is the time round, if said."""

    start: Fraction
    end: Fraction
    visit: int | None = None


# Counting ----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Counting:
    """One way of counting a bar: beats of one length, numbered from `zero` (where beat 1 is or would be)."""

    beat: Fraction
    zero: Fraction
    count: int

    @property
    def plain(self) -> bool:
        """False for dotted beats, which have no "and"."""
        return self.beat.numerator == 1 or self.beat.denominator == 1

    def onset(self, number: int) -> Fraction:
        return self.zero + (number - 1) * self.beat


def _countings(score: Score, bar: Bar) -> list[_Counting]:
    """The ways of counting a bar, the felt one first."""
    zero = _beat_one(score, bar)
    unit = bar.metre.unit_quarters
    beats = {unit: None}
    if bar.metre.is_compound:
        beats = {3 * unit: None, unit: None}
    elif bar.metre.unit == 2:
        beats = {unit: None, Fraction(1): None}
    return [_Counting(beat, zero, int(bar.metre.bar_quarters / beat)) for beat in beats]


def _beat_one(score: Score, bar: Bar) -> Fraction:
    """Where beat 1 is, or would be in a bar that begins late (a pickup, the rest of a bar cut in two)."""
    missing = bar.metre.bar_quarters - bar.length
    if missing > 0 and (bar.start < 0 or _completes_the_bar_before(score, bar)):
        return bar.start - missing
    return bar.start


def _completes_the_bar_before(score: Score, bar: Bar) -> bool:
    before = score.bars[bar.index - 1] if bar.index else None
    return before is not None and before.start >= 0 and before.length + bar.length == bar.metre.bar_quarters


# Reading -----------------------------------------------------------------------------------------------


def parse_span(score: Score, text: str) -> Span:
    """The stretch of score that a text names.

    Raises:
        PositionError: the text names nothing, or several things, or runs backwards.
    """
    text = " ".join(text.split()).replace("–", "-")
    if text.casefold() == "all":
        return Span(score.bars[0].start, score.bars[-1].end)
    if not text:
        raise PositionError(
            "a position is missing: write a bar (12), bars (12-15), a beat (12.3) or a section"
        )
    if (atom := _named(score, text)) is not None:
        return atom
    if (cut := _cut(score, text)) is not None:
        return _joined(_atom(score, cut[0]), _atom(score, cut[1]), text)
    return _atom(score, text)


def _cut(score: Score, text: str) -> tuple[str, str] | None:
    """The two ends of "12-15"; a section's name may hold a hyphen itself."""
    cuts = [(text[:at].strip(), text[at + 1 :].strip()) for at, char in enumerate(text) if char == "-"]
    readable = [cut for cut in cuts if all(_named(score, end) or POSITION.match(end) for end in cut)]
    return next(iter(readable or [cut for cut in cuts if all(cut)]), None)


def _joined(first: Span, last: Span, text: str) -> Span:
    if first.visit is not None and last.visit is not None and first.visit != last.visit:
        raise PositionError(f"{text!r} begins and ends in different times round: give both the same")
    if last.end <= first.start:
        raise PositionError(f"{text!r} runs backwards: write the earlier place first")
    return Span(first.start, last.end, first.visit if first.visit is not None else last.visit)


def _named(score: Score, text: str) -> Span | None:
    """A section by its whole name, unless a bar bears it."""
    match = SECTION_VISIT.match(text)
    if match is None or any(text == bar.number for bar in score.bars):
        return None
    for name, visit in ((text, None), (match["name"], match["visit"])):
        if (bars := _section(score, name)) is not None:
            time = None if visit is None else _checked_visit(score, bars[0], int(visit), f"section {name}")
            return Span(bars[0].start, bars[-1].end, time)
    return None


def _section(score: Score, name: str) -> list[Bar] | None:
    """The bars under a rehearsal mark: up to the next mark."""
    marked = [bar for bar in score.bars if bar.section and bar.section.casefold() == name.casefold()]
    if not marked:
        return None
    if len(marked) > 1:
        listed = ", ".join(_bar_name(score, bar) for bar in marked)
        raise PositionError(
            f"{name!r} stands over several sections, which begin in bars {listed}: name the bars"
        )
    following = (bar.index for bar in score.bars[marked[0].index + 1 :] if bar.section)
    return list(score.bars[marked[0].index : next(following, len(score.bars))])


def _atom(score: Score, text: str) -> Span:
    """A section, a bar, or a position in a bar."""
    if (section := _named(score, text)) is not None:
        return section
    match = POSITION.match(text)
    if match is None:
        raise PositionError(
            f"{text!r} is no position: write a bar (12), a beat (12.3, 12.3&), or a section's name"
        )
    said = match["early"] or match["late"]
    bar, visit = _find_bar(score, match["name"], int(said) if said else None)
    if match["beat"] is None:
        return Span(bar.start, bar.end, visit)
    start, end = _place_in_bar(score, bar, match)
    return Span(start, end, visit)


def _find_bar(score: Score, name: str, visit: int | None) -> tuple[Bar, int | None]:
    """The bar with this number, and the time round that was asked for."""
    bars = [bar for bar in score.bars if bar.number == name]
    if not bars and name == "0" and score.bars[0].start < 0:
        bars = [score.bars[0]]
    if not bars and _section(score, name) is not None:
        raise PositionError(f"{name!r} is a section: a beat needs a bar's number before it")
    if not bars:
        raise PositionError(_no_bar(score, name))
    if len(bars) == 1:
        return bars[0], None if visit is None else _checked_visit(score, bars[0], visit, f"bar {name}")
    visits = [v for v in score.order if score.bars[v.bar] in bars]
    if visit is None:
        listed = ", ".join(f"{name}x{i}" for i in range(1, len(visits) + 1))
        raise PositionError(
            f"{len(bars)} bars bear the number {name}: write {listed}, in the order they are played"
        )
    if not 1 <= visit <= len(visits):
        raise PositionError(
            f"bars numbered {name} are played {_times(len(visits))}: there is no {name}x{visit}"
        )
    chosen = visits[visit - 1]
    repeated = sum(v.bar == chosen.bar for v in visits) > 1
    return score.bars[chosen.bar], chosen.number if repeated else None


def _checked_visit(score: Score, bar: Bar, visit: int, what: str) -> int:
    times = sum(v.bar == bar.index for v in score.order)
    if not 1 <= visit <= times:
        raise PositionError(f"{what} is played {_times(times)}: there is no x{visit}")
    return visit


def _times(count: int) -> str:
    return {0: "never", 1: "once", 2: "twice"}.get(count, f"{count} times")


def _no_bar(score: Score, name: str) -> str:
    sections = list(dict.fromkeys(bar.section for bar in score.bars if bar.section))
    numbers = [bar.number for bar in score.bars if bar.start >= 0]
    there = f"bars run from {numbers[0]} to {numbers[-1]}"
    there += ", with a pickup (0)" if score.bars[0].start < 0 else ""
    there += f"; sections are {', '.join(sections)}" if sections else "; there are no sections"
    folded = {section.casefold(): section for section in sections}
    near = [] if name.isdecimal() else difflib.get_close_matches(name.casefold(), folded, 1)
    meant = f", did you mean {folded[near[0]]!r}?" if near else ""
    return f"there is no bar or section {name!r}{meant} ({there})"


def _place_in_bar(score: Score, bar: Bar, match: re.Match[str]) -> tuple[Fraction, Fraction]:
    """Start and end of a beat or a part of it; the only one, or the one that all ways of counting share."""
    said = f"{match['name']}.{match['beat']}{match['part'] or ''}"
    countings = _countings(score, bar)
    if match["count"] is not None:
        countings = [c for c in countings if c.count == int(match["count"])]
        if not countings:
            ways = " or ".join(str(c.count) for c in _countings(score, bar))
            raise PositionError(
                f"bar {bar.number} in {bar.metre} is counted in {ways}, not in {match['count']}"
            )
    offset, length = _part(match["part"] or "", said)
    found = [
        (c, c.onset(int(match["beat"])) + offset * c.beat)
        for c in countings
        if c.plain or match["part"] not in PARTS
    ]
    found = [(c, onset) for c, onset in found if bar.start <= onset < bar.end and int(match["beat"]) > 0]
    if not found:
        raise PositionError(_no_beat(score, bar, said))
    if len({onset for _, onset in found}) > 1:
        raise PositionError(_ambiguous(bar, said, [c for c, _ in found]))
    counting, onset = found[0]
    return onset, min(onset + length * counting.beat, bar.end)


def _part(text: str, said: str) -> tuple[Fraction, Fraction]:
    """Offset and length of a part of a beat, in beats: "+1/3" is the second third."""
    if text in PARTS:
        return PARTS[text]
    above, below = (int(figure) for figure in text[1:].split("/"))
    if below == 0 or above >= below:
        raise PositionError(f"{said!r} is not inside its beat: a part is a fraction below one, such as +1/3")
    return Fraction(above, below), Fraction(1, below)


def _no_beat(score: Score, bar: Bar, said: str) -> str:
    if bar.start >= _beat_one(score, bar) + bar.metre.bar_quarters or bar.start > _beat_one(score, bar):
        return f"there is no {said!r}: the bar begins at {format_position(score, bar.start)} ({bar.metre})"
    if "&" in said or said[-1] in "ea":
        return f"there is no {said!r}: bar {bar.number} is in {bar.metre}"
    beats = " or ".join(
        f"{-(-bar.length // c.beat)} {UNIT_NAMES.get(c.beat, 'beats')}" for c in _countings(score, bar)
    )
    return f"there is no {said!r}: bar {bar.number} has {beats}"


def _ambiguous(bar: Bar, said: str, countings: list[_Counting]) -> str:
    ways = ", or ".join(
        f"'{said} of {c.count}' counted in {UNIT_NAMES.get(c.beat, 'beats')}" for c in countings
    )
    return f"{said!r} can be two places in {bar.metre}: write {ways}"


# Writing -----------------------------------------------------------------------------------------------


def format_position(score: Score, onset: Fraction) -> str:
    """The text of a position: "12.3&". `parse_span` reads it back.

    Raises:
        ValueError: the onset lies outside the score.
    """
    return _position_text(score, _bar_at(score, onset), onset, None)


def _bar_at(score: Score, onset: Fraction) -> Bar:
    bar = score.bars[_place_of_bar(score, onset)]
    if bar.start <= onset < bar.end:
        return bar
    raise ValueError(f"{onset} quarters lies outside the score")


def _place_of_bar(score: Score, time: Fraction) -> int:
    """The place of the last bar that begins at a time or before it (0 before the first)."""
    return max(bisect_right(score.bars, time, key=_start) - 1, 0)


def _start(bar: Bar) -> Fraction:
    return bar.start


def _bar_name(score: Score, bar: Bar, visit: int | None = None) -> str:
    """The number, with the time round where it was asked for or where several bars bear the number."""
    same = [other for other in score.bars if other.number == bar.number]
    if len(same) > 1:
        visits = [v for v in score.order if score.bars[v.bar].number == bar.number]
        visit = next(
            (i for i, v in enumerate(visits, 1) if v.bar == bar.index and v.number == (visit or 1)), visit
        )
    return bar.number if visit is None else f"{bar.number}x{visit}"


def _position_text(score: Score, bar: Bar, onset: Fraction, visit: int | None) -> str:
    counting = _countings(score, bar)[-1]
    beat, part = divmod((onset - counting.zero) / counting.beat, 1)
    name = PART_NAMES.get(part, f"+{part}")
    return f"{_bar_name(score, bar, visit)}.{_beat_text(score, bar, int(beat) + 1, name, counting)}"


def _end_text(score: Score, bar: Bar, end: Fraction, visit: int | None) -> str:
    """The text of the last position of a span: the beat, or the part of one, that ends there."""
    counting = _countings(score, bar)[-1]
    beat, part = divmod((end - counting.zero) / counting.beat, 1)
    number = int(beat) + 1 if part else int(beat)
    name = f"+{part.numerator - 1}/{part.denominator}" if part else ""
    if counting.onset(number) < bar.start:
        raise ValueError("a span ends before the first beat it could name")
    return f"{_bar_name(score, bar, visit)}.{_beat_text(score, bar, number, name, counting, last=True)}"


def _beat_text(
    score: Score, bar: Bar, number: int, part: str, counting: _Counting, last: bool = False
) -> str:
    """Beat and part, with "of" where another way of counting reads them differently.

    For the `last` position of a span the length of the beat matters too, not only its place.
    """
    offset = _part(part, part)[0]
    here = counting.onset(number) + offset * counting.beat
    others = [c for c in _countings(score, bar) if c != counting and (c.plain or part not in ("&", "e", "a"))]
    away = [c.onset(number) + offset * c.beat for c in others]
    clash = any(bar.start <= onset < bar.end and (last or onset != here) for onset in away)
    return f"{number}{part} of {counting.count}" if clash else f"{number}{part}"


def format_span(score: Score, span: Span) -> str:
    """The text of a span: "12", "12-15", "12.3-13.1", "all". `parse_span` reads it back.

    Raises:
        ValueError: the span lies outside the score or is empty.
    """
    if span == Span(score.bars[0].start, score.bars[-1].end):
        return "all"
    first = _bar_at(score, span.start)
    last = _last_bar(score, span)
    if span.start == first.start and span.end == last.end:
        ends = [_bar_name(score, first, span.visit), _bar_name(score, last, span.visit)]
        return ends[0] if first is last else "-".join(ends)
    start = _position_text(score, first, span.start, span.visit)
    if first is last and parse_span(score, start).end == span.end:
        return start
    return f"{start}-{_end_text(score, last, span.end, span.visit)}"


def span_ends(score: Score, span: Span, last_onset: Fraction | None = None) -> tuple[str, str]:
    """The texts of a span's first and last place, such that "first-last" names it: ("3", "4"), ("3.2", "4.1").

    A span from bar line to bar line has bar numbers; for another the last place is that of `last_onset` (the last
    note's, say), or where the span ends.

    Raises:
        ValueError: the span lies outside the score or is empty.
    """
    first, last = _bar_at(score, span.start), _last_bar(score, span)
    if span.start == first.start and span.end == last.end:
        return _bar_name(score, first, span.visit), _bar_name(score, last, span.visit)
    start = _position_text(score, first, span.start, span.visit)
    if last_onset is None:
        return start, _end_text(score, last, span.end, span.visit)
    return start, _position_text(score, _bar_at(score, last_onset), last_onset, span.visit)


def _last_bar(score: Score, span: Span) -> Bar:
    for bar in score.bars:
        if bar.start < span.end <= bar.end and span.start < span.end:
            return bar
    raise ValueError(f"no bar holds the end of the span at {span.end} quarters")


# What lies in a span -----------------------------------------------------------------------------------


def bars_in(score: Score, span: Span) -> tuple[int, ...]:
    """Indices of the bars that a span touches."""
    first, after = _place_of_bar(score, span.start), bisect_left(score.bars, span.end, key=_start)
    return tuple(bar.index for bar in score.bars[first:after] if bar.end > span.start)


def hull(spans: Iterable[Span]) -> Span:
    """From where the first of some spans begins to where the last one ends, in whatever order they are said.

    Raises:
        ValueError: there are none.
    """
    found = list(spans)
    return Span(min(span.start for span in found), max(span.end for span in found))


def whole_bars(score: Score, bars: Collection[int]) -> Span:
    """From the start of the first to the end of the last of some bars, given by their indices (one at least)."""
    return Span(score.bars[min(bars)].start, score.bars[max(bars)].end)


def overlap(one: Span, other: Span) -> Fraction:
    """How much of two spans is common, in quarters."""
    return max(min(one.end, other.end) - max(one.start, other.start), Fraction(0))


def notes_in(score: Score, span: Span) -> tuple[Note, ...]:
    """The notes that begin in a span, grace notes and notes tied on included."""
    return tuple(note for note in score.notes if span.start <= note.onset < span.end)
