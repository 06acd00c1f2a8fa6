"""Notes that are named together, then told of one by one: "one is the sharp nine and the other is the third".

Two letters and two degrees are the two notes near each other that have them, whichever is which; a letter in the plural
("they are As, both the major seventh") is all notes of that name that are the degree, if they are as many as is said.
Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import permutations

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim, number_said
from lessonmaker.script.plain.ground import Ground, put_over
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.stance_words import is_not_of_it
from lessonmaker.script.plain.told_names import names_said

__all__ = ["with_one_and_other"]

NEAR = 4  # notes of the line from the one to the other
IS = (
    r"(?:(?:'s| is| was| being| as| becomes| makes| gives| functions as| acts as| works as)?"
    r"(?: (?:\w+ly|just|now|only|there))*)"
)
NOTE = r"(?: (?:one|note|pitch|of (?:them|these|those|the two)))?"
ONE = pattern_of(rf"\b(?:(?P<either>(?:the )?one)|the (?:first|former)){NOTE}{IS}(?: (?:the|an?|our|its))? $")
OTHER = pattern_of(rf"\b(?:(?:the|an) ?other|the (?:second|latter)){NOTE},?{IS}(?: (?:the|an?|our|its))? $")
SIGN = r"(?:b|#|[ -](?:flat|sharp|natural))"
PLURAL = pattern_of(
    rf"(?<=\w )(?P<name>[B-G]{SIGN}?|A{SIGN}|A(?='?s(?! (?:a|the|in|for|it|you|we|well|soon|long|if) )))'?s(?![\w'])"
)
NUMBER = r"(?:two|three|four|five|six)"
BEFORE_PLURAL = pattern_of(rf"\b(?P<count>{NUMBER}|both)\b[^,;:.]*$")
# So many of the notes of one name, the first or last of them, or what is left.
PART = pattern_of(
    rf"\b(?:the (?P<which>first|last|others?|rest|remaining)(?: ones?)?(?: (?P<count>{NUMBER}))?"
    rf"|(?P<some>one|{NUMBER}))(?: of (?:them|these|those)| times)?,?"
    r"(?: (?:is|are|was|were|as|being|all|both|each|still))+(?: (?:the|an?|its|their))* $"
)
ALL = pattern_of(
    rf"\b(?:(?P<both>both)|each|every one|all(?: (?P<count>{NUMBER}))?)(?: one)?(?: of (?:them|these|those))?,?"
    r"(?: (?:is|are|being|as|a|an|the|its|their))* $"
)


def with_one_and_other(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, notes that are named together as the degrees that they are said to be."""
    sentence = ground.sentence
    if sentence.is_question or is_not_of_it(sentence.text):
        return tuple(claims)
    names = names_said(sentence, claims, ground.places)
    found = [
        *_one_by_one(ground, names),
        *_in_parts(ground, names_said(sentence, claims, ground.places, counted=True)),
    ]
    return put_over(claims, found or list(_all_the_same(ground, names)))


def _one_by_one(ground: Ground, names: Sequence[Claim]) -> Iterator[Claim]:
    """Two letters, and after them the degree of the one and of the other."""
    text = ground.sentence.text
    for at in range(2, len(names) - 1):
        *letters, one, other = names[at - 2 : at + 2]
        kinds = [each.kind for each in (*letters, one, other)]
        match = ONE.search(text[: one.first])
        if kinds != ["note", "note", "degree", "degree"] or match is None or match.start() < letters[1].last:
            continue
        if not OTHER.search(text[one.last : other.first]):
            continue
        orders = permutations((one, other)) if match["either"] else [(one, other)]
        ways = [(order, pair) for order in orders for pair in _pairs(ground, letters, order)]
        if len(ways) == 1:
            order, pair = ways[0]
            for name, note in zip((*letters, *order), (*pair, *pair), strict=True):
                yield ground.set_of(name.first, name.last, [note])


def _in_parts(ground: Ground, names: Sequence[Claim]) -> Iterator[Claim]:
    """The notes of one name that are told of in parts: "four Fs, three as the root and one as the fifth"."""
    text = ground.sentence.text
    parts = [(name, match) for name in names if (match := PART.search(text[: name.first])) is not None]
    parts = [(name, match) for name, match in parts if name.kind == "degree"]
    if len(parts) < 2:
        return
    first = parts[0][1].start()
    letters = [
        (each.start("name"), each["name"]) for each in PLURAL.finditer(ground.sentence.written, 0, first)
    ]
    letters += [(name.first, name.name) for name in names if name.kind == "note" and name.first < first]
    own = _called(max(letters)[1], ground) if letters else []
    left, found = list(own), list[Claim]()
    for name, match in parts:
        fitting = [note for note in own if Named(name).fits(note, ground.music)]
        notes = _part(match, left, fitting)
        if not notes or not set(notes) <= set(fitting):
            return
        left = [note for note in left if note not in notes]
        found.append(ground.set_of(name.first, name.last, notes))
        if match["some"] is not None:
            found.append(ground.set_of(*match.span("some"), notes))
    yield from () if left else found


def _part(match: re.Match[str], left: Sequence[Note], fitting: Sequence[Note]) -> Sequence[Note]:
    """The part of some notes that is told of: the first ones, the last, so many, or what is left."""
    said = match["count"] or match["some"]
    count = 1 if said in (None, "one") else number_said(said)
    if match["which"] in ("first", "last"):
        return left[:count] if match["which"] == "first" else left[-count:]
    if match["which"]:
        return left
    return fitting if len(fitting) == count else ()


def _called(name: str, ground: Ground) -> list[Note]:
    """The notes of the line in sight that have a letter."""
    letter = Named(Claim("note", 0, 0, name))
    return [note for note in ground.line if letter.fits(note, ground.music)]


def _pairs(ground: Ground, letters: Sequence[Claim], degrees: Sequence[Claim]) -> list[tuple[Note, Note]]:
    """The two notes nearest to each other that have two letters, and are two degrees."""
    line = ground.line
    own = [
        [at for at, note in enumerate(line) if all(Named(n).fits(note, ground.music) for n in names)]
        for names in zip(letters, degrees, strict=True)
    ]
    far = [(abs(one - other), one, other) for one in own[0] for other in own[1]]
    least = min((each[0] for each in far), default=0)
    return [(line[one], line[other]) for away, one, other in far if away == least <= NEAR]


def _all_the_same(ground: Ground, names: Sequence[Claim]) -> Iterator[Claim]:
    """A letter in the plural, and the degree that all of its notes are said to be."""
    text, taken = ground.sentence.text, chord_names(ground.sentence)
    for match in PLURAL.finditer(ground.sentence.written):
        degree = next((name for name in names if name.first >= match.end()), None)
        if degree is None or degree.kind != "degree" or any(c.first <= match.start() < c.last for c in taken):
            continue
        said = ALL.search(text, match.end(), degree.first)
        before = BEFORE_PLURAL.search(text[: match.start()])
        if said is None:
            continue
        own = _called(match["name"], ground)
        notes = [note for note in own if Named(degree).fits(note, ground.music)]
        number = said["count"] or (before["count"] if before is not None else said["both"])
        count = {None: len(own), "both": 2}.get(number) or number_said(number or "")
        if len(notes) == count > 1:
            yield ground.set_of(*match.span(), notes)
            yield ground.set_of(degree.first, degree.last, notes)
