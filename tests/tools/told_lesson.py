"""A lesson script compiled without sound: a machine plays it, and a silent voice says its words evenly."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from lessonmaker.score.edition import EDITIONS, make_edition
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.words import tokens_for, voice_words
from lessonmaker.sound.model import Fit
from lessonmaker.timeline.compile import Material, compile_lesson
from lessonmaker.timeline.model import Timeline
from tests.tools.demo_timelines import silent_voice
from tests.tools.even_take import even_fit

MEDIA = Path(__file__).parents[2] / "media"


def told(
    folder: Path,
    name: str,
    cues: str,
    player: Callable[[Score], Fit | None] = even_fit,
    rate: Fraction = Fraction(30),
) -> tuple[Timeline, Score]:
    """A lesson on a demo score, and the score (see `told_material`)."""
    material = told_material(folder, name, cues, player, rate)
    return compile_lesson(material), material.score


def told_material(
    folder: Path,
    name: str,
    cues: str,
    player: Callable[[Score], Fit | None] = even_fit,
    rate: Fraction = Fraction(30),
) -> Material:
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
    return Material(checked, score, edition.label, fit, take_s, said, narrations, rate)
