"""What a sentence says a chord is: "bar nineteen is E half-diminished", "the A seven stands in for E flat seven".

A subject (a bar, a chord by its name, kind or place in a row, all of them, or whatever is begun or ended on) and what
is said of it (see `chord_words`). Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import (
    NO_CHORD,
    PLACED,
    STEP,
    ChordSaid,
)
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL

__all__ = [
    "A_BAR",
    "CHORD_ACTS",
    "EVERY",
    "FACING",
    "GOES_ON",
    "HARMONIC",
    "OF_BAR",
    "SymbolClaim",
    "is_of_a_step",
    "symbol_claims",
]

JUST = (
    r"(?:(?:just|really|simply|actually|only|again|still|now|here|there|already|basically|obviously"
    r"|of course|in fact"
    r"|nothing but|all|both|called|back|right) ?)*"
)
# What is no mere adjective before a chord: its kind, its step, or another thing.
KIND_OR_STEP = (
    r"minor|major|dominant|half|fully?|altered|augmented|sus\w*|flat|sharp|tonic|home|sub\w*|relative|parallel"
    r"|secondary"
    r"|one|two|three|four|five|six|seven|[a-g]|notes?|bars?|beats?|root|third|fifth|ninth|of|for|and|or|with|in|on|to"
    r"|over|from|that|which|is|not|no|line|triad|scale|key|arpeggio|lick|run|than|as|like"
)
ARTICLE = (
    r"(?:(?:an?|the|our|your|its|my|another|one|some)"
    rf"(?: (?!(?:{KIND_OR_STEP})\b)[a-z]+){{0,3}} )?"
)
FACING = r"(?:looking at|dealing with|hearing|listening to|facing|talking about|seeing|stuck with|left with)"
IS = rf"(?:(?:'re|\bare) {FACING}|\bis|'s|\bare|'re|\bwas|\bwere|\bremains?|\bcall (?:it|this|that))"
HAS = (
    r"(?:\bha(?:s|ve)|'ve got|\bgot|\bgets?|\b(?:sits?|stays?|rests?|stands?|lives?|hangs?|hovers?|camps?"
    r"|dwells?|remains?)(?: out| put| still)? on"
    r"|\bbelongs? to|\b(?:brings?|gives?|hands?|offers?|serves?)(?: us| you)?|\bholds?|\buses?|\bfeatures?"
    r"|\bcontains?)"
)
ACTS = (
    r"(?:\b(?:works?|serves?|acts?|functions?|counts|behaves?|heard|(?:hear|read) (?:it|this|that)|read) as"
    r"|\b(?:has|plays|takes(?: on)?|fills) the (?:function|role|part|job|place) of)"
)
STARTS = (
    rf"(?:{inflected('start, begin, open, kick, set, take')})(?: (?:out|off|up|us off))*(?: on| with| from)"
)
ENDS = rf"(?:{inflected('end, finish, close, stop')})(?: (?:up|down|off))?(?: on| with)"
BECOMES = (
    r"(?:\b(?:turn|chang|flip|switch|shift|mov)(?:s|es|ed|ing|e)? (?:in)?to|\bgo(?:es|ing)? to|\bturn(?:s|ed|ing)?"
    r"|\bbec(?:omes?|ame|oming)|\bgo(?:es|ing|ne)?|\bmade(?: in)?to)"
)
# Where the harmony goes: "back on the one chord", "brings us to the minor four".
REACHES = (
    r"(?:\bback|\b(?:we|you)(?:'re| are)(?: still| now)?"
    rf"|{inflected('go, come, get, land, arrive, head, move, return, lead, slip, slide, settle, drop, step')}"
    rf"|{inflected('take, bring, lead, carry')} us)(?: (?:back|home|up|down|over|out|again|right|straight|on))*"
    r" (?:to|into|on|onto|at|for|in)"
)
LINK = pattern_of(
    rf"(?:(?P<becomes>{BECOMES})|(?P<reached>{REACHES})|(?P<be>{IS}|{ACTS})|(?P<has>{HAS})"
    rf"|(?P<starts>\b{STARTS})|(?P<ends>\b{ENDS})"
    rf"|(?P<mark>:)) ?{JUST}{ARTICLE}$"
)
GOES_TO = pattern_of(rf"{REACHES} ?{JUST}{ARTICLE}$")
# A bar right before the link, so that it is the bar's chord that is spoken of.
A_BAR = rf"(?:(?:bar|measure) {NUMBER}|(?:{ORDINAL}|last|final) (?:bar|measure))"
OF_BAR = pattern_of(
    rf"(?:{A_BAR}(?: now| here|'s (?:chord|harmony))?|\b(?:chord|harmony) (?:in|of|for|at) (?:the )?{A_BAR}"
    rf"|(?:^\s*|[,;] |\band )(?:and |so |now |then )*(?P<bare>{NUMBER})) ?$"
)
# Where a chord that is only named is what is spoken of: "then boom, A7".
ENTERS = pattern_of(
    r"(?:[,;:] |\b(?:then|and|boom|here's|here comes|there's|comes|enter|it's|that's|have|got|get|meet) )"
    r"(?:and |then |so |now |boom,? )*(?:an? |the |this |that |our |your )?$"
)
# Where a chord that is told by its step is what a listener is shown.
SHOWN = pattern_of(
    r"\b(?:spot(?:s|ted)?|hear|heard|see|notice|find|found|catch|caught|listen (?:for|to)|look at|watch(?: for)?"
    r"|enjoy"
    r"|here's|here is|here comes|that's|it's|there's|meet) (?:how |for )?(?:the |our |a |this |that )?$"
)
# After a chord that a bar is said to have: nothing that makes it something else.
GOES_ON = pattern_of(
    r"(?: chords?| territory| harmony| country)?(?: again| still| now| too| as well| here| there| once more"
    r"| in it| in disguise)*"
    r"\s*(?:[,.;:!?]|$|\b(?:and|with|on|in|over|before|after|for|until|instead|rather|at|throughout|which"
    r"|that|so|if|we(?:'re|'ve)?|you(?:'re|'ve)?|because|since|but|now|right|this|folks|friends|everyone"
    r"|as (?:you|we)|underneath|of (?:the"
    r"|this|our) (?:key|tune|piece))\b)"
)
# "A dominant seventh, that's what bar nine is made of".
FRONTED = pattern_of(
    r"(?: chord)?,? (?:this (?:chord|one|bar|measure)\b|(?:that|this|it)(?:'s| is) (?:the |our |your )?(?:chord"
    r"|harmony)\b)"
    r"|(?: chord)?,? (?:(?:that|this|it)'s|(?:that|this|it) is|is) what (?:bar [\w-]+|measure [\w-]+|we|you|it"
    r"|this|that"
    r"|sounds|the (?:\w+ )?(?:chord|harmony|bar|measure|band|piano|rhythm section))\b"
)
# "The E flat minor chord in bar ten": there is one, as it is said.
OF_ONE_BAR = pattern_of(
    rf"(?: chord)?(?: (?:sits|lies|is|stands|rings|hums|waits|hides|lives|sounds|(?:we|you) (?:get|hear|have)))?"
    rf"(?: right| just)? (?:in|of|under|beneath|below|behind|at) (?:bar|measure) {NUMBER}(?![\w-])"
)
OPENS = pattern_of(r"(?:^|[,;:] |\b(?:and|but|so) )(?:the |that |this |our )$")
A_CHORD = pattern_of(r"(?:^|[,;:] |\b(?:of|and|so|there's|is|hear|get|have|got) )an? $")
DOES = pattern_of(
    r"\b(?:stand|sit|go|fill|do|tak|replac|substitut|subs|subb|deput|instead|in (?:place|lieu)|comes|coming)"
)
# Several chords of which one thing is said, and none of which it is.
EVERY = pattern_of(
    r"\b(?:both|all|each|every(?: single)?|everything|these|those|they"
    r"|the (?:two|three|four)(?! (?:chord|is|has|was)\b))"
    r"(?P<of>(?: (?!notes?\b|phrases?\b|figures?\b|tones?\b|shapes?\b)[a-z-]+){0,8}?)"
    r"(?:,? (?:is|are|has|have|were|was|being)|'re|'s)(?: (?:all|both|each|just|really|simply|actually"
    r"|an?))* ?$"
)
NONE = pattern_of(
    r"\b(?:no|not (?:an?|one|a single|any)|without (?:an?|any|a single)|(?:is|are)n't (?:an?|any"
    r"|a single))(?: single)? $"
)


# Kinds of claim that are of the chords themselves.
HARMONIC = ("symbol", "changes", "roots", "key", "progression")


@dataclass(frozen=True)
class SymbolClaim(Claim):
    """A claim of what a chord is: `said` of `subject`, or of the bars; `role` is how the two are joined.

    `of_bar` says that it is said of a bar by its number; `bar` is a number that stands alone.
    """

    said: ChordSaid | None = None
    subject: ChordSaid | None = None
    role: str = ""
    of_bar: bool = False
    bar: str = ""


def symbol_claims(sentence: Sentence, every: Sequence[ChordSaid]) -> Iterator[SymbolClaim]:
    """What a sentence says its chords are; of a chord that is the subject of another claim none is made.

    Args:
        sentence: what is said.
        every: the chords that it tells.
    """
    claims = [
        claim
        for index, said in enumerate(every)
        if said.sort != "nth" and not NO_CHORD.match(sentence.text, said.last)
        for claim in _claim_of(sentence, said, every[:index])
    ]
    claims += [
        claim
        for said in every
        if (said.sort == "name" or (said.sort == "kind" and sentence.text[: said.last].endswith("chord")))
        and not any(said in (claim.said, claim.subject) for claim in claims)
        for claim in _there_of(sentence, said)
    ]
    subjects = [claim.subject for claim in claims if claim.subject is not None]
    return iter([claim for claim in claims if claim.said not in subjects])


THERE_IT_IS = pattern_of(r"\b(?:there|here)(?:'s| is) (?:the|our|its) $")  # said of nothing before it
OF_A_NOTE = pattern_of(
    r"\b(?:notes?|(?:tied|held|carried) (?:over )?(?:in)?to)\b[^,;:]* is (?:the |an? )?$"
    r"|\b(?:(?:the|that|this|your) [a-g][ -](?:natural|flat|sharp)(?! (?:major|minor|seven|chord|dominant|\d))"
    r"|[a-g][ -]natural)\b[^,;:]* is (?:just |only |really )?$"
    r"|\b(?:(?:the|that|this|your) [a-g]|[a-g](?:b|#|[ -](?:natural|flat|sharp))|[b-g])"
    r"(?![ -](?:flat|sharp|natural|major|minor|seven|chord|dominant|half|dim|alt|sus|\d))"
    r"(?![\w'])[^,;:]*(?: is|, (?:which|that|it|this)(?:'s| is)) (?:just |really )?(?:the |an? )?$"
)  # "the first note on beat two is the flat five", "the G natural in bar sixteen is the sharp four"


# What is said of "it" is said of the chord that a sentence is about, not of the one that it is compared with.
BY_PRONOUN = pattern_of(
    r"(?:^|[,;] |\b(?:so|and|but) )(?:(?:i|you|we|just) )*(?:\w+ )?(?:it|that|this|which)(?:'s| is| as)? ?(?:\w+ )?$"
)
STEPS_FOLLOW = pattern_of(r", (?:then |and )?the (?:one|two|three|four|five|six|seven)\b")


def _claim_of(sentence: Sentence, said: ChordSaid, before: Sequence[ChordSaid]) -> Iterator[SymbolClaim]:
    """The claim that a chord's words make, by what stands before them."""
    text = sentence.text[: said.first]
    role = _role(text, said, before, sentence)
    role = role or ("be" if _is_apposed(text, said, before) else "")
    fronted = FRONTED.match(sentence.text, said.last) if said.sort in ("kind", "name", "step") else None
    role = role or ("be" if fronted else "")
    takes = role in ("be", "has", "does", "mark", "becomes") or (role == "named" and said.sort == "function")
    subject = _subject(text, before) if takes and not THERE_IT_IS.search(text) else None
    subject = before[-2] if subject is not None and _is_left(text, said, before) else subject
    by_pronoun = subject is not None and before[-1].sort == "name" and BY_PRONOUN.search(text)
    if by_pronoun and before[0].sort == "name":
        subject = before[0]
    if subject is not None and subject.sort == said.sort == "name":
        subject = None  # no chord is another: "it isn't B flat seven any more, it's B diminished"
    bar = OF_BAR.search(text[: _link(text)]) if role in ("be", "has") else None
    of_bar = bar is not None or (fronted is not None and role == "be")
    if role == "mark" and (subject is None or subject.sort != "nth"):
        role = ""
    if role == "does" and subject is None:
        role = ""
    role = role or ("named" if _closes_a_part(sentence, said) else "")
    if said.sort == "step" and STEPS_FOLLOW.match(sentence.text, said.last):
        role = ""  # one of several: "these are the three chord, the six and the two"
    if role in ("becomes", "reached") and not _is_moved(text, said, role, subject, sentence):
        role = ""
    if said.sort == "number" and (
        role != "be"
        or not (subject or of_bar or PLACED.search(text) or CHORD_ACTS.search(text))
        or _is_of_a_note(sentence, said, subject)
    ):
        role = ""
    if (
        pattern_of(r"\btriad" if said.sort == "function" else r"\btriads\b").search(text)
        and said.sort != "kind"
    ):
        role = ""
    in_row = pattern_of(r", (?:then |and )?(?:the )?\w+(?:[,.;]|$)").match(sentence.text[said.last :])
    if role:
        sure = said.sort in ("step", "function", "slash") or role in ("every", "none", "becomes")
        words = sentence.text[said.first : said.last]
        told = words.endswith("chord") and not OTHERWISE_SPELT.match(words)
        sounds = told and SOUNDS.search(text) and GOES_ON.match(sentence.text, said.last)
        sure = sure or bool(sounds) or (said.sort == "kind" and role == "be" and _is_a_chord(subject, text))
        sure = sure or (
            said.sort == "number" and (subject is not None or of_bar or said.applied) and not in_row
        )
        denied = NONE.search(text) if role == "none" else None
        first = said.first if by_pronoun else _first_word(sentence, said, subject, role)
        first = denied.start() if denied is not None else first
        yield SymbolClaim(
            "symbol",
            first,
            said.last,
            said.sort,
            sure=sure,
            said=said,
            subject=subject,
            role=role,
            of_bar=of_bar,
            bar=(bar["bare"] or "") if bar is not None else "",
        )


