"""Situations of the trade, each a short line with what must be heard in it and what must not.

Common practice, no source. They were written before the analysis was tried on them. What is to be heard of notes is
written `place=degree role>target`: places and targets count struck notes from 0, a dot leaves degree or role open, `>-`
says that the note resolves nowhere, no arrow leaves it open. `{3}` before a line is its metre with three quarters.
"""

import random
import re
from dataclasses import replace
from fractions import Fraction

import pytest

from lessonmaker.analysis.device_names import DeviceName, device_kind
from lessonmaker.analysis.model import Device, Finding
from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Score
from lessonmaker.score.position import format_position
from lessonmaker.theory.pitch import Interval
from lessonmaker.theory.signs import in_ascii
from tests.analysis import further_situations as further
from tests.analysis import situations_by_class as by_class
from tests.tools.heard_alike import FLATS, SHARPS, pitch, told, transposed

INTERVALS = [
    "m2",
    "M2",
    "m3",
    "M3",
    "P4",
    "A4",
    "d5",
    "P5",
    "m6",
    "M6",
    "m7",
    "M7",
    "P8",
    "-m2",
    "-M2",
    "-m3",
    "-M3",
    "-P4",
    "-P5",
    "-m6",
    "-P8",
]
LEAST = 0.4  # confidence below which nothing is told

HEARD = re.compile(r"(?P<place>\d+)=(?P<degree>\S+) (?P<role>[a-z. ]+?)(?P<target>>(?:\d+|-))?")
ROLES = {"chord": "chord tone", "none": None}

