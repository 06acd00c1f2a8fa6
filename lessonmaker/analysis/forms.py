"""Forms that chords make by standing where they stand: the twelve bars of a blues, vamps and turnarounds.

Common practice, no source. Two chords to and fro that lead nowhere are a vamp: the first is the centre, and both tell
the mode. Chords of one kind that stay, a step or a third apart, have each a centre of its own. Four chords that lead
from the tonic round to it again are a turnaround.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.harmony import same_harmony
from lessonmaker.analysis.steps import Step, quality
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, chord_tones, family, readings
from lessonmaker.theory.numeral import step_above
from lessonmaker.theory.scale import SCALES

__all__ = [
    "MODES",
    "PASSING_TURNAROUNDS",
    "TURNAROUNDS",
    "Form",
    "blues_forms",
    "mode_over",
    "planed_chords",
    "turnarounds_home",
    "vamps",
]

BLUES_BARS = 12
BLUES_MODES = {"dominant": "blues", "minor": "minor"}  # by what the tonic and the fourth step are
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
# The mode of a chord that stays, by its quality.
MODES = {"minor": "dorian", "dominant": "mixolydian", "major": "major"}
# Other modes by what is heard over the chord: (mode, degrees it needs, degrees that contradict it), by quality.
MODES_BY_DEGREES: dict[str, tuple[tuple[str, set[str], set[str]], ...]] = {
    "minor": (
        ("melodic minor", {"7"}, {"b7", "b13"}),
        ("harmonic minor", {"7", "b13"}, {"b7", "13", "6"}),
        ("phrygian", {"b9"}, {"9"}),
        ("aeolian", {"b13"}, {"13", "6"}),
    ),
    "dominant": (
        ("phrygian", {"b9", "4"}, {"9", "3", "13"}),
        ("phrygian dominant", {"b9", "3"}, {"9", "#9", "#11", "13"}),
        ("lydian dominant", {"#11"}, {"11", "b9"}),
    ),
    "major": (("lydian", {"#11"}, {"4", "11"}),),
}
# By the steps above the tonic.
TURNAROUNDS = {
    "0-9-2-7": "I-VI-II-V",
    "4-9-2-7": "III-VI-II-V",
    "0-8-2-7": "I-bVI-II-V",
    "0-9-2-1": "I-VI-II-bII",
    "4-9-2-1": "III-VI-II-bII",
    "4-3-2-1": "III-bIII-II-bII",
    "0-3-2-1": "I-bIII-II-bII",
    "0-3-8-1": "I-bIII-bVI-bII",
    "0-1-2-3": "I-#I-II-#II",
    "0-1-2-7": "I-#I-II-V",
    "0-3-2-7": "I-bIII-II-V",
    "4-3-2-7": "III-bIII-II-V",
}
# Those whose second chord is diminished, and passes between its neighbours.
PASSING_TURNAROUNDS = ("I-#I-II-V", "I-bIII-II-V")
FEWEST_VAMP_CHORDS, VAMP_BARS = 5, 4
FEWEST_SLOW_CHORDS, SLOW_VAMP_BARS = 4, 8
PLANED_BARS = 4
PLANED = ("minor", "suspended")
FOURTH_OR_FIFTH = (5, 7)


@dataclass(frozen=True)
class Form:
    """A stretch whose chords, by standing where they do, tell its tonic (a pitch class) and its mode.

    `mode` is "blues" or "minor" of a blues, a mode's name ("dorian") of a vamp, "major" or "minor" of a turnaround.
    """

    span: Span
    tonic: int
    mode: str


def blues_forms(etude: Etude) -> list[Form]:
    """Twelve bars with their tonic at the first and seventh, and the fourth step at the fifth."""
    bars = [bar for bar in etude.score.bars if bar.start >= 0]
    sounding = [etude.harmony.at(bar.start) for bar in bars]
    found: list[Form] = []
    place = 0
    while place + BLUES_BARS <= len(bars):
        twelve = bars[place : place + BLUES_BARS]
        chords = [chord for chord in sounding[place : place + BLUES_BARS] if chord is not None]
        if len(chords) == BLUES_BARS and _is_blues(chords):
            span, mode = Span(twelve[0].start, twelve[-1].end), BLUES_MODES[quality(chords[0])]
            found.append(Form(span, step_above(chords[0], 0), mode))
            place += BLUES_BARS
        else:
            place += 1
    return found


def vamps(etude: Etude, steps: Sequence[Step]) -> list[Form]:
    """Two chords to and fro for a while, both of one mode, that do not go home as a two five does."""
    found: list[Form] = []
    place = 0
    while place + FEWEST_SLOW_CHORDS <= len(steps):
        end = _to_and_fro(steps, place)
        mode = _vamp_mode(steps[place].chord, steps[place + 1].chord)
        span = Span(steps[place].span.start, steps[end - 1].span.end)
        if mode is not None and _is_long(etude, span, end - place) and not _goes_home(steps, place, end):
            found.append(Form(span, step_above(steps[place].chord, 0), mode))
            place = end
        else:
            place += 1
    return found


def planed_chords(etude: Etude, steps: Sequence[Step]) -> list[Form]:
    """Minor or suspended chords that stay, each beside another of its kind: each is a tonic, in the mode it has."""
    pairs = [
        _is_planed(etude, one) and _is_planed(etude, other) and _is_parallel(one, other)
        for one, other in pairwise(steps)
    ]
    beside = zip([False, *pairs], [*pairs, False], strict=True)
    return [
        Form(step.span, step_above(step.chord, 0), mode_over(etude, step))
        for step, near in zip(steps, beside, strict=True)
        if any(near)
    ]


def _is_planed(etude: Etude, step: Step) -> bool:
    bars = (step.span.end - step.span.start) / etude.score.bars[0].metre.bar_quarters
    return bars >= PLANED_BARS and _family(step) in PLANED


def _is_parallel(one: Step, other: Step) -> bool:
    """Whether two chords of a kind follow each other, but not by a fourth or fifth."""
    moves = step_above(other.chord, step_above(one.chord, 0))
    return (
        _family(one) == _family(other) and one.span.end == other.span.start and moves not in FOURTH_OR_FIFTH
    )


def _family(step: Step) -> str:
    return family(readings(step.chord)[0])


def mode_over(etude: Etude, step: Step) -> str:
    """The mode that the line and the chord symbol tell over a chord of `MODES`; else the plainest."""
    degrees = {heard.degree for heard in etude.notes_between(step.span)}
    degrees |= set(chord_tones(readings(step.chord)[0]).values())
    kind = quality(step.chord)
    for mode, needed, excluded in MODES_BY_DEGREES[kind]:
        if needed <= degrees and not excluded & degrees:
            return mode
    return MODES[kind]


def turnarounds_home(steps: Sequence[Step]) -> list[Form]:
    """Four chords of one length that lead from a major or minor tonic back to it over flat steps (I-bIII-bVI-bII)."""
    found: list[Form] = []
    for place in range(len(steps) - 4):
        four, home = steps[place : place + 4], steps[place + 4]
        tonic, mode = step_above(four[0].chord, 0), quality(four[0].chord)
        round_again = "-".join(str(step_above(step.chord, tonic)) for step in four)
        returns = step_above(home.chord, tonic) == 0 and quality(home.chord) == mode in ("major", "minor")
        alike = len({step.span.end - step.span.start for step in four}) == 1
        name = TURNAROUNDS.get(round_again, "")
        if name.startswith("I-b") and returns and alike:
            found.append(Form(Span(four[0].span.start, four[-1].span.end), tonic, mode))
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
    inside = {(tonic + step) % 12 for step in SCALES[mode].semitones} if mode else set()
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
    same = quality(chords[0]) in BLUES_MODES and quality(chords[0]) == quality(chords[4])
    closes = above[8] in (2, 7, 8) and 7 in (above[8], above[9], above[11])
    return same and above[4] == 5 and above[6] == 0 and closes
