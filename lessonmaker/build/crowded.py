"""Remarks on pages that have no room for all the signs that a cue asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from lessonmaker.analysis.words import listed
from lessonmaker.faults import Fault
from lessonmaker.picture.look import Look
from lessonmaker.picture.painter import Painter
from lessonmaker.picture.room import room_of
from lessonmaker.score.edition import Edition, make_edition
from lessonmaker.score.model import Score
from lessonmaker.score.position import bars_in
from lessonmaker.script.model import CheckedCue, CheckedLesson
from lessonmaker.script.words import tokens_for, voice_words
from lessonmaker.sound.model import Audio, Narration, WordTime
from lessonmaker.timeline.compile import Material, compile_lesson, lanes, shown_spans
from lessonmaker.timeline.layout import STANDARD_ROOM
from lessonmaker.timeline.model import Page, Timeline

__all__ = ["crowded", "signs_left_out"]

ALWAYS_ROOM = 3  # lanes under a row that stands alone on its page, whatever its notes
WORD_S, RATE = 0.3, 8000  # of a voice whose words matter, not its sound

SIGNS = {
    "bracket": "brackets",
    "scale": "the notes of a scale",
    "numeral": "numerals",
    "arc": "phrase arcs",
    "beats": "beats",
}


def signs_left_out(checked: CheckedLesson, painter: Painter) -> Iterator[Fault]:
    """A remark for each page that does without some signs, at the cue that shows it."""
    timeline = painter.timeline
    for page, kinds in painter.left_out:
        what = listed([words for kind, words in SIGNS.items() if kind in kinds])
        place = checked.cues[cue_of(page, timeline)].cue.place
        yield Fault(
            f"{timeline.edition}: no room under {bars_of(page, timeline)} for {what}: left out",
            "show fewer bars in this cue, or name fewer things in it",
            place,
        )


def crowded(
    checked: CheckedLesson, editions: Sequence[Edition], look: Look, size: tuple[int, int]
) -> tuple[Fault, ...]:
    """The same before anything is recorded or built, for a lesson of which some row may have too many signs."""
    if max((lanes_asked(cue, checked.score) for cue in checked.cues), default=0) <= ALWAYS_ROOM:
        return ()
    return tuple(
        fault
        for edition in editions
        for fault in signs_left_out(checked, silent(checked, edition, look, size))
    )


def lanes_asked(cue: CheckedCue, score: Score) -> int:
    """The most lanes of labels and signs that hang under a row of a cue."""
    spans = shown_spans(cue)
    rows = [row for span in spans for row in STANDARD_ROOM.rows_of(score, bars_in(score, span))]
    return max((lanes(cue, score, row) for row in rows), default=0)


def silent(checked: CheckedLesson, edition: Edition, look: Look, size: tuple[int, int]) -> Painter:
    """What paints the lesson in an edition, told by a silent voice and without its take."""
    score = make_edition(checked.score, edition).score
    tokens = {
        index: tokens_for(cue, score, edition.label)
        for index, cue in enumerate(checked.cues)
        if cue.cue.say is not None
    }
    narrations = {index: silence(len(voice_words(said))) for index, said in tokens.items()}
    room = room_of(look.fitted(size))
    cues = tuple(replace(cue, cue=replace(cue.cue, scene=None)) for cue in checked.cues)
    material = Material(
        replace(checked, cues=cues), score, edition.label, None, 0.0, tokens, narrations, room=room
    )
    return Painter(compile_lesson(material), score, look, size)


def silence(words: int) -> Narration:
    """A narration of so many words."""
    times = tuple(WordTime("", WORD_S * word, WORD_S * (word + 1)) for word in range(words))
    return Narration(Audio(np.zeros(int(WORD_S * RATE * words) + 1, np.float32), RATE), times, draft=True)


def cue_of(page: Page, timeline: Timeline) -> int:
    """The index of the cue in which a page comes up."""
    return max((cue.number - 1 for cue in timeline.cues if cue.start <= page.start), default=0)


def bars_of(page: Page, timeline: Timeline) -> str:
    """A page's bars by their printed numbers."""
    first, last = (timeline.bar_numbers[bar] for bar in (page.rows[0][0], page.rows[-1][-1]))
    return f"bar {first}" if first == last else f"bars {first} to {last}"
