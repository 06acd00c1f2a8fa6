"""Editions: the same etude in another written key, octave or clef.

An edition is data (see `editions.yaml`). `make_edition` prints a score for one and says every decision a
copyist would want to see: phrases that moved an octave, enharmonic switches, notes out of the range.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from lessonmaker.score.edition_table import EDITIONS, Edition, load_editions
from lessonmaker.score.model import Bar, Key, Note, Score
from lessonmaker.score.octaves import choose_octaves, phrases
from lessonmaker.score.rewrite import rewrite_mei
from lessonmaker.score.spelling import Spelling, concert_fifths, spell
from lessonmaker.theory.chord import chord_text, transpose_chord
from lessonmaker.theory.pitch import NoteName, Pitch

__all__ = ["EDITIONS", "Decision", "Edition", "EditionScore", "load_editions", "make_edition"]

OCTAVE_WORDS = {1: "an octave", 2: "two octaves", 3: "three octaves", 4: "four octaves"}


@dataclass(frozen=True)
class Decision:
    """One choice of a copyist.

    Attributes:
        kind: "octave", "respell" or "out of range".
        notes: the ids of the notes (or, for a chord symbol alone, of the change) it is about.
        bars: the bars as printed, "9-12".
        text: what was decided, in words.
    """

    kind: str
    notes: tuple[str, ...]
    bars: str
    text: str


@dataclass(frozen=True)
class EditionScore:
    """A score as one edition prints it: the same ids, other written pitches."""

    edition: Edition
    score: Score
    decisions: tuple[Decision, ...]


def make_edition(score: Score, edition: Edition) -> EditionScore:
    """Print a score for an edition.

    A source that is already written for the edition, in its clef, keeps the author's notes as they are.
    Otherwise keys, chords and notes are spelt anew by the edition's interval and whole phrases are moved by
    octaves into its range.
    """
    if _already_written(score, edition):
        kept = replace(score, mei=rewrite_mei(score, score))
        return EditionScore(edition, kept, tuple(_out_of_range(kept, edition)))
    spelling = spell(score, edition.interval)
    line = phrases(score.notes)
    octaves = choose_octaves(line, spelling.pitches, edition.lowest, edition.highest)
    moved = {note.id: octave for phrase, octave in zip(line, octaves, strict=True) for note in phrase.notes}
    printed = _printed(score, edition, spelling, moved)
    decisions = (
        *_key_decisions(score, printed, spelling, edition),
        *_chord_decisions(printed, spelling, edition),
        *_note_decisions(printed, spelling),
        *_octave_decisions(printed, moved),
        *_out_of_range(printed, edition),
    )
    return EditionScore(edition, replace(printed, mei=rewrite_mei(score, printed)), decisions)


def _already_written(score: Score, edition: Edition) -> bool:
    fifths = concert_fifths(score)
    same = all(
        bar.key.fifths - key == edition.interval.fifths for bar, key in zip(score.bars, fifths, strict=True)
    )
    return same and score.clef == edition.clef


def _printed(score: Score, edition: Edition, spelling: Spelling, octaves: dict[str, int]) -> Score:
    bars = [
        replace(bar, key=Key(key, bar.key.mode)) for bar, key in zip(score.bars, spelling.keys, strict=True)
    ]
    notes = [
        replace(note, written=_octaves_up(spelling.pitches[note.id], octaves[note.id]))
        for note in score.notes
    ]
    changes = [replace(change, written=spelling.chords[change.id]) for change in score.changes]
    return replace(
        score,
        bars=tuple(bars),
        notes=tuple(notes),
        changes=tuple(changes),
        transposition=edition.interval,
        clef=edition.clef,
    )


def _octaves_up(pitch: Pitch, octaves: int) -> Pitch:
    return replace(pitch, octave=pitch.octave + octaves)


def bars_text(bars: Sequence[Bar], indices: Collection[int]) -> str:
    """Bars by their printed numbers, runs joined: "3, 9-12"."""
    runs: list[list[int]] = []
    for index in sorted(set(indices)):
        if runs and index == runs[-1][-1] + 1:
            runs[-1].append(index)
        else:
            runs.append([index])
    ends = [(bars[run[0]].number, bars[run[-1]].number) for run in runs]
    return ", ".join(first if first == last else f"{first}-{last}" for first, last in ends)


def _key_decisions(score: Score, printed: Score, spelling: Spelling, edition: Edition) -> list[Decision]:
    """One decision for each run of bars whose key signature was switched."""
    raw = [fifths + edition.interval.fifths for fifths in concert_fifths(score)]
    by_key: dict[tuple[int, int], list[int]] = {}
    for index in sorted(spelling.keys_switched):
        by_key.setdefault((raw[index], spelling.keys[index]), []).append(index)
    found = []
    for (was, now), bars in by_key.items():
        notes = tuple(note.id for note in printed.notes if note.bar in bars)
        text = f"the key signature has {_signature(now)} instead of {_signature(was)}"
        found.append(Decision("respell", notes, bars_text(printed.bars, bars), text))
    return found


def _signature(fifths: int) -> str:
    count = abs(fifths)
    sign = "sharp" if fifths > 0 else "flat"
    return f"{count} {sign}{'' if count == 1 else 's'}" if count else "no accidentals"


def _chord_decisions(printed: Score, spelling: Spelling, edition: Edition) -> list[Decision]:
    found = []
    for change in printed.changes:
        if change.id in spelling.switched and change.chord is not None:
            plain = transpose_chord(change.chord, edition.interval)
            text = f"{chord_text(change.written)} for {_root_text(plain.root)}"
            found.append(Decision("respell", (change.id,), printed.bars[change.bar].number, text))
    return found


def _root_text(name: NoteName) -> str:
    signs = {-2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪"}
    return name.step + signs.get(name.alter, "♭" * -name.alter if name.alter < 0 else "♯" * name.alter)


def _note_decisions(printed: Score, spelling: Spelling) -> list[Decision]:
    """Respelt notes, one decision a bar."""
    by_bar: dict[int, list[Note]] = {}
    for note in printed.notes:
        if note.id in spelling.respelt:
            by_bar.setdefault(note.bar, []).append(note)
    return [
        Decision(
            "respell",
            tuple(note.id for note in notes),
            printed.bars[bar].number,
            "respelt: " + ", ".join(dict.fromkeys(str(note.written.name) for note in notes)),
        )
        for bar, notes in by_bar.items()
    ]


def _octave_decisions(printed: Score, octaves: dict[str, int]) -> list[Decision]:
    """The octave of the whole, then every run of notes that differs from it."""
    if not octaves:
        return []
    usual = Counter(octaves.values()).most_common(1)[0][0]
    found = []
    if usual:
        bars = bars_text(printed.bars, range(len(printed.bars)))
        text = f"the etude is printed {_way(usual)} than the interval alone would put it"
        found.append(Decision("octave", tuple(octaves), bars, text))
    run: list[Note] = []
    for note in (*printed.notes, None):
        other = note is not None and octaves[note.id] != usual
        if run and (note is None or not other or octaves[note.id] != octaves[run[0].id]):
            away = octaves[run[0].id] - usual
            bars = bars_text(printed.bars, [one.bar for one in run])
            text = f"{_way(away)} than the rest of the etude"
            found.append(Decision("octave", tuple(one.id for one in run), bars, text))
            run = []
        if note is not None and other:
            run.append(note)
    return found


def _way(octaves: int) -> str:
    words = OCTAVE_WORDS.get(abs(octaves), f"{abs(octaves)} octaves")
    return f"{words} {'higher' if octaves > 0 else 'lower'}"


def _out_of_range(printed: Score, edition: Edition) -> list[Decision]:
    """Notes outside the comfortable range, one decision a pitch."""
    outside: dict[Pitch, list[Note]] = {}
    for note in printed.notes:
        if not edition.lowest.midi <= note.written.midi <= edition.highest.midi:
            outside.setdefault(note.written, []).append(note)
    found = []
    for pitch, notes in sorted(outside.items(), key=lambda item: item[0].midi):
        high = pitch.midi > edition.highest.midi
        limit = f"above {edition.highest}" if high else f"below {edition.lowest}"
        bars = bars_text(printed.bars, [note.bar for note in notes])
        text = f"{pitch} lies {limit}, the edition's comfortable range"
        found.append(Decision("out of range", tuple(note.id for note in notes), bars, text))
    return found
