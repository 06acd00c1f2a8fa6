"""The look's colours against WCAG 2.2 (W3C Recommendation, 2023): relative luminance, contrast ratio, 1.4.3, 1.4.11.

Also 2.3.1's general flash: a change is none where the darker state's luminance is 0.80 or more.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.picture import contrast as own_formula
from lessonmaker.picture.look import Rgb, standard_look
from tests.tools.wcag import luminance, ratio

COLOURS = st.tuples(*[st.integers(0, 255)] * 3)
TEXT, LARGE_OR_GRAPHIC, NO_FLASH_FROM = 4.5, 3.0, 0.80


def contrast(first: str, second: str) -> float:
    """The contrast ratio of two of the look's colours."""
    look = standard_look()
    return ratio(look.colour(first), look.colour(second))


def test_the_formula_gives_the_standard_s_own_extremes() -> None:
    assert luminance((255, 255, 255)) == pytest.approx(1.0)
    assert ratio((255, 255, 255), (0, 0, 0)) == pytest.approx(21.0)


@given(COLOURS, COLOURS)
def test_the_checks_of_a_book_s_look_use_the_standard_s_formula(first: Rgb, second: Rgb) -> None:
    assert own_formula.luminance(first) == pytest.approx(luminance(first))
    assert own_formula.contrast(first, second) == pytest.approx(ratio(first, second))


# Large differences under 0.80, and small or bright ones, by the definition of "general flash".
@pytest.mark.parametrize(
    ("light", "paper", "flashes"),
    [
        ((255, 255, 255), (0, 0, 0), True),
        ((255, 255, 255), (230, 230, 230), True),  # luminance 0.79 and 1
        ((255, 255, 255), (232, 232, 232), False),  # 0.81 and 1
        ((100, 100, 100), (60, 60, 60), False),  # 0.13 and 0.04
        ((110, 110, 110), (60, 60, 60), True),  # 0.16 and 0.04
        ((90, 0, 0), (20, 20, 20), True),  # a saturated red
        ((90, 60, 20), (20, 20, 20), False),
    ],
)
def test_what_could_flash(light: Rgb, paper: Rgb, flashes: bool) -> None:
    assert own_formula.flashes(light, paper) == own_formula.flashes(paper, light) == flashes


def test_every_pair_that_a_book_s_look_is_held_to_holds_in_the_standard_look() -> None:
    assert len(own_formula.PAIRS) >= 15
    for pair in own_formula.PAIRS:
        assert contrast(pair.use, pair.ground) >= pair.needed in (TEXT, LARGE_OR_GRAPHIC)


# Distances in L*a*b* (normal, red-, green-, blue-blind) of vermillion and blue as the look's design computed them.
def test_colour_blind_eyes_see_the_standard_colours_far_apart() -> None:
    look = standard_look()
    found = [
        own_formula.distance(look.colour("tension"), look.colour("now"), eyes)
        for eyes in own_formula.EYES.values()
    ]
    assert found == pytest.approx([102, 81, 95, 93], abs=0.6)


@pytest.mark.parametrize("eyes", own_formula.EYES)
def test_colour_blind_eyes_see_greys_as_they_are(eyes: str) -> None:
    assert own_formula.EYES[eyes].sum(axis=1) == pytest.approx([1, 1, 1], abs=2e-6)


@pytest.mark.parametrize("ground", ["paper", "light"])
@pytest.mark.parametrize("use", ["ink", "now", "rest", "tension", "staff"])
def test_everything_read_stands_out_from_paper_and_light(use: str, ground: str) -> None:
    assert contrast(use, ground) >= TEXT


@pytest.mark.parametrize(
    ("use", "ground"),
    [("second", "paper"), ("paper", "ink"), ("paper", "tension")],
)
def test_second_text_and_the_capsule_s_text_can_be_read(use: str, ground: str) -> None:
    assert contrast(use, ground) >= TEXT


@pytest.mark.parametrize(
    ("use", "ground"),
    [
        ("played", "paper"),
        ("cell_edge", "paper"),
        ("cell_edge", "cell"),
        ("now", "cell"),
        ("ink", "discussed"),
    ],
)
def test_the_strip_s_parts_stand_out(use: str, ground: str) -> None:
    assert contrast(use, ground) >= LARGE_OR_GRAPHIC


@pytest.mark.parametrize("ground", ["paper", "cell", "light"])
@pytest.mark.parametrize("use", ["played", "second", "now", "tension"])
def test_the_parts_of_a_fitted_take_s_picture_stand_out(use: str, ground: str) -> None:
    assert contrast(use, ground) >= LARGE_OR_GRAPHIC


def test_a_light_that_comes_and_goes_is_no_flash() -> None:
    assert luminance(standard_look().colour("light")) >= NO_FLASH_FROM
