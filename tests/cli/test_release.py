"""`release`: what customers get, that it is refused while something is not in order, and what they need again."""

import errno
import hashlib
import json
import os
import shutil
import subprocess
import sys
import zipfile
from dataclasses import replace

import av
import pytest

from lessonmaker.build.order import find_order
from lessonmaker.build.plan import plan_of
from lessonmaker.build.release import refuse_mixed
from lessonmaker.cli import main
from lessonmaker.faults import MaterialError
from lessonmaker.files import host
from tests.tools.tiny_book import make_book

ENDINGS = [".chapters.txt", ".description.txt", ".mp4", ".png", ".srt", ".vtt"]
FILMS = "tiny-concert-films"
CUES = """\
  - bars: 2
    title: The lean
    say: The [flat nine](b9@2) leans on {chord 2}.
  - bars: 4
    title: The rest
    say: Home at last, and all is quiet here. Nothing is left to be said.
"""


pytestmark = pytest.mark.usefixtures("in_this_process")


@pytest.fixture(scope="module")
def finished(tmp_path_factory):
    """A book of two short lessons without a take, built in one edition."""
    book = make_book(tmp_path_factory.mktemp("release") / "book")
    scripts = book / "scripts"
    head = "composer: Odo Plinth\nscore: ../media/four-bars.musicxml\ncues:\n"
    (scripts / "four-bars.yaml").write_text(f"lesson: Four Bars\n{head}{CUES}")
    (scripts / "second-look.yaml").write_text(f"lesson: Étude, seen twice\n{head}{CUES}")
    (scripts / "book.yaml").write_text(
        "book: Tiny\nauthor: Odo Plinth\nlessons: [four-bars.yaml, second-look.yaml]\n"
        "editions: [concert]\nsize: 320x180\n"
    )
    assert main(["build", str(book)]) == 0
    return book


@pytest.fixture
def book(finished, tmp_path):
    """A copy of the finished book; the copies of its files are as old as the files."""
    return shutil.copytree(finished, tmp_path / "book", copy_function=shutil.copy2)


@pytest.fixture
def release(book, capsys):
    """Release the book; what is said as JSON."""

    def released(*arguments):
        capsys.readouterr()
        assert main(["release", str(book), "--json", *map(str, arguments)]) == 0
        return json.loads(capsys.readouterr().out)

    return released


@pytest.fixture
def refused(book, capsys):
    """Release the book in vain: the faults, line by line; nothing is written."""

    def said(*arguments, status=1):
        before = files_of(book)
        capsys.readouterr()
        assert main(["release", str(book), *map(str, arguments)]) == status
        captured = capsys.readouterr()
        assert "Traceback" not in captured.err and not captured.out
        assert files_of(book) == before
        return [line for line in captured.err.splitlines() if not line.startswith("gathering")]

    return said


def files_of(folder):
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def change(book, name, old, new):
    file = book / "scripts" / name
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new))


def zipped(path):
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def test_an_editions_files_are_gathered_under_names_that_sort(book, release):
    said = release()
    (package,) = said["packages"]
    names = [f"{stem}{ending}" for stem in ("01-four-bars", "02-second-look") for ending in ENDINGS]
    folder = book / "release" / "001" / FILMS
    assert sorted(path.name for path in folder.iterdir()) == [*names, "SHA256SUMS", "manifest.json"]
    assert (said["release"], said["made"], said["folder"]) == (1, True, str(book / "release" / "001"))
    assert (package["edition"], package["product"]) == ("concert", "films")
    assert (package["folder"], package["zip"]) == (str(folder), f"{folder}.zip")
    held = zipped(package["zip"])
    assert held == {f"{FILMS}/{path.name}": path.read_bytes() for path in folder.iterdir()}
    assert all(name.isascii() for name in held) and list(held) == sorted(held)
    out = book / "out" / "concert"
    assert (folder / "02-second-look.mp4").read_bytes() == (out / "second-look.mp4").read_bytes()
    assert (folder / "01-four-bars.vtt").read_bytes() == (out / "four-bars.vtt").read_bytes()


def test_other_programs_read_the_archive_and_the_checksums(book, release):
    """Info-ZIP's unzip, and sha256sum of the GNU coreutils, where they are installed."""
    (package,) = release()["packages"]
    if shutil.which("unzip"):
        subprocess.run(["unzip", "-tqq", package["zip"]], check=True)
    if shutil.which("sha256sum"):
        run = subprocess.run(
            ["sha256sum", "--check", "--strict", "SHA256SUMS"],
            cwd=package["folder"],
            capture_output=True,
            text=True,
        )
        assert (run.returncode, run.stdout.count(": OK\n")) == (0, 13)
    data = (book / "release" / "001" / f"{FILMS}.zip").read_bytes()
    assert package["sha256"] == hashlib.sha256(data).hexdigest()
    assert package["bytes"] == len(data)


