"""What a sentence says of the roots of chords: "the roots climb chromatically", "a tritone away from E".

An interval, with its direction where one is said, between two chords: two that are named, the last of one bar and the
first of another, a chord and the one that it is measured from, or all that follow each other. Common practice, no
source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import ROOT_NAME, ChordSaid, root_said, sounding
from lessonmaker.script.plain.root_chains import chains
from lessonmaker.script.plain.root_claim import (
    A_NOTE_OF_IT,
    INTERVAL_WORDS,
    OF_THE_LINE,
    ROOT,
    ROOTS,
    ROUND,
    RootsClaim,
)
from lessonmaker.script.plain.root_intervals import (
    EACH_INTERVAL,
    INTERVAL,
    interval_said,
    steps_said,
)
from lessonmaker.script.plain.stance_words import DENIALS, WISHES
from lessonmaker.script.plain.symbol_words import OF_BAR
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import FALLING, RISING, inflected
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = [
    "GOES_ON_TO",
    "LEAST",
    "MOVES_ON",
    "root_lists",
    "roots_claims",
    "roots_named",
]

BASS = pattern_of(r"\bthe (?:bass|roots?)(?: note| line| notes)?(?! (?:player|clef|has|plays))\b")
FROM = (
    r"(?: (?P<way>above|below|over|under|beneath|higher than|lower than|up from|down from|away from|away"
    r"|from|off|short of|apart from))"
)
ANCHOR = (
    r"(?: (?:the |our |its )?(?:(?P<before>(?:(?:chord|one) )?before(?: it| that)?|(?:previous|preceding"
    r"|last) (?:chord|one)|last)"
    r"|(?P<next>(?:(?:chord|one) )?(?:after(?: it| that)?|that follows)|(?:next|following) (?:chord|one)"
    r"|where (?:we're|we are|it's|it is) (?:going|headed|heading)|goal|target)"
    r"|(?P<first>first|opening)(?: chord| one)?|(?P<home>tonic|home(?: key| chord)?|key|one)"
    r"|(?P<letter>[a-g](?:b|#|[ -]flat|[ -]sharp)?)(?![\w#']))"
    r"(?: chord| one)?)"
)
# A chord that is only what something sounds over.
UNDER_IT = pattern_of(r"\b(?:over|against|on|above|under) (?:the |an? |that |this )?$")
# Between a chord and how far it is from another.
STANDS = pattern_of(
    r"(?:,| chords?\b| (?:is|was|are|stands|lies|sits|comes|that|that's|which|it|it's|so|just|a|an|only"
    r"|exactly|literally|your|our|down|up|one|right|again|really|here|there|now|dominant|seven|seventh)\b"
    r"|'s| (?:in|of) (?:bar"
    r"|measure) [\w-]+)* "
)
RELATION = pattern_of(rf"(?<![\w-]){INTERVAL}{FROM}{ANCHOR}?")
LEADING = pattern_of(
    rf"(?:,| |-(?!>)|:|\b(?:we|it|is|just|simply|then|which|the|root|bass|home|back|right|straight|there|here|by"
    rf"|an?|of|in|descent|ascent"
    rf"|goes|comes|leads?|slips?|slides?|moves?|leaps?|jumps?|resolves?|steps?|creeps?|sinks?|creep|perfect"
    rf"|away|{EACH_INTERVAL}|{FALLING}|{RISING}|up|down"
    r"|only|again|literally)\b)*+(?:\b(?:to|into|onto)|->)(?: an?| the| our)? "
)
CONNECTS = pattern_of(
    r"\b(?:connects|links|bridges|joins|glues|leads (?:us )?from|(?:passes|sits|slips|comes|stands"
    r"|lies) (?:in )?between|gets us from|takes us from|(?:passing (?:chord|diminished|one)|bridge|link"
    r"|step|connection|stepping stone) between)"
    rf" (?:the )?(?P<one>{ROOT_NAME})(?P<rest>[^,.;:]{{0,24}}?) (?:with|to|and|into|on to) (?:the "
    rf"|an? )?(?P<other>{ROOT_NAME})"
)
# Before what goes from a note to another, and not from a chord.
A_FIGURE_GOES = pattern_of(
    r"\b(?:arpeggio|scale|line|run|melody|phrase|figure|lick|enclosure|notes?|eighths?|triplet|leap|motif)\b[^.;:]*$"
)
MOVES_ON = inflected(
    "go, move, lead, fall, drop, slide, slip, step, sink, rise, climb, come, head, resolve, return, travel, turn"
    ", change, shift, take, bring, carry, pull, push, send, follow, land, settle, walk"
)
# From one to the next, by whatever goes there: "from F seven we go to C minor", "and right after it B flat".
GOES_ON_TO = pattern_of(
    r"(?: chords?)?(?:,| (?:we|you|it|that|which|the (?:harmony|music|band|piano|chords?)|and|then|so|just|simply"
    r"|duly|of course|right|straight|back|home|on|down|up|over|out|away|us|here|is|are|gets?|in bar [\w-]+"
    rf"|{MOVES_ON}))* (?:(?:in)?to|by|(?:right |straight |directly |immediately )?after (?:it|that)"
    r"(?: comes?| (?:we|you) (?:have|get|hear))?) (?:the |an? |our )?"
)
LEAST = 3  # names that make a row
# From a chord to another: "resolves to", "in bar six leads us to".
RESOLVES = pattern_of(
    rf"(?: chord)?(?:,? (?:in|of) (?:bar |measure )?{NUMBER})?,?(?: (?:that|which|just|duly|then|simply"
    rf"|really|of course))*"
    r" (?:resolves?|goes|leads?(?: us)?|takes us|brings us|moves|falls|drops|heads|returns|gets us)"
    r"(?: (?:back|home|down|up|straight|right))* (?:in)?to "
)
ENDS_THERE = pattern_of(
    r"(?: chord)?(?: in (?:bar |measure )?[\w-]+| here| now)?\s*(?:[.;:!?]|$|,(?! which\b| so\b))"
)
NO_DEGREE = pattern_of(
    r"(?:half[- ]|full(?:y)? |passing )?dimin|dominant|altered|sus"
)  # kinds that no note is called
HOME_STEP = pattern_of(r"(?:the |our )?(?:one|tonic)")


# Roots one after the other by their names, said of the chords: "C to F to B flat: it's fourths all the way".
LIST = pattern_of(rf"{ROOT_NAME}(?:(?:,? (?:then |and |to |and then |on to )?|,){ROOT_NAME})+")
OF_CHORDS = (
    r"(?:roots|bass|chords|changes|harmony|progression|dominants|cycle|circle|fourths|fifths"
    r"|two[- ]five(?:[- ]one)?s|keys|key cent(?:re|er)s?|tonal cent(?:re|er)s?|turnaround|triads)"
)
SAID_BEFORE = pattern_of(
    rf"\b{OF_CHORDS}\b[^,;.]*(?:[:,]|\b(?:goes?|go|run|through|from|is|are)(?: just| only| simply)?) $"
)
SAID_AFTER = pattern_of(rf"(?::|,? -|;) [^.;]*\b{OF_CHORDS}\b")


@lru_cache(maxsize=1)  # of one sentence they are asked for many times
def root_lists(sentence: Sentence) -> tuple[tuple[int, int], ...]:
    """Where a sentence names roots, not notes, one after the other."""
    return tuple(
        match.span()
        for match in LIST.finditer(sentence.text)
        if SAID_BEFORE.search(sentence.text[: match.start()]) or SAID_AFTER.match(sentence.text, match.end())
    )


def roots_claims(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[RootsClaim]:
    """What a sentence says of the motion of roots.

    Args:
        sentence: what is said.
        every: the chords that it tells.
    """
    found: list[RootsClaim] = []
    for finder in (_root_names, _connections, _relations, _pairs, chains, _resolutions, _rows):
        if finder is _rows and found:
            return
        for claim in finder(sentence, every):
            if not any(claim.first < other.last and other.first < claim.last for other in found):
                found.append(claim)
                yield _found(sentence, claim)


def roots_named(sentence: Sentence, every: Sequence[ChordSaid]) -> list[ChordSaid]:
    """The chords that are named, in full or by their roots alone."""
    full = [each for each in every if each.sort == "name"]
    bare = [
        _by_root(match)
        for match in ROOT.finditer(sentence.text)
        if not any(each.first <= match.start() < each.last for each in full)
        and not sentence.is_article(match, 0)
    ]
    return sorted((*full, *bare), key=lambda each: each.first)


def _by_root(match: re.Match[str]) -> ChordSaid:
    root = root_said(match[0])
    return ChordSaid(
        match.start(), match.end(), "number", lambda each, harmony: sounding(root, harmony) in each.roots
    )


def _connections(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[RootsClaim]:
    """A chord that stands between two others: "connects B flat with C minor"."""
    names = roots_named(sentence, every) if CONNECTS.search(sentence.text) else []
    for match in CONNECTS.finditer(sentence.text):
        if A_FIGURE_GOES.search(sentence.text[: match.start()]):
            continue
        one = next((each for each in names if each.first == match.start("one")), None)
        other = next((each for each in names if each.first == match.start("other")), None)
        if one is not None and other is not None:
            yield RootsClaim("roots", match.start(), other.last, "between", one=one, other=other)


def _relations(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[RootsClaim]:
    """A chord measured from another: "a tritone away from the chord before it", "a half step above F"."""
    for match in RELATION.finditer(sentence.text):
        anchor = next((name for name in ("before", "next", "first", "home", "letter") if match[name]), "")
        before = [
            each
            for each in every
            if each.last <= match.start()
            and each.sort in ("name", "nth", "step", "kind")
            and STANDS.fullmatch(sentence.text[each.last : match.start()])
            and not UNDER_IT.search(sentence.text[: each.first])
        ]
        full = [each for each in every if each.first == match.start("letter")] if match["letter"] else []
        other = full[0] if full else None
        if match["letter"] and other is None:
            other = _by_root(ROOT.match(sentence.text, match.start("letter")))  # type: ignore[arg-type]
        bar = OF_BAR.search(
            pattern_of(r"(?: (?:is|stands|lies|sits)|'s)(?: just| only)?(?: an?)? $").sub(
                "", sentence.text[: match.start()]
            )
        )
        of_it = _is_of_a_chord(sentence, match)
        harmonic = before or bar or (full and _is_harmonic(sentence)) or of_it
        if anchor and harmonic and not pattern_of(r"\bnotes?\b").search(sentence.text[: match.start()]):
            last = other.last if other is not None else match.end()
            way = match["way"] if match["way"] not in ("away from", "away", "from", "off") else ""
            yield RootsClaim(
                "roots",
                before[-1].first if before else match.start(),
                last,
                "measured",
                steps=steps_said(interval_said(match), way),
                sure=bool(before or bar or full or not OF_IT.search(sentence.text[: match.start()])),
                one=before[-1] if before else None,
                other=other,
                anchor=anchor,
            )


# Of chords, not of notes, where it is said of what sounds now: "that's a tritone away from E, so it works as E seven".
OF_THIS = pattern_of(
    r"(?:^|[,;:] |\b(?:and|so|because) )(?:(?:that's|this is|that is|it's|it is|we're|we are) (?:just |only )?"
    r"(?:an?|our|your|the) |(?:an? |the )?)$"
)


# What may be said of a note as well.
OF_IT = pattern_of(r"(?:\bit's|\bit is) (?:just |only )?(?:an?|the) $|^(?:an? |the )?$|[,;:] (?:an? |the )?$")


def _is_of_a_chord(sentence: Sentence, match: re.Match[str]) -> bool:
    """Whether a tritone away from a root is where the chord of the moment stands."""
    tritone = (match["interval"] or "").startswith("tritone") and match["letter"]
    return bool(tritone and OF_THIS.search(sentence.text[: match.start()]))


# What goes on after another clause: "B seven is the sub, it drops a half step to B flat".
CLAUSE = pattern_of(r"[,;]|\band\b|\bso\b")


def _later_pairs(
    sentence: Sentence, names: Sequence[ChordSaid], intervals: Sequence[re.Match[str]]
) -> Iterator[RootsClaim]:
    """The chord that a sentence begins with, and one that it is said to go to in a later clause."""
    if not names or names[0].sort != "name":
        return
    for clause in CLAUSE.finditer(sentence.text, names[0].last):
        other = next((name for name in names if name.first >= clause.end()), None)
        if other is None or not LEADING.fullmatch(sentence.text[clause.end() : other.first]):
            continue
        if A_NOTE_OF_IT.search(sentence.text, names[0].last, clause.start()):
            continue  # it is the note that goes there
        inside = [each for each in intervals if clause.end() <= each.start() < other.first]
        of_last = pattern_of(r"\b(?:root|bass)\b").search(sentence.text[clause.end() : other.first])
        if inside and not of_last:
            at = clause.end() + 1
            steps = steps_said(interval_said(inside[0]), sentence.text[at : other.first])
            yield RootsClaim("roots", at, other.last, "pair", steps=steps, one=names[0], other=other)


# A chord that is reached without being named, and what a chord before it is not the subject of.
NEXT_CHORD = pattern_of(r"(?:next|following) (?:chord|harmony|one)\b")
UNDER_A_NOTE = pattern_of(r"\b(?:of|over|on|against|above|under|line|lick) (?:the |an? |that |this )?$")


def _to_unnamed(
    sentence: Sentence, every: Sequence[ChordSaid], intervals: Sequence[re.Match[str]]
) -> Iterator[RootsClaim]:
    """A chord that is named, and how far it goes to the next one or to a step of the key."""
    others = [each for each in every if each.sort in ("step", "number")]
    others += [ChordSaid(*m.span(), "nth", lambda *_: True) for m in NEXT_CHORD.finditer(sentence.text)]
    for other in others:
        before = [each for each in every if each.sort == "name" and each.last <= other.first]
        one = before[-1] if before else None
        if one is None or UNDER_A_NOTE.search(sentence.text[: one.first]):
            continue
        inside = [each for each in intervals if one.last <= each.start() and each.end() <= other.first]
        if len(inside) == 1 and LEADING.fullmatch(sentence.text[one.last : other.first]):
            steps = steps_said(interval_said(inside[0]), sentence.text[one.last : other.first])
            yield RootsClaim(
                "roots", one.first, other.last, "pair", steps=steps, one=one, other=other, sure=True
            )


# What goes so far from one chord to the next: "over G seven the third goes up a half step into C".
A_NOTE = pattern_of(
    r"\b(?:the|its|that|whose|our) (?:(?:flat|sharp|natural) )?"
    r"(?:third|fifth|seventh|ninth|nine|eleventh|thirteenth|melody|line|notes?)\b"
)


def _pairs(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[RootsClaim]:
    """Two chords that are named, one going to the other, and how far: "G seven falls a fifth to C minor"."""
    intervals = list(INTERVAL_WORDS.finditer(sentence.text))
    names = roots_named(sentence, every) if intervals else []
    yield from _later_pairs(sentence, names, intervals)
    yield from _to_unnamed(sentence, every, intervals)
    for one, other in pairwise(names):
        between = sentence.text[one.last : other.first]
        lists = pattern_of(r",? (?:down |up )?to (?:the )?").fullmatch(between)
        if not (LEADING.fullmatch(between) or lists) or not (
            "name" in (one.sort, other.sort) or _is_harmonic(sentence)
        ):
            continue
        if OF_THE_LINE.search(sentence.text[: one.first]) or A_NOTE.search(INTERVAL_WORDS.sub("", between)):
            continue
        near = min(intervals, key=lambda match: abs(match.start() - one.last))
        if NOTES_OF_THEM.search(sentence.text, other.last, max(near.start(), other.last)):
            continue
        if ROUND.search(sentence.text[: near.start()]):
            continue
        first, last = min(one.first, near.start()), max(other.last, near.end())
        round_it = (
            sentence.text[first:last]
            if near.start() > one.first
            else sentence.text[max(near.start() - 20, 0) : one.first]
        )
        again = [each.first for each in names if each.sort == "number" and first - 30 < each.first < first]
        first = min([first, *again])
        yield RootsClaim(
            "roots",
            first,
            last,
            "pair",
            steps=steps_said(interval_said(near), round_it),
            one=one,
            other=other,
            sure=True,
        )


# What lies so far apart in what follows: "so the sevenths of these two lie a half step apart".
NOTES_OF_THEM = pattern_of(r"\b(?:thirds|fifths|sixths|sevenths|ninths|elevenths|thirteenths|notes)\b")


def _is_harmonic(sentence: Sentence) -> bool:
    return ROOTS.search(sentence.text) is not None


def _resolutions(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[RootsClaim]:
    """A chord that goes to another: "the D seven in bar six resolves to the one"."""
    told = [
        each for each in every if sentence.text[each.first : each.last] != "home"
    ]  # "resolves home to D minor"
    for one, other in pairwise(told):
        kind = one.sort == "kind" and NO_DEGREE.match(sentence.text, one.first)
        named = (
            other.sort == "name"
            and (one.sort == "name" or kind)
            and ENDS_THERE.match(sentence.text, other.last)
        )
        said = named or other.sort == "step" or HOME_STEP.fullmatch(sentence.text[other.first : other.last])
        between = RESOLVES.fullmatch(sentence.text[one.last : other.first])
        if (one.sort in ("name", "step", "function") or (kind and named)) and said and between:
            yield RootsClaim("roots", one.first, other.last, "resolved", one=one, other=other)


# "The root of this one is B flat", "its root, by the way, is F".
ROOT_IS = pattern_of(
    r"\b(?:(?:the|its|our|this chord's|the chord's) root(?: note)?"
    r"(?: (?:here|now|(?:down|under|below) (?:there|here)|(?:of|in|for|under) (?:this|that|the|it|bar|measure)\b"
    r"[^,;:]{0,16}))?(?:,[^,;:]{3,40},| here| now)?(?: is| (?:happens|turns out) to be| remains| stays|'s"
    r"|, (?:it|that)(?:'s| is))"
    r"|the (?:bass|bass player|bassist|left hand) (?:\w+ )?[a-z]+ (?:on )?the root(?: note)?,?"
    r"|(?:this|that|the) chord(?: here)?(?: is|'s) (?:built|based|stacked|founded|grounded|constructed"
    r"|rooted) (?:up )?"
    r"(?:on|from|in|over))"
    rf"(?: (?:just|simply|really|an?|the|our|your|plain|called|root))* (?P<name>{ROOT_NAME})"
    r"(?=\s*(?:[,.;:!?]|$)| (?:natural|here|in|and|now|so)\b)"
)

AS_ROOT = pattern_of(rf"\bwith (?P<name>{ROOT_NAME}) (?:as|for) (?:its|the|a) root\b")
BASS_ROOT = pattern_of(
    rf"(?P<name>{ROOT_NAME}) in the bass,? (?:(?:which|that|it)(?:'s| is) )?(?:the|its|our) root(?: of (?:the"
    rf"|this) chord)?\b"
)
ROOT_ALONE = pattern_of(rf"\s*(?:(?:bar|measure) [\w-]+, )?root:? (?P<name>{ROOT_NAME})\s*[.!]?\s*")


def _root_names(sentence: Sentence, _: Sequence[ChordSaid]) -> Iterator[RootsClaim]:
    """The root of a chord by its name."""
    alone = ROOT_ALONE.fullmatch(sentence.text)
    told = [match for pattern in (ROOT_IS, AS_ROOT, BASS_ROOT) for match in pattern.finditer(sentence.text)]
    for match in [alone] if alone is not None else told:
        if not sentence.is_article(match, "name"):
            yield RootsClaim("roots", *match.span(), "named", names=(match["name"],))


def _rows(sentence: Sentence, _: Sequence[ChordSaid]) -> Iterator[RootsClaim]:
    """Roots by their names: "the bass is G, G flat, F"."""
    for first, last in root_lists(sentence):
        names = tuple(match[0] for match in ROOT.finditer(sentence.text, first, last))
        if len(names) >= LEAST and not pattern_of(r"\b(?:cycle|chain) of\b").search(sentence.text):
            yield RootsClaim("roots", first, last, "row", names=names)


def _found(sentence: Sentence, claim: RootsClaim) -> RootsClaim:
    """A claim of the bass, or of chords by their names, which are this music's unless denied or wished for."""
    own = claim.name in ("pair", "between", "resolved") or BASS.search(sentence.text)
    doubted = sentence.is_question or pattern_of(rf"{DENIALS}|{WISHES}").search(sentence.text)
    return replace(claim, stance="found") if own and not doubted else claim
