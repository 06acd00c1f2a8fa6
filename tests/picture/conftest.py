import pytest

from lessonmaker.picture.painter import Painter
from tests.tools.picture_lesson import lesson, score_in


@pytest.fixture(scope="session")
def small_painter() -> Painter:
    """Paints the hand-made lesson at 640 x 360."""
    return Painter(lesson(), score_in("gaslight-errand", "b-flat"), size=(640, 360))
