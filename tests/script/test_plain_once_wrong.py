"""Sentences that were once read wrong, and how long a hundred take."""

from time import process_time

from tests.tools.sentence_figures import DATA, figures, read_sentences

SENTENCES = read_sentences(DATA / "sentences-once-wrong.txt")
SECONDS_FOR_A_HUNDRED = 2.0  # with the reading of two scores and their analysis


def test_sentences_once_wrong_are_read_right() -> None:
    found = figures(SENTENCES)
    assert found.right == found.count, found.misses


def test_a_hundred_sentences_are_checked_in_two_seconds() -> None:
    hundred = (SENTENCES * 6)[:100]
    figures(SENTENCES)  # what is read once and kept
    start = process_time()
    assert figures(hundred).count == 100
    assert process_time() - start < SECONDS_FOR_A_HUNDRED
