"""Whether a sentence says of this music what its words name, or denies it, wishes for it, or speaks of something else.

Common practice, no source. What is unsure is left alone: rules of theory, other players, other pieces, comparisons
and what a player is told to do claim nothing unless they name a bar.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.places import Place
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL

__all__ = ["WISHES", "is_located", "meant"]


def _any(*patterns: str) -> re.Pattern[str]:
    """Any of some patterns, as whole words."""
    return re.compile(rf"(?<!\w)(?:{'|'.join(patterns)})(?!\w)")


# Where it is said to be ----------------------------------------------------------------------------------

BAR = _any(
    rf"(?:bars?|measures?)(?: numbers?)? {NUMBER}",
    rf"(?:{ORDINAL}|last|final|opening|next|previous) (?:bar|measure)",
)
POINTING = _any(
    r"(?:bars?|measures?|here|beats?|down-?beat|these|of them)",
    r"th(?:is|at) (?:\w+ )?(?:line|phrase|passage|bar|measure|spot|lick|run|figure|chord|leap)",
)
STATING = _any(
    r"there(?:'s| is| are)",
    r"(?:we|you)(?:'ve| have)? (?:get|got|have|hear|see|find)",
    r"th(?:is|at)(?:'s| is)",
    r"now",
)


def is_located(sentence: Sentence) -> bool:
    """Whether a sentence says that something is in sight, so that it is false where it is not there."""
    return bool(POINTING.search(sentence.text) or STATING.search(sentence.text))


# What is denied ------------------------------------------------------------------------------------------

HEARING = r"(?:be able to|hear|see|find|notice|feel|spot|get|recognise|recognize|spell|tell|count)"
WISHES = (
    rf"\b(?:you|we|i|one) (?:could|might|should|would)(?: just| also| even| as well| "
    rf"just as well)*(?! {HEARING}| just {HEARING}| also {HEARING})\b"
    r"|\b(?:imagine|suppose|transpose|experiment|avoid|pretend|assume)\b|\b(?:you|we|i)'d\b(?! (?:like (?:you"
    r"|us) to|a|an|the|say|call|argue|hear|swear)\b)"
    r"|\bif\b(?! (?:you|we) (?:listen|look|hear|go back|count|follow|don't mind|you like|will))"
    r"|(?<!\byou'd )(?<!\bi'd )\bwould\b(?! (?:you (?:look|listen|believe|mind|hear)|say|call|argue))|\bwhat if\b"
    r"|\bcould (?:be|have)\b|\bmight (?:be|have|expect)\b|\byou(?:'d| would) expect\b"
    r"|\bhow about (?:an?|some|adding|trying)\b|\blet's say\b|\bthink (?:of|about)\b|\bfeel free\b"
    r"|\btempt(?:ing|s|ed)\b"
    r"|\bshould (?:you|we|i|it)\b|^\s*(?:were|had) (?:it|this|that|these|i|we|you)\b|\b(?:could"
    r"|might) (?:\w+ )?have\b"
    r"|\b(?:one|another|a|an|the|other) (?:\w+ )?(?:option|possibility|alternative)s?\b"
    r"|\b(?:swap|replace|change|exchange)\b|\bsubstitute (?:an?|the|it)\b|\b(?:swap|replac|chang|exchang)ing\b"
    r"|\bi (?:was going|was tempted|wanted|considered|thought|tried|meant|almost|nearly)\b"
    r"|\b(?:first|earlier|original|other|another) (?:version|draft|take|attempt)\b|\boriginally\b"
)
# What a player is advised to do with what is there: "try the enclosure in bar four".
ADVICE = (
    r"\b(?:try|practi[sc]e|isolate|loop|slow down)\b|\bi(?:'d| would) (?:like|love|want) (?:you|us) to\b"
    r"|\b(?:you|we|i) (?:can|may)\b"
)
ADVISED = re.compile(r"\b(?:the|that|this|your|our|its|these|those)(?: \w+){0,2} $")
NOT_AS_IT_IS = re.compile(
    r"\b(?:replace|swap|change|instead|substitut\w+|add|without|else|put|slower?|slowly|faster|metronome|keys?)\b"
)
DENIALS = (
    r"\b(?:no|not|never|without|zero|nary|divil|devil|free of|devoid of|innocent of|neither|nor|nothing|nobody"
    r"|no-?one|none|nowhere|cannot|ain't|\w+n't|hardly|barely"
    r"|scarcely|avoid(?:s|ing|ed)?|instead of|rather than|lacks?|lacking|missing|skip(?:s|ped|ping)?|omit(?:s|ted)?"
    r"|dodg(?:es?|ed|ing)|ignor(?:es?|ing)|refus(?:es?|ed)|fails?|leav(?:es?|ing) out|stay(?:s|ing|ed)? (?:away"
    r"|clear)"
    r"|steer(?:s|ing)? (?:away|clear)|let alone|except(?! that)(?: for)?|apart from|other than"
    r"|(?:anything|everything|all) but)\b"
)
# Two denials that say it is there: "don't miss the flat nine".
NOT_DENIED = (
    r"\b(?:don't|doesn't|can't|cannot|never|not|couldn't|won't) (?:\w+ )?"
    r"(?:miss|forget|overlook|ignore|skip over|skip|be afraid of|only|just|fail to)\b"
    r"|\bno (?:doubt|wonder|mistake|question|hurry|rush|surprise|secret|problem|need|time|sooner|longer|frills"
    r"|nonsense|fuss)\b"
    r"|\b(?:no|none|not|never|nothing|not one|not a single)\b(?=[^,;:]* (?:outside|leaves?|strays?|departs?)\b)"
    r"|\bwithout (?:delay|hesitation|hesitating|warning|fuss|further ado|apology|effort|haste|hurry|a break)\b"
    r"|\b(?:\w+n't|not|never|nothing)\b(?=[^,;:]* (?:until|till|before)\b)"
)
ALMOST = _any(
    r"almost(?: like| as if)?(?: (?:lands?|gets?|reaches|ends?|makes it|starts?)(?: on| to)?)?",
    r"nearly(?: (?:lands?|gets?|reaches|ends?|makes it|starts?)(?: on| to)?)?",
    r"not quite",
    r"as (?:if|though)",
    r"(?<!this )(?<!that )(?<!some )(?:kind|sort) of",
    r"a bit like",
    r"(?:more|less) of(?= an?)",
    r"less(?= an? )",
    r"compared (?:with|to)",
    r"unlike",
    r"remind(?:s|ed)?",
    r"resembl(?:es|ing|ed)",
    r"hint(?:s|ed|ing)? (?:at|of)",
    r"in place of",
    r"as (?!far|soon|long|early|late|well|much|many)\w+ as(?: any| an?)?",
    r"than(?: an?| the| any| just| simply| merely)*",
    r"(?:works?|acts?|behaves?) like",
    r"(?:called?|calls|mistake[ns]?|mistook|confuse[ds]?) (?:\w+ )?(?:this|that|it)",
)
DENIED_AFTER = (
    r"^ left (?:out|to|for|off)\b|^,? (?:sorry|no(?=,)|no(?= (?:it|the|wait|sorry|that's)\b)|wait|or rather"
    r"|scratch that|correction)\b"
    r"|^[^,;:]*?\b(?:(?:is|was|'s|are|were|has been|have been) (?:just |simply |deliberately )?(?:missing|absent"
    r"|left (?:\w+ )?(?:out|to|for)"
    r"|omitted|avoided|nowhere|skipped|gone"
    r"|(?:played|taken|covered) by the (?:bass|piano|band|rhythm))|(?:isn't|is not|aren't) (?:here|there|in)"
    r"|(?:doesn't|does not|never|don't) (?:appears?|comes?|sounds?|shows? up|happens?)(?! [^,;:]*(?:until|till"
    r"|before)))\b"
)
RHETORICAL = re.compile(
    r"^\W*(?:and |but |so |now )?(?:isn't|aren't|wasn't|doesn't|don't|didn't|ain't|hasn't|haven't|can't|won't) "
    r"(?:it|that|this|they|you|we|the|he|she|i)\b"
)
# What did not happen: "a natural nine would have ruined it".
UNREAL = (
    r"\b(?:would|could|might|should)(?:n't| not)?(?: normally| usually| just)? (?:have|be(?! able)|ruin|spoil|sound"
    r"|work|clash|go|use)\b"
)
# Whoever is not the player of this line.
OTHERS = _any(
    r"(?:players|pianists?|guitarists?|singers?|drummers?|bassists?|beginners|masters|students|people|teachers?"
    r"|everybody|everyone|somebody|someone|musicians|improvisers|soloists|composers|horns|books?|textbooks?)",
    r"(?:bass|piano|guitar|horn|trumpet|sax|bebop|blues|jazz) player",
    r"a (?:\w+ )?player",
    r"the (?:bass|piano|guitar|band|rhythm section|accompaniment|left hand)(?! (?:note|clef|line|part))",
    r"(?:your|my) (?:\w+ )?(?:bass|piano|pianist|left hand)",
)


# "The ninth, sorry, no, it is the root".
CORRECTED = re.compile(
    r"\b(?:sorry|wait|no)(?:,? (?:sorry|wait|no))*,? (?=(?:it|the|that|that's|it's|we|i|actually)\b)"
)


def _is_denied(sentence: Sentence, claim: Claim) -> bool:
    """Whether a denial or a wish stands before the claim in its own part of the sentence."""
    before, after = sentence.text[: claim.first], sentence.text[claim.last :]
    before = CORRECTED.split(before)[-1]
    if sentence.is_question:
        before = RHETORICAL.sub("", before)  # "isn't it sweet how you stop on the eleventh?"
    clause = re.split(r"[;:,]| but (?!the\b|an?\b)| because | so (?:that )?| and then | then ", before)[-1]
    whole = re.split(r"[;:]| but | yet ", before)[-1]
    if claim.kind == "device" and claim.name == "diatonic passage":
        return bool(re.search(WISHES, whole))
    return bool(
        re.search(DENIALS, re.sub(NOT_DENIED, "", clause))
        or re.search(rf"{ALMOST.pattern}[^,;:]{{0,12}}$", clause)
        or OTHERS.search(clause)
        or re.search(WISHES, whole)
        or re.search(DENIED_AFTER, after)
        or re.search(UNREAL, re.split(r"[;:]| but | yet ", sentence.text[claim.first :])[0])
        or re.search(UNREAL, whole)
    )


# What is said of all such things, of other music, or to the player -----------------------------------------

# What a player is told to do, wherever it may be.
TOLD = r"(?:^|[:;,] |\b(?:and|then|first|now) )(?:sing|add|think|play|practi[sc]e|learn|memori[sz]e|keep|use|hold)\b"
EACH = re.compile(
    r"^(?:and |but |so |here |now )*(?:each|every) (?!of the )\w+|\b(?:each|every one) of (?:the|these|those) $"
)
SOMEWHERE = r"\b(?:bars?|measures?|here|there|beat)\b"
LEAD = r"^\s*(?:and |but |so |now |remember,? (?:that )?|in general,? |generally,? )*"
# A statement about all such things: it begins with one of them, uncounted, or says "always".
RULES = re.compile(
    rf"{LEAD}(?:an? |any |every )?(?:(?:flat|sharp|raised|natural|major|minor) )?[\w-]+(?: \w+){{0,2}}? (?:is|are|can"
    r"|always|usually|often|likes?|wants?|tends?|sounds? (?:like|best|good|great)"
    r"|works?|needs?|never|should|must|will|makes?)\b"
)
ALWAYS = (
    r"\b(?:always|usually|often|generally|typically|as a rule|by definition|in theory|normally|commonly"
    r"|in general|tends? to|most players|every "
    r"player|(?:some|most|many|other) (?:players|people|teachers|students)|bread and butter|staple)\b"
)
PLURAL_START = (
    r"^(?:and |but |so )*(?:flat |sharp |raised )?(?:nines|ninths|thirteens|thirteenths"
    r"|elevens|enclosures|sequences|arpeggios|tensions|hemiolas|suspensions|anticipations"
    r"|motifs|upper structures|guide tones|triads)\b"
)
DEGREE = (
    "root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|three|five|seven|nine|eleven|thirteen"
)
CHORD_KIND = (
    r"(?:\w+ )?(?:dominants?|chords?|(?:major|minor|dominant|altered|diminished)(?: sevenths?| sevens?)?)"
)
# Sentences of theory, in which nothing is said to be anywhere.
THEORY = _any(
    rf"(?:of|over|on|in|above|against|to) (?:an?|any|every|most|all) {CHORD_KIND}",
    r"(?:in|over|on) (?:an?|any|every) (?:two five|turnaround|minor two|blues|cadence|\w+ (?:two five|cadence))",
    r"(?:whenever|wherever|(?:every|any|each) time (?:you|an?|the|there)|when(?:ever)? you (?:see|meet|play|have"
    r"|get))",
    rf"the (?:\w+ )?(?:{DEGREE}) (?:comes|derives|stems) from (?:the|a)(?: \w+){{1,2}} (?:scale|mode|minor|major)",
    r"belongs? to (?:the|a)(?: \w+){1,3} (?:scale|mode)",
    r"(?:is|are) (?:the same|another (?:name|word)|a(?:lso)? called|nothing but|just another|made of|built|what)",
    r"(?:tells?|tell) (?:you|us) (?:the|what|which|whether)",
    r"(?:gives?|means) (?:you|us)",
    r"(?:the|a) (?:\w+ )?(?:scale|mode|diminished|lydian|dorian|mixolydian|locrian)(?: dominant)? (?:is|has|contains"
    r"|consists|gives|includes)",
    rf"{ORDINAL} mode",
    r"matter of (?:taste|fact|opinion)",
    r"to (?:me|you) (?:is|it's)|to me$|to you$",
    r"learn to|get used to|fall in love with",
    r"(?:is|are) (?:your|my|our|a|the musician's) (?:best )?(?:friend|enemy|home|tool|trick|sound)s?",
    r"of a chord",
    r"on the beat, .{0,40} off the beat",
)
# Other music, and this music at large.
ELSEWHERE = _any(
    r"(?:next|last|previous|first|other|another|earlier|later|coming) (?:etude|chapter|lesson|video|episode|book"
    r"|study"
    r"|volume|piece|tune|solo)s?",
    r"(?:later|earlier) in (?:the|this) (?:book|series|course)",
    r"in a series",
    r"(?:forties|fifties|sixties|seventies|century|decade|era|tradition|history|those days|back then|generation)",
    r"other (?:tunes|pieces|etudes|songs|keys|players)",
    r"all (?:twelve|the|other) keys",
    r"by heart|your own|metronome",
)
AT_LARGE = _any(
    r"(?:full|packed|made|plenty|lots|a lot|loads) (?:of|with)",
    r"all about",
    r"all over(?: the place)?",
    r"everywhere",
    r"wrote (?:this|it)(?: one)?",
)


# What asks whether or which, and says nothing: "Is this a sequence?", "Which note is the sharp eleven?".
ASKING = re.compile(
    r"\s*(?:and |so |but |now |well,? )*(?:is|are|was|were|does|do(?! you (?:hear|see|notice|feel|remember|spot))"
    r"|where"
    r"|which|who|whose|why|how (?!about))\b"
)


def meant(sentence: Sentence, named: Sequence[Claim], places: Sequence[Place]) -> list[Claim]:
    """Those of a sentence's claims that are said of this music, neither denied nor only wished for.

    Args:
        sentence: what is said.
        named: what it names.
        places: where; a bar that is named makes sure that this music is meant.
    """
    asked = sentence.is_question and ASKING.match(sentence.text)
    in_a_bar = any(place.level == "bar" and place.spans and not place.pointed for place in places)
    if asked or (named and not in_a_bar and _is_general(sentence, named)):
        return [claim for claim in named if claim.stance == "found"]
    kept: list[Claim] = []
    for claim in named:
        if claim.stance == "found":
            kept.append(claim)
        elif _is_plainly_denied(sentence, claim):
            kept.append(replace(claim, stance="denied"))
        elif not _is_told(sentence, claim, in_a_bar) and not _is_denied(sentence, claim):
            kept.extend(_as_advised(sentence, claim, in_a_bar))
    return kept


# A denial that can be false: "no sharp nine in bar four", "bar six leaves out the root".
PLAIN_DENIAL = re.compile(
    r"\b(?:no|not (?:an?|one|a single)|without (?:an?|any|the)|(?:avoid|skip|lack|omit|leave out)s? (?:an?|the"
    r"|any|its)"
    r"|there (?:is|are)n't (?:an?|any))(?: single)? $"
)


OMITTED = re.compile(
    r" (?:is|was|has been)(?: \w+ly)? (?:omitted|missing|absent|left out|avoided|skipped)\b(?! (?:on|until|from)\b)"
)


def _is_plainly_denied(sentence: Sentence, claim: Claim) -> bool:
    """Whether a degree is said not to be in a bar, in so many words."""
    before, after = sentence.text[: claim.first], sentence.text[claim.last :]
    denied = PLAIN_DENIAL.search(before) or OMITTED.match(after)
    said = claim.kind == "degree" and denied and BAR.search(sentence.text)
    unsure = re.search(rf"{WISHES}|\bif\b|{UNREAL}|\b(?:but|until|except|just|only)\b", sentence.text)
    return bool(said) and not unsure and not re.match(r",? (?:but|just|only|instead|or)\b", after)


def _as_advised(sentence: Sentence, claim: Claim, in_a_bar: bool) -> Iterator[Claim]:
    """A claim as it is; one that is part of an advice only where it is sure to be one of this music."""
    clause = re.split(r"[;:,]", sentence.text[: claim.first])[-1]
    if not re.search(ADVICE, clause):
        yield claim
    elif in_a_bar and ADVISED.search(sentence.text[: claim.first]) and not NOT_AS_IT_IS.search(sentence.text):
        yield replace(claim, stance="touched")


def _is_told(sentence: Sentence, claim: Claim, in_a_bar: bool) -> bool:
    """Whether a claim is only part of what the player is to do, or holds of each of many."""
    told = not claim.sure and re.search(TOLD, sentence.text) and not in_a_bar
    told = told and not re.search(SOMEWHERE, sentence.text)
    uncounted = claim.count == -1 and claim.kind == "device" and not is_located(sentence)
    if uncounted and not re.search(r"\b(?:the|these|those|all|its|some) $", sentence.text[: claim.first]):
        return True
    shared = claim.kind == "degree" and EACH.search(sentence.text[: claim.first])
    return bool(told or shared)


def _is_general(sentence: Sentence, named: Sequence[Claim]) -> bool:
    """Whether a sentence is about all such things, about other music, or about this at large."""
    text = sentence.text.strip()
    if BAR.search(text):
        return False
    if re.search(ALWAYS, text) or re.search(PLURAL_START, text) or ELSEWHERE.search(text):
        return True
    if POINTING.search(text):
        return False
    return bool(THEORY.search(text) or AT_LARGE.search(text) or _is_rule(sentence, named[0]))


def _is_rule(sentence: Sentence, first: Claim) -> bool:
    """Whether the first claim of a sentence is what it speaks of, uncounted and nowhere."""
    rule = RULES.match(sentence.text) if re.match(rf"{LEAD}(?:an?|any|every) ", sentence.text) else None
    return rule is not None and first.first < rule.end()
