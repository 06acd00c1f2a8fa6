"""Notes that are described: whatever adjective stands before them."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("bars", "say", "found"),
    [
        ("1-2", "We open on a warm third.", "lit 'third' ('3@1.1'"),
        ("5-5", "A lonely ninth ends the bar.", "lit 'ninth' ('9@5.3'"),
        ("8-8", "A single third, that's all bar eight gives you.", "lit 'third' ('3@8.1'"),
        ("6-6", "A long, lazy F opens the bar.", "lit 'f' ('b7@6.1'"),
        ("15-15", "It tops out on a shimmering, glassy eleventh.", "lit 'eleventh' ('11@15.2&'"),
    ],
)
def test_a_described_note_is_lit(read, bars, say, found):
    assert found in read("paperferry.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    ["A rising third starts us off.", "It moves by a clean third.", "Every second third is minor somewhere."],
)
def test_a_described_distance_is_no_note(read, say):
    assert "third'" not in read("paperferry.musicxml", "1-2", say)
