"""Two notes that a sentence names as the ends of a run: "half steps from A down to F".

Where one place only goes from one to the other as is said (by half steps, by step, through a chord, else at once), they
are the first and the last note of it. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.enclosed import is_called
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.one_way_runs import runs_of_kind, way_of_run
from lessonmaker.script.plain.stance_words import is_not_of_it
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import way_of

__all__ = ["with_runs_between"]

FEWEST = 3  # notes
FIFTH = "5"
# Between the ends of a run.
TO = pattern_of(
    r",? ?(?:(?:all the way|right|straight|back|on|through the chord|by step|stepwise|chromatically),? )*"
    r"(?:(?:up|down)(?:wards?)?,? )?"
    r"(?:to|until|till|as far as|ending on)(?: (?:you|we|it|i) (?:hit|reach|get to|arrive at|land on))? "
    r"(?:(?:the|a|an|that|its) )?(?:(?:high|low|top|bottom) )?"
)
FROM = pattern_of(r"\bfrom (?:(?:the|an?|that|its) )?(?:(?:high|low|top|bottom) )?$")
# (what says how a run goes, which kind of run that is)
KINDS = (
    (pattern_of(r"\b(?:chromatic\w*|half[- ]steps?|semitones?)\b"), "chromatic"),
    (pattern_of(r"\b(?:(?<!blues )scales?|scalewise|stepwise|steps?|ladder)\b"), "scale"),
    (
        pattern_of(
            r"\b(?:arpeggi\w+|broken|thirds(?= (?:up|down|from|in a row|to|on top))|(?:in|stack\w*) thirds"
            r"|(?:through|up|down|along|spell\w*(?: out)?|outlin\w+) (?:the|this|that) chord|chord tones)\b"
        ),
        "chord",
    ),
)


def with_runs_between(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, two that are the ends of a run as its first and its last note."""
    sentence, music = ground.sentence, ground.music
    if is_not_of_it(sentence.text):
        return tuple(claims)
    found: list[Claim] = []
    for claim in claims:
        if found and _are_ends(sentence, found[-1], claim):
            tests, line = ground.chord_at(found[-1].first), ground.line_at(found[-1].first, claim.last)
            line = [note for note in line if all(test(note, music) for test in tests)] or line
            ways = [
                pair
                for run in _runs_said(sentence.text, line, music)
                if way_of(sentence.text) in (0, way_of_run(run))
                for pair in _ends_in(
                    run, _literal(found[-1], line, music), _literal(claim, line, music), music
                )
            ]
            if len(ways) == 1:
                found[-1], claim = (
                    _pinned(each, note, music) for each, note in zip((found[-1], claim), ways[0], strict=True)
                )
        found.append(claim)
    return tuple(found)


def _literal(claim: Claim, line: Sequence[Note], music: Music) -> Claim:
    """A claim of a fifth as the perfect one, if the line has that."""
    there = {music.finding(note).degree for note in line}
    return replace(claim, names=(FIFTH,)) if claim.names[:1] == (FIFTH,) and FIFTH in there else claim


def _runs_said(text: str, line: Sequence[Note], music: Music) -> list[list[Note]]:
    """The runs of a line that go as is said; where it is not said how, each note and the next, if that is another."""
    kind = next((kind for said, kind in KINDS if said.search(text)), None)
    if kind is not None:
        return [run for run in runs_of_kind(kind, line, music) if len(run) >= FEWEST]
    return [[one, other] for one, other in pairwise(line) if one.sounding.midi != other.sounding.midi]


def _are_ends(sentence: Sentence, one: Claim, other: Claim) -> bool:
    """Whether something is said to go from one note that is named to another."""
    plain = all(each.kind in ("degree", "note") and not (each.count or each.which) for each in (one, other))
    link = TO.fullmatch(sentence.text[one.last : other.first]) if plain else None
    return link is not None and bool(FROM.search(sentence.text[: one.first]) or way_of(link[0]))


def _ends_in(run: Sequence[Note], one: Claim, other: Claim, music: Music) -> list[tuple[Note, Note]]:
    """The notes of a run that may be meant as the ends of some of it."""
    return [
        (first, last)
        for (at, first), (end, last) in combinations(enumerate(run), 2)
        if end - at + 1 >= min(FEWEST, len(run))
        and is_called(one, first, music)
        and is_called(other, last, music)
    ]


def _pinned(claim: Claim, note: Note, music: Music) -> Claim:
    """A claim that can only be one note."""
    degree = music.finding(note).degree or ""
    return Claim("set", claim.first, claim.last, "", (degree,), stance="found", at=(note.id,))
