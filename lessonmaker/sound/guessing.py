"""What a reader is likely to say next: word sequences of a script, as an ARPA language model for the recogniser.

Each word is expected from the two before it; now and then the reader leaves the script: begins a sentence again,
jumps, or says common words. The model interpolates orders with fixed weights (Jelinek and Mercer 1980), written
with back-off weights that come to the same within rounding.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

__all__ = ["arpa"]

ON_SCRIPT = 0.9
"""How likely the reader goes on as the script does, and, at the beginning, that a sentence is begun."""

AT_BEGINNING = 0.5
TO_A_START, TO_ANY_WORD, TO_ANOTHER_WORD = 0.35, 0.3, 0.3
STOPS = 0.05
RANK_SHIFT = 5
"""Common words are as likely as one over their rank, shifted a little (Zipf-Mandelbrot)."""

Chances = dict[tuple[str, ...], float]


def arpa(sentences: Sequence[Sequence[str]], others: Sequence[str]) -> str:
    """A model of three words at a time, in the ARPA format.

    Args:
        sentences: The script's sentences in order, by the names of their words; not all empty.
        others: Words that may be said besides, commonest first, none of them in the script.
    """
    stream = [name for sentence in sentences for name in sentence]
    starts = Counter(sentence[0] for sentence in sentences if sentence)
    single = _single(Counter(stream), starts, others)
    pairs = _following(stream, 2)
    pairs[("<s>",)] = starts
    double, rest_of_one = _longer(pairs, single)
    triple, rest_of_two = _longer(_following(stream, 3), double)
    single[("<s>",)] = 0.0
    return "\n".join(
        [
            "\\data\\",
            *(f"ngram {order}={len(found)}" for order, found in enumerate((single, double, triple), 1)),
            *_section(1, single, rest_of_one),
            *_section(2, double, rest_of_two),
            *_section(3, triple, None),
            "",
            "\\end\\",
            "",
        ]
    )


def _single(words: Counter[str], starts: Counter[str], others: Sequence[str]) -> Chances:
    """How likely each word is where nothing is known of those before it."""
    chances: Chances = {("</s>",): STOPS}
    for source, share in ((starts, TO_A_START), (words, TO_ANY_WORD), (_ranked(others), TO_ANOTHER_WORD)):
        total = sum(source.values()) or 1.0
        for word, weight in source.items():
            chances[word,] = chances.get((word,), 0.0) + share * weight / total
    return chances


def _ranked(others: Sequence[str]) -> Mapping[str, float]:
    return {word: 1 / (rank + RANK_SHIFT) for rank, word in enumerate(others)}


def _following(stream: Sequence[str], length: int) -> dict[tuple[str, ...], Counter[str]]:
    """How often each word follows each run of `length` - 1 words."""
    found: dict[tuple[str, ...], Counter[str]] = defaultdict(Counter)
    for at in range(len(stream) - length + 1):
        found[tuple(stream[at : at + length - 1])][stream[at + length - 1]] += 1
    return found


def _longer(counts: Mapping[tuple[str, ...], Mapping[str, int]], shorter: Chances) -> tuple[Chances, Chances]:
    """The chances of words after a run, and what is left for other words after each run."""
    chances: Chances = {}
    rest: Chances = {}
    for run, followers in counts.items():
        kept = AT_BEGINNING if run == ("<s>",) else ON_SCRIPT
        total = sum(followers.values())
        rest[run] = 1 - kept
        for word, count in followers.items():
            chances[(*run, word)] = kept * count / total + (1 - kept) * shorter[(*run[1:], word)]
    return chances, rest


def _section(order: int, chances: Chances, rest: Chances | None) -> list[str]:
    lines = ["", f"\\{order}-grams:"]
    for run, chance in sorted(chances.items()):
        back_off = "" if rest is None else f" {_log(rest.get(run, 1.0))}"
        lines.append(f"{_log(chance)} {' '.join(run)}{back_off}")
    return lines


def _log(chance: float) -> str:
    return f"{math.log10(chance):.4f}" if chance > 0 else "-99"
