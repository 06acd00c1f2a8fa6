"""What is asked of the player with a thing that is known to be there, or felt about it: "don't rush the ninth".

"The ninth", "that passing note" is there to be spoken of, in whatever is to be done with it: held, warmed, not
hurried, loved, made a little louder. So it is meant, though it is only wished, advised or forbidden how it shall
sound; not so what somebody is to play, add or leave out. Common practice, no source.
"""

from __future__ import annotations

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.stance_words import DENIALS, WISHES
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import inflected

__all__ = ["OWN_HABIT", "is_handled"]

# What is done to a note that is there: how long, how loud, how warm, how carefully it is played.
TREAT = (
    "accent, accentuate, adjust, anchor, attack, baby, balance, bark, be afraid of, be scared of, bend, "
    "blend, botch, brighten, bring out, bring up, bury, caress, center, centre, cherish, choke, chop, "
    "circle, clean up, clip, color, colour, cradle, crack, cut short, darken, delay, drag, emphasise, "
    "emphasize, enjoy, exaggerate, expose, feel, float, fluff, forget, fumble, ghost, give away, gloss over, "
    "glide over, handle, hang on to, highlight, hold, hold on to, honk, honor, honour, hurry, hush, ignore, "
    "lay back on, lay into, lengthen, let go of, lift, lighten, look after, look out for, lose, "
    "make a fuss about, make a fuss of, make a meal of, make light of, make room for, make time for, "
    "make too much of, massage, mess with, milk, mind, mumble, neglect, nurse, nudge, overdo, overlook, "
    "overplay, paint, pay attention to, phrase, pinch, place, polish, pounce on, prepare, press, project, "
    "protect, push, quieten, read too much into, relish, release, respect, retongue, rush, savor, savour, "
    "scoop, set up, shade, shake, shape, shorten, shout, skate over, skip past, slight, slur, smear, "
    "smother, soften, spoil, spotlight, squeeze, squash, stress, stretch, support, sustain, swallow, "
    "sweeten, swing, take care of, tame, taste, throw away, time, toss off, tongue, treat, trill, tune, "
    "underline, underplay, waste, warm, warm up, watch, weigh, welcome, whisper, whip, worry about"
)
# What is done on it, or about it, with up to four words between: "lean ever so slightly on the ninth".
DWELL = (
    "apologise, apologize, be bold, be brave, be careful, be generous, be gentle, be kind, be patient, "
    "be strict, be tender, bite, breathe, crescendo, dig, dwell, ease, go easier, go easy, go gently, "
    "go softly, hang, hold back, hold off, hurry, jump, lay back, lean, let up, linger, melt, pause, "
    "pull back, race, relax, rest, rush, settle, sink, sit, sit back, slide, slow down, smile, stay, swell, "
    "take care, take time, take your time, tiptoe, tread lightly, wait"
)
ON = (
    r"(?:on|upon|at|over|with|into|in|to|through|around|round|towards?|for|before|after|about|of|off|from"
    r"|past|between)"
)
# What it is to have: "more of the third", "a little accent on that D flat", "careful with the fifth".
MUCH = (
    "accent|air|attack|attention|bite|bloom|body|bow|breadth|breath|care|careful|colou?r|crescendo|depth"
    "|diminuendo|ears?|easy|edge|emphasis|energy|focus|gentle|gently|hush|kind|less|light|lightly|longer"
    "|louder|love|more|patience|pressure|quiet|quietly|respect|room|shake|slow|slowly|smile|soft|softer"
    "|softly|sound|space|sparkle|stress|support|swell|tenderness|time|tone|vibrato|volume|warmth|weight"
)
# What whoever speaks feels about it, or is wont to do with it.
FEEL = inflected(
    "adore, brighten at, cry at, dread, drag, dream of, enjoy, fall for, fear, fluff, forget, go flat on, "
    "go sharp on, grin at, hate, hurry, keep coming back to, like, live for, look forward to, love, mess up, "
    "miss, rush, smile at, stumble over, swallow, trip over, wait for"
)
STUMBLE = inflected("catch my breath, crack, get lost, run out of breath, slip up, stumble, trip, wobble")
FOND = (
    r"a soft spot for|a weakness for|crazy about|fond of|glad of|grateful for|happ(?:y|ier|iest) (?:with"
    r"|about)|in love with|mad about|partial to|proud of|something about|wild about|a word (?:on|about)"
)
KNOWN = r"(?:the|that|this|your|our|its|these|those|both)(?: [\w'-]+){0,2} $"
# "A softer third", than the one that is there.
BETTER = pattern_of(
    r"\ban? (?:brighter|cleaner|darker|gentler|lighter|longer|louder|quieter|shorter|softer|sweeter|warmer) $"
)
TUNING = r"(?: (?:up|out|the (?:tuning|intonation|pitch|length|attack|end|start|release|sound) of))?"
# The forms in which something is asked of the player, not told of the line: "lean", "mind leaning", not "it leans".
ASKED = r"\w+ing"
RATHER = r"(?:rather|wish|time|(?:prefer|like) it if) (?:you|we|everybody)"


