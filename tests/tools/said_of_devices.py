"""Statements about the devices of a score, true and false, made of templates and of what its analysis finds."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from lessonmaker.analysis.model import Device
from lessonmaker.score.model import Bar
from lessonmaker.score.position import Span, format_position, overlap
from lessonmaker.score.read import read_score
from lessonmaker.script.music import Music
from tests.tools.said_of_notes import Statement

__all__ = ["statements_of_devices"]


@dataclass(frozen=True)
class _Place:
    """A bar with the one device of a kind that lies in it, or with none."""

    bar: Bar
    device: Device | None


def statements_of_devices(
    path: Path, templates: Mapping[str, Sequence[str]], there: bool, seed: int
) -> Iterator[Statement]:
    """One statement for each template, of a bar taken at random that has such a device, or that has none.

    Args:
        path: the score.
        templates: by the kind of device; `{bar}` is the number of the bar.
        there: whether the device is to be in the bar.
        seed: for the choice of bars.
    """
    music, chance = Music.of(read_score(path)), random.Random(seed)
    positions = {note.id: format_position(music.score, note.onset) for note in music.struck}
    for kind, said in templates.items():
        places = [each for each in _places(music, kind) if (each.device is not None) == there]
        for template in said if places else ():
            place = chance.choice(places)
            notes = place.device.notes if place.device is not None else ()
            say = template.format(bar=place.bar.number)
            yield Statement(place.bar.number, say, frozenset(positions[note] for note in notes))


def _places(music: Music, kind: str) -> Iterator[_Place]:
    """The bars that have one device of a kind, whole, or none of it; a bar without notes is left out."""
    devices = [device for device in music.analysis.devices if device.kind == kind]
    for bar in music.score.bars:
        here = [device for device in devices if overlap(device.span, Span(bar.start, bar.end)) > 0]
        whole = len(here) == 1 and bar.start <= here[0].span.start and here[0].span.end <= bar.end
        if bar.number.isdigit() and (whole or not here) and music.struck_between(bar.start, bar.end):
            yield _Place(bar, here[0] if here else None)
