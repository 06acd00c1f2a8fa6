"""What a sentence says of two notes that it names, each of them known: that they are one, or which of them comes first.

"The D in bar fourteen is the root"; "the fifth comes right before the third". Common practice, no source. Only where
each name can be one note alone is it false.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.music import Music
from lessonmaker.script.plain.intervals import OCTAVE, interval_sizes
from lessonmaker.script.plain.motion import HOW_FAR

__all__ = ["untrue"]

JUST = r"(?: (?:just|really|simply|actually|clearly|nothing but|only|nothing more than|exactly|none other than))*"
CLOSE = r"(?:right|just|directly|straight|immediately|straight away|at once)"
# Two names of one note.
IS = re.compile(
    rf"(?:,? (?:is|was|being)|'s|,? (?:it|that|this|which)(?:'s| is)){JUST} (?:the|an?|our|your|its) (?:\w+ )?"
)
# The first name's note comes first, and the second's next to it where it is said to.
STANDS = r"(?: comes| stands| sits| is| is played| is heard)?"
THE = r"(?:the |our |its |an? )?"
GOES = r"(?: (?:goes|moves|steps|leads|falls|rises|drops|climbs|slips|resolves|the line (?:goes|moves|steps|leads)))"
BEFORE = re.compile(
    rf"{STANDS}(?P<close> {CLOSE})? (?:before|ahead of) {THE}"
    rf"|(?: is)? (?P<close_2>{CLOSE} )?followed(?P<close_3> {CLOSE})? by {THE}"
    rf"|{GOES} (?:(?:up|down|back) )?(?P<close_4>{CLOSE})(?: (?:up|down|back|on))? (?:to|into|onto) {THE}"
    rf"| comes first,? and then {THE}"
)
AFTER = re.compile(rf"{STANDS}(?P<close> {CLOSE})? after {THE}| follows {THE}")
# How far they are apart.
APART = re.compile(
    rf"(?:,? (?:it's|it is|that's|which is|is|lies|sits|just|only|exactly|no more than))* (?P<far>{HOW_FAR.pattern})"
    rf" ?(?:away |apart |up |down )?(?:from|to|above|below|over|under) {THE}"
)
TO_THAT = re.compile(r"\b(?:not|never|n't|would|could|should|might|may|if)\b")


def untrue(between: str, one: Note, other: Note, music: Music) -> str:
    """What is there instead of what is said of two notes; nothing where it holds, or nothing is said.

    Args:
        between: the words from the name of one to the name of the other, without places.
        one: the note named first.
        other: the note named then.
        music: the score as it is heard.
    """
    if TO_THAT.search(between):
        return ""
    if IS.fullmatch(between):
        return "" if one == other else f"{_there(one, music)} is the {music.finding(one).degree}"
    apart = APART.fullmatch(between)
    return _too_far(apart["size"], one, other, music) if apart else _out_of_order(between, one, other, music)


def _too_far(size: str, one: Note, other: Note, music: Music) -> str:
    """What two notes are, if they are not as far apart as is said, but for octaves."""
    is_apart = abs(one.sounding.midi - other.sounding.midi) % OCTAVE
    held = is_apart in {each % OCTAVE for each in interval_sizes(size)}
    return "" if held else f"{_there(one, music)} is not so far from {_there(other, music)}"


def _out_of_order(between: str, one: Note, other: Note, music: Music) -> str:
    """What stands between two notes, or that they come the other way round, if it is said otherwise."""
    before, after = BEFORE.fullmatch(between), AFTER.fullmatch(between)
    said = before or after
    if said is None or one.onset == other.onset:
        return ""
    first, then = (one, other) if before else (other, one)
    close = any(group for name, group in said.groupdict().items() if name.startswith("close"))
    line: Sequence[Note] = [note for note in music.line if first.onset < note.onset < then.onset]
    if first.onset < then.onset and not (close and line):
        return ""
    if first.onset < then.onset:
        return f"{_there(line[0], music)} comes between them"
    return f"{_there(then, music)} comes before {_there(first, music)}"


def _there(note: Note, music: Music) -> str:
    """A note with its place."""
    return f"the {note.written.name} at {format_position(music.score, note.onset)}"