def test_the_manifest_has_sizes_digests_durations_versions_and_source_keys(book, release):
    release()
    folder = book / "release" / "001" / FILMS
    manifest = json.loads((folder / "manifest.json").read_text())
    assert (manifest["book"], manifest["edition"], manifest["picture"]) == ("Tiny", "concert", "320x180")
    assert manifest["versions"]["av"] == av.__version__
    first, second = manifest["films"]
    for film in (first, second):
        for file in film["files"]:
            data = (folder / file["name"]).read_bytes()
            assert (file["bytes"], file["sha256"]) == (len(data), hashlib.sha256(data).hexdigest())
        with av.open(str(folder / film["files"][0]["name"])) as container:
            assert film["seconds"] == pytest.approx(container.duration / av.time_base, abs=0.1)
    script = (book / "scripts" / "four-bars.yaml").read_bytes()
    assert first["sources"]["script"] == [hashlib.sha256(script).hexdigest()]
    assert first["sources"]["score"] == second["sources"]["score"]
    assert first["source_key"] != second["source_key"]
    assert str(book) not in (folder / "manifest.json").read_text()


def test_the_description_has_the_films_chapters(book, release):
    release()
    folder = book / "release" / "001" / FILMS
    text = (folder / "02-second-look.description.txt").read_text(encoding="utf-8")
    assert text.startswith("Étude, seen twice (Concert edition)\nLesson 2 of Tiny, by Odo Plinth\n\n")
    chapters = (folder / "02-second-look.chapters.txt").read_text()
    assert chapters.startswith("0:00 The lean") and text.endswith(f"\n\nChapters\n{chapters}")


def test_a_release_of_the_same_films_is_the_same_bytes(book, release, tmp_path):
    (package,) = release("--output", tmp_path / "one")["packages"]
    moved = shutil.copytree(book, tmp_path / "moved", copy_function=shutil.copy2)
    umask = os.umask(0o077)
    try:
        assert main(["release", str(moved)]) == 0
    finally:
        os.umask(umask)
    made = (moved / "release" / "001" / f"{FILMS}.zip").read_bytes()
    assert made == (tmp_path / "one" / "001" / f"{FILMS}.zip").read_bytes()
    assert hashlib.sha256(made).hexdigest() == package["sha256"]


def test_where_nothing_has_changed_nothing_is_written(book, release, capsys):
    release()
    before = files_of(book)
    said = release()
    assert (said["release"], said["made"], said["packages"]) == (1, False, [])
    assert files_of(book) == before
    assert main(["release", str(book)]) == 0
    assert "Nothing has changed for customers since release 1" in capsys.readouterr().out


def test_after_a_correction_exactly_what_differs_is_needed_again(book, release):
    release()
    change(book, "second-look.yaml", "all is quiet here", "all is calm here")
    assert main(["build", str(book)]) == 0
    (package,) = release()["packages"]
    was, now = (zipped(book / "release" / number / f"{FILMS}.zip") for number in ("001", "002"))
    differ = [name.removeprefix(f"{FILMS}/") for name in now if now[name] != was.get(name)]
    assert sorted([*package["again"], "SHA256SUMS", "manifest.json"]) == differ
    assert {"02-second-look.mp4", "02-second-look.vtt", "02-second-look.srt"} <= set(package["again"])
    assert not any(name.startswith("01") for name in package["again"])
    assert (package["since"], package["renamed"], package["gone"]) == (1, [], [])
    assert (book / "release" / "002" / "again.txt").read_text().splitlines() == [
        "Release 2",
        f"{FILMS}: since release 1",
        *(f"  again    {name}" for name in package["again"]),
    ]


def test_films_in_another_order_are_renamed_and_not_fetched_again(book, release):
    release()
    change(book, "book.yaml", "[four-bars.yaml, second-look.yaml]", "[second-look.yaml, four-bars.yaml]")
    (package,) = release()["packages"]
    assert package["again"] == ["01-second-look.description.txt", "02-four-bars.description.txt"]
    assert {"before": "01-four-bars.mp4", "now": "02-four-bars.mp4"} in package["renamed"]
    assert {"before": "02-second-look.mp4", "now": "01-second-look.mp4"} in package["renamed"]


def test_the_sample_is_a_product_of_its_own(book, release, refused):
    release()
    with (book / "scripts" / "book.yaml").open("a") as file:
        file.write("sample: second-look\n")
    films, sample = release()["packages"]
    assert (films["since"], films["again"]) == (1, [])
    assert (sample["product"], sample["since"]) == ("sample", None)
    held = sorted(zipped(sample["zip"]))
    own = [f"tiny-concert-sample/02-second-look{ending}" for ending in ENDINGS]
    assert held == [*own, "tiny-concert-sample/SHA256SUMS", "tiny-concert-sample/manifest.json"]
    change(book, "book.yaml", "sample: second-look", "sample: second-lock")
    assert refused() == [
        f"{book}/scripts/book.yaml:6:9: the book has no lesson 'second-lock'; did you mean second-look?"
    ]


