"""A lesson's commentary as it is told in a film of the performance, and what is to be said where it cannot be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.faults import Fault
from lessonmaker.score.edition import Edition
from lessonmaker.score.model import Score
from lessonmaker.script.model import CheckedCue, CheckedLesson
from lessonmaker.script.words import heard_changes, tokens_for
from lessonmaker.timeline.compile import chapter_title, discussed, shown_signs, shown_spans
from lessonmaker.timeline.model import Chapter
from lessonmaker.timeline.told import FilmCue, ReadCue, Telling, Unread

__all__ = ["chapter_remarks", "telling_of", "unread_remarks"]


def telling_of(checked: CheckedLesson, score: Score, edition: Edition, characters: int) -> Telling:
    """What a lesson tells in an edition; scenes of the author's have no place in a film of the performance.

    Args:
        checked: the lesson.
        score: its score as the edition prints it.
        edition: the edition.
        characters: how many a line of captions has room for.
    """
    cues = tuple(
        film_cue(number, cue, checked, score, edition)
        for number, cue in enumerate(checked.cues, 1)
        if cue.cue.scene is None
    )
    return Telling(cues, checked.analysis, heard_changes(checked.heard, score), characters)


def film_cue(number: int, cue: CheckedCue, checked: CheckedLesson, score: Score, edition: Edition) -> FilmCue:
    """A cue in an edition's words."""
    spans = shown_spans(cue)
    return FilmCue(
        number,
        spans,
        tokens_for(cue, score, edition.label),
        cue.mentions,
        chapter_title(score, cue) if cue.cue.title else "",
        shown_signs(checked.analysis, score, cue, discussed(score, spans)),
    )


def unread_remarks(checked: CheckedLesson, unread: Sequence[Unread]) -> Iterator[Fault]:
    """What is to be said of cues that cannot be read, or not to their end, while their bars play."""
    absent = [one.number for one in unread if one.absent]
    if absent:
        several = len(absent) > 1
        what = f"{cues(absent)} {'are' if several else 'is'} not told: the film does not play the bars"
        yield Fault(what, "give bars that it plays", checked.cues[absent[0] - 1].cue.place)
    for one in unread:
        say = checked.cues[one.number - 1].cue.say
        if one.first is not None and say is not None:
            whole = one.sentences == one.every
            left = "is left out" if whole else f"leaves out {one.sentences} of its {one.every} sentences"
            what = f"cue {one.number} {left}: while its bars play there is no time to read {'it' if whole else 'more'}"
            yield Fault(what, "say less there, or give it more bars", say.place_at(one.first.at))


def chapter_remarks(
    checked: CheckedLesson, read: Sequence[ReadCue], chapters: Sequence[Chapter]
) -> Iterator[Fault]:
    """What is to be said of titles that begin no chapter of a film."""
    kept = {chapter.title for chapter in chapters}
    lost = sorted(one.cue.number for one in read if one.cue.chapter and one.cue.chapter not in kept)
    if lost:
        begin = "begin" if len(lost) > 1 else "begins"
        what = (
            f"{cues(lost)} {begin} no chapter of the film: it or the one before would last under ten seconds"
        )
        yield Fault(what, "leave it so, or take the title away", checked.cues[lost[0] - 1].cue.place)


def cues(numbers: Sequence[int]) -> str:
    """Cues by their numbers, in words."""
    named = ", ".join(map(str, numbers))
    return f"cues {named}" if len(numbers) > 1 else f"cue {named}"
