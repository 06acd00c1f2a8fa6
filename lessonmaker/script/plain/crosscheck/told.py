"""A sentence as it was read: its words, the places and names in them, and what was lit for it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from lessonmaker.analysis.model import Device
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, hull
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import ChordName, chord_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import HEDGED
from lessonmaker.script.plain.heard import Harmony
from lessonmaker.script.plain.note_names import NoteWord, note_words
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.stance import is_general
from lessonmaker.script.plain.stance_words import DENIALS, OTHERS, UNREAL, WISHES
from lessonmaker.script.plain.text import Sentence
from lessonmaker.theory.chord import Chord

__all__ = ["Shown", "Told", "Untrue"]

# Where a part of a sentence ends that has its own verb, and may be denied or wished for by itself.
PART = pattern_of(r"[,;:]|\b(?:and|but|while|whereas|because|so|then|before|after|until|which|where|when)\b")

# Where a clause ends that has a subject of its own; what "and" joins may be one thing.
CLAUSE = pattern_of(r"[,;:]|\b(?:but|while|whereas|because|so|then|before|after|until|where|when)\b")

# What comes after a name that does nothing: the end of a part, a joining word or one of place.
NO_VERB = pattern_of(
    r"\W*$|\s*[^\w\s'’]|\s+(?:a|about|above|across|after|again|against|an|and|as|at|before|below|between|but|by|down|each|for|from"
    r"|here|high|if|in|instead|into|just|like|low|natural|nor|not|of|off|on|once|only|or|our|out|over|plus|right|so"
    r"|than|that|the|then|there|this|through|till|to|too|towards?|twice|under|until|up|upon|via|when|where|which|while"
    r"|who|with|within|without|you|we|i|it|\w+ing|\w+ly|\w+ed|held|tied)\b|'s (?!an?\b|the\b|our\b|not\b)"
)

# What is not said of this music as it is, wherever in a sentence it stands.
SUPPOSED = pattern_of(
    r"\b(?:could|might|would)(?: (?:just|also|even|well))?(?! (?:say|call|argue|guess|swear))\b|^\s*(?:\w+,? )?if\b"
    r"|\b(?:i|we|you|he|she) (?:once|swapped|tried|used to)\b|\bin (?:my|your|our) (?:head|mind)\b"
    r"|\binstead\.?\s*$"
)
# What is wished for, or did not happen: "had the composer written D flat", "say you played a B flat".
UNREAL_SAID = pattern_of(rf"{WISHES}|{UNREAL}|^\s*(?:had|were) the\b|\bsay (?:you|we|i) (?:\w+ed|had|were)\b")
# No hedge and no wish: a way ("we jump up to B"), a note that something goes round, what is done for, the note A.
NO_HEDGE = pattern_of(
    r"\bhang\w* around\b|\bup to(?= (?:[b-g](?![\w'])|(?:flat|sharp)\b))|\baround(?= (?:the|an?|that|our|its|[a-g])\b)"
    r"|\bto (?:grab|get|catch|give|take|save) some\b|\bput(?= a (?:natural|flat|sharp)\b)"
)


@dataclass(frozen=True)
class Shown:
    """What the words at [first, last) of a sentence have lit: notes in their order in time, or a span alone."""

    first: int
    last: int
    notes: tuple[Note, ...]
    span: Span
    device: Device | None = None


@dataclass(frozen=True)
class Untrue:
    """What is false, at [first, last) of a sentence: `what` is there instead, and what the author may do.

    `target` is what is there, as a link would name it, where there is such a thing. What is `of_these` is surely said
    of these bars, also where it sounds like a rule ("each of these bars always starts with the root").
    What is `meant` is said as a fact, though the words around it are those of wishes or denials ("missing its third",
    "think of a triad"). What is not `sure` is doubted in short sentences, too, as everything is in long ones.
    """

    first: int
    last: int
    what: str
    todo: str
    target: str = ""
    of_these: bool = False
    meant: bool = False
    sure: bool = True


@dataclass(frozen=True, eq=False)
class Told:
    """A sentence as it was read.

    `spans` and `bars` (indices) are what the cue shows, `places` what the sentence names as places, `named` all that
    its words may claim, whether they are meant or not, and `shown` what has been lit, in the order of the words.
    """

    sentence: Sentence
    music: Music
    spans: Sequence[Span]
    bars: Collection[int]
    places: Sequence[Place]
    named: Sequence[Claim]
    shown: Sequence[Shown]

    @property
    def text(self) -> str:
        """The words, in lower case with plain signs."""
        return self.sentence.text

    @cached_property
    def notes_named(self) -> tuple[NoteWord, ...]:
        """The notes that are named by their letters, in the order of the words."""
        return tuple(note_words(self.sentence))

    @cached_property
    def chords_named(self) -> tuple[ChordName, ...]:
        """The chords that are named by their letters, in the order of the words."""
        return tuple(chord_names(self.sentence))

    @cached_property
    def chords_near(self) -> tuple[Chord, ...]:
        """The chords in sight, and the ones before and after them."""
        changes = self.music.score.changes
        shown = [
            at
            for at, change in enumerate(changes)
            if any(span.start <= change.onset < span.end for span in self.spans)
        ]
        near = changes[max(min(shown) - 1, 0) : max(shown) + 2] if shown else ()
        return tuple(change.chord for change in near if change.chord is not None)

    def part_of(self, at: int) -> tuple[int, int]:
        """[first, last) of the part of the sentence, between commas and joining words, in which a character stands."""
        edges = [0, *(match.start() for match in PART.finditer(self.text)), len(self.text)]
        first = max(edge for edge in edges if edge <= at)
        last = min((edge for edge in edges if edge > at), default=len(self.text))
        return first, last

    @cached_property
    def harmony(self) -> Harmony:
        """The chords and keys of the score."""
        return Harmony(self.music)

    def is_plain(self, first: int, last: int, *, of_these: bool = False) -> bool:
        """Whether words are said of this music as a fact: not at large, not wished for, hedged or of others.

        A denial is no fact that `first` to `last` hold, unless it stands among them. What is `of_these` bars for sure
        is not said at large.
        """
        if SUPPOSED.search(self.text) or not self.is_fact(first, last):
            return False
        lit = of_these or self.is_of_a_bar or bool(self.shown)
        return lit or not self.named or not is_general(self.sentence, self.named, False)

    def is_fact(self, first: int, last: int, apart: str = "") -> bool:
        """Whether words are not denied, wished for, hedged or said of others, whatever they are said of.

        What the pattern `apart` matches is no hedge: "goes around the third".
        """
        begin, end = self.part_of(first)[0], max(self.part_of(max(last - 1, first))[1], last)
        around = f"{self.text[begin:first]} {self.text[last:end]}"
        part = NO_HEDGE.sub("to", self.text[begin:end])
        part = pattern_of(apart).sub("", part) if apart else part
        unsure = any(pattern.search(part) for pattern in (UNREAL_SAID, OTHERS, HEDGED))
        return not unsure and not pattern_of(DENIALS).search(around)

    @property
    def is_of_a_bar(self) -> bool:
        """Whether the sentence names a bar of the score."""
        return any(place.level == "bar" and place.spans and not place.pointed for place in self.places)

    def spans_at(self, at: int) -> tuple[Span, ...]:
        """The bars that are spoken of at a character: those named nearest in its part, or before it, or shown.

        A place that may be several bars counts as all of them. A bar that is named in a later part is that part's.
        """
        bars = [place for place in self.places if place.level == "bar" and place.spans]
        first, last = self.part_of(at)
        near = [place for place in bars if first <= place.first < last]
        near = near or [place for place in bars if place.first < first]
        nearest = min(near, key=lambda place: abs(place.first - at), default=None)
        return nearest.spans if nearest is not None else tuple(self.spans)

    def notes_in(self, spans: Iterable[Span]) -> list[Note]:
        """The notes that are struck in some spans, or sound on into them."""
        found: dict[str, Note] = {}
        for span in spans:
            held = self.music.sounding_at(span.start)
            for note in ([held] if held is not None else []) + list(self.music.struck_in(span)):
                found.setdefault(note.id, note)
        return sorted(found.values(), key=lambda note: note.onset)

    @cached_property
    def line_shown(self) -> list[Note]:
        """The notes of the line that the cue shows."""
        return [note for note in self.music.line if any(s.start <= note.onset < s.end for s in self.spans)]

    def line_at(self, at: int) -> list[Note]:
        """The notes of the line in the bars that are spoken of at a character."""
        spans = self.spans_at(at)
        return [note for note in self.music.line if any(s.start <= note.onset < s.end for s in spans)]

    def shown_at(self, first: int, last: int) -> Shown | None:
        """What words that overlap [first, last) have lit."""
        return next((each for each in self.shown if each.first < last and first < each.last), None)

    def shown_before(self, at: int) -> Shown | None:
        """What was lit by the last words that end before a character."""
        return next((each for each in reversed(self.shown) if each.last <= at), None)

    def does_something(self, at: int) -> bool:
        """Whether what ends at a character is a subject: a verb comes right after it ("the third, C comes next")."""
        return NO_VERB.match(self.text, at) is None

    def may_be_it(self, at: int) -> list[Shown]:
        """What "it" may be at a character: what was lit last, or first in that clause or sentence.

        The likeliest comes first.
        """
        before = [each for each in self.shown if each.last <= at and each.notes]
        if not before:
            return []
        clause = max((match.end() for match in CLAUSE.finditer(self.text, 0, before[-1].first)), default=0)
        first = next(each for each in before if each.first >= clause)
        return list(dict.fromkeys([before[-1], first, before[0]]))

    def notes_beside(self, spans: Iterable[Span], far: int) -> list[Note]:
        """So many notes of the line before some spans, and after them."""
        span = hull(spans)
        line, onsets = self.music.line, self.music.line_onsets
        first, after = (bisect_left(onsets, time) for time in (span.start, span.end))
        return [*line[max(first - far, 0) : first], *line[after : after + far]]

    def next_note(self, note: Note) -> Note | None:
        """The note of the line that comes after another."""
        return self.music.line_after(note)

    def note_before(self, note: Note) -> Note | None:
        """The note of the line that comes before another."""
        return self.music.line_before(note)
