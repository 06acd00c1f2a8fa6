"""YAML read as text: every scalar stays the characters the author typed, each with its place in the file.

YAML 1.1 would read `27:30` as a number in base 60, `on` as true and `012` as ten; here the field that asks
for a value decides its type. Only events of PyYAML's parser are used and nothing is constructed, so no tag
can run code. Anchors, aliases and tags are refused, nesting and size are bounded: a small file cannot grow in
memory. All faults that do not stop the parser are collected and raised together.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.script.model import Run, place_in_runs
from lessonmaker.script.pattern_store import pattern_of

__all__ = ["Listing", "Mapping", "Node", "Scalar", "read_yaml", "runs"]

MAX_BYTES = 1_000_000
MAX_DEPTH = 20
BREAKS = "\n\r\x85\u2028\u2029"
FOLD = pattern_of(rf"[ \t]*[{BREAKS}]\s*")
ESCAPED_BREAK = pattern_of(rf"\\[{BREAKS}]")
ESCAPE_DIGITS = {"x": 2, "u": 4, "U": 8}
BLANK_ESCAPES = {" ": " ", "n": "\n", "_": "\xa0", "L": "\u2028", "P": "\u2029"}
SHARP_COMMENT = pattern_of(r"[ \t]+#(?=[^\s#!])")

QUOTE_TODO = "put the text in quotes, or on its own lines after |"
INDENT_TODO = "line it up with its neighbours; text that begins with [ or { belongs in quotes or after |"
# What PyYAML's parser says, and what it means to somebody who writes a lesson.
PROBLEMS: tuple[tuple[str, str, str], ...] = (
    ("mapping values are not", "a colon stands where no key can be", f"{QUOTE_TODO}; check the indentation"),
    ("expected <block end>", "this does not belong to what stands before it", INDENT_TODO),
    ("expected '<document start>'", "this is indented less than the first line", "line up the keys"),
    ("could not find expected ':'", "a key without a colon", "write `key: value`"),
    ("cannot start any token", "a value cannot begin with this character", QUOTE_TODO),
    ("unexpected end of stream", "a quotation opened here is never closed", "close the quotation mark"),
    ("unexpected document sep", "a quotation opened here is never closed", "close the quotation mark"),
    ("unknown escape character", "an unknown escape after \\", "use single quotes, or \\\\ for a backslash"),
    (
        "expected ',' or ']'",
        "a list in [ ] is not closed or lacks a comma",
        "separate with commas, close with ]",
    ),
    (
        "expected ',' or '}'",
        "a map in { } is not closed or lacks a comma",
        "separate with commas, close with }",
    ),
    ("sequence entries are not", "a dash stands where no list can be", "put the list on its own lines"),
    (
        "indentation indicators",
        "only |, >, |- or >- may stand here",
        "put the text on the next line, indented",
    ),
)


@dataclass(frozen=True)
class Scalar:
    """A piece of text. `raw` is its source, quotation marks, indentation and all; `style` PyYAML's sign."""

    text: str
    place: Place
    style: str | None = None
    raw: str = ""

    def place_at(self, offset: int) -> Place:
        """Where the character at an offset of `text` stands in the file."""
        return place_in_runs(runs(self), offset, self.place)


@dataclass(frozen=True)
class Listing:
    """A list."""

    items: tuple[Node, ...]
    place: Place


@dataclass(frozen=True)
class Mapping:
    """A map, in the order written; a doubled key is a fault and keeps its first value."""

    entries: dict[str, tuple[Scalar, Node]]
    place: Place


Node = Scalar | Listing | Mapping


def read_yaml(path: Path, faults: list[Fault]) -> Node:
    """Read a YAML file; faults that leave a tree to go on with are added to `faults`.

    Raises:
        MaterialError: the file cannot be read, is too large, empty, not UTF-8, not YAML or has tabs; all
            faults so far are in it.
    """
    source = Source(path, read_text(path), faults)
    source.refuse_tabs()
    root = source.root()
    if root is None:
        raise MaterialError(Fault("the file is empty", "see the README for a first script", Place(path)))
    return root


