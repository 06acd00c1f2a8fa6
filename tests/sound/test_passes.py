"""Where a reader is in the script, by words alone."""

import pytest

from lessonmaker.sound.passes import passes

SCRIPT = [
    line.split()
    for line in (
        "we begin with a pickup of three notes",
        "listen to bar three",
        "yes",
        "the flat nine falls to the fifth",
        "listen to bar five",
        "and then it comes to rest on the tonic",
    )
]


def way(said, sentences=SCRIPT):
    """The passes as (sentence, words heard), a comma in what is said standing for a pause."""
    heard, spans, at = [], [], 0.0
    for word in said.split():
        heard.append(word.strip(","))
        spans.append((at, at + 0.25))
        at += 1.0 if word.endswith(",") else 0.3
    found = passes(heard, spans, sentences)
    return [(one.sentence, " ".join(heard[item.heard] for item in one.items)) for one in found]


def test_a_reader_who_keeps_to_the_script():
    assert way(" ".join(" ".join(one) for one in SCRIPT)) == [
        (index, " ".join(one)) for index, one in enumerate(SCRIPT)
    ]


def test_a_sentence_begun_again_is_two_passes():
    assert way("we begin with a, we begin with a pickup of three notes") == [
        (0, "we begin with a"),
        (0, "we begin with a pickup of three notes"),
    ]


def test_a_stumble_within_a_sentence_stays_in_its_pass():
    [(sentence, said)] = way("the flat nine falls to the, falls to the fifth")
    assert (sentence, said) == (3, "the flat nine falls to the falls to the fifth")
    heard = ["the", "flat", "nine", "falls", "to", "the", "falls", "to", "the", "fifth"]
    [one] = passes(heard, [(at, at + 0.9) for at in range(len(heard))], SCRIPT)
    assert [item.word for item in one.items] == [0, 1, 2, 3, 4, 5, 3, 4, 5, 6]
    assert [item.twice for item in one.items] == [False] * 3 + [True] * 3 + [False] * 4


def test_the_end_of_a_sentence_said_again_is_a_pass_of_its_own():
    assert way("the flat nine falls to the fifth, to the fifth") == [
        (3, "the flat nine falls to the fifth"),
        (3, "to the fifth"),
    ]


def test_what_is_said_between_sentences_belongs_to_none():
    said = "listen to bar three, sorry my phone is on the table, yes, the flat nine falls to the fifth"
    assert [one[0] for one in way(said)] == [1, 2, 3]


def test_a_paragraph_read_again_is_found_again():
    said = "yes, the flat nine falls to the fifth, listen to bar five, yes, the flat nine falls to the fifth"
    assert [one[0] for one in way(said)] == [2, 3, 4, 2, 3]


def test_a_sentence_left_out_is_not_made_up():
    assert [one[0] for one in way("listen to bar three, listen to bar five")] == [1, 4]


def test_equal_sentences_are_told_apart_by_their_neighbours():
    script = [
        line.split()
        for line in (
            "here is the first idea",
            "listen to it",
            "now the answer",
            "listen to it",
            "that was all",
        )
    ]
    assert [one[0] for one in way("now the answer, listen to it, that was all", script)] == [2, 3, 4]
    assert [one[0] for one in way("here is the first idea, listen to it, now the answer", script)] == [
        0,
        1,
        2,
    ]


def test_a_wrong_word_stands_in_the_right_one_s_place():
    heard = ["the", "sharp", "nine", "falls", "to", "the", "fifth"]
    [one] = passes(heard, [(at, at + 0.9) for at in range(len(heard))], SCRIPT)
    assert [item.word for item in one.items] == list(range(7))


@pytest.mark.parametrize("said", ["", "nothing of all this was ever meant"])
def test_something_else_is_no_way_through_the_script(said):
    assert way(said) == []


def test_sentences_without_words_are_passed_over():
    assert [one[0] for one in way("yes", [[], ["yes"], []])] == [1]
    assert way("yes", [[], []]) == []


def test_a_wrong_last_word_is_heard_in_its_place_though_the_reader_jumps_on():
    heard = "listen to bar nine, we begin with a pickup of three notes"
    assert way(heard) == [(1, "listen to bar nine"), (0, "we begin with a pickup of three notes")]
