"""Plain words: what ordinary speech claims about the score."""

from __future__ import annotations

from lessonmaker.script.plain.link_words import misnamed
from lessonmaker.script.plain.read import read_plain

__all__ = ["misnamed", "read_plain"]
