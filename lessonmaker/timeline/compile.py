"""From a checked lesson, a fitted take and timed narration to the timeline of one edition.

Every stretch of bars is shown, then played, then explained. What the lesson plays in full turns its pages; what it
explains stands still and large.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal, TypeAlias

from lessonmaker.analysis.model import Analysis
from lessonmaker.faults import Fault
from lessonmaker.score.model import Score
from lessonmaker.score.position import Span, bars_in, format_span
from lessonmaker.script.model import CheckedCue, CheckedLesson, Lesson, Token
from lessonmaker.script.words import heard_changes
from lessonmaker.sound.model import Fit, Narration
from lessonmaker.timeline.clock import Passage, TakeClock
from lessonmaker.timeline.discussion import Talk, discuss
from lessonmaker.timeline.layout import STANDARD_ROOM, Room
from lessonmaker.timeline.model import (
    TICKS_PER_SECOND,
    AudioClip,
    Chapter,
    CueTime,
    Light,
    Page,
    Sign,
    SignShape,
    Timeline,
)
from lessonmaker.timeline.performance import (
    SCENE_DISSOLVE,
    Pages,
    Playing,
    Stage,
    perform,
    perform_turning,
)
from lessonmaker.timeline.reel import Reel, scene_step
from lessonmaker.timeline.signs import mention_signs, numeral_signs, phrase_signs, tension_by_bar

__all__ = [
    "Material",
    "OwnScene",
    "chapter_title",
    "chapters",
    "compile_lesson",
    "discussed",
    "form_of",
    "lanes",
    "narration_source",
    "scene_source",
    "shown_signs",
    "shown_spans",
    "titled",
    "without_chapter",
]

Still: TypeAlias = Literal["analysis", "tension"]

TITLE_S, END_S = 4.0, 4.0
SHOW_S, AFTER_PLAY_S, AFTER_TALK_S, BETWEEN_TIMES_S = 0.9, 0.5, 0.7, 0.7
ROOMY_LANES = 1  # of labels or signs under a row, with which as many rows as usual have room on a page
ASKED = {"phrases": ("phrase", "arc"), "numerals": ("numeral", "numeral")}  # lane and kind of signs by `show`
LARGE_BARS = 2
STILL_BARS = 8
SHORTEST_CHAPTER = 10 * TICKS_PER_SECOND
WHOLE = "The whole etude"


@dataclass(frozen=True)
class Material:
    """All that a lesson in one edition is made of; `narrations`, `tokens` and `scenes` are keyed by cue index.

    `rate` is the film's in frames a second: scenes begin on whole frames. `room` is what the picture has room for.
    """

    checked: CheckedLesson
    score: Score
    edition: str
    fit: Fit | None
    take_seconds: float
    tokens: Mapping[int, tuple[Token, ...]]
    narrations: Mapping[int, Narration]
    rate: Fraction = Fraction(30)
    scenes: Mapping[int, OwnScene] = field(default_factory=dict)
    room: Room = STANDARD_ROOM


@dataclass(frozen=True)
class OwnScene:
    """A scene of the author's: its length in ticks, whole samples, and whether it is heard."""

    ticks: int
    heard: bool


def scene_source(cue: int) -> str:
    """The name a cue's scene has for the mixer."""
    return f"scene {cue + 1}"


def narration_source(cue: int) -> str:
    """The name a cue's narration has for the mixer."""
    return f"narration {cue + 1}"


def compile_lesson(material: Material) -> Timeline:
    """The timeline of a lesson in one edition; scenes of the author's that begin or end it stand outside its cards."""
    reel = Reel(scene_step(material.rate))
    cues = list(enumerate(material.checked.cues))
    first, last = inside_the_cards(material.checked.cues)
    for index, cue in cues[:first]:
        lay_cue(reel, material, index, cue)
    card(reel, "title", TITLE_S)
    for index, cue in cues[first:last]:
        lay_cue(reel, material, index, cue)
    card(reel, "end", END_S)
    for index, cue in cues[last:]:
        lay_cue(reel, material, index, cue)
    return finished(reel, material)


def inside_the_cards(cues: Sequence[CheckedCue]) -> tuple[int, int]:
    """The first cue that is no scene of the author's, and the one after the last such."""
    lesson = [index for index, cue in enumerate(cues) if cue.cue.scene is None]
    return (lesson[0], lesson[-1] + 1) if lesson else (len(cues), len(cues))


def card(reel: Reel, kind: Literal["title", "end"], seconds: float) -> None:
    """The title or end card."""
    began = reel.cursor
    reel.show(Page(began, began, kind, (), SCENE_DISSOLVE if began else 0))
    reel.wait(seconds)
    reel.close_scene(kind)


