"""Key centres: which key each stretch of the changes is heard in.

The best path through the keys, major, minor and blues: each chord costs by how foreign it is to the key, a change of
key costs too, and a dominant that resolves to the tonic speaks for it. The costs are our own choice, after common
practice. A blues form, a vamp and a turnaround that comes home tell their key by themselves (`forms`).
Without chords the notes decide, by the key profiles of Krumhansl and Kessler 1982 (from memory).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby, pairwise
from math import inf, sqrt

from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.forms import blues_forms, planed_chords, turnarounds_home, vamps
from lessonmaker.analysis.harmony import same_harmony
from lessonmaker.analysis.key_names import Key, key_fifths, signature_at, tonic_name
from lessonmaker.analysis.model import KeyCentre
from lessonmaker.analysis.steps import Step, chord_steps, quality
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, chord_tones, readings, seventh_understood
from lessonmaker.theory.numeral import step_above
from lessonmaker.theory.scale import SCALES as MODE_SCALES

__all__ = ["is_inside", "key_centres"]

MODES = ("major", "minor", "blues")
KEYS: tuple[Key, ...] = tuple((tonic, mode) for mode in MODES for tonic in range(12))
KEPT_COSTS = 2048  # of chords in keys: a form comes round again
CHANGE = 2.2
FOREIGN = 3.0
OTHER_SIGNATURE = 0.25
CADENCE, PREPARED = -1.4, -0.7
BLUES_CADENCE = -0.3  # each chord of a blues may lead to the next as a dominant does
FRAME = -0.4  # for the tonic at the very beginning or end
SUBSTITUTE = -2.0  # for the dominant on the flat third that falls a half step to the second step
BOTH_ENDS = -1.8  # the same, where the end comes back to the chord of the beginning
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
        (8, "dominant"): 1.0,
        (6, "dominant"): 1.1,
        (5, "minor"): 0.9,
        (6, "half-diminished"): 0.8,
        (2, "half-diminished"): 0.9,
        (4, "half-diminished"): 0.9,
        (8, "major"): 1.3,
        (3, "major"): 1.5,
        (1, "major"): 1.3,
        (10, "major"): 2.0,
        (8, "minor"): 1.3,
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
        (9, "dominant"): 1.2,
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
# The second step before the dominant: a major key may have that of the minor key, a blues has the plain one.
SECONDS = {
    "major": (("minor", 2), ("half-diminished", 2)),
    "minor": (("half-diminished", 2),),
    "blues": (("minor", 2),),
}
HOME = {"major": "major", "minor": "minor", "blues": "dominant"}
DIMINISHED = 0.8
# For a minor chord with a sixth or a major seventh that the key has not: a tonic of its own.
MINOR_TONIC = 0.3
PLAIN_MAJOR_DOMINANT = 0.2  # a plain triad on the fifth step stands for the dominant
PROFILES = {
    "major": (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88),
    "minor": (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17),
}
OF_THE_SIGNATURE = {True: 0.4, False: 0.05}  # for its two keys, by whether it has all the notes
MOST_SURE, LEAST_SURE, WITHOUT_CHORDS = 0.95, 0.35, 0.5


def key_centres(etude: Etude) -> tuple[KeyCentre, ...]:
    """The key centres in time; they cover every chord (without chords, the whole score)."""
    steps = chord_steps(etude)
    if not etude.score.bars:
        return ()
    if not steps:
        return _by_notes(etude)
    costs = [_costs(etude, steps, place) for place in range(len(steps))]
    keys = _keys_on_the_path(steps, costs)
    forms = (
        *blues_forms(etude),
        *vamps(etude, steps),
        *planed_chords(etude, steps),
        *turnarounds_home(steps),
    )
    told = [(form.span, (form.tonic, form.mode)) for form in forms]
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


# Costs ---------------------------------------------------------------------------------------------------


def is_inside(chord: Chord, key: KeyCentre) -> bool:
    """Whether all tones of a chord are of a key's scale."""
    scale = SCALES.get(key.mode) or set(MODE_SCALES[key.mode].semitones)
    return {(tone - key.tonic.pitch_class) % 12 for tone in chord_tones(readings(chord)[0])} <= scale


def _costs(etude: Etude, steps: Sequence[Step], place: int) -> list[float]:
    step = steps[place]
    after = steps[place + 1] if place + 1 < len(steps) else None
    bar = etude.score.bars[0].metre.bar_quarters
    weight = min(sqrt(float((step.span.end - step.span.start) / bar)), 1.5)
    signature = signature_at(etude.score, step.span.start)
    outside, frame = _outside(etude, step), _frame(steps, place)
    own, bonuses = _costs_by_key(step.chord), _bonuses_by_key(step.chord, after and after.chord)
    return [
        weight * (cost + OUTSIDE * foreign)
        + (0.0 if signature == key_fifths(key) else OTHER_SIGNATURE)
        + bonus
        + (frame if frame and _is_home(step.chord, key) else 0.0)
        for key, foreign, cost, bonus in zip(KEYS, outside, own, bonuses, strict=True)
    ]


