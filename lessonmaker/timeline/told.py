"""Commentary to be read while a film plays: what is said of some bars stands in sight while they sound.

A sentence is begun when the bars that its cue is about sound, and not before the bar that it points at if there is
time to wait for that. It stays as long as it takes to read; where many things are to be read one waits for the
other, and what could no longer be begun while its bars sound is left out and told of. What a sentence names is marked
from when it can be read or sounds, whichever comes first, until both are over; a note that is named has its
colour while it sounds.
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
    CHARACTERS_PER_SECOND,
    LINE_LENGTH,
    SHORTEST,
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
from lessonmaker.timeline.model import TICKS_PER_SECOND, CueTime, Sign, SignShape, Use
from lessonmaker.timeline.reel import Reel

__all__ = ["Coloured", "FilmCue", "ReadCue", "Telling", "Unread", "read_in", "tell"]

AT_EASE = 15  # characters a second, by somebody who listens and watches too (common practice, no source)
PACES = (AT_EASE, CHARACTERS_PER_SECOND)

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
    read: list[ReadCue] = []
    free = 0
    for index, place in enumerate(places):
        limit = min([duration, *(latest_begin(later) for later in places[index + 1 :])])
        told = told_at_ease(place, score, free, limit)
        free = told.sentences[-1].end if told.sentences else free
        read.append(told)
        sentences = list(sentences_of(place.cue.tokens))
        left = len(sentences) - len(told.sentences)
        if left:
            first = sentences[len(told.sentences)][0]
            unread.append(Unread(place.cue.number, first, left, len(sentences)))
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


def latest_begin(place: ReadCue) -> int:
    """When a cue has to be begun at the latest, so that its first sentence is read while its bars sound."""
    first = next(sentences_of(place.cue.tokens), ())
    return max(place.start, place.end - reading_ticks(first, CHARACTERS_PER_SECOND)) if first else place.end


def told_at_ease(place: ReadCue, score: Score, free: int, limit: int) -> ReadCue:
    """A cue with what of it can be read from `free` on and before `limit`: at ease, or faster where that tells more."""
    paces = (placed(place, score, max(free, place.start), limit, pace) for pace in PACES)
    return max(paces, key=lambda told: len(told.sentences))


def placed(place: ReadCue, score: Score, begin: int, limit: int, pace: int) -> ReadCue:
    """A cue with the sentences that can be read at a pace, each where it belongs."""
    sentences = list(sentences_of(place.cue.tokens))
    lengths = [reading_ticks(sentence, pace) for sentence in sentences]
    found: list[ReadSentence] = []
    cursor = begin
    for number, (sentence, length) in enumerate(zip(sentences, lengths, strict=True)):
        waits = limit - sum(lengths[number:])
        start = max(cursor, min(pointed_at(sentence, place, score), waits))
        if start + length > limit:
            break
        found.append(ReadSentence(sentence, start, start + length))
        cursor = start + length
    return replace(place, sentences=tuple(found))


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


def reading_ticks(sentence: Sequence[Token], pace: int) -> int:
    """How long a sentence takes to read, at so many characters a second."""
    letters = sum(len(token.printed) + 1 for token in sentence)
    return max(letters * TICKS_PER_SECOND // pace, SHORTEST)


# What is in sight then ----------------------------------------------------------------------------------


def tell(
    reel: Reel, telling: Telling, score: Score, read: Sequence[ReadCue], duration: int
) -> list[Coloured]:
    """Lay captions, labels, signs and amber light for what is read; the notes to be coloured when they sound."""
    coloured: list[Coloured] = []
    starts = [one.sentences[0].start for one in read if one.sentences]
    for one in read:
        subject = Subject(score, telling.analysis, one.cue.mentions)
        following = min((start for start in starts if start > one.start), default=duration)
        last = one.sentences[-1].end if one.sentences else 0
        show_captions(reel, one, max(following, last), telling.characters)
        spoken = sorted(read_mentions(one, subject), key=lambda said: said.start)
        for said in spoken:
            light_capsule(reel, subject, said)
            draw_signs(reel, subject, said)
        draw_labels(reel, subject, spoken)
        light_ambers(reel, subject, [amber for amber in ambers(subject, spoken) if points(subject, amber)])
        reel.signs += [Sign(one.start, one.end, shape) for shape in one.cue.signs]
        reel.cues.append(CueTime(one.start, max(one.end, last), one.cue.number))
        coloured += [note for said in spoken for note in coloured_notes(subject.mentions[said.index], said)]
    return coloured


def points(subject: Subject, amber: Amber) -> bool:
    """Whether an amber light is for bars or notes that nothing else marks: the bar that sounds has its colour."""
    return all(subject.mentions[said.index].kind == "span" for said in amber.spoken)


def show_captions(reel: Reel, one: ReadCue, until: int, length: int) -> None:
    """The captions of a cue; its terms are coloured as long as they are in sight."""
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
