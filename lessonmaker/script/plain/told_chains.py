"""What a sentence tells note by note, whatever the verbs: "F goes to E, the ninth, then to C sharp, and lands on D".

A letter and a degree that are said of one note are one link of a chain; a link that is said to go to the next is
followed by it. What is found so, with the bar, the beat or the edge that is named beside each link, is looked for by
`chain_notes`. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chain_notes import Chain, Link, notes_of_chains
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.ends import Side, words_round
from lessonmaker.script.plain.ground import Ground, put_over
from lessonmaker.script.plain.motion import without_places
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.rows import loose_names
from lessonmaker.script.plain.stance_words import OTHERS, UNREAL, WISHES
from lessonmaker.script.plain.stretches import masked
from lessonmaker.script.plain.told_names import TOLD, names_said
from lessonmaker.script.plain.verbs import LANDING, LEANING, inflected

__all__ = ["APPOSED", "NOT_OF_IT", "SAME_NOTE", "with_told_chains"]

NOT_OF_IT = pattern_of(
    rf"{OTHERS.pattern}|{WISHES}|{UNREAL}|\b(?:not|never|no|nor|neither|instead|if|roots|chords|(?<!chord )changes"
    r"|bass|keys|harmon\w+|left hand|piano)\b|n't\b"
)
# A word between two names of one note: it opens no other part, and leads nowhere.
BESIDE_IT = r"(?: (?:right |just |straight )?(?:after|before|behind) (?:it|that|this|them)\b)"
WORD = (
    rf"(?:{BESIDE_IT}| (?!(?:and|but|then|to|into|onto|or|before|after|while|from|until|than|like|between|around|so"
    r"|against|over|where|when|both|each|with|above|below|under|a|an|half|on|follows?|comes)\b)[a-z'-]+)"
)
ARTICLE = r"(?:the|its|our|an?|your|their|that|this)"
ONLY = r"(?: (?:just|only|simply|really|now|still|again|of course|actually|merely|also|of all things|here))*"
IS = (
    rf"(?:{WORD}){{0,6}}?,?(?: (?:which|that))?(?: is|'s| was|, being| as| makes| counts as| becomes){ONLY} {ARTICLE} "
    r"(?:(?:plain|very|new|chord's|same|good old) )?"
)
WHERE_IT_IS = rf" (?:is|was|comes|sits) where(?:{WORD}){{1,4}}, {ARTICLE} "
COMMA = rf",? ?(?:,|:|\(| -) ?(?:(?:which|that) (?:is|was) |that's |or |namely |still |our |only )*(?:{ARTICLE} )?"
IS_SO = pattern_of(r"\b(?:is|was|as|makes)\b|'s\b")
AND_IT_IS = (
    r"(?: [a-z]+){0,3},? (?:and|but|only)(?: now| here| this time)? (?:it|that)(?:'s| is| becomes)"
    rf"{ONLY} {ARTICLE} "
)
SAME_NOTE, APPOSED = pattern_of(rf"(?:{IS}|{WHERE_IT_IS}|{AND_IT_IS})"), pattern_of(COMMA)
# After a name that is only put beside another, and does nothing itself.
NAMED_ONLY = pattern_of(
    r"\s*(?:[,.;:!?)]|$)|,? (?:of|and|in|on|over|again|that|which|with|but|before|to|then|down|up|here)\b"
)
LISTED = pattern_of(
    r"(?:,|;)? ?(?:(?:and|then|next|on|down|up|back|over|from there|finally|after that),? )*"
    rf"(?:(?:{ARTICLE}|low|high) )*"
)
AFTER_A_WORD = pattern_of(r"(?:,|;|\b(?:and|then|next)\b)")
GOES_TO = pattern_of(rf"\b(?:to|into|onto|through|via|past|over)(?: (?:{ARTICLE}|low|high|plain))* $")
LANDS_ON = pattern_of(rf"\b(?:{LANDING}|{LEANING})(?: \w+)? (?:on|at|with)(?: {ARTICLE})? $")
# From one name to the next, what is no way: something else is told of, or the order is another.
APART = pattern_of(
    r"\b(?:before|after|until|till|between|than|like|around|round|against|when|whenever|because|is|was|are|chord|key"
    r"|bars?|belongs?|turn\w* into|becom\w+|chang\w+ (?:in)?to|relat\w+|back to (?:bar|measure)|(?:next|close) to"
    r"|in addition to|due to|listen|compared)\b|[.?!\x01]"
)
# "Is a chromatic approach that pushes up through".
RELATIVE = pattern_of(r"^ (?:is|was) (?:only |just )?an? [^,;:]{3,40}? (?:that|which) ")
FROM = pattern_of(rf"\bfrom (?:(?:{ARTICLE}|high|low) )*$")
STEP = "drop, fall, leap, jump, skip, hop, resolve, settle, slip, slide, tip, squeeze, step, sag, ease"
AT_ONCE = pattern_of(rf"\b{inflected(STEP)}\b")
THEN = pattern_of(r"\bthen\b")
# What is said of the notes told of last and another: "and those two fence in the D".
THOSE = pattern_of(r"\b(?:(?:those|these|the) two(?: of them)?|both(?: of (?:them|those|these))?)\b[^,;:]*$")
AGAIN = pattern_of(rf",? and (?:(?:{ARTICLE}|same) )*")
CHORD_GOES = pattern_of(r"[^,;:]* (?:(?:in)?to|onto|for|towards?)(?: (?:the|an?|our))? ")
OF_THE = pattern_of(r"\bof (?:the|each|that|this) $")  # "the flat seven of the second"
NUMBERS = pattern_of(r"(?:, |: |; |, (?:that's|which is|so) (?:the )?|\()")
AT_AN_END = pattern_of(r"\bat the (?:very )?(start|beginning|outset|end|close)\b")
LONGEST = 70  # characters from one name to the next
PART = pattern_of(r"[,;:]|\b(?:and|but|while|whereas|because|so|then|before|after|until|which)\b")
CLOSE = 6  # words
OF_NOTES = ("degree", "note", "resolves")


@dataclass(frozen=True)
class Names:
    """The names that are said of one note, told at [first, last) of a sentence.

    What is so and so (`is_said`) goes nowhere by that: "A is the third, and F the flat nine".
    """

    claims: tuple[Claim, ...]
    first: int
    last: int
    is_said: bool = False


def with_told_chains(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, the names of notes that are told one after the other as what they are."""
    sentence = ground.sentence
    if sentence.is_question or NOT_OF_IT.search(sentence.text) or any(c.kind == "alike" for c in claims):
        return tuple(claims)
    names = [each for each in _names(ground, claims) if not each.count and each.which == 0]
    told = list(_merged(ground, names))
    chains = list(_chains(ground, told))
    found: list[Claim] = []
    for (links, _), notes in zip(
        chains, notes_of_chains([chain for _, chain in chains], ground), strict=True
    ):
        for each, note in zip(links, notes, strict=False):
            found += [replace(claim, at=(note.id,), stance="found", detail=TOLD) for claim in each.claims]
    return put_over(claims, [each for each in found if not _is_taken(each, claims)])


