"""What holds at every instant of the demo lessons, in every edition."""

from itertools import pairwise

import pytest

from lessonmaker.timeline.model import TICKS_PER_SECOND
from tests.tools.demo_timelines import EDITIONS, LESSONS, demo

SECOND = TICKS_PER_SECOND
AT_LEAST, FADE_OUT = 12 * SECOND // 10, 2 * SECOND // 10
MOST_LABELS, LINE_LENGTH = 5, 42
WHOLE_SAMPLE = TICKS_PER_SECOND // 48_000


@pytest.fixture(
    scope="module", params=[(name, edition) for name in LESSONS for edition in EDITIONS], ids="-".join
)
def made(request):
    return demo(*request.param)


@pytest.fixture
def timeline(made):
    return made.timeline


def clip_end(clip):
    return clip.start + (clip.cut_end_s - clip.cut_start_s) / float(clip.stretch) * SECOND


def parts(timeline):
    """Everything with a start and an end."""
    lists = (
        timeline.scenes,
        timeline.pages,
        timeline.lights,
        timeline.labels,
        timeline.arrows,
        timeline.captions,
    )
    return [part for each in lists for part in each]


def bars_lit(made, targets):
    """The bars of a light's targets."""
    bar_of = {one.id: one.bar for one in (*made.score.notes, *made.score.changes)}
    return {target if isinstance(target, int) else bar_of[target] for target in targets}


def test_everything_runs_forwards_within_the_lesson(timeline):
    assert all(0 <= part.start < part.end <= timeline.duration for part in parts(timeline))


def test_scenes_and_pages_follow_each_other_without_a_gap(timeline):
    for each in (timeline.scenes, timeline.pages):
        assert (each[0].start, each[-1].end) == (0, timeline.duration)
        assert all(one.end == other.start for one, other in pairwise(each))


def test_nothing_is_said_while_the_take_is_heard(timeline):
    clips = sorted(timeline.clips, key=lambda clip: clip.start)
    assert all(clip_end(one) <= other.start + WHOLE_SAMPLE for one, other in pairwise(clips))
    assert clip_end(clips[-1]) <= timeline.duration


def test_sound_begins_on_a_sample(timeline):
    assert all(clip.start % WHOLE_SAMPLE == 0 for clip in timeline.clips)
    assert timeline.duration % WHOLE_SAMPLE == 0


def test_a_light_stays_within_its_scene(timeline):
    for part in (*timeline.lights, *timeline.labels, *timeline.arrows):
        (scene,) = (scene for scene in timeline.scenes if scene.start <= part.start < scene.end)
        assert part.end <= scene.end


def test_what_lights_up_is_in_sight(made):
    lit = [
        (light.start, light.targets) for light in made.timeline.lights if light.kind not in ("range", "span")
    ]
    lit += [(label.start, (label.note,)) for label in made.timeline.labels]
    for start, targets in lit:
        (page,) = (page for page in made.timeline.pages if page.start <= start < page.end)
        assert bars_lit(made, targets) <= {bar for row in page.rows for bar in row}


def test_one_bar_sounds_at_a_time(timeline):
    bars = [light for light in timeline.lights if light.kind == "bar"]
    assert all(one.end <= other.start for one, other in pairwise(bars))


def test_what_is_spoken_of_is_lit_for_a_while(timeline):
    spoken = [light for light in timeline.lights if light.kind in ("span", "area") or light.use != "now"]
    assert spoken
    assert all(light.end - light.start >= AT_LEAST for light in spoken)


def test_areas_point_and_do_not_cover(made):
    for light in made.timeline.lights:
        if light.kind == "area":
            bars = bars_lit(made, light.targets)
            assert max(bars) - min(bars) <= 1


def test_amber_lights_follow_each_other(timeline):
    ambers = [light for light in timeline.lights if light.kind in ("span", "area")]
    for one, other in pairwise(ambers):
        assert one.start == other.start or one.end <= other.start + FADE_OUT


def test_labels_in_sight_are_few(timeline):
    for label in timeline.labels:
        assert sum(one.start <= label.start < one.end for one in timeline.labels) <= MOST_LABELS


def test_an_arrow_joins_labels_in_sight(timeline):
    for arrow in timeline.arrows:
        seen = {
            label.note
            for label in timeline.labels
            if label.start <= arrow.start + arrow.fade_in and arrow.end <= label.end
        }
        assert {arrow.from_note, arrow.to_note} <= seen


def test_captions_can_be_read(timeline):
    for caption in timeline.captions:
        seconds = (caption.end - caption.start) / SECOND
        assert len(caption.lines) <= 2
        assert all(len(line) <= LINE_LENGTH for line in caption.lines)
        assert 1 <= seconds <= 7
        assert sum(map(len, caption.lines)) <= 20 * seconds
        assert all(term.last <= len(caption.lines[term.line]) for term in caption.terms)
    assert all(one.end <= other.start for one, other in pairwise(timeline.captions))


def test_chapters_are_what_players_accept(timeline):
    starts = [chapter.start for chapter in timeline.chapters]
    assert starts[0] == 0
    assert all(other - one >= 10 * SECOND for one, other in pairwise([*starts, timeline.duration]))
    assert all("(bar" in chapter.title for chapter in timeline.chapters)


def test_the_form_holds_every_bar_once(made):
    bars = [bar for _, section in made.timeline.form for bar in section]
    assert bars == [bar.index for bar in made.score.bars]
