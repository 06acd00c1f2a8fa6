from dataclasses import replace

import numpy as np
import pytest

from lessonmaker.picture.cards import card_figures, form_words, key_words, music_words
from lessonmaker.picture.chords import set_chord
from lessonmaker.picture.figures import Frame
from lessonmaker.picture.look import read_look, standard_look
from lessonmaker.picture.page import label_setting, label_text
from lessonmaker.picture.painter import Painter
from lessonmaker.score.model import Key
from lessonmaker.theory.chord import Chord, ChordDegree
from lessonmaker.theory.pitch import NoteName
from lessonmaker.timeline.model import Caption
from tests.tools.picture_lesson import lesson, score_in

FRAME = Frame(standard_look())
STRONG = FRAME.look.face("strong")


@pytest.mark.parametrize("kind", ["title", "end"])
@pytest.mark.parametrize("title", ["So", "An Endless Title " * 6])
def test_a_card_stays_inside_the_measure_and_above_the_strip(kind: str, title: str) -> None:
    figures = card_figures(FRAME, replace(lesson(), title=title), score_in("gaslight-errand", "b-flat"), kind)
    assert len(figures) >= 3
    assert all(figure.box.left > 80 and figure.box.right <= 1825 for figure in figures)
    assert all(figure.box.top > 54 and figure.box.bottom < 930 for figure in figures)


def test_a_card_says_the_form_without_the_pickup_and_the_music_s_facts() -> None:
    score = score_in("gaslight-errand", "b-flat")
    assert form_words(lesson(), score) == "A B C D E  ·  44 bars"
    assert "4/4" in music_words(score)
    assert "7/4" in music_words(score_in("the-tin-heron", "concert"))


@pytest.mark.parametrize(
    ("key", "words"),
    [
        (Key(0, "major"), "C major"),
        (Key(-3, "minor"), "C minor"),
        (Key(2, "major"), "D major"),
        (Key(-5, "major"), "D♭ major"),
        (Key(3, "minor"), "F♯ minor"),
        (Key(0), "no sharps or flats"),
        (Key(1), "1 sharp"),
        (Key(-4), "4 flats"),
    ],
)
def test_keys_are_named(key: Key, words: str) -> None:
    assert key_words(key) == words


def test_a_chord_symbol_s_superscript_is_raised_and_smaller() -> None:
    plain, seventh = (
        set_chord(Chord(NoteName("C"), "major"), 60, standard_look()),
        set_chord(Chord(NoteName("C"), "dominant"), 60, standard_look()),
    )
    assert len(seventh.shapes) == len(plain.shapes) + 1
    raised = seventh.shapes[-1]
    assert raised.y == pytest.approx(-0.29 * 60)
    assert raised.scale_x == pytest.approx(0.68 * plain.shapes[0].scale_x)
    assert seventh.advance > plain.advance


def test_a_chord_symbol_has_its_alterations_and_its_bass() -> None:
    altered = Chord(NoteName("B", -1), "dominant", (ChordDegree("add", 9, -1),))
    slash = Chord(NoteName("F"), "major", bass=NoteName("G"))
    assert len(set_chord(altered, 60, standard_look()).shapes) == len("B♭7(♭9)")
    assert len(set_chord(slash, 60, standard_look()).shapes) == len("F/G")
    assert len(set_chord(None, 60, standard_look()).shapes) == len("N.C.")


def test_labels_have_real_signs_and_centre_on_their_digits() -> None:
    assert [label_text(text) for text in ("b13", "#9", "bb7", "5")] == ["♭13", "♯9", "♭♭7", "5"]
    setting, middle = label_setting("b9", STRONG, 48)
    digits, digits_middle = label_setting("9", STRONG, 48)
    assert setting.advance - middle == pytest.approx(digits.advance - digits_middle)


def test_no_type_is_under_forty_pixels_and_staves_keep_their_height() -> None:
    look = standard_look()
    filmed = {name: group for name, group in look.sizes.items() if name != "fit"}  # a sheet, seen near by
    sizes = [value for group in filmed.values() for name, value in group.items() if name.endswith("size")]
    shares = {look.size("chord", name) for name in ("super_size", "minor_size")}
    assert min(size for size in sizes if size not in shares) >= 40
    for kind, least in (("play", 56), ("analysis", 80), ("tension", 130)):
        assert look.kinds[kind].staff >= least
        assert look.kinds[kind].label_size >= 40
        assert look.kinds[kind].chord_size * look.size("chord", "super_size") >= 40


def test_a_colour_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="non-hexadecimal"):
        read_look({"kinds": {}, "colours": {"ink": "#GG0000"}})


def test_words_over_a_card_have_their_caption() -> None:
    score, shown = score_in("gaslight-errand", "b-flat"), lesson()
    spoken = replace(shown, captions=(Caption(0, shown.scenes[0].end, ("Before anything is shown.",)),))
    silent = replace(shown, captions=())
    with_words, without = (
        Painter(one, score, size=(640, 360)).rgb(0).astype(int) for one in (spoken, silent)
    )
    differing = np.nonzero(np.abs(with_words - without).max(axis=2) > 60)[0]
    assert differing.size > 100
    assert differing.min() * 3 >= 800 and differing.max() * 3 <= 930
