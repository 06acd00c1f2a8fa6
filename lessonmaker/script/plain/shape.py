"""What is said of a device's shape (its way up or down, its groups' length, how often it comes), and whether it holds.

Common practice, no source. Only what clearly contradicts a device counts against it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.analysis.devices.grouped_bars import EIGHTHS_A_GROUP, is_grouped_bars
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.verbs import ENDING, FALLING, GOING, RISING, STARTING, inflected
from lessonmaker.script.plain.vocabulary import FIGURE_KINDS, NUMBER, number_of

__all__ = ["SHAPELESS", "Shape", "contradiction", "shape_said", "times_end", "times_said", "way_after"]

SOFTLY = r"(?: (?:right|straight|all the way|back|steadily|gently|slowly|quickly|simply|just))*"
BY_WHICH = r" (?:through|by way of|via|by|as|in|along|on)(?: an?| the| its| this| that)?"
ITSELF = r"(?: an?| the| its| this| that)?"
# (which way, what says so right before a device, what says so after it)
WAYS = tuple(
    (
        way,
        rf"(?:(?:{goes}|{GOING}{SOFTLY} {side}|{side}(?:wards?)?){ITSELF}"
        rf"|(?:{verbs}|{GOING}{SOFTLY} {side}){BY_WHICH})",
        rf"(?:(?:{GOING} )?(?:{after})|(?:{GOING}{SOFTLY} |on (?:its|the|our|your) way "
        rf"|(?:take|carri|carry|bring|lead)(?:s|es|ing) (?:you |us |it )?)?{side}(?:wards?)?)",
    )
    for way, goes, verbs, side, after in (
        (
            -1,
            rf"(?:falling|{inflected('descend')})",
            FALLING,
            "down",
            rf"{inflected('descend, fall, tumble, cascade, plunge')}|an? (?:descending|falling|downward) one",
        ),
        (
            1,
            rf"(?:rising|{inflected('climb, ascend')})",
            RISING,
            "up",
            rf"{inflected('ascend, climb, rise, mount, soar')}|an? (?:ascending|rising|climbing|upward) one",
        ),
    )
)
NEAR = r"(?: (?!to |into |from |a |the |an )[a-z]+-?[a-z]*){0,2}"
AFTER_WAY = r" (?:to|from|through|in|by|over|step|here|there|again|like|as|across)\b|[,.;:!?]|$"
SIZE_BEFORE = pattern_of(rf"\b({NUMBER})[- ]notes?{NEAR} $")
SIZE_WITHIN = pattern_of(rf"\bgroups? of ({NUMBER})(?! beats?\b)")
SIZE_AFTER = pattern_of(
    rf"^ (?:of|in)(?: groups of)? ({NUMBER})(?=-note| notes?\b| eighths?\b)|^ in groups of ({NUMBER})"
)
TIMES_AFTER = pattern_of(
    r"^(?:, (?:which|that|and it)(?= ))?"
    r"(?: of (?:the|this|that|its) (?:\w+ )?chord)?"
    rf"[^,.;:]{{0,24}}?\b(?:(twice(?! (?:as|more|the|an?)\b)|both times|in (?:two|both) octaves"
    rf"|an octave apart)|({NUMBER}) (?:times|statements)(?! as))\b"
)
# "..., and we play it twice in this bar"
IT_COMES = pattern_of(
    rf"\b(?:we|you|i) (?:can )?(?:play|hear|have|get|meet|hit|see|find|touch) it (?:(twice)|({NUMBER}) times)"
    r"(?! (?:as|more)\b)"
)
TWICE = 2


@dataclass(frozen=True)
class Shape:
    """What is said: `way` is -1 for down, 1 for up; `size` the notes (or shortest notes) of a group; 0 is not said."""

    way: int = 0
    size: int = 0
    times: int = 0


SHAPELESS = Shape()


def shape_said(text: str, first: int, last: int) -> Shape:
    """What the words at [first, last) of a sentence and those right beside them say of a device's shape."""
    before, words, after = text[:first], text[first:last], text[last:]
    size = SIZE_WITHIN.search(words) or SIZE_BEFORE.search(before) or SIZE_AFTER.match(after)
    count = 0 if size is None else number_of(next(filter(None, size.groups())))
    return Shape(_way(before, after), count, times_said(after))


