"""Numbers as score files write them, read without trusting them."""

from __future__ import annotations

import re
from fractions import Fraction

__all__ = ["exact", "whole"]

DECIMAL = re.compile(r"^\s*[+-]?(\d{1,12}(\.\d{0,12})?|\.\d{1,12})\s*$", re.ASCII)
MOST_WHOLE = 9999


def exact(text: str | None) -> Fraction:
    """A decimal, exactly; 0 where there is none, or where what stands there is no sensible number."""
    return Fraction(text.strip()) if text and DECIMAL.match(text) else Fraction(0)


def whole(text: str | None) -> int:
    """A whole number ("-1", "-1.0", "+2"), the nearest where it is none; 0 as `exact` has it."""
    value = round(exact(text))
    return value if abs(value) <= MOST_WHOLE else 0
