"""Which of a few ways is best into each state of a search, for states by the thousand and takes of hours.

Half a byte a state, in a file that may well be one in memory while it is small (`HELD_BYTES`); a path is followed back
through it with a read or two a step.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import IO

import numpy as np
import numpy.typing as npt

__all__ = ["HELD_BYTES", "Choices"]

HELD_BYTES = 64 << 20
BITS, WAYS = 4, 16


@dataclass(frozen=True)
class Choices:
    """Ways (0 to 15) into the states of a search, kept in a file.

    The states stand in rows and columns; `ticks` (an even number) of them are kept at a time.
    """

    file: IO[bytes]
    rows: int
    columns: int
    ticks: int

    def add(self, ways: npt.NDArray[np.uint8]) -> None:
        """Keep the ways (rows, columns, ticks) of the next ticks.

        Raises:
            OSError: there is no room for them on the disk.
        """
        self.file.write((ways[:, :, ::2] | ways[:, :, 1::2] << BITS).tobytes())

    def at(self, row: int, column: int, tick: int) -> int:
        """The way into a state at a tick."""
        block, tick = divmod(tick, self.ticks)
        place, odd = divmod(((block * self.rows + row) * self.columns + column) * self.ticks + tick, 2)
        self.file.seek(place)
        (pair,) = self.file.read(1)
        return int(pair >> BITS if odd else pair % WAYS)
