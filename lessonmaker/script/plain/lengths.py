"""How long the notes of a passage are said to be: "ten is four quarter notes", "a dotted quarter on the third".

Common practice, no source. A note is as long as it is printed, or as long as it sounds with what is tied to it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

from lessonmaker.analysis.lines import full_start
from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.durations import (
    FEW,
    FULL,
    QUANTITY,
    VALUE,
    VALUES,
    count_said,
    few_of,
    quantity_of,
    value_of,
    value_said,
)
from lessonmaker.script.plain.passage import (
    A_BEAT,
    NUMBERS,
    UNKNOWN,
    Passage,
    Saying,
    Verdict,
    beat_named,
    runs_by,
    said,
)
from lessonmaker.script.plain.verbs import ENDING, STARTING, inflected
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL

__all__ = [
    "COUNT",
    "ENDS_ON",
    "HOLDING_ONE",
    "IN_THE_BAR",
    "LENGTHS",
    "LONG",
    "OF_THEM",
    "OF_THE_BAR",
    "OPENS",
    "STARTS_ON",
    "edge_note",
]

PLAIN = (
    r"(?:(?:even|plain|straight|steady|simple|bare|solid|ordinary|regular|equal|quick|slow|short|quiet"
    r"|little|running|clean"
    r"|consecutive|separate|different|single|lone|honest|good|old|more|long|nice|strict|swung|flowing"
    r"|detached|repeated) )*"
)
ONE_PLAIN = (
    r"(?:single|lone|plain|lovely|nice|big|fat|good|solid|simple|sustained|held|warm|quick|short|little"
    r"|honest|full|long|last|final|first|closing|opening)"
)
ONLY = (
    r"(?:all(?: (?:in|of(?: the)?))?|consists?(?: (?:only|entirely|purely|simply|just|solely))? of|only"
    r"|nothing (?:here |there |else )?but|nothing except|nothing other than|entirely(?: in"
    r"| of)?|purely"
    r"|exclusively(?: in)?|just|solely|wall-to-wall|solid|made (?:up )?(?:entirely|only|purely) of)"
)
A_ROW = (
    r"(?:an? (?:\w+ )?(?:string|stream|row|line|run|chain|flow|succession|procession|patter|series) of|straight"
    r"|(?:full of|filled with|packed with|crammed with)(?: nothing but)?"
    r"|steady|even|unbroken|constant|continuous|non-?stop|running|bare|plain|pure|relentless)"
)
GOING = inflected(
    "move, go, walk, run, march, proceed, work, scuttle, trot, jog, roll, stroll, tick, pulse, chug, "
    "patter, flow, keep, stay, plod, amble, glide, skip, dance, race, play"
)
LAST = (
    "hold, ring, sustain, stretch, linger, sound, stay, hang, sit, stand, dwell, get, take, go, have, be, "
    "receive, "
    "occupy, fill"
)
LASTING = rf"(?:lasts|lasted|lasting|{inflected(LAST)})"
COUNT = rf"(?:{FEW}|a pair of|a couple of)"
HAS = (
    r"(?:has|have|holds?|contains?|is|'s|are|gets?|got|'s got|consists of|is made (?:up )?of|gives us"
    r"|brings?|plays?|uses?"
    r"|just|carries|comprises|offers|squeezes in|packs in|crams in|fits in|thins (?:out|down) to"
    r"|strips down to"
    r"|boils down to|comes down to|shrinks to|makes do with|needs|counts|manages|features|fields)"
    r"(?: (?:just|only|exactly|simply|got|really|no more than|all of|a mere|precisely|in))*"
)
A_BAR = (
    rf"(?:(?:bar|measure) )?{NUMBER}|the {ORDINAL} (?:bar|measure)|(?:this|that|the|our) (?:whole )?(?:bar"
    r"|measure)|the (?:[\w#-]+ ){1,4}(?:bar|measure)|(?:each|every)(?: one of (?:the|these))? (?:bars?|measures?)"
    r"|(?:both|all)(?: of)?(?: the| these| those)?(?: \w+)? (?:bars|measures)"
)
OF_THE_BAR = pattern_of(
    rf"(?:(?:^\s*|[,;:] |\b(?:and|so|now|but|then|that) )(?:so |and |now )*(?:{A_BAR})(?: \w+ly)? ?{HAS}"
    r"|\b(?:you|we|i)(?: have|'ve) got(?: (?:just|only|exactly))*"
    r"|\bthere(?:'s| is| are)(?: (?:just|only|exactly))*|\bonly|\bjust|\b(?:you|we|i|one) (?:finds?|sees?"
    r"|gets?|has|get|have|play"
    r"|hear|count)(?: (?:just|only))*"
    r"|(?:^|[,;:] |\band )count(?: (?:out|up|them|with me))*|^\s*count [^,;:]{4,24}:) $"
)
# A number of notes that opens a sentence is of the bar after it: "five notes in this bar".
OPENS = pattern_of(r"(?:^|[.;:]) *(?:(?:and|so|only|just|exactly|that's) )*$")
IN_THE_BAR = pattern_of(
    r" (?:in|makes? up|fills?(?: up)?|is all of|(?:suffice|will do|are (?:all|enough|sufficient|plenty))"
    r"(?: (?:for|in|of|we (?:get|have) in|you (?:get|have) in))?)"
    rf" (?:{A_BAR}|all of this bar)(?:'s got| has| gets| needs)?(?=[,.;:!?]|$)"
)
EXCEPTED = pattern_of(
    r"\b(?:apart from|except|but for|other than|once|after|until|till|before|save for|aside from|mostly"
    r"|almost|nearly|half of"
    r"|second half|first half|rest of|from (?:beat|the|there)|begins?|starts?|ends?)\b"
)
FROM_END_TO_END = pattern_of(r",?(?: from)? (?:start|beginning|end|wall|beat one) to (?:finish|end|wall)\b")
NOTHING_ELSE = pattern_of(r",? (?:and )?nothing else\b")
OVER_AND_OVER = pattern_of(r"\b(?:over and over|again and again|round and round|time after time|on repeat)\b")
MANY = 3  # notes
LONG = Fraction(3, 2)  # quarters of the shortest note that is called long


def lasts(note: Note, length: Fraction) -> bool:
    """Whether a note is as long as is said, printed or with what is tied to it."""
    return length in (note.duration, note.held)


def _long_ones(notes: Sequence[Note]) -> list[Note]:
    """The notes that stand out of some by their length."""
    longest = max((note.held for note in notes), default=Fraction(0))
    return [note for note in notes if note.held == longest] if longest >= LONG else []


def _there(note: Note, passage: Passage) -> str:
    at = format_position(passage.music.score, note.onset)
    return f"there is {value_said(note.held, passage.bars[0].metre)} at {at}"


# Notes of one value --------------------------------------------------------------------------------------


# "Both of them are only quarter notes": of notes that were spoken of, and not of the bar.
OF_THEM = pattern_of(r"\b(?:both|the two)(?: of (?:them|these|those))? are $")


def _only(match: re.Match[str], passage: Passage) -> Verdict:
    """Nothing but notes of one value: all of them, or the run that they are where something is excepted."""
    length, notes = value_of(match["value"]), passage.notes
    alike = runs_by(notes, lambda note: lasts(note, length))
    run = max((each for each in alike if lasts(each[0], length)), key=len, default=[])
    only = match["only"] or NOTHING_ELSE.match(match.string, match.end())
    strict = passage.named and not EXCEPTED.search(FROM_END_TO_END.sub("", match.string))
    whole = strict and FROM_END_TO_END.match(match.string, match.end())
    if whole and notes and notes[0].onset > passage.span.start and not passage.tests:
        return Verdict(
            is_there=f"the first note is at {format_position(passage.music.score, notes[0].onset)}"
        )
    if not notes or (len(run) == len(notes)):
        return Verdict(tuple(run))
    enough = 2 * len(run) >= len(notes) if not strict else not only and 4 * len(run) >= 3 * len(notes)
    if enough and len(run) > 2 and not whole and (passage.named or 2 * len(run) >= len(notes)):
        return Verdict(tuple(run))
    if not strict or OF_THEM.search(match.string[: match.start()]):
        return UNKNOWN
    other = next(note for note in notes if not lasts(note, length))
    return Verdict(is_there=_there(other, passage))


def _counted(match: re.Match[str], passage: Passage) -> Verdict:
    """So many notes of one value in a row."""
    said = match.groupdict()
    length, count = value_of(said["value"] or said["value2"]), few_of(said["count"] or said["count2"])
    return _row(match, passage, count, lambda note: lasts(note, length))


def _row(match: re.Match[str], passage: Passage, count: int, fits: Callable[[Note], bool]) -> Verdict:
    """So many notes in a row that fit, between others: all there are, or the next of such rows."""
    notes = passage.notes
    fitting = [note for note in notes if fits(note)]
    before = match.string[: match.start()]
    edge = edge_note(before, notes)
    if edge is not None:
        row = notes[:count] if edge is notes[0] else notes[-count:]
        if len(row) == count and all(fits(note) for note in row):
            return Verdict(row)
        return Verdict(is_there="it is otherwise") if passage.named else UNKNOWN
    if len(fitting) == count and (passage.named or passage.after is None):
        return Verdict(tuple(fitting))
    rows = [run for run in runs_by(notes, fits) if fits(run[0]) and len(run) == count]
    later = [run for run in rows if passage.after is None or run[0].onset >= passage.after]
    if len(later) == 1 or (later and passage.after is not None):
        return Verdict(tuple(later[0]))
    opening = OPENS.search(before) and IN_THE_BAR.match(match.string, match.end())
    if passage.named and notes and (OF_THE_BAR.search(before) or opening) and not rows:
        return Verdict(is_there=count_said(len(fitting)))
    return UNKNOWN


def _one(match: re.Match[str], passage: Passage) -> Verdict:
    """A single note of a value: the one that was spoken of, the first or the last, or the only one there."""
    return _of_length(match, passage, value_of(match["value"]))


A_NAME = pattern_of(r" (?:[b-g]\b|a[ -](?:flat|natural|sharp)\b)")


def _of_length(match: re.Match[str], passage: Passage, length: Fraction) -> Verdict:
    notes, before = passage.notes, match.string[: match.start()]
    edge = edge_note(before, notes)
    subject = passage.subject or edge
    if subject is not None:
        there = Verdict(is_there=_there(subject, passage), is_sure=True)
        return Verdict((subject,)) if lasts(subject, length) else there
    if OVER_AND_OVER.search(match.string, match.end()):
        return UNKNOWN
    fitting = [note for note in notes if lasts(note, length)]
    fitting = [note for note in fitting if note.duration == note.held] or fitting
    later = [note for note in fitting if passage.after is not None and note.onset >= passage.after]
    definite = pattern_of(r"(?:the|that|this|each|every)\b").match(match[0])
    if definite and A_NAME.match(match.string, match.end()):
        return UNKNOWN  # "the half-note F"
    if len(fitting) == 1 or (later and not definite):
        return Verdict(((later or fitting)[0],))
    if fitting:
        return Verdict(choices=tuple((note,) for note in fitting)) if definite else UNKNOWN
    return Verdict(is_there="there is none") if notes and passage.named else UNKNOWN


def _on_a_beat(match: re.Match[str], passage: Passage) -> Verdict:
    """A note of a value on a beat that is named right after it; false where what stands there has another."""
    length, beat = value_of(match["value"]), beat_named(match["beat"], passage)
    if beat is None:
        return UNKNOWN
    half = Fraction(1, 2) if match["off"] else 0
    bars = [bar for bar in passage.bars if beat < bar.metre.beats]
    times = [(bar, full_start(bar) + (beat + half) * bar.metre.unit_quarters) for bar in bars]
    at = [onset for bar, onset in times if bar.start <= onset < bar.end]
    struck = [notes[0] for onset in at if (notes := passage.music.struck_at(onset))]
    fitting = [note for note in struck if lasts(note, length)]
    if len(fitting) == 1:
        return Verdict(tuple(fitting))
    if fitting or len(at) != 1 or not passage.named:
        return UNKNOWN
    nothing = f"there is nothing struck at {format_position(passage.music.score, at[0])}"
    return Verdict(is_there=_there(struck[0], passage) if struck else nothing)


ENDS_ON = pattern_of(rf"\b(?:{ENDING}|comes to rest|closes?)(?: \w+){{0,2}} (?:on|with|in)(?: just| only)? $")
STARTS_ON = pattern_of(rf"\b{STARTING}(?: \w+){{0,2}} (?:on|with)(?: just| only)? $")


HOLDING = (
    "hang on to, hold, hold on to, keep, blow, play, sing, let ring, ring, stretch, sustain, "
    "dwell on, lean on, linger on, park on, rest on, sit on, stay on"
)
HOLDING_ONE = pattern_of(
    rf"\b{inflected(HOLDING)}"
    r" (?:the|that|this|our|its)"
    r"(?: [\w'-]+){1,8},? $"
)
GIVEN = pattern_of(
    r"\bgiv(?:e|es|ing) (?:the|that|this|our) (?:long(?:est)?|first|last|final|opening|closing|top) note\b"
    r"[^,;:]* $"
)
THE_LONG = pattern_of(
    r"\b(?:the|that|this|our|its) (?:one |only )?long(?:est)? (?:note|tone|one)(?: (?:in|of|here"
    r"|there)\b[^,;:]{0,24}?)?"
    r"(?: (?:only|just|really|then|is|gets|which|for))*,? $"
)
OF_A_NOTE = pattern_of(
    r"\b(?:note|tone|one|it|[a-g]|flat|sharp|root|third|fifth|seventh|ninth|\w+th)\b[^,;:]{0,20},?\s*$"
)
HELD_FOR = pattern_of(r"(?:for|over) $")
EDGE_NOTE = pattern_of(
    r"\b(?:the|its|our|this|your|my) (?:very )?(first|opening|last|final|closing) (?:note|one"
    r"|tone)(?: (?:in|of) [\w ]{1,24}?)?"
    r"(?:,? (?:only|just|then|here|really|simply|is|gets|has|which))* $"
)


def edge_note(before: str, notes: Sequence[Note]) -> Note | None:
    """The first or last note, where something is said to begin or end with what follows."""
    if not notes:
        return None
    named = EDGE_NOTE.search(before)
    if ENDS_ON.search(before) or (named and named[1] not in ("first", "opening")):
        return notes[-1]
    return notes[0] if STARTS_ON.search(before) or named else None


def _for_so_long(match: re.Match[str], passage: Passage) -> Verdict:
    """A note that lasts so many beats or bars; what lasts several bars may be anything."""
    subject = passage.subject or edge_note(match.string[: match.start()], passage.notes)
    if subject is None and THE_LONG.search(match.string[: match.start()]):
        long = _long_ones(passage.notes)
        subject = long[0] if len(long) == 1 else None
    subject = subject or edge_note(HELD_FOR.sub("", match.string[: match.start("quantity")]), passage.notes)
    if subject is None and pattern_of(r"(?!half|a half).*(?:bar|measure)").match(match["quantity"]):
        return UNKNOWN
    length = quantity_of(match["quantity"], passage.bars[0].metre)
    if subject is not None and _goes_on_in_its_bar(subject, passage):
        told = Verdict(is_there=_there(subject, passage), is_sure=True)
        return Verdict((subject,)) if subject.held == length else told
    return _of_length(match, replace(passage, subject=subject), length)


def _goes_on_in_its_bar(note: Note, passage: Passage) -> bool:
    """Whether a note is tied to more of itself before its bar is over, so that it is as long as it sounds."""
    ends = passage.music.score.bars[note.bar].end
    return note.duration < note.held and note.onset + note.duration < ends


def _tied_over(_: re.Match[str], passage: Passage) -> Verdict:
    """The note that was spoken of, if it is tied or goes on over the bar line."""
    note = passage.subject
    if note is None:
        return UNKNOWN
    end = passage.music.score.bars[note.bar].end
    if note.held > note.duration or note.onset + note.held > end:
        return Verdict((note,))
    at = format_position(passage.music.score, note.onset)
    return Verdict(is_there=f"the {note.written.name} at {at} is not tied", is_sure=True)


def _each_lasts(match: re.Match[str], passage: Passage) -> Verdict:
    """Every note of one length; the last may be cut off by the end of what is shown."""
    named = match["value"]
    length = value_of(named) if named else quantity_of(match["quantity"], passage.bars[0].metre)
    notes = passage.notes
    fitting = [note for note in notes if lasts(note, length)]
    other = next((note for note in notes if not lasts(note, length)), None)
    cut = other is not None and other is notes[-1] and not passage.named and len(fitting) > 1
    if len(notes) > 1 and (other is None or (cut and len(fitting) == len(notes) - 1)):
        return Verdict(tuple(fitting))
    return Verdict(is_there=_there(other, passage)) if other is not None and passage.named else UNKNOWN


def _equally_long(_: re.Match[str], passage: Passage) -> Verdict:
    """Notes that are all as long as each other."""
    notes = passage.notes
    if len(notes) < MANY:
        return UNKNOWN
    if len({note.held for note in notes}) == 1 or len({note.duration for note in notes}) == 1:
        return Verdict(notes)
    other = next(note for note in notes if note.held != notes[0].held)
    return Verdict(is_there=_there(other, passage)) if passage.named else UNKNOWN


def _none(match: re.Match[str], passage: Passage) -> Verdict:
    """No note of a value: there is nothing to light."""
    length = value_of(match["value"])
    found = [note for note in passage.notes if lasts(note, length)]
    return Verdict(is_there=_there(found[0], passage)) if found and passage.named else UNKNOWN


def _none_beyond(match: re.Match[str], passage: Passage) -> Verdict:
    """No note shorter, or longer, than a value."""
    length, notes = value_of(match["value"]), passage.notes
    short = match["than"] in ("shorter", "faster", "quicker", "smaller")
    others = [note for note in notes if (note.held < length if short else note.duration > length)]
    if others or not notes:
        return Verdict(is_there=_there(others[0], passage)) if others and passage.named else UNKNOWN
    return Verdict(notes) if passage.named else UNKNOWN


def _long(match: re.Match[str], passage: Passage) -> Verdict:
    """The one long note."""
    notes = passage.notes
    edge = edge_note(match.string[: match.start()], notes)
    long = _long_ones(notes)
    if edge is not None:
        return Verdict((edge,)) if edge.held >= LONG else UNKNOWN
    return Verdict(tuple(long)) if len(long) == 1 else UNKNOWN


def _long_and_short(match: re.Match[str], passage: Passage) -> Verdict:
    """Longs and shorts that take turns."""
    words = pattern_of(r"long|short").findall(match[0])
    notes = passage.notes
    rows = [
        notes[first:last]
        for first in range(len(notes))
        for last in range(first + len(words), len(notes) + 1)
        if _take_turns(notes[first:last], words)
    ]
    longest = [row for row in rows if len(row) == max(map(len, rows))]
    return Verdict(tuple(longest[0])) if len(longest) == 1 else UNKNOWN


def _take_turns(notes: Sequence[Note], words: Sequence[str]) -> bool:
    """Whether notes are long and short in the order of some words, over and over."""
    order = [words[index % len(words)] for index in range(len(notes))]
    longs = {note.duration for note, word in zip(notes, order, strict=True) if word == "long"}
    shorts = {note.duration for note, word in zip(notes, order, strict=True) if word == "short"}
    return bool(longs and shorts) and min(longs) > max(shorts) and len(shorts) == 1


THE_WHOLE_WAY = pattern_of(
    r",? (?:throughout|all the way|(?:right|straight|all) through|the whole (?:time|way|bar))\b"
)


def _never_stop(match: re.Match[str], passage: Passage) -> Verdict:
    """Notes of one value that go on: all there are, or the longest run of them."""
    length, notes = value_of(match["value"] or match["value2"] or match["value3"]), passage.notes
    runs = [run for run in runs_by(notes, lambda note: lasts(note, length)) if lasts(run[0], length)]
    run = max(runs, key=len, default=[])
    after = THE_WHOLE_WAY.match(match.string, match.end())
    whole = passage.named and (after or pattern_of(r"from|and|only").match(match["only"] or ""))
    excepted = EXCEPTED.search(FROM_END_TO_END.sub("", match.string))
    if run and (len(run) == len(notes) or (not whole and len(run) > 3 and 2 * len(run) >= len(notes))):
        return Verdict(tuple(run))
    if not passage.named or not notes or excepted:
        return UNKNOWN
    other = next(note for note in notes if not lasts(note, length))
    return Verdict(is_there=_there(other, passage), is_sure=bool(whole))


LENGTHS: tuple[Saying, ...] = (
    Saying(
        said(
            r"(?:no|not (?:a|one)(?: single)?|never a|without (?:a"
            rf"|any)(?: single)?) {PLAIN}(?P<value>{VALUE})"
            r"(?! (?:rest|late|early|too)\b)"
        ),
        _none,
        denial=True,
        by_bar=False,
    ),
    Saying(
        said(
            r"(?:nothing|no notes?|not a note)(?: here| is)? (?P<than>shorter|longer|faster|slower|quicker"
            r"|smaller) than"
            rf" an? (?P<value>{VALUE})"
        ),
        _none_beyond,
    ),
    Saying(
        said(
            r"(?:every (?:single )?note|each note|all (?:of )?(?:the |these )?notes|everything)"
            r"(?: here| in (?:this|the|our) (?:bar|measure)| in (?:bar|measure) [\w-]+)?"
            r" (?:has|have|gets?|is|are|lasts?)(?: of)?(?: exactly)?"
            r" (?:the same (?:length|value|duration)|equally long)"
        ),
        _equally_long,
    ),
    Saying(
        said(rf"(?:its|their) (?:full |whole |entire )?(?P<quantity>{QUANTITY})(?=[,.;!]|$| (?:and|so)\b)"),
        _for_so_long,
        after=GIVEN,
    ),
    Saying(
        said(
            rf"(?<!for )(?<!first )(?<!last )(?P<count>{COUNT}) {PLAIN}(?P<value>{VALUES})(?! (?:\w+ing"
            r"|early|late|ahead|lead|leading|up|down|pick|of (?:rest|silence|upbeat|pick))\b)"
        ),
        _counted,
    ),
    Saying(
        said(
            rf"(?:(?P<only>{ONLY}|(?:the )?(?:whole|all) of (?:bar|measure) {NUMBER} (?:is|has)(?: all)?)"
            rf"|{A_ROW}|(?:(?:we|you|they)(?:'re| are)|(?:it|everything)(?:'s| is))(?: (?:all|back|now|suddenly))* in"
            rf"|(?:{GOING}|written|notated)(?: \w+ly| along| on| ahead)?(?: (?:only|all"
            rf"|mainly))? in) {PLAIN}(?P<value>{VALUES})"
        ),
        _only,
    ),
    Saying(
        said(
            rf"(?:the )?{PLAIN}(?P<value>{VALUES}),? (?P<only>throughout|all the way(?: through)?"
            r"|in a row|one after (?:the other|another)"
            r"|the whole way|from (?:start|end|beginning|wall|one end|top) to (?:finish|end|wall|the other"
            r"(?: end)?|bottom)"
            r"|and nothing else|right through|straight through|all along|all through|nothing else"
            r"|only)"
            rf"|(?:the )?{PLAIN}(?P<value2>{VALUES}) (?:(?:don't|do not|never|won't|refuse to) (?:stop"
            r"|let up|pause|rest|break|quit|cease)|keep (?:going|coming|running|rolling|on)|roll on"
            r"|run on|go on and on)"
            rf"|keeps?(?P<up> up)? (?:(?:the|its|our|those|these) )?(?:(?:stream|flow|string|chain|rush|motion) of )?"
            rf"{PLAIN}(?P<value3>{VALUES})(?(up)| (?:alive|coming|flowing|going|moving|rolling|running|up))"
        ),
        _never_stop,
    ),
    Saying(
        said(
            r"(?:every(?:thing| note| one of (?:them|these|those))?|each(?: note| one| of (?:them"
            r"|these))?|they(?:'re| are)? all|all (?:the |these )?notes)(?: here| there| in (?:this|the"
            r"|these|both) (?:bars?|measures?)| in (?:bar|measure) [\w-]+(?: and [\w-]+)?)?"
            rf" (?:{LASTING})(?: for)? (?:(?P<quantity>{QUANTITY})|(?:an? |all )?(?P<value>{VALUE}))"
        ),
        _each_lasts,
    ),
    Saying(
        said(
            rf"(?P<value>{VALUES})(?: \w+)?, (?P<count>{COUNT})(?: of (?:them|those|these)| in (?:all|total))"
            rf"|(?P<value2>{VALUES})(?: here| in (?:bar|measure) [\w-]+)?[,:;] (?:there are|we have|you get|i count) "
            rf"(?P<count2>{COUNT})(?: of them)?(?=[,.;!]|$)"
        ),
        _counted,
    ),
    Saying(
        said(
            rf"(?<!first )(?<!second )(?<!third )(?<!last )(?<!other )(?:(?:an?|one|the|that|this|our) )?{PLAIN}"
            rf"(?P<value>{VALUE})(?<!s)(?: (?:right|here|there|placed|sitting|bang|smack|struck))* on (?:the )?"
            rf"(?P<off>(?:and|off-?beat|upbeat) (?:of|after) )?(?P<beat>{A_BEAT}|(?<!the )(?:{'|'.join(NUMBERS)})"
            r"(?=[,.;:!?]|$| (?:of|in|and|so|that|which|here)\b))"
        ),
        _on_a_beat,
    ),
    Saying(
        said(
            r"(?<!by )(?<!for )(?:(?<!just )(?<!only )|(?<=is just )|(?<='s just )|(?<=is only ))"
            r"(?:an?|one|the|that|this|its|our|another|a single|a lone"
            rf"|each)(?: {ONE_PLAIN}){{0,2}} (?P<value>{VALUE})(?<!s)(?! (?:early|late|ahead|later|before"
            r"|of|pulse|line|lines|bar|rest|feel|apart|or)\b)"
        ),
        _one,
    ),
    Saying(
        said(
            r"(?:(?:is |gets |was |being |be )?(?:held|stretched(?: out)?|sustained|tied)"
            rf"|{LASTING})(?: (?:on|out|up|onto|there|it|only|just|fully|a full|on (?:to )?(?:it|one note"
            r"|that note|this note|a single note|its [a-g](?: flat| sharp)?)|its [a-g](?: flat| sharp)?"
            r"|only gets|(?:the|its|that|this|one|our) (?:(?:first|last|final|opening|closing|long|only"
            r"|top) )?"
            rf"(?:note|one)))*(?: for| over| worth)? (?P<quantity>{QUANTITY})(?! (?:of (?:rest|silence|nothing|air)"
            r"|to|off|out|early|late|ahead|later|long|apart|before|rest|short|shy|behind|away|too|further)\b)"
        ),
        _for_so_long,
    ),
    Saying(
        said(
            rf"(?<!\boff )(?<!\bon )(?<!\bwith )(?<!\bbefore )(?<!\bafter )(?<!\bbehind )(?P<quantity>{QUANTITY})"
            r"(?= on (?:the|a|an|that|its) )"
        ),
        _for_so_long,
    ),
    Saying(
        said(
            r"(?:(?:is|gets|was|'s|that's) )?(?:tied|held|hung|carried)(?: (?:over|across|through|on))+"
            r"(?: (?:the|a) bar-? ?line| (?:in)?to (?:the )?(?:next|following) (?:bar|measure))?(?=[,.;!]|$)"
            r"|(?:rings|hangs|sounds|lasts) (?:on )?(?:over|across|past|through) (?:the|a) bar-? ?line"
        ),
        _tied_over,
    ),
    Saying(
        said(
            rf"(?:for|over) (?:(?:its|their|the|a|all) (?:full|whole|entire|very) )?(?P<quantity>{FULL}{QUANTITY})"
        ),
        _for_so_long,
        after=HOLDING_ONE,
    ),
    Saying(
        said(rf"(?:is|'s|,) (?:(?:only|just|all of|exactly|a full) )?(?P<quantity>{QUANTITY}) long"),
        _for_so_long,
        after=OF_A_NOTE,
    ),
    Saying(
        said(
            r"(?:an?|one|the|that|the only|our)(?: (?:only|really|very|big|single|nice|lovely"
            r"|beautiful))* long (?:(?<!a long )one|note|tone|sound|(?=[a-g]\b))(?:one|note)?"
        ),
        _long,
    ),
    Saying(said(r"(?:long|short)(?:(?:,| and|,? then|-) ?(?:a )?(?:long|short)){2,}"), _long_and_short),
)
