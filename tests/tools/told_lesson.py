"""A lesson script compiled without sound: a machine plays it, and a silent voice says a word every `WORD_S`."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np

from lessonmaker.score.edition import EDITIONS, make_edition
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.words import tokens_for, voice_words
from lessonmaker.sound.model import Audio, Fit, Narration, WordTime
from lessonmaker.timeline.compile import Material, compile_lesson
from lessonmaker.timeline.model import Timeline
from tests.tools.even_take import even_fit

MEDIA = Path(__file__).parents[2] / "media"
RATE, WORD_S, BEFORE_S = 8000, 0.35, 0.1


def told(
    folder: Path, name: str, cues: str, player: Callable[[Score], Fit | None] = even_fit
) -> tuple[Timeline, Score]:
    """A lesson on a demo score in concert pitch; `cues` is what stands under `cues:`, `player` gives the take."""
    edition = EDITIONS["concert"]
    path = folder / "lesson.yaml"
    path.write_text(f"lesson: The Lesson\nscore: {MEDIA / name}.musicxml\ncues:\n{cues}", encoding="utf-8")
    lesson = load_lesson(path)
    checked = check_lesson(lesson, read_score(lesson.score), (edition,))
    score = make_edition(checked.score, edition).score
    said = {
        index: tokens_for(cue, score, edition.label)
        for index, cue in enumerate(checked.cues)
        if cue.cue.say is not None
    }
    narrations = {index: silent_voice(voice_words(tokens)) for index, tokens in said.items()}
    fit = player(checked.score)
    take_s = fit.end_s + 1 if fit else 0.0
    return compile_lesson(Material(checked, score, edition.label, fit, take_s, said, narrations)), score


def silent_voice(words: tuple[str, ...]) -> Narration:
    """Silence that has a time for each word."""
    times = [BEFORE_S + number * WORD_S for number in range(len(words) + 1)]
    spoken = tuple(WordTime(word, *span) for word, span in zip(words, pairwise(times), strict=True))
    return Narration(Audio(np.zeros(round(times[-1] * RATE), np.float32), RATE), spoken, draft=True)
