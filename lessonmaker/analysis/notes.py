"""The analysis of a score: chord, degree, role and resolution of every struck note.

Common practice, no source: a note that enters off the beat at the end of a bar and is held over the bar line
belongs to the next bar's chord; a note held over a change of chord keeps its label and is a suspension where
it moves by step to a tone of the new chord. A short note that is foreign to its chord, and is struck again at home
in the next, belongs to the next too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from lessonmaker.analysis.harmony import Harmony, same_harmony
from lessonmaker.analysis.lines import Heard, Line, position_in_bar
from lessonmaker.analysis.model import Finding, Role
from lessonmaker.analysis.roles import resolution, role_of
from lessonmaker.score.model import Bar, Note, Score
from lessonmaker.theory.chord import Chord, family
from lessonmaker.theory.degree import degree_of, is_chord_tone

__all__ = ["heard_notes", "notes_found"]

LONGEST_FREE_BEAT = Fraction(1)


def heard_notes(score: Score, harmony: Harmony) -> tuple[Heard, ...]:
    """Every struck note with the chord it is heard against, in the order of `score.struck`."""
    heard = tuple(_hear(note, score.bars[note.bar], harmony) for note in score.struck)
    lines = _lines(heard)
    return tuple(_announcing(each, lines[each.note.voice]) for each in heard)


def notes_found(heard: Sequence[Heard], harmony: Harmony) -> tuple[Finding, ...]:
    """One finding a struck note, each voice of the printed order by itself."""
    lines = _lines(heard)
    return tuple(_finding(each, lines[each.note.voice], harmony) for each in heard)


def _lines(heard: Sequence[Heard]) -> dict[int, Line]:
    """Each voice as a line."""
    voices = {each.note.voice for each in heard}
    return {voice: Line([each for each in heard if each.note.voice == voice]) for voice in voices}


def _announcing(heard: Heard, line: Line) -> Heard:
    """A short note that is struck again over the next chord, foreign here and at home there, as one of that chord."""
    if heard.chord is None or heard.is_stable or heard.is_available or heard.note.held > LONGEST_FREE_BEAT:
        return heard
    later = line.next(heard)
    if later is None or later.pitch != heard.pitch or later.chord == heard.chord or not later.is_stable:
        return heard
    return replace(heard, chord=later.chord, degree=later.degree, anticipates=True)


def _hear(note: Note, bar: Bar, harmony: Harmony) -> Heard:
    own = _sounding(harmony.at(note.onset))
    coming = _anticipated(note, bar, own, harmony)
    chord = own if coming is None else coming
    degree = None if chord is None else degree_of(note.sounding.midi % 12, chord)
    return Heard(note, bar, chord, degree, anticipates=coming is not None)


def _sounding(chord: Chord | None) -> Chord | None:
    return None if chord is None or family(chord) == "none" else chord


def _anticipated(note: Note, bar: Bar, own: Chord | None, harmony: Harmony) -> Chord | None:
    """The chord of the next bar, or later in this one, that the note belongs to; None for its own."""
    if note.onset + note.held > bar.end and _enters_last_off_beat(note.onset, bar):
        coming = _sounding(harmony.at(bar.end))
        return None if same_harmony(coming, own) else coming
    return _anticipated_within(note, bar, own, harmony)


def _enters_last_off_beat(onset: Fraction, bar: Bar) -> bool:
    beat = bar.metre.beat_starts[-1]
    length = bar.metre.bar_quarters - beat
    into = position_in_bar(onset, bar) - beat
    return into > 0 if length <= LONGEST_FREE_BEAT else into >= length / 2


def _anticipated_within(note: Note, bar: Bar, own: Chord | None, harmony: Harmony) -> Chord | None:
    """Before a change inside the bar, a note foreign to the old chord and at home in the new is the new's."""
    changes = harmony.changes_within(note.onset, note.onset + note.held)
    if not changes or changes[0][0] >= bar.end or own is None:
        return None
    time, coming = changes[0]
    off_beat = position_in_bar(note.onset, bar) not in bar.metre.beat_starts
    if coming is None or not off_beat or time - note.onset >= LONGEST_FREE_BEAT:
        return None
    pitch_class = note.sounding.midi % 12
    at_home = is_chord_tone(degree_of(pitch_class, coming), coming)
    foreign = not is_chord_tone(degree_of(pitch_class, own), own)
    return coming if at_home and foreign else None


def _finding(heard: Heard, line: Line, harmony: Harmony) -> Finding:
    role = _role(heard, line, harmony)
    return Finding(heard.note.id, heard.chord, heard.degree, role, resolution(heard, role, line))


def _role(heard: Heard, line: Line, harmony: Harmony) -> Role | None:
    if heard.anticipates:
        return "anticipation"
    if _is_suspended(heard, line, harmony):
        return "suspension"
    return role_of(heard, line)


def _is_suspended(heard: Heard, line: Line, harmony: Harmony) -> bool:
    changes = harmony.changes_within(heard.note.onset, heard.end)
    if heard.chord is None or not changes:
        return False
    coming, after = _sounding(changes[-1][1]), line.after(heard)
    if coming is None or after is None or not 1 <= abs(after.pitch - heard.pitch) <= 2:
        return False
    dissonant = not is_chord_tone(degree_of(heard.pitch % 12, coming), coming)
    return dissonant and is_chord_tone(degree_of(after.pitch % 12, coming), coming)
