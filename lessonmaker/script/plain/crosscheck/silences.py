"""Where nothing is played, and for how long: "two beats of silence", "you rest on one", "its last beats are empty".

Common practice, no source. A rest may be counted as a whole, or as far as a bar, or the bars spoken of, have it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from lessonmaker.score.model import Bar
from lessonmaker.score.position import Span, format_position, overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.crosscheck.spoken_of import subjects
from lessonmaker.script.plain.crosscheck.told import Told, Untrue
from lessonmaker.script.plain.durations import FULL, QUANTITY, length_said, quantity_of
from lessonmaker.script.plain.passage import A_BEAT, NUMBERS, Passage, beat_named, rests_of
from lessonmaker.script.plain.verbs import inflected

__all__ = ["beats_at_rest", "rests_so_long", "silent_to_the_end"]

TODO = "say how long the rest is, or where"
SILENCE = (
    r"(?:rests?(?! (?:of|on|upon)\b)|silence|nothing(?! (?:but|except|other than)\b)|air|space|breathing (?:space|room)"
    r"|quiet|emptiness)"
)
RESTING = inflected(
    "rest, be silent, stay silent, go silent, fall silent, keep silent, be quiet, stay quiet, lay out, sit out, pause, "
    "drop out, go quiet, stay empty, play nothing, have nothing, take off, breathe, shut up"
)
OFF = r"(?:'re|'s|'m|are|is|am|be) (?:\w+ly )?(?:off|out|silent|quiet|empty)"
EDGE = r"(?:(?:the|its|our|your|their) )?(?:(?:very )?(?P<edge{n}>first|opening|last|final|closing) )?"
MANNER = r"(?: (?:for|out|all|just|only|during|through|over|exactly|about|at least|a good|a full|in|on))*"
EMPTY = r"(?:complete |total |pure |empty |sheer |utter |absolute |plain |clear |just |dead )*"
AS_LONG = pattern_of(
    rf"(?<![\w-]){EDGE.format(n=1)}(?P<quantity1>{QUANTITY})(?:'s?)?(?: worth)?(?: of)? {EMPTY}{SILENCE}\b"
    rf"|(?:\b{RESTING}|{OFF}){MANNER} {EDGE.format(n=2)}(?P<quantity2>{FULL}{QUANTITY})"
    r"(?! (?:before|after|early|late|later|ahead|on)\b)"
    rf"|(?<![\w-]){EDGE.format(n=3)}(?P<quantity3>{QUANTITY}) (?:are|is|stays?|remains?|go"
    rf"|goes) (?:\w+ly )?"
    r"(?:empty|silent|a rest|rests|blank|quiet|free)\b"
)
OF_A_NOTE = pattern_of(
    r"\b(?:rests|resting|rested|rest|sits?|is|are|'s) (?:up |down )?on (?:the|an?|that|its)\b|\bto rest\b"
)
PART_OF = pattern_of(r"(?<!all )\bof $")  # "the rest of the bar is silent"
BEFORE_THE_LINE = pattern_of(r"\b(?:before|to|until|till) the (?:bar ?-?line|end of the bar|next bar)\b")
AT_FIRST = pattern_of(
    r"\b(?:starts?|begins?|opens?) with\b|\bat the (?:start|beginning)\b"
    r"|\bbefore (?:you|we|the line|it|i|he|she) (?:come|enter|start|play|begin)s?\b"
)
HALF = Fraction(1, 2)
BEFORE = 2  # the side of a rest that ends at a bar line, and does not go on over it


def _rests(told: Told, spans: Sequence[Span]) -> list[Span]:
    """The rests in some spans or right after them."""
    return [
        rest
        for rest in rests_of(told.music)
        if any(overlap(rest, span) > 0 or rest.start == span.end for span in spans)
    ]


def _parts(rest: Span, told: Told, spans: Sequence[Span]) -> Iterator[Span]:
    """The stretches that a rest may be said to be: the whole, what bars have of it, and what the bars in sight have."""
    yield rest
    pieces = [Span(bar.start, bar.end) for bar in told.music.bars_in([*spans, *told.spans])]
    for piece in (*spans, *pieces):
        if overlap(rest, piece) > 0:
            yield Span(max(rest.start, piece.start), min(rest.end, piece.end))


def rests_so_long(told: Told) -> Iterator[Untrue]:
    """Rests of so many beats or bars that are shorter or longer, or not where they are said to be."""
    for match in AS_LONG.finditer(told.text):
        at = next(n for n in ("1", "2", "3") if match[f"quantity{n}"])
        start = match.start(f"quantity{at}")
        if OF_A_NOTE.search(told.text, match.start(), match.end()) or PART_OF.search(told.text[:start]):
            continue
        spans = [*told.spans_at(start), *told.spans]
        words, edge = match[f"quantity{at}"], match[f"edge{at}"] or ""
        side = _side(
            edge, told.text[told.part_of(match.start())[0] : match.start()], told.text[match.end() :]
        )
        rests = _beside_notes(told, match.start(), match.end(), _rests(told, spans))
        bars = told.music.bars_in(spans)
        fits = [
            part
            for rest in rests
            for part in _parts(rest, told, spans)
            if _is_so_long(part, words, bars[0]) and _is_at(part, rest, side, bars)
        ]
        if not fits:
            what = _there(rests, told, bars[0])
            yield Untrue(start if not edge else match.start(f"edge{at}"), match.end(), what, TODO)


# The notes that a rest is said to be between, after or before.
AFTER_IT = pattern_of(
    r"(?:^|[^\w])(?:after|between|from) (?:(?:the|that|this|its|our) )?(?:(?:high|low|long|first|last) )?$"
)
BEFORE_IT = pattern_of(
    r"(?: (?:goes by|passes|comes|is there|and then))?,? before (?:(?:the|that|this|its"
    r"|our) )?(?:(?:high|low|next) )?"
)
SHORT = pattern_of(r"half|eighth|quaver")  # what is not said of more


def _beside_notes(told: Told, first: int, last: int, rests: list[Span]) -> list[Span]:
    """The rests that are beside the notes that a rest is said to be after or before."""
    for each in subjects(told):
        notes = each.every_note
        if each.lit or len(each.notes) > 1 or not notes:
            continue
        begin, end = told.part_of(first)[0], told.part_of(last)[1]
        if AFTER_IT.search(told.text[begin : each.first]) and begin <= each.first < end:
            rests = [rest for rest in rests if any(note.onset + note.held == rest.start for note in notes)]
        elif each.first >= last and BEFORE_IT.fullmatch(told.text, last, each.first):
            rests = [rest for rest in rests if any(note.onset == rest.end for note in notes)]
    return rests


def _side(edge: str, before: str, after: str) -> int:
    """Where a rest is said to be: at the start (-1), the end (1), before a bar line, or nowhere in particular (0)."""
    if edge:
        return -1 if edge in ("first", "opening") else 1
    return BEFORE if BEFORE_THE_LINE.match(after) and not AT_FIRST.search(before) else 0


def _is_so_long(part: Span, words: str, bar: Bar) -> bool:
    """Whether a rest may be said to be so long: of beats to the half, of bars to a beat."""
    length, there = (
        quantity_of(pattern_of(rf"^{FULL}").sub("", words.replace("-", " ")), bar.metre),
        part.end - part.start,
    )
    if pattern_of(r"bar|measure").search(words):
        return length - 2 * bar.metre.unit_quarters < there < length + bar.length
    slack = HALF if not SHORT.search(words) else Fraction(0)
    lengths = [length] + ([length * 3] if bar.metre.is_compound and "beat" in words else [])
    return any(each - (slack if each > 1 else 0) <= there <= each + slack for each in lengths)


def _is_at(part: Span, rest: Span, side: int, bars: Sequence[Bar]) -> bool:
    """Whether a rest, or a part of it, is at the start or the end of a bar."""
    if side == BEFORE:
        return any(bar.start <= part.start and part.end == bar.end for bar in bars)
    if side < 0:
        return any(part.start == bar.start for bar in bars) or part.start == rest.start
    return side == 0 or any(part.end == bar.end for bar in bars) or part.end == rest.end


def _there(rests: Sequence[Span], told: Told, bar: Bar) -> str:
    """The first rest there is, in words."""
    if not rests:
        return "there is no rest"
    length, at = (
        length_said(rests[0].end - rests[0].start, bar.metre),
        format_position(told.music.score, rests[0].start),
    )
    return f"the rest at {at} lasts {length}"


# On a beat -------------------------------------------------------------------------------------------------

COUNTED = r"(?! (?:and|of|beats?|bars?|notes?|[a-z]+ (?:notes?|beats?|bars?))\b)"
BEAT = rf"(?:(?:the )?(?:{A_BEAT})|(?:{'|'.join(NUMBERS)}){COUNTED})"
ON_A_BEAT = pattern_of(
    rf"\b(?:(?:the|an?|this|that|one|our|your) )(?:\w+ )?(?:rest|silence|pause|gap|breath|breather"
    rf"|hole)(?! of)"
    rf"(?: (?!and\b|but\b|then\b)[a-z]+){{0,4}} on (?P<on>{BEAT})"
    rf"|^\W*(?:and |so |then |now |we |you )*(?:rest|pause|breathe|lay out) on (?P<on2>{BEAT})"
    rf"|\b{inflected('leave')} (?P<on3>{BEAT}) (?:empty|out|blank|free|silent|open)"
    rf"|(?<![\w-])(?P<on4>beat (?:{'|'.join(NUMBERS)})|the (?:{A_BEAT})) (?:is|stays|remains"
    rf"|'s) (?:\w+ly |left )?"
    r"(?:empty|silent|a rest|blank|quiet)"
)


def beats_at_rest(told: Told) -> Iterator[Untrue]:
    """Beats that are said to be rests, and during which there is none in any bar in sight."""
    for match in ON_A_BEAT.finditer(told.text):
        name = next(name for name in ("on", "on2", "on3", "on4") if match[name])
        spans = [*told.spans_at(match.start()), *told.spans]
        bars = told.music.bars_in(spans)
        beat = beat_named(pattern_of(r"^the ").sub("", match[name]), Passage(told.music, spans[0]))
        if beat is None or not bars:
            continue
        rests = _rests(told, spans)
        if not any(overlap(rest, each) > 0 for bar in bars for each in _beats(bar, beat) for rest in rests):
            what = _there(rests, told, bars[0])
            yield Untrue(match.start(name), match.end(name), what, TODO)


def _beats(bar: Bar, beat: int) -> list[Span]:
    """What a beat of a bar may be: by the printed unit, and in compound time by the dotted one."""
    units = [bar.metre.unit_quarters]
    if bar.metre.is_compound:
        units.append(3 * bar.metre.unit_quarters)
    return [Span(bar.start + beat * unit, bar.start + (beat + 1) * unit) for unit in units]


# To the end ------------------------------------------------------------------------------------------------

TO_THE_END = pattern_of(
    r"\b(?:silence|silent|rests?|nothing|quiet|empty|off)\b[^,;:.]{0,24}?"
    r"(?:(?:to|until|till|up to) the (?:bar ?-?line|end of the bar)|for the (?:rest"
    r"|remainder) of the (?:bar|measure))"
)


def silent_to_the_end(told: Told) -> Iterator[Untrue]:
    """Notes after which a bar is said to be silent, where another is struck before its end."""
    for match in TO_THE_END.finditer(told.text):
        shown = told.shown_before(match.start())
        if shown is None or not shown.notes:
            continue
        later = [_later_in_its_bar(note.onset, told) for note in shown.notes]
        if all(later):
            at = format_position(told.music.score, later[-1][0])
            yield Untrue(match.start(), match.end(), f"there is a note at {at}", TODO)


def _later_in_its_bar(onset: Fraction, told: Told) -> list[Fraction]:
    bar = next(bar for bar in told.music.score.bars if bar.start <= onset < bar.end)
    return [note.onset for note in told.music.struck if onset < note.onset < bar.end]
