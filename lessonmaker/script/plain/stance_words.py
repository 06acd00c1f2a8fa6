"""What tells that a thing is not said of this music: denials, wishes, other players, rules, questions, as patterns.

Common practice, no source. A sentence is read in lower case, with plain signs (see `text`).
"""

from __future__ import annotations

import re
from functools import lru_cache

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.vocabulary import NUMBER, ORDINAL

__all__ = [
    "ADVICE",
    "ADVISED",
    "ALMOST",
    "ALWAYS",
    "ASKING",
    "AT_LARGE",
    "BAR",
    "CALLED",
    "CORRECTED",
    "DEFINITION",
    "DENIALS",
    "DENIED_AFTER",
    "EACH",
    "ELSEWHERE",
    "ELSE_OF",
    "HAS_IT",
    "LARGE",
    "LEAD",
    "LEAVING",
    "MADE_UP",
    "NOT_AS_IT_IS",
    "NOT_DENIED",
    "OTHERS",
    "OUT",
    "PLURAL_START",
    "POINTED",
    "POINTING",
    "RHETORICAL",
    "RULES",
    "SOMEWHERE",
    "STATING",
    "THEORY",
    "TOLD",
    "UNREAL",
    "WISHES",
    "is_not_of_it",
]


def _any(*patterns: str) -> re.Pattern[str]:
    """Any of some patterns, as whole words."""
    return pattern_of(rf"(?<!\w)(?:{'|'.join(patterns)})(?!\w)")


# What more than one of the parts below speaks of.
DEGREE = (
    "root|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|three|five|seven|nine|eleven|thirteen"
)


# Where it is said to be ----------------------------------------------------------------------------------

BAR = _any(
    rf"(?:bars?|measures?)(?: numbers?)? {NUMBER}",
    rf"(?:{ORDINAL}|last|final|opening|next|previous) (?:bar|measure)",
)
POINTING = _any(
    r"(?:(?<!many )(?<!few )(?<!any )(?:bars?|measures?)|here|beats?|down-?beat|these|of them)",
    r"th(?:is|at) (?:\w+ )?(?:line|phrase|passage|bar|measure|spot|lick|run|figure|chord|leap)",
)
POINTED = _any(rf"th(?:is|at) (?:\w+ )?(?:{DEGREE})")
STATING = _any(
    r"there(?:'s| is| are)",
    r"(?:we|you)(?:'ve| have)? (?:get|got|have|hear|see|find)",
    r"th(?:is|at)(?:'s| is)",
    r"now",
)


# What is denied ------------------------------------------------------------------------------------------

