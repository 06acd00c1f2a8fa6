"""Loading a book file: which lessons in which editions, and how they look."""

from __future__ import annotations

import re
from collections.abc import Mapping as MappingType
from fractions import Fraction
from pathlib import Path
from typing import Any

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.script.edition_fields import read_edition
from lessonmaker.script.fields import (
    Fields,
    Reading,
    existing_file,
    list_of,
    near,
    read_fields,
    read_longest_pause,
    read_text,
    scalar_text,
)
from lessonmaker.script.model import Book
from lessonmaker.script.overlays import OVERLAYS_EXAMPLE, read_overlay
from lessonmaker.script.yamltext import Node, read_yaml

__all__ = ["BOOK_FILE", "load_book", "lone_book"]

BOOK_FILE = Path("scripts") / "book.yaml"
REQUIRED = ("book", "lessons", "editions")
DEFAULT_SIZE = (1920, 1080)
DEFAULT_RATE = Fraction(30)
RATES = ("24", "25", "30", "50", "60", "24000/1001", "30000/1001", "60000/1001")
ROUNDED_RATES = {"23.976": "24000/1001", "23.98": "24000/1001", "29.97": "30000/1001", "59.94": "60000/1001"}
SIZE_BOUNDS = (320, 7680)
UNITS = {"MB": 10**6, "GB": 10**9, "TB": 10**12}


def load_book(path: Path) -> Book:
    """Load a book, given its folder or its book file.

    Raises:
        MaterialError: there is no book, or its file has faults; each with its place.
    """
    file = book_file(path)
    reading = Reading(file)
    root = read_yaml(file, reading.faults)
    values, places = read_fields(root, BOOK_FIELDS, reading, "the book file", REQUIRED)
    for name in ("lessons", "editions", "sizes"):
        refuse_doubles(values.get(name, ()), places.get(name), reading)
    refuse_strange_sample(values, places, reading)
    if "size" in values and "sizes" in values:
        reading.fault(places["sizes"], "the book has both `size` and `sizes`", "keep one of them")
    reading.raise_faults()
    sizes = values.get("sizes") or (values.get("size", DEFAULT_SIZE),)
    return Book(
        path=file,
        title=values["book"],
        author=values.get("author", ""),
        lessons=values["lessons"],
        editions=values["editions"],
        voice=values.get("voice"),
        size=sizes[0],
        sizes=sizes,
        rate=values.get("rate", DEFAULT_RATE),
        look=values.get("look"),
        longest_pause_s=values.get("longest_pause"),
        sample=values.get("sample"),
        keep_bytes=values.get("keep"),
        overlays=tuple(values.get("overlays", ())),
    )


def lone_book(script: Path) -> Book:
    """A lesson script that no book holds, as a book of its own: in concert key, everything else as by default."""
    return Book(
        path=script.parent / BOOK_FILE.name,
        title=script.stem,
        author="",
        lessons=(script,),
        editions=("concert",),
        voice=None,
        size=DEFAULT_SIZE,
        sizes=(DEFAULT_SIZE,),
        rate=DEFAULT_RATE,
    )


def book_file(path: Path) -> Path:
    """The book file of a folder, or the file itself.

    Raises:
        MaterialError: the folder holds none.
    """
    if not path.is_dir():
        return path
    for candidate in (path / BOOK_FILE, path / BOOK_FILE.name):
        if candidate.is_file():
            return candidate
    todo = f"a book has a {BOOK_FILE.as_posix()}; start one with `lessonmaker new`"
    raise MaterialError(Fault("this folder holds no book", todo, Place(path)))


def refuse_doubles(names: tuple[object, ...], place: Place | None, reading: Reading) -> None:
    """A lesson or edition named twice would be made twice under one name."""
    for name in dict.fromkeys(name for name in names if names.count(name) > 1):
        said = "{}x{}".format(*name) if isinstance(name, tuple) else name
        reading.fault(place or Place(reading.path), f"{said} stands twice", "keep one")


def refuse_strange_sample(
    values: MappingType[str, Any], places: MappingType[str, Place], reading: Reading
) -> None:
    """The sample is one of the book's lessons."""
    sample, lessons = values.get("sample"), [path.stem for path in values.get("lessons", ())]
    if sample is not None and lessons and sample not in lessons:
        reading.fault(places["sample"], f"the book has no lesson {sample!r}", near(sample, lessons))


def read_size(node: Node, reading: Reading) -> tuple[int, int] | None:
    """Width and height in pixels, both even: H.264 with 4:2:0 colour halves them."""
    text = scalar_text(node, reading, "a size such as 1920x1080")
    if text is None:
        return None
    match = re.fullmatch(r"([0-9]{1,5}) ?[x×] ?([0-9]{1,5})", text)
    size = (int(match[1]), int(match[2])) if match else (0, 0)
    least, most = SIZE_BOUNDS
    if all(least // 2 <= side <= most and side % 2 == 0 for side in size) and max(size) >= least:
        return size
    todo = f"write width x height in even numbers of pixels up to {most}, as in 1920x1080"
    reading.fault(node.place, f"{text!r} is no picture size", todo)
    return None


def read_rate(node: Node, reading: Reading) -> Fraction | None:
    """Frames a second, exactly."""
    text = scalar_text(node, reading, "a rate such as 30")
    if text is None or text in RATES:
        return None if text is None else Fraction(text)
    todo = f"write {ROUNDED_RATES[text]}" if text in ROUNDED_RATES else f"write one of {', '.join(RATES)}"
    reading.fault(node.place, f"{text!r} is no frame rate", todo)
    return None


def read_keep(node: Node, reading: Reading) -> int | None:
    """The most that the store may hold, in bytes; the units are decimal (SI)."""
    text = scalar_text(node, reading, "a size such as 20 GB")
    match = re.fullmatch(r"([0-9]{1,6}(?:\.[0-9]{1,3})?) ?([MGT]B)", text or "")
    if match:
        return int(Fraction(match[1]) * UNITS[match[2]])
    if text is not None:
        reading.fault(node.place, f"{text!r} is no size of a store", "write it in MB, GB or TB, as in 20 GB")
    return None


BOOK_FIELDS: Fields = {
    "book": read_text("the book's title"),
    "author": read_text("a name"),
    "lessons": list_of(existing_file("a lesson script such as night-ferry.yaml"), "a list of lesson scripts"),
    "editions": list_of(read_edition, "a list of editions, as in [concert, b-flat]"),
    "voice": read_text("a voice's name"),
    "look": existing_file("a path such as ../shared/look.yaml"),
    "size": read_size,
    "sizes": list_of(read_size, "a list of sizes, as in [1920x1080, 1080x1920, 1080x1080]"),
    "rate": read_rate,
    "longest_pause": read_longest_pause,
    "sample": read_text("a lesson's name such as night-ferry"),
    "keep": read_keep,
    "overlays": list_of(read_overlay, OVERLAYS_EXAMPLE),
}
