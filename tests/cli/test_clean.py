"""`clean`: the store within the size of the book file, the oldest use first; what was left half-written goes too."""

import json
import os
import subprocess
import sys

import pytest

from lessonmaker.build.store import Store
from lessonmaker.cli import main
from lessonmaker.digest import digest_of
from lessonmaker.files import host

PART = bytes(300_000 - 32)  # an entry is led by a digest of 32 bytes


@pytest.fixture
def store(book):
    """Five parts of 0.3 MB each in the book's store, used one after the other."""
    store = Store(book / "out" / "store")
    for number in range(5):
        store.put(digest_of(number), PART)
        os.utime(store.path(digest_of(number)), (1000 + number, 1000 + number))
    return store


@pytest.fixture
def keep(book):
    """Set the size of the book's store."""

    def set_to(size):
        with (book / "scripts" / "book.yaml").open("a") as file:
            file.write(f"keep: {size}\n")

    return set_to


def kept(store):
    return [number for number in range(5) if store.holds(digest_of(number))]


def test_the_store_is_kept_within_the_size_of_the_book_file(book, store, keep, capsys):
    keep("1 MB")
    store.get(digest_of(0))  # used now
    assert main(["clean", str(book)]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "Freed 600.0 kB of parts, those used longest ago.",
        "900.0 kB of parts are kept; the book allows 1.0 MB.",
    ]
    assert kept(store) == [0, 3, 4]
    assert main(["clean", str(book)]) == 0
    assert "Nothing had to be freed." in capsys.readouterr().out
    assert kept(store) == [0, 3, 4]


def test_without_a_size_all_parts_stay_and_it_is_said_how_to_set_one(book, store, capsys):
    assert main(["clean", str(book)]) == 0
    said = capsys.readouterr().out
    assert said.startswith(
        "Nothing was freed.\n1.5 MB of parts are kept; for a limit, write one such as `keep: 20 GB` in "
    )
    assert kept(store) == [0, 1, 2, 3, 4]


def test_only_what_an_ended_process_left_half_written_goes(book, store, keep, capsys):
    keep("2 MB")
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    place = store.path(digest_of(0)).parent
    abandoned = place / f".x.kept.{host()}-{ended.pid}.part"
    at_work = place / f".y.kept.{host()}-{os.getpid()}.part"
    for path in (abandoned, at_work):
        path.write_bytes(bytes(1000))
    assert main(["clean", str(book), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {
        "freed": {"parts": 0, "abandoned": 1000},
        "kept": 1_500_000,
        "most": 2_000_000,
    }
    assert at_work.exists() and not abandoned.exists()


def test_a_book_that_was_never_built(book, keep, capsys):
    keep("0.5 GB")
    assert main(["clean", str(book)]) == 0
    assert "0 bytes of parts are kept; the book allows 500.0 MB." in capsys.readouterr().out


@pytest.mark.parametrize("size", ["20", "20 GiB", "-1 GB", "much", "[1 GB]", "1e9 MB", "٣ GB"])
def test_a_size_that_is_none(book, keep, fault, size):
    keep(size)
    assert "book.yaml:6:7" in (said := fault("clean", book))
    assert "is no size of a store; write it in MB, GB or TB" in said or "a size such as 20 GB" in said


def test_there_is_no_book(tmp_path, fault):
    assert "this folder holds no book" in fault("clean", tmp_path)
    assert "nowhere: the file cannot be read" in fault("clean", tmp_path / "nowhere")
