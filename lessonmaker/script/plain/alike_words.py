"""What a sentence says of two stretches of the line that are alike: one is the other, moved, turned, varied.

Two stretches are named, or one that is set beside what the cue shows, or none ("now the same idea a step
down"). A table tells the words for likeness, in what the two are alike, and which is named first; how far the one
is moved and where they differ is read beside that. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.again_words import BY_NAME, FIGURE, SAME, STRICT, repetition_in
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.moved_words import DOWN, INTERVAL, SHIFTED, SIZE, UP, Moved, compiled, moved_in
from lessonmaker.script.plain.stretch_words import LINE, Reference, references_in
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, STARTING, inflected
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = ["But", "Comparison", "alike_claims", "comparison_in", "model_in"]

Relation = Literal[
    "notes", "shape", "rhythm", "contour", "other rhythm", "inverted", "reversed", "begins", "vague"
]
Order = Literal["copy first", "model first", "copies follow", "together", "look back"]
MARK = "\x02"  # stands for each character of a stretch that is named

# What is alike, by the word for it.
OF_WHAT: dict[Relation, str] = {
    "rhythm": r"(?:rhythms?|rhythmic (?:figure|pattern|shape|profile|idea)|note values|durations|values)",
    "contour": r"(?:contours?|outlines?|curves?|arcs?|profiles?|silhouettes?|directions?|melodic shape)",
    "shape": (
        r"(?:shapes?|figures?|ideas?|licks?|patterns?|things?|cells?|fragments?|moti(?:f|ve)s?|riffs?"
        r"|gestures?"
        r"|grips?|fingerings?|slithers?|climbs?|moves?|intervals?|stuff|material|formula|hook|turn|run|lines?"
        r"|phrases?|units?|groups?|statements?|arpeggio|chunk|module|theme)"
    ),
    "notes": r"(?:notes|pitches|bars?|measures?|music|tune|melody|passage)",
}
WHAT = "|".join(OF_WHAT.values())
NOT_OF_THE_LINE = pattern_of(
    r"[ -](?:chords?|harmony|harmonies|changes|scales?|keys?|tempo|story|reason|way|time|day|page|trouble"
    r"|mistake"
    r"|goes for|note\b|pitch class|degree\b|colou?rs?|sound|root|third|fifth|seventh|ninth|place|spot"
    r"|breath|sense"
    r"|amount|volume|fingers?|boat|token)"
)
ADVERB = (
    r"(?:really|basically|just|simply|only|nothing but|exactly|essentially|in fact|actually|pretty much"
    r"|practically"
    r"|virtually|literally|merely|also|now|still|again|once again|plainly|clearly|obviously|all|both|almost"
    r"|nearly"
    r"|more or less|\w+ically|the (?:very )?same as|of course|heard as|made of|another|precisely|verbatim)"
)
THE_SAME = (
    r"(?:identical|the (?:very |exact )?same(?: thing)?|twins|alike|equal|one and the same|(?:exact )?copies"
    r"|duplicates|a matching pair|clones|indistinguishable|interchangeable|a pair)"
)
SIZED = rf"(?:(?:little|small|short|long|big|old|whole|exact|very|{NUMBER}|\w+-(?:note|bar|beat)) )*"
COPIES = inflected(
    "copy, repeat, duplicate, clone, restate, reprise, recycle, reuse, replay, equal, bring back, revisit, "
    "reproduce, play back, copy out, quote"
)
LIKENS = inflected(
    "echo, answer, imitate, mimic, recall, resemble, parallel, match, mirror, paraphrase, shadow, reflect, "
    "rhyme with, correspond to, look like, sound like, hark back to, refer to, respond to, reply to"
)
HAVING = inflected(
    "borrow, take, steal, keep, have, share, use, reuse, recycle, bring back, inherit, retain, copy, repeat, "
    "quote, match, follow, stick to, lift, be, go by, get, show, make, pick up, "
    "take over, adopt"
)
UNLIKING = inflected(
    "drop, break, break with, abandon, leave, change, vary, forget, desert, depart from, give up, ditch"
)
RETURNS = inflected(
    "come back, return, reappear, recur, resurface, turn up, show up, come round again, come around again, "
    "be back, be repeated, be copied, be restated, be echoed, be answered, be mirrored, come again, be heard again, "
    "be reused, pop up again, be recycled, live on in, be transposed, get repeated, get copied, get restated"
)
REPEATED = r"(?:repeated|copied|restated|answered|echoed|transposed|taken up)"
REUSED = inflected("carry, give us, give you, serve, drive, make")
COPY = (
    r"(?:copy|carbon copy|repeat|repetition|reprise|replica|duplicate|restatement|clone|twin|double"
    r"|quotation|recap"
    r"|photocopy|copy-paste|transposition|transposed version)"
)
ECHO = r"(?:echo|answer|variation|imitation|shadow|reply|response|cousin|reminiscence|memory|variant)"
TURNED = (
    r"upside[- ]down|invert(?:s|ed|ing)?|inversion|in contrary motion|mirror image|stood on its head"
    r"|flipped over"
    r"|flips|the other way up|mirrored"
)
# What was heard before, where it is not said what that is: "in bar three it is turned upside down".
TURNED_OVER = (
    rf"(?:(?:{inflected('turn, flip, stand, put, invert, mirror')}|is|comes?|goes|only|but|now|just|{WHAT})"
    r"(?: [\w']+){0,5}? (?:upside[- ]down|on its head|inverted|flipped(?: over)?|mirrored|the other way up)"
    r"|(?:turns|flips|stands|inverts|mirrors) (?:it|this|that|the (?:shape|idea|contour|line|figure|motif))"
    r"(?: (?:over|upside[- ]down|on its head))?)(?! (?:arpeggio|chord|seventh|triad|voicing)s?\b)"
)
BACKWARDS = (
    r"backwards?|in reverse|retrograde|revers(?:es|ed|ing|al)|back to front|from right to left"
    r"|from the end|crab\w*"
)
JUST = r"(?:exactly |just |precisely |very much )?"
THE_LINE = rf"(?:the |its |that |this |our )?(?:very |exact |whole )?(?:\w+[- ])??(?P<what>{WHAT})"
A_BAR = rf"(?:(?:of|from|in|to|on) )?(?:the )?{MARK}"
OF_PLACE = r"(?:before,? )?(?:in|from|back in|at)"
OF_A_BAR = rf"(?:of|from) (?:the )?{MARK}"
STOPS = rf"(?=[,.;:!?]|$| (?:{WHAT}|as|but|except|until|apart|note|again|for)\b)"
COMES_AGAIN = (
    rf"{MARK}+(?: {LINE})?,?(?: (?:just|simply|then|now|also|all|itself|is what))* (?:{RETURNS}%s)\b"
    r"(?! (?:to (?:the|an?|its|[a-g])|down|up|home|from)\b)"
)
ONCE_MORE = r"(?:again|once more|once again|over again|all over again|one more time)"
STARTS = rf"(?:{STARTING})(?: (?:up|off|out))? {JUST}"
FARTHER = rf"(?=.*{SIZE} (?:{UP}|{DOWN})|.*(?:{UP}|{DOWN}) (?:an?|one) (?:\w+ )?{SIZE})"
# (what to look for, in what they are alike, which is named first, how many are named). Earlier rows go first.
TRIGGERS: tuple[tuple[str, Relation, Order, int], ...] = (
    (
        rf"(?:{RETURNS}|{REPEATED})(?: (?:in|at|on|over))? {MARK}+"
        rf"(?:(?:,? and|,)(?: (?:then|again|once more|also|in|at))* {MARK}+)?",
        "shape",
        "copies follow",
        2,
    ),
    (rf"(?:{BACKWARDS})\b", "reversed", "copy first", 2),
    (rf"(?:{TURNED})(?!\w)", "inverted", "copy first", 2),
    (rf"{TURNED_OVER}(?!\w)", "inverted", "copy first", 1),
    (r"(?:in|with) (?:an? )?(?:another|other|different|new) rhythm", "other rhythm", "copy first", 1),
    (
        rf"(?:{HAVING}) (?:\w+ )?{SAME} {SIZED}(?P<what>{WHAT})\b(?! (?:as|of|from)\b)",
        "notes",
        "together",
        1,
    ),
    (rf"(?:{inflected('share')}) {THE_LINE}\b(?! (?:of|from)\b)", "notes", "together", 1),
    (
        r"have (?:\w+ ){0,3}in common"
        rf"(?:,? (?:and )?(?:that's|it's|namely|which is) the (?P<what>{WHAT}))?",
        "vague",
        "together",
        1,
    ),
    (r"(?:no|not a|without a|without any) difference", "notes", "together", 2),
    (rf"(?:{UNLIKING}) {THE_LINE} {OF_A_BAR}", "shape", "copy first", 1),
    (
        rf"(?:{HAVING}) its (?P<what>{WHAT}) (?:straight |right )?from (?:the )?{MARK}",
        "shape",
        "copy first",
        1,
    ),
    (
        rf"(?P<what>{WHAT}) (?:(?:stays?|remains?|is kept)(?: {ADVERB})*"
        r" (?:the same|put|unchanged|constant|as it (?:is|was))|(?:doesn't|does not) change)",
        "notes",
        "together",
        1,
    ),
    (rf"(?:match|agree|coincide)(?! {MARK})\b", "vague", "together", 2),
    (rf"differs? (?:from {MARK}+ )?", "notes", "copy first", 2),
    (rf"{STARTS}(?:alike|the same way)\b", "begins", "together", 1),
    (rf"{STARTS}(?:as|like|the way)(?= {MARK})", "begins", "copy first", 2),
    (rf"{COPY} {A_BAR}", "notes", "copy first", 1),
    (
        rf"(?:model|original|{WHAT}),? (?:and|then|followed by|plus|with)(?: then)? (?:its|an?) "
        rf"(?:exact |literal |transposed |faithful )?(?:{COPY}|{ECHO}|sequel)\b",
        "shape",
        "together",
        0,
    ),
    (rf"{ECHO} (?:of|to|on) {A_BAR}", "vague", "copy first", 1),
    (rf"(?:{HAVING}|is in|are in|in|with) {JUST}{THE_LINE} {OF_A_BAR}", "shape", "copy first", 1),
    (
        rf"(?:{HAVING}|is in|in|with) {JUST}{MARK}+(?:'s?)? (?P<what>{WHAT})\b",
        "shape",
        "copy first",
        2,
    ),
    (rf"{THE_LINE} {A_BAR}(?=.*\b(?:{ONCE_MORE}|{RETURNS}|{REUSED}))", "shape", "model first", 1),
    (
        rf"{SAME} {SIZED}(?P<what>{WHAT})\b(?! (?:i|my|you|your|we|he|she|they|people|every)\b)",
        "shape",
        "copy first",
        0,
    ),
    (r"(?:(?:then|now),? (?:exactly |just )?the same|the same again)\b", "shape", "copy first", 0),
    (rf"{SAME}(?: thing)? as\b|(?:identical|equal) (?:to|with) {A_BAR}", "notes", "copy first", 1),
    (
        rf"(?:had|heard|met|seen|played|know) (?:this|it|that)\b(?: {WHAT})?(?: \w+)?(?: {OF_PLACE})? {MARK}",
        "notes",
        "look back",
        1,
    ),
    (rf"(?:are|is|look|sound|seem|'re)(?: {ADVERB})* {THE_SAME}{STOPS}", "notes", "together", 1),
    (rf"(?:{COPIES}) (?:exactly )?{A_BAR}", "notes", "copy first", 1),
    (
        rf"(?:{inflected('bring, call, take, fetch')}) (?:us )?(?:the )?{MARK}+ back\b",
        "notes",
        "copy first",
        1,
    ),
    (rf"(?:does|do|did) (?:exactly )?what(?:ever)? {A_BAR}", "notes", "copy first", 1),
    (
        rf"what(?:ever)? (?:he|i|it|she|the line|they|we|you) (?:\w+ ){{1,2}}in {MARK}+,? [^;:{MARK}]{{0,60}} in"
        rf" {MARK}+(?![^;:]*{MARK})",
        "notes",
        "model first",
        2,
    ),
    (rf"(?:takes?|took) {MARK}+ and (?=.*{SHIFTED})", "notes", "copy first", 1),
    (rf"(?:{SHIFTED}) (?:all of )?{MARK}+ (?:{UP}|{DOWN})\b", "notes", "copy first", 2),
    (
        rf"(?:(?:it|that|this|here|which)'s|is|(?<!there )are|was|equals?|=)(?: {ADVERB})* (?:like |as )?{MARK}",
        "notes",
        "copy first",
        1,
    ),
    (
        rf"(?:{SHIFTED}|is|are|'s) {INTERVAL} (?:{UP}|{DOWN})(?: than| from| of)? {MARK}",
        "notes",
        "copy first",
        2,
    ),
    (
        rf"(?:{SHIFTED}|is|are|'s) (?:{UP}|{DOWN}) {INTERVAL} (?:than|from|of|against) {MARK}",
        "notes",
        "copy first",
        2,
    ),
    (rf"{MARK}+ {ONCE_MORE}\b", "notes", "copy first", 1),
    (COMES_AGAIN % "", "notes", "model first", 1),
    (rf"(?:{FIGURE})(?: [\w']+){{0,5}}? (?:{RETURNS})\b(?=.*{UP}|.*{DOWN})", "notes", "model first", 0),
    (rf"(?:{LIKENS}) {A_BAR}", "vague", "copy first", 1),
    (
        rf"(?:we|you|i) (?:do|play|say|hear|have|get) (?:it |that |this )?{ONCE_MORE}\b",
        "shape",
        "copy first",
        0,
    ),
    (
        r"(?:the whole (?:thing|idea|phrase|shape|lick|business|lot)|everything|all (?:of )?(?:this|that|it))"
        rf"(?=.*{SIZE})",
        "shape",
        "copy first",
        0,
    ),
    (rf"(?:{ONCE_MORE}|repeated|a second time)\b{FARTHER}", "shape", "copy first", 0),
    (
        r"here it is (?:again|once more)\b|(?:exact|literal) (?:answer|repeat|copy|echo)\b",
        "shape",
        "copy first",
        0,
    ),
)
COMES_BACK = COMES_AGAIN % f"|{inflected('give us, give you')}"
HEDGED = pattern_of(
    r"\b(?:almost|nearly|roughly|more or less|sort of|kind of|a bit|a little like|similar|loosely|practically"
    r"|virtually|pretty much|not quite|as good as|basically|or so|vaguely|reminds?|somewhat|slightly)\b"
)
UNLIKE = pattern_of(rf"\b(?:{UNLIKING}) (?:the )?(?:{WHAT})\b")
SAYS_AGAIN = pattern_of(
    r"same|identical|model|^(?:we|you|i) (?:do|play|say|hear)|^here it is|answer|repeat|copy|echo"
)
IN_RHYTHM = pattern_of(r"\brhythmic|\bthe rhythms? (?:of|in) |\bin rhythm\b|rhythm-wise")
CLAUSE = pattern_of(r";|\b(?:until|till|because|while|whereas|although)\b")
# "Begin with the same five notes": said of their ends.
AT_AN_END = pattern_of(
    rf"\b(?:{STARTING}|{ENDING})(?: (?:up|off|out))? (?:with|on|in|by)(?: (?:exactly|just))? $"
)
# "In the same bar": where something is.
IN_SAME = pattern_of(r"\b(?:in|within|inside|during|over|of|for|on|through|into|across) $")
A_PLACE = pattern_of(r"(?:bars?|measures?|phrases?|lines?|passage)$")
QUICK = pattern_of(
    r"same|identical|alike|again|once more|back|return|recur|appear|resurface|like|copy|copi|repeat|echo"
    r"|answer"
    r"|mirror|imitat|mimic|repris|restat|transpos|twin|clone|equal|borrow|rhyme|revers|retrograd|inver"
    r"|upside|rhythm"
    r"|contour|outline|shape|differ|common|one |it's|that's|is |are |takes|carries|shar|quot|gives? "
    r"|resembl|recall"
    r"|higher|lower|above|below| up | down |="
)
NEAR = 40  # characters between what likens two stretches and how far the one is moved

# Where two are said to differ ------------------------------------------------------------------------------

PART = (
    r"(?:(?P<{0}side>last|final|closing|first|opening) (?:(?P<{0}n>two|three|four|couple of) )?"
    r"(?:notes?|pitch|beats?|quaver|eighth)|(?P<{0}end>ending|end|tail|finish)|(?P<{0}start>beginning|start"
    r"|opening))"
)
BUT = pattern_of(
    r"\b(?P<how>except|only|save|but|minus|without|until|till|up to|other|with|apart|bar"
    r"|all but)\b[^.;:!?]{0,30}?\b"
    + PART.replace("{0}", "")
    + r"\b|\b"
    + PART.replace("{0}", "x")
    + r"[^.;:!?]{0,14} (?:(?:is|are|has|have) (?:been )?)?(?:changed?|changes|differs?|different|new|other)\b"
)
SOME_NOTES = pattern_of(
    r"\b(?:(?P<n>one|a single|a|two|three) (?:notes?|pitch(?:es)?)(?: (?:is|are|has been|was"
    r"|gets))? (?:changed|different|altered|new|other|off)"
    r"|(?:all but|but for|except for|except|differs? (?:by|in|from)(?: only| just)?) (?P<n2>one|a single"
    r"|two|three) (?:notes?|pitch(?:es)?))\b"
)
ONLY_THERE = ("only", "except", "save", "until", "till", "up to", "minus", "all but")
FEW = {"two": 2, "three": 3, "four": 4, "couple of": 2}


@dataclass(frozen=True)
class But:
    """Where two are said to differ: at the first or last notes (1, -1) or any (0), `count` of them (0: some)."""

    side: int
    count: int
    only: bool


@dataclass(frozen=True)
class Comparison:
    """Two stretches that are said, at [first, last), to be alike in one respect, one perhaps moved.

    `is_unlike` denies it; what `is_loose` may be said of a part of them ("and bar twelve does it again").
    """

    first: int
    last: int
    relation: Relation
    order: Order
    references: tuple[Reference, ...]
    moved: Moved | None
    but: But | None
    is_strict: bool
    is_hedged: bool
    is_unlike: bool
    is_loose: bool

    @property
    def is_relative(self) -> bool:
        """Whether its last stretch is only the one before: "each starts a step higher than the last"."""
        return self.references[-1].kind in ("nth", "before")

    @property
    def is_of_halves(self) -> bool:
        """Whether it sets one half beside the other."""
        return len(self.references) > 1 and all(each.kind == "half" for each in self.references)

    @property
    def is_of_two(self) -> bool:
        """Whether it names two stretches, or one beside what is shown."""
        return any(each.kind not in ("shown", "half", "halves") for each in self.references[1:])


# From where on a sentence speaks of something else than what is alike: ", but bar four walks down".
OF_ANOTHER = pattern_of(rf"[,;:] (?:but|while|whereas|and)(?: (?:in|then))? {MARK}")


@lru_cache(maxsize=64)
def comparison_in(text: str) -> Comparison | None:
    """What a sentence says of two stretches being alike, if anything."""
    if not QUICK.search(text):
        return None
    references = references_in(text)
    masked = _masked(text, references)
    found = _trigger(masked, references)
    if found is None:
        return None
    match, relation, order, least = found
    relation = _relation(match, relation, text)
    unlike = bool(UNLIKE.search(text))
    other = OF_ANOTHER.search(masked, match.end())
    told = masked[: other.start()] if other is not None else masked
    moved = None if unlike else moved_in(told, with_way_only=True)
    if order == "copies follow" and moved is not None and not moved.interval:
        moved = None  # "returns in nine and in ten, each time climbing": what the figure does
    if not (least or SAYS_AGAIN.search(match[0]) or (moved and moved.interval)):
        return None  # of nothing that is named, and not moved: "everything comes again"
    last = match.end()
    if moved is not None and moved.last > last and moved.first - last < NEAR:
        last = moved.last
    before = [each for each in references if each.last <= match.start()]
    loose = order == "copy first" and not least and len(before) > 1
    returns = relation in ("rhythm", "shape", "notes", "inverted", "reversed") and compiled(
        COMES_BACK
    ).search(masked)
    if order == "copy first" and (loose or returns):
        order = "model first"
    references = [each for each in references if not CLAUSE.search(_between(masked, each, match))]
    last = max([last, *(each.last for each in references if match.start() <= each.first <= last + NEAR // 3)])
    return Comparison(
        match.start(), last, relation, order, tuple(references), moved, _but(masked),
        bool(STRICT.search(text)), bool(HEDGED.search(text)), unlike, loose,
    )  # fmt: skip


def _masked(text: str, references: Sequence[Reference]) -> str:
    """A text, as long as before, with marks for the stretches that are named."""
    for each in references:
        text = text[: each.first] + MARK * (each.last - each.first) + text[each.last :]
    return text


def _trigger(
    masked: str, references: Sequence[Reference]
) -> tuple[re.Match[str], Relation, Order, int] | None:
    """The first row of the table whose words are there, with stretches enough."""
    named = sum(max(len(each.numbers), 1) for each in references if each.kind != "shown")
    for pattern, relation, order, least in TRIGGERS:
        if named + (order == "together" and bool(references)) < least:
            continue
        match = compiled(pattern).search(masked)
        if match is None or NOT_OF_THE_LINE.match(masked[match.end() :].lstrip(MARK)):
            continue
        if order == "copies follow" and _count(references, *match.span()) < least:
            continue
        before = masked[: match.start()]
        if not (AT_AN_END.search(before) or (IN_SAME.search(before) and A_PLACE.search(match[0]))):
            return match, relation, order, least
    return None


def _count(references: Sequence[Reference], first: int, last: int) -> int:
    """How many bars some words name by number."""
    return sum(len(each.numbers) for each in references if first <= each.first < last)


def _relation(match: re.Match[str], relation: Relation, text: str) -> Relation:
    """In what two stretches are alike: by the word for it, else as the table has it."""
    what = match.groupdict().get("what")
    if what is not None:
        relation = next(name for name, words in OF_WHAT.items() if pattern_of(words).fullmatch(what))
    return "rhythm" if relation in ("notes", "vague") and IN_RHYTHM.search(text) else relation


def _between(text: str, reference: Reference, match: re.Match[str]) -> str:
    """The words between a stretch that is named and what says that it is like another."""
    return text[reference.last : match.start()] or text[match.end() : reference.first]


def model_in(text: str) -> tuple[int, int] | None:
    """The words for the stretch that one named before it is said to be like; what follows is not of it."""
    said = comparison_in(text)
    if said is None or said.order != "copy first" or len(said.references) != 2:
        return None
    copy, model = said.references
    return (model.first, model.last) if copy.last <= said.first <= model.first else None


def _but(text: str) -> But | None:
    notes = SOME_NOTES.search(text)
    if notes is not None:
        return But(0, FEW.get(notes["n"] or notes["n2"], 1), only=True)
    match = BUT.search(text)
    if match is None:
        return None
    groups = match.groupdict()
    side = groups["side"] or groups["xside"] or ""
    at_end = side in ("last", "final", "closing") or bool(groups["end"] or groups["xend"])
    few = groups["n"] or groups["xn"]
    count = FEW[few] if few else 1 if side else 0
    how = groups["how"] or ("only" if pattern_of(r"\bonly\b").search(text) else "")
    return But(-1 if at_end else 1, count, how in ONLY_THERE)


def alike_claims(sentence: Sentence) -> Iterator[Claim]:
    """The comparison and the repetition that a sentence makes, if any."""
    again = repetition_in(sentence.text)
    if again is not None:
        yield Claim("alike", again.first, again.last, "repetition", sure=False)
    said = comparison_in(sentence.text)
    named = BY_NAME.search(sentence.text)
    of_two = said is not None and (said.is_of_halves or (said.is_of_two and not (again and said.is_relative)))
    if said is not None and (of_two or not (again or named)):
        yield Claim("alike", said.first, said.last, "comparison", sure=False)
