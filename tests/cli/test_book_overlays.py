"""Films that a book file has its score laid over: made in every edition, left alone while nothing changed, released."""

import json
import shutil
from fractions import Fraction

import av
import numpy as np
import pytest
from PIL import Image

from lessonmaker.build.progress import LONGEST_LOG
from lessonmaker.build.store import Store
from lessonmaker.cli import main
from tests.tools.clock_film import make_film
from tests.tools.layers import LayerFrames
from tests.tools.tiny_book import LEAD_IN_S, QUARTER_S, make_book

LESSON = """\
lesson: Four Bars
composer: Odo Plinth
score: ../media/four-bars.musicxml
cues:
  - bars: 2
    title: The lean
    say: The [flat nine](b9@2) leans on {chord 2}.
"""
BOOK = """\
book: Tiny
author: Odo Plinth
lessons: [four-bars.yaml]
editions: [concert]
size: 320x180
overlays:
  - film: ../media/walk.mp4
    score: ../media/four-bars.musicxml
    side: top
"""
FILES = [
    "walk-film.bars.csv",
    "walk-film.chapters.txt",
    "walk-film.mp4",
    "walk-film.png",
    "walk-film.timeline.json",
]


pytestmark = pytest.mark.usefixtures("in_this_process")


@pytest.fixture(scope="module")
def finished(tmp_path_factory):
    """A book of a lesson and a film, built."""
    book = make_book(tmp_path_factory.mktemp("filmed") / "book")
    make_film(book / "media" / "walk.mp4", [number / Fraction(20) for number in range(180)], (320, 180))
    (book / "scripts" / "four-bars.yaml").write_text(LESSON)
    (book / "scripts" / "book.yaml").write_text(BOOK)
    assert main(["build", str(book)]) == 0
    return book


@pytest.fixture
def book(finished, tmp_path):
    """A copy of the finished book; the copies of its files are as old as the files."""
    return shutil.copytree(finished, tmp_path / "book", copy_function=shutil.copy2)


@pytest.fixture
def build(book, capsys):
    """Build the book; what is said of its films as JSON, by name."""

    def built(*arguments):
        capsys.readouterr()
        assert main(["build", str(book), *arguments, "--json"]) == 0
        events = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
        films = [event for event in events if event["event"] == "film"]
        return {film.get("overlay") or film["lesson"]: film for film in films}

    return built


def change(book, path, old, new):
    file = book.joinpath(*path)
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new))


def test_what_the_film_took_is_kept_and_a_log_that_has_grown_too_long_begins_anew(book, build):
    log, costs = book / "out" / "build.log", book / "out" / "store" / "costs.json"
    log.write_text("x" * (LONGEST_LOG + 1))
    costs.unlink()
    change(book, ("scripts", "book.yaml"), "side: top", "side: bottom")
    assert build("walk-film")["walk-film"]["made"]
    assert "walk-film" in log.read_text()
    assert log.stat().st_size < 10_000
    assert list(json.loads(costs.read_text())) == ["a whole film"]


def test_a_film_is_made_with_what_goes_with_it(finished):
    out = finished / "out" / "concert"
    assert sorted(path.name for path in out.glob("walk-film.*")) == FILES
    with av.open(str(out / "walk-film.mp4")) as container:
        luma = [frame.to_ndarray(format="gray") for frame in container.decode(video=0)]
    assert len(luma) == 180
    assert luma[100][:8].mean() > 230  # the score's paper, on the side that was asked for
    assert (finished / "out" / "sync" / "walk-film.fit.json").is_file()


def test_what_is_unchanged_is_left_alone(book, build):
    before = (book / "out" / "concert" / "walk-film.mp4").stat().st_mtime_ns
    film = build()["walk-film"]
    assert (film["made"], film["edition"], film["why"]) == (False, "concert", [])
    assert (book / "out" / "concert" / "walk-film.mp4").stat().st_mtime_ns == before


def test_a_poster_shows_the_film_while_its_first_bar_sounds(finished):
    out = finished / "out" / "concert"
    picture = np.asarray(Image.open(out / "walk-film.png")).astype(int)
    assert picture.shape == (180, 320, 3)
    first, *_ = (out / "walk-film.bars.csv").read_text(encoding="utf-8").splitlines()[1:]
    middle_s = sum(map(float, first.split(",")[2:4])) / 2
    with av.open(str(out / "walk-film.mp4")) as container:
        frames = {float(frame.time): frame for frame in container.decode(video=0)}
    in_sight = frames[max(time_s for time_s in frames if time_s <= middle_s)]
    shown = in_sight.reformat(format="rgb24", src_colorspace="ITU709").to_ndarray()
    assert np.abs(picture - shown).max() <= 2
    blue = (picture[:, :, 2] - picture[:, :, 0] > 60).sum(axis=1).max()
    assert blue > 40  # the rule under the bar that sounds


