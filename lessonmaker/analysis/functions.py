"""Functions: what each chord does in its key.

Common practice, no source: the tables below. A dominant that falls a fifth to a chord other than the tonic is that
chord's secondary dominant; one that falls a half step is a substitute; the dominant of the fifth step may wait for it
through the second step (II7, ii7, V7).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from lessonmaker.analysis.etude import Etude, in_force
from lessonmaker.analysis.keys import is_inside
from lessonmaker.analysis.model import Function, KeyCentre
from lessonmaker.analysis.steps import Step, chord_steps, quality
from lessonmaker.theory.numeral import bare_numeral, numeral_of, step_above

__all__ = ["function_at", "functions_of"]

TONIC, SUBDOMINANT, DOMINANT = "tonic", "subdominant", "dominant"
PLAIN: dict[tuple[int, str], str] = {
    (0, "major"): TONIC,
    (0, "minor"): TONIC,
    (0, "dominant"): TONIC,
    (4, "minor"): TONIC,
    (9, "minor"): TONIC,
    (3, "major"): TONIC,
    (9, "half-diminished"): TONIC,
    (2, "minor"): SUBDOMINANT,
    (2, "half-diminished"): SUBDOMINANT,
    (5, "major"): SUBDOMINANT,
    (5, "minor"): SUBDOMINANT,
    (5, "dominant"): SUBDOMINANT,
    (8, "major"): SUBDOMINANT,
    (1, "major"): SUBDOMINANT,
    (6, "half-diminished"): SUBDOMINANT,
    (7, "dominant"): DOMINANT,
    (7, "major"): DOMINANT,
    (11, "half-diminished"): DOMINANT,
    (11, "diminished"): DOMINANT,
    (1, "dominant"): "substitute dominant",
    (10, "dominant"): "backdoor dominant",
}
# Chords of a mode that major and minor do not have on that step: those that bring out the mode stand for its dominant
# (Persichetti, Twentieth-Century Harmony, 1961, from memory: "dominant equivalents").
OF_THE_MODE: dict[tuple[int, str], str] = {
    (7, "minor"): DOMINANT,
    (10, "major"): DOMINANT,
    (10, "minor"): DOMINANT,
    (2, "major"): DOMINANT,
    (7, "half-diminished"): DOMINANT,
    (4, "half-diminished"): TONIC,
}
OTHERWISE = {"diminished": "passing", "dominant": "dominant of its own"}
FIFTH_DOWN, HALF_STEP_DOWN = 7, 1
RELATED_SECONDS = ("minor", "half-diminished")
RELATED = "related second step"


def functions_of(etude: Etude) -> tuple[Function, ...]:
    """The function of each chord in time; `etude.keys` have to be known."""
    steps = chord_steps(etude)
    return tuple(_function(etude.keys, steps, place) for place in range(len(steps)))


def function_at(functions: Sequence[Function], time: Fraction) -> Function | None:
    """The function of the chord in force at a time, or None."""
    return in_force(functions, time)


def _function(keys: Sequence[KeyCentre], steps: Sequence[Step], place: int) -> Function:
    step = steps[place]
    key = next(key for key in reversed(keys) if key.span.start <= step.span.start)
    tonic = key.tonic.pitch_class
    plain = numeral_of(step.chord, tonic, _falls_a_half_step(steps, place))
    numeral, function = _applied(steps, place, key) or (plain, _plain(step, key))
    return Function(step.span, step.chord, numeral, function, key)


def _plain(step: Step, key: KeyCentre) -> str:
    kind, above = quality(step.chord), step_above(step.chord, key.tonic.pitch_class)
    if (above, kind) in PLAIN:
        return PLAIN[above, kind]
    if (above, kind) in OF_THE_MODE and is_inside(step.chord, key):
        return OF_THE_MODE[above, kind]
    return OTHERWISE.get(kind, "borrowed")


def _falls(step: Step, after: Step) -> int:
    """Semitones from a root down to the next."""
    return step_above(step.chord, after.chord.root.pitch_class)


def _falls_a_half_step(steps: Sequence[Step], place: int) -> bool:
    after = steps[place + 1] if place + 1 < len(steps) else None
    return after is not None and _falls(steps[place], after) == HALF_STEP_DOWN


def _applied(steps: Sequence[Step], place: int, key: KeyCentre) -> tuple[str, str] | None:
    """A chord that belongs to another one than the tonic: its dominant, substitute or related second step."""
    after = steps[place + 1] if place + 1 < len(steps) else None
    if after is None or steps[place].span.end != after.span.start:
        return None
    step, kind, tonic = steps[place], quality(steps[place].chord), key.tonic.pitch_class
    above = step_above(step.chord, tonic)
    if kind == "dominant" and (above, kind) not in ((7, "dominant"), (1, "dominant")):
        target = numeral_of(after.chord, tonic)
        blues = above == 0 and quality(after.chord) == "dominant" and not _is_prepared(steps, place)
        if _falls(step, after) == FIFTH_DOWN and not blues:
            return f"V7/{bare_numeral(target)}", "secondary dominant"
        if _falls(step, after) == HALF_STEP_DOWN:
            return f"subV7/{bare_numeral(target)}", "substitute dominant"
        if _is_put_off(step, after, tonic):
            return "V7/V", "secondary dominant"
    return _related(steps, place, key)


def _is_prepared(steps: Sequence[Step], place: int) -> bool:
    """Whether a dominant has its own second step before it."""
    before = steps[place - 1] if place else None
    if before is None or before.span.end != steps[place].span.start:
        return False
    return quality(before.chord) in RELATED_SECONDS and _falls(before, steps[place]) == FIFTH_DOWN


def _is_put_off(step: Step, after: Step, tonic: int) -> bool:
    """Whether the dominant of the fifth step waits for it through the second step on its own root."""
    above = step_above(step.chord, tonic)
    return above == step_above(after.chord, tonic) == 2 and quality(after.chord) in RELATED_SECONDS


def _related(steps: Sequence[Step], place: int, key: KeyCentre) -> tuple[str, str] | None:
    """A second step before a secondary dominant or a substitute: half-diminished, or minor and not of the key."""
    step, dominant, tonic = steps[place], steps[place + 1], key.tonic.pitch_class
    goes_up_a_fourth = _falls(step, dominant) == FIFTH_DOWN
    own = quality(step.chord) == "minor" and is_inside(step.chord, key)
    if quality(step.chord) not in RELATED_SECONDS or own or not goes_up_a_fourth:
        return None
    if quality(dominant.chord) != "dominant" or place + 2 >= len(steps):
        return None
    goal = steps[place + 2]
    if _falls(dominant, goal) == HALF_STEP_DOWN:
        return numeral_of(step.chord, tonic), RELATED
    if step_above(goal.chord, tonic) == 0 or _falls(dominant, goal) != FIFTH_DOWN:
        return None
    figure = numeral_of(step.chord, (step.chord.root.pitch_class - 2) % 12)
    return f"{figure}/{bare_numeral(numeral_of(goal.chord, tonic))}", RELATED
