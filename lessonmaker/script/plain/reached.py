"""Notes that are said to go to one another, and do not: "it goes home to A", "the nine settles on the root".

One test of where a note may go holds for all wordings. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, format_position
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import HEDGED, Decided
from lessonmaker.script.plain.each import Eaches
from lessonmaker.script.plain.intervals import OCTAVE
from lessonmaker.script.plain.motion import AT_ONCE, HOW_FAR, is_named, led_to, reached_from, without_places
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.rows import loose_names
from lessonmaker.script.plain.verbs import GAP, LANDING, MOVING, STARTING
from lessonmaker.theory.degree import accepts, degree_of

__all__ = ["Reached", "may_go_to"]

GOES_TO = pattern_of(
    rf"(?P<motion>\b(?:{MOVING}|down|up|home|back)\b{GAP}) "
    r"(?:(?:in)?to|onto|towards?|on)(?: the| a| an| its| that| our)?(?: plain| natural| chord's)? ?$"
)
# What speaks of something else than that one note goes to the next.
ANOTHER_WAY = pattern_of(
    r"[;:?!]|\b(?:not|never|no|without|until|after|from|between|through|via|by way of|past|instead|almost|nearly|would"
    r"|could|might|if|later|again|next|phrase|line|melody|tune|music|another|others?|both|each|every"
    r"|around|round|long way|journey|while|where|so|notes?|eighths?|quavers?|sixteenths?|triplets?"
    r"|runs?|walks?|climb\w*|work\w*|arpeggi\w*|key"
    r"|eventually|turn\w* into|we|you|they|he|she|i(?! let))\b|n't\b"
)
# A note that is passed, and is not what goes on.
PASSED = pattern_of(
    r"\b(?:from|through|off|past|via|after|leav\w+|left|with|of)(?: \w+){0,2} $|\bup from"
    rf"|\b(?:{STARTING}|{LANDING}|peak\w*){GAP} (?:on|upon|with|at)(?: \w+){{0,2}} $"
)
STANDS_ON = pattern_of(
    r"\b(?:on|onto|to|into|at|over|in|for)(?: (?:the|its|an?|our|that|this|your))?(?: \w+)? $"
)
DOING = pattern_of(r" \w+ing\b")  # "with the ninth dropping to the root"
IT = pattern_of(r"\b(?:it|that|which)\b")
ARTICLE = pattern_of(r"\b(?:the|that|this|an?|its|our|high|low|long|top|bottom) $")
# After a goal that is not the next note: "falls to G by way of two others", "drops to B and A flat".
PASSING = pattern_of(
    r",? (?:by way of|via|through|past|in (?:\w+ )*(?:steps|thirds)|chromatically|eventually|in the end)\b"
    r"|,?(?: and)?(?: then)?(?: to)? (?:the |an? |its )?"
    r"(?:(?:flat |sharp )?(?:root|[a-z]+th|third|five|nine|eleven|thirteen)|[a-g](?: flat| sharp| natural)?)(?![\w'])"
)
ALL_THE_WAY = pattern_of(r"\b(?:down|up) to\b")  # which may be by step: "back down to G"
FAR = 4  # how many notes lie at most between a note and one that it goes to
BETWEEN = ("degree", "note", "set", "device", "standout")


class Reached(Eaches):
    """Holds what is said of one note against where it goes."""

    def hold_goals(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Call false a note to which another is said to go, where none of that name goes to one of this."""
        if self.sentence.is_question or HEDGED.search(self.sentence.text):
            return
        for index, claim in enumerate(claims):
            before = next((at for at in reversed(range(index)) if claims[at].kind in BETWEEN), None)
            if before is None or not self.motion_said(claims[before], claim):
                continue
            if self.may_be_the_chord(claims[before]):
                continue
            notes, far = self.sources(before, decided), self.has_own_chord(claim, self.scopes[index])
            ways = [(note, goal) for note in notes for goal in may_go_to(note, self.music, far=far)]
            ways += self.run_to(notes, claims[before], claim)
            if ways and not self.goal_is_there(index, decided, ways):
                decided[index] = self.goes_elsewhere(claim, *ways[0])
            elif not notes and not self.comes_from_it(claims[before], decided[index]):
                decided[before] = self.comes_from_another(claims[before], self.lit_notes(decided[index])[0])

    def lost_goals(
        self, claims: Sequence[Claim], decided: Sequence[Decided], read: Sequence[Claim]
    ) -> list[tuple[Claim, Decided]]:
        """Letters alone to which a note that is lit is said to go, and does not.

        Args:
            claims: what the sentence claims.
            decided: what each of them came to.
            read: the names that were read beside them.
        """
        if self.sentence.is_question or HEDGED.search(self.sentence.text):
            return []
        found = []
        for name in loose_names(self.sentence, claims, self.places):
            earlier = [
                at for at, each in enumerate(claims) if each.last <= name.first and each.kind in BETWEEN
            ]
            taken = any(name.first < each.last and each.first < name.last for each in (*claims, *read))
            if taken or name.kind != "note" or not earlier:
                continue
            motion = self.motion_said(claims[earlier[-1]], name)
            notes = self.lit_notes(decided[earlier[-1]]) if motion else []
            ways = [(note, goal) for note in notes for goal in may_go_to(note, self.music)]
            run = self.run_to(notes, claims[earlier[-1]], name) if motion else []
            heard = any(is_heard_as(name, *way, self.music) for way in (*ways, *run))
            chord = HOW_FAR.search(motion) is None and self.is_a_chord_there(name, ways)
            if ways and not heard and not chord:
                found.append((name, self.goes_elsewhere(name, *ways[0])))
        return found

    def run_to(self, notes: Sequence[Note], before: Claim, claim: Claim) -> list[tuple[Note, Note]]:
        """Some notes with those to which the line leads one way, where it is said what it passes, or goes on to."""
        between = self.sentence.text[before.last : claim.first]
        passing = PASSING.match(self.sentence.text, claim.last) or ALL_THE_WAY.search(between)
        if passing is None or HOW_FAR.search(between) or AT_ONCE.search(between):
            return []
        return [(note, goal) for note in notes for goal in led_to(note, self.music)]

    def may_be_the_chord(self, claim: Claim) -> bool:
        """Whether a letter may be that of a chord in sight, over which the line goes somewhere: "D flat goes up to"."""
        if claim.kind != "note" or ARTICLE.search(self.sentence.text[: claim.first]):
            return False
        root = named_note(claim.name).pitch_class
        changes = [change for span in self.spans for change in self.music.changes_in(span)]
        return any(
            change.written is not None and change.written.root.pitch_class == root for change in changes
        )

    def is_a_chord_there(self, name: Claim, ways: Sequence[tuple[Note, Note]]) -> bool:
        """Whether a letter may be the chord over what a note goes to: "the seventh falls to C"."""
        root = named_note(name.name).pitch_class
        chords = [self.music.finding(note).chord for way in ways for note in way]
        return any(chord is not None and chord.root.pitch_class == root for chord in chords)

    def motion_said(self, before: Claim, claim: Claim) -> str:
        """The words between two claims that say that the note of the first goes to that of the second, or nothing."""
        stances = {each.stance for each in (before, claim)}
        if not stances <= {"stated", "found", "handled"} or before.count or claim.count:
            return ""
        if claim.kind not in ("degree", "note") or before.kind not in ("degree", "note"):
            return ""
        between = without_places(self.sentence, before.last, claim.first, self.places)
        said = GOES_TO.search(between)
        if said is None or ANOTHER_WAY.search(between) or self.sentence.text.startswith("'s ", claim.last):
            return ""
        text, motion = self.sentence.text[: before.first], said["motion"]
        close = HOW_FAR.search(motion) or AT_ONCE.search(motion) or DOING.match(between)
        stands = STANDS_ON.search(text) and not IT.search(between)
        return motion if close or not (PASSED.search(text) or stands) else ""

    def sources(self, index: int, decided: Sequence[Decided]) -> list[Note]:
        """The notes that may be the one that goes on."""
        each, lit = decided[index], self.lit_notes(decided[index])
        known = lit or each.choices or self.claims[index].kind == "note"
        return list(dict.fromkeys([*lit, *self.options[index]])) if known else []

    def lit_notes(self, decided: Decided) -> list[Note]:
        """The notes that are lit."""
        lit = decided.mention.notes if decided.mention is not None else ()
        return [self.music.struck_by_id[each.note] for each in lit]

    def goal_is_there(
        self, index: int, decided: Sequence[Decided], ways: Sequence[tuple[Note, Note]]
    ) -> bool:
        """Whether some note goes to what a claim names, or that is told to be false already."""
        if decided[index].what:
            return True  # false already, or to be asked
        lit = self.lit_notes(decided[index])
        return any(
            goal in lit or is_heard_as(self.claims[index], note, goal, self.music) for note, goal in ways
        )

    def comes_from_it(self, claim: Claim, goal: Decided) -> bool:
        """Whether one of the notes before what is lit is what a claim names, or that cannot be told."""
        lit = self.lit_notes(goal)
        if len(lit) != 1 or claim.kind != "note":
            return True
        earlier = [note for note in self.music.struck if note.onset < lit[0].onset][-FAR:]
        return not earlier or any(is_heard_as(claim, note, note, self.music) for note in earlier)

    def comes_from_another(self, claim: Claim, goal: Note) -> Decided:
        """A note that is said to go where none of its name does."""
        words, at = (
            self.sentence.words(claim.first, claim.last),
            format_position(self.music.score, goal.onset),
        )
        what = f"“{words}”: no such note goes to the {goal.written.name} at {at}"
        return Decided(None, self.music.target_of(goal), (), what, "say what goes there")

    def goes_elsewhere(self, claim: Claim, note: Note, goal: Note) -> Decided:
        """A note that goes elsewhere than is said."""
        words = self.sentence.words(claim.first, claim.last)
        places = [format_position(self.music.score, each.onset) for each in (note, goal)]
        names = [
            f"{each.written.name}" if claim.kind == "note" else f"the {self.music.finding(each).degree}"
            for each in (note, goal)
        ]
        what = f"“{words}”: {names[0]} at {places[0]} goes to {names[1]} at {places[1]}"
        return Decided(None, self.music.target_of(goal), (), what, "say where it goes")


