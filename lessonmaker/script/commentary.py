r"""Commentary: text with Markdown links and braces, taken apart with the place of every piece.

`[flat thirteen](b13@3)` is a link: its words are spoken and its target lights up meanwhile; with the target `-`
(`[nine o'clock](-)`) they are only words, from which nothing is read. `{chord 3}` is a brace: the edition's own
name stands there; it may stand inside a link's words. `\[`, `\]`, `\{`, `\}` and `\\` are the plain characters.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonmaker.faults import Fault
from lessonmaker.script.model import Commentary, Piece, Understood, place_in_runs
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.yamltext import Scalar, runs

__all__ = ["UNREAD", "braces", "links", "parse_commentary", "plain_pieces", "with_links"]

MAX_CHARACTERS = 20_000
UNREAD = "-"  # the target of words from which nothing is to be read
ESCAPE = pattern_of(r"\\(?=[\[\]{}\\])")
STOP = pattern_of(r"\\[\[\]{}\\]|[\[\]{}]")
BRACKET = pattern_of(r"\\[\[\]{}\\]|[\[\]]")
EXAMPLE_LINK = "write [words](target), as in [flat nine](b9@3)"
EXAMPLE_BRACE = "write {chord 3}, {note 12.3}, {key} or {edition}"


def parse_commentary(scalar: Scalar, faults: list[Fault]) -> Commentary:
    """Take a commentary apart; what is malformed is added to `faults` and left out."""
    if len(scalar.text) > MAX_CHARACTERS:
        what = f"a commentary of more than {MAX_CHARACTERS:,} characters"
        faults.append(Fault(what, "divide it into several cues", scalar.place))
        return Commentary((), scalar.place)
    reader = Reader(scalar, faults)
    return Commentary(tuple(reader.pieces(0, len(scalar.text))), scalar.place, reader.runs)


def links(commentary: Commentary) -> tuple[Piece, ...]:
    """The links that point somewhere, in order."""
    return tuple(piece for piece in commentary.pieces if piece.kind == "link" and piece.target != UNREAD)


def braces(commentary: Commentary) -> tuple[Piece, ...]:
    """The braces, in order, those inside links too."""
    return tuple(piece for piece in leaves(commentary) if piece.kind == "brace")


def plain_pieces(commentary: Commentary) -> tuple[Piece, ...]:
    """The plain text, in order, that inside links too."""
    return tuple(piece for piece in leaves(commentary) if piece.kind == "text")


def leaves(commentary: Commentary) -> Iterator[Piece]:
    """The pieces with links taken apart."""
    for piece in commentary.pieces:
        yield from piece.inside if piece.kind == "link" else (piece,)


def with_links(commentary: Commentary, found: Sequence[Understood]) -> Commentary:
    """The commentary with what plain words were understood to mean as links; words not to be read are plain text.

    Args:
        commentary: as it was parsed.
        found: understood words, each inside one piece of plain text; of those that share words only the first is a
            link, so that nothing is said twice.
    """
    pieces = [part for piece in commentary.pieces for part in linked(piece, found)]
    return replace(commentary, pieces=tuple(pieces))


def linked(piece: Piece, found: Sequence[Understood]) -> Iterator[Piece]:
    """A piece, cut where words inside it become links."""
    if piece.kind == "link" and piece.target == UNREAD:
        yield from piece.inside
        return
    end = piece.start + len(piece.text)
    inside = sorted(
        (each for each in found if piece.start <= each.first and each.last <= end),
        key=lambda each: (each.first, -each.last),
    )
    if piece.kind != "text" or not inside:
        yield piece
        return
    at = piece.start
    for each in inside:
        if each.first < at:
            continue
        if each.first > at:
            yield part_of(piece, at, each.first)
        words = part_of(piece, each.first, each.last)
        yield replace(words, kind="link", target=each.target, inside=(words,))
        at = each.last
    if at < end:
        yield part_of(piece, at, end)


def part_of(piece: Piece, first: int, last: int) -> Piece:
    """The text of a piece between two offsets of the commentary."""
    place = replace(piece.place, column=(piece.place.column or 1) + first - piece.start)
    return replace(piece, text=piece.text[first - piece.start : last - piece.start], place=place, start=first)


def closing_brackets(text: str) -> dict[int, int]:
    """Where the bracket opened at each offset closes, others inside it counted."""
    opened: list[int] = []
    closing: dict[int, int] = {}
    for match in BRACKET.finditer(text):
        if match[0] == "[":
            opened.append(match.start())
        elif match[0] == "]" and opened:
            closing[opened.pop()] = match.start()
    return closing


class Reader:
    """Reads one commentary from left to right."""

    def __init__(self, scalar: Scalar, faults: list[Fault]) -> None:
        self.text, self.whole, self.faults = scalar.text, scalar.place, faults
        self.runs = runs(scalar)
        self.closing = closing_brackets(scalar.text)

    def fault(self, at: int, what: str, todo: str) -> None:
        """Note a fault at an offset."""
        self.faults.append(Fault(what, todo, place_in_runs(self.runs, at, self.whole)))

    def piece(
        self, kind: str, start: int, text: str, target: str = "", inside: tuple[Piece, ...] = ()
    ) -> Piece:
        """A piece whose first character stands at an offset."""
        place = place_in_runs(self.runs, start, self.whole)
        if kind == "text":
            return Piece("text", text, "", place, start)
        return Piece("link" if kind == "link" else "brace", text, target, place, start, inside)

    def pieces(self, at: int, end: int, in_link: bool = False) -> Iterator[Piece]:
        """The pieces between two offsets."""
        while at < end:
            stop = STOP.search(self.text, at, end)
            if stop is None:
                yield self.piece("text", at, self.text[at:end])
                return
            if stop.start() > at:
                yield self.piece("text", at, self.text[at : stop.start()])
            at, found = self.special(stop, end, in_link)
            yield from found

    def special(self, stop: re.Match[str], end: int, in_link: bool) -> tuple[int, tuple[Piece, ...]]:
        """What begins at a bracket, a brace or a backslash, and where it ends."""
        sign, at = stop[0], stop.start()
        if sign.startswith("\\"):
            return stop.end(), (self.piece("text", at + 1, sign[1]),)
        if sign == "[":
            return self.link(at, end, in_link)
        if sign == "{":
            return self.brace(at, end)
        self.fault(at, f"a {sign} that closes nothing", f"for the plain character write \\{sign}")
        return stop.end(), ()

    def brace(self, at: int, end: int) -> tuple[int, tuple[Piece, ...]]:
        """The brace that opens at an offset."""
        close = self.text.find("}", at, end)
        inner = self.text[at + 1 : close if close >= 0 else end]
        if close < 0 or "{" in inner or "[" in inner:
            self.fault(at, "a { that is not closed", f"{EXAMPLE_BRACE}; for the plain character write \\{{")
            return at + 1, ()
        if not inner.strip():
            self.fault(at, "nothing stands between the braces", EXAMPLE_BRACE)
            return close + 1, ()
        start = at + 1 + len(inner) - len(inner.lstrip())
        return close + 1, (self.piece("brace", start, "", " ".join(inner.split())),)

    def link(self, at: int, end: int, in_link: bool) -> tuple[int, tuple[Piece, ...]]:
        """The link that opens at an offset."""
        close = self.closing.get(at)
        if in_link or close is None:
            what = "a link inside a link" if in_link else "a [ that is not closed"
            self.fault(at, what, f"{EXAMPLE_LINK}; for the plain character write \\[")
            return at + 1, ()
        after = close + 1
        if self.text[after : after + 1] != "(":
            self.fault(
                at,
                f"no target follows [{self.text[at + 1 : close]}]",
                f"{EXAMPLE_LINK}, with nothing between",
            )
            return after, tuple(self.pieces(at + 1, close, True))
        right = self.text.find(")", after, end)
        if right < 0 or "[" in self.text[after:right]:
            self.fault(after, "a ( that is not closed", EXAMPLE_LINK)
            return after + 1, ()
        return right + 1, self.whole_link(at, close, right)

    def whole_link(self, at: int, close: int, right: int) -> tuple[Piece, ...]:
        """The link with its brackets at these offsets, if it says something and points somewhere."""
        words, target = self.text[at + 1 : close], self.text[close + 2 : right]
        inside = tuple(self.pieces(at + 1, close, True))
        if not any(piece.kind == "brace" or piece.text.strip() for piece in inside):
            self.fault(at, "a link without words", EXAMPLE_LINK)
            return ()
        if not target.strip():
            self.fault(close + 1, f"a link without a target: [{words}]()", EXAMPLE_LINK)
            return inside
        return (self.piece("link", at + 1, ESCAPE.sub("", words), " ".join(target.split()), inside),)
