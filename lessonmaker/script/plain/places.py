"""Where a sentence speaks of: bars, beats and chords.

A bar counted by an ordinal ("the third bar") may be counted from the cue's first bar or from the piece's; both
readings are kept. Beats and chords are conditions on a note, laid over the bars.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonmaker.score.model import Bar
from lessonmaker.score.position import PositionError, Span, bars_in, parse_span, whole_bars
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.beat_places import beats, edge_of_bar, parts
from lessonmaker.script.plain.chord_places import chords
from lessonmaker.script.plain.likeness import mostly_in
from lessonmaker.script.plain.pickup_places import with_pickups
from lessonmaker.script.plain.place import AND, Context, Place, words_of_place
from lessonmaker.script.plain.set_beside import IS_NO_BAR, is_set_beside, this_one
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import MOVING
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL, number_of, ordinal_of

__all__ = ["bar_beside", "places_in"]

BAR = r"(?:bars?|measures?|m\.)"
TO = r"\s*(?:-|to|through|till|until)\s*"


def places_in(sentence: Sentence, context: Context) -> tuple[Place, ...]:
    """The places that a sentence names, in its order, none inside another."""
    found: list[Place] = []
    for finder in (
        _numbered,
        _bare_numbers,
        _counted,
        this_one,
        _relative,
        _outer,
        _sections,
        _phrases,
        beats,
        parts,
        chords,
    ):
        for place in finder(sentence, context, found):
            if not any(place.first < other.last and other.first < place.last for other in found):
                found.append(place)
    found += [
        Place("bar", p.first, p.last, (p.span,), None, True) for p in sentence.pointers if p.span is not None
    ]
    found = [place for place in found if not SINCE.search(sentence.text[: place.first])]
    found = list(with_pickups(sentence, found, context.music))
    return tuple(sorted(found, key=lambda place: place.first))


# "The first long note since bar one": not where it is.
SINCE = pattern_of(r"\bsince (?:the )?$")


def bar_beside(first: int, last: int, places: Sequence[Place]) -> Place | None:
    """The bars that are named last before the words at [first, last), or the only ones after them."""
    bars = [place for place in places if place.level == "bar"]
    before = [place for place in bars if place.last <= first]
    after = [place for place in bars if place.first >= last]
    return before[-1] if before else after[0] if len(after) == 1 else None


def _span(music: Music, text: str) -> Span | None:
    try:
        return parse_span(music.score, text)
    except PositionError:
        return None


# Bars by number ------------------------------------------------------------------------------------------

FROM_TO = rf"from {BAR}\s*({NUMBER}) (?:to|through|till|until) {BAR}\s*({NUMBER})"
NUMBERED = rf"{BAR}(?: numbers?| no\.)?\s*({NUMBER})(?:({TO}|{AND})({NUMBER}))?(?:{AND}({NUMBER}))?"


NTH_BAR = pattern_of(rf"\b(?:{ORDINAL}|last|final|opening|closing|next|same|previous) $")
BY_NUMBER = pattern_of(r"\s*(?:[,.;:!?]|$)")
FROM_THERE_ON = (
    rf"from {BAR}\s*({NUMBER})(?: (?:on|onwards?|to the (?:very )?end)"
    r"|(?=,? the (?:bass|roots|chords|changes|harmony|harmonies)\b))"
)

FROM_NUMBER_ON = rf"from ({NUMBER}) (?:on|onwards?)(?= (?:we|you|it|the|there|everything)\b|[,.;:!?])"


def _numbered(sentence: Sentence, context: Context, _: Sequence[Place]) -> Iterator[Place]:
    yield from _from_there_on(sentence, context)
    for match in words_of_place(FROM_TO).finditer(sentence.text):
        first, last_bar = (_span(context.music, str(number_of(match[group]))) for group in (1, 2))
        if first is not None and last_bar is not None and first.start < last_bar.start:
            yield Place("bar", match.start(), match.end(), (Span(first.start, last_bar.end),))
    for match in words_of_place(NUMBERED).finditer(_with_marks(sentence.text)):
        if NTH_BAR.search(sentence.text[: match.start()]) and not BY_NUMBER.match(sentence.text, match.end()):
            continue  # "in the last bar nine settles on one"
        numbers = [number_of(text) for text in (match[1], match[3], match[4]) if text]
        last = match.end()
        if not _is_list(match, numbers):  # "bar nine, three, five, seven": what follows are no bars
            numbers, last = numbers[:1], match.end(1)
        spans = [_span(context.music, str(number)) for number in numbers]
        stretch = len(numbers) > 1 and pattern_of(TO).fullmatch(match[2]) is not None
        if spans[0] is None or (stretch and None in spans):
            yield Place("bar", match.start(), last)
            continue
        yield _bars_named(match, numbers, spans, last)


def _from_there_on(sentence: Sentence, context: Context) -> Iterator[Place]:
    """From a bar to the end of what is shown; its number alone is one where it is no degree's."""
    for pattern, least in ((FROM_THERE_ON, 0), (FROM_NUMBER_ON, HIGHEST_DEGREE + 1)):
        for match in words_of_place(pattern).finditer(sentence.text):
            number = number_of(match[1])
            first = _span(context.music, str(number)) if number >= least else None
            ends = [span.end for span in context.spans if first and span.start <= first.start < span.end]
            if first is not None and ends:
                yield Place("bar", match.start(), match.end(), (Span(first.start, ends[0]),))


