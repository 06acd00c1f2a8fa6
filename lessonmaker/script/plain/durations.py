"""What teachers call note values and stretches of time: "a dotted quarter", "two and a half beats", "half a bar".

Common practice, no source. Both American and British names are read.
"""

from __future__ import annotations

from fractions import Fraction

from lessonmaker.analysis.words import number_words
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import number_said
from lessonmaker.script.plain.vocabulary import CARDINALS
from lessonmaker.theory.metre import Metre

__all__ = [
    "FEW",
    "FULL",
    "NOTE_VALUES",
    "NO_VALUE",
    "QUANTITY",
    "VALUE",
    "VALUES",
    "count_said",
    "few_of",
    "how_often",
    "length_said",
    "quantity_of",
    "value_of",
    "value_said",
]

FEW_TIMES = ("not at all", "once", "twice")
FEW = rf"(?:{'|'.join(sorted(CARDINALS, key=len, reverse=True))}|\d{{1,2}})(?! *(?:-|/)\d)"

# Note values ---------------------------------------------------------------------------------------------

# (its name before "note", its names alone, quarters)
NOTE_VALUES: tuple[tuple[str, str, Fraction], ...] = (
    (r"whole", r"semibreves?", Fraction(4)),
    (r"half", r"minims?|halves", Fraction(2)),
    (r"quarter", r"quarters|crotchets?", Fraction(1)),
    (r"eighth", r"eighths|quavers?", Fraction(1, 2)),
    (r"sixteenth", r"sixteenths|semiquavers?", Fraction(1, 4)),
    (r"thirty[ -]second", r"thirty[ -]seconds|demisemiquavers?", Fraction(1, 8)),
)
BY_ONE_WORD = ("quarter", "eighth")  # "a dotted quarter" needs no "note"
# The values that are told by one pattern: (what it is called, quarters).
NAMES = tuple(
    (rf"(?:{name}[ -]notes?|{'|'.join([alone, *(each for each in BY_ONE_WORD if each == name)])})", quarters)
    for name, alone, quarters in NOTE_VALUES
    if quarters >= Fraction(1, 2)
)
DOTTED_HALF = r"dotted[ -]half"
NO_VALUE = (
    r"(?![ -](?:notes?|rests?|triplets?|bars?|measures?|steps?|of (?:an?|the) (?:hour|year|second|tempo|time)"
    r"|finals?)\b)(?![\w'-])"
)
NAMED = "|".join(name for name, _ in NAMES)
VALUE = (
    rf"(?:(?:(?:dotted[ -])?(?:{NAMED})|{DOTTED_HALF})(?: tied (?:on )?to (?:an?"
    rf"|another) (?:{NAMED}))?){NO_VALUE}"
)
VALUES = (
    r"(?:(?:dotted[ -])?(?:(?:whole|half|quarter|eighth)[ -]notes|halves|minims|quarters|crotchets|eighths"
    r"|quavers)"
    rf"|semibreves){NO_VALUE}"
)


def value_of(text: str) -> Fraction:
    """The quarters of a note value by its name: "dotted quarter" is 3/2; what is tied to it is added."""
    return sum(
        (_single(part) for part in pattern_of(r" tied (?:on )?to (?:an?|another) ").split(text)), Fraction(0)
    )


def _single(text: str) -> Fraction:
    plain = pattern_of(r"^dotted[ -]").sub("", text)
    length = next((length for name, length in NAMES if pattern_of(name).fullmatch(plain)), Fraction(2))
    return length * Fraction(3, 2) if plain != text else length


# Stretches of time ---------------------------------------------------------------------------------------

UNIT = r"(?:beats?|bars?|measures?|counts?|eighths?|quavers?|quarters?|crotchets?)"
FULL = r"(?:(?:full|whole|long|good|solid|entire|clear|complete|blessed|more|slow|extra) )*"
QUANTITY = (
    rf"(?:(?:an?|{FEW}) and a half[ -]{UNIT}|(?:an?|the|{FEW})[ -]{FULL}{UNIT}(?: and a half)?"
    rf"|half (?:an?|the|of (?:a|the)) {UNIT}|half-an?-{UNIT}|a half[ -]{UNIT})(?!\w)"
)
HALF = Fraction(1, 2)


def few_of(text: str) -> int:
    """A small number as it is said: "three", "a", "a couple of", "8"."""
    if pattern_of(r"(?:an?|the|just|a single|single|another)\b(?! (?:couple|pair)\b)").match(text):
        return 1
    if pattern_of(r"(?:an? )?(?:couple|pair)\b").match(text):
        return 2
    return number_said(text)


def quantity_of(text: str, metre: Metre) -> Fraction:
    """The quarters of a stretch of time: "two and a half beats", "half a bar", "an eighth".

    Args:
        text: words that `QUANTITY` matches.
        metre: the metre whose beats and bars are counted.
    """
    if pattern_of(r"bar|measure").search(text):
        unit = metre.bar_quarters
    elif pattern_of(r"eighth|quaver").search(text):
        unit = HALF
    else:
        unit = Fraction(1) if pattern_of(r"quarter|crotchet").search(text) else metre.unit_quarters
    if pattern_of(r"half\b|a half\b").match(text):
        return unit / 2
    count = few_of(pattern_of(r"[ -]").split(text)[0])
    return unit * (count + (HALF if "and a half" in text else 0))


# What there is, in words ---------------------------------------------------------------------------------

SAID = {
    Fraction(4): "a whole note",
    Fraction(3): "a dotted half",
    Fraction(2): "a half note",
    Fraction(3, 2): "a dotted quarter",
    Fraction(1): "a quarter",
    HALF: "an eighth",
}


def value_said(length: Fraction, metre: Metre) -> str:
    """A note of a length in quarters, in words: "a half note", "a note of three and a half beats"."""
    return SAID.get(length) or f"a note of {length_said(length, metre)}"


def length_said(length: Fraction, metre: Metre) -> str:
    """A length in quarters as beats in words: "one beat", "two and a half beats"."""
    whole, part = divmod(length / metre.unit_quarters, 1)
    if part not in (0, HALF):
        return f"{length / metre.unit_quarters} beats"
    if not whole:
        return "half a beat"
    count = number_words(int(whole))
    return f"{count} and a half beats" if part else f"{count} beat{'s' if whole > 1 else ''}"


def count_said(count: int, noun: str = "") -> str:
    """How many there are, in words: "there are two notes", "there is none"."""
    if not count:
        return "there is none"
    named = f"{number_words(count)} {_plural(noun) if count > 1 and noun else noun}".strip()
    return f"there {'are' if count > 1 else 'is'} {named}"


def _plural(noun: str) -> str:
    return f"{noun}es" if noun.endswith("ch") else f"{noun}s"


def how_often(number: int) -> str:
    """How often something is there, in words."""
    return FEW_TIMES[number] if number < len(FEW_TIMES) else f"{number_words(number)} times"