# What whoever points at something "would" or "should" do: "I should circle the flat nine".
HEARING = (
    r"(?:be able to|hear|see|find|notice|feel|spot|get|recogni[sz]e|spell|tell|count|look|listen|observe|note|remark"
    r"|admire|mention|mark|circle|underline|highlight|stress|emphasi[sz]e|draw|call|point|single out|direct|recommend"
    r"|be (?:grateful|glad|obliged|pleased|curious|sorry)|like (?:the|that|this|its|(?:you|us|everyone"
    r"|everybody) to))"
)
# What a player is to think of, whatever is there: "make up your own lick, maybe with a flat five in it".
MADE_UP = (
    r"\b(?:improvise|invent)\b"
    r"|\b(?:make up|write|compose|create|come up with|try) (?:[a-z]+ )?(?:[a-z]+ of )?your own\b"
)
WISHES = (
    rf"\b(?:you|we|i|one) (?:could|might|should|would)(?: just| also| even| as well| "
    rf"just as well)*(?! {HEARING}| just {HEARING}| also {HEARING})\b"
    r"|\b(?:imagine|suppose|transpose|experiment|avoid|pretend|assume)\b"
    r"|\b(?:you|we|i)'d\b(?! (?:never (?:guess|know)|like (?:you"
    r"|us) to|a|an|the|say|call|argue|hear|swear|read|label|analy[sz]e|notate|describe)\b)"
    r"|(?<!\byou'd )(?<!\bi'd )\bwould\b(?! (?:you (?:look|listen|believe|mind|hear)|say|call|argue"
    r"|draw|point|mention|tell|explain))|\bwhat if\b"
    r"|\bif\b(?! (?:ever\b|i(?:'ve| have)? ever\b|i may\b|anything\b"
    r"|(?:you|we) (?:ask|please|listen|look|hear|go back|count|follow|don't mind|like(?! to\b)|will)))"
    r"|\bcould (?:be|have)\b|\bmight (?:be|have|expect)\b|\byou(?:'d| would) expect\b"
    r"|\bhow about (?:an?|some|adding|trying)\b|\blet's say\b|\bthink (?:of|about)\b(?![^;:]* as\b)|\bfeel free\b"
    r"|\btempt(?:ing|s|ed)\b"
    r"|\bshould (?:you|we|i|it)\b|^\s*(?:were|had) (?:it|this|that|these|i|we|you)\b|\b(?:could"
    r"|might) (?:\w+ )?have\b"
    r"|\b(?:one|another|a|an|the|other) (?:\w+ )?(?:option|possibility|alternative)s?\b"
    r"|\b(?:swap|replace|change|exchange)\b|\bsubstitute (?:an?|the|it)\b|\b(?:swap|replac|chang|exchang)ing\b"
    r"|\bi (?:kept (?:wanting|trying)|was going|was tempted|wanted|considered|thought|toyed"
    r"|tried|meant|almost|nearly)\b"
    r"|\b(?:first|earlier|original|other|another) (?:version|draft|take|attempt)\b|\boriginally\b"
    r"|\bi (?:\w+ )?wish\b|\bused to\b|\b(?:one|some) day\b|\b(?:my|a) (?:first|second) (?:thought|idea)\b"
    r"|\b(?:hop|pray|wish)(?:ed|ing) for an?\b"
    r"|\b(?:you|we|i|they)'ll (?:put|add|try|write)\b|\bmight as well\b|\bpromise of\b"
    rf"|{MADE_UP}|\bif only\b"
    r"|\b(?:cr(?:y|ies) out|begs?) for\b|\btoo \w+ for an?\b|\bin my version\b|\blet's (?:add|put|try)\b"
    r"|(?:^|[,;:] |\b(?:and|then) )(?:put|add|slip|sneak|insert|stick) an?\b|\bnext (?:year|time|chorus)\b"
    r"|\btry (?:it|this|that|them|the same|starting|ending|beginning|playing|singing)(?: (?:again|also|then))? "
    r"(?:\w+ing|on|from|with|in|as|over)\b"
    r"|\bwhether\b|\b(?:like|love|enjoy|prefer|fancy|fond of)(?: to)? (?:add|insert|put|slip|sneak|squeeze|throw"
    r"|try|us)(?:e|ing|t?ting)? an?\b"
)
# What a player is advised to do with what is there: "try the enclosure in bar four".
ADVICE = (
    r"\b(?:try|practi[sc]e|isolate|loop|slow down)\b|\bi(?:'d| would) (?:like|love|want) (?:you|us) to\b"
    rf"|\b(?:you|we|i) (?:can(?!'t)|may)\b(?! (?:just |also |even |clearly |still )?{HEARING})"
)
ADVISED = pattern_of(r"\b(?:the|that|this|your|our|its|these|those)(?: \w+){0,2} $")
NOT_AS_IT_IS = pattern_of(
    r"\b(?:replace|swap|change|instead|substitut\w+|add|without|else|put|slower?|slowly|faster|metronome|keys?)\b"
)
DENIALS = (
    r"\b(?:no|not|never|without|zero|nary|divil|devil|free of|devoid of|innocent of|neither|nor|nothing|nobody"
    r"|no-?one|none|nowhere|cannot|ain't|\w+n't|hardly|barely"
    r"|scarcely|avoid(?:s|ing|ed)?|instead of|rather than|lacks?|lacking|missing"
    r"|skip(?:s|ped|ping)?(?! (?:from|up|down|to|over (?:to|into)|around|along)\b)"
    r"|omit(?:s|ted)?"
    r"|dodg(?:es?|ed|ing)|ignor(?:es?|ing)|refus(?:es?|ed)|fails?|leav(?:es?|ing) out|stay(?:s|ing|ed)? (?:away"
    r"|clear)"
    r"|steer(?:s|ing)? (?:away|clear)|let alone|except(?! that)(?: for)?|apart from|other than"
    r"|(?:anything|everything|all) but|far from|stop(?:s|ped|ping)? short of|(?:comes?|came|coming) (?:close|near) to"
    r"|in vain|def(?:y|ies) (?:you|anyone|anybody)"
    r"|withh[eo]lds?|den(?:y|ies|ied)|declin(?:es?|ed)|owes?(?! (?:its|everything|all|much"
    r"|a lot)\b)|half a mind"
    r"|few (?=would\b|people\b|players\b))\b"
)
# Two denials that say it is there: "don't miss the flat nine".
NOT_DENIED = (
    r"\b(?:don't|doesn't|can't|cannot|never|not|couldn't|won't) (?:\w+ )?"
    r"(?:miss|forget|overlook|ignore|skip over|skip|be afraid of|only|just|fail to)\b"
    r"|\b(?:don't|do not|never|not) let (?=th(?:e|is|at)\b)"
    r"|\b(?:never|not) (?:tired?|be without|do without|get enough|cease)\b"
    r"|\b(?:won't|can't|cannot|couldn't|doesn't|never) (?:\w+ )?(?:let go of"
    r"|leave (?=(?:the|that|its) [\w ]{3,20} alone)|get enough of|get away from|stay away from)\b"
    r"|\bnothing (?:wrong|amiss|but|other than|more than|less than|happens|fancy|wild|crazy|dramatic|special"
    r"|unusual|new|complicated|exotic|strange"
    r"|mysterious|(?:\w+ )?to (?:fear|worry about|be afraid of))\b"
    r"|\b(?:nobody|no-?one|none of (?:us|you))(?: [\w-]+){0,4}? (?:expect(?:s|ed)?|notic(?:es|ed)|talks? about|minds?"
    r"|saw|sees?(?=[^,;:]* coming\b)|believe[sd]?|complain(?:s|ed)? about)\b"
    r"|\b(?:can't|cannot|couldn't|won't|never|no-?one|nobody|no)\b[^,;:]* without (?:(?:ever|even"
    r"|just) )?(?:\w+ing|an?|the)\b"
    r"|\b(?:nothing|no (?:other )?(?:note|pitch|tone)|none|nowhere)\b[^,;:]* (?:higher|lower|longer|shorter) than\b"
    r"|\bno (?:further|farther|higher|lower|deeper)\b"
    r"|\bthink nothing of\b|\b(?:never|not|\w+n't) (?:have )?(?:guess|suspect|believe)d?\b"
    r"|\bnothing (?:but|other than|else but|except)\b"
    r"|\bno (?:doubt|wonder|mistake|question|hurry|rush|surprise|secret|problem|need|time|sooner|longer|frills"
    r"|nonsense|fuss)\b"
    r"|\b(?:no|none|not|never|nothing|not one|not a single)\b(?=[^,;:]* (?:outside|leaves?|strays?|departs?)\b)"
    r"|\bwithout (?:delay|hesitation|hesitating|warning|fuss|further ado|apology|effort|haste|hurry|a break)\b"
    rf"|\bwithout (?!(?:an?|any|the|its|their|this|that|one|flat|sharp|{DEGREE}s?)\b)\w+(?= (?:in)?to\b)"
    r"|\bskip(?:s|ped|ping)?\b(?=[^,;:]* (?:up|down|to)\b)"
    rf"|\bno (?=(?:bar|measure)s? {NUMBER})|\b(?:wait|sorry|oops),? no\b"
    r"|\b(?:\w+n't|not|never|nothing)\b(?=[^,;:]* (?:until|till|before)\b)"
)
ALMOST = _any(
    r"coming up (?:on|to)",
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
    r"|^[^,;:]*?\b(?:(?:is|was|'s|are|were|has|have|has been|have been) (?:just |simply |deliberately )?"
    r"(?:missing|absent|gone missing|left (?:\w+ )?(?:out|to|for)"
    r"|omitted|avoided|nowhere|skipped|gone"
    r"|(?:played|taken|covered) by the (?:bass|piano|band|rhythm))|(?:isn't|is not|aren't) (?:here|there"
    r"|in(?! (?:the|our|this|that|its) (?:home |printed )?(?:key|scale|chord)\b))"
    r"|(?:doesn't|does not|never|don't) (?:appears?|arrives?|comes?|sounds?|shows? up"
    r"|happens?)(?! [^,;:]*(?:until|till"
    r"|before)))\b"
)
# "We leave the third to the piano", "I kept the root out of it".
LEAVING = pattern_of(r"\b(?:keeps?|kept|keeping|leaves?|left|leaving) (?:the|its|that|an?)(?: [\w-]+)? $")
OUT = pattern_of(
    r"[^,;:]* (?:out|(?:to|for) (?:the|your|our|my|his|her) (?:\w+ )?(?:bass|piano|guitar|band|left hand|\w+ist))\b"
)
RHETORICAL = pattern_of(
    r"^\W*(?:and |but |so |now |ok |okay )?(?:can|could|will|would|does|did) (?:everybody|everyone|somebody|someone)\b|"
    r"^\W*(?:and |but |so |now )?(?:isn't|aren't|wasn't|doesn't|don't|didn't|ain't|hasn't|haven't|can't|won't) "
    r"(?:it|that|this|they|you|we|the|he|she|i)\b"
)
# What stands after a degree of another chord, or a scale of which it is told what it has wherever it is.
ELSE_OF = pattern_of(
    r" (?:(?:that|which) )?(?:my|his|her|their) \w+ (?:hum|lik|play|sang|sing|taught|us|whistl"
    r"|wrote)(?:e?[sd]|med)?\b"
    r"| (?:called|known as|referred to as)\b"
    r"| of (?:the|a|that) (?:(?:chord|one|harmony|dominant)s?)(?: (?:that|which))?"
    r" (?:it (?:replaces|stands for)|(?:we|you|i)(?:'ve| have)?"
    r" (?:left out|skipped|(?:don't|didn't|never) (?:play|hear)|expected?))\b"
)
HAS_IT = pattern_of(
    r" (?:(?:does|do|can)(?:n't| not) (?:have|contain|include)|contains|has no|includes|knows no|offers)\b"
)
# What did not happen: "a natural nine would have ruined it".
UNREAL = (
    r"\b(?:would|could|might|should)(?:n't| not)?(?: normally| usually| just)? (?:have|be(?! able)|ruin|spoil|sound"
    r"|work|clash|go|use|do with)\b"
    r"|\b(?:thing|sound|idea|exercise|trick|one) (?:to try|worth trying|to experiment with)\b"
    r"|\bin (?:my|your|our|his|her) (?:head|mind)\b"
)
# "Some call it a flat five" only tells the word.
CALLED_SO = r"\bcalls? (?:it|that|this|them)\b"
# Whoever is not the player of this line.
OTHERS = _any(
    r"(?<!to )(?:players|pianists?|guitarists?|singers?|drummers?|bassists?|beginners|masters|students|colleagues"
    r"|people"
    r"|teachers?|everybody(?!'s)|everyone(?!'s)|somebody|someone|musicians|improvisers|soloists|composers|horns)",
    r"(?:text)?books?(?= (?:says?|tells?|calls?|would|will|do|does|teach\w*|has|have|like|put)\b)",
    r"some(?= (?:call|say|think|hear|prefer|like|would|swear)\b)",
    r"any (?:beginner|child|fool|idiot|player|student)",
    r"(?:bass|piano|guitar|horn|trumpet|sax|bebop|blues|jazz) player",
    r"(?:ask|tell|get|have|let) (?:your|the|a|my|any) (?:\w+ )?(?:player|\w+ist|drummer|singer|friend"
    r"|teacher|band|class|partner)"
    r" (?:to )?",
    r"a (?:\w+ )?player",
    r"(?:my|your|our) (?:\w+ )?(?:brother|sister|friend(?! the\b)|teacher|(?:grand)?(?:mother|father)|uncle"
    r"|aunt|boss|cat|cousin|daughter|dentist|dog|husband|landlady|neighbour|colleague|son|wife)s?",
    r"(?:an?|some) (?:student|pupil|friend|colleague)s? of (?:mine|ours)",
    r"(?:anybody|anyone|whoever|those) who (?:hears?|finds?|sees?) an?",
    r"(?<!against )(?<!over )(?<!above )the (?:bass|piano|guitar|band|rhythm section|accompaniment|left hand)"
    r"(?! (?:note|clef|line|part))",
    r"(?:your|my) (?:\w+ )?(?:bass|piano|pianist|left hand)",
)
# What is not said of this line.
NOT_OF_IT = pattern_of(rf"{OTHERS.pattern}|{WISHES}|{UNREAL}")