def lay_cue(reel: Reel, material: Material, index: int, cue: CheckedCue) -> None:
    """One cue, and when it takes place."""
    began = reel.cursor
    lay_content(reel, material, index, cue)
    reel.cues.append(CueTime(began, reel.cursor, index + 1))


def lay_content(reel: Reel, material: Material, index: int, cue: CheckedCue) -> None:
    """What a cue shows, plays and says."""
    if cue.cue.scene is not None:
        lay_own_scene(reel, material.scenes[index], index, cue)
        return
    began = reel.cursor
    if cue.cue.title or turns_pages(material, cue):
        reel.chapters.append(Chapter(began, chapter_title(material.score, cue)))
    turns = turns_pages(material, cue)
    if turns:
        play_turning(reel, material, cue)
    if shown_spans(cue) and not (turns and cue.cue.say is None):
        lay_still(reel, material, index, cue, heard=turns)
    elif cue.cue.say is not None and reel.pages[-1].kind == "own":
        reel.show(Page(began, began, "title"))
        talk(reel, material, index, cue, ())
        reel.close_scene("title")
    elif cue.cue.say is not None:
        talk(reel, material, index, cue, ())
        reel.prolong_scene()


def lay_own_scene(reel: Reel, scene: OwnScene, index: int, cue: CheckedCue) -> None:
    """A scene of the author's: from cut to cut."""
    began, title = reel.cursor, cue.cue.title or ""
    if title:
        reel.chapters.append(Chapter(began, title))
    reel.show(Page(began, began, "own"))
    reel.cursor += scene.ticks
    reel.close_scene("own", (), title)
    if scene.heard:
        end_s = scene.ticks / TICKS_PER_SECOND
        reel.clips.append(AudioClip(began, scene_source(index), "scene", 0.0, end_s))


def turns_pages(material: Material, cue: CheckedCue) -> bool:
    """Whether a cue is a performance: it plays without bars of its own, and more than stands still at once."""
    if cue.play is None or cue.cue.bars is not None or material.fit is None:
        return False
    return len(bars_in(material.score, cue.play)) > STILL_BARS


def shown_spans(cue: CheckedCue) -> tuple[Span, ...]:
    """What a still scene shows, a span a place compared."""
    if cue.compare:
        return cue.compare
    span = cue.bars or cue.play
    return (span,) if span is not None else ()


def play_turning(reel: Reel, material: Material, cue: CheckedCue) -> None:
    """The performance that a cue asks for."""
    stage, play = stage_of(material), cue.cue.play
    assert stage is not None and play is not None and cue.play is not None
    passage = stage.clock.passage(cue.play)
    if passage is None:
        return
    for number in range(play.times):
        seen_s = BETWEEN_TIMES_S if number else SHOW_S
        perform_turning(reel, stage, passage, Playing(play.tempo, cue.cue.title or "", seen_s))


def stage_of(material: Material) -> Stage | None:
    """What playing needs, where there is a take."""
    if material.fit is None:
        return None
    return Stage(
        material.score, TakeClock(material.score, material.fit), material.take_seconds, material.room
    )


def lay_still(reel: Reel, material: Material, index: int, cue: CheckedCue, heard: bool) -> None:
    """Bars shown large: seen, played unless they have just been heard, then explained."""
    began = reel.cursor
    spans = shown_spans(cue)
    kind, pages = still_pages(material.score, cue, spans, material.room)
    if not any(page in pages for page in [reel.pages[-1].rows] if reel.pages[-1].kind == kind):
        reel.show(Page(began, began, kind, pages[0], SCENE_DISSOLVE))
    reel.wait(SHOW_S)
    if not heard:
        excerpt(reel, material, cue, spans, pages)
    if material.fit is None or (cue.cue.play is not None and cue.cue.play.times == 0):
        leaf_through(reel, kind, pages)
    talk(reel, material, index, cue, pages)
    bars = tuple(dict.fromkeys(bar for page in pages for row in page for bar in row))
    reel.close_scene(kind, bars, cue.cue.title or "")
    reel.lights.append(Light("range", began, reel.cursor, discussed(material.score, spans)))
    reel.signs += [
        Sign(began, reel.cursor, shape)
        for shape in shown_signs(material.checked.analysis, material.score, cue, bars)
    ]


def leaf_through(reel: Reel, kind: Still, pages: Pages) -> None:
    """Where no playing turns the pages, show every one of them and come back to the first."""
    for page in (*pages[1:], pages[0]) if len(pages) > 1 else ():
        reel.show(Page(reel.cursor, reel.cursor, kind, page, SCENE_DISSOLVE))
        reel.wait(SHOW_S)


