"""What is said to be in a chord or a key, or common to two chords, and is not: "the A belongs to the E flat chord".

Common practice, no source. A note may be a tone of any chord that it sounds over; a key has the notes of its major
scale, or of all its minor ones.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.score.model import Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ROOT_NAME, root_said, sounding
from lessonmaker.script.plain.crosscheck.bearers import chords_at
from lessonmaker.script.plain.crosscheck.loose_letters import letters_in
from lessonmaker.script.plain.crosscheck.near import chords_near, is_so_named
from lessonmaker.script.plain.crosscheck.stretch_told import stretches_told
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.heard import Harmony, Heard
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.stance_words import DENIALS
from lessonmaker.theory.chord import chord_tones, family, readings
from lessonmaker.theory.degree import is_chord_tone
from lessonmaker.theory.scale import SCALES

__all__ = ["in_or_out"]

# What makes a note one of its chord's.
OF_THE_CHORD = pattern_of(
    r"\b(?:(?:belongs?|native) to|(?:is|'s) (?:just |simply |plainly )?(?:part|a (?:tone|note|member)) of"
    r"|comes? (?:straight |right )?(?:out of|from)|(?:is|'s) (?:right )?(?:inside|in)|lives in"
    r"|you(?:'ve| have) got it in|(?:is|'s) at home in) (?:the|this|that|our|your) (?:[\w-]+ ){0,4}?(?:chord|harmony)\b"
    r"|\b(?:is|'s) (?:just |simply |really |only |nothing but )?an? (?:plain |ordinary |simple |regular )?chord tone\b"
    r"|\bno tension (?:at all|whatsoever)\b"
)
UNALTERED = pattern_of(
    r"\b(?:nothing(?:'s| is)? altered|no alterations?(?: at all| anywhere)?|not (?:an|one|a single) alteration"
    r"|(?:every|each) (?:single )?note (?:comes |is )?(?:straight |right )?(?:out of|from|in) the chord"
    r"|entirely unaltered|nothing but chord tones|only chord tones|all chord tones)\b"
)
LESS = pattern_of(
    r"\b(?:until|till|except|plus|besides|apart|but|almost|nearly|mostly|first|last|then|before|after"
    r"|on (?:the )?beats?|instead|play|use|try|stick)\b"
)
DIATONIC = pattern_of(
    rf"\b(?:is|'s|are) (?:perfectly |purely |fully |completely |strictly |just )?diatonic (?:in|to) (?:the key of )?"
    rf"(?:(?P<tonic>{ROOT_NAME})(?: (?P<mode>major|minor))?|(?:the|our) (?:home )?key)(?![\w'-])"
)
ALL_IN_COMMON = pattern_of(
    r"\b(?:shar(?:e|es|ing) (?:nothing but|only|just|no more than)|(?:have|has) (?:nothing but|only|just)|only)"
    r"(?: one (?:note|tone)[,:]?)? (?:the |an? )?$"
)
COMMON = pattern_of(r"\b(?:shar\w+|common)\b")
NATURAL = ("1", "9", "3", "b3", "11", "4", "5", "13", "6", "7", "b7")


def in_or_out(told: Told) -> Iterator[Untrue]:
    """Notes and chords that are said to be of a chord or a key, or to be common, and are not."""
    yield from _of_the_chord(told)
    yield from _unaltered(told)
    yield from _diatonic(told)
    yield from _in_common(told)


def _of_the_chord(told: Told) -> Iterator[Untrue]:
    """A note that is said to be its chord's, and is none of any chord that it sounds over."""
    for match in OF_THE_CHORD.finditer(told.text):
        shown = told.shown_before(match.start())
        part = told.part_of(match.start())[0]
        if shown is None or len(shown.notes) != 1 or shown.first < part:
            continue
        if pattern_of(DENIALS).search(told.text[part : match.start()]) or _is_tone(told, shown.notes[0]):
            continue
        note = shown.notes[0]
        what = (
            f"the {note.written.name} at {told.music.position(note)} is the {told.music.finding(note).degree}"
        )
        yield Untrue(*match.span(), what, "say what it is", told.music.target_of(note))


