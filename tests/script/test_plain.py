"""Plain words, sentence by sentence (sets of them are in test_sentence_sets.py)."""

import random
import re

import pytest
import yaml

from lessonmaker.script.plain.verbs import inflected
from tests.tools.sentence_sets import OPEN, judge_set

CLAIMS_NOTHING = [
    "The D.S. comes later.",
    "Take the D.C. al fine, and breathe.",
    "On the ninth of May we played it.",
    "The third and fourth bars are the heart of it.",
    "It is nine o'clock, and I have five minutes.",
    "Play it a third time, in thirds and sixths.",
    "The rest of the page can wait until the second half of the week.",
    "A flat nine always wants to fall.",
    "You could try a sharp nine there.",
    "Enclosures are the bread and butter of this style.",
    "That is the root of the matter.",
    "If this were a flat nine, it would fall.",
    "There is no sharp eleven anywhere.",
    "He drops an octave and a third here.",
    "I just outline F major seven, then D flat major seven.",
    "B flat seven, then C seven flat nine, then C7 flat nine.",
]


@pytest.mark.parametrize("text", CLAIMS_NOTHING)
def test_small_talk_claims_nothing(examined, text: str) -> None:
    (cue,) = examined(text).checked.cues
    assert cue.understood == ()


@pytest.mark.parametrize(
    ("text", "target"),
    [
        ("The flat nine in bar two rises.", "b9@2.2"),
        ("In the second bar the third is on beat four.", "3@2.4"),
        ("Bar four goes up to the sharp five.", "#5@4.3"),
        ("What I should like you to admire in bar two is the flat nine.", "b9@2.2"),
        ("How many of you sang the flat nine in bar two?", "b9@2.2"),
        ("Everybody asks me about the sharp nine over the G seven.", "#9@2.3&"),
        ("Students often ask me about the G sharp.", "#5@4.3"),
        ("In bar three, the raised eleventh is missing, but the third of {chord 3.1} is there.", None),
    ],
)
def test_one_fitting_thing_is_lit(examined, text: str, target: str | None) -> None:
    (cue,) = examined(text).checked.cues
    lit = [each.target for each in cue.understood if each.status == "lit"]
    assert (target in lit) if target else "#11@3" not in lit


def test_what_is_lit_becomes_a_link(examined) -> None:
    (cue,) = examined("The flat nine in bar two rises.").checked.cues
    (link,) = [piece for piece in cue.cue.say.pieces if piece.kind == "link"]
    assert (link.text, link.target) == ("flat nine", "b9@2.2")
    assert len(cue.mentions) == 1


def test_a_false_claim_is_a_fault_that_says_what_is_there(examined) -> None:
    found = examined("There is a natural thirteen in bar two.")
    (fault,) = found.faults
    assert "there is no 13 in bar 2: it has" in fault.what
    assert "[words](-)" in fault.todo


def test_several_things_are_a_question_with_choices(examined) -> None:
    found = examined("Over all of this there is a third.", bars="1-4")
    assert found.faults == ()


def test_words_that_are_not_to_be_read_are_not(examined) -> None:
    (cue,) = examined("There is a [natural thirteen](-) in bar two, they say.").checked.cues
    assert all(each.status == "lit" for each in cue.understood)
    assert "".join(piece.text for piece in cue.cue.say.pieces).startswith("There is a natural thirteen")


def test_letters_that_grow_when_small_move_nothing(examined) -> None:
    (cue,) = examined("İİİ the flat nine in bar two rises.").checked.cues
    (each,) = cue.understood
    text = cue.cue.say.pieces[0].text + cue.cue.say.pieces[1].text
    assert text[each.first : each.last] == "flat nine"


@pytest.mark.parametrize(
    ("verb", "forms"),
    [
        ("drop", {"drop", "drops", "dropped", "dropping"}),
        ("come down", {"come down", "comes down", "came down", "coming down"}),
        ("ease", {"ease", "eases", "eased", "easing"}),
        ("carry", {"carry", "carries", "carried", "carrying"}),
        ("open", {"open", "opens", "opened", "opening"}),
        ("hit", {"hit", "hits", "hitting"}),
    ],
)
def test_a_verb_is_known_in_all_its_forms(verb: str, forms: set[str]) -> None:
    pattern = inflected(verb)
    assert all(re.fullmatch(pattern, form) for form in forms)
    assert set(pattern.removeprefix("(?:").removesuffix(")").split("|")) == forms


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("There is no flat nine in bar two.", "but there is a b9 at"),
        ("There are three flat nines in bar two.", "2 found, not 3"),
        ("There is a triplet in bar two.", "there is none in bar 2"),
    ],
)
def test_what_is_denied_or_counted_wrongly_is_a_fault(examined, text: str, message: str) -> None:
    (fault,) = examined(text).faults
    assert message in fault.what


