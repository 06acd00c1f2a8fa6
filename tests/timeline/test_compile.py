"""A lesson compiled: shown, played, explained; chapters; cues of every make."""

import json
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from lessonmaker.timeline.compile import SHOW_S, TITLE_S, OwnScene, chapters, compile_lesson, without_chapter
from lessonmaker.timeline.model import TICKS_PER_SECOND, Chapter
from lessonmaker.timeline.reel import scene_step
from tests.tools.told_lesson import told, told_material

SEVEN, SWING = "the-tin-heron", "gaslight-errand"
SECOND = TICKS_PER_SECOND
STEP = scene_step(Fraction(30))
LONG = (
    "Here I say quite a lot of words, so that this takes more than ten seconds, and then some more, and on it goes. "
    * 2
)


def kinds(timeline):
    """What is heard, in order."""
    return [clip.kind for clip in timeline.clips]


def still(timeline):
    return [scene for scene in timeline.scenes if scene.kind in ("analysis", "tension")]


def test_bars_are_shown_then_played_then_explained(tmp_path):
    timeline, _ = told(tmp_path, SEVEN, "- {bars: 3-4, say: 'Here it is.'}")
    (scene,) = still(timeline)
    take, talk = timeline.clips
    assert (take.kind, talk.kind) == ("take", "narration")
    assert TITLE_S <= scene.start / SECOND < TITLE_S + STEP / SECOND
    assert scene.start % STEP == 0
    assert take.start >= scene.start + SHOW_S * SECOND
    assert next(page for page in timeline.pages if page.kind != "title").rows == ((2, 3),)


def test_a_performance_is_explained_after_it_over_still_pages(tmp_path):
    timeline, _ = told(tmp_path, SWING, "- {play: 1-16, say: 'There was [the bridge](9) of it.'}")
    assert kinds(timeline) == ["take", "narration"]
    assert [scene.kind for scene in timeline.scenes] == ["title", "play", "analysis", "end"]


@pytest.mark.parametrize(("cue", "heard"), [("play: no", 0), ("play: {tempo: 60%, times: 3}", 3)])
def test_the_author_says_how_often_the_bars_are_played(tmp_path, cue, heard):
    timeline, _ = told(tmp_path, SEVEN, f"- bars: 3-4\n  {cue}\n")
    assert kinds(timeline) == ["take"] * heard
    assert {clip.stretch for clip in timeline.clips} <= {Fraction(3, 5)}


def test_a_performance_twice_is_two_scenes(tmp_path):
    timeline, score = told(tmp_path, SEVEN, "- play: {bars: all, times: 2}")
    assert [scene.kind for scene in timeline.scenes] == ["title", "play", "play", "end"]
    assert kinds(timeline) == ["take", "take"]
    bars = [light for light in timeline.lights if light.kind == "bar"]
    assert len(bars) == 2 * len(score.order)


def test_a_cue_that_only_speaks_keeps_what_is_shown_and_plays_nothing(tmp_path):
    timeline, _ = told(tmp_path, SEVEN, "- {bars: 3-4, say: One.}\n- say: And the [third](3@3.6).\n")
    assert kinds(timeline) == ["take", "narration", "narration"]
    assert [page.kind for page in timeline.pages] == ["title", "analysis", "end"]


def test_words_before_anything_is_shown_are_said_over_the_title(tmp_path):
    timeline, _ = told(tmp_path, SEVEN, "- say: Welcome to this one.\n- {bars: 1, play: no}")
    title, *_ = timeline.scenes
    (talk,) = timeline.clips
    assert title.kind == "title"
    assert TITLE_S * SECOND <= talk.start < title.end == still(timeline)[0].start
    assert timeline.pages[0].end == title.end


def test_words_after_the_whole_etude_keep_its_last_page(tmp_path):
    timeline, _ = told(tmp_path, SEVEN, "- play: all\n- say: That was it.")
    assert [scene.kind for scene in timeline.scenes] == ["title", "play", "end"]
    assert timeline.captions[-1].end <= timeline.scenes[1].end
    assert timeline.pages[-2].rows[2] == ()  # room for the words


