"""The notes of what is told note by note: side by side in the line, each with all its names, in one place only.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.plain.ends import Side
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.motion import goes_against
from lessonmaker.script.plain.place import Test
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.verbs import way_of

__all__ = ["Chain", "Link", "notes_of_chains"]

Way = tuple[int, ...]
"""Where in the line the notes of a chain are."""


@dataclass(frozen=True)
class Link:
    """A note by its names.

    It is in its `own` bars, if any are named beside it; `near` are those that were named last. `beats` are tests that
    hold for it, `chords` tests that should, `sides` the ends of something that it is said to be, and `ends` those near
    which it is.
    """

    named: tuple[Named, ...]
    own: tuple[Span, ...]
    near: tuple[Span, ...]
    beats: tuple[Test, ...]
    chords: tuple[Test, ...]
    sides: tuple[Side, ...]
    ends: tuple[Side, ...]


@dataclass(frozen=True)
class Chain:
    """Links that follow one another, with the words `between` them and those `before` that tell which way.

    One that is not `is_told` says too little to be found by itself, but if it `is_next`, what comes right after the
    chain before it.
    """

    links: tuple[Link, ...]
    between: tuple[str, ...]
    before: str
    is_told: bool
    is_next: bool


def notes_of_chains(chains: Sequence[Chain], ground: Ground) -> list[list[Note]]:
    """The notes of each chain where it has one place only; nothing of any where the line has none for one of them."""
    line, music = list(ground.music.line), ground.music
    shown = [at for at, note in enumerate(line) if _is_in(note, ground.shown)]
    ways = [_ways(chain, shown, line, music) for chain in chains]
    if any(chain.is_told and not each for chain, each in zip(chains, ways, strict=True)):
        return [[] for _ in chains]
    found = [_best(at, chains, ways) for at in range(len(chains))]
    return [[line[index] for index in each[0]] if len(each) == 1 else [] for each in found]


def _ways(chain: Chain, shown: Sequence[int], line: Sequence[Note], music: Music) -> list[Way]:
    """The ways in which a chain's notes may follow one another, none left out."""
    ways: list[Way] = [(at,) for at in shown if _fits(chain.links[0], at, line, music)]
    for link, words in zip(chain.links[1:], chain.between, strict=True):
        way = way_of(words) or (way_of(chain.before) if link is chain.links[1] else 0)
        ways = [
            (*each, at)
            for each in ways
            for at in _after(each[-1], line)
            if at in shown and _fits(link, at, line, music) and _goes(line[each[-1]], line[at], way)
            if not goes_against(words, line[each[-1]], line[at])
        ]
    for keep in (_in_near_bars, _on_chords, _at_ends):
        ways = [way for way in ways if keep(chain, way, line, music)] or ways
    return ways


def _after(at: int, line: Sequence[Note]) -> list[int]:
    """The next note, and the next other one."""
    following = range(at + 1, len(line))
    other = next((index for index in following if line[index].sounding != line[at].sounding), None)
    return sorted({*following[:1], *([other] if other is not None else [])})


def _goes(one: Note, other: Note, way: int) -> bool:
    return way * (other.sounding.midi - one.sounding.midi) >= 0


def _fits(link: Link, at: int, line: Sequence[Note], music: Music) -> bool:
    """Whether a note has all the names of a link, and stands where it is said to."""
    note = line[at]
    named = all(each.fits(note, music) for each in link.named)
    placed = (not link.own or _is_in(note, link.own)) and all(test(note, music) for test in link.beats)
    return named and placed and all(_is_at(side, at, line) for side in link.sides)


def _is_at(side: Side, at: int, line: Sequence[Note]) -> bool:
    """Whether a note is at some end: the first or last of its bar, a peak or a low point, a long or short one."""
    note = line[at]
    beside = [*line[max(at - 1, 0) : at], *line[at + 1 : at + 2]]
    bar = [other for other in line if other.bar == note.bar]
    compared: dict[Side, Callable[[Note], bool]] = {
        "first": lambda other: other.onset >= note.onset,
        "last": lambda other: other.onset <= note.onset,
        "highest": lambda other: other.sounding.midi <= note.sounding.midi,
        "lowest": lambda other: other.sounding.midi >= note.sounding.midi,
        "longest": lambda other: other.held <= note.held,
        "shortest": lambda other: other.held >= note.held,
    }
    local = side not in ("first", "last") and all(compared[side](other) for other in beside)
    return local or all(compared[side](other) for other in bar)


def _in_near_bars(chain: Chain, way: Way, line: Sequence[Note], _: Music) -> bool:
    """Whether a chain begins in the bars that were named last."""
    return _is_in(line[way[0]], chain.links[0].near)


def _on_chords(chain: Chain, way: Way, line: Sequence[Note], music: Music) -> bool:
    """Whether the notes of a chain stand on the chords that are named beside them."""
    return all(
        test(line[at], music) for link, at in zip(chain.links, way, strict=True) for test in link.chords
    )


def _at_ends(chain: Chain, way: Way, line: Sequence[Note], _: Music) -> bool:
    """Whether the notes of a chain are at those ends of a bar near which they are said to be."""
    return all(
        _is_at(side, at, line) for link, at in zip(chain.links, way, strict=True) for side in link.ends
    )


def _best(at: int, chains: Sequence[Chain], ways: Sequence[Sequence[Way]]) -> Sequence[Way]:
    """The ways of one chain; of several those that go on from the chain before it, or lead to the one after it."""
    own, chain = ways[at], chains[at]
    before = {way[-1] + 1 for each in ways[:at][-1:] for way in each}
    after = {way[0] for each in ways[at + 1 :][:1] for way in each}
    if not chain.is_told:
        return [way for way in own if chain.is_next and before == {way[0]}]
    if len(own) < 2:
        return own
    beside = [way for way in own if way[0] in before or way[-1] + 1 in after]
    return beside if len(beside) == 1 else own


def _is_in(note: Note, spans: Sequence[Span]) -> bool:
    return any(span.start <= note.onset < span.end for span in spans)
