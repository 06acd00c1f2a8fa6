"""How long one note is said to last beside another is held against both."""

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "fault"),
    [
        ("9-10", "The D at the end of ten is held for less time than the A at the end of nine.", "less time"),
        ("7-8", "The E of bar eight lasts three times as long as the B flat in bar seven.", "three times"),
        ("13-14", "Fourteen's last note is half as long as the G before it.", "half as long"),
        ("13-14", "The last note of bar fourteen is longer than the one in bar thirteen.", "longer"),
    ],
)
def test_what_does_not_last_so_is_false(read, bars, say, fault):
    told = read("jetty.musicxml", bars, say)
    assert "fault" in told
    assert fault in told.split("fault", 1)[1]


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("9-10", "The D at the end of ten is held for more time than the A at the end of nine."),
        ("13-14", "Fourteen's last note is twice as long as the G before it."),
        ("13-14", "The last note of bar fourteen is held as long as the one in bar thirteen."),
        ("7-8", "The phrase of bar eight is shorter than the one in bar seven."),
    ],
)
def test_what_lasts_so_is_not(read, bars, say):
    assert "fault" not in read("jetty.musicxml", bars, say)