NOTES = {
    # Passing and neighbour notes
    "a minor scale fills in": (
        "[Dm7] D4e E4 F4 G4 A4 B4 C5 A4 | D4w",
        "1=9 passing>2; 3=11 passing>4; 5=13 passing>6",
    ),
    "a major scale down": ("[Fmaj7] C5e Bb4 A4 G4 F4h", "0=5 chord; 1=4 passing>2; 3=9 passing>4"),
    "half steps between root and seventh": ("[C7] C5e B4 Bb4 G4 E4h", "1=7 passing>2; 2=b7 chord"),
    "half steps from seventh to root": ("[C7] Bb4e B4 C5 G4 E4h", "1=7 passing>2"),
    "triplets to the seventh": ("[Cmaj7] G4t A4 B4 C5q E5h", "1=13 passing>2; 2=7 chord"),
    "sixteenths of a major scale": ("[Bbmaj7] D4s Eb4 F4 G4 A4q Bb4h", "1=4 passing>2; 3=13 passing>4"),
    "into the next bar of one chord": ("[Am7] A4q C5 E5 C5e B4 | A4w", "4=9 passing>5"),
    "into another chord": ("[Am7] E4q G4 A4 C5e B4 | [Fmaj7] A4w", "4=9 passing>5"),
    "a short step before the bar line stays": ("[Am7] E4q G4 A4 G4e F#4 | [G7] F4w", "4=13 passing>5"),
    "a passing note in three": ("{3/4}[Gm7] Bb4q A4e G4 F4q | D4h.", "1=9 passing>2"),
    "a passing note in six eight": ("{6/8}[Dm7] F4e G4 A4 C5 B4 A4 | D4h.", "1=11 passing>2; 4=13 passing>5"),
    "eleven passes on a dominant": ("[G7] B4e C5 D5 B4 G4h", "1=11 passing>2"),
    "eleven down a dominant": ("[G7] D5e C5 B4 G4 F4h", "1=11 passing>2"),
    "an upper neighbour": ("[Cmaj7] E4e F4 E4 G4 C5h", "1=4 neighbour>2"),
    "a lower neighbour by half step": ("[Am7] C5e B4 C5 A4 E4h", "1=9 neighbour>2"),
    "a lower neighbour outside the key": ("[G7] D5e C#5 D5 B4 G4h", "1=#11 neighbour>2"),
    "a flat nine as a neighbour": ("[C7] C5e Db5 C5 G4 E4h", "1=b9 neighbour>2"),
    "a neighbour in triplets": ("[Dm7] A4t Bb4 A4 F4q D4h", "1=b13 neighbour>2"),
    "a neighbour in six eight": ("{6/8}[Dm7] A4e G4 A4 F4 E4 F4 | D4h.", "1=11 neighbour>2; 4=9 neighbour>5"),
    "a neighbour over the bar line": ("[Cmaj7] C4q E4 G4 E4e D#4 | E4w", "4=#9 neighbour>5"),
    # Anticipations
    "the third of the next chord": ("[Dm7] D4q F4 A4 C5e B4~ | [G7] B4h G4", "4=3 anticipation"),
    "a tension of the next chord": ("[Dm7] D4q F4 A4 C5e A4~ | [G7] A4h G4", "4=9 anticipation>5"),
    "a flat nine comes early": ("[Dm7] D4q F4 A4 G4e Ab4~ | [G7] Ab4q G4h.", "4=b9 anticipation>5"),
    "early in three": ("{3/4}[Am7] A4q C5 C5e F#4~ | [D7] F#4h.", "3=3 anticipation"),
    "early in five": ("{5/4}[Dm7] D4q F4 A4 D5 C5e B4~ | [G7] B4w G4q", "5=3 anticipation"),
    "early in seven": ("{7/4}[Dm7] D4q F4 A4 C5 A4 F4 A4e B4~ | [G7] B4w G4h.", "7=3 anticipation"),
    "early in six eight": ("{6/8}[Dm7] D4q. F4q B4e~ | [G7] B4h.", "2=3 anticipation"),
    "early in twelve eight": ("{12/8}[Dm7] D4q. F4 A4 F4q B4e~ | [G7] B4w.", "4=3 anticipation"),
    "early by a triplet": ("[Dm7] D4q F4 A4 A4t C5 B4~ | [G7] B4h G4", "5=3 anticipation"),
    "early by a sixteenth": ("[Dm7] D4q F4 A4 C5e. B4s~ | [G7] B4h G4", "4=3 anticipation"),
    "early from the pickup": ("{pickup}rq. B4e~ | [Cmaj7] B4h G4", "0=7 anticipation"),
    "a plain pickup has no chord": (
        "{pickup}G4e A4 B4 D5 | [Cmaj7] C5w",
        "0=none none; 3=none none; 4=1 chord",
    ),
    "early over two bars of one chord": ("[Dm7] D4q F4 A4 F4e A4~ | A4h D4", "4=5 chord"),
    "early in the middle of the bar": ("[Dm7] D4q A4e B4~ [G7] B4q G4 | [Cmaj7] E4w", "2=3 anticipation"),
    "held from the last beat is late": ("[G7] G4q B4 D5 F5~ | [Cmaj7] F5q E5h.", "3=b7 suspension>4"),
    "held from before the last beat is late": (
        "[G7] B4q D5 re F5q.~ | [Cmaj7] F5q E5h.",
        "2=b7 suspension>3",
    ),
    "into silence there is no anticipation": ("[Dm7] D4q F4 A4 F4e A4~ | [N.C.] A4w", "4=5 chord"),
    "a short leap before the bar line is its own": ("[Dm7] F4q A4 D5 C5e B4 | [G7] G4w", "4=13 ."),
    # Suspensions
    "four to three": ("[Dm7] A4h C5~ | [G7] C5 B4", "1=b7 suspension>2"),
    "nine to one": ("[Dm7] F4h A4~ | [Gm] A4 G4", "1=5 suspension>2"),
    "seven rises to one": ("[G7] D4h B4~ | [Cm] B4 C5", "1=3 suspension>2"),
    "late in the middle of the bar": ("[Dm7] A4q C5~ [G7] C5 B4 | [Cmaj7] C5w", "1=b7 suspension>2"),
    "late in three": ("{3/4}[Dm7] A4q C5h~ | [G7] C5q B4h", "1=b7 suspension>2"),
    "a note that stays is none": ("[Dm7] A4h F4~ | [G7] F4 D4", "1=b3 chord"),
    "a note that leaps away is none": ("[Dm7] A4h C5~ | [G7] C5 G4", "1=b7 chord"),
    # Approaches
    "from below to the third": ("[G7] D5q G4 D5e A#4 B4q", "3=#9 approach>4"),
    "from above to the fifth": ("[Dm7] F4q D4 F4e Bb4 A4q", "3=b13 approach>4"),
    "into the next chord": ("[Dm7] D4q F4 A4 F4e D#4 | [Cmaj7] E4w", "4=b9 approach>5"),
    "two half steps from below": ("[G7] D5q G4 A4e A#4 B4q", "2=9 approach>4; 3=#9 approach>4"),
    "two half steps from above": ("[Cmaj7] C5q G4 F#4e F4 E4q", "2=#11 approach>4; 3=4 approach>4"),
    "a third that goes by half step": ("[Dm7] F4q D4 A4e A#4 | [G7] B4w", "2=5 chord"),
    "an enclosure from above": ("[Cmaj7] C4q E4 A4e F#4 G4q", "2=13 approach>4; 3=#11 approach>4"),
    "an enclosure from below": ("[Cmaj7] C4q E4 F#4e A4 G4q", "2=#11 approach>4; 3=13 approach>4"),
    "an enclosure of the root": ("[C7] G4q E4 Db5e B4 C5q", "2=b9 approach>4; 3=7 approach>4"),
    "an enclosure of the next chord": ("[Dm7] D4q A4 F4 F4e D#4 | [Cmaj7] E4w", "4=b9 approach>5"),
    "an enclosure after a rest": ("[G7] rh C5e A#4 B4q | [Cmaj7] C5w", "0=11 approach>2; 1=#9 approach>2"),
    "an enclosure in three": ("{3/4}[Gm7] G4q C5e A4 Bb4q | G4h.", "1=11 approach>3; 2=9 approach>3"),
    "an enclosure in six eight": ("{6/8}[Dm7] F4q. Bb4e G#4 A4 | D4h.", "1=b13 approach>3; 2=#11 approach>3"),
    "a sharp nine is leaned on before its enclosure": ("[C7] Db5q B4e Db5 C5h", "0=b9 tension>3"),
    # Tensions
    "a long nine": ("[Cmaj7] G4q E4 D5h", "2=9 tension"),
    "a long thirteen": ("[G7] D5q B4 E5h", "2=13 tension"),
    "a nine leapt to": ("[Dm7] F4e A4 E5 C5 A4h", "2=9 tension"),
    "a flat nine on the beat": ("[G7] Ab4q F4 G4h", "0=b9 tension>2"),
    "a flat nine over the bar line": ("[G7] B4q D5 F5 Ab5 | [Cmaj7] G5w", "3=b9 tension>4"),
    "a flat thirteen to the nine": ("[G7] B4q F4 Eb5h | [Cmaj7] D5w", "2=b13 tension"),
    "sharp nine, flat nine, root": ("[C7] D#5q Db5 C5h", "0=#9 tension; 1=b9 tension>2"),
    "a sharp eleven in a major chord": ("[Fmaj7] A4q C5 B4h | C5w", "2=#11 tension>3"),
    "eleven in a minor chord": ("[Dm7] D4q F4 G4h | A4w", "2=11 tension"),
    "a nine in a half-diminished chord": ("[Dm7b5] F4q Ab4 E5h | D5w", "2=9 tension>3"),
    "a major seventh in a diminished chord": ("[B°7] D5q F5 A#5h | B5w", "2=7 tension>3"),
    "a long eleven on a dominant is no tension": ("[G7] D5q B4 C5h | B4w", "2=11 neighbour>3"),
    "a long fourth on a major chord is no tension": ("[Cmaj7] G4q E4 F4h | E4w", "2=4 neighbour>3"),
    "a flat thirteen on minor is no tension": ("[Dm7] A4q F4 Bb4h | A4w", "2=b13 approach>3"),
    # Names of the same pitch
    "flat thirteen on a dominant": ("[C7] E4q G#4h.", "1=b13 tension"),
    "sharp five where the symbol says so": ("[C7#5] E4q Ab4h.", "1=#5 chord"),
    "sharp five of an augmented chord": ("[C+] E4q Ab4h.", "1=#5 chord"),
    "sharp five on major": ("[Cmaj7] E4q Ab4h.", "1=#5 tension"),
    "flat thirteen on altered": ("[C7alt] E4q G#4h.", "1=b13 tension"),
    "flat thirteen where the symbol says so": ("[C7b13] E4q G#4h.", "1=b13 tension"),
    "flat thirteen on half-diminished": ("[Cm7b5] Eb4q G#4h.", "1=b13 tension"),
    "flat thirteen on diminished": ("[C°7] Eb4q G#4h.", "1=b13 tension"),
    "flat thirteen on minor": ("[Cm7] Eb4q G#4h.", "1=b13 ."),
    "sharp nine on a dominant": ("[C7] E4q Eb5h.", "1=#9 tension"),
    "sharp nine on altered": ("[C7alt] E4q Eb5h.", "1=#9 tension"),
    "sharp nine on major": ("[Cmaj7] E4q Eb5h.", "1=#9 ."),
    "the third on minor": ("[Cm7] G4q D#5h.", "1=b3 chord"),
    "the third on half-diminished": ("[Cm7b5] Gb4q D#5h.", "1=b3 chord"),
    "the third on diminished": ("[C°7] Gb4q D#5h.", "1=b3 chord"),
    "sharp eleven on a dominant": ("[C7] E4q Gb4h.", "1=#11 tension"),
    "sharp eleven on a sixth chord": ("[C6] E4q Gb4h.", "1=#11 tension"),
    "sharp eleven on altered": ("[C7alt] E4q Gb4h.", "1=#11 tension"),
    "flat five where the symbol says so": ("[C7b5] E4q F#4h.", "1=b5 chord"),
    "flat five on half-diminished": ("[Cm7b5] Eb4q F#4h.", "1=b5 chord"),
    "flat five on diminished": ("[C°7] Eb4q F#4h.", "1=b5 chord"),
    "sharp eleven where the symbol says so": ("[C7#11] E4q Gb4h.", "1=#11 tension"),
    "thirteen on a dominant": ("[C7] E4q A4h.", "1=13 tension"),
    "thirteen on major seven": ("[Cmaj7] E4q A4h.", "1=13 tension"),
    "thirteen on minor seven": ("[Cm7] Eb4q A4h.", "1=13 tension"),
    "six on a triad": ("[C] E4q A4h.", "1=6 ."),
    "six on a sixth chord": ("[C6] E4q A4h.", "1=6 chord"),
    "six on a minor sixth chord": ("[Cm6] Eb4q A4h.", "1=6 chord"),
    "the seventh of a diminished chord": ("[C°7] Eb4q A4h.", "1=bb7 chord"),
    "thirteen on suspended": ("[C7sus] F4q A4h.", "1=13 tension"),
    "four is suspended's own": ("[C7sus] G4q F4h.", "1=4 chord"),
    "flat nine on suspended": ("[C7sus] F4q Db5h.", "1=b9 tension"),
    "the third on suspended is foreign": ("[C7sus] F4q E4h.", "1=3 ."),
    "a natural five on altered": ("[C7alt] E4q G4h.", "1=5 ."),
    "the root of altered": ("[C7alt] E4q C5h.", "1=1 chord"),
    # Slash chords
    "first inversion": ("[C/E] G4q E4 C4h", "0=5 chord; 1=3 chord; 2=1 chord"),
    "seventh in the bass": ("[Dm7/C] F4q C5h.", "0=b3 chord; 1=b7 chord"),
    "a triad over its seventh": ("[C/Bb] E4q Bb4h.", "0=3 chord; 1=b7 chord"),
    "a triad a step above the bass": ("[F/G] A4q C5 F4 G4", "0=9 .; 1=4 chord; 2=b7 chord; 3=1 chord"),
    "a flat triad a step above": ("[Ab/Bb] Eb4q Ab4 C5 G4", "0=4 chord; 1=b7 chord; 2=9 .; 3=13 tension"),
    "a minor seventh over its fourth": ("[Dm7/G] F4q C5 A4 E5", "0=b7 chord; 1=4 chord; 2=9 .; 3=13 tension"),
    "a fifth in the bass": ("[Am/E] C5q E5h.", "0=b3 chord; 1=5 chord"),
}


