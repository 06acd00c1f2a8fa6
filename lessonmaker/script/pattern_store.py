"""Patterns that are compiled once: to compile all that the reader has takes longer than everything else a check does.

What the compiler of `re` makes of a pattern's text are numbers, which `re` turns into a pattern in a thirtieth of that
time. They are kept as Python keeps this file's bytecode, and beside it: the same settings decide where that is and
whether anything is written, and what lies there is trusted as far, as whoever can write there can change the program
too. What was made by another Python or for another version of this program, is damaged or cannot be read counts as
not there. A process that had to compile any pattern writes the file anew when it ends, whole or not at all.
"""

from __future__ import annotations

import atexit
import hashlib
import marshal
import re
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from importlib.util import cache_from_source
from pathlib import Path
from typing import Any

from lessonmaker import __version__
from lessonmaker.files import finished_file

__all__ = ["MOST", "PatternStore", "pattern_of"]

Key = tuple[str, int]  # a text and its flags
# What becomes of them: all flags with those that the text sets, the numbers in a byte each, by their place those that
# need more, how many groups there are, and the numbers of those that have names.
Entry = tuple[int, bytes, dict[int, int], int, dict[str, int]]

MOST = (
    8000  # more than twice as many as the program has: then some belong to texts that have since been changed
)
PROBE = r"(?i:(?P<first>[a-fé]+)|\bx{2,}(?!\w))"


@dataclass(frozen=True)
class Compiler:
    """What `re` compiles with, which is not for everybody."""

    parse: Callable[[str, int], Any]
    code: Callable[[Any, int], list[int]]
    build: Callable[..., re.Pattern[str]]
    stamp: tuple[object, ...]

    def entry(self, text: str, flags: int) -> Entry:
        """What is to be kept of a pattern.

        Raises:
            re.error: the text is none.
        """
        parsed = self.parse(text, flags)
        codes = self.code(parsed, flags)
        small = bytes(code if code < 256 else 0 for code in codes)
        large = {place: int(code) for place, code in enumerate(codes) if code >= 256}
        return flags | parsed.state.flags, small, large, parsed.state.groups - 1, parsed.state.groupdict

    def pattern(self, text: str, entry: Entry) -> re.Pattern[str]:
        """The pattern of which something was kept."""
        flags, small, large, groups, names = entry
        codes = list(small)
        for place, code in large.items():
            codes[place] = code
        name_of = {number: name for name, number in names.items()}
        return self.build(text, flags, codes, groups, names, tuple(map(name_of.get, range(groups + 1))))


@cache
def compiler() -> Compiler | None:
    """What `re` compiles with; None where it is not as CPython has had it from 3.11 on."""
    try:
        sre = import_module("_sre")
        parse, code = import_module("re._parser").parse, import_module("re._compiler")._code
        found = Compiler(parse, code, sre.compile, (sre.MAGIC, sre.CODESIZE))
        is_usual = found.pattern(PROBE, found.entry(PROBE, 0)) == re.compile(PROBE)
    except Exception:  # nobody has promised anything of it
        return None
    return found if is_usual else None


class PatternStore:
    """The patterns of a process, and the file that keeps them for the next.

    Args:
        path: the file, which need not be there, nor its folder; None to keep nothing.
    """

    def __init__(self, path: Path | None) -> None:
        self.path = path
        self.kept = read_entries(path)
        self.made: dict[Key, Entry] = {}
        self.patterns: dict[Key, re.Pattern[str]] = {}

    def pattern(self, text: str, flags: int = 0) -> re.Pattern[str]:
        """The pattern of a text.

        Raises:
            re.error: it is none.
        """
        key = text, flags
        found = self.patterns.get(key)
        if found is None:
            found = self.patterns[key] = self._new(key)
        return found

    def _new(self, key: Key) -> re.Pattern[str]:
        """A pattern that this process has not asked for before."""
        found = compiler()
        if found is None:
            return re.compile(*key)
        if key not in self.kept:
            self.made[key] = found.entry(*key)
        return found.pattern(key[0], self.kept.get(key) or self.made[key])

    def write(self) -> None:
        """Write down what was compiled, beside what others have written; where that cannot be, all stays as it is."""
        if self.path is None or not self.made or sys.dont_write_bytecode:
            return
        entries = read_entries(self.path) | self.made
        if len(entries) > MOST:
            entries = {key: entry for key, entry in (self.kept | self.made).items() if key in self.patterns}
        with suppress(OSError):
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with finished_file(self.path, durable=False) as fragment:
                fragment.write_bytes(as_bytes(entries))


def read_entries(path: Path | None) -> dict[Key, Entry]:
    """What a file keeps; nothing unless it is whole, and of this Python and this program."""
    if path is None:
        return {}
    try:
        kept = path.read_bytes()
    except OSError:
        return {}
    body = kept[DIGEST_BYTES:]
    entries: dict[Key, Entry] = marshal.loads(body) if kept[:DIGEST_BYTES] == digest(body) else {}
    return entries


def as_bytes(entries: dict[Key, Entry]) -> bytes:
    """What is written of some entries, led by a digest."""
    body = marshal.dumps(entries)
    return digest(body) + body


def digest(body: bytes) -> bytes:
    """The digest of what is written, and of all that has to be the same where it is read."""
    found = compiler()
    stamp = __version__, sys.version, found and found.stamp
    return hashlib.sha256(repr(stamp).encode() + body).digest()


DIGEST_BYTES = hashlib.sha256().digest_size


def path_of_store() -> Path | None:
    """Where the patterns are kept: beside this file's bytecode, if Python keeps any."""
    try:
        return Path(cache_from_source(__file__)).with_suffix(".patterns")
    except NotImplementedError:
        return None


STORE = PatternStore(path_of_store())
atexit.register(STORE.write)


def pattern_of(text: str, flags: re.RegexFlag = re.NOFLAG) -> re.Pattern[str]:
    """The pattern of one of the program's own texts; one that is made of an author's words is not to be kept.

    Raises:
        re.error: it is none.
    """
    return STORE.pattern(text, int(flags))
