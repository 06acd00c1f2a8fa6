"""Which bars are said to be alike, and which figure is said to come again."""

import json

import pytest

from lessonmaker.script.check import examine_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.plain.again_words import repetition_in
from lessonmaker.script.plain.alike_words import comparison_in
from lessonmaker.script.plain.moved_words import moved_in
from tests.tools.sentence_sets import OPEN, score_at


@pytest.fixture
def faults(tmp_path):
    """What is called false in a sentence: faults(score, bars, say) are their texts."""

    def run(score, bars, say):
        score, script = OPEN.with_name(score), tmp_path / "lesson.yaml"
        cue = f"cues:\n  - bars: {bars}\n    say: {json.dumps(say)}\n"
        script.write_text(f"lesson: L\nscore: {json.dumps(str(score))}\n{cue}", encoding="utf-8")
        return " ".join(fault.what for fault in examine_lesson(load_lesson(script), score_at(score)).faults)

    return run


@pytest.mark.parametrize(
    ("score", "bars", "say", "target"),
    [
        ("marmalade_ferry", "17-18", "Seventeen? You know it already, it's bar one.", "'17'"),
        ("copper-lane", "17-18", "The opening line again, only everything's up a whole step.", "'17-18'"),
        ("ladder-street", "19-20", "Seventeen and eighteen come back here a fourth higher.", "'19-20'"),
        ("lantern-waltz", "21-21", "Bar twenty-one is bar three read backwards.", "'21'"),
        ("the-tin-heron", "1-2", "Bar two turns bar one upside down.", "'1-2'"),
        ("copper-lane", "8-10", "Bar ten has bar three's rhythm, with other notes.", "'10'"),
        ("corner-blues", "3-3", "Third bar, first bar, no difference until the very last note.", "'3'"),
        ("kettle-on-the-landing", "27-27", "Twenty-seven is bar three minus the last note.", "'27'"),
        ("marmalade_ferry", "21-22", "Now the same idea a whole step down.", "'21-22'"),
        ("marmalade_ferry", "9-14", "It gets two more outings, a half step down each time.", "'sequence@9.1-14.3'"),
        ("lanterns", "19-21", "One idea, and every bar it sinks a third.", "'19.1-21.4'"),
        ("slow_kettle_harbour", "7-8", "Four groups of three, each a step lower.", "'sequence@7.1-8.2&'"),
        ("salt-flat-signal", "15-16", "A three-note cell in a bar of four.", "'cross rhythm@15.1-16.1'"),
        # the next bar, the bars before, halves, a model and its copy
        ("cobblers-lantern", "13-14", "Same shape in the next bar, down a half step.", "'13-14'"),
        ("lampoil", "5-6", "The next bar does the same thing a third lower.", "'5-6'"),
        ("quince", "5-8", "Six into seven is basically the same lick, only darker.", "'6-7'"),
        ("lantern-ferry-2", "17-24", "Twenty-one to twenty-four are the previous four, a step lower.", "'17-24'"),
        ("lantern-at-the-weir", "21-21", "The second half imitates the first, a third lower.", "'21'"),
        ("herons", "17-20", "Here is a two-bar model, and its copy a whole tone lower.", "'17-20'"),
        ("tarpaulin", "18-19", "Nineteen begins like eighteen, a half step lower.", "'18-19'"),
        # in several bars
        ("jetty", "13-16", "The same figure comes back in fourteen and fifteen.", "'13-15'"),
        ("kites", "13-16", "The idea in thirteen gets repeated in fourteen and again in fifteen.", "'13-15'"),
        ("jetty", "13-15", "It's the same little shape three times, so learn bar thirteen.", "'sequence@13-15'"),
        ("copper-kettle-blues-2", "7-10", "The figure of bar seven is repeated twice.", "'sequence@7-9'"),
    ],
)  # fmt: skip
def test_what_is_as_alike_as_is_said_is_lit(read, score, bars, say, target):
    assert target in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "what"),
    [
        (
            "copper-lane",
            "17-18",
            "Bar 17 is bar 1 moved up a minor third.",
            "bar 17 has the notes of bar 1 2 semitones higher",
        ),
        (
            "marmalade_ferry",
            "17-17",
            "Bar seventeen is bar one with a different last note.",
            "bar 17 has the notes of bar 1 at the same height",
        ),
        (
            "copper-lane",
            "5-6",
            "Bar six has exactly the rhythm of bar five.",
            "bar 6 has another rhythm than bar 5",
        ),
        (
            "kettle-on-the-landing",
            "25-25",
            "Twenty-five brings the opening back an octave lower.",
            "at the same height",
        ),
        ("lantern-waltz", "2-4", "Bar four is bar two in retrograde.", "bar 4 is not bar 2 backwards"),
        ("paper-lighthouse", "9-10", "That shape comes five times.", "has a figure that comes four times"),
        (
            "copper-lane",
            "13-14",
            "Each of the four cells starts a third above its predecessor.",
            "moves by two semitones",
        ),
    ],
)
def test_what_is_not_as_alike_as_is_said_is_false_and_told(faults, score, bars, say, what):
    assert what in faults(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "Repeat after me: slow is fast.",
        "Move it up a fourth at home and you've got your next chord.",
        "If you ever forget bar twenty, just repeat bar nineteen.",
        "In the same bar, breathe.",
        "It's the same story in every tune: tension, then release.",
        "That note is the same in every key you can think of.",
        "We play these three phrases twice a day.",
        "It's the same line my teacher showed me.",
    ],
)
def test_what_only_sounds_like_likeness_is_none(read, say):
    assert "lit" not in read("marmalade_ferry.musicxml", "19-20", say)


