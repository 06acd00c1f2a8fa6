"""Chords that are named, and are not there or of another kind: "for two bars the harmony is F minor" where it is F7.

A name may be that of a key, of a triad that the line spells, or of what another chord stands in for. Common practice,
no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.score.position import hull
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import ChordName
from lessonmaker.script.plain.chord_words import FIFTH, NO_CHORD, TRITONE
from lessonmaker.script.plain.crosscheck.near import (
    chords_near,
    is_key_near,
    is_so_named,
    mode_said,
    root_of,
    told_at,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.heard import DOMINANT, Harmony, Heard, is_minor
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.named_chords import is_note_with_octave

__all__ = ["chords_said"]

# What stands in for a chord that is named; what is no chord by itself; what is likened to one elsewhere.
STANDS_IN = pattern_of(
    r"\b(?:tritone|sub\w*|stand\w*|stood|instead|in place|place of|jobs?|duty|replac\w*|disguise)\b"
)
SHAPE = pattern_of(
    r"\b(?:triads?|upper[- ]structures?|upper part|arpeggio\w*|grips?|shapes?|sit(?:s|ting)? on|sp(?:ell|elt)\w*"
    r"|outlin\w*|lai[dn] (?:over|across|on)|lies (?:over|across)|superimpos\w*|stack\w*|on top)\b"
)
LIKENED = pattern_of(r"\b(?:same|as|like|than|earlier|before|again|later|back|from|familiar)\b")
OF_ANOTHER_KEY = pattern_of(
    r"\b(?:borrow\w*|parallel|relative|on loan|modal|out of|outta|comes? from|wants? to be)\b"
)
# What is said of the bars in sight alone.
HARMONY_IS = pattern_of(
    r"\b(?:harmony|chords?) (?:here |there |now )?(?:is|are|stays?(?: on)?|remains?) (?:an? |the |just |still )*$"
)
ARTICLE = pattern_of(
    r"a (?:dominant|(?:flat|sharp) (?:five|six|nine|eleven|thirteen)\b"
    r"|(?:major|minor) (?:second|third|six|seven|nin)(?:th)?\b(?!\s*[,;:]))"
)
JOINS = {"then", "and", "to", "next"}
TRIADS = {"major": (0, 4, 7), "minor": (0, 3, 7)}


def chords_said(told: Told) -> Iterator[Untrue]:
    """Chords by their names and kinds that neither the bars in sight nor the chords next to them have."""
    harmony = told.harmony
    near = chords_near(told, harmony)
    inside = harmony.within(hull(told.spans))
    for name in () if _is_mere_list(told) else told.chords_named:
        if not near or not name.families or not _is_a_chord(told, name):
            continue
        there = near if HARMONY_IS.search(told.text[: name.first]) is None else inside
        if any(is_so_named(name, each) for each in there) or _is_key(told, name, there, harmony):
            continue
        if _is_another_thing(told, name, near, harmony) or _is_spelled(told, name, harmony):
            continue
        root, words = root_of(name, harmony), told.sentence.words(name.first, name.last)
        own = [each for each in near if root in each.roots]
        what = told_at(own[0], harmony) if own else harmony.said(near[1:-1] or near)
        yield Untrue(
            name.first,
            name.last,
            f"there is no {words} in sight, but {what}",
            "name the chord that is there",
        )


def _is_mere_list(told: Told) -> bool:
    """Whether a sentence has nothing but names: "B flat seven, then C seven"."""
    rest = "".join(
        char
        for at, char in enumerate(told.text)
        if not any(n.first <= at < n.last for n in told.chords_named)
    )
    return set(pattern_of(r"\w+").findall(rest)) <= JOINS


def _is_a_chord(told: Told, name: ChordName) -> bool:
    """Whether nothing makes a name another thing's: a scale's, an article's, or a note's with its octave."""
    if is_note_with_octave(told.text, name.first, name.last, told.music):
        return False
    return not NO_CHORD.match(told.text, name.last) and not ARTICLE.match(told.text, name.first)


def _is_key(told: Told, name: ChordName, near: Sequence[Heard], harmony: Harmony) -> bool:
    """Whether a name may be that of a key that is heard, of home, or of the one that a dominant in sight leads to."""
    mode, root = mode_said(told, name), root_of(name, harmony)
    if not mode:
        return False
    home = harmony.home
    at_home = home is not None and home.tonic.pitch_class == root and is_minor(home) == (mode == "minor")
    if at_home or is_key_near(root, mode, near, harmony):
        return True
    fifth = (root + FIFTH) % OCTAVE
    leads = any(each.family in DOMINANT and fifth in each.roots for each in near)
    return leads and all(root not in each.roots for each in near)


def _is_another_thing(told: Told, name: ChordName, near: Sequence[Heard], harmony: Harmony) -> bool:
    """Whether a chord is named as what another stands in for, as a shape of the line, or as one from elsewhere."""
    if STANDS_IN.search(told.text) and set(name.families) & DOMINANT:
        other = (root_of(name, harmony) + TRITONE) % OCTAVE
        if any(other in each.roots and each.family in DOMINANT for each in near):
            return True
    if SHAPE.search(told.text) or OF_ANOTHER_KEY.search(told.text):
        return True
    return LIKENED.search(told.text) is not None and any(is_so_named(name, each) for each in harmony.chords)


def _is_spelled(told: Told, name: ChordName, harmony: Harmony) -> bool:
    """Whether the line has all notes of a triad by whose name a chord is called."""
    mode, root = mode_said(told, name), root_of(name, harmony)
    struck = {note.sounding.name.pitch_class for note in told.notes_in(told.spans)}
    return bool(mode) and all((root + above) % OCTAVE in struck for above in TRIADS[mode])
