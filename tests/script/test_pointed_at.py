"""What is only pointed at ("it starts on", "the long one is", "the pickup into bar eight") is what makes it true."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        ("kettle-5", "4-5", "It starts on the D, the third of B flat seven.", "('3@4.3'"),
        ("ferry-2", "3-4", "That one begins on B flat.", "('b13@4.1'"),
        ("jetty", "5-6", "They begin on C sharp, and the flat nine follows.", "('3@6.2'"),
        ("copper-lane", "8-9", "This one starts on the F flat, the flat nine.", "('b9@8.3'"),
        ("carousel", "1-2", "It ends on the F.", "('b3@2.3'"),
        ("carousel", "5-6", "The long one is F, the seventh of G.", "('b7@6.3'"),
        ("jetty", "1-5", "The long one is G.", "'5.1'"),
        ("jetty", "1-5", "The long one is the minor third.", "('b3@5.1'"),
        ("the-lantern-stairs", "7-8", "The pickup into bar eight starts on the ninth.", "('9@7.4'"),
        ("the-lantern-stairs", "13-14", "The upbeat to bar fourteen opens with F and rises to E.", ""),
        ("harbour", "8-9", "The two-beat pickup to bar nine starts on the fifth.", "('5@8.3&'"),
        ("alibi", "4-5", "The pickup to bar five runs from the seventh to C flat.", "('b7@4.4'"),
        ("kiln-weather", "13-14", "Those four eighths are a bit of scale.", "'13.2 13.2& 13.3 13.3&'"),
        ("harbour", "3-4", "Those last four eighths are a bit of scale.", "'3.3 3.3& 3.4 3.4&'"),
        ("kettle-5", "2-3", "Those four eighths are just a scale going down.", "'2.1 2.1& 2.2 2.2&'"),
        ("the-lantern-stairs", "13-14", "Bar thirteen's D sharp makes the E feel inevitable.", "('3@14.1'"),
    ],
)
def test_the_one_that_makes_it_true_is_meant(read, score, bars, say, lit):
    found = read(f"{score}.musicxml", bars, say)
    assert lit in found
    assert "fault" not in found


@pytest.mark.parametrize(
    ("score", "bars", "say", "there"),
    [
        ("elevator", "15-16", "It ends on the seventh of E flat six.", "is the 6 at 16.1"),
        ("kettle-5", "4-5", "It starts on the B natural.", ""),
        ("kettle-5", "4-4", "Bar four starts on the D.", "the first note of bar 4 is the 9 at 4.1"),
        ("kettle-5", "4-4", "It starts on the D.", "is the 9 at 4.1"),
        ("jetty", "1-5", "The long one is A.", "the D at 1.3 is the 9"),
        ("the-lantern-stairs", "13-14", "The pickup to bar fourteen starts on G.", "is the b7 at 13.4"),
    ],
)
def test_what_nothing_in_sight_makes_true_is_false(faults, score, bars, say, there):
    told = faults(f"{score}.musicxml", bars, say)
    assert told
    assert there in told


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("the-lantern-stairs", "1-4", "It starts on the third."),
        ("copper-lane", "5-6", "It begins on A flat."),
        ("harbour", "3-4", "Those two eighths are a bit of scale."),
    ],
)
def test_what_several_make_true_is_no_fault(read, score, bars, say):
    found = read(f"{score}.musicxml", bars, say)
    assert "fault" not in found
    assert "piece of scale" not in found
