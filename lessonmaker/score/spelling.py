"""Spelling an edition: its keys, its chord roots and its notes.

Everything moves along the line of fifths. An edition's interval moves keys, roots and notes by the same
number of fifths, which keeps the author's spelling; an enharmonic switch moves them by twelve more. Rules
(common practice, no source): keys have the fewest accidentals, at most six, six against six keep the
source's direction; no root is C flat, F flat, E sharp or B sharp; chords that follow each other by fourths
or fifths switch together, and the line switches with its chords; no note has a double accidental.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from lessonmaker.score.model import Change, Note, Score
from lessonmaker.theory.chord import Chord, chord_tones
from lessonmaker.theory.pitch import STEPS, Interval, NoteName, Pitch

__all__ = ["Spelling", "choose_key", "concert_fifths", "enharmonic", "spell"]

TURN = 12
LOWEST_ROOT, HIGHEST_ROOT = -6, 10  # G flat to A sharp on the line of fifths
SWITCH_COST = 0.4
BREAK_COST = 1.0
BREAK_FOURTH_COST = 3.0


@dataclass(frozen=True)
class Spelling:
    """What an edition prints: key signatures by bar, pitches by note id, chords by change id.

    `respelt` holds the ids of notes that no longer stand where the interval alone would put them, `switched`
    those of chords that left the key's direction, `keys_switched` the bars whose key did.
    """

    keys: tuple[int, ...]
    pitches: dict[str, Pitch]
    chords: dict[str, Chord | None]
    respelt: frozenset[str]
    switched: frozenset[str]
    keys_switched: frozenset[int]


def choose_key(fifths: int, source_fifths: int) -> int:
    """The key signature to print for a key: the one with the fewest accidentals.

    Args:
        fifths: the key as the interval gives it; G sharp major is 8.
        source_fifths: the key signature of the source, whose direction decides between six and six.
    """
    turned = [fifths + TURN * turns for turns in range(-2, 3)]
    fewest = min(abs(key) for key in turned)
    best = [key for key in turned if abs(key) == fewest]
    return max(best, key=lambda key: (key * source_fifths > 0, key == fifths))


def concert_fifths(score: Score) -> tuple[int, ...]:
    """The sounding key of each bar, on the line of fifths."""
    found, moved = [], score.transposition.fifths
    by_bar: dict[int, Note] = {}
    for note in score.notes:
        by_bar.setdefault(note.bar, note)
    for bar in score.bars:
        if bar.index in by_bar:
            note = by_bar[bar.index]
            moved = note.written.name.fifths - note.sounding.name.fifths
        found.append(bar.key.fifths - moved)
    return tuple(found)


def enharmonic(turn: int) -> Interval:
    """The interval that sounds nothing and moves a spelling by whole turns of the line of fifths."""
    return Interval(-turn // TURN, 0)


def spell(score: Score, interval: Interval) -> Spelling:
    """Spell a score for an edition written an interval above sounding pitch; octaves stay as the interval says."""
    raw = [fifths + interval.fifths for fifths in concert_fifths(score)]
    keys = tuple(choose_key(key, bar.key.fifths) for key, bar in zip(raw, score.bars, strict=True))
    turns = [key - was for key, was in zip(keys, raw, strict=True)]
    named = [change for change in score.changes if change.chord is not None]
    chord_turns = _chord_turns(named, [turns[change.bar] for change in named], interval)
    chords: dict[str, Chord | None] = {change.id: None for change in score.changes}
    for change, turn in zip(named, chord_turns, strict=True):
        chords[change.id] = _moved_chord(change, interval, turn)
    pitches, respelt = _spell_notes(score, interval, keys, turns, named, chord_turns, chords)
    switched = frozenset(
        change.id for change, turn in zip(named, chord_turns, strict=True) if turn != turns[change.bar]
    )
    keys_switched = frozenset(bar.index for bar in score.bars if turns[bar.index])
    return Spelling(keys, pitches, chords, respelt, switched, keys_switched)


def _moved_chord(change: Change, interval: Interval, turn: int) -> Chord | None:
    chord = change.chord
    if chord is None:
        return None
    root = NoteName.from_fifths(chord.root.fifths + interval.fifths + turn)
    bass = None if chord.bass is None else _plain(chord.bass.fifths + interval.fifths + turn)
    return Chord(root, chord.kind, chord.degrees, bass, chord.text)


def _plain(fifths: int) -> NoteName:
    """A name without a double accidental."""
    name = NoteName.from_fifths(fifths)
    return (
        name if abs(name.alter) < 2 else NoteName.from_fifths(fifths - TURN * (1 if name.alter > 0 else -1))
    )


def _chord_turns(changes: Sequence[Change], key_turns: Sequence[int], interval: Interval) -> list[int]:
    """For each chord, the turns of the line of fifths that its root takes: the cheapest way through all.

    A shortest path (Viterbi) over the changes: a chord that leaves its key's direction costs a little, two
    neighbours that do not turn alike cost more, most where they follow each other by a fourth or fifth.
    """
    paths: dict[int, tuple[float, list[int]]] = {}
    before: NoteName | None = None
    for change, key_turn in zip(changes, key_turns, strict=True):
        root = change.chord.root if change.chord is not None else NoteName("C")
        options = _allowed(root.fifths + interval.fifths, key_turn)
        fresh: dict[int, tuple[float, list[int]]] = {}
        for turn in options:
            own = SWITCH_COST * abs(turn - key_turn) / TURN
            fresh[turn] = min(_steps(paths, turn, own, before, root), key=lambda path: path[0])
        paths, before = fresh, root
    return min(paths.values(), key=lambda path: path[0])[1] if paths else []


def _steps(
    paths: dict[int, tuple[float, list[int]]], turn: int, own: float, before: NoteName | None, root: NoteName
) -> list[tuple[float, list[int]]]:
    if before is None:
        return [(own, [turn])]
    by_fourth = abs(root.fifths - before.fifths) == 1
    broken = BREAK_FOURTH_COST if by_fourth else BREAK_COST
    return [
        (cost + own + (broken if was != turn else 0), [*path, turn]) for was, (cost, path) in paths.items()
    ]


def _allowed(fifths: int, key_turn: int) -> list[int]:
    turns = [key_turn + TURN * more for more in (0, -1, 1, -2, 2)]
    return [turn for turn in turns if LOWEST_ROOT <= fifths + turn <= HIGHEST_ROOT]


def _spell_notes(
    score: Score,
    interval: Interval,
    keys: Sequence[int],
    turns: Sequence[int],
    named: Sequence[Change],
    chord_turns: Sequence[int],
    chords: dict[str, Chord | None],
) -> tuple[dict[str, Pitch], frozenset[str]]:
    pitches: dict[str, Pitch] = {}
    respelt = set()
    onsets = [change.onset for change in named]
    tied_from = _tied_from(score.notes)
    for place, note in enumerate(score.notes):
        if note.id in tied_from:
            pitches[note.id] = pitches[tied_from[note.id]]
            continue
        heard = max(bisect_right(onsets, _heard_at(note, score)) - 1, 0)
        turn = chord_turns[heard] if named else turns[note.bar]
        pitch = note.sounding.transposed(interval + enharmonic(turn))
        if abs(pitch.alter) > 1:
            chord = chords[named[heard].id] if named else None
            pitch = _respell(pitch, chord, keys[note.bar], _direction(score.notes, place))
        if pitch != note.sounding.transposed(interval + enharmonic(turns[note.bar])):
            respelt.add(note.id)
        pitches[note.id] = pitch
    return pitches, frozenset(respelt)


def _heard_at(note: Note, score: Score) -> Fraction:
    """When a note is heard against its chord: one that is held over the bar line belongs to the next bar."""
    end = score.bars[note.bar].end
    late = note.onset >= end - Fraction(1, 2)
    return end if late and note.onset + note.held > end else note.onset


def _tied_from(notes: Sequence[Note]) -> dict[str, str]:
    """For each note tied on, the note it is tied from."""
    sounding: dict[tuple[Pitch, Fraction], str] = {}
    found = {}
    for note in notes:
        if note.tied_on and (note.sounding, note.onset) in sounding:
            found[note.id] = sounding[note.sounding, note.onset]
        if not note.grace:
            sounding[note.sounding, note.onset + note.duration] = note.id
    return found


def _direction(notes: Sequence[Note], place: int) -> int:
    """Whether the line goes on upwards (1), downwards (-1) or ends (0)."""
    here = notes[place].sounding.midi
    following = (note.sounding.midi for note in notes[place + 1 :] if note.sounding.midi != here)
    after = next(following, here)
    return (after > here) - (after < here)


def _respell(pitch: Pitch, chord: Chord | None, key: int, direction: int) -> Pitch:
    """A pitch without its double accidental: the chord's letter, else the key's, else the line's direction."""
    letter = _chord_letter(pitch, chord)

    def rank(one: Pitch) -> tuple[bool, bool, bool, int]:
        in_key = -1 <= one.name.fifths - key <= 5
        return one.step != letter, not in_key, one.alter * direction < 0, abs(one.alter)

    return min(_same_sound(pitch), key=rank)


def _chord_letter(pitch: Pitch, chord: Chord | None) -> str:
    """The letter that a chord gives a pitch: the third of B7 is a D."""
    degree = "" if chord is None else chord_tones(chord).get(pitch.midi % 12, "")
    if chord is None or not degree:
        return ""
    return STEPS[(STEPS.index(chord.root.step) + int(degree.lstrip("b#")) - 1) % 7]


def _same_sound(pitch: Pitch) -> list[Pitch]:
    """All spellings of a pitch with at most one accidental."""
    near = [pitch.transposed(Interval(steps, 0)) for steps in (-2, -1, 0, 1, 2)]
    return [one for one in near if abs(one.alter) <= 1]
