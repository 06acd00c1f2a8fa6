"""What was understood of a commentary, for people and as plain data."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from lessonmaker.cli.report import fault_json
from lessonmaker.faults import Fault
from lessonmaker.score.model import Score
from lessonmaker.score.position import Span, format_span, span_ends
from lessonmaker.script.model import CheckedCue, CheckedLesson, Commentary, Understood

__all__ = ["explained", "mention_json", "question_json", "questions"]

SENTENCE_END = re.compile(r"(?<=[.!?])[\"'”’)\]]*\s+")
MARKS = {"lit": "lights", "fault": "FAULT", "question": "which?"}


def explained(lesson: CheckedLesson) -> str:
    """A lesson's commentary sentence by sentence, with what was understood under each."""
    parts = [f"{lesson.lesson.path}: {lesson.lesson.title}"]
    for number, cue in enumerate(lesson.cues, 1):
        if cue.cue.say is not None:
            parts.append("\n".join([cue_title(number, cue, lesson.score), *cue_lines(cue, cue.cue.say)]))
    return "\n\n".join(parts)


def cue_title(number: int, cue: CheckedCue, score: Score) -> str:
    """Which cue this is, and what it shows."""
    spans = cue.compare or ((cue.bars,) if cue.bars else (cue.play,) if cue.play else ())
    shown = " and ".join(format_span(score, span) for span in spans)
    title = f": {cue.cue.title}" if cue.cue.title else ""
    return f"Cue {number}{title}" + (f" (bars {shown})" if shown else "")


def cue_lines(cue: CheckedCue, say: Commentary) -> Iterator[str]:
    """Each sentence, and the words in it that were understood."""
    left = list(cue.understood)
    for first, last, text in sentences(say):
        yield f"  {text}"
        here = [each for each in left if each.first < last]
        left = left[len(here) :]
        yield from (f"      {line}" for each in here for line in understood_lines(each))
        if not here and first < last:
            yield "      (nothing)"


def sentences(say: Commentary) -> Iterator[tuple[int, int, str]]:
    """The sentences of a commentary with their offsets; braces as they are written."""
    text, offsets = flat(say)
    at = 0
    for match in [*SENTENCE_END.finditer(text), None]:
        end = match.start() if match else len(text)
        sentence = " ".join(text[at:end].split())
        if sentence:
            yield offsets[at], offsets[min(end, len(text) - 1)] + 1, sentence
        at = match.end() if match else end


def flat(say: Commentary) -> tuple[str, list[int]]:
    """The words of a commentary without link targets, and the offset of each character."""
    text, offsets = "", []
    leaves = [leaf for piece in say.pieces for leaf in (piece.inside if piece.kind == "link" else (piece,))]
    for leaf in leaves:
        words = leaf.text if leaf.kind == "text" else f"{{{leaf.target}}}"
        text += words
        offsets += [leaf.start + (place if leaf.kind == "text" else 0) for place in range(len(words))]
    return text, offsets


def understood_lines(each: Understood) -> Iterator[str]:
    """One reading in a line, with what is wrong or what there is to choose from under it."""
    words = " ".join(each.words.split())
    mark = "doubted" if each.status == "question" and each.choices[-1:] == ("-",) else MARKS[each.status]
    yield f"{mark:7} “{words}” → {each.target or each.what}"
    if each.status == "fault":
        yield f"        {each.what}; {each.todo}"
    if each.status == "question":
        yield f"        {', or '.join(f'[{words}]({choice})' for choice in each.choices)}"


# Plain data ----------------------------------------------------------------------------------------------


def mention_json(lesson: CheckedLesson) -> Iterator[dict[str, Any]]:
    """What the words of each cue (counted from 1) were understood to claim.

    `notes` are indices into `Score.struck`; `from` and `to` positions, null where nothing is lit.
    """
    places = {note.id: index for index, note in enumerate(lesson.score.struck)}
    for number, cue in enumerate(lesson.cues, 1):
        for each in cue.understood:
            notes = each.mention.notes if each.mention is not None else ()
            first, last = ends(each, lesson.score)
            yield {
                "cue": number,
                "words": " ".join(each.words.split()),
                "status": each.status,
                "target": each.target,
                "notes": sorted(places[lit.note] for lit in notes if lit.note in places),
                "from": first,
                "to": last,
                "choices": list(each.choices),
            }


def ends(each: Understood, score: Score) -> tuple[str, str] | tuple[None, None]:
    """From where to where a mention lights something: from its first note to its last, or its span."""
    if each.mention is None:
        return None, None
    lit = {note.note for note in each.mention.notes}
    onsets = [note.onset for note in score.struck if note.id in lit]
    if not onsets:
        return span_ends(score, each.mention.span)
    if each.mention.kind == "span":
        return span_ends(score, each.mention.span, onsets[-1])
    end = max(note.onset + note.held for note in score.struck if note.id in lit)
    return span_ends(score, Span(onsets[0], min(end, score.bars[-1].end)), onsets[-1])


def question_json(lesson: CheckedLesson) -> Iterator[dict[str, Any]]:
    """The questions of a lesson, with the targets to choose from."""
    for number, cue in enumerate(lesson.cues, 1):
        for each in asked_in(cue):
            asked = fault_json(Fault(each.what, each.todo, each.place))
            yield {"cue": number, "words": each.words, **asked, "choices": list(each.choices)}


def questions(lesson: CheckedLesson) -> Iterator[Fault]:
    """The questions of a lesson, as its remarks ask them."""
    for cue in lesson.cues:
        yield from (Fault(each.what, each.todo, each.place) for each in asked_in(cue))


def asked_in(cue: CheckedCue) -> Iterator[Understood]:
    """What in a cue may be several things."""
    return (each for each in cue.understood if each.status == "question")
