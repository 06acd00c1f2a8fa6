"""What of a bar is spoken of: its first note, its last, its highest, its lowest, or what sounds on one of its beats.

"The last note of 16", "the E closing bar 6", "where eight left off", "nine begins": the words nearest to a bar, with
no other bar between, tell which of its notes is meant. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from lessonmaker.analysis.lines import full_start
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.bars_told import Named, bars_told
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.verbs import ENDING, STARTING, inflected
from lessonmaker.script.plain.vocabulary import ORDINAL, ordinal_of

__all__ = ["WHOLE", "end_at", "end_near", "ends_of_all", "notes_at_end", "previous_notes", "windows"]

WHOLE = ("first", "last", "top", "low")
"""The ends of a bar that may be meant where none is said."""
NO_TIME = r"(?! (?:times?|beats?|bars?|measures?|one of)\b)"
ENDS = {
    "first": rf"(?:{STARTING}|{inflected('speak, come back in')}|(?:first|opening|starting)(?: (?:note|pitch"
    rf"|one"
    rf"|tone))?|start"
    rf"|beginning|opening|down-?beat){NO_TIME}",
    "last": rf"(?:{ENDING}|{inflected('leave off, settle, come to rest, let go')}|(?:last|final"
    rf"|closing)(?: (?:note"
    rf"|pitch|one|tone))?|end"
    rf"|ending|tail){NO_TIME}",
    "top": r"(?:highest|topmost|top|peaks?|peaked|ceiling|summit|climax|high point|tops? out|crests?)",
    "low": r"(?:lowest|bottom|low note|low point|floor|bottoms? out)",
}
END = pattern_of(
    r"(?<![\w-])(?<!right )(?:"
    + "|".join(rf"(?P<{side}>{words})" for side, words in ENDS.items())
    + rf"|(?P<beat>{ORDINAL}) beats?)(?![\w-])"
)
PREVIOUS = pattern_of(
    r"\b(?:the|its|that) (?:very )?(?:note|one|pitch|tone|[a-g](?: flat| sharp| natural)?)"
    r"(?: (?:just|right|immediately))? (?:before(?: it)?(?! (?:bar|\d))|(?:that |which )?(?:led|leads|took"
    r"|takes|brought|brings) (?:you|us|it|me)? ?"
    r"(?:there|here|in|to it|up|down)|(?:that )?(?:comes?|came|goes|went) (?:right |just )?before(?: it)?"
    r"|(?:that )?(?:you(?:'ve|'re)?|we(?:'ve|'re)?|it|i)(?:'ve)? (?:have )?(?:just )?(?:left|leaving"
    r"|came from|come from|leaves?)"
    r"|(?:that )?(?:it|which it) follows|(?:that |which )?precedes it)|\bits (?:predecessor|forerunner)\b"
    r"|\bthe preceding (?:note|pitch)\b"
)


def windows(told: Told) -> Iterator[tuple[Named, int, int]]:
    """The single bars that are named, each with where the words around it begin and end that are said of no other."""
    named = [each for each in bars_told(told) if len(each.bars) == 1]
    for at, each in enumerate(named):
        first, last = told.part_of(each.first)
        before = named[at - 1].last if at else 0
        after = named[at + 1].first if at + 1 < len(named) else len(told.text)
        yield each, max(first, before), min(last, after)


def end_near(told: Told, first: int, last: int, at: int, *, after_too: bool = True) -> str | None:
    """The end of a bar that words in [first, last) name, the nearest to a character."""
    found = [match for match in END.finditer(told.text, first, last) if after_too or match.end() <= at]
    best = min(found, key=lambda match: max(match.start() - at, at - match.end()), default=None)
    return None if best is None else _name(best)


def end_at(text: str) -> str | None:
    """The end of a bar with which a text begins: "top note than"."""
    match = END.match(text)
    return None if match is None else _name(match)


ALL_ENDS = pattern_of(
    rf"\b(?:the|their|your|both) (?:two )?(?:(?P<beat>{ORDINAL}) beats|(?P<first>(?:first|opening"
    rf"|starting) notes|down-?beats"
    r"|starts|beginnings)|(?P<last>(?:last|final|closing) notes|ends|endings)|(?P<top>peaks|(?:top"
    r"|highest) notes|tops)"
    r"|(?P<low>(?:lowest|bottom) notes|low points))\b"
)


def ends_of_all(text: str) -> str | None:
    """The end of each bar that a sentence compares: "compare the second beats"."""
    match = ALL_ENDS.search(text)
    return None if match is None else _name(match)


def _name(match: re.Match[str]) -> str:
    if match["beat"]:
        return f"beat {ordinal_of(match['beat'])}"
    return next(side for side in ENDS if match[side])


def notes_at_end(told: Told, bar: Span, end: str) -> list[Note]:
    """The notes of a bar that may be meant by one of its ends; a bar may begin with a note held into it."""
    music = told.music
    sounding, struck = told.notes_in([bar]), list(music.line_in(bar))
    if end.startswith("beat "):
        return _on_beat(told, bar, int(end.split()[1]))
    if not sounding:
        return []
    if end == "first":
        return list(dict.fromkeys([*struck[:1], *sounding[:1], *music.struck_in(bar)[:1]]))
    if end == "last":
        tied = sounding[-1].onset + sounding[-1].held > bar.end
        return sounding[-2:] if tied else sounding[-1:]
    pick = max if end == "top" else min
    best = pick(note.sounding.midi for note in sounding)
    return [note for note in sounding if note.sounding.midi == best]


def _on_beat(told: Told, bar: Span, beat: int) -> list[Note]:
    (own,) = told.music.bars_in([bar])[:1]
    unit = own.metre.unit_quarters
    start = full_start(own) + (beat - 1) * unit
    return told.notes_in([Span(start, start + unit)])


def previous_notes(told: Told, notes: Sequence[Note]) -> list[Note]:
    """The notes that come before some notes."""
    return [before for before in (told.note_before(note) for note in notes) if before is not None]
