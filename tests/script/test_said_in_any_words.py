"""Whatever is said of whatever bars, the reader comes to an end and says what it understood."""

import random

import pytest

from tests.tools.sentence_sets import OPEN, mentions_of, score_at
from tests.tools.train_restated import UNOPENED, WAYS, ways_in

SCORES = ("lantern-at-the-weir", "harbour-of-slate", "marl-pit-waltz", "kettle-4")
EACH = 90  # ways, of which one is said


@pytest.mark.parametrize("name", SCORES)
def test_ways_to_say_anything_are_read_over_any_bars(name) -> None:
    path = OPEN.with_name(f"{name}.musicxml").resolve()
    numbers = [bar.number for bar in score_at(path).bars if bar.number]
    chance = random.Random(name)
    says = [say for file in sorted(WAYS.glob("*.yaml")) if file.stem != UNOPENED for _, say in ways_in(file)]
    said = [{"bars": chance.choice(numbers), "say": say} for say in chance.sample(says, len(says) // EACH)]
    found = mentions_of(path, said)
    assert {each["status"] for each in found} == {"lit", "fault", "question"}


@pytest.mark.parametrize(
    ("name", "bars", "say"),
    [
        (
            "lantern-at-the-weir",
            "21",
            "The thirteenth gets raised by a whole tone on its way to the next note.",
        ),
        ("lantern-at-the-weir", "21", "The thirteenth is the sharp one."),
        ("copper-weathervane-2", "8", "The line ends on its highest note."),
    ],
)
def test_what_names_no_degree_or_note_is_left_alone(name, bars, say) -> None:
    path = OPEN.with_name(f"{name}.musicxml").resolve()
    assert all(each["status"] != "question" for each in mentions_of(path, [{"bars": bars, "say": say}]))
