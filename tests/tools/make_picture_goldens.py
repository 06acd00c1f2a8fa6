"""Paint the golden pictures again: python -m tests.tools.make_picture_goldens (then look at every one of them)."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from PIL import Image

from lessonmaker.picture.own_look import read_own_look
from lessonmaker.picture.painter import Painter
from lessonmaker.timeline.model import Page, Timeline
from tests.tools.demo_timelines import SWING, demo
from tests.tools.found_scenes import CROWDED, SCENES, found_scenes, instant_of
from tests.tools.own_looks import make_look
from tests.tools.picture_lesson import SECOND, lesson, score_in

GOLDENS = Path(__file__).parents[1] / "picture" / "goldens"
SIZE = (640, 360)
INSTANTS = {
    "title": int(1.0 * SECOND),
    "play": int(3.4 * SECOND),
    "play-dissolve": int(3.9 * SECOND),
    "analysis": int(7.5 * SECOND),
    "tension": int(11.0 * SECOND),
    "end": int(15.0 * SECOND),
}
SHORTLY = SECOND // 5  # before things fade
CROWDED_SIZES = (SIZE, (360, 640))
FOUND_EDITION = "b-flat"
SHAPES = {"portrait": ((1080, 1920), (360, 640)), "square": ((1080, 1080), (480, 480))}
"""What each is laid out for, and the size of its golden pictures."""
SHAPED, SHAPED_EDITION = "gaslight-errand", "b-flat"
SHAPED_KINDS = ("title", "play", "analysis", "tension")
OWN_LOOK = ("title", "play", "analysis", "tension", "end")
CASES = [("gaslight-errand", "b-flat"), ("the-tin-heron", "bass-clef")]


def last_label_on(timeline: Timeline, page: Page) -> int:
    """While everything that the page explains last is in sight."""
    ends = [one for one in timeline.labels if page.start <= one.start < page.end]
    last = max(ends, key=lambda one: one.end)
    return last.end - last.fade_out - SHORTLY


def compared(timeline: Timeline) -> int:
    """Two bars far apart, one under the other."""
    return last_label_on(
        timeline, next(page for page in timeline.pages if len(page.rows) == 2 == sum(map(len, page.rows)))
    )


def heard_otherwise(timeline: Timeline) -> int:
    """The capsule shows the chord that the author hears."""
    heard = {change for change, _ in timeline.heard}
    lit = next(one for one in timeline.lights if one.kind == "chord" and heard & set(one.targets))
    page = next(page for page in timeline.pages if page.start <= lit.start < page.end)
    return last_label_on(timeline, page)


def resolving(timeline: Timeline) -> int:
    """An arrow between labels, under the capsule of their chord."""
    arrow = timeline.arrows[-1]
    return arrow.end - arrow.fade_out - SHORTLY


DEMO_INSTANTS: dict[str, tuple[str, Callable[[Timeline], int]]] = {
    "compared": ("concert", compared),
    "heard-otherwise": ("e-flat", heard_otherwise),
    "resolving": ("e-flat", resolving),
}


def golden_path(score: str, edition: str, name: str) -> Path:
    """Where a golden picture is kept."""
    return GOLDENS / f"{score}-{edition}-{name}.png"


def golden_painter(score: str, edition: str) -> Painter:
    """What paints it."""
    return Painter(lesson(score, edition), score_in(score, edition), size=SIZE)


def demo_path(name: str) -> Path:
    """Where a golden picture of the demo lesson is kept."""
    return GOLDENS / f"demo-{DEMO_INSTANTS[name][0]}-{name}.png"


def demo_picture(name: str) -> np.ndarray:
    """The demo lesson at one of its instants, (height, width, 3), uint8."""
    edition, instant = DEMO_INSTANTS[name]
    made = demo(SWING, edition)
    return Painter(made.timeline, made.score, size=SIZE).rgb(instant(made.timeline))


def found_path(name: str) -> Path:
    """Where a golden picture of what the analysis finds is kept."""
    return GOLDENS / f"found-{FOUND_EDITION}-{name}.png"


def found_picture(name: str) -> np.ndarray:
    """The scene of something found, (height, width, 3), uint8."""
    made = found_scenes(FOUND_EDITION)
    painter = Painter(made.timeline, made.score, size=SIZE)
    return painter.rgb(instant_of(made.timeline, SCENES.index(name)))


def page_of(timeline: Timeline, kind: str) -> Page:
    """The last page of a kind on which something is labelled, or the middle one."""
    pages = [page for page in timeline.pages if page.kind == kind]
    labelled = [page for page in pages if any(page.start <= one.start < page.end for one in timeline.labels)]
    return labelled[-1] if labelled else pages[len(pages) // 2]


def shown_at(timeline: Timeline, kind: str) -> int:
    """An instant that shows a kind of page: its last label, or its middle."""
    page = page_of(timeline, kind)
    labelled = any(page.start <= one.start < page.end for one in timeline.labels)
    return last_label_on(timeline, page) if labelled else (page.start + page.end) // 2


def shape_path(shape: str, kind: str) -> Path:
    """Where a golden picture of another shape is kept."""
    return GOLDENS / f"shape-{shape}-{kind}.png"


def shape_picture(shape: str, kind: str) -> np.ndarray:
    """A page of the demo lesson laid out for another shape, (height, width, 3), uint8."""
    laid_for, size = SHAPES[shape]
    made = demo(SHAPED, SHAPED_EDITION, laid_for)
    return Painter(made.timeline, made.score, size=size).rgb(shown_at(made.timeline, kind))


def own_look_path(name: str) -> Path:
    """Where a golden picture of the hand-made lesson in a look of its own is kept."""
    return GOLDENS / f"own-look-{name}.png"


@cache
def own_look_painter() -> Painter:
    """Paints the hand-made lesson on dark paper, in other fonts and sizes, with a logo and other cards."""
    with TemporaryDirectory() as folder:
        book = Path(folder)
        look = read_own_look(make_look(book), book, {"book": "Night Ferry Studies", "author": ""}).look
    return Painter(lesson(*CASES[0]), score_in(*CASES[0]), look, SIZE)


def crowded_path(size: tuple[int, int]) -> Path:
    """Where the golden picture of two devices over the same notes is kept, for a picture's shape."""
    return GOLDENS / f"crowded-{FOUND_EDITION}-{size[0]}x{size[1]}.png"