def _bars_named(
    match: re.Match[str], numbers: Sequence[int], spans: Sequence[Span | None], last: int
) -> Place:
    """A stretch of bars, or bars apart from each other ("bars four and twenty-eight")."""
    known = [span for span in spans if span is not None and span.end >= (spans[0] or span).end]
    apart = match[3] is not None and not pattern_of(TO).fullmatch(match[2]) and len(known) == len(numbers) > 1
    if apart and any(later != earlier + 1 for earlier, later in pairwise(numbers)):
        groups = [group for group in (1, 3, 4) if match[group]]
        ends = [(match.start(), match.end(1)), *(match.span(group) for group in groups[1:])]
        return Place("bar", match.start(), last, tuple(known), parts=tuple(ends))
    return Place("bar", match.start(), last, (Span(known[0].start, known[-1].end),))


# "Bar forty one voice stays": the bar is forty, and one voice stays.
COUNTED = pattern_of(
    r"\b(twenty|thirty|forty|fifty|sixty) (one|two|three|four|five|six|seven|eight|nine)"
    r"(?= (?:voices?|notes?|lines?|chords?|more|of|things?|shapes?|phrases?)\b)"
)


def _with_marks(text: str) -> str:
    """The text, as long as before, with a bar's number parted from what is counted after it."""
    return COUNTED.sub(r"\1,\2", text)


def _is_list(match: re.Match[str], numbers: Sequence[int]) -> bool:
    """Whether all the numbers after "bars" are bars: after the singular only a range, or the next one."""
    plural = pattern_of(r"(?:bars|measures)").match(match[0])
    ranged = match[2] is not None and pattern_of(TO).fullmatch(match[2])
    return bool(plural or ranged) or (len(numbers) == 2 and numbers[1] == numbers[0] + 1)


