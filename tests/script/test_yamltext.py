import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonmaker.faults import MaterialError
from lessonmaker.script.yamltext import Listing, Mapping, Scalar, read_yaml


def text_of(node):
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Listing):
        return [text_of(item) for item in node.items]
    return {name: text_of(value) for name, (_, value) in node.entries.items()}


@pytest.mark.parametrize(
    "word", ["27:30", "on", "no", "1_0", "012", "1e3", "~", "null", "0x1F", "2024-01-01", "60%"]
)
def test_every_scalar_stays_text(script, word):
    assert text_of(read_yaml(script(f"a: {word}\nb: [{word}]\n"), [])) == {"a": word, "b": [word]}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: b\n  \tc: d\n", r":2:3: a tab; use spaces"),
        ("", r"lesson.yaml: the file is empty"),
        ("# only a comment\n", "the file is empty"),
        (b"a: caf\xe9\n", r":1:7: this is not UTF-8 text; save"),
        ("a: " + "x" * 1_000_001, "larger than 1,000,000 bytes"),
        ("a: b: c\n", r":1:5: a colon stands where no key can be"),
        ("a: 'open\n", r":1:4: a quotation opened here is never closed"),
        ("a: [b, c\nd: e\n", r":2:2: a list in \[ \] is not closed"),
        ("a: {b: c\nd: e\n", r":2:2: a map in { } is not closed"),
        ("a: [x](y)\n", r"text that begins with \[ or { belongs in quotes"),
        ("a: {chord 3} x\n", r"text that begins with \[ or { belongs in quotes"),
        ("a: @x\n", r":1:4: a value cannot begin with this character; put the text in quotes"),
        ('a: "\\q"\n', "an unknown escape"),
        ('a: "\\UFFFFFFFF"\n', "an escape names no character"),
        ("a: - b\n", "a dash stands where no list can be"),
        ("a: |3x\n b\n", "only |, >"),
        (" a: 1\nb: 2\n", "indented less than the first line"),
        ("a: x\x07y\n", r":1:5: a character that no text file should hold"),
        ("a: " + "[" * 50 + "]" * 50, "nested more than 20 deep"),
        ("a: " + "[" * 100_000, "nested more than 20 deep"),
    ],
)
def test_what_stops_the_reading_is_said(script, text, message):
    with pytest.raises(MaterialError, match=message):
        read_yaml(script(text), [])


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: 1\nb: 2\na: 3\n", r":3:1: a stands twice \(first in line 1\); keep one"),
        ("a: &x b\n", r":1:4: an anchor \(&\) is not taken here"),
        ("a: *x\n", r":1:4: an alias \(\*\) is not taken here"),
        (
            "a: !!python/object:os.system b\n",
            r":1:4: a tag \(tag:yaml.org,2002:python/object:os.system\) is not taken",
        ),
        ("a: b\n---\nc: d\n", r":2:1: a second document begins here"),
        ("? [a]\n: b\n", "a list or map stands where a key should"),
        ("a: over #9 and on\n", r":1:9: YAML takes #9 and what follows for a comment"),
        ('a: "\\0"\n', r"a character that cannot be shown \(U\+0000\)"),
        ('a: "\\ud800"\n', r"a character that cannot be shown \(U\+D800\)"),
    ],
)
def test_what_does_not_stop_the_reading_is_collected(script, text, message):
    faults = []
    read_yaml(script(text), faults)
    with pytest.raises(MaterialError, match=message):
        raise MaterialError(faults)


def test_all_tabs_are_said_at_once(script):
    with pytest.raises(MaterialError) as caught:
        read_yaml(script("a:\n\t- b\n\t- c\n"), [])
    assert [fault.place.line for fault in caught.value.faults] == [2, 3]


def test_a_proper_comment_is_no_fault(script):
    faults = []
    read_yaml(script("a: b # a comment\n# another\n"), faults)
    assert faults == []


def test_a_nest_of_aliases_does_not_grow(script):
    faults = []
    lines = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 40)]
    root = read_yaml(script("\n".join(lines)), faults)
    assert isinstance(root, Mapping)
    assert sum("alias" in fault.what for fault in faults) == 78


def test_a_file_that_is_not_there_is_said(tmp_path):
    with pytest.raises(MaterialError, match=r"none.yaml: the file cannot be read \(No such file"):
        read_yaml(tmp_path / "none.yaml", [])


@settings(max_examples=300)
@given(
    text=st.text(alphabet="ab[]{}()#9 \n'é\"\\:-♭", max_size=60),
    style=st.sampled_from(["'", '"', "|", ">", None]),
    width=st.integers(10, 60),
    plain=st.booleans(),
)
def test_each_character_is_found_in_the_file(script, text, style, width, plain):
    source = yaml.dump([{"key": text}], default_style=style, width=width, allow_unicode=plain, indent=3)
    root = read_yaml(script(source), [])
    (item,) = root.items
    ((_, value),) = item.entries.values()
    text = yaml.load(source, yaml.BaseLoader)[0]["key"]  # not always what was dumped: PyYAML folds unsafely
    assert value.text == text
    lines = source.split("\n")
    for offset, char in enumerate(text):
        place = value.place_at(offset)
        if not char.isspace():
            assert lines[place.line - 1][place.column - 1] in (char, "\\")
