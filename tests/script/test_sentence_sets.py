"""A teacher's sentences over four etudes of their own and the demo's, written without regard to how they are read."""

from collections import Counter

import pytest
import yaml

from tests.tools.sentence_sets import OPEN, judge_set

ITEM = {"score": "copper-lane.musicxml", "bars": "1-4"}
SHARP_ELEVEN = {"words": "sharp eleven", "lit": [2.1]}
NOTHING = yaml.safe_load(OPEN.with_name("nothing.yaml").read_text(encoding="utf-8"))
FRAMED = yaml.safe_load(OPEN.with_name("framed.yaml").read_text(encoding="utf-8"))


# Of sets that were learned from every third sentence is judged: they only show what is lost.
OPENED_STEP = 3
# Such sets and the fewest sentences that are judged of each.
SETS = {"open": 66, "fresh": 66, "demo-open": 23, "demo-kept": 23, "demo-last": 13, "things": 30}


# Sets by writers who had not seen the reader, and the fewest sentences that each has.
STRANGERS = {"stranger": 80, "voices-a": 60, "voices-b": 60, "voices-e": 50}


@pytest.mark.parametrize("name", STRANGERS)
def test_sentences_of_strangers_are_hardly_ever_confidently_wrong(name):
    judged = judge_set(OPEN.with_name(f"{name}.yaml"), OPENED_STEP)
    verdicts = Counter(each.verdict for each in judged)
    assert len(judged) >= STRANGERS[name]
    assert verdicts["right"] >= 0.8 * len(judged), judged
    assert verdicts["wrong"] <= 0.02 * len(judged), judged


# Sets that were kept to measure with, nearly all by such writers, by what their names begin with: the share of every
# twenty-fourth sentence that is read right, and the share that is confidently wrong, as reached so far and not as
# wanted.
KEPT = {
    "voices-[cd]": (0.92, 0.0),
    "family-*": (1.0, 0.0),
    "ordinary-*": (0.94, 0.015),
    "themes-*": (0.937, 0.0),
    "spoken-[a-m]": (0.969, 0.016),
    "spoken-[n-z]": (0.923, 0.031),
    "spoken-a?": (0.953, 0.008),
    "spoken-b?": (0.942, 0.0),
    "harmony-[abc]": (0.933, 0.0),
}
STEP = 24


@pytest.mark.parametrize("names", KEPT)
def test_sentences_that_were_kept_are_read_no_worse_than_before(names):
    judged = [each for path in sorted(OPEN.parent.glob(f"{names}.yaml")) for each in judge_set(path, STEP)]
    verdicts = Counter(each.verdict for each in judged)
    right, wrong = KEPT[names]
    assert len(judged) >= 13
    assert verdicts["right"] >= right * len(judged), judged
    assert verdicts["wrong"] <= wrong * len(judged), judged


# Sets of which no sentence was looked at by whoever works on the reader, every second sentence; as reached (0.914 and
# 0.0167 of them all), where 0.9 and 0.02 are wanted.
UNREAD = (0.907, 0.0157)
UNREAD_STEP = 2


def test_sentences_that_nobody_has_opened_are_read_as_well_as_is_said():
    judged = [
        each for path in sorted(OPEN.parent.glob("unread-*.yaml")) for each in judge_set(path, UNREAD_STEP)
    ]
    verdicts = Counter(each.verdict for each in judged)
    right, wrong = UNREAD
    assert len(judged) >= 1020
    assert verdicts["right"] >= right * len(judged)
    assert verdicts["wrong"] <= wrong * len(judged)


# True sentences about figures, chords and phrases in their writers' own words, as reached, where 0.9 is wanted. The
# second set nobody has opened.
DESCRIBED = {"described-a": (0.66, 0.03), "described-unread-a": (0.57, 0.04)}
# Sentences about harmony, form, devices and rhythm, one in seven of them false, of which nobody has opened any either.
DESCRIBED |= {"harmony-unread-a": (0.75, 0.025), "harmony-unread-b": (0.82, 0.025)}


@pytest.mark.parametrize("name", DESCRIBED)
def test_what_is_described_in_ones_own_words_is_read_as_far_as_is_said(name):
    judged = judge_set(OPEN.with_name(f"{name}.yaml"))
    verdicts = Counter(each.verdict for each in judged)
    right, wrong = DESCRIBED[name]
    assert len(judged) >= 120
    assert verdicts["right"] >= right * len(judged)
    assert verdicts["wrong"] <= wrong * len(judged)


@pytest.mark.parametrize("name", SETS)
def test_nine_sentences_in_ten_are_read_right_and_hardly_any_is_confidently_wrong(name):
    judged = judge_set(OPEN.with_name(f"{name}.yaml"), OPENED_STEP)
    verdicts = Counter(each.verdict for each in judged)
    assert len(judged) >= SETS[name]
    assert verdicts["right"] >= 0.9 * len(judged), judged
    assert verdicts["wrong"] <= max(0.02 * len(judged), 1), judged