# Numbers that are no degrees and stand where a bar is named in talk: "twenty-one and twenty-two is one shape".
GOES_ON = (
    r"(?=\s*(?:[,.;:!?]|$)|'s\b|\s+(?!plus|against|notes?|beats?|times?|flats?|sharps?|voices?|octaves?|eighths?"
    r"|halves|ways?|bars?|measures?"
    r"|chords?|phrases?|shapes?|steps?|things|parts?|people|minutes|seconds|years|choruses|pages|keys|of|or"
    r"|hundred|eight|four)[a-z])"
)
BARE = (
    rf"(?:^\s*|(?<=\bin )|(?<=\bfrom )|(?<=\bnow )|(?<=\bso )|(?<=\bthen )|(?<=\bat )|(?<=\blisten to )|(?<=\bof )"
    rf"|(?<=\bcompare )|(?<=\binto )|(?<=\bthrough )|(?<=\btake )|(?<=\bcheck out )|(?<=\bby )|(?<=\buntil )"
    rf"|(?<=\bget to )"
    rf"|(?<=\bcome to )|(?<=\bcomes to )|(?<=\bbetween )|(?<=\bbut )|(?<=\bwhile )|(?<=\bwhereas )"
    rf"|(?<=\band )(?={NUMBER} [a-z]+s\b))({NUMBER})(?:({TO}|{AND})({NUMBER}))?{GOES_ON}"
)
HIGHEST_DEGREE = 13
# "Thirteen sits on beat two": no bar stands on a beat.
ON_A_BEAT = r" (?:comes|falls|is|lands|sits|stands) (?:(?:right|just) )?on (?:beat|the (?:and|down-?beat|off-?beat))\b"
# A number that could be a degree is a bar where it opens a part of a sentence that goes on with what is there, or is
# looked at, and is in sight.
HOLDS = (
    r"(?:,? (?:you|we|i|here|there|it)(?:'s|'ve| got| get| have| hear| see)\b|,? here\b|,? there's|,? i (?:just"
    r"|play|go)\b"
    r"|(?:'s|'s just|'s all| has| had| gets| got| brings| gives| holds| opens| starts| begins| ends| closes| lands"
    r"| finishes| sits| rests| kicks| outlines| spells| climbs| walks| reaches| uses| hits| descends| jumps"
    r"| carries| puts| lays| places| sets| stacks| piles| throws| superimposes| spreads) "
    r"(?:got |just |only |simply |nothing but |right |off |up |down |out |us |from |in )*"
    r"(?:an?|the|on|with|all|my|your|our|one|two|three|some|another) "
    r"| (?:is|has|'s) (?:just |all |only |simply |pure |nothing but )*(?:an? |the |my |your |all )(?!note|tone"
    rf"|flat|sharp)|{IS_NO_BAR})"
)
OPENING_NUMBER = pattern_of(
    rf"(?:^\s*|[,;:] |\b(?:and|but|while|then) )(?:and |so |now |then |but |in |ok,? |okay,? )*({NUMBER})(?={HOLDS})"
    rf"(?!{ON_A_BEAT})"
)
LOOKED_AT = pattern_of(
    rf"\b(?:check out|look at|listen to|take|(?:get|got|comes?|came) to|half of|end of|start of|beginning of|top of"
    rf"|down-?beat of|middle of|(?:first|last) (?:note|beat) of"
    rf"|back in|here in|over in|up in|down in|out in) ({NUMBER})"
    r"(?=[,.;:!?]|$| (?:you|we|i|and|for|there|it|the|he|she|where|with|is|has|goes|climbs|falls)\b)"
    r"|(?:\bin|^\s*(?:by|come)) (five|six|seven|eight|nine|ten|eleven|twelve|thirteen|1[0-3]|[5-9])"
    rf"(?! (?:and|or|to)\b){GOES_ON}"
    rf"|^\s*({NUMBER})(?=: )"
)


# Two bars in a row of which one thing is said: "nine and ten have a chord each".
OPENING_PAIR = pattern_of(
    rf"^\s*(?:and |so |now )?({NUMBER}) and ({NUMBER})"
    r"(?= (?:both |each )?(?:are|have|share|get|use|sit|go|make|form|stay|move|walk|run|climb"
    r"|fall|rise|descend|start|begin|open|end|close|keep|hold)\b)"
)