def read_text(path: Path) -> str:
    """The file's text.

    Raises:
        MaterialError: no such file, too large, or not UTF-8.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        what = f"the file cannot be read ({reason})"
        raise MaterialError(Fault(what, "check the name", Place(path))) from error
    if len(data) > MAX_BYTES:
        what = f"the file is larger than {MAX_BYTES:,} bytes"
        raise MaterialError(Fault(what, "a script is text only: split it", Place(path)))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        place = Place(path, before.count(b"\n") + 1, error.start - before.rfind(b"\n"))
        raise MaterialError(Fault("this is not UTF-8 text", "save the file as UTF-8", place)) from error


@dataclass
class Source:
    """A file being read: its text, where its lines start, and the faults so far."""

    path: Path
    text: str
    faults: list[Fault] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.line_starts = [0, *(match.end() for match in re.finditer("\n", self.text))]

    def place(self, index: int) -> Place:
        """The line and column of a character."""
        line = bisect_right(self.line_starts, index)
        return Place(self.path, line, index - self.line_starts[line - 1] + 1)

    def fault(self, index: int, what: str, todo: str) -> None:
        """Note a fault at a character."""
        self.faults.append(Fault(what, todo, self.place(index)))

    def refuse_tabs(self) -> None:
        """Raise for tabs, one fault a line: the parser would misread what follows them."""
        for start in self.line_starts:
            end = self.text.find("\n", start)
            tab = self.text.find("\t", start, len(self.text) if end < 0 else end)
            if tab >= 0:
                self.fault(tab, "a tab", "use spaces")
        if self.faults:
            raise MaterialError(self.faults)

    def root(self) -> Node | None:
        """The file's one document, or None when it is empty.

        Raises:
            MaterialError: the parser cannot go on; all faults so far are in it.
        """
        try:
            return self.document(yaml.parse(self.text, Loader=yaml.SafeLoader))
        except yaml.MarkedYAMLError as error:
            self.parser_fault(error)
        except yaml.reader.ReaderError as error:
            self.fault(error.position, "a character that no text file should hold", "delete it")
        except (ValueError, OverflowError):
            self.faults.append(Fault("an escape names no character", "use single quotes", Place(self.path)))
        raise MaterialError(self.faults)

    def parser_fault(self, error: yaml.MarkedYAMLError) -> None:
        """Say what the parser found in the author's words."""
        problem = error.problem or ""
        unknown = ("", f"this is not YAML: {problem}", QUOTE_TODO)
        _, what, todo = next((row for row in PROBLEMS if row[0] in problem), unknown)
        opened = error.context_mark if "never closed" in what else None
        self.fault(index_of(opened or error.problem_mark), what, todo)

    def document(self, events: Iterator[yaml.Event]) -> Node | None:
        """Build the first document's tree; a second document is a fault."""
        root: Node | None = None
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent) and root is not None:
                at = index_of(event.start_mark)
                self.fault(at, "a second document begins here", "keep one document a file")
                break
            if isinstance(event, yaml.NodeEvent):
                root = self.node(event, events, 0)
        return root

    def node(self, event: yaml.NodeEvent, events: Iterator[yaml.Event], depth: int) -> Node:
        """The node that begins with an event."""
        index = index_of(event.start_mark)
        self.refuse_extras(event, index)
        if depth > MAX_DEPTH:
            self.fault(index, f"lists and maps nested more than {MAX_DEPTH} deep", "no key needs that")
            raise MaterialError(self.faults)
        if isinstance(event, yaml.MappingStartEvent):
            return self.mapping(index, events, depth)
        if isinstance(event, yaml.SequenceStartEvent):
            return Listing(tuple(self.items(events, depth)), self.place(index))
        return self.scalar(event, index)

    def refuse_extras(self, event: yaml.NodeEvent, index: int) -> None:
        """Anchors, aliases and tags: a script has no use for them."""
        if isinstance(event, yaml.AliasEvent):
            self.fault(index, "an alias (*) is not taken here", "write it out, or put it in quotes")
        elif event.anchor is not None:
            self.fault(index, "an anchor (&) is not taken here", "take it out, or put it in quotes")
        elif tag := getattr(event, "tag", None):
            self.fault(index, f"a tag ({tag}) is not taken here", "take it out, or put it in quotes")

    def items(self, events: Iterator[yaml.Event], depth: int) -> Iterator[Node]:
        """The nodes up to the end of a list."""
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent | yaml.MappingEndEvent):
                return
            assert isinstance(event, yaml.NodeEvent)
            yield self.node(event, events, depth + 1)

    def mapping(self, index: int, events: Iterator[yaml.Event], depth: int) -> Mapping:
        """The map that begins at a character."""
        entries: dict[str, tuple[Scalar, Node]] = {}
        nodes = list(self.items(events, depth))
        for key, value in zip(nodes[::2], nodes[1::2], strict=True):
            if not isinstance(key, Scalar):
                self.faults.append(Fault("a list or map stands where a key should", QUOTE_TODO, key.place))
            elif key.text in entries:
                first = entries[key.text][0].place.line
                what = f"{key.text} stands twice (first in line {first})"
                self.faults.append(Fault(what, "keep one", key.place))
            else:
                entries[key.text] = (key, value)
        return Mapping(entries, self.place(index))

    def scalar(self, event: yaml.NodeEvent, index: int) -> Scalar:
        """The text of a scalar event (of an alias, already a fault, an empty text)."""
        end = index_of(event.end_mark)
        text = getattr(event, "value", "")
        style = getattr(event, "style", None)
        for bad in unprintable(text)[:1]:
            self.fault(
                index, f"a character that cannot be shown (U+{ord(bad):04X}) is in this text", "delete it"
            )
        if style is None and text:
            self.refuse_lost_sharp(index, end)
        return Scalar(text, self.place(index), style, self.text[index:end])

    def refuse_lost_sharp(self, start: int, end: int) -> None:
        """A plain text ends where ` #` begins a comment: `over #9` would silently lose its sharp nine."""
        trimmed = start + len(self.text[start:end].rstrip())
        if match := SHARP_COMMENT.match(self.text, trimmed):
            word = self.text[match.end() - 1 :].split(maxsplit=1)[0]
            self.fault(match.end() - 1, f"YAML takes {word} and what follows for a comment", QUOTE_TODO)


