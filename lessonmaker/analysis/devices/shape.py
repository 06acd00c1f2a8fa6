"""The shape of an etude: its highest notes, its busiest passage, its rests, and where it rubs most."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from lessonmaker.analysis.etude import Etude, device_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device, Phrase
from lessonmaker.analysis.tension_curve import half_bars, rubbing
from lessonmaker.analysis.words import chord_words, degree_words, listed, number_words
from lessonmaker.score.model import Bar
from lessonmaker.score.position import Span

__all__ = ["shapes_of"]

SMALLEST_RANGE = 5  # semitones: below it nothing is a peak
PEAK_CONFIDENCE = {1: 0.9, 2: 0.55, 3: 0.45}  # by how often the highest note comes
PHRASE_PEAK_CONFIDENCE = 0.4
FEWEST_PHRASE_NOTES = 5

BUSY_CONFIDENCE = (
    (Fraction(9, 5), 0.8),
    (Fraction(7, 5), 0.65),
    (Fraction(6, 5), 0.4),
)  # against the average bar
MOST_BUSY = Fraction(1, 2)  # above this share of the etude's time nothing is the busiest passage

SHORTEST_SPACE = Fraction(1, 3)  # of a bar
SHORTEST_BREATH = Fraction(1, 2)  # quarters
LONGEST_SPACE_CONFIDENCE, SPACE_CONFIDENCE, BREATH_CONFIDENCE = 0.8, 0.5, 0.35
MOST_SPACES = 6

UNIT_WORDS = {2: "half note", 4: "quarter", 8: "eighth", 16: "sixteenth"}

LEAST_RUBBING = 0.25
CLEAR_LEAD, LEADING_CONFIDENCE, LEVEL_CONFIDENCE = 1.1, 0.75, 0.55


def shapes_of(etude: Etude) -> tuple[Device, ...]:
    """Register peaks (of the etude and of its phrases), the busiest passage, rests, the most dissonant spot."""
    if not etude.melody:
        return ()
    found = [*_peaks(etude), *_busiest(etude), *_spaces(etude), *_most_dissonant(etude)]
    return tuple(sorted(found, key=lambda device: (device.span.start, device.span.end)))


# Peaks ---------------------------------------------------------------------------------------------------


def _peaks(etude: Etude) -> Iterator[Device]:
    pitches = [heard.pitch for heard in etude.melody]
    if max(pitches) - min(pitches) < SMALLEST_RANGE:
        return
    places = _places_of(etude.melody, max(pitches))
    for time, place in enumerate(places, 1):
        if len(places) in PEAK_CONFIDENCE:
            yield _peak(place, _peak_text(place[0], time, len(places)), PEAK_CONFIDENCE[len(places)])
    top = {heard.note.id for place in places for heard in place}
    yield from (device for phrase in etude.phrases for device in _phrase_peak(etude, phrase, top))


def _places_of(line: Sequence[Heard], pitch: int) -> list[tuple[Heard, ...]]:
    """Where a pitch is struck in a line; repetitions in a row are one place."""
    groups = groupby(line, key=lambda heard: heard.pitch)
    return [tuple(group) for high, group in groups if high == pitch]


def _peak(notes: tuple[Heard, ...], text: str, confidence: float) -> Device:
    return device_of("register peak", notes, text, confidence, detail=notes[0].degree or "")


def _peak_text(heard: Heard, time: int, times: int) -> str:
    what = f"The highest note of the etude{_degree_clause(heard)}"
    if times == 1:
        return f"{what} comes only here."
    often = {2: "twice", 3: "three times"}[times]
    which = {1: "first", 2: "second", 3: "third"}[time]
    return f"{what} is reached {often}: this is the {which} time."


def _degree_clause(heard: Heard) -> str:
    if heard.degree is None or heard.chord is None:
        return ""
    return f", the {degree_words(heard.degree)} of {chord_words(heard.chord)},"


def _phrase_peak(etude: Etude, phrase: Phrase, top: set[str]) -> Iterator[Device]:
    notes = [etude.heard_by_id[name] for name in phrase.notes]
    highest = max(heard.pitch for heard in notes)
    places = _places_of(notes, highest)
    wide = highest - min(heard.pitch for heard in notes) >= SMALLEST_RANGE
    if len(notes) < FEWEST_PHRASE_NOTES or len(places) != 1 or not wide or places[0][0].note.id in top:
        return
    text = f"The phrase rises to its highest note here{_degree_clause(places[0][0]).rstrip(',')}."
    yield _peak(places[0], text, PHRASE_PEAK_CONFIDENCE)


# Density and space ---------------------------------------------------------------------------------------


def _busiest(etude: Etude) -> Iterator[Device]:
    """The windows of a bar's length with the most notes struck, those that overlap taken together."""
    line, onsets = etude.melody, [heard.note.onset for heard in etude.melody]
    ends = [bisect_left(onsets, heard.note.onset + heard.bar.metre.bar_quarters) for heard in line]
    counts = [end - place for place, end in enumerate(ends)]
    most = max(counts)
    fullest = [place for place, count in enumerate(counts) if count == most]
    whole_bars = [place for place in fullest if line[place].note.onset == line[place].bar.start]
    windows = [(place, ends[place]) for place in whole_bars or fullest]
    first, last = max(_joined(windows), key=lambda window: window[1] - window[0])
    notes = line[first:last]
    average = _average_bar(etude)
    confidence = next((sure for ratio, sure in BUSY_CONFIDENCE if most >= ratio * average), 0.0)
    whole = etude.score.bars[-1].end - etude.score.bars[0].start
    if confidence == 0.0 or round(average) >= most or notes[-1].end - notes[0].note.onset > MOST_BUSY * whole:
        return
    text = (
        f"The busiest passage: {number_words(most)} notes in a bar's time, against about {_round(average)}."
    )
    yield device_of("density", notes, text, confidence)


