"""`build --cluster`: the same films, whichever worker makes their parts or is lost; what fails is said once."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pytest
import soundfile

import lessonmaker
from lessonmaker.build.store import Store
from lessonmaker.cli import main
from lessonmaker.faults import MaterialError
from lessonmaker.sound.voice import speak
from tests.tools.at_once import in_one_process
from tests.tools.font_packages import install, square_font

pytest.importorskip("distributed", reason="the extra `cluster` is not installed")

from lessonmaker.build import cluster as clusters
from tests.tools.loopback_cluster import loopback_cluster

WAIT_S = 60


@pytest.fixture(scope="module")
def lone(tmp_path_factory):
    """A cluster of one worker, for tests that leave it as it is."""
    with loopback_cluster(tmp_path_factory.mktemp("lone") / "cluster", [()]) as cluster:
        yield cluster


@pytest.fixture
def small(book, change):
    """The book without its performance: quickly made."""
    change("  - play: all\n    title: All of it\n", "")
    change("take: ../media/four-bars.wav\n", "")
    return book


def until(condition, what):
    last_s = time.monotonic() + WAIT_S
    while not condition():
        assert time.monotonic() < last_s, what
        time.sleep(0.02)


def made(out):
    return {
        str(path.relative_to(out)): path.read_bytes()
        for edition in ("concert", "e-flat")
        for path in sorted((out / edition).iterdir())
    }


def begun(book, address):
    return subprocess.Popen(
        [sys.executable, "-c", "import signal\nsignal.signal(signal.SIGINT, signal.default_int_handler)\n"
         "from lessonmaker.cli import program\nprogram()", "build", str(book), "--cluster", address],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )  # fmt: skip


def told_by_author(book):
    """Have the cue's sentence be told by a recording of it."""
    audio = speak("The flat nine leans on G seven.")
    soundfile.write(book / "media" / "lean.wav", audio.samples, audio.rate)
    script = book / "scripts" / "four-bars.yaml"
    script.write_text(script.read_text() + "    narration: ../media/lean.wav\n")


def test_a_worker_lost_in_mid_build_changes_no_byte(book, tmp_path):
    """The author's recording goes along; the workers run in another folder."""
    told_by_author(book)
    with loopback_cluster(tmp_path / "cluster") as cluster:
        build = begun(book, cluster.address)
        until(lambda: list(Store(book / "out" / "store").entries()), "nothing was made")
        until(cluster.busy, "no worker had anything to do")
        cluster.kill(cluster.busy()[0])
        assert build.poll() is None
        assert not list((book / "out").glob("*/*.mp4"))
        out, err = build.communicate(timeout=300)
        assert (build.returncode, out.count(".mp4")) == (0, 2), err
        assert "Traceback" not in err
        assert len(cluster.workers) == 1
    on_cluster = made(book / "out")
    with in_one_process():
        assert main(["build", str(book), "--output", str(tmp_path / "here")]) == 0
    assert on_cluster == made(tmp_path / "here")
    assert len(on_cluster) == 12


def test_ctrl_c_ends_a_build_on_a_cluster_within_two_seconds(book, lone):
    build = begun(book, lone.address)
    until(lone.busy, "no worker had anything to do")
    pressed_s = time.monotonic()
    os.killpg(build.pid, signal.SIGINT)
    _, err = build.communicate(timeout=30)
    assert time.monotonic() - pressed_s < 2
    assert build.returncode == 130
    assert err.splitlines()[-1] == "Stopped. What was finished before is whole."
    assert "Traceback" not in err


@contextmanager
def meanwhile(cluster, harm):
    """Do some harm to a cluster as soon as it has something to do."""

    def wait_and_harm():
        until(cluster.busy, "no worker had anything to do")
        harm()

    with ThreadPoolExecutor(1) as thread:
        done = thread.submit(wait_and_harm)
        yield
        done.result()