def tune_of(tune, line: str):
    """A situation's score: its metre, or that it has a pickup, stands before the line in braces."""
    match = re.match(r"\{(?P<option>[^}]*)\}", line)
    option = match["option"] if match else "4/4"
    text = line[match.end() :] if match else line
    return tune(text, pickup=True) if option == "pickup" else tune(text, option)


def disagreements(found: list[Finding], expected: str) -> list[str]:
    """What is expected and not heard."""
    wrong = []
    for part in expected.split("; "):
        match = HEARD.fullmatch(part)
        assert match is not None, part
        finding = found[int(match["place"])]
        degree, role, target = match["degree"], match["role"], match["target"]
        aim = None if target in (None, ">-") else found[int(target[1:])].note
        right = (
            (degree == "." or finding.degree == (None if degree == "none" else degree))
            and (role == "." or finding.role == ROLES.get(role, role))
            and (target is None or finding.resolves_to == aim)
        )
        if not right:
            wrong.append(f"{part} but {finding.degree} {finding.role} {finding.resolves_to}")
    return wrong


EVERY_NOTE = NOTES | further.NOTES | by_class.NOTES


@pytest.mark.parametrize("name", EVERY_NOTE)
def test_notes_are_heard_as_players_name_them(tune, name: str) -> None:
    line, expected = EVERY_NOTE[name]
    found = list(analyse(tune_of(tune, line)).findings)
    assert disagreements(found, expected) == []