def index_of(mark: Any) -> int:
    """The character a mark of the parser points at."""
    return mark.index if mark else 0


def unprintable(text: str) -> list[str]:
    """The control characters and lone surrogates in a text, line breaks left aside."""
    return [char for char in text if char != "\n" and unicodedata.category(char) in ("Cc", "Cs")]


def runs(scalar: Scalar) -> tuple[Run, ...]:
    """Where the characters of a scalar's text stand in its file, as runs within one line.

    Follows the folding, quoting and indentation rules of YAML 1.1 for all five styles. White space that
    folding made from a line break belongs to the end of its line.
    """
    assert scalar.place.line is not None and scalar.place.column is not None
    found: list[Run] = []
    cursor = Cursor(scalar)
    for offset, char in enumerate(scalar.text):
        line, column = cursor.take(char)
        last = found[-1] if found else None
        if last is None or line != last.line or column - last.column != offset - last.offset:
            found.append(Run(offset, line, column))
    return tuple(found)


class Cursor:
    """Walks through a scalar's source, one character of its text at a time."""

    def __init__(self, scalar: Scalar) -> None:
        self.raw, self.style = scalar.raw, scalar.style
        self.line, self.column = scalar.place.line or 1, scalar.place.column or 1
        self.at = 0
        if self.style in ("'", '"'):
            self.skip(1)
        elif self.style in ("|", ">"):
            self.skip(self.raw.find("\n") + 1)

    def skip(self, count: int) -> None:
        """Go on by so many characters, counting lines."""
        passed = self.raw[self.at : self.at + count]
        self.at += count
        if "\n" in passed:
            self.line += passed.count("\n")
            self.column = len(passed) - passed.rfind("\n")
        else:
            self.column += len(passed)

    def take(self, char: str) -> tuple[int, int]:
        """The line and column of the next character of the text, and go past it."""
        if not char.isspace() or self.at_escaped_break():
            self.skip_blank()
        place = (self.line, self.column)
        self.skip(self.width(char))
        return place

    def at_escaped_break(self) -> bool:
        """Whether a backslash takes the line break away here."""
        return self.style == '"' and ESCAPED_BREAK.match(self.raw, self.at) is not None

    def skip_blank(self) -> None:
        """Pass indentation and folded line breaks, in double quotes escaped ones too."""
        while self.at < len(self.raw):
            if not (self.raw[self.at].isspace() or self.at_escaped_break()):
                return
            self.skip(1)

    def width(self, char: str) -> int:
        """How many characters of the source make the next one of the text."""
        rest = self.raw[self.at : self.at + 2]
        blank = char.isspace()
        if self.style == '"' and rest.startswith("\\") and (not blank or BLANK_ESCAPES.get(rest[1:]) == char):
            return 2 + ESCAPE_DIGITS.get(rest[1:], 0)
        if self.style == "'" and char == "'":
            return 2
        if blank and (fold := FOLD.match(self.raw, self.at)):
            return len(fold[0])
        return 1 if not blank or rest.startswith(char) else 0
