"""Whole cases for the aligner: a score that was read from MusicXML, a take of it, and what is true of the take.

`make_case("band louder", seed, hard=True)` composes a piece, reads it back as a score, lets the player
(player.py) perform it, alone or with a band (band.py), and renders it with FluidSynth and a SoundFont, with
count-in, talk, room and noise. `KINDS` lists the kinds of takes; the same arguments give the same case.

Needs what take_sound.py needs, and espeak-ng for spoken counts and talk.
"""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

import numpy as np

from lessonmaker.score.model import Score, Visit
from lessonmaker.score.read import read_score
from lessonmaker.sound.model import Audio
from tests.tools.around_a_take import add_after, add_before
from tests.tools.band import band_track
from tests.tools.piece_xml import piece_xml
from tests.tools.player import (
    HARD,
    PLAIN,
    Clock,
    Curve,
    Habits,
    Sounded,
    add_graces,
    play_notes,
    slow_curve,
    solo_track,
    swung,
)
from tests.tools.random_piece import STYLES, Change, Piece, Repeat, changes_of_a_form, line_over
from tests.tools.recorded_notes import RecordedNotes
from tests.tools.take_sound import FONTS, RATE, Samples, decaying_noise, level, pink_noise, render, with_tail

__all__ = [
    "INSTRUMENTS",
    "KINDS",
    "Case",
    "Kind",
    "TrueBar",
    "TrueNote",
    "make_case",
    "score_of",
    "visits_of",
    "with_repeats",
]

# General MIDI program (from 0) and lowest pitch; common practice, no source.
INSTRUMENTS = {
    "tenor": (66, 46),
    "alto": (65, 50),
    "soprano": (64, 57),
    "baritone": (67, 38),
    "trumpet": (56, 54),
    "trombone": (57, 41),
    "clarinet": (71, 50),
    "flute": (73, 60),
    "bassoon": (70, 36),
}


@dataclass(frozen=True)
class Kind:
    """A kind of take.

    `band_db` is the band's level above the player (None: alone); `order` what is done to the printed order;
    `wrong` what of the score the take shares when it is of something else; `plain` a short tune in long notes.
    """

    band_db: tuple[float | None, ...] = (None,)
    noisy: bool = False
    transposed: bool = False
    order: str = "printed"
    wrong: str = ""
    elsewhere: bool = False
    plain: bool = False


KINDS = {
    "solo": Kind(),
    "band, equal level": Kind((0.0,)),
    "band louder": Kind((6.0,)),
    "reverb and noise": Kind(noisy=True),
    "transposed reading": Kind(transposed=True),
    "passage repeated": Kind((None, 0.0), order="passage"),
    "several jumps": Kind((None, 0.0), order="jumps"),
    "voltas and repeats, taken or not": Kind((None, 0.0), order="voltas"),
    "wrong: another piece": Kind((None, 0.0), wrong="nothing"),
    "wrong: the same changes": Kind((0.0, None, 6.0), wrong="changes"),
    "a third in another key": Kind((None, 0.0), elsewhere=True),
    "a short plain tune": Kind((None, 0.0), plain=True),
    "wrong: another short plain tune": Kind((None, 0.0), wrong="nothing", plain=True),
}
HARD_BAND_DB = 4.0  # how much louder yet a band is that is louder already
NOISE_DB = {False: -20.0, True: -12.0}
DECAY_S = {False: (1.1, 1.8), True: (1.8, 2.6)}
WET = {False: (0.45, 0.7), True: (0.6, 0.9)}
FLOOR_DB = -52.0
SHORTEST_RUN = 4
ROOM_LATE_S = 0.012
BARS, PLAIN_BARS = (24, 49), (10, 21)
OTHER_BARS = (0.6, 2.2)


@dataclass(frozen=True)
class TrueNote:
    """When a note of Score.struck (by index) sounds; `visit` counts the times its bar was played."""

    index: int
    visit: int
    time_s: float


@dataclass(frozen=True)
class TrueBar:
    """When a bar starts to a listener: the band's beat, or a lone player's."""

    bar: int
    visit: int
    time_s: float
    elsewhere: bool = False


@dataclass(frozen=True)
class Case:
    """A score, a take, and the truth; `right` is False where the take is of something else.

    `xml` is the file that the score was read from; `notes` and `bars` are empty for a take of something else;
    `shift` is how many semitones the take sounds above the score, `cents` its tuning.
    """

    kind: str
    seed: int
    score: Score
    xml: str
    audio: Audio
    right: bool
    notes: tuple[TrueNote, ...]
    bars: tuple[TrueBar, ...]
    end_s: float
    shift: int
    cents: float
    banded: bool
    about: dict[str, object] = field(default_factory=dict)


