"""What each note does in its line: its role, and the note it resolves to.

Common practice, no source: a tension is leaned on (long, on a strong beat, leapt to, or a colour of the
dominant that is no part of a chromatic run); short notes that fill in by step pass; notes that reach a chord
tone by half step from a weak place, or surround it, or lead to it by two half steps, approach. Fourths over a
major third only ever pass.
"""

from __future__ import annotations

from fractions import Fraction

from lessonmaker.analysis.lines import Heard, Line
from lessonmaker.analysis.model import Role
from lessonmaker.theory.chord import Chord, chord_tones, family, readings

__all__ = ["BEAT", "STEP", "arrives", "encloses", "resolution", "role_of"]

STEP = 2
FIFTH = 7
LONG = Fraction(3, 2)
BEAT = Fraction(1)
RESOLVES_WITHIN = Fraction(2)
RESOLVES_NOTES = 4
COLOURS = ("b9", "#9", "#11", "b13", "#5", "7")


def role_of(heard: Heard, line: Line) -> Role | None:
    """The role of a note that is neither an anticipation nor a suspension by its tie.

    None where no chord sounds, and for a note foreign to its chord that no step joins to anything.
    """
    if heard.chord is None or heard.degree is None:
        return None
    if heard.is_stable:
        return "chord tone"
    if heard.is_available:
        return _available_role(heard, line)
    return _foreign_role(heard, line)


# The shapes a line can have round a note ----------------------------------------------------------------


def _step(one: Heard, other: Heard) -> bool:
    return 1 <= abs(other.pitch - one.pitch) <= STEP


def _is_long(heard: Heard, line: Line) -> bool:
    if heard.note.held >= LONG:
        return True
    around = [near for near in (line.before(heard), line.after(heard)) if near is not None]
    return heard.note.held >= BEAT and all(near.note.held < heard.note.held for near in around)


def _turns_back(heard: Heard, line: Line) -> bool:
    """A neighbour: a step away from a note and back to it."""
    before, after = line.before(heard), line.after(heard)
    return before is not None and after is not None and before.pitch == after.pitch and _step(before, heard)


def _fills(heard: Heard, line: Line) -> bool:
    """A step in and a step out the same way."""
    before, after = line.before(heard), line.after(heard)
    if before is None or after is None or not (_step(before, heard) and _step(heard, after)):
        return False
    return (heard.pitch - before.pitch > 0) == (after.pitch - heard.pitch > 0)


def _surrounds(heard: Heard, line: Line) -> bool:
    """A member of an enclosure: the upper and lower neighbour of a chord tone, in either order, then the tone.

    Two whole steps are a third of an arpeggio or an upper structure, and a chord tone with a colour of the
    chord beside it is a leap to a tension that steps back: neither is an enclosure.
    """
    before, after = line.before(heard), line.after(heard)
    as_first = after is not None and encloses(heard, after, line.after(after))
    return as_first or (before is not None and encloses(before, heard, after))


def encloses(first: Heard, second: Heard, target: Heard | None) -> bool:
    """Whether two notes are the upper and lower neighbour of a chord tone, and short enough to lead to it."""
    if target is None or not target.is_stable or max(first.note.held, second.note.held) > BEAT:
        return False
    above, below = sorted((first.pitch - target.pitch, second.pitch - target.pitch), reverse=True)
    if not (1 <= above <= STEP and -STEP <= below <= -1) or above - below == 2 * STEP:
        return False
    leans = any(
        member.is_available and member.degree in COLOURS and member.pitch - target.pitch != -1
        for member in (first, second)
    )
    return not (leans and (first.is_stable or second.is_stable))


def _half_step_up(heard: Heard, line: Line) -> bool:
    after = line.after(heard)
    return after is not None and after.is_stable and after.pitch - heard.pitch == 1


def _half_step_down_to_the_fifth(heard: Heard, line: Line) -> bool:
    """A sharp five strives up: one that falls back to the fifth only approaches it."""
    after = line.after(heard)
    return heard.degree == "#5" and after is not None and after.is_stable and heard.pitch - after.pitch == 1


