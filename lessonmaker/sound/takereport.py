"""What a fit says of a take, in words: pitch, tempo, what was played, and where the player left the page.

Notes are named as the score's own page writes them. Bars that were played several times are named with the
time round (`12x2`), as a lesson script names them.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from fractions import Fraction

from lessonmaker.score.model import Note, Score
from lessonmaker.score.position import Span, format_position, format_span
from lessonmaker.sound.model import BarTime, Departure, Fit
from lessonmaker.theory.pitch import NoteName, Pitch

__all__ = ["BarReport", "Passage", "TakeReport", "bar_label", "report_take", "time_text"]

A4_HZ = 440.0
IN_TUNE_CENTS = 5  # the aligner's own step
STRAIGHT = 1.1
TEMPO_AWAY = 0.05
LEAST_OUTSIDE_S = 0.75
MOST_RUNS = 5
INTERVALS = (
    *("a unison", "a semitone", "a major second", "a minor third", "a major third", "a fourth", "a tritone"),
    *("a fifth", "a minor sixth", "a major sixth", "a minor seventh", "a major seventh", "an octave"),
    *("a minor ninth", "a major ninth", "a minor tenth", "a major tenth", "an eleventh"),
    *("an octave and a tritone", "a twelfth", "a minor thirteenth", "a major thirteenth"),
    *("a minor fourteenth", "a major fourteenth", "two octaves"),
)
# Semitones that an instrument sounds above what it reads (handbook values, as in score/editions.yaml).
READERS = {-2: "B♭", -14: "B♭", 10: "B♭", -9: "E♭", -21: "E♭", 3: "E♭", -7: "F"}
FEWEST_FIFTHS, MOST_FIFTHS = -8, 12  # F flat and B sharp on the line of fifths from C
KEY_FLATWARDS = 5  # names are taken from a flat second to a sharp fourth above the key


@dataclass(frozen=True)
class BarReport:
    """Where the player left the page in one bar; `bar` its label."""

    bar: str
    text: str


@dataclass(frozen=True)
class Passage:
    """Bars that are something else altogether: `first` and `last` are indices into Fit.bars, `bars` their labels."""

    first: int
    last: int
    bars: str
    text: str


@dataclass(frozen=True)
class TakeReport:
    """A fit in words.

    Attributes:
        pitch: How the take sounds against the page.
        tempo: The tempo and the swing.
        played: What of the etude was played, a phrase each.
        around: How much lies before the first bar and after the last one, a phrase each.
        unsure: The labels of bars whose times are unsure.
        passages: Where other bars altogether are played, or these at another pitch.
        departures: Single ones, bar by bar.
    """

    pitch: str
    tempo: str
    played: tuple[str, ...]
    around: tuple[str, ...]
    unsure: tuple[str, ...]
    passages: tuple[Passage, ...]
    departures: tuple[BarReport, ...]


def report_take(score: Score, fit: Fit, take_seconds: float) -> TakeReport:
    """Say what a fit found. The fit has bars, accepted or not."""
    return TakeReport(
        pitch_words(score, fit),
        tempo_words(score, fit),
        tuple(played_words(score, fit)),
        tuple(around_words(fit, take_seconds)),
        tuple(unsure_bars(score, fit)),
        tuple(passages(score, fit)),
        tuple(bar_reports(score, fit)),
    )


def time_text(time_s: float) -> str:
    """A time as a script writes it, to a hundredth: 0:03.24, 1:02:05.10."""
    minutes, hundredths = divmod(round(100 * time_s), 6000)
    hours, minutes = divmod(minutes, 60)
    seconds = f"{hundredths // 100:02}.{hundredths % 100:02}"
    return f"{hours}:{minutes:02}:{seconds}" if hours else f"{minutes}:{seconds}"


# Pitch and tempo ---------------------------------------------------------------------------------------


def pitch_words(score: Score, fit: Fit) -> str:
    """Transposition and tuning: "a major ninth lower than the page, 21 cents sharp"."""
    return f"{transposition_words(score, fit.details['transposed_by'])}, {tuning_words(fit.details['tuning_cents'])}"


def transposition_words(score: Score, semitones: int) -> str:
    """How the take sounds against what the score says it sounds like."""
    if not semitones:
        return "as written" if not score.transposition.semitones else "as the part's transposition says"
    text = f"{away_words(semitones)} than the score says"
    if semitones == score.transposition.semitones:
        return f"{text} (as if the part were written in concert pitch)"
    if semitones in READERS and not score.transposition.semitones:
        return f"{text} (as when an instrument in {READERS[semitones]} reads the concert part)"
    return text


def away_words(semitones: int) -> str:
    """An interval up or down: "a fourth lower"."""
    size = abs(semitones)
    interval = INTERVALS[size] if size < len(INTERVALS) else f"{size} semitones"
    return f"{interval} {'higher' if semitones > 0 else 'lower'}"


def tuning_words(cents: int) -> str:
    """The tuning against A 440 Hz."""
    if abs(cents) <= IN_TUNE_CENTS:
        return "in tune"
    hertz = A4_HZ * 2 ** (cents / 1200)
    return f"{abs(cents)} cents {'sharp' if cents > 0 else 'flat'} (A = {hertz:.0f} Hz)"


def tempo_words(score: Score, fit: Fit) -> str:
    """Quarters a minute, the swing, and whether a band plays."""
    tempo = fit.details["quarters_a_minute"]
    said = f"{tempo:.0f} quarters a minute"
    if score.tempo and abs(tempo / score.tempo - 1) > TEMPO_AWAY:
        said += f" (the score says {score.tempo:.0f})"
    said += f", eighths swung {fit.swing:.1f}:1" if fit.swing >= STRAIGHT else ", straight eighths"
    return f"{said}, with a rhythm section" if fit.details.get("with_band") else said


# What was played ---------------------------------------------------------------------------------------


def played_words(score: Score, fit: Fit) -> Iterator[str]:
    """How the take goes through the etude, against the printed order."""
    printed, played = [visit.bar for visit in score.order], [bar.bar for bar in fit.bars]
    changes = SequenceMatcher(None, printed, played, autojunk=False).get_opcodes()
    if all(kind == "equal" for kind, *_ in changes):
        repeats = len(printed) > len(set(printed))
        yield "as printed, with its repeats" if repeats else "once through, as printed"
    for kind, first, last, start, end in changes:
        if kind in ("delete", "replace"):
            yield left_out_words(score, printed, first, last, set(played))
        if kind in ("insert", "replace"):
            yield again_words(score, fit.bars, start, end)


def left_out_words(score: Score, printed: Sequence[int], first: int, last: int, played: set[int]) -> str:
    """Bars of the printed order that the take does not have."""
    bars = run_text(score, printed[first:last])
    if played.intersection(printed[first:last]):
        return f"the repeat of {bars} is not taken"
    if first == 0:
        return f"begins after {bars}"
    return f"ends before {bars}" if last == len(printed) else f"{bars} left out"


def again_words(score: Score, bars: Sequence[BarTime], start: int, end: int) -> str:
    """Bars of the take that the printed order does not have there."""
    passage = [bar.bar for bar in bars[start:end]]
    if [bar.bar for bar in bars[end : 2 * end - start]] == passage:
        start = end
    return f"{run_text(score, passage)} played again at {time_text(bars[start].time_s)}"


def run_text(score: Score, bars: Sequence[int]) -> str:
    """Bars by their printed numbers: "bar 8", "bars 5-8, 12"."""
    runs = [[first] for first in bars[:1]]
    for bar in bars[1:]:
        if bar == runs[-1][-1] + 1:
            runs[-1].append(bar)
        else:
            runs.append([bar])
    ends = ["-".join(dict.fromkeys((score.bars[run[0]].number, score.bars[run[-1]].number))) for run in runs]
    if len(ends) > MOST_RUNS:
        rest = sum(map(len, runs[MOST_RUNS - 1 :]))
        ends[MOST_RUNS - 1 :] = [f"and {rest} more"]
    return ("bar " if len(bars) == 1 else "bars ") + ", ".join(ends)


def around_words(fit: Fit, take_seconds: float) -> Iterator[str]:
    """How much of the take lies outside the etude."""
    before, after = fit.bars[0].time_s, take_seconds - fit.end_s
    if before >= LEAST_OUTSIDE_S:
        yield f"{before:.1f} s before the first bar"
    if after >= LEAST_OUTSIDE_S:
        yield f"{after:.1f} s after the last"


# Bar by bar --------------------------------------------------------------------------------------------


def bar_label(score: Score, fit: Fit, bar: int, visit: int) -> str:
    """A bar as a script names it: "12", and "12x2" where it is played several times."""
    times = sum(other.bar == bar for other in fit.bars)
    place = score.bars[bar]
    return format_span(score, Span(place.start, place.end, visit if times > 1 else None))


def unsure_bars(score: Score, fit: Fit) -> Iterator[str]:
    """The labels of the bars that the aligner is unsure of."""
    unsure = {(str(number), int(visit)) for number, visit in fit.details["unsure"]}
    for bar in fit.bars:
        if (score.bars[bar.bar].number, bar.visit) in unsure:
            yield bar_label(score, fit, bar.bar, bar.visit)


def passages(score: Score, fit: Fit) -> Iterator[Passage]:
    """The runs of bars that are not the page's, in the order played."""
    numbers = [(score.bars[bar.bar].number, bar.visit) for bar in fit.bars]
    labels = [bar_label(score, fit, bar.bar, bar.visit) for bar in fit.bars]
    for run in fit.details.get("off_page", ()):
        first, last = (numbers.index((str(run[end][0]), run[end][1])) for end in ("from", "to"))
        moved = run["semitones"]
        text = f"played {away_words(moved)} than the rest" if moved else "something else is played"
        yield Passage(first, last, "-".join(dict.fromkeys((labels[first], labels[last]))), text)


