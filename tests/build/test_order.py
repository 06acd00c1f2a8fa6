"""What a call of the program names: lessons, editions, intervals."""

from pathlib import Path

import numpy as np
import pytest

from lessonmaker.build.order import find_order, interval_of
from lessonmaker.build.voice import Voice
from lessonmaker.faults import MaterialError, UsageError
from lessonmaker.script.book import load_book
from lessonmaker.sound.model import Audio, Narration, WordTime
from lessonmaker.theory.pitch import Interval
from tests.tools.tiny_book import make_book


@pytest.fixture
def book(tmp_path):
    return make_book(tmp_path / "book")


def test_a_book_in_its_own_editions(book):
    order = find_order([str(book)])
    assert [lesson.name for lesson in order.lessons] == ["four-bars.yaml"]
    assert [edition.id for edition in order.editions] == ["concert", "e-flat"]


def test_what_is_named_twice_is_made_once(book):
    order = find_order(["four-bars", "four-bars"], ["bass-clef", "bass-clef"], here=book)
    assert (len(order.lessons), [edition.id for edition in order.editions]) == (1, ["bass-clef"])


def test_a_script_brings_its_book(book, tmp_path):
    assert find_order([str(book / "scripts" / "four-bars.yaml")], here=tmp_path).book.title == "Tiny"


def test_an_edition_of_the_books_own(book):
    (book / "shared" / "editions.yaml").write_text(
        "f: {label: F edition, spoken: F, written: P5, clef: G2, range: B3-C6}\n"
    )
    assert find_order([str(book)], ["f"]).editions[0].label == "F edition"


@pytest.mark.parametrize(
    ("names", "editions", "error", "message"),
    [
        (["four-bar"], None, UsageError, r"no lesson 'four-bar' \(did you mean 'four-bars'\?\)"),
        ([], ["tuba"], UsageError, "no edition 'tuba'.*; there are: concert, b-flat, e-flat, bass-clef"),
        (["media"], None, MaterialError, "media: this folder holds no book"),
    ],
)
def test_what_is_not_there(book, monkeypatch, names, editions, error, message):
    monkeypatch.chdir(book)
    with pytest.raises(error, match=message):
        find_order(names, editions)


def test_an_interval_by_edition_or_by_name():
    assert interval_of("b-flat") == interval_of("M2") == Interval.parse("M2")
    assert interval_of(None) is None
    with pytest.raises(UsageError, match="'third' is neither an edition"):
        interval_of("third")


def test_the_same_words_are_spoken_once(book, monkeypatch):
    said = []

    def narrate(words, *_):
        said.append(" ".join(words))
        times = (WordTime(word, at, at + 1) for at, word in enumerate(words))
        return Narration(Audio(np.ones(24_000 * len(words), np.float32), 24_000), tuple(times), draft=True)

    monkeypatch.setattr("lessonmaker.sound.narration.narrate", narrate)
    voice = Voice.of(load_book(book))
    told = voice.narrate(["Early", "is", "late.", "Late."], None)
    assert told is voice.narrate(["Early", "is", "late.", "Late."], None)
    assert [(word.word, word.start_s) for word in told.words[1:]] == [
        ("is", 1),
        ("late.", 2),
        ("Late.", 3.45),
    ]
    assert len(told.audio.samples) == 4.45 * 24_000
    voice.narrate(["Late.", "Never."], None)
    assert said == ["Early is late.", "Late.", "Never."]


def test_a_name_that_leads_nowhere_is_told_apart_from_a_missing_book(tmp_path):
    with pytest.raises(
        UsageError, match=r"'nowher' is no lesson script and no book's folder, and there is no book"
    ):
        find_order(["nowher"], here=tmp_path)
    with pytest.raises(MaterialError, match="holds no book"):
        find_order([], here=tmp_path)


def test_a_lesson_script_that_no_book_holds_is_a_book_of_its_own(tmp_path, monkeypatch):
    script = tmp_path / "lesson.yaml"
    script.write_text("lesson: Alone\nscore: score.musicxml\ncues: []\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    order = find_order(["lesson.yaml"])
    assert order.lessons == (Path("lesson.yaml"),)
    assert [edition.id for edition in order.editions] == ["concert"]
    assert order.book.folder.resolve() == tmp_path
