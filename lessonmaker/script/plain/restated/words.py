"""The words of a sentence, in which tones, chords and numbers are only such, whichever they are.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.learned import Clue, clues_of, stem
from lessonmaker.script.plain.vocabulary import ACCIDENTALS, NUMBER

__all__ = ["Named", "clues_in", "named_in"]

SIGNS = f"(?:{'|'.join(sorted(ACCIDENTALS, key=len, reverse=True))})"
LETTER = r"(?:[a-g](?:b|#| flat| sharp| natural)|[b-g](?![\w']))"
KIND = (
    r"(?:[ -](?:half[ -]diminished|fully[ -]diminished|diminished|dominant|major|minor|augmented|altered|suspended"
    r"|sus|seventh|seven|sixth|six|nine|eleven|thirteen|add nine|triad(?!s))\b)"
)
SHORT_KIND = r"(?:m7b5|maj7|maj9|min7|dim7?|7alt|m6|m7|m9|m|13|6|7|9)"
ORDINALS = r"(?:second|third|fourth|fifth|sixth|seventh|ninth|tenth|eleventh|thirteenth)"
# "The third bar", "the second group": an ordinal that counts.
COUNTED = (
    r"(?! (?:bar|measure|beat|time|phrase|group|note|figure|statement|section|chord|line|half|one|finger"
    r"|space)s?\b)"
)
NAMED = pattern_of(
    r"(?P<sign>(?<![\w#])[b#](?:5|7|9|11|13)(?!\w))"
    rf"|(?P<chord>\b{LETTER}{SHORT_KIND}?{KIND}+|\b[a-g][b#]?{SHORT_KIND}(?![\w#]))"
    rf"|(?P<tone>(?<![\w#])(?:{SIGNS}[ -]?)+(?:{ORDINALS}|{NUMBER})s?(?![\w]){COUNTED}"
    rf"|\b(?:{ORDINALS}|root)s?\b{COUNTED}|\b{LETTER}(?![\w']))"
    rf"|(?P<number>\b(?!one\b){NUMBER})"
    r"|(?P<word>[a-z]+(?:'[a-z]+)?|\d+)"
)


@dataclass(frozen=True)
class Named:
    """A tone, a chord or a number that a sentence names, by its kind; or any other word."""

    kind: str
    text: str
    first: int
    last: int


def named_in(text: str) -> list[Named]:
    """The words of a sentence in lower case, those that name one thing together."""
    return [Named(_kind(str(match.lastgroup)), match[0], *match.span()) for match in NAMED.finditer(text)]


def _kind(group: str) -> str:
    """What a group of the pattern finds: a sign before its number names a tone."""
    return "tone" if group == "sign" else group


def clues_in(text: str) -> list[Clue]:
    """The clues of a sentence in lower case to what it states."""
    return clues_of(list(_words(named_in(text))))


def _words(named: Sequence[Named]) -> Iterator[Clue]:
    for each in named:
        if each.kind == "word":
            yield Clue(stem(each.text), each.first, each.last)
        else:
            several = "s" if each.kind == "tone" and each.text.endswith("s") else ""
            yield Clue(f"<{each.kind}{several}>", each.first, each.last)
