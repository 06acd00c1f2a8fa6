"""Why a film is made again, in the author's words: what is not as it was when it was made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

from lessonmaker.build.record import Record, Sources
from lessonmaker.digest import digest_of
from lessonmaker.score.model import Score

__all__ = ["bar_digests", "reasons", "share_to_make"]

SETTINGS = {
    "title": "the book has another title",
    "author": "the book has another author",
    "voice": "another draft voice speaks",
    "size": "the pictures have another size",
    "rate": "the film has another frame rate",
    "longest_pause": "the book asks for other pauses",
    "fonts": "the look's fonts are of another version",
    "edition": "the edition is defined otherwise",
    "said": "the book has other editions",
    "part": "another part is read",
    "written_for": "the part is written for another instrument",
    "from": "it begins elsewhere in the film",
    "to": "it ends elsewhere in the film",
    "layer": "a layer is asked for instead of a film, or a film instead of a layer",
    "container": "it is asked for as another kind of file",
    "code": "it begins with another time code",
    "side": "the score lies on another side",
    "beside": "the score lies otherwise beside the film",
    "systems": "another number of systems is in sight",
    "paper": "the paper covers more or less",
    "form": "the form strip is shown or left out",
    "labels": "the notes' degrees are shown or left out",
    "chords": "the chord symbols are shown or left out",
}
FILES = {
    "take": "the take is another recording",
    "film": "the film is another",
    "pronunciations": "the pronunciations say something else",
    "editions": "the book's own editions have changed",
    "look": "the look has changed",
    "scenes": "the code of its own scenes has changed",
}
HEAD = {
    "lesson": "the lesson has another title",
    "composer": "the composer is another",
    "sync": "other places are pinned in the take",
    "hear": "other chords are heard",
    "changes": "the script's own changes are others",
    "take": "another take is named",
    "score": "another score is named",
    "narration": "another narration is named",
    "longest_pause": "the lesson asks for other pauses",
    "part": "another part is read",
    "written_for": "the part is written for another instrument",
    "scenes": "other scenes are named",
}
CUE = {
    "say": "says something else",
    "bars": "shows other bars",
    "compare": "compares other places",
    "title": "has another title",
    "play": "plays something else",
    "show": "shows other signs",
    "narration": "has another recording",
    "scene": "shows another scene",
}
LISTED = 6
LITTLE = frozenset({"title", "author"})


def reasons(before: Record | None, now: Sources, bars: Mapping[str, str], whole: bool) -> list[str]:
    """What has changed since a film was made; nothing where it is as it should be.

    Args:
        before: how it was made; None where it was not, or nothing is known of it.
        now: what it would be made from.
        bars: a digest of each bar of the score as it is now (see `bar_digests`).
        whole: whether its files lie there as they were written.
    """
    if before is None:
        return ["it has not been made yet"]
    found = [
        *([] if whole else ["its files are missing or were changed"]),
        *(
            []
            if before.sources.tools == now.tools
            else ["another version of lessonmaker or of a library makes it"]
        ),
        *changed(SETTINGS, before.sources.settings, now.settings),
        *file_reasons(before, now, bars),
    ]
    return list(dict.fromkeys(found))


def changed(
    words: Mapping[str, str], before: Mapping[str, object], now: Mapping[str, object]
) -> Iterator[str]:
    """The words for each key whose value is another."""
    for key, what in words.items():
        if before.get(key) != now.get(key):
            yield what


def file_reasons(before: Record, now: Sources, bars: Mapping[str, str]) -> Iterator[str]:
    """What the author's files say otherwise."""
    old, new = before.sources.digests, now.digests
    if old.get("script") != new.get("script"):
        found = [*script_reasons(before.sources.script, now.script)]
        yield from found or ["the script is written otherwise"]
    if contents(old, "score") != contents(new, "score"):
        yield from score_reasons(before.bars, bars)
    if old.get("narration") != new.get("narration"):
        yield from narration_reasons(old.get("narration", {}), new.get("narration", {}))
    yield from changed(FILES, *({kind: contents(some, kind) for kind in FILES} for some in (old, new)))


def contents(digests: Mapping[str, Mapping[str, str]], kind: str) -> list[str]:
    """What the files of a kind hold, whatever their names."""
    return list(digests.get(kind, {}).values())


def script_reasons(before: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[str]:
    """What a script says otherwise; cues are counted from 1, as they stand now."""
    yield from changed(HEAD, before, now)
    old, new = before.get("cues", []), now.get("cues", [])
    matcher = SequenceMatcher(
        None, [digest_of(cue) for cue in old], [digest_of(cue) for cue in new], autojunk=False
    )
    for kind, first, last, here, there in matcher.get_opcodes():
        if kind != "equal":
            yield from cue_reasons(old[first:last], new[here:there], first, here)


def cue_reasons(
    old: Sequence[Mapping[str, str]], new: Sequence[Mapping[str, str]], first: int, here: int
) -> Iterator[str]:
    """What a stretch of cues says otherwise: pair by pair, then what is new or gone."""
    for number, (one, other) in enumerate(zip(old, new, strict=False)):
        for what in changed(CUE, one, other):
            yield f"cue {here + number + 1} {what}"
    for number in range(len(old), len(new)):
        yield f"cue {here + number + 1} is new"
    for number in range(len(new), len(old)):
        yield f"what was cue {first + number + 1} is gone"


def score_reasons(before: Mapping[str, str], now: Mapping[str, str]) -> Iterator[str]:
    """Which bars of a score have changed."""
    numbers = [number for number, digest in now.items() if before.get(number) != digest]
    gone = [number for number in before if number not in now]
    if numbers:
        more = f" and {len(numbers) - LISTED} more" if len(numbers) > LISTED else ""
        yield f"bar{'s' if len(numbers) > 1 else ''} {', '.join(numbers[:LISTED])}{more} of the score changed"
    if gone:
        yield f"the score ends with bar {list(now)[-1] if now else 0}"
    if not numbers and not gone:
        yield "the score is printed otherwise"


def narration_reasons(before: Mapping[str, str], now: Mapping[str, str]) -> Iterator[str]:
    """Which recordings of the voice have changed."""
    for path, digest in now.items():
        if path not in before:
            yield f"{Path(path).name} is a new recording"
        elif before[path] != digest:
            yield f"{Path(path).name} was recorded again"
    for path in before:
        if path not in now:
            yield f"{Path(path).name} is not used any more"


def bar_digests(score: Score) -> dict[str, str]:
    """A digest of each bar's notes, chords, key and metre, by its number in print."""
    found: dict[str, str] = {}
    for bar in score.bars:
        notes = [
            (one.onset - bar.start, one.duration, one.written, one.grace)
            for one in score.notes
            if one.bar == bar.index
        ]
        chords = [(one.onset - bar.start, one.written) for one in score.changes if one.bar == bar.index]
        found[bar.number] = digest_of(found.get(bar.number), notes, chords, bar.key, bar.metre, bar.section)
    return found


def share_to_make(before: Record | None, now: Sources, why: Sequence[str]) -> float:
    """About which share of a film's parts has to be made again."""
    if before is None or before.sources.tools != now.tools:
        return 1.0
    only_cues = all(reason.startswith(("cue ", "what was cue ")) for reason in why)
    if only_cues:
        cues = {reason.split()[1] for reason in why if reason.startswith("cue ")}
        return len(cues) / max(1, len(now.script["cues"]))
    free = {SETTINGS[name] for name in LITTLE} | {"its files are missing or were changed"}
    return 0.0 if all(reason in free for reason in why) else 1.0
