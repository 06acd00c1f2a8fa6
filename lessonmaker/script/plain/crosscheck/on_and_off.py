"""Where in the bar something is said to come: "lands square on one", "it sits squarely on the beat".

What is said to come there are notes that are named or lit. A note that sounds on may be said to sit where it still
sounds. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.score.model import Bar, Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.spoken_of import Subject, subject_before, subjects
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.vocabulary import CARDINAL, ORDINAL, number_of, ordinal_of

__all__ = ["notes_on_beats"]

TODO = "say where it is"
NO_BEAT = (
    r"(?! (?:[a-z]+ )?(?:bars?|beats?|notes?|chords?|measures?|eighths?|quarters?|more|of|step|steps"
    r"|side|hand|string|finger"
    r"|before|pitch|thing|level|another|string|occasion|go|breath|roots?|chord)\b)(?! and (?:a half|two"
    r"|three|four)\b)(?! or\b)"
)
# What tells more of the beat itself: "beat three is the flat nine".
HAS_IT = r"(?:is|are|has|brings?|gives?|gets?|holds?|belongs?|carries|stays?)\b"
BEAT = pattern_of(
    rf"\b(?:(?:on|at|until|till|hits?|for) (?:beat )?(?P<number>{CARDINAL})(?![\w-]){NO_BEAT}(?! {HAS_IT})"
    rf"|(?:the )?(?:and|off-?beat) (?:of|after) (?:beat )?(?P<and>{CARDINAL})(?![\w-])"
    rf"|the (?P<nth>{ORDINAL}) beat\b|beat (?P<beat>{CARDINAL})(?![\w-])(?! {HAS_IT})|(?P<down>(?:the"
    rf"|that|this) down-?beat\b)"
    r"|(?P<off>(?:off|between|in between) (?:of )?(?:the|a) beats?\b|on (?:an?|the) (?:off-?beat|and"
    r"|upbeat)\b(?! of))"
    r"|(?P<on>(?:square|squarely|right|bang|dead|straight|smack|firmly|directly|exactly|plumb|solidly|is"
    r"|are|sits?|falls?|lands?|comes?"
    r"|arrives?|sitting|falling|landing|coming) on (?:the|a) beat\b))"
)
# What is there may be something else, or is not said to come there.
NOT_BETWEEN = pattern_of(
    r"\b(?:rests?|resting|silen\w+|breath\w*|pauses?|gap|space|empty|nothing|still|tied|over|across"
    r"|through|past|from|to"
    r"|into|towards?|before|after"
    r"|between|left|leav\w+|other|others|another|every|once|twice|times|until|till|resolv\w+|leads?"
    r"|heads?|aim\w*|accent\w*"
    r"|chords?|harmon\w+|phrase|line|bass|band|piano|and (?:end|finish|stop|land)\w*|than|as|like|or"
    r"|goes|moves?|drops?|steps?|leaps?|jumps?"
    r"|climb\w*|run|runs|ris\w+|fall(?:s|ing)? (?:to|down)|for|ends?|ending|stops?|clap|count\w*"
    r"|foot|tap|with|not"
    r"|absent|missing|half|part|middle|end|each|both|all|always|either|if)\b"
)
UNTIL = pattern_of(r"\b(?:until|till)\b")
WAITS = pattern_of(
    r"\b(?:wait\w*|hold\w* off|delay\w*|does(?:n't| not) (?:come|arrive|enter|start|appear"
    r"|show up)[\w ]*|not(?= until| till))\b"
)
BEGINS = pattern_of(
    r"\b(?:arriv|appear|attack|com|enter|hit|land|show|start|strike|struck|wait|begin|pop|slip|drop|fall"
    r"|kick|play)\w*"
)


# Before a note that is not there yet: "we resolve that E flat on the and of two".
GOES_ON_THERE = pattern_of(
    r"\b(?:resolv|releas|let go|leav|drop|giv|quit)\w*(?: up| of)?(?: (?:the|that|this|our|its))? $"
)
# What comes before the last of several notes: "eleven down to flat three on the second beat".
IN_A_ROW = pattern_of(r"(?:\b(?:to|and|then|into)|,) (?:(?:the|its|an?|that) )?$")
PRONOUN = pattern_of(r"\b(?:another|other|one)$")
STARTING_ON = pattern_of(r"\b(?:start|begin)\w*")


def notes_on_beats(told: Told) -> Iterator[Untrue]:
    """Notes that are said to come on a beat, or off it, where none of them does."""
    found = subjects(told)
    for match in BEAT.finditer(told.text):
        subject = subject_before(told, match.start(), found)
        if subject is None:
            yield from _with_what_follows(told, match, found)
            continue
        between = told.text[subject.last : match.start()]
        until = UNTIL.search(f"{between} {match[0]}") is not None
        if BEAT.search(between) or (until and not WAITS.search(between)):
            continue
        between = WAITS.sub("waits", pattern_of(r"\b(?:until|till)$").sub("", between.rstrip()))
        if NOT_BETWEEN.search(between) or _is_of_what_follows(told, match, between):
            continue
        if GOES_ON_THERE.search(told.text[told.part_of(match.start())[0] : subject.first]):
            continue
        begins = BEGINS.search(f"{between} {match[0]}") is not None or bool(match["off"] or match["on"])
        in_a_row = IN_A_ROW.search(told.text[: subject.first]) is not None or len(subject.notes) > 1
        if (in_a_row and STARTING_ON.search(between)) or (
            subject.lit and PRONOUN.search(told.text[subject.first : subject.last])
        ):
            continue
        if not any(_is_there(told, note, match, begins, in_a_row) for note in subject.every_note):
            yield _elsewhere(told, subject, match)


# A beat with which something else begins to be told: "and only on beat two does it give way".
FRONTED = pattern_of(
    r"(?:^|[,;:]|\b(?:and|but|then|so))(?: (?:then|only|just|also|right|here|there|now))*(?: (?:on|at|by"
    r"|from))? ?$"
)
AT_ITS_END = pattern_of(
    r"(?: of (?:the |this )?(?:next |following )?(?:bar|measure)?(?: [\w-]+)?)?(?:[,.;:!?]|$| and\b)"
)


def _is_of_what_follows(told: Told, match: re.Match[str], between: str) -> bool:
    fronted = FRONTED.search(between)
    return bool(fronted and fronted[0].strip()) and AT_ITS_END.match(told.text, match.end()) is None


# What comes with a note that is named after the beat: "we come in on one with the G".
WITH_IT = pattern_of(
    r" (?:with|comes?|arrives?|lands?|enters?) (?:the|an?|our|that) (?:(?:high|low|first|long) )?"
)
COMES_IN = pattern_of(
    r"\b(?:com|start|begin|enter|kick|jump|open|set|launch|hit|drop|div|leap)\w*\b[^,;:.]{0,30}$"
)


def _with_what_follows(told: Told, match: re.Match[str], found: Sequence[Subject]) -> Iterator[Untrue]:
    """A note with which a line is said to come in on a beat, where none of that name is there."""
    after = next((each for each in found if each.first >= match.end()), None)
    if after is None or after.lit or not after.notes[0]:
        return
    said = WITH_IT.fullmatch(told.text, match.end(), after.first)
    if not said or not COMES_IN.search(told.text[told.part_of(match.start())[0] : match.start()]):
        return
    if not any(_is_there(told, note, match, True, False) for note in after.notes[0]):
        yield _elsewhere(told, after, match)


def _is_there(told: Told, note: Note, match: re.Match[str], begins: bool, in_a_row: bool) -> bool:
    """Whether a note is struck where it is said to be; or sounds there, if it is not said to begin.

    What stands in a row of several notes may come later in the beat in which they are.
    """
    bars = told.music.score.bars
    places = [(bars[note.bar], position_in_bar(note.onset, bars[note.bar]))]
    onset = note.onset
    while not begins and onset < note.onset + note.held:
        bar = next((bar for bar in bars if bar.start <= onset < bar.end), None)
        if bar is not None:
            places.append((bar, position_in_bar(onset, bar)))
        onset += Fraction(1, 2)
    if in_a_row:
        places += [(bar, at - at % bar.metre.unit_quarters) for bar, at in places]
    return any(_is_at(bar, at, match) for bar, at in places)


def _is_at(bar: Bar, at: Fraction, match: re.Match[str]) -> bool:
    """Whether a place in a bar is what words say, by any beat that may be counted."""
    units = {bar.metre.unit_quarters} | ({3 * bar.metre.unit_quarters} if bar.metre.is_compound else set())
    if match["off"] or match["on"]:
        return any((at % unit == 0) == bool(match["on"]) for unit in units)
    if match["and"]:
        return any(number_of(match["and"]) * unit - unit / 2 == at for unit in units)
    word = match["number"] or match["beat"]
    beat = 1 if match["down"] else number_of(word) if word else ordinal_of(match["nth"])
    return any((beat - 1) * unit == at for unit in units)


def _elsewhere(told: Told, subject: Subject, match: re.Match[str]) -> Untrue:
    note = subject.every_note[0]
    at = told.music.position(note)
    return Untrue(
        match.start(), match.end(), f"the {note.written.name} is at {at}", TODO, told.music.target_of(note)
    )
