"""Passages of plain notes: bars with none outside the key, and stretches all from one scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from lessonmaker.analysis.etude import Etude, device_of, ids_of, in_force
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device, KeyCentre, ScaleUse
from lessonmaker.analysis.tension_curve import mode_pitch_classes
from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Bar
from lessonmaker.score.position import Span, bars_in
from lessonmaker.theory.chord import Chord, chord_tones, readings
from lessonmaker.theory.degree import is_chord_tone
from lessonmaker.theory.scale import SCALES, scale_spoken

__all__ = ["diatonic_passage", "passages_of"]

FEWEST_BARS = 2
FEWEST_NOTES_A_BAR = 3
BARS_AROUND = 4  # on either side
COLOURED_ROUND_FEW_BARS, COLOURED_ROUND_MANY_BARS = Fraction(1, 2), Fraction(1, 3)
BAR_CONFIDENCE = {1: 0.5, 2: 0.5, 3: 0.65}
MANY_BARS_CONFIDENCE = 0.85
LONG_KEY_BARS = 8

FEWEST_SCALE_NOTES = 7
FEWEST_DEGREES = 6
SCALE_SURE = 0.55
FEWEST_RUN_NOTES = 6
LONGEST_GAP = Fraction(2)


def passages_of(etude: Etude, scales: Sequence[ScaleUse]) -> tuple[Device, ...]:
    """Diatonic and single-scale passages in time.

    Args:
        etude: the etude, with its keys where they are known; else the key signature stands for them.
        scales: what `scales.scales_of` finds.
    """
    found = [*_diatonic_passages(etude), *_single_scale_passages(etude, scales)]
    return tuple(sorted(found, key=lambda device: (device.span.start, device.span.end)))


# Diatonic passages ---------------------------------------------------------------------------------------


def _diatonic_passages(etude: Etude) -> Iterator[Device]:
    bars = [_bar_notes(etude, bar) for bar in etude.score.bars if bar.start >= 0]
    plain = [_is_plain(etude, bar, notes) for bar, notes in bars]
    for flag, group in groupby(range(len(bars)), key=lambda place: plain[place] is not False):
        places = _without_thin_ends(list(group), bars)
        if flag and len(places) >= FEWEST_BARS and _stands_out(places, plain):
            yield from _diatonic_passage(etude, [bars[place] for place in places])


def diatonic_passage(etude: Etude, span: Span) -> Device | None:
    """The bars of a span, if none of their notes and chords is outside the key; whatever lies around them."""
    score = etude.score
    bars = [_bar_notes(etude, score.bars[bar]) for bar in bars_in(score, span)]
    if any(_is_plain(etude, bar, notes) is False for bar, notes in bars):
        return None
    return next(_diatonic_passage(etude, bars), None) if bars else None


def _stands_out(places: Sequence[int], plain: Sequence[bool | None]) -> bool:
    """Whether the bars round a passage have notes outside the key; a short one needs more of them."""
    first, last = places[0], places[-1] + 1
    around = [*plain[max(first - BARS_AROUND, 0) : first], *plain[last : last + BARS_AROUND]]
    sounding = [flag for flag in around if flag is not None]
    share = COLOURED_ROUND_FEW_BARS if len(places) == FEWEST_BARS else COLOURED_ROUND_MANY_BARS
    return bool(sounding) and sounding.count(False) >= share * len(sounding)


def _bar_notes(etude: Etude, bar: Bar) -> tuple[Bar, tuple[Heard, ...]]:
    return bar, etude.notes_between(Span(bar.start, bar.end))


def _is_plain(etude: Etude, bar: Bar, notes: Sequence[Heard]) -> bool | None:
    """Whether a bar has no note outside the key, nor a chord built on one; None for one without notes."""
    if not notes:
        return None
    inside = _key_notes(etude, bar)
    chords = {heard.chord for heard in notes if heard.chord is not None}
    return {heard.pitch % 12 for heard in notes} | {
        tone for chord in chords for tone in _own_tones(chord)
    } <= inside


def _own_tones(chord: Chord) -> set[int]:
    """Root, third, fifth and seventh of a chord."""
    return {
        pitch for pitch, degree in chord_tones(readings(chord)[0]).items() if is_chord_tone(degree, chord)
    }


def _without_thin_ends(places: list[int], bars: Sequence[tuple[Bar, tuple[Heard, ...]]]) -> list[int]:
    """Bars in a row without those at the ends that have a note at most: a phrase's last note, or a rest."""
    full = [place for place in places if len(bars[place][1]) > 1]
    return list(range(full[0], full[-1] + 1)) if full else []


def _diatonic_passage(etude: Etude, bars: Sequence[tuple[Bar, tuple[Heard, ...]]]) -> Iterator[Device]:
    notes = tuple(heard for _, within in bars for heard in within)
    if len(notes) < FEWEST_NOTES_A_BAR * len(bars) or _has_blue_notes(etude, bars[0][0], notes):
        return
    span = Span(bars[0][0].start, bars[-1][0].end)
    many = "A bar" if len(bars) == 1 else f"{number_words(len(bars)).capitalize()} bars"
    text = f"{many} with no note outside the key."
    confidence = BAR_CONFIDENCE.get(len(bars), MANY_BARS_CONFIDENCE)
    yield Device("diatonic passage", span, text, confidence, ids_of(notes))


