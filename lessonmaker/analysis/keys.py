"""Key centres: which key each stretch of the changes is heard in.

The best path through the keys, major, minor and blues: each chord costs by how foreign it is to the key, a change of
key costs too, and a dominant that resolves to the tonic speaks for it. The costs are our own choice, after common
practice. Two chords to and fro that lead nowhere are a vamp: the first is the centre, and both tell the mode.
Without chords the notes decide, by the key profiles of Krumhansl and Kessler 1982 (from memory).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import groupby, pairwise
from math import inf, sqrt

from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.harmony import same_harmony
from lessonmaker.analysis.model import KeyCentre
from lessonmaker.score.model import Score
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, chord_tones, family, readings, seventh_understood
from lessonmaker.theory.numeral import step_above
from lessonmaker.theory.pitch import NoteName
from lessonmaker.theory.scale import SCALES as SCALE_TABLE

__all__ = [
    "Step",
    "Vamp",
    "blues_forms",
    "chord_steps",
    "is_inside",
    "key_centres",
    "quality",
    "tonic_name",
    "vamps",
]

Key = tuple[int, str]
MODES = ("major", "minor", "blues")
KEYS: tuple[Key, ...] = tuple((tonic, mode) for mode in MODES for tonic in range(12))
KEPT_COSTS = 8192  # of chords in keys: a form comes round again
CHANGE = 2.2
FOREIGN = 3.0
OTHER_SIGNATURE = 0.25
CADENCE, PREPARED = -1.4, -0.7
BLUES_CADENCE = -0.3  # each chord of a blues may lead to the next as a dominant does
FRAME = -0.4  # for the tonic at the very beginning or end
OUTSIDE = 1.0  # for a chord all of whose melody lies outside the key
SCALES = {"major": {0, 2, 4, 5, 7, 9, 11}, "minor": {0, 2, 3, 5, 7, 8, 9, 10, 11}}
SCALES["blues"] = {0, 2, 3, 4, 5, 6, 7, 9, 10}
INSIDE = [{(tonic + step) % 12 for step in SCALES[mode]} for tonic, mode in KEYS]
# What a chord costs in a key: (semitones above the tonic, what it is) -> cost.
COSTS: dict[str, dict[tuple[int, str], float]] = {
    "major": {
        (0, "major"): 0.0,
        (2, "minor"): 0.1,
        (4, "minor"): 0.5,
        (5, "major"): 0.4,
        (7, "dominant"): 0.0,
        (9, "minor"): 0.4,
        (11, "half-diminished"): 0.6,
        (0, "dominant"): 1.0,
        (2, "dominant"): 0.8,
        (4, "dominant"): 0.9,
        (9, "dominant"): 0.8,
        (11, "dominant"): 1.1,
        (1, "dominant"): 0.7,
        (10, "dominant"): 0.9,
        (5, "dominant"): 0.9,
        (5, "minor"): 0.9,
        (6, "half-diminished"): 0.8,
        (2, "half-diminished"): 0.9,
        (4, "half-diminished"): 0.9,
        (8, "major"): 1.3,
        (3, "major"): 1.5,
        (1, "major"): 1.3,
        (7, "minor"): 1.3,
    },
    "minor": {
        (0, "minor"): 0.0,
        (2, "half-diminished"): 0.1,
        (7, "dominant"): 0.1,
        (5, "minor"): 0.4,
        (8, "major"): 0.5,
        (3, "major"): 0.6,
        (10, "dominant"): 0.7,
        (10, "major"): 0.8,
        (8, "dominant"): 0.7,
        (1, "dominant"): 0.8,
        (1, "major"): 0.9,
        (2, "minor"): 1.0,
        (2, "dominant"): 1.0,
        (9, "half-diminished"): 0.8,
        (0, "dominant"): 1.1,
        (5, "dominant"): 1.0,
        (7, "minor"): 1.0,
    },
}
COSTS["blues"] = {
    (0, "dominant"): 0.25,
    (5, "dominant"): 0.35,
    (7, "dominant"): 0.35,
    (2, "minor"): 0.6,
    (9, "dominant"): 0.9,
    (2, "dominant"): 1.0,
    (8, "dominant"): 1.0,
    (1, "dominant"): 1.0,
    (4, "minor"): 1.0,
    (5, "minor"): 1.0,
}
HOME = {"major": "major", "minor": "minor", "blues": "dominant"}
DIMINISHED = 0.8
PLAIN_MAJOR_DOMINANT = 0.2  # a plain triad on the fifth step stands for the dominant
PROFILES = {
    "major": (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88),
    "minor": (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17),
}
MOST_SURE, LEAST_SURE, WITHOUT_CHORDS = 0.95, 0.35, 0.5
BLUES_BARS = 12
# The mode that two chords to and fro tell: what the first is, what the second is, how far the second stands above.
VAMP_MODES = {
    ("minor", "dominant", 5): "dorian",
    ("minor", "major", 5): "dorian",
    ("minor", "minor", 2): "dorian",
    ("minor", "major", 1): "phrygian",
    ("major", "major", 2): "lydian",
    ("major", "dominant", 2): "lydian",
    ("dominant", "major", 10): "mixolydian",
    ("dominant", "minor", 7): "mixolydian",
    ("minor", "major", 8): "aeolian",
    ("minor", "major", 10): "aeolian",
}
# How many fifths a mode's signature lies from its tonic's major.
MODE_FIFTHS = {"minor": 3, "dorian": 2, "phrygian": 4, "lydian": -1, "mixolydian": 1, "aeolian": 3}
FEWEST_VAMP_CHORDS, VAMP_BARS = 5, 4
FEWEST_SLOW_CHORDS, SLOW_VAMP_BARS = 4, 8


@dataclass(frozen=True)
class Step:
    """A chord while it is in force, changes that change nothing taken together."""

    span: Span
    chord: Chord


@dataclass(frozen=True)
class Vamp:
    """Two chords to and fro, heard in one mode of the first one's root (a pitch class)."""

    span: Span
    tonic: int
    mode: str


