"""What the claims of one sentence make of each other once each is decided by itself.

What is said of two notes that are both known may be false of them; what is only another name, or said by the way,
lights nothing of its own; chords that are named in a row are one stretch. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, product

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, format_position
from lessonmaker.script.candidates import bars_lit
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_shapes import CHORD_RUN, CHORD_SHAPE
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import HEDGED, NOTHING, Decided
from lessonmaker.script.plain.degree_sets import IN_ORDER, MANY
from lessonmaker.script.plain.degree_words import LEADING_NOTE
from lessonmaker.script.plain.denials import Denials
from lessonmaker.script.plain.directions import comes_from_elsewhere
from lessonmaker.script.plain.extents import EDGE
from lessonmaker.script.plain.figures import FIGURES
from lessonmaker.script.plain.goals import MOVED_TO
from lessonmaker.script.plain.line_shapes import HALF_STEPS
from lessonmaker.script.plain.lines import is_aside
from lessonmaker.script.plain.motion import motion_between, without_places
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.of_two import Around, are_one, untrue
from lessonmaker.script.plain.only_notes import Told, misnamed, rightly_named, told_of_one
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.reached import Reached
from lessonmaker.script.plain.said_often import SEVERAL
from lessonmaker.script.plain.scope import lists_in
from lessonmaker.theory.chord import Chord
from lessonmaker.theory.degree import accepts

__all__ = ["TO_WHAT", "Together"]


TO_WHAT = pattern_of(r" (?:in)?to (?:the |its |an? )?")

# What lights nothing of its own where its notes are named as well.
SAID_BESIDE = (*FIGURES, HALF_STEPS, EDGE, CHORD_RUN, "register peak")
IN_A_ROW = pattern_of(r",? (?:and |then |and then |to )?(?:the |an? )?")
RUNS = (CHORD_RUN, "arpeggio", "chromatic run")
A_REST = pattern_of(
    r"\b(?:(?:bars?|beats?) off|rests?|breaths?|breathe|silen\w+|nothing(?!.*\b(?:higher|lower)\b))\b"
)
# Before a rest that is told for its own sake.
OWN_CLAUSE = pattern_of(
    r"(?:,|;|:|\band|\bbut|\bthen) (?:(?:and|then|after that),? )*(?:there(?:'s| is| are| comes)|(?:you|we|i|it)"
    r"(?:'ve got| have| has| get| gets))(?: (?:just|only|exactly))? $"
)
SURE = ("stated", "found", "handled", "touched")
OF_THE_LINE = ("line", "extent", "entry", "beats")  # what is said of the line rather than of its notes
ANOTHER_PART = pattern_of(r"[,;:]|\b(?:and|but|then)\b")
# What a note of some length is called, or stands on: "a half note on the root", "the half note is the fifth".
CALLED = pattern_of(
    r",? ?(?:on|is|it's|being|namely|and (?:it|that|this) is|and (?:it|that)'s|which is)? ?(?:just |simply )?"
    r"(?:an?|the|its|our|that)? ?"
)
END_OF_NAME = pattern_of(
    r"[,;:]? ?(?:[.!?]|$)|[,;:] (?!(?:an?|the|its) )(?![a-g](?: flat| sharp| natural)?\b)"
)
COUNTED = pattern_of(r" (?:of the (?:bar|phrase|line)|in a row|time|such|note|one)\b")
# Groups of which one note each is told of: "each of these four cells comes to rest on the root".
EACH_GROUP = pattern_of(
    rf"\b{SEVERAL}\b|\b(?:each|every)(?: of)?(?: the| these| those)?(?: (?!time\b|bar\b)[a-z]+)? (?:[a-z]+ )?"
    r"(?:groups?|cells?|figures?|patterns?|units?|shapes?|fragments?|motifs?|statements?|ideas?)\b"
)
EACH_ONE = pattern_of(r"\b(?:each|every)(?: single)? $")
OF_GROUPS = 24  # characters before a claim
# What is said next is said of more than the note named after these: "A goes to A flat, which is the nine of the two".
ASIDE_OF = pattern_of(
    r"\b(?:precedes?|approach(?:es)?|surrounds?|answers?|meets?|next to|to|into|onto|below|above"
    r"|under|underneath|over|around|before|of)(?: the| an?| our)? $"
)
# "Three, sharp eleven, five, a little lydian wave".
ARPEGGIO = "arpeggio"
SPELT_BESIDE = pattern_of(
    r"[,:;]? ?(?:(?:is |it's |that's |going |goes |of |just |with |from )*(?:the |a |an )?)?(?:\w+ )?"
)
APPOSED = pattern_of(r"(?:,|:| -)(?! (?:and|but|so|then|which|it|we|you|while|before|after)\b)[^,;:.]*$")


class Together(Reached, Denials, Patterns):
    """Holds what claims came to against each other."""

    def hold_together(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Take what claims came to as said together, in place."""
        self.leave_false_suspensions(claims, decided)
        self.hold_pairs(claims, decided)
        self.hold_ways(claims, decided)
        self.hold_ends(claims, decided)
        self.hold_order(claims, decided)
        self.hold_inside(claims, decided)
        self.hold_only_ones(claims, decided)
        self.join_chords(claims, decided)
        self.say_chords_once(claims, decided)
        self.answer_by_beats(claims, decided)
        self.join_resolutions(claims, decided)
        self.hold_goals(claims, decided)
        for index in reversed(range(len(claims))):
            if self.adds_nothing(index, claims, decided):
                decided[index] = NOTHING

    def adds_nothing(self, index: int, claims: Sequence[Claim], decided: Sequence[Decided]) -> bool:
        """Whether a claim lights nothing of its own beside the others."""
        claim = claims[index]
        beside = claim.name in SAID_BESIDE or self.is_early(claim)
        if beside and (
            _is_said_twice(decided[index], decided, claim.name == CHORD_RUN)
            or _is_denied_by_next(index, claims, decided)
        ):
            return True
        if self.is_each_of(index, claims, decided) or self.is_spelt_beside(index, decided):
            return True
        if self.is_extreme_of_cue(index, claims, decided):
            return True
        return claim.kind == "line" and (
            self.is_how_one_moves(index)
            or _adds_nothing(index, claims, decided, aside=self.is_by_the_way(claim))
            or self.is_a_rest_beside(index, decided)
        )

    def is_extreme_of_cue(self, index: int, claims: Sequence[Claim], decided: Sequence[Decided]) -> bool:
        """Whether it is said what the highest note of these bars is, though it is not that of the piece."""
        if claims[index].name != "register peak" or not decided[index].what:
            return False
        named = claims[index + 1 : index + 2]
        between = (
            without_places(self.sentence, claims[index].last, named[0].first, self.places) if named else ""
        )
        return bool(named) and named[0].kind in ("degree", "note") and CALLED.fullmatch(between) is not None

    def is_each_of(self, index: int, claims: Sequence[Claim], decided: Sequence[Decided]) -> bool:
        """Whether the groups of a figure are only those of which notes are named: "each group begins on the root"."""
        claim, mention = claims[index], decided[index].mention
        words = self.sentence.text[max(claim.first - OF_GROUPS, 0) : claim.last]
        asked = EACH_ONE.search(self.sentence.text[: claim.first]) is not None and bool(
            decided[index].choices
        )
        if claim.kind not in ("alike", "device") or not (asked or (mention and EACH_GROUP.search(words))):
            return False
        lit = {lit.note for lit in (mention.notes if mention is not None else ())}
        named = [
            {note.note for note in other.mention.notes}
            for at, other in enumerate(decided)
            if at != index and other.mention is not None and claims[at].kind in ("degree", "set", "note")
        ]
        return any(len(notes) > 1 and (asked or notes < lit) for notes in named)

    def is_spelt_beside(self, index: int, decided: Sequence[Decided]) -> bool:
        """Whether a chord or scale is only the name of what is spelt out before it: "E, C, A, G, down the A minor"."""
        claim, mention = self.claims[index], decided[index].mention
        before = self.claims[index - 1] if index else None
        spelt = decided[index - 1].mention if index else None
        if claim.name == ARPEGGIO and self.spells_it_out(index, decided):
            return True
        named = claim.name == CHORD_SHAPE or claim.kind == "scale"
        if not named or before is None or before.kind != "set" or mention is None or spelt is None:
            return False
        lit = {lit.note for lit in spelt.notes}
        farther = lit < {lit.note for lit in mention.notes}
        if claim.kind == "scale":
            farther = farther and not bars_lit(mention, self.music) <= bars_lit(spelt, self.music)
        return farther and APPOSED.match(self.sentence.text[before.last : claim.first]) is not None

    def spells_it_out(self, index: int, decided: Sequence[Decided]) -> bool:
        """Whether some degrees right beside an arpeggio are what is meant of it: "a three five seven nine arpeggio"."""
        claim, mention, text = self.claims[index], decided[index].mention, self.sentence.text
        lit = {lit.note for lit in mention.notes} if mention is not None else set()
        for other, each in zip(self.claims, decided, strict=True):
            own = {lit.note for lit in each.mention.notes} if each.mention is not None else set()
            between = text[min(claim.last, other.last) : max(claim.first, other.first)]
            if other.kind == "set" and len(own) > 2 and own < lit and SPELT_BESIDE.fullmatch(between):
                return True
        return False

    def is_how_one_moves(self, index: int) -> bool:
        """Whether what is said of the line is how one note that is named goes to the next."""
        named = [each for each in self.claims if each.kind in ("degree", "note", "standout")]
        before = [each for each in named if each.last <= self.claims[index].first][-1:]
        after = [each for each in named if each.first >= self.claims[index].last][:1]
        both = [*before, *after]
        text, line = self.sentence.text, self.claims[index]
        if len(both) == 2 and TO_WHAT.fullmatch(text[line.last : both[1].first]):
            return not ANOTHER_PART.search(
                without_places(self.sentence, both[0].last, line.first, self.places)
            )
        return len(both) == 2 and motion_between(self.sentence, both[0], both[1], self.places) != ""

    def leave_false_suspensions(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Light no suspension that is said to resolve as it does not."""
        for index, (claim, each) in enumerate(zip(claims, decided, strict=True)):
            false = claim.kind == "resolves" and each.what
            if false and index and claims[index - 1].name == "suspension":
                decided[index - 1] = NOTHING

    def hold_pairs(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Call false what is said of two notes that are both known, and is not so."""
        for index in range(len(claims) - 1):
            one, other = claims[index], claims[index + 1]
            notes = [self.only_note(at, decided) for at in (index, index + 1)]
            if one.kind == "note" and decided[index].what and self.says_again(index + 1):
                decided[index + 1] = NOTHING  # "kicks off with G, the ninth": it is said once
            if one.kind == "note" and other.kind == "degree" and self.says_again(index + 1):
                self.hold_degree(index, decided)
            aside = ASIDE_OF.search(self.sentence.text[: one.first]) is not None
            if one.kind == "degree" and other.kind == "note" and not aside and self.says_again(index + 1):
                if decided[index].what and not decided[index].choices and not decided[index + 1].what:
                    decided[index + 1] = NOTHING  # "kicks off on the root, A flat": there is no such note
                self.hold_name(index, decided)
            between = without_places(self.sentence, one.last, other.first, self.places)
            owner = self.sentence.text.startswith("'s ", other.last)
            if notes[0] is None or notes[1] is None or aside or owner or self.sentence.is_question:
                continue
            around = Around(self.sentence.text[: one.first], between, self.sentence.text[other.last :])
            instead = untrue(around, notes[0], notes[1], self.music)
            if instead and not self.others_are_so(index, around):
                words = self.sentence.words(other.first, other.last)
                what, todo = f"“{words}”: {instead}", "say what is there"
                decided[index + 1] = Decided(None, self.music.target_of(notes[0]), (), what, todo)

    def others_are_so(self, index: int, around: Around) -> bool:
        """Whether what is said of two notes, which are not said to be one, holds for others of their names in sight."""
        if are_one(around.between) or self.says_again(index + 1):
            return False
        line = [note for span in self.spans for note in self.music.line_in(span)]
        ones, others = ([note for note in line if self.may_be(at, note)] for at in (index, index + 1))
        return any(untrue(around, *pair, self.music) == "" for pair in product(ones, others))

    def hold_name(self, index: int, decided: list[Decided]) -> None:
        """Call a degree false that is said to be a note of another name: "the third, E"."""
        (claim, named), note = self.claims[index : index + 2], self.only_note(index, decided)
        ends = END_OF_NAME.match(self.sentence.text, named.last) and claim.stance == named.stance == "stated"
        unsure = not ends or self.sentence.is_question or HEDGED.search(self.sentence.text)
        pitch = named_note(named.name).pitch_class
        line = [each for span in self.spans for each in self.music.line_in(span)]
        both = [each for each in line if each.written.name.pitch_class == pitch and self.may_be(index, each)]
        if (
            note is None
            or unsure
            or both
            or note.written.name.pitch_class == named_note(named.name).pitch_class
        ):
            return
        words = self.sentence.words(named.first, named.last)
        at = format_position(self.music.score, note.onset)
        what, todo = f"“{words}”: the note at {at} is {note.written.name}", "name the note that is there"
        decided[index] = Decided(None, self.music.target_of(note), (), what, todo)
        decided[index + 1] = NOTHING

    def hold_degree(self, index: int, decided: list[Decided]) -> None:
        """Call false a degree of a note that is lit, and is another: "the peak is G, the sharp eleven"."""
        claim, note = self.claims[index + 1], self.one_note(decided[index])
        unsure = claim.stance != "stated" or self.sentence.is_question or HEDGED.search(self.sentence.text)
        if (
            note is None
            or unsure
            or decided[index + 1].says
            or not END_OF_NAME.match(self.sentence.text, claim.last)
        ):
            return
        finding = self.music.finding(note)
        if finding.degree and finding.chord and _is_none_of(claim.names, finding.degree, finding.chord):
            decided[index + 1] = self.is_another(claim, note, finding.degree)

    def hold_ways(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Call false a note to which the line is said to climb or fall, and which it reaches from the other side."""
        for index, claim in enumerate(claims):
            note = self.only_note(index, decided)
            before = self.sentence.text[: claim.first]
            side = comes_from_elsewhere(before, note, self.music.line) if note is not None else ""
            if note is not None and side and not self.sentence.is_question:
                at, words = (
                    format_position(self.music.score, note.onset),
                    self.sentence.words(claim.first, claim.last),
                )
                what = f"“{words}”: the note at {at} is reached from {side}"
                decided[index] = Decided(None, self.music.target_of(note), (), what, "say which way it goes")

    def hold_ends(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Light of a run only what lies between the two notes that are its ends: "half steps from A down to F"."""
        for one, other in pairwise(range(len(claims))):
            ends = [
                claims[at].at for at in (one, other) if claims[at].kind == "set" and len(claims[at].at) == 1
            ]
            if len(ends) < 2:
                continue
            for index, each in enumerate(decided):
                lit = [lit.note for lit in each.mention.notes] if each.mention is not None else []
                if claims[index].name not in RUNS or not (ends[0][0] in lit and ends[1][0] in lit):
                    continue
                part = lit[lit.index(ends[0][0]) : lit.index(ends[1][0]) + 1]
                if 1 < len(part) < len(lit):
                    decided[index] = self.lit_row([self.music.struck_by_id[name] for name in part])

    def hold_order(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Call false a row in whose order its notes do not come: "bar nine goes G, F, C sharp"."""
        for row in lists_in(self.sentence, claims):
            names = [claims[at].name for at in row if claims[at].kind == "note"]
            again = len(names) > 1 and names[-1] == names[-2]
            run = row[:-1] if again else row  # "F, A, C, E, and the E is held"
            first, last = claims[run[0]].first, claims[run[-1]].last
            plain = len(run) >= MANY and len({claims[at].kind for at in run}) == 1
            ordered = plain and IN_ORDER.search(self.sentence.text[:first])
            stated = all(claims[at].stance == "stated" and self.options[at] for at in run)
            if not ordered or not stated or self.sentence.is_question or HEDGED.search(self.sentence.text):
                continue
            if not _comes_in_order([self.options[at] for at in run]):
                words = self.sentence.words(first, last)
                target = self.music.target_of(self.options[run[0]][0])
                what, todo = f"“{words}”: these notes do not come in this order", "name them as they come"
                for at in run:
                    decided[at] = NOTHING
                decided[run[0]] = Decided(None, target, (), what, todo, until=last)

    def hold_only_ones(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Call a name false of the one note that does what is said: "the A comes early", which is a B.

        Where that note has the name over the chord it is held into, it is lit.
        """
        told = {at: self.what_it_does(at) for at, claim in enumerate(claims) if _is_plain(claim)}
        for at, said in told.items():
            absent = decided[at].what and not decided[at].choices and not self.options[at]
            if said is not None and absent:
                note = rightly_named(claims[at], said, self.told_in(at), self.music)
                decided[at] = self.lit_row([note]) if note is not None else decided[at]
        if self.sentence.is_question or any(each.what and not each.choices for each in decided):
            return
        false: set[str] = set()
        for index, said in told.items():
            note = misnamed(claims[index], said, self.told_in(index), self.music) if said else None
            if said is None or note is None:
                continue
            for at, other in enumerate(claims):
                if said.first <= other.first < said.last and not decided[at].what:
                    decided[at] = NOTHING
            decided[index] = NOTHING if note.id in false else self.is_not_so_named(claims[index], note)
            false.add(note.id)

    def what_it_does(self, index: int) -> Told | None:
        """What a claim is told to do that one note does."""
        return told_of_one(self.sentence, self.claims[index], self.places)

    def told_in(self, index: int) -> Sequence[Span]:
        """The bars in which a claim is told to do something."""
        scope = self.scopes[index]
        return scope.spans if scope.explicit and scope.spans else self.spans

    def is_not_so_named(self, claim: Claim, note: Note) -> Decided:
        """A note that has another name, or is another degree, than it is called by."""
        at, degree = format_position(self.music.score, note.onset), self.music.finding(note).degree
        if claim.kind == "degree" and degree:
            return self.is_another(claim, note, degree)
        words = self.sentence.words(claim.first, claim.last)
        what = f"“{words}”: the note at {at} is {note.written.name}"
        return Decided(None, self.music.target_of(note), (), what, "name the note that is there")

    def only_note(self, index: int, decided: Sequence[Decided]) -> Note | None:
        """The note of a claim that can be no other one."""
        claim = self.claims[index]
        plain = (
            (claim.kind in ("degree", "note") or len(claim.at) == 1)
            and claim.stance in ("stated", "found", "handled")
            and not claim.count
        )
        alone = plain and len({note.onset for note in self.options[index]}) == 1
        return self.one_note(decided[index]) if alone else None

    def join_chords(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Light chords that are named one after the other, and follow each other, as one stretch."""
        for index in reversed(range(len(claims) - 1)):
            one, other = decided[index].mention, decided[index + 1].mention
            symbols = claims[index].kind == claims[index + 1].kind == "symbol" and one is not None
            between = self.sentence.text[claims[index].last : claims[index + 1].first]
            if not symbols or one is None or other is None or not IN_A_ROW.fullmatch(between):
                continue
            if one.kind == other.kind == "span" and one.span.end == other.span.start:
                decided[index] = self.lit_span(Span(one.span.start, other.span.end))
                decided[index + 1] = NOTHING

    def say_chords_once(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Light bars once for what their chord is, however often that is said: "a tritone sub, it replaces D flat"."""
        for index, (one, other) in enumerate(pairwise(decided)):
            symbols = claims[index].kind == claims[index + 1].kind == "symbol" and one.mention is not None
            if symbols and one.target == other.target:
                decided[index + 1] = NOTHING

    def answer_by_beats(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Ask nothing of notes that are lit together, or whose beats are counted up: "the A lands on one, on four"."""
        for claim, each in zip(claims, decided, strict=True):
            several = (
                each.mention is not None and len(each.mention.notes) > 1 and claim.kind in ("note", "degree")
            )
            if each.mention is None or not (several or claim.kind == "beats"):
                continue
            lit = {lit.note for lit in each.mention.notes}
            at = {format_position(self.music.score, self.music.struck_by_id[note].onset) for note in lit}
            for index, other in enumerate(decided):
                if other.choices and {choice.split("@")[-1] for choice in other.choices} <= at:
                    decided[index] = NOTHING

    def join_resolutions(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Say once that a note resolves otherwise, and light nothing as what it resolves to."""
        for index in range(len(claims) - 1):
            resolves = claims[index].kind == "resolves" and decided[index].what and not decided[index].choices
            before = self.sentence.text[: claims[index + 1].first]
            if resolves and MOVED_TO.search(before):
                at = index if decided[index + 1].what else index + 1
                decided[at] = NOTHING

    def join_degrees(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Say that a note of some length that is lit, and called a degree, is another: "a half note on the root"."""
        for index, (claim, called) in enumerate(pairwise(claims)):
            between = without_places(self.sentence, claim.last, called.first, self.places)
            if claim.kind != "line" or not CALLED.fullmatch(between) or not self.is_plainly_called(called):
                continue
            note = self.one_note(decided[index])
            degree = self.music.finding(note).degree if note is not None else None
            if decided[index].what and not decided[index].choices:
                decided[index + 1] = NOTHING
            elif note is not None and degree is not None and degree not in called.names:
                decided[index], decided[index + 1] = NOTHING, self.is_another(called, note, degree)

    def join_shapes(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Light no figure that is called a chord which it is not: "the upper structure is an A flat triad"."""
        for index, (claim, called) in enumerate(pairwise(claims)):
            between = without_places(self.sentence, claim.last, called.first, self.places)
            shapes = claim.kind == called.kind == "device" and called.name == CHORD_SHAPE
            false = decided[index + 1].what and not decided[index + 1].choices
            if shapes and false and CALLED.fullmatch(between):
                decided[index] = NOTHING

    def is_plainly_called(self, claim: Claim) -> bool:
        """Whether a note is plainly called a degree."""
        unsure = self.sentence.is_question or HEDGED.search(self.sentence.text)
        plain = claim.kind == "degree" and claim.stance == "stated" and not unsure
        return plain and not COUNTED.match(self.sentence.text, claim.last)

    def one_note(self, decided: Decided) -> Note | None:
        """The note that is lit, if it is one."""
        lit = decided.mention.notes if decided.mention is not None else ()
        return self.music.struck_by_id.get(lit[0].note) if len(lit) == 1 else None

    def is_another(self, claim: Claim, note: Note, degree: str) -> Decided:
        """A note that is another degree than it is called; nothing where one called a leading note leads on."""
        after = self.music.line_after(note)
        if claim.name == LEADING_NOTE and after is not None and after.sounding.midi - note.sounding.midi == 1:
            return NOTHING
        at, words = (
            format_position(self.music.score, note.onset),
            self.sentence.words(claim.first, claim.last),
        )
        what = f"“{words}”: the note at {at} is the {degree}"
        return Decided(None, f"{degree}@{at}", (), what, f"write [{degree}]({degree}@{at})")

    def is_a_rest_beside(self, index: int, decided: Sequence[Decided]) -> bool:
        """Whether a rest is only named beside what else is lit: "kicks off on beat two, after a quarter rest"."""
        claim, mention = self.claims[index], decided[index].mention
        rest = mention is not None and not mention.notes and mention.kind == "span"
        rest = rest or A_REST.search(self.sentence.words(claim.first, claim.last)) is not None
        rest = rest and not self.is_told_for_itself(claim)
        return rest and any(each.mention is not None for at, each in enumerate(decided) if at != index)

    def is_told_for_itself(self, claim: Claim) -> bool:
        """Whether a rest has a part of the sentence of its own: "..., and then we have a whole bar off"."""
        rest = A_REST.search(self.sentence.words(claim.first, claim.last))
        return bool(rest and OWN_CLAUSE.search(self.sentence.text[: claim.first]))

    def is_by_the_way(self, claim: Claim) -> bool:
        """Whether something is only said by the way, beside what is said of notes."""
        return is_aside(claim) and not self.is_told_for_itself(claim)

    def is_early(self, claim: Claim) -> bool:
        """Whether a note is only said to come early: "the third comes an eighth early"."""
        return claim.name == "anticipation" and "anticip" not in self.sentence.words(claim.first, claim.last)


def _comes_in_order(options: Sequence[Sequence[Note]]) -> bool:
    """Whether notes, one of each of some options, can come one after the other."""
    onset = None
    for notes in options:
        later = [note.onset for note in notes if onset is None or note.onset > onset]
        if not later:
            return False
        onset = min(later)
    return True


def _is_denied_by_next(index: int, claims: Sequence[Claim], decided: Sequence[Decided]) -> bool:
    """Whether what a top note is said to be is false: "the highest note is the A"."""
    following = [each for at, each in enumerate(decided) if claims[at].first > claims[index].first][:1]
    return claims[index].name == "register peak" and any(
        "the highest note of" in each.what for each in following
    )


def _is_said_twice(each: Decided, decided: Sequence[Decided], in_part: bool) -> bool:
    """Whether another claim lights the same notes, or some more: "a triplet, root, third, flat five"."""
    lit = each.mention and [lit.note for lit in each.mention.notes]
    others = [other.mention for other in decided if other is not each and other.mention is not None]
    all_ = [[lit.note for lit in other.notes] for other in others]
    return any(notes == lit or (lit and in_part and set(lit) <= set(notes)) for notes in all_)


def _adds_nothing(index: int, claims: Sequence[Claim], decided: Sequence[Decided], *, aside: bool) -> bool:
    """Whether the notes that a claim lights are lit by others, or what it is said of is false."""
    mention = decided[index].mention
    others = [other for at, other in enumerate(decided) if at != index]
    if mention is None:
        return any(other.what and not other.choices for other in others)  # one message is enough
    lit = {lit.note for other in others if other.mention is not None for lit in other.mention.notes}
    false = [bool(other.what) and not other.choices for other in decided[:index]]
    own = {lit.note for lit in mention.notes}
    spans = [other.mention.span for other in others if other.mention is not None and not other.mention.notes]
    if not own and any(span.start <= mention.span.start and mention.span.end <= span.end for span in spans):
        return True
    topics = [other for other, each in zip(claims, decided, strict=True) if each.mention is not None]
    if aside and any(other.kind not in OF_THE_LINE for other in topics):
        return True
    return (bool(own) and own <= lit) or (any(false) and claims[index].stance != "found")


def _is_plain(claim: Claim) -> bool:
    """Whether a claim is of one degree or note, and is not denied."""
    return claim.kind in ("degree", "note") and not claim.count and claim.stance in SURE


def _is_none_of(names: Sequence[str], degree: str, chord: Chord) -> bool:
    """Whether a note is none of some degrees, by whatever name."""
    return all(accepts(name, degree, chord) == "false" for name in names)
