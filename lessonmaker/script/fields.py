"""Reading the fields of a map: each key by its own reader, every fault noted, nothing raised.

A reader takes a node and a `Reading` and gives the value, or None after it has noted a fault. A key that is
no field is a fault with the nearest name suggested.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable
from collections.abc import Mapping as MappingType
from dataclasses import dataclass, field
from difflib import get_close_matches
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeVar

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.script.yamltext import Listing, Mapping, Node, Scalar

__all__ = [
    "Fields",
    "Reading",
    "entries_of",
    "existing_file",
    "is_dir",
    "is_file",
    "list_of",
    "near",
    "one_of",
    "read_fields",
    "read_longest_pause",
    "read_text",
    "read_yes_no",
    "scalar_text",
    "tidy",
]

Value = TypeVar("Value")
LONGEST_PAUSE_S = (0.3, 30)
KINDS = {Scalar: "text", Listing: "a list", Mapping: "a map"}


@dataclass
class Reading:
    """A file being read: its folder for relative paths, and the faults and remarks so far."""

    path: Path
    faults: list[Fault] = field(default_factory=list)
    remarks: list[Fault] = field(default_factory=list)

    def fault(self, place: Place, what: str, todo: str) -> None:
        """Note a fault."""
        self.faults.append(Fault(what, todo, place))

    def raise_faults(self) -> None:
        """Raise the faults, if there are any, in the order of the file.

        Raises:
            MaterialError: there are.
        """
        if self.faults:
            raise MaterialError(sorted(self.faults, key=line_and_column))

    def remark(self, place: Place, what: str, todo: str) -> None:
        """Note something that is no fault."""
        self.remarks.append(Fault(what, todo, place))

    def resolved(self, text: str) -> Path:
        """A path as the author writes it, against the file's folder."""
        return self.path.parent / text


Reader = Callable[[Node, Reading], Any]
Fields = MappingType[str, Reader]


def line_and_column(fault: Fault) -> tuple[int, int]:
    """For sorting by place."""
    return fault.place.line or 0, fault.place.column or 0


def near(word: str, names: Iterable[str], otherwise: str = "") -> str:
    """What to do about a name that is none: the nearest one, or all there are."""
    known = list(names)
    close = get_close_matches(word.lower(), known, 1, 0.6)
    return f"did you mean {close[0]}?" if close else otherwise or f"there are: {', '.join(known)}"


def read_fields(
    node: Node, fields: Fields, reading: Reading, what: str, required: tuple[str, ...] = ()
) -> tuple[dict[str, Any], dict[str, Place]]:
    """The values of a map's keys and their places; keys with a fault are left out of the values."""
    values: dict[str, Any] = {}
    places: dict[str, Place] = {}
    if not isinstance(node, Mapping):
        reading.fault(node.place, f"{what} is {KINDS[type(node)]}, not `key: value` lines", keys_todo(fields))
        return values, places
    for name, (key, value) in node.entries.items():
        if name not in fields:
            reading.fault(key.place, f"{name!r} is no key of {what}", near(name, fields))
            continue
        places[name] = value.place
        found = fields[name](value, reading)
        if found is not None:
            values[name] = found
    for name in required:
        if name not in node.entries:
            reading.fault(node.place, f"{what} has no {name}", f"add `{name}: ...`")
    return values, places


def keys_todo(fields: Fields) -> str:
    """Which keys there are."""
    return f"its keys are: {', '.join(fields)}"


def scalar_text(node: Node, reading: Reading, example: str) -> str | None:
    """The text of a scalar that says something; its blanks and line breaks become single spaces."""
    if not isinstance(node, Scalar):
        todo = f"write {example}; text that begins with [ or {{ belongs in quotes or after |"
        reading.fault(node.place, f"{KINDS[type(node)]} stands where text is expected", todo)
        return None
    text = " ".join(node.text.split())
    if not text:
        reading.fault(node.place, "nothing stands here", f"write {example}, or delete the key")
        return None
    return text


def read_text(example: str) -> Reader:
    """A reader of any text."""
    return lambda node, reading: scalar_text(node, reading, example)


def one_of(names: Iterable[str]) -> Callable[[Node, Reading], str | None]:
    """A reader of one name out of several."""
    known = tuple(names)

    def read(node: Node, reading: Reading) -> str | None:
        text = scalar_text(node, reading, f"one of {', '.join(known)}")
        if text is None or text in known:
            return text
        reading.fault(node.place, f"{text!r} is not known here", near(text, known))
        return None

    return read


