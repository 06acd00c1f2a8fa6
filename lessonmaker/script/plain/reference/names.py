"""The words of a sentence that may name one note of the line, and the notes in sight that each fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.note_names import IN_TALK, NAME
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.rows import degrees_in
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.told_names import is_no_note, names_said

__all__ = ["Name", "names_in"]

LETTER = pattern_of(NAME)
PLURAL = pattern_of(r" (?:flat|sharp|natural)s\b")


@dataclass(frozen=True)
class Name:
    """Words that may name one note: what they claim, and the places in the line of the `notes` that fit.

    `kinds` are those of the claims that have its words, and it is `of_chord` where a chord's name has them; it is
    `plain` where by the words around it it is nothing else's name.
    """

    claim: Claim
    notes: tuple[int, ...]
    kinds: frozenset[str]
    of_chord: bool
    plain: bool

    @property
    def kind(self) -> str:
        """What it is by: a letter, a degree, or a number that may count something."""
        return "letter" if self.claim.kind == "note" else f"degree {self.claim.detail}".strip()


def names_in(
    sentence: Sentence,
    places: Sequence[Place],
    claims: Sequence[Claim],
    shown: Sequence[int],
    music: Music,
) -> list[Name]:
    """The names of a sentence in order, none inside another.

    Args:
        sentence: what is said.
        places: what it names as places; these are no notes.
        claims: what it claims.
        shown: the places in the line of the notes in sight.
        music: the score as it is heard.
    """
    chords = [(name.first, name.last) for name in chord_names(sentence)]
    found = list(_letters(sentence, places, chords))
    taken = [*((place.first, place.last) for place in places), *chords]
    for claim in degrees_in(sentence.text, taken):
        if not _meet(claim, [(other.first, other.last) for other in found]):
            found.append(claim)
    plain = [(said.first, said.last) for said in names_said(sentence, claims, places)]
    return [
        Name(
            claim,
            tuple(index for index in shown if Named(claim).fits(music.line[index], music)),
            frozenset(
                other.kind for other in claims if other.first < claim.last and claim.first < other.last
            ),
            _meet(claim, chords),
            _meet(claim, plain),
        )
        for claim in sorted(found, key=lambda each: each.first)
    ]


def _letters(
    sentence: Sentence, places: Sequence[Place], chords: Sequence[tuple[int, int]]
) -> Iterator[Claim]:
    """The letters of notes that are no article, no section's and not the root in a chord's longer name."""
    taken = [(place.first, place.last) for place in places if place.level != "chord"]
    for match in (*LETTER.finditer(sentence.written), *IN_TALK.finditer(sentence.written)):
        claim = Claim("note", *match.span(), match[0])
        longer = [chord for chord in chords if chord[1] > claim.last]
        if PLURAL.match(sentence.text, claim.last) or is_no_note(sentence, claim.first, claim.last):
            continue
        if not _meet(claim, taken) and not _meet(claim, longer):
            yield claim


def _meet(claim: Claim, others: Sequence[tuple[int, int]]) -> bool:
    return any(claim.first < last and first < claim.last for first, last in others)
