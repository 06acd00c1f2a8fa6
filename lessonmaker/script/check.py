"""Checking a lesson against its score: every bar, link and pair of braces.

A cue without `bars` and `compare` keeps what the cue before shows: its bars, its comparison or the passage it
plays (not the whole etude). A link's target has to be in sight: within the bars that the cue shows.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from lessonmaker.faults import Fault, MaterialError
from lessonmaker.score.edition_table import Edition
from lessonmaker.score.model import Score
from lessonmaker.score.position import Span, bars_in, format_span
from lessonmaker.script.candidates import bars_lit, seen_part
from lessonmaker.script.changes import hearings, with_changes
from lessonmaker.script.commentary import braces, links, with_links
from lessonmaker.script.model import (
    CheckedCue,
    CheckedLesson,
    Commentary,
    Cue,
    Lesson,
    Mention,
    Named,
    Piece,
    Play,
    Understood,
)
from lessonmaker.script.music import Findings, Music
from lessonmaker.script.names import resolve_brace
from lessonmaker.script.one_edition import one_edition_words
from lessonmaker.script.pins import pinned_places
from lessonmaker.script.plain import misnamed, read_plain
from lessonmaker.script.targets import resolve

__all__ = ["Examined", "check_lesson", "examine_lesson"]

OVERRULES = "or say that nothing is meant: [words](-)"


@dataclass(frozen=True)
class Examined:
    """A lesson read against its score, with everything that does not hold (in the order of the file)."""

    checked: CheckedLesson
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class Shown:
    """What a cue leaves on the screen."""

    bars: Span | None = None
    compare: tuple[Span, ...] = ()


def check_lesson(lesson: Lesson, score: Score, editions: Sequence[Edition] = ()) -> CheckedLesson:
    """Check a lesson's bars, claims and names against its score; the arguments are those of `examine_lesson`.

    Raises:
        MaterialError: something does not hold; all faults are in it, in the order of the file.
    """
    examined = examine_lesson(lesson, score, editions)
    if examined.faults:
        raise MaterialError(examined.faults)
    return examined.checked


def examine_lesson(lesson: Lesson, score: Score, editions: Sequence[Edition] = ()) -> Examined:
    """Read a lesson against its score, faulty or not.

    Args:
        lesson: the loaded script.
        score: its score, as read from the file.
        editions: what the lesson is made for; words that are true in one edition only are remarked on where
            there is another than concert pitch.
    """
    findings = Findings()
    score = with_changes(lesson, score, findings)
    heard = hearings(lesson, score, findings)
    music = Music.of(score, heard)
    cues = tuple(check_cues(lesson.cues, music, findings))
    pinned = pinned_places(lesson, score, findings)
    if lesson.take is None:
        findings.remarks += [
            silent_play(cue.play) for cue in lesson.cues if cue.play is not None and plays(cue)
        ]
    if any(edition.id != "concert" for edition in editions):
        sections = frozenset(bar.section for bar in score.bars)
        for cue, found in zip(lesson.cues, cues, strict=True):
            findings.remarks += one_edition_words(cue, sections, found.understood)
    remarks = (*lesson.remarks, *score.remarks, *findings.remarks)
    checked = CheckedLesson(lesson, score, cues, remarks, music.analysis, heard, pinned)
    return Examined(checked, tuple(sorted(findings.faults, key=line_and_column)))


def line_and_column(fault: Fault) -> tuple[int, int]:
    """Where a fault stands in its file."""
    return fault.place.line or 0, fault.place.column or 0


def silent_play(play: Play) -> Fault:
    """What is said of playing in a lesson that has no take yet."""
    what = "there is no take to play from: the bars are only shown"
    return Fault(what, "add one to the lesson, as in `take: ../media/etude.flac`", play.place)


def check_cues(cues: Sequence[Cue], music: Music, findings: Findings) -> Iterator[CheckedCue]:
    """The cues, each knowing what the one before leaves on the screen (a scene of the author's nothing new)."""
    shown = Shown()
    for cue in cues:
        if cue.scene is not None:
            yield CheckedCue(cue, None, None, (), ())
            continue
        checked = check_cue(cue, shown, music, findings)
        yield checked
        shown = left_by(checked, music)


def left_by(checked: CheckedCue, music: Music) -> Shown:
    """What stays on the screen after a cue."""
    if checked.bars is not None or checked.compare:
        return Shown(checked.bars, checked.compare)
    whole = checked.play is not None and len(bars_in(music.score, checked.play)) == len(music.score.bars)
    return Shown() if whole else Shown(checked.play)


def check_cue(cue: Cue, before: Shown, music: Music, findings: Findings) -> CheckedCue:
    """A cue with its bars, links and names."""
    bars = span_of(cue, "bars", cue.bars, music, findings)
    compare = tuple(span for text in cue.compare if (span := span_of(cue, "compare", text, music, findings)))
    play = play_span(cue, bars, music, findings)
    if cue.bars is None and not cue.compare and not plays(cue):
        bars, compare = before.bars, before.compare
    broken = (
        (cue.bars is not None and bars is None)
        or len(compare) < len(cue.compare)
        or (plays(cue) and play is None)
    )
    seen = compare or tuple(span for span in (bars, play) if span is not None)[:1]
    sight = Sight(seen, None if broken else frozenset(bars_of(music.score, seen)), music, findings)
    if cue.say is None:
        return CheckedCue(cue, bars, play, compare, ())
    linked = sight.linked(cue.say)
    plain = read_plain(cue, sight.spans, sight.bars, music, linked)
    for each in plain:
        note_down(each, findings)
    lit = [each for each in plain if each.status == "lit"]
    understood = tuple(sorted((*linked, *plain), key=lambda each: each.first))
    mentions = tuple(each.mention for each in understood if each.mention is not None and each.status == "lit")
    names = sight.names(cue.say)
    told = replace(cue, say=with_links(cue.say, lit))
    return CheckedCue(told, bars, play, compare, mentions, names, understood)


def note_down(understood: Understood, findings: Findings) -> None:
    """Make a fault of plain words that do not hold, and a remark of a question."""
    if understood.status == "fault":
        findings.fault(understood.place, understood.what, f"{understood.todo}; {OVERRULES}")
    elif understood.status == "question":
        findings.remark(understood.place, understood.what, understood.todo)


def plays(cue: Cue) -> bool:
    """Whether the cue asks for playing."""
    return cue.play is not None and cue.play.times > 0


def span_of(cue: Cue, key: str, text: str | None, music: Music, findings: Findings) -> Span | None:
    """The span that a key of the cue names."""
    return None if text is None else findings.span(music.score, text, cue.places.get(key, cue.place))


def play_span(cue: Cue, bars: Span | None, music: Music, findings: Findings) -> Span | None:
    """What the cue plays: what it says, or its own bars."""
    if cue.play is None or not plays(cue):
        return None
    return findings.span(music.score, cue.play.bars, cue.play.place) if cue.play.bars else bars


def bars_of(score: Score, spans: Sequence[Span]) -> set[int]:
    """Indices of the bars that some spans touch."""
    return {bar for span in spans for bar in bars_in(score, span)}


@dataclass(frozen=True)
class Sight:
    """What is in sight during a cue: `bars` are indices, None where a fault has hidden them."""

    spans: tuple[Span, ...]
    bars: Collection[int] | None
    music: Music
    findings: Findings

    def linked(self, say: Commentary) -> tuple[Understood, ...]:
        """What the links stand for; a target out of sight is a fault."""
        return tuple(self.understood(piece) for piece in links(say))

    def understood(self, piece: Piece) -> Understood:
        """What one link stands for."""
        own = Findings()
        mention = resolve(piece, self.music, own)
        if mention is not None and self.bars is not None:
            mention = seen_part(mention, self.bars, self.music)
            self.require_sight(piece, mention, self.bars, own)
        if mention is not None:
            self.require_name(piece, mention, own)
        self.findings.faults += own.faults
        self.findings.remarks += own.remarks
        first, last = piece.start + 1, piece.start + 1 + len(piece.text)
        found = Understood(piece.text, piece.place, first, last, "lit", mention, piece.target)
        if not own.faults:
            return found
        what, todo = own.faults[0].what, own.faults[0].todo or ""
        return replace(found, status="fault", what=what, todo=todo)

    def require_name(self, piece: Piece, mention: Mention, findings: Findings) -> None:
        """A fault for a link whose words are a degree that the note which it lights has not."""
        said = misnamed(piece, mention, self.music)
        if said:
            lit = ", ".join(each.label or "" for each in mention.notes)
            what = f"“{said}”: {piece.target} lights {lit}"
            findings.fault(piece.place, what, f"change the words or the target; !{piece.target} overrules")

    def names(self, say: Commentary) -> tuple[Named, ...]:
        """What the braces stand for."""
        first = min(self.bars, default=0) if self.bars else 0
        found = (resolve_brace(piece, first, self.music, self.findings) for piece in braces(say))
        return tuple(name for name in found if name is not None)

    def require_sight(
        self, piece: Piece, mention: Mention, bars: Collection[int], findings: Findings
    ) -> None:
        """A fault for a link to what the cue does not show."""
        needed = bars_lit(mention, self.music)
        hidden = sorted(needed.difference(bars))
        if not hidden:
            return
        score = self.music.score
        away = self.music.said(Span(score.bars[hidden[0]].start, score.bars[hidden[-1]].end))
        first, last = min({*needed, *bars}), max({*needed, *bars})
        wide = format_span(score, Span(score.bars[first].start, score.bars[last].end))
        shows = " and ".join(self.music.said(span) for span in self.spans)
        what = f"{piece.target} lights {away}, but the cue shows {shows or 'no bars'}"
        findings.fault(piece.place, what, f"write `bars: {wide}`, or say it in a cue of its own")
