"""Printed chords that the line treats as another one.

Common practice, no source: a second step and its dominant are heard as one altered dominant where the line has at least
two altered colours before the dominant is printed, and nothing that contradicts it; a dominant as its tritone
substitute where the line spells the substitute's triad; a chord comes early or late where the line plays its tones,
foreign to what is printed, before or after its time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise, takewhile

from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.harmony import Hear
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Proposal
from lessonmaker.analysis.steps import Step, chord_steps, quality
from lessonmaker.analysis.words import degree_words, listed
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import Chord, chord_tones, family, readings
from lessonmaker.theory.degree import degree_of, is_chord_tone, is_tension
from lessonmaker.theory.pitch import Interval

__all__ = ["proposals_of"]

COLOURS = ("b9", "#9", "#11", "b13")
CONTRADICTING = ("9", "5", "13")
PASSING = ("passing", "neighbour", "approach")
FEWEST_COLOURS = 2
STEP = 2
SURE, QUITE_SURE = 0.85, 0.7
SUBSTITUTE_TRIAD = {"#11", "b7", "b9"}  # its root, third and fifth, as degrees of the printed dominant
FEWEST_MOVED, SHORTEST_MOVE, LONGEST_MOVE = (
    2,
    Fraction(1),
    Fraction(2),
)  # notes foreign to the print; quarters


def proposals_of(etude: Etude, hear: Sequence[Hear] = ()) -> tuple[Proposal, ...]:
    """What the author might hear instead of what is printed, where `hear` does not say it already."""
    steps = chord_steps(etude)
    found: list[Proposal] = []
    for finder in (_altered, _moved):
        _add(found, [each for one, other in pairwise(steps) for each in finder(etude, one, other)])
    _add(found, [each for step in steps for each in _substituted(etude, step)])
    said = [Span(start, end) for start, end, _ in hear]
    kept = [each for each in found if not any(_overlap(each.span, span) for span in said)]
    return tuple(sorted(kept, key=lambda each: each.span.start))


def _add(found: list[Proposal], more: Sequence[Proposal]) -> None:
    """Take what does not overlap a proposal that is already made."""
    for each in more:
        if not any(_overlap(each.span, known.span) for known in found):
            found.append(each)


def _overlap(one: Span, other: Span) -> bool:
    return one.start < other.end and other.start < one.end


# A second step and its dominant as one -------------------------------------------------------------------


def _altered(etude: Etude, second: Step, fifth: Step) -> Iterator[Proposal]:
    falls = (second.chord.root.pitch_class - fifth.chord.root.pitch_class) % 12
    if quality(second.chord) not in ("minor", "half-diminished") or quality(fifth.chord) != "dominant":
        return
    if falls != 7 or second.span.end != fifth.span.start:
        return
    hear = Chord(readings(fifth.chord)[0].root, "altered", text="7alt")
    before = etude.notes_between(second.span)
    colours = _named(_speaking(before), hear, COLOURS)
    after = etude.notes_between(fifth.span)
    if len(colours) < FEWEST_COLOURS or _contradicts(etude, (*before, *after), hear):
        return
    span = Span(second.span.start, fifth.span.end)
    names = listed([f"the {degree_words(degree)}" for degree in colours])
    text = (
        f"Before the dominant is printed the line has {names} of it, and nothing contradicts them: "
        "both chords can be heard as one altered dominant."
    )
    sure = SURE if len(colours) > FEWEST_COLOURS else QUITE_SURE
    yield Proposal("one altered dominant", span, hear, text, sure)


def _speaking(notes: Sequence[Heard]) -> list[Heard]:
    """The notes that speak for another chord: foreign to the printed one, and no ornament between two of its tones."""
    return [
        heard
        for place, heard in enumerate(notes)
        if not heard.is_stable
        and not (0 < place < len(notes) - 1 and _ornaments(notes[place - 1], heard, notes[place + 1]))
    ]


def _ornaments(before: Heard, heard: Heard, after: Heard) -> bool:
    """Whether a note goes by step from one tone of the chord to the same one or the next."""
    steps = abs(heard.pitch - before.pitch), abs(after.pitch - heard.pitch)
    return before.is_stable and after.is_stable and max(steps) <= STEP


def _named(notes: Sequence[Heard], chord: Chord, names: Sequence[str]) -> list[str]:
    """Which of some degrees of a chord sound, in the order of sounding."""
    degrees = (degree_of(heard.pitch % 12, chord) for heard in notes)
    return list(dict.fromkeys(degree for degree in degrees if degree in names))


def _contradicts(etude: Etude, notes: Sequence[Heard], chord: Chord) -> bool:
    """Whether a note that is no passing one is a natural fifth, ninth or thirteenth of the dominant."""
    return any(
        degree_of(heard.pitch % 12, chord) in CONTRADICTING
        and (etude.finding[heard.note.id].role not in PASSING or heard.is_strong)
        for heard in notes
    )


# A dominant as its substitute ----------------------------------------------------------------------------


def _substituted(etude: Etude, step: Step) -> Iterator[Proposal]:
    printed = readings(step.chord)[0]
    if family(printed) != "dominant" or set(COLOURS) & set(chord_tones(printed).values()):
        return
    own = [heard for heard in etude.notes_between(step.span) if heard.chord == step.chord]
    foreign = {*_named(_speaking(own), printed, COLOURS)}
    degrees = [heard.degree for heard in own]
    spelt = any(set(degrees[first : first + 3]) == SUBSTITUTE_TRIAD for first in range(len(own) - 2))
    if not (spelt and foreign >= SUBSTITUTE_TRIAD - {"b7"}) or _contradicts(etude, own, printed):
        return
    text = (
        "The line spells the triad a tritone away from the dominant (its sharp eleven, flat seventh and flat nine), "
        "and nothing contradicts it: the dominant can be heard as its substitute."
    )
    yield Proposal("tritone substitute", step.span, _tritone_away(printed), text, QUITE_SURE)


def _tritone_away(chord: Chord) -> Chord:
    names = (chord.root.transposed(Interval.parse(interval)) for interval in ("d5", "A4"))
    return Chord(min(names, key=lambda name: abs(name.fifths)), "dominant", text="7")


# Chords that the line plays early or late ----------------------------------------------------------------


def _moved(etude: Etude, one: Step, other: Step) -> Iterator[Proposal]:
    change = other.span.start
    if one.span.end != change:
        return
    before = etude.notes_between(Span(max(one.span.start, change - LONGEST_MOVE), change))
    early = _played(before[::-1], other.chord, one.chord)[::-1]
    if early and change - early[0].note.onset >= SHORTEST_MOVE:
        yield _move(early, Span(early[0].note.onset, change), other.chord, "early")
    after = etude.notes_between(Span(change, min(other.span.end, change + LONGEST_MOVE)))
    late = _played(after, one.chord, other.chord)
    if late and late[-1].end - change >= SHORTEST_MOVE:
        yield _move(late, Span(change, min(late[-1].end, other.span.end)), one.chord, "late")


def _played(notes: Sequence[Heard], played: Chord, printed: Chord) -> list[Heard]:
    """The notes from the first on that are tones of the chord played, if enough are foreign to the printed one."""
    run = list(takewhile(lambda heard: is_chord_tone(_degree(heard, played), played), notes))
    while run and not _is_foreign(run[-1], printed):
        run.pop()
    foreign = {heard.pitch % 12 for heard in run if _is_foreign(heard, printed)}
    return run if len(foreign) >= FEWEST_MOVED else []


def _degree(heard: Heard, chord: Chord) -> str:
    return degree_of(heard.pitch % 12, chord)


def _is_foreign(heard: Heard, chord: Chord) -> bool:
    degree = _degree(heard, chord)
    return not is_chord_tone(degree, chord) and not is_tension(degree, chord)


def _move(notes: Sequence[Heard], span: Span, chord: Chord, when: str) -> Proposal:
    degrees = dict.fromkeys(_degree(heard, chord) for heard in notes)
    names = listed([f"the {degree_words(degree)}" for degree in degrees])
    where, which = ("Before", "next") if when == "early" else ("After", "last")
    text = (
        f"{where} the change the line has {names} of the {which} chord, foreign to the printed one: "
        f"the {which} chord is played {when}."
    )
    return Proposal(
        f"chord played {when}", span, chord, text, SURE if len(notes) > FEWEST_MOVED else QUITE_SURE
    )
