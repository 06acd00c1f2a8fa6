"""Notes and degrees beside each other: rows, where a note goes, what it becomes, and into what it is held."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "late-ferryman",
            "16-16",
            "The three goes to the five, then the seven.",
            "('b7@16.2'",
        ),  # loose numbers
        ("lantern-ferry", "31-31", "I slip from the six to the five on the tonic.", "lit 'six' ('6@31.2&'"),
        ("ferrystone", "16-17", "The leading tone goes home to C.", "lit 'c' ('1@17.1'"),
        ("late-ferryman", "20-21", "B goes to D on the G seven.", "('3@20.3'"),  # and letters
        ("late-ferryman", "16-16", "Bar sixteen goes three, five, seven, nine.", "'16.1 16.1& 16.2 16.2&'"),
        ("late-ferryman", "16-16", "Bar sixteen goes F sharp, A, C, E flat.", "'16.1 16.1& 16.2 16.2&'"),
        (
            "late-ferryman",
            "10-11",
            "Flat third, fifth, root, ninth, and again flat third, fifth, root, ninth.",
            "'11.1 11.1& 11.2 11.2&'",
        ),
        ("slate-and-candle", "16-17", "One, nine, three, five in each group.", "('16.1-17.2&'"),
        ("copper-lane", "1-4", "In bar three the D goes up to the F.", "('9@3.3'"),
        ("copper-lane", "3-4", "The enclosure squeezes the G.", "('5@4.3&'"),
        (
            "copper-lane",
            "22-23",
            "The E flat at the end of bar twenty-two becomes the eleventh of B flat.",
            "lit 'eleventh' ('22.3'",
        ),
        ("biscuit", "3-4", "The D flat that is tied into measure four rings.", "'d flat' ('b3@3.4&'"),
        (
            "late-ferryman",
            "14-15",
            "The E flat that is tied into bar fifteen is the flat five.",
            "('b5@14.4&'",
        ),
        ("lantern-stair", "18-18", "In bar eighteen there's a seventh on beat two.", "'18.2'"),
        ("jetty", "2-2", "The minor third comes right before the ninth.", "'2.1&'"),
        ("cellar-lantern", "1-2", "Bar one climbs up a plain three five seven nine.", "'1.2 1.2& 1.3 1.3&'"),
        ("marmalade_ferry", "7-7", "The five sits next to the third here.", "'7.3'"),
        ("marmalade_ferry", "7-7", "The five is approached from the sharp eleven.", "'7.1&'"),
        ("lanterns", "7-8", "In bar eight the fourth hangs over the F seven.", "('7.4'"),
        ("lanterns", "7-8", "The suspension in bar eight is sweet.", "('7.4-8.2'"),
        ("slate-and-candle", "5-5", "In bar five the leading note shines.", "('7@5.2&'"),  # of its chord
        ("slate-and-candle", "4-4", "In bar four the leading note shines.", "('3@4.3'"),  # of its key
        ("brass-umbrella", "15-16", "Bar fifteen is three against four.", "('cross rhythm@15-16'"),
        ("marmalade_ferry", "17-18", "The cross rhythm is a joy.", "'17.2& 17.3 17.4 17.4& 18.1& 18.2'"),
        (
            "pigeon-loft",
            "14-15",
            "It falls in threes: a cross rhythm.",
            "('14.1-15.4'",
        ),  # its directions alone
    ],
)
def test_what_the_line_has_is_lit(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "there"),
    [
        ("late-ferryman", "16-16", "Bar sixteen goes F sharp, A, C, E.", "bar 16 has no F♯ and no E"),
        (
            "late-ferryman",
            "16-16",
            "In bar sixteen it descends flat nine, flat seven, five, three.",
            "bar 16 has them in the order 3 5 b7 b9",
        ),
        (
            "copper-lane",
            "17-18",
            "Bar seventeen has the root, flat third, fifth and thirteenth.",
            "there is no 13 in bar 17: it has b3 5 b7 9 1 b7 5 b3 over Gm7",
        ),
        (
            "late-ferryman",
            "16-16",
            "In bar sixteen the C falls to the A.",
            "C at 16.2 rises to E♭ at 16.2&",
        ),
        (
            "late-ferryman",
            "16-16",
            "In bar sixteen the E flat rises to the D.",
            "E♭ at 16.2& falls to D at 16.3",
        ),
        (
            "biscuit",
            "3-4",
            "The D flat at the end of bar three becomes the flat nine.",
            "the D♭ at 3.4& becomes the b3",
        ),
        ("lanterns", "1-2", "In bar one, that B flat is sweet.", "there is no B flat in bar 1"),
        ("lanterns", "1-2", "The suspension in bar one is sweet.", "there is no suspension in bar 1"),
        ("slate-and-candle", "14-15", "In bar fifteen the leading tone shines.", "there is no 7 in bar 15"),
    ],
)
def test_what_it_has_not_is_a_fault_that_says_what_is_there(faults, score, bars, say, there):
    assert there in faults(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "left"),
    [
        ("late-ferryman", "14-15", "The D that is tied into bar fifteen is low.", "lit 'd'"),
        ("late-ferryman", "16-16", "In bar sixteen, does the E flat rise to the D?", "fault"),
        (
            "late-ferryman",
            "14-15",
            "Does the E flat at the end of bar fourteen become the flat nine?",
            "fault",
        ),
        (
            "late-ferryman",
            "16-16",
            "In bar sixteen we hear the flat ninth, the fifth and the third.",
            "fault",
        ),
        ("late-ferryman", "5-5", "Is there a cross rhythm in bar five?", "cross rhythm"),
        ("lanterns", "1-2", "In bar one, is that a B flat?", "fault"),
        ("lanterns", "1-2", "In bar one we move to the key of B flat.", "fault"),
        ("copper-lane", "3-4", "In bar four there is an enclosure around the A.", "lit 'a'"),
        ("copper-lane", "17-18", "The line moves to an E in bar eighteen.", "fault"),
    ],
)
def test_what_is_asked_or_something_else_is_left_alone(read, score, bars, say, left):
    assert left not in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "orrin-lock",
            "5-7",
            "In every bar the line rises in thirds and then turns.",
            "lit 'rises in thirds'",
        ),
        (
            "orrin-lock",
            "1-2",
            "The seventh at the end of bar one climbs a minor third to the ninth.",
            "('9@2.1'",
        ),
        (
            "marmalade_ferry",
            "5-5",
            "We start with a rest, then three and five of C sharp minor.",
            "('b3@5.2'",
        ),
        ("copper-lane", "4-4", "That's a half step below the fifth, F sharp.", "('#11@4.3'"),
        ("turnstile-sprint", "18-18", "The F natural becomes F sharp.", "('3@18.1'"),
        ("tram", "2-2", "You'd expect the root on one, and you get a flat nine instead.", "('b9@2.1'"),
    ],
)
def test_what_stands_beside_a_claim_makes_nothing_false(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told
    assert "climbs a" not in told


def test_what_is_only_expected_lights_nothing(read):
    assert read("tram.musicxml", "2-2", "You would expect a flat nine, and you'd be right.") == ""


def test_a_note_tied_into_another_chord_may_be_called_by_its_own_bar(read):
    assert "fault" not in read("jetty.musicxml", "5-5", "The bar ends with the root tied over.")
    assert "fault 'third'" in read("jetty.musicxml", "5-5", "The bar ends on the third.")


def test_another_name_of_a_note_is_not_false(read):
    told = read("jetty.musicxml", "4-4", "The G sharp is really an A flat, the flat nine.")
    assert "fault" not in told
    assert "lit 'g sharp' ('b9@4.2'" in told