# What a line spells out over another chord as often.
OTHERWISE_SPELT = pattern_of(r"(?:fully? |passing )?(?:diminished|augmented)")
SOUNDS = pattern_of(
    rf"(?:^|[,;:] )(?:(?:and|so|now|here|then|okay|right) )*(?:(?:we're|we are) (?:still |now )?(?:on|{FACING})"
    r"|we (?:get|have|hear)"
    r"|(?:it|this|that|the (?:chord|harmony))(?:'s| is)) (?:just )?an? (?:\w+ )?$"
)
CHORD_ACTS = pattern_of(
    r"\b(?:chord|harmony)(?: here| now)? (?:functions|works|acts|serves|behaves|counts) as (?:the |our |a )?$"
)
# A step without its article is a chord's only where the chord is named right before: "A flat seven is flat seven".
IS_JUST = pattern_of(r"(?:\bis|'s|\bas) $")
NAMED_FIRST = pattern_of(r"(?:^|[,;:] )(?:(?:and|so|but|now|then|the|that|this|our) )*$")
IS_OR_ACTS = pattern_of(
    r"(?: chord)?(?: here)?(?:'s| is| acts as| works as| functions as| counts as)(?: an?)? "
)


def _is_of_a_note(sentence: Sentence, said: ChordSaid, subject: ChordSaid | None) -> bool:
    """Whether a number is a degree of a note, as far as its words tell."""
    text = sentence.text[: said.first]
    bare = pattern_of(STEP).fullmatch(sentence.text[said.first : said.last]) and IS_JUST.search(text)
    return bool(OF_A_NOTE.search(text)) or (bool(bare) and not _is_plainly_of(subject, text))


