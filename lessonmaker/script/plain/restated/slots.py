"""The words of a sentence that fill the slots of a statement.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.restated.words import Named, named_in
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, SCALE_WORDS

__all__ = ["as_a_name", "filled"]

SLOT = pattern_of(r"\{([a-z]+)(2?)\}")
INTERVAL = pattern_of(
    r"\b(?:(?:half|whole)[ -](?:step|tone)|semitone|octave|(?:(?:minor|major|perfect|augmented|diminished) )?"
    r"(?:second|third|fourth|fifth|sixth|seventh|ninth|tenth))(?=s?\b)"
)
BEAT = pattern_of(
    rf"\b(?:on (?:the )?)?(?P<and>and of {NUMBER})|\bbeat (?P<beat>{NUMBER})|\b(?P<nth>{ORDINAL}) beat\b"
    rf"|\bon (?P<on>(?:one|two|three|four|[1-4])\b)(?! (?:of|and)\b)"
)
SCALE = pattern_of(rf"\b(?:the )?(?:[a-g](?: flat| sharp|b|#)? )?{SCALE_WORDS}\b")
LETTER = pattern_of(r"[a-g](?:b|#| flat| sharp| natural)?(?=$| )")
TRIAD = pattern_of(
    r"[a-g](?:b|#| flat| sharp| natural)?(?: (?:major|minor|diminished|augmented))?(?: triad)?"
)
BAR_NUMBER = pattern_of(rf"\b(?:{NUMBER}|{ORDINAL})$|^(?:{ORDINAL})\b")


def filled(form: str, text: str, places: Sequence[Place]) -> str | None:
    """A statement with its slots filled by the words of a sentence; None where these are not as many as its slots."""
    slots = SLOT.findall(form)
    words: dict[str, list[str]] = {}
    for kind in dict.fromkeys(kind for kind, _ in slots):
        words[kind] = FINDERS[kind](text, places)
        if len(words[kind]) != sum(each == kind for each, _ in slots):
            return None
    return SLOT.sub(lambda slot: words[slot[1]][1 if slot[2] else 0], form)


def as_a_name(words: str) -> str:
    """The name of a note or of a chord with its letter as a capital."""
    return words[:1].upper() + words[1:]


def _outside(text: str, places: Sequence[Place]) -> list[Named]:
    """What a sentence names outside of its bars and beats."""
    taken = [(place.first, place.last) for place in places if place.level == "bar"]
    taken += [match.span() for match in BEAT.finditer(text)]
    return [
        each
        for each in named_in(text)
        if not any(first < each.last and each.first < last for first, last in taken)
    ]


def _degrees(text: str, places: Sequence[Place]) -> list[str]:
    """The degrees that are named, or else the notes by their letters."""
    over = [place for place in places if place.level == "chord"]
    tones = [each for each in _outside(text, places) if each.kind == "tone" and not each.text.endswith("s")]
    degrees = [each.text for each in tones if LETTER.match(each.text) is None]
    letters = [each for each in tones if LETTER.match(each.text) is not None]
    free = [each for each in letters if not any(place.first <= each.first < place.last for place in over)]
    return degrees or [as_a_name(each.text) for each in free]


def _chords(text: str, places: Sequence[Place]) -> list[str]:
    return [
        as_a_name(each.text)
        for each in _outside(text, places)
        if each.kind == "chord" or (each.kind == "tone" and LETTER.match(each.text) is not None)
    ]


def _triads(text: str, places: Sequence[Place]) -> list[str]:
    return [words for words in _chords(text, places) if TRIAD.fullmatch(words.lower()) is not None]


def _counts(text: str, places: Sequence[Place]) -> list[str]:
    return [each.text for each in _outside(text, places) if each.kind == "number"]


def _intervals(text: str, _: Sequence[Place]) -> list[str]:
    return [match[0] for match in INTERVAL.finditer(text)]


def _beats(text: str, _: Sequence[Place]) -> list[str]:
    found = list(BEAT.finditer(text))
    return [match["and"] or match["beat"] or match["on"] or match["nth"] for match in found]


def _scales(text: str, _: Sequence[Place]) -> list[str]:
    return [match[0] for match in SCALE.finditer(text)]


def _bars(text: str, places: Sequence[Place]) -> list[str]:
    named = [
        place for place in places if place.level == "bar" and not place.pointed and len(place.spans) == 1
    ]
    numbers = [BAR_NUMBER.search(text[place.first : place.last]) for place in named]
    return [match[0] for match in numbers if match is not None]


Finder = Callable[[str, Sequence[Place]], list[str]]
FINDERS: Mapping[str, Finder] = {
    "bar": _bars,
    "beat": _beats,
    "chord": _chords,
    "count": _counts,
    "degree": _degrees,
    "interval": _intervals,
    "key": _chords,
    "scale": _scales,
    "triad": _triads,
}
