"""What braces stand for: a chord, a note, the key or the edition, to be named in each edition's own way."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from difflib import get_close_matches

from lessonmaker.analysis.harmony import Hear
from lessonmaker.score.position import Span
from lessonmaker.script.model import Named, Piece
from lessonmaker.script.music import Findings, Music

__all__ = ["resolve_name"]

EXAMPLE = "write {chord 3}, {note 12.3}, {key} or {edition}"


def resolve_name(piece: Piece, music: Music, hear: Sequence[Hear], findings: Findings) -> Named | None:
    """What a pair of braces stands for, or None after a fault."""
    kind, _, where = piece.target.partition(" ")
    if kind == "edition" and not where:
        return Named("edition")
    if kind == "key":
        span = findings.span(music.score, where or "all", piece.place)
        return None if span is None else key_at(span, music)
    name = PLACED.get(kind)
    if name is None:
        near = get_close_matches(kind, [*PLACED, "key", "edition"], 1)
        meant = f"did you mean {{{near[0]}{' ' + where if where else ''}}}? " if near else ""
        findings.fault(piece.place, f"{{{piece.target}}} names nothing", meant + EXAMPLE)
        return None
    if not where:
        findings.fault(piece.place, f"{{{kind}}} needs a place", f"write {{{kind} 3}} for the one in bar 3")
        return None
    span = findings.span(music.score, where, piece.place)
    return None if span is None else name(piece, span, music, hear, findings)


def key_at(span: Span, music: Music) -> Named:
    """The key signature that counts where a span begins."""
    bar = max((bar for bar in music.score.bars if bar.start <= span.start), key=lambda bar: bar.index)
    return Named("key", bar=bar.index, mode=bar.key.mode)


def chord_at(
    piece: Piece, span: Span, music: Music, hear: Sequence[Hear], findings: Findings
) -> Named | None:
    """The chord heard or printed where a span begins."""
    for start, end, chord in hear:
        if start <= span.start < end:
            return Named("heard", chord=chord)
    changes = music.changes_in(span)
    if changes:
        return Named("chord", id=changes[0].id)
    findings.fault(
        piece.place,
        f"no chord symbol stands in or before {music.said(span)}",
        "add the changes to the script: `changes: {1-2: Cmaj7}`",
    )
    return None


def note_at(
    piece: Piece, span: Span, music: Music, _hear: Sequence[Hear], findings: Findings
) -> Named | None:
    """The note struck where a span begins."""
    struck = music.struck_at(span.start)
    if struck:
        return Named("note", id=struck[0].id)
    after = [note for note in music.score.struck if note.onset > span.start][:1]
    todo = f"the next one is at {music.position(after[0])}" if after else "it is the end of the score"
    findings.fault(piece.place, f"no note is struck at {music.said(span)}", todo)
    return None


PLACED: dict[str, Callable[[Piece, Span, Music, Sequence[Hear], Findings], Named | None]] = {
    "chord": chord_at,
    "note": note_at,
}
