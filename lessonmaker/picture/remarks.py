"""What a film's pictures cannot show as it is written: letters that the fonts lack, lines that are too long."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lessonmaker.faults import Fault
from lessonmaker.picture.cards import card_figures, card_texts, too_long
from lessonmaker.picture.faces import Face
from lessonmaker.picture.figures import Frame, logo_box, title_excess
from lessonmaker.picture.text import drawable
from lessonmaker.score.model import Score
from lessonmaker.timeline.model import Timeline

__all__ = ["caption_texts", "remarks_on_letters", "remarks_on_texts"]

SHORTER = "make it shorter, or its type smaller"


def remarks_on_texts(frame: Frame, timeline: Timeline, score: Score) -> Iterator[Fault]:
    """What is not drawn as it is written, once each.

    Args:
        frame: a look that is laid out for the picture.
        timeline: the film's titles and captions.
        score: the score as the film's edition prints it.
    """
    yield from remarks_on_letters(texts_of(frame, timeline, score))
    more = title_excess(frame, timeline.title, timeline.edition)
    if more:
        where = f"{timeline.edition}: the title {timeline.title!r}"
        yield Fault(f"{where} is {more:.0f} pixels too long for the header: it is cut", SHORTER)
    for kind in frame.look.cards:
        yield from remarks_on_card(frame, timeline, score, kind)


def remarks_on_letters(texts: Iterable[tuple[str, Face]]) -> Iterator[Fault]:
    """The texts that hold letters which their face lacks, once each."""
    for text, face in dict.fromkeys(texts):
        shown = drawable(text, face)
        if text != shown:
            what = f"the fonts cannot draw all of {text!r}: it is shown as {shown!r}"
            yield Fault(what, "write it in Latin letters")


def texts_of(frame: Frame, timeline: Timeline, score: Score) -> Iterator[tuple[str, Face]]:
    """Every text of a film, and the face that it is set in."""
    title, symbol, text = (frame.look.face(use) for use in ("title", "symbol", "text"))
    yield timeline.title, title
    yield timeline.edition, text
    for card in frame.look.cards.values():
        texts = card_texts(card, timeline, score)
        yield texts.heading, title
        yield texts.under, symbol
        yield from ((line, text) for line in texts.lines)
    yield from caption_texts(frame, timeline)


def caption_texts(frame: Frame, timeline: Timeline) -> Iterator[tuple[str, Face]]:
    """Every line of a film's captions, and the face that it is set in."""
    face = frame.look.face("text")
    return ((line, face) for caption in timeline.captions for line in caption.lines)


def remarks_on_card(frame: Frame, timeline: Timeline, score: Score, kind: str) -> Iterator[Fault]:
    """Lines of a card that are too long, and a logo that stands on one."""
    for line, more in too_long(frame, timeline, score, kind):
        own = frame.look.cards[kind]
        everywhere = line in (own.heading, own.under, *own.lines)
        where = f"{'' if everywhere else f'{timeline.edition}: '}the {kind} card's line {line!r}"
        yield Fault(f"{where} is {more:.0f} pixels too long: it is cut", SHORTER)
    box = logo_box(frame.look, kind)
    if box is not None:
        figures = card_figures(frame, timeline, score, kind)
        if any(box.overlaps(figure.box) for figure in figures):
            what = f"{timeline.edition}: the logo stands on a line of the {kind} card"
            yield Fault(what, "make it smaller, or put it into another corner")
