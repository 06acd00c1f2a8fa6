"""Scales that bars are said to use, and do not: "so call it Aeolian" where the sixth is raised.

Common practice, no source. The bars spoken of, those in sight, each chord there and the notes that are lit may be what
is meant: the scale must fit one of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.analysis.scales import scale_fits
from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, hull
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ROOT_NAME, root_said
from lessonmaker.script.plain.crosscheck.in_or_out import in_or_out
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.theory.pitch import NoteName
from lessonmaker.theory.scale import SCALES, scales_named

__all__ = ["notes_of_keys_said", "scales_said"]

MODE = (
    r"lydian dominant|phrygian dominant|lydian augmented|mixolydian flat (?:six|thirteen)|super[- ]?locrian"
    r"|half[- ]whole(?: diminished|(?= scale))|whole[- ]half(?: diminished|(?= scale))|whole[- ]tone(?= scale)"
    r"|altered(?= scale)"
    r"|(?:melodic|harmonic|natural) minor|(?:major|minor)(?= scale)|dorian|phrygian|lydian|mixolydian|aeolian"
    r"|locrian(?! (?:natural|sharp) (?:two|nine|2|9)\b)|ionian|(?:major |minor )?(?:pentatonic|blues(?= scale))"
)
SCALE = pattern_of(rf"(?<![\w-])(?:(?P<root>{ROOT_NAME}) )?(?P<name>{MODE})(?! scales|[\w-])(?: scale)?")
ROOT_AFTER = pattern_of(
    rf" (?:scale |mode )?(?:on|of|from|in) (?P<root>{ROOT_NAME})(?: (?P<mode>major|minor))?(?! (?:chord|seven|\d))"
)
OF_A_MODE = pattern_of(r"pentatonic|blues")
# What is not all of a scale, or is another's.
BUT_FOR = pattern_of(
    r"\b(?:except|apart from|aside from|but for|other than|minus|plus"
    r"|without (?:its|the|one|that)|almost|nearly|mostly|part of|some of"
    r"|hint|bits? of|half of|taste|would|could|might|only (?:the|one)|borrow\w*|stop\w*|like|will|week|lessons?"
    r"|practi\w+|learn\w*|passing|chromatic\w*|outside|added|extra)\b"
)
# Before a scale that is named because it is another one.
OTHER_THAN = pattern_of(
    r"\b(?:rather than|instead of|than|not|no|nor|or|never|\w+n't|until|then|before|after|out of|away from)"
    r"(?: \w+){0,4} $"
)


# Its sound, which needs not all of it, but what is named must be of it.
SOUND = pattern_of(
    r" (?:dominant )?(?:colou?r|sound|flavou?r|feel|vibe|tinge|quality|touch|taste|shade|hue)\b"
)
WIDER = {"lydian": ("lydian", "lydian dominant")}


def scales_said(told: Told) -> Iterator[Untrue]:
    """Scales by their names that no fair stretch of the music has."""
    for match in SCALE.finditer(told.text):
        if not scales_named(match["name"]) or _is_of_another(told, match):
            continue
        root, told_name = _root_of(told, match), _name_of(told, match)
        words = told.sentence.words(*match.span())
        if SOUND.match(told.text, match.end()):
            strange = _strange(told, match, root)
            if strange is not None:
                what = f"“{words}”: the {strange.written.name} at {told.music.position(strange)} is not in that scale"
                yield Untrue(*match.span(), what, "name the scale that is there")
            continue
        verdicts = [
            scale_fits(told.music.etude, span, name, root)
            for span in _stretches(told, match)
            for name in WIDER.get(told_name, (told_name,))
        ]
        judged = [verdict for verdict in verdicts if verdict is not None]
        if judged and all(verdict.verdict == "false" for verdict in judged):
            yield Untrue(*match.span(), f"“{words}”: {judged[0].text}", "name the scale that is there")


def _is_of_another(told: Told, match: re.Match[str]) -> bool:
    """Whether a scale is named because it is not all there, or as another one than is there."""
    before, after = told.text[: match.start()], told.text[match.end() :]
    return bool(BUT_FOR.search(told.text) or OTHER_THAN.search(before)) or OR.match(after) is not None


OR = pattern_of(r",? (?:or|nor|and then|then)\b")


def _strange(told: Told, match: re.Match[str], root: NoteName | None) -> Note | None:
    """A note that is lit and is not of a scale on a root, nor on that of the chord it sounds over."""
    scales = [
        SCALES[own] for name in WIDER.get(match["name"], (match["name"],)) for own in scales_named(name)
    ]
    lit = [each for each in told.shown if each.last <= match.start() or each.first >= match.end()]
    for note in (note for each in lit for note in each.notes):
        chord = told.music.finding(note).chord
        roots = {each.root.pitch_class for each in filter(None, (chord,))}
        roots |= {each.pitch_class for each in filter(None, (root,))}
        steps = {(note.sounding.name.pitch_class - each) % OCTAVE for each in roots}
        if steps and not any(step in scale.semitones for scale in scales for step in steps):
            return note
    return None


def _name_of(told: Told, match: re.Match[str]) -> str:
    """The name of a scale, with the mode that may stand after its root: "the pentatonic of E minor"."""
    after = ROOT_AFTER.match(told.text, match.end())
    if after is None or after["mode"] is None or not OF_A_MODE.fullmatch(match["name"]):
        return match["name"]
    return f"{after['mode']} {match['name']}"


def _root_of(told: Told, match: re.Match[str]) -> NoteName | None:
    """The root of a scale as it sounds, where it is named."""
    after = ROOT_AFTER.match(told.text, match.end())
    words = match["root"] or (after["root"] if after is not None else None)
    opens = not told.text[: match.start()].strip()
    if words is None or (words == "a" and (opens or told.sentence.written[match.start()] != "A")):
        return None  # an article
    return root_said(words).transposed(-told.music.score.transposition)


def _stretches(told: Told, match: re.Match[str]) -> list[Span]:
    """The stretches of music that may be meant: bars spoken of, all in sight, their chords, and what is lit."""
    bars = told.spans_at(match.start())
    found = [*bars, hull(told.spans)]
    chords = told.harmony.within(hull(told.spans))
    found += [
        Span(max(each.span.start, span.start), min(each.span.end, span.end))
        for each in chords
        for span in told.spans
        if each.span.start < span.end and span.start < each.span.end
    ]
    lit = [note for each in told.shown for note in each.notes]
    if len(lit) > 1:
        in_time = sorted(lit, key=lambda note: note.onset)
        found.append(Span(in_time[0].onset, in_time[-1].onset + INSTANT))
    return list(dict.fromkeys(found))


OF_A_KEY = pattern_of(
    r"\b(?:out of|diatonic to|notes? (?:of|from|in)|belongs? to|with?in|inside|in|from|fits?|lives? in)"
    r" (?:the key of |plain )?"
    rf"(?P<root>{ROOT_NAME}) (?P<mode>major|minor)(?! (?:seven|six|nine|triad|chord|pentatonic|blues|\d))(?![\w-])"
)
ALL_OF_IT = pattern_of(
    r"\b(?:every(?:thing)?(?: single)?|all(?: of)?(?: the)? (?:notes|these|it)|each note|nothing (?:but|outside)"
    r"|entirely|purely)\b"
)
KEYS = {"major": ("major",), "minor": ("aeolian", "harmonic minor", "melodic minor")}


def notes_of_keys_said(told: Told) -> Iterator[Untrue]:
    """Notes that are all said to be of a key, of which some are not; what is said to be of a chord, or common."""
    yield from in_or_out(told)
    for match in OF_A_KEY.finditer(told.text):
        first = told.part_of(match.start())[0]
        if ALL_OF_IT.search(told.text[first : match.start()]) is None or BUT_FOR.search(told.text):
            continue
        tonic = root_said(match["root"]).transposed(-told.music.score.transposition).pitch_class
        own = {(tonic + above) % OCTAVE for name in KEYS[match["mode"]] for above in SCALES[name].semitones}
        foreign = [_foreign(told, span, own) for span in _stretches(told, match)]
        if foreign and all(foreign):
            strange = foreign[0][0]
            what = f"the {strange.written.name} at {told.music.position(strange)} is not in that key"
            yield Untrue(match.start("root"), match.end(), what, "say which notes are of it")


def _foreign(told: Told, span: Span, own: set[int]) -> list[Note]:
    """The notes of a stretch that are not among some pitch classes."""
    return [note for note in told.music.line_in(span) if note.sounding.name.pitch_class not in own]
