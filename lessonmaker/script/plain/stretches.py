"""What a sentence says something of: a bar, what a chord lasts, a phrase, a figure, or each of several.

Common practice, no source. A subject is named by a noun ("each group", "the second phrase", "both dominants", "the
line over the F seven") and by the places beside it; it comes to stretches of the line, each with its notes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from itertools import pairwise

from lessonmaker.analysis.model import Device
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in, hull
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_places import is_of_family, is_of_step
from lessonmaker.script.plain.figures import FIGURES, figures_in
from lessonmaker.script.plain.likeness import mostly_in
from lessonmaker.script.plain.one_way_runs import FEWEST, runs_of_kind
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.said_often import SEVERAL
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, STARTING
from lessonmaker.script.plain.vocabulary import CHORD_WORDS, FIGURE_KINDS, ORDINALS

__all__ = ["MASK", "Stretch", "Subject", "masked", "named_last", "subjects_in"]

MASK = "§"
BREATH = Fraction(1, 2)  # quarters: the least rest that parts phrases past doubt


@dataclass(frozen=True)
class Stretch:
    """Notes in time of which something is said, and where; `sure` is False where its bounds are a matter of hearing."""

    span: Span
    notes: tuple[Note, ...]
    sure: bool = True


@dataclass(frozen=True)
class Subject:
    """What something is said of: one of some stretches, or `every` one of them.

    `edges` says that the stretches are all that may begin or end where it is said.
    """

    stretches: tuple[Stretch, ...]
    every: bool = False
    edges: bool = False


@dataclass(frozen=True)
class Said:
    """How a subject is named: by its noun, a number that picks one of several, and whether each is meant."""

    noun: str
    which: int
    every: bool
    step: str = ""


@dataclass(frozen=True)
class Where:
    """The part of the score in which a subject is looked for; `named` where the sentence says its bars."""

    music: Music
    spans: tuple[Span, ...]
    tests: tuple[Test, ...]
    named: bool
    each: bool

    def has(self, note: Note) -> bool:
        """Whether a note stands there."""
        inside = any(span.start <= note.onset < span.end for span in self.spans)
        return inside and all(test(note, self.music) for test in self.tests)

    def has_any(self, notes: Sequence[Note]) -> bool:
        """Whether one of some notes stands there."""
        return any(self.has(note) for note in notes)


# How it is named -----------------------------------------------------------------------------------------

EVERY = (
    r"(?:each(?: one)?|every(?: one| single)?|both|all|all (?:two|three|four|five|six)|either)"
    r"(?: of)?(?: (?:the|these|those|our|its|them))?(?: (?:two|three|four|five|six))?"
)
# (what is spoken of, the nouns for it). Kinds of device and figure are named as the analysis names them.
NOUNS: tuple[tuple[str, str], ...] = (
    ("bar", r"bars?|measures?"),
    ("arpeggio", r"arpeggios?|broken chords?"),
    ("cross rhythm", r"cross[- ]rhythms?|polyrhythms?"),
    ("triplet", r"triplets?"),
    ("sixteenth", r"(?:sixteenths?|semiquavers?)(?: notes?)?"),
    ("sequence", r"(?:sequence|pattern|chain)"),
    ("run", r"run|scale|crawl"),
    (
        "chromatic run",
        r"chromatic (?:run|scale|crawl|slide|slither|climb|walk|line|descent|ascent)",
    ),
    ("enclosure", r"enclosures?"),
    ("motif", r"motifs?|motives?"),
    (
        "unit",
        r"units?|groups?|groupings?|cells?|shapes?|figures?|copies|copy|repetitions?|legs?|links?|limbs?|fragments?"
        r"|segments?|threes|fives|waves?",
    ),
    (
        "phrase",
        r"phrases?|statements?|answers?|questions?|responses?|repl(?:y|ies)|ideas?|thoughts?|licks?|gestures?"
        r"|sentences?|half(?=[ -]phrase)|breaths?",
    ),
    ("chord", r"chords?|changes|harmon(?:y|ies)"),
    ("piece", r"etude|piece|study|composition|whole thing|performance"),
    ("tune", r"tune|solo|song"),
    (
        "line",
        r"lines?|melody|voice|passage|stretch|excerpt|section|we|you|i|he|she|it|they|everything|things|that|this|one",
    ),
)
NTH = "|".join([*ORDINALS, "last", "final", "closing", "opening"])
NAMED = pattern_of(
    rf"(?<![\w§])(?:(?P<every>{EVERY}) )?(?:(?P<ordinal>{NTH}) )?(?:(?!(?:{NTH}|{EVERY}|of)\b)[a-z-]+ ){{0,2}}?"
    rf"(?:{'|'.join(f'(?P<noun{index}>{words})' for index, (_, words) in enumerate(NOUNS))}"
    rf"|{'|'.join(f'(?P<chord{index}>(?:{words})s?)' for index, (words, _, _) in enumerate(CHORD_WORDS))})"
    rf"(?![\w'§-])"
)
UNIT = str([name for name, _ in NOUNS].index("unit"))
OF_WHAT = pattern_of(r" of(?: (?:this|that|the|our))? ?")
PART_OF = pattern_of(rf"(?: (?:in|at|on|from|over))? {MASK}+(?: of)? ")
OF_SEVERAL = pattern_of(rf"\b{SEVERAL}(?: (?:\w+ly|just|then|of))? *$")
EVERY_AFTER = pattern_of(r"\b(?:both|each|all)(?: of them)? *$|\b(?:both|each|all) (?:simply |just )?$")
EACH_OF = pattern_of(
    rf"\b(?:each|every one|both|all)(?: one)? of {MASK}"
)  # "each of these three bars ends on"
LAST = ("last", "final", "closing")


# "It's a sequence, and the third time it starts on the root".
NTH_TIME = pattern_of(rf"\b(?P<ordinal>{NTH}) time (?:it|that|the \w+|we|you)\b")
OF_ANOTHER = pattern_of(r"\b(?:next|following|new|other|previous) (?:chord|harmony)$")
# "The first starts on the third, the other on the root": one of several things, of which none is named here.
ALONE = pattern_of(
    r"\bthe (?:first|second|third|fourth|last|other|former|latter|next)(?: one)?(?: (?:\w+ly|just|then))*"
    rf"(?: *$| (?:{STARTING}|{ENDING})\b)"
)
A_RUN_THAT = pattern_of(r"\b(?:run|scale|crawl) that *$")


def named_last(clause: str) -> Said | None:
    """The subject that some words name last, places being masked."""
    if OF_SEVERAL.search(clause):
        return Said("several", 0, True)
    if (time := NTH_TIME.search(clause)) is not None:
        return Said("unit", _number(time["ordinal"]), False)
    matches = list(NAMED.finditer(clause))
    if len(matches) > 1 and A_RUN_THAT.search(clause):
        matches.pop()  # "a run down the scale that starts"
    if not matches:
        return Said("another", 0, False) if ALONE.search(clause) else None
    match = next((group for group in matches if _is_of_last(group, matches[-1])), matches[-1])
    if len(matches) > 1 and match["noun0"] and PART_OF.fullmatch(clause, matches[-2].end(), match.start()):
        match = matches[-2]  # "the arpeggio at the start of the bar"
    if OF_ANOTHER.search(clause[: match.end()]) or ALONE.search(clause[match.end() :]):
        return Said("another", 0, False)
    nouns = [name for index, (name, _) in enumerate(NOUNS) if match[f"noun{index}"]]
    steps = [index for index in range(len(CHORD_WORDS)) if not nouns and match[f"chord{index}"]]
    which = _number(match["ordinal"]) if match["ordinal"] else 0
    every = match["every"] is not None or EVERY_AFTER.search(clause) is not None
    return Said(nouns[0] if nouns else "chord", which, every, str(steps[0]) if steps else "")


def _number(ordinal: str) -> int:
    """Which of several an ordinal picks; -1 the last."""
    return -1 if ordinal in LAST else 1 if ordinal == "opening" else ORDINALS[ordinal]


def _is_of_last(group: re.Match[str], last: re.Match[str]) -> bool:
    """Whether a group is named, and right after it of what: "the second group of the sequence", "each bar of it"."""
    of = OF_WHAT.fullmatch(group.string, group.end(), last.start()) is not None
    return of and (
        group["noun" + UNIT] is not None or (group["every"] is not None and group["noun0"] is not None)
    )


def masked(sentence: Sentence, places: Sequence[Place]) -> str:
    """A sentence, as long as before, its places as marks."""
    text = list(sentence.text)
    for place in places:
        text[place.first : place.last] = MASK * (place.last - place.first)
    return "".join(text)


# What it comes to ----------------------------------------------------------------------------------------


def subjects_in(
    clause: str, near: Sequence[Place], shown: Sequence[Span], music: Music, edge: int | None
) -> tuple[Subject, ...]:
    """What some words may say something of: subjects of which one is meant, the likeliest first.

    Args:
        clause: the words that name it, places being masked.
        near: the places that belong to it.
        shown: what the cue shows.
        music: the score as it is heard.
        edge: 0 where its first note is spoken of, -1 its last, None otherwise.
    """
    bars = [place for place in near if place.level == "bar" and place.spans]
    named = bars[-1] if bars else None
    spans = named.spans if named is not None else tuple(shown)
    tests = tuple(place.test for place in near if place.test is not None)
    every = EVERY_AFTER.search(clause) or EACH_OF.search(clause)
    said = named_last(clause) or Said("line", 0, every is not None)
    where = Where(music, spans, tests, named is not None, named is not None and bool(named.parts))
    found = FINDERS.get(said.noun, partial(_devices, said.noun))(said, where, edge)
    return tuple(dict.fromkeys(subject for each in found for subject in _picked(said, each, where)))


def _picked(said: Said, stretches: Sequence[Stretch], where: Where) -> Iterator[Subject]:
    """The one of several that an ordinal picks, all that are spoken of together, or one of them."""
    if not stretches:
        return
    if said.which and not said.every and said.noun not in ("line", "piece", "tune"):
        at = said.which - 1 if said.which > 0 else said.which
        if -len(stretches) <= at < len(stretches):
            yield Subject((stretches[at],))
        return
    edges = said.noun in ("line", "phrase") and not where.tests and not where.named
    yield Subject(tuple(stretches), (said.every or where.each) and len(stretches) > 1, edges)


def _line(said: Said, where: Where, edge: int | None) -> Iterator[Sequence[Stretch]]:
    """The notes of the bars or chords that are named; else of the cue, or of the phrases that begin or end in it."""
    if where.tests:
        yield _runs(where)
    elif where.named:
        yield from _bars(said, where, edge) if said.every else [_spans(where)]
    else:
        yield from _of_cue(where, edge)


def _spans(where: Where) -> list[Stretch]:
    """Each of the spans as a stretch."""
    return [_stretch(where.music, span) for span in where.spans]


def _stretch(music: Music, span: Span, *, sure: bool = True) -> Stretch:
    return Stretch(span, tuple(music.struck_between(span.start, span.end)), sure)


def _bars(_: Said, where: Where, __: int | None) -> Iterator[Sequence[Stretch]]:
    """Each bar."""
    if where.tests:
        yield _runs(where)
        return
    bars = where.music.bars_in(where.spans)
    yield [_stretch(where.music, Span(bar.start, bar.end)) for bar in bars]


def _runs(where: Where, also: Test | None = None) -> list[Stretch]:
    """The notes next to each other in the line that stand where the tests say: over a chord, in half of a bar."""
    music = where.music
    runs: list[list[Note]] = []
    before: Note | None = None
    for note in music.struck:
        if not where.has(note) or (also is not None and not also(note, music)):
            before = None
            continue
        if before is None or not _is_together(before, note, music):
            runs.append([])
        runs[-1].append(note)
        before = note
    return [Stretch(Span(run[0].onset, run[-1].onset + run[-1].held), tuple(run)) for run in runs]


def _is_together(before: Note, note: Note, music: Music) -> bool:
    """Whether two notes that follow each other sound over one chord, printed once."""
    changes = [change.onset for change in music.score.changes if change.chord is not None]
    struck_anew = any(before.onset < onset <= note.onset for onset in changes)
    return not struck_anew or music.finding(before).chord == music.finding(note).chord


def _chords(said: Said, where: Where, edge: int | None) -> Iterator[Sequence[Stretch]]:
    """What chords last: of one kind or step, or any."""
    if not said.step:
        yield _runs(where)
        return
    _, how, name = CHORD_WORDS[int(said.step)]
    runs = _runs(where, is_of_family(name) if how == "family" else is_of_step(name))
    yield runs
    if not runs and not said.every:
        yield from _line(said, where, edge)


def _of_cue(where: Where, edge: int | None) -> Iterator[Sequence[Stretch]]:
    """What the cue shows, and where that is no end by itself the phrases that begin or end in it."""
    music, bars = where.music, where.music.score.bars
    span = hull(where.spans)
    one_bar = len(bars_in(music.score, span)) == 1
    outer = (edge == 0 and span.start <= bars[0].start) or (edge == -1 and span.end >= bars[-1].end)
    sure = one_bar or outer or edge is None
    phrases = [stretch for stretch in _phrase_stretches(music, edge) if _is_edge_in(stretch, where, edge)]
    if phrases and not sure:
        yield [_stretch(music, span, sure=False), *phrases]
        return
    yield [_stretch(music, span, sure=sure)]


def _is_edge_in(stretch: Stretch, where: Where, edge: int | None) -> bool:
    """Whether a phrase begins or ends in the bars that are spoken of."""
    return edge is not None and where.has(stretch.notes[edge])


def _phrase_stretches(music: Music, edge: int | None = None) -> list[Stretch]:
    """The phrases; one is sure where the end that is spoken of, or else each, is parted by a rest from the next."""
    notes = music.struck_by_id
    phrases = [tuple(notes[name] for name in phrase.notes) for phrase in music.analysis.phrases]
    ends = [each[-1].onset + each[-1].held for each in phrases]
    parted = [each[0].onset - end >= BREATH for end, each in zip(ends, phrases[1:], strict=False)]
    known = pairwise([True, *parted, True]) if phrases else ()
    sure = [(a or edge == -1) and (b or edge == 0) for a, b in known]
    return [
        Stretch(phrase.span, own, is_sure)
        for phrase, own, is_sure in zip(music.analysis.phrases, phrases, sure, strict=True)
    ]


def _phrases(said: Said, where: Where, edge: int | None) -> Iterator[Sequence[Stretch]]:
    """The phrases that begin or end where something is said of their edge, else those that are mostly there."""
    every = _phrase_stretches(where.music, edge)
    at_edge = [stretch for stretch in every if edge is not None and where.has(stretch.notes[edge])]
    inside = [stretch for stretch in every if any(mostly_in(stretch.span, span) for span in where.spans)]
    begun = [stretch for stretch in every if where.has(stretch.notes[0])]
    over = _runs(where) if where.tests else inside  # "the F seven lick" is what is played over it
    ways = (begun, inside, every) if said.which else (at_edge, over)
    yield from (way for way in ways if way)


def _piece(_: Said, where: Where, __: int | None) -> Iterator[Sequence[Stretch]]:
    bars = where.music.score.bars
    yield [_stretch(where.music, Span(bars[0].start, bars[-1].end))]


def _another(_: Said, __: Where, ___: int | None) -> Iterator[Sequence[Stretch]]:
    """Nothing that is known: "the next chord"."""
    yield from ()


def _tune(said: Said, where: Where, edge: int | None) -> Iterator[Sequence[Stretch]]:
    """The whole piece where its end is in sight, or no end is spoken of; else the melody in sight."""
    bars, span = where.music.score.bars, hull(where.spans)
    whole = {0: span.start <= bars[0].start, -1: span.end >= bars[-1].end}
    if edge is None or whole[edge]:
        yield from _piece(said, where, edge)
    if edge is None or not whole[edge]:
        yield from _line(said, where, edge)


def _units(said: Said, where: Where, __: int | None) -> Iterator[Sequence[Stretch]]:
    """The groups of a sequence, a cross rhythm or a motif, or the triplets; else what each chord has, if as many."""
    found = _devices_there(where, FIGURE_KINDS)
    for device in found:
        groups = [[where.music.struck_by_id[name] for name in group] for group in device.groups]
        yield [
            Stretch(Span(g[0].onset, g[-1].onset + g[-1].held), tuple(g), sure=len(found) == 1)
            for g in groups
            if g and (where.has_any(g) or not said.every)
        ]
    runs = _runs(where)
    if said.every and not found and len({len(run.notes) for run in runs}) == 1:
        yield runs


def _several(said: Said, where: Where, edge: int | None) -> Iterator[Sequence[Stretch]]:
    """What no noun names: the groups of a figure, the arpeggios, what each chord has, or the bars."""
    ways = [*_units(said, where, edge), *_devices("arpeggio", said, where, edge), _runs(where)]
    ways += _bars(said, where, edge)
    yield from (way for way in ways if len(way) > 1)


def _one_way(said: Said, where: Where, edge: int | None) -> Iterator[Sequence[Stretch]]:
    """The chromatic run, or the scale, that stands there."""
    yield from _devices("chromatic run", said, where, edge)
    runs = [
        run
        for span in where.spans
        for run in runs_of_kind("scale", where.music.line_in(span), where.music)
        if len(run) >= FEWEST["scale"] and where.has_any(run)
    ]
    yield [Stretch(Span(run[0].onset, run[-1].onset + run[-1].held), tuple(run)) for run in runs]


def _devices(kind: str, _: Said, where: Where, __: int | None) -> Iterator[Sequence[Stretch]]:
    """The devices or figures of a kind."""
    notes = where.music.struck_by_id
    if kind in FIGURES:
        runs = [run for run in figures_in(kind, where.spans, where.music) if where.has_any(run)]
        yield [Stretch(Span(run[0].onset, run[-1].onset + run[-1].held), tuple(run)) for run in runs]
        return
    found = _devices_there(where, (kind,))
    yield [
        Stretch(device.span, tuple(notes[name] for name in device.notes), sure=len(found) == 1)
        for device in found
    ]


def _devices_there(where: Where, kinds: Sequence[str]) -> list[Device]:
    notes = where.music.struck_by_id
    return [
        device
        for device in where.music.analysis.devices
        if device.kind in kinds and device.notes and where.has_any([notes[name] for name in device.notes])
    ]


Finder = Callable[[Said, Where, "int | None"], Iterator[Sequence[Stretch]]]
FINDERS: dict[str, Finder] = {
    "line": _line,
    "bar": _bars,
    "chord": _chords,
    "phrase": _phrases,
    "piece": _piece,
    "another": _another,
    "tune": _tune,
    "unit": _units,
    "several": _several,
    "run": _one_way,
}
