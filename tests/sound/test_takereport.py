"""What is said of a fit: pitch, tempo, the way through the etude, and departures bar by bar."""

from dataclasses import replace

import pytest

from lessonmaker.score.model import Key
from lessonmaker.sound.model import BarTime, Departure, Fit, NoteTime
from lessonmaker.sound.takereport import bar_label, heard_name, report_take, time_text
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval
from tests.tools.tone_takes import in_order, random_score

BAR_S = 2.0
ONCE = [(bar, 1) for bar in range(12)]
REPEATED = [
    *((bar, 1) for bar in range(4)),
    *((bar, 2) for bar in range(4)),
    *((bar, 1) for bar in range(4, 12)),
]


@pytest.fixture(scope="module")
def score():
    """Twelve bars in common time, numbered 1 to 12."""
    return random_score(4, [Metre(4, 4)] * 12, tempo=120.0)


def fit_of(score, played=ONCE, departures=(), swing=1.0, **details):
    """A fit of bars (index, time round) of two seconds each, the first at 0:02."""
    bars = tuple(BarTime(bar, visit, BAR_S * (1 + at)) for at, (bar, visit) in enumerate(played))
    known = {"transposed_by": 0, "tuning_cents": 0, "quarters_a_minute": 120.0, "unsure": [], **details}
    known = {"with_band": False, "off_page": [], **known}
    notes = tuple(NoteTime(note.id, 1, 1.0, 1.5) for note in score.struck)
    return Fit(True, 1.0, bars, notes, BAR_S * (1 + len(played)), swing, known, tuple(departures))


def report(score, fit, take_seconds=60.0):
    return report_take(score, fit, take_seconds)


UNISON = Interval(0, 0)


@pytest.mark.parametrize(
    ("semitones", "written", "words"),
    [
        (0, UNISON, "as written"),
        (0, Interval.parse("M9"), "as the part's transposition says"),
        (14, Interval.parse("M9"), "a major ninth higher than the score says (as if the part were written in concert"),
        (-14, UNISON, "a major ninth lower than the score says (as when an instrument in B♭ reads the concert part)"),
        (-9, UNISON, "a major sixth lower than the score says (as when an instrument in E♭ reads the concert part)"),
        (-12, UNISON, "an octave lower than the score says"),
        (1, UNISON, "a semitone higher than the score says"),
        (24, UNISON, "two octaves higher than the score says"),
        (-25, UNISON, "25 semitones lower than the score says"),
    ],
)  # fmt: skip
def test_transposition_in_words(score, semitones, written, words):
    said = report(replace(score, transposition=written), fit_of(score, transposed_by=semitones)).pitch
    assert said.startswith(words)
    assert said.endswith(", in tune")


@pytest.mark.parametrize(
    ("cents", "words"),
    [
        (2, "in tune"),
        (-5, "in tune"),
        (21, "21 cents sharp (A = 445 Hz)"),
        (-40, "40 cents flat (A = 430 Hz)"),
    ],
)
def test_tuning_in_words(score, cents, words):
    assert report(score, fit_of(score, tuning_cents=cents)).pitch == f"as written, {words}"


def test_tempo_in_words(score):
    assert report(score, fit_of(score)).tempo == "120 quarters a minute, straight eighths"
    swung = fit_of(score, swing=1.62, quarters_a_minute=97.2)
    assert report(score, swung).tempo == "97 quarters a minute (the score says 120), eighths swung 1.6:1"
    assert report(replace(score, tempo=None), swung).tempo == "97 quarters a minute, eighths swung 1.6:1"


WAYS = {
    "straight through": (ONCE, ONCE, ["once through, as printed"]),
    "with repeats": (REPEATED, REPEATED, ["as printed, with its repeats"]),
    "no repeat": (REPEATED, ONCE, ["the repeat of bars 1-4 is not taken"]),
    "a passage again": (
        ONCE,
        [*ONCE[:8], *((bar, 2) for bar in range(4, 8)), *ONCE[8:]],
        ["bars 5-8 played again at 0:18.00"],
    ),
    "a bar again": (ONCE, [*ONCE[:3], (2, 2), *ONCE[3:]], ["bar 3 played again at 0:08.00"]),
    "bars left out": (ONCE, [*ONCE[:4], *ONCE[6:]], ["bars 5-6 left out"]),
    "a bar left out": (ONCE, [*ONCE[:4], *ONCE[5:]], ["bar 5 left out"]),
    "begun late": (ONCE, ONCE[2:], ["begins after bars 1-2"]),
    "broken off": (ONCE, ONCE[:9], ["ends before bars 10-12"]),
    "many times over": (
        ONCE,
        [*ONCE, *((bar, visit) for visit in range(2, 9) for bar in range(9, 12))],
        ["bars 10-12, 10-12, 10-12, 10-12, and 9 more played again at 0:26.00"],
    ),
    "several": (
        ONCE,
        [*ONCE[:4], *((bar, 2) for bar in range(2, 4)), *ONCE[4:6], *ONCE[8:]],
        ["bars 3-4 played again at 0:10.00", "bars 7-8 left out"],
    ),
}