def chord_steps(etude: Etude) -> tuple[Step, ...]:
    """The chords in time; stretches without one are left out."""
    end = etude.score.bars[-1].end if etude.score.bars else Fraction(0)
    times = [*etude.harmony.starts, end]
    found: list[Step] = []
    for chord, (start, until) in zip(etude.harmony.chords, pairwise(times), strict=True):
        if chord is None or family(readings(chord)[0]) == "none" or until <= start:
            continue
        if found and found[-1].span.end == start and same_harmony(found[-1].chord, chord):
            found[-1] = Step(Span(found[-1].span.start, until), found[-1].chord)
        else:
            found.append(Step(Span(start, until), chord))
    return tuple(found)


def key_centres(etude: Etude) -> tuple[KeyCentre, ...]:
    """The key centres in time; they cover every chord (without chords, the whole score)."""
    steps = chord_steps(etude)
    if not etude.score.bars:
        return ()
    if not steps:
        return _by_notes(etude)
    costs = [_costs(etude, steps, place) for place in range(len(steps))]
    keys = _keys_on_the_path(steps, costs)
    told = [(span, (tonic, "blues")) for span, tonic in blues_forms(etude)]
    told += [(vamp.span, (vamp.tonic, vamp.mode)) for vamp in vamps(etude, steps)]
    for span, key in told:
        keys = [
            key if span.start <= step.span.start < span.end else own
            for step, own in zip(steps, keys, strict=True)
        ]
    centres = [
        _centre(etude, steps, costs, [place for place, _ in run])
        for _, run in groupby(enumerate(keys), key=lambda pair: pair[1])
    ]
    named = zip(centres, (key for key, _ in groupby(keys)), strict=True)
    return tuple(
        KeyCentre(span, tonic_name(etude.score, span.start, key), key[1], sure) for (span, sure), key in named
    )