# `kind@first-last:detail`, the places those of the notes struck; what is left out is open. `-kind` must not be there.
DEVICES_HEARD = {
    # Enclosures and approaches
    "an enclosure of the third": ("[G7] D5q G4 C5e A#4 B4q", "enclosure@1.3-1.4:3 -double approach"),
    "an enclosure from below first": ("[Cmaj7] C5q B4 D#4e F4 E4q", "enclosure@1.3-1.4:3 -double approach"),
    "an enclosure across the bar line": (
        "[Dm7] F5q A5 G5 F5e D#5 | [Cmaj7] E5w",
        "enclosure@1.4-2.1:3 -double approach",
    ),
    "an enclosure in three four": ("{3/4}[Gm7] G4q C5e A4 Bb4q | G4h.", "enclosure@1.2-1.3:b3"),
    "two from below are no enclosure": (
        "[G7] D5q G4 A4e A#4 B4q | [Cmaj7] C5w",
        "double approach@1.3-1.4:3 -enclosure",
    ),
    "two from above are no enclosure": (
        "[Cmaj7] C5q G4 F#4e F4 E4q | G4w",
        "double approach@1.3-1.4:3 -enclosure",
    ),
    "a turn round a chord tone is no enclosure": ("[Cmaj7] E4e F4 E4 D4 E4h", "-enclosure -double approach"),
    "a scale has no enclosure": (
        "[Dm7] D4e E4 F4 G4 A4 B4 C5 D5 | C5w",
        "-enclosure -double approach -chromatic approach",
    ),
    "thirds step by step have no enclosure": ("[Cmaj7] C4e E4 D4 F4 E4 G4 F4 A4 | G4w", "-enclosure"),
    "an arpeggio has no approach": (
        "[Am7] A4e C5 E5 G5 E5 C5 A4q",
        "-enclosure -double approach -chromatic approach",
    ),
    "one half step into the third": (
        "[G7] D5q G4 D5e A#4 B4q | [Cmaj7] C5w",
        "chromatic approach@1.3&-1.4:3 -enclosure -double approach",
    ),
    # Arpeggios and triads
    "three five seven nine of a minor chord": (
        "[Dm7] F4e A4 C5 E5 D5h",
        "arpeggio@1.1-1.2&:3-5-7-9 -upper-structure triad",
    ),
    "seven five three one": ("[Fmaj7] E5e C5 A4 F4 G4h", "arpeggio@1.1-1.2&:7-5-3-1 -upper-structure triad"),
    "the chord's own triad": (
        "[G7] G4e B4 D5 G5 D5h",
        "arpeggio -upper-structure triad -tritone-substitute triad",
    ),
    "the third, fifth and seventh": (
        "[C7] E4e G4 Bb4 G4 E4h",
        "-upper-structure triad -tritone-substitute triad",
    ),
    "a major triad on the second": ("[C7] D5e F#5 A5 D6 C6h | [Fmaj7] A5w", "upper-structure triad:II"),
    "a major triad on the flat third": (
        "[C7] Eb5e G5 Bb5 G5 Eb5h | [Fmaj7] C5w",
        "upper-structure triad:bIII",
    ),
    "a major triad on the flat sixth": (
        "[C7] Ab4e C5 Eb5 Ab5 G5h | [Fmaj7] A5w",
        "upper-structure triad:bVI -arpeggio",
    ),
    "a major triad on the sixth": (
        "[C7] A4e C#5 E5 A5 G5h | [Fmaj7] A5w",
        "upper-structure triad:VI -arpeggio",
    ),
    "a minor triad on the flat second": (
        "[C7] Db5e E5 Ab5 E5 Db5h | [Fmaj7] C5w",
        "upper-structure triad:bII minor",
    ),
    "a minor triad on the flat third": (
        "[C7] Eb5e Gb5 Bb5 Gb5 Eb5h | [Fmaj7] C5w",
        "upper-structure triad:bIII minor",
    ),
    "a minor triad on the flat fifth": (
        "[C7] Gb4e A4 Db5 A4 Gb4h | [Fmaj7] A4w",
        "upper-structure triad:bV minor",
    ),
    "the triad a tritone away": (
        "[C7] Gb4e Bb4 Db5 Bb4 Gb4h | [Fmaj7] A4w",
        "tritone-substitute triad -upper-structure triad",
    ),
    "a printed substitute is its own triad": (
        "[Gb7] Gb4e Bb4 Db5 Bb4 Gb4h | [Fmaj7] A4w",
        "arpeggio -tritone-substitute triad -upper-structure triad",
    ),
    "a triad in triplets": ("[C7] Gb4t Bb4 Db5 Gb5 Db5 Bb4 A4h | [Fmaj7] A4w", "tritone-substitute triad"),
    # Sequences
    "a figure down by whole steps": (
        "[Cmaj7] E5e C5 D5 G4 D5 Bb4 C5 F4 | C5 Ab4 Bb4 Eb4 G4h",
        "sequence:exact",
    ),
    "a figure up the scale": ("[Cmaj7] C5e E5 D5 G4 D5 F5 E5 A4 | E5 G5 F5 B4 C5h", "sequence:diatonic"),
    "three five one of each chord": (
        "[Dm7] F4e A4 D5q [G7] B4e D5 G5q | [Cmaj7] E4e G4 C5q [Fmaj7] A4e C5 F5q | [Bm7b5] D5w",
        "sequence:through the changes",
    ),
    "the same bar twice is no sequence": (
        "[Dm7] D4e F4 A4 C5 B4 A4 F4 E4 | D4e F4 A4 C5 B4 A4 F4 E4 | D4w",
        "-sequence",
    ),
    # Cross rhythms
    "threes over four": ("[C7] G4e Bb4 E5 G4 Bb4 E5 G4 Bb4 | E5 G4 Bb4 E5 C5h", "cross rhythm:3"),
    "dotted quarters over four": (
        "[Dm7] A4q. D5q. F5q~ | F5e E5q. C5q. A4e~ | A4q D5q. A4q. | D5w",
        "cross rhythm",
    ),
    "two and three over four": (
        "[Dm7] A4q D5q. A4q D5e~ | D5q A4q D5q. A4e~ | A4e D5q. rh | D5w",
        "cross rhythm:2+3",
    ),
    "twos over three": ("{3/4}[Dm7] A4h D5q~ | D5q A4h | D5h A4q~ | A4q D5h", "cross rhythm"),
    "fours fit four": ("[Dm7] D4e F4 A4 C5 E5 C5 A4 F4 | D4 F4 A4 C5 E5 C5 A4 F4 | D4w", "-cross rhythm"),
    "threes fit six eight": ("{6/8}[Dm7] D4e F4 A4 D4 F4 A4 | D4 F4 A4 D4 F4 A4 | D4h.", "-cross rhythm"),
    "threes fit three four by quarters": (
        "{3/4}[Dm7] D4q F4 A4 | D4 F4 A4 | D4 F4 A4 | D4h.",
        "-cross rhythm",
    ),
    "triplets are no cross rhythm": ("[Cmaj7] C4t D4 E4 F4 E4 D4 C4 D4 E4 F4 E4 D4 | C4w", "-cross rhythm"),
    # Runs, leaps, oblique motion
    "five half steps": ("[G7] D5e Db5 C5 B4 Bb4 A4 G4q | [Cmaj7] E4w", "chromatic run@1.1-1.3& -enclosure"),
    "two half steps are no run": ("[G7] D5e Db5 C5 A4 B4h", "-chromatic run"),
    "wide leaps that turn": ("[Cmaj7] C4e B4 D4 C5 E4 D5 F4 E5 | [Am7] G4w", "angular leaps"),
    "an arpeggio is not angular": ("[Am7] A3e C4 E4 G4 B4 G4 E4 C4 | A3w", "-angular leaps"),
    "a top note that stays": (
        "[Dm7] A5e D5 A5 C#5 A5 C5 A5 B4 | [G7] A5w",
        "oblique motion@1.1- -angular leaps",
    ),
    "a bottom note that stays": ("[G7] G4e D5 G4 E5 G4 F5 G4 F#5 | G5w", "oblique motion@1.1-"),
    # Guide tones and resolutions
    "seventh to third": (
        "[Dm7] C5w | [G7] B4w | [Cmaj7] B4w | [Fmaj7] A4w",
        "guide-tone line@1.1-4.1:7-3-7-3",
    ),
    "roots are no guide tones": ("[Dm7] D4w | [G7] G4w | [Cmaj7] C4w", "-guide-tone line"),
    "a flat nine goes to the fifth": (
        "[G7] B4q D5 F5 Ab5 | [Cmaj7] G5w",
        "resolution@1.4-2.1:b9 -> 5 -delayed resolution",
    ),
    "a flat nine goes home late": ("[G7] Ab4q F4e B3 G4h", "delayed resolution@1.1-1.3:b9 -> 1"),
    "a suspension resolves": ("[Dm7] A4h C5~ | [G7] C5 B4", "resolution:b7 -> 3"),
    # Phrases
    "a line over the four bars": (
        "[Dm7] F4h A4 | [G7] G4h B4 | [Cmaj7] E4h G4 | [Am7] A4e C5 E5 C5 A4 G4 E4 C5~ | [Dm7] C5q A4 F4h | rw",
        "over-the-barline phrase",
    ),
    "a motif comes back": (
        "[Dm7] re A4 D5q F5h | [G7] rw | [Cmaj7] rw | [Dm7] re A4 D5q F5h | [G7] rw | rw",
        "motif",
    ),
    "a figure a beat later": ("[Dm7] A4q D5e F5 E5h | rq A4q D5e F5 E5q~ | E5w", "displacement"),
    "a motif upside down": (
        "[Dm7] A4q. C5e G4q E4q | rw | [G7] G4q. E4e A4q C5q | rw | [Cmaj7] E4w",
        "motif:inverted",
    ),
    "an arpeggio up and down is no motif": ("[Dm7] D4q. F4e A4q C5q | rw | C5q. A4e F4q D4q | rw", "-motif"),
    "a motif twice as slow": (
        "[Dm7] D4e A4 F4 C5 G4 rq. | rw | [Dm7] D4q A4 F4 C5 | G4q rh. | rw",
        "motif:other rhythm",
    ),
    "a motif in another rhythm": (
        "[Dm7] D4e A4 F4 C5 G4 E4q. | rw | [Dm7] D4q. A4e F4q C5 | G4e E4q rq. rq | rw",
        "motif:other rhythm",
    ),
    "five other notes are no motif": (
        "[Dm7] D4e A4 F4 C5 G4 rq. | rw | [Dm7] D4q G4 F4 E5 | G4q rh. | rw",
        "-motif",
    ),
    "a rhythm alone a beat later": (
        "[Dm7] A4q. C5e D5e A4e G4q | rq D4q. F4e E4e C4e | D4q rh. | rw",
        "displacement:rhythm",
    ),
    "a rhythm at its place is not displaced": (
        "[Dm7] A4q. C5e D5e A4e rq | D4q. F4e G4e E4e rq | rw",
        "-displacement",
    ),
    "a figure of two bars": (
        "[Cmaj7] C5e E5 D5 B4 C5 A4 G4 B4 | A4 F4 G4 E4 F4 A4 G4 E4 | "
        "[Dmaj7] D5e F#5 E5 C#5 D5 B4 A4 C#5 | B4 G4 A4 F#4 G4 B4 A4 F#4 | E4w",
        "sequence:exact",
    ),
    "a scale is no motif": ("[Dm7] D4e E4 F4 G4 A4h | rw | [G7] D4e E4 F4 G4 A4h | rw", "-motif"),
}

