"""What customers need again: the files of a release against those of the one before."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["Changes", "changes_between"]


@dataclass(frozen=True)
class Changes:
    """What a customer who has the files of an earlier release has to do.

    Attributes:
        again: names of files to be fetched: those that hold something else, and new ones.
        renamed: pairs of names, before and now, of files that hold what they held.
        gone: names of files that there are no more.
    """

    again: tuple[str, ...]
    renamed: tuple[tuple[str, str], ...] = ()
    gone: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.again or self.renamed or self.gone)


def changes_between(before: Mapping[str, str], now: Mapping[str, str]) -> Changes:
    """What has changed between two sets of files, digests by name."""
    gone = {name: digest for name, digest in before.items() if name not in now}
    again, renamed = [], []
    for name, digest in now.items():
        if before.get(name) == digest:
            continue
        was = None if name in before else next((old for old, held in gone.items() if held == digest), None)
        if was is None:
            again.append(name)
        else:
            renamed.append((was, name))
            del gone[was]
    return Changes(tuple(again), tuple(renamed), tuple(gone))
