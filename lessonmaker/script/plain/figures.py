"""Figures that their notes alone tell, and that are heard only where somebody speaks of them.

Common practice, no source. A triplet is three notes in the time of two, told by an onset that parts a beat in three;
sixteenths part it in four. The moving voice is what walks under or over a note that is repeated (oblique motion). A
side-slip is a run of notes that would be of the chord's own scale a half step higher or lower, and are not where they
stand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, overlap
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of, ordinal_of
from lessonmaker.theory.chord import family, readings

__all__ = [
    "CERTAIN",
    "CROSS_RHYTHM",
    "FIGURES",
    "TRIPLET_BEATS",
    "beat_of",
    "beats_listed",
    "beats_of",
    "figures_in",
]

CERTAIN = ("triplet", "sixteenth")  # those that are there or not, whoever hears them
FIGURES = ("triplet", "sixteenth", "moving voice", "side-slip")
CROSS_RHYTHM = "cross rhythm"
TRIPLET = "triplet"
PARTS = {TRIPLET: 3, "sixteenth": 4}  # of a beat
LARGEST_STEP = 2  # semitones
# The beats that the onsets of a triplet touch, by the value that it is called by.
TRIPLET_BEATS = {"eighth": 1, "quaver": 1, "quarter": 2, "crotchet": 2, "half": 3, "minim": 3}
MOST_LENGTHS, REPEATS = 4, 3
Marks = Callable[[Sequence[Note]], Sequence[object]]
"""What is said of each step of a line."""
# The scale that each family of chord is heard in, where nothing else is said: semitones above its root.
OWN_SCALES = {
    "major": (0, 2, 4, 5, 6, 7, 9, 11),
    "minor": (0, 2, 3, 5, 7, 9, 10),
    "dominant": (0, 2, 4, 5, 7, 9, 10),
    "suspended": (0, 2, 4, 5, 7, 9, 10),
    "altered": (0, 1, 3, 4, 6, 8, 10),
    "half-diminished": (0, 1, 3, 5, 6, 8, 10),
}
FEWEST, FOREIGN = 4, 3  # notes of a side-slip, and those of them that the scale where they stand has not


def figures_in(kind: str, spans: Sequence[Span], music: Music) -> list[list[Note]]:
    """The figures of a kind that begin in some spans, each with its notes.

    Args:
        kind: one of `FIGURES`, or `CROSS_RHYTHM` for one that its rhythm alone makes.
        spans: where to look.
        music: the score as it is heard.
    """
    if kind == CROSS_RHYTHM:
        found = [run for span in spans for run in _crossing(span, music)]
    elif kind == "moving voice":
        found = [_moving_voice(spans, music)]
    elif kind == "side-slip":
        found = [run for span in spans for run in _side_slips(span, music)]
    else:
        found = [run for span in spans for run in _parted(kind, span, music)]
    return [notes for notes in found if notes]


BEAT = rf"(?:(?:the )?down-?beat|(?:the )?(?:beats? )?(?:{NUMBER}|{ORDINAL}(?: beat)?))"
NEXT_BEAT = (
    r"(?:,? and(?: (?:then|another|again|one more))?(?: on)?|,(?: (?:then|another|one|again|one more))* on)"
)
BEATS_LISTED = pattern_of(
    rf"(?: \w+)? on {BEAT}(?:{NEXT_BEAT} {BEAT})+(?! (?:notes?|eighths?|quarters?|long|short|plain))\b"
)


def beats_listed(after: str) -> tuple[int, ...]:
    """The beats that the words right after a figure say it is on, if several: "triplets on one and on three"."""
    match = BEATS_LISTED.match(after)
    found = pattern_of(rf"down-?beat|{NUMBER}|{ORDINAL}").findall(match[0]) if match is not None else []
    return tuple(1 if "beat" in word else number_of(word) or ordinal_of(word) for word in found)


def beat_of(note: Note, music: Music) -> int:
    """The beat on which, or in which, a note is struck, from 1."""
    bar = music.score.bars[note.bar]
    return int(position_in_bar(note.onset, bar) / bar.metre.unit_quarters) + 1


def _parted(kind: str, span: Span, music: Music) -> list[list[Note]]:
    """The beats of a span that are parted in so many, each with its notes."""
    struck = music.struck_between(span.start, span.end)
    beats = [
        list(notes) for _, notes in groupby(struck, key=lambda note: (note.bar, _place(note, music) // 1))
    ]
    if kind == TRIPLET:
        beats = _joined(beats, music)
    parts = PARTS[kind]
    return [notes for notes in beats if any(_place(note, music).denominator % parts == 0 for note in notes)]


def _joined(beats: Sequence[Sequence[Note]], music: Music) -> list[list[Note]]:
    """Some beats' notes, those as one of which the first ends within the other, at a third: a quarter-note triplet."""
    found: list[list[Note]] = []
    for notes in beats:
        last = found[-1][-1] if found else None
        end = (
            _place(last, music) + last.held if last is not None and last.bar == notes[0].bar else Fraction(0)
        )
        if end.denominator % PARTS[TRIPLET] == 0 and end == _place(notes[0], music):
            found[-1].extend(notes)
        else:
            found.append(list(notes))
    return found


