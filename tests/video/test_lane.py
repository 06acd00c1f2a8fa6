"""Work in a lane: in order, a few pieces waiting, and a failure raised where the work is handed over."""

import threading

import pytest

from lessonmaker.video.lane import WAITING, Lane


def test_work_is_done_in_order_beside_the_one_who_hands_it_over():
    done, threads = [], set()

    def piece(number):
        done.append(number)
        threads.add(threading.get_ident())

    with Lane() as lane:
        for number in range(20):
            lane.do(lambda number=number: piece(number))
        lane.wait()
        assert done == list(range(20))
    assert len(threads) == 1 and threading.get_ident() not in threads


def test_no_more_than_a_few_pieces_wait():
    go, begun = threading.Event(), []
    with Lane() as lane:
        for number in range(WAITING):
            lane.do(lambda number=number: (begun.append(number), go.wait(10)))
        assert len(lane.under_way) == WAITING
        threading.Timer(0.05, go.set).start()
        lane.do(lambda: None)  # waits for the first
        assert go.is_set()
        assert len(lane.under_way) == WAITING


def test_a_failure_is_raised_and_what_waits_is_given_up():
    done = []

    def fails():
        raise OSError("no room")

    with pytest.raises(OSError, match="no room"), Lane() as lane:
        lane.do(fails)
        for number in range(10):
            lane.do(lambda number=number: done.append(number))
        lane.wait()
    assert len(done) <= WAITING
