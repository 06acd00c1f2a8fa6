"""Talking: light on the word, labels to the end of the sentence, one amber light at a time."""

from itertools import pairwise

import pytest

from lessonmaker.timeline.discussion import neighbourhoods
from lessonmaker.timeline.model import TICKS_PER_SECOND
from tests.tools.demo_timelines import WORD_S
from tests.tools.told_lesson import told

SEVEN = "the-tin-heron"

# The house's rules: light comes just before its word and stays long enough to be seen, labels are few.
HALF_LEVEL_BEFORE, AT_LEAST, FADE_OUT = (
    milliseconds * TICKS_PER_SECOND // 1000 for milliseconds in (20, 1200, 200)
)
MOST_LABELS = 5


def word_tick(timeline, number, cue=0):
    """When a word of a cue begins."""
    talks = [clip for clip in timeline.clips if clip.kind == "narration"]
    return talks[cue].start + round(number * WORD_S * TICKS_PER_SECOND)


def half_level(light):
    return light.start + light.fade_in // 2


def of_kind(timeline, *kinds):
    """The lights of the commentary of some kinds."""
    spoken = (light for light in timeline.lights if light.kind != "note" or light.use != "now")
    return [light for light in spoken if light.kind in kinds]


def note_in(score, bar, number):
    """The id of a struck note by its bar's printed number and its place there."""
    index = next(one.index for one in score.bars if one.number == str(bar))
    return [note.id for note in score.struck if note.bar == index][number]


def test_a_note_lights_just_before_its_word_until_the_sentence_ends(tmp_path):
    timeline, _ = told(
        tmp_path, SEVEN, "- {bars: 3-4, say: 'Here is the [flat thirteen](b13@3) as it goes by. Land.'}"
    )
    (ring,) = of_kind(timeline, "note")
    (label,) = timeline.labels
    assert half_level(ring) == half_level(label) == word_tick(timeline, 3) - HALF_LEVEL_BEFORE
    assert ring.end == label.end == word_tick(timeline, 9) + FADE_OUT
    assert (label.text, label.use, label.note) == ("b13", "tension", ring.targets[0])


def test_a_link_spoken_last_stays_lit_and_the_lesson_waits_for_it(tmp_path):
    timeline, _ = told(tmp_path, SEVEN, "- {bars: 3-4, say: '[Thirteen](b13@3)!'}\n- {bars: 5-6, play: no}")
    (ring,) = of_kind(timeline, "note")
    assert ring.end - ring.start >= AT_LEAST
    scene = next(scene for scene in timeline.scenes if scene.start <= ring.start < scene.end)
    assert ring.end <= scene.end


def test_mentions_near_each_other_share_an_area_and_far_ones_do_not(tmp_path):
    say = "The [flat thirteen](b13@3) and the [flat third](b3@4) are far from the [first](1.1) and [ninth](9@1)."
    timeline, score = told(tmp_path, SEVEN, f"- {{bars: 1-4, say: '{say}'}}")
    first, second = of_kind(timeline, "area")
    bars = {note.id: note.bar for note in score.notes}
    assert [bars[note] for note in first.targets] == [2, 3]
    assert {bars[note] for note in second.targets} == {0}
    assert first.end == second.start + FADE_OUT


def test_notes_of_one_link_in_distant_bars_have_a_light_each(seven):
    first = {bar: next(note.id for note in seven.struck if note.bar == bar) for bar in (0, 1, 2, 5)}
    found = neighbourhoods(seven, [first[bar] for bar in (5, 0, 2, 1)])
    assert found == [(first[0], first[1]), (first[2],), (first[5],)]


@pytest.mark.parametrize(
    "say",
    [
        "Look at [these two bars](1-2) first. Then at [those two](3-4) over there.",
        "The [root](1@1.1) is plain. The [flat thirteen](b13@3) is not at all. And [this bar](2) is in between.",
    ],
)
def test_the_amber_light_is_in_one_place_but_for_its_fading(tmp_path, say):
    timeline, _ = told(tmp_path, SEVEN, f"- {{bars: 1-4, say: '{say}'}}")
    ambers = sorted(of_kind(timeline, "area", "span"), key=lambda light: light.start)
    assert len(ambers) >= 2
    for one, other in pairwise(ambers):
        assert one.end - FADE_OUT <= other.start
        assert one.end - one.start >= AT_LEAST


def test_a_span_within_bars_lights_its_notes_only(tmp_path):
    timeline, score = told(
        tmp_path, SEVEN, "- {bars: 1-2, say: 'Hear [this little turn](1.1-1.3) again now.'}"
    )
    (area,) = of_kind(timeline, "area", "span")
    assert area.kind == "area"
    assert set(area.targets) < {note.id for note in score.struck if note.bar == 0}