SETTINGS = ("scripts", "book.yaml")
CHANGES = {
    "side": (SETTINGS, "side: top", "side: left", "the score lies on another side"),
    "labels": (
        SETTINGS,
        "side: top",
        "side: top\n    labels: yes",
        "the notes' degrees are shown or left out",
    ),
    "part": (SETTINGS, "side: top", "side: top\n    to: 0:05", "it ends elsewhere in the film"),
    "note": (
        ("media", "four-bars.musicxml"),
        "<step>B</step>",
        "<step>A</step>",
        "bars 2, 3 of the score changed",
    ),
}


@pytest.mark.parametrize(("path", "old", "new", "why"), CHANGES.values(), ids=CHANGES)
def test_a_dry_run_says_why_in_the_authors_words_and_makes_nothing(book, build, path, old, new, why):
    before = (book / "out" / "concert" / "walk-film.mp4").read_bytes()
    change(book, path, old, new)
    film = build("--dry-run")["walk-film"]
    assert (film["to_make"], film["why"]) == (True, [why])
    assert (book / "out" / "concert" / "walk-film.mp4").read_bytes() == before


def test_another_edition_uses_the_kept_fit_and_leaves_the_lesson_alone(book, capsys):
    change(book, SETTINGS, "side: top", "side: bottom")
    change(book, SETTINGS, "editions: [concert]", "editions: [concert, e-flat]")
    assert main(["build", str(book), "walk-film", "--explain"]) == 0
    captured = capsys.readouterr()
    assert "fitting its sound" not in captured.err
    assert "E♭ edition: bars 1-4: the etude is printed an octave lower" in captured.err
    lines = captured.out.splitlines()
    assert lines == [
        f"{book}/out/concert/walk-film.mp4 (9 s): the score lies on another side",
        f"{book}/out/e-flat/walk-film.mp4 (9 s): it has not been made yet",
    ]
    assert not (book / "out" / "e-flat" / "four-bars.mp4").exists()


def test_another_film_is_fitted_anew(book, build):
    times = [number / Fraction(20) for number in range(170)]
    make_film(book / "media" / "walk.mp4", times, (320, 180))
    film = build("--explain")["walk-film"]
    assert (film["made"], film["why"]) == (True, ["the film is another"])


def test_a_build_that_is_stopped_leaves_the_film_as_it_was(book, monkeypatch, capsys):
    before = (book / "out" / "concert" / "walk-film.mp4").read_bytes()
    change(book, SETTINGS, "side: top", "side: bottom")

    def stopped(*_):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr("lessonmaker.build.overlay.Progress.advance", stopped)
        assert main(["build", str(book)]) == 130
    assert "What was finished before is whole" in capsys.readouterr().err
    assert (book / "out" / "concert" / "walk-film.mp4").read_bytes() == before
    assert not list(book.rglob("*.part"))


def test_the_film_is_released_with_its_edition(book, capsys):
    assert main(["release", str(book), "--json"]) == 0
    (package,) = json.loads(capsys.readouterr().out)["packages"]
    folder = book / "release" / "001" / "tiny-concert-films"
    made = [f"02-walk-film{ending}" for ending in (".chapters.txt", ".description.txt", ".mp4", ".png")]
    assert [name for name in sorted(path.name for path in folder.iterdir()) if "walk" in name] == made
    assert set(made) < set(package["again"])
    said = (folder / "02-walk-film.description.txt").read_text(encoding="utf-8")
    assert "Film 2 of Tiny, by Odo Plinth" in said and "filmed while it is played" in said
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    assert [film.get("overlay") for film in manifest["films"]] == [None, "walk-film"]


def test_a_release_waits_for_the_film(book, capsys):
    change(book, SETTINGS, "side: top", "side: bottom")
    assert main(["release", str(book)]) == 1
    assert "this film is not as it should be: the score lies on another side" in capsys.readouterr().err