def may_go_to(note: Note, music: Music, *, far: bool = False) -> list[Note]:
    """Where a note goes: what it resolves to, the next note, the next other one, and the first on the next chord.

    With `far`, where the next chord is named, each of the next few notes on it.
    """
    line = [each for each in music.line if each.onset > note.onset]
    other = [each for each in line if each.sounding != note.sounding]
    change = next((each for each in music.score.changes if each.onset > note.onset), None)
    on_chord = [each for each in line[:FAR] if change is not None and each.onset >= change.onset]
    before = music.line[max(music.line.index(note) - 1, 0)] if note in music.line else note
    turns = bool(line) and before != note and before.sounding == line[0].sounding
    voice = line[1:2] if turns else []  # of two voices that alternate: "the A below moves to A flat"
    voices = [each for each in music.struck if each.onset >= note.onset + note.held]
    reached = [each for each in reached_from(note, music) if each in line[:FAR]]
    found = [*reached, *line[:1], *other[:1], *(on_chord if far else on_chord[:1]), *voices[:1], *voice]
    return list(dict.fromkeys(found))


def is_heard_as(claim: Claim, before: Note, note: Note, music: Music) -> bool:
    """Whether a note that another goes to is what a claim names, by any of its names, while it sounds."""
    if is_named(claim, note, before, music):
        return True
    if claim.kind == "note":
        return note.sounding.name.pitch_class == named_note(claim.name).pitch_class
    changes = music.changes_in(Span(note.onset, note.onset + max(note.held, INSTANT)))
    chords = [change.chord for change in changes if change.chord]
    actual = [(degree_of(note.sounding.midi % OCTAVE, chord), chord) for chord in chords]
    finding = music.finding(note)
    if finding.degree and finding.chord:
        actual.append((finding.degree, finding.chord))
    return any(
        degree in claim.names or accepts(claim.names[0], degree, chord) != "false" for degree, chord in actual
    )
