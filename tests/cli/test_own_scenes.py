"""Scenes of the author's own in a film: where they stand, that they are seen and heard, what is told of faulty ones."""

import json
from contextlib import nullcontext
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

import lessonmaker
from lessonmaker.build.workers import Workers
from lessonmaker.cli import build, main
from lessonmaker.faults import MaterialError
from tests.tools.at_once import AtOnce, in_one_process
from tests.tools.tiny_book import make_book

RATE, SOUND_RATE, TICKS = 30, 48_000, 240_000
SECONDS, CLICK_S = 2.1, 1.0
INTRO = """\
import numpy as np
from moviepy import ColorClip, VideoClip
from moviepy.audio.AudioClip import AudioArrayClip

print("this is said while it is run")


def opening(size):
    width, height = size

    def frame(t):
        picture = np.zeros((height, width, 3), np.uint8)
        picture[:, : round(width * t / 2.1)] = (200, 40, 40)
        return picture

    sound = np.zeros((round(2.1 * 48_000), 2))
    sound[48_000:48_480] = 0.5 * np.sin(np.arange(480) / 5)[:, None]
    return VideoClip(frame, duration=2.1).with_audio(AudioArrayClip(sound, fps=48_000))


def closing(size):
    return ColorClip(size, color=(10, 120, 30), duration=1)
"""
CUES = """\
cues:
  - scene: intro:opening
    title: Welcome to the four bars
  - bars: 2
    title: The lean
    say: The [flat nine](b9@2) leans on {chord 2}.
  - scene: intro:closing
  - say: That was bar two.
  - scene: intro:closing
"""


def write_lesson(book, cues=CUES, intro=INTRO):
    """A lesson without a take: quickly made."""
    script = book / "scripts" / "four-bars.yaml"
    head = script.read_text().split("cues:")[0].replace("take: ../media/four-bars.wav\n", "")
    script.write_text(head + cues)
    (book / "scripts" / "intro.py").write_text(intro)
    return script


@pytest.fixture(scope="module")
def filmed(tmp_path_factory):
    """A book whose film has scenes of its own; its timeline, its film's pictures and sound."""
    book = make_book(tmp_path_factory.mktemp("scenes") / "book")
    write_lesson(book)
    with in_one_process():
        assert main(["build", str(book), "--edition", "concert", "--allow-code"]) == 0
    out = book / "out" / "concert"
    pictures, sound = [], []
    with av.open(str(out / "four-bars.mp4")) as container:
        for frame in container.decode(video=0, audio=0):
            if isinstance(frame, av.VideoFrame):
                assert frame.pts * frame.time_base == Fraction(len(pictures), RATE)
                pictures.append(frame.to_ndarray(format="rgb24"))
            else:
                sound.append(frame.to_ndarray().T)
    timeline = json.loads((out / "four-bars.timeline.json").read_text())
    return book, timeline, np.array(pictures), np.concatenate(sound)


def seconds(ticks):
    return ticks / TICKS


def own_scenes(timeline):
    return [scene for scene in timeline["scenes"] if scene["kind"] == "own"]


def test_scenes_at_the_ends_stand_outside_the_cards(filmed):
    _, timeline, _, _ = filmed
    kinds = [scene["kind"] for scene in timeline["scenes"]]
    assert kinds == ["own", "title", "tension", "own", "tension", "end", "own"]
    assert [page["kind"] for page in timeline["pages"]] == kinds


def test_a_scene_is_as_long_as_its_clip_up_to_the_grid_of_scenes(filmed):
    _, timeline, pictures, _ = filmed
    lengths = [seconds(scene["end"] - scene["start"]) for scene in own_scenes(timeline)]
    for length, own in zip(lengths, (SECONDS, 1, 1), strict=True):
        assert own <= length < own + 0.6
    assert len(pictures) == round(seconds(timeline["duration"]) * RATE)


def test_every_frame_of_a_scene_is_seen_at_its_time(filmed):
    _, timeline, pictures, _ = filmed
    first = round(seconds(own_scenes(timeline)[0]["start"]) * RATE)
    frames = round(SECONDS * RATE)
    for number in range(frames):
        picture = pictures[first + number].astype(int)
        edge = round(640 * number / RATE / SECONDS)
        wanted = np.zeros((360, 640, 3), int)
        wanted[:, :edge] = (200, 40, 40)
        away = np.abs(picture - wanted).max(axis=2)
        away[:, max(edge - 6, 0) : edge + 6] = 0
        assert away.max() < 24 and away.mean() < 4, number


def test_a_scene_begins_and_ends_with_a_cut(filmed):
    _, timeline, pictures, _ = filmed
    for scene in own_scenes(timeline)[1:]:
        first, last = (round(seconds(scene[key]) * RATE) for key in ("start", "end"))
        for picture in (pictures[first], pictures[last - 1]):
            assert np.abs(picture.astype(int) - (10, 120, 30)).max() < 10
        assert pictures[first - 1].mean() > 150
        assert last == len(pictures) or pictures[last].mean() > 150


