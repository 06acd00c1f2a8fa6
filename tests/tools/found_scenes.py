"""A lesson about what the analysis finds, one cue a kind of scene, silent and without a take: for golden pictures."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from lessonmaker.picture.look import standard_look
from lessonmaker.picture.room import room_of
from lessonmaker.score.edition import EDITIONS, make_edition
from lessonmaker.score.read import read_score
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import CheckedLesson
from lessonmaker.script.words import tokens_for, voice_words
from lessonmaker.timeline.compile import Material, compile_lesson
from lessonmaker.timeline.model import TICKS_PER_SECOND, Label, Light, Sign, Timeline
from tests.tools.demo_timelines import DATA, SWING, Demo, silent_voice

SCRIPT, DENSE, CROWDED, LARGE = (
    DATA / f"{name}-scenes.yaml" for name in ("found", "dense", "crowded", "large")
)
SECOND = TICKS_PER_SECOND
SCENES = ("sequence", "cross-rhythm", "phrases", "scale", "numerals", "two-voices", "compared-found")


@cache
def checked(script: Path) -> CheckedLesson:
    """A lesson, read and checked."""
    score = read_score(Path(DATA.parents[1] / "media" / f"{SWING}.musicxml"))
    return check_lesson(load_lesson(script), score)


@cache
def found_scenes(edition_id: str, script: Path = SCRIPT, size: tuple[int, int] = (1920, 1080)) -> Demo:
    """The lesson in an edition, for a picture's size."""
    lesson, edition = checked(script), EDITIONS[edition_id]
    written = make_edition(lesson.score, edition).score
    tokens = {
        index: tokens_for(cue, written, edition.label)
        for index, cue in enumerate(lesson.cues)
        if cue.cue.say is not None
    }
    narrations = {index: silent_voice(voice_words(said)) for index, said in tokens.items()}
    room = room_of(standard_look().fitted(size))
    material = Material(lesson, written, edition.label, None, 0.0, tokens, narrations, room=room)
    return Demo(compile_lesson(material), written)


def instant_of(timeline: Timeline, number: int) -> int:
    """A moment in a cue's scene (counted from 0) at which what it explains first is in sight, and no page turns."""
    scene = [scene for scene in timeline.scenes if scene.kind in ("analysis", "tension")][number]
    things: list[Sign | Label | Light] = [*timeline.signs, *timeline.labels, *timeline.lights]
    starts = [
        thing.start + thing.fade_in
        for thing in things
        if scene.start < thing.start < scene.end and thing.fade_in
    ]
    pages = [page for page in timeline.pages if scene.start <= page.start < scene.end]
    return min([*starts, pages[-1].end - pages[-1].dissolve - SECOND]) + SECOND // 4
