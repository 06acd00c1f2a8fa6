"""Captions: two lines of 42 characters, 20 characters a second, 1 to 7 seconds, terms where they stand."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.timeline.captions import LINE_LENGTH, TimedToken, captions_of
from lessonmaker.timeline.model import TICKS_PER_SECOND


def spoken(
    text: str, word_s: float = 0.35, terms: dict[int, tuple[int, str]] | None = None
) -> list[TimedToken]:
    """Words said one after the other; `terms` gives (mention, use) by word index."""
    tick = int(word_s * TICKS_PER_SECOND)
    tokens = []
    for number, word in enumerate(text.split()):
        mention, use = (terms or {}).get(number, (None, None))
        tokens.append(TimedToken(word, number * tick, (number + 1) * tick, mention, use))
    return tokens


def test_a_short_sentence_is_one_line():
    (caption,) = captions_of(spoken("Land there, and wait."), 10 * TICKS_PER_SECOND)
    assert caption.lines == ("Land there, and wait.",)
    assert caption.start == 0


def test_a_long_sentence_breaks_where_a_reader_breathes():
    text = (
        "In bar three the line leans on the flat thirteen, then the sharp nine and the flat nine, over B♭7."
    )
    captions = captions_of(spoken(text), 30 * TICKS_PER_SECOND)
    assert " ".join(line for caption in captions for line in caption.lines) == text
    assert captions[0].lines[-1].endswith(",")


def test_a_caption_ends_with_its_sentence():
    captions = captions_of(spoken("Breathe in here. Then come down slowly."), 30 * TICKS_PER_SECOND)
    assert [caption.lines[0] for caption in captions] == ["Breathe in here.", "Then come down slowly."]


@pytest.mark.parametrize("text", ["Land. Then come down slowly.", "Wait. Wait. Wait. Now go on from there."])
def test_a_sentence_too_short_to_be_read_is_shown_with_the_next(text):
    (caption, *_) = captions = captions_of(spoken(text), 30 * TICKS_PER_SECOND)
    assert all(one.end - one.start >= TICKS_PER_SECOND for one in captions)
    assert caption.lines[0].startswith(" ".join(text.split()[:2]))


def test_a_term_is_marked_where_it_stands_without_its_punctuation():
    text = "In bar three the line leans on the flat thirteen, sharp nine and flat nine."
    terms = {8: (0, "tension"), 9: (0, "tension"), 13: (1, "tension"), 14: (1, "tension")}
    captions = captions_of(spoken(text, terms=terms), 30 * TICKS_PER_SECOND)
    marked = [
        caption.lines[term.line][term.first : term.last] for caption in captions for term in caption.terms
    ]
    assert marked == ["flat thirteen", "flat nine"]
    first = captions[0].terms[0]
    assert (first.start, first.end) == (int(0.35 * TICKS_PER_SECOND) * 8, int(0.35 * TICKS_PER_SECOND) * 10)


@pytest.mark.parametrize("word_s", [0.2, 0.35, 0.6])
def test_lengths_hold_at_any_pace(word_s):
    text = (
        "Over the minor seventh I come down through the ninth and the eleventh, wait for the half step, "
        "and only then do I lean on the flat nine. Land. Now the same thing again, an octave higher and a little later."
    )
    captions = captions_of(spoken(text, word_s), 90 * TICKS_PER_SECOND)
    for caption in captions:
        assert 1 <= len(caption.lines) <= 2
        assert all(len(line) <= LINE_LENGTH for line in caption.lines)
        assert caption.end - caption.start <= 7 * TICKS_PER_SECOND
    assert captions[-1].end - captions[-1].start >= TICKS_PER_SECOND


words = st.lists(st.text("abcdefgh.,", min_size=1, max_size=12), min_size=1, max_size=40)


@given(words, st.floats(0.05, 1.5))
def test_every_word_is_shown_once_and_captions_never_overlap(said, word_s):
    tokens = spoken(" ".join(said), word_s)
    captions = captions_of(tokens, tokens[-1].end + TICKS_PER_SECOND)
    assert " ".join(line for caption in captions for line in caption.lines).split() == said
    for one, other in itertools.pairwise(captions):
        assert one.start < one.end <= other.start
