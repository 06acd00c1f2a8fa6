"""A lesson in an edition, staged: its timeline, its painter, what is heard in it, and what is to be said of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lessonmaker.build.book_look import in_shape
from lessonmaker.build.crowded import signs_left_out
from lessonmaker.build.lesson import ReadyLesson
from lessonmaker.build.misreadings import misreadings
from lessonmaker.build.narrator import Narrator, Told
from lessonmaker.build.sounds import Programme
from lessonmaker.faults import Fault, Place
from lessonmaker.picture.look import Look
from lessonmaker.picture.painter import Painter
from lessonmaker.picture.room import room_of
from lessonmaker.score.edition import Decision, Edition, make_edition
from lessonmaker.script.model import Book, CheckedLesson, Lesson
from lessonmaker.timeline.compile import (
    Material,
    compile_lesson,
    narration_source,
    scene_source,
    without_chapter,
)
from lessonmaker.timeline.model import Timeline

if TYPE_CHECKING:  # its import takes half a second
    from lessonmaker.build.own_scenes import MadeScene

__all__ = ["Scenario", "stage"]


@dataclass(frozen=True)
class Scenario:
    """A lesson in an edition, ready to be painted and heard; `said` is what is to be said before it is laid out."""

    checked: CheckedLesson
    shape: str
    timeline: Timeline
    painter: Painter
    programme: Programme
    said: tuple[Fault, ...]
    decisions: tuple[Decision, ...]
    scenes: Mapping[int, MadeScene] = field(default_factory=dict)

    @property
    def remarks(self) -> tuple[Fault, ...]:
        """All that is to be said of it; pages under which signs hang are laid out for that."""
        return *self.said, *in_shape(self.shape, signs_left_out(self.checked, self.painter))


def stage(
    lesson: ReadyLesson,
    edition: Edition,
    book: Book,
    narrator: Narrator,
    look: Look,
    scenes: Mapping[int, MadeScene] | None = None,
) -> Scenario:
    """Everything a film of one edition is made of; `scenes` are the author's own, by the index of their cues."""
    scenes = scenes or {}
    made = make_edition(lesson.checked.score, edition)
    tokens = narrator.sheet.tokens[edition.id]
    told = {index: narrator.tell(index, edition.id) for index in tokens}
    narrations = {index: one.narration for index, one in told.items()}
    material = Material(
        lesson.checked,
        made.score,
        edition.label,
        lesson.fit,
        lesson.take_seconds,
        tokens,
        narrations,
        book.rate,
        {index: scene.laid for index, scene in scenes.items()},
        room_of(look.fitted(book.size)),
    )
    timeline = compile_lesson(material)
    sources = {narration_source(index): narration.audio for index, narration in narrations.items()}
    sources |= {scene_source(index): one.audio for index, one in scenes.items() if one.audio is not None}
    programme = Programme.of(timeline, sources, lesson.take)
    painter = Painter(timeline, made.score, look, book.size, book.rate)
    said = (
        *lesson.checked.remarks,
        *remarks_on(lesson.checked, edition, narrator, told),
        *in_shape(book.shape, painter.remarks),
        *without_chapter(material, timeline),
    )
    return Scenario(lesson.checked, book.shape, timeline, painter, programme, said, made.decisions, scenes)


def remarks_on(
    checked: CheckedLesson, edition: Edition, narrator: Narrator, told: Mapping[int, Told]
) -> tuple[Fault, ...]:
    """What is to be said of the narration in an edition."""
    tokens = narrator.sheet.tokens[edition.id]
    return (
        *narrator.listener.unheard,
        *not_recorded(checked.lesson, edition, told),
        *(
            one.remark
            for index, cue in told.items()
            if (say := checked.cues[index].cue.say) is not None
            for one in misreadings(index, say, tokens[index], cue.heard)
        ),
    )


def not_recorded(lesson: Lesson, edition: Edition, told: Mapping[int, Told]) -> tuple[Fault, ...]:
    """A remark where the author's voice does not yet speak all cues of a lesson that it speaks in."""
    drafts = [index for index, one in told.items() if one.missing and one.narration.draft]
    if not drafts or not (lesson.narration or any(cue.narration for cue in lesson.cues)):
        return ()
    sentences = sum(len(told[index].missing) for index in drafts)
    cues = ", ".join(str(index + 1) for index in drafts)
    what = (
        f"{edition.label}: {sentences} sentence{'s' if sentences > 1 else ''} not recorded yet: "
        f"the draft voice speaks cue{'s' if len(drafts) > 1 else ''} {cues}"
    )
    place = lesson.places.get("narration", Place(lesson.path))
    return (Fault(what, f"see them with `lessonmaker check {lesson.path} --to-record`", place),)
