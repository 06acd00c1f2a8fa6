"""The title card and the end card: the etude's name, its maker, its edition and its form."""

from __future__ import annotations

from itertools import pairwise

from lessonmaker.picture.figures import Figure, Frame, text_figure
from lessonmaker.picture.shapes import Box, rectangle
from lessonmaker.picture.text import set_text, shorten
from lessonmaker.score.model import Key, Score
from lessonmaker.theory.pitch import NoteName
from lessonmaker.timeline.model import Timeline

__all__ = ["card_figures", "form_words", "key_words", "music_words"]

MAJOR_AT, MINOR_AT = 0, 3  # on the line of fifths, C has no accidentals in major and A, three on, in minor
BETWEEN = "  ·  "


def card_figures(frame: Frame, timeline: Timeline, score: Score, kind: str) -> list[Figure]:
    """What a card ("title" or "end") shows above the form strip."""
    look = frame.look
    card = look.sizes["card"]
    largest = card["title_size"] if kind == "title" else card["end_size"]
    sizes = tuple(range(round(largest), round(card["title_least"]) - 1, -4))
    title = shorten(timeline.title, look.face("title"), sizes, frame.right - frame.left)
    y = card["title_baseline"]
    figures = text_figure(title, frame.left - 4, y, "ink")
    if timeline.composer:
        y += card["leading"]
        composer = set_text(timeline.composer, look.face("symbol"), card["line_size"])
        figures += text_figure(composer, frame.left, y, "second")
    y += card["rule_drop"]
    rule = Box(frame.left, y, frame.right, y + look.size("header", "rule_line"))
    figures.append(Figure((rectangle(rule),), rule, "hairline"))
    lines = card_lines(timeline, score) if kind == "title" else [timeline.edition]
    for number, line in enumerate(lines):
        y += card["first_line"] if number == 0 else card["small_leading"]
        text = shorten(line, look.face("text"), (card["small_size"],), frame.right - frame.left)
        figures += text_figure(text, frame.left, y, "ink" if number == 0 else "second")
    return figures


def card_lines(timeline: Timeline, score: Score) -> list[str]:
    """Edition, form, and the music's own facts."""
    return [line for line in (timeline.edition, form_words(timeline, score), music_words(score)) if line]


def form_words(timeline: Timeline, score: Score) -> str:
    """The form: "A A B A · 44 bars"; the pickup does not count."""
    letters = " ".join(letter for letter, _ in timeline.form if letter)
    bars = sum(bar.number != "0" for bar in score.bars)
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
