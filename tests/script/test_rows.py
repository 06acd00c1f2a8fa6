"""Degrees that a sentence names one after the other are the notes that follow each other in the line."""

import pytest

PREFACE = "If you would be so kind as to look at the first measure, you will find the chord presented without haste, "


@pytest.mark.parametrize(
    ("say", "found"),
    [
        (PREFACE + "third, fifth, seventh and ninth in succession.", "1.1 1.1& 1.2 1.2&"),
        (
            "The third, fifth, seventh and ninth of bar one, I should hope, need no defence.",
            "1.1 1.1& 1.2 1.2&",
        ),
        ("Bar one goes three five seven nine.", "1.1 1.1& 1.2 1.2&"),
    ],
)
def test_a_list_that_the_line_has_is_lit_however_the_sentence_is_put(read, say, found):
    assert found in read("copper-lane.musicxml", "1-4", say)


@pytest.mark.parametrize(
    "say",
    [
        "Bar one is the ninth, seventh, fifth and third.",  # the other way round
        "Three, five, seven, nine people came.",
        "It is not the third but the fifth, not the seventh but the ninth.",
    ],
)
def test_what_is_not_there_in_this_order_lights_no_row(read, say):
    assert "1.1 1.1& 1.2 1.2&" not in read("copper-lane.musicxml", "1-4", say)


def test_a_note_that_moves_the_other_way_than_is_said_is_no_row(read):
    assert "lit 'fifth'" not in read(
        "the-tin-heron.musicxml", "1-4", "Bar three's eleventh falls to the fifth."
    )


@pytest.mark.parametrize(
    "say",
    [
        "Three five one on all three chords.",
        "Three five one, and then again, and then again.",
        "Third, fifth, root. And again. And again.",
        "The figure 3-5-1 is repeated on three successive chords.",
        "We get the same three five one three times.",
    ],
)
def test_a_row_that_is_said_to_come_each_time_is_lit_wherever_it_comes(read, say):
    assert "17.1 17.1& 17.2 18.1 18.1& 18.2 19.1 19.1& 19.2" in read(
        "turnstile-sprint.musicxml", "17-19", say
    )


@pytest.mark.parametrize(
    ("say", "found"),
    [
        ("The last cell is three five one.", "'19.1 19.1& 19.2'"),
        ("The second cell is three five one.", "'18.1 18.1& 18.2'"),
        ("Three five one, and then up to the major seventh.", "'17.1 17.1& 17.2'"),
        ("Bar eighteen starts on the F sharp. Three five one.", "'18.1 18.1& 18.2'"),
    ],
)
def test_a_row_is_where_its_number_or_the_note_beside_it_says(read, say, found):
    assert found in read("turnstile-sprint.musicxml", "17-19", say)


@pytest.mark.parametrize("say", ["Both cells are three five one.", "Three five one, twice."])
def test_a_row_that_comes_more_often_than_is_said_is_asked_for(read, say):
    read_out = read("turnstile-sprint.musicxml", "17-19", say)
    assert "question" in read_out and "lit" not in read_out


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("paperferry", "9-12", "Third, ninth, root, fifth in bar nine, and the same in bar ten.", "9.1-10.3"),
        ("paperferry", "9-12", "Third, ninth, root and fifth in bars nine, ten and eleven.", "9.1-11.3"),
        ("tarpaulin", "14-15", "G, E, B flat, four times round.", "14.1-15.2&"),
    ],
)
def test_a_row_that_is_said_of_several_bars_is_lit_in_each(read, score, bars, say, found):
    assert f"{found}', '" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("tram", "1-2", "One, seven, five, and at last the flat nine in bar two.", "('b9@2.1'"),
        ("pantry-light", "5-6", "Nine, one, seven, and finally three in bar six.", "'5.2& 5.3 5.4 6.1'"),
        ("tram", "1-1", "This cell is just like the last one, three five seven nine.", "'1.1& 1.2 1.2& 1.3'"),
        ("tram", "1-1", "Up to the nine, one, and back through the seventh.", "('1@1.3&'"),
        ("copper-lane", "4-4", "It steps down three, two, one to the flat thirteenth.", "('9@4.1&'"),
        ("pantry-light", "5-5", "Five first, then the line goes three, two, one.", "'5.2 5.2& 5.3'"),
    ],
)
def test_a_one_in_a_row_is_a_root_and_a_row_may_end_in_the_next_bar(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize("say", ["Three, two, one, go!", "I count three, two, one, and off we go."])
def test_counting_the_player_in_lights_nothing(read, say):
    assert "lit" not in read("copper-lane.musicxml", "4-4", say)


def test_an_arpeggio_from_one_degree_to_another_is_lit_as_far_as_it_is_said_to_go(read):
    told = read("slate-roof-rain.musicxml", "1-1", "There is a three-to-nine arpeggio in bar one.")
    assert "'1.1& 1.2 1.2& 1.3'" in told