def test_a_scheduler_that_is_lost_is_told(book, fault, tmp_path):
    with loopback_cluster(tmp_path / "cluster", [()]) as cluster, meanwhile(cluster, cluster.scheduler.kill):
        said = fault("build", book, "--cluster", cluster.address)
    assert said == (
        f"the connection to the scheduler at {cluster.address} was lost; build again; "
        "what was finished before is whole"
    )


def test_workers_that_are_all_lost_are_told_after_a_while(book, fault, tmp_path, monkeypatch):
    monkeypatch.setattr(clusters, "LONELY_S", 1.0)

    def kill_all():
        for worker in list(cluster.workers):
            cluster.kill(worker)

    with loopback_cluster(tmp_path / "cluster") as cluster, meanwhile(cluster, kill_all):
        said = fault("build", book, "--cluster", cluster.address)
    assert f"the scheduler at {cluster.address} has had no worker that takes work for 1 s; start some" in said


def test_a_worker_that_comes_after_the_others_are_lost_does_their_tasks(small, tmp_path):
    with loopback_cluster(tmp_path / "cluster", [()]) as cluster:
        build = begun(small, cluster.address)
        until(cluster.busy, "no worker had anything to do")
        cluster.kill(next(iter(cluster.workers)))
        cluster.add_worker()
        _, err = build.communicate(timeout=300)
        assert build.returncode == 0, err


@pytest.fixture(scope="module")
def poor(tmp_path_factory):
    """A cluster whose only worker has too little memory, several threads, and other files of the program."""
    folder = tmp_path_factory.mktemp("poor")
    own = Path(lessonmaker.__file__).parent
    shutil.copytree(own, folder / "lessonmaker", ignore=shutil.ignore_patterns("demo", "__pycache__"))
    with (folder / "lessonmaker" / "digest.py").open("a") as file:
        file.write("# changed\n")
    with loopback_cluster(folder / "cluster", []) as cluster:
        cluster.add_worker("--nthreads", "2", "--memory-limit", "100MB", path=folder)
        yield cluster


def test_workers_that_are_not_fit_are_named(poor, small, capsys):
    (worker,) = poor.workers
    assert main(["build", str(small), "--cluster", poor.address]) == 1
    said = capsys.readouterr().err.splitlines()[-2:]
    assert said[0].startswith(
        f"the worker {worker} would make other films: lessonmaker's own files differ; install"
    )
    assert said[1] == (
        f"the worker {worker} does 2 tasks at a time in one process; "
        f"start it with `dask worker {poor.address} --nthreads 1 --nworkers 2`"
    )
    assert not list((small / "out").glob("*/*.mp4"))


def test_workers_without_the_fonts_of_the_look_are_named_before_anything_is_made(
    small, lone, capsys, tmp_path, monkeypatch
):
    """The fonts are installed here and not there."""
    install(
        tmp_path / "site", "fontpkg-squares", {"regular.ttf": square_font(400), "bold.ttf": square_font(700)}
    )
    monkeypatch.syspath_prepend(str(tmp_path / "site"))
    (small / "shared" / "look.yaml").write_text("fonts: {text: fontpkg-squares}\n")
    settings = small / "scripts" / "book.yaml"
    settings.write_text(f"{settings.read_text()}look: ../shared/look.yaml\n")
    (worker,) = lone.workers
    assert main(["build", str(small), "--cluster", lone.address]) == 1
    assert capsys.readouterr().err.splitlines()[-1] == (
        f"the worker {worker} has not the fonts of the look: fontpkg-squares; "
        "install the fonts' packages there as they are here (pip install), and build again"
    )
    assert not list((small / "out").glob("store/??/*"))


def test_too_little_memory_is_told():
    fault = clusters.unfit_worker("tcp://w:1", "tcp://s:1", {"nthreads": 1, "memory_limit": 100_000_000})
    assert str(fault).startswith(
        "the worker tcp://w:1 may use 100 MB of memory, and needs 600; start it with a higher"
    )
    assert clusters.unfit_worker("tcp://w:1", "tcp://s:1", {"nthreads": 1, "memory_limit": 0}) is None