# "The flat nine begins the bar and, an octave down, ends it."
BOTH_ENDS = pattern_of(
    rf" (?:both |is (?:both )?where (?:we|you|it) )?{STARTING}\b(?: \w+){{0,3}},? and\b[^.;:]{{0,30}}? {ENDING}\b"
)


def times_said(after: str) -> int:
    """How often the words right after something say that it comes; 0 where they do not."""
    times = TIMES_AFTER.match(after) or IT_COMES.search(after)
    if times is None:
        return TWICE if BOTH_ENDS.match(after) else 0
    return TWICE if times[1] else number_of(times[2])


def times_end(after: str) -> int:
    """How far the words go that say how often something comes; 0 where they do not."""
    times = TIMES_AFTER.match(after)
    return times.end() if times is not None else 0


def _way(before: str, after: str) -> int:
    for way, leading, following in WAYS:
        if pattern_of(rf"\b{leading}{NEAR} $").search(before):
            return way
        if pattern_of(rf"(?: (?:that|which|is|just|simply))* {following}(?={AFTER_WAY})").match(after):
            return way
    return 0


def way_after(after: str) -> tuple[int, int]:
    """The way that a device is said to go by the verb right after it (0: not said), and where that verb ends."""
    for way, _, following in WAYS:
        match = pattern_of(
            rf",?(?: (?:that|which|is|just|simply|here|clearly|all))* {following}(?={AFTER_WAY}|,? (?:and|but|then)\b)"
        ).match(after)
        if match is not None:
            return way, match.end()
    return 0, 0


def contradiction(said: Shape, device: Device, music: Music) -> str:
    """What a device does instead of what is said of it; nothing where it holds, or cannot be told."""
    notes = [music.struck_by_id[name] for name in device.notes if name in music.struck_by_id]
    ways = _ways(device, notes, music)
    if said.way and ways - {0} == {-said.way}:
        return "goes up" if said.way < 0 else "goes down"
    sizes = _sizes(device)
    if said.size and sizes and said.size not in sizes:
        return f"has groups of {' or '.join(number_words(size) for size in sorted(sizes))}"
    counts = _counts(device)
    if said.times and counts and said.times not in counts:
        return f"comes {number_words(min(counts))} times"
    return ""


def _ways(device: Device, notes: Sequence[Note], music: Music) -> set[int]:
    """The ways that a device goes: of a sequence that of its figure and that of its starts; 0 is to and fro."""
    runs = [notes]
    if device.kind in FIGURE_KINDS and len(device.groups) > 1:
        by_id = music.struck_by_id
        starts = [by_id[group[0]] for group in device.groups if group[0] in by_id]
        runs = [starts, [by_id[name] for name in device.groups[0] if name in by_id]]
    return {_direction(run) for run in runs if len(run) > 1}


def _direction(notes: Sequence[Note]) -> int:
    steps = {later.sounding.midi > earlier.sounding.midi for earlier, later in pairwise(notes)}
    level = any(later.sounding.midi == earlier.sounding.midi for earlier, later in pairwise(notes))
    return 0 if len(steps) > 1 or level else 1 if steps == {True} else -1


def _sizes(device: Device) -> set[int]:
    """How long the groups of a device may be said to be: their notes; of a cross rhythm also in its shortest note."""
    if device.kind not in FIGURE_KINDS or not device.groups:
        return set()
    sizes = {len(device.groups[0])}
    if is_grouped_bars(device):
        sizes.update(EIGHTHS_A_GROUP)
    elif device.kind == "cross rhythm":
        sizes.add(sum(int(part) for part in device.detail.split("+") if part.isdecimal()))
    return sizes - {0, 1}


def _counts(device: Device) -> set[int]:
    """How often a figure comes: its groups, with or without one that is cut short."""
    if device.kind not in FIGURE_KINDS or not device.groups:
        return set()
    whole = sum(len(group) == len(device.groups[0]) for group in device.groups)
    return {whole, len(device.groups)}