def shown_signs(
    analysis: Analysis, score: Score, cue: CheckedCue, bars: Sequence[int]
) -> tuple[SignShape, ...]:
    """The signs that a cue asks for with `show`, all the time that its bars are in sight."""
    arcs = phrase_signs(analysis.phrases, bars, score) if "phrases" in cue.cue.show else ()
    numerals = numeral_signs(analysis, bars, score) if "numerals" in cue.cue.show else ()
    return (*arcs, *numerals)


def discussed(score: Score, spans: tuple[Span, ...]) -> tuple[int, ...]:
    """The bars that the strip marks as under discussion."""
    return tuple(dict.fromkeys(bar for span in spans for bar in bars_in(score, span)))


def still_pages(score: Score, cue: CheckedCue, spans: tuple[Span, ...], room: Room) -> tuple[Still, Pages]:
    """The scene's kind and its pages: large where notes and labels leave each other room.

    Each page but the first begins with the second system of the one before; places compared stand in pairs.
    """
    by_span = [room.rows_of(score, bars_in(score, span)) for span in spans]
    rows = tuple(dict.fromkeys(row for rows in by_span for row in rows))
    bars = [bar for row in rows for bar in row]
    notes = sum(note.bar in bars for note in score.struck)
    labels = sum(lit.label is not None for mention in cue.mentions for lit in mention.notes)
    roomy = notes + labels + altered_notes(score, bars) / 2 <= room.large
    large = len(rows) == 1 and len(bars) <= LARGE_BARS and (roomy or "tension" in cue.cue.show)
    kind: Still = "tension" if large else "analysis"
    if cue.compare and len({len(rows) for rows in by_span}) == 1:
        return kind, tuple(tuple(dict.fromkeys(pair)) for pair in zip(*by_span, strict=True))
    busiest = max((lanes(cue, score, row) for row in rows), default=0)
    most = room.still if cue.compare or busiest <= ROOMY_LANES else room.busy
    return kind, tuple(rows[at : at + most] for at in range(max(len(rows) - most, 0) + 1))


def lanes(cue: CheckedCue, score: Score, row: Sequence[int]) -> int:
    """How many lanes of labels and signs may hang under a row of a cue."""
    inside = {note.id for note in score.struck if note.bar in row}
    signs = {ASKED[name] for name in cue.cue.show if name in ASKED}
    signs |= {
        (shape.lane, shape.kind)
        for mention in cue.mentions
        for shape in mention_signs(mention, score)
        if inside.intersection(shape.targets)
    }
    labels = [lit.note for mention in cue.mentions for lit in mention.notes if lit.label is not None]
    return len(signs) + bool(inside.intersection(labels))


def altered_notes(score: Score, bars: Sequence[int]) -> int:
    """How many notes of some bars are foreign to their key signature, and so are likely to need an accidental."""
    return sum(
        not -1 <= note.written.name.fifths - score.bars[note.bar].key.fifths <= 5
        for note in score.struck
        if note.bar in bars
    )


def excerpt(reel: Reel, material: Material, cue: CheckedCue, spans: tuple[Span, ...], pages: Pages) -> None:
    """Play what is shown, as the cue asks: once by default where the bars are its own, not at all on `play: no`."""
    stage, play = stage_of(material), cue.cue.play
    own = cue.cue.bars is not None or cue.cue.compare or play is not None
    if stage is None or not own or (play is not None and play.times == 0):
        return
    tempo, times = (play.tempo, play.times) if play is not None else (Fraction(1), 1)
    for number in range(times):
        for passage in stretches(stage, (cue.play,) if cue.play is not None else spans):
            reel.wait(BETWEEN_TIMES_S if number else 0)
            perform(reel, stage, passage, tempo, pages)
            reel.wait(AFTER_PLAY_S)


def stretches(stage: Stage, spans: tuple[Span, ...]) -> list[Passage]:
    """The stretches of the take for some spans, those that were played."""
    return [passage for span in spans for passage in stage.clock.stretches(span)]


def talk(reel: Reel, material: Material, index: int, cue: CheckedCue, pages: Pages) -> None:
    """What a cue says, if anything."""
    narration = material.narrations.get(index)
    if narration is None:
        return
    discuss(
        reel,
        Talk(
            material.score,
            material.checked.analysis,
            cue.mentions,
            material.tokens[index],
            narration,
            narration_source(index),
            material.room.characters,
        ),
        pages,
    )
    reel.pause(AFTER_TALK_S)


