"""The devices: what each is called in a link's target, and what else teachers call it.

Common practice, no source. The first name is the one the analysis gives (`Device.kind`); a target takes any of them,
with hyphens or blanks, in any case, in the plural too.
"""

from __future__ import annotations

__all__ = ["DEVICES", "HARMONIC_DEVICES", "device_kind"]

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
    "secondary dominant": ("applied dominant",),
    "substitute dominant": ("tritone substitute", "tritone substitution", "tritone sub"),
    "backdoor dominant": ("backdoor", "backdoor cadence"),
    "cycle of dominants": ("dominant cycle", "chain of dominants"),
    "modal stretch": ("modal passage", "vamp"),
    "blues form": ("blues",),
    "key change": ("modulation", "change of key"),
}
DEVICES: dict[str, tuple[str, ...]] = LINE_DEVICES | HARMONIC_DEVICES


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
