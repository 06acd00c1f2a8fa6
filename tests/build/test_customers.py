"""What customers need again: who does what is said has the new files."""

from hypothesis import given
from hypothesis import strategies as st

from lessonmaker.build.customers import Changes, changes_between

FILES = st.dictionaries(st.sampled_from("abcdef"), st.sampled_from("123"), max_size=6)


@given(FILES, FILES)
def test_who_follows_the_changes_has_the_new_files(before, now):
    changes = changes_between(before, now)
    held = {name: digest for name, digest in before.items() if name not in changes.gone}
    moved = {new: held.pop(old) for old, new in changes.renamed}
    held |= moved
    assert set(held) >= set(now) - set(changes.again)
    assert held | {name: now[name] for name in changes.again} == now


@given(FILES, FILES)
def test_nothing_is_fetched_that_is_there_under_its_name(before, now):
    changes = changes_between(before, now)
    assert all(before.get(name) != now[name] for name in changes.again)
    assert not changes_between(now, now)


def test_a_new_lesson_before_others_renames_theirs():
    before = {"01-a": "1", "02-b": "2", "03-c": "3"}
    now = {"01-new": "0", "02-a": "1", "03-b": "2"}
    renamed = (("01-a", "02-a"), ("02-b", "03-b"))
    assert changes_between(before, now) == Changes(again=("01-new",), renamed=renamed, gone=("03-c",))


def test_two_new_names_of_one_file_are_one_renamed_and_one_fetched():
    changes = changes_between({"a": "1"}, {"b": "1", "c": "1"})
    assert changes == Changes(again=("c",), renamed=(("a", "b"),))
