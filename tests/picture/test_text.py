import numpy as np
import pytest

from lessonmaker.picture.fonts import Face, accidental, shape
from lessonmaker.picture.look import standard_look
from lessonmaker.picture.raster import Area, mask
from lessonmaker.picture.text import drawable, set_text, shorten

TITLE, TEXT, STRONG = (standard_look().face(use) for use in ("title", "text", "strong"))
ROOM = Area(0, 0, 600, 200)


def inked(text: str, face: Face, size: float) -> np.ndarray:
    """Where text stands: its pixels with the baseline at y 120, x from 40."""
    return mask(set_text(text, face, size).at(40, 120).shapes, ROOM, 1.0).alpha


@pytest.mark.parametrize("text", ["Night", "B♭ edition", "♭13", "♯9", "gjpqy", "7(♭9)", "Ämter"])
def test_the_box_of_text_is_where_its_ink_is(text: str) -> None:
    box = set_text(text, STRONG, 96).box
    rows, columns = np.nonzero(inked(text, STRONG, 96) > 32)
    assert box is not None
    ink = (columns.min() - 40, rows.min() - 120, columns.max() + 1 - 40, rows.max() + 1 - 120)
    assert np.allclose(ink, (box.left, box.top, box.right, box.bottom), atol=1.6)


def test_text_is_the_same_pixels_every_time() -> None:
    set_text.cache_clear()
    first = inked("Gaslight E♭", TITLE, 56)
    set_text.cache_clear()
    assert np.array_equal(first, inked("Gaslight E♭", TITLE, 56))


def test_accidentals_are_the_music_font_s_at_the_look_s_height() -> None:
    look = standard_look()
    for sign, name in (("♭", "flat"), ("♯", "sharp"), ("♮", "natural")):
        setting = set_text(sign, TEXT, 100)
        assert setting.box is not None
        assert setting.shapes[0].commands == accidental(sign).outline
        assert setting.box.height == pytest.approx(100 * look.size("accidental", name), abs=1.5)


def test_accidentals_beside_bold_figures_are_thickened() -> None:
    light, bold = inked("♭", TEXT, 100), inked("♭", STRONG, 100)
    assert bold.sum() > 1.15 * light.sum()


def test_letters_are_kerned() -> None:
    apart = sum(shape(letter, TITLE)[1] for letter in "AV")
    assert shape("AV", TITLE)[1] < apart


def test_a_setting_s_advance_adds_up_over_its_runs() -> None:
    whole = set_text("B♭ edition", TEXT, 40).advance
    parts = [set_text(part, TEXT, 40).advance for part in ("B", "♭", " edition")]
    assert whole == pytest.approx(sum(parts))


def test_what_the_font_lacks_is_made_plainer_or_a_question_mark() -> None:
    assert drawable("Straße, Ħő Жук", TITLE) == "Straße, Ħő Жук"
    assert drawable("第1", TITLE) == "?1"
    assert drawable("ﬁn ①", TITLE) in ("ﬁn 1", "fin 1")
    assert "♭" in drawable("B♭", TITLE)


def test_a_long_text_gets_smaller_and_then_an_ellipsis() -> None:
    sizes = (56, 52, 48, 44, 40)
    assert shorten("Short", TITLE, sizes, 900).advance == set_text("Short", TITLE, 56).advance
    long = "A title that goes on and on past every reasonable measure"
    for width in (1400, 1100, 800, 300):
        assert shorten(long, TITLE, sizes, width).advance <= width
    cut = shorten(long, TITLE, sizes, 800)
    assert cut.shapes[-1].commands == set_text("…", TITLE, 40).shapes[-1].commands


def test_double_signs_are_drawn_as_two_single_ones() -> None:
    assert drawable("A𝄫3, F𝄪", TEXT) == "A♭♭3, F♯♯"