def test_what_is_said_loosely_of_two_bars_is_never_false(read):
    assert "fault" not in read("lanterns.musicxml", "3-4", "Bar four is a bit like bar three.")


def test_how_two_stretches_are_alike_is_parsed_from_words():
    said = comparison_in("bar 22 is bar 18 a half step higher, except for the last note.")
    assert [each.numbers for each in said.references] == [(22,), (18,)]
    assert (said.relation, said.moved.way, said.moved.interval) == ("notes", 1, "half step")
    assert (said.but.side, said.but.count, said.but.only) == (-1, 1, True)


def test_how_a_figure_comes_again_is_parsed_from_words():
    said = repetition_in("the same three-note cell four times, each time a third lower.")
    assert (said.times, said.size, said.moved.way, said.moved.interval) == (4, 3, -1, "third")
    assert repetition_in("a sequence in three steps.") is None
    assert repetition_in("two shapes are worth knowing here, the arpeggio and the scale.") is None


@pytest.mark.parametrize(
    ("say", "way", "interval"),
    [
        ("one fret down", -1, "half step"),
        ("lifted by a perfect fourth", 1, "perfect fourth"),
        ("an octave apart", 0, "octave"),
        ("transposed", 0, ""),
    ],
)
def test_how_far_something_is_moved_is_parsed_from_words(say, way, interval):
    moved = moved_in(say, with_way_only=False)
    assert (moved.way, moved.interval) == (way, interval)


def test_what_one_bar_has_another_may_have_at_another_pitch(read):
    say = "What you play in bar five comes a half step lower in bar six."
    assert "lit 'what you play" in read("orrin-lock.musicxml", "5-7", say)
    assert "question 'what you play" in read("orrin-lock.musicxml", "5-7", say.replace("half", "whole"))


def test_other_notes_are_no_other_rhythm(understood) -> None:
    (fault,) = understood("gaslight-errand", "9-12", "Bar ten is bar two with another rhythm.")
    assert (fault.status, fault.what) == ("fault", "“with another rhythm”: bar 10 has other notes than bar 2")