def _joined(windows: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Windows (first, past the last) in order, those that overlap made one."""
    joined = [windows[0]]
    for first, last in windows[1:]:
        if first <= joined[-1][1]:
            joined[-1] = (joined[-1][0], last)
        else:
            joined.append((first, last))
    return joined


def _average_bar(etude: Etude) -> Fraction:
    """Notes struck a bar, over the bars that have any."""
    bars = {heard.note.bar for heard in etude.melody}
    return Fraction(len(etude.melody), len(bars))


def _round(average: Fraction) -> str:
    return f"{number_words(round(average))} on average"


def _spaces(etude: Etude) -> Iterator[Device]:
    """The rests between notes of the line; the longest ones, if long against the bar, are worth saying."""
    line = etude.melody
    rests = [
        (Span(before.end, after.note.onset), after.bar)
        for before, after in pairwise(line)
        if after.note.onset - before.end >= SHORTEST_BREATH
    ]
    rests.sort(key=lambda rest: (rest[0].start - rest[0].end, rest[0].start))
    for place, (span, bar) in enumerate(rests):
        long = place < MOST_SPACES and _length(span) > SHORTEST_SPACE * bar.metre.bar_quarters
        alone = place == 0 and (len(rests) == 1 or _length(rests[1][0]) < _length(span))
        yield _space(etude, span, bar, long, long and alone)


def _length(span: Span) -> Fraction:
    return span.end - span.start


def _space(etude: Etude, span: Span, bar: Bar, long: bool, longest: bool) -> Device:
    between = " between two phrases" if any(phrase.span.end == span.start for phrase in etude.phrases) else ""
    where = f"{between}, the longest of the etude" if longest else between
    text = f"{_beats_text(_length(span), bar).capitalize()} of rest{where}."
    confidence = LONGEST_SPACE_CONFIDENCE if longest else SPACE_CONFIDENCE if long else BREATH_CONFIDENCE
    return Device("space", span, text, confidence)


def _beats_text(quarters: Fraction, bar: Bar) -> str:
    """A length in felt beats where they are even, else in printed units: "two and a half beats"."""
    groups = bar.metre.beat_groups
    beat = bar.metre.unit_quarters * (groups[0] if len(set(groups)) == 1 else 1)
    whole, rest = divmod(quarters / beat, 1)
    unit = "beat" if len(set(groups)) == 1 else UNIT_WORDS.get(bar.metre.unit, "beat")
    half = {Fraction(0): "", Fraction(1, 2): " and a half"}.get(rest)
    count = number_words(int(whole)) if whole else ""
    if half is None:
        return f"about {number_words(round(quarters / beat))} {unit}s"
    if not whole:
        return f"half a {unit}"
    return f"{count}{half} {unit}{'' if whole == 1 and not half else 's'}"


# Dissonance ----------------------------------------------------------------------------------------------


def _most_dissonant(etude: Etude) -> Iterator[Device]:
    """The half bar whose notes rub most against their chords, by degree, place and length."""
    spots = [spot for bar in etude.score.bars for span in half_bars(bar) if (spot := _spot(etude, span))]
    spots.sort(key=lambda spot: -spot[0])
    if not spots or spots[0][0] < LEAST_RUBBING:
        return
    value, notes = spots[0]
    runner_up = next((other for other, elsewhere in spots[1:] if elsewhere[0].chord != notes[0].chord), 0.0)
    confidence = LEADING_CONFIDENCE if value >= CLEAR_LEAD * runner_up else LEVEL_CONFIDENCE
    yield device_of("most dissonant spot", notes, _spot_text(notes), confidence)


def _spot(etude: Etude, span: Span) -> tuple[float, tuple[Heard, ...]] | None:
    """How much a half bar rubs, averaged over its time, and the notes struck that do; None where none does."""
    if span.end <= span.start:
        return None
    notes = tuple(heard for heard in etude.notes_between(span) if rubbing(heard) > 0)
    if not notes:
        return None
    lengths = [float(min(heard.end, span.end) - heard.note.onset) for heard in notes]
    total = sum(rubbing(heard) * length for heard, length in zip(notes, lengths, strict=True))
    return total / float(span.end - span.start), notes


def _spot_text(notes: tuple[Heard, ...]) -> str:
    names = dict.fromkeys(f"the {degree_words(heard.degree)}" for heard in notes if heard.degree is not None)
    chord = chord_words(notes[0].chord) if len({heard.chord for heard in notes}) == 1 else "their chords"
    rub = "rubs" if len(names) == 1 else "rub"
    text = listed(list(names))
    return f"{text[0].upper()}{text[1:]} {rub} against {chord} more than anything else in the etude."
