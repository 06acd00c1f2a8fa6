"""Takes with a known truth, to train the aligner on: random lines, performed and rendered.

A line walks over a scale in mixed rhythms; a performance bends time (drift, swing, lag, jitter), tongues,
slurs (as pure pitch bends, without an attack), ghosts, scoops and ornaments; FluidSynth renders it with a
SoundFont, or recorded notes of a real instrument sound instead where such are given; a band, a room, a colour
(a random equaliser) and noise may follow. Everything comes from a seed.

Needs the fluidsynth program, mido, and Debian's fluid-soundfont-gm, timgm6mb-soundfont and
musescore-general-soundfont-small.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt

from tests.tools.player import Habits, Sounded, add_graces
from tests.tools.recorded_notes import RecordedNotes
from tests.tools.take_sound import (
    BEND_SEMITONES,
    FONTS,
    RATE,
    Samples,
    Track,
    coloured,
    in_room,
    level,
    render,
)

# General MIDI programs (from 0) and the lowest pitch each is asked to play; common practice, no source.
WINDS = {56: 54, 57: 42, 59: 54, 64: 56, 65: 50, 66: 45, 67: 38, 68: 58, 70: 38, 71: 50, 73: 60, 60: 42}
OTHERS = {0: 45, 4: 45, 11: 53, 26: 42, 40: 55, 42: 40, 22: 55, 75: 60}
RANGE_SEMITONES = 29
SCALES = ((0, 2, 4, 5, 7, 9, 11), (0, 2, 3, 5, 7, 9, 10), (0, 1, 3, 4, 6, 8, 10), (0, 2, 4, 6, 7, 9, 10))
# Rhythm cells: (length in beats, sounds, straight) after one another, and how often each comes.
CELLS = (
    (30, ((0.5, 1, 0), (0.5, 1, 0))),
    (12, ((1.0, 1, 0),)),
    (7, ((1 / 3, 1, 1),) * 3),
    (5, ((0.5, 0, 0), (0.5, 1, 0))),
    (5, ((0.5, 1, 0), (1.0, 1, 0), (0.5, 1, 0))),
    (4, ((1.5, 1, 0), (0.5, 1, 0))),
    (5, ((2.0, 1, 0),)),
    (4, ((0.25, 1, 0),) * 4),
    (3, ((0.5, 1, 0), (0.25, 1, 0), (0.25, 1, 0))),
    (5, ((1.0, 0, 0),)),
    (2, ((3.0, 1, 0),)),
    (1, ((4.0, 0, 0),)),
)
# How a player takes the page: the least and most that each is done, as a share of the notes.
SLURS, ORNAMENTS, SCOOPS, GHOSTS, OMISSIONS = (0.2, 0.75), (0.0, 0.14), (0.0, 0.15), (0.0, 0.15), (0.0, 0.12)
LEAST_APART_S = 0.03
RECORDED_SHARE = 0.35


@dataclass
class Played:
    """One note: where it stands in beats, its pitch, and when it began and stopped in seconds.

    `sounds` is False for a note that the player left out.
    """

    beat: float
    beats: float
    pitch: int
    straight: bool
    onset_s: float
    end_s: float
    sounds: bool = True


@dataclass
class PerformedTake:
    """Mono samples (n,) at `RATE` and the notes in them; `quarter_s` is the mean beat."""

    samples: npt.NDArray[np.float32]
    notes: list[Played]
    beats: int
    quarter_s: float
    description: dict[str, object] = field(default_factory=dict)


def performed_takes(count: int, seed: int, recorded: Sequence[RecordedNotes] = ()) -> Iterator[PerformedTake]:
    """That many takes, all different, the same for the same seed."""
    for number in range(count):
        yield perform(np.random.default_rng([seed, number]), recorded)


def perform(
    rng: np.random.Generator, recorded: Sequence[RecordedNotes] = (), seconds: float = 45.0
) -> PerformedTake:
    """One take of about the length asked for, a third of them with recorded notes where such are given."""
    tempo = float(np.exp(rng.uniform(np.log(65), np.log(240))))
    beats = int(seconds * tempo / 60)
    real = rng.choice(np.array(recorded, object)) if recorded and rng.random() < RECORDED_SHARE else None
    family = WINDS if rng.random() < 0.8 else OTHERS
    program = int(rng.choice(list(family)))
    notes = _compose(rng, beats, real.lowest if real else family[program])
    clock = _clock(rng, tempo, beats + 2)
    share = rng.uniform(0.5, 0.56) if tempo > 180 else rng.uniform(0.5, 0.67)
    _time_notes(rng, notes, clock, share)
    _leave_out(rng, notes)
    font = FONTS[rng.integers(len(FONTS))]
    cents = float(rng.uniform(-35, 35))
    length = notes[-1].end_s + 1.5
    played = [note for note in notes if note.sounds]
    if real:
        solo = level(_fitted(_recorded(rng, real, played, cents), length))
    else:
        solo = level(render(_solo_midi(rng, played, program, cents, family is WINDS), font, length))
    kind = rng.choice(["alone", "band", "loud band"], p=[0.4, 0.35, 0.25])
    sound = solo
    if kind != "alone":
        band = render(_band_midi(rng, clock, beats, share), _other(rng), length)
        sound = sound + level(band) * 10 ** (rng.uniform(*((-8, 2) if kind == "band" else (2, 10))) / 20)
    sound = in_room(rng, coloured(rng, sound))
    by = real.name if real else f"{program} of {font.name}"
    return PerformedTake(sound, notes, beats, 60 / tempo, {"by": by, "kind": str(kind), "tempo": tempo})


def _recorded(rng: np.random.Generator, real: RecordedNotes, notes: list[Played], cents: float) -> Samples:
    """The notes as an instrument's recordings sound them."""
    often = (float(rng.uniform(*limits)) for limits in (ORNAMENTS, GHOSTS, SLURS))
    graced, ghosted, slurred = often
    habits = Habits(0, 0, (1, 2), (0, 0), 0, graced, ghosted, 0, slurred, 0, (0.05, 0.1))
    sounded = [
        Sounded(
            number,
            0,
            1,
            note.pitch,
            note.onset_s,
            note.end_s,
            rng.uniform(35, 60) if rng.random() < ghosted else rng.normal(88, 10),
        )
        for number, note in enumerate(notes)
    ]
    return real.play(rng, add_graces(rng, sounded, habits), cents, habits)


