"""The title card and the end card: the etude's name, its maker, its edition and its form."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise

from lessonmaker.picture.figures import Figure, Frame, text_figure
from lessonmaker.picture.look import Card
from lessonmaker.picture.shapes import Box, rectangle
from lessonmaker.picture.text import set_text, shorten
from lessonmaker.score.model import PICKUP_NUMBER, Key, Score
from lessonmaker.theory.pitch import NoteName
from lessonmaker.timeline.model import Timeline

__all__ = [
    "BOOK_NAMES",
    "CARD_NAMES",
    "PLACEHOLDER",
    "card_figures",
    "card_texts",
    "filled",
    "form_words",
    "key_words",
    "music_words",
    "too_long",
]

MAJOR_AT, MINOR_AT = 0, 3  # on the line of fifths, C has no accidentals in major and A, three on, in minor
BETWEEN = "  ·  "
PLACEHOLDER = re.compile(r"\{([^{}]*)\}")
CARD_NAMES = ("title", "composer", "edition", "form", "music")
BOOK_NAMES = ("book", "author")


def card_figures(frame: Frame, timeline: Timeline, score: Score, kind: str) -> list[Figure]:
    """What a card ("title" or "end") shows above the form strip."""
    look, texts = frame.look, card_texts(frame.look.cards[kind], timeline, score)
    card = look.sizes["card"]
    measure = frame.right - frame.left
    y = card["title_baseline"]
    title = shorten(texts.heading, look.face("title"), heading_sizes(frame, kind), measure)
    figures = text_figure(title, frame.left - 4, y, "ink")
    if texts.under:
        y += card["leading"]
        under = shorten(texts.under, look.face("symbol"), (card["line_size"],), measure)
        figures += text_figure(under, frame.left, y, "second")
    y += card["rule_drop"]
    rule = Box(frame.left, y, frame.right, y + look.size("header", "rule_line"))
    figures.append(Figure((rectangle(rule),), rule, "hairline"))
    for number, line in enumerate(texts.lines):
        y += card["first_line"] if number == 0 else card["small_leading"]
        text = shorten(line, look.face("text"), (card["small_size"],), measure)
        figures += text_figure(text, frame.left, y, "ink" if number == 0 else "second")
    return figures


def heading_sizes(frame: Frame, kind: str) -> tuple[float, ...]:
    """The sizes that a card's heading may have, the largest first."""
    card = frame.look.sizes["card"]
    largest = card["title_size"] if kind == "title" else card["end_size"]
    return tuple(range(round(largest), round(card["title_least"]) - 1, -4))


def too_long(frame: Frame, timeline: Timeline, score: Score, kind: str) -> Iterator[tuple[str, float]]:
    """The lines of a card that have to be cut, and by how many pixels they are too long."""
    look, texts = frame.look, card_texts(frame.look.cards[kind], timeline, score)
    card = look.sizes["card"]
    rows = [
        (texts.heading, look.face("title"), heading_sizes(frame, kind)[-1]),
        (texts.under, look.face("symbol"), card["line_size"]),
        *((line, look.face("text"), card["small_size"]) for line in texts.lines),
    ]
    for text, face, size in rows:
        more = set_text(text, face, size).advance - (frame.right - frame.left)
        if more > 0:
            yield text, more


def card_texts(card: Card, timeline: Timeline, score: Score) -> Card:
    """What a card says in a film; lines without words are left out."""
    values = (
        timeline.title,
        timeline.composer,
        timeline.edition,
        form_words(timeline, score),
        music_words(score),
    )
    words = dict(zip(CARD_NAMES, values, strict=True))
    lines = (filled(line, words) for line in card.lines)
    return Card(filled(card.heading, words), filled(card.under, words), tuple(line for line in lines if line))


def filled(line: str, words: Mapping[str, str]) -> str:
    """A line with its names in braces replaced; blank where it has names and all of them stand for nothing."""
    names = PLACEHOLDER.findall(line)
    if names and not any(words.get(name, name) for name in names):
        return ""
    return PLACEHOLDER.sub(lambda match: words.get(match[1], match[0]), line)


def form_words(timeline: Timeline, score: Score) -> str:
    """The form: "A A B A · 44 bars"; the pickup does not count."""
    letters = " ".join(letter for letter, _ in timeline.form if letter)
    bars = sum(bar.number != PICKUP_NUMBER for bar in score.bars)
    return BETWEEN.join(part for part in (letters, f"{bars} bar{'s' if bars != 1 else ''}") if part)


def music_words(score: Score) -> str:
    """Key, metre and tempo: "G minor · 4/4 · 160 quarters a minute"."""
    first = score.bars[0]
    metres = [bar.metre for bar in score.bars]
    changes = any(one != other for one, other in pairwise(metres))
    metre = f"{first.metre}{' and others' if changes else ''}"
    tempo = f"{round(score.tempo)} quarters a minute" if score.tempo else ""
    return BETWEEN.join(part for part in (key_words(first.key), metre, tempo) if part)


def key_words(key: Key) -> str:
    """The key's name; where the mode is not known, its signature."""
    if key.mode in ("major", "minor"):
        tonic = NoteName.from_fifths(key.fifths + (MAJOR_AT if key.mode == "major" else MINOR_AT))
        return f"{tonic} {key.mode}"
    if not key.fifths:
        return "no sharps or flats"
    count = abs(key.fifths)
    return f"{count} {'sharp' if key.fifths > 0 else 'flat'}{'s' if count > 1 else ''}"
