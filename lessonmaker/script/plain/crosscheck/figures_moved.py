"""How far a figure is said to lie from where it was before: "the same shape a step higher", where it is a third.

Common practice, no source. Notes are the same figure where they go the same ways by about the same steps. False only
where nothing in sight lies so far from what comes before it, and something is plainly the figure again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.bars_told import bars_told, shown_bars
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import LETTERS, OCTAVE, interval_sizes
from lessonmaker.script.plain.moved_words import Moved, moved_in
from lessonmaker.script.plain.verbs import FALLING, RISING, inflected

__all__ = ["figures_moved"]

# What says that a figure comes again.
AGAIN = pattern_of(
    rf"\b(?:same|again|(?:comes?|goes|brings?|brought|gets?) (?:\w+ )?(?:back|round)|each time|every time"
    rf"|{inflected('copy, repeat, echo, answer, return, imitate, restate, mirror, transpose')}"
    rf"|{inflected('sequence, recur, reappear')}"
    r"|sequences?|what(?:ever)? (?:you|we) (?:played|heard|had|did)|once more|another time|this time|the first one)\b"
)
FIGURE = pattern_of(
    r"\b(?:figures?|motifs?|shapes?|cells?|ideas?|patterns?|licks?|riffs?|phrases?|bars?|measures?|seesaw|sequences?"
    r"|thing|loops?|melody|line|arpeggios?|runs?|triplets?|groups?|notes|it|that|one|statement|fragments?|tune)\b"
)
# What lies so far from something else, or is only a part of the figure.
OF_OTHERS = pattern_of(
    r"\b(?:chords?|harmon\w+|bass|roots?|keys?|modulat\w+|changes|dominants?|enclos\w+|neighbou?rs?|approach\w*"
    r"|last note|first note|top note|final note|ending|octaves? apart|except|but (?:with|for)|apart from|almost|nearly"
    r"|starts? (?:on|a)|begins?|would|could|not|never|no|neither|(?:half|whole)[ -]steps? (?:above|below|from))\b|n't\b"
)
EARLIER = pattern_of(
    r"\b(?:head of the|from (?:the (?:top|start|beginning|opening)|before|earlier|bar)|opening|earlier"
    r"|first (?:bar|time|phrase|motif))\b"
)
GOES = pattern_of(rf"(?:{RISING}|{FALLING}|{inflected('step, leap, jump, slide, slip, resolve')})\b")
BY_STEPS = pattern_of(r"\b(?:by|in) (?:(?:half|whole)[ -])?(?:steps?|thirds?|fourths?|semitones?|tones?)\b")
OF_FROM = pattern_of(r"\b(?:from|to|on|off) (?:the|its|an?) (?:(?:flat|sharp|minor|major) )?$")
WINDOW = 4  # notes that are heard as a figure
CLOSE = 1  # semitones by which steps may differ that stay in the key
Pair = tuple[Sequence[Note], Sequence[Note]]


def figures_moved(told: Told) -> Iterator[Untrue]:
    """How far and which way a figure is said to be moved, where nothing of it is."""
    again = AGAIN.search(told.text)
    if again is None or not FIGURE.search(told.text) or OF_OTHERS.search(told.text):
        return
    moved = moved_in(_without_bars(told), with_way_only=False)
    if moved is None or not moved.interval or not moved.way or _is_of_a_note(told, moved):
        return
    pairs = _pairs(told)
    if not pairs or any(_is_so_far(moved, pair) for pair in (*pairs, *_less_alike(told))):
        return
    one, other = max(pairs, key=lambda pair: len(pair[0]))
    there = _far(other[0].sounding.midi - one[0].sounding.midi)
    words = told.sentence.words(moved.first, moved.last)
    at = [told.music.position(notes[0]) for notes in (one, other)]
    what = f"“{words}”: the figure at {at[0]} comes again at {at[1]} {there}"
    fact = told.is_fact(moved.first, moved.last)
    yield Untrue(moved.first, moved.last, what, "say how far it is moved", of_these=fact)


def _is_of_a_note(told: Told, moved: Moved) -> bool:
    """Whether it is one note that goes so far, or each of some: "rises a step", "down by step", "from the third up"."""
    words = told.text[moved.first : moved.last]
    return (
        bool(GOES.match(words))
        or BY_STEPS.search(words) is not None
        or OF_FROM.search(told.text[: moved.first]) is not None
    )


def _without_bars(told: Told) -> str:
    """The words, as long as before, without the bars and chords that are named."""
    text = told.text
    named = [(each.first, each.last) for each in bars_told(told)]
    named += [(name.first, name.last) for name in told.chords_named]
    for first, last in named:
        text = text[:first] + "_" * (last - first) + text[last:]
    return text


def _pairs(told: Told) -> list[Pair]:
    """Stretches of the line and those before them that are alike: in sight, or else from before."""
    line = told.line_shown
    return _alike(line, line) or (list(_from_before(told, line)) if EARLIER.search(told.text) else [])


def _less_alike(told: Told) -> list[Pair]:
    """What may be meant besides: three notes that come again at once, and what stood so in a bar before."""
    line = told.line_shown
    short = WINDOW - 1
    at_once = [
        (line[at : at + short], line[at + short : at + 2 * short]) for at in range(len(line) - 2 * short + 1)
    ]
    return [*(pair for pair in at_once if _is_same(*pair)), *_from_before(told, line)]


def _from_before(told: Told, line: Sequence[Note]) -> Iterator[Pair]:
    """The figures of earlier bars that come again in sight at the same place of a bar, where these may be meant."""
    bars, shown = told.music.score.bars, shown_bars(told)
    named = {bar for each in bars_told(told) for bar in each.bars}
    if not line or not (EARLIER.search(told.text) or len(shown) == 1 or not named <= set(shown)):
        return
    before = [note for note in told.music.line if note.onset < line[0].onset]
    for one, other in _alike(before, line):
        starts = {notes[0].onset - bars[notes[0].bar].start for notes in (one, other)}
        if len(starts) == 1:
            yield one, other


def _alike(model: Sequence[Note], copy: Sequence[Note]) -> list[Pair]:
    """The windows of two lines that have the same figure, each with a later one."""
    found = []
    for at in range(len(model) - WINDOW + 1):
        for later in range(len(copy) - WINDOW + 1):
            one, other = model[at : at + WINDOW], copy[later : later + WINDOW]
            if one[-1].onset < other[0].onset and _is_same(one, other):
                found.append((one, other))
    return found


def _is_same(one: Sequence[Note], other: Sequence[Note]) -> bool:
    """Whether notes go the same ways by about the same steps, and last about as long."""
    steps = [_steps(notes) for notes in (one, other)]
    return all(
        abs(a - b) <= CLOSE and (a > 0) == (b > 0) and (a < 0) == (b < 0) for a, b in zip(*steps, strict=True)
    )


def _steps(notes: Sequence[Note]) -> list[int]:
    return [after.sounding.midi - before.sounding.midi for before, after in pairwise(notes)]


def _is_so_far(moved: Moved, pair: Pair) -> bool:
    """Whether a figure lies as far from another as is said, by half of its notes at least, or by its letters."""
    sizes = {size % OCTAVE for size in interval_sizes(moved.interval)}
    apart = [b.sounding.midi - a.sounding.midi for a, b in zip(*pair, strict=True)]
    letters = [b.written.diatonic - a.written.diatonic for a, b in zip(*pair, strict=True)]
    size = interval_sizes(moved.interval)
    by_letters = " " not in moved.interval and moved.interval not in ("semitone", "tritone", "tone")
    so_far = [
        (a * moved.way > 0 and (a * moved.way) % OCTAVE in sizes)
        or (by_letters and b * moved.way > 0 and b * moved.way % LETTERS == _letters_of(size))
        for a, b in zip(apart, letters, strict=True)
    ]
    return 2 * sum(so_far) >= len(so_far)


def _letters_of(sizes: Sequence[int]) -> int:
    """How many letters an interval is wide, from its semitones."""
    return (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)[sizes[-1] % OCTAVE]


def _far(semitones: int) -> str:
    """How far something is moved."""
    if not semitones:
        return "at the same height"
    size = abs(semitones)
    return f"{size} semitone{'s' if size > 1 else ''} {'higher' if semitones > 0 else 'lower'}"
