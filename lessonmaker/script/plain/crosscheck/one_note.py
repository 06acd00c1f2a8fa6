"""Two names of one note that do not agree: "G, which is the fifth of E flat seven", where it is the third.

A note may be named by its letter, by its degree, or by what it does ("the long note"). Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.adjectives import ADJECTIVE
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.bearers import NAMES, bears, notes_near
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.told import Shown, Told, Untrue
from lessonmaker.script.plain.motion import without_places
from lessonmaker.script.plain.note_names import OF_OTHERS, named_note
from lessonmaker.script.plain.of_two import is_pointed_out
from lessonmaker.script.plain.stance_words import DENIALS
from lessonmaker.script.plain.verbs import MOVING, inflected

__all__ = ["one_note"]

ADVERB = (
    r"(?:just|only|really|simply|actually|still|now|here|there|always|in fact|of course|indeed|suddenly|soon)"
)
ARTICLE = rf"(?:the|its|our|your|a|an|that)(?: {ADJECTIVE}){{0,2}} ?"
BE = r"(?:is|was|'s|'re|are|being)"
# What a note is, or does, as its other name.
SOUND_AS = inflected(
    "sound, ring, sit, stand, hang, serve, act, function, work, act, stay, remain, hold, count, land, linger, come in, "
    "come out, come across, read, hear, treat, play, use, hold on, arrive, float, glow, hum, rest"
)
TURN_INTO = inflected("turn into, become, make, form, end up, give us, give you, change into, represent")
IT = r"(?:it|that|this|which|he|she)"
IS_IT = (
    rf"(?:(?:and|so|where|because|since|as|but) )?(?:{IT} ?)?(?:{ADVERB} )?{BE} (?:{ADVERB} )?(?:{ARTICLE})?"
)
LINKS = (
    rf",? as (?:the|its|our|your|an?) (?:{ADJECTIVE} )?",
    rf",? \((?:{ARTICLE})?",
    rf",? (?:or|aka|also known as|in other words|i\.e\.),? {ARTICLE}",
    rf"[,;:] (?:{ADVERB} )?(?:{ARTICLE})?",
    rf"[,;:]? ?{IS_IT}",
    rf"[,;:]? (?:(?:and|so) )?(?:{IT} )?(?:{ADVERB} )?{TURN_INTO} (?:{ADVERB} )?{ARTICLE}",
    rf"[,;:]? (?:(?:and|so) )?(?:{IT} )?(?:(?:is|was|gets|gets) )?(?:{ADVERB} )?{SOUND_AS}(?: {ADVERB})? as {ARTICLE}",
)
LINK = pattern_of("|".join(LINKS))
# After what is told of a note where it stands: "C opens the bar, and that's the fifth of A minor".
ELSEWHERE = (
    rf"{MOVING}|up|down|to|into|from|then|next|after|before|until|while|with|another|others?|above|below|over|under"
    r"|back|chords?|harmony|key|bass|line|phrase|and|but|or|between|instead|so|where|when|if|like|as|than"
)
LATER = pattern_of(
    rf"(?: (?:opens?\b|(?!(?:{ELSEWHERE})\b)[a-z'&-]+)){{1,7}}(?:,(?: (?:and|so|where|which))? {IT}(?: {BE}|'s|'d be) "
    rf"|,?(?: (?:and|so|where|which))?(?: {IT})?(?: (?:then|suddenly|now))?(?: has)?"
    rf" (?:{TURN_INTO}(?: (?:it|this|that))?|{SOUND_AS} as|{BE}) )"
    rf"(?:{ADVERB} )?{ARTICLE}"
)
# From what a note does to its name: "the long note on D, so it's the safe old fifth", "a quarter-note G".
OF_WHAT_IT_DOES = pattern_of(
    rf"(?: (?:on|at) [a-g](?:[ -](?:flat|sharp|natural))?)?(?:{LINK.pattern})| on (?:the |a )?| "
)
# What is lit that one note does, or one of each bar.
DOING = ("line", "standout")
# From a name to what its note does: "comes home on G and just sits there for two beats".
AND_DOES = pattern_of(rf"(?: and)?(?: {ADVERB})? ")
DOES = pattern_of(inflected("sit, ring, last, hold, sustain, linger, hang"))
# "We enclose the fifth, G above and E below."
BESIDE = pattern_of(
    r" (?:(?:just|right|from|to) )?(?:above|below|over|under|underneath|on (?:top|each side|either side))\b"
)
# "The perfect fourth over G flat": of that chord.
OVER_A_CHORD = pattern_of(r" over (?:the |that |this )?(?:[a-g](?![\w'])|chord)")
BESIDE_IT = pattern_of(
    r"\b(?:above|below|over|under|underneath|after|before|next to|beside) (?:the|that|this|our|its|an?) $"
)
LISTED = pattern_of(r"[,;:] ")
OWNS = pattern_of(
    r"'s (?!the\b|our\b|its\b|your\b|an?\b|that\b)(?:[a-z]+ )?"
)  # "B flat's thirteenth" is another note
# What is passed over between two names: the chord of the first, the bar line over which it is held.
OF_CHORD = pattern_of(r"^ (?:of|in|over) (?:the|this|that|our|its) (?:[\w-]+ )?(?:chord|harmony)\b")
TIED = pattern_of(
    r" (?:(?:is|was|gets) )?(?:tied|held|carried|hangs|holds|rings) (?:over|on|across)(?= (?:and|so|where)\b)"
    r"| (?:in|on|over|across|through|past)?(?:to)? (?:the |that )?"
    r"(?:bar ?line|(?:next|following|new) (?:bar|chord|harmony))\b"
)
# Between the names of a row: "A flat to G".
A_ROW = pattern_of(r",? ?(?:(?:and|then|to|or|up to|down to|back to) )*(?:(?:the|an?|its|that) )?")
# What is left of "just before beat three".
BY_A_PLACE = pattern_of(
    r" (?:just|right|only)? ?(?:before|after|by|around|until|through|into)(?= (?:is|was|being)\b|'s\b|,)"
)
OF = pattern_of(
    r" (?:of|over|in|on|against|above|for) (?:(?:the|this|that|our|an?) )?(?:underlying |current )?"
)
ELIDED = pattern_of(r" (?:the|its|our|an?) ")  # "the A is the sharp nine, E the seventh"
TODO = "say what the note is"


def one_note(told: Told) -> Iterator[Untrue]:
    """The second of two names that are given to one note, where no note in sight bears both."""
    names = [claim for claim in told.named if claim.kind in NAMES]
    runs = [list(run) for _, run in groupby(names, key=lambda claim: claim.kind)]
    for at, (before, after) in enumerate(pairwise(runs)):
        if at + 2 < len(runs) and ELIDED.fullmatch(told.text, after[-1].last, runs[at + 2][0].first):
            continue
        listed = len(after) > 2 and before[-1].kind == "note" and _is_a_root(told, before[-1])
        if not listed and _is_same(told, before[-1], after[0]) and not _agree(told, before, after):
            yield _disagreement(told, before[-1], after[0])
    for shown in told.shown:
        is_goal = told.text[: shown.first].endswith((" to ", " to the "))
        if not is_goal and not any(shown.first < claim.last and claim.first < shown.last for claim in names):
            yield from _of_what_it_does(told, shown, names)


def _is_a_root(told: Told, name: Claim) -> bool:
    """Whether a letter may be that of a chord in sight, whose degrees are told: "D flat, seventh, fifth, third"."""
    root = named_note(name.name).pitch_class
    changes = [change for span in told.spans for change in told.music.changes_in(span)]
    return any(change.written is not None and change.written.root.pitch_class == root for change in changes)


def _is_same(told: Told, one: Claim, other: Claim) -> bool:
    """Whether two names next to each other are said to be one note's."""
    if not (_is_single(one) and _is_single(other)):
        return False
    between = _between(told, one.last, other.first)
    said = not OWNS.fullmatch(between) and (LINK.fullmatch(between) or LATER.fullmatch(between))
    over = other.kind == "degree" and OVER_A_CHORD.match(told.text, other.last)
    beside = (BESIDE.match(told.text, other.last) and not over) or BESIDE_IT.search(told.text[: one.first])
    if LISTED.fullmatch(between) and told.does_something(other.last):
        return False  # "it rises to the ninth, D comes next"
    pointed = is_pointed_out(told.text[one.last : other.first], told.text[other.last :])
    return bool(said) and not beside and not pointed and _is_fact(told, one.first, other.last)