# Bars of chords, parted by |; then key, numerals, devices of the harmony with their details.
HARMONY_HEARD = {
    "a plain two five one": (
        "Dm7|G7|Cmaj7|Cmaj7",
        "C major: ii7 V7 Imaj7",
        "two five one:ii-V-I, cadence, -minor cadence",
    ),
    "two chords a bar": ("Dm7 G7|Cmaj7|Dm7 G7|Cmaj7", "C major: ii7 V7 Imaj7 ii7 V7 Imaj7", "two five one"),
    "a two five that does not go home": (
        "Em7|A7|Dm7|G7|Cmaj7|Cmaj7",
        "C major: iii7 V7/ii ii7 V7 Imaj7",
        "two five one:ii-V-I, secondary dominant:V7/ii",
    ),
    "two five one in minor": ("Dm7b5|G7b9|Cm7|Cm7", "C minor: iiø7 V7 i7", "minor cadence, -cadence"),
    "minor with an altered dominant": ("Dm7b5|G7alt|Cm6|Cm6", "C minor: iiø7 V7alt i6", "minor cadence"),
    "a minor two five into major": (
        "Cmaj7|Cmaj7|Dm7b5|G7b9|Cmaj7|Cmaj7",
        "C major: Imaj7 iiø7 V7 Imaj7",
        "two five one:iiø-V-I, -minor cadence",
    ),
    "minor and its fourth": ("Cm7|Fm7|Dm7b5 G7|Cm7", "C minor: i7 iv7 iiø7 V7 i7", "minor cadence"),
    "a substitute for the dominant": (
        "Dm7|Db7|Cmaj7|Cmaj7",
        "C major: ii7 bII7 Imaj7",
        "two five one:ii-subV-I, substitute dominant",
    ),
    "a substitute before the dominant": (
        "Cmaj7|Ab7|G7|Cmaj7",
        "C major: Imaj7 subV7/V V7 Imaj7",
        "substitute dominant:subV7/V",
    ),
    "a substitute before the second step": (
        "Cmaj7|Eb7|Dm7|G7|Cmaj7|Cmaj7",
        "C major: Imaj7 subV7/ii ii7 V7 Imaj7",
        "substitute dominant:subV7/ii",
    ),
    "a flat two dominant that falls a fifth is no substitute": (
        "Abm7|Db7|Gbmaj7|Gbmaj7",
        "Gb major: ii7 V7 Imaj7",
        "two five one, -substitute dominant",
    ),
    "the backdoor": (
        "Cmaj7|Fm7|Bb7|Cmaj7",
        "C major: Imaj7 iv7 bVII7 Imaj7",
        "backdoor dominant, -secondary dominant",
    ),
    "a flat seven that goes to its fifth": (
        "Ebmaj7|Fm7|Bb7|Ebmaj7",
        "Eb major: Imaj7 ii7 V7 Imaj7",
        "two five one, -backdoor dominant",
    ),
    "a secondary dominant of the fifth": (
        "Cmaj7|D7|G7|Cmaj7",
        "C major: Imaj7 V7/V V7 Imaj7",
        "secondary dominant:V7/V",
    ),
    "a secondary dominant of the sixth": (
        "Cmaj7|E7|Am7|Dm7 G7|Cmaj7",
        "C major: Imaj7 V7/vi vi7 ii7 V7 Imaj7",
        "secondary dominant:V7/vi",
    ),
    "a secondary dominant of the fourth": (
        "Cmaj7|C7|Fmaj7|G7|Cmaj7|Cmaj7",
        "C major: Imaj7 V7/IV IVmaj7 V7 Imaj7",
        "secondary dominant:V7/IV",
    ),
    "a two five of the second step": (
        "Cmaj7|Em7b5 A7|Dm7|G7|Cmaj7|Cmaj7",
        "C major: Imaj7 iiø7/ii V7/ii ii7 V7 Imaj7",
        "secondary dominant",
    ),
    "a two five of the fourth": (
        "Cmaj7|Gm7 C7|Fmaj7|Dm7 G7|Cmaj7",
        "C major: Imaj7 ii7/IV V7/IV IVmaj7 ii7 V7 Imaj7",
        "secondary dominant:V7/IV",
    ),
    "one six two five": ("Cmaj7 A7|Dm7 G7|Cmaj7 A7|Dm7 G7|Cmaj7", "C major:", "turnaround:I-VI-II-V"),
    "three six two five": ("Em7 A7|Dm7 G7|Cmaj7|Cmaj7", "C major:", "turnaround:III-VI-II-V"),
    "four dominants": ("E7|A7|D7|G7|Cmaj7|Cmaj7", "C major:", "cycle of dominants"),
    "two dominants are no cycle": ("Cmaj7|D7|G7|Cmaj7", "C major:", "-cycle of dominants"),
    "suspended and then plain": (
        "Dm7|G7sus G7|Cmaj7|Cmaj7",
        "C major: ii7 V7sus V7 Imaj7",
        "two five one:ii-V-I",
    ),
    "the slash that suspends": ("Dm7|F/G|Cmaj7|Cmaj7", "C major: ii7 V7sus Imaj7", "two five one:ii-V-I"),
    "a leading diminished chord": (
        "Cmaj7|B°7|Cmaj7|Cmaj7",
        "C major: Imaj7 vii°7 Imaj7",
        "-secondary dominant",
    ),
    "a passing diminished chord": (
        "Cmaj7 C#°7|Dm7 G7|Cmaj7|Cmaj7",
        "C major: Imaj7 #i°7 ii7 V7 Imaj7",
        "two five one",
    ),
    "a blues": ("C7|F7|C7|C7|F7|F7|C7|A7|Dm7|G7|C7|G7", "C blues:", "blues form"),
    "a minor blues is no major": (
        "Cm7|Cm7|Cm7|Cm7|Fm7|Fm7|Cm7|Cm7|Ab7|G7|Cm7|Cm7",
        "C minor:",
        "-key change",
    ),
    "one chord for eight bars": ("Dm7|Dm7|Dm7|Dm7|Dm7|Dm7|Dm7|Dm7", "D minor:", "modal stretch:dorian"),
    "minor and the dominant above it, to and fro": (
        "Dm7|G7|Dm7|G7|Dm7|G7|Dm7|G7",
        "D dorian: i7 IV7 i7 IV7 i7 IV7 i7 IV7",
        "modal stretch:dorian, -two five, -two five one",
    ),
    "to and fro, two chords a bar": (
        "Dm7 G7|Dm7 G7|Dm7 G7|Dm7 G7|Dm7 G7|Dm7 G7",
        "D dorian:",
        "modal stretch:dorian",
    ),
    "to and fro and then home": (
        "Dm7 G7|Dm7 G7|Dm7 G7|Dm7 G7|Cmaj7|Cmaj7",
        "C major:",
        "two five one, -modal stretch",
    ),
    "the dominant first": ("G7|Dm7|G7|Dm7|G7|Dm7|G7|Dm7", "G mixolydian:", "modal stretch:mixolydian"),
    "a dominant and the triad below it": ("G7|F|G7|F|G7|F|G7|F", "G mixolydian:", "modal stretch:mixolydian"),
    "a half step up and back": (
        "Em7|Fmaj7|Em7|Fmaj7|Em7|Fmaj7|Em7|Fmaj7",
        "E phrygian:",
        "modal stretch:phrygian",
    ),
    "two major chords": ("Fmaj7|G|Fmaj7|G|Fmaj7|G|Fmaj7|G", "F lydian:", "modal stretch:lydian"),
    "two minor chords": ("Am7|Bm7|Am7|Bm7|Am7|Bm7|Am7|Bm7", "A dorian:", "modal stretch:dorian"),
    "tonic and dominant are no vamp": ("Cmaj7|G7|Cmaj7|G7|Cmaj7|G7|Cmaj7|G7", "C major:", "-modal stretch"),
    "an altered dominant is no vamp": (
        "Dm7|G7alt|Dm7|G7alt|Dm7|G7alt|Cmaj7|Cmaj7",
        "C major:",
        "-modal stretch",
    ),
    "twice is no vamp": ("Dm7|G7|Dm7|G7|Em7|A7|Dm7|G7", "C major:", "-modal stretch"),
    "up a half step": ("Dm7|Dm7|Dm7|Dm7|Ebm7|Ebm7|Ebm7|Ebm7", "D dorian, Eb dorian:", "modal stretch:dorian"),
    "two keys": (
        "Dm7|G7|Cmaj7|Cmaj7|Fm7|Bb7|Ebmaj7|Ebmaj7",
        "C major, Eb major: ii7 V7 Imaj7 ii7 V7 Imaj7",
        "key change, two five one",
    ),
    "silence of the chords": ("Dm7|G7|N.C.|Cmaj7", "C major:", "-two five one"),
    "an inversion is no other chord": ("Cmaj7|C/E|F|G7|C|C", "C major: Imaj7 I IV V7 I", "-key change"),
    "seventh in the bass": (
        "C|C/Bb|F/A|Fm/Ab|C/G|G7|C|C",
        "C major: I V7/IV IV iv I V7 I",
        "secondary dominant:V7/IV",
    ),
    "two five one in flats": ("Bbm7|Eb7|Abmaj7|Abmaj7", "Ab major: ii7 V7 Imaj7", "two five one:ii-V-I"),
    "two five one in sharps": ("F#m7|B7|Emaj7|Emaj7", "E major: ii7 V7 Imaj7", "two five one:ii-V-I"),
}
SPAN = re.compile(
    r"(?P<not>-)?(?P<kind>[a-z][a-z -]*?)(?:@(?P<first>[\d.&]*)-(?P<last>[\d.&]*))?(?::(?P<detail>.+))?"
)


