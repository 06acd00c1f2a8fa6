"""A small score of own making, and scripts written to a temporary folder."""

import json
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

import pytest

from lessonmaker.score.model import Bar, Change, Clef, Key, Note, Score, Visit
from lessonmaker.script import music
from lessonmaker.script.check import Examined, examine_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.theory.chord import parse_chord, transpose_chord
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, Pitch
from tests.tools.sentence_sets import OPEN, judge_items, score_at

# A process meets each score of the sets in many files of tests: what is found in it is kept.
music._heard = lru_cache(maxsize=None)(music._heard.__wrapped__)

COMMON_TIME = Metre(4, 4)
# onset in quarters, length held, pitch
LINE = [
    (-1, 1, "D5"),
    (0, 1, "D5"),  # bar 1, Dm7: 1
    (1, 1, "F5"),  # b3
    (2, 1, "A5"),  # 5
    (Fraction(7, 2), Fraction(3, 2), "Ab5"),  # 1.4&, held over: anticipates the b9 of G7
    (5, 1, "Ab5"),  # bar 2, G7: b9 on beat 2
    (Fraction(13, 2), Fraction(1, 2), "Bb5"),  # #9 on 2.3&
    (7, 1, "B5"),  # 3 on 2.4
    (8, 2, "E5"),  # bar 3, Cmaj7 until beat 3: 3
    (10, 1, "F#5"),  # 3.3, D7: 3
    (11, 1, "Eb5"),  # 3.4: b9
    (12, 1, "G5"),  # bar 4, Cmaj7: 5
    (14, 2, "G#5"),  # #5
]
CHANGES = [(0, "Dm7"), (4, "G7"), (8, "Cmaj7"), (10, "D7"), (12, "Cmaj7")]


def pitch(name: str) -> Pitch:
    return Pitch(name[0], {"b": -1, "#": 1}.get(name[1], 0), int(name[-1]))


UNISON = Interval(0, 0)


def make_score(up: Interval = UNISON, mode: str = "major", chords: bool = True) -> Score:
    """Pickup and four bars; section A over bars 1-2, B over 3-4; written `up` above sounding."""
    key = Key(up.fifths, mode)
    bars = [Bar(0, "b0", "0", Fraction(-1), Fraction(1), COMMON_TIME, key)]
    bars += [
        Bar(
            n,
            f"b{n}",
            str(n),
            Fraction(4 * n - 4),
            Fraction(4),
            COMMON_TIME,
            key,
            {1: "A", 3: "B"}.get(n, ""),
        )
        for n in range(1, 5)
    ]
    notes = [
        Note(
            f"n{i}",
            next(bar.index for bar in bars if bar.start <= onset < bar.end),
            Fraction(onset),
            Fraction(held),
            Fraction(held),
            pitch(name).transposed(up),
            pitch(name),
        )
        for i, (onset, held, name) in enumerate(LINE)
    ]
    changes = [
        Change(
            f"c{i}",
            onset // 4 + 1,
            Fraction(onset),
            parse_chord(text),
            transpose_chord(parse_chord(text), up),
        )
        for i, (onset, text) in enumerate(CHANGES if chords else [])
    ]
    order = tuple(Visit(bar.index, 1, bar.start) for bar in bars)
    clef = Clef("G", 2)
    return Score("", "", "", tuple(bars), tuple(notes), tuple(changes), order, up, clef, None, "")


@pytest.fixture
def score() -> Score:
    return make_score()


@pytest.fixture
def score_of():
    return make_score


@pytest.fixture
def script(tmp_path: Path):
    """Writes a script (or any file) beside a score file and a take, and returns its path."""
    (tmp_path / "etude.musicxml").write_text("<score/>")
    (tmp_path / "take.flac").write_text("")

    def write(text: str | bytes, name: str = "lesson.yaml") -> Path:
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return write


@pytest.fixture
def examined(script, score):
    """Examines a lesson of one cue that shows some bars and says something."""

    def run(text: str, bars: str = "1-4") -> Examined:
        path = script(
            f"lesson: L\nscore: etude.musicxml\ncues:\n  - bars: {bars}\n    say: {json.dumps(text)}\n"
        )
        return examine_lesson(load_lesson(path), score)

    return run


@pytest.fixture(scope="session")
def read():
    """What is read of a sentence: read(score, bars, say) is a line of text."""

    def judge(score, bars, say):
        (judged,) = judge_items([{"score": score, "bars": bars, "say": say, "read": []}])
        return " ".join(judged.read)

    return judge


@pytest.fixture
def faults(script):
    """What is said to be there instead: faults(score, bars, say) has the messages of a sentence, in a line."""

    def told(score, bars, say):
        path = OPEN.with_name(score)
        text = f"lesson: L\nscore: {json.dumps(str(path))}\ncues:\n  - bars: {bars}\n    say: {json.dumps(say)}\n"
        return " ".join(
            fault.what for fault in examine_lesson(load_lesson(script(text)), score_at(path)).faults
        )

    return told


@pytest.fixture
def understood(tmp_path):
    """What is understood of a commentary over a score beside the sets, or over one of the demo's."""

    def understand(score, bars, say):
        path = OPEN.parent / f"{score}.musicxml"
        path = path if path.exists() else OPEN.parents[3] / "media" / path.name
        script = tmp_path / "lesson.yaml"
        script.write_text(
            f'lesson: Chords\nscore: "{path}"\ncues:\n  - bars: {bars}\n    say: "{say}"\n', encoding="utf-8"
        )
        checked = examine_lesson(load_lesson(script), score_at(path)).checked
        return checked.cues[0].understood

    return understand
