"""Captions from timed words: two lines of at most 42 characters, at most 20 characters a second, 1 to 7 seconds.

A narrow picture may ask for shorter lines. The limits are the house's (a broadcaster's usual ones; common practice,
no source). Sentences are cut where a reader would breathe, by dynamic programming over the possible breaks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TypeAlias

from lessonmaker.timeline.model import TICKS_PER_SECOND, Caption, CaptionTerm, Use

__all__ = ["LINE_LENGTH", "SHORTEST", "TimedToken", "captions_of", "ends_sentence"]

LINE_LENGTH = 42
CHARACTERS_PER_SECOND = 20
SHORTEST, LONGEST = TICKS_PER_SECOND, 7 * TICKS_PER_SECOND
HOLD = 3 * TICKS_PER_SECOND // 10
JOIN_GAP = TICKS_PER_SECOND // 4
SENTENCE_ENDS = (".", "?", "!", "…")
CLOSING = "\"'”’)]»"
CLAUSE_ENDS = (",", ";", ":", "–", *SENTENCE_ENDS)
STAYS_WITH_NEXT = frozenset(
    ("a", "an", "the", "of", "in", "on", "to", "at", "by", "for", "from", "over", "into", "with", "and", "or")
)


Word: TypeAlias = tuple[str, bool]


@dataclass(frozen=True)
class TimedToken:
    """A printed word, when it is spoken, and what its term is coloured by (`mention` groups a term's words)."""

    printed: str
    start: int
    end: int
    mention: int | None = None
    use: Use | None = None


def captions_of(tokens: Sequence[TimedToken], until: int, length: int = LINE_LENGTH) -> tuple[Caption, ...]:
    """The captions of a run of speech, none of which outlasts `until` (ticks), in lines of `length` characters."""
    chunks = [chunk for run in long_enough(sentences(tokens)) for chunk in cut(run, length)]
    starts = [chunk[0].start for chunk in chunks]
    nexts = [*starts[1:], until]
    return tuple(caption(chunk, following, length) for chunk, following in zip(chunks, nexts, strict=True))


def sentences(tokens: Sequence[TimedToken]) -> list[tuple[TimedToken, ...]]:
    """The tokens, a tuple a sentence."""
    found: list[tuple[TimedToken, ...]] = []
    begun: list[TimedToken] = []
    for token in tokens:
        begun.append(token)
        if ends_sentence(token.printed):
            found.append(tuple(begun))
            begun = []
    return [*found, tuple(begun)] if begun else found


def long_enough(found: Sequence[tuple[TimedToken, ...]]) -> list[tuple[TimedToken, ...]]:
    """Sentences, with one that is over before it can be read joined to the next."""
    runs: list[tuple[TimedToken, ...]] = []
    for sentence in found:
        if runs and sentence[0].start - runs[-1][0].start < SHORTEST:
            runs[-1] = (*runs[-1], *sentence)
        else:
            runs.append(sentence)
    return runs


def ends_sentence(printed: str) -> bool:
    """Whether a sentence ends with this word, quotation marks and brackets after its full stop left out."""
    return printed.rstrip(CLOSING).endswith(SENTENCE_ENDS)


def cut(sentence: tuple[TimedToken, ...], length: int) -> list[tuple[TimedToken, ...]]:
    """The cheapest way to cut a sentence into captions."""
    count = len(sentence)
    best: list[tuple[float, int]] = [(0.0, 0)] + [(float("inf"), 0)] * count
    for end in range(1, count + 1):
        for start in range(end - 1, -1, -1):
            price = best[start][0] + cost(sentence[start:end], end == count, length)
            if price < best[end][0]:
                best[end] = (price, start)
            if len(text_of(sentence[start:end])) > 2 * length:
                break
    return walk_back(sentence, best)


def walk_back(
    sentence: tuple[TimedToken, ...], best: list[tuple[float, int]]
) -> list[tuple[TimedToken, ...]]:
    """The chunks that the best prices lead to."""
    chunks: list[tuple[TimedToken, ...]] = []
    end = len(sentence)
    while end:
        start = best[end][1]
        chunks.insert(0, sentence[start:end])
        end = start
    return chunks


def cost(chunk: tuple[TimedToken, ...], last: bool, length: int) -> float:
    """What is wrong with a caption of these words; a word of more than a line is taken as it is."""
    lines = line_break(words_of(chunk), length)
    seconds = (chunk[-1].end - chunk[0].start) / TICKS_PER_SECOND
    price = 10.0 + sum(100.0 for line in lines if len(line) > length) * (len(chunk) > 1)
    price += 50 * max(0.0, seconds - 7) + 8 * max(0.0, 1.5 - seconds) + 50 * max(0.0, 1 - seconds)
    return price + (0 if last else break_cost(words_of(chunk)[-1]))


def words_of(chunk: Sequence[TimedToken]) -> tuple[Word, ...]:
    """Each printed word, and whether it begins or goes on with a term that the next word belongs to."""
    following = [*(token.mention for token in chunk[1:]), None]
    return tuple(
        (token.printed, token.mention is not None and token.mention == mention)
        for token, mention in zip(chunk, following, strict=True)
    )


def break_cost(word: Word) -> float:
    """How badly a break after this word reads."""
    printed, inside_term = word
    if inside_term:
        return 12.0
    if printed.endswith(CLAUSE_ENDS):
        return 0.0
    return 9.0 if printed.lower() in STAYS_WITH_NEXT else 4.0


@lru_cache(maxsize=4096)
def line_break(words: tuple[Word, ...], length: int) -> tuple[str, ...]:
    """One line where it fits, else the two lines that read best and are least unequal."""
    whole = joined(words)
    if len(whole) <= length or len(words) == 1:
        return (whole,)
    at = min(range(1, len(words)), key=lambda at: line_cost(words[:at], words[at:], length))
    return joined(words[:at]), joined(words[at:])


def line_cost(first: tuple[Word, ...], second: tuple[Word, ...], length: int) -> float:
    """What is wrong with two lines."""
    lengths = len(joined(first)), len(joined(second))
    over = sum(max(0, one - length) for one in lengths)
    return 100 * over + abs(lengths[0] - lengths[1]) + 1.5 * break_cost(first[-1])


def joined(words: Sequence[Word]) -> str:
    """Words on one line."""
    return " ".join(printed for printed, _ in words)


def text_of(chunk: Sequence[TimedToken]) -> str:
    """The words on one line."""
    return " ".join(token.printed for token in chunk)


def caption(chunk: tuple[TimedToken, ...], following: int, length: int) -> Caption:
    """A chunk as a caption that stays long enough to be read, but not into the next one."""
    start = chunk[0].start
    readable = len(text_of(chunk)) * TICKS_PER_SECOND // CHARACTERS_PER_SECOND
    wanted = max(chunk[-1].end + HOLD, start + readable, start + SHORTEST)
    end = min(wanted, following, start + LONGEST)
    if following - end < JOIN_GAP and following - start <= LONGEST:
        end = following
    lines = line_break(words_of(chunk), length)
    return Caption(start, end, lines, terms(chunk, lines))


def terms(chunk: tuple[TimedToken, ...], lines: tuple[str, ...]) -> tuple[CaptionTerm, ...]:
    """The terms of a caption, the words of one mention in one line as one term."""
    found: list[tuple[int | None, CaptionTerm]] = []
    line, column = 0, 0
    for token in chunk:
        if column and column + len(token.printed) > len(lines[line]):
            line, column = line + 1, 0
        last = column + len(token.printed.rstrip(".,;:?!…"))
        if token.mention is not None and token.use is not None:
            term = CaptionTerm(token.start, token.end, line, column, last, token.use)
            if found and found[-1][0] == token.mention and found[-1][1].line == line:
                found[-1] = (token.mention, replace(found[-1][1], end=token.end, last=last))
            else:
                found.append((token.mention, term))
        column += len(token.printed) + 1
    return tuple(term for _, term in found)
