"""What a sentence says of a figure that comes again: how often, how long it is, where it goes each time.

"The same shape three times, each a step lower", "four groups of three", "in threes against the four". What is
called by its name (a sequence, a hemiola) is left to those who look for it by that. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.moved_words import SHIFTED, SIZE, Moved, compiled, moved_in
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.script.plain.vocabulary import number_of, ordinal_of

__all__ = ["BY_NAME", "FIGURE", "SAME", "STRICT", "Repetition", "repetition_in"]

SAME = (
    r"(?:(?:the |exactly the |one and the |that |those |this |these )?(?:very |exact |self-)?same"
    r"|(?:the |an )?identical)"
)
STRICT = pattern_of(
    r"\b(?:exact(?:ly)?|identical(?:ly)?|note[- ]for[- ]note|to the letter|literal(?:ly)?|very same"
    r"|every note"
    r"|precisely|carbon|photocopy|verbatim|in every (?:note|detail)|through and through|indistinguishable"
    r"|no difference)\b"
)
BY_NAME = pattern_of(r"\b(?:sequenc\w+|hemiolas?|cross[- ]?rhythms?|poly-?rhythms?)\b")
FIGURE = (
    r"(?:figure|shape|cell|pattern|idea|fragment|motif|motive|lick|thing|gesture|unit|group|grouping"
    r"|statement|riff"
    r"|loop|packet|bundle|pair|block|chunk|snippet|module|phrase|line|notes|formula|segment|model|grip"
    r"|fingering"
    r"|slither|run|turn|hook|strain|arpeggio|triad|climb|fall|degrees|stack)"
)
# What is surely a figure, not the line at large.
SMALL = pattern_of(
    r"\b(?:figure|shape|repetition|copy|entry|appearance|cell|pattern|idea|fragment|motif|motive|lick"
    r"|gesture|unit|group|grouping|statement|riff|loop|packet"
    r"|bundle|pair|block|chunk|snippet|module|formula|segment|model|grip|fingering|slither|degrees)s?\b"
)
COUNT = r"(?:two|three|four|five|six|seven|eight|nine|ten|[2-9]|10)"
FEW = r"(?:two|three|four|five|six|seven|[2-7])"
# The same one again and again.
ONE = rf"\b(?:{SAME}|one) (?:\w+[ -]){{0,3}}?(?:{FIGURE}s?|bars?|measures?|music)\b"
GOING = r"(?:mov|walk|climb|fall|dropp|slid|stepp|go|shift|ris|sink|push|lower|rais)ing"
EACH = (
    r"(?<!^in )(?:each|every)"
    r"(?: (?:new|single|successive|following|next|little|small|short|tiny|such|of (?:the|these|those)))* "
    rf"(?:time|one|repetition|copy|{FIGURE}(?: of (?:two|three|four|five|six))?|bar|measure|half[- ]bar|two bars"
    r"|new one|appearance)s?"
    rf"|each(?= of (?:them|these|those|the)\b|[,.;:!?]|$| (?:an?|another|{SIZE}|half|whole|beginning|starting|moved"
    r"|lower|higher"
    r"|down|up)\b)"
    r"|every one of them|from one (?:[\w-]+ )?to (?:the next|another)"
    r"|(?<!moves )(?:by|in) (?:diatonic |chromatic )?(?:(?:half[- ]|whole[- ])?steps|semitones|thirds"
    r"|fourths|fifths)"
    r"|(?:a|one|per) (?:step|note) (?:per|each|a) (?:go|time|bar|statement)|per (?:go|time|bar|statement)"
    r"|ever(?= (?:higher|lower))"
    rf"|keep(?:s|ing)? (?:on )?{GOING}|all of them|step by step|one after another|time after time"
    rf"|then (?:a|another|one) (?:\w+ )?{SIZE} (?:lower|higher|down|up)\b[^.;:!?]{{0,20}}?\bthen\b"
)
TIMES = (
    rf"(?:(?P<times>{COUNT}) times|(?P<twice>twice)|(?P<thrice>thrice))"
    r"(?! (?:as|more|a|the|an) \w+ (?:as|than)|\s+(?:out of|table))"
)
NTH_TIME = (
    r"(?:here|now|then|comes?|again|for|this|it)\b[^.;:!?]{0,20}? (?:a|the|its|for the)"
    r" (?P<nth>second|third|fourth|fifth) time\b"
)
UNITS = (
    rf"(?P<units>{COUNT}) (?P<more>more )?(?:(?:little|small|short|equal|identical|matching|falling|rising"
    r"|descending|ascending|such|parallel|different|successive|consecutive) )*"
    r"(?P<noun>groups|units|cells|shapes|figures|statements|pairs|packets|bundles|fragments|segments|chunks"
    r"|blocks"
    r"|versions|groupings|(?P<after>repetitions|outings|transpositions"
    r"|(?:copies|repeats)(?! (?:bars?|measures?|the|it|what|one)\b))"
    r"|(?<=successive )(?:steps|degrees|chords|levels))\b"
)
SURE_UNITS = pattern_of(
    r"(?!cells|shapes|figures|fragments|versions|chunks|blocks)"
)  # "two shapes" may be unlike
SIZES = (
    r"(?:groups?|units?|packets?|bundles?|sets?|cells?|figures?|patterns?|chunks?|blocks?|parcels?) of "
    rf"(?P<size>{FEW})(?: (?:notes|eighths|quavers|eighth notes))?"
    rf"|(?P<size2>{FEW})[- ](?:notes?|beats?|eighths?|quavers?)[- ](?:\w+ )?{FIGURE}s?"
    rf"|(?P<at_a_time>{FEW}) notes at a time|(?P<size3>{FEW}) notes"
)
AGAINST = (
    r"in (?P<cross>twos|threes|fives|sevens)\b(?! and\b)"
    r"|(?P<cross2>two|three|five|3|5) against (?:the )?(?:two|three|four|beat|bar|metre|[234])"
    r"|(?P<plus>(?:two|three|[23])(?: plus |\+)(?:two|three|[23])(?:(?: plus |\+)(?:two|three|[23]))+"
    r"|(?<!, )three,? three,? (?:and )?two(?=[.:;!?]|$| eighths| quavers))"
)
ACROSS = (
    r"bar ?-?lines?|metre|meter|(?:across|over) the (?:bar|beat)|against the (?:beat|bar|four|three)"
    r"|in a bar of (?:four|three)|(?:somewhere|someplace) new|another (?:part|place) of the bar"
    r"|(?:different|new|other) (?:beat|place|part|spot)"
)
LOOPED = (
    r"over and over|round and round|again and again|on a loop|loops?\b|turning over|time and again|in a row"
    r"|keeps? (?:\w+ing )?(?:over|round|coming|going|turning|slipping|moving)"
    rf"|(?:on|over) (?:all|both|each|every|{COUNT})(?: (?:of )?(?:the "
    r"|these )?\w*)?(?: chords?)?(?=[,.;:!?]|$)"
    rf"|(?:chain|string|row|series|succession|cascade|{COUNT} bars) of"
)
MOVED = pattern_of(rf"\b(?:{SHIFTED}|repeat(?:s|ed)?|copied)\b[^.;:!?]{{0,30}}$")
NUMBERS = {"twos": 2, "threes": 3, "fives": 5, "sevens": 7}
# One figure that goes somewhere: "the pattern climbs by a step", "this little cell moves up a third".
GOES_ON = pattern_of(
    r"\b(?:the|this|that|our|his|her|your) (?:(?:same|little|short|small|whole|opening|first|second|two-bar|one-bar"
    r"|[a-z]+-note) )*(?:figure|shape|cell|pattern|idea|fragment|motif|motive|lick|gesture|riff|chain)"
    r"(?: (?:here|then|now|just|simply|gets|is|was|keeps|on))* "
    rf"(?P<verb>{SHIFTED}|{inflected('transpose, repeat, copy, sequence, rise, fall, climb, descend')})\b"
)
# What moves as it stands: not "the lick drops a third", which may be its own last step.
AS_IT_STANDS = pattern_of(rf"{inflected('move, shift, transpose, repeat, copy, take, slide, nudge, bump')}$")
QUICK = pattern_of(
    r"times?\b|groups? of|twice|thrice|each|every|keep|next|then|step by step|one after|against|plus"
    rf"|in (?:{'|'.join(NUMBERS)})"
    r"|round|again and|(?:on|over) (?:all|both|each)|on a loop|loop|in a row|over and|at a time|turning"
    r"|[- ](?:note|quaver|eighth|beat)s?[- ]"
    rf"|{COUNT} "
)
# "The pattern comes in groups of four".
GROUPED = pattern_of(
    r"\b(?:comes?|falls?|goes|moves?|is|are|grouped|arranged|organi[sz]ed|count(?:ed)?|it's|they're|played|runs?)"
    r" (?:\w+ )?(?:in |into |by )?$"
)
CLOSE = 30  # characters between words of one claim
NEAR = 12  # between a verb and how far it goes


@dataclass(frozen=True)
class Repetition:
    """A figure that is said, at [first, last), to come again.

    `times` is how often, `size` how long it is (`in_notes`: in nothing else), `moved` where it goes each time;
    what `is_cross` goes against the bar. `more` says that those counted come after a first one; `nth` is the time
    of it that is heard. What is not said is 0 or None. Only what `is_definite` can be false: more than a count of
    groups; what `is_of_a_figure` is of nothing else that is named. Of a `is_grouping` only the length is said.
    """

    first: int
    last: int
    times: int = 0
    size: int = 0
    in_notes: bool = False
    moved: Moved | None = None
    is_cross: bool = False
    more: bool = False
    nth: int = 0
    is_strict: bool = False
    is_definite: bool = False
    is_of_a_figure: bool = False
    is_grouping: bool = False


@lru_cache(maxsize=64)
def repetition_in(text: str) -> Repetition | None:
    """What a sentence says of a figure that comes again, if anything."""
    if BY_NAME.search(text) or not (QUICK.search(text) or GOES_ON.search(text)):
        return None
    found = _Words(text)
    parts = found.parts()
    if not parts:
        return None
    first, last = _reach(parts)
    return Repetition(
        first, last, found.count, found.size, found.is_in_notes, found.moved, found.is_cross,
        found.is_more, found.nth, bool(STRICT.search(text)),
        found.is_definite, bool(found.size or found.is_one), found.is_grouping,
    )  # fmt: skip


class _Words:
    """The words of a sentence that may speak of a figure that comes again."""

    def __init__(self, text: str) -> None:
        each, times, units, nth, sizes, against, across, looped = (
            compiled(pattern).search(text)
            for pattern in (EACH, TIMES, UNITS, NTH_TIME, SIZES, AGAINST, ACROSS, LOOPED)
        )
        self.each, self.units, self.sizes, self.looped = each, units, sizes, looped
        self.against, self.across = against, across
        self.is_one = pattern_of(ONE).search(text) is not None
        self.is_small = self.is_one or SMALL.search(text) is not None
        self.times = times if self.is_small else None
        self.nth_time = nth
        self.goes_on = GOES_ON.search(text)
        counted = each or times or units or nth or self.goes_on
        self.moved = moved_in(text, with_way_only=True) if counted else None

    def parts(self) -> list[tuple[int, int]]:
        """Where the words stand that make the claim together; nothing where they make none."""
        told = self.each or self.sizes or self.is_one or self.against or self.looped
        units = self.units if told or (self.units and SURE_UNITS.match(self.units["noun"])) else None
        parts = [match.span() for match in (self.times, units, self.nth_time) if match]
        by_plural = self.each and pattern_of(r"by |in ").match(self.each[0])
        if self.each and self.moved and (self.is_small or (self.moved.interval and not by_plural)):
            parts.append(self.each.span())
        if self.against:
            parts.append(self.against.span())
        if self.across and (self.sizes or self.looped):
            parts.append(self.across.span())
        if self.looped and (self.sizes or self.is_one):
            parts.append(self.looped.span())
        if self.sizes and self.sizes["at_a_time"]:
            parts.append(self.sizes.span())
        if self.is_grouping and self.sizes:
            parts.append(self.sizes.span())
        if parts and self.sizes and not self.sizes["size3"]:
            parts.append(self.sizes.span())
        if self.goes_on and not parts and self.moved and self.moved.interval:
            near = -len(self.goes_on["verb"]) <= self.moved.first - self.goes_on.end() < NEAR
            parts += [self.goes_on.span()] if near else []
        if parts and self.moved:
            parts.append((self.moved.first, self.moved.last))
        return parts

    @property
    def count(self) -> int:
        """How often the figure is said to come."""
        if self.times:
            return 2 if self.times["twice"] else 3 if self.times["thrice"] else number_of(self.times["times"])
        return number_of(self.units["units"]) if self.units else 0

    @property
    def is_grouping(self) -> bool:
        """Whether it is only said that the groups are even: "the pattern comes in groups of four"."""
        others = self.times or self.units or self.each or self.against or self.across or self.looped
        before = self.sizes.string[: self.sizes.start()] if self.sizes and self.sizes["size"] else ""
        return not others and self.size % 2 == 0 and GROUPED.search(before) is not None  # others have a name

    @property
    def is_more(self) -> bool:
        """Whether those counted come after a first one: "moved down twice", "two repetitions"."""
        moves = self.times is not None and MOVED.search(self.times.string[: self.times.start()])
        return bool(moves or (self.units and (self.units["more"] or self.units["after"])))

    @property
    def nth(self) -> int:
        """Which time of it is said to be heard."""
        return ordinal_of(self.nth_time["nth"]) if self.nth_time else 0

    @property
    def size(self) -> int:
        """How long a group is said to be."""
        if self.against and (self.against["cross"] or self.against["cross2"]):
            return NUMBERS.get(self.against["cross"] or "") or number_of(self.against["cross2"])
        if self.sizes:
            return number_of(next(filter(None, self.sizes.groups())))
        return 2 if self.is_of_pairs else 0

    @property
    def is_definite(self) -> bool:
        """Whether it is surely one figure of which so much is said that it can be false."""
        counted = self.times or (self.units and (self.size or self.moved or self.is_one))
        moved = self.each and self.moved
        if self.each and self.moved and self.moved.interval and "bar" in self.each[0]:
            return True
        if self.goes_on and self.moved and AS_IT_STANDS.search(self.goes_on["verb"]):
            return True
        return bool(
            self.against
            or (self.sizes and self.sizes["size"])
            or (self.is_small and (counted or moved))
            or counted
        )

    @property
    def is_of_pairs(self) -> bool:
        """Whether the groups are pairs."""
        return bool(self.units and self.units["noun"] == "pairs") or bool(
            self.each and "pair" in self.each[0]
        )

    @property
    def is_in_notes(self) -> bool:
        """Whether the size is one of notes, and of nothing else."""
        if self.size and self.against and not self.against["plus"]:
            return False
        return self.is_of_pairs or bool(self.sizes and self.sizes["size2"] and "note" in self.sizes[0])

    @property
    def is_cross(self) -> bool:
        """Whether it is said to go against the bar."""
        return bool(self.against or self.across)


def _reach(parts: Sequence[tuple[int, int]]) -> tuple[int, int]:
    """The words from the first of some parts on, as far as they stand near each other."""
    (first, last), *others = sorted(parts)
    for start, end in others:
        if start - last < CLOSE:
            last = max(last, end)
    return first, last