def test_other_libraries_of_a_worker_are_named(monkeypatch):
    ours = {"lessonmaker": "2.0", "numpy": "2.1", "av": "18.0"}
    monkeypatch.setattr(clusters, "tools_versions", lambda: ours)
    theirs = {"lessonmaker": "2.0", "numpy": "1.26"}
    assert "would make other films: numpy 1.26 (here 2.1), av none (here 18.0); install" in str(
        clusters.other_version("tcp://w:1", theirs)
    )
    assert "it has not this program; install" in str(clusters.other_version("tcp://w:1", {}))


def test_a_worker_of_another_version_that_comes_later_makes_nothing(poor, monkeypatch):
    """As if it had come after all workers had been looked at."""
    monkeypatch.setattr(clusters.Cluster, "require_fit", lambda _: None)
    (worker,) = poor.workers
    with (
        clusters.cluster_pool(poor.address, lambda: None) as cluster,
        pytest.raises(MaterialError, match=f"the worker {worker} would make other films"),
    ):
        cluster.submit(partial(bytes, 3)).result(timeout=WAIT_S)


def test_a_part_that_ends_every_worker_is_given_up(tmp_path, monkeypatch):
    monkeypatch.setenv("DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES", "1")
    said = "a part was given up: 2 workers, one after the other, ended while"
    with (
        loopback_cluster(tmp_path / "cluster") as cluster,
        pytest.raises(MaterialError, match=said),
        clusters.cluster_pool(cluster.address, lambda: None) as pool,
    ):
        pool.submit(partial(os._exit, 1)).result(timeout=WAIT_S)


def test_a_scheduler_without_workers_is_waited_for(small, capsys, tmp_path, monkeypatch):
    monkeypatch.setattr(clusters, "LONELY_S", 0.6)
    with loopback_cluster(tmp_path / "cluster", []) as cluster:
        assert main(["build", str(small), "--cluster", cluster.address]) == 1
    said = capsys.readouterr().err.splitlines()
    assert f"waiting for workers at {cluster.address}" in said
    assert f"the scheduler at {cluster.address} has had no worker that takes work for 1 s" in said[-1]


@pytest.mark.parametrize("address", ["nonsense", "http://127.0.0.1:80"])
def test_what_is_no_address_is_refused(small, fault, address):
    said = fault("build", small, "--cluster", address, status=2)
    assert f"{address!r} is no address of a scheduler (" in said


def test_an_address_that_needs_certificates_says_where_they_are_named(small, fault):
    said = fault("build", small, "--cluster", "tls://127.0.0.1:80", status=2)
    assert said == (
        "tls://127.0.0.1:80 needs certificates; name them in Dask's configuration, under distributed.comm.tls"
    )


@pytest.mark.parametrize("listens", [False, True], ids=["nobody", "another protocol"])
def test_where_no_scheduler_answers_that_is_told(small, fault, monkeypatch, listens):
    monkeypatch.setattr(clusters, "ANSWER_S", 0.5)
    with socket.create_server(("127.0.0.1", 0)) as server:
        address = f"tcp://127.0.0.1:{server.getsockname()[1]}"
        if not listens:
            server.close()
        said = fault("build", small, "--cluster", address)
    assert said.startswith(f"no scheduler answers at {address}; look at")


def test_a_worker_is_no_scheduler(poor, small, fault):
    (worker,) = poor.workers
    assert f"what answers at {worker} is a worker, no scheduler" in fault("build", small, "--cluster", worker)


def test_without_the_package_it_says_how_to_get_it(small, fault, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    monkeypatch.delitem(sys.modules, "lessonmaker.build.cluster")
    said = fault("build", small, "--cluster", "tcp://127.0.0.1:8786", status=2)
    assert "is not installed; install it: pip install 'lessonmaker[cluster]'" in said
