"""Takes of a player who leaves the page here and there, and where: to measure what is found of it.

A random piece is performed by the benchmark's player, who drops nothing by habit; then some of what is played
is changed: another pitch, another octave, a note left out (the one before may go on in its place), a note
added in a rest or in a long note's second half. It sounds alone, with a band or in a noisy room. Grace notes,
scoops, ghosts and slurs are habits, not departures.

Needs what take_sound.py needs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import numpy as np

from lessonmaker.score.model import Score
from lessonmaker.sound.model import Audio
from tests.tools.band import band_track
from tests.tools.piece_xml import piece_xml
from tests.tools.player import (
    HARD,
    PLAIN,
    Clock,
    Sounded,
    add_graces,
    play_notes,
    slow_curve,
    solo_track,
    swung,
)
from tests.tools.random_piece import STYLES, Piece, changes_of_a_form, line_over
from tests.tools.scored_takes import INSTRUMENTS, score_of
from tests.tools.take_sound import FONTS, RATE, Samples, decaying_noise, level, pink_noise, render, with_tail

__all__ = ["SURROUNDINGS", "DepartingTake", "TrueDeparture", "departing_take"]

# What is around the player: the band's level in dB over him (None: no band), and the room's noise.
SURROUNDINGS: dict[str, tuple[float | None, float]] = {
    "alone": (None, -52.0),
    "band": (0.0, -52.0),
    "loud band": (6.0, -52.0),
    "noisy": (None, -20.0),
}
KINDS, OFTEN = ("wrong", "octave", "missing"), (0.5, 0.2, 0.3)
ADDED_OFTEN = 2.0  # times as often as the rest, where there is room for a note more
HELD_ON = 0.5
LEAST_REST_S = 0.25
LEAST_LONG_S = 0.4
WIDEST_WRONG = 7
DECAY_S, WET = (1.1, 1.8), (0.45, 0.7)


@dataclass(frozen=True)
class TrueDeparture:
    """`index` into Score.struck (None for an added note), the pitch that sounds (None for none), and when."""

    kind: str
    index: int | None
    heard: int | None
    time_s: float


@dataclass(frozen=True)
class DepartingTake:
    """A score, a take of it, and where the take leaves it; `graces` are the times of grace notes."""

    score: Score
    audio: Audio
    departures: tuple[TrueDeparture, ...]
    graces: tuple[float, ...]
    about: dict[str, object]


def departing_take(
    seed: int,
    surroundings: str = "alone",
    share: float = 0.06,
    hard: bool = False,
    bars: int = 24,
    fonts: Sequence[Path] = FONTS,
) -> DepartingTake:
    """One take in which about `share` of the notes are not what the score says; the same for the same seed."""
    rng = np.random.default_rng([seed, list(SURROUNDINGS).index(surroundings), hard])
    habits = replace(HARD if hard else PLAIN, dropped=0.0)
    name = str(rng.choice(list(INSTRUMENTS)))
    program, lowest = INSTRUMENTS[name]
    style = str(rng.choice(STYLES[:3], p=[0.5, 0.35, 0.15]))
    tempo = float(np.exp(rng.uniform(*np.log((66, 100) if style == "slow" else (96, 190)))))
    key, changes = changes_of_a_form(rng, bars, 4)
    line = line_over(rng, changes, bars * 4, style, lowest, key)
    piece = Piece(4, bars, key, round(tempo * rng.uniform(0.9, 1.1)), changes, line)
    score = score_of(piece_xml(piece))
    clock = Clock(rng, tempo, bars * 4.0, float(rng.uniform(0.5, 3)), habits)
    end_s = clock(bars * 4.0)
    lag = slow_curve(rng, end_s, (0, rng.uniform(*habits.lag_s)), (5, 40))
    first_half = float(rng.uniform(0.5, 0.64))

    def at(place: Fraction, even: bool) -> float:
        time_s = clock(swung(place, even, first_half))
        return time_s + lag(time_s)

    played = play_notes(rng, score, score.order, at, habits, lambda _, pitch: pitch)
    played, departures = depart(rng, played, share, lowest)
    sounded = add_graces(rng, played, habits)
    grown = {(note.onset_s, note.pitch) for note in played}
    graces = tuple(note.onset_s for note in sounded if (note.onset_s, note.pitch) not in grown)
    cents = float(rng.uniform(-1, 1)) * habits.cents
    font = Path(str(rng.choice([str(font) for font in fonts])))
    sound = level(render(solo_track(rng, sounded, program, cents, habits), font, end_s + 3))
    band_db, noise_db = SURROUNDINGS[surroundings]
    if band_db is not None:
        band = band_track(
            rng, score, score.order, changes, lambda place: clock(swung(place, False, first_half))
        )
        sound = sound + level(render(band, font, end_s + 3)) * 10 ** (band_db / 20)
    sound = _in_room(rng, sound, noise_db, surroundings == "noisy")
    about = {"instrument": name, "font": font.name, "tempo": round(tempo), "style": style}
    audio = Audio(np.asarray(sound / np.abs(sound).max() * 0.8, np.float32), RATE)
    return DepartingTake(score, audio, departures, graces, about)


def depart(
    rng: np.random.Generator, notes: Sequence[Sounded], share: float, lowest: int
) -> tuple[list[Sounded], tuple[TrueDeparture, ...]]:
    """The notes with some changed, and what was changed."""
    out: list[Sounded] = []
    truth: list[TrueDeparture] = []
    changed = False
    for number, note in enumerate(notes):
        after_s = notes[number + 1].onset_s if number + 1 < len(notes) else note.end_s
        kind = ""
        if out and not changed:
            kind = str(rng.choice(KINDS, p=OFTEN)) if rng.random() < share else ""
            if not kind and _has_room(note, after_s) and rng.random() < ADDED_OFTEN * share:
                kind = "added"
        changed = bool(kind)
        if kind == "missing":
            truth.append(TrueDeparture(kind, note.index, None, note.onset_s))
            if out[-1].pitch != note.pitch and rng.random() < HELD_ON:
                out[-1] = replace(out[-1], end_s=note.end_s)
            continue
        if kind == "added":
            parts = _with_another(rng, note, after_s)
            out += parts
            truth += [TrueDeparture(kind, None, part.pitch, part.onset_s) for part in parts[1:]]
            continue
        pitch = _other_pitch(rng, kind, note.pitch, lowest)
        if kind:
            truth.append(TrueDeparture(kind, note.index, pitch, note.onset_s))
        out.append(replace(note, pitch=pitch))
    return out, tuple(truth)


def _has_room(note: Sounded, after_s: float) -> bool:
    return after_s - note.end_s > LEAST_REST_S or note.end_s - note.onset_s > LEAST_LONG_S


def _with_another(rng: np.random.Generator, note: Sounded, after_s: float) -> list[Sounded]:
    """The note and one more: in the rest after it, or else in its own second half."""
    pitch = note.pitch + int(rng.choice([-5, -4, -3, -2, -1, 1, 2, 3, 4, 5]))
    rest_s = after_s - note.end_s
    if rest_s > LEAST_REST_S:
        onset_s, end_s = note.end_s + 0.2 * rest_s, note.end_s + 0.8 * rest_s
        added = replace(note, index=None, pitch=pitch, onset_s=onset_s, end_s=end_s, velocity=85.0)
        return [note, added]
    middle_s = (note.onset_s + note.end_s) / 2
    added = replace(note, index=None, pitch=pitch, onset_s=middle_s, velocity=85.0)
    return [replace(note, end_s=middle_s), added]


def _other_pitch(rng: np.random.Generator, kind: str, pitch: int, lowest: int) -> int:
    if kind == "octave":
        return pitch + (12 if pitch - 12 < lowest or rng.random() < 0.5 else -12)
    if kind == "wrong":
        size = int(rng.choice(WIDEST_WRONG, p=_falling(WIDEST_WRONG))) + 1
        return pitch + (size if pitch - size < lowest or rng.random() < 0.5 else -size)
    return pitch


def _falling(count: int) -> Samples:
    """Small slips are likelier than wide ones."""
    weights = 1 / np.arange(1, count + 1)
    return np.asarray(weights / weights.sum())


def _in_room(rng: np.random.Generator, sound: Samples, noise_db: float, reverberant: bool) -> Samples:
    if reverberant:
        sound = level(with_tail(sound, decaying_noise(rng, rng.uniform(*DECAY_S)), 0.012, rng.uniform(*WET)))
    return sound + pink_noise(rng, len(sound)) * 0.1 * 10 ** (noise_db / 20)
