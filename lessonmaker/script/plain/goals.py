"""What a note that was spoken of becomes, moves to, or is called as well."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, format_position, format_span, hull
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.choosing import ARRIVES, BECOMES, MOTION, STARTS, TARGETS
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import APPROACHES, HEDGED, NOTHING, Decided
from lessonmaker.script.plain.degree_words import LEADING_NOTE
from lessonmaker.script.plain.lacking import is_surely_a_degree
from lessonmaker.script.plain.motion import (
    AT_ONCE,
    HOW_FAR,
    OCTAVE,
    goes_against,
    is_named,
    leading_notes,
    led_to,
    motion_between,
    reached_from,
    without_places,
)
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.of_two import CALLING, are_one
from lessonmaker.script.plain.possible_notes import MOVED_TO, Possible, plain_number
from lessonmaker.script.plain.row_notes import Named
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stretches import MASK, masked
from lessonmaker.script.plain.verbs import FALLING, GOING, LANDING, RISING, inflected
from lessonmaker.theory.degree import degree_of

__all__ = ["MOVED_TO", "Goals"]

# What several notes do: "runs up to the ninth".
RUNS = pattern_of(
    inflected(
        "arpeggiate, ascend, cascade, climb, descend, march, race, run, scamper, scurry, snake, spiral, sweep, "
        "tumble, walk, wander, wind, work"
    )
    + r"\b"
)
BY_WAY_OF_OTHERS = pattern_of(r"\b(?:back|all the way|on) (?:up|down)\b")
HEADS = pattern_of(rf"(?:{FALLING}|{RISING}|resolv\w+)|\b(?:down|up)\b")
IS = pattern_of(r"^[^,;:]*\b(?:is|was)\b[^,;:]*$|, (?:that's|it's) (?:the|an?|our|its) $")
# "It's the third of C", said of the note before; not "it's the third that we hear".
IT_IS = pattern_of(
    r"\s*(?:(?:and|so|now|well|yes|of course|ok|okay|that),? |\w+: )*(?:it's|it is|that's|that is|this is"
    r"|that one's|that one is|which is)"
    r"(?: (?:\w+ly|just|of course|nothing but|none other than|indeed))* (?:the|an?|our|its|your)(?: \w+)? "
)
IT_DOES = pattern_of(
    r"(?:,? (?:that|which|who|we|you|i|he|she|they|it|there|here|again|first|coming|going|falling|rising"
    r"|on|in|then)\b|,? (?:\w+ )?(?:to|into)\b)"
)
# How far the line is said to go to a note: "the melody leaps up an octave to the root".
BY_A_STEP = pattern_of(
    rf"\b(?P<motion>(?:{GOING}|{FALLING}|{RISING})(?: up| down)? {HOW_FAR.pattern}(?: up| down)?)"
    r" (?:in)?to (?:the|its|that|an?|our) $"
)
# "D, the third of B flat", at the start of a sentence.
OPENS = pattern_of(r", (?:the|an?|our|its) [\w -]+(?: of [a-g]\b|[,.!])")
# From a peak the line comes down a long way: "it tops out on the ninth and comes back to the third".
PEAKS = pattern_of(
    rf"\b{inflected('peak, top out, crest, culminate')} (?:on|at|with)(?: (?:the|its|an?|[a-g](?: flat| sharp)?,))*$"
)
IT_IS_SO = pattern_of(r"\b(?:it|that|this)(?:'s| is| was)\b")
GOALS = pattern_of(
    r"\b(?:around|round|of|into|onto|to|on|aim\w*(?: at)?|target\w*|squeez\w*|pinch\w*|hug\w*|surround\w*|enclos\w*)"
    r"(?: the| an?| its| that)? $"
)
AT_THE_GOAL = (
    r"aim(?:s|ed|ing)? (?:at|for)|target(?:s|ed|ing)?|surround\w*|circl\w*(?: in on| around)?"
    rf"|(?:(?:{GOING}) )?a?round|of"
)
REACHING = rf"{GOING} (?:us )?(?:\w+ )?(?:in)?to|{LANDING} (?:on|at|to|in)|closes? (?:in )?on"
AIMED = pattern_of(
    rf"(?:(?: (?:in|on|at|over))? {MASK}+)?(?: (?:that|which))?(?: (?:is|are|was|here|it|just))*"
    rf"(?: (?:{AT_THE_GOAL}|{REACHING}))?(?: (?:the|its|a|our))? "
)
# "You see the enclosure? It lands on the fifth."
IT_AIMS = pattern_of(
    rf"\s*(?:(?:and|so|then|now),? )*(?:it|this|that)(?: (?:\w+ly|just|all|then))? (?:{AT_THE_GOAL}|{REACHING})"
    r" (?:the|its|a|our) "
)
MOVED = pattern_of(rf"\b(?:{FALLING}|{RISING}|moves?|goes|resolv\w+|steps?)\b")
FROM_IT = pattern_of(rf"\b(?:{FALLING}|{RISING}|{GOING})\b[^,;:]* from (?:the|its|a) $")
UP_OR_DOWN = pattern_of(r" (?:(?:all the way|right|straight|back|up|down) )*to (?:the|its|a) ")
PAIR = pattern_of(r",? (?:(?:so|that's|it's|which is|going|moving) )*(?:from )?(?:the |its |a )?")
TO_IT = pattern_of(r" (?:down |up )?to (?:the |its |a )?")
BETWEEN_TWO = pattern_of(r"\bbetween (?:two|the two|both|a pair of) $")
BOTH_SIDES = pattern_of(r" (?:on|at|to) (?:either|each|both)(?: of its)? (?:sides?|hands?|ends?)\b")


def _classes(note: Note) -> set[int]:
    """The pitch classes of a note, as it is written and as it sounds."""
    return {note.written.name.pitch_class, note.sounding.name.pitch_class}


class Goals(Possible):
    """Decides degrees and notes by the note that was chosen last."""

    def named_again(self, index: int, claim: Claim) -> Decided | None:
        """The degree of a note that was just named: "D flat, the flat nine"."""
        if not index:
            return self.is_it(claim)
        if not self.chosen or self.claims[index - 1].kind != "note" or not self.says_again(index):
            return None
        note = self.chosen[-1]
        degree = self.music.finding(note).degree
        before, others = self.claims[index - 1], self.options[index - 1]
        if before.count and others and all(other in self.options[index] for other in others):
            return self.several(replace(claim, count=-1), others)
        if degree in claim.names:
            return self.light(claim, [note])
        at = self.claims[index - 1].last
        between = self.sentence.text[at : claim.first]
        named = CALLING.search(self.sentence.text[: self.claims[index - 1].first])
        opens = index == 1 and "," not in self.sentence.text[:at] and OPENS.match(self.sentence.text, at)
        called = are_one(without_places(self.sentence, at, claim.first, self.places))
        said = bool(named or called or opens or IS.search(between))
        aside = MOVED_TO.search(self.sentence.text[: self.claims[index - 1].first])
        other = named_note(before.name).pitch_class not in _classes(
            note
        )  # none was chosen for the name before
        others_fit = IT_IS_SO.search(between) and self.is_of_a_note_before(index)
        doubtful = (
            not said
            or aside
            or other
            or others_fit
            or self.sentence.is_question
            or self.outlasts_its_chord(note)
        )
        return (
            None
            if doubtful
            else self.is_otherwise(claim, note, called=called and between.endswith((" a ", " an ")))
        )

    def is_of_a_note_before(self, index: int) -> bool:
        """Whether a degree may be what an earlier note of the sentence is: "the E is squeezed in, that's the fifth"."""
        earlier = [at for at in range(index - 1) if self.claims[at].kind == "note"]
        return any(set(self.options[at]) & set(self.options[index]) for at in earlier)

    def is_otherwise(self, claim: Claim, note: Note, *, called: bool = False) -> Decided | None:
        """A fault where a note is called a degree that it is not."""
        degree = self.music.finding(note).degree
        far = claim.names[0] in ("9", "11", "13") and plain_number(degree or "") != plain_number(
            claim.names[0]
        )
        known = (
            claim.sure or far or called or self.has_own_chord(claim, self.scopes[self.claims.index(claim)])
        )
        known = known or is_surely_a_degree(self.sentence, claim, self.claims)
        if degree is None or not known:
            return None
        place, words = (
            format_position(self.music.score, note.onset),
            self.sentence.words(claim.first, claim.last),
        )
        what = f"“{words}”: the {note.written.name} at {place} is the {degree}"
        return Decided(None, f"{degree}@{place}", (), what, f"write [{degree}]({degree}@{place})")

    def is_it(self, claim: Claim) -> Decided | None:
        """What the one note that the sentence before lit last is called: "Play the A. It's the root of A minor"."""
        note = self.music.struck_by_id.get(self.notes_before[0]) if len(self.notes_before) == 1 else None
        placed = any(place.level != "chord" for place in self.places)
        said = IT_IS.fullmatch(self.sentence.text[: claim.first]) and not IT_DOES.match(
            self.sentence.text, claim.last
        )
        if note is None or placed or not said or self.sentence.is_question or self.outlasts_its_chord(note):
            return None
        if self.music.finding(note).degree in claim.names:
            return self.light(claim, [note])
        return self.is_otherwise(claim, note)

    def outlasts_its_chord(self, note: Note) -> bool:
        """Whether a note sounds on into another chord, where it has another name."""
        changes = self.music.changes_in(Span(note.onset, note.onset + note.held))
        return any(change.onset > note.onset for change in changes)

    def pair_again(self, index: int, claim: Claim) -> Decided | None:
        """The degrees of two notes that were just named: "B natural comes down to B flat, from third to third"."""
        first = index - 2 if index + 1 < len(self.claims) and self.is_pair(index - 2) else index - 3
        if first < 0 or not self.is_pair(first) or len(self.chosen) < 2:
            return None
        note = self.chosen[-2]  # the first of two; or the second, after the first has been named again
        named = self.claims[first if first == index - 2 else first + 1]
        called = named_note(named.name) == note.written.name
        return (
            self.light(claim, [note]) if called and self.music.finding(note).degree in claim.names else None
        )

    def is_pair(self, first: int) -> bool:
        """Whether two notes, and right after them two degrees, are named from the claim of an index on."""
        row = self.claims[first : first + 4] if first >= 0 else ()
        if [each.kind for each in row] != ["note", "note", "degree", "degree"]:
            return False
        between, last = (self.sentence.text[row[at].last : row[at + 1].first] for at in (1, 2))
        return PAIR.fullmatch(between) is not None and TO_IT.fullmatch(last) is not None

    def become(self, index: int, claim: Claim) -> Decided | None:
        """What a note is said to become over the next chord, while it is held or struck once more."""
        before = next((each for each in reversed(self.claims[:index]) if each.kind != "line"), None)
        if before is None or before.kind not in ("degree", "note") or not self.chosen:
            return None
        between = self.sentence.text[before.last : claim.first]
        if not BECOMES.search(between) or MOVED.search(between):
            return None
        last = self.chosen[-1]
        following = [note for note in reached_from(last, self.music) if note.sounding == last.sounding]
        named = [note for note in following if self.music.finding(note).degree in claim.names]
        if named and not set(claim.names) & {self.music.finding(last).degree}:
            return self.light(claim, named[:1])
        held = self.music.changes_in(Span(last.onset, last.onset + last.held + INSTANT))
        over = {degree_of(last.sounding.midi % OCTAVE, change.chord) for change in held if change.chord}
        if set(claim.names) & (over | {self.music.finding(last).degree}):
            return self.light(claim, [last])
        later = [note for note in self.options[index] if note.onset > last.onset]
        later = [note for note in later if note.sounding.midi % OCTAVE == last.sounding.midi % OCTAVE]
        if later:
            return self.light(claim, later[:1])
        return self.no_becoming(claim, last, sorted(each for each in over if each))

    def no_becoming(self, claim: Claim, last: Note, over: Sequence[str]) -> Decided | None:
        """A note that becomes something else than is said."""
        if not claim.sure and not self.has_own_chord(claim, self.scopes[self.claims.index(claim)]):
            return None
        if self.sentence.is_question or not over:
            return NOTHING
        at, words = (
            format_position(self.music.score, last.onset),
            self.sentence.words(claim.first, claim.last),
        )
        what = f"“{words}”: the {last.written.name} at {at} becomes the {over[-1]}"
        return Decided(None, f"{over[-1]}@{at}", (), what, "say what it becomes")

    def moved_to(self, index: int, claim: Claim, scope: Scope) -> Decided | None:
        """What the degree named before is said to move to; a question or a fault where it moves elsewhere."""
        earlier = [other for other in self.claims[:index] if other.kind != "resolves"]
        if earlier and earlier[-1].kind == "line" and not RUNS.match(self.sentence.text, earlier[-1].first):
            earlier = earlier[:-1]  # how a note moves, and not a stretch of the line
        before = earlier[-1] if earlier else None
        if (
            before is None
            or not _moves(before)
            or not self.chosen
            or self.is_of_another(index, before, scope)
        ):
            return None
        motion = motion_between(self.sentence, before, claim, self.places)
        reached = reached_from(self.chosen[-1], self.music) if motion else []
        named = [note for note in reached if is_named(claim, note, self.chosen[-1], self.music)]
        named = self.named_there(claim, scope, reached, named)
        if named:
            against = goes_against(motion, self.chosen[-1], named[0])
            return self.moves_elsewhere(claim, motion, named[0], ()) if against else self.light(claim, named)
        goal = self.music.finding(self.chosen[-1]).resolves_to
        later = [note for note in self.options[index] if note.onset > self.chosen[-1].onset]
        later = [] if scope.next_chord or AT_ONCE.search(motion) else later
        heads = HEADS.search(motion) or AT_ONCE.search(motion)
        if goal is None and not later and self.chosen[-1] not in self.options[index] and heads:
            goal = next((note.id for note in reached), None)
        vague = claim.name == LEADING_NOTE or (claim.kind == "note" and not heads)
        if not motion or goal is None or claim.count or claim.which or vague:
            return None
        opening = self.sentence.text[: before.first].rstrip()
        line = pattern_of(STARTS).search(opening) is not None or PEAKS.search(opening) is not None
        ahead = [note for note in later if line and not goes_against(motion, self.chosen[-1], note)]
        if BY_WAY_OF_OTHERS.search(motion) and not HOW_FAR.search(motion):
            ahead += [
                each for each in led_to(self.chosen[-1], self.music) if Named(claim).fits(each, self.music)
            ]
        if ahead:
            return self.light(claim, ahead[:1])  # "starts on the ninth and goes up to the seventh"
        led = not AT_ONCE.search(motion) and self.is_led_to(self.claims.index(before), claim, motion)
        return None if led else self.moves_elsewhere(claim, motion, self.music.struck_by_id[goal], later)

    def may_be(self, index: int, note: Note) -> bool:
        """Whether a note is what a claim names, in the bars that it names, over whatever chord."""
        scope = self.scopes[index]
        placed = not scope.explicit or any(span.start <= note.onset < span.end for span in scope.spans)
        return placed and Named(self.claims[index]).fits(note, self.music)

    def is_of_another(self, index: int, before: Claim, scope: Scope) -> bool:
        """Whether another note than the one chosen last goes somewhere, or the goal stands in another bar than that.

        "The ninth moves to the third in bar four".
        """
        if before.kind == "note" and named_note(before.name).pitch_class not in _classes(self.chosen[-1]):
            return True
        within = any(span.start <= self.chosen[-1].onset < span.end for span in scope.spans)
        return scope.followed and not within and bool(self.options[index])

    def is_led_to(self, before: int, claim: Claim, motion: str) -> bool:
        """Whether another note that the one before it may be goes to what a claim names."""
        if HOW_FAR.search(motion):
            return False
        notes = [
            note for span in self.spans for note in self.music.line_in(span) if self.may_be(before, note)
        ]
        others = [note for note in notes if note != self.chosen[-1]]
        ways = [(note, goal) for note in others for goal in reached_from(note, self.music)]
        ways = [(note, goal) for note, goal in ways if not goes_against(motion, note, goal)]
        return any(is_named(claim, goal, note, self.music) for note, goal in ways)

    def comes_too_soon(self, index: int, claim: Claim, scope: Scope) -> Decided | None:
        """A fault where a line is said to go from one degree up or down to another, which is before it."""
        before = self.claims[index - 1] if index else None
        if before is None or before.kind != "degree" or not self.chosen or not scope.explicit:
            return None
        from_it = FROM_IT.search(self.sentence.text[: before.first])
        way = UP_OR_DOWN.fullmatch(self.sentence.text[before.last : claim.first])
        notes, last = self.options[index], self.chosen[-1]
        if not from_it or not way or not notes or any(note.onset >= last.onset for note in notes):
            return None
        if self.sentence.is_question or last not in self.options[index - 1]:
            return None
        degrees = [self.music.finding(note).degree for note in (notes[-1], last)]
        at = [format_position(self.music.score, note.onset) for note in (notes[-1], last)]
        words = self.sentence.words(before.first, claim.last)
        what = f"“{words}”: the {degrees[0]} at {at[0]} comes before the {degrees[1]} at {at[1]}"
        return Decided(None, f"{degrees[0]}@{at[0]}", (), what, "say which way the line goes")

    def named_there(
        self, claim: Claim, scope: Scope, reached: Sequence[Note], named: list[Note]
    ) -> list[Note]:
        """Of the notes that one moves to, those that are a leading note, or a degree of the next chord, where said."""
        if claim.name == LEADING_NOTE and reached:
            span = Span(reached[0].onset, reached[-1].onset + INSTANT)
            return [note for note in leading_notes(span, self.music) if note in reached]
        own_chord = scope.next_chord or self.has_own_chord(claim, scope)
        if own_chord and claim.kind == "degree":
            return [note for note in named if self.music.finding(note).degree in claim.names]
        return named

    def moves_elsewhere(self, claim: Claim, motion: str, goal: Note, others: Sequence[Note]) -> Decided:
        """A note that is said to move where it does not: asked where there is such a note later, else a fault."""
        if self.sentence.is_question:
            return NOTHING
        last = self.chosen[-1]
        places = [format_position(self.music.score, note.onset) for note in (last, goal)]
        first, second = (self.music.finding(note).degree for note in (last, goal))
        way = "rises" if goal.sounding.midi > last.sounding.midi else "falls"
        if claim.kind == "note":
            first, second = (f"{note.written.name}" for note in (last, goal))
        words, the = self.sentence.words(claim.first, claim.last), "" if claim.kind == "note" else "the "
        what = f"“{motion} … {words}”: {the}{first} at {places[0]} {way} to {the}{second} at {places[1]}"
        if others and claim.kind != "note":
            return replace(self.ask(claim, [goal, *others]), what=what)
        return Decided(None, f"{second}@{places[1]}", (), what, f"write [{second}]({second}@{places[1]})")

    def arrived(self, claim: Claim, scope: Scope) -> list[Note]:
        """The degree that the note chosen last resolves to, or moves to, where the words say that it moves."""
        if not self.chosen or scope.followed:
            return []
        before = self.sentence.text[: claim.first].rstrip()
        if self.is_target(claim, before):
            return [self.chosen[-1]]
        clause = pattern_of(r"[;:]").split(before)[-1]
        if not pattern_of(rf"\b{ARRIVES}").search(before) or not pattern_of(MOTION).search(clause):
            return []
        last = self.chosen[-1]
        goal = self.music.finding(last).resolves_to
        later = [note for note in self.music.struck if note.onset > last.onset]
        near = [note for note in later if note.id == goal] or later[:1]
        return [note for note in near if self.music.finding(note).degree in claim.names]

    def is_target(self, claim: Claim, before: str) -> bool:
        """Whether a degree is what the enclosure or approach that was just named leads to."""
        named = self.claims_before(claim)[-1:]
        degree = self.music.finding(self.chosen[-1]).degree
        leads = bool(named) and named[0].kind == "device" and named[0].name in APPROACHES
        return leads and degree in claim.names and bool(pattern_of(TARGETS).search(before))

    def is_named_goal(self, index: int, claim: Claim) -> bool:
        """Whether a note is what the enclosure or approach that was just named leads to: "squeezing the G"."""
        before = self.claims[index - 1]
        named = before.kind == "device" and before.name in APPROACHES and bool(self.chosen)
        goes_to = GOALS.search(self.sentence.text[before.first : claim.first]) if named else None
        return goes_to is not None and self.chosen[-1].written.name == named_note(claim.name)

    def stepped_to(self, index: int, claim: Claim, notes: Sequence[Note]) -> list[Note] | None:
        """Those of some notes that the line reaches as it is said to; None where no way is said, or from a note."""
        match = BY_A_STEP.search(self.sentence.text[: claim.first])
        if match is None or any(each.kind in ("degree", "note", "standout") for each in self.claims[:index]):
            return None
        line = self.music.line
        steps = [(line[line.index(note) - 1], note) for note in notes if note in line[1:]]
        return [note for before, note in steps if not goes_against(match["motion"], before, note)]

    def not_stepped_to(self, claim: Claim, scope: Scope) -> Decided:
        """A fault where no two notes in sight are as far apart as the line is said to go."""
        match = BY_A_STEP.search(self.sentence.text[: claim.first])
        span = hull(scope.spans or self.spans)
        pairs = list(pairwise(self.music.line_in(span)))
        doubted = self.sentence.is_question or HEDGED.search(self.sentence.text) or scope.unknown
        if match is None or doubted or not pairs:
            return NOTHING
        if not all(goes_against(match["motion"], *pair) for pair in pairs):
            return NOTHING
        words = self.sentence.words(match.start(), claim.last)
        what, where = (
            f"“{words}”: no such step is in {self.music.said(span)}",
            format_span(self.music.score, span),
        )
        return Decided(None, where, (), what, "say how far it goes", since=match.start())

    def leads_to(self, index: int, claim: Claim) -> Decided | None:
        """The degree that the enclosure just named is said to lead to; a fault where it leads to another."""
        goal = self.aimed_at(index, claim)
        if goal is None or claim.name == LEADING_NOTE:
            return None
        devices = self.music.analysis.devices
        if not any(device.kind == "enclosure" and device.notes[-1] == goal.id for device in devices):
            return None
        degree, at = self.music.finding(goal).degree, format_position(self.music.score, goal.onset)
        if degree in claim.names:
            return self.light(claim, [goal])
        if degree is None or plain_number(degree) == plain_number(claim.names[0]):
            return None
        what = (
            f"“{self.sentence.words(claim.first, claim.last)}”: the enclosure leads to the {degree} at {at}"
        )
        return Decided(None, f"{degree}@{at}", (), what, f"write {degree}@{at}")

    def aimed_at(self, index: int, claim: Claim) -> Note | None:
        """The last note of what was just named, or of what the sentence before named, if it is said to lead there."""
        before = self.claims[index - 1] if index else None
        text = masked(self.sentence, self.places)
        if before is None and self.notes_before and IT_AIMS.fullmatch(text, 0, claim.first):
            return self.music.struck_by_id.get(self.notes_before[-1])
        if before is None or before.kind != "device" or before.name != "enclosure" or not self.chosen:
            return None
        return self.chosen[-1] if AIMED.fullmatch(text[before.last : claim.first]) else None

    def is_resolution(self, index: int) -> bool:
        """Whether a degree is what the one before is said to resolve to."""
        before = self.claims[index - 1] if index else None
        resolves = before is not None and before.kind == "resolves"
        return resolves and MOVED_TO.search(self.sentence.text[: self.claims[index].first]) is not None

    def of_next_chord(self, notes: Sequence[Note]) -> list[Note]:
        """The notes over the first other chord after the last note chosen."""
        last = self.chosen[-1]
        chord = self.music.finding(last).chord
        later = [note for note in self.music.struck if note.onset > last.onset]
        following = next(
            (self.music.finding(n).chord for n in later if self.music.finding(n).chord != chord), None
        )
        return [
            note for note in notes if note.onset > last.onset and self.music.finding(note).chord == following
        ][:1]

    def on_both_sides(self, claim: Claim) -> Decided | None:
        """The degree on either side of the note chosen last: "a sharp eleven, with the fifth on both sides"."""
        line = self.music.line
        sides_said = BOTH_SIDES.match(self.sentence.text[claim.last :]) or (
            claim.count == 2 and BETWEEN_TWO.search(self.sentence.text[: claim.first])
        )
        if not sides_said or not self.chosen or self.chosen[-1] not in line:
            return None
        at = line.index(self.chosen[-1])
        sides = [*line[max(at - 1, 0) : at], *line[at + 1 : at + 2]]
        named = [note for note in sides if self.music.finding(note).degree in claim.names]
        return self.several(replace(claim, count=-1), named) if len(named) > 1 else None


def _moves(claim: Claim) -> bool:
    """Whether a claim is of a note that may be said to go somewhere."""
    return claim.kind in ("degree", "note", "standout") or (
        claim.kind == "role" and claim.name == "suspension"
    )
