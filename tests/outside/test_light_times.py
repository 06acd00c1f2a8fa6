"""The light of the demo's performances against the times at which they were played.

The truth is that of the takes, which were performed from known times (tests/data): notes at their attacks, bars at the
bar lines of the band, behind which its soloist lies. On a frame, light is seen from the first one on that shows it.
"""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from lessonmaker.picture.painter import Painter
from lessonmaker.sound.align.fit import fit_take
from lessonmaker.sound.read import read_audio
from lessonmaker.timeline.model import TICKS_PER_SECOND
from tests.bench.light import light_errors
from tests.tools.told_lesson import told

MEDIA = Path(__file__).parents[2] / "media"
BAND, SOLO = "gaslight-errand", "the-tin-heron"
RATE = Fraction(30)
FRAME_S = 1 / 30


@pytest.fixture(scope="module")
def performances(tmp_path_factory):
    """(timeline, score) of each demo etude, its take fitted."""
    folder = tmp_path_factory.mktemp("lesson")
    takes = {name: read_audio(MEDIA / f"{name}.ogg") for name in (BAND, SOLO)}
    return {
        name: told(folder, name, "- play: all", lambda score, take=take: fit_take(score, take))
        for name, take in takes.items()
    }


def as_seen(timeline, score):
    """The timeline with each light starting on the first frame that shows it."""
    sights = Painter(timeline, score, size=(640, 360), rate=RATE).sights
    frame = TICKS_PER_SECOND / RATE
    shown = (
        replace(light, start=int(sights.frame_of(light.start, frame) * frame)) for light in timeline.lights
    )
    return replace(timeline, lights=tuple(shown))


@pytest.mark.parametrize(
    ("name", "what", "median_s"),
    [(BAND, "notes", 0.02), (SOLO, "notes", 0.02), (SOLO, "bars", 0.02), (BAND, "bars", 0.03)],
)
def test_light_is_where_the_player_is(performances, name, what, median_s):
    distance = np.abs(light_errors(name, *performances[name])[what])
    assert np.median(distance) < median_s
    assert np.mean(distance <= 0.040) >= 0.95


@pytest.mark.parametrize("what", ["bars", "notes"])
@pytest.mark.parametrize("name", [BAND, SOLO])
def test_light_is_seen_before_the_sound_and_never_a_frame_late(performances, name, what):
    timeline, score = performances[name]
    late_s = light_errors(name, as_seen(timeline, score), score)[what]
    assert late_s.max() <= FRAME_S
    assert late_s.min() >= -0.040 - FRAME_S
    assert np.median(late_s) < 0.010
