"""A film put together from kept parts: by a worker where all are there, else here."""

import json
from fractions import Fraction
from functools import partial

import av
import numpy as np
import pytest

from lessonmaker.build.joining import Pieces, joined
from lessonmaker.build.store import Store
from lessonmaker.build.workshop import Part, Task
from lessonmaker.digest import digest_of
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.video.aac import packed_sound
from lessonmaker.video.encode import Format, packed
from lessonmaker.video.film import FilmInfo
from lessonmaker.video.moving import encode_moving

FORM = Format(64, 48, Fraction(10))
FRAMES, RATE = 10, 48_000


def run(shade):
    return packed(encode_moving((np.full((48, 64, 3), shade, np.uint8) for _ in range(FRAMES)), FORM))


def sound():
    return packed_sound(np.zeros((2 * RATE, 2), np.float32))


@pytest.fixture
def store(tmp_path):
    return Store(tmp_path / "store")


@pytest.fixture
def pieces(tmp_path, store):
    """Two runs and a stretch of sound, kept."""

    def kept(name, work):
        task = Task(digest_of(name), work, "pictures", 1.0)
        store.put(task.key, work())
        return Part(task, store)

    seen = [kept(str(shade), partial(run, shade)) for shade in (40, 200)]
    info = FilmInfo("A title", "An author", "A book", 2 * TICKS_PER_SECOND, ())
    return Pieces(tmp_path / "film.mp4", seen, [kept("sound", sound)], [0], 2 * RATE, FORM, info)


def made(pieces, store, files_reach=True):
    """The film's bytes, and how many tasks were asked for."""
    line, asked = joined(pieces, store, files_reach), 0
    try:
        (task,) = next(line)
        asked = 1
        line.send([Part(task, store, task.work())])
    except StopIteration:
        pass
    data = pieces.film.read_bytes()
    pieces.film.unlink()
    return data, asked


def test_a_worker_puts_the_same_film_together(pieces, store):
    here, asked = made(pieces, store, files_reach=False)
    assert asked == 0
    assert made(pieces, store) == (here, 1)
    assert not store.remarks


def test_the_film_shows_its_runs_in_order(pieces, store):
    pieces.film.write_bytes(made(pieces, store)[0])
    with av.open(str(pieces.film)) as container:
        shades = [frame.to_ndarray(format="gray").mean() for frame in container.decode(video=0)]
    assert len(shades) == 2 * FRAMES
    assert all(shade < 100 for shade in shades[:FRAMES])
    assert all(shade > 150 for shade in shades[FRAMES:])


@pytest.mark.parametrize("damage", ["cut off", "gone"])
def test_a_part_that_is_damaged_is_made_again_here_and_told_once(pieces, store, damage):
    whole = made(pieces, store)[0]
    entry = store.path(pieces.seen[1].task.key)
    if damage == "gone":
        entry.unlink()
    else:
        entry.write_bytes(entry.read_bytes()[:-1])
    assert made(pieces, store) == (whole, 1)
    assert [remark.what for remark in store.remarks] == ["a kept part is damaged"] * (damage == "cut off")
    assert store.get(pieces.seen[1].task.key) == run(200)


def test_parts_that_the_store_has_not_taken_are_put_together_here(pieces, store):
    whole = made(pieces, store)[0]
    first = pieces.seen[0]
    pieces.seen[0] = Part(first.task, store, store.get(first.task.key))
    assert made(pieces, store) == (whole, 0)


def test_nothing_is_left_of_a_film_whose_parts_are_lost(pieces, store):
    store.path(pieces.seen[1].task.key).unlink()
    about = json.loads(pieces.task(store).work())
    assert about == {"whole": False, "remarks": []}
    assert not list(pieces.film.parent.glob("*film*"))


def test_a_film_is_put_together_anew_each_time(pieces, store):
    assert pieces.task(store).key != pieces.task(store).key
