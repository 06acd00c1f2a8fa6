"""Where something that is lit is said to go on to, whatever the verb: "tips over to D flat", "steps off it into G".

A name after "to" or "into" that the note has which comes next in the line is that note. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import Decided
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.motion import led_to
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.stance_words import is_not_of_it
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.told_names import names_said
from lessonmaker.script.plain.verbs import way_of

__all__ = ["onward"]

WHOLE_TONE = 2  # semitones
TO = pattern_of(
    r"\b(?:in)?(?:to|onto)(?: (?:the|an?|that|its|our|your))?(?: (?:high|low|top|bottom|same))? $"
)
# Between what is lit and what it goes to: something else, or not so.
APART = pattern_of(
    r"\b(?:not|no|never|nor|or|instead|rather|unlike|than|until|till|belongs?|relat\w+|compared?|next to|close to"
    r"|back to (?:bar|measure)|bars?|measures?|listen|chord|key)\b|n't\b|[;:?!\x01]"
)
UP_OR_DOWN_TO = pattern_of(
    r"\b(?P<way>up|down) (?:in)?to(?: (?:the|an?|that|its|our|your))?(?: (?:high|low|top|bottom|same))? $"
)
FAR = 5  # notes
LONGEST = 70  # characters
BESIDE = pattern_of(
    r"\bthe (?:note|tone|half[- ]step|whole[- ](?:step|tone)|semitone|step|neighbou?r)(?: that is| that's)?"
    r"(?: right| just| directly| a (?:half[- ])?step)? (?P<side>above|below|over|under|underneath|beneath)"
    r"(?: (?:it|that|this))?(?![\w'])(?! the\b)"
)
INTO_NEXT = pattern_of(
    r"\b(?P<way>(?:comes?|goes|moves?|steps?|slides?|slips?|falls?|drops?|rises?|climbs?|resolves?|leans?|sinks?)"
    r"(?: (?:up|down|on|over))?(?: (?:by )?(?:a|one) (?:half[- ]|whole[- ])?(?:step|tone|semitone))?(?: (?:up|down))?)"
    r" (?:into|over into|across into|to the first note of) the next (?:bar|measure)\b"
)


def onward(
    ground: Ground, claims: Sequence[Claim], decided: Sequence[Decided], read: Sequence[Claim]
) -> list[Claim]:
    """The words of a sentence that name where something lit goes to and were read as nothing, each with its note.

    Args:
        ground: what is said, and of what.
        claims: what was read.
        decided: what each of them came to.
        read: the names that were read beside them.
    """
    sentence, music = ground.sentence, ground.music
    if sentence.is_question or is_not_of_it(sentence.text):
        return []
    lit = [
        (claim, [music.struck_by_id[each.note] for each in came.mention.notes])
        for claim, came in zip(claims, decided, strict=True)
        if came.mention is not None and came.mention.notes
    ]
    says = [claim for claim, came in zip(claims, decided, strict=True) if came.says]
    taken = [*says, *read]
    found = [
        *_goals(ground, names_said(sentence, claims, ground.places), lit),
        *_beside(ground, lit),
        *_into_next(ground, lit),
    ]
    return [c for c in found if not any(c.first < each.last and each.first < c.last for each in taken)]


Lit = Sequence[tuple[Claim, list[Note]]]


def _last_lit(sentence: Sentence, first: int, lit: Lit) -> Note | None:
    """The last note of what is lit right before some words, if nothing between says that it is another matter."""
    before = [each for each in lit if each[0].last <= first]
    if not before:
        return None
    claim, notes = max(before, key=lambda each: each[0].last)
    between = sentence.text[claim.last : first]
    return None if len(between) > LONGEST or APART.search(between) else notes[-1]


def _goals(ground: Ground, names: Sequence[Claim], lit: Lit) -> Iterator[Claim]:
    """Names to which something goes."""
    sentence, music = ground.sentence, ground.music
    for name in names:
        if not TO.search(sentence.text[: name.first]):
            continue
        note = _last_lit(sentence, name.first, lit)
        goals = [each for each in _goals_of(note, sentence, name, music) if Named(name).fits(each, music)]
        if goals:
            yield ground.set_of(name.first, name.last, goals[:1])


def _goals_of(note: Note | None, sentence: Sentence, name: Claim, music: Music) -> list[Note]:
    """The next note; where it is said to go up or down to a name, also those to which the line leads so."""
    following = music.line_after(note) if note is not None else None
    if note is None or following is None:
        return []
    said = UP_OR_DOWN_TO.search(sentence.text[: name.first])
    way = 0 if said is None else 1 if said["way"] == "up" else -1
    ahead = [
        each for each in led_to(note, music)[:FAR] if way * (each.sounding.midi - note.sounding.midi) > 0
    ]
    return ahead if way else [following]


def _beside(ground: Ground, lit: Lit) -> Iterator[Claim]:
    """The note right above or below what is lit, which comes next after it or stands right before it."""
    sentence, music = ground.sentence, ground.music
    for match in BESIDE.finditer(sentence.text):
        note, way = _last_lit(sentence, match.start(), lit), 1 if match["side"] in ("above", "over") else -1
        if note is None:
            continue
        near = filter(None, (music.line_after(note), music.line_before(note)))
        fits = [each for each in near if 0 < way * (each.sounding.midi - note.sounding.midi) <= WHOLE_TONE]
        if fits:
            yield ground.set_of(match.start(), match.end(), fits[:1])


def _into_next(ground: Ground, lit: Lit) -> Iterator[Claim]:
    """The first note of the next bar, where what is lit goes to it as is said."""
    sentence, music = ground.sentence, ground.music
    for match in INTO_NEXT.finditer(sentence.text):
        note = _last_lit(sentence, match.start(), lit)
        goal = music.line_after(note) if note is not None else None
        if note is None or goal is None or goal.bar != note.bar + 1:
            continue
        if way_of(match["way"]) * (goal.sounding.midi - note.sounding.midi) >= 0:
            yield ground.set_of(*match.span(), [goal])