def _between(told: Told, first: int, last: int) -> str:
    """The words from one name to the next without places and bar lines, with a space at their end."""
    words = pattern_of(r"\s+").sub(" ", without_places(told.sentence, first, last, told.places))
    words = TIED.sub("", OF_CHORD.sub("", BY_A_PLACE.sub("", words)))
    return pattern_of(r"\s+").sub(" ", f"{words} ")


def _is_single(claim: Claim) -> bool:
    """Whether a name is that of one note, and not one of the key's degrees."""
    return not claim.count and not (claim.kind == "degree" and claim.name)


def _is_fact(told: Told, first: int, last: int) -> bool:
    return told.is_plain(first, last) and pattern_of(DENIALS).search(told.text[first:last]) is None


def _agree(told: Told, before: Sequence[Claim], after: Sequence[Claim]) -> bool:
    """Whether a note in sight bears the last of some names and one of those after it, or the first of these.

    "A flat to G, flat nine to five" names two notes by their letters, and then by their degrees. In "A flat slips down
    to G, the five" it is the last that has the one other name.
    """
    pairs = {(before[-1], other) for other in after}
    row = all(A_ROW.fullmatch(told.text, one.last, other.first) for one, other in pairwise(before))
    if len(after) > 1 or row:
        pairs |= {(one, after[0]) for one in before}
    return any(_is_one(told, *pair) for pair in pairs)