def make_case(
    kind: str,
    seed: int,
    hard: bool = False,
    instrument: str = "",
    fonts: Sequence[Path] = FONTS,
    bars: int = 0,
    recorded: RecordedNotes | None = None,
) -> Case:
    """One case.

    Args:
        instrument: a key of `INSTRUMENTS`; any where it is not said.
        bars: how long the piece is; some `BARS` where it is not said.
        recorded: what the line is played with instead of an instrument of a SoundFont.
    """
    rng = np.random.default_rng([seed, list(KINDS).index(kind), hard])
    maker = _Maker(rng, KINDS[kind], hard, instrument or str(rng.choice(list(INSTRUMENTS))), fonts, recorded)
    return maker.case(kind, seed, bars or int(rng.integers(*(PLAIN_BARS if KINDS[kind].plain else BARS))))


def visits_of(score: Score, bars: Sequence[int]) -> tuple[Visit, ...]:
    """Bars (indices) played one after another, each with its time round."""
    start, seen, visits = score.bars[bars[0]].start, Counter[int](), []
    for bar in bars:
        seen[bar] += 1
        visits.append(Visit(bar, seen[bar], start))
        start += score.bars[bar].length
    return tuple(visits)


def score_of(xml: str) -> Score:
    """MusicXML as the product reads it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "piece.musicxml")
        path.write_text(xml, encoding="utf-8")
        return read_score(path)


class _Truth(NamedTuple):
    notes: tuple[TrueNote, ...]
    bars: tuple[TrueBar, ...]


@dataclass(frozen=True)
class _Performance:
    """Bars in the order played, what their times follow, the notes, and what comes before them.

    `before` says what is heard for `lead_s` seconds and `count` beats; `elsewhere` are places in the order.
    """

    order: Sequence[Visit]
    clock: Clock
    lag: Curve
    notes: list[Sounded]
    elsewhere: set[int]
    cents: float
    end_s: float
    before: str
    lead_s: float
    count: int

    def truth(self, alone: bool) -> _Truth:
        """When the notes sound and the bars start; a lone player's bars start as late as the player is."""
        notes = [
            TrueNote(note.index, note.visit, note.onset_s) for note in self.notes if note.index is not None
        ]
        bars = []
        for slot, visit in enumerate(self.order):
            start_s = self.clock(float(visit.start - self.order[0].start))
            late_s = self.lag(start_s) if alone else 0.0
            bars.append(TrueBar(visit.bar, visit.number, start_s + late_s, slot in self.elsewhere))
        return _Truth(tuple(notes), tuple(bars))


