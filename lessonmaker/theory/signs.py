"""Accidental signs: the marks of print and the ASCII letters that stand for them inside the program."""

from __future__ import annotations

__all__ = ["ASCII_SIGNS", "in_ascii", "in_print"]

ASCII_SIGNS: dict[str, str | None] = {"♭": "b", "♯": "#", "𝄫": "bb"}

_TO_ASCII = str.maketrans(ASCII_SIGNS | {"♮": None})
_TO_PRINT = str.maketrans({"b": "♭", "#": "♯"})


def in_ascii(text: str) -> str:
    """A text with its accidental signs as ASCII letters: "b9" for "♭9"; naturals, which change nothing, left out."""
    return text.translate(_TO_ASCII)


def in_print(text: str) -> str:
    """A degree or chord symbol, every b and # of which is an accidental, with its real signs."""
    return text.translate(_TO_PRINT)