def _bare_numbers(sentence: Sentence, context: Context, _: Sequence[Place]) -> Iterator[Place]:
    seen = {bar.number for bar in context.bars}
    named = [*OPENING_NUMBER.finditer(sentence.text), *LOOKED_AT.finditer(sentence.text)]
    for match in named:
        group = match.lastindex or 1
        span = _span(context.music, str(number_of(match[group])))
        if str(number_of(match[group])) in seen and span is not None:
            yield Place("bar", match.start(group), match.end(group), (span,))
    pair = OPENING_PAIR.match(sentence.text)
    if pair is not None:
        two = [number_of(text) for text in pair.groups()]
        span = _span(context.music, f"{two[0]}-{two[1]}") if two[1] == two[0] + 1 else None
        if span is not None and {str(number) for number in two} <= seen:
            yield Place("bar", pair.start(1), pair.end(2), (span,))
    for match in pattern_of(BARE).finditer(sentence.text):
        numbers = [number_of(text) for text in (match[1], match[3]) if text]
        spans = [_span(context.music, str(number)) for number in numbers]
        if len(numbers) > 1 and pattern_of(r"\s*,\s*").fullmatch(match[2]) and numbers[1] < numbers[0]:
            numbers, spans = numbers[:1], spans[:1]  # "in fourteen, four more"
        first, last = spans[0], spans[-1]
        if min(numbers) <= HIGHEST_DEGREE or first is None or last is None or last.end < first.end:
            continue
        apart = len(numbers) > 1 and not pattern_of(TO).fullmatch(match[2]) and numbers[1] != numbers[0] + 1
        if apart:
            yield Place(
                "bar", match.start(1), match.end(3), (first, last), parts=(match.span(1), match.span(3))
            )
        else:
            end = match.end() if len(numbers) > 1 else match.end(1)
            yield Place("bar", match.start(1), end, (Span(first.start, last.end),))


# Bars by ordinal -----------------------------------------------------------------------------------------

NTH = (
    rf"({ORDINAL}|last|final|opening|(?:second|next)[ -]to[ -](?:the )?last|second[- ]last|last but one|penultimate)"
    r" (?:full )?(?:bar|measure)(?! line)(?P<but> but one)?"
)
# "In the first bar there's the third, in the second the fifth"; "the third in the first bar, the fifth in the second".
AS_WELL = rf"(?<=\bin )the ({ORDINAL}|last|final)(?=,? (?:the|an?|it|it's|we|you|there|there's)\b|[,.;:!?]|$)"
RUN = rf"(first|opening|last|final|next|following|other) ({NUMBER}) (?:bars|measures)"
ALL = (
    r"(?:both|all)(?: the| these| of (?:these|the)| (?:four|eight|two|three))? (?:bars"
    r"|measures)|(?:these|the whole|all) (?:two|three|four|five|six|eight|sixteen|thirty-two) "
    r"(?:bars|measures)"
)


# "The second measure of the bridge": counted from where nothing says it begins.
OF_A_PART = pattern_of(
    r" of (?:the|this|that|our|its|each) (?:bridge|section|\w+ section|chorus|middle eight|second half|last eight"
    r"|second eight|phrase|line|sequence|pattern|turnaround|cadence)\b"
)