FAULTS = {
    "no film": ("film: ../media/walk.mp4", "film: ../media/four-bars.wav", "holds no picture"),
    "short": ("film: ../media/walk.mp4", "film: ../media/short.mp4", "short.mp4 is shorter than the score"),
    "part": ("side: top", "from: 1:30", "there is nothing of the film from 1:30: it lasts 0:09"),
    "score": ("score: ../media/four-bars.musicxml", "score: book.yaml", "book.yaml"),
    "code": (
        "side: top",
        "code: 00:00:00:30",
        "book.yaml:9:11: '00:00:00:30' is no time code at 20 frames a second; write hours up to 23, minutes and "
        "seconds up to 59, frames up to 19",
    ),
    "sound": (
        "film: ../media/walk.mp4",
        "film: ../media/plain.mov\n    container: mp4",
        "book.yaml:8:16: plain.mov: pcm_s16le sound cannot be copied into MP4 files; write `container: mov`",
    ),
}


@pytest.mark.parametrize("command", ["check", "build", "release"])
@pytest.mark.parametrize(("old", "new", "message"), FAULTS.values(), ids=FAULTS)
def test_a_film_that_cannot_be_used_is_told_before_anything_is_made(book, capsys, command, old, new, message):
    make_film(book / "media" / "short.mp4", [Fraction(0), Fraction(1, 2)], (320, 180))
    make_film(book / "media" / "plain.mov", [Fraction(0), Fraction(8)], (320, 180), codec="pcm_s16le")
    change(book, SETTINGS, old, new)
    shutil.rmtree(book / "out")
    assert main([command, str(book)]) == 1
    said = [line for line in capsys.readouterr().err.splitlines() if not line.startswith("Tiny:")]
    assert len(said) == 1 and message in said[0]
    assert not list(book.glob("out/concert/*"))


def test_two_films_of_one_name_do_not_overwrite_each_other(book, capsys):
    change(book, SETTINGS, "side: top", "side: top\n    name: Four Bars")
    assert main(["build", str(book)]) == 1
    said = capsys.readouterr().err
    assert "book.yaml:7:5: walk.mp4 and four-bars.yaml would both be made as four-bars; give one" in said


@pytest.fixture
def layered(book):
    """The book, which has a layer made in place of the film."""
    change(book, SETTINGS, "side: top", "side: top\n    layer: yes\n    code: 10:00:00:00")
    return book


@pytest.mark.parametrize(("container", "ending"), [("", "mov"), ("\n    container: webm", "webm")])
def test_a_layer_is_made_kept_and_explained_as_a_film_is(layered, build, container, ending):
    change(layered, SETTINGS, "layer: yes", f"layer: yes{container}")
    assert build("walk-layer")["walk-layer"]["made"]
    path = layered / "out" / "concert" / f"walk-layer.{ending}"
    frames = LayerFrames(path)
    assert len(frames) == 180
    picture = frames[100]
    assert picture[4, 160, 3] > 250 and picture[170, 160, 3] == 0  # the score at its head, and nothing below
    rows = path.with_suffix(".bars.csv").read_text(encoding="utf-8").splitlines()
    assert "10:00:00:" in rows[1]
    assert (build("walk-layer")["walk-layer"]["made"], build("walk-layer")["walk-layer"]["why"]) == (
        False,
        [],
    )
    change(layered, SETTINGS, "code: 10:00", "code: 09:00")
    why = build("walk-layer", "--dry-run")["walk-layer"]["why"]
    assert why == ["it begins with another time code"]


def test_a_film_and_its_layer_are_released_side_by_side(layered):
    both = "score: ../media/four-bars.musicxml\n  - film: ../media/walk.mp4\n    score: ../media/four-bars.musicxml"
    change(layered, SETTINGS, "score: ../media/four-bars.musicxml", both)
    assert main(["build", str(layered)]) == 0
    assert main(["release", str(layered)]) == 0
    folder = layered / "release" / "001" / "tiny-concert-films"
    names = [path.name for path in folder.iterdir()]
    assert {"02-walk-film.mp4", "03-walk-layer.mov", "03-walk-layer.chapters.txt"} <= set(names)
    said = (folder / "03-walk-layer.description.txt").read_text(encoding="utf-8")
    assert "Layer 3 of Tiny" in said and "to be laid over its film in an editor" in said


@pytest.mark.parametrize("layer_first", [False, True])
def test_a_film_and_its_layer_share_one_fit(book, capsys, layer_first):
    film = "  - film: ../media/walk.mp4\n    score: ../media/four-bars.musicxml\n"
    settings = book.joinpath(*SETTINGS)
    both = f"{film}    layer: yes\n{film}" if layer_first else f"{film}{film}    layer: yes\n"
    settings.write_text(
        BOOK.replace("editions: [concert]", "editions: [concert, e-flat]").split("  - film")[0] + both
    )
    shutil.rmtree(book / "out")
    capsys.readouterr()
    assert main(["build", str(book), "walk-film", "walk-layer"]) == 0
    said = capsys.readouterr().err
    assert said.count("walk.mp4: fitting its sound") == 1
    assert len(list((book / "out" / "sync").iterdir())) == 1
    for edition in ("concert", "e-flat"):
        bars = [(book / "out" / edition / f"walk-{kind}.bars.csv").read_text() for kind in ("film", "layer")]
        assert bars[0] == bars[1]


