"""What a claim may mean in a stretch of the score: degrees, roles, devices and scales, each with its target.

Links and plain words look here for what they name, so that both find the same things.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from lessonmaker.analysis.device_names import DeviceName
from lessonmaker.analysis.devices.passages import diatonic_passage
from lessonmaker.analysis.model import Device, ScaleUse
from lessonmaker.analysis.report import device_place
from lessonmaker.score.model import Note
from lessonmaker.score.position import INSTANT, Span, bars_in, format_position, overlap
from lessonmaker.script.model import Lit, Mention
from lessonmaker.script.music import Music
from lessonmaker.theory.degree import accepts, is_chord_tone
from lessonmaker.theory.kinds import DEGREE_SEMITONES

__all__ = [
    "PAIRS",
    "ROLES",
    "Candidate",
    "bars_lit",
    "degree_candidates",
    "degree_verdict",
    "device_candidate",
    "device_candidates",
    "lit_note",
    "note_candidate",
    "notes_named",
    "role_candidates",
    "role_name",
    "scale_mention",
    "scale_target",
    "seen_part",
]

MOST_LABELS = 5
PAIRS = ("resolution", "delayed resolution")
# Roles, and how a target or a teacher may write them.
ROLES: dict[str, tuple[str, ...]] = {
    "chord tone": (),
    "tension": (),
    "passing": ("passing note", "passing tone"),
    "neighbour": (
        "neighbour note",
        "neighbor",
        "neighbor note",
        "neighbour tone",
        "neighbor tone",
        "auxiliary note",
    ),
    "approach": ("approach note", "approach tone"),
    "anticipation": (),
    "suspension": (),
}


@dataclass(frozen=True)
class Candidate:
    """One thing that a claim may mean, and how a link names it."""

    target: str
    mention: Mention


# Degrees and roles ---------------------------------------------------------------------------------------


def degree_candidates(degree: str, span: Span, music: Music) -> tuple[Candidate, ...]:
    """The notes of a span that a degree names: exactly, or else by another name of the pitch."""
    return tuple(
        note_candidate(degree, note, music) for note in notes_named(degree, music.struck_in(span), music)
    )


def notes_named(degree: str, notes: Sequence[Note], music: Music) -> tuple[Note, ...]:
    """Those of some notes that a degree names: exactly, or else by another name of the pitch."""
    verdicts = [(note, degree_verdict(degree, note, music)) for note in notes]
    exact = tuple(note for note, verdict in verdicts if verdict == "exact")
    return exact or tuple(note for note, verdict in verdicts if verdict == "other name")


def degree_verdict(degree: str, note: Note, music: Music) -> str:
    """How true it is to give a note a degree: "exact", "other name" or "false"."""
    finding = music.finding(note)
    if finding.chord is None or finding.degree is None or degree not in DEGREE_SEMITONES:
        return "false"
    return accepts(degree, finding.degree, finding.chord)


def note_candidate(name: str, note: Note, music: Music) -> Candidate:
    """A note that a degree or a role names."""
    target = f"{name}@{format_position(music.score, note.onset)}"
    return Candidate(target, Mention("notes", note_span(note), (lit_note(note, music),), target=target))


def note_span(note: Note) -> Span:
    """From a note's onset to where it stops sounding."""
    return Span(note.onset, note.onset + max(note.held, INSTANT))


def lit_note(note: Note, music: Music) -> Lit:
    """A note with its label as the analysis hears it."""
    finding = music.finding(note)
    tension = bool(finding.chord and finding.degree and not is_chord_tone(finding.degree, finding.chord))
    return Lit(note.id, finding.degree, tension)


def role_name(name: str) -> str | None:
    """The role that a name means, singular or plural, or None."""
    plain = " ".join(name.casefold().replace("-", " ").split())
    for role, others in ROLES.items():
        if any(plain in (known, f"{known}s") for known in (role, *others)):
            return role
    return None


def role_candidates(role: str, span: Span, music: Music) -> tuple[Candidate, ...]:
    """The notes of a span that have a role."""
    notes = (note for note in music.struck_in(span) if music.finding(note).role == role)
    return tuple(note_candidate(role, note, music) for note in notes)


# Devices -------------------------------------------------------------------------------------------------


