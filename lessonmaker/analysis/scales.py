"""The scale that a passage uses, and whether a claim about one holds.

Conventions: the melody is cut where another scale explains it better (`scale_fit`); one scale over several
chords is one passage ("one major scale serves all three chords"). A passage over one chord is named from the
chord's root (dorian, altered), over several from its tonic. Chromatic passing and approach notes do not
speak against a scale.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from itertools import groupby, pairwise
from typing import Literal

from lessonmaker.analysis.etude import Etude, ids_of, span_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import ScaleUse
from lessonmaker.analysis.scale_fit import (
    Atom,
    atoms_of,
    best_path,
    cheapest,
    collections,
    key_at,
    of_key,
)
from lessonmaker.analysis.scale_passage import (
    SURE,
    Passage,
    expected_total,
    lacking,
    named_use,
    passage_of,
    root_and_family,
    total_of,
    use_of,
)
from lessonmaker.analysis.scale_text import degrees_used, root_words, scale_step_words
from lessonmaker.analysis.words import degree_words, listed, number_words
from lessonmaker.score.position import Span
from lessonmaker.theory.chord import readings
from lessonmaker.theory.pitch import NoteName
from lessonmaker.theory.scale import SCALES, scales_named

__all__ = ["ScaleClaim", "parts_in_scale", "scale_fits", "scale_of", "scales_of"]

LEAST_CONFIDENCE = 0.3
NO_LESS_PLAUSIBLE_BITS = 1.0
FAR_FETCHED_BITS = 3.5  # a claim that much less plausible than another reading is false
MOST_OTHERS = 3
MOST_IN_PASSING = 1 / 3  # of the notes over one chord
FEWEST_CHROMATIC = 5  # notes; a bebop scale has four in a row


# What is used ----------------------------------------------------------------------------------------------


def scales_of(etude: Etude) -> tuple[ScaleUse, ...]:
    """The scales of the melody in time; a passage that no scale is told by has none."""
    return _uses(etude, etude.melody)


def _uses(etude: Etude, notes: tuple[Heard, ...]) -> tuple[ScaleUse, ...]:
    atoms = atoms_of(etude, notes)
    path = best_path(etude, atoms)
    passages = [
        passage
        for index, places in groupby(range(len(atoms)), key=path.__getitem__)
        for passage in _without_strangers(etude, [atoms[place] for place in places], index)
    ]
    uses = (use_of(etude, passage, turn) for turn, passage in enumerate(passages))
    return tuple(use for use in uses if use.confidence >= LEAST_CONFIDENCE)


def _without_strangers(etude: Etude, atoms: Sequence[Atom], index: int) -> Iterator[Passage]:
    """A passage cut where notes over one of its chords contradict its scale: that chord is taken by itself.

    So is a first chord that has no need yet of a scale outside the key.
    """
    chords = _chord_stretches(atoms)
    strange = [_is_strange(passage_of(chord, index)) for chord in chords]
    strange[0] = strange[0] or _belongs_to_the_key(etude, chords[0], index)
    if len(chords) == 1 or not any(strange):
        yield passage_of(atoms, index)
        return
    for is_strange, group in groupby(range(len(chords)), key=strange.__getitem__):
        places = list(group)
        if not is_strange:
            yield passage_of([atom for place in places for atom in chords[place]], index)
            continue
        for place in places:
            expected = expected_total(etude, chords[place])
            yield passage_of(chords[place], cheapest(expected, chords[place][0].reference))


def _is_strange(passage: Passage) -> bool:
    """Whether notes contradict the scale, or more of them lie outside than a line passes through."""
    return bool(passage.contradicting) or len(passage.outside) > MOST_IN_PASSING * len(passage.notes)


def _belongs_to_the_key(etude: Etude, atoms: Sequence[Atom], index: int) -> bool:
    """Whether the key's own scale explains notes no worse than a scale that is not the key's, and has no fewer."""
    key = key_at(etude, span_of(atoms[0].notes))
    every = collections()
    inside = {heard.pitch % 12 for atom in atoms for heard in atom.notes} & every[index].pitch_classes
    own = [
        place
        for place, each in enumerate(every)
        if key is not None and of_key(each, key) and inside <= each.pitch_classes
    ]
    total = total_of(atoms)
    return bool(own) and index not in own and min(total[place] for place in own) <= total[index]


def scale_of(etude: Etude, span: Span) -> ScaleUse | None:
    """The one scale that explains the melody of a span best, or None without notes; see its confidence."""
    passage = _whole(etude, span)
    return None if passage is None else use_of(etude, passage, 0)


def _whole(etude: Etude, span: Span) -> Passage | None:
    """The notes of a span as one passage."""
    atoms = atoms_of(etude, etude.notes_between(span))
    if not atoms:
        return None
    expected = expected_total(etude, atoms)
    return Passage(atoms, cheapest(expected, atoms[0].reference), total_of(atoms))


# Claims ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class ScaleClaim:
    """What becomes of the claim that a span uses a scale.

    Attributes:
        verdict: "true"; "false" (a note or a chord contradicts it); "undecided" (its notes fit, but another
            scale fits them at least as well).
        use: the claim as it was understood, as a ScaleUse (its `outside` the notes foreign to it).
        contradicting: the ids of the notes that speak against it, in time.
        others: the scales that fit no worse, best first, where it is undecided.
        nearest: the nearest true claim: the same scale over one chord of the span, or else the scale that the span
            does use; None where no scale is told by it.
        text: why: a sentence where it is true, else a clause to put into one (no capital, no full stop).
    """

    verdict: Literal["true", "false", "undecided"]
    use: ScaleUse
    contradicting: tuple[str, ...]
    others: tuple[ScaleUse, ...]
    nearest: ScaleUse | None
    text: str


def scale_fits(etude: Etude, span: Span, scale: str, root: NoteName | None = None) -> ScaleClaim | None:
    """Whether the melody of a span uses a scale.

    Args:
        etude: the etude; keys, where they are known, decide between equals.
        span: the stretch that the claim speaks of.
        scale: any name of the scale, also one that several scales have ("diminished", "blues"): the claim is
            read the way that fits best.
        root: the scale's root where the claim says it; else the roots of the chords, the key's tonic, and for
            scales that are no mode of another ("melodic minor") any root are tried.

    Returns:
        The verdict, or None where the span has no notes.

    Raises:
        ValueError: the name is no scale's; the message has the nearest names.
    """
    claim = _claim(etude, span, scale, root)
    if claim is None or claim.verdict == "true":
        return claim
    part = next(
        (part.use for part in parts_in_scale(etude, span, scale, root) if part.verdict == "true"), None
    )
    return replace(claim, nearest=part or _nearest(etude, span))


def _claim(etude: Etude, span: Span, scale: str, root: NoteName | None) -> ScaleClaim | None:
    """The claim without the nearest true one, where it is not true itself."""
    named = scales_named(scale)
    if not named:
        raise ValueError(_unknown(scale))
    atoms = atoms_of(etude, etude.notes_between(span))
    if not atoms:
        return None
    if named == ("chromatic",):
        return _chromatic_claim(etude, span)
    return _judged(etude, *_understood(etude, span, atoms, named, root))


def _chord_stretches(atoms: Sequence[Atom]) -> list[tuple[Atom, ...]]:
    """Atoms in a row over one chord."""
    return [tuple(group) for _, group in groupby(atoms, key=lambda atom: root_and_family(atom.chord))]


def _chromatic_claim(etude: Etude, span: Span) -> ScaleClaim:
    """The chromatic scale is true of half steps in a row one way, which no other scale has so many of."""
    notes = etude.notes_between(span)
    run = _longest_run(notes)
    names, root = ids_of(run), run[0].note.sounding.name
    degrees = degrees_used("chromatic", root.pitch_class, {heard.pitch % 12 for heard in run})
    text = f"The line moves by half step, {number_words(len(run))} notes in a row."
    enough = len(run) >= FEWEST_CHROMATIC
    use = ScaleUse(span_of(run), root, "chromatic", names, degrees, names, (), text, float(enough))
    if enough:
        return ScaleClaim("true", use, (), (), use, text)
    why = f"no {number_words(FEWEST_CHROMATIC)} notes in a row move by half step"
    return ScaleClaim("false", use, (), (), None, why)


def _longest_run(notes: tuple[Heard, ...]) -> tuple[Heard, ...]:
    """The longest run of half steps one way; the first note alone where there is none."""
    steps = [later.pitch - earlier.pitch for earlier, later in pairwise(notes)]
    runs, start = [notes[:1]], 0
    for step, group in groupby(steps):
        length = len(list(group))
        runs += [notes[start : start + length + 1]] if abs(step) == 1 else []
        start += length
    return max(runs, key=len)


def parts_in_scale(
    etude: Etude, span: Span, scale: str, root: NoteName | None = None
) -> tuple[ScaleClaim, ...]:
    """The stretches over one chord within a span of which the claim of a scale is not false, true ones first.

    Arguments and errors are those of `scale_fits`; a claim that is not true has no `nearest` here.
    """
    stretches = _chord_stretches(atoms_of(etude, etude.notes_between(span)))
    spans = [span_of((*stretch[0].notes, *stretch[-1].notes)) for stretch in stretches]
    claims = [_claim(etude, part, scale, root) for part in spans]
    fitting = [claim for claim in claims if claim is not None and claim.verdict != "false"]
    return tuple(sorted(fitting, key=lambda claim: claim.verdict != "true"))


def _understood(
    etude: Etude, span: Span, atoms: tuple[Atom, ...], named: Sequence[str], root: NoteName | None
) -> tuple[Passage, ScaleUse]:
    """The claim read the way that fits best; where none fits, from the chord's root that fits best."""
    total = expected_total(etude, atoms)
    ways = [way for name in named for way in _claimed(etude, span, atoms, name, root)]
    fitting = [way for way in ways if _holds(Passage(atoms, way[0], total))]
    likely = _likely_roots(etude, span, atoms)
    own = {atom.reference for atom in atoms}
    ways.sort(key=lambda way: (way[1] not in own, len(Passage(atoms, way[0], total).contradicting)))
    fitting.sort(key=lambda way: (round(total[way[0]], 3), way[1] not in likely))
    index, as_root, as_name = (fitting or ways)[0]
    passage = Passage(atoms, index, total)
    return passage, named_use(etude, passage, as_root, as_name)


