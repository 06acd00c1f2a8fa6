"""Scenes of the author's own: which function of which file makes one. Nothing is run here, and nothing imported.

A scene is written `module:function`, or by a name that the lesson's `scenes` give to such a one. The module is a
Python file beside the script, or in a folder there (`films.intro` is films/intro.py). It lies in the book's own
folder, links followed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from lessonmaker.faults import Fault, MaterialError
from lessonmaker.script.fields import Reading, entries_of, is_file, missing_todo, near, scalar_text
from lessonmaker.script.model import Cue, SceneCode
from lessonmaker.script.yamltext import Node, Scalar

__all__ = ["read_scene", "read_scenes", "scene_file", "with_scenes"]

SCENE_EXAMPLE = "intro:opening for the function opening in intro.py beside the script"
SCENES_EXAMPLE = "names and functions, as in {opening: intro:opening}"


def read_scene(node: Node, reading: Reading) -> SceneCode | None:
    """The scene that a cue shows, by its function or by its name in `scenes` (then without a module)."""
    text = scalar_text(node, reading, SCENE_EXAMPLE)
    if text is None:
        return None
    if text.isidentifier():
        return SceneCode("", text, node.place)
    return scene_code(text, node, reading)


def read_scenes(node: Node, reading: Reading) -> tuple[tuple[str, SceneCode], ...] | None:
    """The names that a lesson gives to scenes."""
    return entries_of(node, reading, ("names", "function"), SCENES_EXAMPLE, read_named)


def read_named(key: Scalar, node: Node, reading: Reading) -> tuple[str, SceneCode] | None:
    """One name, and the scene it stands for."""
    text = scalar_text(node, reading, SCENE_EXAMPLE)
    if not key.text.isidentifier():
        reading.fault(key.place, f"{key.text!r} is no name for a scene", "write letters, digits and _")
        return None
    code = None if text is None else scene_code(text, node, reading)
    return None if code is None else (key.text, code)


def scene_code(text: str, node: Node, reading: Reading) -> SceneCode | None:
    """A scene written `module:function`."""
    module, _, function = text.partition(":")
    if function.isidentifier() and all(part.isidentifier() for part in module.split(".")):
        return SceneCode(module, function, node.place)
    reading.fault(node.place, f"{text!r} is no scene", f"write module:function, as in {SCENE_EXAMPLE}")
    return None


def with_scenes(cues: Sequence[Cue], named: Mapping[str, SceneCode], reading: Reading) -> tuple[Cue, ...]:
    """Cues whose scenes are known by their functions; what names none, or no file of the book's, is a fault."""
    return tuple(cue if cue.scene is None else with_scene(cue, cue.scene, named, reading) for cue in cues)


def with_scene(cue: Cue, scene: SceneCode, named: Mapping[str, SceneCode], reading: Reading) -> Cue:
    """A cue whose scene is known by its function."""
    if not scene.module:
        if scene.function not in named:
            todo = near(scene.function, named, f"write module:function, as in {SCENE_EXAMPLE}")
            reading.fault(scene.place, f"there is no scene {scene.function!r} among `scenes`", todo)
            return cue
        scene = replace(named[scene.function], place=scene.place)
    try:
        scene_file(reading.path, scene)
    except MaterialError as error:
        reading.faults += error.faults
    return replace(cue, scene=scene)


def scene_file(script: Path, scene: SceneCode) -> Path:
    """The file that holds a scene's function, links followed.

    Raises:
        MaterialError: there is no such file, or it lies outside the book's folder.
    """
    path = script.parent.joinpath(*scene.module.split(".")).with_suffix(".py")
    shown = path.relative_to(script.parent).as_posix()
    if not is_file(path):
        raise MaterialError(
            Fault(f"there is no file {shown} beside the script", missing_todo(path), scene.place)
        )
    scripts = script.parent.resolve()
    book = scripts.parent if scripts.name == "scripts" else scripts
    file = path.resolve()
    if not file.is_relative_to(book):
        what = f"{shown} is a link that leads out of the book's folder"
        raise MaterialError(Fault(what, "put the file itself there", scene.place))
    return file
