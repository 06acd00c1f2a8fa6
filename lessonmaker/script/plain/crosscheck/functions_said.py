"""What chords are to each other and to the piece: "treat F seven as the five of E flat minor", "a blues in F".

Common practice, no source. Two chords that are named stand as far apart as what one is said to be of the other.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonmaker.score.model import Bar
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ROOT_NAME, root_said, sounding
from lessonmaker.script.plain.crosscheck.near import root_of
from lessonmaker.script.plain.crosscheck.steps_said import steps_said
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.heard import is_minor
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.stance_words import ELSEWHERE
from lessonmaker.script.plain.vocabulary import CARDINALS

__all__ = ["functions_said", "home_said", "metre_said"]

SUBSTITUTE = 6  # half steps
# What one chord is of another, and how far its root is above that of the other.
OF_ANOTHER: tuple[tuple[str, int], ...] = (
    (r"(?:secondary dominant|dominant|five|5|v)(?: chord| seven)? (?:of|to)", 7),
    (r"(?:two|2|ii)(?: chord)? of", 2),
    (r"relative minor(?: chord| key)? (?:of|to)", 9),
    (r"relative major(?: chord| key)? (?:of|to)", 3),
    (r"(?:tritone )?(?:substitut\w+|sub) (?:for|of)", SUBSTITUTE),
)
OTHER = rf" (?:the |our )?(?P<other>{ROOT_NAME})"
RELATIONS = tuple((pattern_of(rf"(?<![\w-]){words}{OTHER}"), above) for words, above in OF_ANOTHER)
# Between a chord and what it is: no other chord or note.
IS = pattern_of(
    r"(?: chord)?(?: (?:here|there|now|in bar \w+))?,?"
    r"(?:(?: (?:that|which|it))?(?:'s| is| was)| as|"
    r" (?:(?:is|'s) )?(?:act(?:s|ing)?|work(?:s|ing)?|function(?:s|ing)?|serv(?:es?|ing)"
    r"|st(?:ands|anding) in|fill(?:s|ing) in) as| being)"
    r"(?: (?:simply|just|really|only|the|an?|our|your|its))* "
)
OF_A_CHORD = pattern_of(
    r" (?:seven|7|altered|dominant|minor seven|major seven)"
)  # "the five of G seven": a note


def functions_said(told: Told) -> Iterator[Untrue]:
    """Chords by their names that are said to be something of another, or of a key, and are not by their roots."""
    yield from steps_said(told)
    yield from dominants_aimed(told)
    harmony = told.harmony
    for pattern, above in RELATIONS:
        for match in pattern.finditer(told.text):
            before = [name for name in told.chords_named if name.last <= match.start()]
            if not before or IS.fullmatch(told.text[before[-1].last : match.start()]) is None:
                continue
            if OF_A_CHORD.match(told.text, match.end()) and above != SUBSTITUTE:
                continue
            if told.sentence.is_article(match, "other"):
                continue
            apart = (root_of(before[-1], harmony) - sounding(root_said(match["other"]), harmony)) % OCTAVE
            if apart != above:
                words = told.sentence.words(before[-1].first, before[-1].last)
                what = f"{words} is not the {told.sentence.words(*match.span())}"
                yield Untrue(*match.span(), what, "say what it is of the other")


# "A secondary dominant takes us to D": the chord that it leads to.
LEADS_TO = pattern_of(
    r"(?: chord)?(?: (?:here|there|in bar \w+))?,?(?: (?:that|which))?"
    r" (?:aims|aimed|aiming|points|pointing|leads|leading|pulls|pulling|pushes|pushing|resolves|resolving|goes|going"
    r"|takes|taking|brings|bringing|gets|getting|carries|carrying)(?: (?:us|you|it|the line|the music))?"
    rf"(?: (?:back|home|straight|right|on|over|up|down))* (?:to|into|at|towards?)(?: the| an?)? (?P<goal>{ROOT_NAME})"
    r"(?= (?:major|minor|seven|six|dominant|altered)|\s*(?:[,.;:!?]|$)| (?:in|and|which|where)\b)"
)


def dominants_aimed(told: Told) -> Iterator[Untrue]:
    """A dominant that is lit and leads to another chord than the one that is named, which is not near it either."""
    harmony = told.harmony
    for shown in told.shown:
        device = shown.device
        match = LEADS_TO.match(told.text, shown.last)
        if (
            device is None
            or device.kind not in ("secondary dominant", "substitute dominant")
            or match is None
        ):
            continue
        if told.sentence.is_article(match, "goal"):
            continue
        own = harmony.within(device.span)
        near = [*own, *filter(None, [harmony.after(own[-1])])] if own else []
        goal = sounding(root_said(match["goal"]), harmony)
        if near and goal not in frozenset[int]().union(*(each.roots for each in near)):
            words = told.sentence.words(*match.span("goal"))
            what = f"the {device.kind} {harmony.said(near[:-1])} leads to {near[-1].text}, not to {words}"
            yield Untrue(shown.first, match.end(), what, "name the chord that it leads to")


ANOTHER_DAY = pattern_of(
    r"\b(?:yesterday|tomorrow|last|next|week|worked|studied|played|another|other|will|'ll)\b"
)
HOME = pattern_of(
    rf"\b(?:blues|etude|tune|piece|song|solo|whole thing|study)\b[^.;:,]{{0,30}}? in (?:the key of )?"
    rf"(?P<root>{ROOT_NAME})(?: (?P<mode>major|minor))?(?! (?:seven|\d|chord|instrument|clarinet|sax\w*|trumpet))"
)


def _is_elsewhere(told: Told) -> bool:
    """Whether a sentence is of another piece, or another day."""
    return bool(ELSEWHERE.search(told.text) or ANOTHER_DAY.search(told.text))


def home_said(told: Told) -> Iterator[Untrue]:
    """The key of the whole piece, where neither home nor its outer chords are on that tonic."""
    harmony = told.harmony
    home, chords = harmony.home, harmony.chords
    for match in HOME.finditer(told.text) if home is not None and chords and not _is_elsewhere(told) else ():
        assert home is not None
        if told.sentence.is_article(match, "root"):
            continue
        tonic = sounding(root_said(match["root"]), harmony)
        modes = {home.tonic.pitch_class: is_minor(home)}
        modes |= {each.root: each.family == "minor" for each in (chords[0], chords[-1])}
        minor = match["mode"] == "minor"
        if tonic not in modes or (match["mode"] and modes[tonic] != minor):
            sign = {-1: " flat", 1: " sharp"}.get(
                home.tonic.transposed(told.music.score.transposition).alter, ""
            )
            name = home.tonic.transposed(told.music.score.transposition).step
            yield Untrue(
                match.start("root"), match.end(), f"it is in {name}{sign} {home.mode}", "name its key"
            )


METRE = pattern_of(
    r"\b(?:in|it's|is|a|this is) (?:an? )?(?P<beats>two|three|four|five|six|seven|nine|twelve|[2-9]|12)(?:[ -]|/)"
    r"(?P<unit>four|eight|4|8)(?: time| metre| meter)\b"
    r"|\b(?P<waltz>(?:this|it|etude|tune|piece|whole thing)(?: is|'s)(?: really)? an? (?:jazz )?waltz\b)"
    r"|\b(?P<sum>[2-9]|12)/(?P<low>[48])\b"
)


def metre_said(told: Told) -> Iterator[Untrue]:
    """A metre that no bar of the score has."""
    bars = told.music.score.bars
    for match in METRE.finditer(told.text) if not _is_elsewhere(told) else ():
        if not any(_is_metre(bar, match) for bar in bars):
            metre = bars[0].metre
            what = f"the metre is {metre.beats}/{metre.unit}"
            yield Untrue(*match.span(), what, "name the metre of the score")


def _is_metre(bar: Bar, match: re.Match[str]) -> bool:
    """Whether a bar has a metre that is said."""
    if match["waltz"]:
        return bar.metre.beats % 3 == 0
    beats, unit = match["beats"] or match["sum"], match["unit"] or match["low"]
    numbers = [CARDINALS.get(word) or int(word) for word in (beats, unit)]
    return [bar.metre.beats, bar.metre.unit] == numbers
