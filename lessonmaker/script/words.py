"""Commentary in words: what an edition prints, and what its voice says.

A token is what stands between two blanks, punctuation included; a pair of braces prints as one token, so that
all editions of a cue have the same number of tokens.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain, groupby

from lessonmaker.score.model import Score
from lessonmaker.script.model import CheckedCue, Named, Piece, Token
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.speech import said
from lessonmaker.theory.chord import Chord, chord_spoken, chord_text, note_spoken
from lessonmaker.theory.pitch import NoteName

__all__ = ["heard_changes", "spoken_text", "tokens_for", "voice_words"]

PAUSE = pattern_of(r"([,;:.!?…–—])[\"'”’)\]»]*$")
PAUSE_MARKS = {";": ",", ":": ",", "–": ",", "—": ",", "…": "."}
MINOR_FIFTHS = 3
FEWEST_FIFTHS, MOST_FIFTHS = -6, 10


@dataclass(frozen=True)
class Part:
    """A stretch of commentary from the offset `at`: text (`spoken` None), or a name that is not to be cut."""

    printed: str
    spoken: str | None
    mention: int | None
    at: int


def tokens_for(cue: CheckedCue, edition_score: Score, edition_label: str) -> tuple[Token, ...]:
    """A cue's commentary in an edition.

    Args:
        cue: a checked cue.
        edition_score: the checked lesson's score as the edition writes it, with the same ids.
        edition_label: what `{edition}` prints.
    """
    parts = parts_of(cue, edition_score, edition_label)
    return tuple(without_bare_marks(token_of(word) for word in words_of(parts)))


def voice_words(tokens: Sequence[Token]) -> tuple[str, ...]:
    """What the voice says for each token, with the comma or full stop after it."""
    return tuple(token.spoken + pause_after(token.printed) for token in tokens)


def spoken_text(tokens: Sequence[Token]) -> str:
    """What the voice says, with commas and full stops."""
    return " ".join(voice_words(tokens))


def pause_after(printed: str) -> str:
    """The mark that makes the voice pause after a printed word: "," "." "!" "?" or none."""
    match = PAUSE.search(printed)
    return "" if match is None else PAUSE_MARKS.get(match[1], match[1])


# From pieces to tokens ----------------------------------------------------------------------------------


def parts_of(cue: CheckedCue, score: Score, label: str) -> Iterator[Part]:
    """Text and names in order, each with the link it belongs to."""
    if cue.cue.say is None:
        return
    names = iter(cue.names)
    links = 0
    for piece in cue.cue.say.pieces:
        mention = links if piece.kind == "link" else None
        for leaf in piece.inside if piece.kind == "link" else (piece,):
            yield part_of(leaf, mention, names, score, label)
        links += piece.kind == "link"


def part_of(piece: Piece, mention: int | None, names: Iterator[Named], score: Score, label: str) -> Part:
    """Plain text, or the edition's name for what stands in braces."""
    if piece.kind == "text":
        return Part(piece.text, None, mention, piece.start)
    return Part(*named(next(names), score, label), mention, piece.start)


def words_of(parts: Iterable[Part]) -> Iterator[list[Part]]:
    """The parts of each word: cut at blanks, kept together where text and names touch."""
    word: list[Part] = []
    for piece in chain.from_iterable(map(cut_at_blanks, parts)):
        if not piece.printed.isspace():
            word.append(piece)
        elif word:
            yield word
            word = []
    if word:
        yield word


def cut_at_blanks(part: Part) -> Iterator[Part]:
    """The words and the blanks of a text; a name is one word."""
    if part.spoken is not None:
        yield part
        return
    for match in re.finditer(r"\s+|\S+", part.printed):
        yield replace(part, printed=match[0], at=part.at + match.start())


def token_of(word: Sequence[Part]) -> Token:
    """One token of the parts of a word."""
    mentions = (part.mention for part in word if part.mention is not None)
    return Token("".join(part.printed for part in word), spoken_of(word), next(mentions, None), word[0].at)