def _holds(passage: Passage) -> bool:
    """Whether neither a note nor a chord speaks against a scale."""
    return not passage.contradicting and lacking(passage) is None


def _unknown(scale: str) -> str:
    names = [name for each in SCALES.values() for name in (each.name, *each.others)]
    near = get_close_matches(scale.casefold(), names, 3)
    meant = f": did you mean {' or '.join(near)}?" if near else f": there are {', '.join(SCALES)}"
    return f"{scale!r} is no scale{meant}"


def _claimed(
    etude: Etude, span: Span, atoms: Sequence[Atom], name: str, root: NoteName | None
) -> list[tuple[int, int, str]]:
    """(collection, root, name) of each way to take the claim; the chromatic scale has no collection."""
    roots = [root.pitch_class] if root is not None else _possible_roots(etude, span, atoms, name)
    above = SCALES[name].semitones
    by_notes = {frozenset((at + each) % 12 for each in above): at for at in reversed(roots)}
    places = {each.pitch_classes: place for place, each in enumerate(collections())}
    return [(places[notes], at, name) for notes, at in reversed(by_notes.items()) if notes in places]


def _possible_roots(etude: Etude, span: Span, atoms: Sequence[Atom], name: str) -> list[int]:
    """The likely roots first; any for a scale that is no mode, but a major chord's major scale is its own."""
    likely = _likely_roots(etude, span, atoms)
    kinds = {key[1] for atom in atoms if (key := root_and_family(atom.chord)) is not None}
    own = name == "major" and kinds == {"major"}
    if likely and (own or SCALES[name].parent != name):
        return likely
    any_root = ((atoms[0].reference + above) % 12 for above in range(12))
    return list(dict.fromkeys([*likely, *any_root]))


