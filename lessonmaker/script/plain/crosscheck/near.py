"""The chords and keys that a sentence may speak of: those in sight, and those next to them.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable

from lessonmaker.score.position import Span, format_position, hull
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import ChordName
from lessonmaker.script.plain.chord_words import sounding
from lessonmaker.script.plain.crosscheck.told import Told
from lessonmaker.script.plain.heard import Harmony, Heard, is_minor
from lessonmaker.theory.chord import readings
from lessonmaker.theory.kinds import Family

__all__ = ["chords_near", "is_key_near", "is_so_named", "mode_said", "root_of", "told_at"]

# What a chord may be called besides its own family.
KIN: dict[Family, tuple[Family, ...]] = {
    "minor": ("half-diminished",),
    "half-diminished": ("minor",),
    "diminished": ("half-diminished",),
    "augmented": ("dominant", "altered", "major"),
    "altered": ("augmented",),
    "dominant": ("augmented",),
}
KEY_NAME = pattern_of(r"[a-g](?:b|#|[ -]flat|[ -]sharp)? (major|minor)")


def chords_near(told: Told, harmony: Harmony) -> list[Heard]:
    """The chords of the bars in sight, and those before and after them."""
    inside = harmony.within(hull(told.spans))
    if not inside:
        return []
    beside = (harmony.before(inside[0]), harmony.after(inside[-1]))
    return [*filter(None, (beside[0], *inside, beside[1]))]


def root_of(name: ChordName, harmony: Harmony) -> int:
    """The pitch class of the root that a name says, as it sounds."""
    return sounding(name.root, harmony)


def is_so_named(name: ChordName, each: Heard) -> bool:
    """Whether a chord has the root of a name, as it is printed, and is of one of its families, or may be called so."""
    roots = {way.root.pitch_class for way in (each.written, *readings(each.written))}
    kin = {own for family in name.families for own in (family, *KIN.get(family, ()))}
    return name.root.pitch_class in roots and (not name.families or each.family in kin)


def mode_said(told: Told, name: ChordName) -> str:
    """The mode of a name that may be a key's, "major" or "minor"; nothing where it is a chord's alone."""
    match = KEY_NAME.fullmatch(told.text[name.first : name.last])
    return match[1] if match is not None else ""


def is_key_near(root: int, mode: str, chords: Iterable[Heard], harmony: Harmony) -> bool:
    """Whether a key of a tonic, in a mode, is heard while some chords sound."""
    span = hull(each.span for each in chords)
    keys = harmony.keys_in(Span(span.start, span.end))
    return any(key.tonic.pitch_class == root and is_minor(key) == (mode == "minor") for key in keys)


def told_at(each: Heard, harmony: Harmony) -> str:
    """A chord with its place: "F7 at 3.1"."""
    return f"{each.text} at {format_position(harmony.music.score, each.span.start)}"
