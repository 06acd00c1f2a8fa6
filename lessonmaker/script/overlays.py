"""Films that a book file has its score laid over: a list of films, each with its score or its lesson, and how.

The options are those of the command of that name, with the same meaning and the same defaults (`overlay_style`).
"""

from __future__ import annotations

from collections.abc import Mapping as MappingType
from typing import Any

from lessonmaker.faults import Place
from lessonmaker.script.edition_fields import read_written_for
from lessonmaker.script.fields import (
    Fields,
    Reading,
    existing_file,
    one_of,
    percentage,
    read_fields,
    read_text,
    read_yes_no,
    scalar_text,
    whole_number,
)
from lessonmaker.script.model import BookOverlay
from lessonmaker.script.overlay_style import (
    FILM_CONTAINERS,
    LAYER_CONTAINERS,
    MOST_SYSTEMS,
    PERCENT,
    SIDES,
    OverlayStyle,
)
from lessonmaker.script.pins import TIME_EXAMPLE, clock_seconds
from lessonmaker.script.yamltext import Node

__all__ = ["OVERLAYS_EXAMPLE", "read_overlay"]

OVERLAYS_EXAMPLE = "a list of films, as in `- {film: ../media/ferry.mov, score: ../media/ferry.musicxml}`"
NAME_ENDINGS = {False: "-film", True: "-layer"}  # by whether it is a layer
SAID_BY_A_LESSON = ("score", "part", "written_for")


def read_overlay(node: Node, reading: Reading) -> BookOverlay | None:
    """One film and its score, or its lesson."""
    before = len(reading.faults)
    values, places = read_fields(node, OVERLAY_FIELDS, reading, "an overlay", ("film",))
    if len(reading.faults) > before:
        return None
    refuse_two_scores(values, places, node.place, reading)
    refuse_no_part(values, places, reading)
    layer = values.get("layer", False)
    refuse_no_such_layer(values, places, reading)
    style = OverlayStyle(**{name: values[name] for name in STYLE_FIELDS if name in values})
    return BookOverlay(
        film=values["film"],
        name=values.get("name", f"{values['film'].stem}{NAME_ENDINGS[layer]}"),
        score=values.get("score"),
        lesson=values.get("lesson"),
        place=node.place,
        part=values.get("part"),
        written_for=values.get("written_for"),
        style=style,
        start_s=values.get("from", 0.0),
        end_s=values.get("to"),
        layer=layer,
        container=values.get("container"),
        code=values.get("code"),
        places=places,
    )


def refuse_two_scores(
    values: MappingType[str, Any], places: MappingType[str, Place], whole: Place, reading: Reading
) -> None:
    """A film has a score, or a lesson that names one."""
    if "lesson" in values:
        for name in SAID_BY_A_LESSON:
            if name in values:
                reading.fault(places[name], f"the lesson says which {name} it has", f"take {name} out here")
    elif "score" not in values:
        reading.fault(whole, "the film has neither a score nor a lesson", "add `score: ...` or `lesson: ...`")


def refuse_no_part(values: MappingType[str, Any], places: MappingType[str, Place], reading: Reading) -> None:
    """What is kept of a film ends after it begins."""
    if "to" in values and values["to"] <= values.get("from", 0.0):
        reading.fault(
            places["to"], "nothing of the film is kept: it ends before it begins", "give a later time"
        )


def refuse_no_such_layer(
    values: MappingType[str, Any], places: MappingType[str, Place], reading: Reading
) -> None:
    """A layer holds no film, and is written into other files than a film is."""
    layer, container = values.get("layer", False), values.get("container")
    if layer and values.get("beside"):
        reading.fault(places["beside"], "a layer holds no film to make smaller", "take `beside` out here")
    known = LAYER_CONTAINERS if layer else FILM_CONTAINERS
    if container is not None and container not in known:
        what = f"{'a layer' if layer else 'a film'} is not written into {container} files"
        reading.fault(places["container"], what, f"write one of {', '.join(known)}")


def read_systems(node: Node, reading: Reading) -> int | None:
    """How many systems are in sight."""
    text = scalar_text(node, reading, "a number such as 2")
    found = None if text is None else whole_number(text, 1, MOST_SYSTEMS)
    if text is not None and found is None:
        reading.fault(node.place, f"{text!r} is no number of systems", f"write 1 to {MOST_SYSTEMS}")
    return found


def read_paper(node: Node, reading: Reading) -> int | None:
    """How much the paper covers, in per cent."""
    text = scalar_text(node, reading, "a percentage such as 80%")
    share = None if text is None else percentage(text, 0, PERCENT)
    if text is not None and share is None:
        reading.fault(node.place, f"{text!r} is no share of the paper", f"write 0% to {PERCENT}%")
    return None if share is None else round(share * PERCENT)


def read_time(node: Node, reading: Reading) -> float | None:
    """A time in the film, in seconds."""
    text = scalar_text(node, reading, TIME_EXAMPLE)
    found = None if text is None else clock_seconds(text)
    if text is not None and found is None:
        reading.fault(node.place, f"{text!r} is no time in the film", f"write {TIME_EXAMPLE}")
    return found


STYLE_FIELDS: Fields = {
    "side": one_of(SIDES),
    "beside": read_yes_no,
    "systems": read_systems,
    "paper": read_paper,
    "form": read_yes_no,
    "labels": read_yes_no,
    "chords": read_yes_no,
}
OVERLAY_FIELDS: Fields = {
    "film": existing_file("a path such as ../media/night-ferry.mov"),
    "score": existing_file("a path such as ../media/night-ferry.musicxml"),
    "lesson": existing_file("a lesson script such as night-ferry.yaml"),
    "part": read_text("the part's name in the score"),
    "written_for": read_written_for,
    "name": read_text("a name for the films made of it"),
    "from": read_time,
    "to": read_time,
    "layer": read_yes_no,
    "container": one_of(dict.fromkeys((*FILM_CONTAINERS, *LAYER_CONTAINERS))),
    "code": read_text("a time code such as 10:00:00:00"),
    **STYLE_FIELDS,
}
