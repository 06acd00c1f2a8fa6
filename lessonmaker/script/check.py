"""Checking a lesson against its score: every place must exist and every claim must hold.

All faults come in one run. What is true but noteworthy (another name of the right pitch, a note name that fits
one edition only) is a remark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonmaker.analysis.harmony import Hear
from lessonmaker.analysis.notes import analyse
from lessonmaker.faults import MaterialError, Place
from lessonmaker.score.edition import Edition
from lessonmaker.score.model import Change, Score
from lessonmaker.score.position import Span
from lessonmaker.script.commentary import braces, links
from lessonmaker.script.model import CheckedCue, CheckedLesson, Cue, Hearing, Lesson, Mention, Named
from lessonmaker.script.music import Findings, Music
from lessonmaker.script.names import resolve_name
from lessonmaker.script.one_edition import one_edition_remarks
from lessonmaker.script.targets import resolve
from lessonmaker.theory.chord import Chord, transpose_chord

__all__ = ["check_lesson"]

CONCERT = "concert"


def check_lesson(lesson: Lesson, score: Score, editions: Sequence[Edition] = ()) -> CheckedLesson:
    """Check a lesson's places and claims.

    Args:
        lesson: as loaded.
        score: as read; the lesson's own changes are added to it.
        editions: those the lesson is made in; what is true in one of them only is remarked on.

    Raises:
        MaterialError: everything that does not hold, each with its place in the script.
    """
    findings = Findings()
    changed = with_changes(score, lesson.changes, findings)
    hear = hearings(changed, lesson.hear, findings)
    music = Music(changed, analyse(changed, hear))
    cues: list[CheckedCue] = []
    for cue in lesson.cues:
        cues.append(check_cue(cue, cues[-1] if cues else None, lesson, music, hear, findings))
    if findings.faults:
        raise MaterialError(findings.faults)
    if any(edition.id != CONCERT for edition in editions):
        findings.remarks.extend(remark for cue in lesson.cues for remark in one_edition_remarks(cue))
    remarks = (*lesson.remarks, *score.remarks, *findings.remarks)
    return CheckedLesson(lesson, changed, tuple(cues), remarks, music.analysis)


# The lesson's own harmony -------------------------------------------------------------------------------


def sounding(chord: Chord | None, score: Score) -> Chord | None:
    """A chord named as on the score's own page, as it sounds."""
    return chord and transpose_chord(chord, -score.transposition)


def with_changes(score: Score, changes: Sequence[Hearing], findings: Findings) -> Score:
    """The score with the chord symbols that stand in the script."""
    added = []
    for number, change in enumerate(changes, 1):
        span = findings.span(score, change.bars, change.place)
        if span is not None:
            bar = max(bar.index for bar in score.bars if bar.start <= span.start)
            id_ = f"change-{number}"
            added.append(Change(id_, bar, span.start, sounding(change.chord, score), change.chord))
    if not added:
        return score
    onsets = {change.onset for change in added}
    kept = [change for change in score.changes if change.onset not in onsets]
    return replace(score, changes=tuple(sorted([*kept, *added], key=lambda change: change.onset)))


def hearings(score: Score, hear: Sequence[Hearing], findings: Findings) -> list[Hear]:
    """What the author hears, as the analysis takes it."""
    heard: list[Hear] = []
    for hearing in hear:
        span = findings.span(score, hearing.bars, hearing.place)
        chord = sounding(hearing.chord, score)
        if span is not None and chord is not None:
            heard.append((span.start, span.end, chord))
        elif span is not None:
            findings.fault(
                hearing.place, "a hearing needs a chord", "name the chord that is heard, as in G7alt"
            )
    return heard


# Cues ---------------------------------------------------------------------------------------------------


def check_cue(
    cue: Cue,
    before: CheckedCue | None,
    lesson: Lesson,
    music: Music,
    hear: Sequence[Hear],
    findings: Findings,
) -> CheckedCue:
    """One cue; without bars and comparison of its own it keeps those of the cue before."""
    own = cue.bars is not None or bool(cue.compare)
    bars = place_of(cue, "bars", cue.bars, music, findings)
    compare = tuple(
        span
        for text in cue.compare
        if (span := findings.span(music.score, text, place_at(cue, "compare"))) is not None
    )
    play = played(cue, bars, lesson, music, findings)
    if not own and before is not None and play is None:
        bars, compare = before.bars, before.compare
    shown = compare or tuple(span for span in (bars, play) if span is not None)[:1]
    mentions, names = said(cue, music, hear, findings)
    for piece, mention in mentions:
        in_sight(piece, mention, shown, music, findings)
    kept = tuple(mention for _, mention in mentions)
    return CheckedCue(cue, bars, play, compare, kept, names)


def place_at(cue: Cue, key: str) -> Place:
    """Where a key's value stands."""
    return cue.places.get(key, cue.place)


def place_of(cue: Cue, key: str, text: str | None, music: Music, findings: Findings) -> Span | None:
    """The span of a key's text."""
    return None if text is None else findings.span(music.score, text, place_at(cue, key))


def played(cue: Cue, bars: Span | None, lesson: Lesson, music: Music, findings: Findings) -> Span | None:
    """What a cue plays; None where it does not say, or says `no`."""
    if cue.play is None or not cue.play.times:
        return None
    if lesson.take is None:
        findings.fault(
            cue.play.place, "there is no take to play from", "add one: `take: ../media/etude.flac`"
        )
        return None
    return findings.span(music.score, cue.play.bars, cue.play.place) if cue.play.bars else bars


def said(
    cue: Cue, music: Music, hear: Sequence[Hear], findings: Findings
) -> tuple[list[tuple[Place, Mention]], tuple[Named, ...]]:
    """The mentions of a cue's links with their places, and what its braces name."""
    if cue.say is None:
        return [], ()
    mentions = []
    for link in links(cue.say):
        mention = resolve(link, music, findings)
        if mention is not None:
            mentions.append((link.place, mention))
    names = [resolve_name(brace, music, hear, findings) for brace in braces(cue.say)]
    return mentions, tuple(name for name in names if name is not None)


def in_sight(place: Place, mention: Mention, shown: Sequence[Span], music: Music, findings: Findings) -> None:
    """A link must light what the cue shows."""
    if not shown:
        findings.fault(place, "this link has nothing to light: the cue shows no bars", "give the cue `bars:`")
        return
    onset_of = {note.id: note.onset for note in music.score.struck}
    onsets = [onset_of[lit.note] for lit in mention.notes] or [mention.span.start]
    if any(all(not span.start <= onset < span.end for span in shown) for onset in onsets):
        where = " and ".join(music.said(span) for span in shown)
        findings.fault(
            place,
            f"{music.said(mention.span)} is out of sight: the cue shows {where}",
            "widen the cue's bars, or move the sentence to another cue",
        )