def read_yes_no(node: Node, reading: Reading) -> bool | None:
    """Yes or no."""
    text = one_of(("yes", "no"))(node, reading)
    return None if text is None else text == "yes"


def entries_of(
    node: Node,
    reading: Reading,
    names: tuple[str, str],
    example: str,
    read_entry: Callable[[Scalar, Node, Reading], Value | None],
) -> tuple[Value, ...] | None:
    """A map whose keys the author chooses: each entry that could be read, in the order written.

    Args:
        node: what should be the map.
        reading: the file being read.
        names: what it maps from (in the plural), and to (in the singular).
        example: how such a map is written.
        read_entry: reads a key with what stands after it.
    """
    keys, value = names
    if not isinstance(node, Mapping) or not node.entries:
        reading.fault(node.place, f"this is no map of {keys} to {value}s", f"write {example}")
        return None
    found = []
    for key, entry in node.entries.values():
        if isinstance(entry, Scalar) and not entry.text.strip():
            reading.fault(key.place, f"no {value} stands after {key.text}", f"write {example}")
        else:
            found.append(read_entry(key, entry, reading))
    return tuple(one for one in found if one is not None)


def list_of(read_item: Callable[[Node, Reading], Value | None], example: str) -> Reader:
    """A reader of a list; a faulty item is left out."""

    def read(node: Node, reading: Reading) -> tuple[Value, ...] | None:
        if not isinstance(node, Listing):
            reading.fault(
                node.place, f"{KINDS[type(node)]} stands where a list is expected", f"write {example}"
            )
            return None
        if not node.items:
            reading.fault(node.place, "the list is empty", f"write {example}")
        found = (read_item(item, reading) for item in node.items)
        return tuple(item for item in found if item is not None)

    return read


def is_file(path: Path) -> bool:
    """Whether a file is there; a name that no file can have is not."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def is_dir(path: Path) -> bool:
    """Whether a folder is there; a name that no folder can have is not."""
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


def existing_file(example: str) -> Callable[[Node, Reading], Path | None]:
    """A reader of a path to a file that is there."""

    def read(node: Node, reading: Reading) -> Path | None:
        text = scalar_text(node, reading, example)
        if text is None:
            return None
        path = reading.resolved(text)
        if is_file(path):
            return tidy(path)
        reading.fault(node.place, f"there is no file {text}", missing_todo(path))
        return None

    return read


def tidy(path: Path) -> Path:
    """A path without `..` where that names the same file: messages are easier to read."""
    short = Path(os.path.normpath(path))
    return short if is_file(short) and short.samefile(path) else path


def missing_todo(path: Path) -> str:
    """What to do about a file that is not there: the nearest name in its folder."""
    if not is_dir(path.parent):
        return f"there is no folder {path.parent} either; paths count from the script's own folder"
    names = [entry.name for entry in path.parent.iterdir() if is_file(entry)]
    return near(path.name, names, "check the name; paths count from the script's own folder")


def whole_number(text: str, least: int, most: int) -> int | None:
    """A number written in plain digits, within bounds."""
    if re.fullmatch(r"[0-9]{1,5}", text) and least <= int(text) <= most:
        return int(text)
    return None


def percentage(text: str, least: int, most: int) -> Fraction | None:
    """A share written as "60%" or "62.5 %", within bounds given in per cent."""
    match = re.fullmatch(r"([0-9]{1,4}(?:\.[0-9]{1,4})?) ?%", text)
    share = Fraction(match[1]) if match else None
    return share / 100 if share is not None and least <= share <= most else None


def read_longest_pause(node: Node, reading: Reading) -> float | None:
    """What pauses of the author's narration are shortened to, in seconds."""
    text = scalar_text(node, reading, "seconds such as 1.2")
    if text is None:
        return None
    least, most = LONGEST_PAUSE_S
    match = re.fullmatch(r"([0-9]{1,2}(?:\.[0-9]{1,3})?) ?s?", text)
    if match is not None and least <= float(match[1]) <= most:
        return float(match[1])
    reading.fault(node.place, f"{text!r} is no length of a pause", f"write seconds from {least} to {most}")
    return None
