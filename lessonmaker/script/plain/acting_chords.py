"""Chords that are told of as what acts, where nothing else is read of a sentence: "D seven pushes us into G minor".

Common practice, no source. Whoever makes a chord the subject of what is said, or says that it is given to us, and says
nothing of the line beside it, speaks of the chord that is there; if it goes to another, that one comes next.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.position import Span, format_span, hull
from lessonmaker.script.model import Mention
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import (
    KEY_NAME,
    NO_CHORD,
    ChordSaid,
    chords_said,
    root_said,
    sounding,
)
from lessonmaker.script.plain.decided import Decided
from lessonmaker.script.plain.heard import Harmony, Heard, is_minor
from lessonmaker.script.plain.named_chords import OF_THE_LINE, QUALITY, is_stated
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.text import Sentence

__all__ = ["acting_chords"]

SORTS = ("name", "step", "function")
CLAUSE = pattern_of(r"[;:.!?]|,(?! \w+ing)| (?:and|but|so|because|then|where|which|while) ")
STARTS = pattern_of(
    r"(?:^|[,;:.!?] |\b(?:and|but|so|because|then|where|while|when|now|here|for a (?:moment|bar)|in bar [\w-]+),? )"
    r"(?:(?:and|but|so|now|then|here|the|that|this|our|your|its|both|only|even) )*$"
)
ACTS = pattern_of(
    r"(?: chord)?(?: (?:is|was|has|had|wants?|will|can|does|goes|comes|gets?|never|only|just|simply|already|really"
    r"|always|then|(?!plus\b|times\b|minus\b|versus\b|as\b|this\b|yes\b)[a-z]{2,}(?:s|es))\b|'s )"
)
IS_A = pattern_of(r"(?:'s| is| was) an? ")
# What is told of any such chord, or of how long one lasts.
AT_LARGE = pattern_of(
    r"(?:'s| is| was) (?:where|when|what)\b|[^,;:.]*\bfor (?:[\w-]+ ){1,5}(?:bars?|beats?|measures?)\b"
)
GIVEN = pattern_of(
    r"\b(?:handed|given|hands us|gives us|offered|visit|visits|meet|(?:full|whole) bars? of|bars? on|beats? of)"
    r" (?:the |an? |our )?(?:\w+ )?$"
)
GOES_TO = pattern_of(r"\b(?:to|into|towards?|at|onto|for|on) (?:the |an? |our )?$")


def acting_chords(
    sentence: Sentence, places: Sequence[Place], spans: Sequence[Span], music: Music
) -> list[tuple[ChordSaid, Decided]]:
    """The chords that a sentence makes the subjects of what it says, or says to be given, each with its bars."""
    if not is_stated(sentence) or OF_THE_LINE.search(_without_chords(sentence)):
        return []
    bars = [place for place in places if place.level == "bar" and not place.pointed and len(place.spans) == 1]
    where = bars[0].spans[0] if len(bars) == 1 else hull(spans)
    harmony = Harmony(music)
    found = []
    for said in _told(sentence):
        span = _span_of(sentence, said, where, harmony)
        if span is not None:
            span = Span(max(span.start, where.start), min(span.end, where.end))
            target = format_span(music.score, span)
            found.append((said, Decided(Mention("span", span, (), target=target), target)))
    return found


def _span_of(sentence: Sentence, said: ChordSaid, where: Span, harmony: Harmony) -> Span | None:
    """Where the one chord, or the one key, is heard that a sentence tells of; None where there are several or none."""
    fitting = [each for each in harmony.within(where) if said.fits(each, harmony)]
    chords = _one_stretch(fitting)
    if chords:
        at_home = _goes_on_as_said(sentence, said, chords[-1], harmony)
        return Span(chords[0].span.start, chords[-1].span.end) if at_home else None
    words = sentence.text[said.first : said.last]
    at_large = IS_A.match(sentence.text, said.last)  # "F minor is a warm key"
    key = KEY_NAME.fullmatch(words) if fitting and not at_large else None
    if key is None:
        return None
    tonic = sounding(root_said(key["root"]), harmony)
    keys = [each for each in harmony.keys_in(where) if each.tonic.pitch_class == tonic]
    keys = [each for each in keys if is_minor(each) == (key["mode"] == "minor")]
    return keys[0].span if len(keys) == 1 else None


def _without_chords(sentence: Sentence) -> str:
    """A sentence without the chords that it tells: "the five chord", whose five is no note."""
    text = sentence.text
    for said in reversed(chords_said(sentence)):
        text = f"{text[: said.first]} {text[said.last :]}"
    return text


def _told(sentence: Sentence) -> Iterator[ChordSaid]:
    """The chords of which something is said."""
    text = sentence.text
    for said in chords_said(sentence, SORTS):
        if NO_CHORD.match(text, said.last) or (said.sort == "name" and not QUALITY.match(text, said.first)):
            continue
        if AT_LARGE.match(text, said.last) or (
            said.sort != "name" and text.startswith(("a ", "an "), said.first)
        ):
            continue
        before = text[: said.first]
        if (STARTS.search(before) and ACTS.match(text, said.last)) or GIVEN.search(before):
            yield said


def _one_stretch(chords: Sequence[Heard]) -> list[Heard]:
    """Chords, if each comes right after the one before."""
    apart = any(other.index != each.index + 1 for each, other in pairwise(chords))
    return [] if apart else list(chords)


def _goes_on_as_said(sentence: Sentence, said: ChordSaid, chord: Heard, harmony: Harmony) -> bool:
    """Whether the chord comes next to which one is said to go, if one is said in its part of the sentence."""
    text = sentence.text
    end = next((match.start() for match in CLAUSE.finditer(text, said.last)), len(text))
    goals = [each for each in chords_said(sentence, SORTS) if said.last <= each.first < end]
    goals = [each for each in goals if GOES_TO.search(text[: each.first])]
    following = harmony.after(chord)
    return not goals or (following is not None and goals[0].fits(following, harmony))
