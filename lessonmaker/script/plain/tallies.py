"""How many notes of a kind a passage is said to have, or what all its tensions are: "four pitches", "all are natural".

Common practice, no source. Pitches that an octave parts may be counted as one or two; a passing note as a tension or
none: what is true by one of these counts is true.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import partial

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.durations import FEW, count_said, few_of
from lessonmaker.script.plain.lengths import OF_THE_BAR, OPENS
from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said
from lessonmaker.script.plain.vocabulary import ALTERATIONS, TENSIONS

__all__ = ["TALLIES"]

NATURAL = ("9", "11", "13")
BUILT_OF = pattern_of(r"\b(?:built|made|put together)(?: up| out)? (?:of|on|from|with)(?: (?:just|only))* $")


def _degree(note: Note, passage: Passage) -> str:
    return passage.music.finding(note).degree or ""


def _outside(passage: Passage) -> list[Note]:
    """The notes that are not of their chords."""
    return [note for note in passage.notes if _degree(note, passage) and not passage.music.is_tone(note)]


def _leaned_on(passage: Passage) -> list[Note]:
    """The notes outside their chords that do not merely pass."""
    roles = ("tension", "suspension")
    return [note for note in _outside(passage) if passage.music.finding(note).role in roles]


def _altered(passage: Passage) -> list[Note]:
    return [note for note in _outside(passage) if _degree(note, passage) in ALTERATIONS]


def _tones(passage: Passage) -> list[Note]:
    return [note for note in passage.notes if passage.music.is_tone(note)]


# What is counted: (what it is called, the ways to count it, what there is of it).
KINDS: tuple[tuple[str, tuple[Callable[[Passage], list[Note]], ...], str], ...] = (
    (TENSIONS, (_outside, _leaned_on), "tension"),
    (
        r"(?:altered (?:notes?|tones?|tensions?|degrees?|colou?rs?|extensions?)|alterations?)",
        (_altered, lambda passage: [note for note in _altered(passage) if _degree(note, passage) != "#11"]),
        "altered note",
    ),
    (
        r"(?:chord(?:al)? (?:tones?|notes?)|notes of the chord)"
        r"(?! (?:going|heading|running|rising|climbing|falling|tumbling|up|down|in a row)\b)",  # only some of them
        (_tones,),
        "chord tone",
    ),
    (
        r"(?:non-?chord(?:al)?[ -]tones?|outside notes?|foreign notes?|notes outside the chord)",
        (_outside, _leaned_on),
        "note outside the chord",
    ),
)


def _is_told_of(match: re.Match[str], passage: Passage) -> bool:
    """Whether what is counted is plainly all that a passage has."""
    before = match.string[: match.start()]
    told = OF_THE_BAR.search(before) or OPENS.search(before) or BUILT_OF.search(before)
    return passage.named and told is not None


def _counted(
    ways: Sequence[Callable[[Passage], list[Note]]], noun: str, match: re.Match[str], passage: Passage
) -> Verdict:
    """So many notes of a kind; false where there are as many by no way to count them."""
    count = few_of(match["count"])
    found = [way(passage) for way in ways]
    fitting = next(
        (notes for notes in found if count in (len(notes), len({_degree(note, passage) for note in notes}))),
        None,
    )
    if fitting is not None:
        return Verdict(tuple(fitting))
    known = all(_degree(note, passage) for note in passage.notes)
    between = min(map(len, found)) < count < max(map(len, found))
    if between or not known or not passage.notes or not _is_told_of(match, passage):
        return UNKNOWN
    return Verdict(is_there=count_said(len(found[0]), noun))


def _pitches(match: re.Match[str], passage: Passage) -> Verdict:
    """So many different pitches."""
    notes, count = passage.notes, few_of(match["count"])
    by_height = {note.sounding.midi for note in notes}
    by_name = {note.written.name for note in notes}
    if count in (len(by_height), len(by_name)) and passage.named:
        return Verdict(notes)
    held = passage.music.sounding_at(passage.span.start) not in (None, *notes[:1])
    if not notes or held or not _is_told_of(match, passage):
        return UNKNOWN
    return Verdict(is_there=count_said(len(by_height), "pitch"))


def _is_natural(note: Note, passage: Passage) -> bool:
    return _degree(note, passage) not in ALTERATIONS


def _is_altered(note: Note, passage: Passage) -> bool:
    leaned = passage.music.finding(note).role == "tension"
    return not (leaned and _degree(note, passage) in NATURAL)


def _is_with(sign: str, note: Note, passage: Passage) -> bool:
    leaned = passage.music.finding(note).role == "tension"
    return not leaned or _degree(note, passage).startswith(sign)


# What all tensions are said to be: (its name, whether one may be it).
QUALITIES: tuple[tuple[str, Callable[[Note, Passage], bool]], ...] = (
    ("natural|unaltered|diatonic", _is_natural),
    ("altered", _is_altered),
    ("flat|flattened|lowered", partial(_is_with, "b")),
    ("sharp|sharpened|raised", partial(_is_with, "#")),
)


def _all_are(match: re.Match[str], passage: Passage) -> Verdict:
    """What every tension of a passage is; false where one is otherwise."""
    what = match["what"] or match["what2"]
    is_so = next(test for names, test in QUALITIES if what in names.split("|"))
    notes = _outside(passage)
    other = next((note for note in notes if not is_so(note, passage)), None)
    if other is None:
        return Verdict(tuple(notes)) if passage.named and len(notes) > 1 else UNKNOWN
    at = format_position(passage.music.score, other.onset)
    return Verdict(is_there=f"the {_degree(other, passage)} is at {at}") if passage.named else UNKNOWN


ALL = r"(?:all|every(?: one)?|each(?: one)?|both)(?: of)?(?: the| these| those| its| our)?"
WHERE = r"(?: (?!(?:and|but|or|is|are|that)\b)[\w#'-]+){0,6}?"
WHAT = "|".join(names for names, _ in QUALITIES)
SOME = r"(?<!the )(?<!these )(?<!those )(?<!first )(?<!last )(?<!next )(?<!of )"
ENOUGH = r"(?:no fewer than |no less than |as many as |a full )?"
ONLY_THESE = (
    r"(?! (?:in a row|apart|from|of (?:the|its)|in common|above|below|higher|lower|later|earlier|after|before|per"
    r"|and)\b)"
)
TALLIES: tuple[Saying, ...] = (
    *(
        Saying(
            said(rf"{SOME}{ENOUGH}(?P<count>{FEW}) (?:different |separate |little )*{words}{ONLY_THESE}"),
            partial(_counted, ways, noun),
        )
        for words, ways, noun in KINDS
    ),
    Saying(
        said(
            rf"{SOME}{ENOUGH}(?P<count>{FEW}) (?:(?:only |just )?(?:different|distinct|separate) "
            rf"(?:pitches|notes|tones)|pitches){ONLY_THESE}"
        ),
        _pitches,
    ),
    Saying(
        said(
            rf"{ALL}(?: \w+)? {TENSIONS}{WHERE} (?:is|are|stays?|remains?|sounds?)(?: (?:all|just|only|quite))* "
            rf"(?P<what>{WHAT})|the {TENSIONS}{WHERE} (?:are|stay|remain) all (?P<what2>{WHAT})"
        ),
        _all_are,
    ),
)
