"""Loading a lesson script (and, from its own module, a book file): the grammar, field by field.

Everything is read as text with its place (see yamltext) and typed by the field that asks for it. All faults
of a file are raised together. What the script claims about the score is not looked at here: see check.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from lessonmaker.script.book import load_book
from lessonmaker.script.commentary import parse_commentary
from lessonmaker.script.edition_fields import read_written_for
from lessonmaker.script.fields import (
    Fields,
    Reading,
    entries_of,
    existing_file,
    is_dir,
    list_of,
    one_of,
    percentage,
    read_fields,
    read_longest_pause,
    read_text,
    scalar_text,
    whole_number,
)
from lessonmaker.script.model import Commentary, Cue, Hearing, Lesson, Play
from lessonmaker.script.narration import read_cue_narration, read_lesson_narration, with_numbered_files
from lessonmaker.script.pins import read_pins
from lessonmaker.script.scenes import read_scene, read_scenes, with_scenes
from lessonmaker.script.yamltext import Mapping, Node, Scalar, read_yaml
from lessonmaker.theory.chord import parse_change

__all__ = ["load_book", "load_lesson"]

REQUIRED = ("lesson", "score", "cues")
SHOWN = ("phrases", "numerals", "curve", "tension")
TEMPO_PERCENT = (25, 200)
TIMES = (1, 20)
CONTENTS = ("say", "play", "bars", "compare", "scene")
BESIDE_A_SCENE = ("scene", "title")
BARS_EXAMPLE = "bars such as 1-8, a position such as 12.3, or a section such as A"
PLAY_EXAMPLE = "`all`, bars such as 1-8, `no`, or {bars: 3-4, tempo: 60%, times: 2}"
CHORDS_EXAMPLE = "bars and a chord, as in {17-18: G7alt}"
SAY_EXAMPLE = "the commentary on its own lines after |"


def load_lesson(path: Path) -> Lesson:
    """Load a lesson script.

    Raises:
        MaterialError: the script has faults; each with its place.
    """
    reading = Reading(path)
    root = read_yaml(path, reading.faults)
    values, places = read_fields(root, LESSON_FIELDS, reading, "the lesson script", REQUIRED)
    narration = values.get("narration", ())
    folders = [recording for recording in narration if is_dir(recording.path)]
    cues = with_numbered_files(values.get("cues", ()), folders, reading)
    cues = with_scenes(cues, dict(values.get("scenes", ())), reading)
    reading.raise_faults()
    return Lesson(
        path=path,
        title=values["lesson"],
        score=values["score"],
        take=values.get("take"),
        part=values.get("part"),
        written_for=values.get("written_for"),
        composer=values.get("composer"),
        hear=values.get("hear", ()),
        changes=values.get("changes", ()),
        cues=cues,
        remarks=tuple(reading.remarks),
        places=places,
        sync=values.get("sync", ()),
        narration=tuple(recording for recording in narration if recording not in folders),
        longest_pause_s=values.get("longest_pause"),
    )


def read_chords(node: Node, reading: Reading) -> tuple[Hearing, ...] | None:
    """A map from bars to chord symbols."""
    return entries_of(node, reading, ("bars", "chord"), CHORDS_EXAMPLE, read_chord)


def read_chord(key: Scalar, node: Node, reading: Reading) -> Hearing | None:
    """One entry of such a map; its place is the bars'."""
    text = scalar_text(node, reading, CHORDS_EXAMPLE)
    if text is None:
        return None
    try:
        return Hearing(key.text.strip(), parse_change(text), key.place)
    except ValueError as error:
        reading.fault(
            node.place, str(error), f"write {CHORDS_EXAMPLE}; a chord with commas belongs in quotes"
        )
        return None


def read_say(node: Node, reading: Reading) -> Commentary | None:
    """A cue's commentary."""
    if scalar_text(node, reading, SAY_EXAMPLE) is None:
        return None
    assert isinstance(node, Scalar)
    return parse_commentary(node, reading.faults)


