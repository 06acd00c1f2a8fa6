"""Where a note is said to begin, end, top or bottom something, it is the note at that end of it; else a fault."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("copper-lane", "1-4", "Bar one tops out on the ninth.", "('9@1.2&'"),
        ("copper-lane", "1-4", "Bar four bottoms out on the F sharp.", "'4.3'"),
        ("copper-lane", "1-4", "The root is the last note of bar three.", "('1@3.4'"),
        ("copper-lane", "1-4", "The A flat opens bar one.", "('b3@1.1'"),  # and not the one that closes it
        ("copper-lane", "8-8", "Over E flat seven the line starts on the flat nine.", "('b9@8.3'"),
        ("copper-lane", "1-4", "The phrase ends on the fifth.", "('5@4.3&'"),
        ("copper-lane", "13-14", "The second group of the sequence starts on the eleventh.", "('11@13.3'"),
        ("late-ferryman", "1-4", "The piece begins on the flat third.", "('b3@1.2'"),
        ("late-ferryman", "8-8", "Each chord ends on the flat seven.", "'8.2& 8.4&'"),
        ("late-ferryman", "10-11", "All three groups end on the ninth.", "'10.2& 10.4& 11.2&'"),
        ("slate-and-candle", "16-17", "Each group of the sequence starts on the root.", "'16.1 16.3 17.1'"),
        ("biscuit", "13-14", "The sharp eleven ends both bars.", "'13.4& 14.4&'"),
        ("biscuit", "9-10", "The cross rhythm opens on the third.", "('3@9.1'"),
        ("lanterns", "22-23", "Bar twenty-two opens on the leading note.", "('3@22.1'"),
        ("cellar-steps", "1-2", "Bar one starts on the fifth, bar two on the root.", "('1@2.1'"),
        ("slate", "9-10", "Bar nine ends on the seventh, then bar ten starts with the third.", "('b7@9.4'"),
        ("lantern-quay", "7-7", "Our highest note is the fifth.", "('5@7.1'"),
    ],
)
def test_a_note_at_an_end_is_lit(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "there"),
    [
        (
            "copper-lane",
            "1-4",
            "Bar one tops out on the fifth.",
            "the highest note of bar 1 is the 9 at 1.2&",
        ),
        (
            "copper-lane",
            "1-4",
            "The lowest note of bar four is the fifth.",
            "the lowest note of bar 4 is the #11 at 4.3",
        ),
        ("copper-lane", "1-4", "The C opens bar one.", "the first note of bar 1 is the b3 at 1.1"),
        (
            "copper-lane",
            "8-8",
            "The E flat chord begins with its seventh.",
            "the first note of 8.3-8.4 is the b9 at 8.3",
        ),
        ("copper-lane", "1-4", "The phrase ends on the root.", "the last note of 1.1-4.3 is the 5 at 4.3&"),
        ("copper-lane", "13-14", "The last group begins on the root.", "14.3-14.4 is the 3 at 14.3"),
        ("copper-lane", "9-10", "Both bars end on the third.", "the last note of bar 9 is the #11 at 9.4"),
        ("late-ferryman", "14-14", "The triplet ends on the fifth.", "is the 9 at 14.2+2/3"),
        ("late-ferryman", "24-24", "The piece ends on the sixth.", "of the whole score is the 9 at 24.3"),
        (
            "slate-and-candle",
            "16-17",
            "Every group ends on the third.",
            "the last note of 16.1-16.2 is the 5",
        ),
        ("lanterns", "22-23", "Bar twenty-three opens on the leading note.", "of bar 23 is the 1 at 23.1"),
    ],
)
def test_another_note_at_an_end_is_told(faults, score, bars, say, there):
    assert there in faults(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("copper-lane", "5-8", "Does bar six end on the third?"),
        ("copper-lane", "6-7", "The phrase begins early, on the ninth."),
        ("copper-lane", "5-8", "Bar six ends on the flat nine moving to the flat seven."),
        ("late-ferryman", "6-7", "The phrase before ends on the third."),
        ("late-ferryman", "6-7", "Bar six could end on the third."),
    ],
)
def test_what_is_asked_or_may_be_of_something_else_is_never_false(faults, score, bars, say):
    assert faults(f"{score}.musicxml", bars, say) == ""


def test_a_chord_that_is_spelt_from_a_note_begins_with_it(read):
    told = read("turnstile-sprint.musicxml", "17-17", "The chord is laid out from its third.")
    assert "lit 'third' ('3@17.1'" in told
    told = read("turnstile-sprint.musicxml", "17-17", "The chord is spelled from its root.")
    assert "fault 'root'" in told


def test_the_widest_leap_of_a_bar_is_lit_without_its_size(read):
    assert "'4.2 4.2&'" in read("copper-lane.musicxml", "4-4", "Here's the biggest leap of the bar.")
    told = read("copper-lane.musicxml", "4-4", "The biggest leap of the whole piece comes later.")
    assert "lit" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("pantry-light", "7-8", "The phrase ends here.", "'7.3'"),
        ("pantry-light", "7-8", "And that's the end of the phrase.", "'7.3'"),
        ("tram", "1-2", "This is where the idea begins.", "'1.1&'"),
    ],
)
def test_the_note_at_the_edge_of_a_phrase_is_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say", ["The lesson ends here.", "The phrase ends here, said my teacher of a comma."]
)
def test_an_end_of_another_thing_lights_nothing(read, say):
    assert "lit" not in read("tram.musicxml", "1-2", say)
