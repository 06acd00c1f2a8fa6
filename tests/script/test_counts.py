"""How often something is said to come chooses all of it, and is false where it comes more or less often."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("copper-lane", "5-6", "Two thirds in bar five, one on two, one on the and of three.", "5.2 5.3&"),
        ("copper-lane", "5-6", "You get two G flats in measure six.", "6.1 6.4"),
        ("night-tram", "1-3", "A flat comes twice over the D seven, high and low.", "2.3 2.4&"),
        ("night-tram", "13-14", "How many Ds in bar thirteen, four.", "13.1 13.2 13.3 13.4"),
        ("night-tram", "4-5", "There's the B natural, and it's the third both times.", "4.2 4.3"),
        ("the-tin-heron", "9-14", "In bar ten the flat nine comes on three and again on six.", "10.3 10.6"),
        ("revolving-door-minutes", "8-8", "The two ninths come on beat three.", "8.3 8.3&"),
        ("kettle", "10-10", "The flat nine, which is struck twice, is sharp.", "10.1& 10.2&"),
    ],
)
def test_all_that_are_counted_are_lit(read, score, bars, say, found):
    assert f"'{found}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("paper-lighthouse", "21-24", "Bar twenty-one sounds its root twice.", "fault 'root'"),
        ("brass-umbrella", "9-12", "I count three triplets in bar nine.", "fault 'triplets'"),
        ("copper-lane", "5-6", "We meet the G flat three times in bar six.", "fault 'g flat'"),
    ],
)
def test_another_number_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "In bar six the G flat comes at least once or twice.",
        "Is the G flat there three times in bar six?",
        "The G flat in bar six is twice as dark as the third.",
        "Two fourths fill bar six.",  # intervals, perhaps
    ],
)
def test_a_number_that_is_hedged_asked_or_of_something_else_is_never_false(read, say):
    assert "fault" not in read("copper-lane.musicxml", "5-8", say)


@pytest.mark.parametrize(
    ("say", "found"),
    [
        ("That tied E flat is the sus four, and then the third.", "'22.3'"),
        ("The E flat is tied over and turns into a suspended fourth.", "'22.3'"),
    ],
)
def test_a_note_that_is_tied_over_is_the_one_held_across_the_bar_line(read, say, found):
    told = read("copper-lane.musicxml", "21-24", say)
    assert told.count(f"{found})") == 2
    assert "21.3" not in told


def test_the_leading_note_is_the_seventh_and_the_tonic_note_the_root(read):
    assert "'3.3&'" in read("orchard-clock.musicxml", "1-4", "The leading note in bar three slips home.")
    assert "'20.1'" in read("night-tram.musicxml", "17-20", "We close on the tonic note.")


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("kettle", "10-10", "The flat nine comes on the and of one, then again on the and of two.", "10.2&"),
        ("kettle", "7-7", "The fifth opens the bar and comes back on the and of three.", "7.3&"),
        ("kettle", "22-22", "The flat nine appears on the and of one and returns on beat four.", "22.4"),
    ],
)
def test_where_something_is_said_to_come_once_more_is_lit(read, score, bars, say, found):
    assert f"'{found}'" in read(f"{score}.musicxml", bars, say)


def test_what_only_comes_back_is_no_second_note(read):
    assert read("kettle.musicxml", "22-22", "The flat nine returns on four.").count("lit") == 1
