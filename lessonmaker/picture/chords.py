"""Chord symbols in the house style: root, quality, true superscript, bass; real accidentals throughout."""

from __future__ import annotations

from functools import lru_cache

from lessonmaker.picture.look import Look
from lessonmaker.picture.shapes import Box
from lessonmaker.picture.text import Setting, join, set_text
from lessonmaker.theory.chord import Chord
from lessonmaker.theory.chord_print import ChordPrint, chord_parts

__all__ = ["capsule_box", "set_chord"]

NO_CHORD = "N.C."


@lru_cache(maxsize=1024)
def set_chord(chord: Chord | None, size: float, look: Look) -> Setting:
    """A chord symbol at a root size in pixels an em; None is drawn "N.C."."""
    minor = look.size("chord", "minor_size") * size
    if chord is None:
        return set_text(NO_CHORD, look.face("symbol"), minor)
    parts = chord_parts(chord)
    return join(tuple(chord_settings(parts, size, look)))


def chord_settings(parts: ChordPrint, size: float, look: Look) -> list[Setting]:
    """The parts of a chord symbol in the order they stand."""
    root, rest = look.face("title"), look.face("symbol")
    settings = [set_text(str(parts.root), root, size)]
    if parts.quality:
        settings.append(set_text(parts.quality, rest, look.size("chord", "minor_size") * size))
    if parts.superscript:
        raised = set_text(parts.superscript, rest, look.size("chord", "super_size") * size)
        settings.append(
            raise_text(raised, look.size("chord", "super_raise") * size, look.size("chord", "air"))
        )
    if parts.bass is not None:
        settings += [set_text("/", rest, size), set_text(str(parts.bass), root, size)]
    return settings


def raise_text(setting: Setting, rise: float, air: float) -> Setting:
    """Text lifted off the line, with a little air before it."""
    lifted = setting.at(air, -rise)
    return Setting(lifted.shapes, setting.advance + air, lifted.box)


def capsule_box(look: Look, setting: Setting, size: float) -> Box:
    """The box behind the current chord: `setting` stands at its place on the page."""
    ink = setting.box or Box(0, 0, 0, 0)
    baseline = setting.baseline
    pad = look.size("chord", "pad") * size
    bottom = baseline + pad
    return Box(ink.left - pad, bottom - look.size("chord", "height") * size, ink.right + pad, bottom)
