"""ZIP files that are the same bytes whenever and wherever they are made of the same files.

What is packed is stored as it is (films do not get smaller, and compressors differ between versions), in the order of
the names, with one time, one mode and one system for all. ZIP64 is used for what needs it (PKWARE's APPNOTE 6.3).
"""

from __future__ import annotations

import shutil
from pathlib import Path
from zipfile import ZIP_STORED, ZipFile, ZipInfo

__all__ = ["pack_folder"]

EARLIEST = (1980, 1, 1, 0, 0, 0)
UNIX = 3
PLAIN_FILE = 0o100644
CHUNK = 1 << 20


def pack_folder(folder: Path, archive: Path) -> None:
    """Pack the files of a folder, under the folder's name.

    Raises:
        OSError: a file cannot be read, or the archive not written.
    """
    with ZipFile(archive, "w", ZIP_STORED) as packed:
        for path in sorted(folder.iterdir()):
            with path.open("rb") as file, packed.open(entry(path), "w") as place:
                shutil.copyfileobj(file, place, CHUNK)


def entry(path: Path) -> ZipInfo:
    """What is said of a file in the archive."""
    info = ZipInfo(f"{path.parent.name}/{path.name}", EARLIEST)
    info.create_system = UNIX
    info.external_attr = PLAIN_FILE << 16
    info.file_size = path.stat().st_size
    return info