def parts_of(text: str) -> list[str]:
    """The parts of what is expected: `-kind` begins one too."""
    return [part.strip() for part in re.split(r",\s*| (?=-[a-z])", text) if part.strip()]


def missing(score: Score, expected: str) -> list[str]:
    """What is expected of the devices and not so."""
    onsets = {note.id: note.onset for note in score.struck}
    devices = [device for device in analyse(score).devices if device.confidence >= LEAST]
    return [part for part in parts_of(expected) if not _holds(part, devices, score, onsets)]


def _holds(part: str, devices: list[Device], score: Score, onsets: dict[str, Fraction]) -> bool:
    match = SPAN.fullmatch(part)
    assert match is not None, part
    assert device_kind(match["kind"]) == match["kind"], part
    name = DeviceName(match["kind"], match["detail"] or "")
    found = [device for device in devices if name.fits(device)]
    if match["not"]:
        return not found
    ends = [
        (
            format_position(score, device.span.start),
            format_position(score, onsets[device.notes[-1]]) if device.notes else "",
        )
        for device in found
    ]
    return any(
        (match["first"] or "") in ("", first) and (match["last"] or "") in ("", last) for first, last in ends
    )


EVERY_DEVICE = (
    DEVICES_HEARD | further.DEVICES_HEARD | further.DEVICES_HEARD_OTHERWISE | by_class.DEVICES_HEARD
)


