"""Where what is only pointed at may begin or end: "it starts on the E", "that one ends on C".

Which thing a pronoun means is told by the sentences before, or by what the listener sees; so every place is gathered
at which something may fairly be heard to begin or to end. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of

__all__ = ["fair_ends", "is_pointed_at"]

# The devices that are heard as things of their own, from a first note to a last.
FIGURES = (
    "arpeggio", "chromatic run", "cross rhythm", "double approach", "eighth-note line", "enclosure", "phrase",
    "tritone-substitute triad", "upper-structure triad",
)  # fmt: skip
POINTING = r"(?:this|that|these|those)"
FIGURE = (
    r"(?:arpeggios?|broken chords?|runs?|scales?|climbs?|descents?|figures?|shapes?|licks?|ideas?|gestures?|fragments?"
    r"|groups?|cells?|notes?|eighths?|quavers?|quarters?|sixteenths?|triplets?|pickups?|upbeats?|walks?|ladders?"
    r"|bits?|snippets?|fills?|turns?|tails?|runs?-?ups?|approach(?:es)?|ornaments?|answers?|motifs?|motives?)"
)
ADVERBS = r"(?: (?:all|both|also|just|really|simply|even|actually|always|then|now|again|\w+ly))*"
POINTED_AT = pattern_of(
    r"(?:^|[,;:] |\b(?:and|but|so|then|because|since|as|when|where|while) )(?:(?:and|but|so|now|then|here|again),? )*"
    rf"(?:it|they|{POINTING}(?: ones?| guy| thing)?|{POINTING} (?:[a-z-]+ ){{0,3}}?{FIGURE}){ADVERBS} ?$"
)


def is_pointed_at(clause: str) -> bool:
    """Whether the words before a verb name what begins or ends there by nothing but a pronoun, or point at a figure."""
    return POINTED_AT.search(clause) is not None


def fair_ends(edge: int, spans: Sequence[Span], music: Music) -> tuple[list[Note], list[Note]]:
    """The notes in some spans with which something begins (`edge` 0) or ends (-1): for all to hear, or for some.

    For all to hear is what a rest or a figure sets apart, and what begins with a bar or a chord; for some, where the
    line turns and goes on, or its notes become shorter, and a longer note at which it stops.
    """
    figures = _figure_ends(edge, music)
    plain, possible = list[Note](), list[Note]()
    for note in music.line:
        if not any(span.start <= note.onset < span.end for span in spans):
            continue
        before, after = music.line_before(note), music.line_after(note)
        beside = before if edge == 0 else after
        if beside is None or note.id in figures or _is_set_apart(note, beside, edge, music):
            plain.append(note)
        elif before is not None and after is not None and _may_be_heard(before, note, after, edge):
            possible.append(note)
    return plain, possible


def _figure_ends(edge: int, music: Music) -> set[str]:
    """The ids of the notes with which a figure, or a group of one, begins or ends."""
    figures = [device for device in music.analysis.devices if device.kind in FIGURES]
    return {notes[edge] for each in figures for notes in (each.notes, *each.groups) if len(notes) > 1}


def _is_set_apart(note: Note, beside: Note, edge: int, music: Music) -> bool:
    """Whether a rest stands between a note and one next to it, or a bar or a chord begins with the note."""
    one, other = sorted((note, beside), key=lambda each: each.onset)
    rests = other.onset > one.onset + one.held
    begins = note.bar != beside.bar or music.finding(one).chord != music.finding(other).chord
    return rests or (edge == 0 and begins)


def _may_be_heard(before: Note, note: Note, after: Note, edge: int) -> bool:
    """Whether a note is longer than the one before it, as an end is; or the line turns there, or has come from one."""
    if edge:
        return note.held > before.held
    up, on = (b.sounding.midi - a.sounding.midi for a, b in ((before, note), (note, after)))
    return up * on < 0 or before.held > note.held
