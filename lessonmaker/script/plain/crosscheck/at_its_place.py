"""What is said to be at a place, and is not there: "A, the sharp eleven, arrives on beat four", "the F in bar six".

A place is said of the notes that are named in its part of the sentence, or of those before it; it is false where none
of them is there, nor anything else that is spoken of. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.bearers import NAMES, bears, notes_near
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.stance_words import DENIALS, UNREAL
from lessonmaker.script.plain.verbs import LANDING, LEANING, STARTING
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = ["at_its_place"]

EIGHTH = Fraction(1, 2)
# What begins at its place, and does not only sound there.
BEGINS = pattern_of(r"\b(?:arriv|appear|attack|come|coming|enter|hit|land|show|start|strike|struck)\w*")
# What leads to a place where something is; another word makes it a way there, or how long it lasts.
ON = pattern_of(
    r"\b(?:on(?:to)?|at|hits?|falls?|for|in)(?: (?:the|that|its|your|our|very|right|exactly|just))* $"
)
IN = pattern_of(r"\b(?:in|of|inside|during)(?: (?:the|that|this|our|your))? $")
OVER = pattern_of(r"\b(?:over|against|above|on top of)(?: (?:the|that|this|our|an?))? $")
GOES_THERE = pattern_of(r"(?:in|on)?to\b|(?:from|until|till|towards?|through|past)\b")
RELATIVE = pattern_of(r"\b(?:before|after|next|previous|following|last|other)\b")
# "A suspended four that resolves on beat three": there is what it goes to.
LEAVES_THERE = pattern_of(
    r"\b(?:resolv|relax|melt|mov|step|slid|slip|sigh|giv)(?:e|es|ed|ing|s|t|ping|ped|ting)?\b"
    r"(?: (?!to\b)(?:way|down|up|home|away|only|just|right|late))* (?:on|at)(?: (?:the|that))? $"
)
# A place that is what has or brings a note: "beat four gives us the root".
AS_SUBJECT = pattern_of(r"^\W*(?:(?:and|but|so|now|here|then),? )*$")
HAS_IT = pattern_of(
    r"(?:'s| is| was| has| had| brings?| gives?| gets?| holds?| sees?| takes?| carries)(?: (?:us|you))?"
    r"(?: (?:up|down|back))?(?: to)?(?: [\w-]+){0,3} "
)
# What else may be at a place, or be said of one: a rest, a passage, a note that only sounds on, one of several.
OTHER = pattern_of(
    r"\b(?:rests?|resting|silen\w+|breath\w*|pause\w*|gap|space|empty|rhythm|nothing|two-fives?|enclosures?|arpeggi\w+"
    r"|sequences?|triads?|triplets?|run|scale|line|phrase|idea|figure|motif|pattern|shape|lick|eighths|quarters|sixteenths"
    r"|leaps?|jumps?|drops?|past|still|holds?|held|rings?|ringing|tied|sustain\w*|accent\w*|again"
    r"|absen\w+|left|leaves?|leaving|other|another|same|both|each|every|all|twice|like|or)\b"
)
UNDONE = pattern_of(rf"^\W*(?:had|were) |{UNREAL}|\bresolv(?:e|es|ing) (?:the|that|this|our|its)\b")
# What sounds already before its chord does.
SUSPENDED = pattern_of(r"sus")
# "Settles on one": a note, and no beat.
ENDS_ON = pattern_of(rf"\b(?:{LANDING}|{LEANING}|{STARTING})(?: \w+)? on $")
BARE = pattern_of(rf"(?:the )?{NUMBER}")
IT = pattern_of(r"\b(?:it|they|that|which)\b")
WHICH = pattern_of(r",? (?:which|that)\b")


def at_its_place(told: Told) -> Iterator[Untrue]:
    """The places at which none of the notes is struck that are said to be there."""
    for place in told.places:
        if place.pointed or not _is_where(told, place):
            continue
        claims = _said_of(told, place)
        if claims and _is_said(told, claims, place) and not _is_there(told, claims, place):
            yield _elsewhere(told, claims[-1], place)


def _is_where(told: Told, place: Place) -> bool:
    """Whether the words before a place say that something is there, and not that it goes there or lasts so long."""
    before, words = told.text[: place.first], told.text[place.first : place.last]
    if GOES_THERE.match(words):
        return False
    if place.level == "chord":
        named = any(place.first <= chord.first < place.last for chord in told.chords_named)
        return named and bool(OVER.search(before) or OVER.match(f"{words.partition(' ')[0]} "))
    if place.level == "bar":
        return IN.search(before) is not None and not RELATIVE.search(words)
    if ON.search(before) or words.startswith(("on ", "at ", "in ")):
        ends = BARE.fullmatch(words) and ENDS_ON.search(before)
        return not ends and LEAVES_THERE.search(before) is None
    return _has_it(told, place)


def _has_it(told: Told, place: Place) -> bool:
    """Whether a place is said to have, or to bring, the note that is named next."""
    after = next((claim for claim in told.named if claim.first >= place.last), None)
    if after is None or not AS_SUBJECT.match(told.text[: place.first]):
        return False
    return HAS_IT.fullmatch(told.text[place.last : after.first]) is not None


def _said_of(told: Told, place: Place) -> list[Claim]:
    """The notes that a place may be said of: those of its part of the sentence, or all before it."""
    first, last = told.part_of(place.first)
    named = [claim for claim in told.named if claim.kind in NAMES]
    notes = named if place.level == "beat" else [claim for claim in named if not _is_chord(told, claim)]
    inside = [claim for claim in named if first <= claim.first < last]
    if inside and not any(claim in notes for claim in inside):
        return []  # the chord is at it
    inside = [claim for claim in inside if claim in notes]
    before = [claim for claim in named if claim.last <= place.first]
    if inside and IT.search(told.text, first, last):
        return sorted({*inside, *before}, key=lambda claim: claim.first)
    if not inside and (told.shown_at(place.first, place.last) or _has_a_chord(told, first, place)):
        return []  # it is a chord, or what was read, that is there
    if inside or place.level != "beat":
        return inside
    return before[-1:] if _is_of_it(told, before) else before


def _has_a_chord(told: Told, first: int, place: Place) -> bool:
    """Whether a chord is named between the beginning of a part and a place, or by it."""
    return any(first <= each.first < place.last for each in told.chords_named)


def _is_chord(told: Told, claim: Claim) -> bool:
    """Whether a letter may be that of a chord: "home to A flat in bar eight"."""
    return claim.kind == "note" and named_note(claim.name).pitch_class in {
        change.written.root.pitch_class for change in told.music.score.changes if change.written is not None
    }


def _is_of_it(told: Told, claims: list[Claim]) -> bool:
    """Whether what comes after the last of some names is said of it alone: "the A, which shows up on beat three"."""
    return bool(claims) and WHICH.match(told.text, claims[-1].last) is not None


def _is_said(told: Told, claims: list[Claim], place: Place) -> bool:
    """Whether it is plainly said that single notes are at a place."""
    if any(each.count or each.stance == "denied" for each in claims):
        return False
    if any(each.kind == "degree" and each.name for each in claims):
        return False
    first, last = told.part_of(place.first)
    start, end = min(first, claims[0].first), max(last, claims[-1].last)
    around = f"{told.text[first : place.first]} {told.text[place.last : last]}"
    denied = pattern_of(DENIALS).search(told.text[start:end]) or UNDONE.search(told.text)
    if place.level == "chord" and any(SUSPENDED.match(told.text, each.first) for each in claims):
        return False
    return not denied and not OTHER.search(around) and told.is_plain(start, end)


def _is_there(told: Told, claims: list[Claim], place: Place) -> bool:
    """Whether a note that is named, or anything else that is spoken of, is at a place."""
    here = [note for note in notes_near(told) if _is_at(told, note, place)]
    if any(bears(note, claim, told) for claim in claims for note in here):
        return True
    if _is_of_it(told, claims):
        return False
    first = min(told.part_of(place.first)[0], claims[0].first)
    letters = [letter for letter in letters_in(told.sentence) if first <= letter.first]
    names = {(claim.first, claim.last) for claim in told.named if claim.kind in NAMES}
    lit = [each for each in told.shown if (each.first, each.last) not in names]
    return any(bears(note, letter, told) for letter in letters for note in here) or any(
        note in here for each in lit for note in each.notes
    )


def _is_at(told: Told, note: Note, place: Place) -> bool:
    if place.spans:
        until = note.onset + note.held
        return any(note.onset < span.end and span.start < until for span in place.spans)
    if place.test is None:
        return False
    begins = BEGINS.search(told.text, *told.part_of(place.first)) is not None
    here = [note] if begins else _while_it_sounds(told, note)
    return any(place.test(each, told.music) for each in here)


def _while_it_sounds(told: Told, note: Note) -> Iterator[Note]:
    """A note as if it were struck at each eighth while it sounds in its bar."""
    bar = told.music.score.bars[note.bar]
    onset = note.onset
    while onset < max(min(note.onset + note.held, bar.end), note.onset + EIGHTH):
        yield replace(note, onset=onset)
        onset += EIGHTH


def _elsewhere(told: Told, claim: Claim, place: Place) -> Untrue:
    """What is wrong, from the place to the note in its part of the sentence: either may be what was meant."""
    name, said = (told.sentence.words(each.first, each.last) for each in (claim, place))
    start, end = told.part_of(place.first)
    together = start <= claim.first < end
    first = min(claim.first, place.first) if together else place.first
    last = max(claim.last, place.last) if together else place.last
    own = next((note for note in told.notes_in(told.spans) if bears(note, claim, told)), None)
    if own is None:
        return Untrue(first, last, f"there is no {name} at “{said}”", "say what is there")
    at = told.music.position(own)
    return Untrue(first, last, f"the {name} is at {at}, not at “{said}”", "say where it is", at)
