"""What is to be said of each note in sight, and of one note after another, in a few words for each."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music

__all__ = ["ENDS", "Facts"]

HELD = 2  # quarters
STEPS = ((0, "same"), (1, "half"), (2, "whole"), (4, "third"), (7, "fifth"))  # semitones
ENDS = ("first", "last", "top", "low", "longest")
"""How facts begin that words anywhere in a clause may tell of."""
CHORD_ENDS = ("first of chord", "last of chord")


@dataclass(frozen=True)
class Ends:
    """What is first, last, highest, lowest and longest among some notes."""

    notes: Sequence[Note]

    @cached_property
    def _values(self) -> tuple[object, ...]:
        heights = [note.sounding.midi for note in self.notes]
        longest = max(note.held for note in self.notes)
        uneven = any(note.held < longest for note in self.notes)
        return self.notes[0].id, self.notes[-1].id, max(heights), min(heights), longest if uneven else None

    def of(self, note: Note, where: str) -> list[str]:
        """Which of them a note is."""
        own = (note.id, note.id, note.sounding.midi, note.sounding.midi, note.held)
        pairs = zip(ENDS, self._values, own, strict=True)
        return [f"{end}{where}" for end, value, is_it in pairs if value == is_it and len(self.notes) > 1]


@dataclass(frozen=True)
class Facts:
    """The facts of the notes at `shown` places of the line."""

    music: Music
    shown: tuple[int, ...]

    @cached_property
    def at(self) -> dict[str, int]:
        """The places in the line of the notes in sight, by their ids."""
        return {self.music.line[index].id: index for index in self.shown}

    def of(self, index: int) -> Sequence[str]:
        """The facts of one note."""
        return self._by_index[index]

    @cached_property
    def _by_index(self) -> dict[int, Sequence[str]]:
        line = self.music.line
        bars: defaultdict[int, list[Note]] = defaultdict(list)
        for index in self.shown:
            bars[line[index].bar].append(line[index])
        in_bar = {bar: Ends(notes) for bar, notes in bars.items()}
        in_sight, in_all = Ends([line[index] for index in self.shown]), Ends(line)
        return {
            index: [
                *in_bar[line[index].bar].of(line[index], " of bar"),
                *in_sight.of(line[index], ""),
                *in_all.of(line[index], " of all"),
                *self._beside(index),
                *self._heard(line[index]),
            ]
            for index in self.shown
        }

    def _beside(self, index: int) -> list[str]:
        """What a note is by itself, beside the notes around it and on its chord."""
        line, note = self.music.line, self.music.line[index]
        before = line[index - 1] if index else None
        after = line[index + 1] if index + 1 < len(line) else None
        found = ["on the beat" if note.onset.denominator == 1 else "off the beat"]
        found += ["held"] if note.held >= HELD else []
        if before is None or self._chord(index - 1) != self._chord(index):
            found.append(CHORD_ENDS[0])
        found += ["again"] if before is not None and before.sounding == note.sounding else []
        if after is None:
            return [*found, CHORD_ENDS[1]]
        found += [CHORD_ENDS[1]] if self._chord(index + 1) != self._chord(index) else []
        found += ["before the bar"] if after.bar != note.bar else []
        found += ["before a rest"] if after.onset > note.onset + note.held else []
        step = after.sounding.midi - note.sounding.midi
        found.append("kept" if step == 0 else "falls" if step < 0 else "rises")
        return [*found, "by a half step"] if abs(step) == 1 else found

    def _heard(self, note: Note) -> list[str]:
        """What the analysis says of a note."""
        role = self.music.finding(note).role
        return [*self._in_devices.get(note.id, ()), *([f"role {role}"] if role else ())]

    @cached_property
    def _in_devices(self) -> dict[str, list[str]]:
        """What the notes in sight begin and end."""
        found: defaultdict[str, list[str]] = defaultdict(list)
        for device in self.music.analysis.devices:
            if device.notes and (device.notes[0] in self.at or device.notes[-1] in self.at):
                found[device.notes[0]].append(f"first of {device.kind}")
                found[device.notes[-1]].append(f"last of {device.kind}")
        return found

    def _chord(self, index: int) -> int:
        """Which of the score's chords a note stands on."""
        return bisect_right(self.music.change_onsets, self.music.line[index].onset)

    def chords_apart(self, one: int, other: int) -> str:
        """Whether a note stands on another's chord, the next one, a later or an earlier one."""
        apart = self._chord(other) - self._chord(one)
        return "own" if apart == 0 else "next" if apart == 1 else "later" if apart > 0 else "earlier"

    def is_resolution(self, one: int, other: int) -> bool:
        """Whether a note resolves to another."""
        return self.music.finding(self.music.line[one]).resolves_to == self.music.line[other].id

    def interval(self, one: int, other: int) -> str:
        """The way and rough size from a note to another."""
        step = self.music.line[other].sounding.midi - self.music.line[one].sounding.midi
        size = next((name for limit, name in STEPS if abs(step) <= limit), "leap")
        return size if step == 0 else f"{size} {'up' if step > 0 else 'down'}"

    def relation(self, one: int, other: int) -> str:
        """Where in the line a note stands, seen from another."""
        line, apart = self.music.line, other - one
        if apart <= 1:
            here = line[one].bar == line[other].bar
            return {0: "same", 1: "next", -1: "before"}.get(apart, "earlier" if here else "long before")
        between = line[one + 1 : other]
        if all(note.sounding == line[one].sounding for note in between):
            return "next other"
        if all(note.sounding == line[other].sounding for note in between):
            return "next kept"
        bars = line[other].bar - line[one].bar
        return "second next" if apart == 2 else {0: "later", 1: "next bar"}.get(bars, "far")