def blues_forms(etude: Etude) -> list[tuple[Span, int]]:
    """Twelve bars with their tonic at the first and seventh, and the fourth step at the fifth; and that tonic."""
    bars = [bar for bar in etude.score.bars if bar.start >= 0]
    sounding = [etude.harmony.at(bar.start) for bar in bars]
    found: list[tuple[Span, int]] = []
    place = 0
    while place + BLUES_BARS <= len(bars):
        twelve = bars[place : place + BLUES_BARS]
        chords = [chord for chord in sounding[place : place + BLUES_BARS] if chord is not None]
        if len(chords) == BLUES_BARS and _is_blues(chords):
            found.append((Span(twelve[0].start, twelve[-1].end), step_above(chords[0], 0)))
            place += BLUES_BARS
        else:
            place += 1
    return found


def vamps(etude: Etude, steps: Sequence[Step]) -> list[Vamp]:
    """Two chords to and fro for a while, both of one mode, that do not go home as a two five does."""
    found: list[Vamp] = []
    place = 0
    while place + FEWEST_SLOW_CHORDS <= len(steps):
        end = _to_and_fro(steps, place)
        mode = _vamp_mode(steps[place].chord, steps[place + 1].chord)
        span = Span(steps[place].span.start, steps[end - 1].span.end)
        if mode is not None and _is_long(etude, span, end - place) and not _goes_home(steps, place, end):
            found.append(Vamp(span, step_above(steps[place].chord, 0), mode))
            place = end
        else:
            place += 1
    return found


def _to_and_fro(steps: Sequence[Step], first: int) -> int:
    """Where two chords that take turns stop doing so."""
    end = first + 2
    while (
        end < len(steps)
        and steps[end - 1].span.end == steps[end].span.start
        and same_harmony(steps[end].chord, steps[end - 2].chord)
    ):
        end += 1
    return end


def _vamp_mode(first: Chord, second: Chord) -> str | None:
    """The mode on the first chord's root that has all the tones of two chords, if they tell one."""
    tonic = step_above(first, 0)
    mode = VAMP_MODES.get((quality(first), quality(second), step_above(second, tonic)))
    tones = chord_tones(readings(first)[0]).keys() | chord_tones(readings(second)[0]).keys()
    inside = {(tonic + step) % 12 for step in SCALE_TABLE[mode].semitones} if mode else set()
    return mode if tones <= inside else None


def _is_long(etude: Etude, span: Span, chords: int) -> bool:
    bars = (span.end - span.start) / etude.score.bars[0].metre.bar_quarters
    fast = chords >= FEWEST_VAMP_CHORDS and bars >= VAMP_BARS
    return fast or (chords >= FEWEST_SLOW_CHORDS and bars >= SLOW_VAMP_BARS)


def _goes_home(steps: Sequence[Step], first: int, end: int) -> bool:
    """Whether what follows is the chord that one of the two leads to by falling a fifth."""
    if end == len(steps):
        return False
    home = step_above(steps[end].chord, 0)
    leading = [step for step in steps[first : first + 2] if quality(step.chord) == "dominant"]
    return any((step_above(step.chord, 0) - home) % 12 == 7 for step in leading)


def _is_blues(chords: Sequence[Chord]) -> bool:
    if any(family(readings(chord)[0]) == "none" for chord in chords):
        return False
    above = [step_above(chord, step_above(chords[0], 0)) for chord in chords]
    same = quality(chords[0]) == "dominant" == quality(chords[4])
    closes = above[8] in (2, 7, 8) and 7 in (above[8], above[9], above[11])
    return same and above[4] == 5 and above[6] == 0 and closes


# Costs ---------------------------------------------------------------------------------------------------


def quality(chord: Chord) -> str:
    """What a chord is to a key: "major", "minor", "dominant", "half-diminished", "diminished"."""
    heard = readings(chord)[0]
    kind = family(heard)
    if kind in ("altered", "suspended"):
        return "dominant"
    if kind == "augmented":
        return "dominant" if "b7" in chord_tones(heard).values() else "major"
    return "major" if kind == "open" else kind


def is_inside(chord: Chord, key: KeyCentre) -> bool:
    """Whether all tones of a chord are of a key's scale."""
    scale = SCALES.get(key.mode, SCALES["major"])
    return {(tone - key.tonic.pitch_class) % 12 for tone in chord_tones(readings(chord)[0])} <= scale


