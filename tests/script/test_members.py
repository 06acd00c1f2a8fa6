"""What is said of every note of a bar or a chord: all are lit, or the first that is something else is told."""

import pytest

BAR_EIGHTEEN = "'18.1 18.1& 18.2 18.2& 18.3 18.3& 18.4 18.4&'"


@pytest.mark.parametrize(
    "say",
    [
        "Bar eighteen is all chord tones.",
        "Bar eighteen is made of nothing but chord tones.",
        "In bar eighteen everything belongs to the chord.",
        "In bar eighteen every note stays in the chord.",
        "Every single note of bar eighteen is a chord tone.",
        "Bar eighteen consists only of notes of the chord.",
        "Chord tones only in bar eighteen.",
        "Bar eighteen stays inside the chord.",
        "In bar eighteen it's chord tones from start to finish.",
        "In bar eighteen I stick to chord tones.",
    ],
)
def test_every_note_of_a_bar_is_lit_however_it_is_said(read, say):
    assert BAR_EIGHTEEN in read("pepper-alley.musicxml", "18-19", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("pepper-alley", "18-19", "Bars eighteen and nineteen are all chord tones.", "('18.1-19.4'"),
        ("copper-lane", "8-8", "In bar eight over B flat minor it is all chord tones.", "('8.1-8.2&'"),
        ("night-tram", "19-20", "Bar twenty is nothing but chord tones.", "('20.1'"),
    ],
)
def test_the_notes_of_the_place_that_is_named_are_lit(read, score, bars, say, found):
    assert f"lit 'chord tones' {found}" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "there"),
    [
        ("pepper-alley", "10-10", "Bar ten is all chord tones.", "bar 10 has the b9 at 10.1"),
        ("pepper-alley", "10-10", "It is all chord tones.", "bar 10 has the b9 at 10.1"),
        ("pepper-alley", "10-10", "I keep it clean, chord tones only.", "bar 10 has the b9 at 10.1"),
        ("pepper-alley", "10-10", "I keep to chord tones here.", "bar 10 has the b9 at 10.1"),
        (
            "pepper-alley",
            "9-10",
            "In bar ten everything stays inside the chord.",
            "bar 10 has the b9 at 10.1",
        ),
        ("pepper-alley", "18-19", "Bar eighteen is nothing but tensions.", "bar 18 has the 3 at 18.1"),
        (
            "copper-lane",
            "8-8",
            "In bar eight over E flat seven it is all chord tones.",
            "bar 8 has the b9 at 8.3",
        ),
        ("brass-umbrella", "13-14", "Bar thirteen is only colour tones.", "bar 13 has the 1 at 13.3"),
    ],
)
def test_the_first_note_that_is_something_else_is_told(faults, score, bars, say, there):
    assert there in faults(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "Is bar seven all chord tones?",
        "Bar seven is all chord tones except the first.",
        "Bar seven is just chord tones and a ninth.",
        "Not every note of bar seven is a chord tone.",
        "Apart from the ninth bar seven is all chord tones.",
        "You could stick to chord tones in bar seven.",
        "Bar seven isn't all chord tones.",
        "Almost every note of bar seven is a chord tone.",
        "In bar seven play only chord tones instead.",
        "It is all chord tones.",  # of which bar?
        "Imagine bar seven were all chord tones.",
    ],
)
def test_what_is_said_of_some_notes_or_of_none_is_never_false(faults, say):
    assert faults("copper-lane.musicxml", "7-8", "Bar seven is all chord tones.") != ""
    assert faults("copper-lane.musicxml", "7-8", say) == ""


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("copper-lane", "6-6", "This bar is full of altered notes.", "'6.1 6.1& 6.2& 6.3 6.4'"),
        ("turnstile-sprint", "21-21", "The D seven is full of altered notes.", "'21.3 21.4'"),
        ("copper-lane", "1-1", "This bar is full of altered notes.", "fault 'altered notes'"),
    ],
)
def test_a_bar_full_of_altered_notes_has_some(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


def test_what_others_are_full_of_is_left_alone(read):
    assert "lit" not in read("copper-lane.musicxml", "6-6", "My students are full of altered notes.")
