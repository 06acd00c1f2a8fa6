"""Commentary over a film: read while its bars sound, at reading speed, marked while it is read or sounds."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from lessonmaker.build.telling import chapter_remarks, telling_of, unread_remarks
from lessonmaker.score.edition import EDITIONS
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.timeline.through import Film, play_through
from tests.tools.told_lesson import told_material

SWING = "gaslight-errand"
MOST_CHARACTERS_A_SECOND, LONGEST_S = 20, 7  # common practice, no source


@pytest.fixture
def film(tmp_path):
    """The film of a lesson's cues, played evenly."""

    def made(cues, start_s=0, end_s=None, name=SWING):
        material = told_material(tmp_path, name, cues)
        fit = material.fit
        staged = Film(
            "The Film", "", "", material.score, fit, Fraction(start_s), Fraction(end_s or fit.end_s + 2)
        )
        telling = telling_of(material.checked, material.score, EDITIONS["concert"], 42)
        return replace(staged, telling=telling), material.checked

    return made


def bar_ticks(film, number, visit=1):
    """From when to when a bar sounds, by its printed number."""
    index = next(bar.index for bar in film.score.bars if bar.number == str(number))
    place = [(bar.bar, bar.visit) for bar in film.fit.bars].index((index, visit))
    return tuple(film.tick(seconds) for seconds in film.clock.bar_s(place))


def words(captions):
    return " ".join(line for caption in captions for line in caption.lines)


def test_a_cue_is_read_from_its_bars_on(film):
    staged, _ = film("- {bars: 5-7, say: Breathe first.}\n- {bars: 10-13, say: Listen to the end.}")
    first, second = play_through(staged).captions
    assert (first.start, second.start) == (bar_ticks(staged, 5)[0], bar_ticks(staged, 10)[0])
    assert (first.lines, second.lines) == (("Breathe first.",), ("Listen to the end.",))


def test_what_points_at_a_later_bar_waits_for_it(film):
    staged, _ = film("- {bars: 1-4, say: 'Well now. In bar four the [fourth](4@4) goes on.'}")
    first, second = play_through(staged).captions
    assert first.start == bar_ticks(staged, 1)[0]
    assert second.start == bar_ticks(staged, 4)[0]


def test_captions_are_readable_and_never_meet(film):
    say = (
        "Bar two is where it leans, and then it goes on for quite a while before it comes to rest again. " * 3
    )
    staged, _ = film(f"- bars: 1-16\n  say: {say}\n- bars: 17-20\n  say: The bridge opens.\n")
    captions = play_through(staged).captions
    assert words(captions) == f"{say.strip()} The bridge opens."
    for one in captions:
        seconds = (one.end - one.start) / TICKS_PER_SECOND
        assert len(" ".join(one.lines)) / seconds <= MOST_CHARACTERS_A_SECOND
        assert 1 <= seconds <= LONGEST_S
    assert all(one.end <= other.start for one, other in pairwise(captions))


def test_words_are_gone_a_second_after_their_bars_whatever_follows(film):
    sentence = "This is said of one bar alone."
    staged, checked = film(
        f"- {{bars: 8, say: '{' '.join([sentence] * 9)}'}}\n- {{bars: 20, say: It goes on.}}"
    )
    *captions, last = play_through(staged).captions
    start, end = bar_ticks(staged, 8)
    assert captions[0].start >= start - 3 * TICKS_PER_SECOND
    assert end < captions[-1].end <= end + TICKS_PER_SECOND
    assert words([last]) == "It goes on."
    (remark,) = unread_remarks(checked, staged.read[1])
    assert remark.what == (
        f"cue 1 leaves out {9 - words(captions).count(sentence)} of its 9 sentences: "
        "while its bars play there is no time to read more"
    )


def test_what_takes_longer_than_its_bars_is_read_ahead_of_them_at_ease(film):
    say = "What comes now is said of one bar alone, and it is over before all of this can be read."
    staged, _ = film(f"- {{bars: 8, say: '{say}'}}")
    first, *_, last = play_through(staged).captions
    start, end = bar_ticks(staged, 8)
    assert first.start < start
    assert last.end == end + TICKS_PER_SECOND
    assert len(say) / 15 <= (last.end - first.start) / TICKS_PER_SECOND < len(say) / 15 + 0.2


def test_nothing_is_read_ahead_over_words_that_have_their_bars_there(film):
    first, second = "Here it leans, and then it goes on for a while.", "Here it turns back to where it was."
    staged, _ = film(f"- {{bars: 8, say: '{first}'}}\n- {{bars: 9, say: '{second}'}}")
    captions = play_through(staged).captions
    assert words(captions) == f"{first} {second}"
    assert captions[0].start < bar_ticks(staged, 8)[0]
    assert captions[0].end <= captions[1].start


def test_what_there_is_no_time_to_read_is_left_out_and_told(film):
    long = (
        "This is said of one bar alone, and it is far too long to be read before the next one comes, "
        "however early it is begun and however fast it is read by those who read fast."
    )
    staged, checked = film(f"- {{bars: 2, say: '{long} {long} {long}'}}\n- {{bars: 3, say: It goes on.}}")
    captions = play_through(staged).captions
    assert words(captions) == "It goes on."
    assert captions[0].start == bar_ticks(staged, 3)[0]
    (remark,) = unread_remarks(checked, staged.read[1])
    assert remark.what == "cue 1 is left out: while its bars play there is no time to read it"
    assert (remark.place.line, remark.place.column) == (4, 19)


