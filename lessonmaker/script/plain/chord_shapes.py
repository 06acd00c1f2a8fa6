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
from lessonmaker.script.plain.claim import Claim, words_like
from lessonmaker.script.plain.contour import one_way
from lessonmaker.script.plain.shape import Shape
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.theory.chord import chord_tones, readings
from lessonmaker.theory.degree import is_chord_tone

__all__ = [
    "CHORD_MEMBERS",
    "CHORD_RUN",
    "CHORD_SHAPE",
    "MOSTLY",
    "PARTLY",
    "TRIADS",
    "chord_claims",
    "runs_of",
    "runs_of_chords",
    "runs_through",
    "steps_of",
]

CHORD_SHAPE, CHORD_MEMBERS, CHORD_RUN = "chord shape", "chord members", "chord run"
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
ROOT = r"(?P<root>[a-g](?:b|#|[ -](?:flat|sharp))?)"
KIND = rf"(?P<kind>{'|'.join(TRIADS)})"
SEVENTH_KIND = rf"(?P<kind>{'|'.join(name for name, _ in SEVENTHS)}|diminished|augmented)"
FORM = r"(?:arpeggios?|shapes?|chord,? spel[lt]\w*(?: out)?)"
CLAIMS = (
    rf"{ROOT}(?: {KIND})? triad",
    rf"(?:{KIND} )?triad (?:of|on|from) {ROOT}",
    rf"{ROOT} {SEVENTH_KIND} {FORM}",
    rf"{ROOT} (?P<kind>major|minor) arpeggios?",
    rf"{SEVENTH_KIND} {FORM}",
    rf"{ROOT} {KIND}(?= (?:over|on top of|against|above) (?:the |an? |that )?[a-g](?:[ -](?:flat|sharp)|b|#)?"
    r"[ -]?(?:seven|7|dominant|minor|major|half|dim))",
    rf"{KIND} triad(?! (?:of|on|from|off|over|built|that|up from|based|a tritone|from)\b)",
)
MEMBERS = (
    r"(?:every|each|all)(?: single| one)?(?: of)?(?: the| its)?(?: three| four| five)?(?: last)?"
    r" (?:members?|notes?|tones?)"
    r"(?= (?:of|in) (?:the|that|this|our) (?:(?!scale|key|over)[\w-]+ ){0,3}(?:chord|seven(?:th)?|triad)\b)"
)


# "Those four notes are nothing but a diminished seventh chord"; "the chord is spelled out from the bottom up".
NOTES_ARE = re.compile(
    r"\b(?:notes|triplet|figure|run|line|it)\b[^.;:]*?(?:'s|\b(?:are|is|spells?|makes?|forms?|outlines?))(?: up| out)?"
    rf"(?: nothing but| just| simply)? an? (?P<what>{SEVENTH_KIND} chord)"
)
SPELT_OUT = (
    r"chord (?:is |gets )?(?:simply |just )?(?:spelled|spelt|outlined|arpeggiated)(?: out)?"
    r"|(?:spells?|outlines?|traces?|arpeggiates?) (?:the|its|that) (?:whole |full )?chord(?: out)?"
)


# "Down the F minor, up the B flat seven"; "climbs through the C seven"; "straight up the minor nine".
GOING = inflected(
    "go, run, walk, come, move, climb, rise, fall, descend, drop, sweep, race, play, spell, arpeggiate, head"
)
RIGHT = r"(?:(?:straight|right|all the way|back|just|simply|steadily) )*"
THROUGH = (
    rf"(?:(?:(?P<verb>{GOING}) )?{RIGHT}(?:(?P<way>up|down)(?: through| along| over)?|through)"
    rf"|(?P<climbs>{inflected('climb, ascend, descend')})) (?:the|that|this|our|an?)"
)
NAMED_CHORD = (
    r"(?= [a-g](?:[ -](?:flat|sharp)|b|#)?[ -]?"
    r"(?:minor|major|seven|7|half|dim|dominant|sus|altered|six|nine)\b)"
)
OF_A_KIND = (
    r" (?P<kind>(?:minor|major|dominant)(?= (?:seven|nine|six|eleven|thirteen)\b)|half[- ]diminished|diminished)"
    r"(?: (?:seven|nine|six|eleven|thirteen))?(?!\w| (?:chord|shape|arpeggio|triad|scale|seventh|fifth|fourth))"
)
# Before "up" or "down" that belongs to no verb: not "it lights up the D seven".
OPENS_A_PART = re.compile(
    r"(?:^|[,;:.(])\s*(?:\w+,? )?$|\b(?:and|then|now|so|run|arpeggio|line|notes|it's|that's|all|is) $"
)
RISING_VERB = re.compile(r"(?:climb|ris|rose|ascend)")
FALLING_VERB = re.compile(r"(?:fall|fell|descend|drop)")
FEWEST = 3  # notes of a run
PARTLY, MOSTLY = (
    0.5,
    0.75,
)  # how much of what is struck over its chord it is, to be meant, and to be all that is there


def _runs_said(sentence: Sentence) -> Iterator[Claim]:
    """What is said to go up or down a chord: its `detail` is the kind, if only that is said."""
    for pattern in (f"{THROUGH}{NAMED_CHORD}", f"{THROUGH}{OF_A_KIND}"):
        for match in words_like(pattern).finditer(sentence.text):
            verb, way = (
                match["verb"] or match["climbs"] or "",
                {"up": 1, "down": -1}.get(match["way"] or "", 0),
            )
            way = way or (1 if RISING_VERB.match(verb) else -1 if FALLING_VERB.match(verb) else 0)
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
            names = (root,) if root else ()
            yield Claim(
                "device", match.start(), match.end(), CHORD_SHAPE, names, said["kind"] or "", sure=False
            )
    yield from _runs_said(sentence)
    for match in NOTES_ARE.finditer(sentence.text):
        yield Claim("device", *match.span("what"), CHORD_SHAPE, (), match["kind"], sure=False)
    for match in words_like(f"{MEMBERS}|{SPELT_OUT}").finditer(sentence.text):
        yield Claim("device", match.start(), match.end(), CHORD_MEMBERS, sure=False)


def _is_article(sentence: Sentence, first: int) -> bool:
    return sentence.written[first] == "a" or not first


def steps_of(kind: str) -> tuple[tuple[int, ...], ...]:
    """The chords that a kind may be, as semitones above the root; all that are common triads where none is said."""
    if not kind:
        return (TRIADS["major"], TRIADS["minor"])
    seventh = next((steps for name, steps in SEVENTHS if re.fullmatch(name, kind)), None)
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
        line, key=lambda note: music.finding(note).chord if _is_own(note, music) else None
    ):
        inside = [note for note in run if note.id in wanted]
        if chord is None or not inside:
            continue
        own = {degree for degree in chord_tones(readings(chord)[0]).values() if is_chord_tone(degree, chord)}
        if own <= {music.finding(note).degree for note in inside}:
            found.append(inside)
    return found


def _is_own(note: Note, music: Music) -> bool:
    finding = music.finding(note)
    return bool(finding.chord and finding.degree and is_chord_tone(finding.degree, finding.chord))