def test_what_the_player_is_advised_to_do_is_never_false(examined) -> None:
    assert examined("Try the flat nine in bar three.").faults == ()
    (cue,) = examined("Try the flat nine in bar two.").checked.cues
    assert [each.target for each in cue.understood if each.status == "lit"] == ["b9@2.2"]


WORDS = (
    "the a its flat nine sharp eleven third root seven five bar two twenty-two in on and then , . : over G seven chord"
    " falls to up sequence enclosure triplet side-slip no without starts ends with from lydian scale of D minor twice"
    " three times each both it you next last first note on top underneath line beat four again before turnaround one"
    " high B flat triad keeps"
)


def test_no_row_of_words_is_too_strange_to_be_read(examined) -> None:
    words = random.Random(12)
    for _ in range(40):
        text = " ".join(words.choices(WORDS.split(), k=14))
        assert all(each.what for each in examined(text).faults)


def test_parts_of_any_two_sentences_are_read_together(tmp_path) -> None:
    items, parts = (
        yaml.safe_load(OPEN.with_name("spoken-aa.yaml").read_text(encoding="utf-8")),
        random.Random(5),
    )
    cuts = [re.split(r"(?<=,) |(?= (?:and|then|to|in|over|on) )", item["say"]) for item in items]
    for item in items:
        one, other = parts.sample(cuts, 2)
        begun = one[: parts.randint(1, len(one))]
        item["say"] = " ".join([*begun, *other[parts.randrange(len(other)) :]])
        item["read"] = []
        item["score"] = str(OPEN.with_name(item["score"]))
    mixed = tmp_path / "mixed.yaml"
    mixed.write_text(yaml.safe_dump(items), encoding="utf-8")
    judged = judge_set(mixed)
    assert len(judged) == len(items)
    assert sum(bool(each.read) for each in judged) > len(items) / 2


def test_bars_that_are_named_in_no_order_are_told_from_the_first_to_the_last(read) -> None:
    say = "Two flat sevens in the opening bar, one on each side of the ninth."
    assert read("tuesday.musicxml", "7-14", say).startswith("fault 'flat sevens' ('1-7'")


@pytest.mark.parametrize(
    ("say", "bar"),
    [
        ("The third in bar ninety.", "bar ninety"),
        ("Look at the enclosure in bar ninety.", "bar ninety"),
        ("In bars three to ninety the root comes four times.", "bars three to ninety"),
        ("The line in measure 33 climbs.", "measure 33"),
        ("Bar ninety.", "bar ninety"),
    ],
)
def test_a_bar_that_the_score_does_not_have(examined, say: str, bar: str) -> None:
    examination = examined(say)
    (fault,) = examination.faults
    assert fault.what == f"there is no such bar as “{bar}”"
    assert [each.status for each in examination.checked.cues[0].understood] == ["fault"]


@pytest.mark.parametrize(
    "say",
    [
        "I practised bar ninety of that concerto for weeks.",
        "There is no bar ninety.",
        "In bar ninety we'd have a flat nine.",
        "Is there a flat nine in bar ninety?",
    ],
)
def test_a_bar_of_something_else_may_be_missing(examined, say: str) -> None:
    assert examined(say).faults == ()


@pytest.mark.parametrize(
    "say",
    [
        "This bar is three plus three plus two.",
        "It's grouped three three two.",
        "A 3+3+2 in bar twenty-one.",
        "Three eighths, three eighths and two.",
    ],
)
def test_eighths_in_groups_of_three_and_two_are_no_degrees(read, say: str) -> None:
    assert read("lantern.musicxml", "21", say).endswith("('cross rhythm@21', '21.1 21.2& 21.4')")
    assert "3,3" not in read("lantern.musicxml", "20", say.replace("twenty-one", "twenty"))


def test_a_half_tone_is_a_half_step(examined) -> None:
    for name in ("tone", "step"):
        (fault,) = examined(f"The flat nine in bar two moves up a half {name} to the root.").faults
        assert "the b9 at 2.2 rises to the #9 at 2.3&" in fault.what


@pytest.mark.parametrize(
    "words", ["time ", "of ", "slides up ", "simply ", "last ", "the the ", "one two ", "and then again "]
)
def test_words_said_over_and_over_are_read_to_their_end(examined, words: str) -> None:
    assert examined("The flat nine in bar two. " + words * 200 + "now.").faults == ()
