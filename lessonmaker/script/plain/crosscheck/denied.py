"""What is said not to be there, however it is put, and is: "one thing you never get in bar six is the root".

Common practice, no source. A denial is held against each stretch that it may be of: the bars that are named or shown,
the chord that it is made over, the figure that is lit. It is false only where the thing is in all of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import named_degrees
from lessonmaker.script.plain.crosscheck.stretch_told import stretches_told
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.denials import IS_OUT, NOT_THERE
from lessonmaker.script.plain.durations import QUANTITY, VALUE, quantity_of, value_of, value_said
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.stance_words import NOT_DENIED
from lessonmaker.theory.degree import is_chord_tone

__all__ = ["denied"]

SAY_WITHOUT = "say it without, or of bars that have none"

# What is denied ------------------------------------------------------------------------------------------

ORDINAL = r"(?:root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth)"
NUMBERED = r"(?:three|four|five|six|seven|nine|ten|eleven|thirteen)"
SIGN = r"(?:flat|flatted|sharp|natural|raised|lowered|major|minor|plain|perfect)"
DEGREE = pattern_of(
    rf"(?<![\w#-])(?:{SIGN}[ -](?:{ORDINAL}|{NUMBERED})|{ORDINAL})(?![\w#-])"
    r"(?! (?:chord|inversion|bar|measure|time|degree apart|higher|lower|up|down|above|below|apart|away)\b)"
)
A_CHORD = (
    r"[a-g](?:[ -](?:flat|sharp))?(?![\w'#])(?: (?:major|minor|dominant|half-diminished|diminished|seven))?"
)
OF_CHORD = pattern_of(rf" of (?:the |that |this |our )?(?P<root>{A_CHORD})")
LEADING = pattern_of(rf"\bleading (?:tone|note) of (?P<root>{A_CHORD})")
NATURAL_A = r"A[ -](?:flat|sharp|natural)"
LETTER = pattern_of(
    rf"(?<![\w'#])(?:{NATURAL_A}|(?<!^)A[b#]?|[B-G](?:b|#|[ -](?:flat|sharp|natural))?)(?![\w'#])"
)
OF_A_CHORD = pattern_of(
    r"[ -](?:third|fifth|seventh|ninth|eleventh|thirteenth|flat|sharp|major|minor|seven|six|nine|eleven"
    r"|thirteen|dominant|half|diminished|chord|triad|alt|sus|scale"
    r"|section|string|blues|dorian|mixolydian|lydian)"
)
OVER_IT = pattern_of(r"\b(?:of|over|on|in|against|above|under)(?: the| that| this| an?)? $")
OUTSIDE = pattern_of(
    r"\b(?:tensions?(?! point)|non-chord[ -]tones?|outside notes?|notes? (?:from )?outside (?:of )?(?:the"
    r"|its) chord)\b"
)
CHROMATIC = pattern_of(
    r"\b(?:(?:single )?chromatic (?:notes?|tones?|pitch(?:es)?)|chromaticism|accidentals?)\b"
)
THINGS = (
    ("outside", OUTSIDE),
    ("chromatic", CHROMATIC),
    ("leap", pattern_of(r"\b(?:leaps?|jumps?|big intervals?)\b")),
    ("skip", pattern_of(r"\bskips?\b")),
)
LEAST_LEAP = {"leap": 5, "skip": 3}  # semitones that are one for sure


@dataclass(frozen=True)
class Thing:
    """What may be denied at [first, last) of a sentence; `end` is where all that is said of it ends."""

    first: int
    last: int
    end: int
    kind: str
    root: str = ""


def _things(told: Told) -> Iterator[Thing]:
    text = told.text
    for match in LEADING.finditer(text):
        yield Thing(*match.span(), match.end(), "leading tone", match["root"])
    for match in DEGREE.finditer(text):
        chord = OF_CHORD.match(text, match.end())
        end, root = (chord.end(), chord["root"]) if chord else (match.end(), "")
        yield Thing(*match.span(), end, "degree", root)
    for match in LETTER.finditer(told.sentence.written):
        if not OF_A_CHORD.match(text, match.end()) and not OVER_IT.search(text[: match.start()]):
            yield Thing(*match.span(), match.end(), "note")
    for kind, pattern in THINGS:
        for match in pattern.finditer(text):
            yield Thing(*match.span(), match.end(), kind)


# How it is denied ----------------------------------------------------------------------------------------

SO_PUT = pattern_of(
    r"\b(?:one|the|a|what|only)\b[^.;:,]{0,40}?(?:\bnever\b|\bnot\b|n't\b|\b(?:missing|absent|left out)\b)"
    r"[^.;:,]{0,50}? (?:is|are)(?: the| an?)? $"
    r"|\b(?:none|not (?:a single )?one|neither) of (?:them|these|those|the(?:se)? (?:\w+ )?(?:notes|pitches"
    r"|tones|ones))"
    r"(?: (?:here|there))? (?:is|are)(?: ever)?(?: the| an?| its)? $"
    r"|\b(?:no|not (?:a|one)) (?:single )?(?:note|pitch|tone)(?: (?:here|in it|of it|in (?:this"
    r"|the) \w+))? is(?: the| an?| its)? $"
)
NO = pattern_of(
    r"\b(?:no|not an?|not any|not one|without(?: an?| any| so much as an?)?|zero|minus an?)(?: single| real| actual)? $"
)
IS_MISSING = pattern_of(
    r"(?: of (?:the |that )?[a-g][\w -]{0,20}?)?(?: (?:is|are|was|'s))?(?: (?:\w+ly|simply|just"
    r"|nowhere))* (?:missing|absent|nowhere)\b"
    r"|(?: \w+){0,3}? (?:never|doesn't|does not|don't)(?: even| ever| once)? (?:appears?|comes?(?! (?:to"
    r"|back|home))"
    r"|happens?|occurs?|shows?|sounds?|turns?) ?(?:up|in)?\b"
)
NOT_MEANT = pattern_of(
    r"\b(?:until|till|except|apart from|other than|save|yet|before|at first|by itself|only|just|again"
    r"|because of|even though"
    r"|not only|no longer|any ?more|really|quite|enough|as an?|if|instead|would|could|should|wait|sorry"
    r"|miss|bass|piano"
    r"|left|grip|voicing|more|further|band|resol\w+|reach\w* (?:back|out)|accent\w*|far|cold|lonely|in common)\b"
)
SO_SOON = pattern_of(r"\b(?:but|and|so|while|then)\b")
# Where in its bars it is said not to be: none of what is known by them.
SOMEWHERE_IN_IT = pattern_of(
    r"\b(?:first|last|half(?!-dim| dim)|start|beginning|end|top|bottom|middle|high|low|higher|lower|strong"
    r"|weak|downbeats?|offbeats?"
    r"|beats?|on one|on (?:the )?(?:two|three|four)|at once|twice|voicing|shape|triad|left hand|bass|held"
    r"|long|tied)\b"
)


def denied(told: Told) -> Iterator[Untrue]:
    """Degrees, notes, tensions, chromatic notes and long notes that are said not to be there, and are."""
    for thing in _things(told):
        words = _denial(told, thing)
        if words is None or not _is_unqualified(told, *words):
            continue
        found = _in_all(told, thing, words)
        if found is not None:
            yield _false(told, words, found)
    yield from _nothing_longer(told)


def _denial(told: Told, thing: Thing) -> tuple[int, int] | None:
    """The words [first, last) that deny a thing, with it."""
    begin, end = told.part_of(thing.first)
    before, after = told.text[begin : thing.first], told.text[thing.last : end]
    for pattern in (SO_PUT, NO, NOT_THERE):
        match = pattern.search(before)
        if match is not None:
            return begin + match.start(), thing.end
    for pattern in (IS_MISSING, IS_OUT):
        match = pattern.match(after)
        if match is not None:
            return thing.first, thing.last + match.end()
    return None


def _is_unqualified(told: Told, first: int, last: int) -> bool:
    begin, end = told.part_of(first)[0], max(told.part_of(last - 1)[1], last)
    part = SO_SOON.sub("", told.text[begin : begin + 6]) + told.text[begin + 6 : end]
    if pattern_of(NOT_DENIED).search(part):
        return False
    return not NOT_MEANT.search(part) and not NOT_MEANT.search(told.text[last:])


def _in_all(told: Told, thing: Thing, words: tuple[int, int]) -> Note | None:
    """A note that is what is denied, if there is one in every stretch that may be meant."""
    begin, end = told.part_of(words[0])[0], max(told.part_of(words[1] - 1)[1], words[1])
    if SOMEWHERE_IN_IT.search(told.text[begin : words[0]] + "," + told.text[words[1] : end]):
        return None
    stretches = stretches_told(told, *words)
    found = [next((n for n in each if _is_it(told, thing, n)), None) for each in stretches]
    return found[0] if found and all(found) else None


def _false(told: Told, words: tuple[int, int], note: Note) -> Untrue:
    what = f"there is one at {told.music.position(note)}"
    return Untrue(*words, what, SAY_WITHOUT, target=told.music.target_of(note))


# Whether a note is it ------------------------------------------------------------------------------------


def _is_it(told: Told, thing: Thing, note: Note) -> bool:
    """Whether a note is the thing by every fair reading."""
    if thing.kind == "note":
        return note.written.name == named_note(told.sentence.written[thing.first : thing.last])
    if thing.kind == "leading tone":
        return (note.written.name.pitch_class + 1) % OCTAVE == named_note(thing.root).pitch_class
    if thing.kind == "chromatic":
        return is_chromatic(told, note)
    if thing.kind in LEAST_LEAP:
        return _is_leapt_to(told, note, LEAST_LEAP[thing.kind])
    return _is_of_chord(told, thing, note)


def _is_leapt_to(told: Told, note: Note, least: int) -> bool:
    """Whether a note is so far from the one before it in its bar, with no rest between them."""
    before = told.note_before(note)
    if before is None or before.bar != note.bar or before.onset + before.held < note.onset:
        return False
    return abs(note.sounding.midi - before.sounding.midi) >= least


def _is_of_chord(told: Told, thing: Thing, note: Note) -> bool:
    """Whether a note is a degree, or a tension, of the chord that it sounds over."""
    finding = told.music.finding(note)
    if finding.chord is None or finding.degree is None or finding.chord not in _in_force(told, note):
        return False
    if thing.kind == "outside":
        return not is_chord_tone(finding.degree, finding.chord) and finding.role in ("tension", "suspension")
    moved = note.written.name.pitch_class - note.sounding.name.pitch_class
    root = (finding.chord.root.pitch_class + moved) % OCTAVE
    names = named_degrees(told.text[thing.first : thing.last])
    names = ("5",) if names[:1] == ("5",) else names
    return finding.degree in names and (not thing.root or root == named_note(thing.root).pitch_class)


def _in_force(told: Told, note: Note) -> list[object]:
    return [change.chord for change in told.music.changes_in(Span(note.onset, note.onset))]


MAJOR_KEY = (0, 2, 4, 5, 7, 9, 11)


def is_chromatic(told: Told, note: Note) -> bool:
    """Whether a note is outside its key, its chord and what is usual over that."""
    finding = told.music.finding(note)
    bar = told.music.score.bars[note.bar]
    tonic = 7 * bar.key.fifths % OCTAVE
    if (note.written.name.pitch_class - tonic) % OCTAVE in MAJOR_KEY:
        return False
    natural = ("1", "9", "3", "b3", "11", "5", "13", "6", "7", "b7")
    return finding.degree is not None and finding.degree not in natural


# Nothing longer ------------------------------------------------------------------------------------------

NOTHING_LONGER = pattern_of(
    rf"\b(?:nothing|no (?:single )?(?:note|value|pitch)|none of (?:them|these|the notes)|not (?:a"
    rf"|one)(?: single)? note|never"
    rf"(?: \w+)?(?: anything)?)\b[^.;,:]{{0,60}}? (?P<way>longer|shorter|slower|quicker|faster) than"
    rf" (?:(?P<value>(?:an? |the )?{VALUE})|(?P<quantity>{QUANTITY}))"
)


def _nothing_longer(told: Told) -> Iterator[Untrue]:
    """A note that is longer, or shorter, than nothing is said to be."""
    for match in NOTHING_LONGER.finditer(told.text):
        if NOT_MEANT.search(match[0]) or NOT_MEANT.search(told.text, match.end()):
            continue
        part = told.text[told.part_of(match.start())[0] : match.start()]
        if SOMEWHERE_IN_IT.search(part):
            continue
        longer = match["way"] in ("longer", "slower")
        beyond = [_beyond(told, match, each, longer=longer) for each in stretches_told(told, *match.span())]
        if beyond and all(beyond):
            note = beyond[0][0]
            at = told.music.position(note)
            said = value_said(note.held, told.music.score.bars[note.bar].metre)
            yield Untrue(*match.span(), f"there is {said} at {at}", SAY_WITHOUT, target=at)


def _beyond(told: Told, match: re.Match[str], stretch: Sequence[Note], *, longer: bool) -> Sequence[Note]:
    """The notes of a stretch that are longer (or shorter) than is said, as they are printed and as they sound."""
    found = []
    for note in stretch:
        metre = told.music.score.bars[note.bar].metre
        said = match["value"] and value_of(pattern_of(r"^(?:an?|the) ").sub("", match["value"]))
        length = said or quantity_of(match["quantity"], metre)
        if (min(note.held, note.duration) > length) if longer else (max(note.held, note.duration) < length):
            found.append(note)
    return found
