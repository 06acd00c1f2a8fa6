"""Where a line is said to have its highest or its lowest note, in what is shown or in the whole piece.

Common practice, no source.
"""

from __future__ import annotations

import re

from lessonmaker.score.position import format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.lengths import edge_note
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said

__all__ = ["EXTREMES", "NAME", "OF_ALL"]


def _highest(match: re.Match[str], passage: Passage) -> Verdict:
    return _extreme(match, passage, 1)


def _lowest(match: re.Match[str], passage: Passage) -> Verdict:
    return _extreme(match, passage, -1)


def _extreme(match: re.Match[str], passage: Passage, way: int) -> Verdict:
    """The highest or the lowest note of what is said, of the whole piece if that is meant."""
    whole = OF_ALL.search(match.string) is not None
    twice = pattern_of(r"\btwice\b|\bboth\b").search(match.string) is not None
    every = passage.music.struck if whole or twice else passage.notes
    if not every:
        return UNKNOWN
    best = max(note.sounding.midi * way for note in every)
    found = [note for note in every if note.sounding.midi * way == best]
    seen = [note for note in found if twice or note in passage.notes]
    name = _named_before(match) or _named_after(match)
    place = f"{found[0].written} at {format_position(passage.music.score, found[0].onset)}"
    kind = "highest" if way > 0 else "lowest"
    other = Verdict(is_there=f"the {kind} note is {place}")
    if name and found[0].written.name != named_note(name):
        return other if seen or passage.named else UNKNOWN
    subject = passage.subject or edge_note(match.string[: match.start()], passage.notes)
    if (subject is not None and subject not in found) or not seen:
        return other if whole or passage.named else UNKNOWN
    if subject is not None:
        return Verdict((subject,))
    if len(seen) == 1 or twice:
        return Verdict(tuple(seen))
    return Verdict(choices=tuple((note,) for note in seen))


NAME = r"[a-g](?:[ -](?:flat|sharp|natural))?(?![\w'#-])"
NAMED_AFTER = pattern_of(
    rf"(?: \w+){{0,3}}?(?: (?:is|on|at|with|than|as|being|of|to|comes|the|that|a|an|our|its|this|just"
    rf"|only))+ (?:(?:low|high|top|bottom|deep) )?(?P<note>{NAME})(?! (?:flat|sharp|major|minor|chord"
    r"|seven|section|(?!in |of )\w+ (?:bar|measure))\b)"
)


def _named_after(match: re.Match[str]) -> str:
    """The name of the note that is said to be the highest or the lowest."""
    named = NAMED_AFTER.match(match.string, match.end())
    if named is None or (named["note"] == "a" and pattern_of(r" [a-z]").match(match.string[named.end() :])):
        return ""
    return named["note"]


NAMED_BEFORE = pattern_of(rf"(?<![\w'-])(?P<note>{NAME}),? (?:is|'s) (?:\w+ )*?$")


def _named_before(match: re.Match[str]) -> str:
    """The name of the note that is said to be it: "F is the lowest note here"."""
    verb = pattern_of(r"(?:is|'s) ").match(match[0])
    named = NAMED_BEFORE.search(match.string[: match.start() + (verb.end() if verb else 0)])
    return named["note"] if named is not None else ""


OF_ALL = pattern_of(
    r"\b(?:of|in|on|for) (?:the|this|our|that) (?:whole |entire |complete )?(?:piece|etude|tune|solo|thing"
    r"|chorus|study|song|page|performance|number|head|line from start)\b"
    r"|\b(?:we|you|it|the line|i) (?:ever|will ever|go anywhere)\b|\bever\b|\bnowhere\b|\banywhere (?:in"
    r"|else)\b|\ball (?:night|evening|day)\b|\bof all\b|\b(?:the|our) whole (?:thing|way)\b"
    r"|\bthe piece\b|\bthe etude\b|\b(?:its|our) (?:very )?(?:highest|lowest)\b"
)
GO = r"(?:go(?:es)?|gets?|ever go|ever get|reach(?:es)?|play|come|will go|dare to go|ever goes)"
WHO = r"(?:we|you|it|the line|he|she|i|this)"
HIGHEST = (
    rf"(?:tops? out|{WHO} peaks?|peaks(?= (?:on|at|with) (?:the |that |an? )?{NAME})"
    r"|(?:is|'s) the (?:very )?top of (?:(?:the|this|that) (?:bar|measure|phrase|line|run|arpeggio|figure"
    r"|whole thing)|(?:bar|measure) [\w-]+)"
    r"|(?:the|our|its|your|my|that) (?:absolute |same |very )?(?:ceiling|roof|summit|apex"
    r"|crown|pinnacle"
    r"|high-?water mark|topmost note)"
    r"|the (?:very )?highest(?: (?:note|point|pitch))?(?= (?:of|in)\b)|(?:bar|measure|phrase|line)'s (?:top"
    r"|highest) note"
    r"|(?:never|doesn't|does not|don't)(?: once| ever)? (?:goes?|rises?|climbs?|gets?|ventures?) (?:above"
    r"|beyond|past|over)(?= (?:the|that|a)\b)"
    rf"|(?:the )?highest (?:point |note |pitch )?(?:that )?{WHO} (?:ever )?{GO}|(?:as"
    rf"|so) high as {WHO} (?:ever )?{GO}|no higher than"
    r"|(?:nothing|nowhere|never|not once)[^,;.:]{0,40}? higher|our top note|(?:the|its"
    r"|our) top note(?= (?:of|in|is)\b)"
    r"|higher than (?:anything|everything|any other)(?: else)?|(?:reach|reaches|hit|hits|touch"
    r"|touches) the top)"
)
LOWEST = (
    r"(?:bottoms? out|(?:hits|touches|reaches|strikes) (?:rock )?bottom"
    r"|(?:the|our|its|your|my|that) (?:absolute |same |very )?(?:cellar|basement|nadir|low-?water mark"
    r"|lowest ebb|bottom note|low point)"
    r"|(?:the|our|its|this|your)? ?(?:very |single )?lowest (?:note|pitch|point|spot|moment|tone|place"
    r"|one)|(?:is|'s) (?:also )?(?:its|the|our) lowest(?=[,.;:!?]|$)"
    r"|the (?:very )?lowest(?= (?:of|in)\b)"
    r"|(?:never|doesn't|does not|don't)(?: once| ever)? (?:goes?|falls?|drops?|sinks?|gets?|dips?"
    r"|ventures?) (?:below|under|beneath)(?= (?:the|that|a)\b)"
    rf"|(?:the )?lowest (?:that )?{WHO} (?:ever )?{GO}|(?:as|so) low as {WHO} (?:ever )?{GO}|no lower than"
    r"|(?:nothing|nowhere|never|not once)[^,;.:]{0,40}? lower|lower than (?:anything|everything"
    r"|any other)(?: else)?)"
)

EXTREMES = (Saying(said(HIGHEST), _highest), Saying(said(LOWEST), _lowest))
