"""Reading chord symbols as musicians type them.

A symbol is a root, a head ("m", "maj", "°" ...), a number, and modifiers ("b9", "sus", "add9", "alt"), with
a bass after a stroke. Both "-" and "+" are read ("C-7", "C7+9"), though the house style prints neither
for minor.
"""

from __future__ import annotations

import re

from lessonmaker.theory.kinds import KINDS
from lessonmaker.theory.signs import ASCII_SIGNS

__all__ = ["NO_CHORD", "Modifier", "read_quality", "split_symbol"]

Modifier = tuple[str, int, int]

PLAIN_SIGNS = str.maketrans(ASCII_SIGNS | {"−": "-", "–": "-", "△": "Δ", "º": "°", "Ø": "ø"})
NO_CHORD = re.compile(r"^\s*(n\.?\s?c\.?|no\s?chord|tacet)\s*$", re.IGNORECASE)
SYMBOL = re.compile(
    r"^(?P<root>[A-G](?:bb|##|x|b|#)?)(?P<quality>.*?)(?:\s*/\s*(?P<bass>[A-G](?:bb|##|x|b|#)?))?$"
)
HEADS = (
    ("maj", r"(?:Major|major|Maj|maj|MAJ|Ma|ma(?!dd)|MA|M|Δ|\^|j)"),
    ("m", r"(?:Minor|minor|Min|min|MIN|Mi|mi|MI|m|-)"),
    ("dim", r"(?:dim|Dim|°|o)"),
    ("half", r"(?:ø|half-?dim|hdim|h)"),
    ("aug", r"(?:aug|Aug|\+)"),
    ("", r"(?:dom|Dom)?"),
)
NUMBER = re.compile(r"6/9|69|13|11|9|7|6|5|4|2")
MODIFIERS = (
    ("skip", re.compile(r"[\s,()\[\]]+")),
    ("alt", re.compile(r"alt(?:ered|\.)?")),
    ("sus", re.compile(r"sus(?P<number>2|4|9|13|7)?")),
    ("omit", re.compile(r"(?:no|omit)\.?\s?(?P<number>3|5|7|9|11)(?:rd|th)?")),
    ("maj", re.compile(r"(?:Maj|maj|MAJ|Ma|ma|M|Δ|\^)(?P<number>7|9|11|13)?")),
    ("add", re.compile(r"(?:add|/)?(?P<sign>bb|b|#|-|\+)?(?P<number>13|11|9|7|6|5|4|3|2)")),
    ("aug", re.compile(r"(?:\+|aug)(?![0-9])")),
)
SIGN_ALTERS = {"bb": -2, "b": -1, "-": -1, "#": 1, "+": 1, None: 0}

# What a head and a number make: the kind and what it lacks of the symbol's meaning.
KIND_BY_HEAD: dict[tuple[str, str], tuple[str, tuple[Modifier, ...]]] = {
    ("", ""): ("major", ()),
    ("", "2"): ("major", (("add", 9, 0),)),
    ("", "4"): ("suspended-fourth", ()),
    ("", "5"): ("power", ()),
    ("", "6"): ("major-sixth", ()),
    ("", "6/9"): ("major-sixth", (("add", 9, 0),)),
    ("", "7"): ("dominant", ()),
    ("", "9"): ("dominant-ninth", ()),
    ("", "11"): ("dominant-11th", ()),
    ("", "13"): ("dominant-13th", ()),
    ("maj", ""): ("major", ()),
    ("maj", "6"): ("major-sixth", ()),
    ("maj", "6/9"): ("major-sixth", (("add", 9, 0),)),
    ("maj", "7"): ("major-seventh", ()),
    ("maj", "9"): ("major-ninth", ()),
    ("maj", "11"): ("major-11th", ()),
    ("maj", "13"): ("major-13th", ()),
    ("m", ""): ("minor", ()),
    ("m", "6"): ("minor-sixth", ()),
    ("m", "6/9"): ("minor-sixth", (("add", 9, 0),)),
    ("m", "7"): ("minor-seventh", ()),
    ("m", "9"): ("minor-ninth", ()),
    ("m", "11"): ("minor-11th", ()),
    ("m", "13"): ("minor-13th", ()),
    ("mmaj", "7"): ("major-minor", ()),
    ("mmaj", "9"): ("major-minor", (("add", 9, 0),)),
    ("mmaj", "11"): ("major-minor", (("add", 9, 0), ("add", 11, 0))),
    ("mmaj", "13"): ("major-minor", (("add", 9, 0), ("add", 11, 0), ("add", 13, 0))),
    ("dim", ""): ("diminished", ()),
    ("dim", "7"): ("diminished-seventh", ()),
    ("dim", "9"): ("diminished-seventh", (("add", 9, 0),)),
    ("dim", "11"): ("diminished-seventh", (("add", 9, 0), ("add", 11, 0))),
    ("half", ""): ("half-diminished", ()),
    ("half", "7"): ("half-diminished", ()),
    ("half", "9"): ("half-diminished", (("add", 9, 0),)),
    ("half", "11"): ("half-diminished", (("add", 9, 0), ("add", 11, 0))),
    ("half", "13"): ("half-diminished", (("add", 9, 0), ("add", 11, 0), ("add", 13, 0))),
    ("aug", ""): ("augmented", ()),
    ("aug", "7"): ("augmented-seventh", ()),
    ("aug", "9"): ("dominant-ninth", (("alter", 5, 1),)),
    ("aug", "11"): ("dominant-11th", (("alter", 5, 1),)),
    ("aug", "13"): ("dominant-13th", (("alter", 5, 1),)),
}
# What "maj9" and the like add to a chord that is not major by its head, as in "+maj9": no eleventh over a major third.
MAJOR_BY_NUMBER: dict[str, tuple[Modifier, ...]] = {
    "": (("add", 7, 1),),
    "7": (("add", 7, 1),),
    "9": (("add", 7, 1), ("add", 9, 0)),
    "11": (("add", 7, 1), ("add", 9, 0), ("add", 11, 0)),
    "13": (("add", 7, 1), ("add", 9, 0), ("add", 13, 0)),
}
SUSPENDED_BY_NUMBER: dict[str, tuple[Modifier, ...]] = {
    "": (),
    "6": (("add", 6, 0),),
    "7": (("add", 7, 0),),
    "9": (("add", 7, 0), ("add", 9, 0)),
    "11": (("add", 7, 0), ("add", 9, 0)),
    "13": (("add", 7, 0), ("add", 9, 0), ("add", 13, 0)),
}


