"""What is said of a device that is there, and is not so: its mode, how far its groups move, where one of them begins.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.model import Device
from lessonmaker.score.model import Note
from lessonmaker.score.position import overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import OCTAVE, interval_sizes
from lessonmaker.script.plain.root_intervals import INTERVAL, interval_said
from lessonmaker.script.plain.verbs import FALLING, MOVING, RISING, STARTING, way_of
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINALS, number_of

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
# "The bottom note stays put while the top one walks up".
STAYS = pattern_of(
    r"\b(?P<still>top|upper|highest|bottom|lower|lowest) (?:notes?|voice|line|one|part) (?:stays?|holds?"
    r"|is held|repeats|stands|sits|doesn't move|keeps)\b"
)
MOVES_THERE = pattern_of(
    r"\b(?:the|its) (?:[a-z]+ )?(?:one|notes?|voice|line|part|rest|other)"
    r"(?: (?:below|under|above|over)\w*(?: it)?)?"
    rf" (?P<way>{MOVING}(?: (?:up|down))?)"
)
TOP = ("top", "upper", "highest")
# "Groups of three over the four", "three against four".
GROUPS_OF = pattern_of(
    rf"\bgroups? of (?P<size>{NUMBER})\b(?! (?:beats?|bars?|measures?|chords?|quarters?|plus|and)\b)"
    r"|\b(?P<against>three|five|seven) (?:over|against) (?:the )?(?:two|three|four|five|six)\b"
)
EIGHTH, TRIPLET = Fraction(1, 2), Fraction(1, 3)  # quarters
GROUPED = ("cross rhythm", "sequence")


def devices_told(told: Told) -> Iterator[Untrue]:
    """The mode of a cadence, the interval of a sequence, the beat of a group that are said and are others."""
    yield from _modes(told)
    yield from _moves(told)
    yield from _groups(told)
    yield from _stays(told)
    yield from _sizes(told)


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


def _stays(told: Told) -> Iterator[Untrue]:
    """Which voice of an oblique motion stays, and which way the other goes."""
    match = STAYS.search(told.text)
    for device in (
        each.device for each in told.shown if match and each.device and each.device.kind == "oblique motion"
    ):
        assert match is not None  # nothing is looked at without it
        still, moving = (_notes(told, group) for group in device.groups[:2])
        top = still[0].sounding.midi > moving[0].sounding.midi
        falls = moving[-1].sounding.midi < moving[0].sounding.midi
        other = MOVES_THERE.search(told.text, match.end())
        way = way_of(other["way"]) if other is not None else 0
        if (match["still"] in TOP) != top or way == (1 if falls else -1):
            there = (
                f"the {'top' if top else 'bottom'} note stays, and the other {'falls' if falls else 'climbs'}"
            )
            yield Untrue(*match.span(), there, "say which note stays, and where the other goes")


def _sizes(told: Told) -> Iterator[Untrue]:
    """How many notes the groups of a cross rhythm have, or how many eighths or beats they last."""
    for shown in told.shown:
        match = GROUPS_OF.search(told.text)
        if shown.device is None or shown.device.kind != "cross rhythm" or match is None:
            continue
        size = number_of(match["size"] or match["against"])
        if size not in _sizes_of(told, shown.device):
            words = told.sentence.words(*match.span())
            grouping = shown.device.detail.replace("+", " plus ")
            yield Untrue(*match.span(), f"“{words}”: they are groups of {grouping}", "say how long they are")


def _sizes_of(told: Told, device: Device) -> set[int]:
    """What the length of the groups may be called."""
    groups = [_notes(told, group) for group in device.groups]
    lasting = groups[1][0].onset - groups[0][0].onset
    unit = told.music.score.bars[groups[0][0].bar].metre.unit_quarters
    lengths = [lasting / each for each in (unit, EIGHTH, TRIPLET)]
    parts = [int(part) for part in device.detail.split("+") if part.isdecimal()]
    return {len(groups[0]), sum(parts), *(int(each) for each in lengths if each.denominator == 1)}
