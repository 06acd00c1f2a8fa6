"""A film, decoded, against the times at which the player really played.

The truth is that of the demo's take, which was performed from known times (tests/data). Outside programs: FFmpeg's
decoders (through PyAV), webvtt-py, and pyloudnorm as the loudness meter (ITU-R BS.1770; EBU R 128's tolerance).
"""

import csv
import json
import random
import shutil
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import av
import numpy as np
import pyloudnorm
import pytest
import webvtt
from scipy.signal import resample_poly

from lessonmaker.cli import main
from tests.tools.at_once import in_one_process

BOOK = Path(__file__).parents[2]
NAME = "the-tin-heron"
WIDTH, HEIGHT = 640, 360
BLUE_YUV = (89, 165, 80)  # #0067A3 by BT.709's matrix, limited range, computed by hand
LESSON = f"""\
lesson: The Tin Heron
score: ../media/{NAME}.musicxml
take: ../media/{NAME}.ogg
cues:
  - play: all
  - bars: 3-4
    say: Name the [flat thirteen](b13@3) as it passes, and the [sharp eleven](#11@3). Then let it ring for a while.
"""


@pytest.fixture(scope="module")
def film(tmp_path_factory):
    """The lesson's folder of finished files."""
    book = tmp_path_factory.mktemp("book")
    for name in ("scripts", "media", "shared"):
        (book / name).mkdir()
    for end in (".musicxml", ".ogg"):
        shutil.copy(BOOK / "media" / f"{NAME}{end}", book / "media")
    (book / "scripts" / f"{NAME}.yaml").write_text(LESSON)
    text = f"book: One\nlessons: [{NAME}.yaml]\neditions: [concert]\nsize: {WIDTH}x{HEIGHT}\n"
    (book / "scripts" / "book.yaml").write_text(text)
    with in_one_process():
        assert main(["build", str(book)]) == 0
    return book / "out" / "concert"


@pytest.fixture(scope="module")
def timeline(film):
    return json.loads((film / f"{NAME}.timeline.json").read_text())


def true_bars(timeline):
    """(second of the film, bar index) for each bar the player begins, in order."""
    clip = next(clip for clip in timeline["clips"] if clip["kind"] == "take")
    offset = clip["start"] / timeline["ticks_per_second"] - clip["cut_start_s"]
    numbers = timeline["bar_numbers"]
    with (BOOK / "tests" / "data" / f"{NAME}.bars.csv").open() as file:
        return [(float(row["time_s"]) + offset, numbers.index(row["bar"])) for row in csv.DictReader(file)]


def cell_middles(timeline):
    """The middle of each bar's cell in pixels, from the strip's own rules: left 96, gap 4, section gap 18 of 1920."""
    sections = [bars for _, bars in timeline["form"]]
    count = sum(map(len, sections))
    cell = (1728 - 4 * (count - len(sections)) - 18 * (len(sections) - 1)) / count
    middles, x = {}, 96.0
    for bars in sections:
        for bar in bars:
            middles[bar] = (x + cell / 2) * WIDTH / 1920
            x += cell + 4
        x += 14
    return middles


def lit_bar(frame, middles):
    """The bar whose cell in the form strip is blue."""
    planes = [np.frombuffer(memoryview(p), np.uint8).reshape(-1, p.line_size) for p in frame.planes]
    row = round(998 * HEIGHT / 1080)
    near = np.abs(planes[2][row // 2, : WIDTH // 2].astype(int) - BLUE_YUV[2]) < 12
    near &= np.abs(planes[1][row // 2, : WIDTH // 2].astype(int) - BLUE_YUV[1]) < 12
    assert near.any()
    middle = 2 * np.nonzero(near)[0].mean() + 0.5
    return min(middles, key=lambda bar: abs(middles[bar] - middle))


def test_the_film_has_a_constant_rate_and_the_timeline_s_length(film, timeline):
    with av.open(str(film / f"{NAME}.mp4")) as container:
        picture = container.streams.video[0]
        times = [
            packet.pts * packet.time_base for packet in container.demux(picture) if packet.pts is not None
        ]
    assert times == [Fraction(number, 30) for number in range(len(times))]
    assert len(times) == -(-timeline["duration"] * 30 // timeline["ticks_per_second"])


def test_the_lit_bar_is_the_bar_that_sounds(film, timeline):
    truth, middles = true_bars(timeline), cell_middles(timeline)
    scene = next(scene for scene in timeline["scenes"] if scene["kind"] == "play")
    chance = random.Random(41)
    starts = [time for time, _ in truth]
    wanted = sorted(chance.sample(range(int(starts[0] * 30) + 2, int((starts[-1] + 1) * 30)), 100))
    assert scene["end"] / timeline["ticks_per_second"] > wanted[-1] / 30
    seen = {}
    with av.open(str(film / f"{NAME}.mp4")) as container:
        for number, frame in enumerate(container.decode(video=0)):
            if number in wanted:
                seen[number] = lit_bar(frame, middles)
    wrong = []
    for number, bar in seen.items():
        # Never late by more than a frame; early by at most 40 ms, on the frame that begins before the sound.
        around = (number / 30 - 1 / 30, number / 30 + 1 / 30 + 0.04)
        near = {truth[max(sum(start <= time for start in starts) - 1, 0)][1] for time in around}
        if bar not in near:
            wrong.append((number, bar, near))
    assert len(seen) == 100
    assert wrong == []


def test_captions_are_read_by_another_reader(film):
    captions = list(webvtt.read(str(film / f"{NAME}.vtt")))
    assert " ".join(caption.text.replace("\n", " ") for caption in captions).startswith(
        "Name the flat thirteen as it passes, and the sharp eleven."
    )
    assert all(one.end_in_seconds <= other.start_in_seconds for one, other in pairwise(captions))
    assert all(len(line) <= 42 for caption in captions for line in caption.lines)


def test_the_sound_is_as_loud_as_promised(film):
    with av.open(str(film / f"{NAME}.mp4")) as container:
        sound = np.concatenate([frame.to_ndarray().T for frame in container.decode(audio=0)])
    assert pyloudnorm.Meter(48_000).integrated_loudness(sound) == pytest.approx(-14, abs=0.5)
    peak = max(np.abs(resample_poly(sound[:, side], 4, 1)).max() for side in (0, 1))
    assert 20 * np.log10(peak) <= -1.0
