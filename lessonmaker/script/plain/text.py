"""A commentary as sentences of plain text, each character with its offset in the script.

What stands in links and braces is not read: each of its characters is a mark of its own (`OPAQUE`), and what it points
at is kept as context for the words around it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from lessonmaker.faults import Place
from lessonmaker.score.position import PositionError, Span, parse_span
from lessonmaker.script.model import Commentary, Piece, Understood
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.answers import statement

__all__ = ["Sentence", "sentences_in"]

OPAQUE = "\x01"
SHORT = 12  # words
SENTENCE_END = pattern_of(r"(?<!\.[a-z])[.!?…]+[\"'”’)]*(?:\s+|$)|(?<=\.[a-z])[.!?…]+[\"'”’)]*$")
TAG = pattern_of(
    r", (?:(?:do |did |can )?you )?(?:right|hear(?: it| that)?|see(?: it| that)?|ok|okay|huh|eh|yeah|know|got it"
    r"|get it"
    r"|feel it|doesn't it|isn't it|don't we|don't you think|remember)\?+\s*$"
)
# A question of a few words that is put after what has been said: "closes on the root, who disagrees?".
ADDED = pattern_of(r"(?:\w+\W+){0,5}\w+\?+\s*")
FEWEST_BEFORE = 6  # words
ASKS = pattern_of(
    r"\s*(?:and |so |but |now |well,? )*(?:is|are|was|were|does|do|did|can|could|will|would|has|have|should|where|which"
    r"|what|who|whose|why|how|(?:is|are|was|were|does|do|did|ca|wo|would|has|have)n't)\b"
)
# What is shown to the listener: "hear that flat nine over the C minor chord?".
SHOWN = pattern_of(
    r"\s*(?:(?:and|so|but|now|ok|okay|there|here),? )*(?:(?:(?:do|can|did) )?(?:you|we|every(?:one|body)|anybody)"
    r" (?:all )?)?(?:hear|see|feel|notice"
    r"|spot|catch) (?:that|this|those|these|how|(?<!hear )(?<!feel )the)\b"
)
# A sentence that only says how often what is said before it comes.
MORE = pattern_of(
    r"(?:(?:and|then|all|on|over|for|it's|that's|the|same|thing|again|once|more|twice|another|both|each|every"
    r"|two|three|four|five|six|chords?|times?|bars?|measures?|dominants)[\s,]*)+[.!;]\s*"
)
# What is said while the next word is looked for.
FILLERS = pattern_of(
    r"\b(?:u+m+|u+h+|erm?|you know|i mean)\b,? ?"
    r"|\b(in|on|at|from|to|of|the|a|it's|that's|there's|is|it|and|he|we|i|i'm|which|so|then|this|that|no) (?=\1\b)",
    re.IGNORECASE,
)
# What is said to the listener in passing, between commas.
BY_THE_WAY = (
    r"by the way|believe it or not|believe (?:me|you me)|trust me|if you ask me|mind you|so to speak"
    r"|as it happens|as it were|if you (?:like|prefer|will|wish|want)(?: to (?:call|put|see) it (?:so|that(?: way)?))?"
    r"|(?:needless|sad|strange) to say|(?:not )?surprisingly|interestingly(?: enough)?|sure enough"
    r"|to be (?:honest|fair|frank)|honestly|frankly|in case you (?:wondered|missed it|were wondering)|as (?:you|we) can"
    r" (?:see|hear)|as (?:you|we) (?:see|hear)|folks|guys|kids|everybody|everyone|friends|my friends?"
    r"|ladies and gentlemen|yeah"
    r"|surprise surprise|as promised|for the record|for what it's worth|strictly speaking"
    r"|as a matter of fact|like i said"
    r"|as i said|you see|you guessed it|dear students?"
)
ASIDES = pattern_of(
    rf"(?:(?<=\A)|(?<=[.!?] ))(?:{BY_THE_WAY}), (?=\w)|, (?:{BY_THE_WAY})(?:,|(?=\s*[.!?;:]|\s*$))",
    re.IGNORECASE,
)
# "It isn't on beat three but on beat two" is said of beat two.
CONTRASTS = pattern_of(
    r"(?:n't| not) (?:on|in|at|over) (?:the )?(?:beat|and of|bar|measure|down-?beat)?[\w ]{0,16},? but"
    r"(?= (?:rather |really )?(?:on|in|at|over)\b)",
    re.IGNORECASE,
)
# Half tones are read as half steps, which are as long.
HALF_TONE = pattern_of(r"\bhalf([ -])tone(?=s?\b)")
PLAIN_SIGNS = str.maketrans(
    {"♭": "b", "♯": "#", "’": "'", "–": "-", "—": ";", "\n": " ", "\t": " ", "‑": "-"}
)


@dataclass(frozen=True)
class Pointer:
    """A link or a pair of braces in a sentence: where it stands, and the stretch of score it points at."""

    first: int
    last: int
    span: Span | None
    notes: tuple[str, ...] = ()
    is_link: bool = False


@dataclass(frozen=True)
class Sentence:
    """One sentence in lower case, and as `written`; `offsets` has the place of each character in the commentary.

    `roots` are the letters of the score's chords with their signs, as they are printed; `later` is the commentary
    after it, in lower case. Of all that it is compared by, its words are enough to be found by.
    """

    text: str
    written: str
    offsets: tuple[int, ...] = field(hash=False)
    pointers: tuple[Pointer, ...] = field(hash=False)
    say: Commentary = field(hash=False)
    roots: frozenset[tuple[str, int]] = frozenset()
    later: str = ""

    @property
    def with_more(self) -> str:
        """Its text and what is added to it at once: "And again.", "Four chords, four times.", the same once more."""
        text, rest = self.text, self.later
        while match := MORE.match(rest):
            text, rest = f"{text}{match[0]}", rest[match.end() :]
        while rest.startswith(self.text.strip()):
            text, rest = f"{text}and again. ", rest[len(self.text.strip()) :].lstrip()
        return text

    @property
    def is_short(self) -> bool:
        """Whether it is so short that what goes with what is sure."""
        return len(self.text.split()) <= SHORT

    @property
    def is_question(self) -> bool:
        """Whether it asks; a few words after a comma ask for nothing: "a flat nine, right?"."""
        if "?" not in self.text[-3:] or TAG.search(self.text) or SHOWN.match(self.text):
            return False
        return ASKS.match(self.text) is not None or not self.adds_a_question

    @property
    def adds_a_question(self) -> bool:
        """Whether it puts a question of a few words after what it has said."""
        said, _, asked = self.text.rpartition(", ")
        enough = len(pattern_of(r"\w+").findall(said)) >= FEWEST_BEFORE
        return enough and said[-1:].isalnum() and ADDED.fullmatch(asked) is not None

    def is_article(self, match: re.Match[str], group: str | int) -> bool:
        """Whether what a group of a match in the text says is a small "a", which is no name of a note."""
        return match[group] == "a" and self.written[match.start(group)] != "A"

    def words(self, first: int, last: int) -> str:
        """The words between two places, as written in lower case."""
        return _lower(self.written[first:last])

    def place(self, first: int) -> Place:
        """Where a character stands in the file."""
        return self.say.place_at(self.offsets[first])


def sentences_in(say: Commentary, music: Music, linked: Sequence[Understood]) -> tuple[Sentence, ...]:
    """The sentences of a commentary."""
    written, offsets, pointers = "", list[int](), list[Pointer]()
    by_start = {each.first - 1: each for each in linked}
    for piece in say.pieces:
        if piece.kind == "text":
            text, kept = _without(FILLERS, piece.text.translate(PLAIN_SIGNS))
            for pattern in (ASIDES, CONTRASTS):
                text, left = _without(pattern, text)
                kept = [kept[at] for at in left]
            written += text
            offsets += [piece.start + at for at in kept]
            continue
        width = max(len(piece.text), 1) if piece.kind == "link" else len(piece.target)
        pointers.append(_pointer(piece, len(written), width, music, by_start.get(piece.start)))
        written += OPAQUE * width
        offsets += [piece.start] * width
    named = (change.written for change in music.score.changes if change.written is not None)
    roots = frozenset((chord.root.step, chord.root.alter) for chord in named)
    return tuple(_answered(_cut(say, written, offsets, pointers, roots)))


def _answered(sentences: Sequence[Sentence]) -> Iterator[Sentence]:
    """The sentences, a question and its answer as one."""
    left = list(sentences)
    while left:
        one = left.pop(0)
        linked = bool(one.pointers) or (bool(left) and bool(left[0].pointers))
        kept = statement(one.text, left[0].text) if left and not linked else ()
        yield _joined(one, left.pop(0), kept) if kept else one


def _joined(one: Sentence, other: Sentence, kept: Sequence[tuple[int, int]]) -> Sentence:
    """One sentence of some stretches of two that follow each other."""
    written, offsets = one.written + other.written, one.offsets + other.offsets
    text = "".join((one.text + other.text)[first:last] for first, last in kept)
    written = "".join(written[first:last] for first, last in kept)
    at = tuple(offset for first, last in kept for offset in offsets[first:last])
    return replace(
        one, later=other.later, text=text.replace("?", ","), written=written.replace("?", ","), offsets=at
    )


def _without(pattern: re.Pattern[str], text: str) -> tuple[str, list[int]]:
    """A text without fillers, words said twice or asides, and where each character that is left stood."""
    kept, at = list[int](), 0
    for match in pattern.finditer(text):
        if pattern is FILLERS and match[1] == "A" and text[match.end()] == "a":
            continue  # a note: "give that A a bit of air"
        kept += range(at, match.start())
        at = match.end()
    kept += range(at, len(text))
    return "".join(text[at] for at in kept), kept


def _lower(text: str) -> str:
    """Lower case, as long as before: a letter whose small form is longer stays as it is."""
    return "".join(small if len(small := char.lower()) == 1 else char for char in text)


def _pointer(piece: Piece, at: int, width: int, music: Music, understood: Understood | None) -> Pointer:
    mention = understood.mention if understood is not None else None
    if mention is not None:
        return Pointer(at, at + width, mention.span, tuple(lit.note for lit in mention.notes), True)
    where = piece.target.partition(" ")[2] if piece.kind == "brace" else ""
    try:
        return Pointer(at, at + width, parse_span(music.score, where) if where else None)
    except PositionError:
        return Pointer(at, at + width, None)


def _cut(
    say: Commentary,
    written: str,
    offsets: Sequence[int],
    pointers: Sequence[Pointer],
    roots: frozenset[tuple[str, int]],
) -> list[Sentence]:
    found: list[Sentence] = []
    text, at = HALF_TONE.sub(r"half\1step", _lower(written)), 0
    ends = [match.end() for match in SENTENCE_END.finditer(text)]
    for end in [*ends, len(text)]:
        if text[at:end].strip():
            inside = [p for p in pointers if at <= p.first < end]
            moved = tuple(replace(p, first=p.first - at, last=p.last - at) for p in inside)
            where = tuple(offsets[at:end])
            found.append(Sentence(text[at:end], written[at:end], where, moved, say, roots, text[end:]))
        at = end
    return found
