"""What a link's target stands for: a span, a note, degrees, roles, devices or a scale at a place, chord symbols.

A claim is checked against the analysis: what is not there is a fault that says what is, two candidates are a fault with
a text for each, another name of the right pitch is true with a remark. A leading `!` overrules the analysis: the link
lights what can be found of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from fractions import Fraction

from lessonmaker.analysis.device_names import DEVICES, HARMONIC_DEVICES, DeviceName, device_name
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.scales import scale_fits
from lessonmaker.faults import Place
from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, overlap
from lessonmaker.script.candidates import (
    ROLES,
    Candidate,
    degree_verdict,
    device_candidate,
    device_candidates,
    notes_named,
    role_candidates,
    role_name,
    scale_mention,
    scale_target,
)
from lessonmaker.script.model import Lit, Mention, Piece
from lessonmaker.script.music import Findings, Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.theory.degree import is_chord_tone
from lessonmaker.theory.kinds import DEGREE_SEMITONES
from lessonmaker.theory.scale import scales_named
from lessonmaker.theory.signs import in_ascii

__all__ = ["resolve"]

TARGET = pattern_of(r"(?P<overruled>!?)(?:(?P<names>[^@]*)@)?(?P<where>[^@]*)")
KINDS_OF_TARGET = (
    "a target is bars (1-8, A), a note (12.3&), or something at a place: degrees (b13@3, or b9,3,b7@3), chord@3, "
    "scale@3-4, a device (sequence@17-20) or a role (suspension@8)"
)
EVERYWHERE = ("phrase", "landing note", "resolution", "eighth-note line")
MOST_LISTED = 4
NAMES_OF_THINGS = [*DEGREE_SEMITONES, "chord", "scale", *DEVICES, *ROLES]
# Other ways to write a degree, and the one this program takes.
OTHER_WRITINGS = {
    "2": "9",
    "b2": "b9",
    "#2": "#9",
    "#4": "#11",
    "b6": "b13",
    "b10": "#9",
    "10": "3",
    "8": "1",
    "r": "1",
    "root": "1",
    "maj7": "7",
    "sus4": "4",
}


def resolve(piece: Piece, music: Music, findings: Findings) -> Mention | None:
    """What a link stands for, or None after a fault."""
    match = TARGET.fullmatch(piece.target)
    if match is None or not match["where"].strip():
        findings.fault(piece.place, f"{piece.target!r} is no target", KINDS_OF_TARGET)
        return None
    where = match["where"].strip()
    todo = "" if match["names"] else degree_todo(where)
    span = findings.span(music.score, where, piece.place, todo)
    if span is None:
        return None
    link = Link(piece.place, span, where, bool(match["overruled"]), music, findings)
    if match["names"] is None:
        return link.note() if music.is_position(where, span) else link.stretch()
    return link.named_thing(" ".join(match["names"].split()))


def degree_todo(where: str) -> str:
    """What to do where a degree stands without a place."""
    return f"a degree needs a place, as in {where}@3" if in_ascii(where) in DEGREE_SEMITONES else ""


@dataclass(frozen=True)
class Claim:
    """A degree the author names, and the notes it may be."""

    degree: str
    notes: tuple[Note, ...]


@dataclass(frozen=True)
class Link:
    """A link whose place in the score is known."""

    place: Place
    span: Span
    where: str
    overruled: bool
    music: Music
    findings: Findings

    def fault(self, what: str, todo: str) -> None:
        """Note a fault; returns None so that a resolver can give it back."""
        self.findings.fault(self.place, what, todo)

    # Spans, notes, chords -------------------------------------------------------------------------------

    def stretch(self) -> Mention:
        """A span; one that does not run from bar line to bar line has its notes."""
        inside = () if self.music.is_whole_bars(self.span) else self.struck_inside()
        lit = tuple(Lit(note.id, None, False) for note in inside)
        return Mention("span", self.span, lit, target=self.where)

    def struck_inside(self) -> tuple[Note, ...]:
        """The notes struck within the span."""
        return self.music.struck_between(self.span.start, self.span.end)

    def note(self) -> Mention | None:
        """The notes struck at a position."""
        notes = self.music.struck_at(self.span.start)
        if notes:
            lit = tuple(self.plain_lit(note) for note in notes)
            return Mention("notes", self.span, lit, target=self.where)
        if self.overruled:
            return self.stretch()
        held = self.music.sounding_at(self.span.start)
        if held is not None:
            since = self.music.position(held, self.span.visit)
            self.fault(f"no note is struck at {self.where}: one from {since} is held there", f"write {since}")
        else:
            self.fault(f"no note is struck at {self.where}: there is a rest", self.neighbours())
        return None

    def neighbours(self) -> str:
        """What to write instead of a position with a rest."""
        struck = self.music.struck
        before = [note for note in struck if note.onset < self.span.start][-1:]
        after = [note for note in struck if note.onset > self.span.start][:1]
        near = [self.music.position(note, self.span.visit) for note in (*before, *after)]
        return f"the notes next to it are struck at {' and '.join(near)}"

    def plain_lit(self, note: Note) -> Lit:
        """A note that is pointed at without a claim."""
        finding = self.music.finding(note)
        return Lit(note.id, finding.degree, finding.role == "tension")

    def chords(self) -> Mention | None:
        """The chord symbols that count in the span."""
        changes = self.music.changes_in(self.span)
        if self.music.is_position(self.where, self.span):
            changes = changes[:1]
        if changes:
            ids = tuple(change.id for change in changes)
            return Mention("chord", self.span, (), ids, target=f"chord@{self.where}")
        if self.overruled:
            return self.stretch()
        todo = "add the changes to the script: `changes: {1-2: Cmaj7}`"
        self.fault(f"no chord symbol stands in or before {self.music.said(self.span)}", todo)
        return None

    # Devices, roles and scales --------------------------------------------------------------------------

    def named_thing(self, names: str) -> Mention | None:
        """Whatever stands before the @."""
        plain = names.casefold().replace("-", " ")
        if plain == "chord":
            return self.chords()
        if all(in_ascii(name.strip()) in DEGREE_SEMITONES for name in names.split(",")):
            return self.degrees(names)
        if plain == "scale" or (scales_named(names) and device_name(names) is None):
            return self.scale("" if plain == "scale" else names)
        if (role := role_name(names)) is not None:
            return self.one_of(role_candidates(role, self.span, self.music), role)
        if (device := device_name(names)) is not None:
            return self.one_of(device_candidates(device, self.span, self.music), names)
        return self.degrees(names)

    def one_of(self, found: Sequence[Candidate], name: str) -> Mention | None:
        """The one thing that a name means in the span."""
        exact = [each for each in found if self.names_exactly(each)]
        chosen = exact or found
        if len({each.target for each in chosen}) == 1:
            return replace(at_once(chosen), target=f"{name}@{self.where}")
        if self.overruled:
            return self.stretch()
        if chosen:
            ways = list(dict.fromkeys(each.target for each in chosen))
            what = f"{len(ways)} things in {self.music.said(self.span)} fit {name!r}"
            self.fault(what, f"write {' or '.join(ways)}")
        else:
            self.not_found(name)
        return None

    def names_exactly(self, found: Candidate) -> bool:
        """Whether the place said is just where a thing is."""
        return found.target.partition("@")[2] == self.where or found.mention.span == self.span

    def not_found(self, name: str) -> None:
        """A device or role that is not there: say what is, and where the nearest is."""
        if (device := device_name(name)) is None:
            there = listed_roles(self.span, self.music)
        else:
            there = listed_devices(self.span, device, self.music)
        what = f"there is no {name} in {self.music.said(self.span)}: it has {there}"
        nearest = self.nearest_thing(name)
        overrule = f"!{name}@{self.where} overrules"
        self.fault(
            what,
            f"the nearest is {nearest}; {overrule}" if nearest else f"none is found in the score; {overrule}",
        )

    def nearest_thing(self, name: str) -> str:
        """The target of the nearest thing of a name, or nothing."""
        bars = self.music.score.bars
        whole = Span(bars[0].start, bars[-1].end)
        role, device = role_name(name), device_name(name)
        if role is not None:
            found = role_candidates(role, whole, self.music)
        else:
            found = device_candidates(device, whole, self.music) if device is not None else ()
        near = min(found, key=lambda each: abs(each.mention.span.start - self.span.start), default=None)
        return "" if near is None else near.target

    def scale(self, name: str) -> Mention | None:
        """The scale of a span: the one found there, or the one that the author names."""
        target = f"{name or 'scale'}@{self.where}"
        if name:
            return self.named_scale(name, target)
        found = [use for use in self.music.analysis.scales if overlap(use.span, self.span) > 0]
        best = max(found, key=lambda use: overlap(use.span, self.span), default=None)
        if best is not None and self.is_meant(best.span, alone=len(found) == 1):
            return scale_mention(best, self.music, target)
        if self.overruled:
            return self.stretch()
        if found:
            ways = " or ".join(scale_target(use, self.music) for use in found)
            many = f"{len(found)} scales are" if len(found) > 1 else "only part of one scale is"
            self.fault(f"{many} used in {self.music.said(self.span)}", f"write {ways}")
        else:
            self.fault(
                f"no scale is told by the notes of {self.music.said(self.span)}", f"!{target} overrules"
            )
        return None

    def is_meant(self, used: Span, alone: bool) -> bool:
        """Whether a scale fills most of what the link names, or is alone there and lies there for the most part."""
        lengths = [each.end - each.start for each in (self.span, used)]
        return 2 * overlap(used, self.span) > (min(lengths) if alone else lengths[0])

    def named_scale(self, name: str, target: str) -> Mention | None:
        """The scale that the author names, if the notes bear it out."""
        claim = scale_fits(self.music.etude, self.span, name)
        if claim is not None and (claim.verdict != "false" or self.overruled):
            return scale_mention(claim.use, self.music, target)
        if self.overruled:
            return self.stretch()
        why = claim.text if claim is not None else "no note is struck there"
        nearest = (
            f"{scale_target(claim.nearest, self.music)}; " if claim is not None and claim.nearest else ""
        )
        told = f"the nearest is {nearest}" if nearest else ""
        self.fault(
            f"{self.music.said(self.span)} does not use the {name}: {why}", f"{told}!{target} overrules"
        )
        return None

    # Degrees --------------------------------------------------------------------------------------------

    def degrees(self, names: str) -> Mention | None:
        """The notes with the degrees named."""
        claimed = [in_ascii(name.strip()) for name in names.split(",")]
        unknown = [name for name in claimed if name not in DEGREE_SEMITONES]
        if unknown and self.overruled:
            return self.stretch()
        for name in unknown:
            self.unknown_name(name)
        if unknown:
            return None
        claims = [Claim(degree, self.candidates(degree)) for degree in claimed]
        chosen = self.overruling(claims) if self.overruled else self.choose(claims)
        return None if chosen is None else self.mention(chosen)

    def unknown_name(self, name: str) -> None:
        """A name before @ that is no degree."""
        if not name:
            self.fault("no degree stands here", KINDS_OF_TARGET)
        elif name.lower() in OTHER_WRITINGS:
            self.fault(f"{name!r} is no degree", f"write {OTHER_WRITINGS[name.lower()]}@{self.where}")
        elif close := get_close_matches(name.casefold(), NAMES_OF_THINGS, 1):
            self.fault(f"{name!r} names nothing", f"did you mean {close[0]}@{self.where}? {KINDS_OF_TARGET}")
        else:
            self.fault(
                f"{name!r} cannot be looked for",
                f"{KINDS_OF_TARGET}; degrees are {' '.join(DEGREE_SEMITONES)}",
            )

    def candidates(self, degree: str) -> tuple[Note, ...]:
        """The notes of the span with a degree; those struck at a position go before the rest of its beat."""
        struck = self.music.struck_in(self.span)
        found = notes_named(degree, struck, self.music)
        at_once = tuple(note for note in found if note.onset == self.span.start)
        return at_once if at_once and self.music.is_position(self.where, self.span) else found

    def choose(self, claims: Sequence[Claim]) -> list[tuple[str, Note]] | None:
        """One instant for each claim: by itself, or by the order in which the claims stand."""
        missing = [claim for claim in claims if not claim.notes]
        for claim in missing:
            self.not_there(claim.degree)
        if missing:
            return None
        if any(len(instants(claim)) > 1 for claim in claims):
            ordered = only_order(claims)
            if not ordered:
                self.ambiguous(claims)
                return None
            claims = ordered
        return [(claim.degree, note) for claim in claims for note in claim.notes]

    def not_there(self, degree: str) -> None:
        """A degree that no note of the span has: say what is there and where the nearest is."""
        there = self.music.degrees_said(self.music.struck_in(self.span))
        what = f"there is no {degree} in {self.music.said(self.span)}: it has {there}"
        nearest = self.nearest(degree)
        overrule = f"!{degree}@{self.where} overrules"
        if nearest is None:
            self.fault(what, f"no note of the score is a {degree}; {overrule}")
        else:
            at = self.music.position(nearest, self.span.visit)
            self.fault(what, f"the nearest is {degree}@{at}; {overrule}")

    def nearest(self, degree: str) -> Note | None:
        """The note with this degree that is nearest to the span."""
        found = notes_named(degree, self.music.struck, self.music)
        middle = (self.span.start + self.span.end) / 2
        return min(found, key=lambda note: abs(note.onset - middle), default=None)

    def ambiguous(self, claims: Sequence[Claim]) -> None:
        """A fault for each claim that several instants fit."""
        for claim in claims:
            onsets = instants(claim)
            if len(onsets) > 1:
                ways = [f"{claim.degree}@{self.music.position(note, self.span.visit)}" for note in onsets]
                count = {2: "two notes"}.get(len(ways), f"{len(ways)} notes")
                what = f"{count} in {self.music.said(self.span)} are a {claim.degree}"
                self.fault(what, f"write {' or '.join(ways)}")

    def overruling(self, claims: Sequence[Claim]) -> list[tuple[str, Note]]:
        """What can be found of claims the author insists on; at a position the note there in any case."""
        found = [(claim.degree, note) for claim in claims for note in claim.notes]
        if not found and len(claims) == 1 and self.music.is_position(self.where, self.span):
            return [(claims[0].degree, note) for note in self.music.struck_at(self.span.start)]
        return found

    def mention(self, chosen: Sequence[tuple[str, Note]]) -> Mention:
        """The notes chosen, in the order of sounding; without any, the span."""
        if not chosen:
            return self.stretch()
        ordered = sorted(chosen, key=lambda pair: pair[1].onset)
        lit = tuple(self.claimed_lit(degree, note) for degree, note in ordered)
        names = ",".join(degree for degree, _ in chosen)
        return Mention("notes", self.span, lit, target=f"{names}@{self.where}")

    def claimed_lit(self, degree: str, note: Note) -> Lit:
        """A note lit by a claim, labelled as the analysis hears it, or as the author insists."""
        finding = self.music.finding(note)
        verdict = degree_verdict(degree, note, self.music)
        if verdict == "other name" and not self.overruled:
            at = self.music.position(note, self.span.visit)
            over = self.music.chord_name(finding.chord)
            what = f"the {degree} at {at} is labelled {finding.degree} (over {over})"
            self.findings.remark(self.place, what, f"both name the pitch; {finding.degree}@{at} names it so")
        insists = self.overruled and verdict != "exact"
        label = degree if insists or finding.degree is None else finding.degree
        tension = finding.chord is not None and not is_chord_tone(label, finding.chord)
        return Lit(note.id, label, tension)


def at_once(found: Sequence[Candidate]) -> Mention:
    """What things of one name and place light: of devices the surest, of notes struck together all."""
    devices = [each.mention for each in found if each.mention.device is not None]
    if devices:
        return max(devices, key=lambda each: each.device.confidence if each.device else 0.0)
    lit = tuple(lit for each in found for lit in each.mention.notes)
    return replace(found[0].mention, notes=lit)


def listed_roles(span: Span, music: Music) -> str:
    """The roles that the notes of a span have."""
    roles = dict.fromkeys(music.finding(note).role for note in music.struck_in(span))
    return (
        ", ".join(ROLES[role][0] if ROLES[role] else role for role in roles if role) or "no note over a chord"
    )


def listed_devices(span: Span, wanted: DeviceName, music: Music) -> str:
    """What the line (or the harmony) does in a span instead of a device, as links name it.

    Those of the same kind come first, then the surest.
    """
    harmonic = wanted.kind in HARMONIC_DEVICES
    there = [
        device
        for device in music.analysis.devices
        if device.kind not in EVERYWHERE
        and (device.kind in HARMONIC_DEVICES) == harmonic
        and overlap(device.span, span) > 0
    ]
    best = sorted(there, key=lambda device: (device.kind not in wanted.kinds, -device.confidence))
    return ", ".join(listed_device(device, music) for device in best[:MOST_LISTED]) or "nothing of the kind"


def listed_device(device: Device, music: Music) -> str:
    """A device as a link names it, with its detail."""
    target = device_candidate(device, music).target
    return f"{target} ({device.detail})" if device.detail else target


def instants(claim: Claim) -> tuple[Note, ...]:
    """One note for each instant at which the claim may be."""
    return tuple({note.onset: note for note in claim.notes}.values())


def earliest(claims: Sequence[Claim], direction: int) -> list[Fraction]:
    """The earliest instants at which the claims can follow each other; the latest, from the end, for -1."""
    chosen: list[Fraction] = []
    for claim in claims[::direction]:
        onsets = (direction * note.onset for note in claim.notes)
        later = [onset for onset in onsets if not chosen or onset > chosen[-1]]
        if not later:
            return []
        chosen.append(min(later))
    return [direction * onset for onset in chosen][::direction]


def only_order(claims: Sequence[Claim]) -> list[Claim]:
    """The claims narrowed to the one way in which they follow each other, or nothing where there are more.

    There is exactly one way if and only if going from either end as near as possible gives the same.
    """
    onsets = earliest(claims, 1)
    if not onsets or onsets != earliest(claims, -1):
        return []
    pairs = zip(claims, onsets, strict=True)
    return [Claim(claim.degree, tuple(n for n in claim.notes if n.onset == onset)) for claim, onset in pairs]
