"""Note values by their names, with the number and the dots that are said."""

from fractions import Fraction

import pytest

from lessonmaker.script.plain.crosscheck.values import value_words


@pytest.mark.parametrize(
    ("text", "length", "count"),
    [
        ("a half note", Fraction(2), 0),
        ("two dotted quarters", Fraction(3, 2), 2),
        ("a dotted half", Fraction(3), 0),
        ("a double-dotted quarter note", Fraction(7, 4), 0),
        ("four even sixteenths", Fraction(1, 4), 4),
        ("three demisemiquavers", Fraction(1, 8), 3),
        ("a semibreve", Fraction(4), 0),
        ("two triplets", None, 2),
    ],
)
def test_a_value_is_as_long_as_its_name_and_dots_say(text, length, count):
    (word,) = value_words(text)
    assert (word.length, word.count) == (length, count)


@pytest.mark.parametrize("text", ["the eighth bar", "half of it", "on a quarter of our pay", "bar sixteen"])
def test_what_is_no_value_is_none(text):
    assert list(value_words(text)) == []