def _is_tone(told: Told, note: Note) -> bool:
    """Whether a note is a tone of a chord that it sounds over, or nothing is known of that."""
    chords = chords_at(note, told)
    pitch = note.sounding.name.pitch_class
    return not chords or any(
        pitch in chord_tones(way) for chord in chords for way in (chord, *readings(chord))
    )


def _unaltered(told: Told) -> Iterator[Untrue]:
    """Notes that are all said to be natural ones, or tones of the chord, where in each stretch one is not."""
    for match in UNALTERED.finditer(told.text):
        begin, end = told.part_of(match.start())[0], told.part_of(match.end() - 1)[1]
        if LESS.search(told.text[begin:end]):
            continue
        strict = "chord" in match[0]
        odd = [
            next((note for note in each if _is_odd(told, note, strict=strict)), None)
            for each in stretches_told(told, *match.span())
        ]
        if odd and odd[0] is not None and all(odd):
            degree, at = told.music.finding(odd[0]).degree, told.music.position(odd[0])
            what = f"“{told.sentence.words(*match.span())}”: there is the {degree} at {at}"
            fact = told.is_fact(*match.span())
            yield Untrue(*match.span(), what, "say which are", told.music.target_of(odd[0]), meant=fact)


def _is_odd(told: Told, note: Note, *, strict: bool) -> bool:
    finding = told.music.finding(note)
    if finding.chord is None or finding.degree is None or is_chord_tone(finding.degree, finding.chord):
        return False
    if strict:
        return not _is_tone(told, note)
    return finding.degree not in NATURAL and family(readings(finding.chord)[0]) in ("dominant", "altered")


def _diatonic(told: Told) -> Iterator[Untrue]:
    """Chords that are said to be diatonic in a key, and have a note that is not of it."""
    harmony = told.harmony
    near = chords_near(told, harmony)
    for match in DIATONIC.finditer(told.text):
        names = [name for name in told.chords_named if name.last <= match.start()]
        own = [each for each in near if names and is_so_named(names[-1], each)]
        scale = _key_notes(match, harmony)
        if not own or not scale or match["tonic"] == "a":
            continue
        if all(set(_tones(each)) - scale for each in own):
            words = told.sentence.words(*match.span())
            yield Untrue(
                *match.span(), f"“{words}”: not all of {own[0].text} is of that key", "say what it is"
            )


def _key_notes(match: re.Match[str], harmony: Harmony) -> set[int]:
    """The pitch classes, as they sound, of a key that is named, or of home."""
    home = harmony.home
    if match["tonic"]:
        tonic, mode = sounding(root_said(match["tonic"]), harmony), match["mode"] or ""
    elif home is not None:
        tonic, mode = home.tonic.pitch_class, "" if home.mode in ("major", "minor") else home.mode
    else:
        return set()
    is_home = home is not None and home.tonic.pitch_class == tonic
    mode = mode or (home.mode if is_home and home is not None else "major")
    scales = ("major",) if mode == "major" else ("aeolian", "harmonic minor", "melodic minor")
    return {(tonic + step) % OCTAVE for name in scales for step in SCALES[name].semitones}


def _tones(each: Heard) -> set[int]:
    return set(chord_tones(readings(each.chord)[0]))


def _in_common(told: Told) -> Iterator[Untrue]:
    """The one note that two chords by their names are said to share, where they share more, or not that one."""
    harmony = told.harmony
    near = chords_near(told, harmony)
    found = [next((each for each in near if is_so_named(name, each)), None) for name in told.chords_named]
    pair = [each for each in found if each is not None]
    if len(pair) != 2 or pair[0] == pair[1] or not COMMON.search(told.text):
        return
    shared = _tones(pair[0]) & _tones(pair[1])
    for letter in letters_in(told.sentence):
        only = ALL_IN_COMMON.search(told.text[: letter.first])
        if only is None:
            continue
        named = sounding(named_note(letter.name), harmony)
        if shared != {named}:
            both = f"{pair[0].text} and {pair[1].text} have {len(shared)} notes in common"
            yield Untrue(only.start(), letter.last, both, "name all that they share")
