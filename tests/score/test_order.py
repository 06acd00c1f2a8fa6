"""Playing order: repeats, endings and jumps, written as one letter a bar."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.score.order import Signs, playing_order


def order(text: str) -> str:
    """Bars "a", "|:b" (repeat starts), "c:|" (ends), "[1 d" (ending), "e]" (ending ends), "f@DS" ..."""
    signs = []
    ending: tuple[int, ...] = ()
    for word in text.split():
        bar = Signs(repeat_start=word.startswith("|:"))
        if word.startswith("["):
            ending = tuple(int(n) for n in word[1:].split(":")[0].split(","))
            bar.ending_start = True
        bar.ending = ending
        bar.repeat_end = ":|" in word
        for mark in word.split("@")[1:]:
            _enter(mark.rstrip("]"), bar)
        if "]" in word:
            ending = ()
        signs.append(bar)
    return " ".join(str(index + 1) for index in playing_order(signs))


def _enter(mark: str, bar: Signs) -> None:
    if mark[:2] in ("DC", "DS"):
        bar.jump = "capo" if mark[:2] == "DC" else "segno"
        bar.jump_until = {"F": "fine", "C": "coda"}.get(mark[2:3], "")
        bar.jump_repeats = mark.endswith("R")
    elif mark[0] == "x":
        bar.times = int(mark[1:])
    else:
        setattr(bar, mark, True)


# Worked out by hand; common practice, no source.
CASES = {
    "a b c": "1 2 3",
    "|:a b:| c": "1 2 1 2 3",
    "a b:| c": "1 2 1 2 3",
    "a |:b:| |:c:| d": "1 2 2 3 3 4",
    "a:| b:| c": "1 1 2 2 3",
    "|:a:|@x3 b": "1 1 1 2",
    "|:a [1:b:|] [2:c] d": "1 2 1 3 4",
    "|:a [1,2:b:|] [3:c] d": "1 2 1 2 1 3 4",
    "|:a [1:b c:|] [2:d:|] e": "1 2 3 1 4 5",
    "|:a [1:b:|] c d": "1 2 1 3 4",
    "|:a [1:b:|] [2:c] |:d [1:e:|] [2:f]": "1 2 1 3 4 5 4 6",
    "a b@fine c@DCF": "1 2 3 1 2",
    "a b@DC c": "1 2 1 2 3",
    "a b@segno c@to_coda d@DSC e@coda": "1 2 3 4 2 3 5",
    "a b@segno c@coda d@DS e@coda": "1 2 3 4 2 3 5",
    "a b@segno c d@DSF e": "1 2 3 4 2 3 4 5",
    "|:a [1:b:|] [2:c@fine] d@DCF": "1 2 1 3 4 1 3",
    "|:a b:|@fine c@DCF": "1 2 1 2 3 1 2",
    "|:a b:|@fine c@DCFR": "1 2 1 2 3 1 2 1 2",
    "|:a b:|@after_jump@fine c@DCF": "1 2 1 2 3 1 2 1 2",
    "a b:|@DS": "1 2 1 2",
    "|:a@segno b:|@DSC c@coda": "1 2 1 2 1 2 3",
}


@pytest.mark.parametrize("text", CASES)
def test_playing_order(text: str) -> None:
    assert order(text) == CASES[text]


FLAGS = st.sets(
    st.sampled_from(["repeat_start", "repeat_end", "segno", "coda", "fine", "to_coda", "ending_start"])
)


@given(
    st.lists(
        st.tuples(FLAGS, st.sampled_from(["", "capo", "segno"]), st.sampled_from([(), (1,), (2,), (1, 2)]))
    )
)
def test_any_signs_come_to_an_end_or_are_refused(bars: list[tuple[set[str], str, tuple[int, ...]]]) -> None:
    signs = [Signs(jump=jump, ending=ending, **dict.fromkeys(flags, True)) for flags, jump, ending in bars]
    assert set(playing_order(signs)) <= set(range(len(bars)))


def test_a_long_score_of_nested_signs_stays_bounded() -> None:
    signs = [Signs(repeat_start=True, repeat_end=True, times=10**6) for _ in range(50)]
    assert len(playing_order(signs)) <= 50 * 64
