"""The order in which printed bars are played: repeats, endings, da capo, dal segno, fine, coda.

Conventions (common practice, no source): a jump is taken once, after the last time of a repeat that ends in
the same bar; after a jump repeats are not taken and the last ending is played, unless the repeat or the jump
says otherwise; Fine and To Coda count only after a jump.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

__all__ = ["Signs", "playing_order"]

MOST_TIMES = 32
MOST_VISITS_A_BAR = 64


@dataclass
class Signs:
    """The signs of one bar.

    `ending` holds the times round for which an ending is played, `ending_start` is true in its first bar.
    `times` is how often the passage that ends here is played in all (None: not said). `jump` is "capo" or
    "segno"; `jump_until` "fine", "coda" or "" (whichever comes); `jump_repeats`: repeats are taken after it.
    """

    repeat_start: bool = False
    repeat_end: bool = False
    times: int | None = None
    after_jump: bool = False
    ending: tuple[int, ...] = ()
    ending_start: bool = False
    segno: bool = False
    coda: bool = False
    jump: str = ""
    jump_until: str = ""
    jump_repeats: bool = False
    fine: bool = False
    to_coda: bool = False


@dataclass
class _Endings:
    """A group of endings side by side: its bars, and how often the passage is played."""

    first: int
    stop: int
    times: int


def playing_order(signs: Sequence[Signs]) -> tuple[int, ...]:
    """Indices of the bars in the order they are played.

    Raises:
        ValueError: the signs never lead to an end.
    """
    return _Walk(_with_to_coda(signs)).walk()


def _with_to_coda(signs: Sequence[Signs]) -> Sequence[Signs]:
    """Two coda signs and no "To Coda": the first sign is where the jump to the second starts."""
    codas = [i for i, bar in enumerate(signs) if bar.coda]
    if len(codas) < 2 or any(bar.to_coda for bar in signs):
        return signs
    return [replace(bar, to_coda=True, coda=False) if i == codas[0] else bar for i, bar in enumerate(signs)]


def _ending_groups(signs: Sequence[Signs]) -> list[_Endings]:
    groups: list[_Endings] = []
    at = 0
    while at < len(signs):
        if not signs[at].ending:
            at += 1
            continue
        stop = at
        while stop < len(signs) and signs[stop].ending and not (signs[stop].repeat_start and stop > at):
            stop += 1
        groups.append(_Endings(at, stop, _times_of_group(signs[at:stop])))
        at = stop
    return groups


def _times_of_group(bars: Sequence[Signs]) -> int:
    """The highest number; one more where a lone bracket repeats and the next ending has no bracket."""
    highest = max(max(bar.ending) for bar in bars)
    lone = sum(bar.ending_start for bar in bars) <= 1
    return min(highest + (1 if lone and bars[-1].repeat_end else 0), MOST_TIMES)


class _Walk:
    """One walk through the signs."""

    def __init__(self, signs: Sequence[Signs]) -> None:
        self.signs = signs
        self.group_at = {i: group for group in _ending_groups(signs) for i in range(group.first, group.stop)}
        self.start = 0
        self.time = 1
        self.jumped = False
        self.until = ""
        self.repeats = True
        self.taken: set[int] = set()

    def walk(self) -> tuple[int, ...]:
        order: list[int] = []
        at: int | None = 0
        while at is not None and at < len(self.signs):
            at = self._enter(at)
            if at >= len(self.signs):
                break
            order.append(at)
            if len(order) > MOST_VISITS_A_BAR * len(self.signs):
                raise ValueError("the repeat signs never lead to an end")
            at = self._leave(at)
        return tuple(order)

    def _enter(self, at: int) -> int:
        """The bar that is played where the eye comes to bar `at`: endings of other times are passed over."""
        if self.signs[at].repeat_start and at != self.start:
            self.start, self.time = at, 1
        group = self.group_at.get(at)
        if group is None or not self.signs[at].ending_start:
            return at
        wanted = self.time if self.repeats else group.times
        while at < group.stop and wanted not in self.signs[at].ending:
            at += 1
        return at if at < group.stop else self._after_group(group)

    def _after_group(self, group: _Endings) -> int:
        self.start, self.time = group.stop, 1
        return self._enter(group.stop) if group.stop < len(self.signs) else group.stop

    def _leave(self, at: int) -> int | None:
        """The bar after bar `at`, or None where the piece ends."""
        bar = self.signs[at]
        if bar.repeat_end and self._again(at):
            self.time += 1
            return self.start
        if self.jumped and bar.fine and self.until != "coda":
            return None
        if self.jumped and bar.to_coda and self.until != "fine" and (coda := self._coda(at)) is not None:
            self.start, self.time = coda, 1
            return coda
        if bar.jump and at not in self.taken:
            return self._jump(at)
        if bar.repeat_end and not self._more_endings(at):
            self.start, self.time = at + 1, 1
        return self._next(at)

    def _again(self, at: int) -> bool:
        bar = self.signs[at]
        if not self.repeats and not bar.after_jump:
            return False
        group = self.group_at.get(at)
        times = group.times if group else min(bar.times or 2, MOST_TIMES)
        return self.time < times

    def _more_endings(self, at: int) -> bool:
        group = self.group_at.get(at)
        return group is not None and at + 1 < group.stop

    def _next(self, at: int) -> int:
        """The next bar: after the end of an ending, the rest of its group is passed over."""
        group = self.group_at.get(at)
        if group is None or at + 1 >= group.stop:
            if group is not None:
                self.start, self.time = group.stop, 1
            return at + 1
        if not self.signs[at + 1].ending_start:
            return at + 1
        self.start, self.time = group.stop, 1
        return group.stop

    def _jump(self, at: int) -> int | None:
        bar = self.signs[at]
        self.taken.add(at)
        target = 0 if bar.jump == "capo" else self._segno(at)
        if target is None:
            return self._next(at)
        self.jumped, self.until, self.repeats = True, bar.jump_until, bar.jump_repeats
        self.start, self.time = target, 1
        return target

    def _segno(self, at: int) -> int | None:
        """The nearest segno before the jump, else the first one anywhere."""
        marks = [i for i, bar in enumerate(self.signs) if bar.segno]
        return max((i for i in marks if i <= at), default=marks[0] if marks else None)

    def _coda(self, at: int) -> int | None:
        return next((i for i in range(at + 1, len(self.signs)) if self.signs[i].coda), None)
