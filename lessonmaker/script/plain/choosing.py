"""Which of several notes a degree is: what the words round it, and the claims beside it, single out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from itertools import pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import APPROACHES, Common
from lessonmaker.script.plain.durations import QUANTITY, VALUE, quantity_of, value_of
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.verbs import FALLING, GAP, LANDING, LEANING, MOVING, RISING, STARTING
from lessonmaker.theory.degree import degree_of

__all__ = ["ARRIVES", "BECOMES", "LANDS", "LEANS", "MOTION", "REACHES", "STARTS", "TARGETS", "Choosing"]

TO_IT = r"(?: the| a| an| its| that| this| our)?$"
LANDS = rf"\b{LANDING}{GAP} (?:on|upon|at|in|with){TO_IT}"
STARTS = rf"\b{STARTING}{GAP} (?:on|upon|with|from|at){TO_IT}"
LEANS = rf"\b(?:{LEANING}|long){GAP}(?: on| to| at| with)?{TO_IT}"
REACHES = pattern_of(rf" (?:{RISING}|{FALLING}){GAP} to the")
ARRIVES = (
    r"(?:to|into|onto|on|as|becomes?|in|home to|down to|up to|meets?|finds?|reach(?:es)?"
    r"|hits?)(?: the| a| an| its)?(?: chord's)?$"
)
MOTION = rf"\b(?:{MOVING}|down|up|before)\b"
TARGETS = (
    r"\b(?:targets?|targeting|aims? at|aiming at|around|round|surround\w*|enclos\w+|into|onto|to|on|hits?|of)"
    r"(?: the| a| its)?$"
)
HELD_AFTER = pattern_of(
    rf"(?:,? (?:which|that))?(?: just| simply)? (?:{LEANING}|(?:is|gets|was) (?:held|sustained)|lasts?)\b"
    r"[^,;:]*\b(?:for|all|whole|beats?|half|long)\b"
)
# "That C is a half note", "the half-note C".
OF_VALUE = pattern_of(
    r"(?: (?:here|there))?(?:,? (?:that|which|it))?(?:'s| is| was|,| gets| being)"
    rf" (?:(?:just|only|really|also|now) )*(?:an?|one) (?:(?:full|long|plain|short|single|whole) )?(?P<value>{VALUE})"
    r"(?! (?:after|ahead|apart|away|before|behind|down|earlier|from|higher|late|later|long|lower|off|on|rest|up)\b)"
)
AND_IT_IS = pattern_of(r",? (?:(?:and|which is|it's|the|its|our|an?|also) )*")  # "a minim, the third"
VALUE_FIRST = pattern_of(rf"\b(?:an?|our|that|the|this|your) (?P<value>{VALUE})$")
LONG_ONE = pattern_of(
    r"\b(?:long|longest|longer|sustained|held|held-out|long-held)(?: (?:high|low|ringing|lovely))?$"
)
HELD_FOR = pattern_of(
    rf"[^,;:.]{{0,24}}?(?: for| lasts?| lasting| gets| takes(?: up)?| held) (?:just |only )?(?P<for>{QUANTITY})"
)
VALUE_ON = pattern_of(
    rf"\b(?:(?P<value>{VALUE})|(?P<for>{QUANTITY}))(?: sits| rests| hangs| is)?(?: on| of)?(?: the| a| an| its)?$"
)
HIGH = (
    pattern_of(r"\b(?:high|highest|higher|top|upper|uppermost)$"),
    pattern_of(r",? (?:right )?(?:on top|up (?:high|top)|at the top|way up|up there)\b"),
)
LOW = (
    pattern_of(r"\b(?:low|lowest|lower|bottom|deep)$"),
    pattern_of(r",? (?:right )?(?:down (?:low|below|there)|at the bottom|at the very bottom)\b"),
)
NEXT_NOTE = (
    r"\b(?:next note|(?:note|one|thing|pitch) (?:right |just )?after (?:it|that|them)|note (?:that|which) follows"
    r"(?: it| them| that)?|next (?:one|thing|pitch|tone|up)|next)(?: is(?: \w+)?|,|:|;)(?: the| a| an| its)?(?: \w+)?$"
)
# What a sentence begins with that goes on from the note the one before it named last.
GOES_ON = pattern_of(
    r"\W*(?:(?:and|then|so|but|no|yes|well),? )*(?:then\b|next\b|(?:right |straight |just )?after (?:that|it|which)\b"
    r"|after(?:wards?)?,|from there\b|followed by\b|(?:up|down|on|back|over)(?: \w+){0,3} to\b"
    r"|it(?:'s| is)? (?:\w+ )?(?:followed|falls?|drops?|goes|rises?|climbs?|moves?|resolves?|slides?|slips?|leads?"
    r"|steps?|pulls?|sinks?|jumps?|leaps?)\b)"
)
COMES_HOME = pattern_of(
    r"\b(?:home to|to rest on|ends? up (?:on|at)|winds? up (?:on|at))(?: the| its| an?| our)?$"
)
NEAR_QUARTERS = Fraction(4)
# What was reached, and goes on: "the sharp nine drops to the flat nine, and the flat nine to the root".
AND_IT = pattern_of(r",?;? ?\b(?:and|then|and then) (?:the|that)$")
ON_TO = pattern_of(
    rf"(?: (?:{MOVING}))?(?: (?:by|down|up|back|on|a|an|half|whole|step|steps|semitone|tone|right|straight))*"
    r" (?:in|on)?to\b"
)
BETWEEN_TWO = pattern_of(
    r"[^,;:]{0,40}\b(?:between|framed by|flanked by|sandwiched between)(?: the| an?| its)? $"
)
AND_ONE = pattern_of(r" and (?:the |an? |its )?")
AT_A_PART = pattern_of(
    r" (?:right |just )?at the (?:very )?(?P<end>end|start|beginning|top) of (?:the|this|that|bar|measure)\b"
)


AFTER = pattern_of(r"\b(?:after|following)(?: the| an?| its)? $")
IT_IS = pattern_of(
    r"(?:\b(?:is|was)|\b(?:it|that)'s)(?: (?:just|only|really|simply|already|now))? (?:the|an?|our|its) $"
)
BECOMES = pattern_of(
    r"\b(?:becomes?|(?:has|have) become|turns? into|(?:has|have) turned into|changes? into|is heard as|is now"
    r"|turns out to be|ends up (?:as|being)|is suddenly"
    r"|(?:it|that|which|and)(?: \w+ly| just| now| then)? (?:clashes|grinds|hangs|rings|rubs|sits|sounds)(?: there)? as)"
    r"(?: (?:the|an?|its|our))? $"
)


class Choosing(Common):
    """Chooses between the notes that a degree may be."""

    def likeliest(self, index: int, claim: Claim, notes: list[Note]) -> list[Note]:
        """The notes that the words before the claim, or the claim after it, single out."""
        before = self.sentence.text[: claim.first].rstrip()
        told = (
            self.claims[index].stance == "handled"
        )  # "lean a little on the flat nine" says nothing of which it is
        ways = [
            choose for choose in self.ways_to_choose if not (told and choose in (self.by_verb, self.by_role))
        ]
        for choose in ways:
            narrowed = choose(index, before, notes)
            if narrowed and len({note.onset for note in narrowed}) == 1:
                return narrowed
        return notes

    @property
    def ways_to_choose(self) -> tuple[Callable[[int, str, list[Note]], list[Note]], ...]:
        """What may single out one of several notes, the surest first."""
        return (
            self.by_name_again,
            self.by_predicate,
            self.by_sides,
            self.by_target,
            self.by_aim,
            self.by_arrival,
            self.by_becoming,
            self.by_motion_from,
            self.by_length,
            self.by_verb,
            self.by_height,
            self.by_end,
            self.by_neighbour,
            self.by_goal,
            self.by_going_on,
            self.by_place_before,
            self.by_role,
            self.by_adjacent,
        )

    def by_name_again(self, index: int, before: str, notes: list[Note]) -> list[Note]:
        """The one that was chosen last: "lean on the flat nine, and that flat nine falls"."""
        again = [note for note in self.chosen if note in notes]
        goes_on = self.chosen[-1:] == again[-1:] and AND_IT.search(before)
        goes_on = goes_on and ON_TO.match(self.sentence.text, self.claims[index].last)
        said = goes_on or pattern_of(r"\b(?:that|this|(?:the|that) (?:very )?same)$").search(before)
        return again[-1:] if said else []

    def by_predicate(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """The one that was chosen last, of which it is said: "that F comes early, it's already the fifth"."""
        last, before = self.chosen[-1:], self.claims[index - 1] if index else None
        between = self.sentence.text[before.last : self.claims[index].first] if before is not None else ""
        value = OF_VALUE.match(between) if before is not None and before.kind in ("note", "degree") else None
        said = IT_IS.search(between) or (value is not None and AND_IT_IS.fullmatch(between, value.end()))
        return [note for note in notes if note in last] if said else []

    def by_sides(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """The one between two others, or those on its sides: "the ninth comes between the third and the root"."""
        for middle in range(max(index - 2, 0), index + 1):
            triple = self.claims[middle : middle + 3]
            if len(triple) == 3 and self.is_between(triple):
                found = [three for three in self.in_between(middle) if three[index - middle] in notes]
                return [three[index - middle] for three in found] if len(found) == 1 else []
        return []

    def is_between(self, triple: Sequence[Claim]) -> bool:
        """Whether the first of three notes that are named is said to stand between the others."""
        text = self.sentence.text
        named = all(claim.kind in ("degree", "note") for claim in triple)
        between = BETWEEN_TWO.fullmatch(text, triple[0].last, triple[1].first)
        return (
            named and between is not None and bool(AND_ONE.fullmatch(text, triple[1].last, triple[2].first))
        )

    def in_between(self, middle: int) -> list[tuple[Note, Note, Note]]:
        """The notes that may be three claims from an index on, the first between the others in the line."""
        own, one, other = self.options[middle : middle + 3]
        line = self.music.line
        ways = [(line[at], line[at - 1], line[at + 1]) for at in range(1, len(line) - 1) if line[at] in own]
        ways += [(note, after, before) for note, before, after in ways]
        return [way for way in ways if way[1] in one and way[2] in other]

    def by_arrival(self, index: int, before: str, notes: list[Note]) -> list[Note]:
        """Where the last note chosen moves to: its resolution, or the next of these notes soon after it."""
        if not self.chosen or not pattern_of(rf"\b{ARRIVES}").search(before):
            return []
        last = self.chosen[-1]
        again = index > 0 and self.claims[index].names == self.claims[index - 1].names
        if last in notes and not again:  # it has just got there: "one three five, up to the fifth"
            return [last]
        goal = self.music.finding(last).resolves_to
        resolved = [note for note in notes if note.id == goal]
        soon = [note for note in notes if last.onset < note.onset <= last.onset + last.held + NEAR_QUARTERS]
        return resolved or soon[:1]

    def by_becoming(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """The one that is held, or struck once more, where it is what the next claim says it becomes."""
        after = self.claims[index + 1] if index + 1 < len(self.claims) else None
        if after is None or after.kind != "degree":
            return []
        if not BECOMES.search(self.sentence.text[self.claims[index].last : after.first]):
            return []
        return [note for note in notes if self.is_over_next(note, after.names)]

    def is_over_next(self, note: Note, names: Sequence[str]) -> bool:
        """Whether a note is one of some degrees over the next chord into which it is held, or which it anticipates."""
        span = Span(note.onset, note.onset + note.held + INSTANT)
        chords = [change.chord for change in self.music.changes_in(span) if change.onset > note.onset]
        return any(chord and degree_of(note.sounding.midi % OCTAVE, chord) in names for chord in chords)

    def by_motion_from(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """Those that move to the degree named next: "the flat nine resolves to the fifth"."""
        claim = self.claims[index]
        later = [
            other
            for other, notes_of_it in zip(self.claims, self.options, strict=True)
            if other.first > claim.first and notes_of_it
        ]
        if not later:
            return []
        after = later[0]
        between = self.sentence.text[claim.last : after.first]
        if after.kind != "degree" or not pattern_of(MOTION).search(between):
            return []
        if AFTER.search(between):
            return []
        goals = {note.id for note in self.options[self.claims.index(after)]}
        resolving = [note for note in notes if self.music.finding(note).resolves_to in goals]
        return resolving or self.before_goals(notes, goals)

    def before_goals(self, notes: Sequence[Note], goals: Iterable[str]) -> list[Note]:
        """Those whose next note in the line is one of the goals."""
        line = self.music.line
        wanted = set(goals)
        following = {earlier.id: later.id for earlier, later in pairwise(line)}
        return [note for note in notes if following.get(note.id) in wanted]

    def by_length(self, index: int, before: str, notes: list[Note]) -> list[Note]:
        """Those as long as is said: "sit on the fifth for two beats", "a dotted quarter on the third"."""
        if LONG_ONE.search(before):
            longest = max(note.held for note in notes)
            return [note for note in notes if note.held == longest]
        held, value = HELD_FOR.match(self.sentence.text, self.claims[index].last), VALUE_ON.search(before)
        value = (
            value or OF_VALUE.match(self.sentence.text, self.claims[index].last) or VALUE_FIRST.search(before)
        )
        if held is None and value is None:
            return []
        metre = self.music.score.bars[notes[0].bar].metre
        said = held or value
        named = value["value"] if value and not held else None
        length = value_of(named) if named else quantity_of(said["for"], metre) if said else None
        return [note for note in notes if note.held == length]

    def by_verb(self, index: int, before: str, notes: list[Note]) -> list[Note]:
        """Where the line lands, starts, or leans, by the verb before the claim; or how long it is held, after it."""
        if HELD_AFTER.match(self.sentence.text, self.claims[index].last):
            longest = max(note.held for note in notes)
            return [note for note in notes if note.held == longest]
        if pattern_of(LANDS).search(before):
            ends = {phrase.notes[-1] for phrase in self.music.analysis.phrases}
            return [note for note in notes if note.id in ends] or self.first_over_chord(index, notes)
        if COMES_HOME.search(before):
            return self.last_of_bar(index, notes)
        if pattern_of(STARTS).search(before) or pattern_of(r"\bfrom(?: the| its| a)?$").search(before):
            starts = {phrase.notes[0] for phrase in self.music.analysis.phrases}
            first_in_bar = self.first_of_bars()
            return [note for note in notes if note.id in starts] or [
                note for note in notes if note.id in first_in_bar
            ]
        if pattern_of(LEANS).search(before):
            longest = max(note.held for note in notes)
            return [note for note in notes if note.held == longest]
        return []

    def first_over_chord(self, index: int, notes: Sequence[Note]) -> list[Note]:
        """The first note over the chord that is named, if it is one of some: where the line arrives on it."""
        scope = self.scopes[index]
        chords = [place for place in scope.used if place.level == "chord" and place.test is not None]
        spans = scope.spans or tuple(self.spans)
        if not chords or len(spans) != 1:
            return []
        struck = self.music.struck_between(spans[0].start, spans[0].end)
        first = [note for note in struck if scope.passes(note, self.music)][:1]
        return [note for note in first if note in notes]

    def last_of_bar(self, index: int, notes: list[Note]) -> list[Note]:
        """The last note of the one bar in which the line is said to come to an end: "it comes home to the third"."""
        spans = self.scopes[index].spans
        if len(spans) != 1 or not self.is_one_bar(spans[0]):
            return []
        last = self.music.struck_between(spans[0].start, spans[0].end)[-1:]
        return [note for note in notes if note in last]

    def by_height(self, index: int, before: str, notes: list[Note]) -> list[Note]:
        """The highest or the lowest, where the sentence says so: "the high ninth", "flat nine on top"."""
        after = self.sentence.text[self.claims[index].last :]
        for (leading, following), choose in ((HIGH, max), (LOW, min)):
            if leading.search(before) or following.match(after):
                pitch = choose(note.sounding.midi for note in notes)
                return [note for note in notes if note.sounding.midi == pitch]
        return []

    def by_end(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """The first or last note of the bars, or over the chord, where the sentence says so."""
        part = AT_A_PART.match(self.sentence.text, self.claims[index].last)
        if part is not None and self.scopes[index].spans:
            return notes[-1:] if part["end"] == "end" else notes[:1]
        said = pattern_of(r"\b(first|opening|last|final) (?:note|thing|pitch|sound)\b").search(
            self.sentence.text
        )
        scope = self.scopes[index]
        spans = scope.spans or (tuple(self.spans) if scope.tests else ())
        if said is None or len(spans) != 1 or len(self.claims) > 1:
            return []
        inside = self.music.struck_between(spans[0].start, spans[0].end)
        struck = [note for note in inside if scope.passes(note, self.music)]
        end = struck[:1] if said[1] in ("first", "opening") else struck[-1:]
        return [note for note in notes if note in end]

    def by_neighbour(self, _: int, before: str, notes: list[Note]) -> list[Note]:
        """The note just before or after the one chosen last, where the words say so."""
        side = pattern_of(r"\b(before|precedes|after|following|follows)(?: the| a| an| its)?$").search(before)
        next_note = pattern_of(NEXT_NOTE).search(before)
        last = self.chosen[-1] if self.chosen else self.last_of_before if next_note else None
        if last is None or (side is None and next_note is None):
            return []
        line = self.music.line
        at = line.index(last) if last in line else len(line)
        # "the ninth right after the third": the third is the note before the ninth chosen last.
        near = (
            line[at + 1 : at + 2]
            if side is None or side[1] in ("before", "precedes")
            else line[max(at - 1, 0) : at]
        )
        return [note for note in notes if note in near]

    @property
    def last_of_before(self) -> Note | None:
        """The note that the sentence before named last."""
        return self.music.struck_by_id.get(self.notes_before[-1]) if self.notes_before else None

    def by_going_on(self, _: int, before: str, notes: list[Note]) -> list[Note]:
        """The note after the one that the sentence before named last, where this one goes on: "Then the third."."""
        last, line = self.last_of_before, self.music.line
        if self.chosen or last not in line or not GOES_ON.match(f"{before} "):
            return []
        at = line.index(last) + 1
        return [note for note in line[at : at + 1] if note in notes]

    def first_of_bars(self) -> set[str]:
        """The first note struck in each bar."""
        first: dict[int, str] = {}
        for note in self.music.struck:
            first.setdefault(note.bar, note.id)
        return set(first.values())

    def by_target(self, _: int, before: str, notes: list[Note]) -> list[Note]:
        """The target of an enclosure or approach that was just chosen."""
        last = self.chosen[-1] if self.chosen else None
        named = [claim for claim in self.claims if claim.kind == "device"]
        if (
            last is None
            or not named
            or not pattern_of(r"\b(?:around|round|of|into|to|on|enclos\w+|surround\w*|the)$").search(before)
        ):
            return []
        if pattern_of(r"\bfrom the$").search(before) and self.begun is not None:
            return [note for note in notes if note.id == self.begun]
        return [note for note in notes if note.id == last.id]

    def by_aim(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """What the next claim says of it: the target of an enclosure or approach, or a note that comes early."""
        after = self.claims[index + 1] if index + 1 < len(self.claims) else None
        if after is not None and after.kind == "role" and after.name == "anticipation":
            return [note for note in notes if self.music.finding(note).role == after.name]
        if after is None or after.kind != "device" or after.name not in APPROACHES:
            return []
        aims = {device.notes[-1] for device in self.music.analysis.devices if device.kind == after.name}
        return [note for note in notes if note.id in aims]

    def by_goal(self, _: int, before: str, notes: list[Note]) -> list[Note]:
        """The next note after the one chosen last, in a list."""
        listed = r"\b(?:then|next|followed by|and then|after that)(?:,(?: \w+){1,3},)?(?: the| a| an)?$|,(?: the| a)?$"
        if not self.chosen or not pattern_of(listed).search(before):
            return []
        last = self.chosen[-1]
        soon = [note for note in notes if last.onset < note.onset <= last.onset + last.held + NEAR_QUARTERS]
        return soon[:1]

    def by_adjacent(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """The note next to the one chosen last in the line, where the degree has no place of its own."""
        line = self.music.line
        if not self.chosen or self.scopes[index].followed or self.chosen[-1] not in line:
            return []
        at = line.index(self.chosen[-1])
        return [note for note in line[at + 1 : at + 2] if note in notes]

    def by_place_before(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """Where this sentence says no bars, those of the bars spoken of just before."""
        if self.scopes[index].spans or self.scopes[index].tests:
            return []
        over = [note for note in notes if self.is_over_chord_before(note)]
        if over or self.before is None:
            return over
        return [note for note in notes if self.before.start <= note.onset < self.before.end]

    def is_over_chord_before(self, note: Note) -> bool:
        """Whether a note sounds over a chord that the sentence before named last."""
        return bool(self.chords_before) and any(test(note, self.music) for test in self.chords_before)

    def by_role(self, index: int, _: str, notes: list[Note]) -> list[Note]:
        """The only one that is leaned on, where the claim is one of a tension."""
        leaned = [note for note in notes if self.music.finding(note).role in ("tension", "suspension")]
        placed = self.scopes[index].spans or self.scopes[index].tests or self.before is not None
        return leaned if self.claims[index].sure and placed and len(leaned) == 1 else []
