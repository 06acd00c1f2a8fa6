"""The text that goes with a film."""

from dataclasses import replace

import pytest

from lessonmaker.build.description import About, description

ABOUT = About(
    title="Night Walk",
    edition="B♭ edition",
    composer="Odo Plinth",
    book="Twelve Walks",
    author="Ida Fenn",
    number=3,
    seconds=287.0,
    played=True,
    captioned=True,
    chapters="0:00 All of it\n1:02 The lean (bar 2)\n",
)


def test_all_that_is_known_stands_in_it():
    assert description(ABOUT).splitlines() == [
        "Night Walk (B♭ edition)",
        "Lesson 3 of Twelve Walks, by Ida Fenn",
        "",
        "An etude by Odo Plinth, explained over its score in 5 minutes. Each bar lights up while it is played, "
        "and while it is spoken of; notes that make tension light up, with their degree over the chord, when they "
        "are named. Captions come with the film.",
        "",
        "Chapters",
        "0:00 All of it",
        "1:02 The lean (bar 2)",
    ]


@pytest.mark.parametrize(
    ("change", "stands", "is_not_there"),
    [
        ({"composer": ""}, "An etude, explained", "etude by"),
        ({"author": ""}, "Lesson 3 of Twelve Walks\n", ", by"),
        ({"captioned": False}, "when they are named.\n", "Captions"),
        ({"played": False}, "lights up while it is spoken of", "played"),
        ({"seconds": 20.0}, "over its score. Each", "minute"),
        ({"seconds": 62.0}, "in 1 minute.", "minutes"),
        (
            {"layer": True, "filmed": True},
            "The score of an etude by Odo Plinth alone, transparent",
            "explained",
        ),
        ({"layer": True, "filmed": True}, "\nLayer 3 of Twelve Walks", "Lesson"),
        ({"chapters": ""}, "with the film.\n", "Chapters"),
    ],
)
def test_what_is_not_known_is_left_out(change, stands, is_not_there):
    text = description(replace(ABOUT, **change))
    assert stands in text and is_not_there not in text
