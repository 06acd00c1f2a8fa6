"""A lesson script from what somebody said while playing or pointing: their words, cut where the bars change.

The words are kept as they were said. What they claim is read as plain words are; what fits becomes a link, what does
not is left unlinked and listed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from lessonmaker.faults import Place
from lessonmaker.score.model import Score
from lessonmaker.score.position import Span, bars_in, format_span, hull, whole_bars
from lessonmaker.script.check import Examined
from lessonmaker.script.commentary import UNREAD
from lessonmaker.script.draft import examined_text, quoted
from lessonmaker.script.model import Commentary, Piece, Understood
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.pins import clock_text
from lessonmaker.script.plain.place import Context
from lessonmaker.script.plain.places import places_in
from lessonmaker.script.plain.text import sentences_in
from lessonmaker.script.transcript import Spoken

__all__ = ["ad_lib_text"]

LINK_END = pattern_of(r"\]\([^()]*\)")
PLAIN = str.maketrans({"[": "(", "]": ")", "{": "(", "}": ")", "\\": "/"})


@dataclass(frozen=True)
class AdLib:
    """A script from a transcript, and what in it was not linked: (time in seconds, what)."""

    text: str
    unlinked: tuple[tuple[float, str], ...]


@dataclass
class _Cue:
    span: Span
    said: list[Spoken]
    bars: str = ""

    @property
    def text(self) -> str:
        return "\n".join(_wrapped(" ".join(each.text.translate(PLAIN) for each in self.said)))


def ad_lib_text(
    sentences: Sequence[Spoken],
    score: Score,
    title: str,
    score_file: Path,
    written: str,
    further: Sequence[str] = (),
) -> AdLib:
    """The lesson script of an ad-libbed narration.

    Args:
        sentences: what was said, sentence by sentence.
        score: the score that it speaks of.
        title: the lesson's.
        score_file: where the score is.
        written: how the script names it.
        further: further lines for the script's head (`written_for: ...`).
    """
    cues = _cues(sentences, score)
    head = [f"lesson: {quoted(title)}", f"score: {quoted(str(score_file.resolve()))}", *further, "cues:"]
    texts = [cue.text for cue in cues]
    notes: dict[int, list[str]] = {}
    change = _linked
    while True:
        examined = examined_text(_script(head, cues, texts, {}), score)
        before = texts
        texts, more = change(texts, examined)
        for number, what in more.items():
            notes.setdefault(number, []).extend(what)
        if change is _unread and texts == before:
            break
        change = _unread
    unlinked = tuple(
        (cues[number].said[0].start_s, what) for number in sorted(notes) for what in notes[number]
    )
    head[1] = f"score: {quoted(written)}"
    return AdLib(_script(head, cues, texts, notes), unlinked)


# Cutting -------------------------------------------------------------------------------------------------


def _cues(sentences: Sequence[Spoken], score: Score) -> list[_Cue]:
    """Cues that begin where the speech turns to other bars."""
    music = Music.of(score)
    whole = Span(score.bars[0].start, score.bars[-1].end)
    cues: list[_Cue] = []
    before: Span | None = None
    for sentence in sentences:
        span = _spoken_of(sentence.text, music, whole, before)
        before = span or before
        if cues and (span is None or _holds(cues[-1].span, span, whole)):
            cues[-1].said.append(sentence)
        elif cues and cues[-1].span != whole and span is not None and _continues(score, cues[-1].span, span):
            cues[-1].span = hull([cues[-1].span, span])
            cues[-1].said.append(sentence)
        else:
            cues.append(_Cue(span or whole, [sentence]))
    for cue in cues:
        cue.bars = format_span(score, cue.span)
    return cues


def _spoken_of(text: str, music: Music, whole: Span, before: Span | None) -> Span | None:
    """The bars that a sentence names, from the first to the last."""
    say = Commentary((Piece("text", text.translate(PLAIN), "", Place()),), Place())
    spans = [
        span
        for sentence in sentences_in(say, music, ())
        for place in places_in(sentence, Context(music, (whole,), before))
        if place.level == "bar"
        for span in (place.spans if place.parts else place.spans[-1:])
    ]
    if not spans:
        return None
    bars = [bar for span in spans for bar in bars_in(music.score, span)]
    return whole_bars(music.score, bars)


def _holds(outer: Span, inner: Span, whole: Span) -> bool:
    return outer != whole and outer.start <= inner.start and inner.end <= outer.end


def _continues(score: Score, one: Span, other: Span) -> bool:
    """Whether two stretches touch, and are not long together."""
    bars = bars_in(score, hull([one, other]))
    touching = other.start <= one.end and one.start <= other.end
    return touching and len(bars) <= 4


# Linking -------------------------------------------------------------------------------------------------


def _linked(texts: Sequence[str], examined: Examined) -> tuple[list[str], dict[int, list[str]]]:
    """The texts with what was understood as links, and what was not, by cue."""
    notes: dict[int, list[str]] = {}
    linked: list[str] = []
    for number, (text, cue) in enumerate(zip(texts, examined.checked.cues, strict=True)):
        for each in sorted(cue.understood, key=lambda each: -each.first):
            target = each.target if each.status == "lit" else UNREAD
            text = f"{text[: each.first]}[{text[each.first : each.last]}]({target}){text[each.last :]}"
            if each.status != "lit":
                notes.setdefault(number, []).insert(0, _note(each))
        linked.append(text)
    return linked, notes


def _unread(texts: Sequence[str], examined: Examined) -> tuple[list[str], dict[int, list[str]]]:
    """Links that do not hold after all, and words that are false beside the links, as meaning nothing."""
    notes: dict[int, list[str]] = {}
    mended: list[str] = []
    for number, (text, cue) in enumerate(zip(texts, examined.checked.cues, strict=True)):
        for each in sorted(cue.understood, key=lambda each: -each.first):
            if each.status == "fault":
                first, last = each.first, each.last
                link = LINK_END.match(text, last) if text[first - 1 : first] == "[" else None
                if link is not None:
                    first, last = first - 1, link.end()
                text = f"{text[:first]}[{text[each.first : each.last]}]({UNREAD}){text[last:]}"
                notes.setdefault(number, []).insert(0, _note(each))
        mended.append(text)
    return mended, notes


def _note(each: Understood) -> str:
    words = " ".join(each.words.split())
    return f"“{words}”: {each.what}; {each.todo}"


# The script ----------------------------------------------------------------------------------------------


def _wrapped(text: str) -> list[str]:
    """Lines that end with sentences."""
    return re.sub(r"([.!?…])\s+", "\\1\n", " ".join(text.split())).splitlines()


def _script(
    head: Sequence[str], cues: Sequence[_Cue], texts: Sequence[str], notes: Mapping[int, Sequence[str]]
) -> str:
    lines = list(head)
    for number, (cue, text) in enumerate(zip(cues, texts, strict=True)):
        lines.append(
            f"  # said from {clock_text(round(cue.said[0].start_s))} to {clock_text(round(cue.said[-1].end_s))}"
        )
        lines += [f"  # not linked: {note}" for note in notes.get(number, [])]
        lines += [
            f"  - bars: {quoted(cue.bars)}",
            "    say: |",
            *(f"      {line}" for line in text.splitlines()),
            "",
        ]
    return "\n".join(lines)
