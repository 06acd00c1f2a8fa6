"""Scenes on a grid: what an earlier scene gains moves the later ones by whole steps, and changes nothing in them."""

from dataclasses import fields, replace
from fractions import Fraction

import pytest

from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.timeline.reel import Reel, scene_step, whole_samples
from tests.tools.told_lesson import told

SAMPLE, SOUND_BLOCK = TICKS_PER_SECOND // 48_000, 1024 * TICKS_PER_SECOND // 48_000
RATES = [Fraction(rate) for rate in ("24", "25", "30", "50", "60", "24000/1001", "30000/1001", "60000/1001")]
CUES = """
- bars: 1-2
  say: 'Here it begins.'
- bars: 3-4
  say: 'The [flat thirteen](b13@3) comes first{more}.'
- bars: 5-6
  show: [phrases]
  say: 'Then these [two bars](5-6), over [a chord](chord@5).'
- play: all
- say: 'That was all of it.'
- play: {{bars: 22, tempo: 60%, times: 2}}
"""
SEEN_AND_HEARD = ("lights", "labels", "arrows", "signs", "captions", "clips", "pages")


@pytest.mark.parametrize(
    ("rate", "frames", "blocks"),
    [
        ("30", 16, 25),
        ("60", 32, 25),
        ("25", 8, 15),
        ("50", 16, 15),
    ],
)
def test_a_step_is_whole_frames_and_whole_blocks_of_coded_sound(rate, frames, blocks):
    step = scene_step(Fraction(rate))
    assert Fraction(step, TICKS_PER_SECOND) == frames / Fraction(rate)
    assert step == blocks * SOUND_BLOCK


@pytest.mark.parametrize(
    ("rate", "frames"), [("24", 1), ("24000/1001", 1), ("30000/1001", 5), ("60000/1001", 5)]
)
def test_a_step_is_whole_frames_and_samples_where_blocks_would_meet_them_too_seldom(rate, frames):
    step = scene_step(Fraction(rate))
    assert Fraction(step, TICKS_PER_SECOND) == frames / Fraction(rate)
    assert step % SAMPLE == 0


def test_a_rate_without_whole_ticks_is_refused():
    with pytest.raises(ValueError, match="7/2 frames a second is not a whole number of ticks"):
        scene_step(Fraction(7, 2))


@pytest.mark.parametrize("step", [SAMPLE, 128_000])
def test_scenes_end_on_the_grid_and_leave_no_gaps(step):
    reel = Reel(step)
    reel.wait(1.01)
    reel.close_scene("title")
    reel.wait(Fraction(step, TICKS_PER_SECOND))
    reel.close_scene("end")
    reel.wait(0.2)
    reel.prolong_scene()
    assert [scene.end % step for scene in reel.scenes] == [0, 0]
    assert reel.scenes[1].start == reel.scenes[0].end >= whole_samples(1.01)
    assert reel.scenes[1].end == reel.cursor >= reel.scenes[1].start + step + whole_samples(0.2)


@pytest.mark.parametrize("rate", RATES, ids=str)
def test_a_pause_before_the_grid_is_as_long_as_asked_in_the_mean(rate):
    step = scene_step(rate)
    pauses = []
    for begun in range(0, step, step // 8 // SAMPLE * SAMPLE):
        reel = Reel(step, begun)
        reel.pause(0.7)
        reel.close_scene("analysis")
        pauses.append(reel.cursor - begun)
    assert sum(pauses) / len(pauses) / TICKS_PER_SECOND == pytest.approx(0.7, abs=step / TICKS_PER_SECOND / 8)


def within(timeline, scene):
    """What begins in a scene, its times counted from the scene's start."""

    def counted(part):
        if isinstance(part, tuple):
            return tuple(counted(one) for one in part)
        times = {
            each.name: getattr(part, each.name) - scene.start
            for each in fields(part)
            if each.name in ("start", "end")
        }
        terms = {"terms": counted(part.terms)} if hasattr(part, "terms") else {}
        return replace(part, **times, **terms)

    return [
        counted(part)
        for name in SEEN_AND_HEARD
        for part in getattr(timeline, name)
        if scene.start <= part.start < scene.end
    ]


@pytest.mark.parametrize("rate", RATES, ids=str)
def test_a_longer_sentence_moves_later_scenes_by_whole_steps_and_changes_nothing_in_them(tmp_path, rate):
    step = scene_step(rate)
    short, _ = told(tmp_path, "the-tin-heron", CUES.format(more=""), rate=rate)
    long, _ = told(tmp_path, "the-tin-heron", CUES.format(more=", and much of it, as you hear"), rate=rate)
    assert [scene.kind for scene in short.scenes] == [scene.kind for scene in long.scenes]
    moved = [two.start - one.start for one, two in zip(short.scenes, long.scenes, strict=True)]
    assert len(moved) == 7 and moved[:3] == [0, 0, 0]
    assert moved[3] > 0 and set(moved[3:]) == {moved[3]} and moved[3] % step == 0
    for one, two in list(zip(short.scenes, long.scenes, strict=True))[3:]:
        assert one.start % step == one.end % step == 0
        assert within(short, one) == within(long, two) != []
        assert two.end - two.start == one.end - one.start


@pytest.mark.parametrize("rate", RATES, ids=str)
def test_nothing_that_is_seen_or_read_outlasts_its_scene(tmp_path, rate):
    timeline, _ = told(tmp_path, "the-tin-heron", CUES.format(more=""), rate=rate)
    for part in (*timeline.lights, *timeline.labels, *timeline.signs, *timeline.captions):
        (scene,) = (scene for scene in timeline.scenes if scene.start <= part.start < scene.end)
        assert part.end <= scene.end
