"""How much music and how many words a picture has room for, from the look that is laid out for it."""

from __future__ import annotations

from lessonmaker.picture.look import Look
from lessonmaker.picture.text import set_text
from lessonmaker.score.rows import MOST_BARS, MOST_HEADS
from lessonmaker.timeline.captions import LINE_LENGTH
from lessonmaker.timeline.layout import Room

__all__ = ["letters_in", "room_of"]

SAMPLE = "the line leans on the flat nine, then falls a half step to the fifth of the next chord"
WIDEST = 1.1  # how much wider than this sample the letters of a usual line are at the most


def room_of(look: Look) -> Room:
    """What a picture has room for.

    Args:
        look: a look that is laid out for the picture (`Look.fitted`).
    """
    room, measure = look.sizes["room"], measure_of(look)
    play, still, large = (look.kinds[name] for name in ("play", "analysis", "tension"))
    return Room(
        bars=max(min(int(measure / room["bar"] + 0.25), MOST_BARS), 1),
        heads=min(int((measure / play.staff - room["opening"]) / room["head"]), MOST_HEADS),
        played=len(play.tops),
        still=len(still.tops),
        busy=max(len(still.tops) // 2, 1),
        large=int((measure / large.staff - room["opening"]) / room["large_head"]),
        characters=letters_in(look, measure),
    )


def letters_in(look: Look, measure: float) -> int:
    """How many letters a line of captions has room for, in a width in look units."""
    return min(int(measure / (WIDEST * letter_width(look))), LINE_LENGTH)


def measure_of(look: Look) -> float:
    """The width that header, staves and strip share."""
    frame = look.sizes["frame"]
    return frame["width"] - frame["left"] - frame["right"]


def letter_width(look: Look) -> float:
    """What a letter of a caption takes."""
    return set_text(SAMPLE, look.face("text"), look.size("caption", "size")).advance / len(SAMPLE)
