"""The beats of a bar, and the parts of it, that a sentence names: conditions on where in its bar a note is struck."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from lessonmaker.analysis.lines import full_start, position_in_bar
from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.place import AND, Context, Place, Test, words_of_place
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import LEANING
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of, ordinal_of

__all__ = ["beats", "edge_of_bar", "parts"]

AND_OF = rf"(?:the )?(?:['\"]?(?:and|&)['\"]?|second half|off-?beat|upbeat) (?:of|after) (?:beat )?({NUMBER})"
BEATS = rf"beats? ({NUMBER})(?:{AND}({NUMBER}))?"
NTH_BEAT = rf"({ORDINAL}|last|final) beat"
AN_EIGHTH = rf"(?:the )?(?:very )?({ORDINAL}|last|final) (?:eighth|quaver)(?: note)?"
NTH_EIGHTH = rf"(?:(?<=\bon )|(?<=\bat )|(?=[\w ]+ (?:of|in) )){AN_EIGHTH}"
# "On one it's the third", but "on the four we hear a triad": a chord.
PRONOUN = r"(?:it|we|you|i|he|she|there)\b"
ON_BEAT = (
    rf"(?<=\bon )(?:the (?!\w+ {PRONOUN}))?(one|two|three|four|five|six|seven)(?=\s*(?:[,.;:!?]|$|of (?:the )?(?:bar"
    rf"|measure)|in (?:bar|measure)|and (?:then )?again on|{PRONOUN}))"
)

# "On the first beat, and again on the third".
ON_ANOTHER = pattern_of(
    rf"\b(?:{ORDINAL}) beat\b[^.;:]*?\b(?:again|also|once more|and then|and) on (?P<beat>the (?P<nth>{ORDINAL}))"
    r"(?=[,.;:!?]|$)"
)


def _beat_of(note: Note, music: Music) -> Fraction:
    bar = music.score.bars[note.bar]
    return 1 + position_in_bar(note.onset, bar) / bar.metre.unit_quarters


def _on(beat: Fraction) -> Test:
    return lambda note, music: _beat_of(note, music) == beat


def _within(beat: int) -> Test:
    return lambda note, music: beat <= _beat_of(note, music) < beat + 1


def _struck_on(beat: int) -> Test:
    """On a beat; after it only where nothing is struck on it."""

    def test(note: Note, music: Music) -> bool:
        bar = music.score.bars[note.bar]
        at = full_start(bar) + (beat - 1) * bar.metre.unit_quarters
        return _within(beat)(note, music) and (note.onset == at or not music.struck_at(at))

    return test


ON_IT = pattern_of(r"\bon $")
SEVERAL = pattern_of(r"\b(?:two|three|four|both|all|side by side|pair|couple|double|squeezed)\b[^,;:]* on $")
LEANT_ON = pattern_of(rf"\b{LEANING}(?: \w+)? on (?:the )?$")
# A degree that does so stands on a beat: "a fifth sitting on two".
STANDS_ON = pattern_of(
    r"\b(?:root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|nine|eleven|thirteen)"
    rf" {LEANING} (?:\w+ )?on $"
)


def _most_beats(context: Context) -> int:
    return max((bar.metre.beats for bar in context.bars), default=0)


def beats(sentence: Sentence, context: Context, _: Sequence[Place]) -> Iterator[Place]:
    """The beats and eighths of a bar that a sentence names."""
    for match in words_of_place(AND_OF).finditer(sentence.text):
        yield Place("beat", match.start(), match.end(), (), _on(number_of(match[1]) + Fraction(1, 2)))
    for match in words_of_place(BEATS).finditer(sentence.text):
        first = number_of(match[1])
        second = number_of(match[2]) if match[2] is not None else 0
        last = match.end() if second > first else match.end(1)  # "beat three, one, three, five"
        before = sentence.text[: match.start()]
        on_it = ON_IT.search(before) and not SEVERAL.search(before)
        one = _struck_on(first) if on_it else _within(first)
        test = _between(first, second) if second > first else one
        yield Place("beat", match.start(), last, (), test)
    for match in words_of_place(NTH_BEAT).finditer(sentence.text):
        last = match[1] in ("last", "final")
        yield Place(
            "beat", match.start(), match.end(), (), _last_beat if last else _within(ordinal_of(match[1]))
        )
    for match in ON_ANOTHER.finditer(sentence.text):
        yield Place("beat", *match.span("beat"), (), _within(ordinal_of(match["nth"])))
    for match in words_of_place(NTH_EIGHTH).finditer(sentence.text):
        last = match[1] in ("last", "final")
        test = _last_eighth if last else _on(1 + Fraction(ordinal_of(match[1]) - 1, 2))
        yield Place("beat", match.start(), match.end(), (), test)
    for match in words_of_place(ON_BEAT).finditer(sentence.text):
        before = sentence.text[: match.start()]
        leant_on = LEANT_ON.search(before) and not STANDS_ON.search(before)
        if number_of(match[1]) > _most_beats(context) or leant_on:
            continue
        yield Place("beat", match.start(), match.end(), (), _within(number_of(match[1])))
    for match in words_of_place(r"(?:the )?down-?beat").finditer(sentence.text):
        yield Place("beat", match.start(), match.end(), (), _on(Fraction(1)))


def _between(first: int, last: int) -> Test:
    return lambda note, music: first <= _beat_of(note, music) < last + 1


def _last_eighth(note: Note, music: Music) -> bool:
    bar = music.score.bars[note.bar]
    return position_in_bar(note.onset, bar) == bar.metre.bar_quarters - Fraction(1, 2)


def _last_beat(note: Note, music: Music) -> bool:
    return _beat_of(note, music) >= music.score.bars[note.bar].metre.beats


# Parts of a bar ------------------------------------------------------------------------------------------

PARTS = (
    (r"(?:the )?(?:second|last|latter) half", Fraction(1, 2), Fraction(1)),
    (r"(?:the )?first half", Fraction(0), Fraction(1, 2)),
    (r"(?:late|later) in(?= (?:bar|measure|the bar|this bar))", Fraction(1, 2), Fraction(1)),
    (r"(?:early) in(?= (?:bar|measure|the bar|this bar))", Fraction(0), Fraction(1, 2)),
)


# Parts of a bar that is named or numbered right after: "the top of fifteen", "the end of the bar".
PARTS_OF = (
    (
        r"(?<!is )(?<!'s )(?<!was )the (?:very )?(?:start|beginning|(?<=at the )top"
        r"|top(?! of [\w -]{4,30} (?:is|was)\b)) of(?= )",
        Fraction(0),
        Fraction(1, 4),
    ),
    (r"the (?:very )?middle of(?= )", Fraction(1, 4), Fraction(3, 4)),
    (r"the (?:very )?end of(?= )", Fraction(1, 2), Fraction(1)),
)
A_BAR = pattern_of(r" (?:bar|measure|the bar|the measure|this bar|that bar)")
A_NUMBER = pattern_of(NUMBER)


def parts(sentence: Sentence, _: Context, found: Sequence[Place]) -> Iterator[Place]:
    """The halves, the middle, the beginnings and ends of bars that a sentence names."""
    for pattern, first, last in PARTS:
        for match in words_of_place(pattern).finditer(sentence.text):
            yield Place("beat", match.start(), match.end(), (), _share(first, last))
    for pattern, first, last in PARTS_OF:
        for match in words_of_place(pattern).finditer(sentence.text):
            if _is_of_a_bar(sentence, match, found):
                yield Place("beat", match.start(), match.end(), (), _share(first, last))


def _is_of_a_bar(sentence: Sentence, part: re.Match[str], found: Sequence[Place]) -> bool:
    """Whether a part is one of a bar: of one by a number alone as well, and an end of whatever bars are named."""
    named = [place for place in found if place.level == "bar" and place.first == part.end() + 1]
    numbers = (A_NUMBER.fullmatch(sentence.words(place.first, place.last)) for place in named)
    ends = bool(named) and part[0].endswith("end of")
    return ends or any(numbers) or A_BAR.match(sentence.text, part.end()) is not None


def edge_of_bar(match: re.Match[str], *, is_start: bool) -> Place:
    """The beginning or the end of a bar that was named just before: "bar two is diminished at the end"."""
    first, last = (Fraction(0), Fraction(1, 4)) if is_start else (Fraction(1, 2), Fraction(1))
    return Place("beat", match.start(), match.end(), (), _share(first, last))


def _share(first: Fraction, last: Fraction) -> Test:
    def test(note: Note, music: Music) -> bool:
        bar = music.score.bars[note.bar]
        return first <= position_in_bar(note.onset, bar) / bar.metre.bar_quarters < last

    return test
