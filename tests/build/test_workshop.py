"""The workshop: what is kept is not made again, what two ask for is made once, and what goes first."""

import errno
import io
import os
import signal
import subprocess
import sys
import time
from concurrent.futures import BrokenExecutor, Executor, Future, ThreadPoolExecutor
from dataclasses import replace
from functools import partial
from multiprocessing import Pipe
from threading import Event, Thread

import pytest

from lessonmaker.build import workshop
from lessonmaker.build.progress import Progress
from lessonmaker.build.store import Store
from lessonmaker.build.workers import leaving_nothing
from lessonmaker.build.workshop import Task, Workshop, worker_pool
from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault, MaterialError
from lessonmaker.files import host
from tests.tools.at_once import AtOnce


@pytest.fixture
def store(tmp_path):
    return Store(tmp_path / "store")


def shop(store, workers=None, width=1, under_way=2):
    return Workshop(
        workers or AtOnce(), lambda: width, store, Progress(films=20, stream=io.StringIO()), under_way
    )


class Works:
    """Tasks that note that they are done."""

    def __init__(self):
        self.done = []

    def make(self, name):
        self.done.append(name)
        return name.encode()

    def task(self, name, seconds=1.0, after_s=0.0):
        return Task(digest_of(name), partial(self.make, name), "made up", seconds, after_s)

    def line(self, *steps):
        """A line that asks for some tasks by name, step by step, and returns all it was handed."""
        handed = []
        for names in steps:
            parts = yield [self.task(name) for name in names]
            handed += [part.read().decode() for part in parts]
        return handed


def test_lines_are_handed_their_parts_in_order_step_by_step(store):
    works = Works()
    lines = [works.line("ab", "c"), works.line("d", "ba", "e")]
    made = list(shop(store).work(lines))
    assert sorted(made) == [["a", "b", "c"], ["d", "b", "a", "e"]]
    assert sorted(works.done) == ["a", "b", "c", "d", "e"]


def test_what_is_kept_is_not_made_again(store):
    first, second = Works(), Works()
    list(shop(store).work([first.line("abc")]))
    assert list(shop(store).work([second.line("cab", "d")])) == [["c", "a", "b", "d"]]
    assert second.done == ["d"]


def test_what_two_lines_ask_for_at_a_time_is_made_once(store):
    works = Works()
    with ThreadPoolExecutor(2) as workers:
        made = list(shop(store, workers, 2, under_way=8).work(works.line("abc") for _ in range(8)))
    assert made == [["a", "b", "c"]] * 8
    assert sorted(works.done) == ["a", "b", "c"]


def test_a_task_asked_for_twice_in_one_step(store):
    assert list(shop(store).work([Works().line("aab")])) == [["a", "a", "b"]]


def test_what_is_of_no_use_later_is_made_once_and_not_kept(store):
    works = Works()

    def line():
        (part,) = yield [replace(works.task("a"), passing=True)]
        yield [works.task("b")]
        return part.read()

    assert list(shop(store, under_way=1).work([line(), line()])) == [b"a", b"a"]
    assert works.done == ["a", "b"]
    assert [store.holds(digest_of(name)) for name in "ab"] == [False, True]


def test_a_damaged_part_is_made_anew(store):
    list(shop(store).work([Works().line("a")]))
    store.path(digest_of("a")).write_bytes(b"no such thing")
    works = Works()
    assert list(shop(store).work([works.line("a")])) == [["a"]]
    assert works.done == ["a"]
    assert store.get(digest_of("a")) == b"a"
    assert len(store.remarks) == 1


def test_where_nothing_can_be_kept_all_is_made_all_the_same(store):
    store.writable = False
    assert list(shop(store).work([Works().line("ab", "ac")])) == [["a", "b", "a", "c"]]


def test_the_longest_way_goes_first(store):
    works = Works()

    def line():
        yield [
            works.task("short", 1),
            works.task("long", 5),
            works.task("leads far", 2, 10),
            works.task("brief", 0.5),
        ]

    list(shop(store).work([line()]))
    assert works.done == ["leads far", "long", "short", "brief"]


def test_no_more_lines_are_open_than_asked(store):
    opened, most = set(), []

    def line(name):
        opened.add(name)
        most.append(len(opened))
        yield [Works().task(name)]
        opened.discard(name)

    with ThreadPoolExecutor(1) as workers:
        list(shop(store, workers, 1, under_way=3).work(map(line, "abcdefgh")))
    assert max(most) <= 4
    assert len(most) == 8


class Never(Executor):
    """Takes tasks and does none."""

    def submit(self, work):
        del work
        return Future()


def test_work_ends_where_there_are_no_workers_any_more(store, monkeypatch):
    monkeypatch.setattr(workshop, "LOOK_S", 0.01)
    told = iter([1] * 5)

    def width():
        for number in told:
            return number
        raise MaterialError(Fault("all workers are gone"))

    lost = Workshop(Never(), width, store, Progress(films=20, stream=io.StringIO()), 2)
    with pytest.raises(MaterialError, match="all workers are gone"):
        list(lost.work([Works().line("ab")]))


def dies(times, folder, name):
    """A task whose worker dies so many times before it is done."""
    for number in range(times):
        if not (mark := folder / f"{name}-{number}").exists():
            mark.touch()
            os.kill(os.getpid(), 9)
    return name.encode()