def _chromatic_run(heard: Heard, line: Line) -> bool:
    before, after = line.before(heard), line.after(heard)
    if before is None or after is None or not _fills(heard, line):
        return False
    return abs(heard.pitch - before.pitch) == 1 == abs(after.pitch - heard.pitch)


def _joins_a_third(heard: Heard, line: Line) -> bool:
    before, after = line.before(heard), line.after(heard)
    if before is None or after is None or not _fills(heard, line):
        return False
    return before.is_stable and after.is_stable and abs(after.pitch - before.pitch) in (3, 4)


def _aimed_at(heard: Heard, line: Line) -> Heard | None:
    """The chord tone that a short note and the next one arrive at: an enclosure, or two half steps."""
    second = line.after(heard)
    target = None if second is None else line.after(second)
    if second is None or target is None or not arrives(second, target) or heard.note.held >= BEAT:
        return None
    return target if encloses(heard, second, target) or _doubles(heard, second, target) else None


def arrives(last: Heard, target: Heard) -> bool:
    """Whether a line comes to rest on a note: on a beat, or by staying longer than it did on the one before."""
    return target.is_on_a_beat or target.note.held > last.note.held


def _doubles(first: Heard, second: Heard, target: Heard) -> bool:
    """Whether two notes lead by half steps from one side into a chord tone."""
    half_steps = second.pitch - first.pitch == target.pitch - second.pitch in (1, -1)
    return half_steps and target.is_stable and not second.is_stable


def _double_approach(heard: Heard, line: Line) -> bool:
    second, target = line.after(heard), _aimed_at(heard, line)
    return second is not None and target is not None and _doubles(heard, second, target)


def _printed(heard: Heard) -> bool:
    """Whether the chord symbol itself says this colour."""
    return heard.chord is not None and heard.degree in chord_tones(readings(heard.chord)[0]).values()


# Roles --------------------------------------------------------------------------------------------------


def _available_role(heard: Heard, line: Line) -> Role:
    if _is_long(heard, line):
        return "tension"
    if heard.is_strong:
        return "tension" if _aimed_at(heard, line) is None else "approach"
    if _turns_back(heard, line):
        return "neighbour"
    if _surrounds(heard, line):
        return "approach"
    if _joins_a_third(heard, line):
        return "passing"
    return _colour_role(heard, line) if heard.degree in COLOURS else _natural_role(heard, line)


def _natural_role(heard: Heard, line: Line) -> Role:
    if _double_approach(heard, line):
        return "approach"
    return "passing" if _fills(heard, line) else "tension"


def _colour_role(heard: Heard, line: Line) -> Role:
    if _printed(heard):
        return "tension"
    if _chromatic_run(heard, line):
        return _run_role(heard, line)
    approaches = (_half_step_up, _half_step_down_to_the_fifth, _double_approach)
    return "approach" if any(leads(heard, line) for leads in approaches) else "tension"


def _run_role(heard: Heard, line: Line) -> Role:
    """In a run of half steps: the last before a chord tone approaches it, unless it joins two chord tones."""
    before, after = line.before(heard), line.after(heard)
    arrives = after is not None and after.is_stable
    return "approach" if arrives and before is not None and not before.is_stable else "passing"


def _foreign_role(heard: Heard, line: Line) -> Role | None:
    before, after = line.before(heard), line.after(heard)
    if _turns_back(heard, line) and before is not None and (before.is_stable or before.is_available):
        return "neighbour"
    if _surrounds(heard, line):
        return "approach"
    if _fills(heard, line):
        return _run_role(heard, line) if _chromatic_run(heard, line) else "passing"
    if _leads_on(heard, after) or _double_approach(heard, line) or _target(heard, line) is not None:
        return "approach"
    left = before is not None and before.is_stable and _step(before, heard)
    return "neighbour" if left and heard.note.held < LONG else None


