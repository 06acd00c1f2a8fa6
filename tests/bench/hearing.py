"""How long it takes to hear a score and to check what is said of it: `python -m tests.bench hearing`.

Processor time, and that of reading the score from its file as a measure of the machine. The etude is of dense eighths
at random over changes, two chords a bar; the lesson has a cue a sentence of those in `tests/script/sentences`. The
whole command that checks it is timed without and with the patterns that another process has kept.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import numpy as np
import yaml

from lessonmaker.analysis.whole import analyse
from lessonmaker.score.read import read_score
from lessonmaker.script.check import examine_lesson
from lessonmaker.script.load import load_lesson
from tests.tools.piece_xml import piece_xml
from tests.tools.random_piece import Change, LineNote, Piece

__all__ = ["hearing_rows"]

REPOSITORY = Path(__file__).parents[2]
SENTENCES = REPOSITORY / "tests" / "script" / "sentences" / "demo-open.yaml"
SCORE = "gaslight-errand.musicxml"
BARS, SAID, TIMES = 100, 100, 3
CHORDS = ((2, "minor"), (7, "dominant"), (0, "major"), (9, "altered"))


def hearing_rows() -> list[tuple[str, str]]:
    """The table's rows."""
    with tempfile.TemporaryDirectory() as name:
        piece, lesson = Path(name) / "piece.musicxml", Path(name) / "lesson.yaml"
        piece.write_text(piece_xml(dense_piece()), encoding="utf-8")
        lesson.write_text(long_lesson(), encoding="utf-8")
        score, said = read_score(piece), load_lesson(lesson)
        etude = read_score(said.score)
        reading = processor_seconds(lambda: read_score(piece))
        heard = processor_seconds(lambda: analyse(score))
        checked = processor_seconds(lambda: examine_lesson(said, etude))
        compiling, again = command_seconds(lesson, Path(name) / "bytecode")
    return [
        (f"reading {BARS} bars of eighths", f"{reading:.2f} s"),
        (f"analysing {BARS} bars of eighths", f"{heard:.2f} s   {heard / reading:.1f} x reading them"),
        (f"checking {SAID} sentences on what was analysed", f"{checked:.2f} s   {checked / reading:.1f} x"),
        ("the command that checks them, compiling its patterns", f"{compiling:.2f} s"),
        ("the same, the patterns kept", f"{again:.2f} s   {again / compiling:.2f} x compiling them"),
    ]


def processor_seconds(action: Callable[[], object]) -> float:
    """The least processor time of an action done a few times."""
    taken = []
    for _ in range(TIMES):
        began = time.process_time()
        action()
        taken.append(time.process_time() - began)
    return min(taken)


def command_seconds(lesson: Path, bytecode: Path) -> tuple[float, float]:
    """The least processor time of checking a lesson from the command line: compiling all patterns, and none."""
    check_once(lesson, bytecode)
    compiling = []
    for _ in range(TIMES):
        for kept in bytecode.rglob("*.patterns"):
            kept.unlink()
        compiling.append(check_once(lesson, bytecode))
    return min(compiling), min(check_once(lesson, bytecode) for _ in range(TIMES))


def check_once(lesson: Path, bytecode: Path) -> float:
    """The processor time of a command that checks a lesson, with a folder of its own for bytecode."""
    own = {"PYTHONPYCACHEPREFIX": str(bytecode), "PYTHONDONTWRITEBYTECODE": ""}
    command = [sys.executable, "-m", "lessonmaker", "check", lesson]
    before = os.times()
    subprocess.run(command, env={**os.environ, **own}, capture_output=True, check=False)
    after = os.times()
    return sum(after[2:4]) - sum(before[2:4])


def dense_piece() -> Piece:
    """Running eighths in small steps, with two chords a bar."""
    rng = np.random.default_rng(7)
    half, pitch, notes = Fraction(1, 2), 70, []
    for place in range(8 * BARS):
        pitch = int(np.clip(pitch + rng.choice([-4, -3, -2, -1, 1, 2, 3, 4]), 56, 84))
        notes.append(LineNote(half * place, half, pitch, False))
    changes = [
        Change(Fraction(2 * place), (CHORDS[place % 4][0] + 5 * (place // 8)) % 12, CHORDS[place % 4][1])
        for place in range(2 * BARS)
    ]
    return Piece(4, BARS, 0, 160, tuple(changes), tuple(notes))


def long_lesson() -> str:
    """A lesson script with a cue for each of so many sentences about one of the demo's etudes."""
    items = yaml.safe_load(SENTENCES.read_text(encoding="utf-8"))
    own = [item for item in items if item["score"] == SCORE]
    cues = [f"  - bars: {item['bars']}\n    say: >-\n      {item['say']}\n" for item in (own * SAID)[:SAID]]
    return f"lesson: Gaslight Errand\nscore: {REPOSITORY / 'media' / SCORE}\ncues:\n{''.join(cues)}"