@pytest.mark.parametrize("name", WAYS)
def test_the_way_through_the_etude(name, score):
    printed, played, words = WAYS[name]
    assert list(report(in_order(score, printed), fit_of(score, played)).played) == words


def test_what_is_passed_over(score):
    fit = fit_of(score)
    assert report(score, fit, 31.5).around == ("2.0 s before the first bar", "5.5 s after the last")
    assert report(score, fit, 26.5).around == ("2.0 s before the first bar",)


def test_unsure_bars_have_the_time_round_where_there_are_two(score):
    repeated = in_order(score, REPEATED)
    fit = fit_of(score, REPEATED, unsure=[("2", 2), ("9", 1)])
    assert report(repeated, fit).unsure == ("2x2", "9")
    assert bar_label(repeated, fit, 1, 1) == "2x1"


def departure(score, kind, note, heard, visit=1):
    time_s = BAR_S * (1 + note.bar) + float(note.onset - score.bars[note.bar].start) * BAR_S / 4
    return Departure(kind, note.bar, visit, time_s, note.id, heard)


def test_departures_bar_by_bar(score):
    on_the_beat = [note for note in score.struck if note.onset.denominator == 1]
    first, second = [note for note in on_the_beat if note.bar == 3][:2]
    third = next(note for note in on_the_beat if note.bar == 5)
    away = [
        Departure("added", 6, 1, BAR_S * 7 + 1.26, None, 70),
        departure(score, "octave", third, third.sounding.midi - 12),
        departure(score, "missing", second, None),
        departure(score, "wrong", first, first.sounding.midi + 1),
    ]
    lines = [(bar.bar, bar.text) for bar in report(score, fit_of(score, departures=away)).departures]
    beat = {note.id: f"{note.onset % 4 + 1}" for note in (first, second, third)}
    assert [bar for bar, _ in lines] == ["4", "6", "7"]
    assert lines[0][1].startswith(f"beat {beat[first.id]} ")
    assert f" played for {first.written}; beat {beat[second.id]} {second.written} missing" in lines[0][1]
    assert lines[1][1] == f"beat {beat[third.id]} {third.written} played an octave below"
    assert lines[2][1] == "B♭4 added near beat 3&"


def test_passages_that_are_not_the_page_s(score):
    away = [
        {"from": ("2", 1), "to": ("4", 1), "semitones": -3},
        {"from": ["1", 2], "to": ["2", 2], "semitones": None},
        {"from": ("9", 1), "to": ("9", 1), "semitones": 12},
    ]
    found = report(in_order(score, REPEATED), fit_of(score, REPEATED, off_page=away)).passages
    assert [(one.first, one.last, one.bars, one.text) for one in found] == [
        (1, 3, "2x1-4x1", "played a minor third lower than the rest"),
        (4, 5, "1x2-2x2", "something else is played"),
        (12, 12, "9", "played an octave higher than the rest"),
    ]


def test_a_band_is_said(score):
    assert report(score, fit_of(score, with_band=True)).tempo.endswith(
        "straight eighths, with a rhythm section"
    )


def test_a_bar_that_is_not_played_at_all(score):
    away = [departure(score, "missing", note, None) for note in score.struck if note.bar == 7]
    (line,) = report(score, fit_of(score, departures=away)).departures
    assert (line.bar, line.text) == ("8", "none of its notes is heard")


@pytest.mark.parametrize(
    ("fifths", "written", "midi", "name"),
    [(0, "P1", 70, "B♭4"), (0, "P1", 66, "F♯4"), (-5, "P1", 59, "C♭4"), (4, "P1", 63, "D♯4"), (2, "M9", 60, "D5")],
)  # fmt: skip
def test_what_is_heard_is_named_as_the_page_writes_it(score, fifths, written, midi, name):
    bars = tuple(replace(bar, key=Key(fifths)) for bar in score.bars)
    page = replace(score, bars=bars, transposition=Interval.parse(written))
    away = [Departure("added", 2, 1, BAR_S * 3, None, midi)]
    (line,) = report(page, fit_of(score, departures=away)).departures
    assert line.text == f"{name} added near beat 1"


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0, "0:00.00"), (3.239, "0:03.24"), (59.996, "1:00.00"), (65, "1:05.00"), (3725.1, "1:02:05.10")],
)
def test_times_as_a_script_writes_them(seconds, text):
    assert time_text(seconds) == text


@pytest.mark.parametrize("fifths", range(-7, 8))
def test_a_heard_note_is_named_without_double_signs(fifths: int) -> None:
    score = random_score(1, [Metre(4, 4)])
    bar = replace(score.bars[0], key=Key(fifths))
    score = replace(score, bars=(bar,))
    names = [heard_name(score, 0, midi) for midi in range(48, 72)]
    assert [name.midi for name in names] == list(range(48, 72))
    assert all(abs(name.name.alter) <= 1 for name in names)