def spoken_of(word: Sequence[Part]) -> str:
    """What the voice says for a word made of text and names; an ending such as "'s" is said with its name."""
    spoken = ""
    for is_text, group in groupby(word, key=lambda part: part.spoken is None):
        parts = list(group)
        text = "".join(part.printed for part in parts)
        if not is_text:
            spoken = " ".join([spoken, *(part.spoken or "" for part in parts)]).strip()
        elif spoken and re.match(r"['’]?[a-z]", text):
            spoken += text.rstrip('.,;:!?…)]"”').replace("’", "'")
        else:
            spoken = f"{spoken} {said(text)}".strip()
    return spoken


def without_bare_marks(tokens: Iterable[Token]) -> Iterator[Token]:
    """The tokens with a dash or quotation mark that stands alone joined to the word before, or the first."""
    before: Token | None = None
    for token in tokens:
        if before is None:
            before = token
        elif token.spoken and before.spoken:
            yield before
            before = token
        else:
            mention = before.mention if before.mention is not None else token.mention
            printed = f"{before.printed} {token.printed}"
            before = Token(printed, before.spoken or token.spoken, mention, before.at)
    if before is not None and before.spoken:
        yield before


# Names --------------------------------------------------------------------------------------------------


def named(name: Named, score: Score, label: str) -> tuple[str, str]:
    """What an edition prints and says for braces."""
    if name.kind == "edition":
        return label, " ".join(said(word) for word in label.split())
    if name.kind == "note":
        written = next(note.written.name for note in score.notes if note.id == name.id)
        return str(written), note_spoken(written)
    if name.kind == "key":
        return key_name(score.bars[name.bar].key.fifths, name.mode)
    chord = heard_chord(name, score) if name.kind == "heard" else written_chord(name.id, score)
    return chord_text(chord), chord_spoken(chord)


def key_name(fifths: int, mode: str) -> tuple[str, str]:
    """A key signature's name in print and in words."""
    tonic = NoteName.from_fifths(fifths + (MINOR_FIFTHS if mode == "minor" else 0))
    return f"{tonic} {mode}", f"{note_spoken(tonic)} {mode}"


def written_chord(change_id: str, score: Score) -> Chord | None:
    """A chord symbol as the edition writes it."""
    return next(change.written for change in score.changes if change.id == change_id)


def heard_chord(name: Named, score: Score) -> Chord | None:
    """A heard chord as the edition writes its neighbours: by the same way along the line of fifths."""
    return name.chord and as_written(name.chord, score.bars[name.bar].start, score)


def heard_changes(
    heard: Sequence[tuple[Fraction, Fraction, Chord]], score: Score
) -> tuple[tuple[str, Chord], ...]:
    """The chord symbols that the author hears otherwise: their ids, and what is heard, as the edition writes it."""
    return tuple(
        (change.id, as_written(chord, change.onset, score))
        for start, end, chord in heard
        for change in score.changes
        if start <= change.onset < end
    )


def as_written(chord: Chord, onset: Fraction, score: Score) -> Chord:
    """A sounding chord as the edition writes the chord symbol in force at an onset."""
    printed = [(c.chord, c.written) for c in score.changes if c.onset <= onset and c.chord and c.written]
    way = score.transposition.fifths
    if printed and printed[-1][0] and printed[-1][1]:
        way = printed[-1][1].root.fifths - printed[-1][0].root.fifths
    return replace(chord, root=moved(chord.root, way), bass=chord.bass and moved(chord.bass, way))


def moved(name: NoteName, way: int) -> NoteName:
    """A root moved along the line of fifths; no C flat, F flat, E sharp or B sharp, nor double signs."""
    fifths = name.fifths + way
    if fifths < FEWEST_FIFTHS:
        fifths += 12
    elif fifths > MOST_FIFTHS:
        fifths -= 12
    return NoteName.from_fifths(fifths)
