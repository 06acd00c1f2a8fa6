"""Where the reader is in the script: heard words against sentences, with restarts, jumps, omissions and ad-libs.

A Viterbi search (Viterbi 1967) over the script's words: each heard word is a script's word, another word in its
place, or none of it. The reader goes on from word to word, leaves words out, begins again a few words back, or jumps
to the beginning of any sentence, rather a near one, rather after a pause. Alike sentences are told apart by
their neighbours.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt

__all__ = ["Item", "Pass", "passes"]

ADDED_WITHIN, ADDED_BETWEEN = 0.8, 0.5
"""What is added costs more within a sentence than after one."""

BROKEN_OFF = 0.15
"""For leaving a sentence before its end: one last word that is wrong is rather another word than none."""

REPLACED = 0.9
LEFT_OUT = 0.8
BEGUN_AGAIN = 2.0
BEGUN_AGAIN_A_WORD = 0.05
JUMP = 4.0
JUMP_A_SENTENCE = 0.02
FAR_JUMP = 6.0
WITHOUT_PAUSE = 1.5
PAUSE_S = 0.2
LONGEST_RESTART = 20
MOST_LEFT_OUT = 50
MOST_WORDS = 1 << 20
LEAST_WEIGHT, MOST_WEIGHT = 0.8, 2.0

ADDED, FORWARD, RESTART, ENTRY = 0, 1, 64, 128
"""Codes of a step: none of the script's words; one forward (plus the number left out); begun again (plus
the number of words gone back); a sentence entered (plus the number left out)."""

Vector = npt.NDArray[np.float32]
NEVER = np.float32(-1e9)


@dataclass(frozen=True)
class Item:
    """A heard word, by index, and the word of the script it stands for or replaces; None for none of them.

    `twice` where that word is said again afterwards, or was said before and here it does not count.
    """

    heard: int
    word: int | None
    twice: bool = False


@dataclass(frozen=True)
class Pass:
    """One way through a sentence, whole or broken off: what was heard from its first word to its last one."""

    sentence: int
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Script:
    """The script's words in a row.

    Their keys, what each weighs, what it costs to add a word after each and to leave its sentence there, their
    sentences, and where each sentence that has words starts.
    """

    keys: npt.NDArray[np.int32]
    weights: Vector
    added: Vector
    broken_off: Vector
    sentences: npt.NDArray[np.int32]
    starts: npt.NDArray[np.int32]

    @classmethod
    def of(cls, sentences: Sequence[Sequence[int]]) -> Script:
        """Number the words of sentences; rare words weigh more than common ones."""
        keys = [key for sentence in sentences for key in sentence]
        count = Counter(keys)
        rarity = np.array([np.log2(len(keys) / count[key]) for key in keys])
        owners = [index for index, sentence in enumerate(sentences) for _ in sentence]
        firsts = [at for at, owner in enumerate(owners) if at == 0 or owners[at - 1] != owner]
        ends = np.diff([*owners, -1]) != 0
        return cls(
            np.array(keys, np.int32),
            np.clip(0.5 + 0.25 * rarity, LEAST_WEIGHT, MOST_WEIGHT).astype(np.float32),
            np.where(ends, ADDED_BETWEEN, ADDED_WITHIN).astype(np.float32),
            np.where(ends, 0.0, BROKEN_OFF).astype(np.float32),
            np.array(owners, np.int32),
            np.array(firsts, np.int32),
        )


def passes(
    heard: Sequence[str], spans: Sequence[tuple[float, float]], sentences: Sequence[Sequence[str]]
) -> list[Pass]:
    """The ways through the sentences that a reader took, in order of time.

    Args:
        heard: The sound of each word that was heard.
        spans: Its start and end in seconds.
        sentences: The sounds of each sentence's words.
    """
    if not heard or not any(sentences):
        return []
    numbers: dict[str, int] = {}
    script = Script.of([[numbers.setdefault(sound, len(numbers)) for sound in one] for one in sentences])
    keys = [numbers.get(sound, -1) for sound in heard]
    gaps = [second[0] - first[1] for first, second in pairwise(spans)]
    return _grouped(_search(script, keys, [True, *(gap >= PAUSE_S for gap in gaps)]), script)


@dataclass(frozen=True)
class Step:
    """A heard word's place in the script, None for none, and whether a sentence is entered with it."""

    heard: int
    at: int | None
    entered: bool


def _search(script: Script, keys: Sequence[int], paused: Sequence[bool]) -> list[Step]:
    """The best way for all heard words."""
    codes = np.zeros((len(keys), len(script.keys)), np.uint8)
    origins = np.zeros((len(keys), len(script.starts)), np.int32)
    scores = np.full(len(script.keys), NEVER)
    begun = np.float32(0.0)
    for index, key in enumerate(keys):
        entry, origins[index] = _entries(script, scores - script.broken_off, begun, paused[index])
        before, codes[index] = _before(script, scores, entry)
        matched = before + np.where(script.keys == key, script.weights, -np.float32(REPLACED))
        stayed = scores - script.added
        codes[index][stayed >= matched] = ADDED
        scores = np.maximum(stayed, matched)
        begun -= np.float32(ADDED_BETWEEN)
    return _traced(script, codes, origins, scores - script.broken_off, float(begun))


