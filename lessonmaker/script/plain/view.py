"""What of a decision the bars in sight show."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from lessonmaker.score.model import Bar
from lessonmaker.score.position import Span, bars_in
from lessonmaker.script.candidates import bars_lit, seen_part
from lessonmaker.script.model import Mention
from lessonmaker.script.music import Music
from lessonmaker.script.plain.decided import Decided

__all__ = ["View"]


@dataclass(frozen=True)
class View:
    """The bars that a cue shows of the music, by their places."""

    music: Music
    bars: Collection[int]

    def trimmed(self, each: Decided) -> Decided:
        """A device that reaches a little out of sight: lit as far as it is seen."""
        mention = each.mention
        if mention is None or self.in_sight(mention) or (mention.device is None and mention.kind != "span"):
            return each
        if not mention.notes:
            return self.trimmed_bars(each, mention)
        return replace(each, mention=seen_part(mention, self.bars, self.music))

    def trimmed_bars(self, each: Decided, mention: Mention) -> Decided:
        """The bars of what the chords do, as far as they are seen."""
        bars = bars_in(self.music.score, mention.span)
        seen = [self.music.score.bars[bar] for bar in bars if bar in self.bars]
        if 2 * len(seen) <= len(bars) and not self.has_all_chords(seen, mention):
            return each
        return replace(each, mention=replace(mention, span=Span(seen[0].start, seen[-1].end)))

    def has_all_chords(self, seen: Sequence[Bar], mention: Mention) -> bool:
        """Whether each of the chords of what chords do is in some of its bars: the first of a two five is held."""
        spans = [Span(bar.start, bar.end) for bar in seen]
        there = {change.chord for span in spans for change in self.music.changes_in(span)}
        return mention.device is not None and {c.chord for c in self.music.changes_in(mention.span)} <= there

    def is_seen(self, each: Decided) -> bool:
        """Whether a decision lights something, and the cue shows it."""
        mention = self.trimmed(each).mention
        return mention is not None and self.in_sight(mention)

    def in_sight(self, mention: Mention) -> bool:
        """Whether the cue shows all that a mention lights."""
        return bars_lit(mention, self.music) <= set(self.bars)
