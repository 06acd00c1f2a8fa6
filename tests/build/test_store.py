"""The store: what is put is got, damage is noticed, the oldest use goes first."""

import errno
import os
from pathlib import Path

import pytest

from lessonmaker.build.store import Store
from lessonmaker.digest import digest_of


@pytest.fixture
def store(tmp_path):
    return Store(tmp_path / "store")


def key(name):
    return digest_of(name)


def test_what_is_put_is_got(store):
    assert store.get(key("one")) is None
    assert store.put(key("one"), b"a part")
    assert store.put(key("empty"), b"")
    assert (store.get(key("one")), store.get(key("empty"))) == (b"a part", b"")
    assert store.holds(key("one")) and not store.holds(key("two"))
    assert not store.remarks


DAMAGE = {
    "cut": lambda data: data[:-1],
    "emptied": lambda data: data[:0],
    "changed": lambda data: data[:40] + b"x" + data[41:],
    "lengthened": lambda data: data + b"x",
}


@pytest.mark.parametrize("damage", DAMAGE.values(), ids=DAMAGE)
def test_a_damaged_entry_is_told_once_and_dropped(store, damage):
    store.put(key("one"), b"a part that is long enough")
    path = store.path(key("one"))
    path.write_bytes(damage(path.read_bytes()))
    assert store.get(key("one")) is None
    assert store.get(key("one")) is None
    assert [remark.what for remark in store.remarks] == ["a kept part is damaged"]
    assert store.put(key("one"), b"a part") and store.get(key("one")) == b"a part"


def test_a_store_that_cannot_be_written_is_told_once(store, monkeypatch):
    def full(*_args):
        raise OSError(errno.ENOSPC, "No space left on device")

    store.put(key("before"), b"kept")
    monkeypatch.setattr(Path, "write_bytes", full)
    assert not store.put(key("one"), b"a part")
    assert not store.put(key("two"), b"a part")
    assert [remark.what for remark in store.remarks] == [
        "finished parts cannot be kept (No space left on device)"
    ]
    assert store.get(key("before")) == b"kept"
    assert not list(store.folder.rglob(".*.part"))


def test_clean_drops_what_was_used_longest_ago(store):
    for number in range(5):
        store.put(key(number), bytes(100))
        os.utime(store.path(key(number)), (1000 + number, 1000 + number))
    store.get(key(0))  # used now
    size = store.path(key(0)).stat().st_size
    assert store.clean(3 * size) == 2 * size
    assert [store.holds(key(number)) for number in range(5)] == [True, False, False, True, True]
    assert store.clean(10**9) == 0


def test_two_stores_in_one_folder_do_not_harm_each_other(store):
    other = Store(store.folder)
    store.put(key("one"), b"a part")
    other.put(key("one"), b"a part")
    other.clean(0)
    assert store.get(key("one")) is None
    assert not store.remarks


def test_a_part_that_is_cleaned_away_while_it_is_read_is_got(store, monkeypatch):
    store.put(key("one"), b"a part")
    read = Path.read_bytes

    def read_and_clean(path):
        data = read(path)
        Store(store.folder).clean(0)
        return data

    monkeypatch.setattr(Path, "read_bytes", read_and_clean)
    assert store.get(key("one")) == b"a part"
    assert not store.holds(key("one"))
    assert not store.remarks
