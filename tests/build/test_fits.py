"""Fits that are kept: used while nothing they are made of has changed, made anew else."""

import json
import pickle
import re
from dataclasses import replace

import numpy as np
import pytest
import soundfile

from lessonmaker.build.check import check_order
from lessonmaker.build.fits import KeptFits
from lessonmaker.build.lesson import fit_task, ready_lesson, wanted_of
from lessonmaker.build.order import find_order
from lessonmaker.sound import fitfile
from lessonmaker.sound.align import fit as fitting
from lessonmaker.sound.model import Departure
from tests.tools.tiny_book import BARS, QUARTER_S, RATE, make_book, score_text, take

FITTED = "fitted"


@pytest.fixture(scope="module")
def first(tmp_path_factory):
    """A fit of the tiny book's take, and the text that is kept of it."""
    book = make_book(tmp_path_factory.mktemp("first") / "book")
    kept = KeptFits(book / "out" / "sync")
    ready = ready_lesson(check_order(find_order([str(book)]))[0], kept)
    return ready.fit, (book / "out" / "sync" / "four-bars.fit.json").read_text()


@pytest.fixture
def book(tmp_path, first):
    """The same book elsewhere, with the kept fit."""
    folder = make_book(tmp_path / "book")
    (folder / "out" / "sync").mkdir(parents=True)
    (folder / "out" / "sync" / "four-bars.fit.json").write_text(first[1])
    return folder


@pytest.fixture
def ready(book):
    """Makes the book's lesson ready; what was said of its kept fit, and whether the aligner ran, beside it."""

    def made():
        ran = []
        kept = KeptFits(book / "out" / "sync")
        lesson = ready_lesson(check_order(find_order([str(book)]))[0], kept, lambda: ran.append(FITTED))
        return lesson, [str(remark) for remark in lesson.checked.remarks], ran

    return made


def change(path, old, new):
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def kept_file(book):
    return book / "out" / "sync" / "four-bars.fit.json"


def without_aligner(monkeypatch):
    def aligner(*_):
        pytest.fail("the aligner ran")

    monkeypatch.setattr(fitting, "fit_take", aligner)


def test_an_unchanged_take_is_not_fitted_again(ready, first, monkeypatch):
    without_aligner(monkeypatch)
    lesson, remarks, ran = ready()
    assert (remarks, ran) == ([], [])
    assert lesson.fit == first[0], "the first run has other times than the next"


LAYOUT = '<print new-system="yes"/>'
LEAVE_THE_NOTES = {
    "another chord symbol": ("<kind>dominant</kind>", "<kind>dominant-ninth</kind>"),
    "a respelt note": ("<step>F</step><alter>1</alter>", "<step>G</step><alter>-1</alter>"),
    "a title": ("<part-list>", "<movement-title>Four</movement-title><part-list>"),
    "a word": (
        "</duration><type>half</type></note></measure>",
        "</duration><type>half</type><lyric><text>la</text></lyric></note></measure>",
    ),
    "layout": ('<measure number="3">', f'<measure number="3">{LAYOUT}'),
    "a fingering": (
        "<type>half</type></note></measure>",
        "<type>half</type><notations><technical><fingering>2</fingering></technical></notations></note></measure>",
    ),
    "a key signature": ("<fifths>0</fifths>", "<fifths>1</fifths>"),
    "a rehearsal mark": (
        '<measure number="3">',
        '<measure number="3"><direction><direction-type><rehearsal>B</rehearsal></direction-type></direction>',
    ),
}


@pytest.mark.parametrize("name", LEAVE_THE_NOTES)
def test_edits_that_leave_the_notes_alone(name, book, ready, monkeypatch):
    change(book / "media" / "four-bars.musicxml", *LEAVE_THE_NOTES[name])
    change(book / "scripts" / "four-bars.yaml", "(b9@2)", "(!b9@2)")
    without_aligner(monkeypatch)
    lesson, remarks, ran = ready()
    assert ran == []
    assert not [remark for remark in remarks if "fit" in remark]
    assert {time.note for time in lesson.fit.notes} == {note.id for note in lesson.checked.score.struck}


def test_one_bar_with_other_notes_is_fitted_anew(book, ready):
    other = (*BARS[:2], (*BARS[2][:2], "E4 A4 C5 D5", 1), BARS[3])
    (book / "media" / "four-bars.musicxml").write_text(score_text(other))
    lesson, remarks, ran = ready()
    assert ran == [FITTED]
    assert remarks[0] == (
        f"{kept_file(book)}: the kept fit is not used: the score's notes have changed; it is made anew"
    )
    assert "out of time in bar 3: " in remarks[1]
    assert {time.note for time in lesson.fit.notes} == {note.id for note in lesson.checked.score.struck}
    _, again, ran = ready()
    assert (again, ran) == (remarks[1:], [])


def test_another_rhythm_is_fitted_anew(book, ready):
    score = book / "media" / "four-bars.musicxml"
    first, second = "<duration>2</duration><type>half</type>", "<duration>1</duration><type>quarter</type>"
    change(score, f"{first}</note></measure>", f"{second}</note><note><rest/>{second}</note></measure>")
    assert ready()[2] == [FITTED]


