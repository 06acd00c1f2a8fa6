"""How often a note, a figure or a change of chord is said to come: "F comes just once", "the chord changes twice".

Common practice, no source. A note may be counted bar by bar or as a whole, and a row of one as one, unless it is said
that it comes so often and no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in, hull, overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.beside import runs_of_units
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.crosscheck.bearers import bears
from lessonmaker.script.plain.crosscheck.letters import pitch_class
from lessonmaker.script.plain.crosscheck.loose_letters import letter_rows
from lessonmaker.script.plain.crosscheck.stretch_told import bars_meant
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.durations import FEW, few_of, how_often
from lessonmaker.script.plain.vocabulary import FIGURE_KINDS

__all__ = ["comes_often"]

SAY_HOW_OFTEN = "say how often it is there"

# How often -----------------------------------------------------------------------------------------------

STRICTLY = r"(?:just|only|exactly|precisely|no more than|merely|but|a mere)"
SHOWING = (
    r"(?:appears?|comes?(?: (?:up|round|around|in|along))?|is (?:played|heard|struck|hit|touched|sounded|used|stated"
    r"|given)|shows up|turns up|occurs?|sounds?|crops up|returns?|rings out|happens|is there"
    r"|gets? (?:played|hit|struck|touched|sounded|used))"
)
OFTEN = pattern_of(
    rf"\b(?:(?:(?P<strict>{STRICTLY}) )?(?:(?P<once>once|one time)(?! (?:you|we|the|it|that|more|again)\b)"
    rf"|(?P<twice>twice)|(?P<count>{FEW})(?: separate| different)? times))\b"
    r"(?! (?:as|more|over|out|the (?:speed|length|size|value|duration)|too|a bar|per|round|around|higher|lower|again"
    r"|faster|slower)\b)"
)
NO_MORE = pattern_of(
    r",? (?:and|but) (?:no more|not one more|never again|not again|that(?:'s| is) (?:it|all)|nothing (?:more|else))\b"
)
COMES = pattern_of(rf"\b(?:{SHOWING})\b[^,;:.]{{0,16}}$")
AGAIN = pattern_of(
    r"\b(?:again|back|repeat\w*|more|another|resolv\w+|fall\w*|ris\w+|to and fro|each|every|both)\b"
)
OF_AN_OCTAVE = pattern_of(r"\b(?:high|low|top|bottom|upper|lower|octaves?)\b")


@dataclass(frozen=True)
class Often:
    """How often something is said to come, at [first, last) of a sentence; `strictly` so often and no more."""

    first: int
    last: int
    count: int
    strictly: bool


def _said(told: Told) -> Iterator[Often]:
    for match in OFTEN.finditer(told.text):
        no_more = NO_MORE.match(told.text, match.end())
        strictly = bool(match["strict"] or no_more)
        ends = pattern_of(r"$|[,.;:!]| in\b").match(told.text[match.end() :]) is not None
        before = told.text[: match.start()]
        if match["once"] and not (strictly or (ends and COMES.search(before)) or CHANGING.search(before)):
            continue  # "once the chord changes"
        count = 1 if match["once"] else 2 if match["twice"] else few_of(match["count"])
        yield Often(match.start(), no_more.end() if no_more else match.end(), count, strictly)


def comes_often(told: Told) -> Iterator[Untrue]:
    """What is said to come so often, and comes more often or less."""
    for often in _said(told):
        for check in (_changes, _rows, _figures, _notes):
            found = list(check(told, often))
            yield from found
            if found:
                break


# A change of chord ---------------------------------------------------------------------------------------

CHANGING = pattern_of(
    r"\b(?:chords?|harmony|changes)\b[^,;:.]{0,12}? (?:changes?|moves?|shifts?|switch(?:es)?|turns? over)\b"
    r"[^,;:.]{0,24}$"
)
MID_BAR = pattern_of(
    r"\b(?:mid-?bar|in the middle of (?:a|the) bar|half-?way|inside (?:a|the) bar|within (?:a|the) bar)\b"
)


def _changes(told: Told, often: Often) -> Iterator[Untrue]:
    """Changes of chord within the bars, from one of them to the next, or only inside them."""
    first, last = told.part_of(often.first)
    match = CHANGING.search(told.text[first : often.first])
    spans = bars_meant(told, often.first, often.last) or tuple(told.spans)
    if match is None or AGAIN.search(told.text[first : often.first]):
        return
    span = hull(spans)
    onsets = [each.span.start for each in told.harmony.within(span) if each.span.start > span.start]
    if MID_BAR.search(told.text[first:last]):
        starts = {bar.start for bar in told.music.score.bars}
        onsets = [onset for onset in onsets if onset not in starts]
    over_a_line = len(told.music.bars_in(spans)) > 1
    more = often.count > len(onsets) + (not over_a_line)  # a bar's own chord may be a change
    if more or (often.strictly and often.count < len(onsets)):
        yield _untrue(told, often, "the chord changes", len(onsets))


def _untrue(told: Told, often: Often, what: str, count: int) -> Untrue:
    what = f"{what} {how_often(count)}"
    fact = told.is_fact(often.first, often.last, COMES_ROUND)
    return Untrue(often.first, often.last, what, SAY_HOW_OFTEN, meant=fact)


COMES_ROUND = r"\b(?:com(?:es?|ing)|go(?:es|ing)?) around\b"


# Notes in a row, and figures ------------------------------------------------------------------------------

FIGURE = pattern_of(
    r"\b(?:cells?|shapes?|figures?|motifs?|licks?|patterns?|ideas?|loops?|groups?|phrases?|fragments?|gestures?|sequences?"
    r"|riffs?|statements?|three|five)\b"
)


def _rows(told: Told, often: Often) -> Iterator[Untrue]:
    """Letters in a row that come so often, and no more, as a figure."""
    rows = [row for row in letter_rows(told.sentence) if len(row) > 2 and row[-1].last <= often.first]
    if not rows:
        return
    row, spans = [pitch_class(letter) for letter in rows[-1]], bars_meant(told, often.first, often.last)
    notes = told.music.line_in(hull(spans or told.spans))
    places = [_is_row(notes[at : at + len(row)], row) for at in range(len(notes) - len(row) + 1)]
    count = sum(places)
    if count and (often.count > count or (often.strictly and often.count < count)):
        yield _untrue(told, often, "that is there", count)


def _is_row(notes: Sequence[Note], row: Sequence[int]) -> bool:
    return [note.written.name.pitch_class for note in notes] == list(row)


def _figures(told: Told, often: Often) -> Iterator[Untrue]:
    """A figure that comes again at once, and not so often."""
    first = told.part_of(often.first)[0]
    words = told.text[first : often.first]
    if not FIGURE.search(words) or ANOTHER.search(words):
        return
    spans = bars_meant(told, often.first, often.last)
    runs = [run for span in spans for run in runs_of_units(told.music, span)]
    counts = {count for run in runs for count in run.counts}
    for device in told.music.analysis.devices:
        if device.kind in FIGURE_KINDS and any(overlap(device.span, span) > 0 for span in spans):
            counts.add(len(device.groups))
    if counts and (often.count > max(counts) or (often.strictly and often.count < min(counts))):
        yield _untrue(told, often, "it comes", max(counts))


ANOTHER = pattern_of(r"\b(?:again|back|more|another|each|every|both)\b")


# One note ------------------------------------------------------------------------------------------------

A_CHORD = pattern_of(
    r"\b(?:chords?|shapes?|figures?|cells?|motifs?|licks?|patterns?|fall\w*|ris\w+|resolv\w+)\b"
)
DOES = pattern_of(rf" {SHOWING}\b")
# What comes has been named before: "it to us twice", "gets played just once".
IT = pattern_of(
    rf"^\W*(?:and |but |which |that )?(?:is |gets? |{SHOWING})|\b(?:it|that one|this one|that note|this note)\b"
)


def _notes(told: Told, often: Often) -> Iterator[Untrue]:
    """A note that is named, where no count of it makes so many."""
    first, last = told.part_of(often.first)
    around = told.text[first:last]
    if AGAIN.search(around) or A_CHORD.search(around):
        return
    name = _subject(told, often, first, last)
    if name is None:
        return
    strictly = often.strictly and not OF_AN_OCTAVE.search(around)
    counts = _counts(told, name, often.first, strictly=strictly)
    if counts and often.count not in counts:
        words = told.sentence.words(name.first, name.last)
        yield _untrue(told, often, f"{words} is there", max(counts))


def _subject(told: Told, often: Often, first: int, last: int) -> Claim | None:
    """The note that comes so often: the only one that is named in the part, or else the last one before it."""
    letters = [letter for row in letter_rows(told.sentence) for letter in row]
    inside = [each for each in letters if first <= each.first < last]
    doing = [
        each for each in inside if DOES.match(told.text, each.last)
    ]  # "E sounds twice, with a G between"
    meant = doing or inside
    if meant:
        return meant[0] if len({each.name for each in meant}) == 1 else None
    before = [each for each in letters if each.last <= first]
    return before[-1] if before and IT.search(told.text[first : often.first]) else None


def _counts(told: Told, name: Claim, at: int, *, strictly: bool) -> set[int]:
    """How often a note may be said to come: bar by bar or as a whole, and not `strictly` in one octave, or in a row."""
    spans = told.spans_at(at)
    bars = [
        Span(bar.start, bar.end)
        for span in [*spans, *told.spans]
        for bar in (told.music.score.bars[index] for index in bars_in(told.music.score, span))
    ]
    counts = set[int]()
    for span in [*spans, *told.spans, *bars]:
        notes = told.notes_in([span])
        mine = [note for note in notes if bears(note, name, told)]
        counts |= {len(mine), len([note for note in mine if note.onset >= span.start])}
        if strictly:
            continue
        runs = [fits for fits, _ in groupby(notes, key=lambda note: bears(note, name, told))]
        counts.add(sum(runs))
        counts |= {len(list(same)) for _, same in groupby(sorted(note.sounding.midi for note in mine))}
    return counts - {0}
