"""Enclosures and approaches: how the line aims at a chord tone.

Common practice, no source: an enclosure plays the target's upper and lower neighbours, then the target; either side may
have two notes that close in by step. A tension that is held may be enclosed too. Two notes from one side alone are a
double approach; one half step into a chord tone is a chromatic approach.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from lessonmaker.analysis.etude import Etude, connected, device_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.roles import BEAT, STEP, arrives, encloses
from lessonmaker.analysis.words import chord_words, degree_words

__all__ = ["approaches_of"]

ON_THE_BEAT, OFF_THE_BEAT = 0.85, 0.6
DOUBLE_CONFIDENCE, SINGLE_CONFIDENCE = 0.8, 0.5
THIRDS = (3, 4)
FARTHEST = 3  # semitones from the target, where one side of an enclosure has two notes


def approaches_of(etude: Etude) -> tuple[Device, ...]:
    """Enclosures, double approaches and chromatic approaches of the melody, none inside another."""
    line = etude.melody
    found: list[Device] = []
    taken: set[str] = set()
    for finder in (_wide_enclosure, _enclosure, _double_approach, _single_approach):
        for place in range(len(line)):
            device = finder(etude, line, place)
            if device is not None and device.notes[0] not in taken:
                found.append(device)
                taken.update(device.notes[:-1])
    return tuple(sorted(found, key=lambda device: (device.span.start, device.span.end)))


def _following(line: Sequence[Heard], place: int, count: int) -> tuple[Heard, ...]:
    """A note and those that follow it without a rest: `count` in all, or nothing."""
    notes = tuple(line[place : place + count])
    whole = len(notes) == count and all(connected(a, b) for a, b in pairwise(notes))
    return notes if whole else ()


def _target_words(target: Heard) -> str:
    return f"the {degree_words(target.degree or '')} of {chord_words(target.chord)}"


def _enclosure(_: Etude, line: Sequence[Heard], place: int) -> Device | None:
    notes = _following(line, place, 3)
    if not notes or not (encloses(*notes) or _encloses_a_tension(*notes)) or _broken_thirds(line, place):
        return None
    return _enclosure_device(notes)


def _wide_enclosure(_: Etude, line: Sequence[Heard], place: int) -> Device | None:
    """One or two notes from one side, then two that close in from the other, the last of them by half step."""
    for count in (2, 1):
        notes = line[place : place + count + 3]
        closes = len(notes) == count + 3 and _closes_in(notes[:count], notes[count:-1], notes[-1])
        if closes and _following(line, place, count + 3):
            return _enclosure_device(notes)
    return None


def _closes_in(first: Sequence[Heard], second: Sequence[Heard], target: Heard) -> bool:
    if abs(second[-1].pitch - target.pitch) != 1 or not target.is_stable or second[-1].is_stable:
        return False
    from_first, from_second = ([heard.pitch - target.pitch for heard in side] for side in (first, second))
    near = abs(from_first[-1]) <= STEP and max(abs(from_first[0]), abs(from_second[0])) <= FARTHEST
    apart = near and from_first[0] * from_second[0] < 0
    short = apart and all(heard.note.held < BEAT for heard in (*first, *second))
    return short and _nears(from_first) and _nears(from_second) and arrives(second[-1], target)


def _nears(distances: Sequence[int]) -> bool:
    """Whether notes come nearer to their target by step, from one side."""
    return all(0 < abs(one) - abs(other) <= STEP and one * other > 0 for one, other in pairwise(distances))


def _encloses_a_tension(first: Heard, second: Heard, target: Heard) -> bool:
    """Whether a tension that is held is played from both sides, the second time by a half step foreign to the chord."""
    held = target.is_available and target.note.held >= max(BEAT, 2 * second.note.held)
    foreign = second.chord == target.chord and not second.is_stable and not second.is_available
    one, other = first.pitch - target.pitch, second.pitch - target.pitch
    return held and foreign and 1 <= abs(one) <= STEP and abs(other) == 1 and one * other < 0


def _enclosure_device(notes: Sequence[Heard]) -> Device:
    *around, target = notes
    below_first = around[0].pitch < target.pitch
    order = "from below and from above" if below_first else "from above and from below"
    text = f"An enclosure takes {_target_words(target)} {order}."
    sure = ON_THE_BEAT if target.is_on_a_beat else OFF_THE_BEAT
    return device_of("enclosure", notes, text, sure, [around, (target,)], target.degree or "")


def _broken_thirds(line: Sequence[Heard], place: int) -> bool:
    """Whether the three notes are part of a scale in broken thirds: third, step back, third, in even notes."""
    fours = (line[first : first + 4] for first in (place - 1, place) if first >= 0)
    return any(_turns_in_thirds(four) for four in fours if len({heard.note.held for heard in four}) == 1)


def _turns_in_thirds(four: Sequence[Heard]) -> bool:
    steps = [later.pitch - earlier.pitch for earlier, later in pairwise(four)]
    if len(steps) < 3:
        return False
    one, back, other = steps
    thirds = abs(one) in THIRDS and abs(other) in THIRDS and one * other > 0
    return thirds and abs(back) <= 2 and one * back < 0


def _double_approach(_: Etude, line: Sequence[Heard], place: int) -> Device | None:
    notes = _following(line, place, 3)
    if not notes or not notes[2].is_stable or notes[1].is_stable or notes[0].chord is None:
        return None
    first, second = notes[1].pitch - notes[0].pitch, notes[2].pitch - notes[1].pitch
    if first * second <= 0 or abs(second) != 1 or abs(first) > 2 or not arrives(*notes[1:]):
        return None
    if abs(first) == 2 and notes[0].is_stable:
        return None
    if _comes_by_step(line, place, first) or _goes_on_by_step(line, place + 2, second):
        return None
    side = "below" if second > 0 else "above"
    text = f"Two notes from {side} approach {_target_words(notes[2])}."
    sure = DOUBLE_CONFIDENCE if first == second else OFF_THE_BEAT
    return device_of("double approach", notes, text, sure, [notes[:2], notes[2:]], notes[2].degree or "")


def _as_short(one: Heard, other: Heard) -> bool:
    return one.note.held <= other.note.held


def _comes_by_step(line: Sequence[Heard], place: int, way: int) -> bool:
    """Whether the line was already on its way in the same direction by step, without having stood still."""
    if (
        place == 0
        or not connected(line[place - 1], line[place])
        or not _as_short(line[place - 1], line[place])
    ):
        return False
    step = line[place].pitch - line[place - 1].pitch
    return step * way > 0 and abs(step) <= 2


def _goes_on_by_step(line: Sequence[Heard], place: int, way: int) -> bool:
    """Whether the line only passes through, by half step in the same direction."""
    if (
        place + 1 >= len(line)
        or not connected(line[place], line[place + 1])
        or not _as_short(line[place], line[place - 1])
    ):
        return False
    step = line[place + 1].pitch - line[place].pitch
    return step * way > 0 and abs(step) == 1


def _single_approach(etude: Etude, line: Sequence[Heard], place: int) -> Device | None:
    notes = _following(line, place, 2)
    if not notes or not notes[1].is_stable or abs(notes[1].pitch - notes[0].pitch) != 1:
        return None
    if etude.finding[notes[0].note.id].role != "approach":
        return None
    side = "below" if notes[1].pitch > notes[0].pitch else "above"
    text = f"A half step from {side} leads into {_target_words(notes[1])}."
    return device_of(
        "chromatic approach", notes, text, SINGLE_CONFIDENCE, [notes[:1], notes[1:]], notes[1].degree or ""
    )
