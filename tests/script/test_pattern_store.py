"""Patterns that are kept between processes are those that their texts say, and are done without where need be."""

import os
import re
import subprocess
import sys
from importlib import import_module
from pkgutil import walk_packages

import pytest

import lessonmaker.script
from lessonmaker.script import pattern_store
from lessonmaker.script.pattern_store import MOST, STORE, PatternStore, pattern_of

WORDS = r"(?<![\w-])(?P<way>up|down)(?: an?)? (octave|(?P<size>fifth))\b"
HAS_READ = "import lessonmaker.script.plain.read\nfrom lessonmaker.script.pattern_store import STORE\n"


@pytest.fixture
def path(tmp_path, monkeypatch):
    """A store's file, in a folder that is not there yet, where bytecode may be written."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    return tmp_path / "kept" / "of.patterns"


@pytest.fixture
def written(path):
    """The file of a store that one pattern was asked of."""
    store = PatternStore(path)
    store.pattern(WORDS)
    store.write()
    return path


def all_keys():
    """The texts and flags of all patterns that the room has on import, and of those that were asked for so far."""
    for module in walk_packages(lessonmaker.script.__path__, "lessonmaker.script."):
        import_module(module.name)
    return list(STORE.patterns)


def test_every_pattern_that_was_kept_is_as_if_it_were_compiled(path):
    first, keys = PatternStore(path), all_keys()
    for key in keys:
        first.pattern(*key)
    first.write()
    second = PatternStore(path)
    for text, flags in keys:
        kept, compiled = second.pattern(text, flags), re.compile(text, flags)
        assert kept == compiled
        assert (kept.groups, kept.groupindex) == (compiled.groups, compiled.groupindex)
    assert not second.made


def test_the_file_has_room_for_twice_as_many_as_there_are():
    assert 1000 < len(all_keys()) < MOST / 2


def test_groups_keep_their_names_and_numbers(written):
    match = PatternStore(written).pattern(WORDS).search("it goes down a fifth")
    assert (match["way"], match["size"], match[2], match.lastgroup) == ("down", "fifth", "fifth", None)
    assert match.groupdict() == {"way": "down", "size": "fifth"}
    named_last = PatternStore(written).pattern(r"(a)(?P<last>b)").search("ab")
    assert (named_last.lastgroup, named_last.lastindex) == ("last", 2)


def test_flags_are_part_of_what_is_asked(written):
    store = PatternStore(written)
    plain, any_case = store.pattern("Root"), store.pattern("Root", re.IGNORECASE)
    assert plain.search("ROOT") is None
    assert any_case.search("ROOT")
    assert pattern_of("Root", re.IGNORECASE) == any_case == re.compile("Root", re.IGNORECASE)
    assert pattern_of("(?i:r)oot") == re.compile("(?i:r)oot")


def test_what_is_asked_twice_is_one_pattern():
    assert pattern_of(WORDS) is pattern_of(WORDS)


@pytest.mark.parametrize("damage", ["truncated", "empty", "a byte", "rubbish", "another file's digest"])
def test_a_file_that_is_not_whole_is_not_there_and_is_written_anew(written, damage):
    whole = written.read_bytes()
    halves = {
        "truncated": whole[: len(whole) // 2],
        "empty": b"",
        "a byte": whole[:-3] + bytes([whole[-3] ^ 1]) + whole[-2:],
        "rubbish": b"rubbish" * 100,
        "another file's digest": pattern_store.as_bytes({})[: pattern_store.DIGEST_BYTES]
        + whole[pattern_store.DIGEST_BYTES :],
    }
    written.write_bytes(halves[damage])
    store = PatternStore(written)
    assert not store.kept
    assert store.pattern(WORDS) == re.compile(WORDS)
    store.write()
    assert written.read_bytes() == whole


@pytest.mark.parametrize(
    ("module", "name", "value"),
    [(sys, "version", "3.99.0 (of another day)"), (pattern_store, "__version__", "0.0.1")],
    ids=["another Python", "another version of the program"],
)
def test_a_file_of_another_version_is_not_there_and_is_written_anew(
    written, monkeypatch, module, name, value
):
    monkeypatch.setattr(module, name, value)
    store = PatternStore(written)
    assert not store.kept
    store.pattern("other")
    store.write()
    assert set(PatternStore(written).kept) == {("other", 0)}


def test_a_folder_that_cannot_be_written_is_no_matter(path):
    path.parent.write_text("a file where a folder should be")
    store = PatternStore(path)
    assert store.pattern(WORDS) == re.compile(WORDS)
    store.write()
    assert path.parent.read_text() == "a file where a folder should be"


def test_nothing_is_written_where_python_may_write_no_bytecode(path, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    store = PatternStore(path)
    store.pattern(WORDS)
    store.write()
    assert not path.parent.exists()


def test_nothing_is_written_where_nothing_was_compiled(written):
    before = written.stat()
    store = PatternStore(written)
    store.pattern(WORDS)
    store.write()
    after = written.stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_where_there_is_no_place_for_bytecode_nothing_is_kept(monkeypatch):
    monkeypatch.setattr(sys.implementation, "cache_tag", None)
    assert pattern_store.path_of_store() is None
    store = PatternStore(None)
    assert store.pattern(WORDS) == re.compile(WORDS)
    store.write()


def test_the_file_lies_where_bytecode_lies(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path))
    path = pattern_store.path_of_store()
    assert path.is_relative_to(tmp_path)
    assert path.name == f"pattern_store.{sys.implementation.cache_tag}.patterns"


def test_the_disk_fills_up_and_the_file_is_as_it_was(written, monkeypatch):
    whole = written.read_bytes()
    store = PatternStore(written)
    store.pattern("more")

    def half(self, data):
        with self.open("wb") as file:
            file.write(data[: len(data) // 2])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.write_bytes", half)
    store.write()
    assert [file.name for file in written.parent.iterdir()] == [written.name]
    assert written.read_bytes() == whole


def test_two_processes_that_end_together_keep_what_both_compiled(written):
    one, other = PatternStore(written), PatternStore(written)
    one.pattern("one")
    other.pattern("other")
    one.write()
    other.write()
    assert set(PatternStore(written).kept) == {(WORDS, 0), ("one", 0), ("other", 0)}


def test_of_too_many_only_those_that_were_asked_for_are_kept(written, monkeypatch):
    monkeypatch.setattr(pattern_store, "MOST", 3)
    old = PatternStore(written)
    old.pattern("changed since")
    old.write()
    store = PatternStore(written)
    for text in (WORDS, "new", "newer"):
        store.pattern(text)
    store.write()
    assert set(PatternStore(written).kept) == {(WORDS, 0), ("new", 0), ("newer", 0)}


@pytest.mark.parametrize(("text", "what"), [("(", "unterminated subpattern"), ("a**", "multiple repeat")])
def test_a_text_that_is_no_pattern_is_refused_as_ever(path, text, what):
    store = PatternStore(path)
    with pytest.raises(re.error, match=what):
        store.pattern(text)
    assert not store.made
    with pytest.raises(re.error, match=what):
        pattern_of(text)


def test_where_the_compiler_is_another_patterns_are_compiled_as_usual(written, monkeypatch):
    real = import_module

    def without(name):
        if name == "re._compiler":
            raise ImportError(name)
        return real(name)

    monkeypatch.setattr(pattern_store, "import_module", without)
    pattern_store.compiler.cache_clear()
    try:
        store = PatternStore(written)
        assert not store.kept
        assert store.pattern(WORDS) == re.compile(WORDS)
        assert not store.made
        with pytest.raises(re.error, match="unterminated subpattern"):
            store.pattern("(")
    finally:
        pattern_store.compiler.cache_clear()


def test_a_second_process_compiles_nothing(tmp_path):
    def compiled(seed):
        environment = {
            **os.environ,
            "PYTHONPYCACHEPREFIX": str(tmp_path),
            "PYTHONDONTWRITEBYTECODE": "",
            "PYTHONHASHSEED": seed,
        }
        code = f"{HAS_READ}print(len(STORE.made), len(STORE.patterns))"
        ran = subprocess.run(
            [sys.executable, "-c", code], env=environment, check=True, capture_output=True, text=True
        )
        assert not ran.stderr
        return tuple(map(int, ran.stdout.split()))

    made, asked = compiled("1")
    assert made == asked > 1000
    assert compiled("2") == (0, asked)
    assert len(list(tmp_path.rglob("*.patterns"))) == 1
    assert not list(tmp_path.rglob("*.part"))