def _is_taken(name: Claim, claims: Sequence[Claim]) -> bool:
    """Whether a name stands among the words of something else."""
    return any(_overlap(each, name) and each.kind not in OF_NOTES for each in claims)


def _names(ground: Ground, claims: Sequence[Claim]) -> list[Claim]:
    """The names of notes in a sentence, with the numbers in a row that tell what the letters before it are."""
    text = ground.sentence.text
    names = names_said(ground.sentence, claims, ground.places)
    names += [c for c in claims if c.kind == "degree" and not any(_overlap(c, each) for each in names)]
    names = [
        each
        for each in names
        if not (_is_a_chord(ground, each) if each.kind == "note" else OF_THE.search(text[: each.first]))
    ]
    names.sort(key=lambda each: each.first)
    loose = [each for each in loose_names(ground.sentence, claims, ground.places) if each.kind == "degree"]
    more = [each for each in loose if not any(_overlap(each, other) for other in names)]
    rows = _parallel(ground, [*names, *more]) if more else None
    return sorted({*names, *(rows[1] if rows else ())}, key=lambda each: each.first)


def _is_a_chord(ground: Ground, letter: Claim) -> bool:
    """Whether a letter is that of the chord to which one that is named goes: "C seven resolves to F"."""
    before = [chord for chord in chord_names(ground.sentence) if chord.last <= letter.first]
    return (
        bool(before) and CHORD_GOES.fullmatch(ground.sentence.text, before[-1].last, letter.first) is not None
    )


def _overlap(one: Claim, other: Claim) -> bool:
    return one.first < other.last and other.first < one.last


def _parallel(ground: Ground, names: Sequence[Claim]) -> tuple[Sequence[Claim], Sequence[Claim]] | None:
    """Letters in a row, and as many degrees in a row right after them: "G down to G flat, nine to flat nine"."""
    names = sorted(names, key=lambda each: each.first)
    for at in range(1, len(names)):
        letters = _row_back(ground, names[:at], "note")
        degrees = _row_on(ground, names[at:], "degree")
        between = ground.sentence.text[names[at - 1].last : names[at].first]
        if len(letters) == len(degrees) > 1 and NUMBERS.fullmatch(between):
            return letters, degrees
    return None


