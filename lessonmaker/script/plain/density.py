"""How many notes a passage has, for itself or against another: "ten is four notes", "busier than bar nine", "sparse".

Common practice, no source. A bar is busy or sparse by the notes that a bar of the piece has on average.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.durations import count_said, few_of
from lessonmaker.script.plain.lengths import COUNT, IN_THE_BAR, OF_THE_BAR, OPENS
from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said
from lessonmaker.script.plain.vocabulary import NUMBER, number_of

__all__ = ["DENSITY"]


def _notes(match: re.Match[str], passage: Passage) -> Verdict:
    """So many notes: all of a passage, or those between two rests."""
    count, notes, before = few_of(match["count"]), passage.notes, match.string[: match.start()]
    opening = OPENS.search(before) and IN_THE_BAR.match(match.string, match.end())
    says = OF_THE_BAR.search(before) or opening
    if IN_TURN.match(match.string, match.end()) or ONLY_ONES.search(before):
        return UNKNOWN  # so many pitches, or some of the notes
    if len(notes) == count and (says or passage.after is None):
        return Verdict(notes)
    if not says or not passage.named:
        groups = [each for each in _between_rests(notes) if len(each) == count]
        later = [each for each in groups if passage.after is None or each[0].onset >= passage.after]
        opens = pattern_of(r"(?:^\s*|[,;:] (?:and |then )?)$").search(before)
        return Verdict(tuple(later[0])) if later and opens else UNKNOWN
    held = passage.music.sounding_at(passage.span.start) not in (None, *notes[:1])
    return (
        UNKNOWN
        if not notes or (held and count == len(notes) + 1)
        else Verdict(is_there=count_said(len(notes), "note"))
    )


def _all_told(match: re.Match[str], passage: Passage) -> Verdict:
    """How many notes there are, where the listener is told to count them."""
    notes = passage.notes
    if len(notes) == few_of(match["count"]):
        return Verdict(notes)
    return Verdict(is_there=count_said(len(notes), "note")) if notes and passage.named else UNKNOWN


ONLY_ONES = pattern_of(r"\bthe (?:only|other|same|last|first) $")
IN_TURN = pattern_of(
    r",? (?:that |which )?(?:(?:just |simply )?(?:keep|take turns|alternate|swap|change|come back|repeat|rotate"
    r"|go round)\b|over and over|again and again|taking turns|in turn|in rotation)"
)


def _between_rests(notes: Sequence[Note]) -> list[list[Note]]:
    found: list[list[Note]] = []
    for note in notes:
        if found and note.onset == found[-1][-1].onset + found[-1][-1].held:
            found[-1].append(note)
        else:
            found.append([note])
    return found


def _one_each_beat(_: re.Match[str], passage: Passage) -> Verdict:
    """A note on each beat and no other."""
    notes, unit = passage.notes, passage.bars[0].metre.unit_quarters
    beats = [bar.start + unit * beat for bar in passage.bars for beat in range(bar.metre.beats)]
    if [note.onset for note in notes] == beats:
        return Verdict(notes)
    return Verdict(is_there=count_said(len(notes), "note")) if passage.named and notes else UNKNOWN


BUSY, SPARSE = Fraction(5, 4), Fraction(4, 5)  # of the notes that a bar of the piece has on average


def _share(passage: Passage) -> Fraction:
    """How many notes a passage has for its length, against the piece as a whole."""
    bars = passage.music.full_bars
    whole = Fraction(len(passage.music.struck)) / (bars[-1].end - bars[0].start)
    return len(passage.notes) / (passage.span.end - passage.span.start) / whole if whole else Fraction(0)


def _busy(_: re.Match[str], passage: Passage) -> Verdict:
    return _crowded(passage, lambda share: share >= BUSY, lambda share: share <= SPARSE)


def _sparse(_: re.Match[str], passage: Passage) -> Verdict:
    return _crowded(passage, lambda share: share <= SPARSE, lambda share: share >= BUSY)


def _crowded(
    passage: Passage, fits: Callable[[Fraction], bool], is_not: Callable[[Fraction], bool]
) -> Verdict:
    if not passage.bars or passage.tests:
        return UNKNOWN
    share, notes = _share(passage), passage.notes
    if fits(share) and (passage.named or len(passage.bars) == 1):
        return Verdict(notes, None if notes else passage.span)
    if not passage.named or not is_not(share):
        return UNKNOWN
    return Verdict(is_there=count_said(len(notes), "note"))


def _busier(match: re.Match[str], passage: Passage) -> Verdict:
    """A bar that has more notes, or fewer, than another."""
    if (len(passage.bars) != 1 and not match["own"]) or passage.tests:
        return UNKNOWN
    bars, own = passage.music.score.bars, passage.bars[0]
    own = next((bar for bar in bars if match["own"] and bar.number == str(number_of(match["own"]))), own)
    at = own.index + (-1 if match["before"] else 1)
    others = (
        [bar for bar in bars if bar.number == str(number_of(match["bar"]))]
        if match["bar"]
        else bars[at : at + 1]
    )
    if not others or at < 0:
        return UNKNOWN
    here, there = (len(passage.music.struck_between(bar.start, bar.end)) for bar in (own, others[0]))
    if here != there and (here > there) == bool(match["more"]):
        return Verdict(span=Span(own.start, own.end))
    is_there = f"{count_said(here, 'note')}, and {there} in bar {others[0].number}"
    return Verdict(is_there=is_there, is_sure=bool(match["own"]))


BUSY_WORDS = (
    r"(?:busy|busier|crowded|dense|denser|fidgety|packed(?! with)|crammed(?! with)|hectic|frantic|chatty"
    r"|wordy|thick with notes|full of notes"
    r"|crawling with notes|jam-packed|(?:the )?notes (?:really )?come thick(?:est)?(?: and fast(?:est)?)?"
    r"|a mouthful|a lot of notes|lots of notes"
    r"|so many notes)"
)
SPARSE_WORDS = (
    r"(?:sparse|sparser|sparing|roomy|spacious|airy|thins? out|thinner|emptier|uncrowded|hardly any notes"
    r"|very few notes"
    r"|so few notes|room to breathe|calms? down|quietens down|slows? down to)"
)
BE = r"(?:is|are|'s|gets?|becomes?|looks?|turns?|grows?|feels?)"
NOTES = (
    r"(?:different |single |separate |lone |little |more |actual |struck |played |written |sounding )*"
    r"(?:notes?|attacks?|onsets?)"
)
DENSITY: tuple[Saying, ...] = (
    Saying(
        said(
            r"(?:count|add up) (?:out |up )?(?:all )?(?:the |our )?notes\b[^.;!?]{0,40}? "
            r"(?:get(?: to)?|find|have|reach|make"
            rf"|there(?:'s| are)|it's|is|are|comes? to|you'll see)"
            rf"(?: (?:just|only|exactly))? (?P<count>{COUNT})(?=[,.;:!?]|$)"
        ),
        _all_told,
    ),
    Saying(
        said(
            r"(?:one|a|exactly one|just one|a single) (?:note|stroke) (?:per|a|to a|to the|to each"
            r"|for each|for every|on each|on every|each) beat|a note on (?:each|every) beat"
        ),
        _one_each_beat,
    ),
    Saying(
        said(
            r"(?<!first )(?<!last )(?<!next )(?<!top )(?<!these )(?<!those )(?<!same )(?<!opening )(?<!the )"
            r"(?:(?<!of )|(?<=consists of )|(?<=made of )|(?<=made up of ))"
            rf"(?P<count>{COUNT}|a single|the one|just the one|just one) {NOTES}(?! (?:\w+ing"
            r"|from|of|in common|a|apart|below|above|higher|lower|per|to(?! play)|later|early|up|down"
            r"|pick-?up)\b)(?!(?: (?:in|of) [^,;:.]{0,24})? (?:is|are) (?:the|an?|not)\b)(?!-)"
        ),
        _notes,
    ),
    Saying(
        said(
            rf"(?:{BE}|has|have|holds?|packs in|there's|find|get|hear|play) (?:(?:much|far|a lot|a bit|even|way) )*"
            r"(?:(?P<more>busier|denser|fuller|more crowded|more packed|more notes|more going on)"
            r"|sparser|emptier|thinner|airier|calmer|less busy|less crowded|fewer notes)"
            rf"(?: in (?:bar|measure) (?P<own>{NUMBER}))? than (?:in )?(?:(?:bar|measure) (?P<bar>{NUMBER})|(?P<before>"
            r"(?:the )?(?:bar|one|measure) before(?: it)?"
            r"|the (?:last|previous) (?:one|bar|measure))|the (?:next (?:one|bar|measure)|(?:one|bar) after(?: it)?))"
        ),
        _busier,
    ),
    Saying(
        said(
            rf"(?:{BE}|as) (?:\w+ ){{0,3}}?{BUSY_WORDS}(?! (?:as|for)\b| than (?!most|the (?:others|rest)"
            r"|average|usual|any))(?: than (?:most|the (?:others|rest)|average|usual|any other))?"
            r"|where (?:the )?notes (?:really )?come thick(?:est)?"
        ),
        _busy,
    ),
    Saying(said(rf"{BE} (?:\w+ ){{0,2}}?{SPARSE_WORDS}|{SPARSE_WORDS}(?! (?:to|as|than)\b)"), _sparse),
)
