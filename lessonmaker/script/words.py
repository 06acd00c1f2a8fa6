"""A cue's commentary in one edition: words as they are printed, as they are spoken, and what they light.

A token is a printed word with its punctuation; the name in a brace is one token however many words it is spoken
in. The voice is given one entry a token, so a time for each entry is a time for each printed word.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.score.model import Score
from lessonmaker.script.model import CheckedCue, Named, Piece, Token
from lessonmaker.theory.chord import Chord, chord_spoken, chord_text, note_spoken, transpose_chord
from lessonmaker.theory.pitch import NoteName

__all__ = ["tokens_for", "voice_words"]

MODES = {"major": "major", "minor": "minor"}
MARKS = re.compile(r"[^\w♭♯♮°ø+)\]]*$")


@dataclass
class Part:
    """A stretch of text within one word: printed, spoken, and what it lights."""

    printed: str
    spoken: str
    mention: int | None


def tokens_for(cue: CheckedCue, score: Score, edition_label: str) -> tuple[Token, ...]:
    """The words of a cue in an edition.

    Args:
        cue: a checked cue.
        score: the score as the edition prints it.
        edition_label: how the edition is called in print ("B♭ edition").
    """
    if cue.cue.say is None:
        return ()
    parts = list(parts_of(cue.cue.say.pieces, cue.names, score, edition_label))
    return tuple(token_of(word) for word in words_of(parts))


def voice_words(tokens: Sequence[Token]) -> list[str]:
    """What the voice is given: one entry a token, its spoken words with the punctuation printed after it."""
    return [token.spoken + mark_after(token.printed) for token in tokens]


def mark_after(printed: str) -> str:
    """The punctuation at the end of a printed word."""
    match = MARKS.search(printed)
    return match[0] if match else ""


def parts_of(
    pieces: Sequence[Piece], names: Sequence[Named], score: Score, edition_label: str
) -> Iterator[Part]:
    """The pieces as printed and spoken text; links and braces are counted in the order they stand."""
    waiting = iter(names)
    links = 0
    for piece in pieces:
        if piece.kind == "link":
            for inside in piece.inside:
                yield part_of(inside, waiting, score, edition_label, links)
            links += 1
        else:
            yield part_of(piece, waiting, score, edition_label, None)


def part_of(
    piece: Piece, names: Iterator[Named], score: Score, edition_label: str, mention: int | None
) -> Part:
    """One piece without links inside."""
    if piece.kind == "brace":
        printed, spoken = named_in(next(names), score, edition_label)
        return Part(printed, spoken, mention)
    return Part(piece.text, piece.text, mention)


def named_in(name: Named, score: Score, edition_label: str) -> tuple[str, str]:
    """How an edition prints and speaks a name (printed with no-break spaces: it stays one word)."""
    if name.kind == "edition":
        return unbroken(edition_label), edition_label
    if name.kind == "note":
        pitch = next(note.written for note in score.notes if note.id == name.id)
        return str(pitch.name), note_spoken(pitch.name)
    if name.kind == "key":
        return key_name(score, name)
    chord = (
        transpose_chord(name.chord, score.transposition) if name.chord is not None else written(score, name)
    )
    return unbroken(chord_text(chord)), chord_spoken(chord)


def written(score: Score, name: Named) -> Chord | None:
    """The chord symbol with the name's id, as the edition prints it."""
    return next(change.written for change in score.changes if change.id == name.id)


def key_name(score: Score, name: Named) -> tuple[str, str]:
    """The key of a signature: its major tonic, or its minor one."""
    mode = MODES.get(name.mode, "major")
    tonic = NoteName.from_fifths(score.bars[name.bar].key.fifths + (3 if mode == "minor" else 0))
    return unbroken(f"{tonic} {mode}"), f"{note_spoken(tonic)} {mode}"


def unbroken(text: str) -> str:
    """Text whose spaces do not break a line."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def words_of(parts: Sequence[Part]) -> Iterator[list[Part]]:
    """The parts of each word: a brace and the punctuation after it are one."""
    word: list[Part] = []
    for part in parts:
        if part.printed != part.spoken or "\N{NO-BREAK SPACE}" in part.printed:
            word.append(part)
            continue
        for run in re.findall(r"[^\S\xa0]+|[^ \t\r\n]+", part.printed):
            if not run.isspace():
                word.append(Part(run, run, part.mention))
            elif word:
                yield word
                word = []
    if word:
        yield word


def token_of(word: Sequence[Part]) -> Token:
    """One word; it belongs to the first mention in it, and is spoken without the marks around it."""
    printed = "".join(part.printed for part in word)
    spoken = "".join(part.spoken for part in word).strip('.,;:!?…"“”()')
    mentions = [part.mention for part in word if part.mention is not None]
    return Token(printed, spoken, mentions[0] if mentions else None)
