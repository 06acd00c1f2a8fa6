"""Signs for what was found: which there are, and when."""

from fractions import Fraction
from types import SimpleNamespace

import pytest

from lessonmaker.analysis.model import Function, KeyCentre
from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Change
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import parse_chord
from lessonmaker.theory.pitch import Interval, NoteName
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.timeline.signs import device_signs, numeral_signs
from tests.analysis.conftest import build
from tests.tools.found_scenes import SCENES, found_scenes


def signs_of(number: int, edition: str = "concert"):
    timeline = found_scenes(edition).timeline
    scene = [scene for scene in timeline.scenes if scene.kind in ("analysis", "tension")][number]
    return scene, [sign for sign in timeline.signs if scene.start <= sign.start < scene.end]


def test_a_sequence_has_a_numbered_bracket_for_each_statement() -> None:
    _, signs = signs_of(SCENES.index("sequence"))
    assert [(sign.shape.kind, sign.shape.text) for sign in signs] == [("bracket", n) for n in "1234"]
    assert [len(sign.shape.targets) for sign in signs] == [4] * 4


def test_a_cross_rhythm_has_its_groups_lengths_over_the_beats() -> None:
    _, signs = signs_of(SCENES.index("cross-rhythm"))
    assert [sign.shape.text for sign in signs if sign.shape.kind == "bracket"] == ["5", "5", "5"]
    (beats,) = [sign.shape for sign in signs if sign.shape.kind == "beats"]
    assert [first for *_, first in beats.points].count(True) == 2
    assert all(0 <= share <= 1 for _, _, share, _ in beats.points)


def test_a_figure_of_three_three_two_that_goes_against_its_bar_is_as_long_as_it_is() -> None:
    score = build("[C7] G4q. Bb4q. C5q G4q~ | G4e Bb4q. C5q G4q. Bb4e~ | Bb4q C5q D5h.", "5/4")
    (device,) = [device for device in analyse(score).devices if device.kind == "cross rhythm"]
    brackets = [shape for shape in device_signs(device, score) if shape.kind == "bracket"]
    assert (device.detail, [shape.text for shape in brackets]) == ("3+3+2", ["8", "8", "8"])
    assert "against the beats" not in device.text


@pytest.mark.parametrize(
    ("line", "lengths"),
    [
        ("[C7] G4q re Bb4q re G4q | re Bb4q re G4q rq | C5w", ["3"] * 5),
        ("[C7] G4e Bb4 r G4 Bb4 r G4 Bb4 | r G4 Bb4 r C5h", ["3"] * 4),
        ("[C7] G4q. Bb4 C5q | G4q. Bb4 C5q | D5w", ["3", "3", "2"] * 2),
        ("[C7] G4e Bb4 C5 G4 Bb4 C5 G4 Bb4 | G4w", ["3", "3", "2"]),
    ],
)
def test_rests_belong_to_the_groups_of_a_cross_rhythm(line: str, lengths: list[str]) -> None:
    score = build(line)
    (device,) = [device for device in analyse(score).devices if device.kind == "cross rhythm"]
    brackets = [shape for shape in device_signs(device, score) if shape.kind == "bracket"]
    assert [shape.text for shape in brackets] == lengths


BROKEN_OFF = "[Cmaj7] E4e G4 B4 E4 G4 B4 E4 G4 | [Cmaj7] B4e E4 G4 B4 E4 G4 B4 E4 | [Dm7] C5w"


def cross_rhythm_in(line: str, bars=None):
    score = build(line)
    (device,) = [device for device in analyse(score).devices if device.kind == "cross rhythm"]
    return device, device_signs(device, score, bars)


@pytest.mark.parametrize("bars", [None, range(3), range(2)])
def test_what_breaks_off_after_the_groups_has_no_bracket(bars) -> None:
    device, shapes = cross_rhythm_in(BROKEN_OFF, bars)
    brackets = [shape for shape in shapes if shape.kind == "bracket"]
    (beats,) = [shape for shape in shapes if shape.kind == "beats"]
    assert device.text.startswith("A cross rhythm: five groups of 3") and len(device.groups) == 6
    assert [(shape.text, len(shape.targets)) for shape in brackets] == [("3", 3)] * 5
    assert beats.targets[-1] == brackets[-1].targets[-1]


