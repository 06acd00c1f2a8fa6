"""Where a sentence says that a degree is the first or the last note of something. Common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in
from lessonmaker.script.music import Music
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.places import Place
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, GAP, STARTING

__all__ = ["OF_EACH", "End", "end_said", "notes_at"]

Side = Literal["first", "last"]
ARTICLE = r"(?: the| a| an| its| that| your| our)?(?: chord's| very same| same)?"
ON = r"(?: on| upon| with| from| at| in)"
ASIDE = r"(?:,[^,;:]{3,60},)?"  # "settles, to the relief of all, on": what is put between
BEGINS = rf"(?:{STARTING}{GAP}{ASIDE}{ON}|(?:leads?|led)(?: off)? with|(?:is|was) entered(?: through| by| on| with))"
ENDS = rf"(?:{ENDING}|comes? to rest|settles?){GAP}{ASIDE}{ON}"
ALSO = r",?\s*(?:(?:it|then|just|actually|simply|also|of course|again|now|that) )*"
BAR_BEGINS = re.compile(rf"{ALSO}(?:{BEGINS}|'s first note is){ARTICLE}\s*")
BAR_ENDS = re.compile(rf"{ALSO}(?:{ENDS}|'s last note is){ARTICLE}\s*")
BEGUN = re.compile(
    rf"\b(?:{STARTING}(?: off| out| up)?|arrives?(?: in| at)?) (?:the )?$"
)  # before a bar: "kick off bar eight on"
ENDED = re.compile(rf"\b{ENDING}(?: off| out| up)? (?:the )?$")
ON_IT = re.compile(rf"(?: off| out| up)?,?{ON}{ARTICLE}\s*")
AND_THEN = re.compile(r"\b(?:and|then) (?:the )?$")  # before another bar, without the verb
OPENS = re.compile(rf"\s*(?:{STARTING}|is the (?:first|opening) note (?:of|in))(?: the)?\s*")
CLOSES = re.compile(rf"\s*(?:{ENDING}|is the (?:last|final|closing) note (?:of|in))(?: the)?\s*")
AND_ENDS = re.compile(
    rf"(?:,|\band)(?: (?:then|you|we|i|it|he|she))* (?:{ENDING}|comes? to rest|settles?)(?: it)?(?: off| up)?"
    rf"(?:,[^,;:]*,)?{ON}(?: (?:\w+ ){{1,3}}of)?{ARTICLE}\s*$"
)
LIST_GOES_ON = re.compile(
    r"(?:,|,? and|,? then| to) (?:the |a |an )?(?:flat|sharp|natural|[b#]\d|root|\w+th\b|third)"
)
# Several bars at once, of which nothing is decided.
OF_EACH = re.compile(r"\b(?:both|each) (?:start|begin|open|end|finish|close)s?\b")
WHOLE = r"\b(?:the|this|our) (?:etude|piece|tune|solo|whole thing|study)"
PIECE_BEGINS = re.compile(rf"{WHOLE} {BEGINS}{ARTICLE}\s*$")
PIECE_ENDS = re.compile(rf"{WHOLE} {ENDS}{ARTICLE}\s*$")
NOTE_IS = re.compile(
    r"\b(?:the|your|our|its|my|his|her) (?:very )?(?P<which>first|opening|last|final"
    r"|closing) note(?P<where> (?:in|of) [\w -]+)?"
    r"(?: (?:that )?(?:you|we|i|he|she) \w+)?(?:, [\w -]+,)? (?:is|was)"
    rf"(?: just| simply| only| of course| again| once more| actually)*{ARTICLE}\s*$"
)
# What the cue ends with, where that is the end of the piece: "we finish on the ninth", "it's the ninth we end on".
WE_END = re.compile(
    rf"\b(?:we|you|i|he|she|it all|everything) (?:just |simply |finally |all )?{ENDS}{ARTICLE}\s*$"
)
THAT_ENDS = re.compile(rf" (?:that )?(?:we|you|i|it) {ENDING} (?:up )?on\b")

# What the one bar or chord in sight begins or ends with.
BEGINS_IT = re.compile(rf"\b{STARTING}{GAP}{ON}{ARTICLE}\s*$|\bfirst note is{ARTICLE}\s*$")
ENDS_IT = re.compile(rf"\b{ENDING}{GAP}{ON}{ARTICLE}\s*$|\blast note is{ARTICLE}\s*$")
OF_A_PART = re.compile(
    r"\b(?:phrase|figure|motif|lick|triplet|group|shape|run|arpeggio|sequence|line|answer|idea|half)\b"
)


@dataclass(frozen=True)
class End:
    """That a claim is the first or last note of a stretch; `certain` where the words leave no doubt of which."""

    side: Side
    span: Span
    certain: bool = True


def end_said(
    sentence: Sentence, claim: Claim, places: Sequence[Place], spans: Sequence[Span], music: Music
) -> End | None:
    """What a degree is said to begin or end, if anything.

    Args:
        sentence: what is said.
        claim: the degree.
        places: what the sentence names.
        spans: what the cue shows.
        music: the score as it is heard.
    """
    before, after = sentence.text[: claim.first], sentence.text[claim.last :]
    bars = [place for place in places if place.level == "bar" and len(place.spans) == 1]
    if any(place.level == "beat" and place.last <= claim.first for place in places):
        return None  # "the second half of bar twelve starts on the third"
    for place in bars:
        between = sentence.text[place.last : claim.first]
        following = sentence.text[claim.last : place.first]
        for side, leading, trailing in (("first", BAR_BEGINS, OPENS), ("last", BAR_ENDS, CLOSES)):
            leads = place.last <= claim.first and leading.fullmatch(between)
            trails = claim.last <= place.first and trailing.fullmatch(following)
            verb = BEGUN if side == "first" else ENDED
            leads = leads or (
                place.last <= claim.first
                and verb.search(sentence.text[: place.first])
                and ON_IT.fullmatch(between)
            )
            leads = leads or (
                place.last <= claim.first
                and place is not bars[0]
                and AND_THEN.search(sentence.text[: place.first])
                and verb.search(sentence.text[: bars[0].first])
                and ON_IT.fullmatch(between)
            )
            if (leads and not (side == "last" and LIST_GOES_ON.match(after))) or trails:
                return End("first" if side == "first" else "last", place.spans[0])
    if len(bars) == 1 and bars[0].last <= claim.first and AND_ENDS.search(before):
        return End("last", bars[0].spans[0])
    finale = not bars and len(spans) == 1 and spans[0].end == music.score.bars[-1].end
    if finale and (WE_END.search(before) or THAT_ENDS.match(after)):
        return End("last", spans[0])
    return (
        _of_the_piece(before, music)
        or (None if bars else _of_the_stretch(before, claim, places, spans, music))
        or _note_is(before, after, bars, spans, music)
    )


def _of_the_stretch(
    before: str, claim: Claim, places: Sequence[Place], spans: Sequence[Span], music: Music
) -> End | None:
    """The first or last note over the one chord that the sentence names, else of the one bar that the cue shows."""
    begins = BEGINS_IT.search(before)
    if OF_A_PART.search(before) or not (begins or ENDS_IT.search(before)):
        return None
    chords = [place for place in places if place.level == "chord" and place.last <= claim.first]
    stretches = _chord_stretches(chords[-1], spans, music) if chords else spans
    one = len(stretches) == 1 and (chords or len(bars_in(music.score, spans[0])) == 1)
    return End("first" if begins else "last", stretches[0]) if one else None


def _chord_stretches(place: Place, spans: Sequence[Span], music: Music) -> list[Span]:
    """Where a chord that is named lasts, in what the cue shows."""
    found: list[Span] = []
    ends = [*(change.onset for change in music.score.changes[1:]), music.score.bars[-1].end]
    for change, end in zip(music.score.changes, ends, strict=True):
        seen = any(span.start < end and change.onset < span.end for span in spans)
        struck = music.struck_between(change.onset, end) if seen else ()
        own = [note for note in struck if music.finding(note).role != "anticipation"]
        if place.test is not None and own and all(place.test(note, music) for note in own):
            found.append(Span(change.onset, end))
    return found


def _of_the_piece(before: str, music: Music) -> End | None:
    if PIECE_BEGINS.search(before):
        return End("first", _whole(music))
    return End("last", _whole(music)) if PIECE_ENDS.search(before) else None


def _whole(music: Music) -> Span:
    return Span(music.score.bars[0].start, music.score.bars[-1].end)


def _note_is(
    before: str, after: str, bars: Sequence[Place], spans: Sequence[Span], music: Music
) -> End | None:
    """The last note of a bar that the sentence names, else of what the cue shows."""
    said = NOTE_IS.search(before)
    if said is None or after.startswith(" of the phrase"):
        return None
    side: Side = "first" if said["which"] in ("first", "opening") else "last"
    if said["where"] and re.search(WHOLE, said["where"]):
        return End(side, _whole(music))
    if len(bars) == 1:
        return End(side, bars[0].spans[0])
    if bars or len(spans) != 1 or said["where"]:
        return None
    is_end = spans[0].end == music.score.bars[-1].end
    return End(side, spans[0], side == "last" and is_end)


def notes_at(end: End, music: Music) -> tuple[Note, ...]:
    """The notes that may be called the first or last of a stretch.

    One that is held into its beginning, or anticipates what follows it, leaves two to choose from.
    """
    struck = music.struck_between(end.span.start, end.span.end)
    if end.side == "first":
        held = music.sounding_at(end.span.start)
        return (*([held] if held is not None else []), *struck[:1])
    early = struck and music.finding(struck[-1]).role == "anticipation"
    return struck[-2:] if early else struck[-1:]
