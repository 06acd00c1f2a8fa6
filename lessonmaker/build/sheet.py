"""A lesson's words in all its editions: the sheet that a voice reads from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from lessonmaker.score.edition import Edition, make_edition
from lessonmaker.script.model import CheckedCue, CheckedLesson, Token
from lessonmaker.script.sentences import Sentence, sentences_of
from lessonmaker.script.words import tokens_for

__all__ = ["Sheet", "sheet_of"]


@dataclass(frozen=True)
class Sheet:
    """The sentences of a lesson by cue index, and its tokens by edition id and cue index."""

    sentences: Mapping[int, tuple[Sentence, ...]]
    tokens: Mapping[str, Mapping[int, tuple[Token, ...]]]


def sheet_of(checked: CheckedLesson, editions: Iterable[Edition]) -> Sheet:
    """The sheet of a lesson in some editions."""
    tokens = {edition.id: tokens_in(checked, edition) for edition in editions}
    sentences = {
        index: sentences_of(index, cue.cue.say, {name: said[index] for name, said in tokens.items()})
        for index, cue in speaking(checked)
        if cue.cue.say is not None
    }
    return Sheet(sentences, tokens)


def speaking(checked: CheckedLesson) -> list[tuple[int, CheckedCue]]:
    """The cues that say something."""
    return [(index, cue) for index, cue in enumerate(checked.cues) if cue.cue.say is not None]


def tokens_in(checked: CheckedLesson, edition: Edition) -> dict[int, tuple[Token, ...]]:
    """The tokens of every speaking cue in an edition."""
    score = make_edition(checked.score, edition).score
    return {index: tokens_for(cue, score, edition.label) for index, cue in speaking(checked)}
