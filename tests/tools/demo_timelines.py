"""The demo lessons as timelines, without sound: the takes' true times stand for a fit, silence for the voice.

Both halves are data of this repository: `tests/data` has every note's onset as it was performed, and the voice is
given even word times. What the picture room is handed is therefore the same on every machine.
"""

from __future__ import annotations

import csv
from collections import Counter, defaultdict
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np

from lessonmaker.picture.look import Look, standard_look
from lessonmaker.picture.room import room_of
from lessonmaker.score.edition import EDITIONS, make_edition
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import CheckedLesson
from lessonmaker.script.words import tokens_for, voice_words
from lessonmaker.sound.model import Audio, BarTime, Fit, Narration, NoteTime, WordTime
from lessonmaker.timeline.compile import Material, compile_lesson
from lessonmaker.timeline.model import Timeline

REPOSITORY = Path(__file__).parents[2]
DATA = REPOSITORY / "tests" / "data"
SWING, SEVEN = "gaslight-errand", "the-tin-heron"
LESSONS = (SWING, SEVEN)
EDITION_IDS = ("concert", "b-flat", "e-flat", "bass-clef")
RATE, WORD_S, LAST_BAR_S = 8000, 0.35, 2.0


@dataclass(frozen=True)
class Demo:
    """A demo lesson in one edition."""

    timeline: Timeline
    score: Score


def rows(name: str) -> list[dict[str, str]]:
    """A table of `tests/data`."""
    with (DATA / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def true_fit(name: str, score: Score) -> Fit:
    """The take's own truth as a fit."""
    index_of = {bar.number: bar.index for bar in score.bars}
    bars = [
        BarTime(index_of[row["bar"]], int(row["pass"]), float(row["time_s"]))
        for row in rows(f"{name}.bars.csv")
    ]
    end_s = bars[-1].time_s + LAST_BAR_S
    struck = defaultdict(list)
    for note in score.struck:
        struck[note.bar].append(note.id)
    played = rows(f"{name}.truth.csv")
    ends = [*(float(row["onset_s"]) for row in played[1:]), end_s]
    seen: Counter[tuple[int, int]] = Counter()
    notes = []
    for row, note_end in zip(played, ends, strict=True):
        place = index_of[row["bar"]], int(row["pass"])
        notes.append(NoteTime(struck[place[0]][seen[place]], place[1], float(row["onset_s"]), note_end))
        seen[place] += 1
    return Fit(True, 1.0, tuple(bars), tuple(notes), end_s, 0.5, {})


def silent_voice(words: tuple[str, ...]) -> Narration:
    """Silence that has a time for each word."""
    times = [number * WORD_S for number in range(len(words) + 1)]
    spoken = tuple(WordTime(word, *span) for word, span in zip(words, pairwise(times), strict=True))
    return Narration(Audio(np.zeros(int(times[-1] * RATE) + 1, np.float32), RATE), spoken, draft=True)


@cache
def checked(name: str) -> CheckedLesson:
    """A demo lesson, read and checked."""
    lesson = load_lesson(REPOSITORY / "scripts" / f"{name}.yaml")
    score = read_score(lesson.score, lesson.part)
    return check_lesson(lesson, score, [EDITIONS[edition] for edition in EDITION_IDS])


@cache
def demo(name: str, edition_id: str, size: tuple[int, int] = (1920, 1080), look: Look | None = None) -> Demo:
    """A demo lesson's timeline in an edition, for a picture's size and a look; the score as that edition prints it."""
    edition = EDITIONS[edition_id]
    lesson = checked(name)
    made = make_edition(lesson.score, edition)
    cues = [(index, cue) for index, cue in enumerate(lesson.cues) if cue.cue.say is not None]
    tokens = {index: tokens_for(cue, made.score, edition.label) for index, cue in cues}
    narrations = {index: silent_voice(voice_words(tokens[index])) for index, _ in cues}
    fit = true_fit(name, lesson.score)
    room = room_of((look or standard_look()).fitted(size))
    material = Material(lesson, made.score, edition.label, fit, fit.end_s + 1, tokens, narrations, room=room)
    return Demo(compile_lesson(material), made.score)