def _costs(etude: Etude, steps: Sequence[Step], place: int) -> list[float]:
    step = steps[place]
    after = steps[place + 1] if place + 1 < len(steps) else None
    bar = etude.score.bars[0].metre.bar_quarters
    weight = min(sqrt(float((step.span.end - step.span.start) / bar)), 1.5)
    signature = _signature(etude.score, step.span.start)
    outside = _outside(etude, step)
    return [
        weight * (_cost(step.chord, key) + OUTSIDE * foreign)
        + (0.0 if signature == _fifths(key) else OTHER_SIGNATURE)
        + _bonus(step.chord, after and after.chord, key)
        + (FRAME if place in (0, len(steps) - 1) and _is_home(step.chord, key) else 0.0)
        for key, foreign in zip(KEYS, outside, strict=True)
    ]


@lru_cache(maxsize=KEPT_COSTS)
def _cost(chord: Chord, key: Key) -> float:
    tonic, mode = key
    kind, above = quality(chord), step_above(chord, tonic)
    if kind == "diminished":
        return DIMINISHED
    plain = kind == "major" and not seventh_understood(readings(chord)[0])
    if plain and above == 7:
        return PLAIN_MAJOR_DOMINANT
    return COSTS[mode].get((above, kind), FOREIGN)


def _is_home(chord: Chord, key: Key) -> bool:
    return step_above(chord, key[0]) == 0 and quality(chord) == HOME[key[1]]


@lru_cache(maxsize=KEPT_COSTS)
def _bonus(chord: Chord, after: Chord | None, key: Key) -> float:
    """What speaks for a key: its dominant going home, its second step going to the dominant."""
    if after is None:
        return 0.0
    tonic, mode = key
    here, there = (quality(chord), step_above(chord, tonic)), step_above(after, tonic)
    home = there == 0 and quality(after) == HOME[mode]
    if home and here in (("dominant", 7), ("dominant", 1), ("major", 7)):
        return CADENCE if mode != "blues" else BLUES_CADENCE
    second = ("half-diminished", 2) if mode == "minor" else ("minor", 2)
    to_dominant = there == 7 and quality(after) == "dominant"
    return PREPARED if here == second and to_dominant else 0.0


def _outside(etude: Etude, step: Step) -> list[float]:
    """The share of the melody's notes over a chord that lies outside each key; its own tones count with the chord."""
    line, own = etude.melody, chord_tones(readings(step.chord)[0]).keys()
    first = bisect_left(line, step.span.start, key=lambda heard: heard.note.onset)
    last = bisect_left(line, step.span.end, key=lambda heard: heard.note.onset)
    tones = [heard.pitch % 12 for heard in line[first:last]]
    if not tones:
        return [0.0] * len(KEYS)
    free = [tone for tone in tones if tone not in own]
    return [sum(tone not in inside for tone in free) / len(tones) for inside in INSIDE]


def _keys_on_the_path(steps: Sequence[Step], costs: Sequence[list[float]]) -> list[Key]:
    """The key of each chord, where what is a blues in name only is ruled out."""
    roots = [readings(step.chord)[0].root.pitch_class for step in steps]
    allowed = [list(each) for each in costs]
    while True:
        path = _path(allowed, roots)
        runs = [(key, list(places)) for key, places in groupby(range(len(steps)), key=path.__getitem__)]
        false = [(key, places) for key, places in runs if _is_no_blues([steps[n] for n in places], KEYS[key])]
        if not false:
            return [KEYS[index] for index in path]
        for key, places in false:
            for place in places:
                allowed[place][key] = inf


def _is_no_blues(steps: Sequence[Step], key: Key) -> bool:
    """Whether a stretch in a blues key lacks its dominants on the tonic and fourth step, or is a chain of fifths."""
    if key[1] != "blues" or len(steps) == 1:
        return False
    above = [step_above(step.chord, key[0]) for step in steps]
    dominants = {root for root, step in zip(above, steps, strict=True) if quality(step.chord) == "dominant"}
    return not dominants >= {0, 5} or all((one - other) % 12 == 7 for one, other in pairwise(above))