def _entries(
    script: Script, scores: Vector, begun: np.float32, paused: bool
) -> tuple[Vector, npt.NDArray[np.int32]]:
    """The score of entering each sentence now, and the word from which it is entered, -1 for the beginning."""
    at = _best_places(script, scores)
    best = scores[at]
    rank = np.arange(len(at), dtype=np.float32) * np.float32(JUMP_A_SENTENCE)
    from_left = _running_best(best + rank)
    from_right = len(at) - 1 - _running_best((best - rank)[::-1])[::-1]
    left = best[from_left] + rank[from_left] - rank
    right = best[from_right] - rank[from_right] + rank
    source = np.where(left >= right, from_left, from_right)
    score = np.maximum(left, right) - np.float32(JUMP)
    farthest = int(np.argmax(best))
    source = np.where(best[farthest] - FAR_JUMP > score, farthest, source)
    score = np.maximum(score, best[farthest] - np.float32(FAR_JUMP))
    score = score - np.float32(0.0 if paused else WITHOUT_PAUSE)
    return np.maximum(score, begun), np.where(begun >= score, -1, at[source]).astype(np.int32)


def _best_places(script: Script, scores: Vector) -> npt.NDArray[np.int64]:
    """Each sentence's best word."""
    best = np.maximum.reduceat(scores, script.starts)
    lengths = np.diff([*script.starts, len(scores)])
    hits = np.flatnonzero(scores == np.repeat(best, lengths))
    owner = np.searchsorted(script.starts, hits, side="right") - 1
    return hits[np.unique(owner, return_index=True)[1]]


def _running_best(values: Vector) -> npt.NDArray[np.int64]:
    """For each place the index of the largest value up to it."""
    best = np.maximum.accumulate(values)
    return np.asarray(np.maximum.accumulate(np.where(values == best, np.arange(len(values)), 0)))


def _before(script: Script, scores: Vector, entry: Vector) -> tuple[Vector, npt.NDArray[np.uint8]]:
    """The score of standing just before each word, and the code of how one gets there."""
    follow = np.concatenate([[NEVER], scores[:-1]]).astype(np.float32)
    codes = np.full(len(scores), FORWARD, np.uint8)
    enters = entry > follow[script.starts]
    codes[script.starts[enters]] = ENTRY
    follow[script.starts] = np.maximum(follow[script.starts], entry)
    slope = np.arange(len(scores), dtype=np.float32) * np.float32(LEFT_OUT)
    source = _running_best(follow + slope)
    skipped = np.arange(len(scores)) - source
    before = np.where(skipped <= MOST_LEFT_OUT, follow[source] - skipped * np.float32(LEFT_OUT), NEVER)
    codes = (codes[source] + np.minimum(skipped, MOST_LEFT_OUT)).astype(np.uint8)
    for back in range(1, min(LONGEST_RESTART, len(scores)) + 1):
        _restart(script, scores, back, before, codes)
    return before.astype(np.float32), codes


def _restart(script: Script, scores: Vector, back: int, before: Vector, codes: npt.NDArray[np.uint8]) -> None:
    """Let the reader begin again with the last `back` words, where they are of one sentence."""
    count = len(scores) - back + 1
    again = scores[back - 1 :] - np.float32(BEGUN_AGAIN + BEGUN_AGAIN_A_WORD * back)
    better = (again > before[:count]) & (script.sentences[:count] == script.sentences[back - 1 :])
    before[:count][better] = again[better]
    codes[:count][better] = RESTART + back


def _traced(
    script: Script,
    codes: npt.NDArray[np.uint8],
    origins: npt.NDArray[np.int32],
    scores: Vector,
    begun: float,
) -> list[Step]:
    """The steps that lead to the best end, in order; none where nothing of the script fits."""
    at = int(np.argmax(scores)) if scores.max() > begun else -1
    steps: list[Step] = []
    for index in range(len(codes) - 1, -1, -1):
        code = int(codes[index, at]) if at >= 0 else ADDED
        if code == ADDED:
            steps.append(Step(index, None, False))
            continue
        steps.append(Step(index, at, code >= ENTRY))
        at = _previous(script, origins[index], at, code)
    return steps[::-1]


def _previous(script: Script, origins: npt.NDArray[np.int32], at: int, code: int) -> int:
    """The word at which the reader was before the step with this code."""
    if code >= ENTRY:
        start = at - (code - ENTRY)
        return int(origins[np.searchsorted(script.starts, start)])
    if code > RESTART:
        return at - 1 + (code - RESTART)
    return at - 1 - (code - FORWARD)


def _grouped(steps: Sequence[Step], script: Script) -> list[Pass]:
    """Steps parted into passes: where another sentence comes, or the same one again from its start or after its end."""
    lengths = Counter(map(int, script.sentences))
    first_of = {int(script.sentences[start]): int(start) for start in script.starts}
    found: list[Pass] = []
    open_items: list[Item] = []
    sentence = -1
    for step in steps:
        if step.at is None:
            open_items.append(Item(step.heard, None))
            continue
        owner = int(script.sentences[step.at])
        word = step.at - first_of[owner]
        ended = any(item.word == lengths[owner] - 1 for item in open_items)
        if owner != sentence or step.entered or word == 0 or ended:
            found += _closed(sentence, open_items)
            sentence, open_items = owner, []
        open_items.append(Item(step.heard, word))
    return found + _closed(sentence, open_items)


def _closed(sentence: int, items: Sequence[Item]) -> list[Pass]:
    """A pass of what was heard up to the last word of the sentence; none before the first sentence."""
    last = max((index for index, item in enumerate(items) if item.word is not None), default=-1)
    return [Pass(sentence, _with_repeats(items[: last + 1]))] if sentence >= 0 and last >= 0 else []


def _with_repeats(items: Sequence[Item]) -> tuple[Item, ...]:
    """Items with those marked that are said again: a later one is the same word or one before it."""
    marked: list[Item] = []
    earliest, later_twice = len(items) + MOST_WORDS, False
    for item in reversed(items):
        if item.word is not None:
            later_twice = item.word >= earliest
            earliest = min(earliest, item.word)
        marked.append(replace(item, twice=later_twice))
    return tuple(marked[::-1])
