"""What a line runs up or down: the chord, the scale, by step; between notes that are named, or as far as it goes.

Common practice, no source. A run goes one way. Up a chord it goes by thirds and fourths, over
one chord; along a scale it goes by half and whole steps.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import named_degrees, number_said
from lessonmaker.script.plain.contour import FALLS, RISES
from lessonmaker.script.plain.durations import VALUES, value_of
from lessonmaker.script.plain.extremes import NAME
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said
from lessonmaker.script.plain.verbs import inflected, way_of
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = ["COUNTED", "FEWEST", "RUNS", "ends_said", "parts_between", "runs_of_kind", "way_of_run"]

THIRD, FOURTH, WHOLE_STEP = 3, 5, 2  # semitones
FEWEST = {"chord": 3, "scale": 4, "chromatic": 3}  # notes of a run
SHORT = 3
SOFTLY = (
    r"(?: (?:right|straight|all the way|back|simply|just|steadily|gently|slowly|quickly|smoothly"
    r"|nicely|neatly|again))*"
)
THE = r"(?:the|that|this|its|our|an?)"
PLAIN = (
    r"(?: (?:whole|full|entire|same|plain|simple|straight|little|long|big|nice|diatonic|bare|basic|next))*"
)
A_CHORD = r"chord(?! (?:tones?|changes?|symbols?|progression|names?|chart)\b)(?: tones?| notes?)?"
A_SCALE = r"scale(?! (?:degrees?|of)\b)(?: tones?| notes?| steps?)?"
WHAT = rf"(?:(?P<chord>{A_CHORD})|(?:{A_SCALE}))"
# What goes along with "up" or "down" that is no way of the line: "it lights up the chord".
NO_WAY = (
    r"light, set, show, dress, open, spice, fill, break, make, pick, warm, mess, mix, sum, look, write, put, pin, "
    r"play, nail, back, clear, give, end, take, tone, turn, slow, tie, wake, use, build, stack, beef, jazz, firm"
)
SAYS_NO_WAY = pattern_of(
    rf"\b(?:{inflected(NO_WAY)}|steps?|third|fourth|fifth|octave|tone|semitone)(?: it)? $"
)
CARRIED = inflected(
    "run, play, spell, walk, roll, sweep, arpeggiate, take, trace, unroll, unfold, rattle, rip"
)
GOES = rf"(?:{RISES}|{FALLS})"
WITH_A_WAY = rf"{GOES}{SOFTLY}(?: (?:through|along|over|across|in|on))? {THE}{PLAIN} {WHAT}"
CARRIED_ON = rf"{CARRIED}(?: out)? {THE}{PLAIN} {WHAT}(?: out)?{SOFTLY} (?:up|down)(?:wards?)?"
BARE_WAY = rf"(?:straight |right |back )?(?:up|down)(?: through| along| over)? (?:the|that|its){PLAIN} {WHAT}"
RUNNING = r"(?:rising|ascending|climbing|upward|falling|descending|tumbling|downward)"
UP_OR_DOWN = (
    rf"(?: (?:that|which|is|just|simply|straight|right|all the way|{inflected('go, come, run, head')}))*"
)
A_RUN = (
    rf"{RUNNING}(?: (?!chromatic\b)\w+)? (?:{A_SCALE})(?: (?:run|passage|line|figure|fragment))?"
    r"|(?:scale (?:run|passage|fragment|figure|line|segment|snippet)"
    r"|scalar (?:run|passage|line|figure|fragment|motion)"
    r"|(?:run|bit|piece|fragment|snippet|stretch) of (?:the |an? )?scale)"
    rf"(?:{UP_OR_DOWN} (?:up|down)(?:wards?)?(?![\w'-]))?"
    r"|(?:is|'s|just|only|simply|here comes|have|get|nothing but) an?"
    rf"(?: (?:plain|simple|straight|whole|long|little|short|{RUNNING}))* scale(?=[,.;:!?]|$| in\b)"
    rf"|(?:scale),?{UP_OR_DOWN} (?:{RUNNING}|(?:up|down)(?:wards?)?)(?![\w'-])"
)
STEPWISE = r"(?:by step|in steps|stepwise|step by step|scale-?wise|one step at a time)"
BY_STEP = rf"{GOES}{SOFTLY} (?:{STEPWISE})|(?:{STEPWISE}){SOFTLY} (?:up|down)(?:wards?)?"
# From which note to which.
SIGN = r"(?:(?:flat|sharp|flatted|raised|lowered|natural|minor|major|perfect)[ -])?"
NUMBERS = (
    r"(?:root|one|third|three|fourth|four|fifth|five|sixth|six|seventh|seven|ninth|nine|eleventh|eleven|thirteenth"
    r"|thirteen)"
)
END = rf"(?:{SIGN}{NUMBERS}|{NAME})(?![\w'])"
HIGH = r"(?:(?:the|its|an?|that|our) )?(?:(?:low|high|top|bottom|upper|lower) )?"
FROM = rf"from {HIGH}(?P<from>{END})"
TO = (
    r"(?: (?:of|in|on) (?:the |its |that )?[a-z][\w# -]{0,24}?)?"
    r"(?:,? (?:right|straight|back|all the way|up|down|and|on|on up|through))*"
    rf" to {HIGH}(?P<to>{END})"
)
FROM_TO = pattern_of(rf"(?<![\w'])(?:{FROM})(?:{TO})?")
# "A three-to-nine arpeggio".
END_TO_END = pattern_of(
    rf"(?<![\w'])(?P<from>{END})[ -]to[ -](?P<to>{END})(?= (?:[\w-]+ )?(?:arpeggio|run|scale|line|sweep)\b)"
)
# "Those four eighths are a plain bit of scale".
COUNTED = pattern_of(
    rf"\b(?:those|these|the)(?: (?P<which>first|opening|last|final|closing))? (?P<count>{NUMBER}) (?P<value>{VALUES})"
    r"(?: here| there)? (?:are|were|make|form|become|'re)(?: [a-z]+){0,3} $"
)
Test = Callable[[Note, Note, Music], bool]


def _skips(one: Note, other: Note, music: Music) -> bool:
    """Whether two notes over the same chord are a third or a fourth apart."""
    same = music.finding(one).chord is not None and music.finding(one).chord == music.finding(other).chord
    return same and THIRD <= _size(one, other) <= FOURTH


def _steps(one: Note, other: Note, _: Music) -> bool:
    return 0 < _size(one, other) <= WHOLE_STEP


def _size(one: Note, other: Note) -> int:
    return abs(other.sounding.midi - one.sounding.midi)


def _half_steps(one: Note, other: Note, _: Music) -> bool:
    return _size(one, other) == 1


KINDS: dict[str, Test] = {"chord": _skips, "scale": _steps, "chromatic": _half_steps}


def runs_of_kind(kind: str, notes: Sequence[Note], music: Music) -> list[list[Note]]:
    """The longest runs of some notes one way along a "chord", a "scale", or "chromatic", each of two or more."""
    found: list[list[Note]] = []
    for before, note in pairwise(notes):
        run = found[-1] if found and found[-1][-1] is before else None
        if not KINDS[kind](before, note, music):
            continue
        if run is not None and way_of_run([run[0], run[1]]) == way_of_run([before, note]):
            run.append(note)
        else:
            found.append([before, note])
    return found


def way_of_run(notes: Sequence[Note]) -> int:
    """Up (1) or down (-1)."""
    return 1 if notes[1].sounding.midi > notes[0].sounding.midi else -1


def _judge(match: re.Match[str], passage: Passage) -> Verdict:
    """The one run of the kind and the way that is said; false where there is one the other way, or no such steps."""
    kind = "chord" if match.groupdict().get("chord") else "scale"
    way, ends = way_of(match[0]), ends_said(match.string, match.end())
    every = [run for run in runs_of_kind(kind, passage.notes, passage.music) if len(run) >= FEWEST[kind]]
    every += _short_of(kind, passage, ends)
    runs = [run for run in every if way in (0, way_of_run(run))]
    if ends is not None:
        runs = [part for run in runs for part in parts_between(run, ends, passage.music)]
    longest = [run for run in runs if len(run) == max(map(len, runs))]
    counted = COUNTED.search(match.string[: match.start()])
    if counted is not None:
        parts = [part for run in runs for part in _so_many(counted, run)]
        return Verdict(tuple(parts[0])) if len(parts) == 1 else UNKNOWN
    if len(longest) == 1:
        return Verdict(tuple(longest[0]))
    bare = match[0].split()[0] in ("up", "down")
    if (
        longest
        or not passage.named
        or len(passage.notes) <= FEWEST[kind]
        or passage.subject is not None
        or bare
    ):
        return UNKNOWN
    if ends is None:
        return _otherwise(kind, way, passage)
    turned = [part for run in every for part in parts_between(run, ends, passage.music, back=True)]
    return Verdict(is_there=f"the {kind} goes the other way") if turned else UNKNOWN


def _so_many(counted: re.Match[str], run: Sequence[Note]) -> list[Sequence[Note]]:
    """The parts of a run that are so many notes of a value: all that may be meant, or the first or last of them."""
    count, value = number_said(counted["count"]), value_of(counted["value"])
    rows = [run[at : at + count] for at in range(len(run) - count + 1)]
    fitting = [row for row in rows if all(note.held == value for note in row)]
    which = counted["which"] or ""
    return fitting[:1] if which in ("first", "opening") else fitting[-1:] if which else fitting


def _short_of(kind: str, passage: Passage, ends: re.Match[str] | None) -> list[list[Note]]:
    """Runs of three notes along a scale, which are heard as one where both of its ends are said."""
    if ends is None or not ends["to"] or kind == "chord":
        return []
    runs = runs_of_kind(kind, passage.notes, passage.music)
    return [run for run in runs if SHORT <= len(run) < FEWEST[kind]]


def _otherwise(kind: str, way: int, passage: Passage) -> Verdict:
    """What a passage that has no run of a kind and a way has instead, if that is plain."""
    every = runs_of_kind(kind, passage.notes, passage.music)
    longest = max(map(len, every), default=0)
    if way and longest >= FEWEST[kind]:
        return Verdict(is_there=f"the {kind} goes {'down' if way > 0 else 'up'}")
    return Verdict(is_there=f"nothing goes along a {kind}") if longest < SHORT else UNKNOWN


def ends_said(text: str, after: int) -> re.Match[str] | None:
    """From which note to which something is said to go, by the words after it or else before it."""
    return FROM_TO.search(text, after) or FROM_TO.search(text) or END_TO_END.search(text)


def parts_between(
    run: Sequence[Note], ends: re.Match[str], music: Music, *, back: bool = False
) -> list[list[Note]]:
    """The part of a run from the note that is named, to the other one or its own end; with `back` read from its end."""
    notes = list(reversed(run)) if back else list(run)
    starts = [at for at, note in enumerate(notes) if _is_called(note, ends["from"], music)]
    if not ends["to"]:
        return [notes[first:] for first in starts if len(notes) - first >= SHORT]
    return [
        notes[first : last + 1]
        for first in starts
        for last in range(first + 2, len(notes))
        if _is_called(notes[last], ends["to"], music)
    ]


def _is_called(note: Note, name: str, music: Music) -> bool:
    """Whether a note has a degree or a name that words say."""
    if pattern_of(NAME).fullmatch(name):
        return note.written.name == named_note(name)
    return music.finding(note).degree in named_degrees(name)


# What is said of the line besides its degrees, which are spoken of, is no more than how it comes to them.
PATTERNS = (
    (WITH_A_WAY, None),
    (CARRIED_ON, None),
    (BARE_WAY, pattern_of(rf"^(?!.*{SAYS_NO_WAY.pattern})")),
    (A_RUN, None),
)
RUNS: tuple[Saying, ...] = (
    *(
        Saying(said(rf"(?:{pattern})(?=[^.;:]*{FROM_TO.pattern})"), _judge, after=after)
        for pattern, after in (*PATTERNS, (BY_STEP, None))
    ),
    *(Saying(said(pattern), _judge, alone=True, after=after) for pattern, after in PATTERNS),
)
