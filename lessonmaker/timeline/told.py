"""Commentary to be read while a film plays: what is said of some bars stands in sight while they sound.

A sentence is begun when the bars that its cue is about sound, and not before the bar that it points at if there is
time to wait for that (`reading` says when exactly); what cannot be read in time is left out and told of. What a
sentence names is marked from when it can be read or sounds, whichever comes first, until both are over; a note that
is named has its colour while it sounds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonmaker.analysis.model import Analysis
from lessonmaker.score.model import Score
from lessonmaker.score.position import Span
from lessonmaker.script.model import Mention, Token
from lessonmaker.theory.chord import Chord
from lessonmaker.timeline.captions import (
    LINE_LENGTH,
    TimedToken,
    captions_of,
    ends_sentence,
)
from lessonmaker.timeline.clock import Passage, TakeClock
from lessonmaker.timeline.discussion import (
    Amber,
    Spoken,
    Subject,
    ambers,
    draw_labels,
    draw_signs,
    light_ambers,
    light_capsule,
    mention_bars,
    mention_use,
    ringed,
)
from lessonmaker.timeline.model import CueTime, Sign, SignShape, Use
from lessonmaker.timeline.reading import AFTER, AHEAD, Wish, reading_times
from lessonmaker.timeline.reel import Reel

__all__ = ["Coloured", "FilmCue", "ReadCue", "Telling", "Unread", "read_in", "tell"]

Ticks = tuple[int, int]


@dataclass(frozen=True)
class FilmCue:
    """A cue as it is told in a film: in one edition's words.

    Attributes:
        number: counted from 1.
        spans: the places it is about; of two that are compared, the later one brings it. None: the film's opening.
        tokens, mentions: what it says, and what that lights.
        chapter: the chapter that begins with it, if any does.
        signs: shown while its bars sound.
    """

    number: int
    spans: tuple[Span, ...]
    tokens: tuple[Token, ...]
    mentions: tuple[Mention, ...]
    chapter: str = ""
    signs: tuple[SignShape, ...] = ()


@dataclass(frozen=True)
class Telling:
    """What is told in a film; `heard` as in a timeline, `characters` of a line of captions."""

    cues: tuple[FilmCue, ...]
    analysis: Analysis
    heard: tuple[tuple[str, Chord], ...] = ()
    characters: int = LINE_LENGTH


@dataclass(frozen=True)
class ReadSentence:
    """A sentence, and from when to when it is read."""

    tokens: tuple[Token, ...]
    start: int
    end: int


@dataclass(frozen=True)
class ReadCue:
    """A cue, when its bars sound (`bars`: of each, the first time), and what of it can be read."""

    cue: FilmCue
    start: int
    end: int
    bars: Mapping[int, Ticks]
    sentences: tuple[ReadSentence, ...] = ()


@dataclass(frozen=True)
class Unread:
    """What of a cue cannot be read: so many sentences of all of them, from a word on; or it has no bars in the film."""

    number: int
    first: Token | None
    sentences: int
    every: int
    absent: bool = False


@dataclass(frozen=True)
class Coloured:
    """A note that is named, its colour, and from when to when it would have that."""

    note: str
    start: int
    end: int
    use: Use


# When what is read --------------------------------------------------------------------------------------


def read_in(
    telling: Telling, score: Score, clock: TakeClock, tick: Callable[[float], int], duration: int
) -> tuple[tuple[ReadCue, ...], tuple[Unread, ...]]:
    """When each cue is read in a film, in the order of time, and what cannot be.

    Args:
        telling: what is told.
        score: as the edition prints it.
        clock: when the score sounds, in seconds of the film.
        tick: where a second of the film falls in the part of it that is kept.
        duration: the length of that part, in ticks.
    """
    found = [(cue, window(cue, clock, tick)) for cue in telling.cues]
    unread = [
        Unread(cue.number, None, 0, 0, absent=True)
        for cue, place in found
        if place is None and (cue.tokens or cue.chapter)
    ]
    places = sorted((place for _, place in found if place is not None), key=lambda one: one.start)
    sentences = [list(sentences_of(place.cue.tokens)) for place in places]
    wishes = [
        [wish_of(sentence, place, score, duration) for sentence in some]
        for place, some in zip(places, sentences, strict=True)
    ]
    read = []
    for place, some, times in zip(places, sentences, reading_times(wishes), strict=True):
        told = tuple(ReadSentence(tokens, *when) for tokens, when in zip(some, times, strict=False))
        read.append(replace(place, sentences=told))
        if len(told) < len(some):
            unread.append(Unread(place.cue.number, some[len(told)][0], len(some) - len(told), len(some)))
    return tuple(read), tuple(sorted(unread, key=lambda one: one.number))


def window(cue: FilmCue, clock: TakeClock, tick: Callable[[float], int]) -> ReadCue | None:
    """When the bars of a cue sound; None where the film does not show them."""
    if not cue.spans:
        return ReadCue(cue, 0, tick(clock.starts_s[0]), {})
    passages = [passage for span in cue.spans if (passage := clock.passage(span)) is not None]
    by_passage = [bar_times(passage, clock, tick) for passage in passages]
    if not all(by_passage) or not by_passage:
        return None
    bars = {bar: times for some in reversed(by_passage) for bar, times in some.items()}
    start = max(min(start for start, _ in some.values()) for some in by_passage)
    return ReadCue(cue, start, max(end for _, end in bars.values()), bars)


def bar_times(passage: Passage, clock: TakeClock, tick: Callable[[float], int]) -> dict[int, Ticks]:
    """From when to when each bar of a passage sounds in the film, the first time."""
    found: dict[int, Ticks] = {}
    for place in range(passage.first, passage.last + 1):
        start, end = (tick(seconds) for seconds in clock.bar_s(place))
        if start < end:
            found.setdefault(clock.fit.bars[place].bar, (start, end))
    return found


def wish_of(sentence: Sequence[Token], place: ReadCue, score: Score, duration: int) -> Wish:
    """When a sentence of a cue should be read; what opens a lesson is of no bars, and may be read over any."""
    characters = sum(len(token.printed) + 1 for token in sentence)
    latest = min(place.end + AFTER, duration) if place.cue.spans else duration
    wanted = max(pointed_at(sentence, place, score), place.start)
    return Wish(characters, max(place.start - AHEAD, 0), wanted, latest)


def pointed_at(sentence: Sequence[Token], place: ReadCue, score: Score) -> int:
    """When the first bar sounds that a sentence points at."""
    mentions = [place.cue.mentions[token.mention] for token in sentence if token.mention is not None]
    starts = [
        place.bars[bar][0]
        for mention in mentions
        for bar in mention_bars(score, mention)
        if bar in place.bars
    ]
    return min(starts, default=place.start)


def sentences_of(tokens: Sequence[Token]) -> Iterator[tuple[Token, ...]]:
    """The tokens, a tuple a sentence."""
    ends = [number for number, token in enumerate(tokens, 1) if ends_sentence(token.printed)]
    for first, last in pairwise(dict.fromkeys((0, *ends, len(tokens)))):
        yield tuple(tokens[first:last])


# What is in sight then ----------------------------------------------------------------------------------


def tell(
    reel: Reel, telling: Telling, score: Score, read: Sequence[ReadCue], duration: int
) -> list[Coloured]:
    """Lay captions, labels, signs and amber light for what is read; the notes to be coloured when they sound."""
    coloured: list[Coloured] = []
    for number, one in enumerate(read):
        subject = Subject(score, telling.analysis, one.cue.mentions)
        begins = [later.sentences[0].start for later in read[number + 1 :] if later.sentences]
        show_captions(reel, one, min([duration, *begins[:1]]), telling.characters)
        spoken = sorted(read_mentions(one, subject), key=lambda said: said.start)
        for said in spoken:
            light_capsule(reel, subject, said)
            draw_signs(reel, subject, said)
        draw_labels(reel, subject, spoken)
        light_ambers(reel, subject, [amber for amber in ambers(subject, spoken) if points(subject, amber)])
        reel.signs += [Sign(one.start, one.end, shape) for shape in one.cue.signs]
        reel.cues.append(CueTime(*whole(one), one.cue.number))
        coloured += [note for said in spoken for note in coloured_notes(subject.mentions[said.index], said)]
    return coloured


def points(subject: Subject, amber: Amber) -> bool:
    """Whether an amber light is for bars or notes that nothing else marks: the bar that sounds has its colour."""
    return all(subject.mentions[said.index].kind == "span" for said in amber.spoken)


def whole(one: ReadCue) -> Ticks:
    """From when to when a cue is read or its bars sound."""
    times = [(one.start, one.end), *((said.start, said.end) for said in one.sentences)]
    return min(start for start, _ in times), max(end for _, end in times)


def show_captions(reel: Reel, one: ReadCue, following: int, length: int) -> None:
    """The captions of a cue, none longer than it may be read; its terms are coloured as long as they are in sight."""
    until = min(following, one.end + AFTER) if one.cue.spans else following
    timed = [token for sentence in one.sentences for token in timed_tokens(sentence, one.cue.mentions)]
    for caption in captions_of(timed, until, length) if timed else ():
        terms = tuple(replace(term, start=caption.start, end=caption.end) for term in caption.terms)
        reel.captions.append(replace(caption, terms=terms))


def timed_tokens(sentence: ReadSentence, mentions: Sequence[Mention]) -> Iterator[TimedToken]:
    """The words of a sentence, each with the time that it takes to read."""
    letters = [len(token.printed) + 1 for token in sentence.tokens]
    whole, passed = sentence.end - sentence.start, 0
    for token, count in zip(sentence.tokens, letters, strict=True):
        start, end = (sentence.start + whole * share // sum(letters) for share in (passed, passed + count))
        use = mention_use(mentions[token.mention]) if token.mention is not None else None
        yield TimedToken(token.printed, start, end, token.mention, use)
        passed += count


def read_mentions(one: ReadCue, subject: Subject) -> Iterator[Spoken]:
    """What the sentences of a cue name, from when it is read or sounds until both are over."""
    for number, sentence in enumerate(one.sentences):
        named = (token.mention for token in sentence.tokens if token.mention is not None)
        for mention in dict.fromkeys(named):
            bars = mention_bars(subject.score, subject.mentions[mention])
            times = [times for bar in bars if (times := one.bars.get(bar)) and times[1] > one.start]
            start = min([sentence.start, *(start for start, _ in times)])
            yield Spoken(mention, start, number, max([sentence.end, *(end for _, end in times)]))


def coloured_notes(mention: Mention, said: Spoken) -> Iterator[Coloured]:
    """The notes of a mention that have a colour."""
    for lit in ringed(mention):
        yield Coloured(lit.note, said.start, said.sentence_end, "tension" if lit.tension else "rest")