def _is_one(told: Told, one: Claim, other: Claim) -> bool:
    letter, degree = sorted((one, other), key=lambda claim: NAMES.index(claim.kind))
    roots = _roots(told, degree)
    return any(bears(note, letter, told) and bears(note, degree, told, roots) for note in notes_near(told))


def _disagreement(told: Told, one: Claim, other: Claim) -> Untrue:
    letter, degree = sorted((one, other), key=lambda claim: NAMES.index(claim.kind))
    words = told.sentence.words(degree.first, degree.last)
    own = [note for note in told.notes_in(told.spans) if bears(note, letter, told)]
    if not own:
        return Untrue(
            other.first, other.last, f"there is no {letter.name} in sight that is the {words}", TODO
        )
    return _not_so(told, own[0], degree, other.first, other.last)


def _not_so(told: Told, note: Note, name: Claim, first: int, last: int) -> Untrue:
    """A note that does not bear a name."""
    at, degree = told.music.position(note), told.music.finding(note).degree
    words = told.sentence.words(name.first, name.last)
    is_it = (
        f"the {note.written.name} at {at} is the {degree}"
        if degree
        else f"the {note.written.name} is at {at}"
    )
    return Untrue(first, last, f"{is_it}, not the {words}", TODO, told.music.target_of(note))


def _roots(told: Told, degree: Claim) -> set[int]:
    """The root of the chord whose degree a note is said to be, where that chord is named."""
    of = OF.match(told.text, degree.last)
    return {
        name.root.pitch_class
        for name in told.chords_named
        if of is not None and of.start() <= name.first <= of.end()
    }


# What a note does --------------------------------------------------------------------------------------------


def _of_what_it_does(told: Told, shown: Shown, names: Sequence[Claim]) -> Iterator[Untrue]:
    """The name that is given to notes that were lit by what they do, where none of them bears it."""
    if not shown.notes or not any(
        claim.kind in DOING and claim.first < shown.last and shown.first < claim.last for claim in told.named
    ):
        return
    for name in (*names, *_other_letters(told, names)):
        if not _is_single(name) or not _names_what_does(told, shown, name):
            continue
        roots = _roots(told, name) if name.kind == "degree" else set()
        first, last = min(shown.first, name.first), max(shown.last, name.last)
        if _is_fact(told, first, last) and not any(bears(note, name, told, roots) for note in shown.notes):
            yield _not_so(told, shown.notes[0], name, name.first, name.last)


def _other_letters(told: Told, names: Sequence[Claim]) -> list[Claim]:
    """The letters that may be a note's, and were not read as one."""
    taken = [(name.first, name.last) for name in names]
    taken += [(chord.first, chord.last) for chord in told.chords_named]
    return [
        letter
        for letter in letters_in(told.sentence)
        if all(letter.last <= first or last <= letter.first for first, last in taken)
        and not OF_OTHERS.match(told.text, letter.last)
    ]


def _names_what_does(told: Told, shown: Shown, name: Claim) -> bool:
    if shown.last <= name.first:
        if LISTED.fullmatch(told.text[shown.last : name.first]) and told.does_something(name.last):
            return False
        return OF_WHAT_IT_DOES.fullmatch(_between(told, shown.last, name.first)) is not None
    beside = BESIDE_IT.search(told.text[: name.first])  # "sits above the root and lasts two beats"
    does = DOES.match(told.text, shown.first) is not None and len(shown.notes) == 1 and not beside
    return does and AND_DOES.fullmatch(told.text[name.last : shown.first]) is not None
