"""The things that may be described, and which of them a stretch of the score has.

Devices go by their kinds, roles of notes and scales by the names they are asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from lessonmaker.score.position import Span, overlap
from lessonmaker.script.music import Music
from lessonmaker.script.plain.claim import Claim

__all__ = ["NOTHING_TOLD", "THINGS", "claim_of", "things_in"]

NOTHING_TOLD = "nothing"
"""The thing that small talk describes, and what is told of single notes."""

Kind = Literal["device", "role", "scale"]
DEVICES = (
    "angular leaps", "arpeggio", "backdoor dominant", "blues form", "cadence", "chromatic approach", "chromatic run",
    "cross rhythm", "cycle of dominants", "deceptive cadence", "delayed resolution", "density", "diatonic passage",
    "displacement", "double approach", "eighth-note line", "enclosure", "guide-tone line", "key change", "landing note",
    "minor cadence", "modal stretch", "most dissonant spot", "motif", "oblique motion", "over-the-barline phrase",
    "phrase", "plagal cadence", "register peak", "resolution", "secondary dominant", "sequence", "single-scale passage",
    "space", "substitute dominant", "tritone-substitute triad", "turnaround", "two five", "two five one",
    "uneven rhythm", "upper-structure triad",
)  # fmt: skip
# Roles by the words for them.
ROLES = {
    "anticipation": "anticipation",
    "neighbour note": "neighbour",
    "passing note": "passing",
    "suspension": "suspension",
}
# Scales by the words for them, with the names that the analysis may have.
SCALES = {
    "altered scale": ("altered",),
    "bebop scale": ("bebop dominant", "bebop major", "bebop dorian"),
    "blues scale": ("blues", "major blues"),
    "dorian scale": ("dorian",),
    "half-whole diminished scale": ("half-whole diminished",),
    "lydian scale": ("lydian",),
    "melodic minor scale": ("melodic minor",),
    "mixolydian scale": ("mixolydian",),
    "pentatonic scale": ("major pentatonic", "minor pentatonic"),
    "whole tone scale": ("whole tone",),
}
THINGS: dict[str, Kind] = {
    **dict.fromkeys(DEVICES, "device"),
    **dict.fromkeys(ROLES, "role"),
    **dict.fromkeys(SCALES, "scale"),
}
"""Each thing and how it is claimed."""
SURE = 0.4  # what is less sure is not told by itself


def things_in(music: Music, spans: Sequence[Span]) -> frozenset[str]:
    """The things that there are in some spans."""
    devices = (
        each.kind for each in music.analysis.devices if each.confidence >= SURE and _is_in(each.span, spans)
    )
    scales = {
        each.scale for each in music.analysis.scales if each.confidence >= SURE and _is_in(each.span, spans)
    }
    notes = (note for span in spans for note in music.struck_in(span))
    roles = {music.finding(note).role for note in notes}
    return frozenset(
        [
            *(kind for kind in devices if kind in THINGS),
            *(name for name, role in ROLES.items() if role in roles),
            *(name for name, known in SCALES.items() if not scales.isdisjoint(known)),
        ]
    )


def _is_in(span: Span, spans: Iterable[Span]) -> bool:
    return any(overlap(span, other) > 0 for other in spans)


def claim_of(thing: str, first: int, last: int) -> Claim:
    """A thing as claimed at [first, last) of a sentence."""
    return Claim(THINGS[thing], first, last, ROLES.get(thing, thing))
