"""Questions that the speaker answers: both sentences are read as one statement."""

import pytest

from lessonmaker.script.plain.answers import statement


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("alibi", "10-12", "How many sharp elevens have we got here? Three of them.", "'10.4& 11.3 12.4&'"),
        (
            "lantern-ferry",
            "12-12",
            "How often do we touch the F sharp in this bar? Three times.",
            "'12.1 12.2& 12.4'",
        ),
        ("kettle-street", "13-13", "How many times do you hit that F? Three.", "'13.1 13.2& 13.4'"),
        (
            "lantern-weather",
            "8-9",
            "And where does that flat nine go? It resolves to the fifth of E flat minor.",
            "lit 'fifth' ('5@9.1'",
        ),
    ],
)
def test_a_question_that_is_answered_is_a_statement(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


def test_an_answer_that_is_not_so_is_a_fault(faults):
    say = "How many sharp elevens are there in bars ten to twelve? Two of them."
    assert "has it three times" in faults("alibi.musicxml", "10-12", say)


@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        ("where is the flat nine? ", "not here."),
        ("where is the flat nine? ", "can you hear it?"),
        ("how many of you sang the fifth? ", "three."),
        ("how many takes did we make? ", "i forget."),
        ("the flat nine is here. ", "three."),
    ],
)
def test_what_is_no_answer_is_left_as_it_is(asked, answer):
    assert statement(asked, answer) == ()
