"""So many notes that go one way: "four notes fire up to the C, the other four tumble down", "three notes going up".

Where the line has so many in a row that go as is said, from or to the note that is named, or else no more and no less,
and has them once, they are meant, whatever the verb. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, number_said
from lessonmaker.script.plain.ground import Ground, put_over
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.stance_words import is_not_of_it
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.told_names import names_said
from lessonmaker.script.plain.told_stretches import DENIED, FROM, is_one_way
from lessonmaker.script.plain.verbs import way_of

__all__ = ["with_told_runs"]

NUMBER = r"(?:three|four|five|six|seven|eight|nine|ten)"
NOTES = (
    r"(?:chord |scale |little |quick |plain |single |straight )*(?:notes|tones|eighths|eighth notes|quavers)"
)
COUNTED = pattern_of(
    rf"\b(?P<number>{NUMBER})(?: {NOTES}\b(?! (?:later|earlier|long|of (?:rest|silence)))"
    r"|-note (?:chromatic |little |rising |falling )*"
    r"(?:scale|run|arpeggio|climb|descent|ascent|line|figure|fragment|stack|slide|slither|staircase|ladder)\b)"
)
REST_OF_IT = pattern_of(
    rf"\b(?:the (?:other|remaining|next|last|following) (?P<number>{NUMBER})(?: {NOTES})?"
    rf"|(?P<more>{NUMBER}) more(?: {NOTES})?)(?= (?!bars?\b|measures?\b|beats?\b)[a-z])"
)
# Where another part of a sentence begins.
PARTS = pattern_of(r"[,;:.?!]|\b(?:and|then|but|before|after|while|until)\b(?! \w+ing\b)")
TO = pattern_of(
    r"\b(?:(?:in)?to|onto|until|till|as far as)(?: (?:the|an?|that|its|our))?(?: (?:high|low|top|bottom))? $"
)


@dataclass(frozen=True)
class Run:
    """So many notes that are told of at [first, last), which way they go, and between which names."""

    first: int
    last: int
    count: int
    way: int
    start: Named | None
    end: Named | None
    goes_on: bool


def with_told_runs(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, so many notes that are said to go one way as what they are."""
    sentence, music = ground.sentence, ground.music
    if sentence.is_question or is_not_of_it(sentence.text):
        return tuple(claims)
    found: list[Claim] = []
    before: Sequence[Note] = ()
    for run in _runs(sentence, names_said(sentence, claims, ground.places)):
        line = ground.line_at(run.first, run.last)
        ways = [part for part in _parts(run, line, before) if _fits(run, part, music)]
        if len(ways) != 1:
            continue
        before = ways[0]
        if not any(c.first < run.last and run.first < c.last and c.kind in READ for c in claims):
            found.append(ground.set_of(run.first, run.last, ways[0]))
    return put_over(claims, found)


READ = ("alike", "set", "beats", "extent", "form")


def _runs(sentence: Sentence, names: Sequence[Claim]) -> Iterator[Run]:
    """The runs of a sentence, in its order."""
    text = sentence.text
    counted = [*COUNTED.finditer(text), *REST_OF_IT.finditer(text)]
    for match in sorted(counted, key=lambda each: each.start()):
        first = max((each.end() for each in PARTS.finditer(text, 0, match.start())), default=0)
        after = PARTS.search(text, match.end())
        last = after.start() if after is not None else len(text)
        way = way_of(text[first:last])
        own = [name for name in names if first <= name.first < last]
        start = next((Named(name) for name in own if FROM.search(text[: name.first])), None)
        end = next((Named(name) for name in own if TO.search(text[: name.first])), None)
        is_figure = "-note " in match[0] and (start or end)
        if not (way or is_figure) or DENIED.search(text[first:last]):
            continue
        goes_on = match.re is REST_OF_IT
        number = match["number"] or match["more"]
        yield Run(match.start(), match.end(), number_said(number), way, start, end, goes_on)


def _parts(run: Run, line: Sequence[Note], before: Sequence[Note]) -> Iterator[Sequence[Note]]:
    """The parts of a line of so many notes: those after what was told of last, or all."""
    for at in range(len(line) - run.count + 1):
        part = line[at : at + run.count]
        follows = bool(before) and at > 0 and line[at - 1] is before[-1]
        if not is_one_way(part, run.way) or (run.goes_on and not follows):
            continue
        longer = is_one_way(line[max(at - 1, 0) : at + run.count], run.way) and at > 0
        longer = longer or (at + run.count < len(line) and is_one_way(line[at : at + run.count + 1], run.way))
        if follows or run.start or run.end or not longer:
            yield part


def _fits(run: Run, part: Sequence[Note], music: Music) -> bool:
    """Whether a part of the line begins and ends with what is named."""
    begins = run.start is None or run.start.fits(part[0], music)
    return begins and (run.end is None or run.end.fits(part[-1], music))