def _likely_roots(etude: Etude, span: Span, atoms: Sequence[Atom]) -> list[int]:
    roots = [readings(atom.chord)[0].root.pitch_class for atom in atoms if atom.chord is not None]
    key = key_at(etude, span)
    return list(dict.fromkeys([*roots, *([] if key is None else [key.tonic.pitch_class])]))


def _judged(etude: Etude, passage: Passage, use: ScaleUse) -> ScaleClaim:
    against = ids_of(passage.contradicting)
    if against:
        return ScaleClaim("false", use, against, (), None, _false_text(passage, use))
    lacked = lacking(passage)
    if lacked is not None:
        text = f"{_claim_name(passage, use)} lacks the {degree_words(lacked)} of the chord"
        return ScaleClaim("false", use, (), (), None, text)
    others = _as_plausible(etude, passage)
    if not others:
        return ScaleClaim("true", use, (), (), use, use.text)
    names = listed([root_words(each.scale, each.root.pitch_class, passage.only_chord) for each in others])
    if _is_far_fetched(passage):
        text = f"nothing in the line asks for {_claim_name(passage, use)}: it fits {names}"
        return ScaleClaim("false", use, (), others, None, text)
    text = f"every note fits {_claim_name(passage, use)}, but {names} as well"
    return ScaleClaim("undecided", use, (), others, None, text)


