"""Uneven rhythm: bars whose notes follow each other in three and more lengths, off the beats.

Common practice, no source. Tuplets of five and seven count by themselves.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from lessonmaker.analysis.etude import Etude, device_of
from lessonmaker.analysis.lines import Heard, position_in_bar
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import number_words

__all__ = ["uneven_rhythms_of"]

FEWEST_NOTES, FEWEST_LENGTHS, FEWEST_SYNCOPES = 5, 3, 2
ODD_TUPLETS = (5, 7, 11, 13)


def uneven_rhythms_of(etude: Etude) -> tuple[Device, ...]:
    """The uneven rhythms of the melody, bar by bar."""
    bars = groupby(etude.melody, key=lambda heard: heard.bar.index)
    return tuple(device for _, notes in bars for device in _of_bar(list(notes)))


def _of_bar(notes: Sequence[Heard]) -> Iterator[Device]:
    odd = [heard for heard in notes if any(heard.note.held.denominator % n == 0 for n in ODD_TUPLETS)]
    if len(odd) >= FEWEST_NOTES:
        text = f"{number_words(len(odd)).capitalize()} notes in a group that the beat does not divide."
        yield device_of("uneven rhythm", odd, text, 0.8)
        return
    lengths = {later.note.onset - earlier.note.onset for earlier, later in pairwise(notes)}
    syncopes = sum(_is_syncope(heard) for heard in notes)
    if len(notes) >= FEWEST_NOTES and len(lengths) >= FEWEST_LENGTHS and syncopes >= FEWEST_SYNCOPES:
        text = f"An uneven rhythm: {number_words(len(lengths))} different lengths, and notes held over the beats."
        yield device_of("uneven rhythm", notes, text, 0.55)


def _is_syncope(heard: Heard) -> bool:
    """Whether a note enters off the beat and is held over the next one."""
    beat = heard.bar.metre.unit_quarters
    into = position_in_bar(heard.note.onset, heard.bar) % beat
    return into > 0 and heard.note.held > beat - into
