"""What a sentence says beyond what was lit for it, held against the score: each module is a kind of statement.

The reader lights what a sentence is about; here the rest of what it says of that is tested, however it is put: names,
ways, lengths, counts, ends, harmony. Something is called false only where no fair reading of it is true.
"""

from __future__ import annotations

from lessonmaker.script.plain.crosscheck.all_checks import untrue
from lessonmaker.script.plain.crosscheck.loose_bars import loose_bars
from lessonmaker.script.plain.crosscheck.told import Shown, Told, Untrue

__all__ = ["Shown", "Told", "Untrue", "loose_bars", "untrue"]
