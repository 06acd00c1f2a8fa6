"""Paint the golden pictures again: python -m tests.tools.make_picture_goldens (then look at every one of them)."""

from __future__ import annotations

from pathlib import Path

from PIL import Image

from lessonmaker.picture.painter import Painter
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
CASES = [("gaslight-errand", "b-flat"), ("the-tin-heron", "bass-clef")]


def golden_path(score: str, edition: str, name: str) -> Path:
    """Where a golden picture is kept."""
    return GOLDENS / f"{score}-{edition}-{name}.png"


def golden_painter(score: str, edition: str) -> Painter:
    """What paints it."""
    return Painter(lesson(score, edition), score_in(score, edition), size=SIZE)


def main() -> None:
    """Write every golden picture."""
    GOLDENS.mkdir(exist_ok=True)
    for score, edition in CASES:
        painter = golden_painter(score, edition)
        for name, tick in INSTANTS.items():
            Image.fromarray(painter.rgb(tick)).save(golden_path(score, edition, name), optimize=True)


if __name__ == "__main__":
    main()