def _fitted(sound: Samples, seconds: float) -> Samples:
    out = np.zeros(int(seconds * RATE))
    out[: len(sound)] = sound[: len(out)]
    return out


def _other(rng: np.random.Generator) -> Path:
    return FONTS[rng.integers(len(FONTS))]


def _compose(rng: np.random.Generator, beats: int, lowest: int) -> list[Played]:
    """A random walk over a scale, with leaps, chromatic steps and repeated notes."""
    weights = np.array([weight for weight, _ in CELLS], float)
    scale, root = SCALES[rng.integers(len(SCALES))], int(rng.integers(12))
    ladder = [p for p in range(lowest, lowest + RANGE_SEMITONES) if (p - root) % 12 in scale]
    rung, step = len(ladder) // 2, 1
    notes: list[Played] = []
    beat = 1.0
    while beat < beats - 4:
        for length, sounds, straight in CELLS[rng.choice(len(CELLS), p=weights / weights.sum())][1]:
            if sounds:
                step = -step if rng.random() < 0.25 else step
                rung += step * int(rng.choice([0, 1, 2, 3, 5], p=[0.06, 0.6, 0.2, 0.09, 0.05]))
                if not 0 <= rung < len(ladder):
                    step = -step
                    rung = int(np.clip(rung, 0, len(ladder) - 1))
                pitch = ladder[rung] + (int(rng.choice([-1, 1])) if rng.random() < 0.12 else 0)
                notes.append(Played(beat, length, pitch, bool(straight), 0.0, 0.0))
            beat += length
    return notes