def test_a_group_that_goes_on_out_of_sight_has_no_bracket() -> None:
    _, shapes = cross_rhythm_in(BROKEN_OFF, [0])
    assert [(shape.kind, len(shape.targets)) for shape in shapes] == [("bracket", 3)] * 2 + [("beats", 6)]
    assert cross_rhythm_in(BROKEN_OFF, [2])[1] == ()


def test_a_sign_comes_with_its_word_and_goes_with_the_sentence() -> None:
    scene, signs = signs_of(SCENES.index("sequence"))
    assert len({(sign.start, sign.end) for sign in signs}) == 1
    assert scene.start < signs[0].start < signs[0].end <= scene.end
    assert signs[0].fade_in == 120 * TICKS_PER_SECOND // 1000


def test_phrases_and_numerals_stay_while_their_bars_are_shown() -> None:
    for name, kind in (("phrases", "arc"), ("numerals", "numeral")):
        scene, signs = signs_of(SCENES.index(name))
        still = [sign for sign in signs if sign.shape.kind == kind]
        assert still
        assert all((sign.start, sign.end) == (scene.start, scene.end) for sign in still)


def test_the_numerals_are_those_of_the_key_in_every_edition() -> None:
    said = {
        edition: [
            sign.shape.text for sign in signs_of(SCENES.index("numerals"), edition)[1] if sign.shape.text
        ]
        for edition in ("concert", "b-flat", "e-flat")
    }
    assert said["concert"][:3] == ["F: Imaj7", "bVImaj7", "ii7"]
    assert [texts[0] for texts in said.values()] == ["F: Imaj7", "G: Imaj7", "D: Imaj7"]
    assert said["concert"][1:] == said["b-flat"][1:] == said["e-flat"][1:]


def test_the_key_stands_where_another_begins() -> None:
    bars = [Span(Fraction(4 * bar), Fraction(4 * bar + 4)) for bar in range(4)]
    keys = [
        KeyCentre(bars[0], NoteName(*key), mode, 1.0)
        for *key, mode in (("C", 0, "major"), ("C", 0, "major"), ("A", 0, "minor"), ("B", -1, "blues"))
    ]
    functions = tuple(
        Function(bar, parse_chord("C7"), "V7", "dominant", key) for bar, key in zip(bars, keys, strict=True)
    )
    changes = tuple(
        Change(f"c{bar}", bar, Fraction(4 * bar), parse_chord("C7"), parse_chord("C7")) for bar in range(4)
    )
    score = SimpleNamespace(changes=changes, transposition=Interval(0, 0))
    shapes = numeral_signs(SimpleNamespace(functions=functions), range(4), score)
    assert [shape.text for shape in shapes] == ["C: V7", "V7", "a: V7", "B♭: V7"]


def test_a_scale_is_spelt_as_the_edition_writes_it() -> None:
    shapes = {
        edition: next(s.shape for s in signs_of(SCENES.index("scale"), edition)[1] if s.shape.kind == "scale")
        for edition in ("concert", "b-flat")
    }
    assert [name for name, _ in shapes["concert"].words] == ["C", "D♭", "E♭", "E", "G♭", "A♭", "B♭"]
    assert [name for name, _ in shapes["b-flat"].words] == ["D", "E♭", "F", "F♯", "A♭", "B♭", "C"]
    assert [state for _, state in shapes["concert"].words].count("deciding") == 4


def test_the_curve_has_a_value_for_every_bar() -> None:
    demo = found_scenes("concert")
    assert [bar for bar, _ in demo.timeline.curve] == list(range(len(demo.score.bars)))
    values = [value for _, values in demo.timeline.curve for value in values]
    assert max(values) == 1 and min(values) >= 0
    assert Fraction(len(values), len(demo.score.bars)) > 1
