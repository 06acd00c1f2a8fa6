"""Where a voice leaves the script, and where the time of a word that lights something is only guessed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeAlias

from lessonmaker.build.narrator import Heard
from lessonmaker.faults import Fault, Place
from lessonmaker.script.model import Commentary, Token
from lessonmaker.script.pins import clock_text

__all__ = ["Misreading", "misreadings"]

Kind: TypeAlias = Literal["left out", "said otherwise", "said twice", "added", "guessed"]

MARKS = ",;:.!?…"
OTHER_WORDS = ("left out", "said otherwise")
TODO_LIT = "record the sentence again, or write what is said"
TODO_UNLIT = "captions show the script's words: record the sentence again, or write what is said"
TODO_MORE = "it stays in the film: record the sentence again if it should not"
TODO_GUESSED = "look whether its light comes in time; shared/pronunciations.yaml can say how it is spoken"


@dataclass(frozen=True)
class Misreading:
    """One such place.

    Attributes:
        place: Where the words stand in the script.
        cue: The cue's number, from 1.
        kind: As in `Difference`, or "guessed".
        words: The script's words; for "added" the word they come before, "" at the end.
        heard: What was heard instead or besides.
        lit: The links that the words belong to, which light something.
        recording: The file; None for the draft voice.
        time_s: Where in it.
    """

    place: Place
    cue: int
    kind: Kind
    words: str
    heard: str
    lit: tuple[str, ...]
    recording: Path | None
    time_s: float

    @property
    def other_words(self) -> bool:
        """Whether words of the script are not there as it has them."""
        return self.kind in OTHER_WORDS

    @property
    def remark(self) -> Fault:
        """What is to be said of it."""
        where = f"{self.recording.name} at {clock_text(self.time_s)}" if self.recording else "the draft voice"
        return Fault(f"cue {self.cue}, {where}: {self.what}{self.light}", self.todo, self.place)

    @property
    def what(self) -> str:
        """What happened."""
        before = f"before “{self.words}”" if self.words else "after the last word"
        instead = f"“{self.heard}” is said for “{self.words}”"
        said = {
            "left out": f"“{self.words}” is left out",
            "said otherwise": instead if self.heard else f"“{self.words}” is said otherwise",
            "said twice": f"“{self.words}” is said twice",
            "added": f"“{self.heard}” is said {before}",
            "guessed": f"when “{self.words}” is said is only guessed",
        }
        return said[self.kind]

    @property
    def light(self) -> str:
        """Whether a light hangs on it."""
        if not self.lit:
            return ""
        if self.lit == (self.words,):
            return ", and it lights up"
        named = ", ".join(f"“{link}”" for link in self.lit)
        return f", and {named} light{'s' if len(self.lit) == 1 else ''} up"

    @property
    def todo(self) -> str:
        """What to do about it."""
        if self.kind == "guessed":
            return TODO_GUESSED
        if not self.other_words:
            return TODO_MORE
        return TODO_LIT if self.lit else TODO_UNLIT


@dataclass(frozen=True)
class Said:
    """A cue's words in an edition: its index, its commentary and its tokens."""

    cue: int
    say: Commentary
    tokens: Sequence[Token]

    def place(self, index: int) -> Place:
        """Where a token stands; after the last one, where that stands."""
        return self.say.place_at(self.tokens[min(index, len(self.tokens) - 1)].at)

    def words(self, first: int, last: int) -> str:
        """Printed words, without the mark at their end."""
        return " ".join(token.printed for token in self.tokens[first:last]).rstrip(MARKS)

    def lit(self, first: int, last: int) -> tuple[str, ...]:
        """The links that some tokens belong to, or that a place between two tokens lies in."""
        touched = {self.mention(index) for index in range(first, last)}
        if first == last and first and self.mention(first) == self.mention(first - 1):
            touched = {self.mention(first)}
        return tuple(self.link(mention) for mention in sorted(one for one in touched if one is not None))

    def mention(self, index: int) -> int | None:
        """The link that a token belongs to, None after the last."""
        return self.tokens[index].mention if index < len(self.tokens) else None

    def link(self, mention: int) -> str:
        """The words of a link."""
        own = [index for index, token in enumerate(self.tokens) if token.mention == mention]
        return self.words(own[0], own[-1] + 1)


def misreadings(
    cue: int, say: Commentary, tokens: Sequence[Token], heard: Sequence[Heard]
) -> tuple[Misreading, ...]:
    """Where a cue's narration leaves its script, in the order of the script.

    Args:
        cue: the cue's index.
        say: its commentary.
        tokens: its tokens in the edition that was heard.
        heard: what its narration was made of.
    """
    said = Said(cue, say, tokens)
    return tuple(one for stretch in heard for one in (*departures(said, stretch), *guesses(said, stretch)))


def departures(said: Said, heard: Heard) -> Iterator[Misreading]:
    """Where a stretch of a recording leaves the script."""
    for one in heard.differences:
        first, last = heard.first + one.first, heard.first + one.last
        words = said.words(first, last if last > first else last + 1)
        yield misreading(said, heard, one.kind, (first, last), words, one.heard, one.time_s)


def guesses(said: Said, heard: Heard) -> Iterator[Misreading]:
    """The links with a word whose time is guessed, though it is said."""
    seen: set[int] = set()
    for index, word in enumerate(heard.words):
        first = heard.first + index
        mention = said.mention(first)
        if word.guessed and mention is not None and mention not in seen and not astray(heard, index):
            seen.add(mention)
            yield misreading(said, heard, "guessed", (first, first + 1), said.link(mention), "", word.start_s)


def astray(heard: Heard, index: int) -> bool:
    """Whether a word of a stretch is left out or said otherwise."""
    return any(one.kind in OTHER_WORDS and one.first <= index < one.last for one in heard.differences)


def misreading(
    said: Said, heard: Heard, kind: Kind, span: tuple[int, int], words: str, other: str, time_s: float
) -> Misreading:
    """One misreading of the tokens [first, last) of a cue."""
    recording = heard.recording.path if heard.recording else None
    return Misreading(
        said.place(span[0]), said.cue + 1, kind, words, other, said.lit(*span), recording, time_s
    )
