"""The author's narration as a script names it: a recording, several of them, or such for each edition.

`narration: read.wav`, `narration: [read.wav, retakes.wav]`, `narration: {all: read.wav, b-flat: b-flat.wav}`; of
a whole lesson also a folder with one recording a cue: 3.wav or 03.flac is the third cue's. Of several, the later
ones count over the earlier ones, an edition's own over those for all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from lessonmaker.script.edition_fields import known_editions
from lessonmaker.script.fields import (
    Reading,
    is_dir,
    is_file,
    missing_todo,
    near,
    scalar_text,
    tidy,
    whole_number,
)
from lessonmaker.script.model import Cue, Recording
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.yamltext import Listing, Mapping, Node

__all__ = ["read_cue_narration", "read_lesson_narration", "with_numbered_files"]

EVERY_EDITION = "all"
EXAMPLE = (
    "a recording's file name, several as in [read.wav, retakes.wav], or {all: read.wav, b-flat: b-flat.wav}"
)
FILE_ENDING = pattern_of(r"\.[A-Za-z0-9]{2,4}$")

Found = Callable[[Node, str, Reading], Path | None]


def read_cue_narration(node: Node, reading: Reading) -> tuple[Recording, ...]:
    """A cue's own recordings; one that is not there yet is only remarked on."""
    return tuple(recordings(node, reading, recording_of_cue))


def read_lesson_narration(node: Node, reading: Reading) -> tuple[Recording, ...]:
    """The recordings of a whole lesson, and the folders with one recording a cue."""
    return tuple(recordings(node, reading, recording_of_lesson))


def recordings(node: Node, reading: Reading, found: Found) -> Iterator[Recording]:
    """What a value names: for all editions, or for each in a map."""
    if not isinstance(node, Mapping):
        yield from recordings_for(None, node, reading, found)
        return
    if not node.entries:
        reading.fault(node.place, "the map names no recording", f"write {EXAMPLE}")
    known = known_editions(reading)
    for name, (key, value) in node.entries.items():
        if name in known or name == EVERY_EDITION:
            yield from recordings_for(None if name == EVERY_EDITION else name, value, reading, found)
        else:
            todo = near(name, (EVERY_EDITION, *known))
            reading.fault(key.place, f"there is no edition {name!r}", todo)


def recordings_for(edition: str | None, node: Node, reading: Reading, found: Found) -> Iterator[Recording]:
    """One recording or a list of them; those that are not there are left out."""
    if isinstance(node, Listing) and not node.items:
        reading.fault(node.place, "the list is empty", f"write {EXAMPLE}")
    for item in node.items if isinstance(node, Listing) else (node,):
        text = scalar_text(item, reading, EXAMPLE)
        path = None if text is None else found(item, text, reading)
        if path is not None:
            yield Recording(path, edition, item.place)


def recording_of_cue(node: Node, text: str, reading: Reading) -> Path | None:
    """A cue's recording, if it is there."""
    return recording_if_there(node, text, reading, "the draft voice speaks this cue")


def recording_of_lesson(node: Node, text: str, reading: Reading) -> Path | None:
    """A lesson's recording, if it is there, or its folder of recordings, which has to be."""
    path = reading.resolved(text)
    if is_dir(path):
        return path
    if FILE_ENDING.search(text):
        return recording_if_there(node, text, reading, "the draft voice speaks what only it would hold")
    reading.fault(node.place, f"there is no folder {text}", "check the name, or delete the key")
    return None


def recording_if_there(node: Node, text: str, reading: Reading, meanwhile: str) -> Path | None:
    """A recording, or None and a remark."""
    path = reading.resolved(text)
    if is_file(path):
        return tidy(path)
    reading.remark(node.place, f"there is no recording {text} yet: {meanwhile}", missing_todo(path))
    return None


def with_numbered_files(
    cues: Sequence[Cue], folders: Sequence[Recording], reading: Reading
) -> tuple[Cue, ...]:
    """The cues with their recordings from a lesson's folders; where a cue names its own, those count."""
    numbered = [(folder, numbered_files(folder, len(cues), reading)) for folder in folders]
    return tuple(
        with_recordings(
            cue, [replace(folder, path=files[number]) for folder, files in numbered if number in files]
        )
        for number, cue in enumerate(cues, 1)
    )


def with_recordings(cue: Cue, found: Sequence[Recording]) -> Cue:
    """The cue with recordings of the editions that it names none for itself."""
    own = {recording.edition for recording in cue.narration}
    more = tuple(recording for recording in found if recording.edition not in own)
    return replace(cue, narration=(*more, *cue.narration))


def numbered_files(folder: Recording, cues: int, reading: Reading) -> dict[int, Path]:
    """The files of a folder named by number; a number twice, or beyond the last cue, is a fault."""
    found: dict[int, Path] = {}
    for path in sorted(folder.path.iterdir()):
        number = whole_number(path.stem, 0, 99_999)
        if number is None or not is_file(path):
            continue
        if number in found:
            what = f"two recordings of cue {number}: {found[number].name}, {path.name}"
            reading.fault(folder.place, what, "keep one")
        elif not 1 <= number <= cues:
            what = f"{path.name} in this folder belongs to no cue"
            reading.fault(folder.place, what, f"the cues are 1 to {cues}")
        found[number] = path
    return found
