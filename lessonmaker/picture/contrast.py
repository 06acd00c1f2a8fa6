"""Whether the colours of a look can be told apart, and whether they could flash.

Contrast, relative luminance and flashes are those of WCAG 2.2 (W3C Recommendation, 2023): 1.4.3 for text, 1.4.11 for
graphics, 2.3.1 for flashes. What colour-blind eyes see is simulated by the matrices of Machado, Oliveira and Fernandes
(2009) at full severity, on linear RGB; differences are those of CIE 1976 L*a*b* for the white point D65.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lessonmaker.picture.look import Rgb

__all__ = [
    "PAIRS",
    "Pair",
    "between",
    "contrast",
    "hardly_told_apart",
    "legible",
    "luminance",
    "mixed",
    "too_faint",
    "without_flash",
]

Vector = NDArray[np.float64]
TEXT, GRAPHIC = 4.5, 3.0
FLASH_STEP, NO_FLASH_FROM = 0.10, 0.80
RED_SHARE, RED_STEP = 0.8, 0.2
LEAST_DISTANCE = 25.0
"""Between two colours that mean different things; common practice, no source."""
BLACK, WHITE = (0, 0, 0), (255, 255, 255)
STEPS = 64
RGB_TO_XYZ = np.array(  # IEC 61966-2-1
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
EYES: Mapping[str, Vector] = {  # the matrices from memory
    "every eye": np.eye(3),
    "red-blind eyes": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "green-blind eyes": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "blue-blind eyes": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}


@dataclass(frozen=True)
class Pair:
    """A use of colour, the use it stands on, and the least ratio of their contrast."""

    use: str
    ground: str
    needed: float

    @property
    def rule(self) -> str:
        """What asks for it."""
        return "text needs 4.5 (WCAG 1.4.3)" if self.needed == TEXT else "signs need 3 (WCAG 1.4.11)"


PAIRS = (
    *(Pair(use, ground, TEXT) for use in ("ink", "now", "rest", "tension") for ground in ("paper", "light")),
    Pair("second", "paper", TEXT),
    Pair("second", "light", TEXT),
    Pair("staff", "paper", GRAPHIC),
    Pair("staff", "light", GRAPHIC),
    Pair("played", "paper", GRAPHIC),
    Pair("played", "cell", GRAPHIC),
    Pair("cell_edge", "paper", GRAPHIC),
    Pair("cell_edge", "cell", GRAPHIC),
    Pair("now", "cell", GRAPHIC),
    *(Pair("ink", ground, GRAPHIC) for ground in ("cell", "played", "discussed")),
)
APART = (("tension", "now"), ("tension", "rest"))


def linear(colour: Rgb) -> Vector:
    """The linear light of a colour's three channels, 0 to 1."""
    shares = np.asarray(colour, np.float64) / 255
    light: Vector = np.where(shares <= 0.04045, shares / 12.92, ((shares + 0.055) / 1.055) ** 2.4)
    return light


def luminance(colour: Rgb) -> float:
    """Relative luminance, 0 to 1."""
    return float(LUMINANCE @ linear(colour))


def contrast(first: Rgb, second: Rgb) -> float:
    """The contrast ratio of two colours, 1 to 21."""
    darker, lighter = sorted((luminance(first), luminance(second)))
    return (lighter + 0.05) / (darker + 0.05)


def mixed(first: Rgb, second: Rgb, share: float) -> Rgb:
    """The colour a share (0 to 1) of the way from the first to the second, in sRGB as screens blend it."""
    red, green, blue = (round(one + (other - one) * share) for one, other in zip(first, second, strict=True))
    return red, green, blue


def between(first: Rgb, second: Rgb) -> Rgb:
    """The mixture of two colours that stands out from both alike."""
    tried = [mixed(first, second, step / STEPS) for step in range(STEPS + 1)]
    return max(tried, key=lambda one: min(contrast(one, first), contrast(one, second)))


def too_faint(colours: Mapping[str, Rgb]) -> Iterator[tuple[Pair, float]]:
    """The pairs whose contrast is too low, with the ratio they reach."""
    for pair in PAIRS:
        reached = contrast(colours[pair.use], colours[pair.ground])
        if reached < pair.needed:
            yield pair, reached


def legible(use: str, colours: Mapping[str, Rgb]) -> Rgb | None:
    """The colour nearest to that of a use, towards black or white, that stands out from all it stands on.

    None where no colour does.
    """
    grounds = [(colours[pair.ground], pair.needed) for pair in PAIRS if pair.use == use]
    for step in range(1, STEPS + 1):
        for end in (BLACK, WHITE):
            tried = mixed(colours[use], end, step / STEPS)
            if all(contrast(tried, ground) >= needed for ground, needed in grounds):
                return tried
    return None


def flashes(first: Rgb, second: Rgb) -> bool:
    """Whether going from one colour to another and back could be a general or a red flash."""
    darker, lighter = sorted((luminance(first), luminance(second)))
    if lighter - darker >= FLASH_STEP and darker < NO_FLASH_FROM:
        return True
    red = max(red_share(first), red_share(second)) >= RED_SHARE
    return red and float(np.linalg.norm(chromaticity(first) - chromaticity(second))) > RED_STEP


def red_share(colour: Rgb) -> float:
    """How much of a colour's linear light is red."""
    light = linear(colour)
    return float(light[0] / light.sum()) if light.sum() else 0.0


def chromaticity(colour: Rgb) -> Vector:
    """CIE 1976 u', v'; those of the white point for black."""
    x, y, z = RGB_TO_XYZ @ (linear(colour) if any(colour) else linear(WHITE))
    place: Vector = np.array([4 * x, 9 * y]) / (x + 15 * y + 3 * z)
    return place


def without_flash(light: Rgb, paper: Rgb) -> Rgb | None:
    """The colour nearest to a light that may come and go on a paper; None where the light itself may."""
    if not flashes(light, paper):
        return None
    tried = (mixed(light, paper, step / STEPS) for step in range(1, STEPS + 1))
    return next(colour for colour in tried if not flashes(colour, paper))


def hardly_told_apart(colours: Mapping[str, Rgb]) -> Iterator[tuple[str, str, str]]:
    """Two uses of different meaning that some eyes see in nearly one colour: their names, and whose eyes."""
    for first, second in APART:
        for eyes, matrix in EYES.items():
            if distance(colours[first], colours[second], matrix) < LEAST_DISTANCE:
                yield first, second, eyes
                break


def distance(first: Rgb, second: Rgb, eyes: Vector) -> float:
    """The distance of two colours in L*a*b*, as some eyes see them."""
    return float(np.linalg.norm(lab(eyes @ linear(first)) - lab(eyes @ linear(second))))


def lab(light: Vector) -> Vector:
    """L*, a*, b* of linear RGB."""
    xyz = RGB_TO_XYZ @ np.clip(light, 0, 1) / (RGB_TO_XYZ @ np.ones(3))
    roots = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = roots
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])