def test_another_take_is_fitted_anew(book, ready):
    silence = np.zeros(int(1.5 * RATE), np.float32)
    soundfile.write(book / "media" / "four-bars.wav", np.concatenate([silence, take()]), RATE)
    lesson, remarks, ran = ready()
    assert ran == [FITTED]
    assert "not used: the take has changed; it is made anew" in remarks[0]
    assert lesson.fit.bars[0].time_s == pytest.approx(1.9, abs=0.05)


def test_pins_are_part_of_what_a_fit_is_made_of(book, ready):
    change(book / "scripts" / "four-bars.yaml", "cues:", "sync: {3: 0:04.4}\ncues:")
    lesson, remarks, ran = ready()
    assert ran == [FITTED]
    assert "not used: the pins have changed" in remarks[0]
    assert lesson.fit.bars[2].time_s == pytest.approx(0.4 + 8 * QUARTER_S, abs=0.05)
    assert ready()[1:] == ([], [])


def test_another_aligner_fits_anew(ready, monkeypatch):
    monkeypatch.setattr(fitfile, "LIBRARIES", (*fitfile.LIBRARIES, "PyYAML"))
    fitfile.aligner_digest.cache_clear()
    _, remarks, ran = ready()
    fitfile.aligner_digest.cache_clear()
    assert ran == [FITTED]
    assert "not used: another version of lessonmaker made it" in remarks[0]


def test_a_worker_that_has_not_the_take_makes_the_same_fit(book, first):
    """Its bytes travel with the task."""
    wanted = wanted_of(check_order(find_order([str(book)]))[0])
    sent = pickle.dumps(fit_task(wanted, files_reach=False).work)
    (book / "media" / "four-bars.wav").unlink()
    assert pickle.loads(sent)().decode() == first[1]


DAMAGES = {
    "cut short": lambda text: text[: len(text) // 2],
    "empty": lambda _: "",
    "no object": lambda _: "[1, 2]",
    "not a fit": lambda _: '{"format": "recipe"}',
    "a time edited": lambda text: re.sub(r'"time_s": 2', '"time_s": 3', text, count=1),
    "a byte flipped": lambda text: text.replace('"sure": ', '"sure": -', 1),
    "nested without end": lambda _: "[" * 100_000,
}


@pytest.mark.parametrize("name", DAMAGES)
def test_a_damaged_fit_is_made_anew(name, book, ready, first):
    damaged = DAMAGES[name](first[1])
    assert damaged != first[1]
    kept_file(book).write_text(damaged)
    _, remarks, ran = ready()
    assert ran == [FITTED]
    assert remarks == [f"{kept_file(book)}: the kept fit is damaged or was edited; it is made anew"]
    assert kept_file(book).read_text() == first[1]


def test_bytes_that_are_no_text(book, ready):
    kept_file(book).write_bytes(b"\xff\xfe\x00")
    assert ready()[2] == [FITTED]


def test_a_folder_that_takes_no_files(book, ready):
    kept_file(book).unlink()
    kept_file(book).parent.rmdir()
    kept_file(book).parent.write_text("in the way")
    lesson, remarks, _ = ready()
    assert lesson.fit.accepted
    assert "the fit of the take cannot be kept" in remarks[-1]


@pytest.mark.parametrize(
    ("unsure", "words"),
    [
        ([("3", 1)], "the take may be out of time in bar 3: few of"),
        ([("2", 1), ("3", 1)], "the take may be out of time in bars 2, 3: few of"),
    ],
)
def test_unsure_bars_are_remarked_on(unsure, words, book, ready, first, monkeypatch):
    doubtful = replace(first[0], details={**first[0].details, "unsure": unsure})
    monkeypatch.setattr(fitting, "fit_take", lambda *_: doubtful)
    kept_file(book).unlink()
    for _ in ("made", "kept"):
        (remark,) = ready()[1]
        assert remark.startswith(f"{book}/scripts/four-bars.yaml:4:7: {words}")
        assert "; look with `lessonmaker sync " in remark


def test_a_kept_fit_is_small_and_has_a_line_a_bar(first):
    text = first[1]
    lines = [line for line in text.splitlines() if line.startswith('  {"bar"')]
    assert [json.loads(line.rstrip(","))["bar"] for line in lines] == ["1", "2", "3", "4"]
    assert len(text) < 2500
    assert "sounds in four-bars.wav. Made by lessonmaker" in text


def test_departures_are_kept(ready):
    lesson, _, _ = ready()
    score = lesson.checked.score
    away = (
        Departure("wrong", 1, 1, 3.2, score.struck[5].id, 66),
        Departure("added", 2, 1, 5.1, None, 71),
        Departure("missing", 3, 1, 6.9, score.struck[13].id, None),
    )
    fit = replace(lesson.fit, departures=away)
    origin = fitfile.Origin("t", fitfile.music_digest(score), (), "a")
    again, changed = fitfile.parse_fit(fitfile.fit_text(score, fit, origin, "x"), score, origin)
    assert changed == ()
    assert again.departures == away
