"""Reading a cue's plain words."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from lessonmaker.score.position import Span
from lessonmaker.script.model import Cue, Understood
from lessonmaker.script.music import Music

__all__ = ["read_plain"]


def read_plain(
    cue: Cue, spans: Sequence[Span], bars: Collection[int] | None, music: Music, linked: Sequence[Understood]
) -> tuple[Understood, ...]:
    """What the plain words of a cue claim."""
    del cue, spans, bars, music, linked
    return ()
