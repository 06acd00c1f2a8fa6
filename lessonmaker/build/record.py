"""What a finished film was made from.

It is kept beside the parts, so that an unchanged film is left alone, and of a changed one it can be said what changed.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from lessonmaker.build.outputs import place_name, safe_name
from lessonmaker.build.stamp import tools_digest
from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.files import file_digest, finished_file
from lessonmaker.score.edition import Decision, Edition
from lessonmaker.script.fields import is_file
from lessonmaker.script.model import Book, Lesson
from lessonmaker.script.scenes import scene_file
from lessonmaker.script.yamltext import Listing, Node, Scalar, read_yaml
from lessonmaker.script.yamltext import Mapping as YamlMapping

__all__ = [
    "FileState",
    "Record",
    "Sources",
    "existing",
    "fonts_of",
    "load_record",
    "logo_of",
    "record_path",
    "save_record",
    "script_digests",
    "sources_of",
    "states_of",
]

FOLDER = "films"
FORMAT = 1
TRUSTED_BYTES = 1 << 20
"""A larger file is not read again while its size and time of change are the same."""


@dataclass(frozen=True)
class FileState:
    """A file as it was: size in bytes, time of change in nanoseconds, digest."""

    size: int
    changed_ns: int
    digest: str

    @classmethod
    def of(cls, path: Path, before: FileState | None = None) -> FileState:
        """The state of a file; a large one that looks as before is not read again.

        Raises:
            OSError: it cannot be read.
        """
        status = path.stat()
        same = before is not None and (before.size, before.changed_ns) == (status.st_size, status.st_mtime_ns)
        if before is not None and same and status.st_size > TRUSTED_BYTES:
            return before
        return cls(status.st_size, status.st_mtime_ns, file_digest(path))


@dataclass(frozen=True)
class Sources:
    """What a film is made from.

    Attributes:
        files: the author's files, by what they are ("script", "score", "take", "narration" ...) and their path.
        settings: what the book file and the order say, as text.
        script: the values of the script's keys, as digests; under "cues" a list of them.
        tools: the digest of the program and its libraries.
    """

    files: Mapping[str, Mapping[str, FileState]]
    settings: Mapping[str, str]
    script: Mapping[str, Any]
    tools: str

    def same(self, other: Sources) -> bool:
        """Whether a film made from either is the same."""
        return self.digests == other.digests and (self.settings, self.tools) == (other.settings, other.tools)

    @property
    def key(self) -> str:
        """A digest of all of it: films of equal keys are equal."""
        return digest_of(self.digests, self.settings, self.tools)

    @property
    def digests(self) -> dict[str, dict[str, str]]:
        """What the files hold."""
        return {kind: {path: one.digest for path, one in some.items()} for kind, some in self.files.items()}


@dataclass(frozen=True)
class Record:
    """A finished film, as it was made.

    Attributes:
        sources: what it was made from.
        bars: a digest of each bar's notes and chords, by its number in print.
        outputs: its files' states, by name.
        seconds: how long it plays.
        work_s: about how long its parts take one worker, if all are made.
        remarks, decisions: what was said of it.
    """

    sources: Sources
    bars: Mapping[str, str]
    outputs: Mapping[str, FileState]
    seconds: float
    work_s: float
    remarks: tuple[Fault, ...]
    decisions: tuple[Decision, ...]

    def is_whole(self, files: Sequence[Path]) -> bool:
        """Whether a film and all that goes with it lie there as they were written."""
        try:
            now = {path.name: FileState.of(path, self.outputs.get(path.name)) for path in files}
        except OSError:
            return False
        before = {name: one.digest for name, one in self.outputs.items()}
        return {name: one.digest for name, one in now.items()} == before


def sources_of(
    lesson: Lesson, book: Book, edition: Edition, said: Sequence[str], before: Record | None
) -> Sources:
    """What a film would be made from now.

    Args:
        lesson: its script, loaded.
        book: its book.
        edition: its edition.
        said: the ids of the editions in whose words recordings are looked for.
        before: what is known of it, so that large files are not read again.

    Raises:
        OSError: a file cannot be read.
    """
    settings = {
        "title": book.title,
        "author": book.author,
        "voice": book.voice or "",
        "size": "x".join(map(str, book.size)),
        "rate": str(book.rate),
        "longest_pause": str(book.longest_pause_s or ""),
        "fonts": fonts_of(book.look) if book.look else "",
        "edition": digest_of(edition),
        "said": " ".join(said),
    }
    files = states_of(material_of(lesson, book), book.folder, before)
    return Sources(files, settings, script_digests(lesson.path), tools_digest())


def states_of(
    material: Iterable[tuple[str, Sequence[Path]]], folder: Path, before: Record | None
) -> dict[str, dict[str, FileState]]:
    """How the files of each kind are now, by their names from the book's folder.

    Raises:
        OSError: a file cannot be read.
    """
    some = before.sources.files.values() if before else ()
    known = {name: one for files in some for name, one in files.items()}
    return {
        kind: {name: FileState.of(path, known.get(name)) for name, path in named(paths, folder)}
        for kind, paths in material
    }


def named(paths: Sequence[Path], folder: Path) -> Iterator[tuple[str, Path]]:
    """Paths with their names from a book's folder: the book may be moved."""
    for path in paths:
        yield Path(os.path.relpath(path, folder)).as_posix(), path