def _is_borne(ground: Ground, names: Sequence[Claim]) -> bool:
    """Whether a note in sight has all of some names."""
    named = [Named(each) for each in names]
    line = [n for n in ground.music.line if any(s.start <= n.onset < s.end for s in ground.shown)]
    return any(all(each.fits(note, ground.music) for each in named) for note in line)


def _row_back(ground: Ground, names: Sequence[Claim], kind: str) -> Sequence[Claim]:
    """The names of a kind with which some end, each of which goes to the next or is listed with it."""
    at = len(names)
    while (
        at and names[at - 1].kind == kind and (at == len(names) or _follows(ground, names[at - 1], names[at]))
    ):
        at -= 1
    return names[at:]


def _row_on(ground: Ground, names: Sequence[Claim], kind: str) -> Sequence[Claim]:
    """The names of a kind with which some begin."""
    at = 0
    while (
        at < len(names) and names[at].kind == kind and (not at or _follows(ground, names[at - 1], names[at]))
    ):
        at += 1
    return names[:at]


def _merged(ground: Ground, names: Sequence[Claim]) -> Iterator[Names]:
    """The names of a sentence, those that are said of one note together."""
    letters, degrees = _parallel(ground, names) or ((), ())
    pairs = dict(zip((each.first for each in letters), degrees, strict=True))
    left = [name for name in names if name not in degrees]
    own: list[Claim] = []
    for name in left:
        if own and not pairs.get(own[-1].first) and _are_one(ground, own, name):
            own.append(name)
            continue
        if own:
            yield _names_of(ground, own, pairs)
        own = [name]
    if own:
        yield _names_of(ground, own, pairs)


def _names_of(ground: Ground, own: Sequence[Claim], pairs: Mapping[int, Claim]) -> Names:
    """The names of one note; those of the last letter in a row end where its degrees do."""
    pair = pairs.get(own[0].first)
    if pair is not None:
        is_last = own[0].first == max(pairs) and pair.first == max(each.first for each in pairs.values())
        return Names((own[0], pair), own[0].first, max(pair.last, own[0].last) if is_last else own[0].last)
    is_said = any(IS_SO.search(_between(ground, one.last, other.first)) for one, other in pairwise(own))
    return Names(tuple(own), own[0].first, own[-1].last, is_said)


def _are_one(ground: Ground, own: Sequence[Claim], name: Claim) -> bool:
    """Whether a name is said of the same note as those before it."""
    sentence, last = ground.sentence, own[-1]
    between = _between(ground, last.last, name.first)
    again = name.kind == "note" and name.name == last.name and AGAIN.fullmatch(between)
    if again and _goes_on(ground, name):
        return True
    if any(each.kind == name.kind for each in own):
        return False
    beside = APPOSED.fullmatch(between) and NAMED_ONLY.match(sentence.text, name.last)
    if not (SAME_NOTE.fullmatch(between) or beside):
        return False
    return _is_borne(ground, (*own, name))


def _between(ground: Ground, first: int, last: int) -> str:
    """The words from one name to the next without the places among them."""
    return pattern_of(r"\s+").sub(" ", without_places(ground.sentence, first, last, ground.places))


def _goes_on(ground: Ground, name: Claim) -> bool:
    """Whether something is said to go on from a name."""
    return (
        pattern_of(r"(?: \w+){0,3} (?:to|into|onto)\b").match(ground.sentence.text[name.last :]) is not None
    )


# What follows what -------------------------------------------------------------------------------------------


def _follows(ground: Ground, one: Claim | Names, other: Claim | Names) -> bool:
    """Whether one note is said to go to the next, or stands beside it in a list."""
    between = RELATIVE.sub(" ", _between(ground, one.last, other.first))
    if len(between) > LONGEST or APART.search(between):
        return False
    if LISTED.fullmatch(between) and AFTER_A_WORD.search(between):
        return True
    return GOES_TO.search(between) is not None or LANDS_ON.search(between) is not None


def _chains(ground: Ground, told: Sequence[Names]) -> Iterator[tuple[list[Names], Chain]]:
    """The chains of a sentence in its order, each with its names."""
    runs: list[list[Names]] = []
    for each in told:
        if runs and _follows(ground, runs[-1][-1], each) and not _is_apart(ground, runs[-1][-1], each):
            runs[-1].append(each)
        else:
            runs.append([each])
    for run in runs:
        yield run, _chain(ground, run, told)


