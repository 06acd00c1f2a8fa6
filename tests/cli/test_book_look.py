"""A book's own look through the commands: checked with the lessons, seen in films and clips, kept apart from sound."""

import json
import shutil
from contextlib import contextmanager

import av
import numpy as np
import pytest
from PIL import Image

import lessonmaker
from lessonmaker.build import workers as makers
from lessonmaker.cli import main
from tests.tools.at_once import AtOnce
from tests.tools.font_packages import install, square_font
from tests.tools.own_looks import make_look

PAPER = (0x17, 0x1B, 0x20)
PICTURES, JOINING = "lessonmaker.build.pictures", "lessonmaker.build.joining"


class Watched(AtOnce):
    """An executor that notes in which module each piece of work is defined."""

    def __init__(self):
        self.modules = []

    def submit(self, work):
        self.modules.append(work.work.func.__module__)
        return super().submit(work)


@pytest.fixture(scope="module")
def workers():
    """Have every part made here, and note what they are."""
    watched = Watched()

    @contextmanager
    def pool(_width, _ready):
        yield watched

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(makers, "worker_pool", pool)
        yield watched


@pytest.fixture(scope="module")
def finished(tmp_path_factory, workers):
    """A short lesson without a take in a look of its own, built once."""
    from tests.tools.tiny_book import make_book

    book = make_book(tmp_path_factory.mktemp("looks") / "book")
    make_look(book)
    script = book / "scripts" / "four-bars.yaml"
    text = script.read_text()
    for part in ("take: ../media/four-bars.wav\n", "  - play: all\n    title: All of it\n"):
        assert part in text
        text = text.replace(part, "")
    script.write_text(text)
    settings = book / "scripts" / "book.yaml"
    text = settings.read_text().replace("[concert, e-flat]", "[concert]").replace("640x360", "320x180")
    settings.write_text(f"{text}look: ../shared/look.yaml\n")
    assert main(["build", str(book)]) == 0
    assert set(workers.modules) > {PICTURES}
    return book


@pytest.fixture
def book(finished, tmp_path, workers):
    """A copy of the finished book; the copies of its files are as old as the files."""
    workers.modules.clear()
    return shutil.copytree(finished, tmp_path / "book", copy_function=shutil.copy2)


@pytest.fixture
def build(book, capsys):
    """Build the book's one film; its line as JSON."""

    def built(*arguments):
        capsys.readouterr()
        assert main(["build", str(book), "--json", *arguments]) == 0
        events = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
        return next(event for event in events if event["event"] == "film")

    return built


def change(book, old, new, name="shared/look.yaml"):
    file = book / name
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new))


def film_of(book):
    return book / "out" / "concert" / "four-bars.mp4"


def first_picture(book):
    with av.open(str(film_of(book))) as container:
        return next(container.decode(video=0)).to_ndarray(format="rgb24")


def sound_of(book):
    with av.open(str(film_of(book))) as container:
        return [bytes(packet) for packet in container.demux(audio=0)]


def test_a_film_is_on_the_look_s_paper(finished):
    picture = first_picture(finished)
    assert np.abs(picture[90, 5].astype(int) - PAPER).max() <= 2
    amber = np.abs(picture[:50, 200:].astype(int) - (230, 159, 0)).max(axis=2) < 40
    assert amber.sum() > 50  # the logo's ring


def test_an_unchanged_look_changes_nothing(book, build, workers):
    (book / "shared" / "look.yaml").touch()
    film = build("--explain")
    assert (film["made"], film["why"], workers.modules) == (False, [], [])


def test_a_changed_look_makes_the_pictures_again_and_not_the_sound(book, build, workers):
    sound = sound_of(book)
    change(book, "#F0925A", "#F4A070")
    film = build("--explain")
    assert (film["made"], film["why"]) == (True, ["the look has changed"])
    assert set(workers.modules) == {PICTURES, JOINING}
    assert sound_of(book) == sound


def test_a_changed_card_makes_the_card_s_pictures_alone(book, build, workers):
    change(book, "Thank you for practising", "Well done")
    assert build("--explain")["why"] == ["the look has changed"]
    for_the_card = workers.modules.count(PICTURES)
    change(book, "#F0925A", "#F4A070")
    build()
    for_all = workers.modules.count(PICTURES) - for_the_card
    assert set(workers.modules) == {PICTURES, JOINING}
    assert 0 < for_the_card < for_all


