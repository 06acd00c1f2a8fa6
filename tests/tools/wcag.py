"""Contrast as WCAG 2.2 (W3C Recommendation, 2023) defines it, written for the tests from its text alone."""

from __future__ import annotations

from lessonmaker.picture.look import Rgb


def luminance(colour: Rgb) -> float:
    """Relative luminance."""
    shares = [value / 255 for value in colour]
    linear = [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def ratio(first: Rgb, second: Rgb) -> float:
    """The contrast ratio of two colours."""
    lighter, darker = sorted((luminance(first), luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)