def _frame(steps: Sequence[Step], place: int) -> float:
    """What speaks for a key by its tonic where a chord stands: at an end of the etude, or anywhere else."""
    if place not in (0, len(steps) - 1):
        return 0.0
    return BOTH_ENDS if len(steps) > 2 and _comes_round(steps) else FRAME


def _comes_round(steps: Sequence[Step]) -> bool:
    """Whether the end is the first chord again, or its dominant; of a minor chord only where no dominant leads."""
    first, last = steps[0].chord, steps[-1].chord
    rises = step_above(last, readings(first)[0].root.pitch_class)
    if quality(first) == "minor":
        leads = any(quality(step.chord) == "dominant" for step in steps)
        return rises == 0 and quality(last) == "minor" and not leads
    turns = rises == 7 and quality(last) == "dominant"
    return quality(first) == "major" and (same_harmony(first, last) or turns)


@lru_cache(maxsize=KEPT_COSTS)
def _costs_by_key(chord: Chord) -> tuple[float, ...]:
    return tuple(_cost(chord, key) for key in KEYS)


@lru_cache(maxsize=KEPT_COSTS)
def _bonuses_by_key(chord: Chord, after: Chord | None) -> tuple[float, ...]:
    return tuple(_bonus(chord, after, key) for key in KEYS)


def _cost(chord: Chord, key: Key) -> float:
    tonic, mode = key
    kind, above = quality(chord), step_above(chord, tonic)
    if kind == "diminished":
        return DIMINISHED
    plain = kind == "major" and not seventh_understood(readings(chord)[0])
    if plain and above == 7:
        return PLAIN_MAJOR_DOMINANT
    return COSTS[mode].get((above, kind), FOREIGN) + MINOR_TONIC * _is_minor_tonic_elsewhere(chord, key)


def _is_minor_tonic_elsewhere(chord: Chord, key: Key) -> bool:
    colours = [tone for tone, degree in chord_tones(readings(chord)[0]).items() if degree in ("6", "7")]
    return quality(chord) == "minor" and any((tone - key[0]) % 12 not in SCALES[key[1]] for tone in colours)


def _is_home(chord: Chord, key: Key) -> bool:
    return step_above(chord, key[0]) == 0 and quality(chord) == HOME[key[1]]


def _bonus(chord: Chord, after: Chord | None, key: Key) -> float:
    """What speaks for a key: its dominant going home, its second step going to the dominant."""
    if after is None:
        return 0.0
    tonic, mode = key
    here, there = (quality(chord), step_above(chord, tonic)), step_above(after, tonic)
    home = there == 0 and quality(after) == HOME[mode]
    if home and here in (("dominant", 7), ("dominant", 1), ("major", 7)):
        return CADENCE if mode != "blues" else BLUES_CADENCE
    if mode == "major" and here == ("dominant", 3) and there == 2:
        return SUBSTITUTE
    to_dominant = there == 7 and quality(after) == "dominant"
    return PREPARED if here in SECONDS[mode] and to_dominant else 0.0


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
        false = [
            (key, places)
            for key, places in runs
            if len(steps) > 1 and _is_no_blues([steps[n] for n in places], KEYS[key])
        ]
        if not false:
            return [KEYS[index] for index in path]
        for key, places in false:
            for place in places:
                allowed[place][key] = inf


def _is_no_blues(steps: Sequence[Step], key: Key) -> bool:
    """Whether a stretch in a blues key lacks its dominants on the tonic and fourth step, or is a chain of fifths."""
    if key[1] != "blues":
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


def _by_notes(etude: Etude) -> tuple[KeyCentre, ...]:
    """One key for the whole score: by its notes, or by its signature where there are none."""
    weights = [0.0] * 12
    for heard in etude.heard:
        weights[heard.pitch % 12] += float(heard.note.held)
    score = etude.score
    signature = signature_at(score, score.bars[0].start)
    of_signature = {(7 * signature + step) % 12 for step in SCALES["major"]}
    plain = all(heard.pitch % 12 in of_signature for heard in etude.heard)

    def fit(key: Key) -> float:
        profile = PROFILES[key[1]]
        near = OF_THE_SIGNATURE[plain] if key_fifths(key) == signature else 0.0
        return _correlation([profile[(pitch - key[0]) % 12] for pitch in range(12)], weights) + near

    best = max((key for key in KEYS if key[1] in PROFILES), key=fit)
    span = Span(score.bars[0].start, score.bars[-1].end)
    return (KeyCentre(span, tonic_name(score, span.start, best), best[1], WITHOUT_CHORDS),)


def _correlation(one: Sequence[float], other: Sequence[float]) -> float:
    first, second = sum(one) / len(one), sum(other) / len(other)
    above = sum((a - first) * (b - second) for a, b in zip(one, other, strict=True))
    below = sqrt(sum((a - first) ** 2 for a in one) * sum((b - second) ** 2 for b in other))
    return above / below if below else 0.0