def dying_line(folder, times):
    """A line of three tasks, the worker of one of which dies so often."""
    parts = yield [
        Task(digest_of(name), partial(dies, often, folder, name), "made up", 1.0)
        for name, often in (("a", 0), ("b", times), ("c", 0))
    ]
    return [part.read() for part in parts]


@pytest.mark.skipif(os.name == "nt", reason="processes cannot be killed like this there")
@pytest.mark.parametrize("times", [1, 2])
def test_what_a_worker_did_that_died_is_done_by_another(store, tmp_path, times):
    with worker_pool(1, [int]) as workers:
        assert list(shop(store, workers).work([dying_line(tmp_path, times)])) == [[b"a", b"b", b"c"]]


@pytest.mark.skipif(os.name == "nt", reason="processes cannot be killed like this there")
def test_a_task_whose_workers_always_die_ends_the_work(store, tmp_path):
    with pytest.raises(BrokenExecutor), worker_pool(1, [int]) as workers:
        list(shop(store, workers).work([dying_line(tmp_path, 9)]))
    assert len(list(tmp_path.glob("b-*"))) == 3


@pytest.fixture
def pools(monkeypatch):
    """Has pools made in the place of processes, each of which refuses what it is handed with an error, if any."""

    def have(*errors):
        left = list(errors)

        class Refusing(ThreadPoolExecutor):
            def __init__(self, width, **_):
                super().__init__(width)
                self.error = left.pop(0) if left else None

            def submit(self, work):
                if self.error is not None and work is not int:
                    raise self.error
                return super().submit(work)

        monkeypatch.setattr(workshop, "ProcessPoolExecutor", Refusing)
        return left

    return have


def closed():
    """What multiprocessing raises where a pipe was closed by another thread while a process was being started."""
    with pytest.raises(OSError, match="closed") as raised:
        reader, writer = Pipe()
        writer.close()
        reader.close()
        reader.fileno()
    return raised.value


@pytest.mark.parametrize("times", [1, 2])
def test_a_pool_that_closes_while_a_process_is_being_started_gives_way_to_a_new_one(store, pools, times):
    left = pools(*[closed() for _ in range(times)])
    with worker_pool(2, [int]) as workers:
        assert list(shop(store, workers).work([Works().line("ab")])) == [["a", "b"]]
    assert not left


def test_pools_that_all_close_count_as_broken(store, pools):
    pools(*[closed() for _ in range(3)])
    with pytest.raises(BrokenExecutor, match="died while"), worker_pool(2, [int]) as workers:
        list(shop(store, workers).work([Works().line("ab")]))


def test_what_the_system_refuses_a_pool_is_told_as_it_is(store, pools):
    pools(OSError(errno.EMFILE, "Too many open files"))
    with pytest.raises(OSError, match="Too many open files"), worker_pool(2, [int]) as workers:
        list(shop(store, workers).work([Works().line("ab")]))


@pytest.fixture
def other_thread():
    """A thread that hears Ctrl-C when the main one is deaf to it, as a library's threads do."""
    ended = Event()
    thread = Thread(target=ended.wait)
    thread.start()
    yield thread
    ended.set()
    thread.join()


class Interrupted(AtOnce):
    """Ctrl-C is pressed while a task is handed over, where a worker may be half started."""

    def __init__(self):
        self.whole = []

    def submit(self, work):
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(0.05)  # the other thread hears it, and Python tells the main one
        future = super().submit(work)
        self.whole.append(future.result())
        return future


@pytest.mark.skipif(os.name == "nt", reason="there, os.kill ends the process")
@pytest.mark.usefixtures("other_thread")
def test_ctrl_c_waits_until_a_worker_is_wholly_started(store):
    workers, handler = Interrupted(), signal.getsignal(signal.SIGINT)
    with pytest.raises(KeyboardInterrupt):
        list(shop(store, workers).work([Works().line("ab")]))
    assert [data for data, _ in workers.whole] == [b"a"]
    assert signal.getsignal(signal.SIGINT) is handler


def test_more_workers_are_given_more_at_once(store):
    """As many as there are now, not as there were at first."""
    widths, most = iter([1, 1, 1, 1]), []

    class Counting(AtOnce):
        def submit(self, work):
            most.append(len(several.running) + 1)
            return super().submit(work)

    several = Workshop(
        Counting(), lambda: next(widths, 4), store, Progress(films=20, stream=io.StringIO()), 1
    )
    list(several.work([Works().line("abcdefghijklmnop")]))
    assert most[:2] == [1, 2]
    assert max(most) == 8


def test_lines_without_tasks_are_finished_at_once(store):
    assert list(shop(store).work(Works().line() for _ in range(5))) == [[]] * 5


def test_a_task_that_fails_ends_the_work(store):
    def line():
        yield [Task(digest_of("x"), lambda: 1 / 0, "made up", 1.0)]

    with pytest.raises(ZeroDivisionError):
        list(shop(store).work([line()]))
    assert not list(store.entries())


def test_what_ended_workers_have_begun_is_removed_where_work_is_broken_off(tmp_path):
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    abandoned = tmp_path / "concert" / f".film.mp4.{host()}-{ended.pid}.part"
    abandoned.parent.mkdir()
    abandoned.write_text("half")
    with leaving_nothing(tmp_path):
        pass
    assert abandoned.exists()
    with pytest.raises(KeyboardInterrupt), leaving_nothing(tmp_path):
        raise KeyboardInterrupt
    assert not abandoned.exists()