@pytest.mark.parametrize("name", EVERY_DEVICE)
def test_devices_are_heard_where_they_are_and_not_where_they_are_not(tune, name: str) -> None:
    line, expected = EVERY_DEVICE[name]
    assert missing(tune_of(tune, line), expected) == []


def changes_of(tune, bars: str) -> Score:
    """A score of chords alone: each bar's chords share it evenly."""
    lengths = {1: "w", 2: "h", 4: "q"}
    parts = [bar.split() for bar in bars.split("|")]
    return tune(" | ".join(" ".join(f"[{chord}] r{lengths[len(bar)]}" for chord in bar) for bar in parts))


EVERY_HARMONY = HARMONY_HEARD | further.HARMONY_HEARD | by_class.HARMONY_HEARD


@pytest.mark.parametrize("name", EVERY_HARMONY)
def test_harmony_is_heard_in_its_key(tune, name: str) -> None:
    bars, expected, devices = EVERY_HARMONY[name]
    score = changes_of(tune, bars)
    found = analyse(score)
    keys, _, numerals = expected.partition(":")
    assert keys == "." or [in_ascii(f"{key.tonic} {key.mode}") for key in found.keys] == keys.split(", ")
    if numerals:
        assert [function.numeral for function in found.functions] == numerals.split()
    assert missing(score, devices) == []


