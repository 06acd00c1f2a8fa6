"""What is said of all notes of some bars, and is not true of one: "every note is in F", "nothing but quarters".

Common practice, no source. It is false only where each stretch that may be meant has a note of another kind.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import SIGNS, ChordName
from lessonmaker.script.plain.crosscheck.stretch_told import stretches_told
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.durations import VALUE, VALUES, value_of, value_said
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.lengths import OF_THEM
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.theory.degree import is_chord_tone
from lessonmaker.theory.kinds import DEGREE_SEMITONES
from lessonmaker.theory.pitch import NoteName
from lessonmaker.theory.scale import SCALES, scales_named

__all__ = ["throughout"]

NOT_ALL = "say it of the notes of which it is true"

# What is said of all ------------------------------------------------------------------------------------

PLAYED = r"(?: (?:here|there|that|you|we|i|he|she|play|plays|hear|get|of it|in (?:it|this \w+|bar [\w-]+|the \w+)))*"
EVERY = (
    r"(?:(?:every|each)(?: single| last)? (?:one|note|pitch|tone)|all (?:(?:two|three|four|five|six|seven|eight"
    r"|nine|ten) )?(?:of )?(?:the|these|those|its|our|your|\w+) (?:notes|pitches|tones)"
    rf"|all of (?:it|them)|everything){PLAYED}(?: over [^,;:.]{{1,30}}?)?"
    r",? (?:(?:is|are|'s|comes?|belongs?|stays?|lies?|sits?|fits?)(?: (?:just|simply|purely|strictly|still"
    r"|right|straight))*)"
)
ONLY = (
    r"(?:nothing but|(?:strictly|purely|exclusively|solely|entirely)(?: (?:to|with|on|in|from|of))?|only"
    r"|(?:no|not (?:a|one)(?: single)?|none of (?:the|these|its)) (?:note|pitch|tone)s?\b[^,;:.]{0,24}?"
    r" (?:leaves?|strays?(?: from| outside)?|(?:is|goes|steps|falls|lies) outside(?: of)?|departs? from)"
    r"|never (?:once )?(?:leav(?:es?|ing)|stray(?:s|ing)? (?:from|outside)|step(?:s|ping)? outside"
    r"|depart(?:s|ing)? from)"
    r"|(?:stick(?:s|ing)?|keep(?:s|ing)?|confin\w+(?: \w+)?|stay(?:s|ing)?)(?: (?:strictly|only|entirely"
    r"|purely))?"
    r" (?:to|with|inside|within|on)|(?:made|built)(?: up)? (?:entirely|only|purely|exclusively) (?:of|from))"
)
ALL = rf"\b(?:{EVERY}|{ONLY})(?: (?:an?|the|its|one of the))?"
CHORD_TONE = (
    r"(?:chord(?:al)?[ -]tones?|notes? (?:of|from) the chord(?! before)|tones? of the chord"
    r"|arpeggio (?:notes?|tones?))"
)
OF_THE_FOUR = r"(?:the )?(?:root|third|fifth|seventh)"
FOUR = rf"{OF_THE_FOUR},? (?:{OF_THE_FOUR},? )?(?:{OF_THE_FOUR},? )(?:and|or) {OF_THE_FOUR}"
TONES = pattern_of(rf"{ALL} (?:plain |pure |simple )?(?:{CHORD_TONE}|{FOUR})")
LETTER = r"(?P<letter>[a-g])(?:[ -](?P<sign>flat|sharp)|(?P<mark>[b#]))?"
SCALE = (
    r"(?P<scale>(?:harmonic |melodic |natural )?minor|major|ionian|dorian|phrygian|lydian(?: dominant)?"
    r"|mixolydian|aeolian"
    r"|locrian|altered|whole[- ]tone)"
)
DIATONIC = pattern_of(
    rf"{ALL}(?: (?:diatonic|native|right|straight|to|in|from|of|within|inside|out|into|fits|belongs|at home"
    rf"|notes|the|key))*"
    rf" {LETTER} {SCALE}(?! (?:seven|six|nine|chord|triad|arpeggio))(?: scale)?\b"
)
OF_CHORD = pattern_of(
    rf"{ALL}(?: (?:just|simply|straight|right|out|from|of|in|inside|within|to|part|belongs?|the|an?|notes?|tones?))* $"
)
# A chord with more notes than the printed one may have, and what is none.
EXTENDED = pattern_of(r"\b(?:nine|ninth|eleven\w*|thirteen\w*|alt\w*|flat nine|9|11|13)\b")
A_SCALE = pattern_of(r" (?:scale|mode|sound|pentatonic|blues)\b")
ONE_VALUE = pattern_of(rf"\b{EVERY} an? (?:(?:even|straight|plain) )?(?P<value>{VALUE})")
OF_VALUE = pattern_of(rf"{ALL} (?:(?:even|straight|plain|steady|running) )?(?P<value>{VALUES})")
# "Four bars of nothing but G minor seven": of the chords.
BARS_OF_IT = pattern_of(
    r"\b(?:bars?|measures?|beats?|stretch|vamp|harmony|changes|chords?) (?:\w+ )?(?:of|is|are|has) $"
)
# It is said of some of them, or less surely.
NOT_OF_ALL = pattern_of(
    r"\b(?:except|apart|but (?!chord|quarter|eighth)|until|till|before|after|other|first|last|top|bottom"
    r"|end|start|beginning|half(?!-dim| notes)"
    r"|not|only if|almost|nearly|mostly|if|would|could|on (?:the |each )?(?:beats?|downbeats?|strong)"
    r"|strong|accent\w*|held|long|"
    r"(?:second|third|fourth) (?:one|note|time)|every other|plus"
    r"|with one|and one|group|apart|left hand|bass|piano)\b|n't\b"
)

# "On the D7 half": all that is over it.
HALF_OF_A_CHORD = pattern_of(r"(?<=\d) half\b|(?<=seven) half\b|(?<=minor) half\b|(?<=major) half\b")


def throughout(told: Told) -> Iterator[Untrue]:
    """What is said of every note, and is not true of all."""
    for match in TONES.finditer(told.text):
        yield from _held(told, match.span(), _is_no_tone, "is no note of its chord")
    for match in DIATONIC.finditer(told.text):
        yield from _held(told, match.span(), partial(_is_outside, _notes_of_scale(match)), "is not in it")
    for name in told.chords_named:
        said = OF_CHORD.search(told.text[: name.first])
        plain = not EXTENDED.search(told.text[name.first : name.last]) and not A_SCALE.match(
            told.text, name.last
        )
        if said is not None and plain and not BARS_OF_IT.search(told.text[: said.start()]):
            words = said.start(), name.last
            yield from _held(told, words, partial(_is_outside_of, name), "is no note of that chord")
    for match in ONE_VALUE.finditer(told.text):
        other = partial(_is_other_value, value_of(match["value"]))
        yield from _held(told, match.span(), other, "is of another length")
    yield from _values(told)
    yield from _steps(told)


Strange = Callable[[Told, Note], bool]


def _held(told: Told, words: tuple[int, int], is_strange: Strange, what: str) -> Iterator[Untrue]:
    """A note of which what is said of all is not true, if each stretch that may be meant has one."""
    if NOT_OF_ALL.search(_around(told, *words)):
        return
    stretches = stretches_told(told, *words)
    found = [next((note for note in each if is_strange(told, note)), None) for each in stretches]
    if found and all(found) and found[0] is not None:
        yield _untrue(told, words, found[0], what)


def _around(told: Told, first: int, last: int) -> str:
    """What else is said in the part of some words, without the bars that are named ("the first bar")."""
    begin, end = told.part_of(first)[0], max(told.part_of(last - 1)[1], last)
    text = told.text
    for place in told.places:
        if place.level == "bar":
            text = text[: place.first] + "_" * (place.last - place.first) + text[place.last :]
    return HALF_OF_A_CHORD.sub(" ", text[begin:first]) + "," + text[last:end]


def _untrue(told: Told, words: tuple[int, int], note: Note, what: str) -> Untrue:
    what = f"the note at {told.music.position(note)} {what}"
    return Untrue(*words, what, NOT_ALL, target=told.music.target_of(note))


def _is_no_tone(told: Told, note: Note) -> bool:
    """Whether a note is of no chord that it may be heard with: that in force, and the one that it comes before."""
    finding = told.music.finding(note)
    if finding.chord is None or finding.degree is None or is_chord_tone(finding.degree, finding.chord):
        return False
    in_force = told.music.changes_in(Span(note.onset, note.onset + note.held))
    return all(change.chord == finding.chord for change in in_force)


def _is_outside_of(name: ChordName, told: Told, note: Note) -> bool:
    """Whether a note sounds over a chord of the root that is named, and is none of its notes."""
    roots = [change.written for change in told.music.changes_in(Span(note.onset, note.onset))]
    is_over_it = any(each is not None and each.root.pitch_class == name.root.pitch_class for each in roots)
    return is_over_it and _is_no_tone(told, note)


def _is_outside(scale: frozenset[int], _: Told, note: Note) -> bool:
    return bool(scale) and _class(note) not in scale


def _class(note: Note) -> int:
    return note.written.name.pitch_class


def _notes_of_scale(match: re.Match[str]) -> frozenset[int]:
    """The pitch classes, as written, of a scale that is named; all kinds of minor where none is said."""
    sign = SIGNS.get(match["sign"] or match["mark"] or "", 0)
    root = NoteName(match["letter"].upper(), sign).pitch_class
    said = match["scale"].replace("-", " ")
    names = ("aeolian", "harmonic minor", "melodic minor") if said == "minor" else scales_named(said)
    degrees = {degree for name in names if name in SCALES for degree in SCALES[name].degrees}
    return frozenset((root + DEGREE_SEMITONES[degree]) % OCTAVE for degree in degrees)


# Values -------------------------------------------------------------------------------------------------

UNTIL = pattern_of(
    r"\b(?:until|till|up to|before)\b[^.;:]{0,40}? (?:beat |on )(?P<beat>one|two|three|four)\b(?! and a half)"
)
BEATS = {"one": 1, "two": 2, "three": 3, "four": 4}


def _is_other_value(length: Fraction, told: Told, note: Note) -> bool:
    """Whether a note is of another length, and not the last one of its bar, which may ring."""
    after = told.next_note(note)
    return after is not None and after.bar == note.bar and length not in (note.duration, note.held)


def _values(told: Told) -> Iterator[Untrue]:
    """Nothing but notes of a value, in a whole bar or up to one of its beats."""
    for match in OF_VALUE.finditer(told.text):
        until = UNTIL.search(told.text, match.end())
        if OF_THEM.search(told.text[: match.start()]):
            continue
        if until is None and "triplet" not in told.text:
            yield from _held(
                told, match.span(), partial(_is_other_value, value_of(match["value"])), "is of another length"
            )
        bars = told.music.bars_in(told.spans_at(match.start()))
        if until is None or len(bars) != 1 or NOT_OF_ALL.search(told.text, match.end(), until.start()):
            continue
        end = bars[0].start + (BEATS[until["beat"]] - 1) * bars[0].metre.unit_quarters
        length = value_of(match["value"])
        notes = told.music.struck_between(bars[0].start, end)
        strange = [note for note in notes if length not in (note.duration, note.held)]
        if strange and "triplet" not in told.text:
            said = value_said(strange[0].held, bars[0].metre)
            yield _untrue(told, match.span(), strange[0], f"is {said}")


# Steps from one note to another --------------------------------------------------------------------------

STEPS = pattern_of(
    r"\b(?:every|each)(?: single| last)? (?:step|move|interval)\b(?P<between>[^,;.]{0,40}?) (?:is|are"
    r"|was)(?: (?:an?|just|purely|strictly))*"
    r" (?P<size>chromatic|half[- ]step|semitone|whole[- ](?:step|tone)|third|diatonic step)\b"
    r"|\bevery(?: single)? (?:note|step) of the (?P<scale>scale)\b"
)
FROM_TO = pattern_of(
    r"\b(?:from|after)(?: the| a| that)?(?: first| low| high| top)? (?P<one>[A-Ga-g](?:[ -](?:flat|sharp"
    r"|natural)|[b#])?)(?![\w'#])"
    r"[^.;:]{0,50}? to(?: the| a| that)?(?: final| last| low| high| top)? (?P<other>[A-Ga-g](?:[ -](?:flat"
    r"|sharp|natural)|[b#])?)(?![\w'#])"
)
SIZES: dict[str, tuple[int, ...]] = {
    "chromatic": (1,),
    "half step": (1,),
    "semitone": (1,),
    "whole step": (2,),
    "whole tone": (2,),
}
SIZES |= {"third": (3, 4), "diatonic step": (1, 2), "scale": (0, 1, 2)}


def _steps(told: Told) -> Iterator[Untrue]:
    """Each step from one note that is named to another, all of one size."""
    for match in STEPS.finditer(told.text):
        ends = FROM_TO.search(told.text)
        notes = _between(told, ends) if ends is not None else ()
        sizes = SIZES[(match["size"] or match["scale"]).replace("-", " ")]
        for one, other in pairwise(notes):
            if abs(other.sounding.midi - one.sounding.midi) not in sizes:
                yield _untrue(told, match.span(), other, "is another step away from the one before")
                break


def _between(told: Told, ends: re.Match[str]) -> Sequence[Note]:
    """The notes from the first of one name to the last of another, in the bars that are spoken of."""
    notes = [note for span in told.spans_at(ends.start()) for note in told.music.line_in(span)]
    first, last = (named_note(ends[name]).pitch_class for name in ("one", "other"))
    start = next((at for at, note in enumerate(notes) if _class(note) == first), None)
    stop = next((at for at in reversed(range(len(notes))) if _class(notes[at]) == last), None)
    return notes[start : stop + 1] if start is not None and stop is not None and start < stop else ()
