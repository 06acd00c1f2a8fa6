"""Every check that a sentence is put to."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from lessonmaker.script.plain.crosscheck.above_below import above_below
from lessonmaker.script.plain.crosscheck.at_its_place import at_its_place
from lessonmaker.script.plain.crosscheck.at_the_change import (
    notes_at_the_change,
    notes_with_chords,
    silent_at_the_change,
)
from lessonmaker.script.plain.crosscheck.bar_edges import bar_edges
from lessonmaker.script.plain.crosscheck.bars_compared import bars_compared
from lessonmaker.script.plain.crosscheck.bars_set_apart import bars_set_apart
from lessonmaker.script.plain.crosscheck.chords_said import chords_said
from lessonmaker.script.plain.crosscheck.chords_when import chords_when
from lessonmaker.script.plain.crosscheck.comes_often import comes_often
from lessonmaker.script.plain.crosscheck.denied import denied
from lessonmaker.script.plain.crosscheck.devices_made import devices_made
from lessonmaker.script.plain.crosscheck.each_bar import each_bar
from lessonmaker.script.plain.crosscheck.edges import edges
from lessonmaker.script.plain.crosscheck.edges_placed import edges_placed
from lessonmaker.script.plain.crosscheck.from_to import from_to
from lessonmaker.script.plain.crosscheck.functions_said import functions_said, home_said, metre_said
from lessonmaker.script.plain.crosscheck.heights_compared import heights_compared
from lessonmaker.script.plain.crosscheck.how_many import notes_beyond, notes_counted, values_there
from lessonmaker.script.plain.crosscheck.intervals_said import intervals_said
from lessonmaker.script.plain.crosscheck.keys_said import goals_said, moves_said, roots_gone_to
from lessonmaker.script.plain.crosscheck.lengths_beside import lengths_beside
from lessonmaker.script.plain.crosscheck.lengths_compared import lengths_compared
from lessonmaker.script.plain.crosscheck.lengths_said import lengths_said, notes_to_the_end
from lessonmaker.script.plain.crosscheck.longer_and_shorter import longs_and_shorts, notes_alike_in_length
from lessonmaker.script.plain.crosscheck.most_of_all import most_of_all
from lessonmaker.script.plain.crosscheck.names_absent import names_absent
from lessonmaker.script.plain.crosscheck.notes_alike import notes_alike
from lessonmaker.script.plain.crosscheck.on_and_off import notes_on_beats
from lessonmaker.script.plain.crosscheck.one_note import one_note
from lessonmaker.script.plain.crosscheck.only_names import only_names
from lessonmaker.script.plain.crosscheck.rows_shaped import rows_shaped
from lessonmaker.script.plain.crosscheck.same_again import comes_again, ends_as_it_began
from lessonmaker.script.plain.crosscheck.scales_said import notes_of_keys_said, scales_said
from lessonmaker.script.plain.crosscheck.signs_said import signs_said
from lessonmaker.script.plain.crosscheck.silences import beats_at_rest, rests_so_long, silent_to_the_end
from lessonmaker.script.plain.crosscheck.tallied import tallied
from lessonmaker.script.plain.crosscheck.throughout import throughout
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.values_said import values_said
from lessonmaker.script.plain.crosscheck.ways import ways

__all__ = ["untrue"]

CHECKS: tuple[Callable[[Told], Iterable[Untrue]], ...] = (
    names_absent,
    devices_made,
    ways,
    intervals_said,
    from_to,
    rows_shaped,
    above_below,
    signs_said,
    bars_compared,
    heights_compared,
    bars_set_apart,
    notes_alike,
    denied,
    throughout,
    edges,
    edges_placed,
    chords_said,
    chords_when,
    goals_said,
    roots_gone_to,
    moves_said,
    scales_said,
    functions_said,
    home_said,
    metre_said,
    notes_of_keys_said,
    each_bar,
    only_names,
    one_note,
    at_its_place,
    bar_edges,
    values_there,
    notes_counted,
    comes_often,
    notes_beyond,
    lengths_said,
    notes_to_the_end,
    lengths_compared,
    lengths_beside,
    values_said,
    notes_on_beats,
    notes_at_the_change,
    notes_with_chords,
    silent_at_the_change,
    notes_alike_in_length,
    longs_and_shorts,
    rests_so_long,
    beats_at_rest,
    silent_to_the_end,
    tallied,
    comes_again,
    ends_as_it_began,
    most_of_all,
)


def untrue(told: Told) -> Untrue | None:
    """The first thing in a sentence that is plainly false of the score; None where nothing is.

    Args:
        told: the sentence, and what was lit for it.
    """
    if told.sentence.is_question or not told.bars:
        return None
    found = (each for check in CHECKS for each in check(told))
    return next(
        (
            each
            for each in found
            if each.meant or told.is_plain(each.first, each.last, of_these=each.of_these)
        ),
        None,
    )
