"""The sentences about scales: degrees, numbers and scale names, never letters."""

from __future__ import annotations

from dataclasses import dataclass

from lessonmaker.analysis.words import chord_words, degree_words, listed, number_words
from lessonmaker.theory.chord import Chord, chord_tones, readings
from lessonmaker.theory.degree import degree_of
from lessonmaker.theory.scale import SCALES, scale_spoken

__all__ = [
    "Told",
    "degrees_used",
    "root_words",
    "scale_sentence",
    "scale_step_words",
]

STEP_WORDS = (
    "tonic",
    "flat second",
    "second",
    "flat third",
    "third",
    "fourth",
    "raised fourth",
    "fifth",
    "flat sixth",
    "sixth",
    "flat seventh",
    "seventh",
)
OVER_ONE_CHORD = (
    "Over {chord} the line uses {scale}",
    "{scale} sounds over {chord}",
    "The line takes its notes over {chord} from {scale}",
)
UNSURE_OVER_ONE_CHORD = ("Over {chord} the notes fit {scale}", "The notes over {chord} fit {scale}")
OVER_SEVERAL = (
    "one {scale} serves {chords}",
    "the line stays in one {scale} over {chords}",
    "over {chords} the line uses one {scale}",
)
UNSURE_OVER_SEVERAL = ("one {scale} would serve {chords}", "the notes over {chords} fit one {scale}")


def root_words(scale: str, root: int, chord: Chord | None) -> str:
    """A scale with its place: "the altered scale", "the melodic minor scale built on its flat nine"."""
    if chord is None or root == readings(chord)[0].root.pitch_class:
        return scale_spoken(scale)
    return f"{scale_spoken(scale)} built on the {degree_words(degree_of(root, chord))} of the chord"


def scale_step_words(semitones: int) -> str:
    """A degree of a scale over several chords: "the sixth"."""
    return STEP_WORDS[semitones % 12]


@dataclass(frozen=True)
class Told:
    """What a sentence about a passage says.

    `root` and `deciding` are pitch classes, `deciding` in the order of the scale; `chords` those it is played
    over, one after the other; `outside` counts the foreign notes, `in_passing` says that all of them only pass or
    approach; `sure` where the notes decide the scale.
    """

    scale: str
    root: int
    chords: tuple[Chord | None, ...]
    deciding: tuple[int, ...]
    outside: int
    in_passing: bool
    sure: bool

    @property
    def only_chord(self) -> Chord | None:
        """The chord where there is one only."""
        return self.chords[0] if len(self.chords) == 1 else None


def scale_sentence(told: Told, turn: int) -> str:
    """One sentence about a passage; `turn` counts the sentences, so that they vary."""
    chord = told.only_chord
    if chord is None:
        opening = _over_several(told, turn)
    else:
        openings = OVER_ONE_CHORD if told.sure else UNSURE_OVER_ONE_CHORD
        name = root_words(told.scale, told.root, chord)
        opening = openings[turn % len(openings)].format(chord=chord_words(chord), scale=name)
    return f"{opening[0].upper()}{opening[1:]}{_decides(told)}{_outside_words(told)}."


def _over_several(told: Told, turn: int) -> str:
    name, count = _of_a_key(told.scale), len(told.chords)
    if count == 1:
        return f"the line {'keeps to' if told.sure else 'fits'} the {name}"
    openings = OVER_SEVERAL if told.sure else UNSURE_OVER_SEVERAL
    chords = "both" if count == 2 else f"all {number_words(count)}"
    return openings[turn % len(openings)].format(scale=name, chords=f"{chords} chords")


def _of_a_key(scale: str) -> str:
    """What a scale is called where it is a key's rather than a chord's: the natural minor scale."""
    return "natural minor scale" if scale == "aeolian" else scale_spoken(scale).removeprefix("the ")


def _decides(told: Told) -> str:
    words = [_deciding_words(pitch, told) for pitch in told.deciding]
    if not words or not told.sure:
        return ""
    return f": {listed(words)} {'decides' if len(words) == 1 else 'decide'} it"


def _deciding_words(pitch: int, told: Told) -> str:
    if told.only_chord is None:
        return f"its {scale_step_words(pitch - told.root)}"
    degree = degree_of(pitch, told.only_chord)
    minor = "b3" in chord_tones(readings(told.only_chord)[0]).values()
    return "the major third" if degree == "3" and minor else f"the {degree_words(degree)}"


def _outside_words(told: Told) -> str:
    if told.outside == 0:
        return ""
    notes = "one note" if told.outside == 1 else f"{number_words(told.outside)} notes"
    passing = " in passing" if told.in_passing else ""
    return f"; {notes}{passing} {'lies' if told.outside == 1 else 'lie'} outside"


def degrees_used(scale: str, root: int, pitch_classes: set[int]) -> tuple[str, ...]:
    """The degrees of a scale that sound, in its order."""
    above = {(pitch - root) % 12 for pitch in pitch_classes}
    return tuple(name for semitones, name in SCALES[scale].degree_at.items() if semitones in above)
