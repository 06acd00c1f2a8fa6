"""The notes that a sentence names, by a letter or a degree, wherever they stand. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.note_names import NAME, OF_OTHERS
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.rows import COUNTING, FIGURE, NUMBERED, loose_names
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import MOVING

__all__ = ["TOLD", "is_no_note", "names_said"]

TOLD = "told note by note"
"""The detail of a name whose note is known from what is told before and after it."""

LETTER = pattern_of(NAME)
# What a letter is that is no note: "the A section", "letter B".
NO_NOTE = pattern_of(
    r"\b(?:letter|section|part|(?<!st )(?<!nd )(?<!rd )(?<!th )(?<!xt )(?<!is )(?<!at )bars?"  # "in the fifth bar F"
    r"|key of|in the key of|string|grade) $"
)
ARTICLE = pattern_of(r"\b(?:the|its|that|our) $")
OVER_IT = pattern_of(r" over (?:it|that|this)\b")
# What a note does that opens a sentence, and no article's noun: "A steps down to F sharp".
GOES = pattern_of(
    rf" (?=[a-z]+s\b)(?:{MOVING}) (?:(?:right|straight|back|on|down|up|over) )*(?:to|into|onto)\b"
)
A_SECTION = pattern_of(r" (?:section|part|string|is for)\b|\.[a-z]\.")  # and "the D.C."


def names_said(
    sentence: Sentence, claims: Sequence[Claim], places: Sequence[Place], *, counted: bool = False
) -> list[Claim]:
    """The names of notes in a sentence in order, each as a claim of its own: all letters, and what is no number.

    Args:
        sentence: what is said.
        claims: what it claims, of which what is no degree or note keeps its words.
        places: what it names as places; these are no notes.
        counted: whether degrees that are said to come several times are among them: "thirds", "the third twice".
    """
    letters = list(_letters(sentence, places))
    degrees = [
        each
        for each in loose_names(sentence, claims, places)
        if each.kind == "degree" and each.detail not in (COUNTING, NUMBERED)
        if each.detail != FIGURE or ARTICLE.search(sentence.text[: each.first])
    ]
    degrees += [each for each in claims if counted and each.kind == "degree" and each.count]
    kept = [each for each in degrees if not any(each.first < n.last and n.first < each.last for n in letters)]
    return sorted([*letters, *kept], key=lambda each: each.first)


def _letters(sentence: Sentence, places: Sequence[Place]) -> Iterator[Claim]:
    """The capital letters that stand by themselves and are no chord's, no key's and no article."""
    taken = [(place.first, place.last) for place in places]
    taken += [(name.first, name.last) for name in chord_names(sentence)]
    for match in LETTER.finditer(sentence.written):
        first, last = match.span()
        if is_no_note(sentence, first, last):
            continue
        other = OF_OTHERS.match(sentence.text, last) and not OVER_IT.match(sentence.text, last)
        if not other and not any(first < end and start < last for start, end in taken):
            yield Claim("note", first, last, match[0])


def is_no_note(sentence: Sentence, first: int, last: int) -> bool:
    """Whether the letter at [first, last) is an article, a section's or a string's."""
    text, written = sentence.text, sentence.written
    article = written[first:last] == "A" and not (written[:first].strip() or GOES.match(text, last))
    return article or NO_NOTE.search(text[:first]) is not None or A_SECTION.match(text, last) is not None
