"""Signs under the staff for what was found: brackets, beats, arcs, numerals, a scale's notes.

Which sign a device has is a table; a device without one is lit by its notes alone.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.analysis.devices.grouped_bars import EIGHTHS_A_GROUP, is_grouped_bars
from lessonmaker.analysis.model import Analysis, Device, KeyCentre, Phrase, ScaleUse
from lessonmaker.score.model import Note, Score
from lessonmaker.script.model import Mention
from lessonmaker.theory.pitch import NoteName
from lessonmaker.theory.scale import SCALES, scale_notes
from lessonmaker.timeline.model import SignShape

__all__ = ["device_signs", "mention_signs", "numeral_signs", "phrase_signs", "scale_signs", "tension_by_bar"]

NUMBERED = ("sequence", "motif", "displacement")
GROUPED = ("cross rhythm",)
ARCHED = ("phrase", "over-the-barline phrase")
MOST_FIFTHS = 6
LINKED = ("guide-tone line",)


def mention_signs(
    mention: Mention, score: Score, bars: Collection[int] | None = None
) -> tuple[SignShape, ...]:
    """The signs of what a mention names, a scale or a device; of a device as far as it lies in some bars."""
    if mention.scale is not None:
        return scale_signs(mention.scale, score)
    return device_signs(mention.device, score, bars) if mention.device is not None else ()


def device_signs(device: Device, score: Score, bars: Collection[int] | None = None) -> tuple[SignShape, ...]:
    """The signs of a device, as far as it lies in some bars.

    Its signs end at the last of its notes there. A group of a cross rhythm has its length as its number, and so
    is left out where not all of it is there.
    """
    lane = " ".join((device.kind, *device.notes[:1]))
    inside = {note.id for note in score.notes if bars is None or note.bar in bars}
    if device.kind in NUMBERED:
        kept = [(str(number), _within(group, inside)) for number, group in enumerate(device.groups, 1)]
        return tuple(SignShape("bracket", group, lane, number) for number, group in kept if group)
    if device.kind in GROUPED:
        return _grouped(device, score, lane, inside)
    notes = _within(device.notes, inside)
    if notes and device.kind in ARCHED:
        return (SignShape("arc", notes, device.kind),)
    if notes and device.kind in LINKED:
        return (SignShape("bracket", notes, lane),)
    return ()


def _within(notes: Sequence[str], inside: Collection[str]) -> tuple[str, ...]:
    return tuple(name for name in notes if name in inside)


def _grouped(device: Device, score: Score, lane: str, inside: Collection[str]) -> tuple[SignShape, ...]:
    """The brackets of a cross rhythm with the lengths of its groups, and the beats under them."""
    groups = _whole_groups(device)
    brackets = [
        SignShape("bracket", group, lane, length)
        for group, length in zip(groups, _lengths(device, groups, score), strict=True)
        if all(name in inside for name in group)
    ]
    notes = tuple(name for bracket in brackets for name in bracket.targets)
    if not notes:
        return ()
    return (*brackets, SignShape("beats", notes, lane, points=tuple(_beats(notes, score))))


def _whole_groups(device: Device) -> Sequence[tuple[str, ...]]:
    """The groups of a cross rhythm without one that breaks off: its notes begin a group, and go on otherwise."""
    if is_grouped_bars(device):
        return device.groups
    return [group for group in device.groups if len(group) == len(device.groups[0])]


def _lengths(device: Device, groups: Sequence[Sequence[str]], score: Score) -> list[str]:
    """The length of each group up to the next one, in eighths (in its shortest note, where that is shorter).

    The last is as long as the one before it, whatever rests there are, but for a bar of 3+3+2.
    """
    if is_grouped_bars(device):
        return [str(EIGHTHS_A_GROUP[at % len(EIGHTHS_A_GROUP)]) for at in range(len(groups))]
    notes = [_notes(group, score) for group in groups]
    lengths = [later[0].onset - earlier[0].onset for earlier, later in pairwise(notes)]
    lengths.append(lengths[-1])
    return [_count(length, group) for length, group in zip(lengths, notes, strict=True)]


def _count(length: Fraction, notes: Sequence[Note]) -> str:
    unit = min([Fraction(1, 2), *(note.held for note in notes if note.held > 0)])
    count = length / unit
    return str(int(count)) if count.denominator == 1 else ""


def _notes(ids: Sequence[str], score: Score) -> list[Note]:
    by_id = {note.id: note for note in score.notes}
    return [by_id[name] for name in ids if name in by_id]


def _beats(ids: Sequence[str], score: Score) -> Iterator[tuple[str, str, float, bool]]:
    """Every beat under some notes, as a share of the way between the notes round it."""
    notes = _notes(ids, score)
    onsets = [note.onset for note in notes]
    for bar in (bar for bar in score.bars if bar.start <= onsets[-1] and onsets[0] < bar.end):
        for beat in bar.metre.beat_starts:
            time = bar.start + beat
            place = bisect_right(onsets, time) - 1
            if place >= 0 and time <= onsets[-1]:
                after = min(place + 1, len(notes) - 1)
                width = onsets[after] - onsets[place]
                share = float((time - onsets[place]) / width) if width else 0.0
                yield notes[place].id, notes[after].id, share, beat == 0


def phrase_signs(phrases: Sequence[Phrase], bars: Sequence[int], score: Score) -> tuple[SignShape, ...]:
    """An arc for each phrase that has notes in some bars, over the notes that are there."""
    inside = {note.id for note in score.struck if note.bar in set(bars)}
    kept = [tuple(name for name in phrase.notes if name in inside) for phrase in phrases]
    return tuple(SignShape("arc", notes, "phrase") for notes in kept if len(notes) > 1)


def numeral_signs(analysis: Analysis, bars: Sequence[int], score: Score) -> tuple[SignShape, ...]:
    """The numeral of each chord symbol in some bars at which the harmony changes; its key where another begins.

    The key stands before the numeral, in small letters where it is minor: "F: I", "d: i" (RomanText, Tymoczko et al.
    2019, from memory).
    """
    by_start = {function.span.start: function for function in analysis.functions}
    shown = set(bars)
    found: list[SignShape] = []
    before = ""
    for change in score.changes:
        if change.bar in shown and change.onset in by_start:
            function = by_start[change.onset]
            key = _key(function.key, score)
            text = function.numeral if key == before else f"{key}: {function.numeral}"
            found.append(SignShape("numeral", (change.id,), "numeral", text))
            before = key
    return tuple(found)


def _key(key: KeyCentre, score: Score) -> str:
    """A key's tonic as the edition writes it, small where the key is minor; a mode by its name."""
    tonic = str(_plain(key.tonic.transposed(score.transposition)))
    if key.mode == "minor":
        return tonic[0].lower() + tonic[1:]
    return tonic if key.mode in ("major", "blues") else f"{tonic} {key.mode}"


