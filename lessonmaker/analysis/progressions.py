"""Progressions: what the chords do together, found by their roots and qualities.

Common practice, no source. Chords on one root that lead to each other (suspended, then plain) count as one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.cadences import other_cadences
from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.forms import (
    MODES,
    PASSING_TURNAROUNDS,
    TURNAROUNDS,
    Form,
    blues_forms,
    mode_over,
    vamps,
)
from lessonmaker.analysis.functions import function_at
from lessonmaker.analysis.model import Device, Function
from lessonmaker.analysis.steps import Step, chord_steps, quality
from lessonmaker.analysis.words import number_words
from lessonmaker.score.position import Span
from lessonmaker.theory.numeral import step_above

__all__ = ["progressions_of"]

MODAL_BARS, LONG_MODAL_BARS = 4, 8
LONGEST_TURNAROUND_BARS = 4
SECONDS = ("minor", "half-diminished")
LEADING_MODES = ("major", "minor", "blues")
FEWEST_DOMINANTS = 3
SECONDARY = "A secondary dominant: it leads a fifth down to a chord that is not the tonic."
PUT_OFF = "A secondary dominant put off: the dominant of the dominant, with the second step between."


def progressions_of(etude: Etude) -> tuple[Device, ...]:
    """The progressions of the changes in time; `etude.keys` and `etude.functions` have to be known."""
    steps, blues = _gathered(chord_steps(etude)), blues_forms(etude)
    found = [
        *_two_fives(steps, etude.functions),
        *_plain_cadences(etude, steps),
        *_turnarounds(etude, steps),
        *_cycles(steps),
        *_by_function(etude.functions),
        *other_cadences(etude.functions, [form.span for form in blues]),
        *_key_changes(etude),
        *_blues(blues),
        *_modal(etude, steps, blues),
        *_vamps(etude),
    ]
    return tuple(sorted(found, key=lambda device: (device.span.start, device.span.end)))


def _gathered(steps: Sequence[Step]) -> list[Step]:
    """Dominants on one root, suspended or altered one after the other, taken together."""
    found: list[Step] = []
    for step in steps:
        last = found[-1] if found else None
        both = last is not None and quality(last.chord) == "dominant" == quality(step.chord)
        if last is not None and both and _root(last) == _root(step) and last.span.end == step.span.start:
            found[-1] = Step(Span(last.span.start, step.span.end), step.chord)
        else:
            found.append(step)
    return found


def _root(step: Step) -> int:
    return step_above(step.chord, 0)


def _device(kind: str, first: Step, last: Step, text: str, sure: float, detail: str) -> Device:
    return Device(kind, Span(first.span.start, last.span.end), text, sure, detail=detail)


# Two five one --------------------------------------------------------------------------------------------


def _two_fives(steps: Sequence[Step], functions: Sequence[Function]) -> Iterator[Device]:
    for place in range(len(steps) - 1):
        second, fifth = steps[place], steps[place + 1]
        above = (_root(fifth) - _root(second)) % 12
        if (
            not _touch(second, fifth)
            or quality(second.chord) not in SECONDS
            or quality(fifth.chord) != "dominant"
            or above not in (5, 11)
        ):
            continue
        tonic = (_root(second) - 2) % 12
        home = steps[place + 2] if place + 2 < len(steps) else None
        if (
            home is not None
            and _touch(fifth, home)
            and _root(home) == tonic
            and (quality(home.chord) in ("major", "minor") or _is_led_to(second, home, above, functions))
        ):
            yield from _two_five_one(second, fifth, home, above, functions)
        elif above == 5 and not _is_modal(second, functions):
            text = "A two five that does not go home: the second step, then the dominant."
            yield _device("two five", second, fifth, text, 0.75, "ii-V")


def _is_led_to(second: Step, home: Step, above: int, functions: Sequence[Function]) -> bool:
    """Whether a dominant is where a two five goes, as the fourth step and the tonic of a blues are."""
    return quality(home.chord) == "dominant" and above == 5 and not _is_modal(second, functions)


def _touch(earlier: Step, later: Step) -> bool:
    """Whether no silence of the harmony (N.C.) lies between two chords."""
    return earlier.span.end == later.span.start


def _two_five_one(
    second: Step, fifth: Step, home: Step, above: int, functions: Sequence[Function]
) -> Iterator[Device]:
    minor, dominant = (quality(home.chord) == each for each in ("minor", "dominant"))
    five = "V" if above == 5 else "subV"
    detail = f"{'iiø' if quality(second.chord) == 'half-diminished' else 'ii'}-{five}-{'i' if minor else 'I'}"
    through = "the dominant" if above == 5 else "the substitute dominant"
    tonic = _is_tonic(home, functions)
    goal = "home" if tonic else "and the chord it leads to, which is not the tonic"
    into = "minor" if minor else "a dominant" if dominant else "major"
    text = f"A two five one into {into}: the second step, {through}, {goal}."
    yield _device("two five one", second, home, text, 0.9, detail)
    if minor:
        cadence = f"A minor cadence: the dominant goes {'home ' if tonic else ''}to a minor chord."
        yield _device("minor cadence", second, home, cadence, 0.85, detail)
    elif tonic and not dominant:
        cadence = "A full cadence: the dominant goes home to the tonic."
        yield _device("cadence", fifth, home, cadence, 0.8, f"{five}-I")


def _is_modal(step: Step, functions: Sequence[Function]) -> bool:
    """Whether a chord is heard in a mode, where a dominant leads nowhere."""
    here = function_at(functions, step.span.start)
    return here is not None and here.key.mode not in LEADING_MODES


def _is_tonic(step: Step, functions: Sequence[Function]) -> bool:
    """Whether a chord is the tonic of the key it is heard in."""
    here = function_at(functions, step.span.start)
    return here is None or step_above(here.chord, here.key.tonic.pitch_class) == 0


def _plain_cadences(etude: Etude, steps: Sequence[Step]) -> Iterator[Device]:
    """A dominant that goes home without a second step before it.

    It is one where its own dominant leads to it, and else where the form, the piece or a phrase ends at home.
    """
    for place, (fifth, home) in enumerate(pairwise(steps)):
        before = steps[place - 1] if place else None
        prepared = before is not None and (_root(fifth) - _root(before)) % 12 == 5
        second = prepared and before is not None and quality(before.chord) in SECONDS
        leads = quality(fifth.chord) in ("dominant", "major") and (_root(fifth) - _root(home)) % 12 == 7
        arrives = _touch(fifth, home) and _is_tonic(home, etude.functions)
        strengthened = prepared and before is not None and _leads(before, fifth)
        if leads and arrives and not second and (strengthened or _closes(etude, home)):
            if quality(home.chord) not in ("major", "minor"):
                continue
            kind = "minor cadence" if quality(home.chord) == "minor" else "cadence"
            text = f"A {'minor' if kind == 'minor cadence' else 'full'} cadence: the dominant goes home."
            yield _device(kind, fifth, home, text, 0.75, "V-i" if kind == "minor cadence" else "V-I")


def _closes(etude: Etude, home: Step) -> bool:
    """Whether the form or the piece ends with a chord, or a phrase ends over it."""
    ends = {bar.start for bar in etude.score.bars if bar.section} | {etude.score.bars[-1].end}
    last = (etude.heard_by_id[phrase.notes[-1]].note.onset for phrase in etude.phrases)
    return home.span.end in ends or any(home.span.start <= onset < home.span.end for onset in last)


# Turnarounds and cycles ----------------------------------------------------------------------------------


def _turnarounds(etude: Etude, steps: Sequence[Step]) -> Iterator[Device]:
    for place in range(len(steps) - 3):
        four = steps[place : place + 4]
        bar = etude.score.bars[0].metre.bar_quarters
        if four[3].span.end - four[0].span.start > LONGEST_TURNAROUND_BARS * bar:
            continue
        for tonic in range(12):
            name = TURNAROUNDS.get("-".join(str((_root(step) - tonic) % 12) for step in four))
            if name is not None and _turns(four[3], tonic) and _passes(four[1], name):
                if not _leads_home(etude.functions, four, tonic, bar):
                    continue
                start = "the tonic" if name.startswith("I-") else "a chord that stands for the tonic"
                text = f"A turnaround: four chords that lead from {start} round to {_goal(four[3], name)}."
                yield _device("turnaround", four[0], four[3], text, 0.8, name)


def _turns(last: Step, tonic: int) -> bool:
    """Whether the last chord of a turnaround leads back: a dominant, or the major chord a half step above the tonic."""
    return quality(last.chord) == "dominant" or (quality(last.chord), (_root(last) - tonic) % 12) == (
        "major",
        1,
    )


def _passes(second: Step, name: str) -> bool:
    """Whether the second chord of a turnaround is diminished, where it only passes between the tonic and the second."""
    return name not in PASSING_TURNAROUNDS or quality(second.chord) == "diminished"


def _goal(last: Step, name: str) -> str:
    """What the last chord of a turnaround is to its tonic."""
    dominant = quality(last.chord) == "dominant"
    if name.endswith("-bII"):
        return "the substitute dominant" if dominant else "the chord a half step above it"
    return "the dominant again"


def _leads_home(functions: Sequence[Function], four: Sequence[Step], tonic: int, bar: Fraction) -> bool:
    """Whether four chords are heard in the key they would turn round in, a dominant on its first step as the tonic.

    In a blues the last two bars do so; `bar` is how long one is, in quarters.
    """
    here = next((each for each in functions if each.span.start == four[0].span.start), None)
    if here is None or here.key.tonic.pitch_class != tonic:
        return False
    short = here.key.mode != "blues" or four[3].span.end - four[0].span.start <= 2 * bar
    return quality(four[0].chord) != "dominant" or (here.function == "tonic" and short)


def _cycles(steps: Sequence[Step]) -> Iterator[Device]:
    """Dominants that fall by fifths, at least three of them."""
    run: list[Step] = []
    for step in [*steps, None]:
        dominant = step is not None and quality(step.chord) == "dominant"
        if (
            dominant
            and step is not None
            and run
            and _touch(run[-1], step)
            and (_root(run[-1]) - _root(step)) % 12 == 7
        ):
            run.append(step)
            continue
        if len(run) >= FEWEST_DOMINANTS:
            text = f"A cycle of {number_words(len(run))} dominants, each the dominant of the next."
            yield _device("cycle of dominants", run[0], run[-1], text, 0.8, "-".join(["V7"] * len(run)))
        run = [step] if dominant and step is not None else []


# By function ---------------------------------------------------------------------------------------------


def _by_function(functions: Sequence[Function]) -> Iterator[Device]:
    for here, after in pairwise(functions):
        if here.span.end != after.span.start:
            continue
        goal = "the tonic" if step_above(after.chord, after.key.tonic.pitch_class) == 0 else "the next chord"
        if here.function == "secondary dominant":
            text = SECONDARY if _fifth_down(here, after) else PUT_OFF
            yield Device("secondary dominant", here.span, text, 0.8, detail=here.numeral)
        if here.function == "substitute dominant" and _half_step_down(here, after):
            text = f"A substitute dominant: it falls by a half step to {goal}."
            yield Device("substitute dominant", here.span, text, 0.8, detail=here.numeral)
        if here.function == "backdoor dominant" and after.function == "tonic":
            text = "The backdoor: a dominant that comes home by a whole step up."
            yield Device("backdoor dominant", here.span, text, 0.75, detail=here.numeral)


def _fifth_down(here: Function, after: Function) -> bool:
    return (step_above(here.chord, 0) - step_above(after.chord, 0)) % 12 == 7


def _half_step_down(here: Function, after: Function) -> bool:
    return (step_above(here.chord, 0) - step_above(after.chord, 0)) % 12 == 1


def _key_changes(etude: Etude) -> Iterator[Device]:
    for before, after in pairwise(etude.keys):
        up = (after.tonic.pitch_class - before.tonic.pitch_class) % 12
        relative = f" (the relative {after.mode})" if (before.mode, after.mode, up) in RELATIVES else ""
        sure = round(min(before.confidence, after.confidence), 2)
        text = f"The key changes: {after.mode}, {DISTANCES[up]}{relative}."
        yield Device("key change", after.span, text, sure, detail=f"{before.mode} -> {after.mode}")


# From a key to its relative: the modes, and how many semitones up.
RELATIVES = (("major", "minor", 9), ("minor", "major", 3))
DISTANCES = (
    "on the same tonic",
    "a half step up",
    "a whole step up",
    "a minor third up",
    "a major third up",
    "a fourth up",
    "a tritone away",
    "a fifth up",
    "a major third down",
    "a minor third down",
    "a whole step down",
    "a half step down",
)


# Forms and modes -----------------------------------------------------------------------------------------


def _blues(forms: Sequence[Form]) -> Iterator[Device]:
    """Twelve-bar blues."""
    for form in forms:
        named = "blues" if form.mode == "blues" else "minor blues"
        text = (
            f"A twelve-bar {named}: tonic, fourth step at bar five, home at bar seven, dominant at the end."
        )
        yield Device("blues form", form.span, text, 0.85, detail="12 bars")


def _modal(etude: Etude, steps: Sequence[Step], blues: Sequence[Form]) -> Iterator[Device]:
    """One chord for four bars and more, or for eight where it is the goal of its dominant or plain major."""
    bar = etude.score.bars[0].metre.bar_quarters if etude.score.bars else Fraction(1)
    for before, step in zip([None, *steps], steps, strict=False):
        bars = Fraction(step.span.end - step.span.start) / bar
        if bars < MODAL_BARS or quality(step.chord) not in MODES:
            continue
        mode = mode_over(etude, step)
        arrives = before is not None and _leads(before, step)
        within = any(form.span.start <= step.span.start < form.span.end for form in blues)
        if within or (bars < LONG_MODAL_BARS and (arrives or mode == "major")):
            continue
        text = f"A modal stretch: one chord for {number_words(int(bars))} bars, heard as {mode}."
        yield Device("modal stretch", step.span, text, 0.7, detail=mode)


def _leads(dominant: Step, home: Step) -> bool:
    """Whether a dominant goes to a chord by falling a fifth or a half step."""
    falls = (_root(dominant) - _root(home)) % 12 in (7, 1)
    return _touch(dominant, home) and quality(dominant.chord) == "dominant" and falls


def _vamps(etude: Etude) -> Iterator[Device]:
    """Two chords to and fro."""
    for vamp in vamps(etude, chord_steps(etude)):
        bars = (vamp.span.end - vamp.span.start) / etude.score.bars[0].metre.bar_quarters
        text = f"A modal stretch: two chords to and fro for {number_words(int(bars))} bars, heard as {vamp.mode}."
        yield Device("modal stretch", vamp.span, text, 0.7, detail=vamp.mode)
