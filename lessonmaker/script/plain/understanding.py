"""What was understood, doubted or put in the words of another sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonmaker.script.model import Understood
from lessonmaker.script.plain.restated import Restated
from lessonmaker.script.plain.text import Sentence

__all__ = ["as_said", "doubted_said", "surest"]

NOTHING_MEANT = "-"  # as a link's target


def doubted_said(each: Understood) -> Understood:
    """A fault as a question: what goes with what in a long sentence is not sure."""
    choices = tuple(filter(None, (each.target, NOTHING_MEANT)))
    what = f"this does not seem to be so: {each.what}"
    todo = f"{each.todo}; leave it if it is right"
    return replace(each, status="question", target="", choices=choices, what=what, todo=todo)


def surest(found: Sequence[Understood]) -> list[Understood]:
    """Of what a statement came to, what is sure: its fault, or else what is lit last."""
    faults = [each for each in found if each.status == "fault"]
    if any(each.status == "question" for each in found):
        return []
    return faults[:1] or list(found[-1:])


def as_said(sentence: Sentence, said: Restated, each: Understood) -> Understood:
    """What a statement came to, with the words of the sentence that tell it."""
    told = sentence.offsets[said.first : said.last]
    what = each.what and f"this is read as “{said.text[:-1]}”: {each.what}"
    words, place = sentence.words(said.first, said.last), sentence.place(said.first)
    return replace(each, words=words, place=place, first=min(told), last=max(told) + 1, what=what)
