"""A film put together by a worker on this machine, which reads the kept parts where they lie."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from uuid import uuid4

from lessonmaker.build.record import fault_data, fault_from
from lessonmaker.build.store import Store
from lessonmaker.build.workshop import Line, Part, Task
from lessonmaker.digest import digest_of
from lessonmaker.video.aac import joined_sound
from lessonmaker.video.encode import Format
from lessonmaker.video.film import FilmInfo, join_film

__all__ = ["Pieces", "joined"]

JOINED_S = 0.4
FIRST_S = 60.0
"""A film that is complete is put together before anything else is made."""


class LostPartError(Exception):
    """A part that was kept is not there any more, or damaged."""


@dataclass(frozen=True)
class Pieces:
    """What a film is put together from.

    Attributes:
        film: the file to write.
        seen: its runs, in order.
        heard: the stretches of its sound, in order.
        starts: where each stretch begins, a frame at 48 kHz.
        frames: the length of its sound at 48 kHz.
        form: the shape of its pictures.
        info: what its file says of itself.
    """

    film: Path
    seen: Sequence[Part]
    heard: Sequence[Part]
    starts: Sequence[int]
    frames: int
    form: Format
    info: FilmInfo

    def write(self) -> None:
        """Put the film together here; what turns out to be damaged is made anew.

        Raises:
            OSError: the file cannot be written.
        """
        heard = zip(self.starts, (part.read() for part in self.heard), strict=True)
        seen = (part.read() for part in self.seen)
        join_film(self.film, seen, joined_sound(heard, self.frames), self.form, self.info)

    def task(self, store: Store) -> Task:
        """The film, to be put together by a worker from what is kept; it says whether all was there."""
        seen, heard = ([part.task.key for part in some] for some in (self.seen, self.heard))
        work = partial(
            join_kept, self.film, store.folder, seen, heard, self.starts, self.frames, self.form, self.info
        )
        key = digest_of("film", uuid4().hex)  # it is written anew whatever was written before
        return Task(key, work, "film", JOINED_S, FIRST_S, passing=True)


def joined(pieces: Pieces, store: Store, files_reach: bool) -> Line[None]:
    """Have a film put together: by a worker if it has the parts, else here.

    Args:
        pieces: what it is put together from.
        store: where its parts are kept.
        files_reach: whether workers have the files of this machine.
    """
    kept = all(part.data is None for part in (*pieces.seen, *pieces.heard))
    if files_reach and kept:
        (told,) = yield [pieces.task(store)]
        about = json.loads(told.read())
        store.remarks += [one for one in map(fault_from, about["remarks"]) if one not in store.remarks]
        if about["whole"]:
            return
    pieces.write()


def join_kept(
    film: Path,
    folder: Path,
    seen: Sequence[str],
    heard: Sequence[str],
    starts: Sequence[int],
    frames: int,
    form: Format,
    info: FilmInfo,
) -> bytes:
    """Put a film together from kept parts; as JSON whether all were whole, and what is to be said of the store.

    Raises:
        OSError: the file cannot be written.
    """
    store, whole = Store(folder), True
    try:
        sound = joined_sound(zip(starts, kept_parts(store, heard), strict=True), frames)
        join_film(film, kept_parts(store, seen), sound, form, info)
    except LostPartError:
        whole = False
    return json.dumps({"whole": whole, "remarks": [fault_data(one) for one in store.remarks]}).encode()


def kept_parts(store: Store, keys: Sequence[str]) -> Iterator[bytes]:
    """Kept parts, one after the other.

    Raises:
        LostPartError: one is not there, or damaged.
    """
    for key in keys:
        data = store.get(key)
        if data is None:
            raise LostPartError(key)
        yield data
