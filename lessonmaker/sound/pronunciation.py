"""How words are said: the trade's pronunciations, an author's own, and the voice's dictionary for the rest.

The rules are data (`pronunciations.yaml`, which explains its fields). An author's own file is a plain map
of a word to IPA between slashes, or to a respelling in ordinary words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

import yaml

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.sound.phonemes import ipa_to_voice, unknown_letters

if TYPE_CHECKING:
    from hibari.g2p import G2P

__all__ = ["marked", "read_pronunciations", "sounds_of", "word_readings", "word_sounds"]


@dataclass(frozen=True)
class Rule:
    """One reading of some words in some surroundings; None stands for no condition."""

    words: frozenset[str]
    say: str
    capital: bool | None
    first: bool | None
    last: bool | None
    after: frozenset[str] | None
    before: frozenset[str] | None
    then: frozenset[str] | None

    def fits(self, words: Sequence[str], marks: Sequence[str], index: int) -> bool:
        """Whether the rule holds for the word at `index` of a sentence."""
        lowered = [word.lower() for word in words[max(index - 1, 0) : index + 3]]
        before, here, *rest = lowered if index else ["", *lowered]
        following = "" if marks[index] or not rest else rest[0]
        then = rest[1] if following and len(rest) > 1 else ""
        return (
            here in self.words
            and self.capital in (None, words[index][:1].isupper())
            and self.first in (None, index == 0)
            and self.last in (None, following == "")
            and (self.after is None or before in self.after)
            and (self.before is None or following in self.before)
            and (self.then is None or then in self.then)
        )


@dataclass(frozen=True)
class Table:
    """The trade's pronunciations: by word, and by rule."""

    words: Mapping[str, str]
    rules: Mapping[str, tuple[Rule, ...]]


@cache
def trade_table() -> Table:
    """The pronunciations that come with the package."""
    text = (files("lessonmaker.sound") / "pronunciations.yaml").read_text(encoding="utf-8")
    data = yaml.load(text, Loader=yaml.BaseLoader)
    rules: dict[str, list[Rule]] = {}
    for entry in data["rules"]:
        rule = _rule(entry, data["lists"])
        for word in rule.words:
            rules.setdefault(word, []).append(rule)
    return Table(
        words={word: _reading(say) for word, say in data["words"].items()},
        rules={word: tuple(found) for word, found in rules.items()},
    )


def _rule(entry: Mapping[str, Any], lists: Mapping[str, Sequence[str]]) -> Rule:
    def words(name: str) -> frozenset[str] | None:
        value = entry.get(name)
        return None if value is None else frozenset(lists[value] if isinstance(value, str) else value)

    def flag(name: str) -> bool | None:
        return {"true": True, "false": False}[entry[name]] if name in entry else None

    return Rule(
        words=frozenset(entry["words"]),
        say=_reading(entry["say"]),
        capital=flag("capital"),
        first=flag("first"),
        last=flag("last"),
        after=words("after"),
        before=words("before"),
        then=words("then"),
    )


def _reading(say: str) -> str:
    """IPA between slashes in the voice's letters, still between slashes; a respelling as it is."""
    if len(say) > 2 and say.startswith("/") and say.endswith("/"):
        return f"/{ipa_to_voice(say[1:-1])}/"
    return say


def read_pronunciations(path: Path) -> dict[str, str]:
    """An author's own pronunciations: a word in small letters to IPA between slashes or a respelling.

    Raises:
        MaterialError: The file cannot be read, is not a plain map, or holds letters that stand for no sound.
    """
    try:
        node = yaml.compose(path.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
    except (OSError, UnicodeDecodeError) as error:
        raise MaterialError(Fault("cannot be read", "check the file", Place(path))) from error
    except yaml.YAMLError as error:
        raise MaterialError(_yaml_fault(path, error)) from error
    if node is None:
        return {}
    if not isinstance(node, yaml.MappingNode):
        raise MaterialError(Fault("is not a list of pronunciations", EXAMPLE, Place(path, 1, 1)))
    return _read_entries(path, node)


EXAMPLE = "write one word a line, as in 'bass: /beɪs/' or 'bass: base'"


def _yaml_fault(path: Path, error: yaml.YAMLError) -> Fault:
    mark = getattr(error, "problem_mark", None)
    place = Place(path, mark.line + 1, mark.column + 1) if mark else Place(path)
    return Fault(f"is not YAML: {getattr(error, 'problem', None) or 'unreadable'}", EXAMPLE, place)


def _read_entries(path: Path, node: yaml.MappingNode) -> dict[str, str]:
    faults: list[Fault] = []
    found: dict[str, str] = {}
    for key, value in node.value:
        place = Place(path, key.start_mark.line + 1, key.start_mark.column + 1)
        problem = _problem(key, value)
        if problem:
            faults.append(Fault(problem, EXAMPLE, place))
        else:
            found[key.value.lower()] = _reading(value.value)
    if faults:
        raise MaterialError(faults)
    return found


def _problem(key: yaml.Node, value: yaml.Node) -> str:
    if not isinstance(key, yaml.ScalarNode) or not isinstance(value, yaml.ScalarNode):
        return "a pronunciation is one word and how it is said"
    if len(key.value.split()) != 1:
        return f"'{key.value}' is not one word"
    reading = _reading(value.value)
    if not reading.strip("/ "):
        return f"nothing says how '{key.value}' is spoken"
    unknown = unknown_letters(reading[1:-1]) if reading.startswith("/") else ""
    return f"'{unknown}' in the pronunciation of '{key.value}' stands for no sound" if unknown else ""


def reading_at(
    words: Sequence[str], marks: Sequence[str], index: int, own: Mapping[str, str] | None = None
) -> str | None:
    """How a word of a sentence is said, where the trade or the author says so: "/phonemes/" or a respelling.

    Args:
        words: The sentence's spoken words.
        marks: The punctuation after each word, "" for none.
        index: Which word.
        own: The author's own pronunciations, which come first.
    """
    word = words[index].lower()
    if own and word in own:
        return own[word]
    table = trade_table()
    for rule in table.rules.get(word, ()):
        if rule.fits(words, marks, index):
            return rule.say
    return table.words.get(word)


def marked(words: Sequence[str], marks: Sequence[str], own: Mapping[str, str] | None = None) -> str:
    """A sentence with its pronunciations written in, as the voice reads them."""
    return " ".join(
        _mark(word, reading_at(words, marks, index, own)) + marks[index] for index, word in enumerate(words)
    )


def _mark(word: str, reading: str | None) -> str:
    if reading is None:
        return word
    return f"[{word}]({reading})" if reading.startswith("/") else reading


@cache
def _dictionary() -> G2P:
    from hibari.g2p import G2P  # a quarter of a second to import, for what is spoken

    return G2P()


def sounds_of(text: str) -> str:
    """The sounds of a marked sentence in the voice's letters, words separated by spaces."""
    return str(_dictionary()(text, normalize_text=False))


def word_sounds(word: str, own: Mapping[str, str] | None = None) -> str:
    """The sounds of one word by itself; "" where it has none."""
    return sounds_of(marked([word], [""], own))


def word_readings(word: str) -> list[str]:
    """The sounds of every reading that the trade's table has for a word, whatever its surroundings; may be none."""
    plain = word.lower()
    table = trade_table()
    says = [rule.say for rule in table.rules.get(plain, ())]
    says += [table.words[plain]] if plain in table.words else []
    return list(dict.fromkeys(sounds_of(_mark(word, say)) for say in says))
