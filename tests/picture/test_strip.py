from dataclasses import replace
from itertools import pairwise

import pytest

from lessonmaker.picture.figures import Frame, caption_figures, header_figures, line_pieces, place_figures
from lessonmaker.picture.look import standard_look
from lessonmaker.picture.strip import layout_strip
from lessonmaker.timeline.model import Caption, CaptionTerm
from tests.tools.picture_lesson import lesson

FRAME = Frame(standard_look())
TITLES = [
    "So",
    "Gaslight Errand",
    "A Title That Never Ends, Being the Longest of All the Etudes in This Book",
]


def form_of(sections: list[int]) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """A form with sections of these lengths, lettered A, B, C ..."""
    starts = [sum(sections[:number]) for number in range(len(sections))]
    return tuple(
        (chr(ord("A") + number), tuple(range(start, start + length)))
        for number, (start, length) in enumerate(zip(starts, sections, strict=True))
    )


@pytest.mark.parametrize("sections", [[1], [8] * 4, [9, 8, 8, 8, 12], [16] * 8, [4] * 26, [1] * 20, [200]])
def test_the_whole_form_fits_the_measure_in_order(sections: list[int]) -> None:
    strip = layout_strip(FRAME, replace(lesson(), form=form_of(sections), bar_numbers=()))
    boxes = [strip.cells[bar] for bar in range(sum(sections))]
    assert boxes[0].left == pytest.approx(FRAME.left)
    assert boxes[-1].right == pytest.approx(FRAME.right)
    assert all(one.right < other.left for one, other in pairwise(boxes))
    assert len({round(box.width, 6) for box in boxes}) == 1


def test_a_pickup_has_a_narrower_cell_before_the_letter_of_its_section() -> None:
    numbers = tuple(str(number) for number in range(17))
    strip = layout_strip(FRAME, replace(lesson(), form=form_of([9, 8]), bar_numbers=numbers))
    pickup, first, last = (strip.cells[bar] for bar in (0, 1, 16))
    assert pickup.width == pytest.approx(first.width / 2)
    assert (pickup.left, last.right) == pytest.approx((FRAME.left, FRAME.right))
    assert strip.letters[0] == ("A", first.left)


def test_gaps_between_sections_are_wider_than_between_bars() -> None:
    strip = layout_strip(FRAME, replace(lesson(), form=form_of([8, 8]), bar_numbers=()))
    gaps = [strip.cells[bar + 1].left - strip.cells[bar].right for bar in (6, 7)]
    assert gaps == pytest.approx([4, 18])


@pytest.mark.parametrize("sections", [[1] * 20, [4] * 26, [2, 1, 1, 40]])
def test_section_letters_never_touch(sections: list[int]) -> None:
    strip = layout_strip(FRAME, replace(lesson(), form=form_of(sections), bar_numbers=()))
    figures = [strip.letter_figures(number, current=False) for number in range(len(sections))]
    boxes = [figure.box for some in figures for figure in some]
    assert boxes
    assert all(one.right < other.left for one, other in pairwise(boxes))
    assert boxes[-1].right <= FRAME.width


def test_states_of_a_cell_differ_in_shape_not_only_in_colour() -> None:
    strip = layout_strip(FRAME, lesson())
    heights = {state: strip.cell_figures(3, state)[0].box.height for state in ("current", "played", "empty")}
    assert heights["current"] == heights["played"] + 14
    assert [len(strip.cell_figures(3, state)) for state in ("played", "empty", "discussed")] == [1, 2, 2]


@pytest.mark.parametrize("title", TITLES)
@pytest.mark.parametrize("edition", ["Concert edition", "Bass clef edition"])
def test_the_header_s_parts_never_touch(title: str, edition: str) -> None:
    fixed = header_figures(FRAME, title, edition)
    place = place_figures(FRAME, title, edition, "A", "bars 118–121, 126–129")
    row = sorted((figure.box for figure in (*fixed[:2], *place[::2])), key=lambda box: box.left)
    assert all(one.right + 12 < other.left for one, other in pairwise(row))
    assert row[0].left >= FRAME.left - 1 and row[-1].right <= FRAME.right + 1


def test_a_caption_is_centred_and_holds_still_while_terms_are_lit() -> None:
    term = CaptionTerm(0, 1, 0, 4, 13, "tension")
    caption = Caption(0, 9, ("The flat nine falls a half step", "to the fifth."), (term,))
    plain, lit = (caption_figures(FRAME, caption, spoken) for spoken in ((), (term,)))
    boxes = [figure.box for figure in plain[:3]]
    assert (boxes[0].left + boxes[-1].right) / 2 == pytest.approx(960, abs=3)
    assert [figure.use for figure in lit] == ["ink", "tension", "ink", "ink"]
    for before, after in zip(plain, lit, strict=True):
        assert after.box.left == pytest.approx(before.box.left, abs=2)
    assert plain[0].box == lit[0].box and plain[2].box == lit[2].box


def test_a_line_is_cut_where_terms_begin_and_end() -> None:
    first, second = CaptionTerm(0, 1, 0, 0, 3, "now"), CaptionTerm(0, 1, 0, 8, 11, "rest")
    pieces = line_pieces("one and two.", [first, second])
    assert pieces == [("one", first), (" and ", None), ("two", second), (".", None)]


def test_captions_keep_inside_their_room() -> None:
    longest = "W" * 30 + "i" * 12
    figures = caption_figures(FRAME, Caption(0, 1, (longest, "gjpqy")), ())
    assert all(figure.box.left >= 96 and figure.box.right <= 1824 for figure in figures)
    assert all(figure.box.top > 800 and figure.box.bottom < 930 for figure in figures)
