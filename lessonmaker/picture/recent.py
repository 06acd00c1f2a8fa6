"""The last few things made, so that what is asked for again is not made again and memory stays flat."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import TypeVar

__all__ = ["Recent"]

Made = TypeVar("Made")


class Recent(OrderedDict[Hashable, Made]):
    """The last few things made, by what they were made from."""

    def __init__(self, size: int) -> None:
        super().__init__()
        self.size = size

    def get_or_make(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """What is kept under the key, or newly made."""
        if key not in self:
            self[key] = make()
            if len(self) > self.size:
                self.popitem(last=False)
        self.move_to_end(key)
        return self[key]
