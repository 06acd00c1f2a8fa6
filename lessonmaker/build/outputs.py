"""The finished files of a film and their names: ASCII, lower case, safe on any system."""

from __future__ import annotations

import json
import os
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.files import finished_file
from lessonmaker.script.model import BookOverlay
from lessonmaker.script.overlay_style import LAYER_CONTAINERS
from lessonmaker.timeline.model import Timeline
from lessonmaker.video.texts import chapter_lines, subrip, webvtt

__all__ = [
    "Outputs",
    "OverlayOutputs",
    "ending_of",
    "make_place",
    "outputs_for",
    "place_name",
    "safe_name",
    "write",
    "write_captions",
    "write_texts",
    "write_times",
]

RESERVED = frozenset(
    {"con", "prn", "aux", "nul", *(f"{name}{n}" for name in ("com", "lpt") for n in range(1, 10))}
)
LONGEST_NAME = 60
ENDINGS = {".mp4": ".mp4", ".m4v": ".mp4", ".mov": ".mov"}
ANY_SOUND = ".mkv"


@dataclass(frozen=True)
class Outputs:
    """Where a film and what goes with it are written."""

    film: Path
    webvtt: Path
    subrip: Path
    chapters: Path
    poster: Path
    timeline: Path

    @property
    def files(self) -> tuple[Path, ...]:
        """All of them, the film first."""
        return (*self.for_customers, self.timeline)

    @property
    def for_customers(self) -> tuple[Path, ...]:
        """Those that are released."""
        return (self.film, self.webvtt, self.subrip, self.chapters, self.poster)


@dataclass(frozen=True)
class OverlayOutputs:
    """Where a film with its score laid over it is written, and what goes with it; captions and poster if any."""

    film: Path
    captioned: bool = False
    poster: Path | None = None

    @property
    def bars(self) -> Path:
        """The table of bars."""
        return self.film.with_suffix(".bars.csv")

    @property
    def chapters(self) -> Path:
        """The chapters as text."""
        return self.film.with_suffix(".chapters.txt")

    @property
    def timeline(self) -> Path:
        """All that is seen, and when."""
        return self.film.with_suffix(".timeline.json")

    @property
    def captions(self) -> tuple[Path, ...]:
        """The captions as WebVTT and as SubRip, if there are any."""
        return (self.film.with_suffix(".vtt"), self.film.with_suffix(".srt")) if self.captioned else ()

    @property
    def files(self) -> tuple[Path, ...]:
        """All of them, the film first."""
        return (*self.for_customers, self.bars, self.timeline)

    @property
    def for_customers(self) -> tuple[Path, ...]:
        """Those that are released."""
        poster = () if self.poster is None else (self.poster,)
        return (self.film, *self.captions, self.chapters, *poster)


def safe_name(text: str) -> str:
    """A file name without its ending: letters, digits and hyphens, never a name a system reserves."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower().replace("'", "")
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST_NAME].strip("-")
    return f"{name}-lesson" if name in RESERVED else name or "lesson"


def place_name(edition: str, shape: str = "") -> str:
    """The name of the folder for the films of an edition, of one shape where the book has several."""
    return f"{safe_name(edition)}-{shape}" if shape else safe_name(edition)


def outputs_for(folder: Path, lesson: str) -> Outputs:
    """The files of a lesson in a folder."""
    name = safe_name(lesson)
    return Outputs(
        film=folder / f"{name}.mp4",
        webvtt=folder / f"{name}.vtt",
        subrip=folder / f"{name}.srt",
        chapters=folder / f"{name}.chapters.txt",
        poster=folder / f"{name}.png",
        timeline=folder / f"{name}.timeline.json",
    )


def ending_of(overlay: BookOverlay) -> str:
    """How the name of a book's film ends: as asked for, else as it came where that is a kind that is written."""
    if overlay.container is not None:
        return f".{overlay.container}"
    if overlay.layer:
        return f".{LAYER_CONTAINERS[0]}"
    return ENDINGS.get(overlay.film.suffix.lower(), ANY_SOUND)


def make_place(outputs: Outputs | OverlayOutputs) -> None:
    """Make the folder that the files go into.

    Raises:
        MaterialError: it cannot be made or written to.
    """
    place = outputs.film.parent
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise no_folder(place, f"the output folder cannot be made ({error.strerror})") from error
    if not os.access(place, os.W_OK | os.X_OK):
        raise no_folder(place, "the output folder may not be written to")


def no_folder(place: Path, what: str) -> MaterialError:
    """There is nowhere to write."""
    todo = "name another with --output, or give yourself the right to write there"
    return MaterialError(Fault(what, todo, Place(place)))


def write_texts(outputs: Outputs, timeline: Timeline, poster: bytes) -> None:
    """Write all that goes with a film; the poster is a PNG file's bytes."""
    write_captions((outputs.webvtt, outputs.subrip), timeline)
    write_times(outputs, timeline)
    with finished_file(outputs.poster) as fragment:
        fragment.write_bytes(poster)


def write_captions(paths: Sequence[Path], timeline: Timeline) -> None:
    """Write the captions as WebVTT and as SubRip."""
    for path, form in zip(paths, (webvtt, subrip), strict=True):
        write(path, form(timeline.captions))


def write_times(outputs: Outputs | OverlayOutputs, timeline: Timeline) -> None:
    """Write when what is seen: the chapters as text, and the timeline."""
    write(outputs.chapters, chapter_lines(timeline.chapters))
    write(outputs.timeline, json.dumps(timeline.to_json(), ensure_ascii=False, indent=1))


def write(path: Path, text: str) -> None:
    """Write a text file whole or not at all."""
    with finished_file(path) as fragment:
        fragment.write_text(text, encoding="utf-8")
