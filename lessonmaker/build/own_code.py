"""The author's own code: run only where that is allowed, and whatever it does told in one message."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass, field
from pathlib import Path
from types import ModuleType
from typing import Any

from lessonmaker.digest import digest_of
from lessonmaker.faults import Fault, LessonmakerError, MaterialError, Place
from lessonmaker.script.fields import near
from lessonmaker.script.model import CheckedLesson, SceneCode
from lessonmaker.script.scenes import scene_file

__all__ = ["HOW", "OwnCode", "refuse_code"]

LONGEST_MESSAGE = 300
HOW = "a scene's function takes the size of the film, (width, height), and returns a MoviePy clip"


def refuse_code(lessons: Sequence[CheckedLesson]) -> None:
    """Refuse lessons that show scenes made by code.

    Raises:
        MaterialError: there are such; nothing of it has been run.
    """
    faults = [
        Fault(
            f"the scene {scene.name} is made by code of the book's, which is not run unasked",
            f"look at {scene_file(lesson.lesson.path, scene)}, and allow it with --allow-code",
            scene.place,
        )
        for lesson in lessons
        for cue in lesson.cues
        if (scene := cue.cue.scene) is not None
    ]
    if faults:
        raise MaterialError(faults)


@dataclass
class OwnCode:
    """The code that a lesson script names; each file is run once, by itself, and leaves nothing beside it."""

    script: Path
    modules: dict[Path, ModuleType] = field(default_factory=dict)

    def function(self, scene: SceneCode) -> Callable[..., Any]:
        """A scene's function.

        Raises:
            MaterialError: its file is not there, fails, or has no such function.
        """
        file = scene_file(self.script, scene)
        if file not in self.modules:
            with self.watched(scene):
                self.modules[file] = run_file(file)
        module = self.modules[file]
        found = getattr(module, scene.function, None)
        if callable(found):
            return found  # type: ignore[no-any-return]
        functions = [
            name for name, value in vars(module).items() if callable(value) and not name.startswith("_")
        ]
        what = f"{file.name} has no function {scene.function}"
        raise MaterialError(Fault(what, near(scene.function, functions, HOW), scene.place))

    @contextmanager
    def watched(self, scene: SceneCode) -> Iterator[None]:
        """Tell what the author's code raises in one message; what it prints goes to standard error.

        Raises:
            MaterialError: it raised something.
        """
        try:
            with redirect_stdout(sys.stderr):
                yield
        except LessonmakerError:
            raise
        except (Exception, SystemExit) as error:
            file = scene_file(self.script, scene)
            what = f"the scene {scene.name} failed: {type(error).__name__}{message_of(error)}"
            todo = f"mend it, or take the scene out of {self.script.name}; {HOW}"
            raise MaterialError(Fault(what, todo, Place(file, line_in(file, error)))) from error


def run_file(file: Path) -> ModuleType:
    """A file of Python, run as a module of its own."""
    module = ModuleType(f"lessonmaker_scene_{digest_of(str(file))[:16]}")
    module.__file__ = str(file)
    sys.modules[module.__name__] = module
    exec(compile(file.read_bytes(), str(file), "exec", dont_inherit=True), module.__dict__)
    return module


def message_of(error: BaseException) -> str:
    """What an error says, after a colon; nothing where it says nothing, or fails at that too."""
    try:
        said = " ".join(str(error).split())
    except Exception:
        return ""
    return f": {said[:LONGEST_MESSAGE]}" if said else ""


def line_in(file: Path, error: BaseException) -> int | None:
    """The line of a file that an error came from, if it came from there."""
    if isinstance(error, SyntaxError) and error.filename == str(file):
        return error.lineno
    frames = traceback.extract_tb(error.__traceback__)
    return next((frame.lineno for frame in reversed(frames) if frame.filename == str(file)), None)