def _done(form: str = "") -> str:
    """What is done to a thing, by verbs in some of their forms."""
    dwell = rf"(?<!comes to )(?<!came to )(?<!coming to ){inflected(DWELL, form)}"
    return rf"(?:{inflected(TREAT, form)}{TUNING}|{dwell}(?: [\w-]+){{0,4}}? {ON})"


DONE_TO = pattern_of(
    rf"\b(?:{_done(ASKED)}|{RATHER}(?: [\w-]+){{0,2}}? {_done()}|(?:{MUCH})(?: [\w-]+){{0,3}}? {ON}|{FOND}"
    r"|(?:don't|do not|never|always|to|please|just) be(?: [\w-]+){1,3}? (?:about|around|on|with)"
    rf"|(?:i|we|(?:my|our)(?: [\w-]+){{1,2}}?)(?:'ve|'ll)?(?: [\w-]+){{0,2}}? (?:{FEEL}"
    rf"|{STUMBLE}(?: [\w-]+){{0,3}}? {ON})) {KNOWN}"
)
# How it is to sound: "softly", "a little warmer", "in tune", "as if it were glass".
QUALITY = (
    r"(?!(?:another|after|either|ever|never|later|other|over|rather|under|only|early)\b)(?:\w{3,}er|more \w+"
    r"|less \w+|\w{3,}ly|alive|bright|broad|calm|clean|clear|cool|covered|crisp|dark|down|dry|easy|even|fat"
    r"|firm|flat|forced|full|gentle|harsh|heavy|hidden|high|hurried|hushed|in time|in tune|late|lazy|legato"
    r"|light|long|loose|loud|low|out of tune|plain|pure|quiet|relaxed|rough|round|rushed|sharp|short|shy"
    r"|simple|smooth|soft|staccato|steady|still|strong|sweet|swallowed|tender|tenuto|thin|warm|weak)"
)
A_BIT = (
    r"(?:an? (?:little|bit|touch|shade|hair|tad|trifle|whisker)|slightly|much|far|so|too|quite|very|nice and"
    r"|good and|just|all)"
)
MANNER = (
    rf"(?:{A_BIT} )*(?:{QUALITY}\b|early\b|like\b|as (?:if|though)\b|without\b|with\b|from \w+ing\b)"
    rf"|{A_BIT} (?:earlier|higher|later|lower|over|under)\b"
)
# "Keep the third in tune", "make that flat nine cry", "let the seventh hang", "give the fifth more breath".
ANY_VERB = (
    r"(?!(?:alone|and|again|as|at|be(?! (?:felt|heard))|go|here|in|of|on|or|out|over|then|there|to)\b)[a-z]+"
)
SOME = r"(?:an?|all|its?|enough|every|less|more|plenty|room|some|space|time|too much|weight)\b"
MADE = {
    "(?:have|keep|place|play|playing|sing|start|take|treat)": MANNER,
    "(?:hear|help|let|like|make|need|want)": rf"{MANNER}|{ANY_VERB}",
    "(?:allow|give|lend|spare)": SOME,
}
MADE_SO = tuple((pattern_of(rf"\b{verb} {KNOWN}"), after) for verb, after in MADE.items())
# What stands between a thing and what is said of it: its chord, its place, something thrown in.
MODAL = (
    r"(?:(?:should|must|need|could|ca)(?:n't| not)?|(?:ought|has|have|had)(?:n't)? to|may|might|cannot|can"
    r"|needs?|wants?|deserves?|asks? for|likes?|tends? to|(?:would|'d) (?:like|love|prefer|welcome|benefit"
    r"|gain|profit|thank)|is (?:not )?(?:to|for)|doesn't (?:need|want))"
)
WHERE = r"(?:of|over|in|at|on|above|against|up|down|right|before|after)"
ASIDE = (
    r"(?:,[^,;:]{1,40},| (?:here|there|itself|too|again|though|alone)"
    rf"|(?: {WHERE})+(?: (?!(?:{MODAL}|{WHERE}|is|was|and|but)\b)[\w'#-]+){{1,6}}?)*"
)
# What is said of a thing that is not there: that it might be, or would do as well.
MIGHT_BE = (
    r"(?: (?:not|never|always|also|well|just|only|perhaps|easily|normally|usually|to))* (?:appear|arrive"
    r"|be (?:an?(?! (?:bit|hair|little|lot|shade|tad|touch|trifle)\b)|the|added|avoided|found|here|missing"
    r"|omitted|replaced|there|used)|belong|clash|come\b(?! out)|do\b(?! with)|fall|fit|follow"
    r"|go\b(?! (?:sharp|flat|over|under|an? (?:bit|hair|little|shade|tad|touch)))|happen|have|help|lead|move"
    r"|replace|resolve|rise|ruin|spoil|turn|work)\b"
)
SHALL = pattern_of(rf"{ASIDE} {MODAL}\b(?!{MIGHT_BE})")
SPOILT = "buried|clipped|drowned|hurried|lost|mumbled|out of tune|rushed|smudged|swallowed"
TOO_MUCH = pattern_of(
    rf"{ASIDE}(?:'s| is| are| was| sounds?| comes?(?: out)?| gets?)(?: [\w-]+){{0,3}}? (?:too {QUALITY}"
    rf"|{SPOILT})\b"
)
# What the player is asked to do with it, in whatever words: "sing the ninth to yourself", "now play that root again".
ASKED_TO = pattern_of(
    r"\s*(?:(?:and|so|now|then|but|please|just|ok|okay|well|always),? )*(?:aim|breathe|bring|check|circle|dig"
    r"|enjoy|feel|get|give|go|hear|hold|keep|lean|let|listen|love|make|mark|mind|play|put|remember"
    r"|save|sing|start|stay|take|think|treat|try(?= that| this| \w+ing)|tune|use|wait|watch)\b"
)
PLAYED = pattern_of(r"\s*(?:(?:and|so|now|then|but|please|just|first),? )*(?:play|sing|start|take|try)\b")
# What is to be there instead of it: no handling of what is there.
OTHERWISE = pattern_of(r"\b(?:instead|replac\w+|swap\w*|add(?:ed|ing)?|substitut\w+|exchang\w+)\b")
OTHER_PLAYERS = pattern_of(
    r"\b(?:players?|bass|band|left hand|pianists?|guitarists?|singers?|drummers?|bassists?|beginners|masters"
    r"|students|people"
    r"|everybody|everyone|they|he|she)\b"
)
OWN_HABIT = pattern_of(
    r"\b(?:i|we|(?:my|our)(?: [\w-]+){1,2}) (?:always|usually|often|generally|normally)\b"
    r"|, it(?:'s| is| comes out| sounds) (?:always|usually|often|generally|normally)\b"
    r"|\btends? to (?=(?:go|be|come|get|sound|stick|run) (?:out|too|flat|sharp|loud|late|early|lost|soft"
    r"|thin|heavy))"
)
CLAUSE = pattern_of(r"[;:]|, (?:and|but|or|so|then|because|while)\b|\b(?:but|because)\b")