def material_of(lesson: Lesson, book: Book) -> Iterator[tuple[str, list[Path]]]:
    """The files that a film is made from."""
    shared = book.folder / "shared"
    narration = [*lesson.narration, *(one for cue in lesson.cues for one in cue.narration)]
    yield "script", [lesson.path]
    yield "score", [lesson.score]
    yield "take", [lesson.take] if lesson.take else []
    yield "narration", [recording.path for recording in narration]
    yield "pronunciations", existing(shared / "pronunciations.yaml")
    yield "editions", existing(shared / "editions.yaml")
    yield "look", [book.look, *logo_of(book.look)] if book.look else []
    yield "scenes", [scene_file(lesson.path, cue.scene) for cue in lesson.cues if cue.scene is not None]


def logo_of(look: Path) -> list[Path]:
    """The logo that a look file names, if it is there."""
    logo = named_in(look, "logo").get("picture")
    return [look.parent / logo] if isinstance(logo, str) and is_file(look.parent / logo) else []


def fonts_of(look: Path) -> str:
    """The font packages that a look file names, with their versions."""
    names = named_in(look, "fonts").values()
    return " ".join(sorted({f"{name}={version_of(name)}" for name in names if isinstance(name, str)}))


def version_of(package: str) -> str:
    """The version of an installed package; "none" where it is not."""
    try:
        return version(package)
    except (PackageNotFoundError, ValueError):
        return "none"


def named_in(look: Path, section: str) -> dict[str, Any]:
    """A section of a look file, whatever is wrong with it: `own_look.py` says that."""
    try:
        root = plain(read_yaml(look, []))
    except MaterialError:
        return {}
    found = root.get(section) if isinstance(root, dict) else None
    return found if isinstance(found, dict) else {}


def existing(path: Path) -> list[Path]:
    """A file, if it is there."""
    return [path] if path.is_file() else []


def script_digests(path: Path) -> dict[str, Any]:
    """The values of a script's keys as digests, whatever their places in the file."""
    root = plain(read_yaml(path, []))
    cues = root.pop("cues", [])
    return {
        **{key: digest_of(value) for key, value in root.items()},
        "cues": [{key: digest_of(value) for key, value in cue.items()} for cue in cues],
    }


def plain(node: Node) -> Any:
    """YAML's texts, lists and maps without their places."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Listing):
        return [plain(item) for item in node.items]
    assert isinstance(node, YamlMapping)
    return {name: plain(value) for name, (_, value) in node.entries.items()}


def record_path(store: Path, edition: str, lesson: str, shape: str = "") -> Path:
    """Where the record of a film is kept."""
    return store / FOLDER / place_name(edition, shape) / f"{safe_name(lesson)}.json"


def save_record(record: Record, path: Path) -> None:
    """Keep a record.

    Raises:
        OSError: it cannot be written.
    """
    data = {"format": FORMAT, **asdict(record)}
    data["remarks"] = [fault_data(fault) for fault in record.remarks]
    text = json.dumps(data)
    path.parent.mkdir(parents=True, exist_ok=True)
    with finished_file(path) as fragment:
        fragment.write_text(json.dumps({"digest": digest_of(text), "record": text}), encoding="utf-8")


def load_record(path: Path) -> Record | None:
    """A record, or None where there is none, or one that is damaged or of another version."""
    try:
        held = json.loads(path.read_text(encoding="utf-8"))
        if held["digest"] != digest_of(held["record"]):
            return None
        data = json.loads(held["record"])
        return record_from(data) if data["format"] == FORMAT else None
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        return None


def record_from(data: Mapping[str, Any]) -> Record:
    """A record from plain data."""
    sources = data["sources"]
    return Record(
        sources=Sources(
            {kind: states(some) for kind, some in sources["files"].items()},
            sources["settings"],
            sources["script"],
            sources["tools"],
        ),
        bars=data["bars"],
        outputs=states(data["outputs"]),
        seconds=data["seconds"],
        work_s=data["work_s"],
        remarks=tuple(fault_from(one) for one in data["remarks"]),
        decisions=tuple(Decision(**{**one, "notes": tuple(one["notes"])}) for one in data["decisions"]),
    )


def states(data: Mapping[str, Any]) -> dict[str, FileState]:
    """States of files from plain data."""
    return {name: FileState(**one) for name, one in data.items()}


def fault_data(fault: Fault) -> dict[str, Any]:
    """A remark as plain data."""
    place = fault.place
    where = [place.path and str(place.path), place.line, place.column]
    return {"what": fault.what, "todo": fault.todo, "where": where}


def fault_from(data: Mapping[str, Any]) -> Fault:
    """A remark from plain data."""
    path, line, column = data["where"]
    return Fault(data["what"], data["todo"], Place(path and Path(path), line, column))