def _is_apart(ground: Ground, one: Names, other: Names) -> bool:
    """Whether two notes are only told of one after the other, and need not follow each other in the line."""
    listed = LISTED.fullmatch(_between(ground, one.last, other.first))
    then = THEN.search(ground.sentence.text, one.last, other.first)
    return bool(_sides(ground, other)) or bool(listed and one.is_said and not then)


def _chain(ground: Ground, run: Sequence[Names], told: Sequence[Names]) -> Chain:
    text = ground.sentence.text
    links = tuple(_link(ground, each, told) for each in run)
    between = tuple(text[one.last : other.first] for one, other in pairwise(run))
    clause = text[max((m.end() for m in PART.finditer(text, 0, run[0].first)), default=0) : run[0].first]
    return Chain(
        links,
        between,
        clause if len(run) > 1 else "",
        is_told=_is_told(ground, run, clause),
        is_next=THOSE.search(clause) is not None,
    )


def _is_told(ground: Ground, run: Sequence[Names], clause: str) -> bool:
    """Whether a chain says enough to be found by itself: a letter that is a degree, or notes that move."""
    if any(len(each.claims) > 1 for each in run):
        return True
    lettered = any(claim.kind == "note" for each in run for claim in each.claims)
    ends = FROM.search(ground.sentence.text[: run[0].first]) and not AT_ONCE.search(clause)
    moves = any(not LISTED.fullmatch(_between(ground, one.last, other.first)) for one, other in pairwise(run))
    return lettered and moves and (len(run) > 2 or not ends)


def _link(ground: Ground, each: Names, told: Sequence[Names]) -> Link:
    places = [place for place in ground.places if _owner(ground, place, told) is each]
    own = tuple(
        span for place in places if place.level == "bar" and not place.pointed for span in place.spans
    )
    beats = tuple(p.test for p in places if p.level == "beat" and p.test is not None)
    return Link(
        tuple(Named(claim) for claim in each.claims),
        own,
        own or _bars_before(ground, each),
        beats,
        tuple(_chord_tests(ground, each)),
        _sides(ground, each),
        _ends(ground, each),
    )


def _bars_before(ground: Ground, each: Names) -> tuple[Span, ...]:
    """The bars that were named last before some names."""
    bars = [
        p for p in ground.places if p.level == "bar" and p.spans and p.last <= each.first and not p.pointed
    ]
    return bars[-1].spans if bars else ()


def _chord_tests(ground: Ground, each: Names) -> Iterator[Test]:
    """The tests of the chord that is named right after a degree, or opens its part of the sentence."""
    first, last = _part(ground, each.first)[0], _part(ground, each.last - 1)[1]
    for place in ground.places:
        if place.level == "chord" and place.test is not None and first <= place.first < last:
            yield place.test


def _part(ground: Ground, at: int) -> tuple[int, int]:
    """[first, last) of the part of a sentence in which a character stands."""
    text = ground.sentence.text
    edges = [0, *(match.start() for match in PART.finditer(text)), len(text)]
    return max(e for e in edges if e <= at), min((e for e in edges if e > at), default=len(text))


def _owner(ground: Ground, place: Place, told: Sequence[Names]) -> Names | None:
    """The names of the note of which a place is said: those in its part, else the next."""
    around = [each for each in told if each.first <= place.first and place.last <= each.last]
    if around:
        return around[0]
    first, last = _part(ground, place.first)
    inside = [each for each in told if first <= each.first < last or first <= each.last - 1 < last]
    before = [each for each in inside if each.last <= place.first]
    after = [each for each in inside if each.first >= place.last]
    if before and (not after or len(ground.sentence.text[before[-1].last : place.first].split()) <= CLOSE):
        return before[-1]
    earlier = [each for each in told if each.last <= place.first]
    later = [each for each in told if each.first >= place.last]
    leads = later and not PART.search(ground.sentence.text, place.last, later[0].first)
    found = [*after, *before[-1:], *(later if leads else earlier[-1:]), *later]
    return found[0] if found else None


def _ends(ground: Ground, each: Names) -> tuple[Side, ...]:
    """The ends of a bar near which a note is said to be."""
    first, last = _part(ground, each.first)[0], _part(ground, each.last - 1)[1]
    said = AT_AN_END.findall(ground.sentence.text, first, last)
    return tuple("last" if word in ("end", "close") else "first" for word in said)


def _sides(ground: Ground, each: Names) -> tuple[Side, ...]:
    """The ends of something that a note is said to be."""
    text = masked(ground.sentence, ground.places)
    first, last = _part(ground, each.first)[0], _part(ground, each.last - 1)[1]
    return tuple(
        dict.fromkeys(
            words.side
            for claim in each.claims
            for words in words_round(text, claim)
            if first <= words.first and words.last <= last
        )
    )
