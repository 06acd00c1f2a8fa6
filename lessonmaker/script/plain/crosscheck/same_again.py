"""What is said to come again, or not to: "no pitch twice", "it ends on the note that it began with".

Common practice, no source. It is false only where each stretch that may be meant is otherwise.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.stretch_told import stretches_told
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.durations import FEW, few_of
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.verbs import ENDING, STARTING

__all__ = ["comes_again", "ends_as_it_began"]

SAY_OF_SOME = "say it of the notes of which it is true"
NO_NOTE = r"(?:no (?:single |one )?(?:note|pitch|tone)|not (?:a|one)(?: single)? (?:note|pitch|tone)|nothing)"
ONCE = pattern_of(
    r"\b(?:every|each)(?: single)? (?:note|pitch)\b[^,;.]{0,30}? is (?:a )?(?:different|new)(?: one)?(?=\W*$|[,.;:])"
    r"|\bno two (?:notes|pitches)\b[^,;.]{0,30}? (?:are )?(?:the same|alike|equal)"
    rf"|\b{NO_NOTE}(?: \w+)? (?:is repeated|repeats|comes twice|is (?:played|heard|used|struck) twice|returns)\b"
)
MORE_THAN = pattern_of(
    rf"\b{NO_NOTE}\b[^,;.]{{0,24}}? (?:more|oftener) than (?:(?P<once>once)|(?P<twice>twice)|(?P<count>{FEW}) "
    r"(?:times|hits|attacks|appearances|strokes|goes))\b"
)
LESS = pattern_of(
    r"\b(?:except|apart|until|till|before|after|first|last|top|bottom|half|in a row|running|but|bass|would|could|if)\b"
)


def comes_again(told: Told) -> Iterator[Untrue]:
    """A pitch that comes more often than any is said to."""
    for pattern in (ONCE, MORE_THAN):
        for match in pattern.finditer(told.text):
            if LESS.search(told.text, match.end()):
                continue
            said = match.groupdict()
            often = 2 if said.get("twice") else few_of(said["count"]) if said.get("count") else 1
            notes = [_comes_more(each, often) for each in stretches_told(told, *match.span())]
            if notes and notes[0] is not None and all(notes):
                what = f"the note at {told.music.position(notes[0])} comes again"
                target = told.music.target_of(notes[0])
                fact = told.is_fact(*match.span(), r"\bmore than\b")
                yield Untrue(*match.span(), what, SAY_OF_SOME, target=target, meant=fact)


def _comes_more(notes: Sequence[Note], often: int) -> Note | None:
    """The last note of the pitch that comes most often, if that is more often than is said."""
    counts = Counter(note.sounding.midi for note in notes)
    height, count = counts.most_common(1)[0] if counts else (0, 0)
    return next(note for note in reversed(notes) if note.sounding.midi == height) if count > often else None


ENDS_AS_IT_BEGAN = pattern_of(
    rf"\b{ENDING}(?: (?:up|off|right|back|just))*(?: (?:on|with|at))? (?:the |exactly the )(?:very |exact )?same"
    rf" (?:note|pitch|one)(?: (?:that|as|where|which))?(?: (?:it|you|we|he|she|they|the \w+))?(?: (?:has|had|have))?"
    rf" {STARTING}\b"
)


def ends_as_it_began(told: Told) -> Iterator[Untrue]:
    """A bar, or a figure, whose last note is said to be its first, and is another."""
    for match in ENDS_AS_IT_BEGAN.finditer(told.text):
        stretches = stretches_told(told, *match.span())
        moves = [(each[-1].sounding.midi - each[0].sounding.midi) % OCTAVE for each in stretches if each]
        if moves and all(moves):
            first, last = stretches[0][0], stretches[0][-1]
            what = f"it begins on {first.written.name} and ends on {last.written.name}"
            yield Untrue(*match.span(), what, "say where it ends", target=told.music.target_of(last))
