"""Degrees that a sentence names one after the other, read together: as notes that follow each other in the line.

Whatever verbs stand between them, several degrees that the line has in the order in which they are named, next to each
other and in one place only, are those notes. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import Span, bars_in
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import chord_names
from lessonmaker.script.plain.claim import Claim, Stance
from lessonmaker.script.plain.degree_terms import AS_EVER, NOT_A_NOTE, SIGN
from lessonmaker.script.plain.degree_words import COUNTS_SOME, NUMERAL
from lessonmaker.script.plain.ground import Ground, put_over
from lessonmaker.script.plain.place import Place, Test
from lessonmaker.script.plain.places import bar_beside
from lessonmaker.script.plain.plain_numbers import is_altered
from lessonmaker.script.plain.root_words import root_lists
from lessonmaker.script.plain.row_notes import MANY, Named, Row, notes_of, reach_of, ways_of
from lessonmaker.script.plain.said_often import AGAIN, is_said_of_all
from lessonmaker.script.plain.set_words import NO_ONE, ONE_EACH, RUN_ORDINAL, SET_NUMBER
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, LEANING, MOVING, SOUNDING, STARTING
from lessonmaker.script.plain.vocabulary import CARDINALS, ORDINALS, degree_names

__all__ = [
    "BREAKS",
    "COUNTING",
    "FIGURE",
    "LIST",
    "MOVES",
    "NOUN_AFTER",
    "NUMBERED",
    "degrees_in",
    "loose_names",
    "with_rows",
]

WORD = pattern_of(
    rf"(?<![\w#'-])(?P<double>double[ -](?=flat))?(?:(?P<sign>{SIGN})[ -]|(?P<mark>[b#]))?"
    rf"(?:(?P<ordinal>{RUN_ORDINAL}|tonic|(?:[2-79]|1[13])(?:nd|rd|th))|(?P<figure>{SET_NUMBER}){ONE_EACH})(?![\w']|-(?!to-))"
)
NEXT = pattern_of(rf"[ ,]+(?:double[ -])?(?:(?:{SIGN})[ -]|[b#])(?:{RUN_ORDINAL}|{SET_NUMBER})(?![\w'])")
NEXT_NUMBER = pattern_of(rf",? (?:{SET_NUMBER}|{RUN_ORDINAL})(?![\w'])")
COUNT_DOWN = ["three", "two", "one"]
COUNTING_IN = pattern_of(r"\bcount(?:s|ed|ing)?(?: \w+)?:? $")
OFF_WE_GO = pattern_of(r",? (?:and )?(?:go|here we go|off we go|play)\b")
OPENING_ONE = pattern_of(rf"(?:{NO_ONE}one|1)(?={NEXT_NUMBER.pattern})")
NUMBER_BEFORE = pattern_of(
    rf"(?<![\w'])(?:{SET_NUMBER}|{RUN_ORDINAL}),? (?:(?:and|then|at last|finally),? )*$"
)
# Between degrees that follow each other directly.
LIST = pattern_of(
    r"(?:,|;|:|-|\s|\bthen\b|\band\b|\bthe\b|\ban?\b|\bits\b|\balso\b|\bof all\b|\bat (?:last|length)\b|\bfinally\b"
    r"|\blastly\b)*"
)
# Before the last of a row, which may be all of it that stands in the bar named after it.
AND_AT_LAST = pattern_of(r",? (?:and|then|finally|lastly|at last)\b")
# What one degree is not followed by another across: another thing is said, or the order is turned round.
BREAKS = pattern_of(
    r"\b(?:not|no|never|nor|or|instead|rather|whereas|while|but|unlike|than|like|both|twice|between|after|following|from"
    r"|before|until|because|since|if|around|surround\w*|enclos\w*|against|(?<!it )(?<!that )is (?:the|our|its|an?)"
    rf"|called|means?|again|that's|that is|namely|{STARTING}|{ENDING})\b"
    r"|[.?!\x01]"
)
INTERVAL = pattern_of(
    r"\b(?:up|down|by|in|leaps?|jumps?|falls?|rises?|drops?|moves?|climbs?|skips?|apart|of|stack(?:s|ed)?)"
    r" (?:an?|another|perfect|major|minor|two|three|in) $"
)
FARTHER = pattern_of(
    r"[- ](?:higher|lower|above|below|away|apart|up|down|leaps?|jumps?|intervals?|triads?|chords?)\b(?! to\b)"
)
AT_AN_END = pattern_of(rf"\b(?:{STARTING}|{ENDING})\b[^,;:]*$")
ITS_CHORD = pattern_of(
    r"\s*,?\s*(?:(?:is|'s|sits|comes|lands|falls|stands|struck|played|right|just|back|again)\s+)*"
    r"(?:at the (?:very )?(?:end|start|beginning) of |of|over|on|above|against|in|at|upon)?\s*"
    r"(?:the |that |this )?"
)
LONGEST_LINK = 60
# What letters name that are no notes of the line: "the chords go G flat, E, D".
OF_OTHERS = pattern_of(
    r"\b(?:two[- ]fives?(?:[- ]ones?)?|dominants|turn-?arounds?|modulat\w+|chords?|changes|sections?|letters?|keys?"
    r"|roots?|harmony|bass(?: line)?)\b[^,;:.]*$"
)
MOVES = pattern_of(rf"\b(?:{MOVING}|become|becomes|turns? into)\b|\b(?:to|into|onto|then)\b")
OTHER_NAME = pattern_of(
    r", (?:(?:which is|that's|or|as) )?(?:the|its|our) |[;:] (?:it's|it is|that's|that is) (?:the|its|our) "
)
# "The thirteenth, that E natural", "the third of the chord, which is A".
THAT_NOTE = pattern_of(
    r"(?: (?:of|in|over) [^,;:]{1,30})?, (?:(?:that|this) (?:[a-z]+ )?|(?:which is|that's|namely) (?:the |an? )?)"
)
THEN = pattern_of(r"\b(?:then|to|into|onto)\b(?: the| a)? $")
FIGURE, NUMBERED, COUNTING = "a figure", "numbered", "counting"
"""Words that may count something as well: "five", "the third sharp nine"; that most likely do: "five people"."""
LETTER = pattern_of(
    r"(?<![\w'#])(?:(?<=on )|(?<=to )|(?<=into )|(?<=the )|(?<=that )|(?<=is )|(?<=a )|(?<=same )|(?<=with )"
    r"|(?<=and )|(?<=, ))"
    r"(?P<name>[A-G])(?![\w#'-]| (?:is|section|part|minor|major|seven|dominant|half|chord|flat|sharp|natural)\b)"
)
OPENING_LETTER = pattern_of(
    rf"^\s*(?P<name>[B-G])(?= (?:{MOVING}|(?:(?:straight|right|back) )?(?:(?:up|down|over|on) )?(?:to|into)|then)\b)"
)
OVER_IT = pattern_of(
    r"\b(?:over|of|in|against|above|under|for|key|across) (?:the |that )?$|\b(?:first|then|once|again|now|next) on $"
)
BACK_TO = pattern_of(r"\b(?:to|into|onto) (?:the )?$")
NOUN_AFTER = pattern_of(
    r"\s*(?:[,.;:!?]|$)|(?:'s)? (?!of (?:them|us|those|these)\b)(?:and|then|to|up|down|in|on|over|of|at|with|into"
    r"|onto|across|against|before|after|again|right|when|while|as|so|but|because|just|here|there|above|below|under|next|lead|leads"
    rf"|is|was|which|that|a|{MOVING}|{SOUNDING}|{LEANING})\b"
)
COUNTED_BEFORE = pattern_of(
    r"\b(?:on|beats?|bars?|measures?|counts?|in|of|by|plus|against|numbers?|pages?|take|top|for|about|around|than"
    r"|letter|section|over|under|all|these|those|only|just|another|every|each|between) $"
    r"|\b(?:bars|measures|beats|counts)(?: \w+){1,3} $"
)
AND_NEXT = pattern_of(r",? (?:and )?")
# "A three five seven nine arpeggio": its last number is no count.
A_FIGURE = pattern_of(r" (?:arpeggio|cell|figure|idea|motif|motive|shape)\b")
ENDS_A_ROW = pattern_of(r"\b(?:one|three|five|seven|nine)[, -]+(?:three|five|seven|nine|eleven)[, -]+$")


def with_rows(ground: Ground, claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """The claims of a sentence, those of degrees that are read together with their notes."""
    sentence, places, shown, music = ground.sentence, ground.places, ground.shown, ground.music
    found: list[Claim] = []
    claims = [claim for claim in claims if not _is_of_beats(claim, places)]
    is_one_bar = len(shown) == 1 and len(bars_in(music.score, shown[0])) == 1
    has_figure = any(claim.kind == "device" for claim in claims)
    rows = list(_rows(sentence, claims, places, shown, is_one_bar=is_one_bar, has_figure=has_figure))
    for row in rows:
        first, last = row.named[0].claim.first, row.named[-1].claim.last
        if everywhere := _notes_in_each(row, places, music):
            found += [claim for claim in _claim_of_all(row, everywhere) if claim not in found]
        if not any(first < claim.last and claim.first < last for claim in found):
            notes = notes_of(row, music) or notes_of(_coloured(row), music)
            once = not notes and [other.degrees for other in rows].count(row.degrees) == 1
            often = _notes_of_all(row, sentence.with_more, music) if once else []
            found += _claim_of_all(row, often) if often else ()
            found += _claims_of(row, notes) if notes else () if often else _false_list(row, music)
    return put_over(claims, found)


def _is_of_beats(claim: Claim, places: Sequence[Place]) -> bool:
    """Whether what may be a progression begins with a beat ("flat nine on two, five on four"), or a number is one."""
    beats = [place for place in places if place.level == "beat" and place.first <= claim.first < place.last]
    if claim.kind in ("device", "progression"):
        return any(place.last < claim.last for place in beats)
    return claim.kind == "degree" and not claim.sure and any(claim.last == place.last for place in beats)


def _coloured(row: Row) -> Row:
    """A row of at least three with the numbers that a chord may alter, where none is said to be altered."""
    coloured = len(row.named) >= MANY and not any(is_altered(each.claim.names) for each in row.named)
    return replace(row, named=tuple(replace(each, coloured=coloured) for each in row.named))


def _claims_of(row: Row, notes: Sequence[Note]) -> list[Claim]:
    """A list of degrees as one claim, others one by one; none where their notes are not found."""
    stance: Stance = "found" if len(notes) >= MANY else "stated"
    claims = [
        replace(named.claim, at=(note.id,), stance=stance)
        for named, note in zip(row.named, notes, strict=False)
    ]
    if len(claims) < MANY or not all(row.strict):
        return claims
    names = tuple("|".join(claim.names) for claim in claims)
    ids = tuple(note.id for note in notes)
    return [Claim("set", claims[0].first, claims[-1].last, "", names, stance=stance, at=ids)]


def _notes_of_all(row: Row, text: str, music: Music) -> list[Note]:
    """The notes of a list wherever the line has it, if a text says that it comes so often."""
    if not all(row.strict) or row.tight or (len(row.named) < MANY and any(n.claim.detail for n in row.named)):
        return []
    line = music.line
    ways = [
        way for span in row.spans for way in ways_of(row, span, line, music) if reach_of(way) == len(way) - 1
    ]
    often = len(ways) > 1 and is_said_of_all(text, len(ways))
    return [line[index] for index in sorted({index for way in ways for index in way})] if often else []


def _notes_in_each(row: Row, places: Sequence[Place], music: Music) -> list[Note]:
    """The notes of a list in each of the bars named after it: "three, five, one in bar one, in three, and in ten"."""
    last = row.named[-1].claim.last
    bars = [place for place in places if place.level == "bar" and place.first >= last and not place.pointed]
    spans = [span for place in bars for span in (place.spans if place.parts or len(place.spans) == 1 else ())]
    spans = [Span(bar.start, bar.end) for bar in music.bars_in(spans)]
    if len(spans) < 2 or not all(row.strict) or row.tight or len(row.named) < MANY:
        return []
    ways = [list(ways_of(row, span, music.line, music)) for span in spans]
    if any(len(each) != 1 or reach_of(each[0]) != len(each[0]) - 1 for each in ways):
        return []
    return [music.line[index] for each in ways for index in each[0]]


def _claim_of_all(row: Row, notes: Sequence[Note]) -> Iterator[Claim]:
    """A list that comes over and over as one claim."""
    names = tuple("|".join(named.claim.names) for named in row.named)
    first, last = row.named[0].claim.first, row.named[-1].claim.last
    yield Claim("set", first, last, "", names, stance="found", at=tuple(note.id for note in notes))


def _false_list(row: Row, music: Music) -> Iterator[Claim]:
    """A list as a whole, where the bar of which it is said lacks one of its degrees."""
    whole = (
        all(row.strict) and row.located and len(row.spans) == 1 and not row.tight and len(row.named) >= MANY
    )
    apart = any(":" in words for words in row.between)
    if not whole or apart or any(named.claim.detail for named in row.named):
        return
    span = row.spans[0]
    notes = music.struck_between(span.start, span.end)
    coloured = _coloured(row).named
    if notes and any(not any(named.fits(note, music) for note in notes) for named in coloured):
        names = tuple("|".join(named.claim.names) for named in row.named)
        yield Claim("set", row.named[0].claim.first, row.named[-1].claim.last, "", names)


def _rows(
    sentence: Sentence,
    claims: Sequence[Claim],
    places: Sequence[Place],
    shown: Sequence[Span],
    *,
    is_one_bar: bool,
    has_figure: bool,
) -> Iterator[Row]:
    """The rows of a sentence: a new one begins where another bar is named, or something else is said."""
    run: list[Claim] = []
    strict: list[bool] = []
    for claim in loose_names(sentence, claims, places):
        if run and claim.names == run[-1].names != () and sentence.text[run[-1].last : claim.first] == ", ":
            run[-1] = claim  # "from the root, one, seven"
            continue
        between = sentence.text[run[-1].last : claim.first] if run else ""
        bars = [p for p in places if p.level == "bar" and run and run[-1].last <= p.first < claim.first]
        apart = bool(bars) and not (len(bars) == len(run) == 1 and THEN.search(between))
        apart = apart or _is_other_name(run, claim, between)
        direct = LIST.fullmatch(_without(between, run[-1].last, places) if run else "") is not None
        near = len(between) <= LONGEST_LINK and not BREAKS.search(between)
        counts = [each.detail for each in run] == [COUNTING]
        if run and not apart and (direct or (near and not counts)):
            run.append(claim)
            strict.append(direct)
            continue
        yield from _ways_to_read(
            sentence, run, strict, places, shown, is_one_bar=is_one_bar, has_figure=has_figure
        )
        run, strict = [claim], []
    yield from _ways_to_read(
        sentence, run, strict, places, shown, is_one_bar=is_one_bar, has_figure=has_figure
    )


def _is_other_name(run: Sequence[Claim], claim: Claim, between: str) -> bool:
    """Whether a degree says what the note before it is: "up a step to A, the third of F"; or a name which it is."""
    if not run or run[-1].kind == claim.kind:
        return False
    return (OTHER_NAME if claim.kind == "degree" else THAT_NOTE).fullmatch(between) is not None


def _ways_to_read(
    sentence: Sentence,
    run: Sequence[Claim],
    strict: Sequence[bool],
    places: Sequence[Place],
    shown: Sequence[Span],
    *,
    is_one_bar: bool,
    has_figure: bool,
) -> Iterator[Row]:
    """A row; and where notes and degrees are mixed in it, those of each kind: "D flat, then C: flat nine to five"."""
    yield from _row(sentence, run, strict, places, shown, is_one_bar=is_one_bar, has_figure=has_figure)
    kinds = [claim.kind for claim in run]
    if len(set(kinds)) > 1:
        for kind, parts in groupby(range(len(run)), key=lambda index: kinds[index]):
            del kind
            own = list(parts)
            inner = strict[own[0] : own[-1]]
            yield from _row(
                sentence,
                run[own[0] : own[-1] + 1],
                inner,
                places,
                shown,
                is_one_bar=is_one_bar,
                has_figure=has_figure,
            )


def _without(between: str, at: int, places: Sequence[Place]) -> str:
    """The words between two degrees without the chords and beats that are named there."""
    marks = list(between)
    for place in places:
        for index in range(max(place.first - at, 0), min(place.last - at, len(marks))):
            marks[index] = " "
    return pattern_of(r"\b(?:of|over|on|above|against|in|at|upon) *(?= |$)").sub("", "".join(marks))


def loose_names(sentence: Sentence, claims: Sequence[Claim], places: Sequence[Place]) -> Iterator[Claim]:
    """The words of a sentence that may name a degree."""
    text = sentence.text
    taken = [(place.first, place.last) for place in places]
    others = [claim for claim in claims if claim.kind not in ("degree", "set", "resolves")]
    taken += [(claim.first, claim.last) for claim in others]
    taken += [(name.first, name.last) for name in chord_names(sentence)]
    taken += [match.span() for match in pattern_of(NUMERAL).finditer(text)]
    counted = [(c.first, c.last) for c in claims if c.kind == "degree" and c.count]
    numbered = [(c.first, c.last) for c in claims if c.kind == "degree" and c.which]
    listed = [(c.first, c.last) for c in claims if c.kind == "set"]
    named = list(degrees_in(text, taken, counted, numbered, listed))
    named += [claim for claim in others if claim.kind == "note" and not claim.count]
    named += _letters_in(sentence, [*taken, *((claim.first, claim.last) for claim in claims)])
    yield from sorted(named, key=lambda claim: claim.first)


def _letters_in(sentence: Sentence, taken: Sequence[tuple[int, int]]) -> Iterator[Claim]:
    """Notes by a letter alone, which may be no note: "bar one on C"."""
    taken = (*taken, *root_lists(sentence))
    for match in (*LETTER.finditer(sentence.written), *OPENING_LETTER.finditer(sentence.written)):
        first, last = match.span("name")
        over = OVER_IT.search(sentence.text[:first]) or _is_among_chords(sentence, first, last)
        if not over and not any(first < end and start < last for start, end in taken):
            yield Claim("note", first, last, match["name"], sure=False, detail=FIGURE)


def _is_among_chords(sentence: Sentence, first: int, last: int) -> bool:
    """Whether a letter stands in a row of chords: "through A minor, D and G minor"."""
    return any(
        AND_NEXT.fullmatch(sentence.text[min(last, name.last) : max(first, name.first)])
        for name in chord_names(sentence)
    )


def degrees_in(
    text: str,
    taken: Sequence[tuple[int, int]],
    counted: Sequence[tuple[int, int]] = (),
    numbered: Sequence[tuple[int, int]] = (),
    listed: Sequence[tuple[int, int]] = (),
) -> Iterator[Claim]:
    """The words of a text that may name a degree.

    Args:
        text: what is said.
        taken: words that name something else.
        counted: degrees that are said to come several times; these are left out.
        numbered: degrees with an ordinal: "the second flat nine".
        listed: rows of degrees, in which any number is one.
    """
    for match in WORD.finditer(text):
        first, last = match.span()
        sign = match["sign"] or match["mark"] or ""
        if any(first < end and start < last for start, end in (*taken, *counted)):
            continue
        goes_on = (
            NEXT.match(text, last)
            or any(start <= first and last < end for start, end in listed)
            or (A_FIGURE.match(text, last) and ENDS_A_ROW.search(text[:first]))
        )
        if pattern_of(NOT_A_NOTE).match(text[last:]) and not goes_on:
            continue
        if match["figure"] and not sign and COUNTS_SOME.match(text, last):
            continue
        if match["ordinal"] and FARTHER.match(text, last):
            continue
        in_row = NEXT_NUMBER.match(text, last) is not None
        if sign not in ("b", "#", "flat", "sharp") and INTERVAL.search(text[:first]) and not in_row:
            continue
        names = degree_names(
            "" if in_row and sign in AS_EVER else sign, _number(match["ordinal"] or match["figure"])
        )
        if match["double"]:
            names = ("bb7",) if names == ("b7",) else ()
        if names:
            which = any(first < end and start - len(match[0]) - 1 <= first for start, end in numbered)
            detail = NUMBERED if which else FIGURE if not sign and match["figure"] else ""
            if detail == FIGURE and not _is_noun(text, first, last):
                detail = COUNTING
            yield Claim("degree", first, last, "", names, detail=detail)


def _is_noun(text: str, first: int, last: int) -> bool:
    """Whether a number stands where a note may: it counts nothing, and is no beat, bar or chord."""
    before, after = text[:first], text[last:]
    if text[first:last] in ("one", "1") and not (BACK_TO.search(before) or _is_listed(text, first)):
        return False
    return NOUN_AFTER.match(after) is not None and not COUNTED_BEFORE.search(before)


def _is_listed(text: str, first: int) -> bool:
    """Whether a "one" stands right after a number, or opens a row of them, and is no pronoun: "nine, one, and ..."."""
    return OPENING_ONE.match(text, first) is not None or NUMBER_BEFORE.search(text[:first]) is not None


def _number(word: str) -> int:
    if word in ("root", "tonic"):
        return 1
    digits = pattern_of(r"\d+").match(word)
    return int(digits[0]) if digits else CARDINALS.get(word) or ORDINALS[word]


def _row(
    sentence: Sentence,
    run: Sequence[Claim],
    strict: Sequence[bool],
    places: Sequence[Place],
    shown: Sequence[Span],
    *,
    is_one_bar: bool,
    has_figure: bool,
) -> Iterator[Row]:
    """A row, if there is more than one degree in it, and the place where it is said to be is known."""
    figure = (
        has_figure and run and pattern_of(r"\bfrom (?:the |its )?$").search(sentence.text[: run[0].first])
    )
    if figure:
        return
    if run and run[0].kind == "note" and OF_OTHERS.search(sentence.text[: run[0].first]):
        return
    loose = [claim.detail for claim in run if claim.detail in (FIGURE, COUNTING)]
    row = _are_degrees(run, strict)
    tight = not row and len(run) > 1 and COUNTING not in loose and _is_tight(sentence, run, strict)
    if len(run) < 2 or not (row or tight) or _counts_down(sentence, run):
        return
    if len(run) < MANY and AT_AN_END.search(sentence.text[: run[0].first]):
        return
    bar = bar_beside(run[0].first, run[-1].last, places)
    if bar is not None and AGAIN.search(sentence.text, run[-1].last, max(bar.first, run[-1].last)):
        bar = None  # "three, five, one, and again in bar nine"
    if bar is not None and not bar.spans:
        return
    named = tuple(
        Named(claim, tuple(_tests(sentence, index, run, places))) for index, claim in enumerate(run)
    )
    between = tuple(sentence.text[one.last : other.first] for one, other in pairwise(run))
    if tight and _counts_on(run) and (bar is None or bar.pointed):
        return
    chords = [place for place in places if place.level == "chord" and not place.pointed]
    chords = [place for place in chords if place.last <= run[0].first]
    ranged = pattern_of(r"\bfrom (?:the |its )?$").search(
        sentence.text[: run[0].first]
    )  # of a figure that lies elsewhere
    moves = MOVES.search(between[0]) is not None and not ranged
    if bar is not None:
        late = bar.first >= run[-1].last and len(run) >= MANY and AND_AT_LAST.match(between[-1]) is not None
        yield Row(named, between, tuple(strict), bar.spans, not bar.pointed, tight, moves, late)
    if bar is None or bar.first >= run[-1].last:
        over = tuple(place.test for place in chords[-1:] if place.test is not None and bar is None)
        named = (replace(named[0], tests=(*named[0].tests, *over)), *named[1:])
        yield Row(named, between, tuple(strict), tuple(shown), is_one_bar, tight, moves)


def _is_tight(sentence: Sentence, run: Sequence[Claim], strict: Sequence[bool]) -> bool:
    """Whether names that may be none are names of notes where these stand side by side."""
    if any(claim.detail == NUMBERED for claim in run):
        return False
    sure = [claim for claim in run if not claim.detail]
    counting = len(run) != 2 and not sure and _counts_on(run)
    links = [sentence.text[one.last : other.first] for one, other in pairwise(run)]
    direct = all(each or MOVES.search(link) for each, link in zip(strict, links, strict=True)) or (
        len(run) > MANY and sum(strict) >= MANY - 1
    )
    return bool(sure) or (direct and not counting)


def _counts_on(run: Sequence[Claim]) -> bool:
    """Whether all names are numbers that follow each other: "five and six"."""
    figures = all(claim.kind == "degree" and claim.detail == FIGURE for claim in run)
    return figures and all(_plain_number(b) - _plain_number(a) == 1 for a, b in pairwise(run))


def _counts_down(sentence: Sentence, run: Sequence[Claim]) -> bool:
    """Whether numbers only count the player in: "three, two, one, go"."""
    words = [sentence.words(claim.first, claim.last) for claim in run]
    before, after = sentence.text[: run[0].first], sentence.text[run[-1].last :]
    return words == COUNT_DOWN and bool(COUNTING_IN.search(before) or OFF_WE_GO.match(after))


def _are_degrees(run: Sequence[Claim], strict: Sequence[bool]) -> bool:
    """Whether words that may be numbers of other things are degrees: three in a row, or beside one that is."""
    figures = [claim.detail in (FIGURE, COUNTING) for claim in run]
    if any(claim.kind == "note" for claim in run):
        return False
    if not any(figures):
        return len(run) >= MANY or not any(claim.detail == NUMBERED for claim in run)
    plain = [_plain_number(claim) for claim in run]
    counting = all(figures) and all(b - a == 1 for a, b in pairwise(plain))
    return len(run) >= MANY and all(strict) and not counting


def _plain_number(claim: Claim) -> int:
    return int(pattern_of(r"\D").sub("", claim.names[0]))


def _tests(sentence: Sentence, index: int, run: Sequence[Claim], places: Sequence[Place]) -> Iterator[Test]:
    """What the chords and beats that stand right after a degree say of it, and the bar before the next one."""
    last = index + 1 == len(run)
    following = len(sentence.text) if last else run[index + 1].first
    at = run[index].last
    for place in places:
        if not at <= place.first < following or not ITS_CHORD.fullmatch(sentence.text[at : place.first]):
            continue
        if place.test is not None:
            yield place.test
            at = place.last
        elif place.level == "bar" and place.spans and not (last or place.pointed):
            yield _stands_in(place.spans)
            at = place.last


def _stands_in(spans: Sequence[Span]) -> Test:
    """Whether a note is struck in one of some spans, or held into it."""
    return lambda note, _: any(
        span.start < note.onset + note.held and note.onset < span.end for span in spans
    )
