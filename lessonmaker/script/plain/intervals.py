"""The intervals that are named in speech: how many letters and semitones apart their notes are.

Common practice, no source. An interval without its quality is counted by letters.
"""

from __future__ import annotations

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.vocabulary import ordinal_of

__all__ = [
    "ABOUT",
    "INTERVAL",
    "MAJOR_STEPS",
    "QUALITY",
    "interval_sizes",
    "is_about",
    "is_as_far",
    "is_interval",
    "semitones_of",
    "size_said",
]

QUALITY = r"(?:perfect|major|minor|augmented|diminished)"
SIZES = (
    r"third|fourth|fifth|sixth|seventh|octave|ninth|tenth|eleventh|twelfth|thirteenth|fourteenth|fifteenth"
)
INTERVAL = rf"(?:(?:{QUALITY} )?(?:{SIZES})|tritone|octave and a half|two octaves)(?![\w'-])"
MAJOR_STEPS = (0, 2, 4, 5, 7, 9, 11)  # in semitones
PERFECT = (0, 3, 4)
OCTAVE, LETTERS, TRITONE = 12, 7, 6
ABOUT = (
    r"(?:exactly |just |fully |precisely )?(?:(?P<about>more than|over|at least|almost|nearly"
    r"|just short of|just under|just over|well over) )?"
)


def steps_of(name: str) -> int:
    """The letters between the notes of an interval: a third is 2, an octave 7."""
    size = name.split()[-1]
    return LETTERS if size == "octave" else 2 * LETTERS if name == "two octaves" else ordinal_of(size) - 1


def semitones_of(name: str) -> tuple[int, ...]:
    """The semitones that an interval may have, the fewest first; those of its quality, if it is said."""
    if name == "tritone":
        return (TRITONE,)
    if name == "octave and a half":
        return (OCTAVE + TRITONE - 1, OCTAVE + TRITONE, OCTAVE + TRITONE + 1)
    octaves, step = divmod(steps_of(name), LETTERS)
    major = MAJOR_STEPS[step] + OCTAVE * octaves
    perfect = step in PERFECT
    of_quality = {
        "perfect": (major,), "major": (major,), "minor": (major - 1,), "augmented": (major + 1,),
        "diminished": (major - 1 if perfect else major - 2,),
    }  # fmt: skip
    quality = name.split()[0]
    if quality in of_quality:
        return of_quality[quality]
    return (
        (major,) if perfect and step != PERFECT[1] else (major, major + 1) if perfect else (major - 1, major)
    )


OTHER_NAMES = {
    **dict.fromkeys(("half step", "semitone"), (1,)),
    **dict.fromkeys(("whole step", "whole tone", "tone"), (2,)),
    "step": (1, 2),
    "fourth": (5,),
}


def interval_sizes(name: str) -> tuple[int, ...]:
    """The semitones by which something may be moved: "perfect fourth" is 5, "third" 3 or 4, "whole step" 2."""
    plain = name.replace("-", " ")
    return OTHER_NAMES.get(plain) or semitones_of(plain)


def is_interval(one: Note, other: Note, name: str) -> bool:
    """Whether two notes are an interval apart, by their letters or, if its quality is said, as it sounds."""
    size = abs(other.sounding.midi - one.sounding.midi)
    if name in ("tritone", "octave and a half") or pattern_of(QUALITY).match(name):
        return size in semitones_of(name)
    return abs(other.written.diatonic - one.written.diatonic) == steps_of(name)


def is_about(one: Note, other: Note, name: str, about: str | None) -> bool:
    """Whether two notes are an interval apart, or as far beyond it or short of it as is said."""
    size, said_size = abs(other.sounding.midi - one.sounding.midi), semitones_of(name)
    if about is None:
        return is_interval(one, other, name)
    if pattern_of("almost|nearly|short|under").search(about):
        return said_size[0] - 3 <= size < said_size[0]
    return said_size[-1] < size <= said_size[-1] + OCTAVE // 2 or (about == "at least" and size in said_size)


BY_LETTERS = pattern_of(rf"second|{SIZES}")
OTHER_WAY = (
    OCTAVE - 4
)  # semitones from which an interval may be heard as one the other way, put into another octave


def is_as_far(one: Note, other: Note, name: str) -> bool:
    """Whether two notes are an interval apart, by their letters or as it sounds; an octave more or less is as well."""
    size = abs(other.sounding.midi - one.sounding.midi)
    sizes = interval_sizes(name)
    if name == "octave":
        return size > 0 and size % OCTAVE == 0
    if size % OCTAVE in {each % OCTAVE for each in sizes}:
        return True
    if size > OTHER_WAY and OCTAVE - size % OCTAVE in sizes:
        return True
    letters = abs(other.written.diatonic - one.written.diatonic)
    steps = 1 if name == "step" else steps_of(name) if BY_LETTERS.fullmatch(name) else None
    return steps is not None and letters % LETTERS == steps % LETTERS


SAID = (
    "the same note", "a half step", "a whole step", "a minor third", "a major third", "a fourth", "a tritone",
    "a fifth", "a minor sixth", "a major sixth", "a minor seventh", "a major seventh", "an octave",
)  # fmt: skip


def size_said(semitones: int) -> str:
    """So many semitones, in words."""
    return SAID[semitones] if semitones < len(SAID) else "more than an octave"