@lru_cache(maxsize=1)  # of one sentence it is asked for many times
def is_not_of_it(text: str) -> bool:
    """Whether a sentence says something of others, or something that is wished for."""
    return NOT_OF_IT.search(text) is not None


# "The ninth, sorry, no, it is the root".
CORRECTED = pattern_of(
    r"\b(?:sorry|wait|no)(?:,? (?:sorry|wait|no))*,? (?=(?:it|the|that|that's|it's|we|i|actually)\b)"
)


# What is said of all such things, of other music, or to the player -----------------------------------------

# What a player is told to do, wherever it may be.
TOLD = r"(?:^|[:;,] |\b(?:and|then|first|now) )(?:sing|add|think|play|practi[sc]e|learn|memori[sz]e|keep|use|hold)\b"
EACH = pattern_of(
    r"^(?:and |but |so |here |now )*(?:each|every) (?!of the )\w+|\b(?:each|every one) of (?:the|these|those) $"
)
SOMEWHERE = r"\b(?:bars?|measures?|here|there|beat)\b"
ASIDES = r"remember,? (?:that )?|in general,? |generally,? |strictly speaking,? |technically,? "
OPENING = r"(?:ah|all ?right|anyway|honestly|listen|look|now|ok|okay|right|see|well|yes|you know),? "
LEAD = rf"^\s*(?:and |but |so |now |{OPENING}|{ASIDES})*"
# A statement about all such things: it begins with one of them, uncounted, or says "always".
RULES = pattern_of(
    rf"{LEAD}(?:an? |any |every )?(?:(?:flat|sharp|raised|natural|major|minor) )?[\w-]+(?: [\w-]+){{0,2}}?"
    r" (?:(?:is|are)(?! (?:heard|played|sounded|struck|touched|added|reached|introduced|stated|here|there|what)\b)"
    r"|can|may|always|usually|often|likes?|wants?|tends?|sounds? (?:like|best|good|great)"
    r"|works?|needs?|never|should|must|will|makes?)\b"
)
# What a word means, or such a thing has or does wherever it is: "a suspension, remember, means preparation".
DEFINITION = pattern_of(
    rf"{LEAD}(?!(?:the|this|that|these|those|its|our|your|my|here|there|it|he|she|we|you|i|bar|measure|each"
    rf"|both|which)\b)"
    r"(?:(?P<a>an?|any|every|one) )?[\w-]+(?: [\w-]+){0,2}?(?:,[^,;:]{1,60},)?"
    r" (?:means?|consists? of|denotes?|refers? to|stands? for"
    r"|(?(a)(?:belongs|borrows|comprises|contains|derives|implies|presupposes|replaces|requires|shares)|(?!)))\b"
    r"(?! (?:us|you|we|business|trouble))"
)
DEGREE_NAME = rf"(?:(?:flat|sharp|raised|natural|major|minor) )?(?:{DEGREE})"
ANY_SUCH = rf"{LEAD}(?:an?|any) [\w-]+(?: [\w-]+){{0,2}}?(?:,[^,;:]{{3,60}},)? ?"
# What there are many of wherever there is music.
MANY = (
    r"(?:keys|chords|dominants|tonics|scales|modes|lines|phrases|solos|melodies|tunes|bridges|players|seconds|thirds"
    r"|fourths|fifths|sixths|sevenths|ninths|nines|elevens|elevenths|thirteens|thirteenths|roots|tensions|arpeggios"
    r"|triads|sequences|enclosures|suspensions|anticipations|approaches|cadences|turnarounds|intervals|leaps|steps"
    r"|passing notes|leading (?:notes|tones)|guide tones|grace notes|pickups|upbeats|upper structures|majors|minors"
    r"|half-diminisheds|tritone subs|substitutions|two-fives|anticipation|syncopation|chromaticism|repetition"
    r"|dissonance|consonance|silence)"
)
ALWAYS = (
    r"\b(?:always|usually|as a general (?:matter|rule)|\w+ times out of (?:ten|a hundred)|more often than not"
    r"|nine days out of ten|seldom|rarely|sooner or later|no matter (?:what|which)|"
    r"often|generally|typically|as a rule|by definition|in theory|normally|commonly"
    r"|in general|in the \w+ (?:run|course|way) of things|tends? to|most players|every "
    r"player|(?:some|most|many|other) (?:players|people|teachers|students)"
    r"|(?<!this is )(?<!that's )(?<!it's )bread and butter|staple)\b"
)
PLURAL_START = (
    r"^(?:and |but |so )*(?:flat |sharp |raised )?(?:nines|ninths|thirteens|thirteenths"
    r"|elevens|enclosures|sequences|arpeggios|tensions|hemiolas|suspensions|anticipations"
    r"|motifs|upper structures|guide tones|triads)\b"
    r"|^(?:and |but |so )*(?:(?:half-)?diminished|augmented|altered|minor|major|dominant|whole-tone|pentatonic|sus)"
    r"(?: seventh| seven)? (?:chords|scales|arpeggios|sevenths|sevens|modes)\b"
)
CHORD_KIND = (
    r"(?:\w+ )?(?:dominants?|chords?|(?:major|minor|dominant|altered|diminished)(?: sevenths?| sevens?)?)"
)
OF_A_KIND = (
    r"(?:(?!(?:all|both|each|every|here|its|my|no|our|some|such|that|the|their|these|this|those|two|three|four|five"
    r"|six|seven|eight|your)\b)[\w-]+ )"
)
# What a thing is by its name, or is called: no other words of the sentence point at this music.
CALLED = _any(
    rf"{ANY_SUCH}(?:is|are|'s|was)(?: (?:just|simply|only|really|basically|nothing more than|no more than))*"
    r" (?:any\w*|whatever|when(?:ever)?|where(?:ver)?|how|what|one (?:that|which|whose|where)"
    r"|(?:two|three|four|five) \w+|something|nothing but"
    r"|an? (?:\w+ ){0,3}(?:that|which|whose|where|without|with|held|struck|made|built|minus))",
    r"^\W*(?:and |but |so |now )?(?:what|which) (?:we|they|i|you|people|some|most|theory books|the books) "
    r"(?:\w+ )?call\b[^;:]* (?:is|means|are)",
    r"by (?:an?|the word) [\w -]{3,30}?,? (?:i|we|they|people|one|musicians) (?:\w+ )?(?:means?|understands?)",
    r"(?:the )?(?:word|term|name|expression) [\"'\w -]{3,30}? "
    r"(?:means?|meant|comes?|came|is|was|says|tells|refers|used to)",
    r"rules? of thumb",
    r"the difference between",
    r"^\W*(?:and |but |so |now )?you (?:hear|see|meet|get|find|have|play) (?:an?|any|the) [^;:]{3,40}, (?:and )?you"
    r" (?:think|know|play|go|get|can|should|reach|want)",
    r"(?:as soon as|in case|every time|each time|any time|whenever|once) (?:an?|any)",
    r"one (?:man|woman|person|player|ear)'s",
    r"that's (?:physics|life|nature|the law|gravity|human nature|(?:just )?(?:how|what) \w+ (?:do|does"
    r"|works?|goes?|go))",
    r"(?:took|takes?|cost) (?:\w+ ){1,4}(?:years?|months?|weeks?|days|hours?|lifetimes?|tries|takes)",
    r"(?:trick|secret|thing|beauty|trouble|problem|joy|point|danger|art) (?:with|about|of|to"
    r"|in) (?:\w+ )?(?:\w+s|an? \w+)"
    r"(?: \w+)? is",
    r"the (?:rule|law|principle|recipe|formula) (?:here )?(?:is|says|goes)",
    rf"{LEAD}(?:(?:half-)?diminished|augmented|altered|dominant|suspended|sus|lydian(?: dominant)?|dorian"
    r"|phrygian(?: dominant)?"
    r"|mixolydian|locrian|aeolian)(?:,[^,;:]{3,40},)? (?:is|means)"
    r"(?: (?:just|simply|only|really|basically|nothing but|no more than))*"
    r" (?:an?|the|(?:harmonic|melodic|natural) minor|major)",
    r"is the \w+est of (?:all )?the \w+s",
    r"^\W*if (?:an?|any) ",
    r"an? (?:bar|measure|octave|chord|scale|phrase|chorus|triad|arpeggio) (?:has|contains|lasts|consists)",
    rf"{LEAD}{OF_A_KIND}?{MANY} (?:is|are)(?: (?:just|simply|only|really|basically))* an? [^,;:]{{1,40}}?"
    r" (?:that|which|when|where|whose)",
    r"what(?:'s| is) an? [\w-]+(?: (?!doing\b|here\b|there\b)[\w-]+){0,2}\?"
    r"(?= (?:a|an|any|it's|that's|when|whatever) )",
    r"when (?:i|we|they|people) say [\w -]{3,30}(?=,)",
    r"^\W*to \w+ [^,;:]{3,30} (?:is|means)(?: (?:just|simply|only|really))? to",
    r"(?:whatever|whichever) (?:the )?(?:chord|harmony|key|note|scale|tune)",
    r"(?:i|we) (?:was|were) (?:taught|told)",
    rf"{LEAD}(?:anybody|anyone|anything|whoever)",
    r"(?:once|twice|(?:two|three|four) (?:in a row|times)) is an?",
    r"(?:gets?|got|has|had|owes?|owed|takes?|took) (?:its|their|the) name",
    rf"{LEAD}(?:any|each|every) (?:[\w-]+ )?(?:key|mode|scale) (?:has|contains|needs|wants|can|is|comes)",
    r"(?:a|any) (?:few )?words? (?:about|on) (?:an? )?\w+s?(?=[.!]?$)",
    rf"{LEAD}when(?:ever)? [^;:]{{3,80}} (?:we|you|i|they|people|musicians) (?:\w+ )?call (?:that|this|it|them) an?",
    rf"{LEAD}(?:an?|every|any|each|no|most|all) (?:(?!of\b)[\w-]+ ){{0,4}}?{CHORD_KIND}"
    r" (?:has|have|contains?|carr(?:y|ies)|needs?|wants?|can)",
    r"(?:is|it's|are|that's) in (?:its|their) (?:nature|blood|bones)",
)
# Any of many, with no word that counts it: "dominants love ...", "a sequence that goes on ... gets boring".
AT_LARGE_VERB = (
    r"(?:adores?|aims? (?:for|at)|asks? (?:for|to)|begs?|calls? (?:for|on)|craves?|gets? (?:boring|dull|old|stale"
    r"|tiresome|tired)|hates?|hungers?|leads? you|likes?|longs?|loves?|needs?|prefers?|requires?|tends?"
    r"|wants?|yearns?"
    r"|makes? (?:sense|it sound)|works?)"
)
LARGE = pattern_of(
    rf"{LEAD}(?:an? [^,;:]{{3,60}}?|{OF_A_KIND}{{0,2}}?{MANY}(?: (?:that|which|who|with|in|on|of|built|made)"
    r" [^,;:]{3,40}?)?)"
    rf"(?:,[^,;:]{{3,40}},)? {AT_LARGE_VERB}\b"
    rf"|{LEAD}{OF_A_KIND}?{MANY} (?:(?:built|made) [^,;:]{{3,30}}? )?"
    rf"(?:always |usually |often |never |simply |just )?(?:are|have|do|come|go|borrow"
    r"|share|take|belong|carry|consist|contain|mean|move|resolve|sit|sound|stand|start|end|rest|tell|lead"
    r"|give|make|keep|get|fall"
    r"|rise|differ|exist|happen|live|work)\b(?! (?:here|in (?:bar|this|that|these|both)))"
    rf"|{LEAD}with an? [^,;:]{{3,30}} you (?:can|get|have|need)\b"
    rf"|{LEAD}an? [\w-]+(?: [\w-]+)?? (?:that|which) [^;:]{{5,80}} (?:can|doesn't|feels|gives|has|is|isn't"
    rf"|leaves|lets|makes"
    r"|means|never|says|shows|sounds|tells|will|won't)\b"
    rf"|^\W*(?:the|an?) (?:{DEGREE_NAME}),"
    r" (?:remember|as you know|in case (?:any|you)[^,;:]*|mind you|of course|you see), "
)
# Sentences of theory, in which nothing is said to be anywhere.
THEORY = _any(
    r"(?:melodic|harmonic|natural) minor (?:has|is|contains|gives)",
    r"(?:scale|mode) (?:comes|derives|stems) from",
    rf"(?<!'re )(?<!\bare )(?<!'re now )(?<!'re still )(?:of|over|on|in|above|against|to) (?:an?|any|every|most|all)"
    rf" {CHORD_KIND}",
    r"(?:in|over|on) (?:an?|any|every) (?:two five|turnaround|minor two|blues|cadence|\w+ (?:two five|cadence))",
    r"(?:whenever|wherever|(?:every|any|each) time (?:you|an?|there)|when(?:ever)? you (?:see|meet|play|have"
    r"|get)(?! (?:it|this|that|them)\b))",
    rf"the (?:\w+ )?(?:{DEGREE}) (?:comes|derives|stems) from (?:the|a)(?: \w+){{1,2}} (?:scale|mode|minor|major)",
    r"belongs? to (?:the|a)(?: \w+){1,3} (?:scale|mode)",
    r"(?:is|are) (?:the same|another (?:name|word)|a(?:lso)? called|nothing but(?! (?:the|our) (?:\w+ )?(?:one"
    r"|two|three|four|five|six|tonic)\b)|just another|made of|built"
    r"|what(?! (?:i|i'd|we|we'd|you(?:'ll)? (?:aim|should|want)|\w+s (?:it|this|that|us))\b))",
    r"(?<!will )(?<!can )(?<!to )tells? (?:you|us) (?:the|what|which|whether)",
    r"means (?:you|us)",
    r"(?:is|are)(?:,[^,;:]{3,40},)? the (?:domain|hallmark|mark|privilege|property|province|sign|stuff|territory"
    r"|trademark) of",
    r"(?:half[- ]whole|whole[- ]half|whole[- ]tone|diminished|altered|lydian|dorian|mixolydian|locrian|phrygian"
    r"|aeolian|scale|mode|pentatonic)(?: diminished| dominant| scale| mode)?"
    r" gives? (?:you|us)",
    r"(?:the|a) (?:[\w-]+ ){0,3}(?:scale|mode|diminished|lydian|dorian|mixolydian"
    r"|locrian)(?: dominant)? (?:is(?! (?:just |simply |still )?(?:[b-g]|a (?:flat|sharp))(?![\w']))|has|contains"
    r"|consists|gives|includes)",
    rf"{ORDINAL} mode",
    r"matter of (?:taste|fact|opinion)",
    r"to (?:me|you) (?:is|it's)|to me$|to you$|is to (?:some|many|most|one man|one)",
    r"learn to|get used to|fall in love with",
    r"(?:is|are) (?:your|my|our|a|the musician's) (?:best )?(?:friend|enemy|home|tool|trick|sound)s?",
    r"an? (?:(?:minor|major|altered|plain) )?(?:tonic|dominant|subdominant)(?: chord)? (?:may|can|has|takes|carries"
    r"|wants)",
    r"of a chord",
    r"what makes an?",
    r"on the beat, .{0,40} off the beat",
)
# Other music, and this music at large.
ELSEWHERE = _any(
    r"(?:next|last|previous|first|other|another|earlier|later|coming) (?:etude|chapter|lesson|video|episode|book"
    r"|study"
    r"|volume|piece|tune|solo)s?",
    r"(?:later|earlier) in (?:the|this) (?:book|series|course)",
    r"in a series",
    r"(?:any|each|every) [\w-]+ in the (?:book|world|repertoire|literature|catalogue|universe)|(?:quarter"
    r"|half|rest|end"
    r"|pages?) of the (?:book|course)",
    r"(?:forties|fifties|sixties|seventies|century|decade|era|tradition|history|those days|back then|generation)",
    r"other (?:tunes|pieces|etudes|songs|keys|players)",
    r"(?:last|next) (?:week|month|night|summer|winter|spring|term|semester|(?:mon|tues|wednes|thurs|fri|satur|sun)day)"
    r"'s|(?:yesterday|tomorrow)(?:'s)?",
    r"next (?:week|month|time),? (?:we|i)(?:'ll| will)",
    r"used to (?:joke|say|tell)",
    r"by any other name",
    r"(?:was|were) (?:considered|frowned|looked|regarded|seen|thought of|treated)",
    r"(?:hundreds?|thousands?) (?:of )?years|centuries",
    r"(?:ballad|one|piece|record|song|standard|tune) (?:that )?(?:i'm|we're|you're) (?:talking|thinking) (?:about|of)",
    r"there's an? (?:\w+ )?(?:ballad|record|song|standard|tune)",
    rf"(?:chapter|class|episode|etude|lesson|study|unit|video|volume) {NUMBER}",
    r"(?:chapter|etude|lesson|piece|study|tune|video) (?:after|before) (?:this|that)",
    r"in the \w+ version",
    r"the (?:\w+ )?one in [a-g](?: flat| sharp)?",
    r"the one (?:that )?(?:i|we|you) (?:did|had|heard|learned|learnt|looked at|played|studied)",
    r"(?:when|before|after) (?:i|we) (?:first )?(?:began|started|was|were|studied|took up|came up)|in my (?:day|youth)",
    r"when(?:ever)? (?:i|we|you|one) (?:\w+ )?(?:get|have|hear|hit|meet|play|reach|see|sing)s? an?"
    r"(?! (?:bar|measure)\b)",
    r"all (?:twelve|the|other) keys",
    r"by heart|your own|metronome",
    r"thing (?:that )?(?:he|she|they|my [\w-]+) (?:ever |first )?(?:taught|teach|tell|told)s? (?:me|us|you)",
)
AT_LARGE = _any(
    r"(?:full|packed|made|plenty|lots|a lot|loads) (?:of|with)",
    r"all about",
    r"all over(?: the place)?",
    r"everywhere",
    r"wrote (?:this|it)(?: one)?",
    r"(?:some|most|other|many) (?:days|nights|mornings|evenings|weeks)",
)


# What asks whether or which, and says nothing: "Is this a sequence?", "Which note is the sharp eleven?".
ASKING = pattern_of(
    r"\s*(?:and |so |but |now |well,? )*(?:(?:is|are|was|were)(?! (?:one|we) (?:allowed|permitted|supposed|meant))"
    r"|does(?! (?:the|that|this|its|your) [^,;:]{3,40} (?:sound|feel|seem|bother|surprise|worry|hurt)\b)"
    r"|do(?! you (?:hear|see|notice|feel|remember|spot|recogni[sz]e))"
    r"|where|which(?! of you)|whose|why|who(?! (?:here |else |(?:among|of) (?:you|us) )?(?:heard|sang|saw|caught"
    r"|noticed|felt|played|could|can|would))"
    r"|how (?!about|many of you))\b"
)
