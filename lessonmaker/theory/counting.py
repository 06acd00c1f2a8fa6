"""The words of numbers, from one to ninety-nine."""

from __future__ import annotations

__all__ = ["TENS", "UNITS"]

UNITS: tuple[str, ...] = (
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
# By the number of tens; the first two have none of their own.
TENS: tuple[str, ...] = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
