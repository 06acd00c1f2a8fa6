from collections.abc import Iterator
from functools import lru_cache

import pytest

from lessonmaker.picture.page import Engraving
from lessonmaker.picture.painter import Painter
from tests.tools.picture_lesson import lesson, score_in


@pytest.fixture(scope="module", autouse=True)
def engraved_once() -> Iterator[None]:
    """Have painters of a file share what is engraved alike: that it comes out alike is for the engraver's own tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Engraving, "made", lru_cache(maxsize=64)(Engraving.made))
        yield


@pytest.fixture(scope="session")
def small_painter() -> Painter:
    """Paints the hand-made lesson at 640 x 360."""
    return Painter(lesson(), score_in("gaslight-errand", "b-flat"), size=(640, 360))
