"""What bars are said to do, both or the one unlike the other, is held against each of them."""

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "fault"),
    [
        ("1-2", "Both bars start right on the downbeat.", "start right on the downbeat"),
        ("7-8", "Seven falls silent on beat four, and eight plays on.", "falls silent on beat four"),
        ("9-10", "Unlike bar ten, bar nine starts on the downbeat.", "starts on the downbeat"),
        ("7-8", "Of these two it's seven that stays silent.", "stays silent"),
        ("18-19", "Eighteen has an A natural in it; nineteen, for its part, avoids it.", "avoids it"),
        ("9-10", "Bar nine keeps still on the F, and then ten adds a new note.", None),
        ("8-9", "There's a rest in eight and none in nine, which fills every beat.", "fills every beat"),
    ],
)
def test_what_one_of_them_does_not_do_is_false(read, bars, say, fault):
    told = read("jetty.musicxml", bars, say)
    assert ("fault" in told) == (fault is not None)
    assert fault is None or fault in told.split("fault", 1)[1]


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("3-4", "Both bars start right on the downbeat."),
        ("7-8", "Eight falls silent on beat four, and seven plays on."),
        ("9-10", "Unlike bar nine, bar ten starts on the downbeat."),
        ("9-10", "Nine has a B in it; ten, for its part, avoids it."),
        ("18-19", "Eighteen plays on three pitches, and nineteen adds a new note."),
        ("1-2", "Both chords start right on the downbeat."),
        ("1-2", "Do both bars start right on the downbeat?"),
    ],
)
def test_what_both_or_the_right_one_does_is_not(read, bars, say):
    assert "fault" not in read("jetty.musicxml", bars, say)