def test_two_places_are_compared_one_above_the_other_and_played_in_turn(tmp_path):
    timeline, _ = told(tmp_path, SWING, "- {compare: [3-4, 27-28], say: Alike.}")
    page = next(page for page in timeline.pages if page.kind == "analysis")
    assert page.rows == ((3, 4), (27, 28))
    lit = [light.targets[0] for light in timeline.lights if light.kind == "bar"]
    assert lit == [3, 4, 27, 28]
    assert kinds(timeline) == ["take", "take", "narration"]


def test_the_same_bars_compared_at_two_times_round_are_shown_once(tmp_path):
    timeline, _ = told(tmp_path, SEVEN, "- {compare: [1-2x1, 1-2x2]}")
    page = next(page for page in timeline.pages if page.kind != "title")
    assert page.rows == ((0, 1),)
    first, second = timeline.clips
    assert second.cut_start_s - first.cut_start_s == pytest.approx(8 * 3.5)


def test_bars_across_two_endings_are_played_without_the_repeat_between(tmp_path):
    timeline, _ = told(tmp_path, SEVEN, "- bars: 7-10")
    lit = [light.targets[0] for light in timeline.lights if light.kind == "bar"]
    assert lit == [6, 7, 8, 9]
    assert kinds(timeline) == ["take", "take"]


def test_a_lesson_without_a_take_shows_and_speaks(tmp_path):
    timeline, _ = told(
        tmp_path, SEVEN, "- play: all\n- {bars: 1-2, say: 'The [root](1@1.1).'}", player=lambda _: None
    )
    assert kinds(timeline) == ["narration"]
    assert {light.kind for light in timeline.lights} == {"range", "note", "area", "chord"}


def test_one_word_is_read_before_the_lesson_goes_on(tmp_path):
    timeline, _ = told(tmp_path, SEVEN, "- {bars: 1, say: Land.}\n- bars: 2")
    (caption,) = timeline.captions
    assert caption.end - caption.start >= SECOND
    assert caption.end <= timeline.scenes[1].end


def test_pages_of_many_bars_overlap_by_a_system(tmp_path):
    timeline, _ = told(tmp_path, SWING, "- bars: 1-16")
    pages = [page.rows for page in timeline.pages if page.kind == "analysis"]
    assert pages == [
        ((1, 2, 3, 4), (5, 6, 7, 8)),
        ((5, 6, 7, 8), (9, 10, 11, 12)),
        ((9, 10, 11, 12), (13, 14, 15, 16)),
    ]


def test_the_strip_knows_what_is_discussed(tmp_path):
    timeline, _ = told(tmp_path, SWING, "- {compare: [3-4, 27-28], say: Alike.}")
    (light,) = (light for light in timeline.lights if light.kind == "range")
    (scene,) = still(timeline)
    assert light.targets == (3, 4, 27, 28)
    assert (light.start, light.end) == (scene.start, scene.end)


# Chapters -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cue", "title"),
    [
        ("{bars: 3-4, title: Colours, ", "Colours (bars 3-4)"),
        ("{bars: 3, title: Colours, ", "Colours (bar 3)"),
        ("{bars: 2.3a, title: Colours, ", "Colours (bar 2.3a)"),
        ("{compare: [3, 11], title: Twice, ", "Twice (bars 3 and 11)"),
        ("{play: all, ", "The whole etude (bars 1-44)"),
        ("{play: 1-16, ", "Performance (bars 1-16)"),
    ],
)
def test_a_chapter_names_its_bars(tmp_path, cue, title):
    timeline, _ = told(tmp_path, SWING, f"- {cue}say: '{LONG}'}}")
    assert timeline.chapters == (Chapter(0, title),)


def marks(*seconds):
    return [Chapter(second * SECOND, f"at {second}") for second in seconds]


@pytest.mark.parametrize(
    ("starts", "duration", "kept"),
    [
        ((4, 20, 40), 60, [(0, "at 4"), (20, "at 20"), (40, "at 40")]),
        ((4, 9, 14), 60, [(0, "at 4"), (14, "at 14")]),
        ((4, 20, 55), 60, [(0, "at 4"), (20, "at 20")]),
        ((30, 45), 60, [(0, "Lesson"), (30, "at 30"), (45, "at 45")]),
        ((), 60, [(0, "Lesson")]),
        ((4,), 8, [(0, "at 4")]),
    ],
)
def test_the_first_chapter_is_at_zero_and_none_is_short(starts, duration, kept):
    found = chapters(marks(*starts), "Lesson", duration * SECOND)
    assert found == tuple(Chapter(second * SECOND, title) for second, title in kept)


