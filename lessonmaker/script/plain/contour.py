"""Where a line is said to go: up a seventh, down all the way, by step, within a fifth, to its highest or lowest note.

Common practice, no source. An interval without its quality is counted by letters; a leap is between notes next to each
other, a rise or a fall may take several.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.departures import departed
from lessonmaker.script.plain.durations import FEW, few_of, how_often
from lessonmaker.script.plain.extremes import EXTREMES, NAME
from lessonmaker.script.plain.intervals import ABOUT, INTERVAL, is_about, is_interval, semitones_of
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said
from lessonmaker.script.plain.verbs import FALLING, RISING, STARTING, inflected, way_of

__all__ = ["CONTOURS"]

# Ways ----------------------------------------------------------------------------------------------------

LEAPING = inflected("leap, jump, spring, skip, hop, bound, vault, pounce, lurch, swoop")
GO_UP = (
    "go up, shoot up, jump up, leap up, sweep up, run up, reach up, swoop up, zoom up, race up, scramble "
    "up, soar, "
    "rocket, work up, come up, swing up, spring up"
)
GO_DOWN = (
    "go down, jump down, leap down, sweep down, dive, plunge, swoop down, run down, spill down, roll down, "
    "tumble down, come down, come back down, race down, crash"
)
GO_ON = inflected(
    "go, come, move, run, head, shoot, jump, leap, sweep, race, step, fly, work, make its way, take us"
)
RIGHT = (
    r"(?:straight|right|all the way|back|steadily|quickly|slowly|gradually|gently|quietly|directly|boldly)"
)
RISES = rf"(?:{RISING}|{inflected(GO_UP)}|{GO_ON} {RIGHT} up)"
FALLS = rf"(?:{FALLING}|{inflected(GO_DOWN)}|{GO_ON} {RIGHT} down)"


def _step(before: Note, note: Note) -> int:
    return note.sounding.midi - before.sounding.midi


def one_way(notes: Sequence[Note], way: int = 0) -> list[list[Note]]:
    """The longest runs that only rise (1) or only fall (-1), each of two notes or more."""
    found: list[list[Note]] = []
    for before, note in pairwise(notes):
        step = _step(before, note)
        run = found[-1] if found and found[-1][-1] is before else None
        if run is not None and step * _step(run[0], run[1]) > 0:
            run.append(note)
        elif step:
            found.append([before, note])
    return [run for run in found if not way or _step(run[0], run[1]) * way > 0]


def _leap(match: re.Match[str], passage: Passage) -> Verdict:
    """An interval between two notes next to each other."""
    name, way, notes = match["leap"] or match["leap2"] or match["leap3"], way_of(match[0]), passage.notes
    pairs = [pair for pair in pairwise(notes) if not way or _step(*pair) * way > 0]
    about = match["about"]
    fitting = [pair for pair in pairs if is_about(*pair, name, about)]
    if notes and pattern_of(rf"\b{STARTING}(?: \w+)? (?:with|on)(?: an?| its)?(?: \w+)? ?$").search(
        match.string[: match.start()]
    ):
        fitting = [pair for pair in fitting if pair[0] is notes[0]]
    if len(fitting) == 1:
        return Verdict(tuple(fitting[0]))
    if passage.subject is not None and not fitting and not about:
        return Verdict(
            is_there=departed(passage.subject, way, semitones_of(name), passage.music), is_sure=True
        )
    if fitting or not notes or about:
        return UNKNOWN
    return Verdict(is_there=f"there is no leap of {_an(name)}{WAYS[way]}") if passage.named else UNKNOWN


WIDE, NARROW = 7, 4  # semitones of a leap that is called wide, and of what is none


def _wide_leap(_: re.Match[str], passage: Passage) -> Verdict:
    """The one wide leap of a passage; false where there is hardly a leap at all."""
    pairs = list(pairwise(passage.notes))
    wide = [pair for pair in pairs if abs(_step(*pair)) >= WIDE]
    if len(wide) == 1:
        return Verdict(tuple(wide[0]))
    if wide or not passage.named or len(pairs) < 3 or any(abs(_step(*pair)) > NARROW for pair in pairs):
        return UNKNOWN
    return Verdict(is_there="there is no leap")


def _repeated(_: re.Match[str], passage: Passage) -> Verdict:
    """A note that is struck again at once; false where the one that is spoken of is not."""
    subject, notes = passage.subject, passage.notes
    again = [pair for pair in pairwise(notes) if _step(*pair) == 0]
    if subject is not None:
        again = [pair for pair in again if pair[0].written == subject.written]
    if len(again) == 1:
        return Verdict(tuple(again[0]))
    if again or subject is None or not passage.named or _is_last(subject, notes):
        return UNKNOWN
    return Verdict(is_there=f"no {subject.written.name} is followed by another")


def _is_last(note: Note, notes: Sequence[Note]) -> bool:
    """Whether a note, or one like it, is the last of some, so that the next may be it again."""
    return bool(notes) and notes[-1].written == note.written


def _widest(match: re.Match[str], passage: Passage) -> Verdict:
    """The widest interval between two notes next to each other."""
    pairs = list(pairwise(passage.notes))
    most = max((abs(_step(*pair)) for pair in pairs), default=0)
    found = [pair for pair in pairs if abs(_step(*pair)) == most]
    if not most or match["about"]:
        return UNKNOWN
    if not match["widest"]:
        return Verdict(tuple(found[0])) if len(found) == 1 and most > WHOLE_STEP else UNKNOWN
    if is_about(*found[0], match["widest"], None):
        return Verdict(tuple(found[0])) if len(found) == 1 else Verdict(choices=tuple(found))
    low, high = (note.written for note in found[0])
    return Verdict(is_there=f"the widest leap is from {low} to {high}") if passage.named else UNKNOWN


WAYS = {1: " up", -1: " down", 0: ""}


def _an(name: str) -> str:
    return f"{'an' if name[0] in 'aeio' else 'a'} {name}"


def _climb(match: re.Match[str], passage: Passage) -> Verdict:
    """A rise or a fall by an interval, at once or in several steps."""
    name, way, about, notes = match["size"], way_of(match[0]), match["about"], passage.notes
    pairs = [pair for pair in pairwise(notes) if _step(*pair) * way > 0 and is_about(*pair, name, about)]
    ways: tuple[Sequence[Sequence[Note]], ...] = (
        [run for run in one_way(notes, way) if is_about(run[0], run[-1], name, about)],
        [part for run in one_way(notes, way) for part in _parts_of(run, name, about)],
        pairs,
        _between_extremes(notes, way, name, about),
    )
    found = next((each for each in ways if each), ())
    if found:
        return Verdict(tuple(found[0])) if len(found) == 1 else UNKNOWN
    if passage.subject is not None and not about:
        return Verdict(
            is_there=departed(passage.subject, way, semitones_of(name), passage.music), is_sure=True
        )
    if not passage.named or len(notes) < 2:
        return UNKNOWN
    return Verdict(is_there=f"the line goes {'up' if way > 0 else 'down'} no {name}")


def _parts_of(run: Sequence[Note], name: str, about: str | None) -> list[Sequence[Note]]:
    """The part of a rise or fall, from its first note on, that is an interval wide."""
    ends = [last for last in range(1, len(run)) if is_about(run[0], run[last], name, about)]
    return [run[: last + 1] for last in ends[:1]]


def _between_extremes(notes: Sequence[Note], way: int, name: str, about: str | None) -> list[list[Note]]:
    """The notes from the lowest to the highest, or from the first to the last, where these are an interval apart."""
    if len(notes) < 2:
        return []
    low, high = (choose(notes, key=lambda note: note.sounding.midi) for choose in (min, max))
    ends = [(low, high) if way > 0 else (high, low), (notes[0], notes[-1])]
    return [
        [note for note in notes if first.onset <= note.onset <= last.onset]
        for first, last in ends
        if first.onset < last.onset and _step(first, last) * way > 0 and is_about(first, last, name, about)
    ][:1]


def _all_the_way(match: re.Match[str], passage: Passage) -> Verdict:
    """A line that only rises, or only falls."""
    way, notes = way_of(match[0]), passage.notes
    if passage.after is not None:  # said of what follows the note that was spoken of
        after = passage.after
        rest = [note for note in notes if note.onset + note.held >= after]
        return Verdict(tuple(rest)) if way and one_way(rest, way) == [rest] and len(rest) > 3 else UNKNOWN
    if not way or len(notes) < 3:
        return UNKNOWN
    run = max(one_way(notes, way), key=len, default=[])
    if len(run) == len(notes):
        return Verdict(tuple(run))
    if not passage.named:
        return Verdict(tuple(run)) if len(run) > 4 and 2 * len(run) > len(notes) else UNKNOWN
    if (
        len(run) >= 4
        and match["far"]
        and not pattern_of("whole|throughout|start|top|beginning|first|turn|direction").search(match["far"])
    ):
        return Verdict(tuple(run))
    other = next((after for before, after in pairwise(notes) if _step(before, after) * way <= 0), notes[0])
    at = format_position(passage.music.score, other.onset)
    return Verdict(is_there=f"the line does not go {'up' if way > 0 else 'down'} at {at}")


def _from_to(match: re.Match[str], passage: Passage) -> Verdict:
    """A way up or down from one note that is named to another."""
    way, notes = way_of(match[0]), passage.notes
    names = named_note(match["from"]), named_note(match["to"])
    ways = [
        notes[start : end + 1]
        for start in range(len(notes))
        for end in range(start + 1, len(notes))
        if (notes[start].written.name, notes[end].written.name) == names
        and _leads(notes[start : end + 1], way)
    ]
    widest = [each for each in ways if len(each) == max(map(len, ways))]
    return Verdict(widest[0]) if len(widest) == 1 else UNKNOWN


def _leads(notes: Sequence[Note], way: int) -> bool:
    """Whether a row of notes goes up (1) or down (-1) from its lowest to its highest, mostly the same way."""
    pitches = [note.sounding.midi * way for note in notes]
    goes_on = sum(after > before for before, after in pairwise(pitches))
    return pitches[0] == min(pitches) and pitches[-1] == max(pitches) and 3 * goes_on >= 2 * (len(notes) - 1)


def _so_many_up(match: re.Match[str], passage: Passage) -> Verdict:
    """A run of so many notes one way."""
    way, count = way_of(match[0]), few_of(match["count"] or match["count2"] or match["count3"])
    runs = [run for run in one_way(passage.notes, way) if len(run) == count]
    later = [run for run in runs if passage.after is not None and run[-1].onset >= passage.after]
    if len(runs) == 1 or later:
        return Verdict(tuple((later or runs)[0]))
    longest = max(map(len, one_way(passage.notes, way)), default=1)
    return (
        UNKNOWN if runs or longest > count or not passage.named else Verdict(is_there="there is no such run")
    )


# Steps and leaps -----------------------------------------------------------------------------------------

WHOLE_STEP = 2


def _by_step(match: re.Match[str], passage: Passage) -> Verdict:
    """A line by half and whole steps."""
    notes, way = passage.notes, way_of(match.string[max(match.start() - 30, 0) : match.end()])
    runs: list[list[Note]] = []
    for before, note in pairwise(notes):
        step = _step(before, note)
        if 0 < abs(step) <= WHOLE_STEP and (not way or step * way > 0):
            if runs and runs[-1][-1] is before:
                runs[-1].append(note)
            else:
                runs.append([before, note])
    run = max(runs, key=len, default=[])
    steps = sum(0 < abs(_step(*pair)) <= WHOLE_STEP for pair in pairwise(notes))
    if notes and len(run) == len(notes):
        return Verdict(notes)
    if match["mostly"]:
        enough = 3 * steps >= 2 * (len(notes) - 1) and len(notes) > 3
        return Verdict(notes) if enough and passage.named else UNKNOWN
    if not passage.named and not match["all"] and match[0].strip() in ("by step", "in steps", "stepwise"):
        return UNKNOWN  # how any note moves to the next
    if len(run) >= 4 and sum(len(each) == len(run) for each in runs) == 1 and not match["all"]:
        return Verdict(tuple(run))
    if not passage.named or len(notes) < 3 or (2 * steps > len(notes) and not match["all"]):
        return UNKNOWN
    leaps = [pair for pair in pairwise(notes) if abs(_step(*pair)) > WHOLE_STEP]
    # "mounts to F and comes down by step" says nothing of how it mounts
    leap = next((pair for pair in leaps if not way or _step(*pair) * way > 0), None)
    return (
        UNKNOWN
        if leap is None
        else Verdict(is_there=f"the line leaps at {format_position(passage.music.score, leap[1].onset)}")
    )


def _in_intervals(match: re.Match[str], passage: Passage) -> Verdict:
    """A run of intervals of one size one way: "comes down in thirds"."""
    name, way, notes = match["size"].rstrip("s"), way_of(match[0]), passage.notes
    runs = []
    for run in one_way(notes, way):
        row = [run[0]]
        for before, note in pairwise(run):
            if not _is_as_wide(before, note, name):
                runs.append(row)
                row = []
            row.append(note)
        runs.append(row)
    longest = max(map(len, runs), default=0)
    found = [run for run in runs if len(run) == longest]
    if longest > 2 and len(found) == 1:
        return Verdict(tuple(found[0]))
    if longest > 1 or not passage.named or len(notes) < 3:
        return UNKNOWN
    return Verdict(is_there=f"there are no {name}s in a row")


def _is_as_wide(one: Note, other: Note, name: str) -> bool:
    return is_interval(one, other, name) or abs(_step(one, other)) in semitones_of(name)


def _chain(match: re.Match[str], passage: Passage) -> Verdict:
    """Intervals up and down in turn: "down a third, up a fifth, over and over"."""
    moves = [(1 if way == "up" else -1, size) for way, size in MOVE.findall(match[0])]
    notes = passage.notes
    best: Sequence[Note] = ()
    for first in range(len(notes)):
        last = first
        while last + 1 < len(notes):
            way, size = moves[(last - first) % len(moves)]
            if _step(notes[last], notes[last + 1]) * way <= 0 or not is_interval(
                notes[last], notes[last + 1], size
            ):
                break
            last += 1
        if last - first >= len(moves) and last - first + 1 > len(best):
            best = notes[first : last + 1]
    if best:
        return Verdict(tuple(best))
    return (
        Verdict(is_there="the line goes otherwise") if passage.named and len(notes) > len(moves) else UNKNOWN
    )


def _zigzag(_: re.Match[str], passage: Passage) -> Verdict:
    """A line that turns at almost every note."""
    notes = passage.notes
    steps = [_step(*pair) for pair in pairwise(notes)]
    turns = sum(one * other < 0 for one, other in pairwise(steps))
    if len(notes) > 4 and 4 * turns >= 3 * (len(steps) - 1) and (passage.named or len(passage.bars) <= 2):
        return Verdict(notes)
    if passage.named and len(notes) > 4 and 4 * turns < len(steps):
        often = f"turns only {how_often(turns)}" if turns else "goes one way"
        return Verdict(is_there=f"the line {often}")
    return UNKNOWN


def _turn(match: re.Match[str], passage: Passage) -> Verdict:
    """The note at which a line turns: the only one inside the passage that is higher, or lower, than all others."""
    notes = passage.notes
    name = match["note"]
    peaks = [
        each
        for before, each, after in zip(notes, notes[1:], notes[2:], strict=False)
        if _step(before, each) * _step(each, after) < 0
    ]
    if name:
        peaks = [each for each in peaks if each.written.name == named_note(name)]
    else:
        ends = [choose(notes, key=lambda note: note.sounding.midi) for choose in (min, max)] if notes else []
        peaks = [each for each in peaks if each in ends]
    return Verdict((peaks[0],)) if len(peaks) == 1 else UNKNOWN


# Range -------------------------------------------------------------------------------------------------


def _range(match: re.Match[str], passage: Passage) -> Verdict:
    """A passage that stays within an interval, or spans it."""
    name, notes = match["within"] or match["spans"], passage.notes
    if len(notes) < 3:
        return UNKNOWN
    low, high = (choose(notes, key=lambda note: note.sounding.midi) for choose in (min, max))
    size, most = _step(low, high), semitones_of(name)[-1]
    if match["within"] and size <= most:
        return Verdict(notes) if passage.named or len(passage.bars) <= 2 else UNKNOWN
    if match["spans"] and is_about(low, high, name, match["about"]):
        return Verdict(notes) if passage.named or len(passage.bars) <= 2 else UNKNOWN
    if not passage.named or match["about"]:
        return UNKNOWN
    return Verdict(is_there=f"the line goes from {low.written} to {high.written}")


HOW_FAR = (
    r"(?:all the way(?: (?:up|down|through|along|home|back))?|the whole way(?: (?:up|down|through))?"
    r"|throughout|in (?:a )?(?:straight|single|one) (?:line|sweep|go|swoop|breath)"
    r"|straight (?:up|down)|from (?:(?:start|beginning|top|end|first|bottom|left) to (?:finish|end|bottom"
    r"|last|top|right)|(?:its|the) (?:first|lowest|highest|top|bottom)(?: note)? to (?:its|the) (?:last"
    r"|highest|lowest|top|bottom)(?: note)?|the top down|the bottom up)"
    r"|without (?:ever |once |a single |any |a )?(?:turn(?:ing|s)?(?: back| round)?|stopping|a break|looking back"
    r"|changing direction|interruption)|steadily|relentlessly|continuously|non-?stop|the entire (?:bar"
    r"|time|way)|from one end to the other)"
)
SOME = r"(?: (?!and\b|but\b|then\b|to\b|from\b|into\b)[\w'-]+){0,4}?"
IT_IS = r"(?:it's|is|that's|this is)"
AT_ONCE = r"(?:immediately|straight away|right away|at once|directly|instantly)"
MOVED = rf"(?:up|down) (?:an? )?{INTERVAL}"
MOVE = pattern_of(rf"\b(up|down) (?:an? )?({INTERVAL})")
IN_THIRDS = r"thirds|fourths|fifths|sixths|sevenths|octaves"
ROOTS = r"(?<!roots )(?<!chords )(?<!bass )(?<!harmony )"
A_NAME = r"(?:(?:the|a|an|that|its|our|this) )?(?:(?:low|high|top|bottom|final|last|first|opening|deep) )*"
WIDEST = r"(?:widest|biggest|largest|greatest)"
OF_MORE = (
    r" (?:so far|yet|(?:in|of) (?:the|this) (?:whole |entire )?"
    r"(?:book|chorus|etude|phrase|piece|solo|song|study|tune))\b"
)
CONTOURS: tuple[Saying, ...] = (
    Saying(
        said(
            rf"(?:{RISES}"
            rf"|{FALLS})(?={SOME},? from {A_NAME}(?P<from>{NAME})[^.;:]{{0,24}}? to {A_NAME}(?P<to>{NAME}))"
        ),
        _from_to,
        alone=True,
    ),
    Saying(
        said(
            rf"{MOVED}(?:,? (?:and |then |and then |and back )?{MOVED})+"
            r"(?:,? (?:over and over|again and again|and so on|time after time|and again|all along))?"
        ),
        _chain,
    ),
    Saying(
        said(
            rf"{LEAPING}(?: (?:straight|right|all the way|back|clean|suddenly|immediately|up|down|upwards?"
            rf"|downwards?))*(?: by| across| over)? {ABOUT}an? (?P<leap>{INTERVAL})(?! (?:to"
            r"|from) (?:the )?(?:root|third|fifth|seventh|ninth)\b)(?: (?:up|down|upwards?|downwards?"
            r"|higher|lower))?"
            r"|(?:leaps?|jumps?|skips?|hops?|bound|drop|plunge|rise|step|fall|interval) (?:up "
            rf"|down )?of (?:nearly |almost |more than )?an? (?P<leap2>{INTERVAL})(?: (?:up|down|upwards?"
            r"|downwards?))?"
            rf"|(?:an?|one|that|the|this) (?:\w+ )?(?P<leap3>{INTERVAL})(?: (?:up|down|upward"
            r"|downward))? (?:leap|jump|skip|drop|plunge|hop)(?:s|ed)?"
        ),
        _leap,
    ),
    Saying(
        said(
            r"(?:an?|one|that|this|the) (?:really |very |rather )?(?:huge|big|wide|large|giant|enormous|massive) "
            r"(?:leap|jump|skip)(?! (?:of|from|up to|down to|to|forward|ahead)\b)"
            r"(?! in (?!bar|measure|this|the|it|here)\w)"
        ),
        _wide_leap,
    ),
    Saying(
        said(
            rf"(?:is|gets|comes) (?:{AT_ONCE} )(?:repeated|played again|struck again)"
            rf"|(?:is|gets) (?:repeated|played again|struck again) {AT_ONCE}"
        ),
        _repeated,
    ),
    Saying(
        said(
            rf"{WIDEST} (?:leap|jump|interval|skip)(?: (?!is\b)[\w'-]+){{0,6}}?"
            rf"(?:,? (?:is|spans|covers|measures)|'s)(?: (?:only|just|actually|really))* {ABOUT}an? "
            rf"(?P<widest>{INTERVAL})|{WIDEST} (?:leap|jump|skip)(?!{OF_MORE})"
        ),
        _widest,
    ),
    Saying(
        said(
            rf"(?:{RISES}|{FALLS})(?: (?:straight|right|all the way|back|clean|suddenly|quickly|slowly|by"
            rf"|fully|through|up|down|the full|exactly))* {ABOUT}(?:an?|two) (?:full |whole |good "
            rf"|clean )?(?P<size>{INTERVAL})(?! (?:lower|higher|below|above|each|every|at a time|apart)\b)"
        ),
        _climb,
    ),
    Saying(
        said(
            rf"(?:(?:{RISES}|{FALLS}){SOME} (?P<far>{HOW_FAR})|(?:it's |is |all |goes )?(?:downhill"
            rf"|uphill)(?: {HOW_FAR})?|(?:does|do|doing) nothing but (?:{RISES}|{FALLS})"
            r"|(?:keeps?|kept|keeping)(?: on)? (?:\w+ly )?(?:going (?:up|down)|climbing|rising|falling"
            r"|descending|sinking|dropping|ascending)|nothing but (?:down|up|descent|ascent)(?! to)"
            rf"|only (?:{RISES}|{FALLS})(?=[,.;:!?]|$)"
            rf"|{HOW_FAR},? (?:it |we |the line |(?:bar|measure) [\w-]+ )?(?:{RISES}|{FALLS})"
            rf"|{IT_IS} (?:all )?(?:up|down)(?:wards?)? {HOW_FAR}"
            r"|(?:everything|every note)(?: in (?:bar|measure) [\w-]+)? (?:goes|moves|runs|heads|keeps going)"
            r" (?:up|down)(?:wards?)?(?=[,.;!]|$)"
            rf"|{IT_IS} all (?:up|down)(?:hill|wards?)?(?=[,.;!]|$)"
            rf"|{IT_IS} (?:just |simply |really )?one (?:single )?(?:long|big|great|steady) (?:{RISING}|{FALLING})"
            r"(?=[,.;!]|$)"
            r"|(?:in|knows|takes|has|goes) (?:only |but )?(?:one|a single) (?:direction|way)(?: only)?"
            r"(?:,? (?:and )?that(?:'s| is)|:|,)? (?:up|down)(?:wards?)?)(?! (?:up |down )?(?:to|from"
            r"|into) (?:the |its |a )?(?!(?:end|last|final|bottom|top|very)\b)\w)"
        ),
        _all_the_way,
        alone=True,
    ),
    Saying(
        said(
            rf"(?:{RISES}|{FALLS}|up|down)(?: (?:by|for|through|with|straight|a full|exactly"
            rf"|just))* (?P<count>{FEW})"
            r" (?:rungs|notes|steps|places|pitches)(?: (?:in a row|in one go|running|straight"
            r"|one after the other"
            r"|without a break))?(?! (?:lower|higher|from|of|apart)\b)"
            rf"|(?P<count2>{FEW}) (?:notes|eighths|eighth[ -]notes|quavers|quarters"
            r"|quarter[ -]notes)(?: (?:all|just|each|that|which))?"
            r" (?:(?:going|running|coming|heading|moving|stepping|walking|climbing|falling|tumbling|go|run"
            r"|come|step|walk)"
            r" (?:straight |right |back )?(?:up|down)(?:wards?)?|uphill|downhill|upwards?|downwards?"
            r"|rising|falling|climbing|descending)"
            r"|(?:an? )?(?:upward|downward|rising|falling|ascending|descending|climbing) (?:run|flight"
            rf"|string|row|line|scale) of (?P<count3>{FEW})"
            r" (?:notes|eighths|eighth[ -]notes|quavers)"
        ),
        _so_many_up,
        alone=True,
    ),
    Saying(
        said(
            r"(?P<mostly>mostly |mainly |largely |almost entirely |chiefly )?(?P<all>all |only |entirely "
            r"|purely |exclusively |strictly |nothing but )?(?:(?:by|in) steps?|stepwise|step by step"
            r"|scalewise|by (?:scale )?degrees|conjunct(?:ly)?)(?! (?:to|into|onto|down to|up to|from"
            r"|of)\b)"
            r"|(?:isn't|is not|aren't|are no|hasn't|doesn't have) (?:an? |any |a single |one )(?:skips?|leaps?|jumps?)"
            r"|(?:without|with no|not) (?:a |any |a single )?(?:skips?|leaps?|jumps?)(?: anywhere"
            r"| at all)?|no (?:skips|leaps|jumps)(?: at all| anywhere)?|never (?:leaps|jumps|skips)"
        ),
        _by_step,
        alone=True,
    ),
    Saying(
        said(rf"{ROOTS}(?:{RISES}|{FALLS}|{LEAPING}){SOME} (?:in|by) (?:\w+ )?(?P<size>{IN_THIRDS})"),
        _in_intervals,
        alone=True,
    ),
    Saying(
        said(
            r"(?:(?:stays?|staying|sits?|keeps?|lies|moves?|remains?|fits?|plays out|happens|is|are"
            r"|hovers?|lives?|circles?)"
            r"(?: \w+){0,4}? (?:within|inside|in the (?:space|range|compass|span) of|confined to)"
            r"|(?:never|doesn't|does not|don't) (?:leaves?|goes? beyond|strays? (?:outside|beyond)"
            r"|exceeds?|goes? outside))"
            r" (?:the (?:space|range|compass|span|limits) of )?(?:an?|one) (?:single |mere |narrow )?"
            rf"(?P<within>{INTERVAL})(?! (?:of|in|is|on|over|chord|above|below)\b)"
            r"|(?:spans?|covers?|takes in|ranges over|stretches (?:over|across)|has a (?:range|compass"
            r"|span) of"
            rf"|extends over|runs through) {ABOUT}(?:an? )?(?P<spans>{INTERVAL})"
        ),
        _range,
    ),
    *EXTREMES,
    Saying(
        said(
            r"zig-?zags?|zig-?zagging|see-?saws?|see-?sawing|staggers?|ping-?pongs?|yo-?yos?|(?:bounces?"
            r"|hops?|jumps?|goes|swings?|rocks?|darts?|flips?) (?:up and down|back and forth|to and fro)"
            r"|jagged|changes? direction (?:on|with|at) (?:every|each|nearly every|almost every) note"
            r"|up,? down,? up,? down(?:,? (?:up|down))*"
        ),
        _zigzag,
    ),
    Saying(
        said(
            r"(?:turns?|turning|turned|doubles?|swings?|heads?|comes?) (?:a?round|back)(?: again| back"
            rf"| down| up)* (?:at|on) (?:the |that |a |an |its )?(?:(?:high|low|top) )?(?P<note>{NAME})?"
        ),
        _turn,
    ),
)
