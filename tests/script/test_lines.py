"""What is said of the line as it stands: its note values, rests, rises and falls, off-beats, pickups and phrases."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "corner-blues",
            "7-8",
            "Bar seven gathers speed: two quarters, then four eighths.",
            "7.3 7.3& 7.4 7.4&",
        ),
        ("copper-lane", "22-23", "The only long note in bar twenty-two rings on.", "22.3"),
        ("night-tram", "19-20", "And it all ends on a whole note.", "20.1"),
        ("copper-lane", "6-6", "The line falls an octave in a single bar.", "6.1 6.1& 6.2 6.2& 6.3 6.3& 6.4"),
        ("copper-lane", "13-13", "There is a leap of a fifth in the middle of bar thirteen.", "13.2 13.2&"),
        ("marzipan-weather", "23-24", "The final note of the piece is its lowest.", "24.2"),
        (
            "postcard-for-the-stoker",
            "17-18",
            "Short, long, short, long, we limp along.",
            "17.1 17.1& 17.2& 17.3",
        ),
        ("copper-lane", "7-11", "This phrase starts with a pickup of three notes.", "7.3& 7.4 7.4&"),
        ("paper-lighthouse", "1-4", "We don't come in until beat two.", "1.2"),
        ("copper-lane", "5-7", "The second phrase begins squarely on the beat.", "5.1"),
        (
            "lantern-weather",
            "7-8",
            "It starts on one, on the and of two, on four, and on the and of one.",
            "7.1 7.2& 7.4 8.1&",
        ),
        (
            "copper-kettle-blues",
            "14-15",
            "The A comes on one, on the and of two, on four.",
            "14.1 14.2& 14.4",
        ),
        ("salt-lantern", "9-12", "The phrase closes in bar twelve.", "12.2"),
        ("lantern-weather", "7-8", "Threes across the four, with nowhere to land.", "7.1 7.1& 7.2 7.2&"),
    ],
)
def test_notes_that_are_so_are_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("corner-blues", "1-4", "A beat and a half of nothing separates the two licks.", "2.4 to 3.1"),
        ("salt-flat-signal", "21-23", "Bar twenty-two is empty.", "22 to 22"),
        ("slow_kettle_harbour", "16-17", "The biggest hole in the tune is here.", "16.3 to 17.1"),
        ("copper-lane", "1-4", "The opening statement takes four bars.", "1 to 4"),
        ("marzipan-weather", "13-16", "Then comes a short one, four bars and out.", "13 to 16"),
        ("harbour-lamps", "10-12", "Here is a phrase, three bars in length.", "10 to 12"),
        ("lamplighter", "3-5", "One long phrase from bar three, and then we breathe.", "3 to 5"),
        ("kettle-street", "7-12", "The phrase starts late in seven and runs up to twelve.", "7 to 12"),
        ("herons", "1-4", "Four bars, and then a breath.", "1 to 4"),
        ("revolving-door-minutes", "4-4", "Beat four is a rest.", "4.4"),
    ],
)
def test_rests_and_phrases_are_lit_as_stretches(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "there"),
    [
        ("corner-blues", "9-10", "Bar ten is four even quarters.", "'four even quarters'"),
        (
            "marzipan-weather",
            "13-14",
            "Thirteen and fourteen move in nothing but quarter notes.",
            "'nothing but quarter",
        ),
        ("the-tin-heron", "25-26", "The closing note only gets two beats.", "gets two beats"),
        (
            "copper-lane",
            "15-16",
            "After that long note we sit out a good three beats.",
            "fault 'sit out a good three beats'",
        ),
        ("night-tram", "5-8", "In bars seven and eight there isn't a single rest.", "isn't a single rest"),
        (
            "pigeon-loft",
            "2-2",
            "Bar two shoots up a tenth before it thinks better of it.",
            "'shoots up a tenth'",
        ),
        (
            "brass-umbrella",
            "22-23",
            "Bar twenty-two rises from start to finish.",
            "'rises from start to finish'",
        ),
        (
            "lantern-waltz",
            "15-24",
            "The final phrase runs to eight bars and no more.",
            "'final phrase runs to eight bars'",
        ),
        (
            "night-tram",
            "0-4",
            "Three eighth notes lead us into bar one.",
            "'three eighth notes lead us into'",
        ),
        ("revolving-door-minutes", "4-4", "The downbeat is a rest.", "downbeat is a rest"),
        (
            "revolving-door-minutes",
            "4-4",
            "Bar four has notes on one, on two, and on four.",
            "on one",
        ),
    ],
)
def test_what_is_not_so_is_a_fault(read, score, bars, say, there):
    told = read(f"{score}.musicxml", bars, say)
    assert "fault" in told
    assert there in told


def test_one_of_several_is_asked_for(read):
    told = read("marzipan-weather.musicxml", "5-6", "Give the half note its full value.")
    assert "question 'the half note' ['5.1', '6.1']" in told


@pytest.mark.parametrize(
    "say",
    [
        "A rest is a note you don't pay for.",
        "The drummer has two beats of silence there.",
        "Half notes are the hardest notes there are.",
        "We'll go up an octave next term, when you're stronger.",
        "That's half the battle, the other half is showing up on the beat.",
        "A quarter of the class gets this wrong.",
        "There isn't a single rest in bar thirteen.",
        "Is there a half note in bar fifteen?",
        "The drums play on one, on the and of two, and on four.",
        "There are seven bars in this phrase if you count rests.",
    ],
)
def test_small_talk_true_denials_and_questions_light_nothing(read, say):
    assert "lit" not in read("copper-lane.musicxml", "9-16", say)
    assert "fault" not in read("copper-lane.musicxml", "9-16", say)