def bar_reports(score: Score, fit: Fit) -> Iterator[BarReport]:
    """The departures of each bar in one line, in the order played."""
    by_id = {note.id: note for note in score.struck}
    struck = Counter(note.bar for note in score.struck)
    order = {(bar.bar, bar.visit): at for at, bar in enumerate(fit.bars)}
    away = sorted(fit.departures, key=lambda one: (order[one.bar, one.visit], one.time_s))
    for (bar, visit), group in itertools.groupby(away, key=lambda one: (one.bar, one.visit)):
        found = list(group)
        missing = sum(one.kind == "missing" for one in found)
        if missing == len(found) == struck[bar] > 1:
            text = "none of its notes is heard"
        else:
            text = "; ".join(departure_words(score, fit, one, by_id) for one in found)
        yield BarReport(bar_label(score, fit, bar, visit), text)


def departure_words(score: Score, fit: Fit, away: Departure, by_id: dict[str, Note]) -> str:
    """One departure: "beat 3 F4 played for G4"."""
    heard = None if away.heard is None else heard_name(score, away.bar, away.heard)
    if away.note is None:
        return f"{heard} added near beat {beat_near(score, fit, away)}"
    note = by_id[away.note]
    beat = f"beat {beat_text(score, note.onset)}"
    if away.kind == "missing":
        return f"{beat} {note.written} missing"
    if away.kind == "octave" and away.heard is not None:
        side = "above" if away.heard > note.sounding.midi else "below"
        octaves = abs(away.heard - note.sounding.midi) // 12
        return f"{beat} {note.written} played {'an octave' if octaves == 1 else f'{octaves} octaves'} {side}"
    return f"{beat} {heard} played for {note.written}"


