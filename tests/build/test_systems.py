"""Systems as tasks: each is engraved once, known by what the engraver is told, and equal when it is read again."""

from dataclasses import replace
from fractions import Fraction

import pytest

from lessonmaker.build.painters import painter_of as painter_of_sent
from lessonmaker.build.pictures import FilmPictures
from lessonmaker.build.store import Store
from lessonmaker.build.systems import FilmSystems
from lessonmaker.build.workshop import Part
from lessonmaker.picture import page as page_module
from lessonmaker.picture.look import standard_look
from lessonmaker.picture.painter import Painter
from lessonmaker.score.model import Score
from lessonmaker.score.system import parse_systems
from lessonmaker.timeline.model import TICKS_PER_SECOND, Page, Sign, SignShape
from tests.tools.picture_lesson import lesson, score_in

SIZE, RATE = (640, 360), Fraction(5)
COMPARED = ((3, 4), (27, 28))


@pytest.fixture
def engraved(monkeypatch):
    """The bars of every system that is engraved from now on."""
    made, engrave = [], page_module.engrave

    def engraving(score, bars, *how):
        made.append(bars)
        return engrave(score, bars, *how)

    monkeypatch.setattr(page_module, "engrave", engraving)
    return made


def painter_of(timeline=None, score=None, size=SIZE, look=None):
    return Painter(timeline or lesson(), score or score_in("gaslight-errand", "b-flat"), look, size, RATE)


def comparing():
    """The lesson with a page on which two places are compared."""
    pages = list(lesson().pages)
    pages[3] = replace(pages[3], rows=COMPARED)
    return replace(lesson(), pages=tuple(pages))


def keys_of(painter):
    systems = FilmSystems(painter, b"")
    return {task.key for task in systems.tasks(range(len(painter.timeline.pages)))}


def made(tasks, store):
    for task in tasks:
        store.put(task.key, task.work())
    return [Part(task, store) for task in tasks]


@pytest.mark.parametrize("timeline", [lesson, comparing], ids=["alone", "compared"])
def test_what_is_painted_with_systems_that_were_kept_engraves_nothing(timeline, tmp_path, engraved):
    store, pictures = Store(tmp_path / "store"), FilmPictures(painter_of(timeline()))
    plain = [task.work() for task in (*pictures.tasks, pictures.poster)]
    assert engraved
    painter_of_sent.cache_clear()
    pictures.take_systems(made(pictures.engraving(store), store))
    engraved.clear()
    assert [task.work() for task in (*pictures.tasks, pictures.poster)] == plain
    assert engraved == []


def test_systems_are_equal_when_they_are_read_again(tmp_path):
    painter = painter_of(comparing())
    store, systems = Store(tmp_path / "store"), FilmPictures(painter).systems
    parts = made(systems.tasks(range(len(painter.timeline.pages))), store)
    read = {name: system for part in parts for name, system in parse_systems(part.read()).items()}
    again = {
        name: system
        for page in painter.timeline.pages
        for rows in painter.engraver.sets(page)
        for name, system in painter.engraver.systems(page, rows).items()
    }
    assert read == again
    assert len(read) > len(parts)  # to compare two places takes several rounds


def test_each_system_is_one_task_however_many_pages_show_it():
    painter = painter_of()
    rows = {(page.kind, bars) for page in painter.timeline.pages for bars in page.rows}
    shown = [bars for page in painter.timeline.pages for bars in page.rows]
    assert len(keys_of(painter)) == len(rows) < len(shown)


def test_words_colours_and_a_larger_picture_leave_all_systems_as_they_are():
    look = standard_look()
    before = keys_of(painter_of())
    captions = tuple(replace(one, lines=("Otherwise.",), terms=()) for one in lesson().captions)
    pale = replace(look, colours={**look.colours, "now": (1, 2, 3)})
    assert keys_of(painter_of(replace(lesson(), captions=captions, title="Another Errand"))) == before
    assert keys_of(painter_of(look=pale)) == before
    assert keys_of(painter_of(size=(1280, 720))) == before
    numeral = SignShape("bracket", (score_in("gaslight-errand", "b-flat").struck[0].id,), text="5")
    signed = replace(lesson(), signs=(Sign(0, 16 * TICKS_PER_SECOND, numeral),))
    assert keys_of(painter_of(signed)) == before


def with_other_note(score: Score, bar: int) -> Score:
    """The score with the first note of a bar a step away."""
    note = next(one for one in score.struck if one.bar == bar)
    pitch = replace(note.written, octave=note.written.octave + 1)
    notes = tuple(replace(one, written=pitch) if one.id == note.id else one for one in score.notes)
    return replace(score, notes=notes)


def test_a_changed_note_leaves_the_systems_of_other_bars_as_they_are():
    score, rows = score_in("gaslight-errand", "b-flat"), {}
    for page in lesson().pages:
        rows |= {(page.kind, bars): None for bars in page.rows}
    bar = lesson().pages[1].rows[1][0]
    before, after = keys_of(painter_of()), keys_of(painter_of(score=with_other_note(score, bar)))
    changed = [bars for _, bars in rows if bar in bars]
    assert 0 < len(changed) < len(rows)
    assert len(before - after) == len(after - before) == len(changed)


def test_other_editions_labels_and_narrow_pictures_have_systems_of_their_own():
    before = keys_of(painter_of())
    labels = tuple(replace(one, text="bb13") for one in lesson().labels)
    assert keys_of(painter_of(size=(360, 640))).isdisjoint(before)
    assert keys_of(painter_of(score=score_in("gaslight-errand", "e-flat"))).isdisjoint(before)
    assert 0 < len(keys_of(painter_of(replace(lesson(), labels=labels))) - before) < len(before)


def test_only_the_systems_of_what_has_to_be_painted_are_asked_for(tmp_path):
    store, pictures = Store(tmp_path / "store"), FilmPictures(painter_of())
    every = {task.key for task in pictures.engraving(store)}
    assert every == keys_of(pictures.painter)
    for key in (*pictures.keys.values(), pictures.poster_key):
        store.put(key, b"kept")
    assert pictures.engraving(store) == []
    (first, *_), page = pictures.runs[1:], lesson().pages[1]
    store.drop(pictures.keys[first])
    wanted = {task.key for task in pictures.engraving(store)}
    assert wanted and wanted < every
    assert wanted >= {key for key, rows in pictures.systems.sets(1).items() if rows[0] in page.rows}


def test_where_signs_hang_systems_are_asked_for_to_see_whether_they_have_room(tmp_path, engraved):
    numeral = SignShape("bracket", (score_in("gaslight-errand", "b-flat").struck[0].id,), text="5")
    page: Page = lesson().pages[1]
    signed = replace(lesson(), signs=(Sign(page.start, page.end, numeral),))
    store, pictures = Store(tmp_path / "store"), FilmPictures(painter_of(signed))
    for key in (*pictures.keys.values(), pictures.poster_key):
        store.put(key, b"kept")
    tasks = pictures.engraving(store)
    assert len(tasks) == len(page.rows)
    pictures.take_systems(made(tasks, store))
    engraved.clear()
    assert pictures.painter.left_out == ()
    assert engraved == []