def _is_plainly_of(subject: ChordSaid | None, text: str) -> bool:
    """Whether what is said last is said of a chord by its name."""
    if subject is None or subject.sort != "name" or IS_OR_ACTS.fullmatch(text[subject.last :]) is None:
        return False
    return NAMED_FIRST.search(text[: subject.first]) is not None


def _is_a_chord(subject: ChordSaid | None, text: str) -> bool:
    """Whether what is said last is said of a chord that is called so: "the A flat chord is a major seventh"."""
    return _is_plainly_of(subject, text) and subject is not None and " chord" in text[subject.first :]


LEFT_FOR = pattern_of(
    r"(?:,? (?:(?:and )?then|(?:going |moving |sliding |falling |dropping |resolving |leading |down |right |back )*"
    r"(?:in)?to|before))(?: the| an?)? "
)


OPENS_WITH = pattern_of(
    r"(?:^|[;:,] |\b(?:and|then|here's|that's|it's|have|get|got) )(?:(?:so|now|then|and) )*(?:the |that |this "
    r"|an? )?$"
)
APPOSED = pattern_of(
    r"(?: in (?:bar |measure )?[\w-]+| here)?(?:,|:| -) (?:(?:really|just|simply|basically|namely) )?"
)


ADDED, PART_ENDS = (
    pattern_of(r"(?:,|:|;| -) (?:(?:our|so|namely|that is) )?$"),
    pattern_of(r"\s*(?:[.,;:!?]|$)"),
)


