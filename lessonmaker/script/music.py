"""What the checks ask of a score and its analysis, and how they say it to the author.

Chords are named in messages as on the score file's own page: a part written for an instrument has that
instrument's names.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import accumulate, groupby

from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.harmony import Hear
from lessonmaker.analysis.model import Analysis, Finding
from lessonmaker.analysis.whole import analysis_of, whole_etude
from lessonmaker.faults import Fault, Place
from lessonmaker.score.model import Bar, Change, Note, Score
from lessonmaker.score.position import PositionError, Span, bars_in, format_position, format_span, parse_span
from lessonmaker.theory.chord import Chord, chord_text, transpose_chord
from lessonmaker.theory.degree import is_chord_tone

__all__ = ["Findings", "Music"]


@dataclass
class Findings:
    """The faults and remarks of a check so far."""

    faults: list[Fault] = field(default_factory=list)
    remarks: list[Fault] = field(default_factory=list)

    def fault(self, place: Place, what: str, todo: str) -> None:
        """Note a fault."""
        self.faults.append(Fault(what, todo, place))

    def remark(self, place: Place, what: str, todo: str) -> None:
        """Note something that is no fault."""
        self.remarks.append(Fault(what, todo, place))

    def span(self, score: Score, text: str, place: Place, todo: str = "") -> Span | None:
        """The span that a text names, or None after a fault."""
        try:
            return parse_span(score, text)
        except PositionError as error:
            self.fault(place, str(error), todo)
            return None


@dataclass(frozen=True)
class Music:
    """A score and how it is heard; `heard` has the author's own hearings as (start, end, sounding chord).

    `etude` is the score as the analysis sees it, for claims that are judged by themselves.
    """

    score: Score
    etude: Etude
    analysis: Analysis
    heard: Sequence[Hear] = ()

    @classmethod
    def of(cls, score: Score, heard: Sequence[Hear] = ()) -> Music:
        """A score with its analysis, as the author hears it; made once for scores that are equal."""
        return _heard(score, tuple(heard))

    @cached_property
    def struck(self) -> tuple[Note, ...]:
        """The score's struck notes (see `Score.struck`)."""
        return self.score.struck

    @cached_property
    def struck_by_id(self) -> dict[str, Note]:
        """The struck notes by id."""
        return {note.id: note for note in self.struck}

    @cached_property
    def onset_of(self) -> dict[str, Fraction]:
        """When each struck note begins, by its id."""
        return {note.id: note.onset for note in self.struck}

    @cached_property
    def finding_by_note(self) -> dict[str, Finding]:
        """The findings by note id."""
        return self.analysis.by_note

    def finding(self, note: Note) -> Finding:
        """How a struck note is heard."""
        return self.finding_by_note.get(note.id) or Finding(note.id, None, None, None)

    def is_tone(self, note: Note) -> bool:
        """Whether a note is one of its chord's own."""
        finding = self.finding(note)
        return bool(finding.chord and finding.degree and is_chord_tone(finding.degree, finding.chord))

    def struck_in(self, span: Span) -> tuple[Note, ...]:
        """The notes struck in a span, and one struck just before it that anticipates its chord."""
        early = (note for note in self.anticipations if note.onset < span.start < note.onset + note.held)
        return (*early, *self.struck_between(span.start, span.end))

    @cached_property
    def anticipations(self) -> tuple[Note, ...]:
        """The struck notes that anticipate a chord."""
        return tuple(note for note in self.struck if self.finding(note).role == "anticipation")

    @cached_property
    def by_onset(self) -> tuple[tuple[Note, ...], tuple[Fraction, ...]]:
        """The struck notes in time, and their onsets."""
        notes = tuple(sorted(self.struck, key=lambda note: note.onset))
        return notes, tuple(note.onset for note in notes)

    @cached_property
    def releases(self) -> tuple[Fraction, ...]:
        """When the last of each struck note and those before it ends, in time."""
        notes, onsets = self.by_onset
        return tuple(accumulate((at + note.held for note, at in zip(notes, onsets, strict=True)), max))

    @cached_property
    def line(self) -> tuple[Note, ...]:
        """The notes of the melody in time, one at an instant."""
        return tuple(heard.note for heard in self.etude.melody)

    @cached_property
    def line_onsets(self) -> tuple[Fraction, ...]:
        """When each note of the melody begins."""
        return tuple(note.onset for note in self.line)

    def line_after(self, note: Note) -> Note | None:
        """The note of the melody that comes after another."""
        after = bisect_right(self.line_onsets, note.onset)
        return next(iter(self.line[after : after + 1]), None)

    def line_before(self, note: Note) -> Note | None:
        """The note of the melody that comes before another."""
        first = bisect_left(self.line_onsets, note.onset)
        return self.line[first - 1] if first else None

    def line_in(self, span: Span) -> tuple[Note, ...]:
        """The notes of the melody that are struck in a span."""
        first, after = (bisect_left(self.line_onsets, time) for time in (span.start, span.end))
        return self.line[first:after]

    def struck_between(self, start: Fraction, end: Fraction) -> tuple[Note, ...]:
        """The notes struck from an instant on and before another."""
        notes, onsets = self.by_onset
        return notes[bisect_left(onsets, start) : bisect_left(onsets, end)]

    def struck_at(self, onset: Fraction) -> tuple[Note, ...]:
        """The notes struck at an instant."""
        notes, onsets = self.by_onset
        return notes[bisect_left(onsets, onset) : bisect_right(onsets, onset)]

    def sounding_at(self, onset: Fraction) -> Note | None:
        """A note struck before an instant that still sounds there."""
        notes, onsets = self.by_onset
        first = bisect_right(self.releases, onset)  # the first that is held for longer than that
        return notes[first] if first < bisect_left(onsets, onset) else None

    def changes_in(self, span: Span) -> tuple[Change, ...]:
        """The chord symbols that count in a span: the one in force where it begins, and those inside."""
        begun = bisect_right(self.change_onsets, span.start)
        return self.score.changes[max(begun - 1, 0) : max(begun, bisect_left(self.change_onsets, span.end))]

    @cached_property
    def change_onsets(self) -> tuple[Fraction, ...]:
        """When each chord symbol comes into force."""
        return tuple(change.onset for change in self.score.changes)

    def bars_in(self, spans: Iterable[Span]) -> list[Bar]:
        """The bars that some spans touch, span by span."""
        return [self.score.bars[index] for span in spans for index in bars_in(self.score, span)]

    @cached_property
    def full_bars(self) -> list[Span]:
        """The bars of the piece one by one, without a pickup."""
        return [Span(bar.start, bar.end) for bar in self.score.bars if bar.start >= 0]

    def is_whole_bars(self, span: Span) -> bool:
        """Whether a span begins and ends at bar lines."""
        bars = self.score.bars
        return any(bar.start == span.start for bar in bars) and any(bar.end == span.end for bar in bars)

    def is_position(self, text: str, span: Span) -> bool:
        """Whether a text names an instant (12.3&), not a stretch (12, 12.3-13.1, A)."""
        return "." in text and "-" not in text and not self.is_named_section(text, span)

    def is_named_section(self, text: str, span: Span) -> bool:
        """Whether a text with a full stop is a rehearsal mark after all."""
        sections = (bar.section for bar in self.score.bars if bar.start == span.start)
        return any(section.casefold() == text.casefold() for section in sections)

    # Saying it ------------------------------------------------------------------------------------------

    def said(self, span: Span) -> str:
        """A span in words: "bar 3", "bars 3-4", "3.2&"."""
        text = format_span(self.score, span)
        if text == "all":
            return "the whole score"
        if not self.is_whole_bars(span):
            return text
        return f"bar {text}" if len(bars_in(self.score, span)) == 1 else f"bars {text}"

    def position(self, note: Note, visit: int | None = None) -> str:
        """Where a note is struck, with the time round where one was said."""
        text = format_position(self.score, note.onset)
        return text if visit is None or "x" in text else f"{text}x{visit}"

    def target_of(self, note: Note) -> str:
        """A note as a link would name it: by its degree where it is struck; by its place alone if it has none."""
        degree, at = self.finding(note).degree, self.position(note)
        return f"{degree}@{at}" if degree else at

    def chord_name(self, chord: Chord | None) -> str:
        """A sounding chord as the score file's page names it."""
        return chord_text(chord and transpose_chord(chord, self.score.transposition))

    def degrees_said(self, notes: Iterable[Note]) -> str:
        """The degrees of notes, chord by chord: "9 b7 over G7, 3 over Cmaj7"."""
        runs = groupby((self.finding(note) for note in notes), key=lambda finding: finding.chord)
        parts = [
            f"{' '.join(finding.degree or '-' for finding in run)} over {self.chord_name(chord)}"
            if chord
            else "notes without a chord"
            for chord, run in runs
        ]
        return ", ".join(parts) or "no note"


@lru_cache(maxsize=32)  # a draft, or what was said, is checked against one score again and again
def _heard(score: Score, heard: tuple[Hear, ...]) -> Music:
    etude = whole_etude(score, heard)
    return Music(score, etude, analysis_of(etude, heard), heard)