def test_the_sound_of_a_scene_is_heard_at_its_time(filmed):
    _, timeline, _, sound = filmed
    (clip,) = [clip for clip in timeline["clips"] if clip["kind"] == "scene"]
    assert (clip["start"], clip["source"], clip["cut_end_s"]) == (0, "scene 1", SECONDS)
    heard = np.flatnonzero(np.abs(sound[: int(2.5 * SOUND_RATE), 0]) > 0.05)
    assert abs(heard[0] - CLICK_S * SOUND_RATE) < 64
    assert heard[-1] - heard[0] < 600


def test_captions_and_chapters_follow(filmed):
    book, timeline, _, _ = filmed
    assert timeline["chapters"][0] == {"start": 0, "title": "Welcome to the four bars"}
    second = timeline["captions"][-1]
    middle = own_scenes(timeline)[1]
    assert "That was bar two." in second["lines"]
    assert second["start"] >= middle["end"]
    assert "Welcome to the four bars" in (book / "out" / "concert" / "four-bars.chapters.txt").read_text()


IN_A_WORKER = """\
from multiprocessing import parent_process

import numpy as np
from moviepy import VideoClip


def opening(size):
    def frame(t):
        if t and parent_process() is None:  # MoviePy looks at the first picture when a clip is made
            raise RuntimeError("made in the main process")
        return np.full((size[1], size[0], 3), 90, np.uint8)

    return VideoClip(frame, duration=1)
"""


def test_workers_make_its_frames_and_nothing_of_it_is_kept(book):
    write_lesson(book, "cues:\n  - scene: intro:opening\n  - bars: 2\n", IN_A_WORKER)
    command = ["build", str(book), "--allow-code"]
    assert main([*command, "--edition", "concert"]) == 0
    kept = {path.name for path in (book / "out" / "store").glob("??/*")}
    film = (book / "out" / "concert" / "four-bars.mp4").read_bytes()
    (book / "out" / "concert" / "four-bars.mp4").unlink()
    assert main([*command, "--edition", "concert"]) == 0
    assert {path.name for path in (book / "out" / "store").glob("??/*")} == kept
    assert (book / "out" / "concert" / "four-bars.mp4").read_bytes() == film


def test_where_workers_have_not_its_code_it_is_made_here_and_that_is_told(
    filmed, tmp_path, monkeypatch, capsys
):
    book, _, _, _ = filmed
    elsewhere = Workers(AtOnce(), lambda: 1, here=False)
    monkeypatch.setattr(build, "workers_of", lambda *_: nullcontext(elsewhere))
    output = str(tmp_path / "out")
    assert main(["build", str(book), "--edition", "concert", "--allow-code", "--output", output]) == 0
    assert "making its own scenes here, as workers have not got their code" in capsys.readouterr().err
    made, expected = (folder / "concert" / "four-bars.mp4" for folder in (tmp_path / "out", book / "out"))
    assert made.read_bytes() == expected.read_bytes()


def test_a_clip_shows_the_scenes_too(filmed):
    book, timeline, pictures, _ = filmed
    script = book / "scripts" / "four-bars.yaml"
    with pytest.raises(MaterialError, match="intro:opening is made by code of the book's"):
        lessonmaker.clip(script)
    clip = lessonmaker.clip(script, allow_code=True)
    assert clip.duration == seconds(timeline["duration"])
    for number in (0, 20, 40, 60, 75, len(pictures) - 1):
        difference = np.abs(clip.get_frame(number / RATE).astype(int) - pictures[number]).max(axis=2)
        assert difference.mean() < 4, number
    opening = lessonmaker.clip(script, part=1, allow_code=True)
    assert np.array_equal(opening.get_frame(1.0), clip.get_frame(1.0))


def test_the_readme_s_example_is_such_a_scene(book):
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    code = readme.split("```python\n# scripts/intro.py\n")[1].split("```")[0]
    script = write_lesson(book, "cues:\n  - scene: intro:opening\n  - bars: 2\n", code)
    clip = lessonmaker.clip(script, part=1, allow_code=True)
    assert 3 <= clip.duration < 3.6
    assert clip.get_frame(0).max() == 0
    assert np.abs(clip.get_frame(2.5).astype(int) - (20, 60, 90)).max() <= 1


def test_an_unchanged_film_is_not_made_again_and_changed_code_is_noticed(filmed, capsys):
    book, _, _, _ = filmed
    command = ["build", str(book), "--edition", "concert", "--explain", "--dry-run"]
    assert main(command) == 0
    assert "code of its own scenes" not in capsys.readouterr().out
    code = book / "scripts" / "intro.py"
    code.write_text(code.read_text() + "\n# another line\n")
    assert main(command) == 0
    assert "the code of its own scenes has changed" in capsys.readouterr().out


