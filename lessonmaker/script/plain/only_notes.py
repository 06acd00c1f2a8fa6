"""What only one note of some bars does, and the name by which a sentence calls that note.

"The A comes early"; "I tie the D across"; "a dotted quarter on the five". Where one note alone does what is said, and
no note of the name does anything like it, the name is false. Common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.adjectives import ADJECTIVES
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import HEDGED
from lessonmaker.script.plain.durations import QUANTITY, VALUE, quantity_of, value_of
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.offbeats import EARLY_BY, OVER, is_held_over, is_syncopated
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.stretches import MASK, masked
from lessonmaker.script.plain.text import Sentence
from lessonmaker.theory.degree import accepts, degree_of

__all__ = ["Told", "misnamed", "rightly_named", "told_of_one"]

PLACED = rf"(?:,? (?:(?:right |just )?(?:at|in|on|of|over|from)(?: the| this| that| a)? )?{MASK}+)*,?"
THE = rf"\b(?:the|that|this|our|your|my|his|her|their|its) (?:last |first |final )?(?:{ADJECTIVES})?"
SOFTLY = (
    r"(?: (?:just|really|then|already|here|also|even|actually|clearly|gets?|gets to|is|was|being|which is))*"
)

# Early ------------------------------------------------------------------------------------------------------
EARLY = (
    rf"{EARLY_BY}(?:early|too soon|before (?:its|the) (?:chord|bar|bar ?line|one|down-?beat)"
    r"|ahead of (?:the|its|time)(?: (?:beat|bar|chord|bar ?line|down-?beat|schedule))?)(?![\w-])"
)
COMES_EARLY = pattern_of(
    rf"{PLACED}{SOFTLY},?(?: (?:comes?|arrives?|enters?|sneaks?|jumps?|lands|hits|shows up|turns up|speaks|starts"
    rf"|strikes|sounds|is struck|is played)(?: in| up| on)?(?: (?:just|a little|slightly|here),?)*)?"
    rf" (?:{EARLY}|{MASK}* ?early"
    r"|jumps? the gun|anticipates?(?= the| our|§| its)|(?:is |gets )?(?:pushed|anticipated)"
    r"(?! (?:up|down|to|into|against))"
    r"|(?:is|makes?|as) (?:what we call )?an anticipation)\b"
)
RIGHT_EARLY = pattern_of(rf",? {EARLY}")
PUSHES = pattern_of(rf"\b(?:push|pushes|pushed|pushing|anticipates?|anticipated|anticipating) {THE}$")
PUSHED_ON = pattern_of(
    rf"(?! (?:up|down|to|into(?! ?{MASK}| the next)|against|towards?|through|away|hard|it)\b)"
)
ANTICIPATION_OF = pattern_of(r"\banticipation of (?:the|its|their|that) $")

# Held over the bar line -------------------------------------------------------------------------------------
ON_OVER = rf"(?: (?:right|on|over|out|straight|clean|clear|well|all the way|across))* (?:{OVER}|over|across)(?![\w-])"
IS_HELD = pattern_of(
    rf"{PLACED}{SOFTLY},? (?:(?:tied|held|hung|carried)(?:{ON_OVER}|[ -]over\b)|hangs?{ON_OVER}|hanging{ON_OVER}"
    rf"|(?:rings|ringing|spills|lasts|lingers|stretches|reaches|sustained)(?: (?:right|on|out|straight))* {OVER}"
    r"|(?:is|makes?|becomes?|as|forms?)(?: really| just)?"
    r" (?:what we call )?an? (?:\w+[- ])?(?:\w+[- ]\w+ )?suspension\b)"
)
HOLDS = pattern_of(
    r"\b(?:ties?|tied|tying|holds?|held|holding|hangs?|hanging|carry|carries|keeps?|keeping|lets?|sustains?)"
    rf"(?: on)?(?: ?to)? {THE}$"
)
HOLDS_ON = pattern_of(
    rf"{PLACED}(?:,? (?:and )?lets? it)?(?: (?:ring|ringing|hang|hanging|right|out|tied|held|on))*"
    rf" (?:{OVER}|(?:over|across)(?= into| ?{MASK}|[,.;:]|$))"
    rf"|{PLACED} a (?:beat|bar|bit|little|eighth) too long\b"
)
HELD_OVER = pattern_of(rf"{THE}(?:held|tied)[- ]over $")

# Of some length, or the highest -----------------------------------------------------------------------------
ON_THE = pattern_of(rf"\b(?P<length>{VALUE})(?: {MASK}+)? on (?:the|that|an?) $")
PEAKS = pattern_of(
    rf"\b(?:peaks?|high point|top note|top|summit|highest (?:note|pitch|point|tone)|climax)(?: of (?:the|this|our)"
    rf" (?:line|phrase|bar|run|lick|whole \w+))?{PLACED}"
    r"(?: (?:you|we|i|he|she)(?:'ll|'ve)?(?: \w+){1,3})?(?: (?:is|comes|on|with|at|sits|here))+(?: (?:the|that|an?))? $"
)
# "It's an anticipation, already the fifth of D".
IS_ALSO = (
    rf"{PLACED}(?: is|'s|[,:;](?: (?:so|and|because))?(?: (?:it's|it is|that's|which is|namely))?)"
    r"(?: (?:already|really|just|actually|now|in fact))* (?:the|an?) $"
)
EARLY_IS = pattern_of(
    rf"(?:\banticipation|\banticipated note|\bjumps the gun|\b{EARLY}|\bpushed(?: by an? \w+)?){IS_ALSO}"
)
HELD_IS = pattern_of(rf"\b(?:(?<!resolution of the )suspension|suspended note){IS_ALSO}")
HELD_FOR = pattern_of(
    rf"{PLACED}{SOFTLY},? (?:held|sustained|held out)(?: out)? for (?:just |all of )?(?P<length>{QUANTITY})"
)
NO_MORE = pattern_of(
    r"(?! (?:of the (?:bar|phrase|line|tune)|chord|triad|major|minor|time|beat|scale|seven|and)\b)"
)

# It is told for less than sure, or of another note.
UNSURE = pattern_of(
    r"\b(?:not|never|no|n't|if|would|could|might|should|maybe|perhaps|try|instead|rather|like|almost|nearly|usually"
    r"|often|used|or|without|neither|both|each|every|were|wish|want|imagine|had|once|every time)\b|n't\b|\?"
)
CLAUSE = pattern_of(r"[^,;:.!?\x01]*$")
ASIDE_OF = pattern_of(
    r"\b(?:to|into|onto|below|above|under|over|around|before|after|of|from|than|beneath|with|between|until)"
    rf" (?:the |an? |our |that |its |this )?(?:{ADJECTIVES})?$"
)
CHORDS = ("one", "two", "three", "four", "five", "six", "seven")  # "the five comes early" may be a chord

# What is told after the name, whether of a note that is only an aside as well; and before and after it.
AFTER_IT = (
    ("early", COMES_EARLY, False),
    ("early", RIGHT_EARLY, True),
    ("held", IS_HELD, False),
    ("long", HELD_FOR, False),
)
AROUND_IT = (
    ("early", PUSHES, PUSHED_ON),
    ("early", ANTICIPATION_OF, NO_MORE),
    ("early", EARLY_IS, NO_MORE),
    ("held", HOLDS, HOLDS_ON),
    ("held", HELD_OVER, NO_MORE),
    ("held", HELD_IS, NO_MORE),
    ("long", ON_THE, NO_MORE),
    ("high", PEAKS, NO_MORE),
)


@dataclass(frozen=True)
class Told:
    """What a note is said to do, in the words [first, last); `length` is how long it is said to be."""

    what: str
    first: int
    last: int
    length: str = ""


def told_of_one(sentence: Sentence, claim: Claim, places: Sequence[Place]) -> Told | None:
    """What a degree or a note that is named is said to do, if it is something that one note does.

    Args:
        sentence: what is said.
        claim: the degree or the note.
        places: where.
    """
    text = masked(sentence, places)
    text = text[: claim.first] + sentence.text[claim.first : claim.last] + text[claim.last :]
    for told in _told(text, claim):
        clause = CLAUSE.search(text[: told.first])
        start = clause.start() if clause is not None else 0
        if not UNSURE.search(text[start : told.last]) and not HEDGED.search(text[start : told.last]):
            return told
    return None


def _told(text: str, claim: Claim) -> Iterator[Told]:
    """What may be told, before and after the name."""
    before = text[: claim.first]
    bare = text[claim.first : claim.last] in CHORDS
    aside = ASIDE_OF.search(before) is not None
    for what, pattern, of_an_aside in AFTER_IT:
        match = pattern.match(text, claim.last)
        if match is not None and not bare and (of_an_aside or not aside):
            yield Told(what, claim.first, match.end(), match.groupdict().get("length", ""))
    for what, start, end in AROUND_IT:
        begins, ends = start.search(before), end.match(text, claim.last)
        if begins is not None and ends is not None and not (bare and start in (EARLY_IS, HELD_IS)):
            yield Told(what, begins.start(), ends.end(), begins.groupdict().get("length", ""))


def misnamed(claim: Claim, told: Told, spans: Sequence[Span], music: Music) -> Note | None:
    """The one note of some bars that does what is told of a claim, if neither it nor one like it has the name."""
    note = _one_that_does(told, spans, music)
    named = note is None or _is_named(claim, note, music) or _is_called_so(claim, told, spans, music)
    return None if named else note


def rightly_named(claim: Claim, told: Told, spans: Sequence[Span], music: Music) -> Note | None:
    """The one note of some bars that comes early or is held over as is told, if it has the name over either chord."""
    note = _one_that_does(told, spans, music) if told.what in ("early", "held") else None
    return note if note is not None and _is_named(claim, note, music) else None


def _one_that_does(told: Told, spans: Sequence[Span], music: Music) -> Note | None:
    """The one note of some bars that does what is told; None where none or several do."""
    notes = [note for span in spans for note in music.struck_between(span.start, span.end)]
    if told.what == "high":
        top = max((note.sounding.midi for note in notes), default=0)
        found = [note for note in notes if note.sounding.midi == top]
    else:
        found = [note for note in notes if SURELY[told.what](note, told, music)]
        if told.what != "long":
            ends = {span.end for span in spans}
            found = [note for note in found if music.score.bars[note.bar].end not in ends] or found
    return found[0] if len(found) == 1 else None


def _is_called_so(claim: Claim, told: Told, spans: Sequence[Span], music: Music) -> bool:
    """Whether a note that may be said to do what is told has the name, over any chord that it may be heard with."""
    return any(
        _is_named(claim, note, music)
        for note in music.struck
        if any(span.start < note.onset + note.held and note.onset < span.end for span in spans)
        and (SURELY[told.what](note, told, music) or PERHAPS[told.what](note, music))
    )


def _is_named(claim: Claim, note: Note, music: Music) -> bool:
    """Whether a note has a name, or a degree by any of its names."""
    if claim.kind == "note":
        named = named_note(claim.name).pitch_class
        return named in (note.written.name.pitch_class, note.sounding.name.pitch_class)
    bar = music.score.bars[note.bar]
    span = Span(min(note.onset, bar.start), max(note.onset + note.held, bar.end) + INSTANT)
    chords = [change.chord for change in music.changes_in(span)] + [music.finding(note).chord]
    return any(
        accepts(name, degree_of(note.sounding.midi % OCTAVE, chord), chord) != "false"
        for chord in chords
        if chord is not None
        for name in claim.names
    )


def _is_early(note: Note, _: Told, music: Music) -> bool:
    return music.finding(note).role == "anticipation" or (
        is_syncopated(note, music) and is_held_over(note, music)
    )


def _is_held(note: Note, _: Told, music: Music) -> bool:
    return is_held_over(note, music)


def _is_so_long(note: Note, told: Told, music: Music) -> bool:
    if pattern_of(VALUE).fullmatch(told.length):
        return note.held == value_of(told.length)
    return note.held == quantity_of(told.length, music.score.bars[note.bar].metre)


def _is_a_peak(note: Note, _: Told, music: Music) -> bool:
    """Whether a note of the line is higher than those next to it."""
    at = bisect_left(music.line_onsets, note.onset)
    beside = [*music.line[max(at - 1, 0) : at], *music.line[at + 1 : at + 2]]
    return note in music.line[at : at + 1] and all(
        note.sounding.midi >= each.sounding.midi for each in beside
    )


SURELY: dict[str, Callable[[Note, Told, Music], bool]] = {
    "early": _is_early,
    "held": _is_held,
    "long": _is_so_long,
    "high": _is_a_peak,
}


def _may_be_early(note: Note, music: Music) -> bool:
    return is_syncopated(note, music)


def _may_be_held(note: Note, music: Music) -> bool:
    """Whether a note is held past a beat, past a change of chord, or is a suspension without being held."""
    changes = music.changes_in(Span(note.onset, note.onset + note.held))
    return is_syncopated(note, music) or len(changes) > 1 or music.finding(note).role == "suspension"


def _may_not(_: Note, __: Music) -> bool:
    return False


PERHAPS: dict[str, Callable[[Note, Music], bool]] = {
    "early": _may_be_early,
    "held": _may_be_held,
    "long": _may_not,
    "high": _may_not,
}