def _counted(sentence: Sentence, context: Context, _: Sequence[Place]) -> Iterator[Place]:
    bars, score = context.bars, context.music.score
    whole = [bar for bar in score.bars if bar.start >= 0]
    of_piece = words_of_place(r"of (?:the|this) (?:piece|etude|tune|form|whole thing|chorus)")
    for match in words_of_place(NTH).finditer(sentence.text):
        said = of_piece.match(sentence.text[match.end() :].lstrip())
        kinds = [whole] if said else [bars, whole]
        if OF_A_PART.match(sentence.text, match.end()):
            kinds = [bars] if len(bars) == 1 else []
        name = "opening" if kinds == [bars] and len(bars) == 1 else match[1]
        spans = [_nth(each, "penultimate" if match["but"] else name) for each in kinds]
        if not kinds:
            continue
        yield Place(
            "bar", match.start(), match.end(), tuple(dict.fromkeys(s for s in spans if s is not None))
        )
    counted = words_of_place(NTH).search(sentence.text)
    for match in words_of_place(AS_WELL).finditer(
        sentence.text, counted.end() if counted else len(sentence.text)
    ):
        span = _nth(bars, match[1])
        if span is not None:
            yield Place("bar", match.start(), match.end(), (span,))
    for match in words_of_place(RUN).finditer(sentence.text):
        count = number_of(match[2])
        span = _run_of_bars(context, match[1], count)
        yield Place("bar", match.start(), match.end(), () if span is None else (span,))
    for match in words_of_place(ALL).finditer(sentence.text):
        if bars:
            yield Place("bar", match.start(), match.end(), (Span(bars[0].start, bars[-1].end),))


def _nth(bars: Sequence[Bar], word: str) -> Span | None:
    if word in ("last", "final"):
        place = len(bars)
    elif pattern_of(r".* to .*last|second last|last but one|penultimate").fullmatch(word.replace("-", " ")):
        place = len(bars) - 1
    else:
        place = 1 if word == "opening" else ordinal_of(word)
    return Span(bars[place - 1].start, bars[place - 1].end) if 0 < place <= len(bars) else None


def _run_of_bars(context: Context, word: str, count: int) -> Span | None:
    bars = context.bars
    if count > len(bars) or count < 1:
        return None
    if word in ("next", "following"):
        if context.before is None:
            return None
        bars = [bar for bar in context.music.score.bars if bar.start >= context.before.end]
        return Span(bars[0].start, bars[count - 1].end) if len(bars) >= count else None
    chosen = bars[:count] if word in ("first", "opening") else bars[-count:]
    return Span(chosen[0].start, chosen[-1].end)


# Bars by what was spoken of ------------------------------------------------------------------------------

NEXT = (
    r"(?:the )?(?:very )?(?:next|following) (?:bar|measure|down-?beat)|the (?:bar|measure) after(?: that| this| it)?"
    r"|(?:a|one|two|three|four) (?:bars?|measures?) (?:later|on|further on|after(?: that)?)"
)
OPENS = pattern_of(r"\s*(?:(?:and|now|so|then|in|on|for),? )*")
AHEAD = {"two": 2, "three": 3, "four": 4}
BEFORE = (
    r"(?:the )?(?:previous|preceding) (?:bar|measure)|the (?:bar|measure)"
    rf" before(?! it {MOVING})(?: that| this| it)?|a bar earlier"
)
SAME = (
    r"(?:this|that|the same) (?:bar|measure)|there(?!'s| is| are| was| were| has| have| comes?"
    r"| goes)|here(?!'s| is| are| comes?| we)"
)


def _relative(sentence: Sentence, context: Context, found: Sequence[Place]) -> Iterator[Place]:
    for pattern, step in ((NEXT, 1), (BEFORE, -1), (SAME, 0)):
        for match in words_of_place(pattern).finditer(sentence.text):
            base = _latest(found, match.start(), sentence) or context.before
            guessed = base is None and step == 1 and len(context.bars) > 1
            if guessed:
                base = Span(context.bars[0].start, context.bars[0].end)  # after the first that is shown
            if base is None and step == 1 and OPENS.fullmatch(sentence.text[: match.start()]):
                yield Place("bar", match.start(), match.end(), tuple(context.spans), None, pointed=True)
                continue  # next to what another cue showed
            if base is None and step == 0 and match[0].startswith("this"):
                base = context.spans[0] if len(context.bars) == 1 else None
            far = step * AHEAD.get(match[0].split()[0], 1)
            near = () if base is None else _shifted(context.music, base, far)
            if guessed and not any(bar.start == span.start for bar in context.bars for span in near):
                continue
            if near or step:
                yield Place("bar", match.start(), match.end(), near, None, guessed)