def heard_name(score: Score, bar: int, midi: int) -> Pitch:
    """A sounding pitch as the page would write it, spelt from its key, without double accidentals."""
    written = midi + score.transposition.semitones
    flattest = score.bars[bar].key.fifths - KEY_FLATWARDS
    fifths = flattest + (7 * written - flattest) % 12
    fifths += 12 * ((fifths < FEWEST_FIFTHS) - (fifths > MOST_FIFTHS))
    name = NoteName.from_fifths(fifths)
    return Pitch(name.step, name.alter, (written - name.alter) // 12 - 1)


def beat_text(score: Score, onset: Fraction) -> str:
    """The beat of a place, without its bar."""
    return format_position(score, onset).partition(".")[2]


def beat_near(score: Score, fit: Fit, away: Departure) -> str:
    """The half beat nearest to an added note, between the bar's start and the next one's."""
    at = next(i for i, bar in enumerate(fit.bars) if (bar.bar, bar.visit) == (away.bar, away.visit))
    start = fit.bars[at].time_s
    end = fit.bars[at + 1].time_s if at + 1 < len(fit.bars) else fit.end_s
    bar = score.bars[away.bar]
    halves = int(bar.length * 2)
    share = (away.time_s - start) / (end - start) if end > start else 0.0
    half = min(max(round(share * halves), 0), max(halves - 1, 0))
    return beat_text(score, bar.start + Fraction(half, 2))
