"""What sounds in a demo take, as MIDI events: the soloist, a walking bass, a ride cymbal and comping."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from random import Random

import mido
import numpy as np
from demo_performance import Performance, Played, Symbols, swung

__all__ = ["Sequence", "accompany", "count_in", "solo"]

BEND_RANGE = 12
BEND_FULL = 8191
GLIDE_S = 0.014
SLUR_REACH = 7
SLUR_LENGTH = 4
GAP_S = 0.07
VIBRATO_HZ, VIBRATO_SEMITONES, VIBRATO_AFTER_S = 5.2, 0.16, 0.28
CHANNEL_SOLO, CHANNEL_COMP, CHANNEL_BASS, CHANNEL_DRUMS = 0, 1, 2, 9
PIANO, BASS = 0, 32
STICK, RIDE, HAT_FOOT, CRASH, KICK, SNARE = 37, 51, 44, 49, 36, 38
PITCH_CLASSES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
# chord tones over the root for the bass, and a rootless voicing for the comping hand
TONES: dict[str, tuple[tuple[int, ...], tuple[int, ...]]] = {
    "": ((0, 4, 7), (4, 7, 12, 14)),
    "maj7": ((0, 4, 7, 9), (4, 7, 11, 14)),
    "6/9": ((0, 4, 7, 9), (4, 9, 14)),
    "7": ((0, 4, 7, 10), (4, 10, 14)),
    "7b9": ((0, 4, 7, 10), (4, 10, 13)),
    "7alt": ((0, 4, 6, 10), (4, 10, 15, 20)),
    "13": ((0, 4, 7, 10), (4, 10, 14, 21)),
    "13sus": ((0, 5, 7, 10), (5, 10, 14, 21)),
    "m7": ((0, 3, 7, 10), (3, 7, 10, 14)),
    "m6": ((0, 3, 7, 9), (3, 9, 14)),
    "m(maj7)": ((0, 3, 7, 11), (3, 7, 11, 14)),
    "m7b5": ((0, 3, 6, 10), (3, 6, 10)),
    "dim7": ((0, 3, 6, 9), (3, 6, 9)),
}


class Sequence:
    """MIDI messages at times in seconds."""

    TICKS_A_SECOND = 1920

    def __init__(self) -> None:
        self.events: list[tuple[int, int, int, mido.Message]] = []

    def add(self, time_s: float, kind: str, **values: int) -> None:
        """Add one message; note-offs go before anything else of the same tick."""
        tick = round(time_s * self.TICKS_A_SECOND)
        self.events.append((tick, kind != "note_off", len(self.events), mido.Message(kind, **values)))

    def note(self, onset_s: float, end_s: float, midi: int, velocity: float, channel: int) -> None:
        """Add a note."""
        loud = int(np.clip(velocity, 1, 127))
        self.add(onset_s, "note_on", note=midi, velocity=loud, channel=channel)
        self.add(end_s, "note_off", note=midi, velocity=0, channel=channel)

    def save(self, path: Path) -> None:
        """Write a standard MIDI file."""
        file = mido.MidiFile(ticks_per_beat=self.TICKS_A_SECOND // 2)
        track = mido.MidiTrack()
        file.tracks.append(track)
        before = 0
        for tick, _, _, message in sorted(self.events, key=lambda event: event[:3]):
            track.append(message.copy(time=tick - before))
            before = tick
        file.save(path)


def solo(performance: Performance, program: int, cents: float, rng: Random) -> tuple[Sequence, set[int]]:
    """The soloist: (events, places in `performance.notes` of the notes that have no attack of their own)."""
    sequence = Sequence()
    sequence.add(0, "program_change", program=program, channel=CHANNEL_SOLO)
    for control, value in ((101, 0), (100, 0), (6, BEND_RANGE), (38, 0)):
        sequence.add(0, "control_change", control=control, value=value, channel=CHANNEL_SOLO)
    slurred: set[int] = set()
    for first, last in _breaths(performance.notes, rng):
        _play_slur(
            sequence, performance.notes[first : last + 1], _release(performance.notes, last, rng), cents, rng
        )
        slurred.update(range(first + 1, last + 1))
    return sequence, slurred


def _breaths(notes: list[Played], rng: Random) -> Iterator[tuple[int, int]]:
    """Runs of notes played on one attack; an off-beat is mostly slurred into the beat after it."""
    first = 0
    for place in range(1, len(notes) + 1):
        if place == len(notes) or not _slurs(notes, first, place, rng):
            yield first, place - 1
            first = place


def _slurs(notes: list[Played], first: int, place: int, rng: Random) -> bool:
    before, note = notes[place - 1], notes[place]
    reach = abs(note.midi - notes[first].midi)
    if before.midi == note.midi or reach > SLUR_REACH or place - first >= SLUR_LENGTH:
        return False
    if note.onset_s - before.end_s > GAP_S or before.ghosted != note.ghosted:
        return False
    return rng.random() < (0.75 if note.beat.denominator == 1 else 0.3)


def _release(notes: list[Played], last: int, rng: Random) -> float:
    """When the air stops after a run of notes."""
    note = notes[last]
    share = rng.uniform(0.84, 0.98)
    end_s = note.onset_s + share * (note.end_s - note.onset_s)
    limit_s = notes[last + 1].onset_s - 0.004 if last + 1 < len(notes) else end_s
    return min(end_s, limit_s)


def _play_slur(sequence: Sequence, run: list[Played], end_s: float, cents: float, rng: Random) -> None:
    base = run[0].midi
    if rng.random() < 0.08:
        _glide(sequence, run[0].onset_s, -0.8, 0.0, 0.06, cents)
    else:
        _bend(sequence, run[0].onset_s - 0.002, cents / 100)
    sequence.note(run[0].onset_s, end_s, base, run[0].velocity, CHANNEL_SOLO)
    for before, note in pairwise(run):
        _glide(sequence, note.onset_s, before.midi - base, note.midi - base, GLIDE_S, cents)
    _vibrato(sequence, run[-1].onset_s, end_s, run[-1].midi - base + cents / 100)


def _bend(sequence: Sequence, time_s: float, semitones: float) -> None:
    value = round(np.clip(semitones / BEND_RANGE, -1, 1) * BEND_FULL)
    sequence.add(max(time_s, 0), "pitchwheel", pitch=value, channel=CHANNEL_SOLO)


def _glide(
    sequence: Sequence, start_s: float, low: float, high: float, duration_s: float, cents: float
) -> None:
    for share in np.linspace(0, 1, 5):
        _bend(sequence, start_s + share * duration_s, low + share * (high - low) + cents / 100)


def _vibrato(sequence: Sequence, onset_s: float, end_s: float, centre: float) -> None:
    times = np.arange(onset_s + VIBRATO_AFTER_S, end_s - 0.03, 0.02)
    for time_s in times if end_s - onset_s > 0.45 else ():
        phase = 2 * np.pi * VIBRATO_HZ * (time_s - times[0])
        _bend(sequence, float(time_s), centre + VIBRATO_SEMITONES * float(np.sin(phase)))


def count_in(sequence: Sequence, performance: Performance, rng: Random) -> None:
    """Sticks on the counted beats."""
    for beat in performance.count_beats:
        at = performance.grid(beat)
        sequence.note(at, at + 0.1, STICK, rng.gauss(84, 4), CHANNEL_DRUMS)


@dataclass(frozen=True)
class _Harmony:
    """The changes as played; times in beats."""

    symbols: Symbols

    def at(self, beat: float) -> tuple[float, str, str, str | None]:
        return [symbol for symbol in self.symbols if symbol[0] <= beat + 1e-6][-1]

    def next_root(self, beat: float) -> int | None:
        later = [symbol for symbol in self.symbols if symbol[0] > beat + 1e-6]
        return pitch_class(later[0][3] or later[0][1]) if later and later[0][0] <= beat + 1 + 1e-6 else None


def pitch_class(name: str) -> int:
    """Semitones above C of a chord root."""
    return (PITCH_CLASSES[name[0]] + {"": 0, "b": -1, "#": 1}[name[1:]]) % 12


def accompany(performance: Performance, beats_a_bar: int, rng: Random) -> Sequence:
    """Bass, ride and comping from the first full bar on; the last bar is one held chord."""
    sequence = Sequence()
    sequence.add(0, "program_change", program=PIANO, channel=CHANNEL_COMP)
    sequence.add(0, "program_change", program=BASS, channel=CHANNEL_BASS)
    harmony = _Harmony(performance.symbols)
    last = performance.end_beat - beats_a_bar
    _walk(sequence, performance, harmony, last, rng)
    for beat in range(round(last)):
        _drum_beat(sequence, performance, beat, beat % beats_a_bar, rng)
        _comp_beat(sequence, performance, harmony, beat, rng)
    _last_chord(sequence, performance, harmony, last)
    return sequence


def _walk(sequence: Sequence, performance: Performance, harmony: _Harmony, last: float, rng: Random) -> None:
    place = 40
    for beat in range(round(last)):
        place = _bass_note(harmony, beat, place, rng)
        onset_s = performance.grid(beat) + rng.gauss(0, 0.004)
        sequence.note(onset_s, performance.grid(beat + 0.93), place, rng.gauss(90, 5), CHANNEL_BASS)


def _bass_note(harmony: _Harmony, beat: int, before: int, rng: Random) -> int:
    """Roots where chords begin, a half step into the next one, chord tones between."""
    start, root, suffix, bass = harmony.at(beat)
    coming = harmony.next_root(beat)
    if start == beat:
        wanted = [pitch_class(bass or root)]
    elif coming is not None:
        wanted = [coming + rng.choice((-1, 1))]
    else:
        wanted = [pitch_class(root) + tone for tone in TONES[suffix][0]]
    near = [
        midi for midi in range(29, 51) if any((midi - tone) % 12 == 0 for tone in wanted) and midi != before
    ]
    return min(near, key=lambda midi: abs(midi - before) + 1.5 * rng.random())


def _drum_beat(
    sequence: Sequence, performance: Performance, beat: int, beat_of_bar: int, rng: Random
) -> None:
    def hit(position: float, drum: int, velocity: float) -> None:
        onset_s = performance.grid(swung(position, performance.ratio)) + rng.gauss(0, 0.003)
        sequence.note(onset_s, onset_s + 0.1, drum, rng.gauss(velocity, 4), CHANNEL_DRUMS)

    hit(beat, RIDE, 72 if beat_of_bar % 2 else 66)
    if beat_of_bar % 2:
        hit(beat, HAT_FOOT, 70)
        hit(beat + 0.5, RIDE, 58)
    if rng.random() < 0.10:
        hit(beat + 0.5, rng.choice((SNARE, KICK)), 45)


def _comp_beat(
    sequence: Sequence, performance: Performance, harmony: _Harmony, beat: int, rng: Random
) -> None:
    if rng.random() > 0.38:
        return
    at = beat + rng.choice((0.0, 0.5, 0.5))
    sounding = harmony.at(at + 0.5 if at % 1 else at)
    end = at + rng.choice((0.35, 0.45, 0.9))
    onset_s, end_s = (performance.grid(swung(x, performance.ratio)) for x in (at, end))
    _chord(sequence, sounding, onset_s + rng.gauss(0, 0.004), end_s, rng.gauss(60, 5))


def _chord(
    sequence: Sequence, symbol: tuple[float, str, str, str | None], on_s: float, end_s: float, loud: float
) -> None:
    low = 48 + (pitch_class(symbol[1]) + 5) % 12 - 5
    for tone in TONES[symbol[2]][1]:
        sequence.note(on_s, end_s, low + tone, loud, CHANNEL_COMP)


def _last_chord(sequence: Sequence, performance: Performance, harmony: _Harmony, beat: float) -> None:
    symbol = harmony.at(beat)
    onset_s, end_s = performance.grid(beat), performance.grid(performance.end_beat)
    _chord(sequence, symbol, onset_s, end_s, 62)
    sequence.note(onset_s, end_s, 36 + (pitch_class(symbol[1]) + 5) % 12 - 5, 90, CHANNEL_BASS)
    sequence.note(onset_s, onset_s + 0.1, RIDE, 74, CHANNEL_DRUMS)
