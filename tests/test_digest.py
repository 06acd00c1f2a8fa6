"""Digests of values: equal for equal values, different for different ones, the same in every process."""

import os
import subprocess
import sys
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.digest import digest_of


@dataclass(frozen=True)
class Pair:
    one: object
    other: object = None
    remark: str = field(default="", compare=False)


plain = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text() | st.binary()
values = st.recursive(plain, lambda inner: st.lists(inner, max_size=3).map(tuple), max_leaves=8)


@given(values, values)
def test_values_have_one_digest_if_and_only_if_they_are_the_same(one, other):
    assert (digest_of(one) == digest_of(other)) == (repr(one) == repr(other))


def test_nothing_runs_into_its_neighbour():
    spellings = [
        ("ab", "c"),
        ("a", "bc"),
        (("a", "b"), "c"),
        ("a", ("b", "c")),
        ("abc",),
        ("1", 2),
        (1, "2"),
        (1.0, 2),
    ]
    assert len({digest_of(*one) for one in spellings}) == len(spellings)


def test_order_counts_where_there_is_one():
    assert digest_of({"a": 1, "b": 2}) == digest_of({"b": 2, "a": 1})
    assert digest_of({"a", "b"}) == digest_of(frozenset({"b", "a"}))
    assert digest_of(["a", "b"]) != digest_of(["b", "a"])


def test_data_classes_count_by_their_type_and_what_they_compare_by():
    assert digest_of(Pair(1)) != digest_of((1, None))
    assert digest_of(Pair(1)) != digest_of(Pair(2))
    assert digest_of(Pair(Fraction(1, 3))) == digest_of(Pair(Fraction(2, 6), remark="said elsewhere"))


def test_arrays_count_by_shape_type_and_content():
    flat = np.arange(6, dtype=np.float32)
    others = [flat.reshape(2, 3), flat.astype(np.float64), flat + 1, flat[::-1]]
    assert len({digest_of(one) for one in (flat, *others)}) == 5
    assert digest_of(flat[::2]) == digest_of(np.array([0, 2, 4], np.float32))


def test_what_has_no_digest():
    with pytest.raises(TypeError, match="Path has no digest"):
        digest_of(Path("score.musicxml"))


def test_another_process_finds_the_same():
    code = "from lessonmaker.digest import digest_of as d; print(d({'b', 'a', 'c'}, {'x': 1.5, 'y': (None, b'z')}))"
    environment = {**os.environ, "PYTHONHASHSEED": "7"}
    command = [sys.executable, "-c", code]
    run = subprocess.run(command, capture_output=True, text=True, check=True, env=environment)
    assert run.stdout.strip() == digest_of({"a", "b", "c"}, {"y": (None, b"z"), "x": 1.5})