def _is_far_fetched(passage: Passage) -> bool:
    """Whether another scale explains the notes far better; the same with a note added does not count."""
    own = passage.collection.pitch_classes
    others = [
        bits for each, bits in zip(collections(), passage.total, strict=True) if not each.pitch_classes > own
    ]
    return passage.total[passage.index] - min(others) > FAR_FETCHED_BITS


def _nearest(etude: Etude, span: Span) -> ScaleUse | None:
    """The scale of the span, or the surest one of a part of it that lies over one chord."""
    passage = _whole(etude, span)
    if passage is not None and _holds(passage) and (whole := use_of(etude, passage, 0)).confidence >= SURE:
        return whole
    return max(_uses(etude, etude.notes_between(span)), key=lambda use: use.confidence, default=None)


def _claim_name(passage: Passage, use: ScaleUse) -> str:
    return root_words(use.scale, use.root.pitch_class, passage.only_chord)


def _false_text(passage: Passage, use: ScaleUse) -> str:
    if passage.only_chord is None and passage.chords != (None,):
        count = len(passage.contradicting)
        notes = "one note lies" if count == 1 else f"{number_words(count)} notes lie"
        return f"{notes} outside {_claim_name(passage, use)}"
    words = [_heard_words(heard, use) for heard in passage.contradicting]
    return f"{_claim_name(passage, use)} has no {' and no '.join(dict.fromkeys(words))}"


def _heard_words(heard: Heard, use: ScaleUse) -> str:
    """A note by its degree against its own chord, or against the scale's root where no chord sounds."""
    if heard.degree is None:
        return scale_step_words(heard.pitch - use.root.pitch_class)
    return degree_words(heard.degree)


def _as_plausible(etude: Etude, passage: Passage) -> tuple[ScaleUse, ...]:
    """Scales that every note fits too and that are no less plausible, the likeliest first."""
    limit = passage.total[passage.index] + NO_LESS_PLAUSIBLE_BITS
    indices = [index for index in passage.ranked if passage.total[index] <= limit]
    others = [replace(passage, index=index) for index in indices if index != passage.index]
    return tuple(use_of(etude, other, 0) for other in others if not other.contradicting)[:MOST_OTHERS]