@dataclass
class _Maker:
    rng: np.random.Generator
    kind: Kind
    hard: bool
    instrument: str
    fonts: Sequence[Path]
    recorded: RecordedNotes | None

    def __post_init__(self) -> None:
        self.habits: Habits = HARD if self.hard else PLAIN
        self.program, self.lowest = INSTRUMENTS[self.instrument]
        if self.recorded:
            self.instrument, self.lowest = self.recorded.name, self.recorded.lowest
        self.style = "plain" if self.kind.plain else str(self.rng.choice(STYLES[:3], p=[0.5, 0.3, 0.2]))
        slow = self.style == "slow"
        self.tempo = float(np.exp(self.rng.uniform(*np.log((66, 100) if slow else (96, 208)))))
        self.share = float(self.rng.uniform(0.5, 0.56) if self.tempo > 170 else self.rng.uniform(0.53, 0.65))
        self.beats = int(self.rng.choice([4, 3, 5, 7], p=[0.7, 0.1, 0.1, 0.1]))
        self.band_db = self.kind.band_db[int(self.rng.integers(len(self.kind.band_db)))]
        if self.hard and self.band_db:
            self.band_db += HARD_BAND_DB
        self.font = Path(str(self.rng.choice([str(font) for font in self.fonts])))

    def case(self, name: str, seed: int, bars: int) -> Case:
        piece = self._piece(bars)
        written, told = self._written()
        xml = piece_xml(piece, written, told)
        played = self._other(piece) if self.kind.wrong else piece
        page = score_of(piece_xml(played))
        performance = self._perform(page, visits_of(page, self._order(page, piece)))
        sound = self._sound(page, played.changes, performance)
        truth = _Truth((), ()) if self.kind.wrong else performance.truth(alone=self.band_db is None)
        about = self._about() | {"bars": bars, "before": performance.before, "written": written, "told": told}
        return Case(
            name,
            seed,
            score_of(xml),
            xml,
            Audio(np.asarray(sound / np.abs(sound).max() * 0.8, np.float32), RATE),
            not self.kind.wrong,
            *truth,
            performance.end_s,
            0 if told else -written,
            performance.cents,
            self.band_db is not None,
            about | {"order": [visit.bar + 1 for visit in performance.order]},
        )

    def _perform(self, page: Score, order: Sequence[Visit]) -> _Performance:
        elsewhere, key_shift = self._elsewhere(len(order))
        before, lead_s, count = self._before()
        quarters = float(order[-1].start + page.bars[order[-1].bar].length - order[0].start)
        clock = Clock(self.rng, self.tempo, quarters, lead_s + count * 60 / self.tempo, self.habits)
        lag = slow_curve(self.rng, clock(quarters), (0, self.rng.uniform(*self.habits.lag_s)), (5, 40))

        def at(place: Fraction, even: bool) -> float:
            time_s = clock(swung(place, even, self.share))
            return time_s + lag(time_s)

        def pitch_in(slot: int, pitch: int) -> int:
            return pitch + key_shift * (slot in elsewhere)

        notes = play_notes(self.rng, page, order, at, self.habits, pitch_in)
        cents = float(self.rng.uniform(-1, 1)) * self.habits.cents
        return _Performance(
            order, clock, lag, notes, elsewhere, cents, clock(quarters), before, lead_s, count
        )

    def _sound(self, page: Score, changes: Sequence[Change], performance: _Performance) -> Samples:
        """Player, band, what is heard around them, room and noise."""
        end_s = performance.end_s
        sounded = add_graces(self.rng, performance.notes, self.habits)
        line = self._line(sounded, performance.cents, end_s + 3)
        sound = _of_length(line, int((end_s + 5) * RATE))
        if self.band_db is not None:
            band = self._band(page, performance.order, changes, performance.clock, end_s + 3)
            sound += _of_length(band, len(sound))
        beat_s = 60 / self.tempo
        add_before(self.rng, sound, performance.before, performance.lead_s, performance.count, beat_s)
        add_after(self.rng, sound, end_s)
        self._room_and_noise(sound)
        return sound

    def _about(self) -> dict[str, object]:
        return {
            "instrument": self.instrument,
            "font": self.font.name,
            "tempo": round(self.tempo),
            "style": self.style,
            "metre": self.beats,
            "band_db": self.band_db,
        }

    def _piece(self, bars: int) -> Piece:
        key, changes = changes_of_a_form(self.rng, bars, self.beats)
        line = line_over(self.rng, changes, bars * self.beats, self.style, self.lowest, key)
        tempo = round(self.tempo * self.rng.uniform(0.87, 1.15))
        return Piece(self.beats, bars, key, tempo, changes, line, self._repeats(bars))

    def _repeats(self, bars: int) -> tuple[Repeat, ...]:
        if self.kind.order == "passage" or (self.kind.order == "printed" and self.rng.random() < 0.7):
            return ()
        first = int(self.rng.integers(0, 5))
        last = first + int(self.rng.integers(5, 9))
        repeats = [Repeat(first, last, int(self.rng.integers(1, 3)))]
        again = last + int(self.rng.integers(3, 5))
        if self.kind.order == "voltas" and again + 6 < bars:
            repeats.append(Repeat(again, again + int(self.rng.integers(3, 6))))
        return tuple(repeats)

    def _written(self) -> tuple[int, bool]:
        """How far above sounding pitch the part is written, and whether it says so."""
        if not self.kind.transposed:
            return 0, True
        told = self.rng.random() < 0.3
        untold = [shift for shift in range(-14, 15) if shift]
        return int(self.rng.choice([2, 3, 9, 14, 21] if told else untold)), bool(told)

    def _other(self, piece: Piece) -> Piece:
        """What is played instead: another line over the same changes, or another piece, shorter or longer."""
        if self.kind.wrong == "changes":
            quarters = piece.bars * piece.beats
            line = line_over(self.rng, piece.changes, quarters, self.style, self.lowest, piece.key)
            return replace(piece, notes=line)
        bars = round(piece.bars * self.rng.uniform(*OTHER_BARS))
        key, changes = changes_of_a_form(self.rng, bars, piece.beats)
        line = line_over(self.rng, changes, bars * piece.beats, self.style, self.lowest, key)
        return Piece(piece.beats, bars, key, piece.tempo, changes, line)

    def _order(self, score: Score, piece: Piece) -> list[int]:
        printed = [visit.bar for visit in score.order]
        if self.kind.order == "voltas":
            return with_repeats(piece, [bool(self.rng.random() < 0.5) for _ in piece.repeats])
        if self.kind.order == "passage":
            return self._again(printed)
        return self._jumping(printed) if self.kind.order == "jumps" else printed

    def _jumping(self, printed: list[int]) -> list[int]:
        """Two passages repeated or left out, perhaps begun late or stopped early; no run is very short."""
        while True:
            order = printed
            for move in self.rng.choice([self._again, self._skip], 2):
                order = move(order)
            if self.rng.random() < 0.4:
                order = order[int(self.rng.integers(1, 5)) :]
            if self.rng.random() < 0.4:
                order = order[: -int(self.rng.integers(1, 5))]
            if min(_run_lengths(order)) >= SHORTEST_RUN:
                return order

    def _again(self, order: list[int]) -> list[int]:
        """A passage of two to eight bars played twice."""
        size = int(self.rng.integers(2, 9))
        end = int(self.rng.integers(size + 3, len(order) - 3))
        return order[:end] + order[end - size :]

    def _skip(self, order: list[int]) -> list[int]:
        """Two to eight bars left out."""
        size = int(self.rng.integers(2, 9))
        start = int(self.rng.integers(4, len(order) - size - 4))
        return order[:start] + order[start + size :]

    def _elsewhere(self, bars: int) -> tuple[set[int], int]:
        """Places in the order that are played in another key (a third, in one to three passages), and how far off."""
        if not self.kind.elsewhere:
            return set(), 0
        passages = int(self.rng.integers(1, 4))
        size, room = bars // 3 // passages, bars // passages
        starts = [room * k + int(self.rng.integers(1, room - size)) for k in range(passages)]
        shift = int(self.rng.choice([-5, -4, -3, -2, -1, 1, 2, 3, 4, 5]))
        return {start + step for start in starts for step in range(size)}, shift

    def _before(self) -> tuple[str, float, int]:
        """What is heard before the music, the silence before it, and how many beats are counted."""
        what = str(self.rng.choice(["silence", "clicks", "spoken count", "talk"], p=[0.35, 0.3, 0.2, 0.15]))
        if what == "talk":
            return what, float(self.rng.uniform(4, 9)), 0
        if what == "silence":
            return what, float(self.rng.uniform(0.3, 6)), 0
        return what, float(self.rng.uniform(0.3, 1.2)), self.beats

    def _line(self, notes: Sequence[Sounded], cents: float, seconds: float) -> Samples:
        if self.recorded:
            return level(self.recorded.play(self.rng, notes, cents, self.habits))
        track = solo_track(self.rng, notes, self.program, cents, self.habits)
        return level(render(track, self.font, seconds))

    def _band(
        self,
        page: Score,
        order: Sequence[Visit],
        changes: Sequence[Change],
        clock: Clock,
        seconds: float,
    ) -> Samples:
        track = band_track(
            self.rng, page, order, changes, lambda place: clock(swung(place, False, self.share))
        )
        assert self.band_db is not None
        return level(render(track, self.font, seconds)) * 10 ** (self.band_db / 20)

    def _room_and_noise(self, sound: Samples) -> None:
        """A noisy kind's room and noise, and the floor that every room has; in place."""
        if self.kind.noisy:
            decay_s, wet = self.rng.uniform(*DECAY_S[self.hard]), self.rng.uniform(*WET[self.hard])
            sound[:] = level(with_tail(sound, decaying_noise(self.rng, decay_s), ROOM_LATE_S, wet))
            sound += pink_noise(self.rng, len(sound)) * 0.1 * 10 ** (NOISE_DB[self.hard] / 20)
        sound += pink_noise(self.rng, len(sound)) * 0.1 * 10 ** (FLOOR_DB / 20)


def _run_lengths(order: Sequence[int]) -> list[int]:
    """How many bars are played on end between jumps."""
    jumps = [at for at in range(1, len(order)) if order[at] != order[at - 1] + 1]
    return [int(length) for length in np.diff([0, *jumps, len(order)])]


def with_repeats(piece: Piece, taken: Sequence[bool]) -> list[int]:
    """Bars in playing order with each repeat taken or not; not taken, its first ending is left out."""
    order, at = [], 0
    for repeat, again in zip(piece.repeats, taken, strict=True):
        opens = repeat.last + 1 - repeat.ending
        if again:
            order += range(at, repeat.last + 1)
            at = repeat.first
        order += range(at, opens)
        at = repeat.last + 1
    return [*order, *range(at, piece.bars)]


def _of_length(sound: Samples, length: int) -> Samples:
    out = np.zeros(length)
    out[: len(sound)] = sound[:length]
    return out
