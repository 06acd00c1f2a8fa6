"""ZIP files of the same bytes, whenever they are made."""

import os
import shutil
import subprocess
import zipfile

import pytest

from lessonmaker.build.archive import pack_folder


@pytest.fixture
def folder(tmp_path):
    folder = tmp_path / "night-walk-films"
    folder.mkdir()
    for name, data in {"02-b.mp4": bytes(5000), "01-a.mp4": b"film" * 400, "SHA256SUMS": b""}.items():
        (folder / name).write_bytes(data)
    return folder


def packed(folder):
    path = folder.parent / "packed.zip"
    pack_folder(folder, path)
    return path.read_bytes()


def test_age_mode_and_order_of_making_do_not_count(folder):
    first = packed(folder)
    copy = folder.parent / "elsewhere" / folder.name
    copy.mkdir(parents=True)
    for path in sorted(folder.iterdir(), reverse=True):
        (copy / path.name).write_bytes(path.read_bytes())
        os.utime(copy / path.name, (10**9, 10**9))
        (copy / path.name).chmod(0o600)
    assert packed(copy) == first


def test_entries_are_stored_in_order_as_plain_files(folder):
    pack_folder(folder, folder.parent / "packed.zip")
    with zipfile.ZipFile(folder.parent / "packed.zip") as archive:
        assert archive.testzip() is None
        entries = archive.infolist()
    assert [entry.filename for entry in entries] == [
        f"night-walk-films/{name}" for name in ("01-a.mp4", "02-b.mp4", "SHA256SUMS")
    ]
    assert {(entry.compress_type, entry.date_time, entry.external_attr >> 16) for entry in entries} == {
        (zipfile.ZIP_STORED, (1980, 1, 1, 0, 0, 0), 0o100644)
    }


def test_what_is_too_large_for_a_plain_archive_is_packed_too(folder, monkeypatch):
    """Beyond 4 GiB an entry needs ZIP64 (APPNOTE 6.3, 4.3.9.2); the limit is lowered, Info-ZIP's unzip reads it."""
    monkeypatch.setattr(zipfile, "ZIP64_LIMIT", 2000)
    packed(folder)
    path = folder.parent / "packed.zip"
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        assert archive.read("night-walk-films/02-b.mp4") == bytes(5000)
    if shutil.which("unzip"):
        subprocess.run(["unzip", "-tqq", path], check=True)
