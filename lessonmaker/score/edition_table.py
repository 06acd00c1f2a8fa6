"""The table of editions: the usual four, and further ones from a book's own file.

An entry: `written` is the interval of written above sounding pitch ("M2"), `clef` a shape and line ("G2",
"F4", "C3", with -8 or +8 for an octave), `range` the lowest and highest comfortable written note ("Bb3-D6"),
`label` what is printed and `spoken` what a voice says.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import yaml

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score.model import Clef
from lessonmaker.theory.pitch import Interval, Pitch

__all__ = ["EDITIONS", "Edition", "load_editions"]

FIELDS = ("label", "spoken", "written", "clef", "range")
ID_PATTERN = re.compile(r"^[a-z0-9]+(-[a-z0-9]+)*$")
CLEF_PATTERN = re.compile(r"^(?P<shape>[GFC])(?P<line>[1-5])(?P<octave>[+-]8)?$")
PITCH = r"(?P<{0}step>[A-G])(?P<{0}sign>[b#♭♯]?)(?P<{0}octave>[0-9])"
RANGE_PATTERN = re.compile(rf"^{PITCH.format('low')}\s*[-–]\s*{PITCH.format('high')}$")
SIGNS = {"": 0, "b": -1, "♭": -1, "#": 1, "♯": 1}
MOST_BYTES = 100_000


@dataclass(frozen=True)
class Edition:
    """One edition.

    Attributes:
        id: its name in files and folders, "b-flat".
        label: what is printed, "B♭ edition".
        spoken: what a voice says, "B flat edition".
        interval: written above sounding pitch; the octave is chosen for each etude.
        clef: the clef printed.
        lowest, highest: the comfortable written range.
    """

    id: str
    label: str
    spoken: str
    interval: Interval
    clef: Clef
    lowest: Pitch
    highest: Pitch


class _ValueError(Exception):
    """A value that cannot be read: what, and what to do."""


def load_editions(path: Path) -> dict[str, Edition]:
    """Read further editions from a YAML file.

    Raises:
        MaterialError: the file cannot be read, or entries in it are wrong; all faults of the file together.
    """
    try:
        data = path.read_bytes()
        text = data.decode("utf-8-sig")
    except OSError as error:
        raise MaterialError(
            Fault(f"the editions cannot be read: {error.strerror}", "check the path", Place(path))
        ) from error
    except UnicodeDecodeError as error:
        raise MaterialError(
            Fault("the editions are not UTF-8 text", "save the file as UTF-8", Place(path))
        ) from error
    if len(data) > MOST_BYTES:
        raise MaterialError(Fault("the file is too large for a list of editions", place=Place(path)))
    return _read(text, path)


def _read(text: str, path: Path) -> dict[str, Edition]:
    faults: list[Fault] = []
    found: dict[str, Edition] = {}
    for key, value in _pairs(_compose(text, path), path, faults):
        edition = _edition(key, value, path, faults)
        if edition is not None:
            found[edition.id] = edition
    if faults:
        raise MaterialError(faults)
    return found


def _compose(text: str, path: Path) -> yaml.Node | None:
    try:
        return yaml.compose(text, Loader=yaml.BaseLoader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark
        place = Place(path) if mark is None else Place(path, mark.line + 1, mark.column + 1)
        raise MaterialError(Fault(f"this is no YAML: {error.problem}", "mend this line", place)) from error
    except (yaml.YAMLError, RecursionError) as error:
        raise MaterialError(
            Fault("this is no YAML", "write an edition as key: value lines", Place(path))
        ) from error


def _place(node: yaml.Node, path: Path) -> Place:
    return Place(path, node.start_mark.line + 1, node.start_mark.column + 1)


def _pairs(
    node: yaml.Node | None, path: Path, faults: list[Fault]
) -> Iterator[tuple[yaml.ScalarNode, yaml.Node]]:
    """The keys and values of a mapping; anything else, and a key given twice, is a fault."""
    if node is None:
        return
    if not isinstance(node, yaml.MappingNode):
        faults.append(Fault("keys with values are expected here", "write `key: value`", _place(node, path)))
        return
    seen: set[str] = set()
    for key, value in node.value:
        if not isinstance(key, yaml.ScalarNode):
            faults.append(Fault("a key must be a word", "write `key: value`", _place(key, path)))
        elif key.value in seen:
            faults.append(Fault(f"{key.value!r} is given twice", "remove one", _place(key, path)))
        else:
            seen.add(key.value)
            yield key, value


def _edition(key: yaml.ScalarNode, node: yaml.Node, path: Path, faults: list[Fault]) -> Edition | None:
    before = len(faults)
    if not ID_PATTERN.match(key.value):
        todo = "use small letters, digits and hyphens, as in alto-clef"
        faults.append(Fault(f"{key.value!r} cannot name an edition", todo, _place(key, path)))
    values = _fields(node, path, faults)
    missing = [name for name in FIELDS if name not in values]
    if missing and len(faults) == before:
        faults.append(Fault(f"edition {key.value!r} lacks {', '.join(missing)}", "add it", _place(key, path)))
    if len(faults) > before:
        return None
    read = {}
    for name, reader in (("written", _interval), ("clef", _clef), ("range", _range)):
        try:
            read[name] = reader(values[name].value)
        except _ValueError as wrong:
            what, todo = wrong.args
            faults.append(Fault(what, todo, _place(values[name], path)))
    if len(faults) > before:
        return None
    lowest, highest = _range(values["range"].value)
    return Edition(
        key.value,
        values["label"].value,
        values["spoken"].value,
        _interval(values["written"].value),
        _clef(values["clef"].value),
        lowest,
        highest,
    )


def _fields(node: yaml.Node, path: Path, faults: list[Fault]) -> dict[str, yaml.ScalarNode]:
    values = {}
    for key, value in _pairs(node, path, faults):
        if key.value not in FIELDS:
            near = difflib.get_close_matches(key.value, FIELDS, 1)
            todo = f"did you mean {near[0]!r}?" if near else f"an edition has {', '.join(FIELDS)}"
            faults.append(Fault(f"unknown key {key.value!r}", todo, _place(key, path)))
        elif not isinstance(value, yaml.ScalarNode) or not value.value.strip():
            faults.append(
                Fault(f"{key.value!r} must be a text", "write it on the same line", _place(value, path))
            )
        else:
            values[key.value] = value
    return values


def _interval(text: str) -> Interval:
    try:
        return Interval.parse(text)
    except ValueError as error:
        raise _ValueError(f"{text!r} is no interval", "write M2, M6, P1, -P8 ...") from error


def _clef(text: str) -> Clef:
    match = CLEF_PATTERN.match(text)
    if match is None:
        raise _ValueError(f"{text!r} is no clef", "write G2, F4, C3, C4, or G2-8 for an octave lower")
    return Clef(match["shape"], int(match["line"]), int(f"{match['octave'] or '0'}"[:2].replace("8", "1")))


def _range(text: str) -> tuple[Pitch, Pitch]:
    match = RANGE_PATTERN.match(text)
    if match is None:
        raise _ValueError(
            f"{text!r} is no range", "write the lowest and the highest written note, as in Bb3-D6"
        )
    lowest, highest = (
        Pitch(match[f"{end}step"], SIGNS[match[f"{end}sign"]], int(match[f"{end}octave"]))
        for end in ("low", "high")
    )
    if highest.midi - lowest.midi < 12:
        raise _ValueError(f"the range {text} is narrower than an octave", "give the lowest note first")
    return lowest, highest


def _built_in() -> Mapping[str, Edition]:
    table = resources.files("lessonmaker.score").joinpath("editions.yaml")
    return _read(table.read_text(encoding="utf-8"), Path("editions.yaml"))


EDITIONS: Mapping[str, Edition] = _built_in()
