"""Bars in sight that a sentence names by a number alone: "six shoots up", "the note that ended 23", "Eight tops seven".

Common practice, no source. A small number in words may be a degree, a beat or a count: it is a bar only where what
stands around it speaks for one.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence

from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, STARTING
from lessonmaker.script.plain.vocabulary import NUMBER, number_of

__all__ = ["loose_bars"]

HIGHEST_DEGREE = 13
LOWEST_BY_WORD = 5  # "one", "two" and so on are hardly ever bars by themselves
NUMBERS = pattern_of(rf"(?<![\w'./&+-]){NUMBER}(?![\w/&+-]|[.']\d)")
# What a number counts, or is: after it and before it.
COUNTED = pattern_of(
    r" (?:(?:more|full|whole|good|long|short|even|straight|little|quick|equal|different|other|new|single|big)\b"
    r"|and a half\b|of\b|hundred\b|times?\b|flats?\b|sharps?\b|chords?\b|half\b"
    r"|(?!(?:has|is|was|does|goes|as)\b)(?:note|beat|bar|measure|eighth|quarter|half|halve|step|third"
    r"|fourth|fifth|sixth"
    r"|semitone|tone|pitch|octave|rest|attack|group|phrase|cell|figure|voice|part|thing|triplet|letter"
    r"|string|fret"
    r"|finger|line|triad|shape|hit|stroke|copie|place|spot|second|minute|year|people|key|degree|letter"
    r"|arpeggio)e?s?\b)"
)
NO_BAR = pattern_of(
    r"\b(?:beats?|on|flat|sharp|natural|major|minor|dominant|diminished|augmented|sus|the|these|those|all"
    r"|last|first|next"
    r"|a|an|other|another|only|just|about|top|numbers?|counts?|plus|page|chorus|take|chapter|than that"
    r"|groups? of|sets? of|rows? of|out of|threes? or|[a-g](?: flat| sharp|[b#])?) $"
)
# Two numbers in a row are degrees, or a count: "one, three, five".
IN_A_ROW = pattern_of(rf"^(?:,? and|,| to|,? then|-) (?:the )?(?:(?:flat|sharp) )?{NUMBER}\b")
DEGREES = (1, 2, 3, 4, 5, 6, 7, 9, 11, 13)
AFTER_A_ROW = pattern_of(rf"{NUMBER}(?:,? and|,| to|,? then|-) (?:the )?$")
# A small number in words is a bar after these, or where it does something.
LEADS_IN = pattern_of(
    rf"\b(?:in|from|than|under|above|below|like|unlike|between|into|through|during|after|before|next to"
    rf"|beside|compare|around"
    rf"|end of|start of"
    rf"|(?:first|last|rest|top|half|note|pace|figure|rhythm) of|{STARTING}|{ENDING}|beats|tops|copies"
    rf"|repeats|answers"
    r"|echoes|mirrors|follows|leaves?|leaving) $"
)
DOES = pattern_of(
    r"(?:'s\b| (?:(?:just|only|simply|also|then|never|really|both|still|all|\w+ly) )*"
    r"(?!(?:times|notes|bars|beats|always|this|thus|its|towards|across|plus|less)\b)"
    r"(?:\w+[a-z]s|did|had|was|were|will|would|that|who|\w+ed|left|began|ended|started|opened|finished"
    r"|rose|fell|went|do"
    r"|have|are)\b)"
)
OPENS = pattern_of(
    r"(?:^|[,;:]|\b(?:and|but|while|whereas|where|so|then|because|as|that|how|what|when|if|it's|it is"
    r"|or)) ?(?:then )?$"
)
# "Thirteen sits on beat two": no bar stands on a beat.
ON_A_BEAT = pattern_of(
    r" (?:\w+ )?(?:comes|falls|is|lands|sits|stands|arrives|sounds|rings)(?: (?:right|just|only|squarely))?"
    r" on (?:beat|the (?:and|down-?beat|off-?beat))\b"
)
CLOSES = pattern_of(r"\s*(?:[,;:.!?]|$)| (?:or|and|as|than|to)\b")
JOINS = pattern_of(r",? (?:and |or |to |then )?")


def loose_bars(
    sentence: Sentence, music: Music, bars: Collection[int], places: Sequence[Place]
) -> Iterator[Place]:
    """The bars of a cue that are named by numbers that no place has taken."""
    text = sentence.text
    spans = {
        int(bar.number): Span(bar.start, bar.end)
        for bar in (music.score.bars[at] for at in bars)
        if bar.number.isdecimal() and bar.start >= 0
    }
    joined = 0  # where the last bar of a list ends
    for match in NUMBERS.finditer(text):
        number = number_of(match[0])
        taken = any(place.first < match.end() and match.start() < place.last for place in places)
        listed = (
            joined and JOINS.fullmatch(text, joined, match.start()) and not COUNTED.match(text, match.end())
        )
        if number in spans and not taken and (listed or _is_bar(text, match, number)):
            joined = match.end()
            yield Place("bar", *match.span(), (spans[number],))


def _is_bar(text: str, match: re.Match[str], number: int) -> bool:
    before, after = text[: match.start()], text[match.end() :]
    if COUNTED.match(after) or NO_BAR.search(before):
        return False
    if number > HIGHEST_DEGREE:
        return True
    in_words = not match[0].isdecimal()
    if in_words and number < LOWEST_BY_WORD:
        return False
    row = IN_A_ROW.match(after) or AFTER_A_ROW.search(before)
    if row is not None and all(
        number_of(each) in DEGREES for each in [*pattern_of(NUMBER).findall(row[0]), match[0]]
    ):
        return False
    does = DOES.match(after) and not ON_A_BEAT.match(after)
    if OPENS.search(before):
        return bool(does)
    return LEADS_IN.search(before) is not None and (bool(CLOSES.match(after) or does) or not in_words)
