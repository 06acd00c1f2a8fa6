"""Deciding which notes degrees in a row are: "one, three, five", a row said again, the order of a bar."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, format_position, format_span
from lessonmaker.script.candidates import lit_note
from lessonmaker.script.model import Lit, Mention
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.motion import without_places
from lessonmaker.script.plain.plain_numbers import is_altered, likeliest
from lessonmaker.script.plain.possible_notes import Possible
from lessonmaker.script.plain.said_often import is_said_of_all
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.verbs import ENDING, STARTING, way_of
from lessonmaker.script.plain.vocabulary import ordinal_of
from lessonmaker.script.targets import Claim as OrderedClaim
from lessonmaker.script.targets import only_order

__all__ = ["COLOURS", "IN_ORDER", "MANY", "Sets"]

BY_GOING = r"(?: off| out| up)?(?: with| on| by)?(?: [a-z]+ing(?: up| down| through| out)?)? $"
BEGINS_SO = pattern_of(rf"\b{STARTING}{BY_GOING}")
ENDS_SO = pattern_of(rf"\b{ENDING}{BY_GOING}")
# What says that degrees come in the order in which they are named.
MANY = 3  # degrees
IN_ORDER = pattern_of(
    r"\b(?:runs?|goes|go|moves?|plays?|walks?|climbs?|comes?|comes? down|descends?|ascends?|reads?|spells?|order"
    r"|notes are)\b[^,;.]*$(?<! to )(?<! to the )(?<! from )(?<! from the )"
)
# From a figure to the row that it is said to be.
SPELT_SO = pattern_of(
    r"(?:here|there)?,?(?: ?(?:that|which|and it|it))?(?:'s|:| ?(?:goes|is|runs|spells(?: out)?|reads|climbs|has|of))?"
    r"(?: (?:up|down|just|simply))?,?"
)
# What counts a row, or what it is the notes of.
NTH_ROW = pattern_of(
    r"\b(?P<nth>first|second|third|fourth|last|final|closing|opening|next)(?: (?!of\b)[\w-]+)?? "
    r"(?:cell|figure|shape|group|arpeggio|dominant|chord|change|statement|time|half|fragment|motif|pattern|run|idea|one"
    r"|bar|climb|unit|two[- ]five)\b"
)
TRIAD = {"1", "3", "5"}
OF_A_TRIAD = pattern_of(r"\btriad\b")
# Degrees in a row that are what is meant, however the step of their chord is counted.
FEWEST_SURE = 3
NEXT_ROW = pattern_of(r"\bthe next(?: is| goes| has| gets)? $")


class Sets(Possible):
    """Decides claims of degrees in a row."""

    def taken_apart(
        self, claims: Sequence[Claim], scopes: Sequence[Scope]
    ) -> tuple[list[Claim], list[Scope]]:
        """The claims with their scopes, rows that stand nowhere in the line as degrees one by one."""
        found: list[tuple[Claim, Scope]] = []
        for claim, given in zip(claims, scopes, strict=True):
            scope = self.in_only_bar(given) if claim.parts else given
            apart = bool(claim.parts) and not self.ways_of(claim, scope)
            chords = [place for place in scope.used if place.level == "chord" and place.test is not None]
            over_chord = bool(chords) and not (scope.borrowed or scope.unknown or found)
            placed = scope.explicit or over_chord
            ordered = len(claim.names) >= MANY and IN_ORDER.search(self.sentence.text[: claim.first])
            whole = ordered or not all(self.notes_for(part, scope) for part in claim.parts)
            if apart and placed and whole:
                found.append(
                    (replace(claim, sure=True), scope)
                )  # one is not there, or elsewhere: false as a whole
            else:
                found += [(part, given) for part in (claim.parts if apart else (claim,))]
        return [claim for claim, _ in found], [scope for _, scope in found]

    def may_be_of_a_triad(self, claim: Claim) -> bool:
        """Whether a row may count from the root of a triad that the sentence names, and not from the chord's."""
        text = self.sentence.text
        named = any(
            each.kind == "device" and OF_A_TRIAD.search(text[each.first : each.last]) for each in self.claims
        )
        return named and all(set(names.split("|")) & TRIAD for names in claim.names)

    def set_of_degrees(self, _: int, claim: Claim, scope: Scope) -> Decided:
        """Degrees in a row, next to each other in the line."""
        if len(claim.at) > len(claim.names):  # each time it comes
            return self.every_way([self.notes_for(claim, scope)])
        ways = self.rows_of(claim, scope)
        ways = self.by_figure(claim, ways) or ways
        later = [way for way in ways if not self.chosen or way[0].onset > self.chosen[-1].onset]
        if not ways:
            return NOTHING if self.may_be_of_a_triad(claim) else self.no_set(claim, scope)
        if (spelt := self.figure_spelt(claim, ways)) is not None:
            return spelt
        same = [other for other in self.claims if other.kind == "set" and self.is_alike(other, claim)]
        if len(ways) > 1 and len(same) == 1 and is_said_of_all(self.sentence.with_more, len(ways)):
            return self.every_way(ways)
        again = any(other.first < claim.first and not other.at for other in same)
        if again and len(ways) == 1 and ways[0][0] in self.begun_sets:
            ways = self.other_ways(claim, ways[0])
        if len(ways) >= len(same) > 1:  # said as often as it comes, or for the first of these times
            later = ways[same.index(claim) :]
            ways = later[:1]
        before = self.sentence.text[: claim.first]
        if len(ways) > 1 and (BEGINS_SO.search(before) or ENDS_SO.search(before)):
            later = ways = ways[:1] if BEGINS_SO.search(before) else ways[-1:]
        if len(ways) > 1 and len(later) != 1:
            later = self.likeliest_ways(claim, later or ways)
        if len(ways) > 1 and len(later) != 1 and not self.has_device("sequence"):
            return self.question(
                self.sentence.words(claim.first, claim.last), [self.set_target(way) for way in ways]
            )
        way = (later or ways)[0]
        self.chosen.append(way[-1])
        self.begun_sets.append(way[0])
        target = self.set_target(way)
        lit = tuple(lit_note(note, self.music) for note in way)
        return Decided(
            Mention("notes", Span(way[0].onset, way[-1].onset + way[-1].held), lit, target=target), target
        )

    def figure_spelt(self, claim: Claim, ways: Sequence[Sequence[Note]]) -> Decided | None:
        """A fault where the arpeggio that was lit last is not spelt as is said: "the arpeggio goes one, three"."""
        before = self.claims_before(claim)[-1:]
        if not before or before[0].name != "arpeggio" or self.begun is None or self.sentence.is_question:
            return None
        between = " ".join(without_places(self.sentence, before[0].last, claim.first, self.places).split())
        figure = next((each for each in self.music.analysis.devices if each.notes[:1] == (self.begun,)), None)
        if figure is None or not SPELT_SO.fullmatch(between) or len(figure.notes) < len(claim.names):
            return None
        notes = [self.music.struck_by_id[name] for name in figure.notes]
        near = any(note in notes for way in ways for note in way)
        if near or self.is_number(notes[0], claim.names[0]) or self.is_number(notes[0], claim.names[-1]):
            return None
        labels = " ".join(self.music.finding(note).degree or "" for note in notes)
        what = f"“{self.sentence.words(claim.first, claim.last)}”: the arpeggio is {labels}"
        return Decided(None, self.set_target(notes), (), what, f"write {labels}")

    def rows_of(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """The ways in which some degrees are there in a row, however the step of their chord is counted."""
        ways = (
            [self.notes_for(claim, scope)]
            if claim.at
            else self.ways_of(claim, scope) or self.ways_of(_coloured(claim), scope)
        )
        if not ways and len(claim.names) >= FEWEST_SURE and not self.is_any_over(scope):
            ways = self.ways_of(claim, replace(scope, tests=()))
        if not scope.tests and self.chords_before:
            ways = [way for way in ways if self.is_over_chord_before(way[0])] or ways
        return ways

    def is_any_over(self, scope: Scope) -> bool:
        """Whether any note in sight stands where the tests of a scope have it."""
        return any(
            scope.passes(note, self.music) for span in self.spans for note in self.music.struck_in(span)
        )

    def likeliest_ways(self, claim: Claim, ways: list[list[Note]]) -> list[list[Note]]:
        """The way that what stands beside a row singles out: its number, the note after it, the sentence before."""
        for choose in (self.by_number, self.by_note_after, self.by_note_before, self.by_repeat):
            narrowed = choose(claim, ways)
            if len(narrowed) == 1:
                return narrowed
        return ways

    def by_figure(self, _: Claim, ways: list[list[Note]]) -> list[list[Note]]:
        """Those with which the figure that was lit last begins: "we open with an arpeggio, three five seven nine"."""
        return [way for way in ways if way[0].id == self.begun]

    def by_number(self, claim: Claim, ways: list[list[Note]]) -> list[list[Note]]:
        """The first, the next or the last, where it is so called: "the second dominant goes three, five, seven"."""
        if NEXT_ROW.search(self.sentence.text[: claim.first]):
            return ways[:1]
        said = max(NTH_ROW.finditer(self.sentence.text, 0, claim.first), key=re.Match.end, default=None)
        if said is None or any(said.end() <= other.first < claim.first for other in self.claims):
            return []
        if said["nth"] in ("last", "final", "closing"):
            return ways[-1:]
        nth = 1 if said["nth"] in ("opening", "next") else ordinal_of(said["nth"])
        return ways[nth - 1 : nth]

    def by_note_after(self, claim: Claim, ways: list[list[Note]]) -> list[list[Note]]:
        """Those after which the line goes on to the note that is named next: "three, five, one, up to nine"."""
        at = self.claims.index(claim) + 1
        following = self.claims[at : at + 1]
        if not following or following[0].kind not in ("degree", "note"):
            return []
        line = self.music.line
        return [way for way in ways if set(line[line.index(way[-1]) + 1 :][:1]) & set(self.options[at])]

    def by_note_before(self, _: Claim, ways: list[list[Note]]) -> list[list[Note]]:
        """Those that hold the notes that the sentence before named last."""
        return [way for way in ways if set(self.notes_before) & {note.id for note in way}]

    def by_repeat(self, _: Claim, ways: list[list[Note]]) -> list[list[Note]]:
        """The first of those that follow each other at once."""
        line = self.music.line
        joined = all(line.index(one[-1]) + 1 == line.index(other[0]) for one, other in pairwise(ways))
        return ways[:1] if joined else []

    def is_alike(self, one: Claim, other: Claim) -> bool:
        """Whether two rows may be of the same degrees: "third, fifth and flat seven", "third, fifth, seven"."""
        pairs = zip(one.names, other.names, strict=False)
        same = len(one.names) == len(other.names)
        return same and all(set(a.split("|")) & set(b.split("|")) for a, b in pairs)

    def other_ways(self, claim: Claim, lit: Sequence[Note]) -> list[list[Note]]:
        """Where else in the cue a row comes that is said once more; where it was lit, if nowhere else."""
        ways = [way for way in self.ways_of(claim, Scope()) if way[0] not in self.begun_sets]
        return ways if len(ways) == 1 else [list(lit)]

    def ways_of(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """The places where some degrees come in a row: side by side in the line, else in order in a bar."""
        spans = scope.spans or tuple(self.spans)
        line = self.music.line
        count = len(claim.names)
        ways = [
            list(line[first : first + count])
            for first in range(len(line) - count + 1)
            if _is_begun_in(line[first : first + count], spans, mostly=not scope.tests)
            and all(
                self.is_number(n, names)
                for n, names in zip(line[first : first + count], claim.names, strict=True)
            )
            and scope.passes(line[first], self.music)
        ]
        return ways or self.in_order(claim, scope)

    def in_order(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """Degrees that follow each other in one way only, with notes between, in the bars that are named."""
        if claim.sure or not scope.spans:
            return []
        notes = [
            note
            for note in self.music.struck_between(scope.spans[0].start, scope.spans[0].end)
            if scope.passes(note, self.music)
        ]
        named = [
            OrderedClaim(names, tuple(note for note in notes if self.is_number(note, names)))
            for names in claim.names
        ]
        ordered = only_order(named) if all(each.notes for each in named) else []
        return [[each.notes[0] for each in ordered]] if ordered else []

    def first_in_order(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """The first notes of a bar that come in the order of a row, others between them."""
        notes = list(self.music.struck_between(scope.spans[0].start, scope.spans[0].end))
        found: list[Note] = []
        for names in claim.names:
            later = [
                n for n in notes if (not found or n.onset > found[-1].onset) and self.is_number(n, names)
            ]
            if not later:
                return []
            found.append(later[0])
        return [found]

    def in_any_order(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """The first notes next to each other that are some degrees, each once, in whatever order."""
        if way_of(self.sentence.text):
            return []  # "runs down the chord, nine seven five three"
        count, (span, *_) = len(claim.names), scope.spans
        notes = [n for n in self.music.struck_between(span.start, span.end) if scope.passes(n, self.music)]
        windows = (notes[first : first + count] for first in range(len(notes) - count + 1))
        return next(([window] for window in windows if self.are_all(window, claim)), [])

    def are_all(self, notes: Sequence[Note], claim: Claim) -> bool:
        """Whether some notes are, one each, the degrees of a claim."""
        left = list(claim.names)
        for note in notes:
            own = [names for names in left if self.is_number(note, names)]
            if not own:
                return False
            left.remove(own[0])
        return True

    def once_each(self, claim: Claim) -> Decided:
        """The notes of several degrees that a single bar of those shown has, each once, in whatever order."""
        in_order = IN_ORDER.search(self.sentence.text[: claim.first]) or way_of(self.sentence.text)
        if len(claim.names) < MANY or in_order or self.sentence.is_question or not claim.sure:
            return NOTHING
        notes = [note for span in self.spans for note in self.music.struck_between(span.start, span.end)]
        each = [[note for note in notes if self.is_number(note, names)] for names in claim.names]
        found = sorted((note for those in each for note in those), key=lambda note: note.onset)
        alone = all(len(those) == 1 for those in each) and len({note.bar for note in found}) == 1
        return self.several(replace(claim, count=-1), found) if alone else NOTHING

    def each_there(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """The first note in the bar of each degree that is told right after a device, whose notes they may be."""
        before = self.claims_before(claim)[-1:]
        if not before or before[0].kind != "device" or self.begun is None:
            return []
        there = self.music.struck_between(scope.spans[0].start, scope.spans[0].end)
        there = tuple(note for note in there if scope.passes(note, self.music))
        each = [[note for note in there if self.is_number(note, names)][:1] for names in claim.names]
        found = [note for notes in each for note in notes]
        return [sorted(found, key=lambda note: note.onset)] if all(each) else []

    def every_way(self, ways: Sequence[Sequence[Note]]) -> Decided:
        """Degrees that come over and over: all of their notes."""
        notes = {note.id: note for way in ways for note in way}
        ordered = sorted(notes.values(), key=lambda note: note.onset)
        self.chosen.append(ordered[-1])
        span = Span(ordered[0].onset, ordered[-1].onset + ordered[-1].held)
        first, last = (format_position(self.music.score, note.onset) for note in (ordered[0], ordered[-1]))
        target = f"{first}-{last}"
        bare = tuple(Lit(note.id, None, False) for note in ordered)
        return Decided(Mention("span", span, bare, target=target), target)

    def no_set(self, claim: Claim, scope: Scope) -> Decided:
        """No such degrees in a row: in another order perhaps, else a fault where a place is said."""
        over_chord = bool(scope.tests) and not scope.spans and len(self.spans) == 1
        nowhere = scope.explicit and not scope.spans  # a bar that there is not
        ordered = IN_ORDER.search(self.sentence.text[: claim.first])
        in_only_bar = ordered and len(self.spans) == 1 and self.is_one_bar(self.spans[0])
        placed = scope.explicit or over_chord or in_only_bar
        if nowhere or not placed or self.sentence.is_question or not claim.sure:
            return NOTHING if placed else self.once_each(claim)
        span = scope.spans[0] if scope.explicit else self.spans[0]
        chords = [change.chord for change in self.music.changes_in(span) if change.chord is not None]
        names = [likeliest(each.split("|"), chords) for each in claim.names]
        if scope.explicit and not ordered:
            apart = self.in_order(replace(claim, sure=False), scope) or self.first_in_order(claim, scope)
            apart = apart or self.in_any_order(claim, scope) or self.each_there(claim, scope)
            if apart:
                return self.several(replace(claim, count=-1), apart[0])
        each = self.fault(f"{','.join(names)}@{format_span(self.music.score, span)}", claim)
        if each.mention is None or not (ordered or way_of(self.sentence.text)):
            return each
        notes = self.music.struck_by_id
        there = sorted((notes[lit.note] for lit in each.mention.notes), key=lambda note: note.onset)
        labels = [self.music.finding(note).degree or "" for note in there]
        if all(label in names.split("|") for label, names in zip(labels, claim.names, strict=False)):
            return each
        words, where = self.sentence.words(claim.first, claim.last), self.music.said(span)
        what = f"“{words}”: {where} has them in the order {' '.join(labels)}"
        return Decided(None, each.target, (), what, f"write {' '.join(labels)}")

    def set_target(self, way: Sequence[Note]) -> str:
        """How a link names degrees in a row."""
        labels = ",".join(self.music.finding(note).degree or "" for note in way)
        ends = [format_position(self.music.score, note.onset) for note in (way[0], way[-1])]
        return f"{labels}@{'-'.join(dict.fromkeys(ends))}"


# What a plain number in a figure may be as well: "nine, seven, five, three" of a chord with a flat nine.
COLOURS = {"9": "9|b9|#9", "11": "11|#11|4", "13": "13|b13|6", "5": "5|b5|#5"}


def _is_begun_in(notes: Sequence[Note], spans: Sequence[Span], *, mostly: bool) -> bool:
    """Whether some notes begin in one of some spans, and `mostly` whether at least half of them are in it."""
    least = len(notes) if mostly else 0
    return any(
        span.start <= notes[0].onset < span.end and 2 * sum(note.onset < span.end for note in notes) >= least
        for span in spans
    )


def _coloured(claim: Claim) -> Claim:
    """A row of degrees of which the numbers without a sign may be altered, where none is said to be."""
    if any(is_altered(names.split("|")) for names in claim.names):
        return claim
    return replace(claim, names=tuple(COLOURS.get(name.split("|")[0], name) for name in claim.names))