def split_symbol(text: str) -> tuple[str, str, str | None]:
    """Split a chord symbol into root, quality and bass.

    Raises:
        ValueError: the text does not begin with a note name.
    """
    match = SYMBOL.match(text.strip().translate(PLAIN_SIGNS))
    if match is None:
        raise ValueError(
            f"{text!r} is no chord symbol: it begins with a note name in capitals, as in Bbmaj7, C7alt, F/G"
        )
    return match["root"], match["quality"].strip(), match["bass"]


def read_quality(text: str) -> tuple[str, tuple[Modifier, ...]]:
    """Read what follows the root: a kind of `KINDS` and degrees as (action, value, alteration).

    Raises:
        ValueError: part of the text cannot be read.
    """
    rest = text.translate(PLAIN_SIGNS).replace("6/9", "69").replace("7M", "maj7").strip()
    head, rest = _read_head(rest)
    number, rest = _read_number(rest)
    kind, degrees = _kind_of(head, number, text)
    flags: list[tuple[str, str]] = []
    while rest:
        name, match = _next_modifier(rest, text)
        rest = rest[match.end() :]
        if name == "add":
            degrees += (_degree(match, kind, degrees),)
        elif name != "skip":
            flags.append((name, match.groupdict().get("number") or ""))
    for name, argument in flags:
        kind, degrees = _apply_flag(name, argument, kind, degrees, number)
    return kind, degrees


def _read_head(rest: str) -> tuple[str, str]:
    for name, pattern in HEADS:
        match = re.match(pattern, rest)
        if match is None or rest.startswith(("+5", "-5")):
            continue
        after = rest[match.end() :]
        if name == "m" and (major := re.match(r"[\s(/]*" + HEADS[0][1], after)) is not None:
            return "mmaj", after[major.end() :]
        if name == "maj" and rest[0] in "Δ^" and not re.match(r"[\d]", after):
            return "maj", "7" + after
        return name, after
    return "", rest


def _read_number(rest: str) -> tuple[str, str]:
    match = NUMBER.match(rest)
    if match is None:
        return "", rest
    return {"69": "6/9"}.get(match[0], match[0]), rest[match.end() :]


def _kind_of(head: str, number: str, text: str) -> tuple[str, tuple[Modifier, ...]]:
    found = KIND_BY_HEAD.get((head, number or ("7" if head == "mmaj" else "")))
    if found is None:
        raise ValueError(
            f"{text!r} is no chord quality: {number!r} does not follow there; write maj7, m7, 13, 6/9"
        )
    return found


def _next_modifier(rest: str, text: str) -> tuple[str, re.Match[str]]:
    for name, pattern in MODIFIERS:
        match = pattern.match(rest)
        if match is not None:
            return name, match
    raise ValueError(
        f"{text!r} is no chord quality: {rest!r} cannot be read; alterations are written b9, #9, #11, b13, "
        "b5, #5, further words are sus, alt, add9, no3"
    )


def _degree(match: re.Match[str], kind: str, degrees: tuple[Modifier, ...]) -> Modifier:
    value, alter = int(match["number"]), SIGN_ALTERS[match["sign"]]
    value = {2: 9, 4: 11, 6: 13}.get(value, value) if alter or value == 2 else value
    tones = KINDS[kind].tones
    held = any(tone.lstrip("b#") == str(value) for tone in tones)
    altered_before = any(old == value for _, old, _ in degrees)
    return ("alter" if held and alter and not altered_before else "add", value, alter)


def _apply_flag(
    name: str, argument: str, kind: str, degrees: tuple[Modifier, ...], number: str
) -> tuple[str, tuple[Modifier, ...]]:
    if name == "alt":
        return "altered", ()
    if name == "sus":
        return _suspended(argument, kind, degrees, number)
    if name == "maj":
        return kind, (*degrees, *MAJOR_BY_NUMBER[argument])
    added = {"omit": ("subtract", int(argument or 0), 0), "aug": ("alter", 5, 1)}[name]
    return kind, (*degrees, added)


def _suspended(
    argument: str, kind: str, degrees: tuple[Modifier, ...], number: str
) -> tuple[str, tuple[Modifier, ...]]:
    extension = argument if argument in ("7", "9", "13") else number
    implied = SUSPENDED_BY_NUMBER.get(extension, ())
    if argument == "2":
        return "suspended-second", (*implied[:1], *degrees)
    if kind.startswith("major-") and extension in ("7", "9", "11", "13"):
        implied = (("add", 7, 1), *implied[1:])
    return "suspended-fourth", (*implied, *degrees)