CUES = """\
lesson: Four Bars
composer: Odo Plinth
score: ../media/four-bars.musicxml
take: ../media/walk.mp4
sync: {1.1: 0:00.4}
cues:
  - bars: 2
    title: The lean
    say: The [flat nine](b9@2) leans on {chord 2}.
"""


@pytest.fixture
def told(book):
    """The book, whose film tells a lesson that has the film as its take."""
    return telling(book)


def telling(book):
    (book / "scripts" / "at-night.yaml").write_text(CUES)
    change(book, SETTINGS, "score: ../media/four-bars.musicxml", "lesson: at-night.yaml")
    return book


@pytest.fixture(scope="module")
def finished_telling(finished, tmp_path_factory):
    """The book whose film tells a lesson, with that film made."""
    folder = tmp_path_factory.mktemp("telling") / "book"
    book = telling(shutil.copytree(finished, folder, copy_function=shutil.copy2))
    assert main(["build", str(book), "walk-film"]) == 0
    return book


@pytest.fixture
def told_before(finished_telling, book):
    """A copy of that book, in place of the one that `build` builds."""
    shutil.rmtree(book)
    return shutil.copytree(finished_telling, book, copy_function=shutil.copy2)


def test_a_film_tells_a_lesson_in_each_editions_words(told, build):
    change(told, SETTINGS, "editions: [concert]", "editions: [concert, e-flat]")
    film = build("walk-film")["walk-film"]
    assert film["made"] and [remark["what"] for remark in film["remarks"]] == [
        "the kept fit is not used: the pins have changed"
    ]
    said = {
        edition: (told / "out" / edition / "walk-film.vtt").read_text(encoding="utf-8")
        for edition in ("concert", "e-flat")
    }
    assert "The flat nine leans on G7." in said["concert"].replace("\n", " ")
    assert "The flat nine leans on E7." in said["e-flat"].replace("\n", " ")
    assert "The flat nine" in (told / "out" / "concert" / "walk-film.srt").read_text(encoding="utf-8")
    timeline = json.loads((told / "out" / "concert" / "walk-film.timeline.json").read_text(encoding="utf-8"))
    assert [label["text"] for label in timeline["labels"]] == ["b9"]
    second_bar_s = LEAD_IN_S + 4 * QUARTER_S
    assert timeline["captions"][0]["start"] / 240_000 == pytest.approx(second_bar_s, abs=0.06)


def test_a_caption_stands_on_paper_over_the_film_and_leaves_it_again(finished_telling):
    out = finished_telling / "out" / "concert"
    timeline = json.loads((out / "walk-film.timeline.json").read_text(encoding="utf-8"))
    ((start, end),) = [(one["start"] / 240_000, one["end"] / 240_000) for one in timeline["captions"]]
    with av.open(str(out / "walk-film.mp4")) as container:
        luma = {float(frame.time): frame.to_ndarray(format="gray") for frame in container.decode(video=0)}
    middle = [one[:, 130:190] for one in luma.values()]
    light = [(one > 200).sum(axis=0).min() for one in middle]  # rows of paper, in the column with the fewest
    during = [rows for time_s, rows in zip(luma, light, strict=True) if start + 0.1 < time_s < end - 0.1]
    others = [rows for time_s, rows in zip(luma, light, strict=True) if not start - 0.1 < time_s < end + 0.1]
    assert min(during) > max(others) + 3


def test_of_a_changed_sentence_only_what_shows_it_is_encoded_again(told, build, monkeypatch):
    film, put, given = told / "out" / "concert" / "walk-film.mp4", Store.put, []
    monkeypatch.setattr(Store, "put", lambda *entry: given.append(entry[1]) or put(*entry))
    build("walk-film")
    every = len(given)
    change(told, ("scripts", "at-night.yaml"), "leans on", "rests upon")
    assert build("walk-film")["walk-film"]["made"]
    assert 0 < len(given) - every < every
    made = film.read_bytes()
    assert "rests upon" in film.with_suffix(".vtt").read_text(encoding="utf-8").replace("\n", " ")
    shutil.rmtree(told / "out" / "store")
    assert build("walk-film")["walk-film"]["made"]
    assert film.read_bytes() == made


