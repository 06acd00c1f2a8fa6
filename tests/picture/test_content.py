"""Contents: equal digests mean equal pixels, and whatever is seen differently has another digest."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from lessonmaker.picture.look import standard_look
from lessonmaker.picture.painter import Painter
from lessonmaker.theory.chord import parse_chord
from lessonmaker.timeline.model import TICKS_PER_SECOND, Sign, SignShape, Timeline
from tests.tools.picture_lesson import SECOND, lesson, score_in

SIZE = (640, 360)
TICKS = [int(seconds * SECOND) for seconds in (1, 3.0, 3.3, 3.95, 5, 7.05, 9, 9.9, 11, 13, 15)]
Change = Callable[[Timeline], Timeline]


def painter_of(timeline: Timeline, edition: str = "b-flat") -> Painter:
    return Painter(timeline, score_in("gaslight-errand", edition), size=SIZE)


def seen(painter: Painter) -> list[tuple[str, bytes]]:
    """The content and the pixels at some ticks."""
    keys = [painter.key(tick) for tick in TICKS]
    return [
        (painter.content(key), b"".join(plane.tobytes() for plane in painter.planes(key))) for key in keys
    ]


@pytest.fixture(scope="module")
def plain() -> list[tuple[str, bytes]]:
    return seen(painter_of(lesson()))


def relabelled(timeline: Timeline) -> Timeline:
    return replace(timeline, labels=tuple(replace(one, text="#11") for one in timeline.labels))


def with_other_words(timeline: Timeline) -> Timeline:
    return replace(
        timeline, captions=tuple(replace(one, lines=("Otherwise.",), terms=()) for one in timeline.captions)
    )


def with_uncoloured_terms(timeline: Timeline) -> Timeline:
    return replace(timeline, captions=tuple(replace(one, terms=()) for one in timeline.captions))


def heard_otherwise(timeline: Timeline) -> Timeline:
    lit = [light.targets[0] for light in timeline.lights if light.kind == "chord"]
    return replace(timeline, heard=tuple((str(name), parse_chord("F#m7b5")) for name in lit))


def with_numeral(timeline: Timeline) -> Timeline:
    lit = next(light for light in timeline.lights if light.kind == "note")
    shape = SignShape("bracket", (str(lit.targets[0]),), text="5")
    return replace(timeline, signs=(Sign(0, timeline.duration, shape),))


def with_curve(timeline: Timeline) -> Timeline:
    return replace(timeline, curve=tuple((bar, (0.2, 0.9)) for _, bars in timeline.form for bar in bars))


def with_other_sections(timeline: Timeline) -> Timeline:
    return replace(timeline, form=tuple((letter and "Z", bars) for letter, bars in timeline.form))


CHANGES: dict[str, Change] = {
    "title": lambda timeline: replace(timeline, title="Another Errand"),
    "composer": lambda timeline: replace(timeline, composer="Odo Plinth"),
    "edition": lambda timeline: replace(timeline, edition="Horn edition"),
    "labels": relabelled,
    "captions": with_other_words,
    "terms": with_uncoloured_terms,
    "heard": heard_otherwise,
    "signs": with_numeral,
    "arrows": lambda timeline: replace(timeline, arrows=()),
    "curve": with_curve,
    "numbers": lambda timeline: replace(
        timeline, bar_numbers=tuple(f"{number}a" for number in timeline.bar_numbers)
    ),
    "sections": with_other_sections,
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_whatever_is_seen_differently_has_another_content(
    change: Change, plain: list[tuple[str, bytes]]
) -> None:
    changed = seen(painter_of(change(lesson())))
    differing = [new[0] != old[0] for new, old in zip(changed, plain, strict=True) if new[1] != old[1]]
    assert differing and all(differing)


@pytest.mark.parametrize("name", ["composer", "captions", "terms", "heard", "arrows"])
def test_what_is_seen_as_before_keeps_its_content(name: str, plain: list[tuple[str, bytes]]) -> None:
    changed = seen(painter_of(CHANGES[name](lesson())))
    same = [new[0] == old[0] for new, old in zip(changed, plain, strict=True) if new[1] == old[1]]
    assert any(same)


def test_another_score_look_or_size_has_another_content(plain: list[tuple[str, bytes]]) -> None:
    score, look = score_in("gaslight-errand", "b-flat"), standard_look()
    pale = replace(look, colours={**look.colours, "now": (1, 2, 3)})
    others = [
        painter_of(lesson(), "e-flat"),
        Painter(lesson(), score, pale, SIZE),
        Painter(lesson(), score, look, (320, 180)),
    ]
    contents = {content for content, _ in plain}
    shared = [{other.content(other.key(tick)) for tick in TICKS} & contents for other in others]
    # The end card names the edition, which this lesson's timeline has from elsewhere, and nothing of the score.
    assert shared == [{plain[-1][0]}, set(), set()]


def test_a_scene_that_has_moved_is_known_again(plain: list[tuple[str, bytes]]) -> None:
    """Everything 32 frames later, behind a longer title."""
    later = 32 * TICKS_PER_SECOND // 30

    def moved(things: tuple) -> tuple:  # type: ignore[type-arg]
        return tuple(
            replace(one, start=one.start and one.start + later, end=one.end + later) for one in things
        )

    before = lesson()
    captions = tuple(replace(one, terms=moved(one.terms)) for one in moved(before.captions))
    names = ("scenes", "pages", "lights", "labels", "arrows")
    after = replace(
        before,
        duration=before.duration + later,
        captions=captions,
        **{name: moved(getattr(before, name)) for name in names},
    )
    painter = painter_of(after)
    for tick, (content, pixels) in zip(TICKS[1:], plain[1:], strict=True):
        key = painter.key(tick + later)
        assert painter.content(key) == content
        assert b"".join(plane.tobytes() for plane in painter.planes(key)) == pixels


def test_a_note_elsewhere_changes_nothing_here() -> None:
    """Bars whose own music, and what is tied to it, is the same have the same content."""
    timeline, score = lesson(), score_in("gaslight-errand", "b-flat")
    struck = [note for note in score.struck if note.bar == len(score.bars) - 3]
    other = replace(
        score, mei=score.mei.replace(f'xml:id="{struck[0].id}"', f'xml:id="{struck[0].id}" stem.dir="up"')
    )
    assert other.mei != score.mei
    one, two = (Painter(timeline, some, size=SIZE) for some in (score, other))
    keys = [one.key(tick) for tick in TICKS]
    assert [one.content(key) for key in keys] == [two.content(key) for key in keys]
    last = replace(timeline.pages[1], rows=((len(score.bars) - 3,),))
    shown = [Painter(replace(timeline, pages=(last,)), some, size=SIZE) for some in (score, other)]
    assert len({painter.content(painter.key(SECOND)) for painter in shown}) == 2
    assert np.all(
        [painter.contents.everywhere("pages") == shown[0].contents.everywhere("pages") for painter in shown]
    )