def _leads_on(heard: Heard, after: Heard | None) -> bool:
    """Whether a note goes by step to a chord tone, or by half step to any note of the next chord."""
    if after is None or not _step(heard, after):
        return False
    return after.is_stable or (after.chord != heard.chord and abs(after.pitch - heard.pitch) == 1)


# Resolution ---------------------------------------------------------------------------------------------


def resolution(heard: Heard, role: Role | None, line: Line) -> str | None:
    """The id of the note that a tension or a foreign note resolves to: by step, to a chord tone, soon.

    Passing and neighbour notes resolve at once or not at all; tensions, approaches, anticipations that are
    no chord tone and suspensions may take a few notes (a delayed resolution, an enclosure). A tension may come to rest
    on a tension of the next chord (flat thirteen to nine). Of chord tones the fourth of a suspended chord goes to its
    third, and where a chord falls a fifth its seventh to the next third, a dominant's third to the next root.
    """
    if role is None:
        return None
    target = _resolved_by(heard, role, line)
    return None if target is None else target.note.id


def _resolved_by(heard: Heard, role: Role, line: Line) -> Heard | None:
    if heard.is_stable and role != "suspension":
        return _let_go(heard, line) or _guided(heard, line)
    if role in ("passing", "neighbour"):
        after = line.after(heard)
        direct = after is not None and _step(heard, after) and _more_stable(after, heard)
        return after if direct else _next_colour(heard, line)
    aimed = _aimed_at(heard, line) if role == "approach" else None
    return aimed or _target(heard, line) or _next_colour(heard, line)


def _more_stable(later: Heard, earlier: Heard) -> bool:
    return later.is_stable or (later.is_available and not earlier.is_available)


def _let_go(heard: Heard, line: Line) -> Heard | None:
    """The third to which the fourth of a suspended chord falls, once the chord on its root has one."""
    after = line.after(heard) if heard.degree == "4" else None
    if heard.chord is None or after is None or after.chord is None:
        return None
    one, other = readings(heard.chord)[0], readings(after.chord)[0]
    own = one.root.pitch_class == other.root.pitch_class and "3" in chord_tones(other).values()
    return after if own and after.is_stable and heard.pitch - after.pitch == 1 else None


def _guided(heard: Heard, line: Line) -> Heard | None:
    """Where a guide tone goes at once, as its chord falls a fifth: seventh to third, a dominant's third to root."""
    after = line.next(heard) if heard.degree in ("3", "7", "b7") else None
    if after is None or heard.chord is None or after.chord is None or not after.is_stable:
        return None
    roots = [readings(chord)[0].root.pitch_class for chord in (heard.chord, after.chord)]
    if (roots[0] - roots[1]) % 12 != FIFTH:
        return None
    falls = heard.pitch - after.pitch
    seventh = heard.degree in ("b7", "7") and after.degree in ("3", "b3") and 1 <= falls <= STEP
    leading = heard.degree == "3" and after.degree == "1" and falls == -1 and _is_dominant(heard.chord)
    return after if seventh or leading else None


def _is_dominant(chord: Chord) -> bool:
    return family(readings(chord)[0]) in ("dominant", "altered")


def _next_colour(heard: Heard, line: Line) -> Heard | None:
    """The tension of the next chord on which a tension comes to rest at once: by half step, or a whole step down."""
    after = line.after(heard)
    if after is None or after.chord == heard.chord or not (heard.is_available and after.is_available):
        return None
    near = abs(after.pitch - heard.pitch) == 1 or heard.pitch - after.pitch == STEP
    rests = after.is_strong and after.note.held >= max(heard.note.held, BEAT)
    return after if near and rests else None


def _target(heard: Heard, line: Line) -> Heard | None:
    """Where a note resolves: at once by any step; later only by half step, or by whole step downwards."""
    for count, later in enumerate(line.following(heard)):
        if count >= RESOLVES_NOTES or later.note.onset - heard.end > RESOLVES_WITHIN:
            return None
        upward_whole_step = later.pitch - heard.pitch == STEP
        if later.is_stable and _step(heard, later) and not (count and upward_whole_step):
            return later
    return None