def test_a_cue_that_is_read_in_part_says_from_where_on(film):
    sentence = "One short word. "
    staged, checked = film(f"- {{bars: 8, say: '{(9 * sentence).strip()}'}}\n- {{bars: 9, say: It goes on.}}")
    told = words(play_through(staged).captions)
    read = told.count(sentence)
    assert 0 < read < 9
    assert told == f"{sentence * read}It goes on."
    (remark,) = unread_remarks(checked, staged.read[1])
    assert remark.what.startswith(f"cue 1 leaves out {9 - read} of its 9 sentences: ")
    assert remark.place.column == 19 + read * len(sentence)


def test_cues_of_the_same_bars_follow_each_other(film):
    staged, _ = film("- {bars: 5-12, say: Breathe first.}\n- {say: Then come down.}\n- {say: And wait.}")
    captions = play_through(staged).captions
    assert words(captions) == "Breathe first. Then come down. And wait."
    assert captions[0].start == bar_ticks(staged, 5)[0]
    assert captions[-1].start < bar_ticks(staged, 12)[1]


def test_what_opens_a_lesson_is_read_before_the_music(film):
    staged, _ = film("- say: Hello.\n- {bars: 1-4, say: It begins.}")
    first, second = play_through(staged).captions
    assert (first.start, second.start) == (0, bar_ticks(staged, 1)[0])


def test_a_comparison_is_told_at_the_later_place(film):
    staged, _ = film("- {compare: [4, 28], say: 'The [flat nine](b9@28) keeps its place.'}")
    timeline = play_through(staged)
    start, end = bar_ticks(staged, 28)
    (caption,), (label,) = timeline.captions, timeline.labels
    assert caption.start == start
    assert label.start <= start and label.end >= end
    assert start - label.start < TICKS_PER_SECOND


def test_a_note_has_its_label_while_its_bar_plays_and_its_colour_while_it_sounds(film):
    staged, _ = film("- {bars: 1-4, say: 'Bar two sits on the [sharp eleven](#11@2).'}")
    timeline = play_through(staged)
    (label,) = timeline.labels
    start, end = bar_ticks(staged, 2)
    assert label.start <= start and label.end >= end
    assert (label.text, label.use) == ("#11", "tension")
    (sounding,) = (note for note in staged.fit.notes if note.note == label.note)
    lit = [one for one in timeline.lights if one.kind == "note" and one.targets == (label.note,)]
    assert [(one.use, one.start, one.end) for one in lit] == [
        ("tension", staged.tick(sounding.time_s), staged.tick(sounding.end_s))
    ]
    assert {one.use for one in timeline.lights if one.kind == "note" and one not in lit} == {"now"}


def test_terms_have_their_colour_as_long_as_they_can_be_read(film):
    staged, _ = film("- {bars: 1-4, say: 'Bar two sits on the [sharp eleven](#11@2).'}")
    (caption,) = play_through(staged).captions
    (term,) = caption.terms
    assert caption.lines[term.line][term.first : term.last] == "sharp eleven"
    assert (term.start, term.end, term.use) == (caption.start, caption.end, "tension")


def test_titles_become_chapters_where_they_are_long_enough(film):
    cues = "- {play: all, title: All}\n- {bars: 9-12, title: The turn, say: Now.}\n- {bars: 10, title: Too soon}\n"
    staged, checked = film(cues)
    found = play_through(staged).chapters
    (remark,) = chapter_remarks(checked, staged.read[0], found)
    assert remark.what.startswith("cue 3 begins no chapter of the film: it or the one before would last")
    assert remark.place.line == 6
    chapters = [(one.start, one.title) for one in found]
    assert chapters[0] == (0, "All (bars 1-44)")
    assert chapters[1] == (bar_ticks(staged, 9)[0], "The turn (bars 9-12)")
    assert len(chapters) == 2


def test_bars_that_a_part_of_the_film_leaves_out_are_told_of_once(film):
    staged, checked = film(
        "- {bars: 1-2, say: It begins.}\n- {bars: 9, say: Gone.}\n- {bars: 40, say: Far.}\n", end_s=6
    )
    assert words(play_through(staged).captions) == "It begins."
    (remark,) = unread_remarks(checked, staged.read[1])
    assert remark.what == "cues 2, 3 are not told: the film does not play the bars"


def test_a_part_of_the_film_tells_its_cues_in_its_own_time(film):
    cues = "- {bars: 9-12, say: 'Slide down to the [thirteenth](13@9).'}"
    whole, part = (play_through(film(cues, start_s)[0]) for start_s in (0, 10))
    shift = 10 * TICKS_PER_SECOND
    assert [one.start - shift for one in whole.captions] == [one.start for one in part.captions]
    assert [one.end - shift for one in whole.labels] == [one.end for one in part.labels]


def test_a_time_round_is_told_in_that_round(film):
    staged, _ = film("- {bars: 3x2, say: Once more.}", name="the-tin-heron")
    (caption,) = play_through(staged).captions
    assert caption.start == bar_ticks(staged, 3, 2)[0]
