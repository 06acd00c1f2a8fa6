"""Words for up and down wherever they stand, as they are said of notes that are named beside them.

Common practice, no source. Words that only sound like a way ("ends up", "comes down on beat two") are none.
"""

from __future__ import annotations

from dataclasses import dataclass

from lessonmaker.script.pattern_store import pattern_of

__all__ = ["ways_in"]

UP = (
    r"(?:upwards?|uphill|upstairs|ascending|ascent|ascends?|climb(?:s|ed|ing)?|ris(?:es?|en|ing)|rose|lift(?:s|ed|ing)?"
    r"|soar(?:s|ed|ing)?|up(?! (?:to (?:here|now|there|you|speed|tempo)|close|front|there|here|next)\b))"
)
DOWN = (
    r"(?:downwards?|downhill|downstairs|descending|descent|descends?"
    r"|(?:fall(?:s|ing|en)?|fell)(?! (?:on|in|into|under|within|out|apart|short|silent|over|between|at|for|flat\b)\b)"
    r"|drop(?:s|ped|ping)?(?! (?:the|your|it|in|us|out)\b)|sink(?:s|ing)?(?! in\b)|sank|sags?|droops?|dips?"
    r"|tumbl(?:es?|ed|ing)|plung(?:es?|ed|ing)|plummets?|down(?! (?:there|here|low|on)\b))"
)
WAYS = pattern_of(rf"(?<![\w'-])(?:(?P<up>{UP})|(?P<down>{DOWN}))(?![\w'-])")
# With these before it, "up" or "down" is no way.
NO_WAY = pattern_of(
    r"\b(?:add|break|calm|clean|clear|cool|dial|die|ease|end|give|hold|keep|lay|light|make|nail|open|pick|pin|quiet|set"
    r"|settle|show|slow|speed|sum|take|tidy|tie|tone|touch|turn|use|wake|warm|wind|write|come)(?:s|d|ed|ing)? $"
    r"|\b(?:came|held|kept|laid|made|took|wound|woke|gave|upside) $"
)


@dataclass(frozen=True)
class Way:
    """Words at [first, last) that say up (1) or down (-1)."""

    first: int
    last: int
    way: int


def ways_in(text: str, first: int, last: int) -> list[Way]:
    """The words for a way in a part of a text."""
    return [
        Way(*match.span(), 1 if match["up"] else -1)
        for match in WAYS.finditer(text, first, last)
        if match[0] not in ("up", "down") or not NO_WAY.search(text[: match.start()])
    ]
