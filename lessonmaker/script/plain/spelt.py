"""Deciding which notes of the line spell out a chord that a sentence names. Common practice, no source."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from itertools import combinations, groupby

from lessonmaker.analysis.device_names import TRIAD, DeviceName
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.candidates import Candidate
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names, is_over
from lessonmaker.script.plain.chord_shapes import (
    CHORD_ENDS,
    CHORD_MEMBERS,
    CHORD_RUN,
    CHORD_SHAPE,
    MOSTLY,
    PARTLY,
    SPELT,
    TRIADS,
    runs_of,
    runs_of_chords,
    runs_over,
    runs_through,
    steps_of,
)
from lessonmaker.script.plain.claim import Claim, named_degrees
from lessonmaker.script.plain.contour import one_way
from lessonmaker.script.plain.decided import NOTHING, Decided
from lessonmaker.script.plain.intervals import OCTAVE, TRITONE
from lessonmaker.script.plain.note_names import named_note
from lessonmaker.script.plain.one_way_runs import ends_said, parts_between, runs_of_kind, way_of_run
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.sequences import Sequences
from lessonmaker.theory.chord import chord_tones, family, readings, transpose_chord

__all__ = ["Spelt"]

AN_ARPEGGIO = pattern_of(r"\barpeggio\b")
A_RUN = pattern_of(r"arpeggio|chromatic.*")
RUN_KINDS = {"arpeggio": "chord", "chromatic run": "chromatic"}
"""What devices are heard by their steps."""
OF_A_KIND = pattern_of(r"\b(?:minor|major|diminished|augmented|dominant|quartal|[\w-]*tone|seventh|seven) $")
TRITONE_TRIAD = "tritone-substitute triad"
FEWEST = 3  # notes


class Spelt(Sequences):
    """Decides claims of chords that the line spells out."""

    @property
    def own_deciders(self) -> dict[str, Callable[[Claim, Scope], Decided]]:
        """What decides claims that are not looked for among the devices of the analysis."""
        return super().own_deciders | {
            CHORD_SHAPE: self.chord_shape,
            CHORD_MEMBERS: self.chord_members,
            CHORD_RUN: self.chord_run,
            CHORD_ENDS: self.chord_ends,
            TRITONE_TRIAD: self.tritone_triad,
        }

    def chord_shape(self, claim: Claim, scope: Scope) -> Decided:
        """A chord by its root's name, its kind, or both."""
        root = self.root_of(claim)
        over = (
            self.runs_over_it(claim, scope) if root is not None and SPELT.match(self.words_of(claim)) else []
        )
        if len(over) == 1:
            return self.lit_row(over[0])
        known = self.known_shape(claim, scope)
        if known is not None and not self.is_partly_placed(known, scope):
            return self.lit(known)
        if root is None and not (scope.explicit or scope.tests or AN_ARPEGGIO.search(self.words_of(claim))):
            return NOTHING  # a rule: "a major triad has a third"
        notes = self.notes_of_line(scope)
        runs = [run for steps in steps_of(claim.detail) for run in runs_of(steps, root, notes, self.music)]
        runs = [run for run in runs if not any(set(run) < set(other) for other in runs)]
        if len(runs) == 1:
            return self.lit_row(runs[0])
        if runs:
            words = self.sentence.words(claim.first, claim.last)
            return self.question(words, [self.row_target(run) for run in runs])
        upper = self.over_its_kind(claim, scope) if root is None else []
        return self.lit(upper[0]) if len(upper) == 1 else self.no_shape(claim, scope, notes)

    def over_its_kind(self, claim: Claim, scope: Scope) -> list[Candidate]:
        """The arpeggios over chords of the kind that is said, from whatever note: "a minor seventh arpeggio"."""
        if not AN_ARPEGGIO.search(self.words_of(claim)):
            return []
        found = self.devices_for(DeviceName("arpeggio"), scope)
        chords = [(each, self.music.finding(self.first_note(each)).chord) for each in found]
        tones = [
            (each, chord and (chord.root.pitch_class, chord_tones(readings(chord)[0])))
            for each, chord in chords
        ]
        kinds = [set(steps) for steps in steps_of(claim.detail)]
        return [
            each for each, said in tones if said and {(tone - said[0]) % OCTAVE for tone in said[1]} in kinds
        ]

    def first_note(self, each: Candidate) -> Note:
        """The first note of a device."""
        return self.music.struck_by_id[self.device_of(each).notes[0]]

    def usual_device(self, index: int, claim: Claim, scope: Scope) -> Decided:
        """A device by its kind; of a run the part from one note that is named to another."""
        each = super().usual_device(index, claim, scope)
        ends = ends_said(self.sentence.text[: self.clause_end(claim)], claim.last)
        if claim.name not in RUN_KINDS or ends is None:
            return each
        parts = [
            part for run in self.runs_there(claim, scope) for part in parts_between(run, ends, self.music)
        ]
        begins = each.mention is not None and each.mention.notes[0].note == parts[0][0].id if parts else False
        return self.lit_row(parts[0]) if len(parts) == 1 and (ends["to"] or not begins) else each

    def runs_there(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """The runs of a claim's kind, and of the way that it says, where it is made."""
        notes = [note for note in self.notes_of_line(scope) if scope.passes(note, self.music)]
        runs = [run for run in runs_of_kind(RUN_KINDS[claim.name], notes, self.music) if len(run) >= FEWEST]
        way = self.shape_of(claim)[0].way
        return [run for run in runs if way in (0, way_of_run(run))]

    def clause_end(self, claim: Claim) -> int:
        """Where the part of the sentence ends in which a claim is made."""
        stop = pattern_of(r"[.;:]").search(self.sentence.text, claim.last)
        return stop.start() if stop is not None else len(self.sentence.text)

    def runs_over_it(self, claim: Claim, scope: Scope) -> list[list[Note]]:
        """The runs that spell out the chord of a root that is named, over that chord itself; rootless ones as well."""
        root = self.root_of(claim)
        if root is None or not SPELT.match(self.words_of(claim)):
            return []
        notes = self.notes_of_line(scope)
        chords = [{(root + step) % OCTAVE for step in steps} for steps in steps_of(claim.detail)]
        whole = [run for tones in chords for run in runs_over(root, tones, notes, self.music)]
        return whole or [
            run
            for tones in chords
            for run in runs_over(root, tones - {root}, notes, self.music)
            if len(run) >= FEWEST
        ]

    def words_of(self, claim: Claim) -> str:
        """The words of a claim."""
        return self.sentence.words(claim.first, claim.last)

    def root_of(self, claim: Claim) -> int | None:
        """The pitch class of the root that a claim names, if any."""
        return named_note(claim.names[0]).pitch_class if claim.names else None

    def known_shape(self, claim: Claim, scope: Scope) -> Candidate | None:
        """The triad or arpeggio of the analysis that has just these notes, if there is one."""
        root = self.root_of(claim)
        if root is None and not claim.detail.endswith("nine"):
            return None
        roots = range(OCTAVE) if root is None else (root,)
        chords = [
            {(each + step) % OCTAVE for step in steps} for each in roots for steps in steps_of(claim.detail)
        ]
        if root is not None:
            chords += [tones - {root} for tones in chords if len(tones) > FEWEST + 1]  # without its root
        for kind in (TRIAD, "arpeggio"):
            found = self.devices_for(DeviceName(kind), scope)
            fitting = [each for each in found if self.pitch_classes(each) in chords]
            if len(fitting) == 1:
                return fitting[0]
        return None

    def is_partly_placed(self, each: Candidate, scope: Scope) -> bool:
        """Whether a device goes beyond the beats that are named for it: "the second half is a B flat triad"."""
        beats = [place.test for place in scope.used if place.level == "beat" and place.test is not None]
        notes = [self.music.struck_by_id[name] for name in self.device_of(each).notes]
        placed = [all(test(note, self.music) for test in beats) for note in notes]
        return any(placed) and not all(placed)

    def pitch_classes(self, each: Candidate) -> set[int]:
        """The pitch classes of a device's notes, as written."""
        notes = self.music.struck_by_id
        return {notes[name].written.name.pitch_class for name in self.device_of(each).notes}

    def notes_of_line(self, scope: Scope) -> list[Note]:
        """The notes of the line where a claim is made; a beat is another claim's where it has no room for a chord."""
        spans = scope.spans or tuple(self.spans)
        line = self.music.line
        inside = [note for note in line if any(span.start <= note.onset < span.end for span in spans)]
        found = [note for note in inside if scope.passes(note, self.music)]
        if len(found) < FEWEST:
            chords = [place.test for place in scope.used if place.level == "chord" and place.test is not None]
            found = [note for note in inside if all(test(note, self.music) for test in chords)]
        return found or inside

    def chord_members(self, claim: Claim, scope: Scope) -> Decided:
        """All notes of the chord that sounds, or the one arpeggio that spells most of it."""
        if not (scope.explicit or scope.tests):
            return NOTHING
        runs = runs_of_chords(self.notes_of_line(scope), self.music)
        found = self.devices_for(DeviceName("arpeggio"), scope) if SPELT.match(self.words_of(claim)) else []
        if len(runs) != 1 and len(found) == 1:
            return self.lit(found[0])
        return self.lit_row(runs[0]) if len(runs) == 1 else NOTHING

    def chord_ends(self, claim: Claim, scope: Scope) -> Decided:
        """The one run of a line one way, over one chord, from a degree to another."""
        low, high = map(named_degrees, claim.names)
        notes = [note for note in self.notes_of_line(scope) if scope.passes(note, self.music)]
        degrees = [self.music.finding(note).degree for note in notes]
        runs = [
            notes[first : last + 1]
            for first, last in combinations(range(len(notes)), 2)
            if degrees[first] in low and degrees[last] in high and self.is_one_run(notes[first : last + 1])
        ]
        if len(runs) == 1:
            return self.lit_row(runs[0])
        ends = [[at for at, degree in enumerate(degrees) if degree in names] for names in (low, high)]
        apart = not ends[0] or not ends[1] or ends[0][0] > ends[1][-1]
        if not apart or not self.is_plain(claim, scope):
            return NOTHING
        false = self.is_false(claim, scope.spans[0], "has no such run")
        if not false.says:
            return NOTHING
        self.false_until = self.clause_end(claim)
        at = self.claims.index(claim)
        return replace(false, until=max(each.last for each in self.claims[: at + 1 + len(ends)]))

    def is_one_run(self, notes: Sequence[Note]) -> bool:
        """Whether notes go one way over one chord."""
        over_one = len({self.music.finding(note).chord for note in notes}) == 1
        return len(notes) >= FEWEST and over_one and list(notes) in one_way(notes)

    def chord_run(self, claim: Claim, scope: Scope) -> Decided:
        """The notes that go up or down a chord, which is named by its root or its kind."""
        if not (claim.detail or scope.tests):
            return NOTHING
        way, kind = claim.shape.way, claim.detail.replace(" ", "-")
        notes = [note for note in self.notes_of_line(scope) if scope.passes(note, self.music)]
        over = [list(part) for _, part in groupby(notes, key=lambda note: self.music.finding(note).chord)]
        over = [part for part in over if not kind or self.family_over(part[0]) == kind]
        runs = [run for part in over if (run := runs_through(part, way, PARTLY))]
        if len(runs) == 1:
            return self.lit_row(runs[0])
        if runs:
            words = self.sentence.words(claim.first, claim.last)
            return self.question(words, [self.row_target(run) for run in runs])
        against = [part for part in over if runs_through(part, -way, MOSTLY)]
        if len(over) != 1 or not against or not self.is_plain(claim, scope):
            return NOTHING
        false = self.is_false(claim, scope.spans[0], f"goes {'down' if way > 0 else 'up'} there")
        own = [place.last for place in scope.used if place.first >= claim.last]
        return replace(false, until=max(own, default=claim.last))

    def heard_as(self, claim: Claim, scope: Scope) -> Decided:
        """What only its notes tell; an arpeggio of a chord that is named, where its notes are all the chord's."""
        if claim.name == "arpeggio":
            notes = self.notes_over_named(claim, scope)
            one = len({self.music.finding(note).chord for note in notes}) == 1
            if one and len(notes) >= FEWEST and all(map(self.music.is_tone, notes)):
                return self.lit_row(notes)
        if claim.name not in RUN_KINDS:
            return super().heard_as(claim, scope)
        of_a_kind = OF_A_KIND.search(self.sentence.text[: claim.first])
        plain = A_RUN.fullmatch(self.words_of(claim)) and not of_a_kind
        runs = self.runs_there(claim, scope)
        if plain and len(runs) == 1 and not any(place.level == "beat" for place in self.places):
            return self.lit_row(runs[0])
        false = super().heard_as(claim, scope)
        return false if false.says else self.runs_otherwise(claim, scope)

    def runs_otherwise(self, claim: Claim, scope: Scope) -> Decided:
        """A fault where a bar has a run of the kind that is said, and only one, and it goes the other way."""
        way = self.shape_of(claim)[0].way
        other = self.runs_there(replace(claim, shape=replace(claim.shape, way=-way)), scope)
        if not way or len(other) != 1 or not self.is_plain(claim, scope):
            return NOTHING
        false = self.is_false(claim, scope.spans[0], f"has one that goes {'down' if way > 0 else 'up'}")
        return replace(false, until=self.shape_of(claim)[1])

    def notes_over_named(self, claim: Claim, scope: Scope) -> list[Note]:
        """The notes over the chord that is named for a claim, or right after it: "arpeggiate C minor seven"."""
        notes = self.notes_of_line(scope)
        if scope.tests:
            return [note for note in notes if scope.passes(note, self.music)]
        after = [name for name in chord_names(self.sentence) if name.first >= claim.last]
        if not after or self.sentence.text[claim.last : after[0].first] not in (" ", " the ", " a ", " of "):
            return []
        return [note for note in notes if is_over(after[0], note, self.music)]

    def family_over(self, note: Note) -> str | None:
        """The family of the chord over which a note sounds."""
        chord = self.music.finding(note).chord
        return family(readings(chord)[0]) if chord is not None else None

    def tritone_triad(self, claim: Claim, scope: Scope) -> Decided:
        """The triad a tritone away; a fault where no chord of a bar that is named has its notes over it."""
        found = self.usual_device(self.claims.index(claim), claim, scope)
        if found.says or not self.is_plain(claim, scope):
            return found
        span = scope.spans[0]
        there = {note.sounding.name.pitch_class for note in self.notes_of_line(scope)}
        chords = [readings(each.chord)[0] for each in self.music.changes_in(span) if each.chord is not None]
        triads = [
            {(chord.root.pitch_class + TRITONE + step) % OCTAVE for step in TRIADS["major"]}
            for chord in chords
        ]
        if not triads or any(tones <= there for tones in triads):
            return NOTHING
        return self.is_false(claim, span, f"has {self.triads_there(self.notes_of_line(scope)) or 'no triad'}")

    def no_shape(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> Decided:
        """No such chord: a fault where neither the line nor the chords can be heard as one."""
        root = self.root_of(claim)

        over = self.over_one_chord(scope, notes)
        plain = self.is_plain(claim, scope) or (over is not None and not self.sentence.is_question)
        if not plain or (root is None and not claim.detail):
            return NOTHING
        span = over if over is not None and not scope.explicit else scope.spans[0]
        there = {note.written.name.pitch_class for note in notes}
        spelt = AN_ARPEGGIO.search(self.words_of(claim)) or SPELT.match(self.words_of(claim))
        roots = range(OCTAVE) if root is None else (root,)
        for steps in steps_of(claim.detail):
            chords = [{(each + step) % OCTAVE for step in steps} for each in roots]
            # its notes are there, though not side by side; or it is the harmony's
            if any(tones <= there for tones in chords):
                return NOTHING
            harmonic = any(self.is_in_the_chords(tones, root, span) for tones in chords)
            if harmonic and (not spelt or self.is_broken(root, notes)):
                return NOTHING
        return self.is_false(claim, span, f"has {self.triads_there(notes) or 'no triad in its line'}")

    def over_one_chord(self, scope: Scope, notes: Sequence[Note]) -> Span | None:
        """The bars of the one stretch of a chord that is named for where something is, if there is one."""
        named = [place for place in scope.used if place.level == "chord" and not place.pointed]
        if not named or scope.borrowed or scope.unknown or not notes:
            return None
        passed = [scope.passes(note, self.music) for note in notes]
        line = [note for note in self.music.line if notes[0].onset <= note.onset <= notes[-1].onset]
        if not all(passed) or len(line) != len(notes):
            return None
        return self.bars_of(Span(notes[0].onset, notes[-1].onset + notes[-1].held))

    def is_broken(self, root: int | None, notes: Sequence[Note]) -> bool:
        """Whether some notes over a chord on a root can be heard as it, though one is missing."""
        over = runs_over(root, (), notes, self.music) if root is not None else []
        return len({note.written.name.pitch_class for run in over for note in run}) >= FEWEST

    def is_in_the_chords(self, tones: Collection[int], root: int | None, span: Span) -> bool:
        """Whether a chord of a span is of a root, if one is said, and has some tones; on the score's page."""
        chords = [change.chord for change in self.music.changes_in(span) if change.chord is not None]
        written = [transpose_chord(chord, self.music.score.transposition) for chord in chords]
        heard = [readings(chord)[0] for chord in written if root in (None, chord.root.pitch_class)]
        return any(set(tones) <= set(chord_tones(chord)) for chord in heard)

    def triads_there(self, notes: Sequence[Note]) -> str:
        """The triads that some notes spell out, with their places."""
        found = []
        for kind, steps in TRIADS.items():
            for run in runs_of(steps, None, notes, self.music):
                tones = {note.written.name.pitch_class: note.written.name for note in run}
                root = next(
                    tone for tone in tones if {(tone + step) % OCTAVE for step in steps} == set(tones)
                )
                found.append(f"{tones[root]} {kind} at {self.row_target(run)}")
        return " and ".join(found)
