"""How early a note is struck, what a held or tense note is said to resolve to, and how a figure is moved.

Common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.bearers import bears
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.told import Shown, Told, Untrue
from lessonmaker.script.plain.durations import QUANTITY, length_said, quantity_of
from lessonmaker.script.plain.intervals import interval_sizes
from lessonmaker.script.plain.moved_words import moved_in
from lessonmaker.script.plain.reached import may_go_to
from lessonmaker.script.plain.verbs import inflected

__all__ = ["led_on"]

EARLY = pattern_of(
    rf"(?<![\w-])(?P<quantity>{QUANTITY}) (?:too )?(?:early|too soon|ahead of (?:time|the (?:bar|beat|chord|change)))\b"
)
RESOLVES = pattern_of(
    rf"\b{inflected('resolve')}(?: (?:\w+ly|down|up|downwards?|upwards?|back|straight|right|home|then|by|an?|half"
    r"|whole|step|there))* (?:in)?to (?:the |an? )?"
)
NEAR = 4  # notes after one among which it may resolve
COMES = pattern_of(
    r"\b(?:it|the (?:shape|figure|motif|idea|cell|lick|pattern|same \w+)|that (?:shape|figure|motif|idea))"
    r"(?: (?:then|just|simply))* (?:comes|returns|repeats|is (?:repeated|answered)|gets (?:repeated|moved)"
    r"|happens|appears|moves|turns up)\b(?P<how>[^.;:]*)"
)
EACH_TIME = (
    pattern_of(r"\b(?:each|every) time(?P<how>[^.;:,]*)"),
    pattern_of(r"(?<![^,;:])(?P<how>[^.;:,]*?) (?:each|every) time\b"),
)


def led_on(told: Told) -> Iterator[Untrue]:
    """What is said of where notes and figures lead, and is otherwise."""
    yield from _early(told)
    yield from _resolves(told)
    yield from _moved(told)


def _early(told: Told) -> Iterator[Untrue]:
    """How early a note is said to be struck, where none of those that are lit, or anticipate, is."""
    for match in EARLY.finditer(told.text):
        lit = [shown.notes[0] for shown in told.shown if len(shown.notes) == 1]
        anticipations = [note for note in told.music.anticipations if note in told.notes_in(told.spans)]
        notes = list(dict.fromkeys([*lit, *anticipations]))
        leads = [(note, lead) for note in notes for lead in _leads(told, note)]
        bar = told.music.bars_in(told.spans)[0]
        if not leads or any(lead == quantity_of(match["quantity"], bar.metre) for _, lead in leads):
            continue
        (note, lead), words = leads[0], told.sentence.words(*match.span("quantity"))
        at = told.music.position(note)
        what = f"“{words}”: the {note.written.name} at {at} comes {length_said(lead, bar.metre)} early"
        yield Untrue(
            *match.span("quantity"), what, "say how early it comes", meant=told.is_fact(*match.span())
        )


def _leads(told: Told, note: Note) -> list[Fraction]:
    """How long before a bar line or a chord over which it sounds on, or that comes at its end, a note is struck."""
    end = note.onset + max(note.held, INSTANT)
    bars = [bar.start for bar in told.music.score.bars]
    changes = [change.onset for change in told.music.score.changes]
    return sorted({onset - note.onset for onset in (*bars, *changes) if note.onset < onset <= end})


def _resolves(told: Told) -> Iterator[Untrue]:
    """Letters to which a lit note is said to resolve, where none of the next few notes has that name."""
    letters = {letter.first: letter for letter in letters_in(told.sentence)}
    for match in RESOLVES.finditer(told.text):
        name, shown = letters.get(match.end()), told.shown_before(match.start())
        if name is None or shown is None or len(shown.notes) != 1:
            continue
        note = shown.notes[0]
        goals = _goals(told, note)
        if not goals or any(bears(goal, name, told) for goal in goals):
            continue
        at, words = told.music.position(note), told.sentence.words(name.first, name.last)
        what = f"“{words}”: after the {note.written.name} at {at} comes {goals[0].written.name}"
        yield Untrue(name.first, name.last, what, "say where it resolves")


def _goals(told: Told, note: Note) -> list[Note]:
    """Where a note may be heard to resolve."""
    after = bisect_right(told.music.line_onsets, note.onset)
    later = told.music.line[after : after + NEAR]
    return list(dict.fromkeys([*later[:1], *may_go_to(note, told.music, far=True), *later]))


def _moved(told: Told) -> Iterator[Untrue]:
    """How far and which way a figure is said to be moved as it comes again, where it never is."""
    for shown in told.shown:
        starts = _starts(told, shown)
        said = [match for pattern in (COMES, *EACH_TIME) for match in pattern.finditer(told.text, shown.last)]
        for match in said:
            moved = moved_in(match["how"], with_way_only=match.re is not COMES)
            if len(starts) < 2 or moved is None or not (moved.way or moved.interval):
                continue
            moves = [later.sounding.midi - one.sounding.midi for one, later in pairwise(starts)]
            sizes = interval_sizes(moved.interval) if moved.interval else ()
            if any(move * (moved.way or 1) >= 0 or not moved.way for move in moves) and (
                not sizes or any(abs(move) in sizes for move in moves)
            ):
                continue
            first, last = match.start("how") + moved.first, match.start("how") + moved.last
            words = told.sentence.words(first, last)
            there = f"{starts[0].written.name}, then on {starts[1].written.name}"
            does = "higher" if moves[0] > 0 else "lower" if moves[0] else "at the same height"
            yield Untrue(first, last, f"“{words}”: it starts on {there}, {does}", "say how it is moved")


def _starts(told: Told, shown: Shown) -> Sequence[Note]:
    """The first notes of a figure as often as it comes: a device's groups, or what is lit and is like it later."""
    by_id = told.music.struck_by_id
    if shown.device is not None:
        moving = shown.device.kind in ("sequence", "motif")
        return [by_id[group[0]] for group in shown.device.groups if group] if moving else []
    return _copies(told, shown.notes)


def _copies(told: Told, notes: Sequence[Note]) -> Sequence[Note]:
    """The first of some notes that follow each other, and of each later run in sight with the same steps, about."""
    line, size = told.line_shown, len(notes)
    at = next((at for at in range(len(line)) if tuple(line[at : at + size]) == tuple(notes)), None)
    if at is None or size < 3:
        return []
    steps = _steps(notes)
    found = [notes[0]]
    for begin in range(at + size, len(line) - size + 1):
        pairs = zip(steps, _steps(line[begin : begin + size]), strict=True)
        if all(abs(one - other) <= 1 and one * other >= 0 for one, other in pairs):
            found.append(line[begin])
    return found


def _steps(notes: Sequence[Note]) -> list[int]:
    return [later.sounding.midi - one.sounding.midi for one, later in pairwise(notes)]