@pytest.mark.parametrize(
    ("path", "old", "new"),
    [
        (SETTINGS, "side: top", "side: top\n    paper: 60%"),
        (SETTINGS, "side: top", "side: top\n    labels: yes"),
        (SETTINGS, "side: top", "side: top\n    form: yes"),
        (SETTINGS, "side: top", "side: top\n    beside: yes"),
        (SETTINGS, "side: top", "side: top\n    chords: no"),
        (SETTINGS, "side: top", "side: bottom"),
        (SETTINGS, "side: top", "side: top\n    from: 0:01"),
        (("media", "four-bars.musicxml"), "<step>B</step>", "<step>A</step>"),
    ],
)
def test_whatever_is_changed_no_span_is_taken_for_another(told_before, build, path, old, new):
    film = told_before / "out" / "concert" / "walk-film.mp4"
    before = film.read_bytes()
    change(told_before, path, old, new)
    build("walk-film")
    made = film.read_bytes()
    assert made != before
    shutil.rmtree(told_before / "out" / "store")
    build("walk-film")
    assert film.read_bytes() == made


def test_a_damaged_span_is_told_and_made_again(told, build, capsys):
    others = set((told / "out" / "store").glob("??/*.kept"))
    build("walk-film")
    made = (told / "out" / "concert" / "walk-film.mp4").read_bytes()
    (told / "out" / "concert" / "walk-film.mp4").unlink()
    damaged = min(set((told / "out" / "store").glob("??/*.kept")) - others)
    damaged.write_bytes(damaged.read_bytes()[:-9] + b"something")
    assert main(["build", str(told), "walk-film"]) == 0
    assert "a kept part is damaged; it is made anew" in capsys.readouterr().err
    assert (told / "out" / "concert" / "walk-film.mp4").read_bytes() == made


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("leans on", "rests upon", "cue 1 says something else"),
        ("0:00.4", "0:00.5", "other places are pinned in the take"),
    ],
)
def test_a_changed_script_makes_the_film_again(told_before, build, old, new, why):
    assert build("walk-film")["walk-film"]["made"] is False
    change(told_before, ("scripts", "at-night.yaml"), old, new)
    film = build("walk-film", "--dry-run")["walk-film"]
    assert (film["to_make"], film["why"]) == (True, [why])


def test_its_claims_are_examined_as_any_lessons(told, capsys):
    change(told, ("scripts", "at-night.yaml"), "b9@2", "#9@2")
    for command in ("check", "build"):
        assert main([command, str(told)]) == 1
        (fault,) = (line for line in capsys.readouterr().err.splitlines() if "at-night" in line)
        assert "at-night.yaml:9:15: there is no #9 in bar 2" in fault


def test_the_command_takes_a_lesson_for_a_score(told, capsys, tmp_path):
    film, script = told / "media" / "walk.mp4", told / "scripts" / "at-night.yaml"
    made = tmp_path / "made.mp4"
    assert main(["overlay", str(film), str(script), "--edition", "e-flat", "--output", str(made)]) == 0
    assert "leans on E7." in made.with_suffix(".vtt").read_text(encoding="utf-8")
    assert capsys.readouterr().out.splitlines()[:3] == [
        f"{made} (9 s)",
        *(f"{made.with_suffix(one)}" for one in (".vtt", ".srt")),
    ]
    assert main(["overlay", str(film), str(script), "--part", "Solo"]) == 2
    assert "a lesson script has them as keys" in capsys.readouterr().err


def test_check_says_that_it_has_looked_at_the_film(book, capsys):
    assert main(["check", str(book), "walk-film"]) == 0
    film = book / "media" / "walk.mp4"
    assert capsys.readouterr().out.splitlines() == [f"{film}: walk-film: a film, no faults"]


@pytest.mark.parametrize(
    ("command", "message"),
    [
        ("sync", "walk-film is a film, not a lesson; to look at its sound: lessonmaker sync SCORE"),
        ("build", "there is no lesson 'walk-flim' (did you mean 'walk-film'?)"),
    ],
)
def test_a_film_is_no_lesson(book, capsys, command, message):
    name = "walk-film" if command == "sync" else "walk-flim"
    assert main([command, str(book), name]) == 2
    assert message in capsys.readouterr().err


def test_what_a_film_tells_is_not_to_be_recorded(told, capsys):
    assert main(["check", str(told), "--to-record"]) == 0
    said = capsys.readouterr().out
    assert "four-bars.yaml" in said and "at-night.yaml" not in said