def _has_blue_notes(etude: Etude, bar: Bar, notes: Sequence[Heard]) -> bool:
    """Whether notes in the key of a blues are of no one major scale: they have both thirds, or both sevenths."""
    here = in_force(etude.keys, bar.start)
    sounding = {heard.pitch % 12 for heard in notes}
    plain = any(sounding <= mode_pitch_classes(tonic, "major") for tonic in range(12))
    return here is not None and here.mode == "blues" and not plain


def _key_notes(etude: Etude, bar: Bar) -> frozenset[int]:
    """The notes of the key that a bar is in: of a long key centre, else of the etude's main key."""
    here = in_force(etude.keys, bar.start)
    if here is not None and here.span.end - here.span.start >= LONG_KEY_BARS * bar.metre.bar_quarters:
        return mode_pitch_classes(here.tonic.pitch_class, here.mode)
    main = _main_key(etude.keys)
    if main is not None:
        return mode_pitch_classes(*main)
    return _signature_notes(bar, etude.score.transposition.fifths)


def _main_key(keys: Sequence[KeyCentre]) -> tuple[int, str] | None:
    """Tonic and mode of the key that holds longest, all its stretches together."""
    lengths: dict[tuple[int, str], Fraction] = {}
    for key in keys:
        name = (key.tonic.pitch_class, key.mode)
        lengths[name] = lengths.get(name, Fraction(0)) + key.span.end - key.span.start
    return max(lengths, key=lengths.__getitem__, default=None)


def _signature_notes(bar: Bar, transposition_fifths: int) -> frozenset[int]:
    return mode_pitch_classes(7 * (bar.key.fifths - transposition_fifths) % 12, "major")


# Single-scale passages -----------------------------------------------------------------------------------


def _single_scale_passages(etude: Etude, scales: Sequence[ScaleUse]) -> Iterator[Device]:
    for use in scales:
        if use.confidence < SCALE_SURE:
            continue
        for stretch in _stretches(etude, use):
            whole = _stretch_device(use, stretch)
            yield from _runs(use, stretch) if whole is None else (whole,)


def _stretches(etude: Etude, use: ScaleUse) -> Iterator[tuple[Heard, ...]]:
    """The notes of a scale in a row: cut at foreign notes and long rests."""
    outside = set(use.outside)
    stretch: list[Heard] = []
    for name in use.notes:
        heard = etude.heard_by_id[name]
        gap = bool(stretch) and heard.note.onset - stretch[-1].end > LONGEST_GAP
        if stretch and (gap or name in outside):
            yield tuple(stretch)
            stretch = []
        stretch += [] if name in outside else [heard]
    if stretch:
        yield tuple(stretch)


def _stretch_device(use: ScaleUse, notes: tuple[Heard, ...]) -> Device | None:
    """A stretch of a scale that is no major scale or mode of one: plain notes are no device by themselves."""
    degrees = {heard.pitch % 12 for heard in notes}
    enough = len(degrees) >= min(FEWEST_DEGREES, len(SCALES[use.scale].degrees))
    if SCALES[use.scale].parent == "major" or len(notes) < FEWEST_SCALE_NOTES or not enough:
        return None
    count = number_words(len(notes)).capitalize()
    return _passage(use, notes, f"{count} notes in a row, all from {scale_spoken(use.scale)}.")


def _runs(use: ScaleUse, notes: tuple[Heard, ...]) -> Iterator[Device]:
    """The stretches that go up or down a scale by step."""
    start = 0
    signs = [_step_of_scale(use, earlier, later) for earlier, later in pairwise(notes)]
    for sign, group in groupby(signs):
        length = len(list(group))
        if sign and length + 1 >= FEWEST_RUN_NOTES:
            run = notes[start : start + length + 1]
            way = "up" if sign > 0 else "down"
            text = f"A run of {number_words(len(run))} notes {way} {scale_spoken(use.scale)}, step by step."
            yield _passage(use, run, text)
        start += length


def _step_of_scale(use: ScaleUse, earlier: Heard, later: Heard) -> int:
    """1 or -1 where one note leads to the next one of the scale above or below, else 0."""
    above = sorted((use.root.pitch_class + each) % 12 for each in SCALES[use.scale].semitones)
    degree = above.index(earlier.pitch % 12)
    up = (above[(degree + 1) % len(above)] - above[degree]) % 12
    down = (above[degree] - above[degree - 1]) % 12
    return {up: 1, -down: -1}.get(later.pitch - earlier.pitch, 0)


def _passage(use: ScaleUse, notes: tuple[Heard, ...], text: str) -> Device:
    return device_of("single-scale passage", notes, text, round(0.9 * use.confidence, 3), detail=use.scale)
