"""What a sentence says of two notes that it names, each of them known: that they are one, or which of them comes first.

"The D in bar fourteen is the root"; "the fifth comes right before the third". Common practice, no source. Only where
each name can be one note alone is it false.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.intervals import OCTAVE, interval_sizes
from lessonmaker.script.plain.motion import HOW_FAR
from lessonmaker.script.plain.verbs import FALLING, GOING, RISING

__all__ = ["CALLING", "ONLY_THE", "Around", "are_one", "is_pointed_out", "untrue"]

CLOSE = r"(?:right|just|directly|straight|immediately|straight away|at once)"
# Two names of one note, unless the words between them speak of another one.
CALLED = pattern_of(
    r"(?<!there )(?<!here )(?<!there)(?<!here)(?:\b(?:is|was|are|being|makes?|gives us|equals|means|amounts to"
    r"|comes out as|turns out(?: to be)?|happens to be|has to be|must be|(?:acts?|counts?|figures"
    r"|functions?|serves?|sounds?"
    r"|works?|passes|poses|doubles|stands in|fills in)(?: here)? (?:as|for)|(?:plays?|takes?"
    r"|fills) the (?:part|role|place) of|goes by"
    r" the name of)|'s|=)(?: (?:\w+ly|just|nothing but|nothing (?:more|less|other) than|none other than|indeed"
    r"|still|now|here|there|of course|in fact))*(?:, [^,;:]{3,40},)? (?:the|an?|our|your|its|this chord's|that chord's)"
    r"(?: (?!(?:note|one|step|leap)\b)\w+)? $"
)
ANOTHER = pattern_of(
    rf"[;?!]|\b(?:to|into|onto|from|around|before|after|then|between|but|while|whereas|if|than|where|when|whose|whole|note|notes"
    r"|one|ones|next|other|second|first|last|following|later|not|never|step|leap|mine|yours|favou?rite"
    r"|and(?! (?:it|that|this|so|here|there)"
    rf"\b)|followed|{FALLING}|{RISING}|resolves?|leads?)\b|n't\b"
)
# "I'd call that G in bar six the fifth".
CALLING = pattern_of(
    r"\b(?:call|calls|called|name|label|labelled|hear|consider|declare) (?:the|that|this|an?|our)(?: \w+)? $"
)
ONLY_IS = pattern_of(r", (?:that's|which is|namely|that is) ")
ONLY_THE = pattern_of(r" (?:as )?(?:the|an?|our|its) ")
# The first name's note comes first, and the second's next to it where it is said to.
STANDS = r"(?: comes| stands| sits| is| is played| is heard)?"
THE = r"(?:the |our |its |an? )?"
GOES = r"(?: (?:goes|moves|steps|leads|falls|rises|drops|climbs|slips|resolves|the line (?:goes|moves|steps|leads)))"
BEFORE = pattern_of(
    rf"{STANDS}(?P<close> {CLOSE})? (?:before|ahead of) {THE}"
    rf"|(?: is)? (?P<close_2>{CLOSE} )?followed(?P<close_3> {CLOSE})? by {THE}"
    rf"|{GOES} (?:(?:up|down|back) )?(?P<close_4>{CLOSE})(?: (?:up|down|back|on))? (?:to|into|onto) {THE}"
    rf"| comes first,? and then {THE}"
)
AFTER = pattern_of(rf"{STANDS}(?P<close> {CLOSE})? after {THE}| follows {THE}")
# "The third owes its charm to the root right before it".
BESIDE_IT = pattern_of(
    rf",?(?: (?:that|which|you play|we hear))?(?: (?:comes|came|stands|sits|is))?(?: {CLOSE})?"
    r" (?:(?P<before>before)|after) (?:it|that)(?=[,.;:!?])"
)
# How far they are apart.
DIRECTED = r"(?:up|down|higher|lower|above|below|away|apart|over|under)"
APART = pattern_of(
    rf"(?:(?:,|:)? (?:it's|it is|that's|which is|is|lies|sits|just|only|exactly|no more than|and|then|comes))*,?"
    rf" (?P<far>{HOW_FAR.pattern})(?:,? {DIRECTED})?(?: (?:from|to))?,?(?: (?:it is|it's|lies|sits|comes"
    rf"|there is))? {THE}"
)
# "A fourth separates the root from the third"; "the gap from the root to the third is a fourth".
BETWEEN_THEM = pattern_of(
    rf"{HOW_FAR.pattern} (?:separates|divides|parts|lies between|stands between|(?:is|'s) (?:what"
    r"|the distance|the interval|all)[\w ]*(?:between|from)|between|from|apart are) (?:the |an? |our )?$"
)
GAP = pattern_of(
    r"\b(?:gap|distance|interval|space|difference|jump|leap|step|way|move|drop|climb|rise|fall)(?: down| up)?"
    r" (?:from|between) (?:the |an? |our )?$"
)
GAP_IS = pattern_of(
    rf"(?: here)? (?:is|measures|comes to|equals|makes|spans|covers)(?: (?:just|only|exactly))? {HOW_FAR.pattern}"
)
AND_THAT = pattern_of(r" (?:and|from|to) (?:the |an? |our |its )?")
# Which of them is higher.
HIGHER = pattern_of(
    r"(?:,? (?:that |which )?(?:is|'s|sits|lies|stands|sounds|comes|was))?(?: (?:just|right|a bit"
    r"|a little|way|far|well|\w+ly))*"
    rf" (?:(?P<up>above|higher than|over)|below|lower than|under|underneath|beneath) {THE}"
)
# "From the root the line heads down to the third".
ON_ITS_WAY = pattern_of(
    rf",? (?:(?:the (?:line|melody|phrase|music)|we|you|it|he|she|i) )?(?:(?:{GOING}|{FALLING}"
    rf"|{RISING}) )?(?:(?:right|straight|back|all the"
    rf" way|on|just) )*(?P<way>up|down|upwards?|downwards?) (?:in)?to {THE}"
)
MOVES_AND = pattern_of(
    rf" (?:{GOING} )?(?P<way>up|down|upwards?|downwards?) and (?:becomes?|turns into|meets|finds|hits"
    r"|reaches|arrives at|lands on"
    rf"|gives us) {THE}"
)
GOING_FROM = pattern_of(
    rf"\b(?:(?P<way>up|down|upwards?|downwards?)|(?P<falls>{FALLING})|{RISING})(?: (?:right|straight"
    rf"|all the way))* from {THE}$"
)
FROM_THE = pattern_of(r"\bfrom (?:the |an? |our |its )?$")
TO_THE = pattern_of(rf" (?:in)?to {THE}")
# "After the root I go straight to the third".
AFTER_THE = pattern_of(r"\bafter (?:the |an? |our )?$")
GO_TO = pattern_of(
    rf",? (?:(?:the (?:line|melody|phrase)|we|you|it|he|she|i) )?{GOING} (?:right|straight|directly|immediately)"
    rf"(?: (?:up|down|on|back))? (?:in|on)?to {THE}"
)
OF_MORE = pattern_of(r"\b(?:after|before|between|following|from) [^,;:]* and (?:the |an? |our )?$")
COMES_THEN = pattern_of(rf",? (?:comes?|there's|(?:we|you|i) (?:get|hear|have|play)|it's|it is) {THE}")
# "First the seventh, then the root".
FIRST_THE = pattern_of(
    r"(?:^|[,:;])(?: ?(?:and|so|but|now|here),?)* ?first(?:,| comes| we (?:get|have|hear|play)| there's| up is)?"
    r" (?:the |an? |our )?$"
)
THEN_THE = pattern_of(rf",? (?:and )?then(?:,| comes| we (?:get|have|hear|play)| there's)? {THE}")
# "What follows the root is the third".
WHAT_FOLLOWS = pattern_of(r"\bwhat (?:follows|comes (?:right |just |straight )?after)(?: the| an?)? $")
TO_THAT = pattern_of(r"\b(?:not|never|n't|would|could|should|might|may|if)\b")
# What stands for what comes later, which does something: "it is the lydian note, C sharp, that leads us up".
IT_IS_ONE = pattern_of(r"\b(?:it|this)(?:'s| is| was)(?: \w+ly| just)? (?:the|an?|its|our) (?:\w+ )?$")
THAT = pattern_of(r"(?:, [^,;:]{1,40},)? (?:that|which|who)\b")


# What stands beside the first of two names is another note: "around the third, A flat before it".
BESIDE_ANOTHER = pattern_of(r" (?:(?:just|right) )?(?:above|below|before|after|under|over) (?:it|that)\b")


@dataclass(frozen=True)
class Around:
    """The words before the first of two names, between them without places, and after the second."""

    before: str
    between: str
    after: str


# "D sharp makes the E feel inevitable": what one note does to the other.
MAKES_IT = pattern_of(r"\bmak(?:e|es|ing) (?:the |that |this |our )?$")
DO_SO = pattern_of(
    r" (?!(?:above|and|below|at|because|but|here|in|of|on|or|over|so|there|to|under|with)\b)[a-z]"
)


def are_one(between: str) -> bool:
    """Whether the words between two names say that they are one note's: " on beat two, believe me, is the "."""
    called = CALLED.search(between)
    return called is not None and not ANOTHER.search(between[: called.start()])


