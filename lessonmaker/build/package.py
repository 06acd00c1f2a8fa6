"""What a customer gets: the finished files of an edition under names that sort, with a manifest and checksums.

A package is made of pieces; what each holds is known by its digest before anything is copied.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from pathlib import Path
from typing import Any

from lessonmaker.build.description import About, description
from lessonmaker.build.outputs import place_name, safe_name
from lessonmaker.build.overlay_plan import PlannedOverlay
from lessonmaker.build.plan import Planned, PlannedFilm
from lessonmaker.build.record import Record
from lessonmaker.build.stamp import tools_versions
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.files import file_digest
from lessonmaker.score.edition import Edition
from lessonmaker.script.model import Book

__all__ = ["MANIFEST", "SUMS", "Package", "Piece", "ReleasedFilm", "packages_of"]

FILMS, SAMPLE = "films", "sample"
MANIFEST, SUMS = "manifest.json", "SHA256SUMS"
FORMAT = 1


@dataclass(frozen=True)
class Piece:
    """A file of a package: its name, size in bytes and SHA-256 digest, and a file or the bytes that it holds."""

    name: str
    size: int
    digest: str
    content: Path | bytes

    @classmethod
    def of_text(cls, name: str, text: str) -> Piece:
        """A piece that holds a text."""
        data = text.encode()
        return cls(name, len(data), hashlib.sha256(data).hexdigest(), data)

    @property
    def data(self) -> dict[str, Any]:
        """What a manifest says of it."""
        return {"name": self.name, "bytes": self.size, "sha256": self.digest}

    def write(self, folder: Path) -> None:
        """Write it into a folder.

        Raises:
            MaterialError: a finished file no longer holds what it held when it was made.
            OSError: it cannot be read or written.
        """
        path = folder / self.name
        if isinstance(self.content, bytes):
            path.write_bytes(self.content)
            return
        shutil.copyfile(self.content, path)
        if file_digest(path) != self.digest:
            raise changed_since(self.content)


def changed_since(path: Path) -> MaterialError:
    """A finished file is not what was made."""
    what = "this file was changed after it was made"
    return MaterialError(Fault(what, "delete it, build again, and release then", Place(path)))


@dataclass(frozen=True)
class ReleasedFilm:
    """A film in a package: the how-manieth of the book it is, how it was made, and its files."""

    number: int
    planned: PlannedFilm
    record: Record
    about: About
    pieces: tuple[Piece, ...]

    @property
    def data(self) -> dict[str, Any]:
        """What a manifest says of it; sources are named by what they are and what they hold, not by their place."""
        sources = self.record.sources
        return {
            "number": self.number,
            self.planned.kind: self.planned.name,
            "title": self.about.title,
            "seconds": round(self.record.seconds, 3),
            "source_key": sources.key,
            "sources": {kind: sorted(some.values()) for kind, some in sources.digests.items() if some},
            "files": [piece.data for piece in self.pieces],
        }


@dataclass(frozen=True)
class Package:
    """A product of a book in an edition and a size, the book's."""

    book: Book
    edition: Edition
    product: str
    films: tuple[ReleasedFilm, ...]

    @property
    def name(self) -> str:
        """Its folder's name, and its ZIP file's without the ending."""
        return f"{safe_name(self.book.title)}-{place_name(self.edition.id, self.book.shape)}-{self.product}"

    @property
    def picture(self) -> str:
        """The size of its pictures; films that a score is laid over keep their own."""
        return "x".join(map(str, self.book.size))

    @property
    def digests(self) -> dict[str, str]:
        """What its films' files hold, by their names."""
        return {piece.name: piece.digest for film in self.films for piece in film.pieces}

    @cached_property
    def manifest(self) -> dict[str, Any]:
        """What it holds, and what that was made from."""
        return {
            "format": FORMAT,
            "book": self.book.title,
            "author": self.book.author,
            "edition": self.edition.id,
            "product": self.product,
            "picture": self.picture,
            "rate": str(self.book.rate),
            "versions": tools_versions(),
            "tools_key": self.films[0].record.sources.tools,
            "films": [film.data for film in self.films],
        }

    @property
    def pieces(self) -> Iterator[Piece]:
        """Its films' files, then the manifest, then the checksums of both, as `sha256sum --check` reads them."""
        manifest = json.dumps(self.manifest, ensure_ascii=True, indent=1) + "\n"
        pieces = [piece for film in self.films for piece in film.pieces]
        pieces.append(Piece.of_text(MANIFEST, manifest))
        yield from pieces
        yield Piece.of_text(SUMS, "".join(f"{piece.digest}  {piece.name}\n" for piece in pieces))


def packages_of(book: Book, editions: Sequence[Edition], planned: Sequence[PlannedFilm]) -> list[Package]:
    """The packages of a book's finished films: an edition's films of a size, and its sample where the book names one.

    Films that a score is laid over go with those of the book's first size.

    Raises:
        MaterialError: a finished file was changed after it was made.
        OSError: it cannot be read.
    """
    packages = []
    for edition, sized in product(editions, book.in_sizes):
        own = [one for one in planned if (one.edition, one.book.size) == (edition, sized.size)]
        films = tuple(released(number, len(own), one) for number, one in enumerate(own, 1))
        packages.append(Package(sized, edition, FILMS, films))
        sample = tuple(film for film in films if film.planned.name == book.sample)
        if sample:
            packages.append(Package(sized, edition, SAMPLE, sample))
    return packages


def released(number: int, count: int, planned: PlannedFilm) -> ReleasedFilm:
    """A film as it goes to customers."""
    record, outputs = planned.before, planned.outputs
    assert record is not None  # of a film that is as it should be
    stem = f"{number:0{max(2, len(str(count)))}}-{safe_name(planned.name)}"
    about = about_film(number, planned, record)
    names = {path: f"{stem}{path.name.removeprefix(outputs.film.stem)}" for path in outputs.for_customers}
    pieces = [piece_of(path, name, record) for path, name in names.items()]
    pieces.append(Piece.of_text(f"{stem}.description.txt", description(about)))
    return ReleasedFilm(number, planned, record, about, tuple(pieces))


def piece_of(path: Path, name: str, record: Record) -> Piece:
    """A finished file under another name."""
    state = record.outputs[path.name]
    return Piece(name, state.size, state.digest, path)


def about_film(number: int, planned: PlannedFilm, record: Record) -> About:
    """A film in words, out of the files that were made with it."""
    timeline = json.loads(made_text(planned.outputs.timeline, record))
    return About(
        title=timeline["title"],
        edition=timeline["edition"],
        composer=timeline["composer"],
        book=planned.book.title,
        author=planned.book.author,
        number=number,
        seconds=record.seconds,
        played=isinstance(planned, Planned) and planned.lesson.take is not None,
        filmed=isinstance(planned, PlannedOverlay),
        layer=isinstance(planned, PlannedOverlay) and planned.overlay.layer,
        captioned=bool(timeline["captions"]),
        chapters=made_text(planned.outputs.chapters, record),
    )


def made_text(path: Path, record: Record) -> str:
    """A finished text, which holds what was written."""
    data = path.read_bytes()
    if hashlib.sha256(data).hexdigest() != record.outputs[path.name].digest:
        raise changed_since(path)
    return data.decode()