def scale_signs(use: ScaleUse, score: Score) -> tuple[SignShape, ...]:
    """The scale's notes as the edition writes them, with those that sound and those that decide."""
    root = _plain(use.root.transposed(score.transposition))
    degrees = SCALES[use.scale].degrees
    names = scale_notes(root, use.scale)
    by_id = {note.id: note for note in score.notes}
    deciding = {by_id[name].written.name.pitch_class for name in use.deciding if name in by_id}
    words = []
    for degree, name in zip(degrees, names, strict=True):
        state = "deciding" if name.pitch_class in deciding else "used" if degree in use.used else ""
        words.append((str(name), state))
    lane = " ".join((use.scale, *use.notes[:1]))
    return (SignShape("scale", use.notes[:1], lane, words=tuple(words)),)


def _plain(name: NoteName) -> NoteName:
    """A root with at most six accidentals in its major key."""
    if abs(name.fifths) <= MOST_FIFTHS:
        return name
    return NoteName.from_fifths(name.fifths - 12 if name.fifths > 0 else name.fifths + 12)


def tension_by_bar(analysis: Analysis, score: Score) -> tuple[tuple[int, tuple[float, ...]], ...]:
    """The tension of each bar's parts, in time."""
    found: list[tuple[int, tuple[float, ...]]] = []
    for bar in score.bars:
        values = tuple(
            round(point.value, 3) for point in analysis.tension if bar.start <= point.span.start < bar.end
        )
        if values:
            found.append((bar.index, values))
    return tuple(found)
