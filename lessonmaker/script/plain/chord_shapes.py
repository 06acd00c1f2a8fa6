"""Chords that the line spells out: "an E major triad", "the diminished seventh arpeggio", "every note of the chord".

Common practice, no source. A chord is spelt out by notes next to each other that are all its own and have all of it,
in any order and octave.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from itertools import groupby

from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim, words_like
from lessonmaker.script.plain.contour import one_way
from lessonmaker.script.plain.shape import Shape, shape_said
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import FALL, RISE, inflected, way_of
from lessonmaker.theory.chord import chord_tones, readings, transpose_chord
from lessonmaker.theory.degree import is_chord_tone

__all__ = [
    "CHORD_ENDS",
    "CHORD_MEMBERS",
    "CHORD_RUN",
    "CHORD_SHAPE",
    "MOSTLY",
    "PARTLY",
    "SPELT",
    "TRIADS",
    "chord_claims",
    "runs_of",
    "runs_of_chords",
    "runs_over",
    "runs_through",
    "steps_of",
]

CHORD_SHAPE, CHORD_MEMBERS, CHORD_RUN = "chord shape", "chord members", "chord run"
CHORD_ENDS = "chord ends"
TRIADS = {"major": (0, 4, 7), "minor": (0, 3, 7), "diminished": (0, 3, 6), "augmented": (0, 4, 8)}
"""Semitones above the root."""
SEVENTH = r"[ -]sevenths?|[ -]seven|7"
# (what a chord is called, its semitones above the root)
SEVENTHS = (
    (rf"(?:fully[ -])?diminished(?:{SEVENTH})", (0, 3, 6, 9)),
    (rf"half[ -]diminished(?:{SEVENTH})?", (0, 3, 6, 10)),
    (rf"dominant(?:{SEVENTH})", (0, 4, 7, 10)),
    (rf"minor(?:{SEVENTH})", (0, 3, 7, 10)),
    (rf"major(?:{SEVENTH})", (0, 4, 7, 11)),
)
# Those that are told by a number alone have a root's name before it: "the C seven arpeggio".
ROOTED = (
    (r"m(?:in)?7b5", (0, 3, 6, 10)),
    (r"dim7", (0, 3, 6, 9)),
    (r"m(?:in)?7", (0, 3, 7, 10)),
    (r"maj7", (0, 4, 7, 11)),
    (r"m(?:in)?6", (0, 3, 7, 9)),
    (r"m(?:in)?9", (0, 3, 7, 10, 2)),
    (r"maj9", (0, 4, 7, 11, 2)),
    (r"m(?:in)?", (0, 3, 7)),
    (r"minor[ -]six(?:th)?", (0, 3, 7, 9)),
    (r"(?:major[ -])?six(?:th)?|6", (0, 4, 7, 9)),
    (r"minor[ -](?:nine|ninth)", (0, 3, 7, 10, 2)),
    (r"major[ -](?:nine|ninth)", (0, 4, 7, 11, 2)),
    (r"nine|ninth|9", (0, 4, 7, 10, 2)),
    (r"seven(?:th)?|7", (0, 4, 7, 10)),
)
ROOT = r"(?P<root>[a-g](?:b|#|[ -](?:flat|sharp))?)"
KIND = rf"(?P<kind>{'|'.join(TRIADS)})"
SEVENTH_KIND = rf"(?P<kind>{'|'.join(name for name, _ in SEVENTHS)}|diminished|augmented)"
ROOTED_KIND = rf"(?P<kind>{'|'.join(name for name, _ in (*SEVENTHS, *ROOTED))}|{'|'.join(TRIADS)})"
FORM = r"(?:arpeggios?|shapes?|chord,? spel[lt]\w*(?: out)?)"
# A line that goes through a chord, and what does so by its words alone.
SPELLS = rf"(?:{inflected('spell, outline, trace, arpeggiate, delineate')})(?: out)?"
ARTICLE = r"(?:(?:the|an?|that|our|its|whole|full|complete|plain|ordinary|straight|simple|little|nice) )*"
A_CHORD = r"(?:chord|triad|arpeggio|shape)"
# A triad over another chord.
UPON = r"(?:(?:sitting|stacked|laid|placed|played|superimposed|right|straight|just) )*(?:over|on top of|above|against)"
A_SEVENTH = (
    r"(?:the |that |an? |our )?[a-g](?:b|#|[ -]flat|[ -]sharp)? ?"
    r"(?:seven(?:th)?|7|9|13|nine|thirteen|dominant|alt\w*|sus\w*|minor|major|half|m7|maj7|dim\w*)"
)
NAMED_FORM, NAMED_ARPEGGIO = rf"{ROOT} ?{ROOTED_KIND} {FORM}", rf"{ROOT} arpeggios?"
DIRECTED = (NAMED_FORM, NAMED_ARPEGGIO, f"{SEVENTH_KIND} {FORM}")
CLAIMS = (
    rf"{ROOT}(?: {KIND})? triad",
    rf"(?:{KIND} )?triad (?:of|on|from) {ROOT}",
    rf"(?:{SPELLS}) {ARTICLE}{ROOT}(?: ?{ROOTED_KIND})?(?: {A_CHORD})(?!s)",
    rf"(?:{SPELLS}) {ARTICLE}{ROOT} ?{ROOTED_KIND}(?!s)",
    NAMED_FORM,
    rf"{ROOT} (?P<kind>major|minor)(?= {UPON} {A_SEVENTH})",
    NAMED_ARPEGGIO,
    rf"{ROOT} ?{ROOTED_KIND},?(?= (?:without|minus|but no|with no) (?:(?:the|its|a|any) )?root\b)",
    rf"(?<=rootless ){ROOT} ?{ROOTED_KIND}",
    rf"upper[ -]structure,? {ROOT} (?P<kind>major|minor)",
    rf"{SEVENTH_KIND} {FORM}",
    rf"{KIND} triad(?! (?:of|on|from|off|over|built|that|up from|based|a tritone|from"
    r"|an? (?:\w+[ -]){1,2}(?:above|up|over))\b)",
    rf"(?:up|down|through) the (?P<kind>{'|'.join(name for name, _ in SEVENTHS)}|(?:minor|major) nine)(?=[:,.;])",
)
SPELT = pattern_of(SPELLS)
MEMBERS = (
    r"(?:every|each|all)(?: single| one)?(?: of)?(?: the| its)?(?: three| four| five)?(?: last)?"
    r" (?:members?|notes?|tones?)"
    r"(?= (?:of|in) (?:the|that|this|our) (?:(?!scale|key|over)[\w-]+ ){0,3}(?:chord|seven(?:th)?|triad)\b)"
)


# "Those four notes are nothing but a diminished seventh chord"; "the chord is spelled out from the bottom up".
NOTES_ARE = pattern_of(
    r"\b(?:notes|triplet|figure|run|line|(?:without|minus|leav\w+ (?:out|off)|skip\w*|omit\w*) (?:its|the) root"
    r"|(?<!^)it|^it(?![^.;:]* chord (?:in|over) (?:the \w+ )?(?:bar|measure)\b))\b"
    r"[^.;:]*?(?:'s|\b(?:are|is|spells?|makes?|forms?|outlines?))(?: up| out)?"
    rf"(?: nothing but| just| simply)? an? (?P<what>{SEVENTH_KIND} chord)"
)
# "The triad above this dominant is that of E major".
TRIAD_IS = pattern_of(
    rf"\b(?:triad|upper[ -]structure)\b[^,;:.]{{0,32}} (?:is|was)(?: (?:just|simply|really|actually))?"
    rf" (?:that of |an? (?=[a-g]))?(?P<what>{ROOT} {KIND})(?! (?:triad|seven|scale|chord|arpeggio))\b"
)
SPELT_OUT = (
    r"chord (?:is |gets )?(?:simply |just )?(?:spelled|spelt|outlined)(?: out)?"
    r"|(?:spells?|outlines?|traces?) (?:the|its|that) (?:whole |full )?chord(?: out)?"
)


# "The C minor seven is simply spelled out from the root up to the seventh".
AN_END = (
    r"(?:(?:flat|sharp|flatted|raised|natural|minor|major)[ -])?"
    r"(?:root|third|fifth|seventh|ninth|eleventh|thirteenth|three|five|seven|nine|eleven|thirteen)"
)
FROM_END_TO_END = (
    r"(?P<does>(?:chord )?(?:(?:is|gets) )?(?:\w+ly |just )?(?:spell(?:ed|s)|spelt|laid|unfold(?:ed|s)|broken"
    r"|arpeggiate[ds]|outline[ds]|open(?:ed|s)|unroll(?:ed|s)|stacked)(?: out| up)?),? from (?:its |the )?"
    rf"(?P<low>{AN_END})(?: (?:right|straight|all the way))*(?: (?:up|down)(?:wards?)?)? (?:to|through to)"
    rf" (?:its |the |an? )?(?P<high>{AN_END})"
)
# "Down the F minor, up the B flat seven"; "climbs through the C seven"; "straight up the minor nine".
GOING = inflected(
    f"{FALL}, {RISE}, go, run, walk, come, move, step, skip, leap, slide, spill, sweep, race, work, play, spell, "
    "arpeggiate, head"
)
RIGHT = r"(?:(?:straight|right|all the way|back|just|simply|steadily) )*"
THROUGH = (
    rf"(?:(?:(?P<verb>{GOING}) )?{RIGHT}(?:(?P<way>up|down)(?: through| along| over)?|through)"
    rf"|(?P<climbs>{inflected('climb, ascend, descend')})) (?:the|that|this|our|an?)"
)
NAMED_CHORD = (
    r"(?= [a-g](?:[ -](?:flat|sharp)|b|#)?[ -]?"
    r"(?:minor|major|seven|7|half|dim|diminished|augmented|dominant|sus|altered|six|nine|m(?:aj|in)?[679]?|m7b5|dim7"
    r"|chord)\b)"
)
OF_A_KIND = (
    r" (?P<kind>(?:minor|major|dominant)(?= (?:seven|nine|six|eleven|thirteen)\b)|half[- ]diminished|diminished)"
    r"(?: (?:seven|nine|six|eleven|thirteen))?(?!\w| (?:chord|shape|arpeggio|triad|scale|seventh|fifth|fourth))"
)
# Before "up" or "down" that belongs to no verb: not "it lights up the D seven".
OPENS_A_PART = pattern_of(
    r"(?:^|[,;:.(])\s*(?:\w+,? )?$|\b(?:and|then|now|so|run|arpeggio|line|notes|it's|that's|all|is) $"
)
FEWEST = 3  # notes of a run
PARTLY, MOSTLY = (
    0.5,
    0.75,
)  # how much of what is struck over its chord it is, to be meant, and to be all that is there


def _runs_said(sentence: Sentence) -> Iterator[Claim]:
    """What is said to go up or down a chord: its `detail` is the kind, if only that is said."""
    for pattern in (f"{THROUGH}{NAMED_CHORD}", f"{THROUGH}{OF_A_KIND}"):
        for match in words_like(pattern).finditer(sentence.text):
            verb = match["verb"] or match["climbs"] or ""
            way = way_of(match["way"] or verb)
            kind = match.groupdict().get("kind") or ""
            if way and (verb or OPENS_A_PART.search(sentence.text[: match.start()])):
                yield Claim(
                    "device", match.start(), match.end(), CHORD_RUN, (), kind, shape=Shape(way), sure=False
                )


def runs_through(notes: Sequence[Note], way: int, share: float) -> list[Note]:
    """The notes that go one way, if they are most of some notes over a chord; else none."""
    run = max(one_way(notes, way), key=len, default=[])
    return run if len(run) >= max(FEWEST, share * len(notes)) else []


def chord_claims(sentence: Sentence) -> Iterator[Claim]:
    """What a sentence says of chords that the line spells out; `names` has the root, `detail` the kind, if said."""
    for pattern in CLAIMS:
        for match in words_like(pattern).finditer(sentence.text):
            said = match.groupdict()
            root = said.get("root")
            if root == "a" and _is_article(sentence, match.start("root")):
                continue
            if pattern.endswith(DIRECTED) and shape_said(sentence.text, *match.span()).way:
                continue  # an arpeggio that goes up, which a device of the line has to do
            names = (root,) if root else ()
            last = _end_of(sentence, match) if root else match.end()
            yield Claim("device", match.start(), last, CHORD_SHAPE, names, said.get("kind") or "", sure=False)
    yield from _runs_said(sentence)
    for match in NOTES_ARE.finditer(sentence.text):
        yield Claim("device", *match.span("what"), CHORD_SHAPE, (), match["kind"], sure=False)
    for match in TRIAD_IS.finditer(sentence.text):
        yield Claim("device", *match.span("what"), CHORD_SHAPE, (match["root"],), match["kind"], sure=False)
    spread = list(words_like(FROM_END_TO_END).finditer(sentence.text))
    for match in spread:
        yield Claim("device", *match.span("does"), CHORD_ENDS, (match["low"], match["high"]), sure=False)
    for match in words_like(f"{MEMBERS}|{SPELT_OUT}").finditer(sentence.text):
        if any(match.start() < other.end() and other.start() < match.end() for other in spread):
            continue
        yield Claim("device", match.start(), match.end(), CHORD_MEMBERS, sure=False)


# Tones of a triad that is named, and not of the chord below it: "root to fifth", "spelled from its third".
OVER_IT = (
    r"(?:over|on top of|on|above|against) (?:the |that |an? )?[a-g](?:b|#|[ -]flat|[ -]sharp)? ?"
    r"(?:7|seven(?:th)?|alt\w*|dominant)(?: chord)?"
)
OF_THE_TRIAD = pattern_of(
    rf"(?: (?:{UPON}|sitting on|stacked on) {A_SEVENTH}(?: chord)?| {OVER_IT})?,? "
    r"(?:(?:is |was |gets )?(?:spelled|spelt|played|built|laid out|arpeggiated|starting|beginning)(?: out)? )?"
    r"(?:from |on )?(?:its |the )?(?:root|third|fifth)(?:,? (?:up |down )?(?:to|through) (?:its |the )?"
    r"(?:root|third|fifth))?(?![\w'])(?! (?:of|and)\b)"
)
UPPER = pattern_of(rf"\bupper[ -]structure|\b{OVER_IT}")


def _end_of(sentence: Sentence, match: re.Match[str]) -> int:
    """Where the words of a triad end, with its own tones that are named where it stands over another chord."""
    tones = OF_THE_TRIAD.match(sentence.text, match.end())
    return tones.end() if tones is not None and UPPER.search(sentence.text) else match.end()


def _is_article(sentence: Sentence, first: int) -> bool:
    return sentence.written[first] == "a" or not first


def steps_of(kind: str) -> tuple[tuple[int, ...], ...]:
    """The chords that a kind may be, as semitones above the root; all that are common triads where none is said."""
    if not kind:
        return (TRIADS["major"], TRIADS["minor"])
    seventh = next((steps for name, steps in (*SEVENTHS, *ROOTED) if pattern_of(name).fullmatch(kind)), None)
    if seventh is not None:
        return (seventh,)
    return (SEVENTHS[0][1], TRIADS[kind]) if kind == "diminished" else (TRIADS[kind],)


def runs_of(steps: Sequence[int], root: int | None, notes: Sequence[Note], music: Music) -> list[list[Note]]:
    """The runs of some notes that spell out a chord.

    Args:
        steps: its semitones above its root.
        root: the pitch class of that on the score's page; None for any.
        notes: where to look.
        music: the score as it is heard.
    """
    found: list[list[Note]] = []
    for each in range(12) if root is None else (root,):
        tones = {(each + step) % 12 for step in steps}
        found += [run for run in _runs(tones, notes, music) if run not in found]
    return sorted(found, key=lambda run: run[0].onset)


def _runs(tones: Collection[int], notes: Sequence[Note], music: Music) -> list[list[Note]]:
    wanted = {note.id for note in notes}
    line = music.line
    runs = groupby(line, key=lambda n: n.id in wanted and n.written.name.pitch_class in tones)
    found: list[list[Note]] = []
    for run in (list(run) for is_own, run in runs if is_own):
        over_one = [list(part) for _, part in groupby(run, key=lambda note: music.finding(note).chord)]
        # what is whole over one chord does not begin or end over another
        whole = [part for part in over_one if _has_all(part, tones)]
        found += whole or [part for part in (run,) if _has_all(part, tones)]
    return found


def _has_all(notes: Sequence[Note], tones: Collection[int]) -> bool:
    return {note.written.name.pitch_class for note in notes} == set(tones)


def runs_of_chords(notes: Sequence[Note], music: Music) -> list[list[Note]]:
    """The runs of some notes that have every note of the chord that they sound over."""
    wanted = {note.id for note in notes}
    line = music.line
    found = []
    for chord, run in groupby(
        line, key=lambda note: music.finding(note).chord if music.is_tone(note) else None
    ):
        inside = [note for note in run if note.id in wanted]
        if chord is None or not inside:
            continue
        own = {degree for degree in chord_tones(readings(chord)[0]).values() if is_chord_tone(degree, chord)}
        if own <= {music.finding(note).degree for note in inside}:
            found.append(inside)
    return found


def runs_over(root: int, tones: Collection[int], notes: Sequence[Note], music: Music) -> list[list[Note]]:
    """The runs of some notes that are all of the chord on a root that they sound over, and have some tones of it.

    Args:
        root: the pitch class of the chord's root, on the score's page.
        tones: the pitch classes that have to be there, on the score's page.
        notes: where to look.
        music: the score as it is heard.
    """
    wanted, found = {note.id for note in notes}, []
    for chord, run in groupby(
        music.line,
        key=lambda note: music.finding(note).chord if music.is_tone(note) and note.id in wanted else None,
    ):
        inside = list(run)
        own = chord is not None and transpose_chord(readings(chord)[0], music.score.transposition).root
        if own and own.pitch_class == root and set(tones) <= {n.written.name.pitch_class for n in inside}:
            found.append(inside)
    return found
