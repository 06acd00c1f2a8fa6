"""What is asked of the player is meant where it is known to be there; what is denied is false where it is there."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("copper-lane", "12-12", "The flat nine wants a bit of an accent.", "'12.2&'"),
        ("copper-lane", "6-6", "Don't swallow the flat nine.", "'6.3'"),
        ("late-ferryman", "3-3", "Whatever else you do, be gentle with the thirteenth.", "'3.3'"),
        ("corner-blues", "10-10", "Sing the flat ninth before you play it.", "'10.3&'"),
        ("corner-blues", "10-10", "Try that flat ninth again, and listen to it.", "'10.3&'"),
        ("corner-blues", "10-10", "I always crack a little on that flat nine.", "'10.3&'"),
        ("corner-blues", "3-3", "Don't hurry from the sharp nine into the third.", "'3.4'"),
        ("corner-blues", "7-8", "The high note needs air behind it.", "'8.1'"),
        ("lantern-waltz", "5-7", "Don't clip the last note.", "9@7.1"),
        ("lantern-waltz", "17-17", "Could you keep the thirteenth from sagging?", "'17.2&'"),
        ("lantern-waltz", "13-13", "Not the ninth but the sharp eleven is what I'd dwell on.", "#11@13.3"),
        ("copper-lane", "7-7", "Instead of the root, bar seven gives us the ninth.", "'7.1'"),
        ("brass-umbrella", "5-5", "There is a sharp eleven, with the fifth on either side.", "'5.1 5.2&'"),
    ],
)
def test_what_is_asked_of_the_player_is_lit_where_it_can_be_one_thing_only(read, score, bars, say, found):
    assert "lit" in read(f"{score}.musicxml", bars, say)
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "choices"),
    [
        ("copper-lane", "1-4", "I would lean ever so slightly on the ninth.", ("1.2&", "2.3", "3.3", "4.1&")),
        ("lantern-waltz", "9-9", "Hold back a little on the flat nine.", ("9.1", "9.3")),
        ("copper-lane", "1-4", "Now sing the sharp eleven to yourself.", ("2.1", "4.3")),
        ("lantern-waltz", "22-23", "Keep the third in tune.", ("22.2", "23.1")),
        ("glasshouse-letter", "11-12", "I could do with more of the third.", ("11.2", "11.3", "12.4")),
        ("pepper-alley", "3-3", "I'd rather you breathed before the ninth than after it.", ("3.1&", "3.3")),
    ],
)
def test_what_may_be_several_things_is_asked_whatever_is_to_be_done_with_it(read, score, bars, say, choices):
    asked = read(f"{score}.musicxml", bars, say)
    assert "question" in asked
    assert "lit" not in asked
    assert all(f"@{choice}'" in asked for choice in choices)


@pytest.mark.parametrize(
    ("score", "bars", "say", "there"),
    [
        ("copper-lane", "16-16", "There's no flat nine anywhere in bar sixteen.", "b9@16.3"),
        ("copper-lane", "10-10", "Bar ten does without the third.", "3@10.4"),
        ("copper-lane", "9-9", "The seventh is missing from bar nine.", "7@9.3"),
        ("pigeon-loft", "12-12", "Nobody in bar twelve so much as mentions the sharp eleven.", "#11@12.4"),
        ("pigeon-loft", "8-8", "The A flat seven arrives without its third.", "3@8.3"),
        ("pigeon-loft", "16-16", "We leave the third out of the F altered chord.", "3@16.4"),
        ("pigeon-loft", "1-1", "No enclosure in bar one, alas.", "enclosure@1.2-1.3"),
        ("ladder-street", "8-8", "The line in bar eight refuses to touch the fifth.", "5@8.2"),
        ("lantern-waltz", "16-16", "We're spared the third in bar sixteen.", "b3@16.1&"),
    ],
)
def test_a_denial_of_what_is_there_is_a_fault_that_says_where_it_is(read, score, bars, say, there):
    assert "fault" in read(f"{score}.musicxml", bars, say)
    assert f"('{there}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("copper-lane", "11-11", "No root in bar eleven, by the way."),
        ("glasshouse-letter", "7-7", "Bar seven manages without a single root."),
        ("late-ferryman", "23-24", "There are no thirds anywhere in these two bars."),
        ("pigeon-loft", "20-20", "There is no third over the D seven."),
        ("copper-lane", "8-8", "A suspension, remember, means preparation, dissonance, resolution."),
        ("lanterns", "12-12", "Sometimes I like putting a sharp nine there, but it's not written."),
        ("copper-lane", "5-12", "Make the third sing."),
        ("ladder-street", "13-13", "What a flat thirteen is to some, a raised fifth is to others."),
    ],
)
def test_a_true_denial_a_definition_and_what_is_said_of_all_claim_nothing(read, score, bars, say):
    assert read(f"{score}.musicxml", bars, say) == ""


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        ("weir", "3", "Nobody ever told me about the ninth.", "lit 'ninth' ('9@3.2&'"),
        ("herons", "1", "What the eleventh needs is a friend.", "lit 'eleventh' ('11@1.3&'"),
        ("herons", "3", "Instead of a plain B we get the flat nine.", "lit 'flat nine' ('b9@3.2'"),
        ("kites", "4", "The C sharp isn't in our key, which is why it glows.", "lit 'c sharp' ('3@4.3'"),
        ("weir", "4", "We lean on the eleventh, and it took me a year to hear it right.", "('11@4.3'"),
    ],
)
def test_what_is_known_to_be_in_the_one_bar_shown_is_meant_however_it_is_put(read, score, bars, say, lit):
    assert lit in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "A tritone substitute shares its third with the dominant that it replaces.",
        "Many players leave out the ninth.",
        "Any chord can do without the fifth.",
    ],
)
def test_what_is_said_of_any_such_thing_is_no_claim_of_the_one_bar_shown(read, say):
    assert read("weir.musicxml", "3", say) == ""
