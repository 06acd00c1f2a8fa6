"""Where the first, last, highest or longest note is said to be, and what else it is: "the longest note is the last".

The beat on which a line is said to come in counts as that of its first note. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.edge_words import Level
from lessonmaker.script.plain.crosscheck.near_edges import Scope, may_be_meant
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.ends import Side
from lessonmaker.script.plain.verbs import inflected

__all__ = ["edges_placed"]

NOTE = r"(?: (?:note|pitch|tone|one)s?\b)"
# The words for each end of what is spoken of, and what a note does that is there.
SIDES: dict[Side, tuple[str, str]] = {
    "first": (r"(?:first|opening)", r"comes? first"),
    "last": (r"(?:last|final|closing)", r"comes? last"),
    "highest": (r"(?:highest|top|topmost)", r"(?:goes|sits|reaches|lies|is) (?:the )?highest"),
    "lowest": (r"(?:lowest|bottom)", r"(?:goes|sits|reaches|lies|is) (?:the )?lowest"),
    "longest": (
        r"(?:longest|long)",
        r"(?:(?:lasts?|rings?|sounds?|stays?|is held|gets held) (?:the )?longest|gets the most time)",
    ),
    "shortest": (r"shortest", r"(?:lasts?|rings?|sounds?|is held) (?:the )?shortest"),
}
THE = r"\b(?:the|its|our|your|that|this|his|her)(?: (?:very|one|single|absolute))? "
NOUNS = {side: pattern_of(rf"{THE}{noun}{NOTE}") for side, (noun, _) in SIDES.items()}
MIDDLE = pattern_of(rf"{THE}middle{NOTE}")
# What else the note is: "is also the highest of the bar", "is the one that lasts longest".
IS = (
    r"(?: (?:on|at|in|of) [^,;:]{1,24}?)?,?(?: is|'s| was)(?: (?:also|just|really|actually|at the same time|both|by far"
    r"|easily|clearly))* "
)
THAT = r"(?:(?: is|'s)(?: also)? the one)?(?: (?:that|which|who))?(?: (?:also|really))? "
IS_ALSO = {
    side: pattern_of(
        rf"(?:{IS}(?=the (?:very )?{noun}(?:{NOTE}|\W*$|,| (?:of|in)\b))the |{THAT}(?={does}\b))"
        rf"(?P<said>{noun}{NOTE}?|{does})"
    )
    for side, (noun, does) in SIDES.items()
}
NO_SUPERLATIVE = pattern_of(r"\b(?:long|top|bottom|opening|closing) ?$")
# From a note to the beat that it is on.
COMES = inflected(
    "come, fall, land, sit, arrive, be, stand, sound, hit, strike, lie, enter, happen, occur, wait"
)
ADVERBS = r"(?: (?:right|just|only|squarely|exactly|smack|already|here|in|there|\w+ly))*"
OF_IT = r"(?:,? (?:of|in|over) [^,;:]{1,24}?)?"
IS_ON = pattern_of(rf"{OF_IT}(?: (?:that|which))?(?: {COMES}|'s){ADVERBS} (?:on|at)(?: the| that)? ")
IS_IN = pattern_of(rf"(?P<of>{OF_IT})(?: (?:that|which))?(?: {COMES}|'s){ADVERBS} (?:in|inside)(?: the)? ")
OF_THE_PIECE = pattern_of(
    r",? (?:of|in|over) (?:the|this|our|my) (?:whole |entire )?(?:piece|etude|tune|solo|study|thing|form|score|chorus)"
)
# Of a part that has a first and a last note of its own.
OF_A_PART = pattern_of(
    r" (?:of|in|from) (?:(?:the|this|that|our|its|your|each|every) )?(?!bar|measure|line|melody|phrase|tune|piece|it\b)"
)
OF_THE_BAR = pattern_of(r" (?:of|in) (?:the|this|that|the whole|the entire) (?:bar|measure)\b")
# A line that comes in, on a beat.
ENTERS = pattern_of(
    r"(?:^|[,;:] |\b(?:and|but|so|then|here|now|where|when) )"
    r"(?:(?:and|but|so|then|here|now|this time|in bar \w+),? )*"
    r"(?:(?:the |this |our |your |that )?(?:line|melody|phrase|tune|solo|music|bar(?: \w+)?|measure)|we|you|i|he|she"
    r"|every(?:body|one))"
    r"(?: (?:then|just|really|simply|only|all|both|don't wait and|\w+ly))*"
    rf"(?:(?:'s|'re|'m| is| are) (?:right |back )?in| {inflected('come')} (?:right |back |straight )?in"
    rf"| {inflected('start, begin, enter, open, kick off, set off, take off, jump in, start out')})"
    rf"{ADVERBS} (?:on|at)(?: the)? $"
)
OF_ALL: tuple[Side, ...] = ("highest", "lowest", "longest")
PICKUP = 2  # quarters before a bar with which a line may come in there
FEWEST = 3  # notes of which one is in the middle


@dataclass(frozen=True)
class End:
    """Words at [first, last) for a note at an end, and the notes that may be it."""

    first: int
    last: int
    notes: Sequence[Note]


def edges_placed(told: Told) -> Iterator[Untrue]:
    """Notes at an end of something that are said to be on a beat, or at another end, and are not there."""
    for end in _ends(told):
        yield from _on_another_beat(told, end)
        yield from _no_such_end(told, end)
    for side in OF_ALL:
        yield from _in_another_bar(told, side)
    yield from _entries(told)


def _ends(told: Told) -> Iterator[End]:
    for side, pattern in NOUNS.items():
        for match in pattern.finditer(told.text):
            yield End(*match.span(), _meant(told, *match.span(), side))
    for match in MIDDLE.finditer(told.text):
        bars = [told.music.struck_in(span) for span in told.spans_at(match.start())]
        odd = [notes[len(notes) // 2] for notes in bars if len(notes) >= FEWEST and len(notes) % 2]
        yield End(*match.span(), odd if len(odd) == len(bars) else [])


def _meant(told: Told, first: int, last: int, side: Side) -> list[Note]:
    """The notes that may be at an end: of bars, phrases and the line, and of figures where one is lit or named."""
    in_part = OF_A_PART.match(told.text, last) or any(len(each.notes) > 1 for each in told.shown)
    of_bar = OF_THE_BAR.match(told.text, last) is not None
    level: Level = "bar" if of_bar else "any" if in_part else "line"
    scope = Scope(told, tuple(told.spans_at(first)), level)
    return may_be_meant(scope, side)


def _on_another_beat(told: Told, end: End) -> Iterator[Untrue]:
    for place in told.places:
        if place.level != "beat" or place.test is None or place.first < end.last or not end.notes:
            continue
        if IS_ON.fullmatch(told.text, end.last, place.first) is None:
            continue
        if not any(place.test(note, told.music) for note in end.notes):
            yield _untrue(told, end.notes[0], end, place.first, place.last)


def _in_another_bar(told: Told, side: Side) -> Iterator[Untrue]:
    """The highest, lowest or longest note of the piece that is said to be in a bar, and is not there.

    It is that of the piece where these are the words, or where the cue shows all of it.
    """
    bars = [place for place in told.places if place.level == "bar" and place.spans and not place.pointed]
    for match in NOUNS[side].finditer(told.text):
        place = next((place for place in bars if place.first >= match.end()), None)
        said = IS_IN.fullmatch(told.text, match.end(), place.first) if place is not None else None
        if place is None or said is None:
            continue
        full = {index for index, bar in enumerate(told.music.score.bars) if bar.start >= 0}  # but the pickup
        whole = full <= set(told.bars) and not said["of"]
        if not whole and OF_THE_PIECE.fullmatch(said["of"]) is None:
            continue
        best = _most(told.music.line, side)
        if not any(span.start <= note.onset < span.end for note in best for span in place.spans):
            yield _untrue(told, best[0], End(*match.span(), best), match.start(), place.last)


def _most(notes: Sequence[Note], side: Side) -> list[Note]:
    """The notes that are the highest, lowest or longest."""
    sign = -1 if side == "lowest" else 1
    values = [note.held if side == "longest" else sign * note.sounding.midi for note in notes]
    return [note for note, value in zip(notes, values, strict=True) if value == max(values)]


def _no_such_end(told: Told, end: End) -> Iterator[Untrue]:
    """A note at one end that is said to be at another, where none that may be meant is at both."""
    lit = told.shown_at(end.first, end.last)
    ids = {note.id for note in [*end.notes, *(lit.notes if lit is not None else ())]}
    for side, pattern in IS_ALSO.items():
        match = pattern.match(told.text, end.last)
        if match is None or not end.notes or NO_SUPERLATIVE.search(match[0]):
            continue
        others = _meant(told, *match.span(), side)
        if others and not any(note.id in ids for note in others):
            yield _untrue(
                told,
                others[0],
                End(*match.span("said"), others),
                *match.span("said"),
                what=f"the {side} note",
            )


def _entries(told: Told) -> Iterator[Untrue]:
    """Beats on which the line is said to come in, where nothing begins on them."""
    if any(len(each.notes) > 1 for each in told.shown):
        return
    for place in told.places:
        if place.level != "beat" or place.test is None:
            continue
        match = ENTERS.search(told.text[: place.first])
        if match is None:
            continue
        spans = tuple(told.spans_at(place.first))
        earliest = min(span.start for span in spans) - PICKUP
        notes = [note for note in may_be_meant(Scope(told, spans, "line"), "first") if note.onset >= earliest]
        if notes and not any(place.test(note, told.music) for note in notes):
            yield _untrue(
                told,
                notes[0],
                End(match.start(), place.last, notes),
                place.first,
                place.last,
                what="the first note",
            )


def _untrue(told: Told, note: Note, end: End, first: int, last: int, what: str = "") -> Untrue:
    at, words = told.music.position(note), what or told.sentence.words(end.first, end.last)
    return Untrue(first, last, f"{words} is the {note.written.name} at {at}", "say where it is", at)
