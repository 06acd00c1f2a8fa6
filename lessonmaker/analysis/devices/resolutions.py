"""Tensions and where they resolve, at once or late.

What resolves where is `roles.resolution`'s finding. A resolution is delayed where other notes come between.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from lessonmaker.analysis.etude import Etude, device_of
from lessonmaker.analysis.lines import Heard
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.words import degree_words, number_words

__all__ = ["resolutions_of"]

LEANING = ("tension", "suspension")
ALTERED = ("b9", "#9", "#11", "b13", "#5", "4")
ALTERED_CONFIDENCE, PLAIN_CONFIDENCE = 0.8, 0.5
DELAYED = 0.1  # less sure


def resolutions_of(etude: Etude) -> tuple[Device, ...]:
    """Each tension and suspension with the note it resolves to; those that come late a second time as such."""
    found: list[Device] = []
    onsets = [heard.note.onset for heard in etude.melody]
    for finding in etude.findings:
        source = etude.heard_by_id[finding.note]
        target = etude.heard_by_id.get(finding.resolves_to or "")
        if target is not None and (finding.role in LEANING or source.is_stable):
            first, last = bisect_left(onsets, source.note.onset), bisect_left(onsets, target.note.onset)
            between = etude.melody[first + 1 : last]
            found.extend(_resolution(source, target, between))
    return tuple(found)


def _resolution(source: Heard, target: Heard, between: Sequence[Heard]) -> list[Device]:
    detail = f"{source.degree} -> {target.degree}"
    pair, groups = (source, target), ((source,), (target,))
    sure = ALTERED_CONFIDENCE if source.degree in ALTERED else PLAIN_CONFIDENCE
    move = _move(source, target)
    made = [device_of("resolution", pair, f"{move}{_when(source, target)}.", sure, groups, detail)]
    if any(heard.pitch != source.pitch for heard in between):
        count = len(between)
        notes = "one note comes" if count == 1 else f"{number_words(count)} notes come"
        made.append(
            device_of(
                "delayed resolution",
                pair,
                f"{move}, but {notes} between.",
                sure - DELAYED,
                groups,
                detail,
            )
        )
    return made


def _move(source: Heard, target: Heard) -> str:
    size = {1: "a half step", 2: "a whole step"}.get(abs(target.pitch - source.pitch), "a step")
    way = "falls" if target.pitch < source.pitch else "rises"
    where = " of the next chord" if source.chord != target.chord else ""
    return f"The {degree_words(source.degree or '')} {way} {size} to the {degree_words(target.degree or '')}{where}"


def _when(source: Heard, target: Heard) -> str:
    if target.bar.index > source.bar.index:
        return ", across the bar line"
    return ""
