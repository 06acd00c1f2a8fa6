"""A note that is told of twice, the second time by what it becomes: "it stays put and turns into the fifth of E flat".

What the line strikes again at one height as another degree, and does so as is said only once, is meant: the first
degree where it is the one, the second where it has become the other. It is named the first time by its letter, its
degree, or both, and the second by a pronoun or by nothing. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.ground import Ground, put_over
from lessonmaker.script.plain.motion import without_places
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.rows import ITS_CHORD
from lessonmaker.script.plain.stance_words import is_not_of_it
from lessonmaker.script.plain.told_names import names_said
from lessonmaker.script.plain.verbs import FALLING, GOING, RISING, inflected

__all__ = ["with_told_twice"]

NAMING = ("degree", "note")
ORDINAL_WORDS = ("first", "second")  # "the second time", "the third of the second"
NEXT_FEW = 4  # notes of the line after one, among which it is struck again
LONGEST_LINK = 110  # characters from the one name to the other
ADVERBS = (
    r"(?: (?!(?:not|no|never|also|both|either)\b)(?:\w+ly|now|then|just|all|at once|suddenly|already|no less|again"
    r"|here|there|instead|of course|in fact|nothing but|none other than|really|still|an?|the|our|your|its|my|one"
    r"|perfectly|good|pretty|fine|nice|sweet|sour|lovely|plain|real|proper|full|big|little))*"
)
TURNS = inflected(
    "become, turn into, change into, morph into, grow into, end up as, end up being, end up, wind up as, come out as, "
    "come out, turn out to be, turn out as, count as, serve as, act as, function as, work as, reappear as, come back as"
    ", return as, go on as, live on as, sound as, make, pass for, be reborn as, be promoted to, do duty as"
)
IT_IS = (
    r"(?:(?:\b(?:it|this|that|which|he|she|and|but|note|pitch|sound|key|one|[a-g](?: flat| sharp| natural)?)"
    r"(?:'s| is| was|'ll be| will be))|\b(?:where|while|then) (?:it's|it is)|, now|\bis now)"
)
CALLED = (
    r"\b(?:we|you|they|i|ears?) (?:\w+ly )?(?:call|hear|read|name|know|take|get|have)(?:s|ed)?(?: (?:it|that|this))?"
    r"(?: back)? as"
    r"|\b(?:we|you)(?:'re| are) (?:now |left |suddenly )*(?:holding|left with|sitting on|standing on|playing)"
    r"|\b(?:leaves|leaving) (?:us|you) (?:with|holding|on)"
    r"|\b(?:we|you) (?:now )?call it|\bhear(?:d|ing)? (?:it )?as|\bstruck again as|\b(?:again|once more),? as"
)
BECOMES = pattern_of(rf"(?:(?P<turns>\b{TURNS})|{IT_IS}|{CALLED}){ADVERBS} ?$")
# Two degrees are the same note: "the third of G seven and the seventh of C sharp minor are one and the same B".
ONE_AND_SAME = pattern_of(
    r"\b(?:are|is|were|was|share|have)(?: \w+ly| just| both| really)*"
    r" (?:one and the same|the (?:very |exact |self-?)?same|one|a single|the one)"
    r"(?: (?:note|pitch|sound|key|tone|little|single))*,? ?"
)
# "The third first and the fifth afterwards", of a note that is named before them.
ONE_THEN_OTHER = pattern_of(
    r",?(?: (?:at )?first| to begin with)?,?(?: (?:and|but|then|now|later|next|afterwards?),?)*"
    r"(?: (?:as|the|an?|its|to))* "
)
AFTERWARDS = pattern_of(r"\b(?:then|now|later|next|afterwards?|after that)\b")
AFTER_IT = 12  # characters
# What says that it is another time, and no other note.
ANOTHER_TIME = pattern_of(
    r"\b(?:now|then|later|again|once more|afterwards?|next|suddenly|still|same|this time|after|until|once|when|while"
    r"|meanwhile|before you know it|second time|repeat\w*|beats? (?:one|two|three|four)|half a bar|a beat|a moment"
    r"|overnight|over (?:the )?[a-g]\b|without)\b"
)
# What says so of a note of which no degree is told before, and what says that it is still the first time.
LATER = pattern_of(
    r"\b(?:later|again|once more|afterwards?|repeat\w*|second time|(?:now|then)(?= (?:it|that|this|[a-g])\b)"
    r"|next (?:bar|beat|measure|time|down-?beat)|after|until)\b"
)
EARLY = pattern_of(r"\b(?:early|already|anticipat\w*|ahead|belongs?|comes? in|opens?|begins?|starts?)\b")
# Where another note comes in between.
OTHER_NOTE = pattern_of(
    rf"\b(?:next note|other note|another note|followed by|neighbou?rs?|(?:{GOING}|{FALLING}|{RISING}|leads?)"
    r"(?: (?!(?:the|and|but)\b)[\w-]+){0,3}? (?:(?:in|on)?to|up|down)\b)|[?\x01]"
)
OF_SEVERAL = pattern_of(r",? (?:two|three|four|five|six|all|each|both|every) ")


@dataclass(frozen=True)
class Twice:
    """The names of a note at first (letter, degree), those of what it becomes, and those of `both`.

    What else may name a note from `since` to `until` names none; `roots` are letters of the chords under it ("it
    belongs to G").
    """

    first: tuple[Named, ...]
    then: tuple[Named, ...]
    since: int
    until: int
    both: tuple[Named, ...] = ()
    roots: tuple[Claim, ...] = ()

    def claims(self, one: Note, other: Note, ground: Ground) -> Iterator[Claim]:
        """The names of a note and of what it becomes as what they are."""
        for names, notes in ((self.first, [one]), (self.then, [other]), (self.both, [one, other])):
            for name in names:
                yield ground.set_of(name.claim.first, name.claim.last, notes)


def with_told_twice(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, the two degrees of a note that becomes another one as what they are."""
    sentence = ground.sentence
    if sentence.is_question or is_not_of_it(sentence.text.replace("used to be", "was")):
        return tuple(claims)
    names = [
        name
        for name in names_said(sentence, claims, ground.places, counted=True)
        if sentence.text[name.first : name.last] not in ORDINAL_WORDS
    ]
    for twice in (*_becoming(ground, names), *_one_and_same(ground, names)):
        ways = list(_ways(twice, ground))
        if len(ways) == 1:
            found = list(twice.claims(*ways[0], ground))
            taken = [c for c in claims if c.kind in NAMING and twice.since <= c.first < twice.until]
            return put_over([c for c in claims if c not in taken], found)
    return tuple(claims)


def _becoming(ground: Ground, names: Sequence[Claim]) -> Iterator[Twice]:
    """The notes of which it is said that they become something, in the order of the sentence."""
    text = ground.sentence.text
    for at, then in enumerate(names):
        first = _named_first(names[:at]) if then.kind == "degree" else ()
        if not first or OF_SEVERAL.match(text, then.last) or not _is_linked(ground, first, then):
            continue
        letters = [name for name in names[:at] if name.first > first[-1].last]
        same = [name for name in letters if name.name == _letter(first)]
        before, after = _in_bars(first, then, ground)
        yield Twice(
            tuple(Named(name, (*_tests(name, ground), *before)) for name in first),
            (*map(Named, same), Named(then, (*_tests(then, ground), *after))),
            first[-1].last,
            then.first,
            roots=tuple(name for name in letters if name not in same),
        )


def _is_linked(ground: Ground, first: Sequence[Claim], then: Claim) -> bool:
    """Whether the words between say that the note told of first is, at another time, what is told of then."""
    text, since = ground.sentence.text, first[-1].last
    becomes = BECOMES.search(text[: then.first])
    if len(first) > 1 and ONE_THEN_OTHER.fullmatch(
        without_places(ground.sentence, since, then.first, ground.places)
    ):
        return AFTERWARDS.search(text, since, then.last + AFTER_IT) is not None
    if becomes is None or becomes.start() < since - 1 or then.first - since > LONGEST_LINK:
        return False
    turns = becomes["turns"] is not None
    if len(first) == 1 and first[0].kind == "note" and not turns:
        return EARLY.search(text) is None and LATER.search(text, since, then.first) is not None
    other = OTHER_NOTE.search(text, since, becomes.start() if turns else then.first)
    return other is None and (turns or _is_another_time(ground, first, then))


def _one_and_same(ground: Ground, names: Sequence[Claim]) -> Iterator[Twice]:
    """Two degrees of which it is said that they are one note, be it named as well."""
    text = ground.sentence.text
    degrees = [name for name in names if name.kind == "degree"]
    same = ONE_AND_SAME.search(text, degrees[1].last) if len(degrees) == 2 else None
    if same is None:
        return
    one, other = degrees
    letters = [name for name in names if name.kind == "note" and name.first == same.end()]
    yield Twice(
        (Named(one, tuple(_tests(one, ground))),),
        (Named(other, tuple(_tests(other, ground))),),
        0,
        same.start(),
        tuple(map(Named, letters)),
    )


def _letter(first: Sequence[Claim]) -> str:
    """The letter by which a note is named."""
    return next((name.name for name in first if name.kind == "note"), "")


def _named_first(names: Sequence[Claim]) -> tuple[Claim, ...]:
    """The names of the note that is told of before: its last degree with the letter beside it, or a letter alone."""
    degrees = [at for at, name in enumerate(names) if name.kind == "degree"]
    if not degrees:
        same = {name.name for name in names}
        return (names[0],) if len(same) == 1 else ()
    at = degrees[-1]
    beside = names[at - 1 : at] if at and names[at - 1].kind == "note" else ()
    if not beside and len(names) > at + 1:
        beside = names[at + 1 : at + 2] if names[at + 1].first - names[at].last < 12 else ()
    return tuple(sorted((*beside, names[at]), key=lambda name: name.first))


def _is_another_time(ground: Ground, first: Sequence[Claim], then: Claim) -> bool:
    """Whether something between two names, or the chord or bar beside the second, says that time has gone on."""
    text = ground.sentence.text
    if ANOTHER_TIME.search(text, first[0].first, then.first):
        return True
    later = [place for place in ground.places if first[-1].last <= place.first < then.first]
    return any(place not in _beside(first[-1], ground) for place in later)


def _beside(name: Claim, ground: Ground) -> list[Place]:
    """The places that stand right after a name: "the ninth in bar two on beat four"."""
    at, found = name.last, list[Place]()
    for place in ground.places:
        if place.first >= at and ITS_CHORD.fullmatch(ground.sentence.text[at : place.first]):
            found.append(place)
            at = place.last
    return found


def _in_bars(first: Sequence[Claim], then: Claim, ground: Ground) -> tuple[list[Test], list[Test]]:
    """The bars that are named of what a note is at first, and those of what it becomes."""
    bars = [place for place in ground.places if place.level == "bar" and place.spans and not place.pointed]
    own = [each for each in bars if each.last <= first[0].first or each in _beside(first[-1], ground)]
    later = [each for each in bars if each not in own and each.first < then.first]
    later += [each for each in bars if each in _beside(then, ground)]
    return [_struck_in(each.spans) for each in own], [_struck_in(each.spans) for each in later]


def _is_over(letter: Claim, note: Note, music: Music) -> bool:
    """Whether a note is struck over a chord on a root, by its letter."""
    chord = music.finding(note).chord
    return chord is not None and chord.root.pitch_class == named_note(letter.name).pitch_class


def _struck_in(spans: Sequence[Span]) -> Test:
    """Whether a note is struck in one of some spans."""
    return lambda note, _: any(span.start <= note.onset < span.end for span in spans)


def _tests(name: Claim, ground: Ground) -> Iterator[Test]:
    """What the chords and beats that stand right after a name say of its note."""
    yield from (place.test for place in _beside(name, ground) if place.test is not None)


def _ways(twice: Twice, ground: Ground) -> Iterator[tuple[Note, Note]]:
    """The notes that may be told of so, each with what it becomes, the nearest to each other alone."""
    music = ground.music
    line = ground.line
    again = [
        (note, other)
        for note, other in _struck_again(line, music)
        if all(name.fits(note, music) for name in (*twice.first, *twice.both))
        and all(name.fits(other, music) for name in twice.then)
        and all(_is_over(root, note, music) or _is_over(root, other, music) for root in twice.roots)
    ]
    far = [line.index(other) - line.index(note) for note, other in again]
    yield from (pair for pair, each in zip(again, far, strict=True) if each == min(far))


def _struck_again(line: Sequence[Note], music: Music) -> Iterator[tuple[Note, Note]]:
    """Each note of a line with the next at its height, where that has another degree."""
    for at, note in enumerate(line):
        later = line[at + 1 : at + 1 + NEXT_FEW]
        again = next((each for each in later if each.sounding.midi == note.sounding.midi), None)
        if again is not None and music.finding(again).degree != music.finding(note).degree:
            yield note, again
