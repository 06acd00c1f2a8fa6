"""Rests, note lengths, triplets and the bounds of phrases in other words: what is so, what is not, and small talk."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("slate-roof-rain", "9-9", "Note the rest in this bar.", "9.3 to 9.4"),
        ("slate-roof-rain", "9-9", "Don't come in on beat three, that's a rest.", "9.3 to 9.3"),
        ("slate-roof-rain", "18-18", "Bar eighteen ends with a quarter rest.", "18.4 to 18.4"),
        ("pantry-light", "7-8", "After that you get a whole bar of rest, so use it.", "8 to 8"),
        ("pepper-alley", "9-11", "The fourth phrase starts in bar nine and ends in bar eleven.", "9 to 11"),
        ("pepper-alley", "9-11", "The fourth phrase stretches from nine to eleven.", "9 to 11"),
        ("slate-roof-rain", "9-9", "Hold the long note for its full two beats.", "9.1"),
        ("pantry-light", "15-15", "Dotted quarter on the downbeat, and it needs no hurry.", "15.1"),
        ("slate-roof-rain", "4-4", "Now eighths, one after the other.", "4.1 4.1& 4.2 4.2&"),
        ("tram", "14-14", "There's a tie over the bar line at the end of bar fourteen.", "14.4&"),
        ("pepper-alley", "5-5", "C is the highest note of bar five.", "5.1"),
        ("pepper-alley", "9-11", "The fourth phrase is a three-bar phrase.", "9 to 11"),
        ("slate-roof-rain", "4-4", "Bar four is written in eighths.", "4.1 4.1& 4.2 4.2&"),
        ("grey-sluice", "15-16", "Push the last note of bar fifteen over into sixteen.", "'15.3&'"),
    ],
)
def test_what_is_so_is_lit(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "words"),
    [
        ("slate-roof-rain", "10-10", "Note the rest in bar ten.", "note the rest"),
        ("slate-roof-rain", "18-18", "Bar eighteen opens with a quarter rest.", "a quarter rest"),
        ("under-the-slipway", "1-4", "It opens with two bars of rest, so count.", "two bars of rest"),
        ("slate-roof-rain", "10-10", "We sit out bar ten altogether.", "we sit out bar ten"),
        ("pepper-alley", "24-24", "A half note on beat one of bar twenty-four.", "a half note on beat one"),
        ("pepper-alley", "9-11", "The fourth phrase ends in bar ten.", "the fourth phrase ends in bar ten"),
        ("pepper-alley", "8-8", "A triplet takes up the second beat of bar eight.", "triplet"),
        ("pepper-alley", "13-13", "The long note here gets one beat.", "gets one beat"),
        ("slate-roof-rain", "10-10", "No notes at all in bar ten.", "no notes at all"),
        ("slate-roof-rain", "10-10", "Bar ten ends with a tie into the next bar.", "a tie"),
        ("slate-roof-rain", "11-11", "All of bar eleven is in triplets.", "triplets"),
        ("pepper-alley", "9-11", "The fourth phrase has five bars.", "fourth phrase has five bars"),
        ("pepper-alley", "13-13", "In measure thirteen one finds eight notes.", "eight notes"),
        ("slate-roof-rain", "11-11", "The whole bar moves in triplets.", "triplets"),
        ("slate-roof-rain", "9-9", "The longest note of bar nine is one beat long.", "is one beat long"),
    ],
)
def test_what_is_not_so_is_a_fault(read, score, bars, say, words):
    assert f"fault '{words}" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "Give it a rest, will you.",
        "The rest of us would never dare.",
        "A rest is worth as much as a note.",
        "Nobody plays better than my sister.",
    ],
)
def test_small_talk_lights_nothing(read, say):
    assert read("slate-roof-rain.musicxml", "9-9", say) == ""


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("tram", "1-4", "Four bars without a breath.", "1 to 4"),
        ("tram", "1-4", "You get no rest for four bars.", "1 to 4"),
        ("pantry-light", "7-8", "It ends on the fifth, and then we have a whole bar off.", "8 to 8"),
    ],
)
def test_bars_without_a_rest_and_a_rest_told_for_itself_are_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


def test_what_is_said_of_the_notes_of_a_row_is_judged_by_these_alone(read):
    say = "Three, five, seven, all quavers."
    assert "fault" not in read("copper-lane.musicxml", "3-3", say)
    assert "fault 'all eighth notes'" in read(
        "turnstile-sprint.musicxml", "17-17", "Three, five, one, all eighth notes."
    )
