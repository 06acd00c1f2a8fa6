"""Names of finished files, and where they go."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.build.outputs import LONGEST_NAME, RESERVED, make_place, outputs_for, safe_name
from lessonmaker.faults import MaterialError

SAFE = set(string.ascii_lowercase + string.digits + "-")


@given(st.text(max_size=200))
def test_any_title_becomes_a_name_that_every_system_takes(text):
    name = safe_name(text)
    assert set(name) <= SAFE
    assert 0 < len(name) <= LONGEST_NAME
    assert name not in RESERVED
    assert not name.startswith("-")
    assert safe_name(name) == name


# Names that Windows reserves: Microsoft, "Naming Files, Paths, and Namespaces" (from memory).
@pytest.mark.parametrize(
    ("text", "name"),
    [("Étude Nº 3", "etude-no-3"), ("CON", "con-lesson"), ("lpt1", "lpt1-lesson"), ("夜", "lesson"), ("a/../b", "a-b"),
     ("Lamplighter's", "lamplighters"), ("Lamplighter’s", "lamplighters")],
)  # fmt: skip
def test_names_by_hand(text, name):
    assert safe_name(text) == name


def test_files_lie_in_their_folder(tmp_path):
    outputs = outputs_for(tmp_path / "out" / "b-flat", "night walk")
    assert outputs.film == tmp_path / "out" / "b-flat" / "night-walk.mp4"
    make_place(outputs)
    assert outputs.film.parent.is_dir()


def test_a_folder_that_may_not_be_written(tmp_path, monkeypatch):
    monkeypatch.setattr("lessonmaker.build.outputs.os.access", lambda *_: False)
    with pytest.raises(MaterialError, match="may not be written to; name another with --output"):
        make_place(outputs_for(tmp_path / "concert", "night-walk"))