def test_packages_that_only_an_earlier_release_has_are_told(book, release):
    with (book / "scripts" / "book.yaml").open("a") as file:
        file.write("sample: second-look\n")
    assert release()["left_out"] == []
    change(book, "book.yaml", "sample: second-look\n", "")
    change(book, "four-bars.yaml", "leans on", "rests upon")
    assert main(["build", str(book)]) == 0
    said = release()
    assert said["left_out"] == [{"edition": "concert", "product": "sample", "picture": "320x180", "last": 1}]
    assert (book / "release" / "002" / "again.txt").read_text().splitlines()[-1] == (
        "concert sample, 320x180: not in this release; release 1 is the last that has it"
    )


def test_films_of_another_state_of_their_sources_are_refused(book, refused):
    change(book, "second-look.yaml", "quiet", "calm")
    assert refused() == [
        f"{book}/out/concert/second-look.mp4: this film is not as it should be: cue 2 says something else; build first"
    ]


def test_films_that_are_missing_or_were_changed_are_refused(book, refused):
    (book / "out" / "concert" / "four-bars.srt").unlink()
    with (book / "out" / "concert" / "second-look.mp4").open("ab") as file:
        file.write(b"x")
    lines = refused()
    assert len(lines) == 2
    assert all("its files are missing or were changed; build first" in line for line in lines)


def test_films_of_another_version_of_the_program_are_refused(refused, monkeypatch):
    monkeypatch.setattr("lessonmaker.build.record.tools_digest", lambda: "another version")
    lines = refused()
    assert len(lines) == 2 and all("build first" in line and "version" in line for line in lines)


def test_films_that_were_never_built_are_refused(book, refused):
    assert all("it has not been made yet; build first" in line for line in refused("--films", book / "media"))


def test_open_faults_are_refused(book, refused):
    change(book, "four-bars.yaml", "b9@2", "#9@2")
    (line,) = refused()
    assert line.startswith(f"{book}/scripts/four-bars.yaml:7:15: ") and "there is no #9 in bar 2" in line


def test_films_of_one_source_in_two_states_are_refused(book):
    order = find_order((), None, book)
    planned = plan_of(order, book / "out")
    refuse_mixed(planned)
    first, second = planned
    for state in (
        replace(second.before.sources, tools="another"),
        replace(second.before.sources, files={"score": old_states(second.before.sources.files["score"])}),
    ):
        other = replace(second, before=replace(second.before, sources=state))
        with pytest.raises(MaterialError, match=r"another film was made from another state of"):
            refuse_mixed([first, other])


def old_states(files):
    return {path: replace(state, digest="0" * 64) for path, state in files.items()}


def test_a_film_that_changes_while_it_is_gathered_is_refused(refused, monkeypatch):
    copy = shutil.copyfile

    def copied(source, target):
        copy(source, target)
        if source.suffix == ".mp4":
            target.write_bytes(b"another film")

    monkeypatch.setattr("lessonmaker.build.package.shutil.copyfile", copied)
    (line,) = refused()
    assert "out/concert/four-bars.mp4: this file was changed after it was made" in line


def test_a_full_disk_leaves_no_release(book, refused, monkeypatch):
    def full(folder, archive):
        archive.write_bytes(b"half")
        raise OSError(errno.ENOSPC, "No space left on device", str(folder))

    monkeypatch.setattr("lessonmaker.build.release.pack_folder", full)
    (line,) = refused()
    assert "the disk is full" in line
    assert not list((book / "release").iterdir())


def test_what_a_killed_release_left_is_removed(book, release):
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    half = book / "release" / f".001.{host()}-{ended.pid}.part"
    (half / FILMS).mkdir(parents=True)
    (half / FILMS / "01-four-bars.mp4").write_bytes(b"half a fi")
    assert release()["release"] == 1
    assert [path.name for path in (book / "release").iterdir()] == ["001"]


def test_an_earlier_release_with_a_damaged_manifest_is_told(book, release, refused):
    release()
    manifest = book / "release" / "001" / "manifest.json"
    for text in ("{", '{"packages": 3}', '{"packages": [{"edition": "concert"}]}', "[" * 100_000):
        manifest.write_text(text)
        (line,) = refused()
        assert "001/manifest.json: the manifest of this earlier release cannot be read" in line
    manifest.unlink()
    assert "put it back, or move the release's folder away" in refused()[0]


def test_an_edition_that_the_book_does_not_have(refused):
    (line,) = refused("--edition", "concrt", status=2)
    assert "did you mean 'concert'?" in line


def test_what_is_released_is_said(book, capsys):
    assert main(["release", str(book)]) == 0
    captured = capsys.readouterr()
    assert captured.err == f"gathering {FILMS}\n"
    size = (book / "release" / "001" / f"{FILMS}.zip").stat().st_size
    assert captured.out.splitlines() == [
        f"{book}/release/001/{FILMS}.zip ({size / 1000:.1f} kB)",
        f"Release 1 stands in {book}/release/001. What customers need:",
        f"{FILMS}: new, all of it",
    ]