def test_a_whole_bar_span_lights_its_bars(tmp_path):
    timeline, _ = told(tmp_path, SEVEN, "- {bars: 1-4, say: 'Hear [these two](2-3) once more, please.'}")
    (span,) = of_kind(timeline, "span")
    assert span.targets == (1, 2)


def test_a_chord_has_its_capsule(tmp_path):
    timeline, score = told(tmp_path, SEVEN, "- {bars: 1-4, say: 'Now [this chord](chord@3) is dark.'}")
    (chord,) = of_kind(timeline, "chord")
    assert chord.targets == tuple(change.id for change in score.changes if change.bar == 2)
    assert half_level(chord) == word_tick(timeline, 1) - HALF_LEVEL_BEFORE


def test_an_arrow_comes_with_the_word_that_names_the_resolution(tmp_path):
    timeline, score = told(
        tmp_path,
        SEVEN,
        "- {bars: 22-23, say: 'The [flat nine](b9@22.7) falls to the [fifth](5@23) below it.'}",
    )
    (arrow,) = timeline.arrows
    assert (arrow.from_note, arrow.to_note) == (note_in(score, 22, -1), note_in(score, 23, 0))
    assert half_level(arrow) == word_tick(timeline, 6) - HALF_LEVEL_BEFORE
    assert arrow.end == max(label.end for label in timeline.labels)


def test_notes_named_in_different_sentences_have_no_arrow(tmp_path):
    say = "There is the [flat nine](b9@22.7) of it. Now here is the [fifth](5@23) below it."
    timeline, _ = told(tmp_path, SEVEN, f"- {{bars: 22-23, say: '{say}'}}")
    assert timeline.arrows == ()


def labels_in_sight(timeline):
    """The most labels in sight at once."""
    starts = [label.start for label in timeline.labels]
    return max(sum(label.start <= tick < label.end for label in timeline.labels) for tick in starts)


def test_no_more_than_five_labels_are_in_sight(tmp_path):
    names = "[one](b13@3), [two](#11@3), [three](3@3), [four](#9@3), [five](b9@3), [six](b7@3.7&) and [seven](b3@4)"
    timeline, _ = told(tmp_path, SEVEN, f"- {{bars: 3-4, say: 'Count {names} of them.'}}")
    assert len(timeline.labels) == 7
    assert labels_in_sight(timeline) == MOST_LABELS
    assert len(of_kind(timeline, "note")) == 7


def test_labels_that_came_together_go_together(tmp_path):
    names = "[three of them](b13,#11,3@3) and [three more](#9,b9,b7@3)"
    timeline, _ = told(tmp_path, SEVEN, f"- {{bars: 3-4, say: 'Count {names} of them.'}}")
    first, then = timeline.labels[:3], timeline.labels[3:]
    assert [len({(label.start, label.end) for label in each}) for each in (first, then)] == [1, 1]
    assert first[0].end == then[0].start


def test_a_note_named_twice_in_a_sentence_keeps_its_label(tmp_path):
    say = "The [flat thirteen](b13@3), yes, the [very same one](b13@3), leans on us."
    timeline, _ = told(tmp_path, SEVEN, f"- {{bars: 3-4, say: '{say}'}}")
    (label,) = timeline.labels
    assert half_level(label) == word_tick(timeline, 1) - HALF_LEVEL_BEFORE


def test_the_page_of_a_mention_is_in_sight_before_its_word(tmp_path):
    say = (
        "From the [ninth](9@1) we go to the [flat nine](b9@10.3) and look at the [thirteenth](13@12.1) there."
    )
    timeline, score = told(tmp_path, SEVEN, f"- {{bars: 1-16, play: no, say: '{say}'}}")
    bars = {note.id: note.bar for note in score.notes}
    for label in timeline.labels:
        (page,) = (page for page in timeline.pages if page.start <= label.start < page.end)
        assert any(bars[label.note] in row for row in page.rows)
        assert page.start <= label.start


def test_a_degree_in_a_long_span_turns_to_its_own_bar(tmp_path):
    timeline, score = told(
        tmp_path,
        SEVEN,
        "- {bars: 1-16, play: no, say: 'Much later comes a [bright eleventh](#11@11-12) for us.'}",
    )
    bars = {note.id: note.bar for note in score.notes}
    (label,) = timeline.labels
    (page,) = (page for page in timeline.pages if page.start <= label.start < page.end)
    assert any(bars[label.note] in row for row in page.rows)


def test_a_sentence_in_quotation_marks_ends(tmp_path):
    say = '"Here is the [root](1@1.1) of it all." Then nothing more is said for quite a while.'
    timeline, _ = told(tmp_path, SEVEN, f"- bars: 1-2\n  say: |\n    {say}")
    (ring,) = of_kind(timeline, "note")
    assert ring.end == word_tick(timeline, 7) + FADE_OUT
