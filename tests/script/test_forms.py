"""What is said of the form: how long it is, and of how many choruses."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "where"),
    [
        ("kettle-on-the-landing", "1-32", "The form is thirty-two bars.", "all"),
        ("kettle-on-the-landing", "1-32", "It's a thirty-two-bar tune.", "all"),
        ("kettle-on-the-landing", "1-32", "The form goes A A B A.", "all"),
        ("cobblers-umbrella", "1-16", "The form is sixteen bars.", "1-16"),
        ("postcard-for-the-stoker", "1-24", "We have two choruses of twelve bars each.", "all"),
        ("copper-kettle-blues", "1-24", "Two choruses.", "all"),
        ("kettle-2", "13-24", "Now the second chorus starts.", "13-24"),
        ("kettle-2", "9-14", "And here the last chorus begins.", "13-14"),
    ],
)
def test_a_form_that_is_as_long_as_is_said_is_lit(understood, score, bars, say, where):
    assert [each.target for each in understood(score, bars, say)] == [where]


@pytest.mark.parametrize(
    ("say", "what"),
    [
        ("The whole thing is sixteen bars long.", "there are 24 bars"),
        ("Two choruses of sixteen bars each.", "there are 24 bars"),
    ],
)
def test_a_form_that_is_longer_or_shorter_is_false(understood, say, what):
    (found,) = understood("postcard-for-the-stoker", "1-24", say)
    assert what in found.what


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("kettle-2", "1-4", "The second chorus starts with a bang."),  # not in sight
        ("kettle-2", "1-24", "Play two choruses of this before breakfast."),
        ("gaslight-errand", "1-8", "The tune is 0 bars long."),
        ("postcard-for-the-stoker", "1-24", "One choruses of 24 bars."),  # none comes again
        (
            "postcard-for-the-stoker",
            "1-24",
            "Three choruses of eight bars each.",
        ),  # its chords do not come again
    ],
)
def test_what_the_cue_does_not_show_or_does_not_say_is_left_alone(understood, score, bars, say):
    assert not understood(score, bars, say)
