"""The picture of a fitted take: what stands where, that nothing collides, and both file formats."""

import io
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from lessonmaker.picture.fitplot import Drawing, draw_fit_png, draw_fit_svg
from lessonmaker.picture.fitview import FitPlot, row_breaks
from lessonmaker.picture.look import standard_look
from lessonmaker.sound.model import Anchor, Audio, BarTime, Departure, Fit
from lessonmaker.theory.metre import Metre
from tests.tools.tone_takes import random_score

RATE = 2000
BEFORE_S = 9.0
BAR_S = 2.0


def played(bars):
    """Once through, with the four bars before the middle played again."""
    half = bars // 2
    again = [(bar, 2) for bar in range(half - 4, half)]
    return [*((bar, 1) for bar in range(half)), *again, *((bar, 1) for bar in range(half, bars))]


def plot_of(bars, accepted=True, busy=True):
    """A take in which bars 7, 8 and 21 are unsure; a busy one has departures (all of bar 12) and two pins."""
    score = random_score(3, [Metre(4, 4)] * bars)
    lettered = [
        replace(b, section=chr(65 + b.index // 8 % 26) if b.index % 8 == 0 else "") for b in score.bars
    ]
    score = replace(score, bars=tuple(lettered))
    times = [
        BarTime(bar, visit, BEFORE_S + BAR_S * at, 0.2 if bar in (6, 7, 20) else 0.9)
        for at, (bar, visit) in enumerate(played(bars))
    ]
    end_s = times[-1].time_s + BAR_S
    kinds = ("wrong", "missing", "octave", "added")
    away = [
        departure(score, note, "missing" if note.bar == 11 else kinds[at // 12 % 4])
        for at, note in enumerate(score.struck)
        if busy and (at % 12 == 0 or note.bar == 11)
    ]
    details = {"transposed_by": -14, "tuning_cents": 21, "quarters_a_minute": 120.3, "heard": 0.9}
    details |= {
        "unsure": [("7", 1), ("8", 1), ("21", 1)],
        "with_band": True,
        "off_page": off_page(bars) if busy else [],
    }
    rng = np.random.default_rng(1)
    samples = rng.normal(0, 0.2, int((end_s + 3) * RATE)).astype(np.float32)
    pins = (Anchor(0, 1, Fraction(0), BEFORE_S), Anchor(9, 1, Fraction(2), BEFORE_S + 19))
    fit = Fit(accepted, 0.97, tuple(times), (), end_s, 1.5, details, tuple(away))
    return FitPlot("Night Ferry", "night-ferry.flac", score, fit, Audio(samples, RATE), pins if busy else ())


def off_page(bars):
    """Three bars in another key, and a bar that is something else the second time."""
    again = str(bars // 2 - 2)
    return [
        {"from": ("13", 1), "to": ("15", 1), "semitones": 5},
        {"from": (again, 2), "to": (again, 2), "semitones": None},
    ]


def departure(score, note, kind):
    time_s = BEFORE_S + BAR_S * note.bar + float(note.onset - score.bars[note.bar].start) * BAR_S / 4
    heard = {"missing": None, "octave": note.sounding.midi - 12}.get(kind, note.sounding.midi + 1)
    return Departure(kind, note.bar, 1, time_s, None if kind == "added" else note.id, heard)


def drawn(plot):
    drawing = Drawing(plot)
    return drawing, drawing.draw()


PLOTS = {
    "a few bars": lambda: plot_of(24, busy=False),
    "forty bars": lambda: plot_of(40),
    "ten minutes": lambda: plot_of(290),
    "refused": lambda: plot_of(40, accepted=False),
}


@pytest.mark.parametrize("name", PLOTS)
def test_no_text_touches_another_or_leaves_the_sheet(name):
    drawing, height = drawn(PLOTS[name]())
    boxes = [(text, box) for text, box in drawing.sheet.texts if box.width]
    assert len(boxes) > 20
    for text, box in boxes:
        assert 0 < box.left < box.right < drawing.width, text
        assert 0 < box.top < box.bottom < height, text
    touching = [
        (one, other)
        for at, (one, box) in enumerate(boxes)
        for other, near in boxes[at + 1 :]
        if box.overlaps(near, 1.0)
    ]
    assert touching == []


def texts(drawing):
    return [text for text, _ in drawing.sheet.texts]


def test_bars_pins_and_jumps_are_named():
    drawing, _ = drawn(plot_of(40))
    said = texts(drawing)
    assert {"1", "16", "17x1", "20x1", "17x2", "20x2", "21", "40"} <= set(said)
    assert {"pin 1.1", "pin 10.3", "20x1 → 17x2"} <= set(said)
    assert {"A", "E", "sure", "other note", "missing", "octave", "added", "0:10", "1:30"} <= set(said)
    assert "Accepted, confidence 97%" in said
    assert {"off page", "played a fourth higher than the rest"} <= set(said)


def test_places_to_check_are_listed():
    said = texts(drawn(plot_of(40))[0])
    start = said.index("To check")
    listed = dict(zip(said[start + 1 :: 2], said[start + 2 :: 2], strict=True))
    assert listed["7"].startswith("times unsure")
    assert "none of its notes is heard" in listed["12"]
    assert {"7", "8", "12", "21"} <= set(listed)
    assert listed["13-15"] == "played a fourth higher than the rest"
    assert listed["18x2"] == "something else is played"


def test_a_long_list_says_how_many_more():
    said = texts(drawn(plot_of(290))[0])
    assert said[-1].startswith("and ")
    assert said[-1].endswith(" bars more: see lessonmaker sync")


def test_nothing_to_check_is_not_listed():
    plot = plot_of(40, busy=False)
    sure = replace(plot.fit, details={**plot.fit.details, "unsure": []})
    assert "To check" not in texts(drawn(replace(plot, fit=sure))[0])


def test_a_refused_take_says_so_and_lists_nothing():
    said = texts(drawn(plot_of(40, accepted=False))[0])
    assert "Refused, confidence 97%" in said
    assert "The bars stand where it fits best; 90% of the notes are heard." in said
    assert "To check" not in said


def test_a_take_in_which_nothing_was_found():
    plot = plot_of(40)
    nothing = Fit(False, 0.0, (), (), 0.0, 1.0, {"refused": "the take is shorter than a bar"})
    said = texts(drawn(replace(plot, fit=nothing, anchors=()))[0])
    assert "This recording does not seem to be of the score: the take is shorter than a bar." in said
    assert "sure" not in said


def pixels(plot):
    return np.asarray(Image.open(io.BytesIO(draw_fit_png(plot))).convert("RGB"))


def test_colours_stand_where_they_mean_something():
    plot = plot_of(40)
    quiet = replace(plot, take=Audio(plot.take.samples * 0, RATE))
    drawing, height = drawn(quiet)
    image = pixels(quiet)
    assert image.shape == (height, drawing.width, 3)
    row = drawing.rows(drawing.header())[0]

    def at(time_s, y):
        return tuple(image[round(y), round(row.x(time_s))])

    look, upper = standard_look(), row.top + 12
    assert at(4.0, upper) == look.colour("cell")
    assert at(BEFORE_S + 1.0, upper) == look.colour("paper")
    assert at(BEFORE_S + 6 * BAR_S + 1.0, upper) == look.colour("light")
    foot = row.top + drawing.size("wave") + drawing.sure_height - 3
    assert at(BEFORE_S + 1.0, foot) == look.colour("now")
    assert at(BEFORE_S + 6 * BAR_S + 1.0, foot) == look.colour("tension")
    assert at(BEFORE_S + 6 * BAR_S + 1.0, foot - drawing.size("sure") / 2) == look.colour("cell")


def test_the_waveform_is_the_takes():
    plot = plot_of(24, busy=False)
    samples = np.zeros_like(plot.take.samples)
    samples[30 * RATE : 31 * RATE] = 0.5
    drawing, _ = drawn(replace(plot, take=Audio(samples, RATE)))
    for row in drawing.rows(drawing.header()):
        levels = drawing.levels(row, peaks=True)
        times = row.start_s + (np.arange(len(levels)) + 0.5) * drawing.size("column") / row.pixels_a_second
        loud = (times > 30.1) & (times < 30.9)
        assert (levels[loud] == 0.5).all()
        assert (levels[(times < 29.9) | (times > 31.1)] == 0).all()
        np.testing.assert_allclose(drawing.levels(row, peaks=False)[loud], 0.5, atol=1e-3)


def test_an_svg_has_the_same_size_and_no_fonts():
    plot = plot_of(24)
    _, height = drawn(plot)
    root = ElementTree.fromstring(draw_fit_svg(plot))
    assert (root.get("width"), root.get("height")) == ("1920px", f"{height}px")
    names = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert "path" in names
    assert "text" not in names


def test_rows_begin_with_bars():
    starts = [9.0 + 2.0 * bar for bar in range(50)]
    breaks = list(row_breaks(starts, 112.0, 40.0))
    assert breaks == [0.0, 39.0, 79.0, 112.0]
    assert list(row_breaks([], 100.0, 40.0)) == [0.0, 40.0, 80.0, 100.0]
    assert list(row_breaks([], 30.0, 40.0)) == [0.0, 30.0]