def _clock(rng: np.random.Generator, tempo: float, beats: int) -> Samples:
    """The time (beats + 1,) of each beat: a smooth random walk of the tempo after a silent start."""
    walk = np.cumsum(rng.normal(0, 0.02, beats + 9))
    smooth = np.convolve(walk - walk.mean(), np.hanning(9) / np.hanning(9).sum(), "valid")
    return (
        rng.uniform(0.2, 2.0)
        + np.append(0, np.cumsum(60 / tempo * np.exp(np.clip(smooth, -0.2, 0.2))))[: beats + 1]
    )


def _swung(beat: float, straight: bool, share: float) -> float:
    whole = np.floor(beat + 1e-6)
    within = beat - whole
    if straight:
        return float(beat)
    return float(whole + np.interp(within, [0, 0.5, 1], [0, share, 1]))


def _time_notes(rng: np.random.Generator, notes: list[Played], clock: Samples, share: float) -> None:
    """Onsets with lag and jitter, ends by articulation; each a little after the one before."""
    at = lambda beat: float(np.interp(beat, np.arange(len(clock)), clock))  # noqa: E731
    lag, jitter, tightness = rng.uniform(0, 0.04), rng.uniform(0.004, 0.028), rng.uniform(0.75, 1.0)
    earlier = -1.0
    for note in notes:
        onset = at(_swung(note.beat, note.straight, share)) + lag + rng.normal(0, jitter)
        note.onset_s = earlier = max(onset, earlier + LEAST_APART_S)
        end = at(_swung(note.beat + note.beats, note.straight, share)) + lag
        note.end_s = note.onset_s + max(0.05, (end - note.onset_s) * rng.uniform(tightness, 1.0))
    for note, following in itertools.pairwise(notes):
        note.end_s = min(note.end_s, following.onset_s)


def _leave_out(rng: np.random.Generator, notes: list[Played]) -> None:
    """Some notes are not played; the one before may go on in their place, or stop."""
    often = rng.uniform(*OMISSIONS)
    for before, note, following in zip(notes, notes[1:], notes[2:], strict=False):
        note.sounds = not (before.sounds and rng.random() < often)
        if not note.sounds and rng.random() < 0.4:
            before.end_s = min(note.end_s, following.onset_s)


def _solo_midi(
    rng: np.random.Generator, notes: list[Played], program: int, cents: float, slurs: bool
) -> Track:
    track = Track()
    track.add(0, "program_change", program=program)
    for control, value in ((101, 0), (100, 0), (6, BEND_SEMITONES), (38, 0)):
        track.add(0, "control_change", control=control, value=value)
    often = rng.uniform(*SLURS) if slurs else 0.0
    manner = _Manner(*(float(rng.uniform(*limits)) for limits in (ORNAMENTS, SCOOPS, GHOSTS)))
    at = 0
    while at < len(notes):
        last = at
        while last + 1 < len(notes) and rng.random() < often and _slurs(notes, at, last):
            last += 1
        _phrase(rng, track, notes[at : last + 1], cents / 100, manner)
        at = last + 1
    return track


@dataclass(frozen=True)
class _Manner:
    ornaments: float
    scoops: float
    ghosts: float


def _slurs(notes: list[Played], first: int, last: int) -> bool:
    """Whether the next note can be reached by bending the first one's pitch."""
    here, following = notes[last], notes[last + 1]
    near = 0 < abs(following.pitch - notes[first].pitch) <= 5 and following.pitch != here.pitch
    return near and following.beat - here.beat - here.beats < 0.01 and last - first < 4