@pytest.mark.parametrize(
    ("say", "read", "verdict"),
    [
        ("The sharp eleven in bar two falls.", [SHARP_ELEVEN], "right"),
        ("The sharp eleven in bar two falls.", [{"words": "sharp eleven", "lit": ["2.1", "2.2"]}], "wrong"),
        ("The sharp eleven in bar two falls.", [], "wrong"),
        (
            "The sharp eleven in bar two falls.",
            [SHARP_ELEVEN, {"words": "sharp eleven in bar two", "lit": ["2.1", "2.2"], "may": True}],
            "right",
        ),
        ("The raised eleventh of bar two falls.", [{"words": "falls", "lit": ["2.1", "2.2"]}], "wrong"),
        ("Breathe.", [SHARP_ELEVEN], "missed"),
        ("Breathe.", [SHARP_ELEVEN | {"may": True}], "right"),
        ("The flat nine in bar two falls.", [{"words": "flat nine", "fault": True}], "right"),
        ("The flat nine in bar two falls.", [], "wrong"),
        (
            "The sharp eleven in bar two falls to the flat nine.",
            [{"words": "flat nine", "fault": True}],
            "right",
        ),
        ("The sharp eleven in bar two falls to the flat nine.", [SHARP_ELEVEN], "wrong"),
    ],
)
def test_a_verdict_tells_right_wrong_and_missed_apart(tmp_path, say, read, verdict):
    path = tmp_path / "set.yaml"
    path.write_text(yaml.safe_dump([ITEM | {"say": say, "read": read}]), encoding="utf-8")
    (judged,) = judge_set(path)
    assert judged.verdict == verdict


@pytest.mark.parametrize(
    ("read", "second", "verdict"),
    [
        ([], [SHARP_ELEVEN], "right"),
        ([SHARP_ELEVEN], [], "right"),
        ([{"words": "sharp eleven", "fault": True}], [], "wrong"),
        (
            [{"words": "falls", "ask": ["2.1", "2.2"]}],
            [SHARP_ELEVEN, {"words": "falls", "lit": ["2.2"]}],
            "missed",
        ),
    ],
)
def test_a_sentence_is_right_by_either_of_two_listeners(tmp_path, read, second, verdict):
    path = tmp_path / "set.yaml"
    item = ITEM | {"say": "The sharp eleven in bar two falls.", "read": read, "second": second}
    path.write_text(yaml.safe_dump([item]), encoding="utf-8")
    (judged,) = judge_set(path)
    assert judged.verdict == verdict


@pytest.mark.parametrize("etude", ["copper-lane", "corner-blues"])
@pytest.mark.parametrize("kind", sorted(NOTHING))
def test_what_is_denied_wished_compared_or_said_of_other_things_lights_nothing(tmp_path, etude, kind):
    path = tmp_path / "set.yaml"
    item = ITEM | {"score": f"{etude}.musicxml", "bars": "5-12"}
    path.write_text(yaml.safe_dump([item | {"say": say} for say in NOTHING[kind]]), encoding="utf-8")
    # What is denied of a bar is there in some of these etudes, and then false.
    may_be = ("question", "fault") if kind == "denied" else ("question",)
    wrong = [
        f"{each.say} {each.read}"
        for each in judge_set(path)
        if not all(read.startswith(may_be) for read in each.read)
    ]
    assert len(NOTHING[kind]) > 5
    assert wrong == []


# Things that are in a bar once: the score, the bars shown, what it is called, its bar, and where it is.
THERE = [
    ("copper-lane", "1-4", "raised eleventh", "bar two", "2.1"),
    ("night-tram", "5-8", "sharp eleven", "the seventh bar", "7.2&"),
]


def framed(kind, score, bars, it, bar, path):
    """What is read of the sentences of a kind, said of a thing that is there."""
    said = [template.format(it=it, bar=bar) for template in FRAMED[kind]]
    items = [{"score": f"{score}.musicxml", "bars": bars, "say": say[0].upper() + say[1:]} for say in said]
    path.write_text(yaml.safe_dump(items), encoding="utf-8")
    return judge_set(path)


def is_lit(judged, at):
    """Whether a sentence lights the one note at a place."""
    return any(read.startswith("lit") and read.endswith(f"@{at}', '{at}')") for read in judged.read)


@pytest.mark.parametrize(("score", "bars", "it", "bar", "at"), THERE)
def test_what_is_plainly_there_is_lit_however_it_is_put(tmp_path, score, bars, it, bar, at):
    judged = framed("meant", score, bars, it, bar, tmp_path / "set.yaml")
    assert len(judged) >= 90
    assert sum(is_lit(each, at) for each in judged) >= 0.9 * len(judged), judged


@pytest.mark.parametrize(("score", "bars", "it", "bar", "at"), THERE)
def test_what_is_denied_or_wished_for_is_not_lit_even_where_it_is_there(tmp_path, score, bars, it, bar, at):
    judged = framed("not meant", score, bars, it, bar, tmp_path / "set.yaml")
    assert len(judged) >= 102
    assert sum(is_lit(each, at) for each in judged) <= 0.06 * len(judged), judged
