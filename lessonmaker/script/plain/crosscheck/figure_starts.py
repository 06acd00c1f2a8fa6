"""The note from which a lit figure is said to set out: "the arpeggio climbs from its root", where it is the third.

Common practice, no source. A figure sets out from its first note, from that of each of its groups, or where the line
turns round to go on in one way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.said_notes import called_so, is_called, said_notes
from lessonmaker.script.plain.crosscheck.told import Shown, Told, Untrue
from lessonmaker.script.plain.verbs import STARTING

__all__ = ["figure_starts"]

FIGURES = (
    "arpeggio", "chord shape", "chord run", "upper-structure triad", "tritone-substitute triad", "cross rhythm",
    "diatonic passage", "single-scale passage", "chromatic run", "sequence", "motif",
)  # fmt: skip
# Before the name of the note from which something sets out.
FROM = pattern_of(
    rf"\b(?:from|out of|{STARTING}(?: (?:off|out|up|down))?(?: (?:on|with|from|at|out of)))"
    r"(?: (?:the|its|our|that|a|an|chord's|high|low|very))* $"
)
# The figure goes on before it, or it is another one that sets out there.
GOES_ON = pattern_of(
    r"\b(?:then|before|after|until|next|back|again|falls?|drops?|resolves?|second|last|half|step|third|away|comes? down"
    r"|borrow\w*|far|other|another)\b"
)
NO_START = pattern_of(r" (?:away|apart|to (?:the )?next|onwards?|down|below|above)\b")
FEWEST = 3  # notes of a figure


def figure_starts(told: Told) -> Iterator[Untrue]:
    """Names of notes from which a lit figure is said to set out, and no figure there does."""
    for shown in told.shown:
        if not _is_figure(shown):
            continue
        for claim in said_notes(told):
            if _is_start_of(told, shown, claim):
                yield from _elsewhere(told, shown, claim)


def _is_figure(shown: Shown) -> bool:
    return len(shown.notes) >= FEWEST and shown.device is not None and shown.device.kind in FIGURES


def _is_start_of(told: Told, shown: Shown, claim: Claim) -> bool:
    """Whether a name is that of the note from which a figure that the same part tells of is said to set out."""
    if claim.first < shown.first or told.part_of(claim.first) != told.part_of(shown.first):
        return False
    between = told.text[min(shown.first, claim.first) : claim.first]
    after = NO_START.match(told.text, claim.last)
    return FROM.search(between) is not None and not GOES_ON.search(between) and not after


def _elsewhere(told: Told, shown: Shown, claim: Claim) -> Iterator[Untrue]:
    starts = _starts(told, shown)
    if any(is_called(told, claim, note) for note in starts):
        return
    words = told.sentence.words(claim.first, claim.last)
    what = f"“{words}”: it sets out from {called_so(told, claim, starts[0])}"
    yield Untrue(claim.first, claim.last, what, "say where it sets out", told.music.target_of(starts[0]))


def _starts(told: Told, shown: Shown) -> list[Note]:
    """The notes from which the figure, any of its groups, or another run in sight sets out."""
    by_id = told.music.struck_by_id
    found = [shown.notes[0]]
    if shown.device is not None:
        found += [by_id[group[0]] for group in shown.device.groups if group]
        found += [by_id[each] for each in shown.device.notes[:1]]
    others = [each.notes[0] for each in told.shown if each is not shown and len(each.notes) >= FEWEST]
    return list(dict.fromkeys([*found, *others, *_turns(told.line_at(shown.first))]))


def _turns(line: Sequence[Note]) -> Iterator[Note]:
    """The notes with which three notes or more begin that go one way, after none that goes there."""
    steps = [b.sounding.midi - a.sounding.midi for a, b in pairwise(line)]
    for at, note in enumerate(line[: -FEWEST + 1]):
        before = steps[at - 1] if at else 0
        one, other = steps[at], steps[at + 1]
        if one * other > 0 and before * one <= 0:
            yield note
