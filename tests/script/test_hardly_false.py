"""True things that were called false once: what they speak of is not what lies nearest."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("harbour.musicxml", "16-17", "The C sharp is the leading tone, so let it pull you up to the D."),
        ("lantern-weir-4.musicxml", "1", "The root is the one thing nobody plays."),
        ("corner-blues.musicxml", "11", "This is the first bar with two chords in it."),
        (
            "porch-lantern.musicxml",
            "18",
            "The second half copies the first, except that its G flat is an octave higher.",
        ),
        ("cold-tin-lantern.musicxml", "1-8", "Two phrases so far, four bars each."),
        ("orrin-lock.musicxml", "18", "It's all downhill until the low F."),
        ("tallow-street-2.musicxml", "3", "The key we're in has a D flat."),
        ("tallow-street-2.musicxml", "4", "Minor thirds, all of them."),
        ("paper-harbour-2.musicxml", "8", "I defy you to find an A flat among them."),
        ("orrin-lock.musicxml", "11-12", "Fifteen eighths go by without a break."),
        (
            "cobblers-lantern.musicxml",
            "4",
            "It's the dark thirteenth, the flat thirteen, sitting right on beat three.",
        ),
        (
            "postcard-for-the-stoker.musicxml",
            "10",
            "Everything I play here comes straight out of the G altered scale.",
        ),
    ],
)
def test_what_is_true_is_not_called_false(read, score, bars, say):
    assert "fault" not in read(score, bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("harbour.musicxml", "16-17", "The B flat is the leading tone.", "leading tone"),
        ("lantern-weir-4.musicxml", "1", "Nobody plays in this bar.", "nobody plays"),
        ("orrin-lock.musicxml", "18", "It's all downhill.", "it's all downhill"),
        ("tallow-street-2.musicxml", "3", "We play a low D flat here.", "d flat"),
        ("tallow-street-2.musicxml", "4", "Both minor thirds are short.", "minor thirds"),
    ],
)
def test_what_is_false_still_is(read, score, bars, say, fault):
    assert fault in read(score, bars, say).partition("fault ")[2]
