"""Arpeggios and triads: chords played one note after the other.

Common practice, no source: the triads heard as an upper structure, by the degree of their root over each family of
chord. A chord's own tones, and thirds stacked on them (3-5-7-9), are an arpeggio; a major or minor triad that is none
of the chord's own is an upper structure; the one a tritone from a dominant is the substitute's.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise, starmap

from lessonmaker.analysis.etude import Etude, connected, device_of, runs_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import chord_words, degree_words, listed
from lessonmaker.theory.chord import Chord, chord_tones, family, readings
from lessonmaker.theory.degree import is_chord_tone

__all__ = ["arpeggios_of"]

SMALLEST_LEAP, LARGEST_LEAP = 3, 12
THIRDS = (3, 4)
LARGEST_STACK_STEP = 5
FEWEST = 3
WHOLE_STEP = 2
SEVENTH_AND_SHARP_NINE = {"b7", "#9"}  # a third by name, a fourth by sound
# Tones of a chord that lie a whole step apart and yet are arpeggiated: the fifth and sixth of a sixth chord, the fourth
# and fifth of a suspended one, the raised fifth (by either name) and seventh of an altered dominant.
WHOLE_STEPS = [{"5", "6"}, {"4", "5"}, {"#5", "b7"}, {"b13", "b7"}]
OVER_THE_ROOT = [{"7", "1"}, {"b7", "1"}]
TRIADS = {"major": (0, 4, 7), "minor": (0, 3, 7)}
ROOT_NAMES = ("I", "bII", "II", "bIII", "III", "IV", "bV", "V", "bVI", "VI", "bVII", "VII")
DOMINANT_TRIADS = {(2, "major"), (3, "major"), (6, "major"), (8, "major"), (9, "major")} | {
    (1, "minor"),
    (3, "minor"),
    (6, "minor"),
}
# Triads over other chords that lie wholly, or but for one note, in the chord's tensions.
UPPER_TRIADS = {
    "dominant": DOMINANT_TRIADS,
    "altered": DOMINANT_TRIADS,
    "suspended": {(10, "major"), (2, "minor"), (5, "major")},
    "major": {(2, "major"), (11, "minor"), (6, "minor")},
    "minor": {(10, "major"), (5, "major"), (2, "minor")},
    "half-diminished": {(8, "major"), (10, "minor"), (1, "major")},
}
TRITONE = 6
LESS_COMMON = 0.25  # less sure, where the chord is no dominant


def arpeggios_of(etude: Etude) -> tuple[Device, ...]:
    """Arpeggios, upper-structure triads and triads of the tritone substitute."""
    found = [device for window in _leaping(etude) for device in _of_window(window)]
    return tuple(sorted(found, key=lambda device: (device.span.start, device.span.end)))


def _leaping(etude: Etude) -> Iterator[tuple[Heard, ...]]:
    """Stretches of the melody over one chord that move by thirds and more, also on from a seventh to the root."""
    joined: list[tuple[Heard, ...]] = []
    for run in runs_of(etude.melody, _leaps_on):
        if joined and _goes_on_over_the_root(joined[-1], run):
            joined[-1] = (*joined[-1], *run)
        else:
            joined.append(run)
    for run in joined:
        if len(run) >= FEWEST and run[0].chord is not None:
            yield run


def _goes_on_over_the_root(lower: Sequence[Heard], upper: Sequence[Heard]) -> bool:
    """Whether one stretch goes on in another an octave further, by the step between seventh and root."""
    if min(len(lower), len(upper)) < FEWEST or not connected(lower[-1], upper[0]):
        return False
    last, first = lower[-1], upper[0]
    step = first.pitch - last.pitch
    one_way = all(move * step > 0 for move in (last.pitch - lower[-2].pitch, upper[1].pitch - first.pitch))
    own = last.chord == first.chord and last.is_stable and first.is_stable
    return one_way and own and abs(step) <= WHOLE_STEP and {last.degree, first.degree} in OVER_THE_ROOT


def _leaps_on(earlier: Heard, later: Heard) -> bool:
    interval = abs(later.pitch - earlier.pitch)
    return (
        (SMALLEST_LEAP <= interval <= LARGEST_LEAP or _is_whole_step(earlier, later))
        and connected(earlier, later)
        and earlier.chord == later.chord
    )


def _is_whole_step(earlier: Heard, later: Heard) -> bool:
    """Whether two notes are tones of the chord that lie a whole step apart."""
    whole = abs(later.pitch - earlier.pitch) == WHOLE_STEP
    return whole and {earlier.degree, later.degree} in WHOLE_STEPS and _in_chord(earlier) and _in_chord(later)


def _in_chord(heard: Heard) -> bool:
    """Whether a note is a chord tone, or the flat thirteen that stands for an altered dominant's fifth."""
    altered = heard.chord is not None and family(readings(heard.chord)[0]) == "altered"
    return heard.is_stable or (altered and heard.degree == "b13")


