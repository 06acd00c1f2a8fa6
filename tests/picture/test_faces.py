import sys
from importlib.metadata import PackageNotFoundError
from platform import node

import pytest

from lessonmaker.faults import MaterialError
from lessonmaker.picture.faces import Face, face_at, font_data, font_file, uprights
from lessonmaker.picture.look import standard_look
from lessonmaker.picture.text import set_text
from tests.tools.font_packages import EM, install, square_font


@pytest.fixture
def site(tmp_path, monkeypatch):
    """An empty folder for packages."""
    monkeypatch.syspath_prepend(tmp_path)
    return tmp_path


def test_single_weights_are_found_and_the_nearest_is_taken(site) -> None:
    fonts = {f"Squares-{weight}.ttf": square_font(weight) for weight in (300, 400, 700)}
    install(site, "squares-of-tests", fonts)
    found = uprights("squares-of-tests")
    assert [(one.lightest, one.heaviest) for one in found] == [(300, 300), (400, 400), (700, 700)]
    assert [face_at(found, weight).weight for weight in (400, 500, 600, 900)] == [400, 400, 700, 700]
    assert "squares_of_tests" not in sys.modules


def test_a_variable_font_has_every_weight_between_its_ends() -> None:
    found = uprights("fontpkg-source-serif-4")
    assert [(one.lightest, one.heaviest) for one in found] == [(200, 900)]
    assert face_at(found, 600) == standard_look().face("title")


def test_slanted_fonts_fonts_without_latin_letters_and_broken_ones_are_left_out(site) -> None:
    fonts = {
        "Slanted.ttf": square_font(italic=True),
        "Few.ttf": square_font(letters="ABC"),
        "Broken.ttf": square_font()[:300],
        "Text.otf": b"no font",
        "Good.ttf": square_font(),
    }
    install(site, "mixed-of-tests", fonts)
    assert [one.file.path.rpartition("/")[2] for one in uprights("mixed-of-tests")] == ["Good.ttf"]


def test_a_package_that_is_not_there_or_holds_no_font() -> None:
    assert uprights("pytest") == ()
    with pytest.raises(PackageNotFoundError, match="no-such-fonts"):
        uprights("no-such-fonts")


def test_text_is_set_in_the_package_s_font(site) -> None:
    install(site, "wide-of-tests", {"Wide.ttf": square_font(advance=2 * EM)})
    face = face_at(uprights("wide-of-tests"), 400)
    assert set_text("AB", face, 50).advance == pytest.approx(2 * 2 * 50)


def test_fonts_that_differ_from_those_looked_at_are_refused(site) -> None:
    install(site, "changing-of-tests", {"One.ttf": square_font()})
    file = uprights("changing-of-tests")[0].file
    install(site, "changing-of-tests", {"One.ttf": square_font(weight=500)})
    with pytest.raises(MaterialError, match=f"changing-of-tests has other fonts on {node()} than"):
        font_data(file)
    (site / file.path).unlink()
    with pytest.raises(MaterialError, match=f"not on {node()}: changing-of-tests; install it: pip install"):
        font_data(file)


def test_faces_are_equal_by_what_their_files_hold() -> None:
    title = standard_look().face("title")
    assert Face(font_file(title.file.package, title.file.path), 600) == title
