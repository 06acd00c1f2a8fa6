"""What a sentence describes in words of its own, by learned weights."""

from collections import Counter

import pytest

from lessonmaker.score.position import parse_span
from lessonmaker.script.music import Music
from lessonmaker.script.plain.described import claim_of, described, things_in
from lessonmaker.script.plain.described.tell import clues_in
from lessonmaker.script.plain.described.things import THINGS
from tests.tools.sentence_sets import OPEN, judge_items, score_at
from tests.tools.train_described import UNOPENED, WAYS, ways_in

# Of ways of saying that nobody who works on the reader has looked at, one voice that had no part in the training, how
# many are told right of all things at once, and of those that are likely enough to be lit; as reached.
TOLD, LIT = 0.71, 0.96


def test_ways_that_nobody_has_opened_are_told_as_well_as_is_said() -> None:
    told = Counter[str]()
    for path in sorted(WAYS.glob(f"{UNOPENED}-*.yaml")):
        for thing, say in ways_in(path):
            found = described(say.lower().replace("’", "'"), THINGS)
            right = found is not None and found.thing == thing
            told["all"] += 1
            told["right"] += right
            told["likely"] += found is not None and found.is_likely
            told["likely and right"] += found is not None and found.is_likely and right
    assert told["all"] >= 1400
    assert told["right"] >= TOLD * told["all"]
    assert told["likely"] >= told["all"] / 2
    assert told["likely and right"] >= LIT * told["likely"]


@pytest.mark.parametrize(
    ("score", "bars", "say", "target"),
    [
        (
            "copper-weathervane-2",
            "17-19",
            "The same idea comes back, lifted up to another pitch.",
            "sequence@17-20",
        ),
        ("marl-pit-waltz", "9-10", "Here a little idea from before shows up again.", "motif@1-11"),
    ],
)
def test_what_is_described_is_lit_as_if_it_were_named(score, bars, say, target) -> None:
    (judged,) = judge_items([{"score": f"{score}.musicxml", "bars": bars, "say": say, "read": []}])
    assert any(target in each for each in judged.read)


@pytest.mark.parametrize(
    "say",
    [
        "Take a deep breath before you try this at home.",
        "My teacher used to tap me on the shoulder whenever I rushed.",
        "Try it slowly first, and only then with the backing track.",
    ],
)
def test_small_talk_describes_nothing(say) -> None:
    assert described(say.lower(), THINGS) is None


def test_what_the_bars_do_not_have_is_not_meant() -> None:
    say = "the same idea comes back, lifted up to another pitch."
    assert described(say, {"sequence", "phrase"}).thing == "sequence"
    assert getattr(described(say, {"phrase", "turnaround"}), "thing", "") != "sequence"
    assert described(say, set()) is None
    assert described("", THINGS) is None


def test_the_likeliest_thing_has_words_of_the_sentence_and_a_chance() -> None:
    say = "well now, listen: the roots fall like dominoes, each chord the dominant of the next, lovely."
    found = described(say, THINGS)
    assert found.thing == "cycle of dominants"
    assert "dominant" in say[found.first : found.last]
    assert 0 < found.chance <= 1


def test_things_are_those_of_the_bars_in_sight() -> None:
    music = Music.of(score_at(OPEN.with_name("slate-harbour.musicxml")))
    spans = [parse_span(music.score, "3-5")]
    assert {"minor cadence", "two five one"} <= things_in(music, spans) <= set(THINGS)
    assert things_in(music, []) == frozenset()


def test_a_thing_is_claimed_as_its_term_would_be() -> None:
    assert [
        (each.kind, each.name) for each in (claim_of(t, 2, 5) for t in ("enclosure", "passing note"))
    ] == [
        ("device", "enclosure"),
        ("role", "passing"),
    ]
    scale = claim_of("altered scale", 2, 5)
    assert (scale.kind, scale.name, scale.first, scale.last) == ("scale", "altered scale", 2, 5)


def test_clues_are_stems_of_the_words_of_a_sentence() -> None:
    names = {clue.name for clue in clues_in("it circles the targets, twice.")}
    assert {"circl", "target", "circl the", "^ it", "twic $"} <= names
    assert clues_in("") == []