def untrue(words: Around, one: Note, other: Note, music: Music) -> str:
    """What is there instead of what is said of two notes; nothing where it holds, or nothing is said.

    Args:
        words: those around the names.
        one: the note named first.
        other: the note named then.
        music: the score as it is heard.
    """
    if TO_THAT.search(words.between):
        return ""
    said = (
        each(words, one, other, music)
        for each in (_not_next, _not_one, _other_way, _lower, _too_far, _out_of_order)
    )
    return next((instead for instead in said if instead is not None), "")


def is_pointed_out(between: str, after: str) -> bool:
    """Whether "it" between two names stands for the second: "after the B it is the third that leads us up"."""
    return IT_IS_ONE.search(between) is not None and THAT.match(after) is not None


def _not_next(words: Around, one: Note, other: Note, music: Music) -> str | None:
    """What follows a note, if it is said to be another."""
    told = WHAT_FOLLOWS.search(words.before) and (are_one(words.between) or words.between[:1] in ":,")
    if not told and not (AFTER_THE.search(words.before) and GO_TO.fullmatch(words.between)):
        return None
    after = music.line[music.line.index(one) + 1 :][:1] if one in music.line else ()
    return f"{_there(after[0], music)} comes after it" if after and after[0] != other else ""


def _not_one(words: Around, one: Note, other: Note, music: Music) -> str | None:
    """What a note is, if it is called another."""
    if is_pointed_out(words.between, words.after) or BESIDE_ANOTHER.match(words.after):
        return None
    if MAKES_IT.search(words.between) and DO_SO.match(words.after):
        return None
    calls = CALLING.search(words.before) and ONLY_THE.fullmatch(words.between)
    calls = calls or ONLY_IS.fullmatch(words.between)
    if OF_MORE.search(words.before) or (not calls and not are_one(words.between)):
        return None
    same = (
        one == other or one.sounding.name.pitch_class == other.sounding.name.pitch_class
    )  # or its other name
    return "" if same else f"{_there(one, music)} is the {music.finding(one).degree}"


