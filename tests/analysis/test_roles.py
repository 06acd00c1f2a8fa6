"""Roles and resolutions in lines: the situations of the trade (common practice, no source)."""

from __future__ import annotations

import pytest

# line, the place of the note in question, its degree, its role, the place of the note it resolves to
SITUATIONS = {
    "9 between root and third, off the beat, passes": ("[Cmaj7] C4e D4 E4 G4 C5h", 1, "9", "passing", 2),
    "4 passes between 5 and 3": ("[Cmaj7] G4e F4 E4 C4 G4h", 1, "4", "passing", 2),
    "11 passes on a dominant": ("[C7] G4e F4 E4 C4 Bb4h", 1, "11", "passing", 2),
    "a long 4 on major is never a tension": ("[Cmaj7] C4q F4h. | E4w", 1, "4", "approach", 2),
    "9 on the first beat is leaned on": ("[Cmaj7] D5q C5q G4h", 0, "9", "tension", 1),
    "a long 9 is leaned on": ("[Cmaj7] C4e E4 G4 D5h r", 3, "9", "tension", None),
    "9 leapt to is leaned on": ("[Cmaj7] C4e E4 G4 D5 C5 G4 E4q", 3, "9", "tension", 4),
    "#11 on major, long": ("[Cmaj7] E4e G4 B4 F#5h r", 3, "#11", "tension", None),
    "#5 on major seven": ("[Cmaj7] G#4h A4h", 0, "#5", "tension", None),
    "b13 on a dominant leapt to": ("[G7] B3e D4 F4 Eb5 D5h", 3, "b13", "tension", 4),
    "b9 leapt to resolves to the next chord's fifth": (
        "[G7] G4q F4 D4 B3e Ab4 | [C] G4w",
        4,
        "b9",
        "tension",
        5,
    ),
    "b9 leaned on on the beat": ("[G7] Ab4q G4q F4h", 0, "b9", "tension", 1),
    "b9 in a chromatic run approaches": ("[G7] B4e A4 B4 A4 r A4e Ab4 G4", 5, "b9", "approach", 6),
    "#9 a half step under the third approaches": ("[G7] G4e F4 D4 A#4 B4h", 3, "#9", "approach", 4),
    "#9 long is leaned on": ("[G7] G4e F4 D4 Bb4h r", 3, "#9", "tension", None),
    "#9 printed is leaned on": ("[G7#9] G4e F4 D4 Bb4 G4h", 3, "#9", "tension", None),
    "altered: b9 off the beat resolves": (
        "[A7alt] C#5e G4 E4 C#4 F4 A4 C5 Bb4 | [Dmaj7] A4w",
        7,
        "b9",
        "tension",
        8,
    ),
    "altered: b13 leapt to on the beat": (
        "[A7alt] C#5e G4 E4 C#4 F4 A4 C5 Bb4 | [Dmaj7] A4w",
        4,
        "b13",
        "tension",
        None,
    ),
    "altered: natural five contradicts": ("[A7alt] C#5e E4 G4 A4 C5h", 1, "5", None, None),
    "natural 7 passes between root and b7": ("[C7] C5e B4 Bb4 G4 E4h", 1, "7", "passing", 2),
    "chromatic between two chord tones passes": ("[Dm7] C5e C#5 D5 A4 F4h", 1, "7", "passing", 2),
    "chromatic from below approaches": ("[Cmaj7] C5e G4 C4 D#4 E4h", 3, "#9", "approach", 4),
    "approach to a tone of the next chord": ("[Dm7] D4q F4 A4 C5e Bb4 | [G7] B4w", 4, "b13", "approach", 5),
    "upper neighbour": ("[Cmaj7] G4e A4 G4 E4 C4h", 1, "13", "neighbour", 2),
    "lower chromatic neighbour": ("[Cmaj7] G4e F#4 G4 E4 C4h", 1, "#11", "neighbour", 2),
    "4 as a neighbour": ("[Cmaj7] E4e F4 E4 G4 C5h", 1, "4", "neighbour", 2),
    "enclosure: the first member": ("[C] C4e E4 G4 F4 D#4 E4 G4q", 3, "4", "approach", 5),
    "enclosure: the second member": ("[C] C4e E4 G4 F4 D#4 E4 G4q", 4, "#9", "approach", 5),
    "an arpeggio up to the 9 is no enclosure": ("[Em7] G4e B4 D5 F#5 E5 D5 B4q", 3, "9", "tension", 4),
    "a colour leapt to from a chord tone is no enclosure": (
        "[Dbmaj7] r e F5e G5 F5 Ab4 Eb5 F5 G5 F5",
        1,
        "#11",
        "neighbour",
        2,
    ),
    "#11 leapt to across a change": (
        "[Fmaj7] A4q C5 E5h | [Dbmaj7] r e G5e F5 Eb5 C5h",
        3,
        "#11",
        "tension",
        4,
    ),
    "an upper-structure triad is no enclosure": ("[C13] A4e D5 F#5 E5 D5h", 2, "#11", "tension", 3),
    "13 on minor passes in a scale": ("[Dm7] A4e B4 C5 A4 D4h", 1, "13", "passing", 2),
    "11 on minor leapt to is leaned on": ("[Dm7] D4e F4 A4 G5 F5h", 3, "11", "tension", 4),
    "b3 on minor is the third": ("[Cm7] Eb4w", 0, "b3", "chord tone", None),
    "4 of a suspended chord is a chord tone": ("[G7sus] C5w", 0, "4", "chord tone", None),
    "F/G: C is the fourth": ("[F/G] C5w", 0, "4", "chord tone", None),
    "9 on suspended": ("[G7sus] A4h G4h", 0, "9", "tension", 1),
    "bb7 of a diminished chord": ("[C°7] A4w", 0, "bb7", "chord tone", None),
    "b13 on diminished": ("[C°7] Ab4h Gb4h", 0, "b13", "tension", 1),
    "9 on half-diminished": ("[Cm7b5] D4h C4h", 0, "9", "tension", 1),
    "b5 of a half-diminished chord": ("[Cm7b5] Gb4w", 0, "b5", "chord tone", None),
    "6 on a sixth chord is a chord tone": ("[C6] A4w", 0, "6", "chord tone", None),
    "triplets pass": ("[Cmaj7] C4t D4 E4 G4q C5h", 1, "9", "passing", 2),
    "delayed resolution over another note": ("[G7] Ab4q. D4e G4h", 0, "b9", "tension", 2),
    "resolution is not sought for ever": ("[G7] Ab4q F4 D4 B3 | F4w | G4w", 0, "b9", "tension", None),
    "no delayed resolution a whole step up": (
        "[E7alt] G#4e Bb4 C5 r D4 D5 G#4 D4",
        2,
        "b13",
        "tension",
        None,
    ),
    "an enclosure delays the resolution": ("[C7] Db5q B4e Db5 C5h", 0, "b9", "tension", 3),
    "struck again over the next chord": (
        "[Dm7] D5e C5 A4 F4 E4q. Ab4e | [Db7] Ab4e F4 Db5 B4 Ab4h",
        5,
        "5",
        "anticipation",
        None,
    ),
    "a tone of both chords, struck again": (
        "[Dm7] D5e C5 A4 D4 E4q. F4e | [Db7] F4w",
        5,
        "b3",
        "chord tone",
        None,
    ),
    "across a rest of an eighth": ("[Cmaj7] D5e r C5 G4 E4h", 0, "9", "tension", 1),
}


@pytest.mark.parametrize("situation", SITUATIONS)
def test_situation(heard, situation: str) -> None:
    line, place, degree, role, target = SITUATIONS[situation]
    found = heard(line)
    resolves_to = None if target is None else found[target].note
    finding = found[place]
    assert (finding.degree, finding.role, finding.resolves_to) == (degree, role, resolves_to)


def test_chord_tones_resolve_nowhere(heard) -> None:
    found = heard("[Cmaj7] C4e E4 G4 B4 C5h")
    assert [finding.resolves_to for finding in found] == [None] * 5
    assert {finding.role for finding in found} == {"chord tone"}


def test_double_stops_resolve_to_the_nearest_voice(heard) -> None:
    found = heard("[Cmaj7] D5h C5h", second="F4h E4h")
    by_note = {finding.note: finding for finding in found}
    assert by_note["v1n0"].resolves_to == "v1n1"
    assert by_note["v2n0"].resolves_to == "v2n1"