def test_a_changed_logo_counts_as_the_look(book, build):
    Image.new("RGB", (80, 40), (230, 159, 0)).save(book / "shared" / "logo.png")
    assert build("--explain")["why"] == ["the look has changed"]
    amber = np.abs(first_picture(book)[11:20, 285:295].astype(int) - (230, 159, 0)).max(axis=2) < 40
    assert amber.all()


def test_a_comment_in_the_look_makes_the_film_of_the_parts_there_are(book, build, workers):
    before = film_of(book).read_bytes()
    change(book, "sizes:", "# as large as it goes\nsizes:")
    film = build("--explain")
    assert (film["made"], film["why"], workers.modules) == (True, ["the look has changed"], [JOINING])
    assert film_of(book).read_bytes() == before


def test_another_version_of_a_font_package_is_said(book, build, monkeypatch, tmp_path):
    monkeypatch.syspath_prepend(tmp_path)
    install(tmp_path, "squares-of-books", {"Squares.ttf": square_font()})
    change(book, "text: fontpkg-source-serif-4", "text: squares-of-books")
    build()
    install(tmp_path, "squares-of-books", {"Squares.ttf": square_font(advance=700)}, version="1.1")
    shutil.rmtree(tmp_path / "squares_of_books-1.0.dist-info")
    film = build("--explain")
    assert (film["made"], film["why"]) == (True, ["the look's fonts are of another version"])


def test_faults_of_the_look_come_with_those_of_the_scripts_and_nothing_is_built(book, capsys, workers):
    change(book, "#F0925A", "#20242A")
    change(book, "b9@2", "b13@2", "scripts/four-bars.yaml")
    for command in ("check", "build"):
        capsys.readouterr()
        assert main([command, str(book)]) == 1
        said = capsys.readouterr().err
        assert f"{book}/shared/look.yaml:5:12: tension on paper has a contrast of 1." in said
        assert f"{book}/scripts/four-bars.yaml:" in said
    assert workers.modules == []


def test_what_is_noteworthy_of_a_look_is_said_by_check_and_build(book, capsys):
    change(book, 'now: "#6FB7E9"', 'now: "#F0925A"')
    for command in ("check", "build"):
        capsys.readouterr()
        assert main([command, str(book)]) == 0
        said = capsys.readouterr().err
        assert said.count(f"{book}/shared/look.yaml:5:12: every eye hardly tell tension from now") == 1


def test_a_look_that_the_book_does_not_name_is_told(book, capsys):
    settings = book / "scripts" / "book.yaml"
    settings.write_text(settings.read_text().replace("look: ../shared/look.yaml\n", ""))
    said = (
        f"{book / 'shared' / 'look.yaml'}: this look is not used: the book file does not name it; "
        f"write `look: ../shared/look.yaml` in {settings}"
    )
    for command in ("check", "build"):
        assert main([command, str(book)]) == 0
        assert said in "".join(capsys.readouterr())


def test_check_says_what_does_not_fit_into_the_look(book, capsys):
    change(
        book,
        "Four Bars",
        "Four Bars and then a great many bars more, as long as they last",
        "scripts/four-bars.yaml",
    )
    change(
        book,
        "{form}",
        "{edition} for whoever plays in any of the keys there are, and for whoever listens to them all, all year long",
    )
    assert main(["check", str(book)]) == 0
    said = capsys.readouterr().err
    assert "too long for the header: it is cut; make it shorter, or its type smaller" in said
    assert "four-bars.yaml: Concert edition: the title card's line 'Concert edition for whoever" in said


def test_what_fits_in_no_lesson_is_said_once_of_the_look(book, capsys):
    script = (book / "scripts" / "four-bars.yaml").read_text()
    (book / "scripts" / "again.yaml").write_text(
        script.replace("lesson: Four Bars", "lesson: Four Bars Again")
    )
    change(book, "[four-bars.yaml]", "[four-bars.yaml, again.yaml]", "scripts/book.yaml")
    change(book, "[concert]", "[concert, e-flat]", "scripts/book.yaml")
    change(
        book,
        "From {book}",
        "In every key that there is, and then in every other one, by heart and with the lights turned off",
    )
    assert main(["check", str(book)]) == 0
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 1
    assert said[0].startswith(f"remark: {book}/shared/look.yaml: the title card's line 'In every key")


def test_a_clip_has_the_look(book):
    with lessonmaker.clip(str(book / "scripts" / "four-bars.yaml")) as clip:
        assert tuple(clip.get_frame(0.5)[90, 5]) == PAPER