def _other_way(words: Around, one: Note, other: Note, _: Music) -> str | None:
    """Where the line goes from one to the other, if it is said to go the other way."""
    way = ON_ITS_WAY.fullmatch(words.between) if FROM_THE.search(words.before) else None
    way = way or MOVES_AND.fullmatch(words.between)
    if way is None and TO_THE.fullmatch(words.between):
        way = GOING_FROM.search(words.before)
    if way is None or one.sounding.midi == other.sounding.midi:
        return None
    falls = other.sounding.midi < one.sounding.midi
    down = way["way"].startswith("down") if way["way"] else way.groupdict().get("falls") is not None
    return "" if falls == down else f"the line {'falls' if falls else 'rises'} there"


def _lower(words: Around, one: Note, other: Note, music: Music) -> str | None:
    """Which of two notes is higher, if it is said to be lower."""
    higher, step = HIGHER.fullmatch(words.between), one.sounding.midi - other.sounding.midi
    if higher is None or not step:
        return None
    where = "above" if step > 0 else "below"
    return (
        "" if (step > 0) == bool(higher["up"]) else f"{_there(one, music)} is {where} {_there(other, music)}"
    )


def _too_far(words: Around, one: Note, other: Note, music: Music) -> str | None:
    """What two notes are, if they are not as far apart as is said, but for octaves."""
    apart = APART.fullmatch(words.between)
    if apart is None and AND_THAT.fullmatch(words.between):
        apart = BETWEEN_THEM.search(words.before) or (
            GAP_IS.match(words.after) if GAP.search(words.before) else None
        )
    if apart is None:
        return None
    is_apart = abs(one.sounding.midi - other.sounding.midi) % OCTAVE
    held = is_apart in {each % OCTAVE for each in interval_sizes(apart["size"])}
    return "" if held else f"{_there(one, music)} is not so far from {_there(other, music)}"


def _out_of_order(words: Around, one: Note, other: Note, music: Music) -> str | None:
    """What stands between two notes, or that they come the other way round, if it is said otherwise."""
    before, after = BEFORE.fullmatch(words.between), AFTER.fullmatch(words.between)
    then = (FIRST_THE.search(words.before) and THEN_THE.fullmatch(words.between)) or (
        AFTER_THE.search(words.before) and COMES_THEN.fullmatch(words.between)
    )
    before, beside = before or then or None, BESIDE_IT.match(words.after)
    said = before or after or beside
    if said is None or one.onset == other.onset:
        return None
    earlier = before is not None or (after is None and beside is not None and not beside["before"])
    first, last = (one, other) if earlier else (other, one)
    close = any(group for name, group in said.groupdict().items() if name.startswith("close"))
    line: Sequence[Note] = [note for note in music.line if first.onset < note.onset < last.onset]
    if first.onset < last.onset and not (close and line):
        return ""
    if first.onset < last.onset:
        return f"{_there(line[0], music)} comes between them"
    return f"{_there(last, music)} comes before {_there(first, music)}"


def _there(note: Note, music: Music) -> str:
    """A note with its place."""
    return f"the {note.written.name} at {format_position(music.score, note.onset)}"
