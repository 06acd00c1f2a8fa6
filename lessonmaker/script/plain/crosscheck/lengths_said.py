"""How long notes are said to be, however that is said: "F gets a beat", "there you stay for a mere beat".

A stretch of time that stands with notes, and is no rest, no way and no distance, is how long they last: as printed, as
they sound, until the next, or as far as a bar or a chord has them. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from lessonmaker.score.model import Bar, Note
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.spoken_of import (
    BESIDE_IT,
    GIVEN,
    IS,
    Subject,
    subject_after,
    subject_before,
    subjects,
)
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.crosscheck.values import TODO, is_long, lengths_of, times_of
from lessonmaker.script.plain.durations import FEW, QUANTITY, quantity_of
from lessonmaker.script.plain.verbs import MOVING

__all__ = ["lengths_said", "notes_to_the_end"]

LOOKS = (
    r"(?:mere|short|brief|tiny|measly|single|lone|quick|long|full|whole|good|solid|entire|clear|complete"
    r"|bare|slow|big"
    r"|fat|nice|lazy|little|skinny|generous|luxurious|proud|lovely|honest|proper|real|straight)"
)
STRETCH = pattern_of(
    r"(?<![\w-])(?:(?P<half>(?:the (?:first|second|last|other) )?half(?: of)? (?:the|this|that|its"
    r"|a)(?: [\w# ]{1,20})?"
    r" (?:bar|measure))"
    rf"|(?P<quantity>(?!the ){QUANTITY}|(?:a )?(?:couple|pair) of (?:{LOOKS} )*(?:beats|counts|bars)"
    rf"|(?:an?|one|{FEW}) (?:{LOOKS} )+(?:beats?|counts?|bars?|measures?)(?: and a half)?))(?![\w-])"
)
UNIT = pattern_of(r"beat|count|bar|measure")  # values are another matter
LONG_SAID = pattern_of(r"[ -]long\b")  # unless "an eighth long" is said
NOT_BEFORE = pattern_of(
    r"\b(?:these|those|each of|every|(?<!for )all|first|last|next|other|bars?|measures?) $"
)
# What follows a stretch of time that is no note's length.
NOT_AFTER = pattern_of(
    r"(?:'s?)?(?: worth)?(?: of| with)? ?(?:(?:complete|total|pure|empty|plain|pure|dead"
    r"|\w+ing) )?(?:rests?|silence|nothing|air|space|quiet|early|late|later"
    r"|earlier|sooner|ahead|apart|away|between|in(?= advance|[,.;]|$| and)|off|out|to (?:go"
    r"|spare|get|reach|breathe|fill|pause|rest)"
    r"|at a time|or|empty|silent|free|long bars?|long phrases?|from|above|below|of (?!it\b|length"
    r"|time)\w+|\w{3,}er"
    r"|behind|into|per|less|more|longer|shorter|is|are|where|without|for (?:the )?(?:next|each"
    r"|every))(?![\w])"
)
# What stands between notes and a stretch of time that is something else.
NOT_BETWEEN = pattern_of(
    r"\b(?:rest(?:s|ed|ing)?(?! (?:on|there)\b)|silen\w+|nothing|no|after\w*|before|early|late\w*|ahead"
    r"|wait\w*|within|every(?! one of)|per|by|apart"
    r"|enters?|starts?|begins?|arriv\w+|repeat\w*|follow\w*|again|across|(?<!tied )over|chords?|harmon\w+|phrases?"
    r"|lines?|breath\w*|pauses?"
    r"|these|those|another|others?|next|last|first|second|above|below|anticipat\w+|push\w*|figures?"
    r"|patterns?|riffs?|loops?|groups?|arpeggios?"
    r"|triads?|triplets?|runs?|sequences?|scales?|shapes?|cells?|motifs?|licks?|ideas?|pedals?|key"
    r"|dominant|tonic|around|near"
    r"|from|out of|up|down|until|till|once|twice|times|different|back|two-five|takes? (?:only |just "
    r"|us )?\w+ to|spans?"
    rf"|less|more|than|except|but|not|other|out|off|almost|nearly|about|roughly|around|gap|hole|spread"
    rf"|swing|{MOVING})\b"
)
IN_IT = pattern_of(r"\b(?:in|during|on|at|of|to|with|by) $")  # "in the second half of the bar"
EACH = pattern_of(r"\b(?:each|apiece|both|all|every\w*|equally)\b")


def lengths_said(told: Told) -> Iterator[Untrue]:
    """Notes that are said to last for a stretch of time, and do not."""
    found = subjects(told)
    for match in STRETCH.finditer(told.text):
        if not _is_time(told, match) or NOT_AFTER.match(told.text, match.end()) or _is_pedal(told):
            continue
        subject = _subject(told, match, found)
        each = subject is not None and _is_of_each(told, subject, match)
        if subject is None or _is_other(told, subject, each):
            continue
        wrong = _not_so_long(told, subject, match, each)
        if wrong is not None:
            yield Untrue(match.start(), match.end(), is_long(wrong, told), TODO)


def _is_time(told: Told, match: re.Match[str]) -> bool:
    """Whether words are a stretch of time, and no note value or some bars of several."""
    unit = UNIT.search(match[0]) or LONG_SAID.match(told.text, match.end())
    return bool(unit) and not NOT_BEFORE.search(told.text[: match.start()])


def _is_of_each(told: Told, subject: Subject, match: re.Match[str]) -> bool:
    """Whether each of some notes is said to last so long: "two beats each"."""
    another = STRETCH.search(told.text, subject.last, match.start())
    return not another and EACH.search(told.text, subject.last, match.end() + 8) is not None


def _is_pedal(told: Told) -> bool:
    """Whether a note comes again and again in the bars in sight, so that it is stayed on."""
    kinds = (device for device in told.music.analysis.devices if device.kind == "pedal")
    return any(
        device.span.start < span.end and span.start < device.span.end
        for device in kinds
        for span in told.spans
    )


def _subject(told: Told, match: re.Match[str], found: Sequence[Subject]) -> Subject | None:
    """The notes that last so long: those before it, else those right after."""
    before = subject_before(told, match.start(), found)
    if before is not None:
        between = GIVEN.sub(" ", told.text[before.last : match.start()])
        if BESIDE_IT.match(told.text, match.end()) and not IS.search(told.text, before.last, match.start()):
            return None
        if match["half"] and IN_IT.search(between):
            return None
        return None if NOT_BETWEEN.search(between) else before
    after = subject_after(told, match.end(), found)
    return None if after is None or after.lit else after


def _is_other(told: Told, subject: Subject, each: bool) -> bool:
    """Whether what was lit is no note that lasts: a figure, several notes, unless each of some degrees is said to."""
    lit = told.shown_at(subject.first, subject.last)
    sets = [claim for claim in told.named if claim.kind == "set" and each]
    named = any(claim.first < subject.last and subject.first < claim.last for claim in sets)
    several = lit is not None and len(lit.notes) > 1 and not named
    return subject.lit and (lit is None or lit.device is not None or several)


def _not_so_long(told: Told, subject: Subject, match: re.Match[str], each: bool) -> Note | None:
    """A note of which it is not true, where no reading of what is said is."""
    last = subject.notes[-1]
    wrong = [notes[0] for notes in subject.notes if not any(_lasts(told, note, match) for note in notes)]
    if not wrong or (not each and any(_lasts(told, note, match) for note in last)):
        return None
    if not each and _together(told, subject, match):
        return None
    return wrong[0]


def _quarters(match: re.Match[str], bar: Bar) -> Fraction:
    if match["half"]:
        return bar.metre.bar_quarters / 2
    return quantity_of(match["quantity"].replace("-", " "), bar.metre)


def _lasts(told: Told, note: Note, match: re.Match[str]) -> bool:
    bar = told.music.score.bars[note.bar]
    said, there = _quarters(match, bar), times_of(note, told)
    if pattern_of(r"bar|measure").search(match[0]) and not match["half"]:
        return any(said - bar.length < each <= said + bar.metre.unit_quarters for each in there)
    units = [Fraction(1)] + ([Fraction(3)] if bar.metre.is_compound and "beat" in match[0] else [])
    return any(abs(each - said * unit) < _slack(said) for each in there for unit in units)


def _slack(length: Fraction) -> Fraction:
    """How far from what is said a length may be."""
    return Fraction(3, 4) if length >= LONG else Fraction(1, 4)


LONG = Fraction(3)  # quarters of what is not heard to the eighth


def _together(told: Told, subject: Subject, match: re.Match[str]) -> bool:
    """Whether notes last so long together, or one that comes again: from the first to the end of the last."""
    notes, slack = subject.every_note, Fraction(1, 2) * bool(match["half"])
    return any(
        abs(_quarters(match, told.music.score.bars[one.bar]) - (other.onset + length - one.onset)) <= slack
        for one in notes
        for other in notes
        if other.onset > one.onset
        for length in lengths_of(other, told)
    )


# To the end of its bar --------------------------------------------------------------------------------------

TO_THE_END = pattern_of(
    r"\b(?:(?:until|till|through to|to|up to) (?:the (?:very )?(?:end of (?:the|this|that"
    r"|its)(?: [\w]+)? (?:bar|measure)|bar ?-?line)"
    r"|(?:the|this|that|its) (?:bar|measure) (?:is over|ends|is done|runs out|is up|is out))"
    r"|(?:the (?:rest|remainder) of|what(?:'s| is) left of|everything that(?:'s| is) left(?: of)?"
    r"|all that(?:'s| is) left(?: of)?)"
    r"(?: (?:the|this|that|its) (?:bar|measure))?"
    r"|(?:the|this|its) (?:whole|full|entire|complete) (?:(?:last|final|next|of the|first"
    r"|second) )?(?:bar|measure))(?!\w)"
)
STAYS = pattern_of(
    r"\b(?:hold|held|holds|holding|stay\w*|ring\w*|rung|last|lasts|lasted|lasting|sustain\w*|fill\w*"
    r"|linger\w*|hang\w*|hung|keep\w*|kept|sit|sits"
    r"|sat|sitting|take|takes|took|taking|tied|stretch\w*|sound|sounds|sounding|park\w*|go(?:es)? on"
    r"|carr\w+|cover\w*|occup\w+)\b"
)


def notes_to_the_end(told: Told) -> Iterator[Untrue]:
    """Notes that are said to last to the end of their bar, and end before."""
    found = subjects(told)
    for match in TO_THE_END.finditer(told.text):
        subject = subject_before(told, match.start(), found)
        if subject is None or (subject.lit and len(subject.every_note) > 1) or len(subject.notes) > 1:
            continue
        between = told.text[subject.last : match.start()]
        if not STAYS.search(between) or NOT_TO_THE_END.search(between) or _is_pedal(told):
            continue
        if not any(_ends_with_its_bar(told, note) for note in subject.every_note):
            yield Untrue(match.start(), match.end(), is_long(subject.every_note[-1], told), TODO)


NOT_TO_THE_END = pattern_of(r"\b(?:rest|rests|silen\w+|nothing|quiet|breath\w*|empty|with|again|over)\b")


def _ends_with_its_bar(told: Told, note: Note) -> bool:
    """Whether a note lasts to the end of a bar, to less than a beat that nothing else is in."""
    end = note.onset + note.held
    bar = told.music.score.bars[note.bar]
    after = told.next_note(note)
    if end >= bar.end or (
        bar.end - end < bar.metre.unit_quarters and (after is None or after.onset >= bar.end)
    ):
        return True
    return any(held.start < note.onset + note.held and held.end == end for held in told.music.score.bars)
