"""From raw bars to a `Score`: lengths, onsets, ties, sounding pitch, playing order.

How long a bar lasts: what is there, where it is full, marked as irregular (implicit), overfull, or completes
a neighbour across a repeat (or the last bar the pickup); else what its metre says. Every bar that does not
add up is a remark.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score.model import PICKUP_NUMBER, Bar, Change, Note, Score, Visit
from lessonmaker.score.order import playing_order
from lessonmaker.score.raw import RawBar, RawNote, RawPart
from lessonmaker.theory.chord import transpose_chord
from lessonmaker.theory.pitch import Interval

__all__ = ["assemble"]

NO_INTERVAL = Interval(0, 0)
MOST_BAR_REMARKS = 4


def assemble(raw: RawPart, path: Path, written_for: Interval | None) -> Score:
    """Build the `Score`; `written_for` counts where the file states no transposition.

    Raises:
        MaterialError: the repeat signs never lead to an end.
    """
    remarks = list(raw.remarks)
    transpositions = _transpositions(raw, written_for, remarks)
    bars = _bars(raw, remarks)
    notes = _notes(raw, bars, transpositions)
    return Score(
        title=raw.title,
        composer=raw.composer,
        part=raw.name,
        bars=bars,
        notes=notes,
        changes=_changes(raw, bars, transpositions, remarks),
        order=_order(raw, bars, path),
        transposition=transpositions[0],
        clef=raw.clef,
        tempo=raw.tempo,
        mei=raw.mei,
        remarks=tuple(Fault(remark, place=Place(path)) for remark in remarks),
    )


def _transpositions(raw: RawPart, written_for: Interval | None, remarks: list[str]) -> list[Interval]:
    """Written above sounding, bar by bar."""
    own = [bar.transposition for bar in raw.bars]
    if written_for is None or written_for in (NO_INTERVAL, own[0]):
        return own
    if any(interval != NO_INTERVAL for interval in own):
        remarks.append("the score states its own transposition: the instrument declared for it is left aside")
        return own
    return [written_for] * len(own)


def _bars(raw: RawPart, remarks: list[str]) -> tuple[Bar, ...]:
    lengths = _lengths(raw.bars, remarks)
    start = -lengths[0] if _is_pickup(raw.bars) else Fraction(0)
    bars = []
    for index, (bar, length) in enumerate(zip(raw.bars, lengths, strict=True)):
        number = PICKUP_NUMBER if index == 0 and start < 0 and bar.implicit else bar.number or str(index + 1)
        bars.append(Bar(index, bar.id, number, start, length, bar.metre, bar.key, bar.section))
        start += length
    return tuple(bars)


def _is_pickup(bars: list[RawBar]) -> bool:
    """The first bar is a pickup where it is short, and not all there is."""
    return len(bars) > 1 and 0 < bars[0].extent < bars[0].metre.bar_quarters


def _lengths(bars: list[RawBar], remarks: list[str]) -> list[Fraction]:
    lengths = []
    odd = []
    for index, bar in enumerate(bars):
        full = bar.metre.bar_quarters
        if bar.extent == full or (bar.extent < full and _may_be_short(bars, index)):
            lengths.append(bar.extent)
            continue
        if bar.extent:
            odd.append(bar)
        lengths.append(max(bar.extent, full))
    remarks.extend(_do_not_add_up(odd))
    return lengths


def _may_be_short(bars: list[RawBar], index: int) -> bool:
    bar = bars[index]
    if bar.extent == 0:
        return False
    if bar.implicit or (index == 0 and _is_pickup(bars)):
        return True
    full = bar.metre.bar_quarters
    neighbours = [bars[i].extent for i in (index - 1, index + 1) if 0 <= i < len(bars)]
    return any(extent + bar.extent == full for extent in neighbours) or _completes_pickup(bars, index)


def _completes_pickup(bars: list[RawBar], index: int) -> bool:
    """The bar and the pickup make a full one: where the piece, or a repeat that leads back to it, ends."""
    ends = index == len(bars) - 1 or bars[index].signs.repeat_end
    return ends and _is_pickup(bars) and bars[index].extent + bars[0].extent == bars[index].metre.bar_quarters


def _do_not_add_up(bars: list[RawBar]) -> list[str]:
    """A remark a bar; where there are many, one for the rest of them."""
    remarks = []
    for bar in bars[:MOST_BAR_REMARKS]:
        has, needs = _quarters(bar.extent), _quarters(bar.metre.bar_quarters)
        remarks.append(f"bar {bar.number} does not add up: {has} where {bar.metre} needs {needs}")
    if rest := bars[MOST_BAR_REMARKS:]:
        remarks.append(f"more bars do not add up: {', '.join(bar.number for bar in rest)}")
    return remarks


def _quarters(length: Fraction) -> str:
    return f"{length} quarter" + ("" if length == 1 else "s")


def _voices(raw: RawPart) -> dict[tuple[int, str], int]:
    """Voices numbered from 1, upper staff first, lower voice numbers first."""
    found = {(note.staff, note.voice) for bar in raw.bars for note in bar.notes}
    ordered = sorted(found, key=lambda key: (key[0], len(key[1]), key[1]))
    return {key: number for number, key in enumerate(ordered, start=1)}


def _notes(raw: RawPart, bars: tuple[Bar, ...], transpositions: list[Interval]) -> tuple[Note, ...]:
    voices = _voices(raw)
    placed = [
        _Placed(note, index, bars[index].start + note.offset)
        for index, bar in enumerate(raw.bars)
        for note in bar.notes
    ]
    placed.sort(key=lambda p: (p.bar, p.onset, not p.raw.grace, voices[p.raw.staff, p.raw.voice]))
    _tie(placed, raw.bars)
    return tuple(_note(p, voices[p.raw.staff, p.raw.voice], transpositions[p.bar]) for p in placed)


@dataclass
class _Placed:
    """A raw note at its place in the piece; `held` and `tied_on` are filled in by the ties."""

    raw: RawNote
    bar: int
    onset: Fraction
    tied_on: bool = False
    held: Fraction = Fraction(0)

    @property
    def end(self) -> Fraction:
        return self.onset + self.raw.duration


def _tie(placed: list[_Placed], bars: list[RawBar]) -> None:
    """Add tied notes to the note they hold on: same pitch, begun where the other ends.

    At the start of a later ending the note before stands in another ending: tied on, nothing to lengthen.
    """
    open_ties: dict[int, tuple[_Placed, _Placed]] = {}
    for note in (p for p in placed if not p.raw.grace):
        note.held = note.raw.duration
        midi = note.raw.pitch.midi
        head, last = open_ties.get(midi, (note, note))
        if note.raw.tie_on and last is not note and last.end == note.onset:
            note.tied_on, note.held = True, Fraction(0)
            head.held += note.raw.duration
        elif note.raw.tie_on and bars[note.bar].signs.ending_start and note.raw.offset == 0:
            note.tied_on, note.held, head = True, Fraction(0), note
        else:
            head = note
        if note.raw.tie_from:
            open_ties[midi] = (head, note)
        elif last is not note and last.end == note.onset:
            open_ties.pop(midi, None)


def _note(placed: _Placed, voice: int, transposition: Interval) -> Note:
    raw = placed.raw
    return Note(
        id=raw.id,
        bar=placed.bar,
        onset=placed.onset,
        duration=raw.duration,
        held=placed.held,
        written=raw.pitch,
        sounding=raw.pitch.transposed(-transposition),
        grace=raw.grace,
        tied_on=placed.tied_on,
        voice=voice,
        in_tuplet=raw.in_tuplet,
    )


def _changes(
    raw: RawPart, bars: tuple[Bar, ...], transpositions: list[Interval], remarks: list[str]
) -> tuple[Change, ...]:
    changes = []
    for index, bar in enumerate(raw.bars):
        for change in bar.changes:
            onset = bars[index].start + change.offset
            if onset >= bars[-1].end:
                remarks.append(f"a chord symbol of bar {bar.number} stands beyond the end: it is left out")
                continue
            home = _bar_of(bars, index, onset)
            sounding = change.chord and transpose_chord(change.chord, -transpositions[index])
            changes.append(Change(change.id, home, onset, sounding, change.chord))
    return tuple(sorted(changes, key=lambda change: change.onset))


def _bar_of(bars: tuple[Bar, ...], index: int, onset: Fraction) -> int:
    """The bar in which a symbol written in bar `index`, perhaps beyond its end, stands."""
    while onset >= bars[index].end and index + 1 < len(bars):
        index += 1
    return index


def _order(raw: RawPart, bars: tuple[Bar, ...], path: Path) -> tuple[Visit, ...]:
    try:
        indices = playing_order([bar.signs for bar in raw.bars])
    except ValueError as error:
        raise MaterialError(
            Fault(str(error), "mend the repeats, D.C., D.S. or coda signs", Place(path))
        ) from None
    seen: Counter[int] = Counter()
    start = bars[0].start if bars[0].start < 0 else Fraction(0)
    visits = []
    for index in indices:
        seen[index] += 1
        visits.append(Visit(index, seen[index], start))
        start += bars[index].length
    return tuple(visits)
