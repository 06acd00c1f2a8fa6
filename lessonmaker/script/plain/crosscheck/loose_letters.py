"""The letters of notes in a sentence, however they stand there: what `note_names` leaves, as it may be a chord, too.

Common practice, no source.
"""

from __future__ import annotations

from functools import lru_cache

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.text import Sentence

__all__ = ["letter_rows", "letters_in"]

LETTER = pattern_of(
    r"(?<![\w'#-])(?P<name>[A-G](?:[ -](?:flat|sharp|natural)\b|b\b|#)?)(?![\w'#]|[ -](?:flat|sharp|natural))"
)
IN_TALK = pattern_of(r"(?<![\w'#-])(?P<name>[b-g][ -](?:flat|sharp|natural)\b|[b-g][b#](?!\w))(?![\w'#])")
# What makes a chord, a key or a section of a letter.
OF_A_CHORD = pattern_of(
    r"[ -]?(?:major|minor|seven|six(?!teen)|nine|eleven|thirteen|half|dim|aug|sus|alt|dominant|maj|min|m\d|\d"
    r"|triad|chord|arpeggio|shape|blues|scale|dorian|mixolydian|lydian|phrygian|aeolian|locrian|melodic|harmonic"
    r"|section|pentatonic|diminished|whole)"
)
ARTICLE = pattern_of(r"A (?!(?:and|to|on|is|in|at|again|then|above|below|here|comes|goes)\b)[a-z]")
BETWEEN = pattern_of(r"(?:,? (?:and|then|and then|to|up to|down to|back to)(?: (?:the|an?))?|,| -)? ?")


@lru_cache(maxsize=1)  # of a sentence that many checks ask of
def letters_in(sentence: Sentence) -> tuple[Claim, ...]:
    """Claims of notes by the letters that may name them, in the order of the words, but for those of chords by kind."""
    found = {}
    for match in (*LETTER.finditer(sentence.written), *IN_TALK.finditer(sentence.written)):
        first, last = match.span("name")
        alone = last - first == 1
        if OF_A_CHORD.match(sentence.text, last) or _is_article(sentence.written, first, alone):
            continue
        found[first] = Claim("note", first, last, match["name"])
    return tuple(found[first] for first in sorted(found))


def _is_article(text: str, first: int, alone: bool) -> bool:
    """Whether an A that opens a sentence is the article."""
    opens = not text[:first].strip() or text[:first].rstrip()[-1] in ".!?:;"
    return alone and opens and ARTICLE.match(text, first) is not None


def letter_rows(sentence: Sentence) -> list[list[Claim]]:
    """Letters in rows, with nothing but commas and joining words between them; one alone is a row as well."""
    rows: list[list[Claim]] = []
    for letter in letters_in(sentence):
        if rows and BETWEEN.fullmatch(sentence.text, rows[-1][-1].last, letter.first):
            rows[-1].append(letter)
        else:
            rows.append([letter])
    return rows
