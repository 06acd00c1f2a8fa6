"""Editions as scripts and book files name them: the usual ones, and those of the book's own."""

from __future__ import annotations

from lessonmaker.score.edition_table import EDITIONS
from lessonmaker.script.fields import Reading, is_file, near, scalar_text
from lessonmaker.script.yamltext import Mapping, Node, read_yaml
from lessonmaker.theory.pitch import Interval

__all__ = ["known_editions", "read_edition", "read_written_for"]


def known_editions(reading: Reading) -> tuple[str, ...]:
    """The ids of the usual editions, and of those in the book's shared/editions.yaml, if it has one."""
    file = reading.path.parent.parent / "shared" / "editions.yaml"
    own = read_yaml(file, reading.faults) if is_file(file) else None
    return (*EDITIONS, *(own.entries if isinstance(own, Mapping) else ()))


def read_edition(node: Node, reading: Reading) -> str | None:
    """An edition's id: a usual one, or one of the book's own."""
    text = scalar_text(node, reading, "an edition such as b-flat")
    known = known_editions(reading)
    if text is None or text in known:
        return text
    reading.fault(node.place, f"there is no edition {text!r}", near(text, known))
    return None


def read_written_for(node: Node, reading: Reading) -> str | None:
    """The instrument a part is written for: an edition's name, or the interval written above sounding."""
    text = scalar_text(node, reading, "an edition such as b-flat, or an interval such as M2")
    known = known_editions(reading)
    if text is None or text in known:
        return text
    try:
        Interval.parse(text)
    except ValueError:
        reading.fault(node.place, f"{text!r} is neither an edition nor an interval", near(text, known))
        return None
    return text