def _path(costs: Sequence[Sequence[float]], roots: Sequence[int]) -> list[int]:
    """The cheapest path (Viterbi 1967); of equals the key nearest above the chord's root, so that no key is special."""
    totals, back = list(costs[0]), []
    for place, here in enumerate(costs[1:], 1):
        best = _cheapest(totals, roots[place - 1])
        came = [key if totals[key] <= totals[best] + CHANGE else best for key in range(len(KEYS))]
        totals = [
            totals[came[key]] + (0.0 if came[key] == key else CHANGE) + here[key] for key in range(len(KEYS))
        ]
        back.append(came)
    path = [_cheapest(totals, roots[-1])]
    for came in reversed(back):
        path.append(came[path[-1]])
    return path[::-1]


def _cheapest(totals: Sequence[float], root: int) -> int:
    return min(range(len(KEYS)), key=lambda key: (totals[key], (KEYS[key][0] - root) % 12, KEYS[key][1]))


def _centre(
    etude: Etude, steps: Sequence[Step], costs: Sequence[Sequence[float]], places: Sequence[int]
) -> tuple[Span, float]:
    start = steps[places[0]].span.start
    end = steps[places[-1] + 1].span.start if places[-1] + 1 < len(steps) else etude.score.bars[-1].end
    sums = sorted(sum(costs[place][key] for place in places) for key in range(len(KEYS)))
    margin = (sums[1] - sums[0]) / max(len(places), 1)
    return Span(start, end), round(min(LEAST_SURE + margin, MOST_SURE), 2)


# Signatures and names ------------------------------------------------------------------------------------


def _bar_fifths(score: Score, time: Fraction) -> int:
    """The sounding key signature at a time."""
    bar = score.bars[max(bisect_right(score.bars, time, key=lambda bar: bar.start) - 1, 0)]
    return bar.key.fifths - score.transposition.fifths


def _signature(score: Score, time: Fraction) -> int:
    return _bar_fifths(score, time) % 12


def _fifths(key: Key) -> int:
    """A key's place on the circle of fifths, its relative major's signature counted."""
    tonic, mode = key
    return (7 * (tonic + (3 if mode == "minor" else 0))) % 12


def tonic_name(score: Score, time: Fraction, key: Key) -> NoteName:
    """The tonic's name, spelt as near to the signature as can be."""
    tonic, mode = key
    near = _bar_fifths(score, time) + MODE_FIFTHS.get(mode, 0)
    names = [NoteName.from_fifths(fifths) for fifths in range(-6, 12)]
    fitting = [name for name in names if name.pitch_class == tonic % 12]
    return min(fitting, key=lambda name: (abs(name.fifths - near), abs(name.fifths)))


def _by_notes(etude: Etude) -> tuple[KeyCentre, ...]:
    """One key for the whole score: by its notes, or by its signature where there are none."""
    weights = [0.0] * 12
    for heard in etude.heard:
        weights[heard.pitch % 12] += float(heard.note.held)
    score = etude.score
    signature = _signature(score, score.bars[0].start)

    def fit(key: Key) -> float:
        profile = PROFILES[key[1]]
        near = 0.05 if _fifths(key) == signature else 0.0
        return _correlation([profile[(pitch - key[0]) % 12] for pitch in range(12)], weights) + near

    best = max((key for key in KEYS if key[1] in PROFILES), key=fit)
    span = Span(score.bars[0].start, score.bars[-1].end)
    return (KeyCentre(span, tonic_name(score, span.start, best), best[1], WITHOUT_CHORDS),)


def _correlation(one: Sequence[float], other: Sequence[float]) -> float:
    first, second = sum(one) / len(one), sum(other) / len(other)
    above = sum((a - first) * (b - second) for a, b in zip(one, other, strict=True))
    below = sqrt(sum((a - first) ** 2 for a in one) * sum((b - second) ** 2 for b in other))
    return above / below if below else 0.0