def chapter_title(score: Score, cue: CheckedCue) -> str:
    """The cue's title with its bars."""
    spans = (cue.play,) if cue.cue.bars is None and cue.play is not None else shown_spans(cue)
    if not spans:
        return cue.cue.title or WHOLE
    whole = any(len(bars_in(score, span)) == len(score.bars) for span in spans)
    places = " and ".join(span_name(score, span) for span in spans)
    several = len(spans) > 1 or "-" in places
    title = cue.cue.title or (WHOLE if whole else "Performance")
    return f"{title} ({'bars' if several else 'bar'} {places})"


def span_name(score: Score, span: Span) -> str:
    """A span as a position is written; the whole score by its first full bar and its last."""
    name = format_span(score, span)
    if name != "all":
        return name
    first = next((bar for bar in score.bars if bar.start >= 0), score.bars[0])
    return "-".join(dict.fromkeys((first.number, score.bars[-1].number)))


def chapters(marks: list[Chapter], title: str, duration: int) -> tuple[Chapter, ...]:
    """Chapter marks that players accept: the first at 0:00, none under ten seconds.

    What comes before the first mark is its chapter too, or one of the lesson's name where it is long enough.
    """
    late = not marks or marks[0].start >= SHORTEST_CHAPTER
    kept = [Chapter(0, title) if late else Chapter(0, marks[0].title)]
    for mark in marks if late else marks[1:]:
        if mark.start - kept[-1].start >= SHORTEST_CHAPTER:
            kept.append(mark)
    if len(kept) > 1 and duration - kept[-1].start < SHORTEST_CHAPTER:
        kept.pop()
    return tuple(kept)


def without_chapter(material: Material, timeline: Timeline) -> tuple[Fault, ...]:
    """A remark on each title that is no chapter of the film, since it would be shorter than players accept."""
    kept = Counter(chapter.title for chapter in timeline.chapters)
    remarks: list[Fault] = []
    for cue in (cue for cue in material.checked.cues if cue.cue.title):
        title = chapter_title(material.score, cue)
        if not kept[title]:
            what = f"“{cue.cue.title}” is no chapter of the film: it or the one before would last under ten seconds"
            remarks.append(Fault(what, "say or play more there, or take the title away", cue.cue.place))
        kept[title] -= 1
    return tuple(remarks)


def form_of(score: Score) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """The sections with their bars; what stands before the first mark belongs to it where it is only a pickup."""
    sections: list[tuple[str, list[int]]] = []
    for bar in score.bars:
        pickup_only = (
            len(sections) == 1 and not sections[0][0] and len(sections[0][1]) == 1 and score.bars[0].start < 0
        )
        if bar.section and pickup_only:
            sections[0] = (bar.section, [*sections[0][1], bar.index])
        elif bar.section or not sections:
            sections.append((bar.section, [bar.index]))
        else:
            sections[-1][1].append(bar.index)
    return tuple((letter, tuple(bars)) for letter, bars in sections)


def shows_curve(material: Material) -> bool:
    """Whether any cue asks for the curve of tension: it then stands in the strip all the time."""
    return any("curve" in cue.cue.show for cue in material.checked.cues)


def titled(lesson: Lesson, score: Score, edition: str) -> Timeline:
    """The titles and the form of a lesson in an edition (its label), before anything is laid in time."""
    return Timeline(
        title=lesson.title,
        composer=lesson.composer or score.composer,
        edition=edition,
        duration=0,
        form=form_of(score),
        bar_numbers=tuple(bar.number for bar in score.bars),
        scenes=(),
        pages=(),
        lights=(),
        labels=(),
        arrows=(),
        captions=(),
        chapters=(),
        clips=(),
    )


def finished(reel: Reel, material: Material) -> Timeline:
    """The reel as a timeline."""
    lesson, score = material.checked.lesson, material.score
    last = reel.pages[-1]
    reel.pages[-1] = Page(last.start, reel.cursor, last.kind, last.rows, last.dissolve, last.playing)
    return replace(
        titled(lesson, score, material.edition),
        duration=reel.cursor,
        scenes=tuple(reel.scenes),
        pages=tuple(reel.pages),
        lights=tuple(sorted(reel.lights, key=lambda light: light.start)),
        labels=tuple(sorted(reel.labels, key=lambda label: label.start)),
        arrows=tuple(sorted(reel.arrows, key=lambda arrow: arrow.start)),
        captions=tuple(reel.captions),
        chapters=chapters(reel.chapters, lesson.title, reel.cursor),
        clips=tuple(reel.clips),
        heard=heard_changes(material.checked.heard, score),
        signs=tuple(sorted(reel.signs, key=lambda sign: sign.start)),
        curve=tension_by_bar(material.checked.analysis, score) if shows_curve(material) else (),
        cues=tuple(reel.cues),
    )