def device_candidates(name: DeviceName, span: Span, music: Music) -> tuple[Candidate, ...]:
    """The devices of a kind in a span: those inside it, else those round it, else those that reach well into it."""
    all_ = [d for d in music.analysis.devices if name.fits(d)]
    inside = [d for d in all_ if span.start <= _first(d, music) and _last(d, music) < span.end]
    found = inside or [d for d in all_ if d.span.start <= span.start and d.span.end >= span.end]
    if not found:  # those that reach into it
        found = [d for d in all_ if 2 * overlap(d.span, span) >= min(_length(d.span), _length(span)) > 0]
    if not found and name == DeviceName(
        "diatonic passage"
    ):  # found where it stands out, true wherever it holds
        plain = diatonic_passage(music.etude, span)
        found = [] if plain is None else [plain]
    return tuple(device_candidate(device, music) for device in found)


def _first(device: Device, music: Music) -> Fraction:
    """Where a device begins; one that begins early (an anticipation) counts from the bar line it belongs to."""
    if not device.notes:
        return device.span.start
    first = music.struck_by_id.get(device.notes[0])
    early = first is not None and music.finding(first).role == "anticipation"
    return music.score.bars[first.bar].end if early and first is not None else device.span.start


def _last(device: Device, music: Music) -> Fraction:
    """The last instant a device has to reach to be heard: its last note's onset; the end of chords but one instant."""
    if device.notes:
        return music.onset_of[device.notes[-1]]
    return device.span.end - INSTANT


def _length(span: Span) -> Fraction:
    return span.end - span.start


def device_candidate(device: Device, music: Music) -> Candidate:
    """A device with the target that names it."""
    first, last = device_place(music.score, device.span, device.notes, music.onset_of)
    where = first if first == last else f"{first}-{last}"
    target = f"{device.kind}@{where}"
    return Candidate(target, _device_mention(device, music, target))


def _device_mention(device: Device, music: Music, target: str) -> Mention:
    """What a device lights: its notes, with labels where they are few; the bars where only the chords do it."""
    if not device.notes:
        return Mention("span", device.span, device=device, target=target)
    notes = music.struck_by_id
    lit = [lit_note(notes[name], music) for name in device.notes if name in notes]
    if len(lit) <= MOST_LABELS or device.kind in PAIRS:
        return Mention("notes", device.span, tuple(lit), device=device, target=target)
    bare = tuple(Lit(each.note, None, each.tension) for each in lit)
    return Mention("device", device.span, bare, device=device, target=target)


def seen_part(mention: Mention, bars: Collection[int], music: Music) -> Mention:
    """A device that reaches out of sight: lit as far as it is seen, if that is more than half of it.

    Of a motif the statements are lit that are seen whole.

    Args:
        mention: what a link or plain words name.
        bars: indices of the bars in sight.
        music: the score as it is heard.
    """
    if mention.device is None:
        return mention
    seen = tuple(lit for lit in mention.notes if music.struck_by_id[lit.note].bar in bars)
    if mention.device.kind == "motif":
        inside = {lit.note for lit in seen}
        whole = {note for group in mention.device.groups if inside.issuperset(group) for note in group}
        return replace(mention, notes=tuple(lit for lit in seen if lit.note in whole)) if whole else mention
    return replace(mention, notes=seen) if 2 * len(seen) > len(mention.notes) else mention


def bars_lit(mention: Mention, music: Music) -> set[int]:
    """Indices of the bars that a mention lights something in."""
    if mention.notes:
        return {music.struck_by_id[lit.note].bar for lit in mention.notes}
    if mention.kind == "chord":
        return {change.bar for change in music.score.changes if change.id in mention.changes}
    return set(bars_in(music.score, mention.span))


# Scales --------------------------------------------------------------------------------------------------


def scale_target(use: ScaleUse, music: Music) -> str:
    """How a link names a scale that is used."""
    first, last = device_place(music.score, use.span, use.notes, music.onset_of)
    return f"{use.scale} scale@{first if first == last else f'{first}-{last}'}"


def scale_mention(use: ScaleUse, music: Music, target: str) -> Mention:
    """What a scale lights: its notes, and those that decide it with their labels."""
    notes = music.struck_by_id
    deciding = use.deciding[:MOST_LABELS]
    lit = [_scale_lit(notes[name], name in deciding, music) for name in use.notes if name in notes]
    return Mention("scale", use.span, tuple(lit), scale=use, target=target)


def _scale_lit(note: Note, labelled: bool, music: Music) -> Lit:
    lit = lit_note(note, music)
    return lit if labelled else Lit(note.id, None, lit.tension)
