"""Notes that are named by their letters, and are nowhere near: "you end on a G" where no G is struck or sounds.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonmaker.score.position import Span
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.letters import (
    IN_BAR,
    is_surely_a_note,
    letters,
    pitch_class,
    pitch_classes,
    rows,
    tonics,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.note_names import OF_A_KEY, NoteWord

__all__ = ["names_absent"]

WOULD = pattern_of(r"\bwould(?:n't)? (?:have|be|give|need|use)\b")  # not this music
# What is to be played, wherever it may be: "play the A twice as loud".
ADVICE = pattern_of(r"\s*(?:(?:now|so|then|just),? )?(?:play|sing|try|practi[sc]e)\b")
# What leads to a note that is next to the bars in sight, or away from it.
GOING = pattern_of(
    r"\b(?:to|into|onto|towards?|for|from|off|after|before|next|until|till|then|followed by)\b[^,;:.]{0,24}$"
)
# Or it is what turns into what is in sight.
BECOMING = pattern_of(r" (?:chord )?(?:becom|turn|chang)\w+")
NEAR = 2  # notes of the line before and after the bars in sight that may be spoken of


def names_absent(told: Told) -> Iterator[Untrue]:
    """The letters of notes that no note in sight is called by in any spelling.

    The note next to the bars in sight may be spoken of by itself, but not in a row; chords and keys there by their
    roots, unless a letter is surely a note.
    """
    advice = ADVICE.match(told.text) is not None and not told.places
    if advice or WOULD.search(told.text):
        return
    in_rows = {name for row in rows(told) for name in row.names if len(row.names) > 2}
    for name in letters(told):
        if told.shown_at(name.first, name.last) is not None or OF_A_KEY.search(told.text[: name.first]):
            continue
        bar = _bar_of(told, name)
        words = told.sentence.words(name.first, name.last)
        goes = GOING.search(told.text[: name.first]) or BECOMING.match(told.text, name.last)
        if not _is_near(told, name, told.spans, alone=name not in in_rows and bool(goes)):
            what = f"there is no {words} in sight"
            yield Untrue(name.first, name.last, what, "name a note that is there")
        elif bar is not None and not _is_near(told, name, [bar], alone=True):
            what = f"there is no {words} in {told.music.said(bar)}"
            yield Untrue(name.first, name.last, what, "name a note that is there, or the bar that it is in")


def _is_near(told: Told, name: NoteWord, spans: Sequence[Span], *, alone: bool) -> bool:
    """Whether some bars have a note of this name, or one next to them; or it may be no note there."""
    notes = told.notes_in(spans)
    there = pitch_classes(notes)
    if alone:
        there |= pitch_classes(told.notes_beside(spans, NEAR))
    pitch = pitch_class(name)
    return not notes or pitch in there or (pitch in tonics(told) and not is_surely_a_note(told, name))


def _bar_of(told: Told, name: NoteWord) -> Span | None:
    """The bar in which a note is said to be: the only one that its part of the sentence names."""
    first, last = told.part_of(name.first)
    bars = [each for each in told.places if each.level == "bar" and first <= each.first < last]
    if len(bars) != 1 or len(bars[0].spans) != 1 or bars[0].pointed:
        return None
    place = bars[0]
    return place.spans[0] if IN_BAR.search(told.text[first : place.first]) else None
