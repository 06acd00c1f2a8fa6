"""Deciding which figures a sentence speaks of: what the notes alone tell, a triplet or the voice under a held note."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, format_position, format_span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.figures import (
    CERTAIN,
    TRIPLET_BEATS,
    beat_of,
    beats_listed,
    beats_of,
    figures_in,
)
from lessonmaker.script.plain.patterns import Patterns
from lessonmaker.script.plain.said_often import each_beside
from lessonmaker.script.plain.scope import MOVES_ON, Scope
from lessonmaker.script.plain.verbs import way_of

__all__ = ["MOVING_VOICE", "Figured"]

MOVING_VOICE = "moving voice"
OBLIQUE = pattern_of(r"\boblique\b")
SIDE = pattern_of(r"(?:(?P<up>top|upper)|bottom|lower)\b")
# What a bar has nothing else beside: "made entirely of triplets", "nothing but sixteenths".
ENTIRELY = pattern_of(
    r"\b(?:the (?:whole|entire) (?:bar|measure) \w+(?: along)?(?= in)|all of (?:bar|measure) [\w-]+ \w+(?="
    r" in)|nothing but|entirely|exclusively"
    r"|purely|solely|(?<!the )only|(?:is|are|'s) all)(?: made)?(?: up)?"
    r"(?: of| in)?(?: (?:straight|even|running|steady|fast|pure))* $"
)
BARS = pattern_of(r"\b(?:bars?|measures?)$")
# "The first beat is split into a triplet": no way on from it.
DIVIDED = pattern_of(r"\b(?:split|divided|broken|chopped|cut|carved|subdivided)(?: up)? into\b")


class Figured(Patterns):
    """Decides claims of figures."""

    def figure(self, claim: Claim, scope: Scope) -> Decided:
        """What the notes alone tell: a triplet, the voice under a held note."""
        if claim.name == MOVING_VOICE and OBLIQUE.search(self.sentence.text):
            return NOTHING  # lit with the note that stays
        found = figures_in(claim.name, scope.spans or tuple(self.spans), self.music)
        here = [
            notes
            for notes in found
            if not scope.tests or any(scope.passes(note, self.music) for note in notes)
        ]
        here = here or ([] if claim.name in CERTAIN else found)
        sized = self.of_value(claim, here)
        if not sized:
            return self.other_value(claim, scope) if here else self.no_figure(claim, scope, found)
        here = sized
        voice = claim.name == MOVING_VOICE and len(here) == 1
        other = self.other_voice(claim, scope, here[0]) if voice else self.other_note(claim, scope, found)
        if other is not None:
            return other
        targets = [self.row_target(notes) for notes in here]
        each = self.is_one_a_bar(claim, scope, here)
        if len(here) > 1 and not claim.count and not each:
            return self.question(self.sentence.words(claim.first, claim.last), targets)
        if claim.count > 0 and len(here) != claim.count and sum(map(len, here)) != claim.count:
            return self.other_figures(claim, scope, targets)
        return self.lit_row([note for each in here for note in each])

    def of_value(self, claim: Claim, found: Sequence[list[Note]]) -> list[list[Note]]:
        """Those of some figures that are of the note value by which they are called: "a quarter-note triplet"."""
        said = pattern_of(r"[a-z]+").match(self.sentence.words(claim.first, claim.last))
        beats = TRIPLET_BEATS.get(said[0]) if said is not None else None
        return [notes for notes in found if beats is None or beats_of(notes, self.music) == beats]

    def other_value(self, claim: Claim, scope: Scope) -> Decided:
        """A fault where a bar has triplets, and none of the value that is said."""
        if not self.is_plain(claim, scope):
            return NOTHING
        return self.is_false(claim, scope.spans[0], "has triplets of another value")

    def is_one_a_bar(self, claim: Claim, scope: Scope, found: Sequence[Sequence[Note]]) -> bool:
        """Whether each bar is said to have one of some figures, and has: "there's a triplet in both bars"."""
        said = each_beside(self.sentence.text, claim.first, claim.last)
        bars = self.music.bars_in(scope.spans or self.spans)
        begun = [notes[0].bar for notes in found]
        named = [self.sentence.words(each.first, each.last) for each in scope.used if each.level == "bar"]
        each = (said is not None and BARS.search(said[0])) or any(" and " in words for words in named)
        return bool(each) and begun == [bar.index for bar in bars]

    def on_beats(self, claim: Claim, scope: Scope) -> Decided:
        """The figures on several beats that are listed, false where one of these has none; else as there are."""
        beats = beats_listed(self.sentence.text[claim.last :])
        if not beats:
            return self.figure(claim, scope)
        found = figures_in(claim.name, scope.spans or tuple(self.spans), self.music)
        here = [notes for notes in found if beat_of(notes[0], self.music) in beats]
        missing = set(beats) - {beat_of(note, self.music) for notes in here for note in notes}
        if here and not missing:
            return self.lit_row([note for each in here for note in each])
        span = scope.spans[0] if scope.spans else self.spans[0]
        if not self.is_one_bar(span) or self.sentence.is_question:
            return NOTHING
        return self.is_false(claim, span, f"has none on beat {min(missing)}")

    def other_voice(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> Decided | None:
        """A fault where a moving voice goes the other way than is said; nothing where it is on the other side."""
        words = self.sentence.words(claim.first, claim.last)
        steps = [later.sounding.midi - earlier.sounding.midi for earlier, later in pairwise(notes)]
        ways = {(step > 0) - (step < 0) for step in steps}
        said = way_of(SIDE.sub("", words))
        if said and ways == {-said}:
            does = f"moves {'down' if said > 0 else 'up'}"
            named = scope.explicit and len(scope.spans) == 1
            return self.is_false(claim, scope.spans[0], f"has a voice that {does}") if named else NOTHING
        span = Span(notes[0].onset, notes[-1].onset)
        still = [note for note in self.music.line_in(span) if note not in notes]
        side = SIDE.match(words)
        if side is None or not still:
            return None
        above = all(note.sounding.midi > still[0].sounding.midi for note in notes)
        below = all(note.sounding.midi < still[0].sounding.midi for note in notes)
        return NOTHING if (below if side["up"] else above) else None

    def other_note(self, claim: Claim, scope: Scope, found: Sequence[Sequence[Note]]) -> Decided | None:
        """A fault where a bar is said to have no other notes, and has some: "made entirely of triplets"."""
        before = self.sentence.text[: claim.first]
        if claim.name not in CERTAIN or not ENTIRELY.search(before) or not self.is_plain(claim, scope):
            return None
        own = {note.id for notes in found for note in notes}
        there = [note for note in self.struck_in(scope.spans[0]) if scope.passes(note, self.music)]
        others = [format_position(self.music.score, note.onset) for note in there if note.id not in own]
        return self.is_false(claim, scope.spans[0], f"has another note at {others[0]}") if others else None

    def other_figures(self, claim: Claim, scope: Scope, targets: Sequence[str]) -> Decided:
        """Not as many figures as is said: a fault where there can be no doubt of them and of their bar."""
        plain = self.is_plain(claim, scope) or (self.is_of_all_shown(scope) and len(targets) < claim.count)
        if claim.name not in CERTAIN or scope.tests or not plain:
            return NOTHING
        return self.is_false(
            claim, (scope.spans or self.spans)[0], f"has {len(targets)}, at {' and '.join(targets)}"
        )

    def is_of_all_shown(self, scope: Scope) -> bool:
        """Whether something is said of all that is shown, as one stretch."""
        placed = scope.spans or scope.tests or scope.unknown or scope.next_chord
        return not placed and len(self.spans) == 1 and not self.sentence.is_question

    def no_figure(self, claim: Claim, scope: Scope, elsewhere: Sequence[Sequence[Note]]) -> Decided:
        """No such figure: a fault where there can be no doubt of it and of its bars."""
        sure = (
            claim.name in CERTAIN
            and (scope.explicit or (self.is_of_all_shown(scope) and claim.count > 1))
            and not scope.borrowed
            and not self.has_moved_on(claim, scope)
            and self.may_be_false(claim, scope)
        )
        if not sure or scope.unknown or self.sentence.is_question:
            return NOTHING
        words = self.sentence.words(claim.first, claim.last)
        span = (scope.spans or self.spans)[0]
        where = self.music.said(span)
        if elsewhere:
            at = " and ".join(self.row_target(notes) for notes in elsewhere)
            return Decided(None, at, (), f"“{words}”: in {where} it is at {at}", "say where it is")
        what = f"“{words}”: there is none in {where}"
        return Decided(
            None, format_span(self.music.score, span), (), what, "say it of the bars that have one"
        )

    def has_moved_on(self, claim: Claim, scope: Scope) -> bool:
        """Whether the beat or chord that a claim is said to be on was named for something else: "rest on one, then"."""
        beats = [place for place in scope.used if place.level != "bar" and place.last <= claim.first]
        between = [DIVIDED.sub("", self.sentence.text[beat.last : claim.first]) for beat in beats]
        return any(map(MOVES_ON.search, between))

    def struck_in(self, span: Span) -> tuple[Note, ...]:
        """The notes struck in a span."""
        return self.music.struck_between(span.start, span.end)