# The first or last bar of what the cue shows.
OUTER = (
    r"(right out of the gate|at the (?:very )?(?:start|beginning|outset)|to (?:start|begin|open)(?: with"
    r"| off)?(?=,|$))"
    r"|(?:at the (?:very )?end|(?<!start )(?<!beginning )to (?:finish|close|end)(?: with| off)?(?=[,.!]|$))(?! of)"
)


PARTED = pattern_of(r"[,;:.]|\b(?:and|but|then|while|so|as|than|like)\b")


def _outer(sentence: Sentence, context: Context, found: Sequence[Place]) -> Iterator[Place]:
    bars = context.bars
    for match in words_of_place(f"(?:{OUTER})(?! of)").finditer(sentence.text):
        named = [place.last for place in found if place.last <= match.start() and len(place.spans) == 1]
        if named and not PARTED.search(sentence.text, max(named), match.start()):
            yield edge_of_bar(match, is_start=bool(match[1]))
        elif bars:
            bar = bars[0] if match[1] else bars[-1]
            yield Place("bar", match.start(), match.end(), (Span(bar.start, bar.end),), None, True)


def _latest(found: Sequence[Place], before: int, sentence: Sentence) -> Span | None:
    bars = [place for place in found if place.level == "bar" and place.last <= before and place.spans]
    bars = [place for place in bars if not is_set_beside(sentence, place)]
    latest = max(bars, key=lambda place: place.last, default=None)
    pointed = [p for p in sentence.pointers if p.last <= before and p.span is not None]
    if pointed and (latest is None or pointed[-1].last > latest.last):
        return pointed[-1].span
    return latest.spans[0] if latest is not None else None


def _shifted(music: Music, base: Span, step: int) -> tuple[Span, ...]:
    touched = bars_in(music.score, base)
    if not touched:
        return ()
    if step == 0:
        return (whole_bars(music.score, touched),)
    index = touched[-1] + step if step > 0 else touched[0] + step
    if not 0 <= index < len(music.score.bars):
        return ()
    bar = music.score.bars[index]
    return (Span(bar.start, bar.end),)


SECTION = (
    r"(?:section|letter|part) (\w+)|the (\w+) section|the (bridge|coda|intro|interlude)"
    r"|(?:in|on|of|with|from|during) the (pick-?up)(?: bar| notes?)?"
)


def _sections(sentence: Sentence, context: Context, _: Sequence[Place]) -> Iterator[Place]:
    names = {bar.section.lower() for bar in context.music.score.bars if bar.section}
    for match in words_of_place(SECTION).finditer(sentence.text):
        name = match[1] or match[2] or match[3] or ("0" if match[4] else "")
        if name in names or match[4]:
            span = _span(context.music, name.upper() if len(name) == 1 else name)
            if span is not None:
                yield Place("bar", match.start(), match.end(), (span,))


NTH_PHRASE = (
    r"(?:the|its|this|that|each|my) (first|second|third|fourth|last|final|opening)(?: long| short)? phrase"
)


def _phrases(sentence: Sentence, context: Context, _: Sequence[Place]) -> Iterator[Place]:
    """Phrases by their number among those that begin in sight."""
    bars = context.bars
    if not bars:
        return
    score, shown = context.music.score, Span(bars[0].start, bars[-1].end)
    whole = [phrase.span for phrase in context.music.analysis.phrases]
    for match in words_of_place(NTH_PHRASE).finditer(sentence.text):
        seen = [span for span in whole if mostly_in(span, shown)]
        last = match[1] in ("last", "final")
        place = len(seen) if last else 1 if match[1] == "opening" else ordinal_of(match[1])
        nth = seen if 0 < place <= len(seen) else [span for span in whole[place - 1 : place] if span in seen]
        if nth and score.bars:
            yield Place("bar", match.start(), match.end(), (nth[min(place, len(nth)) - 1],), None, True)
