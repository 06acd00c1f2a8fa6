"""What of the music decides how a draft speaks of it: a rootless arpeggio is not "the chord itself"."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from lessonmaker.analysis.devices.grouped_bars import is_grouped_bars
from lessonmaker.analysis.functions import function_at
from lessonmaker.analysis.key_names import key_fifths, signature_at
from lessonmaker.analysis.model import Device, ScaleUse
from lessonmaker.analysis.steps import chord_steps
from lessonmaker.analysis.words import degree_words, number_words
from lessonmaker.score.model import Bar
from lessonmaker.score.position import INSTANT, Span, bars_in, overlap
from lessonmaker.script.music import Music
from lessonmaker.theory.degree import degree_of
from lessonmaker.theory.numeral import bare_numeral

__all__ = [
    "LEAST_CONFIDENCE",
    "bar_of",
    "degrees_in_words",
    "form_in_words",
    "goes_home_by_way_of_other_keys",
    "wording_of",
    "wording_of_motif",
    "wording_of_scale",
]

LEAST_CONFIDENCE = 0.5
CHORD_TONES = frozenset(("1", "b3", "3", "5", "b5", "#5", "6", "bb7", "b7", "7"))
# A row of degrees is told without the flats that its chord takes for granted.
PLAIN_DEGREES = {"1": "root", "b3": "third", "3": "third", "5": "fifth", "b7": "seventh", "7": "seventh"}
PLAIN_DEGREES |= {"b5": "flat five", "#5": "sharp five"}


def wording_of(device: Device, music: Music) -> str:
    """Which of its kind's sentences hold for a device ("" for those that always do)."""
    facts = FACTS.get(device.kind)
    return device.detail if facts is None else facts(device, music)


def wording_of_scale(use: ScaleUse) -> str:
    """Which sentences hold for a scale."""
    return "one note decides" if len(use.deciding) == 1 else ""


def wording_of_motif(motif: Device, music: Music) -> str:
    """What the first and the last statement of a motif are to each other."""
    if motif.detail:
        return motif.detail
    first, last = (
        [music.struck_by_id[name].sounding.midi for name in names]
        for names in motif.groups[:: len(motif.groups) - 1]
    )
    if first == last:
        return "the same"
    moved = {one - other for one, other in zip(first, last, strict=True)}
    return "moved" if len(moved) == 1 else "changed"


def _degrees(device: Device, music: Music) -> list[str]:
    """The degrees of a device's notes in their order, each once."""
    degrees = (music.finding(music.struck_by_id[name]).degree or "" for name in device.notes)
    return list(dict.fromkeys(degrees))


def _triad(device: Device, music: Music) -> str:
    return "" if CHORD_TONES & set(_degrees(device, music)) else "of colours"


def _arpeggio(device: Device, music: Music) -> str:
    degrees = set(_degrees(device, music))
    if "1" not in degrees:
        return "the root elsewhere" if _root_sounds_with(device, music) else "without the root"
    return "" if degrees <= CHORD_TONES else "beyond the chord"


def _root_sounds_with(device: Device, music: Music) -> bool:
    """Whether the root is heard while the chords of a device are in force, in whatever voice."""
    over = [step for step in chord_steps(music.etude) if overlap(step.span, device.span)]
    return any(
        degree_of(note.sounding.midi % 12, step.chord) == "1"
        for step in over
        for note in music.struck
        if overlap(step.span, Span(note.onset, note.onset + note.held))
    )


def _enclosure(device: Device, _: Music) -> str:
    return "two neighbours" if len(device.groups[0]) == 2 else ""


def _arrival(device: Device, music: Music) -> str:
    function = function_at(music.analysis.functions, device.span.end - INSTANT)
    if function is None or function.function != "tonic":
        return ""
    return "home" if bare_numeral(function.numeral) in ("I", "i") else ""


def _section_end(device: Device, music: Music) -> str:
    last, following = (music.struck_by_id[name] for name in (device.groups[0][-1], device.groups[1][0]))
    begins = (bar for bar in music.score.bars if last.onset < bar.start <= following.onset)
    return "section" if any(bar.section for bar in begins) else ""


def _resolution(device: Device, music: Music) -> str:
    first, second = (music.finding(music.struck_by_id[name]).chord for name in device.notes[:2])
    return "of two chords" if second is not None and first != second else ""


def _grouping(device: Device, _: Music) -> str:
    return "grouped bars" if is_grouped_bars(device) else ""


FACTS: Mapping[str, Callable[[Device, Music], str]] = {
    "upper-structure triad": _triad,
    "cross rhythm": _grouping,
    "arpeggio": _arpeggio,
    "enclosure": _enclosure,
    "two five one": _arrival,
    "minor cadence": _arrival,
    "over-the-barline phrase": _section_end,
    "resolution": _resolution,
    "delayed resolution": _resolution,
}


def degrees_in_words(device: Device, music: Music) -> str:
    """The degrees of a device in their order: "third, fifth, seventh and ninth"."""
    words = [PLAIN_DEGREES.get(degree) or degree_words(degree) for degree in _degrees(device, music)]
    return f"{', '.join(words[:-1])} and {words[-1]}"


# Of the whole etude --------------------------------------------------------------------------------------


def form_in_words(bars: Sequence[Bar]) -> tuple[str, str] | None:
    """How many bars and sections there are: ("24", "three sections of eight"); nothing where no section is marked."""
    full = [bar for bar in bars if bar.start >= 0]
    starts = [place for place, bar in enumerate(full) if bar.section]
    if len(starts) < 2 or starts[0] != 0:
        return None
    lengths = {end - start for start, end in zip(starts, [*starts[1:], len(full)], strict=True)}
    sections = f"{number_words(len(starts))} sections"
    return str(len(full)), f"{sections} of {number_words(*lengths)}" if len(lengths) == 1 else sections


def goes_home_by_way_of_other_keys(music: Music) -> bool:
    """Whether the etude begins and ends in the key of its signature, and leaves it in between."""
    keys = [(key.tonic.pitch_class, key.mode) for key in music.analysis.keys]
    if len(set(keys)) < 2 or keys[0] != keys[-1]:
        return False
    first = music.score.bars[0]
    return key_fifths(keys[0]) == signature_at(music.score, first.start) and keys[0][1] == first.key.mode


def bar_of(kind: str, music: Music) -> str:
    """The number of the one bar in which the surest device of a kind stands; nothing where none is sure enough."""
    devices = [d for d in music.analysis.devices if d.kind == kind and d.confidence >= LEAST_CONFIDENCE]
    surest = max(devices, key=lambda device: device.confidence, default=None)
    bars = bars_in(music.score, surest.span) if surest is not None else ()
    return music.score.bars[bars[0]].number if len(bars) == 1 else ""
