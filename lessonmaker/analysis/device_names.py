"""The devices: what each is called in a link's target, and what else teachers call it.

Common practice, no source. The first name is the one the analysis gives (`Device.kind`); a target takes any of them,
with hyphens or blanks, in any case, in the plural too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.analysis.model import Device
from lessonmaker.theory.signs import in_ascii

__all__ = ["DEVICES", "HARMONIC_DEVICES", "TRIAD", "DeviceName", "device_kind", "device_name"]

# What the line does.
LINE_DEVICES: dict[str, tuple[str, ...]] = {
    "phrase": (),
    "eighth-note line": ("eighth note line", "running eighths", "stream of eighths"),
    "sequence": ("sequential pattern",),
    "cross rhythm": ("hemiola", "polyrhythm", "cross-accent", "grouping"),
    "arpeggio": ("broken chord",),
    "upper-structure triad": ("upper structure", "upper structure triad", "superimposed triad"),
    "tritone-substitute triad": ("tritone triad", "tritone sub triad"),
    "enclosure": ("surround", "encirclement"),
    "double approach": ("double chromatic approach",),
    "chromatic approach": ("half-step approach",),
    "guide-tone line": ("guide tones", "guide tone line"),
    "oblique motion": ("pedal in the line",),
    "angular leaps": ("wide leaps", "wide intervals", "leaps"),
    "diatonic passage": ("diatonic line",),
    "single-scale passage": ("scale passage", "scale run", "scale line"),
    "chromatic run": ("chromatic line", "chromatic scale", "chromatic passage"),
    "resolution": ("tension and resolution",),
    "delayed resolution": ("late resolution",),
    "over-the-barline phrase": ("over the bar line", "over the barline", "phrase over the bar line"),
    "uneven rhythm": ("odd rhythm", "broken rhythm"),
    "displacement": ("rhythmic displacement", "displaced figure"),
    "motif": ("motive", "cell"),
    "landing note": ("landing", "target note"),
    "register peak": ("peak", "climax", "highest note", "top note", "high point"),
    "density": ("busiest passage", "densest passage"),
    "space": ("rest", "breath", "silence"),
    "most dissonant spot": ("most dissonance", "most tension", "tensest spot"),
}
# What the harmony does.
HARMONIC_DEVICES: dict[str, tuple[str, ...]] = {
    "two five one": ("ii-V-I", "2-5-1", "251"),
    "two five": ("ii-V", "2-5"),
    "turnaround": (),
    "cadence": ("perfect cadence", "full cadence"),
    "minor cadence": ("minor two five one", "minor two five"),
    "plagal cadence": ("amen cadence",),
    "deceptive cadence": ("interrupted cadence", "deceptive resolution"),
    "secondary dominant": ("applied dominant",),
    "substitute dominant": ("tritone substitute", "tritone substitution", "tritone sub"),
    "backdoor dominant": ("backdoor", "backdoor cadence"),
    "cycle of dominants": ("dominant cycle", "chain of dominants"),
    "modal stretch": ("modal passage", "vamp"),
    "blues form": ("blues",),
    "key change": ("modulation", "change of key"),
}
DEVICES: dict[str, tuple[str, ...]] = LINE_DEVICES | HARMONIC_DEVICES

TRIAD = "triad"  # any triad that stands over another chord
TRIADS = ("upper-structure triad", "tritone-substitute triad")
TRIAD_DETAIL = re.compile(r"([b#]?(VII|VI|IV|V|III|II|I)( (major|minor))?)?", re.IGNORECASE)
BETWEEN_PARTS = re.compile(r"[\s,-]+")


@dataclass(frozen=True)
class DeviceName:
    """A device as it is asked for: its kind, and a detail where one is said ("bVI", "3-5-7-9", "exact").

    The kind "triad" is any triad that stands over another chord.
    """

    kind: str
    detail: str = ""

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of device that may be meant."""
        return TRIADS if self.kind == TRIAD else (self.kind,)

    def fits(self, device: Device) -> bool:
        """Whether a device is of the kind, and its detail has all that is said of it.

        Of a triad that is the whole detail; else its parts in a row: "5-7" is in "3-5-7-9", "3" not in "2+3".
        """
        if device.kind not in self.kinds:
            return False
        said, there = _parts(self.detail), _parts(device.detail)
        if device.kind in TRIADS:
            said, there = _without_major(said), _without_major(there)
            return not said or said == there
        return any(there[at : at + len(said)] == said for at in range(len(there) - len(said) + 1))


def _parts(detail: str) -> list[str]:
    plain = in_ascii(detail).replace("→", " ").replace("->", " ").casefold()
    return [part for part in BETWEEN_PARTS.split(plain) if part]


def _without_major(parts: Sequence[str]) -> list[str]:
    return [part for part in parts if part != "major"]


def device_name(text: str) -> DeviceName | None:
    """A device's name with its detail before or after it ("bVI triad", "arpeggio 3-5-7-9"), or None."""
    for name, detail in _cuts(text.split()):
        kind = device_kind(name)
        if kind is not None:
            return DeviceName(kind, detail)
        if _plain(name) in (TRIAD, f"{TRIAD}s") and TRIAD_DETAIL.fullmatch(in_ascii(detail)):
            return DeviceName(TRIAD, detail)
    return None


def _cuts(words: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Every way to part words into a name and a detail before or after it, the longest names first."""
    for length in range(len(words), 0, -1):
        rest = len(words) - length
        yield " ".join(words[rest:]), " ".join(words[:rest])
        yield " ".join(words[:length]), " ".join(words[length:])


def device_kind(name: str) -> str | None:
    """The kind of device that a name means, or None."""
    plain = _plain(name)
    for kind, others in DEVICES.items():
        for known in (kind, *others):
            if plain in (_plain(known), _plain(known) + "s"):
                return kind
    return None


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").split())
