"""The whole analysis in words for people: the form, the keys, what is worth hearing, what might be heard otherwise."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from lessonmaker.analysis.model import Analysis, Device
from lessonmaker.analysis.report import device_place
from lessonmaker.score.model import Score
from lessonmaker.theory.chord import chord_text

__all__ = ["overview_text"]

WORTH_SAYING = 0.55
LEFT_OUT = ("phrase", "landing note", "cadence")  # said in the line of phrases, or with the two five one
MOST_OF_A_KIND = 8


def overview_text(score: Score, analysis: Analysis) -> str:
    """Phrases, keys, functions, devices by kind, proposals: a heading each, with places as a script writes them."""
    onsets = {note.id: note.onset for note in score.struck}
    parts = [
        ("Phrases", _phrases(score, analysis, onsets)),
        ("Keys", _keys(score, analysis, onsets)),
        ("Harmony", _functions(score, analysis, onsets)),
        ("Scales", _scales(score, analysis, onsets)),
        *_devices(score, analysis, onsets),
        ("Might be heard otherwise", _proposals(score, analysis, onsets)),
    ]
    blocks = [f"{title}\n" + "\n".join(f"  {line}" for line in lines) for title, lines in parts if lines]
    return "\n\n".join(blocks) + "\n" if blocks else ""


def _place(score: Score, each: object, onsets: dict[str, Fraction]) -> str:
    notes = getattr(each, "notes", ())
    return "-".join(dict.fromkeys(device_place(score, each.span, notes, onsets)))  # type: ignore[attr-defined]


def _phrases(score: Score, analysis: Analysis, onsets: dict[str, Fraction]) -> list[str]:
    return [f"{_place(score, d, onsets):14} {d.text}" for d in analysis.devices if d.kind == "phrase"]


def _keys(score: Score, analysis: Analysis, onsets: dict[str, Fraction]) -> list[str]:
    return [f"{_place(score, key, onsets):14} {key.tonic} {key.mode}" for key in analysis.keys]


def _functions(score: Score, analysis: Analysis, onsets: dict[str, Fraction]) -> list[str]:
    return [
        f"{_place(score, each, onsets):14} {chord_text(each.chord):12} {each.numeral:10} {each.function}"
        for each in analysis.functions
    ]


def _scales(score: Score, analysis: Analysis, onsets: dict[str, Fraction]) -> list[str]:
    told = [use for use in analysis.scales if use.confidence >= WORTH_SAYING]
    return [f"{_place(score, use, onsets):14} {use.root} {use.scale}: {use.text}" for use in told]


def _devices(
    score: Score, analysis: Analysis, onsets: dict[str, Fraction]
) -> Iterator[tuple[str, list[str]]]:
    worth = [d for d in analysis.devices if d.confidence >= WORTH_SAYING and d.kind not in LEFT_OUT]
    for kind, group in groupby(sorted(worth, key=lambda device: device.kind), key=lambda device: device.kind):
        shown = _surest(list(group))
        yield kind.capitalize(), [f"{_place(score, device, onsets):14} {device.text}" for device in shown]


def _surest(devices: Sequence[Device]) -> list[Device]:
    """The surest of a kind, in time."""
    kept = sorted(devices, key=lambda device: -device.confidence)[:MOST_OF_A_KIND]
    return sorted(kept, key=lambda device: device.span.start)


def _proposals(score: Score, analysis: Analysis, onsets: dict[str, Fraction]) -> list[str]:
    return [
        f"{_place(score, each, onsets):14} as {chord_text(each.hear)} (hear: {{{_place(score, each, onsets)}: "
        f"{chord_text(each.hear)}}}): {each.text}"
        for each in analysis.proposals
    ]