def _of_window(window: tuple[Heard, ...]) -> list[Device]:
    stacks = [stack for stack in _stacks(window) if _is_arpeggio(stack)]
    triads = list(_upper_triads(window))
    long_stacks = [stack for stack in stacks if len(stack) > FEWEST and not _rests_after_its_first(stack)]
    triads = [triad for triad in triads if not any(_within(triad, stack) for stack in long_stacks)]
    stacks = [stack for stack in stacks if not any(_overlap(stack, triad) for triad in triads)]
    return [*map(_arpeggio, _turning(stacks)), *map(_upper, triads)]


# Arpeggios -----------------------------------------------------------------------------------------------


def _stacks(window: Sequence[Heard]) -> list[tuple[Heard, ...]]:
    """The longest stretches in one direction; neighbours share the note where the line turns."""
    stacks: list[list[Heard]] = [[window[0]]]
    for earlier, later in pairwise(window):
        here = stacks[-1]
        turned = len(here) > 1 and (here[1].pitch > here[0].pitch) != (later.pitch > earlier.pitch)
        if turned:
            stacks.append([earlier])
        stacks[-1].append(later)
    return [tuple(stack) for stack in stacks if len(stack) >= FEWEST]


def _own(heard: Heard) -> bool:
    return heard.is_stable


def _is_arpeggio(stack: Sequence[Heard]) -> bool:
    steps = [abs(later.pitch - earlier.pitch) for earlier, later in pairwise(stack)]
    tones = len({heard.pitch % 12 for heard in stack})
    if tones < FEWEST + (min(steps) < SMALLEST_LEAP) or max(steps) > LARGEST_STACK_STEP + 4:
        return False
    if all(map(_own, stack)):
        return True
    own = sum(map(_own, stack))
    return (
        own >= 2
        and all(starmap(_is_third, pairwise(stack)))
        and all(h.is_stable or h.is_available for h in stack)
    )


def _is_third(earlier: Heard, later: Heard) -> bool:
    """Whether two notes are a third apart, by sound or by name."""
    step = abs(later.pitch - earlier.pitch)
    return step in (*THIRDS, WHOLE_STEP) or {earlier.degree, later.degree} == SEVENTH_AND_SHARP_NINE


def _rests_after_its_first(stack: Sequence[Heard]) -> bool:
    """Whether a rest parts a stack's triad from a note before it: the triad is then heard by itself."""
    first, then = stack[:2]
    return len(stack) == FEWEST + 1 and then.note.onset > first.end


def _turning(stacks: Sequence[tuple[Heard, ...]]) -> list[tuple[Heard, ...]]:
    """Stacks that turn round on the same tones count as one arpeggio."""
    joined: list[tuple[Heard, ...]] = []
    for stack in stacks:
        if joined and joined[-1][-1] is stack[0] and _same_tones(joined[-1], stack):
            joined[-1] = (*joined[-1], *stack[1:])
        else:
            joined.append(stack)
    return joined


def _same_tones(one: Sequence[Heard], other: Sequence[Heard]) -> bool:
    first, second = {h.pitch % 12 for h in one}, {h.pitch % 12 for h in other}
    return first <= second or second <= first


def _number(heard: Heard) -> str:
    """A degree as players count an arpeggio: the chord's own third is 3, whatever its size."""
    degree = heard.degree or ""
    return degree.lstrip("b#") if heard.is_stable else degree