def beats_of(notes: Sequence[Note], music: Music) -> int:
    """How many beats the onsets of a figure touch: one for a triplet of eighths, two for one of quarters."""
    return int(_place(notes[-1], music) // 1 - _place(notes[0], music) // 1) + 1


def _place(note: Note, music: Music) -> Fraction:
    """Where a note is struck in its bar, in quarters."""
    return position_in_bar(note.onset, music.score.bars[note.bar])


def _moving_voice(spans: Sequence[Span], music: Music) -> list[Note]:
    """The notes in some spans that move against a repeated one, of all oblique motion that is mostly in them."""
    notes: dict[str, Note] = {}
    for device in music.analysis.devices:
        inside = any(2 * overlap(device.span, span) > device.span.end - device.span.start for span in spans)
        if device.kind != "oblique motion" or not inside:
            continue
        for group in device.groups:
            voice = [music.struck_by_id[name] for name in group]
            if len({note.sounding.midi for note in voice}) > 1:
                before = _leading_to(voice, device.notes[0], music)
                notes |= {note.id: note for note in (*before, *voice)}
    found = [note for note in notes.values() if any(span.start <= note.onset < span.end for span in spans)]
    return sorted(found, key=lambda note: note.onset)


def _leading_to(voice: Sequence[Note], first: str, music: Music) -> list[Note]:
    """The note before a repeated one comes in, from which the other voice goes on its way."""
    line = list(music.line)
    at = next((at for at, note in enumerate(line) if note.id == first), 0)
    if not at or voice[0].id == first or len(voice) < 2:
        return []
    before, way = line[at - 1], voice[1].sounding.midi - voice[0].sounding.midi
    step = voice[0].sounding.midi - before.sounding.midi
    return [before] if step * way > 0 and abs(step) <= LARGEST_STEP else []


def _crossing(span: Span, music: Music) -> list[list[Note]]:
    """The longest run that comes again three times against the beat or bar: its lengths, else its ups and downs."""
    line = music.line_in(span)
    for marks in (_lengths, _directions):
        runs = [
            run
            for size in range(1, MOST_LENGTHS + 1)
            for first in range(len(line))
            if _crosses(run := _repeating(line[first:], size, marks), size, marks, music)
        ]
        if runs:
            return sorted(runs, key=len, reverse=True)[:1]
    return []


def _lengths(line: Sequence[Note]) -> list[Fraction]:
    return [later.onset - earlier.onset for earlier, later in pairwise(line)]


def _directions(line: Sequence[Note]) -> list[tuple[Fraction, bool]]:
    """How far each note of a line is from the next, and whether that is higher."""
    rising = [later.sounding.midi > earlier.sounding.midi for earlier, later in pairwise(line)]
    return list(zip(_lengths(line), rising, strict=True))


def _repeating(line: Sequence[Note], size: int, marks: Marks) -> list[Note]:
    """The notes of a line as far as their marks come again after so many."""
    steps = marks(line)
    count = 0
    while count < len(steps) and (count < size or steps[count] == steps[count - size]):
        count += 1
    return list(line[: count + 1])


def _crosses(run: Sequence[Note], size: int, marks: Marks, music: Music) -> bool:
    """Whether what comes again after so many notes, and not fewer, neither fills nor parts whole beats or bars."""
    if len(run) < REPEATS * size - (size > 2):  # "three, three, two" fills a bar
        return False
    if any(len(_repeating(run, less, marks)) == len(run) for less in range(1, size)):
        return False
    bar = music.score.bars[run[0].bar]
    period, beat = run[size].onset - run[0].onset, bar.metre.unit_quarters
    return any(period % length and length % period for length in (beat, bar.length))


def _side_slips(span: Span, music: Music) -> list[list[Note]]:
    line = music.line_in(span)
    found: list[list[Note]] = []
    for step in (1, -1):
        for beside, run in groupby(line, key=lambda note: _is_own(note, step, music)):
            notes = list(run)
            if beside and len(notes) >= FEWEST and sum(not _is_own(n, 0, music) for n in notes) >= FOREIGN:
                found.append(notes)
    return sorted(found, key=len, reverse=True)[:1]


def _is_own(note: Note, step: int, music: Music) -> bool:
    """Whether a note so many semitones lower is of the scale of its chord."""
    chord = music.finding(note).chord
    if chord is None:
        return False
    heard = readings(chord)[0]
    return (note.sounding.midi - step - heard.root.pitch_class) % OCTAVE in OWN_SCALES.get(family(heard), ())
