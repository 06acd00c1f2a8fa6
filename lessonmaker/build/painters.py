"""Painters that are sent to workers, which keep the last few."""

from __future__ import annotations

import pickle
from functools import lru_cache
from typing import cast

from lessonmaker.picture.painter import Painter

__all__ = ["painter_of", "painter_sent"]


def painter_sent(painter: Painter) -> bytes:
    """A painter as it is sent."""
    return pickle.dumps(painter)


@lru_cache(maxsize=2)
def painter_of(sent: bytes) -> Painter:
    """A painter that was sent here; with it the pages it has laid out."""
    return cast(Painter, pickle.loads(sent))  # from the process that sent the task, not from a file
