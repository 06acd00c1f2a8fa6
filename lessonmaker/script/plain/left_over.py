"""Words that may name a degree or a note, and were read as nothing: what they are beside the notes that are known.

"I slip from the six to the five": a number that counts nothing and names no bar, beat or chord is the note of that
degree that lies between those named before and after it, or next to the one that is named on one side. Common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import Decided
from lessonmaker.script.plain.motion import without_places
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.rows import BREAKS, COUNTING, LIST, MOVES, NOUN_AFTER, NUMBERED, loose_names
from lessonmaker.script.plain.text import Sentence

__all__ = ["left_over"]

OF_NOTES = ("degree", "note", "set")
GOES_TO = pattern_of(r"\b(?:to|into) (?:the )?$")
ARTICLE = pattern_of(r"\b(?:the|an?|its|that|our|your) $")
# "The one" that is a pronoun, or beat one.
NO_ROOT = pattern_of(
    r" (?:that|which|who\w*|where|is|was|i|we|you|he|she|they|to (?!the)|with|of|in|on|from|chord)\b"
)
ON_ONE = pattern_of(r"\b(?:on|just after|just before|beat) the $")
# What a note is said to be.
IS_IT = pattern_of(r"\bto be\b")
LONGEST_LINK = 45
# What parts two notes that stand side by side in the line as little as in the sentence.
APART = pattern_of(
    r"\b(?:when|not|no|never|nor|or|instead|rather|whereas|unlike|than|like|both|twice|between|again|around|called|means?"
    r"|that's|that is|namely|(?:is|are|was) (?:the|our|its|an?)|bars?|measures?|phrases?|chord|key)\b|[.?!\x01]"
)


@dataclass(frozen=True)
class Known:
    """Words that are known to name notes: where they stand, and the first and the last of the notes in the line."""

    first: int
    last: int
    notes: tuple[int, int]


def left_over(
    sentence: Sentence,
    claims: Sequence[Claim],
    decided: Sequence[Decided],
    places: Sequence[Place],
    music: Music,
) -> list[Claim]:
    """The words of a sentence that name notes without having been read, each with the id of its note.

    Args:
        sentence: what is said.
        claims: what was read.
        decided: what each of them came to.
        places: where.
        music: the score as it is heard.
    """
    read = [claim for claim, each in zip(claims, decided, strict=True) if each.says]
    known = list(_known(claims, decided, music))
    found: list[Claim] = []
    for name in loose_names(sentence, claims, places):
        taken = any(name.first < claim.last and claim.first < name.last for claim in read)
        if taken or name.detail == NUMBERED:
            continue
        note = _between(sentence, name, known, places, music) or _beside(sentence, name, known, music)
        if note is not None:
            found.append(replace(name, at=(note.id,), detail=""))
    return found


def _known(claims: Sequence[Claim], decided: Sequence[Decided], music: Music) -> Iterator[Known]:
    """What was read, in its order; its notes are -1 where it names none."""
    at = {note.id: index for index, note in enumerate(music.line)}
    for claim, each in zip(claims, decided, strict=True):
        lit = [at[note.note] for note in each.mention.notes if note.note in at] if each.mention else []
        if each.says:
            notes = (lit[0], lit[-1]) if lit and claim.kind in OF_NOTES else (-1, -1)
            yield Known(claim.first, claim.last, notes)


def _between(
    sentence: Sentence, name: Claim, known: Sequence[Known], places: Sequence[Place], music: Music
) -> Note | None:
    """The note of a name that lies between those named before and after it, or next to the only one."""
    before = [each for each in known if each.last <= name.first][-1:]
    after = [each for each in known if each.first >= name.last][:1]
    first = [
        each.notes[1]
        for each in before
        if each.notes[1] >= 0 and _leads_on(without_places(sentence, each.last, name.first, places), name)
    ]
    last = [
        each.notes[0]
        for each in after
        if each.notes[0] >= 0 and _leads_on(without_places(sentence, name.last, each.first, places), name)
    ]
    counts = name.detail == COUNTING and not GOES_TO.search(sentence.text[: name.first])
    if (not first and not last) or counts:
        return None
    low = first[0] + 1 if first else max(last[0] - 1, 0)
    line, named = music.line, Named(name)
    fits = [note for note in line[low : last[0] if last else low + 1] if named.fits(note, music)]
    again = any(named.fits(line[index], music) for index in (*first, *last))
    return fits[0] if len(fits) == 1 and not again else None


def _beside(sentence: Sentence, name: Claim, known: Sequence[Known], music: Music) -> Note | None:
    """The note of a degree with its article that stands right before or after the note named next to it."""
    text = sentence.text
    if name.kind != "degree" or not ARTICLE.search(text[: name.first]):
        return None
    if name.detail == COUNTING and not _is_root(text, name):
        return None
    before = [each for each in known if each.last <= name.first][-1:]
    after = [each for each in known if each.first >= name.last][:1]
    links = [(each, text[each.last : name.first]) for each in before]
    links += [(each, text[name.last : each.first]) for each in after]
    line, named = music.line, Named(name)
    fits: dict[str, Note] = {}
    for each, link in links:
        if (
            each.notes[0] < 0
            or each.notes[0] != each.notes[1]
            or len(link) > LONGEST_LINK
            or APART.search(link)
        ):
            continue
        at = each.notes[0]
        near = [line[index] for index in (at - 1, at + 1) if 0 <= index < len(line)]
        fits |= {note.id: note for note in near if named.fits(note, music)}
        if named.fits(line[at], music):
            return None
    return next(iter(fits.values())) if len(fits) == 1 else None


def _is_root(text: str, name: Claim) -> bool:
    """Whether "the one" may be the root."""
    if name.names[0] != "1" or ON_ONE.search(text[: name.first]) or NO_ROOT.match(text, name.last):
        return False
    return NOUN_AFTER.match(text, name.last) is not None


def _leads_on(link: str, name: Claim) -> bool:
    """Whether words lead from one note to the next; from a letter alone only where they move."""
    listed = LIST.fullmatch(link) is not None and name.kind != "note"
    return not BREAKS.search(link) and not IS_IT.search(link) and (listed or MOVES.search(link) is not None)
