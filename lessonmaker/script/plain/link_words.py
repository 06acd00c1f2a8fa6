"""Whether the words of a link name the notes that its target lights: `[flat nine](#11@2)` does not."""

from __future__ import annotations

from lessonmaker.score.model import Note
from lessonmaker.script.candidates import degree_verdict
from lessonmaker.script.model import Mention, Piece
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import number_said
from lessonmaker.script.plain.degree_terms import SIGN
from lessonmaker.script.plain.set_words import RUN_ORDINAL, SET_NUMBER
from lessonmaker.script.plain.text import PLAIN_SIGNS
from lessonmaker.script.plain.vocabulary import degree_names

__all__ = ["misnamed"]

ARTICLE = pattern_of(r"(?:the|an?|its|that|this|our|your) ")
BETWEEN = pattern_of(r"(?:, | |-|, then |, and | and | to (?:the )?)")
SIGNED = rf"(?:(?P<sign>{SIGN})[ -]|(?P<mark>[b#]))(?P<signed>{RUN_ORDINAL}|{SET_NUMBER}|\d+(?:th|rd|nd))"
# Ordinals that count notes as well ("the third") and plain numbers are degrees only among others.
UNSIGNED = r"(?P<plain>root|fifth|sixth|seventh|ninth|eleventh|thirteenth"
ONE = pattern_of(rf"{SIGNED}|{UNSIGNED})")
ONE_OF_MANY = pattern_of(rf"{SIGNED}|{UNSIGNED}|{RUN_ORDINAL}|{SET_NUMBER})")


def misnamed(piece: Piece, mention: Mention, music: Music) -> str:
    """Which of a link's words name a degree that the note which it lights has not; "" where none does.

    Only words that are degrees and nothing else are held against the notes, and those of as many notes as are lit.

    Args:
        piece: the link.
        mention: what it lights.
        music: the score as it is heard.
    """
    if mention.kind != "notes" or piece.target.startswith("!"):
        return ""
    words = piece.text.translate(PLAIN_SIGNS).lower().strip()
    article = ARTICLE.match(words)
    named = _degrees_in(words[article.end() if article else 0 :])
    notes = [music.struck_by_id[lit.note] for lit in mention.notes]
    if len(named) == 1 and notes:
        return "" if any(_is_named(named[0][1], note, music) for note in notes) else named[0][0]
    if len(named) != len(notes):
        return ""
    false = [
        said for (said, names), note in zip(named, notes, strict=True) if not _is_named(names, note, music)
    ]
    return false[0] if false else ""


def _degrees_in(text: str) -> list[tuple[str, tuple[str, ...]]]:
    """The degrees of which some words are a list, each as it is said with what it may be; none where they are not."""
    item = ONE_OF_MANY if BETWEEN.search(ONE.sub("", text)) else ONE
    found: list[tuple[str, tuple[str, ...]]] = []
    at = 0
    while (match := item.match(text, at)) is not None:
        word = match["signed"] or match["plain"]
        number = 1 if word == "root" else number_said(pattern_of(r"(?<=\d)(?:th|rd|nd)").sub("", word))
        found.append((match[0], degree_names(match["sign"] or match["mark"] or "", number)))
        at = match.end()
        link = BETWEEN.match(text, at)
        at = link.end() if link is not None and at < len(text) else at
    return found if at == len(text) and all(names for _, names in found) else []


def _is_named(names: tuple[str, ...], note: Note, music: Music) -> bool:
    """Whether a note has one of some degrees, be it by another name of the pitch; one without a sign may be altered."""
    degree = music.finding(note).degree
    if degree is None:
        return True
    altered = not names[0].startswith(("b", "#")) and degree.lstrip("b#") in {
        name.lstrip("b#") for name in names
    }
    return altered or any(degree_verdict(name, note, music) != "false" for name in names)
