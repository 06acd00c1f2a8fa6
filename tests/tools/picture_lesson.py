"""A short lesson laid down by hand: every kind of page and every kind of mark, at known ticks."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from lessonmaker.score.edition import EDITIONS, make_edition
from lessonmaker.score.model import Note, Score
from lessonmaker.score.read import read_score
from lessonmaker.score.rows import rows
from lessonmaker.timeline.compile import form_of
from lessonmaker.timeline.model import (
    TICKS_PER_SECOND,
    Arrow,
    Caption,
    CaptionTerm,
    Label,
    Light,
    Page,
    Scene,
    Timeline,
)

MEDIA = Path(__file__).parents[2] / "media"
SECOND = TICKS_PER_SECOND
FADE_IN, FADE_OUT = 120 * SECOND // 1000, 200 * SECOND // 1000
PLAY, ANALYSIS, TENSION, END = (seconds * SECOND for seconds in (2, 6, 10, 14))
DURATION = 16 * SECOND
BAR_LIGHT = 3 * SECOND + 1234  # deliberately on no frame of any rate
NOTE_TICKS = 60_000


@cache
def score_in(name: str, edition: str) -> Score:
    """A demo score as an edition prints it."""
    return make_edition(read_score(MEDIA / f"{name}.musicxml"), EDITIONS[edition]).score


def notes_in(score: Score, bar: int) -> list[Note]:
    """The struck notes of a bar."""
    return [note for note in score.struck if note.bar == bar]


@cache
def lesson(name: str = "gaslight-errand", edition: str = "b-flat") -> Timeline:
    """Title, play (two pages), analysis, tension and end of sixteen seconds."""
    score = score_in(name, edition)
    systems = rows(score)
    shown, last = systems[2], systems[2][-2:]
    leaning, resolving = notes_in(score, last[0])[-1].id, notes_in(score, last[1])[0].id
    return Timeline(
        title=score.title,
        composer=score.composer,
        edition=EDITIONS[edition].label,
        duration=DURATION,
        form=form_of(score),
        bar_numbers=tuple(bar.number for bar in score.bars),
        scenes=(
            Scene("title", 0, PLAY),
            Scene("play", PLAY, ANALYSIS, tuple(bar.index for bar in score.bars)),
            Scene("analysis", ANALYSIS, TENSION, shown),
            Scene("tension", TENSION, END, last),
            Scene("end", END, DURATION),
        ),
        pages=pages(systems, last),
        lights=lights(score, systems, leaning, resolving),
        labels=labels(leaning, resolving),
        arrows=(Arrow(7 * SECOND, TENSION, leaning, resolving, FADE_OUT, FADE_OUT),),
        captions=captions(),
        chapters=(),
        clips=(),
    )


def pages(systems: tuple[tuple[int, ...], ...], last: tuple[int, ...]) -> tuple[Page, ...]:
    """One page or two of every kind."""
    return (
        Page(0, PLAY, "title"),
        Page(PLAY, 4 * SECOND, "play", systems[:3], SECOND // 4),
        Page(4 * SECOND, ANALYSIS, "play", systems[1:4], SECOND // 5),
        Page(ANALYSIS, TENSION, "analysis", systems[2:4], SECOND // 4),
        Page(TENSION, END, "tension", (last,), SECOND // 4),
        Page(END, DURATION, "end", (), SECOND // 4),
    )


def lights(
    score: Score, systems: tuple[tuple[int, ...], ...], leaning: str, resolving: str
) -> tuple[Light, ...]:
    """A bar and its notes as they sound; a chord, a range, an area and rings as they are spoken of."""
    bar = systems[0][1]
    change = next(change.id for change in score.changes if change.bar in systems[2])
    starts = range(BAR_LIGHT, BAR_LIGHT + 8 * NOTE_TICKS, NOTE_TICKS)
    played = zip(notes_in(score, bar), starts, strict=False)
    spoken = 7 * SECOND
    return (
        Light("bar", BAR_LIGHT, 4 * SECOND, (bar,)),
        *(Light("note", start, start + NOTE_TICKS, (note.id,)) for note, start in played),
        Light("range", ANALYSIS, END, systems[2]),
        Light("chord", spoken, TENSION, (change,), "now", FADE_IN, FADE_OUT),
        Light("area", spoken, END, (leaning, resolving), "now", FADE_IN, FADE_OUT),
        Light("note", spoken, END, (leaning,), "tension", FADE_IN, FADE_OUT),
        Light("note", spoken, END, (resolving,), "rest", FADE_IN, FADE_OUT),
        Light("span", 12 * SECOND, END, systems[2][-1:], "now", FADE_IN, FADE_OUT),
    )


def labels(leaning: str, resolving: str) -> tuple[Label, ...]:
    """Two degrees."""
    span = (7 * SECOND, END)
    return (
        Label(*span, leaning, "b9", "tension", FADE_IN, FADE_OUT),
        Label(*span, resolving, "5", "rest", FADE_IN, FADE_OUT),
    )


def captions() -> tuple[Caption, ...]:
    """Two lines with a term, and one line."""
    term = CaptionTerm(7 * SECOND, 8 * SECOND, 0, 4, 13, "tension")
    return (
        Caption(
            ANALYSIS, TENSION, ("The flat nine falls a half step", "to the fifth of the chord."), (term,)
        ),
        Caption(TENSION, END, ("One line over B♭7.",)),
    )


def long_titled(title: str) -> Timeline:
    """The same lesson under another name."""
    return replace(lesson(), title=title)
