"""The learned weights of clues for things; `weights.json` beside this file holds them and says what made them.

A weight is found by the checksum (CRC-32) of the thing's name and the clue, so that no list of clues is kept
(Weinberger and others, Feature hashing for large scale multitask learning, 2009; from memory).
"""

from __future__ import annotations

import json
import zlib
from array import array
from base64 import b64decode
from functools import lru_cache
from importlib.resources import files

__all__ = ["SIZE", "STEP", "place_of", "weight_of"]

SIZE = 1 << 20
"""How many weights there are; one in fifty is no nought."""
STEP = 0.1
"""The weight of one in the table."""


def place_of(thing: str, clue: str) -> int:
    """The place of a weight in the table."""
    return zlib.crc32(f"{thing}|{clue}".encode()) % SIZE


@lru_cache(maxsize=1)
def _weights() -> array[int]:
    """The weights that the package carries, in steps, as signed bytes."""
    data = json.loads(files(__package__).joinpath("weights.json").read_text(encoding="utf-8"))
    return array("b", zlib.decompress(b64decode(data["weights"])))


def weight_of(thing: str, clue: str) -> float:
    """What a clue says for a thing."""
    return STEP * _weights()[place_of(thing, clue)]
