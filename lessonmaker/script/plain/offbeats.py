"""What a line is said to do with the beat: all off it, early, tied over the bar line, with a pickup before it.

Common practice, no source. A note is syncopated where it is struck off the beat and sounds on past the next one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonmaker.analysis.lines import position_in_bar
from lessonmaker.analysis.words import number_words
from lessonmaker.score.model import Note
from lessonmaker.score.position import format_position
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.durations import FEW, VALUE, few_of, value_of
from lessonmaker.script.plain.lengths import ENDS_ON, HOLDING_ONE, edge_note
from lessonmaker.script.plain.passage import UNKNOWN, Passage, Saying, Verdict, said
from lessonmaker.script.plain.pickup_places import UPBEAT
from lessonmaker.script.plain.verbs import STARTING
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = ["EARLY_BY", "OFFBEATS", "OVER", "is_held_over", "is_syncopated"]


def _is_on_a_beat(note: Note, music: Music) -> bool:
    bar = music.score.bars[note.bar]
    return (position_in_bar(note.onset, bar) / bar.metre.unit_quarters).denominator == 1


def is_syncopated(note: Note, music: Music) -> bool:
    """Whether a note is struck off the beat and sounds on past the next one."""
    bar = music.score.bars[note.bar]
    place = position_in_bar(note.onset, bar) / bar.metre.unit_quarters
    after = bar.start + (place // 1 + 1) * bar.metre.unit_quarters
    return place.denominator != 1 and note.onset + note.held > after


def is_held_over(note: Note, music: Music) -> bool:
    """Whether a note is held over a bar line."""
    return note.onset + note.held > music.score.bars[note.bar].end


def _on_the_beat(match: re.Match[str], passage: Passage) -> Verdict:
    """All notes on the beat, or all off it."""
    on, notes = match["off"] is None and match.groupdict().get("none_on") is None, passage.notes
    others = [note for note in notes if _is_on_a_beat(note, passage.music) != on]
    if len(notes) > 1 and not others:
        return Verdict(notes)
    if not others or not passage.named:
        return UNKNOWN
    return Verdict(is_there=f"there is a note {'off' if on else 'on'} the beat at {_at(others[0], passage)}")


def _at(note: Note, passage: Passage) -> str:
    return format_position(passage.music.score, note.onset)


def _early(match: re.Match[str], passage: Passage) -> Verdict:
    """A note that comes before the beat, or the chord, that it belongs to."""
    del match
    music = passage.music
    every = [passage.subject] if passage.subject is not None else passage.notes
    found = [note for note in every if music.finding(note).role == "anticipation"]
    found = found or [note for note in every if is_syncopated(note, music)]
    over = [note for note in found if is_held_over(note, music)]
    found = over or found
    return Verdict((found[0],)) if len(found) == 1 else UNKNOWN


def _over_the_bar(match: re.Match[str], passage: Passage) -> Verdict:
    """A note that is held over a bar line."""
    music = passage.music
    subject = passage.subject or edge_note(match.string[: match.start()], passage.notes)
    every: Sequence[Note] = [subject] if subject is not None else passage.notes
    found = [note for note in every if is_held_over(note, music)]
    if len(found) == 1:
        return Verdict((found[0],))
    tied = TIED.search(match.string[: match.end()]) or WITH_A_TIE.match(match.string, match.end())
    plain = passage.named and tied
    if subject is not None and plain:
        return Verdict(is_there=f"the note at {_at(subject, passage)} ends before the bar line", is_sure=True)
    if found or not plain or music.sounding_at(passage.span.start) not in (None, *passage.notes):
        return UNKNOWN
    return Verdict(is_there="no note is held over a bar line")


WITH_A_TIE = pattern_of(r" (?:with|by|on) (?:an?|the) tied?\b")
TIED = pattern_of(r"\b(?:tie[sd]?|tying|holds?|held|holding|hung|sustain\w*|rings?|lasts?)\b[^,;:]*$")


def _syncopated(_: re.Match[str], passage: Passage) -> Verdict:
    found = tuple(note for note in passage.notes if is_syncopated(note, passage.music))
    if len(found) > 1 or (found and passage.named and passage.subject is None):
        return Verdict(found)
    return (
        Verdict(is_there="there is nothing off the beat")
        if passage.named
        and passage.notes
        and all(_is_on_a_beat(note, passage.music) for note in passage.notes)
        else UNKNOWN
    )


def _not_syncopated(_: re.Match[str], passage: Passage) -> Verdict:
    found = [note for note in passage.notes if is_syncopated(note, passage.music)]
    return (
        Verdict(is_there=f"there is a syncopation at {_at(found[0], passage)}")
        if found and passage.named
        else UNKNOWN
    )


# Pickups -------------------------------------------------------------------------------------------------


def pickups(passage: Passage) -> list[tuple[Note, ...]]:
    """The notes before a bar line with which a phrase begins, that lie in a passage or lead into it."""
    music, found = passage.music, list[tuple[Note, ...]]()
    for phrase in music.analysis.phrases:
        notes = [music.struck_by_id[name] for name in phrase.notes]
        bar = music.score.bars[notes[0].bar]
        before = tuple(note for note in notes if note.onset < bar.end)
        goes_on = len(before) < len(notes)
        is_short = 2 * (bar.end - notes[0].onset) <= bar.metre.bar_quarters
        seen = passage.span.start <= bar.end <= passage.span.end
        if goes_on and is_short and seen:
            found.append(before)
    return found


def _pickup(match: re.Match[str], passage: Passage) -> Verdict:
    """A pickup of so many notes, or of so many of a value."""
    groups = match.groupdict()
    count = next((few_of(groups[name]) for name in ("count", "count2", "count3") if groups[name]), 0)
    value = next((value_of(groups[name]) for name in ("value", "value2") if groups[name]), None)
    found = pickups(passage)
    fitting = [
        notes
        for notes in found
        if (not count or len(notes) == count)
        and (value is None or all(note.held == value for note in notes[:-1]))
    ]
    if len(fitting) == 1:
        return Verdict(fitting[0])
    if len(found) != 1 or fitting or not (passage.named or found[0][0].onset < 0):
        return UNKNOWN
    return Verdict(
        is_there=f"there is a pickup of {number_words(len(found[0]))} note{'s' if len(found[0]) > 1 else ''}"
    )


OF_THE_PIECE = pattern_of(r"\b(?:tune|piece|solo|etude|song|study|whole thing)\b[^,;:]* $")


def _any_pickup(match: re.Match[str], passage: Passage) -> Verdict:
    """A pickup that is there; false of the beginning of a piece that has none."""
    of_piece = OF_THE_PIECE.search(match.string[: match.start()])
    found = [notes for notes in pickups(passage) if notes[0].onset < 0 or not of_piece]
    if len(found) == 1:
        return Verdict(found[0])
    first = next(iter(passage.music.struck), None)
    if found or first is None or not passage.span.start <= 0 <= first.onset < passage.span.end:
        return UNKNOWN
    return Verdict(is_there=f"the first note is at {_at(first, passage)}", is_sure=True)


EARLY_BY = (
    r"(?:(?:by )?(?:an? |one )?(?:eighth(?:[ -]note)?|quaver|half a beat|half-beat|sixteenth|beat"
    r"|quarter)(?: note)? )?"
)
OVER = (
    r"(?:(?:over|across|past|through|into|beyond) (?:the (?:next )?(?:bar ?-?line|bar|measure)"
    rf"|the next (?:bar|measure|downbeat|one)|(?:bar|measure) {NUMBER})|into {NUMBER}(?=[,.;:!?]|$| (?:where"
    r"|and|with|before)\b))"
)
HELD = (
    r"(?:tied|held|hangs?|hanging|carr(?:y|ies|ied)|spills?|leans?|reaches|holds?|holding|lasts?|rings?"
    r"|ringing|pushes|pushed|sustain(?:s|ed)|extends?|stretch(?:es|ed)|hung|ties|tying|lingers?)"
)
LEADS = (
    r"(?:leads?|leading|take|takes|bring|brings|carry|carries|launch|launches|usher|ushers|pull|pulls"
    r"|sweep|sweeps|propel|propels|push|pushes|pick up|tip|tips|slide|slides) (?:(?:us|you|it|the tune|me"
    r"|the line) )?(?:up |straight |right )?(?:into|in to|to|over)(?:(?= (?:bar|measure) )| the (?:first "
    r"|next )?(?:bar"
    r"|measure|downbeat|tune|chorus|bridge|phrase|line))"
)
OFFBEATS: tuple[Saying, ...] = (
    Saying(
        said(
            r"(?:nothing(?: here)?(?: is)?|not a (?:single )?note(?: is)?|none of (?:it|this|that)(?: is)?"
            r"|no notes?(?: is| are)?) syncopated|no (?:trace of |hint of |sign of )?syncopations?"
            r"|(?:isn't|aren't|is not|are not) (?:a bit |at all )?syncopated|without (?:any )?syncopations?"
        ),
        _not_syncopated,
        denial=True,
    ),
    Saying(
        said(
            r"(?:everything|every (?:single )?(?:note|one of them|one of these)"
            rf"|all of (?:bar|measure) {NUMBER}|every(?:thing|(?: single)? note) in (?:bar|measure) {NUMBER}"
            rf"|(?:bar|measure) {NUMBER} (?:is|lies|sits|falls) all"
            r"|all (?:of (?:it|them"
            r"|these)|(?:the |these )?notes)?|each (?:note|one)|(?:the|this) (?:whole|entire) (?:bar"
            r"|measure|line|thing|phrase)|they(?:'re| are) all|all(?: of)?"
            r"|nothing but)(?: (?:here|is|are|lands?|falls?|sits?|comes?|lies?|placed|played|just|square"
            r"|squarely|right|bang|goes|go|in this bar|notes?|struck))* (?:(?P<off>off (?:of )?the beat"
            r"|(?:on |in )?(?:the )?(?:off-?beats?|upbeats?|ands|weak beats))|(?:on|with) (?:the"
            r"|a) (?:down-?)?beats?)"
            r"|nothing (?:lands |falls |is |comes )?(?:(?P<none_on>on the beat)|off the beat)"
        ),
        _on_the_beat,
    ),
    Saying(
        said(
            r"(?:is|are|lands?|falls?|sits?|comes?|lies?|stays?)(?: (?:just|square|squarely|right|bang|all|placed))*"
            r" (?:(?P<off>off the beat|on (?:the )?off-?beats)|on (?:the|a) beats?)"
            r"(?=[,.;:!?]|$)"
        ),
        _on_the_beat,
        after=pattern_of(
            r"(?<!not )(?<!almost )(?<!nearly )\b(?:every|each|all)"
            r"(?: (?:the|these|of the|single|last|one of the))* notes?\b[^,;:]*$"
        ),
    ),
    Saying(
        said(
            r"jump(?:s|ed|ing)? the gun(?: by (?:an? )?\w+(?: note)?)?|(?:comes?|arrives?|enters?"
            r"|gets? there|sneaks?|jumps?|lands?|hits?|shows? up|turns? up|is|speaks|starts?"
            rf"|strikes?)(?: in| up)?(?: (?:just|a little|slightly))? {EARLY_BY}(?:early|ahead of (?:the"
            r"|its|time)(?: (?:beat|bar|chord|bar ?line|downbeat|schedule))?|too soon|ahead of time)"
            r"|(?:pushe[sd]|is pushed|anticipated)(?: (?:ahead|forward|across|over)(?: (?:of"
            r"|the))?(?: (?:beat|bar ?line))?)?(?! (?:up|down|to|into|against)\b)"
        ),
        _early,
        aside=True,
    ),
    Saying(
        said(
            rf"(?:is |are |gets? |we |that's |being )?{HELD}(?: (?:right|on|over|out|straight|it|clean"
            rf"|clear|well|all the way|across))* {OVER}"
        ),
        _over_the_bar,
    ),
    Saying(said(rf"(?:an?|the|that|this|its|one) tie (?:(?!and\b|but\b)\w+ ){{0,3}}?{OVER}"), _over_the_bar),
    Saying(said(r"an? (?:tied note|tie)"), _over_the_bar, after=ENDS_ON),
    Saying(
        said(
            r"(?:an?|the|that|this) tie(?= (?:carr(?:y|ies)|takes?|leads?|brings?|pulls?|holds?)"
            r"(?: (?:it|us|you|the [a-g](?: flat| sharp)?|the \w+ note))? (?:out of|over|across|into|past) )"
        ),
        _over_the_bar,
    ),
    Saying(said(OVER), _over_the_bar, after=HOLDING_ONE),
    Saying(said(r"syncopat(?:ed|ion|ions|es)"), _syncopated, aside=True),
    Saying(
        said(
            r"(?:starts?|begins?|comes in|enters?|sets off|kicks off|takes off)(?: \w+)? (?:before"
            r"|ahead of|in front of) (?:the|its) (?:bar ?-?line|down-?beat|bar|first beat)|"
            rf"(?:an? |the |that |this |our )?(?P<count>{FEW})[ -](?:notes? )?{UPBEAT}|(?:an? |the |that "
            rf"|our )?(?:little |short )?{UPBEAT}(?: here)? (?:of|is|has|consists of|made of"
            rf"|with) (?P<count2>{FEW}|an?) (?:\w+ )?(?:(?P<value>{VALUE})|notes?)"
            rf"|(?P<count3>{FEW}|an?) (?:quick |little |short |even )*(?:(?P<value2>{VALUE})"
            rf"|notes) (?:of {UPBEAT}|as (?:an? )?{UPBEAT}|before the (?:first )?(?:bar ?line|downbeat)"
            rf"|(?:that )?{LEADS}|(?:that )?lead in|to lead us in|leading in)"
        ),
        _pickup,
    ),
    Saying(
        said(
            rf"(?<!that )(?<!which )(?:{STARTING} (?:off |out )?(?:with|on)|there(?:'s| is)"
            r"|here(?:'s| is| comes)|(?:have|get|got|has)|on) "
            rf"(?:an?|the|our|that|this|its) (?:\w+ )?{UPBEAT}(?! (?:of|is|has|consists|made|with|into|to|in|bar)\b)"
        ),
        _any_pickup,
    ),
)
