"""Signs of two things over the same notes stand apart: every pair, over spans that meet in every way, on any line."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import combinations_with_replacement
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from lessonmaker.picture.collisions import engraved_items, row_items
from lessonmaker.picture.figures import Frame
from lessonmaker.picture.look import standard_look
from lessonmaker.picture.page import Row, RowOrder, engraving_of, lay_row, settled, stack_rows
from lessonmaker.picture.skyline import LEAST_FIRST, place_signs, stack_with_signs
from lessonmaker.score.edition import EDITIONS, make_edition
from lessonmaker.score.model import Score
from lessonmaker.score.read import read_score
from lessonmaker.timeline.model import SignShape
from tests.tools.piece_xml import piece_xml
from tests.tools.random_piece import Change, LineNote, Piece

SIZES = ((1920, 1080), (1080, 1920), (1080, 1080))
LINES = {
    "high": (84, 91, 86, 88),
    "low": (52, 55, 57, 50),
    "leaping": (52, 84, 60, 88),
    "middle": (67, 71, 74, 69),
}
Notes = Sequence[str]
Size = tuple[int, int]
# How two spans of the sixteen eighths of two bars lie to each other.
SPANS = {
    "the same": (slice(0, 16), slice(0, 16)),
    "overlapping": (slice(0, 10), slice(5, 16)),
    "one in the other": (slice(0, 16), slice(4, 9)),
    "side by side": (slice(0, 8), slice(8, 16)),
}


def grouped(notes: Notes, size: int) -> list[Notes]:
    return [notes[at : at + size] for at in range(0, len(notes), size)]


def brackets(notes: Notes, lane: str, size: int, first: int = 1) -> list[SignShape]:
    groups = enumerate(grouped(notes, size), first)
    return [SignShape("bracket", tuple(group), lane, str(number)) for number, group in groups]


def beats(notes: Notes, lane: str) -> SignShape:
    points = [(notes[at], notes[at + 1], 0.5, at % 8 == 0) for at in range(0, len(notes) - 1, 2)]
    return SignShape("beats", tuple(notes), lane, points=tuple(points))


def scale(notes: Notes, lane: str) -> SignShape:
    words = [
        ("B♭", "used"),
        ("C♭", "deciding"),
        ("D♭", "deciding"),
        ("D", ""),
        ("F♭", "used"),
        ("G♭", "deciding"),
    ]
    return SignShape("scale", tuple(notes[:1]), lane, words=(*words, ("A♭", "used"), ("A", "")))


MAKERS: dict[str, Callable[[Notes, str], list[SignShape]]] = {
    "statements": lambda notes, lane: brackets(notes, lane, 4),
    "statements of two": lambda notes, lane: brackets(notes, lane, 2, 9),
    "single notes": lambda notes, lane: brackets(notes, lane, 1, 98),
    "groups over beats": lambda notes, lane: [*brackets(notes, lane, 3), beats(notes, lane)],
    "line": lambda notes, lane: [SignShape("bracket", tuple(notes), lane)],
    "phrase": lambda notes, lane: [SignShape("arc", tuple(notes), lane)],
    "short phrases": lambda notes, lane: [
        SignShape("arc", tuple(one), lane) for one in grouped(notes, 4) if len(one) > 1
    ],
    "scale": lambda notes, lane: [scale(notes, lane)],
}
PAIRS = list(combinations_with_replacement(MAKERS, 2))


@cache
def score_of(line: str, edition: str) -> Score:
    pitches = LINES[line]
    half = Fraction(1, 2)
    notes = tuple(LineNote(half * n, half, pitches[n % 4] + n % 3, False) for n in range(32))
    changes = tuple(
        Change(Fraction(2 * n), (2 + 5 * n) % 12, "altered" if n % 2 else "minor") for n in range(8)
    )
    with TemporaryDirectory() as folder:
        path = Path(folder) / "piece.musicxml"
        path.write_text(piece_xml(Piece(4, 4, 0, 120, changes, notes)), encoding="utf-8")
        return make_edition(read_score(path), EDITIONS[edition]).score


def numerals(score: Score) -> list[SignShape]:
    texts = ("d: iiø7", "subV7/iii", "E♭ dorian: i7", "#ivo7")
    changes = enumerate(score.changes)
    return [SignShape("numeral", (one.id,), "numeral", texts[at % len(texts)]) for at, one in changes]


@cache
def bare_row(line: str, edition: str, size: Size, bars: tuple[int, ...], labelled: bool = True) -> Row:
    look = standard_look().fitted(size)
    score = score_of(line, edition)
    marked = [note.id for note in score.struck if note.bar == bars[0]][:3]
    labels = tuple(zip(marked, ("b9", "#11", "5"), strict=True)) if labelled else ()
    frame, order = Frame(look), RowOrder("analysis", bars, "", "1", labels, arrows=labelled)
    return lay_row(look, frame, score, order, engraving_of(frame, score, order).made(score))


def signs_over(pair: tuple[str, str], span: str, score: Score) -> list[SignShape]:
    notes = [note.id for note in score.struck]
    one, other = SPANS[span]
    return [*MAKERS[pair[0]](notes[one], "first"), *MAKERS[pair[1]](notes[other], "second")]


def clashes(row: Row) -> Iterator[tuple[SignShape, str]]:
    """Signs of a row that stand on another, on what is drawn or may light up, or outside the measure."""
    frame = Frame(row.look)
    drawn = [one for one in (*row_items(row), *engraved_items(row)) if one.box.bottom > row.staff_bottom]
    placed = list(row.signs.items())
    for number, (shape, figures) in enumerate(placed):
        boxes = [figure.box for figure in figures]
        for other, theirs in placed[number + 1 :]:
            if any(box.overlaps(one.box) for box in boxes for one in theirs):
                yield shape, f"{other.kind} {other.text}"
        yield from ((shape, item.what) for item in drawn for box in boxes if box.overlaps(item.box))
        if not row.lane_above:
            yield from ((shape, "lane") for lane in row.lane_boxes for box in boxes if box.overlaps(lane))
        if any(box.left < frame.left - 1 or box.right > frame.right + 1 for box in boxes):
            yield shape, "margin"


CASES = [(pair, span) for pair in PAIRS for span in SPANS]
EVERY = 7  # of these in other editions and shapes than the first, others in each


@pytest.mark.parametrize("edition", ["concert", "bass-clef"])
@pytest.mark.parametrize("line", LINES)
def test_signs_of_any_two_things_stand_apart(line: str, edition: str) -> None:
    score = score_of(line, edition)
    for number, size in enumerate(SIZES):
        row = bare_row(line, edition, size, (0, 1))
        all_of_them = (edition, number) == ("concert", 0)
        for pair, span in CASES if all_of_them else CASES[number + len(line) :: EVERY]:
            shapes = signs_over(pair, span, score) + numerals(score)
            placed = place_signs(row, shapes)
            assert list(clashes(placed)) == [], (pair, span, size)
            here = [one for one in shapes if one.kind != "numeral" or one.targets[0] in row.system.changes]
            assert set(placed.signs) == set(here), (pair, span, size)


def test_the_pairs_overprint_where_nothing_holds_them_apart() -> None:
    """The check above can fail: signs that are all drawn at one height clash."""
    row, score = bare_row("low", "concert", SIZES[0], (0, 1)), score_of("low", "concert")
    placed = place_signs(row, signs_over(("statements", "phrase"), "overlapping", score))
    level = {
        shape: tuple(one.moved(0, row.staff_bottom - one.box.top) for one in figures)
        for shape, figures in placed.signs.items()
    }
    found = {what for _, what in clashes(replace(placed, signs=level))}
    assert {"arc ", "note"} <= found


def test_the_smallest_signs_are_nearest_to_the_notes() -> None:
    row, score = bare_row("middle", "concert", SIZES[0], (0, 1)), score_of("middle", "concert")
    notes = [note.id for note in score.struck][:16]
    long, short = SignShape("bracket", tuple(notes), "line"), SignShape("bracket", tuple(notes[4:8]), "cell")
    arc = SignShape("arc", tuple(notes), "phrase")
    placed = place_signs(row, [arc, long, short, scale(notes, "scale")])
    tops = [
        min(one.box.top for one in placed.signs[shape]) for shape in (short, long, arc, scale(notes, "scale"))
    ]
    assert tops == sorted(tops)


def test_signs_of_a_device_stand_at_one_height_and_beats_under_their_brackets() -> None:
    row, score = bare_row("leaping", "concert", SIZES[0], (0, 1)), score_of("leaping", "concert")
    placed = place_signs(row, signs_over(("groups over beats", "groups over beats"), "the same", score))
    for lane in ("first", "second"):
        tops = {
            round(placed.signs[one][0].box.top, 6)
            for one in placed.signs
            if (one.kind, one.lane) == ("bracket", lane)
        }
        assert len(tops) == 1
    lanes = {(one.lane, one.kind): figures[0].box.top for one, figures in placed.signs.items()}
    assert sorted(lanes, key=lanes.__getitem__) == [
        (lane, kind) for lane in ("first", "second") for kind in ("bracket", "beats")
    ]


def test_a_sign_hangs_no_lower_than_what_stands_over_it() -> None:
    """A low note lowers what stands under its bar, not what stands under the next one."""
    row, score = bare_row("low", "concert", SIZES[0], (0, 1)), score_of("low", "concert")
    notes = [note.id for note in score.struck]
    first, second = (SignShape("bracket", tuple(notes[at : at + 8]), f"lane {at}") for at in (0, 8))
    over = SignShape("scale", tuple(notes[:1]), "scale", words=(("C", "used"),))
    placed = place_signs(row, [first, second, over])
    assert placed.signs[over][0].box.top > placed.signs[first][0].box.bottom
    assert max(one.box.bottom for one in placed.signs[second]) < placed.signs[over][-1].box.bottom


@pytest.mark.parametrize(
    ("line", "size"), [("middle", SIZES[0]), *(("low", size) for size in SIZES)], ids=str
)
def test_where_a_page_has_no_room_the_less_important_signs_are_left_out(
    line: str, size: tuple[int, int]
) -> None:
    look, score = standard_look().fitted(size), score_of(line, "concert")
    kind = look.kinds["analysis"]
    notes = [note.id for note in score.struck]
    makers = enumerate((*MAKERS.values(), MAKERS["statements"]))
    named = [shape for number, make in makers for shape in make(notes, f"lane {number}")] + numerals(score)
    bare = [bare_row(line, "concert", size, bars, labelled=False) for bars in ((0, 1), (2, 3))]
    rows = [place_signs(row, named) for row in bare]
    assert not settled(kind, stack_rows(kind, rows), 0.0)
    assert settled(kind, stack_rows(kind, bare), 0.0)
    stacked = [row for row in stack_with_signs(kind, rows) if row is not None]
    assert settled(kind, stacked, 0.0)
    assert all(row.extent.bottom <= kind.bottom + 1 for row in stacked)
    assert stacked[0].extent.bottom <= stacked[1].extent.top
    assert [list(clashes(row)) for row in stacked] == [[], []]
    kept = [LEAST_FIRST.index(shape.kind) for row in stacked for shape in row.signs]
    gone = [
        LEAST_FIRST.index(shape.kind)
        for row, full in zip(stacked, rows, strict=True)
        for shape in set(full.signs) - set(row.signs)
    ]
    assert kept and gone and max(gone) <= min(kept)


def test_what_there_is_room_for_stays() -> None:
    look, score = standard_look().fitted(SIZES[0]), score_of("middle", "concert")
    shapes = [*signs_over(("statements", "phrase"), "the same", score), *numerals(score)]
    row = place_signs(bare_row("middle", "concert", SIZES[0], (0, 1, 2, 3)), shapes)
    (stacked,) = stack_with_signs(look.kinds["analysis"], [row])
    assert stacked is not None and set(stacked.signs) == set(shapes)


def test_a_phrase_that_goes_on_in_another_row_reaches_the_edge() -> None:
    score = score_of("middle", "concert")
    arc = SignShape("arc", tuple(note.id for note in score.struck)[4:20], "phrase")
    first, second = (
        place_signs(bare_row("middle", "concert", SIZES[0], bars), [arc]) for bars in ((0, 1), (2, 3))
    )
    assert first.signs[arc][0].box.right == pytest.approx(first.x + first.system.width, abs=5)
    assert second.signs[arc][0].box.left == pytest.approx(second.x + second.system.music_left, abs=5)
    assert second.signs[arc][0].box.right < second.x + second.system.width / 2
