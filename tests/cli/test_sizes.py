"""`sizes` in a book file: every lesson in each of them in one build, laid out anew; what is heard is made once."""

import json
import shutil

import av
import numpy as np
import pytest

from lessonmaker.build import lesson, voice
from lessonmaker.build.sounds import FINISHED_S
from lessonmaker.cli import main
from tests.tools.tiny_book import make_book

pytestmark = pytest.mark.usefixtures("in_this_process")

SIZES = {"concert": (320, 180), "concert-180x320": (180, 320), "concert-320x320": (320, 320)}
LISTED = "sizes: [320x180, 180x320, 320x320]\n"
SCENE = """\
from moviepy import ColorClip


def opening(size):
    return ColorClip(size, color=(200, 40, 40), duration=1)
"""
CUES = "cues:\n  - scene: intro:opening\n    title: Hello\n  - play: all\n    title: All of it\n"


@pytest.fixture(scope="module")
def finished(tmp_path_factory):
    """A book in one edition and three shapes, built: its folder, its films as JSON, and what was spoken and fitted."""
    book = make_book(tmp_path_factory.mktemp("sizes") / "book")
    script, settings = book / "scripts" / "four-bars.yaml", book / "scripts" / "book.yaml"
    script.write_text(script.read_text().replace("cues:\n  - play: all\n    title: All of it\n", CUES))
    (book / "scripts" / "intro.py").write_text(SCENE)
    changed = (
        settings.read_text().replace("[concert, e-flat]", "[concert]").replace("size: 640x360\n", LISTED)
    )
    settings.write_text(f"{changed}sample: four-bars\n")
    made = []
    fit, spoken = lesson.fit_lesson, voice.spoken
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(voice, "spoken", lambda *said: made.append("spoken") or spoken(*said))
        patch.setattr(lesson, "fit_lesson", lambda *asked: made.append("fitted") or fit(*asked))
        assert main(["build", str(book), "--allow-code"]) == 0
    return book, made


@pytest.fixture
def book(finished, tmp_path):
    """A copy of the finished book; the copies of its files are as old as the files."""
    return shutil.copytree(finished[0], tmp_path / "book", copy_function=shutil.copy2)


def film(book, place):
    return book / "out" / place / "four-bars.mp4"


def picture(path, at_s):
    """The picture of a film at a time, RGB."""
    with av.open(str(path)) as container:
        for frame in container.decode(video=0):
            if frame.time >= at_s:
                return frame.to_ndarray(format="rgb24")
    raise AssertionError


def pages(book, place):
    return json.loads((book / "out" / place / "four-bars.timeline.json").read_text())["pages"]


def heard(path):
    with av.open(str(path)) as container:
        return [bytes(packet) for packet in container.demux(audio=0)]


def answer(capsys, *arguments):
    capsys.readouterr()
    assert main([str(argument) for argument in arguments]) == 0
    return capsys.readouterr().out


def test_there_is_a_film_of_each_shape_with_all_that_goes_with_it(finished):
    book, _ = finished
    for place, (width, height) in SIZES.items():
        assert picture(film(book, place), 3).shape == (height, width, 3)
        assert len(list((book / "out" / place).iterdir())) == 6


def test_what_is_heard_is_made_once(finished):
    book, made = finished
    assert made == ["fitted", "spoken"]
    first, *others = (heard(film(book, place)) for place in SIZES)
    assert all(other == first for other in others)
    with av.open(str(film(book, "concert"))) as container:
        film_s = container.duration / av.time_base
    costs = json.loads((book / "out" / "store" / "costs.json").read_text())
    assert costs["sound"]["work"] < 1.1 * FINISHED_S * film_s
    assert costs["pictures"]["work"] > 0


def test_an_upright_picture_has_fewer_bars_a_row(finished):
    wide, upright, square = (
        max(len(row) for page in pages(finished[0], place) for row in page["rows"]) for place in SIZES
    )
    assert (wide, upright <= 2, square < wide) == (4, True, True)


def test_the_authors_own_scene_is_made_in_each_size(finished):
    for place in SIZES:
        seen = picture(film(finished[0], place), 0.5).reshape(-1, 3)
        assert np.abs(seen.astype(int) - (200, 40, 40)).max() < 12


def test_nothing_is_made_twice(book, capsys):
    films = [json.loads(line) for line in answer(capsys, "build", book, "--json").splitlines()[1:]]
    assert [(one["made"], one["size"]) for one in films] == [
        (False, "{}x{}".format(*size)) for size in SIZES.values()
    ]


