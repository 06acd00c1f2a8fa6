"""Scenes that a lesson script names: how they are written, and which files they may come from."""

import pytest

from lessonmaker.faults import MaterialError
from lessonmaker.script.load import load_lesson
from tests.tools.tiny_book import make_book


@pytest.fixture
def scripts(tmp_path):
    folder = make_book(tmp_path / "book") / "scripts"
    (folder / "intro.py").write_text("raise SystemExit('this was run')\n")
    (folder / "films").mkdir()
    (folder / "films" / "outro.py").write_text("")
    return folder


def loaded(scripts, cue, head=""):
    path = scripts / "four-bars.yaml"
    score = "lesson: Four\nscore: ../media/four-bars.musicxml\n"
    path.write_text(f"{score}{head}cues:\n  - play: all\n  - {cue}\n")
    return load_lesson(path).cues[1]


@pytest.mark.parametrize(
    ("cue", "head", "name"),
    [
        ("scene: intro:opening", "", "intro:opening"),
        ("scene: films.outro:closing", "", "films.outro:closing"),
        ("{scene: intro:opening, title: Welcome}", "", "intro:opening"),
        ("scene: hello", "scenes: {hello: intro:opening, bye: films.outro:closing}\n", "intro:opening"),
        ("scene: bye", "scenes: {hello: intro:opening, bye: films.outro:closing}\n", "films.outro:closing"),
    ],
)
def test_a_scene_is_named_by_its_function_or_by_a_name_of_the_lesson_s(scripts, cue, head, name):
    assert loaded(scripts, cue, head).scene.name == name


@pytest.mark.parametrize(
    ("cue", "head", "message"),
    [
        (
            "scene: ../intro:opening",
            "",
            r":5:12: '../intro:opening' is no scene; write module:function, as in intro",
        ),
        ("scene: /etc/intro:opening", "", r"'/etc/intro:opening' is no scene"),
        ("scene: ..intro:opening", "", r"'..intro:opening' is no scene"),
        ("scene: 'intro:'", "", r"'intro:' is no scene"),
        ("scene: ':opening'", "", r"':opening' is no scene"),
        ("scene: 'intro:opening()'", "", r"is no scene"),
        ("scene: 'C:\\intro:opening'", "", r"is no scene"),
        ("scene: 'intro:a:b'", "", r"is no scene"),
        ("scene: os.path:join", "", r"there is no file os/path.py beside the script"),
        ("scene: intor:opening", "", r"there is no file intor.py beside the script; did you mean intro.py\?"),
        (
            "scene: helo",
            "scenes: {hello: intro:opening}\n",
            r"no scene 'helo' among `scenes`; did you mean hello\?",
        ),
        ("scene: hello", "", r"there is no scene 'hello' among `scenes`; write module:function"),
        (
            "{scene: intro:opening, say: Hello.}",
            "",
            r"nothing but a title beside it, not say; give say a cue of",
        ),
        ("{scene: intro:opening, bars: 1}", "", r"nothing but a title beside it, not bars"),
        ("scene: [a]", "", r"a list stands where text is expected"),
        ("bars: 1", "scenes: {a b: intro:opening}\n", r"'a b' is no name for a scene"),
        ("bars: 1", "scenes: {a: ../intro:opening}\n", r"'../intro:opening' is no scene"),
        (
            "bars: 1",
            "scenes: intro:opening\n",
            r"this is no map of names to functions; write names and functions",
        ),
    ],
)
def test_what_is_no_scene_is_told_with_its_place(scripts, cue, head, message):
    with pytest.raises(MaterialError, match=message):
        loaded(scripts, cue, head)


@pytest.mark.parametrize("link", ["intro.py", "films"])
def test_a_link_that_leads_out_of_the_book_is_refused(scripts, tmp_path, link):
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "outro.py").write_text("")
    place = scripts / link
    if place.is_dir():
        (place / "outro.py").unlink()
        place.rmdir()
        place.symlink_to(outside)
    else:
        place.unlink()
        place.symlink_to(outside / "outro.py")
    cue = "scene: films.outro:closing" if link == "films" else "scene: intro:opening"
    with pytest.raises(
        MaterialError, match="is a link that leads out of the book's folder; put the file itself"
    ):
        loaded(scripts, cue)


def test_a_link_within_the_book_is_followed(scripts):
    (scripts / "films" / "intro.py").symlink_to(scripts / "intro.py")
    assert loaded(scripts, "scene: films.intro:opening").scene.name == "films.intro:opening"
