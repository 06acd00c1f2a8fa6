"""Files that are whole or not there."""

import os
import subprocess
import sys

import pytest

from lessonmaker.files import file_digest, finished_file, finished_folder, host, remove_abandoned


def test_a_failure_while_writing_keeps_the_file_that_was_there(tmp_path):
    path = tmp_path / "film.mp4"
    path.write_bytes(b"the film of yesterday")
    with pytest.raises(RuntimeError, match="no more room"), finished_file(path) as fragment:
        fragment.write_bytes(b"half a fi")
        raise RuntimeError("no more room")
    assert path.read_bytes() == b"the film of yesterday"
    assert [file.name for file in tmp_path.iterdir()] == ["film.mp4"]


def test_two_processes_write_one_file_without_harm(tmp_path):
    path = tmp_path / "film.mp4"
    with finished_file(path) as fragment:
        fragment.write_bytes(b"ours")
        code = "import sys; from pathlib import Path; from lessonmaker.files import finished_file\n"
        code += "with finished_file(Path(sys.argv[1])) as fragment: fragment.write_bytes(b'theirs')"
        subprocess.run([sys.executable, "-c", code, path], check=True)
        assert path.read_bytes() == b"theirs"
    assert path.read_bytes() == b"ours"
    assert [file.name for file in tmp_path.iterdir()] == ["film.mp4"]


def test_only_fragments_whose_process_has_ended_are_removed(tmp_path):
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    kept = [f".a.mp4.{host()}-{os.getpid()}.part", ".b.mp4.00000000-1.part", "c.mp4", "d.part"]
    gone = [f".e.mp4.{host()}-{ended.pid}.part", ".f.mp4.part"]
    (tmp_path / "concert").mkdir()
    for name in (*kept, *gone):
        (tmp_path / "concert" / name).write_text("x")
    half = tmp_path / f".2.{host()}-{ended.pid}.part"
    (half / "films").mkdir(parents=True)
    (half / "films" / "a.mp4").write_text("xyz")
    assert remove_abandoned(tmp_path) == len(gone) + 3
    assert [path.name for path in tmp_path.iterdir()] == ["concert"]
    assert sorted(path.name for path in (tmp_path / "concert").iterdir()) == sorted(kept)


def test_a_folder_is_whole_or_not_there(tmp_path):
    path = tmp_path / "1"
    with pytest.raises(RuntimeError, match="no more room"), finished_folder(path) as fragment:
        (fragment / "films").mkdir()
        (fragment / "films" / "a.mp4").write_text("half a fi")
        raise RuntimeError("no more room")
    assert not list(tmp_path.iterdir())
    with finished_folder(path) as fragment:
        (fragment / "a.mp4").write_text("a film")
    assert [file.read_text() for file in path.iterdir()] == ["a film"]
    with pytest.raises(OSError, match="not empty"), finished_folder(path) as fragment:
        (fragment / "a.mp4").write_text("another film")
    assert [file.name for file in tmp_path.iterdir()] == ["1"]
    assert [file.read_text() for file in path.iterdir()] == ["a film"]


def test_the_digest_is_sha_256(tmp_path):
    # FIPS 180-4; the value for "abc" is the one of its example B.1.
    (tmp_path / "abc").write_bytes(b"abc")
    assert file_digest(tmp_path / "abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