def test_code_is_not_run_unasked(book, capsys, tmp_path):
    ran = tmp_path / "ran"
    script = write_lesson(book, intro=f"open({str(ran)!r}, 'w').close()\n{INTRO}")
    assert main(["build", str(book)]) == 1
    _, *said = capsys.readouterr().err.splitlines()
    assert [line.split(": ")[0] for line in said] == [
        f"{script}:{place}" for place in ("5:12", "10:12", "12:12")
    ]
    assert said[0].startswith(
        f"{script}:5:12: the scene intro:opening is made by code of the book's, which is not run"
    )
    assert f"look at {book / 'scripts' / 'intro.py'}, and allow it with --allow-code" in said[0]
    for command in (
        ["check", str(book)],
        ["check", str(book), "--explain"],
        ["build", str(book), "--dry-run"],
    ):
        assert main(command) == 0
    assert not ran.exists()
    assert not (book / "out" / "concert" / "four-bars.mp4").exists()


@pytest.fixture
def failed(book, fault):
    """The message of a build that runs the author's code."""

    def said(intro, cues="cues:\n  - scene: intro:opening\n  - bars: 2\n"):
        write_lesson(book, cues, intro)
        message = fault("build", book, "--edition", "concert", "--allow-code")
        assert not list((book / "out").rglob("*.mp4"))
        assert sorted(path.name for path in (book / "scripts").iterdir()) == [
            "book.yaml",
            "four-bars.yaml",
            "intro.py",
        ]
        return message.replace(str(book / "scripts") + "/", "")

    return said


@pytest.mark.parametrize(
    ("intro", "message"),
    [
        (
            "1 / 0\n",
            "intro.py:1: the scene intro:opening failed: ZeroDivisionError: division by zero; mend it",
        ),
        ("x = (\n", "intro.py:1: the scene intro:opening failed: SyntaxError: '(' was never closed"),
        ("\n\nraise SystemExit(3)\n", "intro.py:3: the scene intro:opening failed: SystemExit: 3"),
        (
            "import nothing_of_this_name\n",
            "intro.py:1: the scene intro:opening failed: ModuleNotFoundError: No module",
        ),
        ("\0", "the scene intro:opening failed: "),
        (
            "def opening(size):\n    raise KeyError('a\\nb')\n",
            "intro.py:2: the scene intro:opening failed: KeyError: ",
        ),
        ("def opening():\n    pass\n", "TypeError: opening() takes 0 positional arguments but 1 was given"),
        (
            "def openin(size):\n    pass\n",
            ":5:12: intro.py has no function opening; did you mean openin?",
        ),
        ("def opening(size: nothing):\n    pass\n", "NameError: name 'nothing' is not defined"),
        (
            "raise type('Odd', (Exception,), {'__str__': lambda _: 1 / 0})\n",
            "scene intro:opening failed: Odd; mend it",
        ),
        ("opening = 3\n", "intro.py has no function opening"),
        (
            "def opening(size):\n    return size\n",
            "the scene intro:opening returned tuple, not a MoviePy clip",
        ),
    ],
)
def test_code_that_fails_is_told_in_one_message(failed, intro, message):
    assert message in failed(intro)


HEAD = "import numpy as np\nfrom moviepy import ColorClip, VideoClip\n\n\ndef opening(size):\n"


@pytest.mark.parametrize(
    ("body", "message"),
    [
        ("    return ColorClip(size, color=(1, 2, 3))\n", "returned a clip whose duration is None"),
        (
            "    return ColorClip(size, color=(1, 2, 3), duration=-1)\n",
            "returned a clip whose duration is -1",
        ),
        (
            "    return ColorClip(size, color=(1, 2, 3), duration=1e-9)\n",
            "returned a clip whose duration is 1e-09",
        ),
        ("    return ColorClip((64, 36), color=(1, 2, 3), duration=1)\n", "a clip of 64 x 36, not 640 x 360"),
        (
            "    def frame(t):\n        if t > 0.5:\n            raise ValueError('too late')\n"
            "        return np.zeros((size[1], size[0], 3), np.uint8)\n    return VideoClip(frame, duration=1)\n",
            "intro.py:8: the scene intro:opening failed: ValueError: too late",
        ),
        (
            "    def frame(t):\n        wide = size[0] + (t > 0.5)\n"
            "        return np.zeros((size[1], wide, 3), np.uint8)\n    return VideoClip(frame, duration=1)\n",
            "has a picture of 360 x 641 x 3 values at 0.53 s, not 360 x 640 x 3",
        ),
    ],
)
def test_a_clip_that_cannot_be_shown_is_told(failed, body, message):
    assert message in failed(HEAD + body)


CALLED_AGAIN = """\
from multiprocessing import parent_process

from moviepy import ColorClip


def opening(size):
    return ColorClip(size, color=(1, 2, 3), duration=1 if parent_process() is None else 2)
"""


def test_a_scene_that_is_another_when_it_is_called_again_is_told(failed):
    assert "returned a clip of another length when it was called again" in failed(CALLED_AGAIN)
