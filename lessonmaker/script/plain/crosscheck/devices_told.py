"""What is said of a device that is there, and is not so: its mode, how far its groups move, where one of them begins.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.analysis.model import Device
from lessonmaker.score.model import Note
from lessonmaker.score.position import overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import OCTAVE, interval_sizes
from lessonmaker.script.plain.root_intervals import INTERVAL, interval_said
from lessonmaker.script.plain.verbs import FALLING, RISING, STARTING, way_of
from lessonmaker.script.plain.vocabulary import ORDINALS

__all__ = ["devices_told"]

# "A two five one in major", "the major two five one".
CADENCES = ("two five one", "minor cadence", "cadence")
MODE_AFTER = pattern_of(
    r"(?: here| there)? (?:in|into|to|of)(?: an?| the)? (?P<mode>major|minor)(?! (?:third|second|seven)\b)"
)
MODE_BEFORE = pattern_of(r"\b(?P<mode>major|minor) $")
# "The sequence climbs a fourth every time".
MOVES = pattern_of(
    rf"\b(?:sequence|pattern|figure|shape|cell|group|motif|idea)s? (?:just |then |simply )?"
    rf"(?P<verb>{RISING}|{FALLING}|(?:goes|moves|steps|shifts|is moved|is taken) (?:up|down))(?: by)? an? {INTERVAL}"
    r" (?:each|every) (?:time|step)\b"
)
# "The second group begins on beat two".
NTH_GROUP = pattern_of(
    rf"\b(?P<nth>{'|'.join(list(ORDINALS)[:8])}|last) (?:group|cell|unit|grouping|figure|statement)"
    rf"(?: of (?:the )?\w+)? (?:{STARTING}|comes in|enters|falls)(?: right| only| just)* (?:on|at) "
)
GROUPED = ("cross rhythm", "sequence")


def devices_told(told: Told) -> Iterator[Untrue]:
    """The mode of a cadence, the interval of a sequence, the beat of a group that are said and are others."""
    yield from _modes(told)
    yield from _moves(told)
    yield from _groups(told)


def _modes(told: Told) -> Iterator[Untrue]:
    for shown in told.shown:
        if shown.device is None or shown.device.kind not in CADENCES:
            continue
        after, before = MODE_AFTER.match(told.text, shown.last), MODE_BEFORE.search(told.text[: shown.first])
        match = after or before
        into = "minor" if shown.device.detail.endswith("-i") else "major"
        if match is not None and match["mode"] != into:
            first, last = min(match.start(), shown.first), max(match.end(), shown.last)
            yield Untrue(first, last, f"the {shown.device.kind} goes into {into}", "say into which it goes")


def _moves(told: Told) -> Iterator[Untrue]:
    for match in MOVES.finditer(told.text):
        sequences = [each for each in _in_sight(told) if each.kind == "sequence" and len(each.groups) > 1]
        sizes = {size % OCTAVE for size in interval_sizes(interval_said(match))}
        way = way_of(match["verb"])
        steps = [_steps(told, each) for each in sequences]
        fits = (
            all(any(n * way > 0 and abs(n) % OCTAVE in sizes for n in one) for one in each) for each in steps
        )
        if steps and way and not any(fits):
            words = told.sentence.words(*match.span())
            far = " and ".join(_far(one[0]) for one in steps[0] if one)
            yield Untrue(*match.span(), f"“{words}”: it goes {far}", "say how far it goes")


def _far(semitones: int) -> str:
    return f"{abs(semitones)} semitones {'up' if semitones > 0 else 'down'}" if semitones else "nowhere"


def _in_sight(told: Told) -> list[Device]:
    """The devices that the cue shows."""
    spans = told.spans
    return [
        each for each in told.music.analysis.devices if any(overlap(each.span, span) > 0 for span in spans)
    ]


def _steps(told: Told, device: Device) -> list[list[int]]:
    """From each group to the next, the semitones from note to note."""
    groups = [_notes(told, group) for group in device.groups]
    return [
        [b.sounding.midi - a.sounding.midi for a, b in zip(one, other, strict=False)]
        for one, other in pairwise(groups)
    ]


def _notes(told: Told, names: Sequence[str]) -> list[Note]:
    return [told.music.struck_by_id[name] for name in names]


def _groups(told: Told) -> Iterator[Untrue]:
    for match in NTH_GROUP.finditer(told.text):
        place = next(
            (each for each in told.places if each.level == "beat" and each.first >= match.end() - 5), None
        )
        devices = [each for each in _in_sight(told) if each.kind in GROUPED and len(each.groups) > 1]
        if place is None or place.test is None or not devices:
            continue
        nth = -1 if match["nth"] == "last" else ORDINALS[match["nth"]] - 1
        starts = [_notes(told, each.groups[nth])[0] for each in devices if nth < len(each.groups)]
        if starts and not any(place.test(note, told.music) for note in starts):
            at = told.music.position(starts[0])
            words = told.sentence.words(match.start(), place.last)
            yield Untrue(
                match.start(), place.last, f"“{words}”: it begins at {at}", "say where it begins", at
            )
