"""Talking about bars: the narration, the light on its words, labels, arrows, captions.

A light's fade-in has its half level 20 ms before the word, and it stays at least 1.2 s; labels and rings stay to
the end of the sentence that names them; an arrow comes with the word that names the resolution.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lessonmaker.analysis.model import Analysis
from lessonmaker.score.model import Score
from lessonmaker.score.position import bars_in
from lessonmaker.script.model import Mention, Token
from lessonmaker.sound.model import Narration
from lessonmaker.timeline.captions import SENTENCE_ENDS, TimedToken, captions_of
from lessonmaker.timeline.layout import Row
from lessonmaker.timeline.model import Arrow, AudioClip, Label, Light, Use
from lessonmaker.timeline.performance import turn_to
from lessonmaker.timeline.reel import MILLISECOND, Reel, whole_samples

__all__ = ["Talk", "discuss"]

FADE_IN, FADE_OUT = 120 * MILLISECOND, 200 * MILLISECOND
ARROW_FADE = 200 * MILLISECOND
HALF_LEVEL_BEFORE = 20 * MILLISECOND
AT_LEAST = 1200 * MILLISECOND
PAGE_AHEAD = 300 * MILLISECOND
PAGE_TURN = 250 * MILLISECOND


@dataclass(frozen=True)
class Talk:
    """One cue's commentary in one edition. `source` names its narration to the mixer."""

    score: Score
    analysis: Analysis
    mentions: tuple[Mention, ...]
    tokens: tuple[Token, ...]
    narration: Narration
    source: str


@dataclass(frozen=True)
class Spoken:
    """A mention as it is spoken: its index, its first tick, and where its sentence ends."""

    index: int
    start: int
    sentence: int
    sentence_end: int


def discuss(reel: Reel, talk: Talk, pages: tuple[tuple[Row, ...], ...]) -> None:
    """Lay the narration at the cursor and everything that its words light."""
    began = reel.cursor
    length = whole_samples(talk.narration.audio.seconds)
    reel.clips.append(AudioClip(began, talk.source, "narration", 0.0, talk.narration.audio.seconds))
    timed = timed_tokens(talk, began)
    reel.captions.extend(captions_of(timed, began + length + 600 * MILLISECOND))
    spoken = spoken_mentions(timed, began + length)
    for said in spoken:
        turn_to_mention(reel, talk, said, pages)
        light_mention(reel, talk, said)
    light_sentences(reel, talk, spoken)
    draw_arrows(reel, talk, spoken)
    reel.cursor = began + length


def timed_tokens(talk: Talk, began: int) -> list[TimedToken]:
    """Each printed word with its time: the narration has one a token."""
    timed: list[TimedToken] = []
    for token, word in zip(talk.tokens, talk.narration.words, strict=True):
        start, end = began + whole_samples(word.start_s), began + whole_samples(word.end_s)
        use = mention_use(talk.mentions[token.mention]) if token.mention is not None else None
        timed.append(TimedToken(token.printed, start, max(end, start), token.mention, use))
    return timed


def mention_use(mention: Mention) -> Use:
    """The colour a mention's term and notes take."""
    if mention.kind != "notes":
        return "now"
    return "tension" if any(lit.tension for lit in mention.notes) else "rest"


def spoken_mentions(timed: Sequence[TimedToken], end: int) -> list[Spoken]:
    """The mentions in the order they are spoken."""
    ends = [token.end for token in timed if token.printed.endswith(SENTENCE_ENDS)] + [end]
    found: list[Spoken] = []
    sentence = 0
    seen: set[int] = set()
    for token in timed:
        if token.mention is not None and token.mention not in seen:
            seen.add(token.mention)
            found.append(
                Spoken(token.mention, token.start, sentence, max(ends[sentence], token.start + AT_LEAST))
            )
        sentence += token.printed.endswith(SENTENCE_ENDS)
    return ending_together(found)


def ending_together(spoken: Sequence[Spoken]) -> list[Spoken]:
    """What a sentence lights goes out together."""
    ends: dict[int, int] = {}
    for said in spoken:
        ends[said.sentence] = max(ends.get(said.sentence, 0), said.sentence_end)
    return [replace(said, sentence_end=ends[said.sentence]) for said in spoken]