def test_a_further_size_leaves_the_films_of_the_first_alone(book, capsys, monkeypatch):
    settings = book / "scripts" / "book.yaml"
    settings.write_text(settings.read_text().replace(LISTED, "size: 320x180\n"))
    monkeypatch.chdir(book)
    assert answer(capsys, "build", "--dry-run").startswith(
        "out/concert/four-bars.mp4: unchanged\n0 films to make"
    )
    settings.write_text(settings.read_text().replace("size: 320x180\n", "sizes: [320x180, 200x320]\n"))
    said = answer(capsys, "build", "--dry-run").splitlines()
    assert said[:2] == [
        "out/concert/four-bars.mp4: unchanged",
        "out/concert-200x320/four-bars.mp4: it has not been made yet",
    ]
    assert said[2].startswith("1 film to make, about 0:")


def test_a_film_that_a_score_is_laid_over_keeps_its_own_size(book, capsys, monkeypatch):
    (book / "media" / "walk.mp4").write_bytes(b"a film")
    settings = book / "scripts" / "book.yaml"
    overlay = "overlays: [{film: ../media/walk.mp4, score: ../media/four-bars.musicxml}]\n"
    settings.write_text(settings.read_text() + overlay)
    monkeypatch.chdir(book)
    said = answer(capsys, "build", "--dry-run").splitlines()
    assert [line.split(": ")[0] for line in said if "walk" in line] == ["out/concert/walk-film.mp4"]


def test_a_package_for_each_size(book, capsys):
    released = json.loads(answer(capsys, "release", book, "--json"))
    names = [package["folder"].rpartition("/")[2] for package in released["packages"]]
    assert names == [f"tiny-{place}-{product}" for place in SIZES for product in ("films", "sample")]
    for place, (width, height) in SIZES.items():
        package = book / "release" / "001" / f"tiny-{place}-films"
        assert json.loads((package / "manifest.json").read_text())["picture"] == f"{width}x{height}"
        assert (package / "01-four-bars.mp4").read_bytes() == film(book, place).read_bytes()


def test_only_the_size_that_changed_is_fetched_again(book, capsys):
    answer(capsys, "release", book)
    settings = book / "scripts" / "book.yaml"
    settings.write_text(settings.read_text().replace(", 320x320]", "]"))
    manifest = book / "release" / "001" / "manifest.json"
    earlier = json.loads(manifest.read_text())
    for package in earlier["packages"]:
        if package["picture"] == "180x320":
            package["films"][0]["files"][0]["sha256"] = "0" * 64
    manifest.write_text(json.dumps(earlier))
    released = json.loads(answer(capsys, "release", book, "--json"))
    again = {package["folder"].rpartition("/")[2]: package["again"] for package in released["packages"]}
    assert again == {
        "tiny-concert-films": [],
        "tiny-concert-sample": [],
        "tiny-concert-180x320-films": ["01-four-bars.mp4"],
        "tiny-concert-180x320-sample": ["01-four-bars.mp4"],
    }


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("sizes: [320x180, 320x180]", ":5:8: 320x180 stands twice; keep one"),
        ("sizes: [320x180, 181x320]", ":5:18: '181x320' is no picture size; write width x height in even"),
        ("sizes: []", ":5:8: the list is empty; write a list of sizes, as in [1920x1080, 1080x1920, 1080x1080]"),
        ("sizes: 320x180", ":5:8: text stands where a list is expected; write a list of sizes"),
        ("size: 320x180\nsizes: [180x320]", ":6:8: the book has both `size` and `sizes`; keep one of them"),
    ],
)  # fmt: skip
def test_sizes_that_cannot_be(tmp_path, fault, line, message):
    book = make_book(tmp_path / "book")
    settings = book / "scripts" / "book.yaml"
    settings.write_text(settings.read_text().replace("size: 640x360", line))
    assert message in fault("check", book)


def test_editions_whose_films_would_go_into_one_folder_are_refused(tmp_path, fault):
    book = make_book(tmp_path / "book")
    (book / "shared" / "editions.yaml").write_text(
        "concert-180x320: {label: C edition, spoken: C, written: P1, clef: G2, range: B3-C6}\n"
    )
    settings = book / "scripts" / "book.yaml"
    text = settings.read_text().replace("size: 640x360\n", LISTED)
    settings.write_text(text.replace("[concert, e-flat]", "[concert, concert-180x320]"))
    said = fault("build", book)
    assert "concert in 180x320 and concert-180x320 would both be made in concert-180x320; give one" in said


def test_remarks_on_pictures_name_their_shape(tmp_path, capsys):
    book = make_book(tmp_path / "book")
    (book / "shared" / "look.yaml").write_text(
        "title_card: {heading: A heading of a good many words that is long}\n"
    )
    settings = book / "scripts" / "book.yaml"
    settings.write_text(
        settings.read_text().replace("size: 640x360\n", f"{LISTED}look: ../shared/look.yaml\n")
    )
    assert main(["check", str(book)]) == 0
    remarks = [line for line in capsys.readouterr().err.splitlines() if "A heading" in line]
    assert remarks and all("180x320, " in line or "320x320, " in line for line in remarks)