@pytest.mark.parametrize("line", by_class.SCALES_HEARD)
def test_scales_are_named_where_they_are_used_and_not_where_a_note_is_missed(tune, line: str) -> None:
    uses = [use for use in analyse(tune(line)).scales if use.confidence >= LEAST]
    told = {in_ascii(f"{use.root} {use.scale}") for use in uses} | {use.scale for use in uses}
    for part in by_class.SCALES_HEARD[line].split(", "):
        assert (part.lstrip("-") in told) is not part.startswith("-")


@pytest.mark.parametrize("line", by_class.PROPOSALS_HEARD)
def test_another_chord_is_proposed_where_the_line_says_so(tune, line: str) -> None:
    proposals = analyse(tune(line)).proposals
    kinds = {each.kind for each in proposals}
    told = {in_ascii(f"{each.kind}:{each.hear.root}{each.hear.text}") for each in proposals} | kinds
    for part in by_class.PROPOSALS_HEARD[line].split(", "):
        assert (part.lstrip("-") in told) is not part.startswith("-")


@pytest.mark.parametrize("line", by_class.PHRASES_HEARD)
def test_phrases_begin_and_end_where_one_breathes(tune, line: str) -> None:
    score = tune_of(tune, line)
    place = {note.id: number for number, note in enumerate(score.struck)}
    found = [f"{place[each.notes[0]]}-{place[each.notes[-1]]}" for each in analyse(score).phrases]
    assert ", ".join(found) == by_class.PHRASES_HEARD[line]


# Situations hold many kinds of devices, where lines made at random have few: they are the same in every key.
ALIKE = (NOTES, further.NOTES, DEVICES_HEARD, further.DEVICES_HEARD)
SITUATIONS = [line for some in ALIKE for line, _ in some.values()]


def respelt(score: Score, choose: random.Random) -> Score:
    """Every note by its sharp or its flat name, as it comes."""
    notes = (
        replace(note, sounding=pitch(note.sounding.midi, choose.choice((SHARPS, FLATS))))
        for note in score.notes
    )
    return replace(score, notes=tuple(notes))


def tied_anew(score: Score, choose: random.Random) -> Score:
    """Every note written as one to four, tied, of any lengths."""
    notes = []
    for note in (each for each in score.notes if not each.tied_on):
        parts = [choose.randint(1, 3) for _ in range(choose.randint(1, 4))]
        time = note.onset
        for place, part in enumerate(parts):
            length = note.held * Fraction(part, sum(parts))
            rest = {} if place == 0 else {"id": f"{note.id}t{place}", "held": Fraction(0), "tied_on": True}
            notes.append(replace(note, onset=time, duration=length, **rest))
            time += length
    return replace(score, notes=tuple(notes))


@pytest.mark.parametrize("line", SITUATIONS)
def test_a_situation_is_heard_alike_in_any_key_spelling_and_ties(tune, line: str) -> None:
    score, choose = tune_of(tune, line), random.Random(line)
    here = told(analyse(score))
    for interval in choose.sample(INTERVALS, 3):
        assert told(analyse(transposed(score, Interval.parse(interval)))) == here
    assert told(analyse(respelt(score, choose))) == here
    assert told(analyse(tied_anew(score, choose))) == here


@pytest.mark.parametrize("name", HARMONY_HEARD | further.HARMONY_HEARD)
def test_harmony_is_heard_alike_in_another_key(tune, name: str) -> None:
    score = changes_of(tune, (HARMONY_HEARD | further.HARMONY_HEARD)[name][0])
    interval = random.Random(name).choice(INTERVALS)
    assert told(analyse(transposed(score, Interval.parse(interval)))) == told(analyse(score))
