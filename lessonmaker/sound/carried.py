"""Files that travel to another process; what reads them takes longer to import (see `read`)."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

__all__ = ["CarriedFile"]


@dataclass(frozen=True)
class CarriedFile:
    """A file that is sent with its bytes to another process, which may be on a machine that has it not.

    They are read when it is sent: what waits to be sent holds none. The process that has the file reads it there.
    """

    path: Path
    data: bytes | None = None

    def __reduce__(self) -> tuple[type[CarriedFile], tuple[Path, bytes]]:
        """With its bytes."""
        return type(self), (self.path, self.path.read_bytes() if self.data is None else self.data)

    def source(self) -> str | io.BytesIO:
        """What a reader of sound takes: the file's name, or the bytes that came along."""
        return str(self.path) if self.data is None else io.BytesIO(self.data)
