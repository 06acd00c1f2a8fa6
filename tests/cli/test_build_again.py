"""`build` again: what is unchanged is left alone, and of what changed only the parts that show or sound it are made."""

import json
import shutil
from dataclasses import replace
from threading import Event, Thread

import pytest

from lessonmaker.build.cleaning import clean_book
from lessonmaker.cli import main
from lessonmaker.picture import page as page_module
from lessonmaker.script.book import load_book

SCORE = ("media", "four-bars.musicxml")


pytestmark = pytest.mark.usefixtures("in_this_process")


@pytest.fixture(scope="module")
def finished(tmp_path_factory):
    """A short lesson without a take, built once in one edition."""
    from tests.tools.tiny_book import make_book

    book = make_book(tmp_path_factory.mktemp("again") / "book")
    script = book / "scripts" / "four-bars.yaml"
    text = script.read_text()
    for part in ("take: ../media/four-bars.wav\n", "  - play: all\n    title: All of it\n"):
        assert part in text
        text = text.replace(part, "")
    text += "  - bars: 4\n    title: The rest\n    say: Home at last, and all is quiet here.\n"
    script.write_text(text)
    settings = book / "scripts" / "book.yaml"
    settings.write_text(settings.read_text().replace("[concert, e-flat]", "[concert]"))
    assert main(["build", str(book)]) == 0
    return book


@pytest.fixture
def book(finished, tmp_path):
    """A copy of the finished book; the copies of its files are as old as the files."""
    return shutil.copytree(finished, tmp_path / "book", copy_function=shutil.copy2)


@pytest.fixture
def build(book, capsys):
    """Build the book; each film's line as JSON."""

    def built(*arguments):
        capsys.readouterr()
        assert main(["build", str(book), "--json", *arguments]) == 0
        events = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
        return [event for event in events if event["event"] in ("film", "plan")]

    return built


def change(book, path, old, new):
    file = book.joinpath(*path)
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new))


def kept(book):
    return {path.name for path in (book / "out" / "store").glob("??/*")}


def films(book):
    return {path.name: path.read_bytes() for path in (book / "out" / "concert").iterdir()}


def test_what_is_unchanged_is_left_alone(book, build):
    before, changed_ns = films(book), (book / "out" / "concert" / "four-bars.mp4").stat().st_mtime_ns
    (film,) = build()
    assert (film["made"], film["lesson"], film["edition"], film["why"]) == (False, "four-bars", "concert", [])
    assert films(book) == before
    assert (book / "out" / "concert" / "four-bars.mp4").stat().st_mtime_ns == changed_ns


def test_a_changed_sentence_makes_its_own_scene_again(book, build):
    before = kept(book)
    change(book, ("scripts", "four-bars.yaml"), "leans on", "rests for a good while upon")
    (film,) = build("--explain")
    assert (film["made"], film["why"]) == (True, ["cue 1 says something else"])
    new = kept(book) - before
    # its words, its runs of pictures and the sound; the runs of the cards and of the last scene are kept
    assert 3 <= len(new) < len(before)
    again = kept(book)
    change(book, ("scripts", "four-bars.yaml"), "rests for a good while upon", "leans on")
    build()
    assert kept(book) == again


def test_a_changed_sentence_engraves_nothing(book, build, monkeypatch):
    engraved, engrave = [], page_module.engrave
    monkeypatch.setattr(page_module, "engrave", lambda *told: engraved.append(told[1]) or engrave(*told))
    change(book, ("scripts", "four-bars.yaml"), "leans on", "rests for a while upon")
    build()
    assert engraved == []
    change(book, SCORE, "<step>B</step>", "<step>A</step>")
    build()
    assert engraved


def test_a_film_built_in_steps_is_the_same_bytes_as_one_built_at_once(book, build):
    change(book, ("scripts", "four-bars.yaml"), "leans on", "rests upon")
    build()
    in_steps = films(book)
    shutil.rmtree(book / "out")
    build()
    assert films(book) == in_steps


def test_what_is_missing_is_put_there_again(book, build):
    before = films(book)
    parts = kept(book)
    (book / "out" / "concert" / "four-bars.vtt").unlink()
    (book / "out" / "concert" / "four-bars.mp4").write_bytes(b"no film")
    (film,) = build("--explain")
    assert film["why"] == ["its files are missing or were changed"]
    assert films(book) == before
    assert kept(book) == parts


CHANGES = {
    "note": (SCORE, "<step>B</step>", "<step>A</step>", "bars 2, 3 of the score changed"),
    "title": (
        ("scripts", "four-bars.yaml"),
        "lesson: Four Bars",
        "lesson: For Bars",
        "the lesson has another title",
    ),
    "new cue": (("scripts", "four-bars.yaml"), "cues:\n", "cues:\n  - say: Well then.\n", "cue 1 is new"),
    "size": (("scripts", "book.yaml"), "size: 640x360", "size: 480x270", "the pictures have another size"),
    "author": (("scripts", "book.yaml"), "Odo Plinth", "O. Plinth", "the book has another author"),
    "comment": (
        ("scripts", "four-bars.yaml"),
        "cues:\n",
        "cues: # what is told\n",
        "the script is written otherwise",
    ),
}


@pytest.mark.parametrize(("path", "old", "new", "why"), CHANGES.values(), ids=CHANGES)
def test_a_dry_run_says_why_in_the_authors_words_and_makes_nothing(book, build, path, old, new, why):
    before, parts = films(book), kept(book)
    change(book, path, old, new)
    film, total = build("--dry-run")
    assert (film["to_make"], film["why"]) == (True, [why])
    assert total["films"] == 1 and total["about_seconds"] >= 0
    assert (films(book), kept(book)) == (before, parts)


def test_a_dry_run_of_what_is_done(book, capsys):
    assert main(["build", str(book), "--dry-run"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        f"{book}/out/concert/four-bars.mp4: unchanged",
        "0 films to make",
    ]


def test_damaged_parts_are_told_once_and_made_again(book, capsys):
    before = films(book)
    for path in (book / "out" / "store").glob("??/*"):
        path.write_bytes(path.read_bytes()[:-3])
    (book / "out" / "concert" / "four-bars.mp4").unlink()
    capsys.readouterr()
    assert main(["build", str(book)]) == 0
    said = [line for line in capsys.readouterr().err.splitlines() if "damaged" in line]
    assert said and len(set(said)) == len(said)
    assert films(book) == before


def test_a_damaged_record_is_as_good_as_none(book, build):
    (record,) = (book / "out" / "store" / "films").rglob("*.json")
    record.write_text(record.read_text().replace("four-bars", "five-bars"))
    (film,) = build("--explain")
    assert film["why"] == ["it has not been made yet"]


def test_a_store_that_is_cleaned_while_a_build_runs_changes_no_film(book):
    """Parts vanish before the build has read them, those kept from before and those just made."""
    before = films(book)
    (book / "out" / "concert" / "four-bars.mp4").unlink()
    finished = Event()
    freed = []

    def clean():
        while not finished.wait(0.005):
            freed.append(clean_book(replace(load_book(book), keep_bytes=0), book / "out").parts_bytes)

    cleaner = Thread(target=clean)
    cleaner.start()
    try:
        assert main(["build", str(book)]) == 0
    finally:
        finished.set()
        cleaner.join()
    assert sum(1 for size in freed if size) > 1
    assert films(book) == before