def is_handled(sentence: Sentence, claim: Claim) -> bool:
    """Whether a sentence speaks of a thing as known, and says what is to be done with it or how it is liked."""
    clause, after = CLAUSE.split(sentence.text[: claim.first])[-1], sentence.text[claim.last :]
    if BETTER.search(clause) and not OTHERWISE.search(sentence.text):
        return True
    if (
        not pattern_of(rf"\b{KNOWN}").search(clause)
        or OTHERWISE.search(sentence.text)
        or OTHER_PLAYERS.search(clause)
    ):
        return False
    if (
        _is_asked(sentence, claim, clause)
        or DONE_TO.search(clause)
        or SHALL.match(after)
        or TOO_MUCH.match(after)
    ):
        return True
    return any(verb.search(clause) and pattern_of(rf"{ASIDE} (?:{so})").match(after) for verb, so in MADE_SO)


def _is_asked(sentence: Sentence, claim: Claim, clause: str) -> bool:
    """Whether the player is asked to do something with a note."""
    if claim.kind not in ("degree", "note", "role") or not ASKED_TO.match(sentence.text):
        return False
    if claim.count < 0 and PLAYED.match(sentence.text):
        return False  # "sing the roots first, then the thirds"
    return not pattern_of(WISHES).search(sentence.text) and not pattern_of(DENIALS).search(clause)