def test_a_title_that_is_no_chapter_is_told(tmp_path):
    cues = f"- {{bars: 3, title: Colours, say: '{LONG}'}}\n- {{bars: 4, play: no, title: Short, say: So.}}"
    material = told_material(tmp_path, SEVEN, cues)
    timeline = compile_lesson(material)
    assert [chapter.title for chapter in timeline.chapters] == ["Colours (bar 3)"]
    (remark,) = without_chapter(material, timeline)
    assert "“Short” is no chapter of the film: it or the one before would last under ten seconds" in str(
        remark
    )
    assert remark.place.line == 5


# As data ------------------------------------------------------------------------------------------------


def test_a_timeline_is_plain_data(tmp_path):
    timeline, _ = told(
        tmp_path, SEVEN, "- {bars: 3-4, play: {tempo: 60%}, say: 'The [flat thirteen](b13@3).'}"
    )
    data = timeline.to_json()
    assert json.loads(json.dumps(data)) == data
    assert data["ticks_per_second"] == TICKS_PER_SECOND
    assert data["clips"][0]["stretch"] == "3/5"
    for name in ("scenes", "pages", "lights", "labels", "captions", "chapters", "clips"):
        assert len(data[name]) == len(getattr(timeline, name)) > 0


def with_scenes(tmp_path, cues, heard=True):
    """The timeline of a lesson whose scenes of the author's last 1.1 s each."""
    (tmp_path / "intro.py").write_text("")
    material = told_material(tmp_path, SEVEN, cues)
    lesson = enumerate(material.checked.cues)
    own = {index: OwnScene(11 * SECOND // 10, heard) for index, cue in lesson if cue.cue.scene is not None}
    return compile_lesson(replace(material, scenes=own))


SCENE = "- scene: intro:opening\n"


@pytest.mark.parametrize(
    ("cues", "scenes"),
    [
        (f"{SCENE}- play: all\n{SCENE}", ["own", "title", "play", "end", "own"]),
        (f"- say: Hello.\n{SCENE}- say: Again.\n", ["title", "own", "title", "end"]),
        (f"- play: all\n{SCENE}- say: That was it.\n", ["title", "play", "own", "title", "end"]),
        (
            f"- bars: 3-4\n{SCENE}{SCENE}- say: These.\n",
            ["title", "analysis", "own", "own", "analysis", "end"],
        ),
        (SCENE, ["own", "title", "end"]),
    ],
)
def test_scenes_of_the_author_s_stand_among_the_others(tmp_path, cues, scenes):
    timeline = with_scenes(tmp_path, cues)
    assert [scene.kind for scene in timeline.scenes] == scenes
    for scene in timeline.scenes:
        if scene.kind == "own":
            assert scene.start % STEP == 0
            assert 1.1 <= (scene.end - scene.start) / SECOND < 1.1 + STEP / SECOND
    after = [second for first, second in pairwise(timeline.pages) if first.kind == "own"]
    assert [page.dissolve for page in after] == [0] * len(after)


def test_a_cue_after_a_scene_shows_what_was_shown_before_it(tmp_path):
    timeline = with_scenes(tmp_path, f"- bars: 3-4\n{SCENE}- say: 'The [second](4) of them.'\n")
    before, own, after, _ = timeline.scenes[1:]
    assert (before.kind, own.kind, before.bars) == ("analysis", "own", after.bars)
    rows = [page.rows for page in timeline.pages if page.kind == "analysis"]
    assert rows[0] == rows[-1]


def test_a_silent_scene_has_no_sound_and_a_title_is_a_chapter(tmp_path):
    silent = with_scenes(tmp_path, "- {scene: intro:opening, title: Hello}\n- bars: 3-4\n", heard=False)
    assert "scene" not in kinds(silent)
    assert silent.chapters[0] == Chapter(0, "Hello")
    heard = with_scenes(tmp_path, f"{SCENE}- bars: 3-4\n")
    (clip,) = [clip for clip in heard.clips if clip.kind == "scene"]
    assert (clip.start, clip.cut_start_s, clip.cut_end_s) == (0, 0.0, 1.1)
