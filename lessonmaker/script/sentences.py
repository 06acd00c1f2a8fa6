"""A lesson's sentences, and how each is said in each edition: what the author's voice has to record.

Editions that say a sentence alike share one wording, and one reading serves them all.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from lessonmaker.faults import Place
from lessonmaker.script.model import Commentary, Token
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.words import voice_words

__all__ = ["Sentence", "Wording", "sentences_of"]

SENTENCE_END = pattern_of(r"[.!?…][\"'”’)\]»]*$")
LETTER_S = 0.055
PAUSE_S = {",": 0.16, ".": 0.45, "!": 0.45, "?": 0.45}
"""Seconds that a spoken letter or blank and a pause take: as the draft voice reads the demo's lessons."""


@dataclass(frozen=True)
class Wording:
    """One way to say a sentence, in the editions with these ids: how it is printed, and a voice word a token."""

    printed: str
    words: tuple[str, ...]
    editions: tuple[str, ...]

    @property
    def seconds(self) -> float:
        """About how long it takes to say it, with the pause after it."""
        letters = sum(character.isalnum() or character.isspace() for character in " ".join(self.words))
        return letters * LETTER_S + sum(PAUSE_S.get(word[-1:], 0.0) for word in self.words)


@dataclass(frozen=True)
class Sentence:
    """A sentence of a cue (an index): its tokens [first, last), where it stands, and its wordings."""

    cue: int
    first: int
    last: int
    place: Place
    wordings: tuple[Wording, ...]

    def wording(self, edition: str) -> Wording:
        """How an edition says it."""
        return next(wording for wording in self.wordings if edition in wording.editions)


def sentences_of(
    cue: int, say: Commentary, tokens_by_edition: Mapping[str, Sequence[Token]]
) -> tuple[Sentence, ...]:
    """The sentences of a cue.

    Args:
        cue: the cue's index.
        say: its commentary.
        tokens_by_edition: its tokens in each edition, as many in all.
    """
    some = next(iter(tokens_by_edition.values()), ())
    return tuple(
        Sentence(cue, first, last, say.place_at(some[first].at), wordings(tokens_by_edition, first, last))
        for first, last in sentence_bounds(some)
    )


def wordings(tokens_by_edition: Mapping[str, Sequence[Token]], first: int, last: int) -> tuple[Wording, ...]:
    """The ways some tokens are said, in the order of the editions."""
    editions: dict[tuple[str, ...], list[str]] = {}
    for edition, tokens in tokens_by_edition.items():
        editions.setdefault(voice_words(tokens[first:last]), []).append(edition)
    return tuple(
        Wording(printed_text(tokens_by_edition[names[0]][first:last]), words, tuple(names))
        for words, names in editions.items()
    )


def printed_text(tokens: Sequence[Token]) -> str:
    """What the captions show."""
    return " ".join(token.printed for token in tokens)


def sentence_bounds(tokens: Sequence[Token]) -> Iterator[tuple[int, int]]:
    """First token and end of each sentence."""
    first = 0
    for index, token in enumerate(tokens, 1):
        if SENTENCE_END.search(token.printed) or index == len(tokens):
            yield first, index
            first = index
