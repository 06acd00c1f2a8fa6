"""The look's colours against WCAG 2.2 (W3C Recommendation, 2023): relative luminance, contrast ratio, 1.4.3, 1.4.11.

Also 2.3.1's general flash: a change is none where the darker state's luminance is 0.80 or more.
"""

import pytest

from lessonmaker.picture.look import Rgb, standard_look

TEXT, LARGE_OR_GRAPHIC, NO_FLASH_FROM = 4.5, 3.0, 0.80


def luminance(colour: Rgb) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    shares = [value / 255 for value in colour]
    linear = [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """The contrast ratio of two of the look's colours."""
    look = standard_look()
    lighter, darker = sorted((luminance(look.colour(use)) for use in (first, second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_the_standard_s_own_extremes() -> None:
    assert luminance((255, 255, 255)) == pytest.approx(1.0)
    assert (luminance((255, 255, 255)) + 0.05) / (luminance((0, 0, 0)) + 0.05) == pytest.approx(21.0)


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