def fade_start(word: int) -> int:
    """Where a fade-in begins so that its half level comes just before the word."""
    return max(word - HALF_LEVEL_BEFORE - FADE_IN // 2, 0)


def turn_to_mention(reel: Reel, talk: Talk, said: Spoken, pages: tuple[tuple[Row, ...], ...]) -> None:
    """Bring the mention's first bar into sight before it is lit."""
    bars = bars_in(talk.score, talk.mentions[said.index].span)
    if bars and pages:
        turn_to(
            reel, pages, bars[0], max(fade_start(said.start) - PAGE_AHEAD, reel.pages[-1].start), PAGE_TURN
        )


def light_mention(reel: Reel, talk: Talk, said: Spoken) -> None:
    """The rings and labels of notes, or the capsule of a chord."""
    mention = talk.mentions[said.index]
    span = fade_start(said.start), said.sentence_end + FADE_OUT
    if mention.kind == "chord":
        reel.lights.append(Light("chord", *span, mention.changes, "now", FADE_IN, FADE_OUT))
    for lit in mention.notes if mention.kind == "notes" else ():
        use: Use = "tension" if lit.tension else "rest"
        reel.lights.append(Light("note", *span, (lit.note,), use, FADE_IN, FADE_OUT))
        if lit.label is not None:
            reel.labels.append(Label(*span, lit.note, lit.label, use, FADE_IN, FADE_OUT))


def light_sentences(reel: Reel, talk: Talk, spoken: Sequence[Spoken]) -> None:
    """The amber light: a sentence's notes share one area; a span has its bars."""
    for said in spoken:
        mention = talk.mentions[said.index]
        if mention.kind == "span":
            span = fade_start(said.start), span_end(said, spoken) + FADE_OUT
            reel.lights.append(
                Light("span", *span, bars_in(talk.score, mention.span), "now", FADE_IN, FADE_OUT)
            )
    for together in same_sentence(talk, spoken):
        notes = tuple(lit.note for said in together for lit in talk.mentions[said.index].notes)
        span = fade_start(together[0].start), together[-1].sentence_end + FADE_OUT
        reel.lights.append(Light("area", *span, in_order(talk.score, notes), "now", FADE_IN, FADE_OUT))
        light_chords(reel, talk.score, notes, span)


def span_end(said: Spoken, spoken: Sequence[Spoken]) -> int:
    """A span's light gives way to the next mention's: one light at a time."""
    later = [other.start for other in spoken if other.start > said.start]
    return max(min([said.sentence_end, *later]), said.start + AT_LEAST)


def same_sentence(talk: Talk, spoken: Sequence[Spoken]) -> list[list[Spoken]]:
    """The mentions of notes, a list a sentence."""
    groups: dict[int, list[Spoken]] = {}
    for said in spoken:
        if talk.mentions[said.index].kind == "notes":
            groups.setdefault(said.sentence, []).append(said)
    return list(groups.values())


def in_order(score: Score, notes: Sequence[str]) -> tuple[str, ...]:
    """Note ids in the order of the score, each once."""
    wanted = set(notes)
    return tuple(note.id for note in score.struck if note.id in wanted)


def light_chords(reel: Reel, score: Score, notes: Sequence[str], span: tuple[int, int]) -> None:
    """The capsule on the chord under the first note spoken of."""
    onset = {note.id: note.onset for note in score.struck}[notes[0]]
    current = [change.id for change in score.changes if change.onset <= onset and change.chord is not None]
    if current:
        reel.lights.append(Light("chord", *span, (current[-1],), "now", FADE_IN, FADE_OUT))


def draw_arrows(reel: Reel, talk: Talk, spoken: Sequence[Spoken]) -> None:
    """An arrow from a tension to its resolution, from the word that names the resolution on."""
    heard_at: Mapping[str, Spoken] = {
        lit.note: said for said in spoken for lit in talk.mentions[said.index].notes if lit.label is not None
    }
    for finding in talk.analysis.findings:
        source, target = heard_at.get(finding.note), heard_at.get(finding.resolves_to or "")
        if source and target and source.sentence == target.sentence and source.start <= target.start:
            span = target.start - HALF_LEVEL_BEFORE - ARROW_FADE // 2, target.sentence_end + FADE_OUT
            reel.arrows.append(Arrow(*span, finding.note, finding.resolves_to or "", ARROW_FADE, FADE_OUT))
