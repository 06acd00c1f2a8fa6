"""How the line is said to go: by half steps, in stacked intervals, a bar like another."""

import pytest

from lessonmaker.script.plain.line_shapes import interval_sizes


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("paper-lighthouse", "13-16", "Bar fifteen slides down by half steps.", "15.1 15.1& 15.2 15.2&"),
        ("pepper-alley", "17-20", "Twenty creeps down in semitones.", "20.3 20.3& 20.4 20.4&"),
        ("pepper-alley", "5-8", "In bar five four eighths crawl down by half steps.", "5.2 5.2& 5.3 5.3&"),
        ("orchard-clock", "17-20", "Bar eighteen piles up two perfect fourths.", "18.1 18.1& 18.2"),
        ("orchard-clock", "21-24", "In twenty-two he stacks two fourths.", "22.1 22.1& 22.2"),
        (
            "corner-blues",
            "1-3",
            "Bars one and three begin with the same five notes.",
            "1.1& 1.2 1.2& 1.3 1.4 3.1& 3.2 3.2& 3.3 3.4",
        ),
    ],
)
def test_what_the_line_does_is_lit(read, score, bars, say, found):
    assert f"'{found}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "words"),
    [
        (
            "orchard-clock",
            "5-8",
            "From beginning to end, measure seven ascends chromatically.",
            "from beginning to end, measure seven ascends",
        ),
        ("ladder-street", "9-12", "Measure ten is chromatic from start to finish.", "chromatic"),
        (
            "brass-umbrella",
            "13-16",
            "Bar fourteen shifts bar thirteen up a fourth.",
            "shifts bar thirteen up a fourth",
        ),
        (
            "orchard-clock",
            "17-24",
            "Bar twenty-two is bar eighteen up a whole step.",
            "is bar eighteen up a whole step",
        ),
        (
            "brass-umbrella",
            "1-4",
            "Bars two and four begin with the same three notes.",
            "the same three notes",
        ),
        ("corner-blues", "1-4", "Bar two stacks fourths.", "fourths"),
    ],
)
def test_what_a_bar_plainly_does_not_is_false(read, score, bars, say, words):
    assert f"fault '{words}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("orchard-clock", "17-24", "Bar twenty-two is bar eighteen up a half step."),
        ("salt-flat-signal", "7-14", "Bar thirteen is bar seven moved up a semitone."),
        ("orchard-clock", "5-8", "Does bar seven ascend chromatically?"),
        ("orchard-clock", "5-8", "In bar seven the third falls by a whole tone."),
        ("orchard-clock", "5-8", "Bar seven climbs a whole tone at a time, or nearly."),
        ("orchard-clock", "5-8", "Under bar seven the bass climbs chromatically."),
        ("copper-lane", "17-18", "Bar eighteen resolves down chromatically to the ninth."),
        ("corner-blues", "1-4", "You could stack fourths over bar two."),
    ],
)
def test_what_holds_or_is_said_of_something_else_is_never_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("name", "semitones"),
    [
        ("fourth", (5,)),
        ("third", (3, 4)),
        ("major third", (4,)),
        ("minor seventh", (10,)),
        ("augmented fourth", (6,)),
        ("diminished fifth", (6,)),
        ("augmented second", (3,)),
        ("diminished seventh", (9,)),
        ("octave", (12,)),
        ("half-step", (1,)),
        ("whole tone", (2,)),
        ("tritone", (6,)),
    ],
)
def test_the_semitones_of_an_interval(name, semitones):
    assert interval_sizes(name) == semitones


@pytest.mark.parametrize(
    ("score", "bars", "say", "device"),
    [
        ("paper-lighthouse", "9-12", "Two bars of one little shape, each time a step lower.", "sequence@9"),
        (
            "paper-lighthouse",
            "9-12",
            "The same four-note cell again and again, a step down each time.",
            "sequence@9",
        ),
        ("copper-lane", "13-15", "That four-note figure starts a step higher every time.", "sequence@13"),
        ("paper-lighthouse", "13-16", "A three-quaver figure ignores the barline.", "cross rhythm@13"),
        ("paper-lighthouse", "13-16", "Bar thirteen groups its quavers in threes.", "cross rhythm@13"),
        ("lantern-waltz", "17-18", "I count three, the melody thinks in twos.", "cross rhythm@17"),
    ],
)
def test_a_figure_that_comes_again_is_heard_however_it_is_put(read, score, bars, say, device):
    assert device in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "The same idea again.",
        "People came in twos and threes.",
        "Each time, take one step back and breathe.",
        "That pattern helps you, each time you play.",
    ],
)
def test_talk_of_figures_and_steps_alone_is_none(read, say):
    assert read("paper-lighthouse.musicxml", "9-16", say) == ""


def test_a_figure_that_is_spoken_of_loosely_is_never_false(read):
    say = "In bar nine comes the same shape seven times, each time a step lower."
    assert "fault" not in read("paper-lighthouse.musicxml", "9-12", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("lamplighters-stair", "20-20", "Triplets on one and on three.", "lit 'triplets' ('20.1-20.3+2/3'"),
        (
            "lamplighters-stair",
            "20-20",
            "A triplet on one, another on three.",
            "lit 'triplet' ('20.1-20.3+2/3'",
        ),
        ("lamplighters-stair", "20-20", "Triplets on beats one and two.", "fault 'triplets'"),
        ("lampoil", "17-18", "Both bars have a triplet on beat three.", "lit 'triplet' ('17.3-18.3+2/3'"),
        (
            "lampoil",
            "17-18",
            "Bars seventeen and eighteen have a triplet.",
            "lit 'triplet' ('17.3-18.3+2/3'",
        ),
        ("lampoil", "17-18", "There's a triplet in here.", "question 'triplet'"),
        ("tarpaulin", "22-22", "Quick little run of sixteenths.", "lit 'sixteenths'"),
        ("lantern-on-the-quay", "17-20", "Bar nineteen is nothing but sixteenths.", "fault 'sixteenths'"),
    ],
)
def test_figures_of_small_notes_are_on_their_beats_and_in_each_bar(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


def test_small_notes_at_large_are_none_of_this_music(read):
    assert "lit" not in read("tarpaulin.musicxml", "22-22", "Sixteenths want a relaxed hand.")
