"""What the braces in a commentary stand for.

| braces | stand for |
|---|---|
| `{chord 3}`, `{chord 3.3}` | the chord symbol that counts there, as printed |
| `{heard 17}` | the chord the author hears there (`hear`) |
| `{note 12.3}` | the note struck there |
| `{key}`, `{key minor}` | the key signature of the cue's first bar; the mode where the score says none |
| `{edition}` | the edition's name |
"""

from __future__ import annotations

from lessonmaker.faults import Place
from lessonmaker.score.model import Change
from lessonmaker.score.position import Span, bars_in, format_position
from lessonmaker.script.fields import near
from lessonmaker.script.model import Named, Piece
from lessonmaker.script.music import Findings, Music

__all__ = ["resolve_brace"]

KINDS = ("chord", "heard", "note", "key", "edition")
MODES = ("major", "minor")
EXAMPLES = "write {chord 3}, {heard 17}, {note 12.3}, {key} or {edition}"


def resolve_brace(piece: Piece, bar: int, music: Music, findings: Findings) -> Named | None:
    """What a pair of braces stands for, or None after a fault; `bar` is the first one in sight."""
    kind, _, rest = piece.target.partition(" ")
    if kind not in KINDS:
        findings.fault(piece.place, f"{{{piece.target}}} names nothing", near(kind, KINDS, EXAMPLES))
        return None
    if kind == "key":
        return key_named(rest, bar, piece.place, music, findings)
    if kind == "edition":
        if rest:
            findings.fault(piece.place, f"nothing follows edition, but here {rest!r} does", "write {edition}")
        return Named("edition")
    if not rest:
        findings.fault(piece.place, f"{{{kind}}} does not say where", EXAMPLES)
        return None
    span = findings.span(music.score, rest, piece.place, EXAMPLES)
    return None if span is None else RESOLVERS[kind](rest, span, piece.place, music, findings)


def key_named(mode: str, bar: int, place: Place, music: Music, findings: Findings) -> Named | None:
    """The key of a bar."""
    known = music.score.bars[bar].key.mode
    if mode and mode not in MODES:
        findings.fault(place, f"{mode!r} is no mode", "write {key}, {key major} or {key minor}")
        return None
    if not mode and known not in MODES:
        findings.fault(place, "the score does not say major or minor", "write {key major} or {key minor}")
        return None
    if mode and known in MODES and mode != known:
        findings.fault(place, f"the score says that the key is {known}, not {mode}", "write {key}")
        return None
    return Named("key", bar=bar, mode=mode or known)


def note_named(where: str, span: Span, place: Place, music: Music, findings: Findings) -> Named | None:
    """The one note struck at a position, or in a bar that has one."""
    at_position = music.is_position(where, span)
    notes = music.struck_at(span.start) if at_position else music.struck_in(span)
    if len(notes) == 1:
        return Named("note", notes[0].id)
    if at_position and notes:
        findings.fault(place, f"{len(notes)} notes are struck at {where}", "name one that is struck alone")
    elif at_position:
        held = music.sounding_at(span.start)
        todo = f"write {{note {music.position(held)}}}" if held else "name a position with a note"
        findings.fault(place, f"no note is struck at {where}", todo)
    else:
        todo = "say which, as in {note 12.3}"
        findings.fault(place, f"{len(notes) or 'no'} notes are struck in {music.said(span)}", todo)
    return None


def chord_named(where: str, span: Span, place: Place, music: Music, findings: Findings) -> Named | None:
    """The one chord symbol that counts at a place."""
    changes = music.changes_in(span)
    if music.is_position(where, span):
        changes = changes[:1]
    if len(changes) == 1:
        return Named("chord", changes[0].id)
    if not changes:
        todo = "add the changes to the script: `changes: {1-2: Cmaj7}`"
        findings.fault(place, f"no chord symbol stands in or before {music.said(span)}", todo)
        return None
    ways = [choice(change, span, music) for change in changes]
    findings.fault(place, f"{music.said(span)} has {len(changes)} chords", f"write {' or '.join(ways)}")
    return None


def choice(change: Change, span: Span, music: Music) -> str:
    """How to name one chord symbol out of several in a span."""
    at = format_position(music.score, max(change.onset, span.start))
    return f"{{chord {at}}} ({music.chord_name(change.chord)})"


def heard_named(where: str, span: Span, place: Place, music: Music, findings: Findings) -> Named | None:
    """The one chord that is heard at a place."""
    heard = [chord for start, end, chord in music.heard if start < span.end and span.start < end]
    if len(set(heard)) == 1:
        return Named("heard", chord=heard[0], bar=bars_in(music.score, span)[0])
    what = f"{len(heard)} chords are heard" if heard else "no chord of its own is heard"
    findings.fault(
        place, f"{what} in {music.said(span)}", "say so with `hear`, or write {chord " + where + "}"
    )
    return None


RESOLVERS = {"note": note_named, "chord": chord_named, "heard": heard_named}
