"""Parts of a lesson: which cues a number, a title or bars name, and when they take place."""

import pytest

from lessonmaker.build.check import check_order
from lessonmaker.build.order import find_order
from lessonmaker.build.parts import cues_of, stretches_of
from lessonmaker.faults import UsageError
from lessonmaker.timeline.model import CueTime, Timeline
from tests.tools.tiny_book import make_book

CUES = """\
cues:
  - play: all
    title: All of it
  - bars: 2
    title: The lean
    say: The [flat nine](b9@2) leans on {chord 2}.
  - say: Hear it again.
  - bars: 1-2
    title: Towards it
  - compare: [1, 3]
    title: The Two
  - bars: 2
    title: The two
"""


@pytest.fixture(scope="module")
def checked(tmp_path_factory):
    book = make_book(tmp_path_factory.mktemp("parts") / "book")
    script = book / "scripts" / "four-bars.yaml"
    script.write_text(script.read_text().split("cues:")[0] + CUES)
    (lesson,) = check_order(find_order([str(book)], ["concert"]))
    return lesson


@pytest.mark.parametrize(
    ("part", "cues"),
    [
        (2, (2,)),
        ("The lean", (2, 3)),
        ("  the LEAN ", (2, 3)),
        ("The lean (bar 2)", (2, 3)),
        ("Towards it", (4,)),
        ("All of it", (1,)),
        ("2", (2, 3, 6)),
        ("1-2", (2, 3, 4, 6)),
        ("1-3", (2, 3, 4, 5, 6)),
        ("all", (1, 2, 3, 4, 5, 6)),
    ],
)
def test_a_part_is_named_by_number_title_or_bars(checked, part, cues):
    assert cues_of(part, checked) == cues


@pytest.mark.parametrize(
    ("part", "message"),
    [
        (0, "Four Bars has no cue 0: its cues are 1 to 6"),
        (7, "has no cue 7: its cues are 1 to 6"),
        ("The two", "'The two' is the title of cues 5 and 6: name one of them by its number"),
        ("The leen", r"'The leen' is no title in Four Bars \(did you mean 'The lean'\?\), and "),
        ("9", "'9' is no title in Four Bars, and there is no bar or section '9'"),
        ("4", "no cue of Four Bars is about 4 alone"),
    ],
)
def test_a_part_that_is_not_there_is_told(checked, part, message):
    with pytest.raises(UsageError, match=message):
        cues_of(part, checked)


def timeline(*cues):
    empty = dict.fromkeys(
        [
            "form",
            "bar_numbers",
            "scenes",
            "pages",
            "lights",
            "labels",
            "arrows",
            "captions",
            "chapters",
            "clips",
        ],
        (),
    )
    return Timeline(title="", composer="", edition="", duration=100, cues=tuple(cues), **empty)


def test_cues_that_follow_one_another_are_one_stretch():
    made = timeline(CueTime(10, 20, 1), CueTime(20, 35, 2), CueTime(35, 50, 3), CueTime(50, 60, 4))
    assert stretches_of([1, 2, 4], made) == ((10, 35), (50, 60))


def test_a_cue_that_takes_no_time_is_told():
    made = timeline(CueTime(10, 20, 1), CueTime(20, 20, 2))
    assert stretches_of([1, 2], made) == ((10, 20),)
    with pytest.raises(UsageError, match="nothing is seen or heard in cue 2"):
        stretches_of([2], made)