def _arpeggio(notes: tuple[Heard, ...]) -> Device:
    order = "-".join(map(_number, notes))
    first, last = notes[0].pitch, notes[-1].pitch
    turns = any(
        (b.pitch > a.pitch) != (c.pitch > b.pitch)
        for a, b, c in zip(notes, notes[1:], notes[2:], strict=False)
    )
    way = "up and down" if turns else "up" if last > first else "down"
    names = listed([f"the {degree_words(heard.degree or '')}" for heard in notes[:6]])
    text = f"An arpeggio {way} {chord_words(notes[0].chord)}: {names}."
    if len(notes) > 6:
        text = f"An arpeggio {way} {chord_words(notes[0].chord)}, from the {degree_words(notes[0].degree or '')} on."
    return device_of("arpeggio", notes, text, 0.85 if len(notes) > FEWEST else 0.5, detail=order)


# Triads --------------------------------------------------------------------------------------------------


def _upper_triads(window: tuple[Heard, ...]) -> Iterator[tuple[Heard, ...]]:
    """The longest stretches of the window that spell one triad foreign to the chord."""
    last = 0
    for first in range(len(window) - FEWEST + 1):
        best = _triad_end(window, first)
        if best > last and not _is_told_after_a_rest(window[first:best]):
            last = best
            yield window[first:best]


def _is_told_after_a_rest(triad: Sequence[Heard]) -> bool:
    """Whether a rest comes after the first note of a triad and all of its tones after the rest."""
    rest = triad[1].note.onset > triad[0].end
    return rest and len({heard.pitch % 12 for heard in triad[1:]}) == FEWEST


def _triad_end(window: Sequence[Heard], first: int) -> int:
    """Where the longest stretch from `first` on that spells an upper triad ends, or 0; one chord is under it all."""
    tones: set[int] = set()
    end = first
    while end < len(window) and len(tones | {window[end].pitch % 12}) <= FEWEST:
        tones.add(window[end].pitch % 12)
        end += 1
    chord = window[first].chord
    return end if len(tones) == FEWEST and chord is not None and _upper_name(tones, chord) else 0


def _upper_name(tones: set[int], chord: Chord) -> tuple[int, str] | None:
    """The triad's root above the chord's, and its kind; None if it is no upper structure of the chord."""
    heard = readings(chord)[0]
    for root in tones:
        for kind, shape in TRIADS.items():
            if {(root + step) % 12 for step in shape} == tones:
                name = ((root - heard.root.pitch_class) % 12, kind)
                if _is_printed(root, kind, chord):
                    return None
                return name if name in UPPER_TRIADS.get(family(heard), ()) else None
    return None


def _is_printed(root: int, kind: str, chord: Chord) -> bool:
    """Whether a triad is the one that a symbol prints over another bass: F in F/G, the chord's own."""
    printed = {(chord.root.pitch_class + step) % 12 for step in TRIADS[kind]}
    tones = chord_tones(replace(chord, bass=None)).keys()
    return chord.bass is not None and chord.root.pitch_class == root and printed <= tones


def _upper(notes: tuple[Heard, ...]) -> Device:
    chord = notes[0].chord
    assert chord is not None  # windows have one
    name = _upper_name({heard.pitch % 12 for heard in notes}, chord)
    assert name is not None  # the stretch was chosen for it
    above, kind = name
    degrees = list(dict.fromkeys(heard.degree or "" for heard in notes))
    names = listed([f"the {degree_words(degree)}" for degree in degrees])
    where = chord_words(chord)
    if above == TRITONE and kind == "major":
        text = f"A major triad from a tritone away over {where}, the triad of its substitute: {names}."
        return device_of("tritone-substitute triad", notes, text, 0.9, detail="bV")
    detail = ROOT_NAMES[above] + (" minor" if kind == "minor" else "")
    root = next(heard for heard in notes if (heard.pitch - readings(chord)[0].root.pitch_class) % 12 == above)
    text = f"A {kind} triad on the {degree_words(root.degree or '')} of {where}: {names}."
    foreign = not any(is_chord_tone(degree, chord) for degree in degrees)
    sure = 0.85 if foreign or len(notes) > FEWEST else 0.7
    if family(readings(chord)[0]) not in ("dominant", "altered"):
        sure -= LESS_COMMON
    return device_of("upper-structure triad", notes, text, sure, detail=detail)


def _within(inner: Sequence[Heard], outer: Sequence[Heard]) -> bool:
    return outer[0].note.onset <= inner[0].note.onset and inner[-1].note.onset <= outer[-1].note.onset


def _overlap(one: Sequence[Heard], other: Sequence[Heard]) -> bool:
    """Whether two stretches share more than a note."""
    return len({h.note.id for h in one} & {h.note.id for h in other}) > 1