def _phrase(
    rng: np.random.Generator, track: Track, notes: list[Played], tuning: float, manner: _Manner
) -> None:
    """Notes on one attack, the rest bent to; ornaments before some of them; long ones with vibrato."""
    base = notes[0].pitch
    for note, following in itertools.pairwise(notes):
        note.end_s = following.onset_s
    attack = start = notes[0].onset_s
    velocity = rng.uniform(35, 60) if rng.random() < manner.ghosts else rng.normal(88, 10)
    ornament = _ornament(rng, manner)
    if ornament and rng.random() < 0.5:  # slurred to: the ornament has the attack, the note has none
        attack = start - rng.uniform(0.05, 0.1)
        track.bend(attack - 0.001, tuning + ornament)
        _glide(track, start, tuning + ornament, tuning)
    else:
        if ornament:
            begin = start - rng.uniform(0.05, 0.1)
            track.bend(begin - 0.002, tuning)
            track.note(begin, start - 0.002, base + ornament, velocity * 0.75)
        scoop = rng.uniform(0.3, 1.0) if rng.random() < manner.scoops else 0.0
        for part in range(8):
            track.bend(start - 0.001 + part * 0.012, tuning - scoop * (1 - part / 7))
    track.note(attack, notes[-1].end_s, base, velocity)
    for note, before in zip(notes[1:], notes, strict=False):
        come_from, ornament = before.pitch - base, _ornament(rng, manner)
        if ornament and note.onset_s - before.onset_s > 0.15:
            _glide(
                track,
                note.onset_s - rng.uniform(0.05, 0.1),
                tuning + come_from,
                tuning + note.pitch - base + ornament,
            )
            come_from = note.pitch - base + ornament
        _glide(track, note.onset_s, tuning + come_from, tuning + note.pitch - base)
    _vibrato(rng, track, notes[-1], notes[-1].pitch - base + tuning)


def _ornament(rng: np.random.Generator, manner: _Manner) -> int:
    """Semitones from the note to its ornament, 0 for none."""
    return int(rng.choice([-2, -1, 1, 2])) if rng.random() < manner.ornaments else 0


def _glide(track: Track, time_s: float, from_semitones: float, to_semitones: float) -> None:
    """From one pitch to another in 12 ms."""
    for part in range(4):
        track.bend(time_s + part * 0.004, from_semitones + (to_semitones - from_semitones) * (part + 1) / 4)


def _vibrato(rng: np.random.Generator, track: Track, note: Played, centre: float) -> None:
    rate, depth = rng.uniform(4.5, 6), rng.uniform(0.05, 0.3)
    for time_s in np.arange(note.onset_s + 0.25, note.end_s - 0.03, 0.02):
        track.bend(float(time_s), centre + depth * np.sin(2 * np.pi * rate * (time_s - note.onset_s)))


def _band_midi(rng: np.random.Generator, clock: Samples, beats: int, share: float) -> Track:
    """Bass, chords and drums in time with the clock; random chords, a bar of four beats each."""
    track, root = Track(), int(rng.integers(12))
    for channel, programs in ((1, (0, 4, 26)), (2, (32, 33))):
        track.add(0, "program_change", program=int(rng.choice(programs)), channel=channel)
    at = lambda beat: float(np.interp(beat, np.arange(len(clock)), clock)) + rng.normal(0, 0.006)  # noqa: E731
    tones: tuple[int, ...] = (0, 4, 7, 10)
    for beat in range(beats):
        if beat % 4 == 0:
            root = int((root + rng.choice([5, 5, 7, 10, 2, 1])) % 12)
            tones = ((0, 4, 7, 11), (0, 4, 7, 10), (0, 3, 7, 10), (0, 3, 6, 10))[rng.integers(4)]
        bass = 28 + (root + int(rng.choice(tones)) - 4) % 12 + 12 * int(rng.integers(2))
        track.note(at(beat), at(beat + 0.9), bass, rng.normal(88, 6), 2)
        track.note(at(beat), at(beat + 0.1), 51, rng.normal(70, 8), 9)
        if beat % 2:
            track.note(at(beat), at(beat + 0.1), 44, 70, 9)
            track.note(at(beat + share), at(beat + share + 0.1), 51, 58, 9)
        if rng.random() < 0.2:
            track.note(
                at(beat + share), at(beat + share + 0.1), int(rng.choice([36, 38])), rng.uniform(35, 90), 9
            )
        if rng.random() < 0.5:
            start = beat + float(rng.choice([0, share]))
            for tone in tones:
                track.note(
                    at(start),
                    at(start + rng.uniform(0.3, 1.8)),
                    48 + (root + tone) % 12,
                    rng.normal(66, 8),
                    1,
                )
    return track
