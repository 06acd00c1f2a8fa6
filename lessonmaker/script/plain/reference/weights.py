"""The learned weights of clues; `weights.json` beside this file holds them and says what made them.

A clue's weight is found by its checksum (CRC-32), so that no list of clues is kept: some share one (Weinberger and
others, Feature hashing for large scale multitask learning, 2009; from memory).
"""

from __future__ import annotations

import json
import zlib
from array import array
from base64 import b85decode
from collections.abc import Iterable
from functools import lru_cache
from importlib.resources import files

__all__ = ["SIZE", "STEP", "place_of", "score_of", "trained_weights"]

SIZE = 1 << 16
"""How many weights there are."""
STEP = 0.01
"""The weight of one in the table."""


@lru_cache(maxsize=SIZE)
def place_of(clue: str) -> int:
    """The place of a clue's weight in the table."""
    return zlib.crc32(clue.encode()) % SIZE


@lru_cache(maxsize=1)
def trained_weights() -> array[int]:
    """The weights the package carries, in steps, as signed bytes."""
    data = json.loads(files(__package__).joinpath("weights.json").read_text(encoding="utf-8"))
    return array("b", zlib.decompress(b85decode(data["weights"])))


def score_of(clues: Iterable[str]) -> float:
    """What some clues weigh together."""
    table = trained_weights()
    return STEP * sum(table[place_of(clue)] for clue in clues)