def crowded_picture(size: tuple[int, int]) -> np.ndarray:
    """More signs than there is room for, (height, width, 3), uint8."""
    made = found_scenes(FOUND_EDITION, CROWDED, size)
    painter = Painter(made.timeline, made.score, size=size)
    return painter.rgb(max(sign.start for sign in made.timeline.signs) + SECOND // 2)


def main() -> None:
    """Write every golden picture."""
    GOLDENS.mkdir(exist_ok=True)
    for shape in SHAPES:
        for kind in SHAPED_KINDS:
            Image.fromarray(shape_picture(shape, kind)).save(shape_path(shape, kind), optimize=True)
    for name in OWN_LOOK:
        picture = own_look_painter().rgb(INSTANTS[name])
        Image.fromarray(picture).save(own_look_path(name), optimize=True)
    for score, edition in CASES:
        painter = golden_painter(score, edition)
        for name, tick in INSTANTS.items():
            Image.fromarray(painter.rgb(tick)).save(golden_path(score, edition, name), optimize=True)
    for name in DEMO_INSTANTS:
        Image.fromarray(demo_picture(name)).save(demo_path(name), optimize=True)
    for name in SCENES:
        Image.fromarray(found_picture(name)).save(found_path(name), optimize=True)
    for size in CROWDED_SIZES:
        Image.fromarray(crowded_picture(size)).save(crowded_path(size), optimize=True)


if __name__ == "__main__":
    main()