def _is_apposed(text: str, said: ChordSaid, before: Sequence[ChordSaid]) -> bool:
    """Whether what a chord does stands right after its name: "C7 flat nine, five of F minor"."""
    if not before or before[-1].sort != "name" or not said.applied:
        return False
    opens = OPENS_WITH.search(text[: before[-1].first])
    return opens is not None and APPOSED.fullmatch(text[before[-1].last :]) is not None


def _closes_a_part(sentence: Sentence, said: ChordSaid) -> bool:
    """Whether what a chord does is added to what was said of it: "A seven gets us to D, the five of five"."""
    added = ADDED.search(sentence.text[: said.first]) and PART_ENDS.match(sentence.text, said.last)
    return is_of_a_step(sentence, said) and added is not None


def is_of_a_step(sentence: Sentence, said: ChordSaid) -> bool:
    """Whether a chord is told by a step of another, and no note of it: "five of two", not "five of the one chord"."""
    return said.applied and said.sort == "step" and not sentence.text[: said.last].endswith(" chord")


def _first_word(sentence: Sentence, said: ChordSaid, subject: ChordSaid | None, role: str) -> int:
    """Where the words of a claim begin: with its subject, where they say nothing without it."""
    if subject is None or (said.sort != "function" and (role != "becomes" or said.sort != "kind")):
        return said.first
    is_place = said.sort == "kind" and sentence.text[: subject.last].endswith("chord")
    return said.first if is_place else subject.first


