"""A known note is asked for where there are several, and what is said to come as often as it does is lit."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "choices"),
    [
        ("paper-ferry", "4", "Don't overblow the flat seventh, please.", "['b7@4.2&', 'b7@4.3&']"),
        (
            "slate-roof-rain",
            "10-10",
            "Watch the fifth, it's usually a touch low.",
            "['5@10.1&', '5@10.3', '5@10.4&']",
        ),
        ("pepper-alley", "10-10", "I always overblow the flat nine.", "['b9@10.1', 'b9@10.3']"),
        (
            "pepper-alley",
            "23-23",
            "Everybody say hello to the seventh in this bar!",
            "['b7@23.2', 'b7@23.4']",
        ),
        ("slate-roof-rain", "11-11", "There's a nine I always crack.", "['9@11"),
    ],
)
def test_a_known_note_of_which_there_are_several_is_asked_for(read, score, bars, say, choices):
    assert choices in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "I wish I could play the fifth.",
        "My piano teacher always plays the fifth.",
        "Usually the fifth is left out.",
        "If the fifth is what you want, play another tune.",
        "A tritone substitute shares its fifth with nobody.",
    ],
)
def test_a_note_that_is_wished_for_or_of_others_is_not_asked_for(read, say):
    assert read("slate-roof-rain.musicxml", "10-10", say) == ""


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("pepper-alley", "14-14", "The seventh appears not once but twice.", "14.1&"),
        ("pepper-alley", "10-10", "Twice you get the flat nine.", "'10.1 10.3'"),
        ("pepper-alley", "10-10", "It's the flat nine both times.", "'10.1 10.3'"),
        ("pepper-alley", "10-10", "There's the flat nine, and there it is again.", "'10.1 10.3'"),
        ("pepper-alley", "22-22", "It can't get enough of the seventh.", "'22.1& 22.2&'"),
        ("pretzel-avenue", "14-14", "The line keeps coming back to the seventh.", "lit 'seventh'"),
        ("slate-roof-rain", "10-10", "We return to the fifth again and again.", "'10.1& 10.3 10.4&'"),
    ],
)
def test_what_comes_as_often_as_is_said_is_lit_each_time(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


def test_what_is_said_to_come_once_and_comes_more_often_is_false(read):
    assert "fault 'fifth'" in read("slate-roof-rain.musicxml", "10-10", "You hear the fifth only once.")
    assert "fault" not in read("slate-roof-rain.musicxml", "10-10", "For once you hear the fifth.")
    assert "lit 'flat seven'" in read("slate-roof-rain.musicxml", "22-22", "We only get the flat seven once.")


def test_a_note_that_comes_again_may_be_either(read):
    assert "question 'fifth'" in read("slate-roof-rain.musicxml", "10-10", "And there's the fifth again.")


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("shutters", "16-17", "Hold the B flat over and let it fall into the A.", "lit 'b flat' ('b7@16.4'"),
        ("lamplighters-coat", "9-10", "I hold that G over into the D seven.", "lit 'g' ('b7@9.3'"),
        ("pantry-light", "1-3", "The very first thing you play is the third of F major seven.", "'1.1'"),
    ],
)
def test_the_one_of_several_that_is_held_over_or_comes_first_is_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)