def read_play(node: Node, reading: Reading) -> Play | None:
    """What to play, how fast and how often."""
    if isinstance(node, Mapping):
        values, _ = read_fields(node, PLAY_FIELDS, reading, "play")
        return Play(
            values.get("bars", ""), values.get("tempo", Fraction(1)), values.get("times", 1), node.place
        )
    text = scalar_text(node, reading, PLAY_EXAMPLE)
    if text is None:
        return None
    return Play("", Fraction(1), 0, node.place) if text == "no" else Play(text, Fraction(1), 1, node.place)


def read_tempo(node: Node, reading: Reading) -> Fraction | None:
    """A share of the take's tempo."""
    text = scalar_text(node, reading, "a percentage such as 60%")
    if text is None:
        return None
    share = percentage(text, *TEMPO_PERCENT)
    if share is None:
        least, most = TEMPO_PERCENT
        reading.fault(node.place, f"{text!r} is no tempo", f"write a percentage from {least}% to {most}%")
    return share


def read_times(node: Node, reading: Reading) -> int | None:
    """How often to play."""
    text = scalar_text(node, reading, "a number such as 2")
    times = None if text is None else whole_number(text, *TIMES)
    if text is not None and times is None:
        least, most = TIMES
        reading.fault(node.place, f"{text!r} is no number of times", f"write a number from {least} to {most}")
    return times


def read_cue(node: Node, reading: Reading) -> Cue | None:
    """One step of the lesson."""
    before = len(reading.faults)
    values, places = read_fields(node, CUE_FIELDS, reading, "a cue")
    if len(reading.faults) > before:
        return None
    if not any(name in values for name in CONTENTS):
        reading.fault(
            node.place, "the cue shows, plays and says nothing", f"add one of {', '.join(CONTENTS)}"
        )
    if len(values.get("compare", ("", ""))) != 2:
        reading.fault(places["compare"], "a comparison is of two places", "write two, as in [3-4, 27-28]")
    if "bars" in values and "compare" in values:
        reading.fault(places["compare"], "the cue has both bars and compare", "keep one of them")
    if values.get("play") and values["play"].bars == "" and values["play"].times and "bars" not in values:
        reading.fault(places["play"], "nothing says which bars to play", "add bars to the cue or to play")
    for name in places if "scene" in values else ():
        if name not in BESIDE_A_SCENE:
            todo = f"give {name} a cue of its own, before or after"
            reading.fault(
                places[name], f"a cue with a scene has nothing but a title beside it, not {name}", todo
            )
    return Cue(place=node.place, places=places, **values)


PLAY_FIELDS: Fields = {"bars": read_text(BARS_EXAMPLE), "tempo": read_tempo, "times": read_times}
CUE_FIELDS: Fields = {
    "bars": read_text(BARS_EXAMPLE),
    "title": read_text("a short heading"),
    "say": read_say,
    "play": read_play,
    "compare": list_of(
        lambda node, reading: scalar_text(node, reading, BARS_EXAMPLE), "two places, as in [3-4, 27-28]"
    ),
    "show": list_of(one_of(SHOWN), f"names out of {', '.join(SHOWN)}, as in [phrases]"),
    "narration": read_cue_narration,
    "scene": read_scene,
}
LESSON_FIELDS: Fields = {
    "lesson": read_text("the etude's title"),
    "composer": read_text("a name"),
    "score": existing_file("a path such as ../media/night-ferry.musicxml"),
    "part": read_text("the part's name in the score"),
    "written_for": read_written_for,
    "take": existing_file("a path such as ../media/night-ferry.flac"),
    "sync": read_pins,
    "narration": read_lesson_narration,
    "longest_pause": read_longest_pause,
    "hear": read_chords,
    "changes": read_chords,
    "scenes": read_scenes,
    "cues": list_of(read_cue, "a list of cues, each beginning with a dash"),
}
