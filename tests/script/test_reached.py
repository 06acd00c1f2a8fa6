"""A note that is said to go to another lights it where it goes there, by whatever words; else that is a fault."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("late-ferryman", "4-5", "Hang on to the F sharp, then let it go up to the G.", "'5.1'"),
        ("jetty", "4-5", "That A flat melts into G.", "'5.1'"),
        ("kettle-7", "1-2", "That C sharp slips down a half step to C natural.", "'2.1'"),
        ("kettle-7", "22-23", "There's the B flat, and it goes home to A.", "'23.1'"),
        ("cobblers-lantern", "4-5", "The flat nine on four gives way to the fifth.", "'5.1'"),
    ],
)
def test_where_a_note_goes_is_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("late-ferryman", "4-5", "Hang on to the F sharp, then let it go up to the B.", "fault 'b'"),
        ("jetty", "4-5", "That A flat melts into the A natural.", "fault 'a natural'"),
        ("kettle-7", "1-2", "That C sharp slips down a half step to B natural.", "fault 'b natural'"),
        ("kettle-7", "22-23", "There's the B flat, and it goes home to F.", "fault 'f'"),
        ("cobblers-lantern", "4-5", "The flat nine on four gives way to the third.", "fault 'third'"),
    ],
)
def test_a_note_that_goes_elsewhere_is_a_fault(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


def test_a_run_that_passes_other_notes_is_no_fault(read):
    assert "fault" not in read("late-ferryman.musicxml", "4-5", "From the F sharp we go up to the B flat.")