def _is_left(text: str, said: ChordSaid, before: Sequence[ChordSaid]) -> bool:
    """Whether a function is said of a chord that goes to another: "E flat seven to D7, that's the tritone sub"."""
    if said.sort != "function" or len(before) < 2 or before[-1].sort != "name" or before[-2].sort != "name":
        return False
    return LEFT_FOR.fullmatch(text[before[-2].last : before[-1].first]) is not None


def _there_of(sentence: Sentence, said: ChordSaid) -> Iterator[SymbolClaim]:
    """The claim that a bar has a chord, as one is spoken of that is said to be in it."""
    place = OF_ONE_BAR.match(sentence.text, said.last)
    before = sentence.text[: said.first]
    if place is not None and (OPENS.search(before) or (said.sort == "kind" and A_CHORD.search(before))):
        yield SymbolClaim("symbol", said.first, place.end(), said.sort, said=said, role="there", of_bar=True)


OF_THE_HARMONY = pattern_of(
    r"\b(?:we|we're|us|it|it's|this|that|which|harmony|chords?|changes|tune|piece|bridge|section|form"
    r"|song)\b|^\W*(?:and )?$"
)


OF_THE_LINE = pattern_of(
    r"\b(?:lines?|melody|scales?|runs?|licks?|arpeggios?|notes?|figures?|triplets?|motifs?|solo|horn)\b"
)


def _is_moved(text: str, said: ChordSaid, role: str, subject: ChordSaid | None, sentence: Sentence) -> bool:
    """Whether it is a chord that becomes another, or the harmony that goes to one."""
    if not GOES_ON.match(sentence.text, said.last):
        return False
    if role == "reached":
        harmony = OF_THE_HARMONY.search(text) and not OF_THE_LINE.search(text)
        is_chord = said.sort == "kind" and sentence.text[: said.last].endswith("chord")
        return (said.sort == "step" or is_chord) and bool(harmony)
    if pattern_of(r"\b(?:when|where|as|once|before|after)\b").search(text):
        return False
    chord = pattern_of(r"\b(?:chord|harmony|dominant)\b").search(text)
    return said.sort in ("kind", "step", "function") and bool(subject or chord)


def _link(text: str) -> int:
    """Where the words that join a chord to its subject begin."""
    link = LINK.search(text)
    return link.start() if link is not None else len(text)


def _subject(text: str, before: Sequence[ChordSaid]) -> ChordSaid | None:
    """The chord that was told last, if it is what is spoken of: right before, or with no other thing between."""
    if not before or pattern_of(r"[;:]|\b(?:and|then|but|while|where)\b").search(
        text[before[-1].last : _link(text)]
    ):
        return None
    return before[-1]


def _role(text: str, said: ChordSaid, before: Sequence[ChordSaid], sentence: Sentence) -> str:
    """How a chord's words are joined to what they are said of, or nothing."""
    if said.sort == "kind" and NONE.search(text):
        return "none"
    if said.sort == "kind" and EVERY.search(text):
        return "every"
    if said.sort == "function" and DOES.match(sentence.text, said.first):
        return "does"
    link = LINK.search(text)
    if link is not None and link["becomes"] and said.sort == "step" and not before and GOES_TO.search(text):
        return "reached"  # by what is no chord: "we move to the four chord"
    if link is not None:
        return link.lastgroup or ""
    named = said.sort == "function" or (
        said.sort == "name" and ENTERS.search(text) and GOES_ON.match(sentence.text, said.last)
    )
    named = named or (said.sort == "step" and SHOWN.search(text) and GOES_ON.match(sentence.text, said.last))
    return "named" if named else ""
