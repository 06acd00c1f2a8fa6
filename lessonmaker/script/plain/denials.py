"""What is said not to be there, in so many words: "bar six never gets to the root". A fault where it is there.

Common practice, no source. A denial that is qualified ("not until the end", "no third on the beat") denies less than
that it is there, and is left alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby, pairwise

from lessonmaker.score.model import Note
from lessonmaker.score.position import bars_in, format_position, overlap
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.decided import NOTHING, Common, Decided
from lessonmaker.script.plain.figures import CERTAIN
from lessonmaker.script.plain.place import Test
from lessonmaker.script.plain.scope import Scope
from lessonmaker.script.plain.stance_words import NOT_DENIED, UNREAL, WISHES
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import inflected
from lessonmaker.script.plain.vocabulary import RELIABLE

__all__ = ["Denials", "is_plainly_denied"]

# To have something, or to come to it: what a bar without it never does.
HAVE = inflected(
    "arrive at, arrive on, bring, come close to, come near, come to, contain, feature, find, get, "
    "get anywhere near, get around to, get as far as, get round to, get to, give, give us, go anywhere near, "
    "go as far as, go near, have, hear, hit, include, land on, make it to, meet, mention, play, "
    "pass through, present, reach, see, set foot on, show, sound, spell out, state, strike, touch, touch on, "
    "use, visit"
)
# To be without it.
LACK = (
    inflected(
        "avoid, back away from, bypass, decline, deny, deny us, dodge, do without, duck, elude, evade, "
        "fall short of, forgo, keep away from, keep clear of, keep its distance from, keep off, lack, "
        "leave aside, leave out, miss out, omit, shun, shy away from, sidestep, skip, spare us, stay away from, "
        "stay clear of, stay off, steer clear of, stop short of, turn away from, want for, withhold"
    )
    .replace(" clear of", "(?: well| right)? clear of")
    .replace(" away from", "(?: well| right)? away from")
)
FREE = (
    r"(?:is|are|was|were|'s|'re) (?:bare of|devoid of|empty of|free of|innocent of|minus|missing|short of"
    r"|spared|without)"
)
PLAYED = inflected("get to, mention, play, reach, sound, state, strike, take, touch, touch on, visit")
# From a denial to the verb, and from the verb to what is denied.
WORDS = r"(?: (?!(?:and|but|or|because|so|until|till|if|that|which|who)\b)[\w'#-]+){0,7}?"
DET = (
    r"(?: (?:so much as )?(?:an?|any|a single|even (?:an?|the)|its|one|our|the|their))?"
    r"(?: (?:actual|lone|plain|proper|real|single|trace of (?:an?|the)|sign of (?:an?|the)))? $"
)
BEFORE_IT = (
    r"(?:no|zero|nary an?|divil an?|not (?:an?|any|one)|there (?:is|are)(?:n't| not) (?:an?|any))"
    r"(?: (?:single|actual|real))? $",
    r"(?:no|n't|not)(?: an?| the)? (?:sign|trace|hint|suggestion|whiff|such thing)(?: of| as)(?: an?| the)? $",
    rf"(?:{LACK}|{FREE}|without|minus|sans|neither|nor){DET}",
    rf"without(?: (?:ever|once|even|so much as))?(?: having)? {HAVE}{DET}",
    rf"(?:declin|fail|forget|neglect|omit|refus)(?:s|es|ed)? to{WORDS} {HAVE}{DET}",
    rf"(?:\w+n't|not|never|nowhere|nothing|at no point|not once){WORDS} {HAVE}{DET}",
    rf"(?:nobody|no-?one|none of (?:us|you)|neither hand|not a soul){WORDS}(?: so much as)? {PLAYED}{DET}",
    r"nowhere(?: [\w'#-]+){0,7}? (?:is|are) there (?:an?|any) $",
    r"(?:everything|anything|all|(?:every|any) (?:chord tone|degree|note|tension))"
    rf" (?:apart from|bar|but|except(?: for)?|other than|save){DET}",
    r"(?:don't|do not|no (?:use|point)(?: in)?|it's no good) (?:bother )?(?:hunt|look|listen|search"
    r"|wait)(?:ing)?"
    rf" for{DET}",
)
NOT_THERE = pattern_of(rf"\b(?:{'|'.join(BEFORE_IT)})")
# "The chord is set out in full, save its root".
ALL_BUT = pattern_of(
    r"\b(?:all|any\w*|complete|entire|every\w*|full|intact|whole)\b[^.;:]{0,60}?"
    rf" (?:apart from|but for|except(?: for)?|less|minus|other than|save(?: for)?|short of){DET}"
)
LEFT = pattern_of(
    r"\b(?:give|gives|gave|keep|keeps|kept|leave|leaves|left|leaving|take|takes)(?: (?:an?|its|the))? $"
)
LEFT_OUT = pattern_of(
    r"(?: [\w'#-]+){0,4}? (?:a miss|a pass|a wide berth|alone|aside|out(?! (?:loud|long))|unplayed|unsaid"
    r"|unsounded|untouched)\b"
)
OF_IT = r"(?: (?:of|over|in) [\w' -]{1,30}?)?"
SEEN = r"(?:here|in (?:bar|measure)|there|to be (?:found|heard|seen))"
IS_OUT = pattern_of(
    rf"{OF_IT}(?:(?: (?:is|are|was|has been|goes|went)|'s)(?: (?:\w+ly|just|nowhere))* (?:absent|avoided"
    rf"|conspicuous by its absence|lacking|left (?:at home|behind|out)|missing|not {SEEN}|omitted|skipped"
    r"|to be (?:found|heard|seen))"
    rf"| (?:is|are|was|were)(?:n't| not| never)(?: even| ever)? (?:{SEEN}"
    r"|(?:touched|played|heard|sounded|struck|used|reached|mentioned|stated)\b)"
    r"| (?:is|are) nowhere in| (?:never|doesn't|does not|don't"
    r"|fails to)(?: even| ever)? (?:appears?|arrives?|comes?|occurs?|shows? (?:up|its face)|sounds?|turns? up"
    r"|gets? (?:a look in|played|touched)))\b"
)
# What makes less of a denial, or turns it round.
QUALIFIED = pattern_of(
    rf"{WISHES}|{UNREAL}|\b(?:(?:first|second)(?! (?:bar|measure|beat))|(?<!so )much|again|all of|always"
    rf"|another"
    r"|any ?more|as an?|as (?:the|its|our)|before|but|by itself|enough|every|every time|everybody|everyone|if"
    r"|just|long|many|mostly|only|(?<!or )otherwise|quite|really|till|until|yet|band|bass|changes|drummer"
    r"|bottom|grip|voicing|guitar|left hand|pian(?:o|ist)|sings?|(?:can't|cannot) hear|n't we|sorry|wait)\b"
)
AFTERTHOUGHT = pattern_of(r"\bwithout [\w-]+ing\b")  # "you cannot play the ninth without smiling"
BUT_IT = pattern_of(r"\b(?:everything|anything|all|(?:every|any) \w+(?: \w+)?) but\b|\bbut for\b")
OWN_CHOICE = pattern_of(
    r"\b(?:i|we|the line|it|this bar)(?: \w+)? avoids?\b"
)  # no advice: "I avoid the root here"
FORBIDDEN = pattern_of(
    rf"(?:^\W*|[,;:] |\b(?:and|please|then|so) )(?:(?:don't|do not|never) (?:\w+ )?(?:{PLAYED}|{HAVE})"
    rf"|(?:just |simply )?(?:avoid|drop|dodge|leave aside|leave out|miss out|omit|skip)){DET}"
)


def is_plainly_denied(sentence: Sentence, claim: Claim) -> bool:
    """Whether a degree, a note, or a device that is found for sure, is said not to be there, without an if or a but."""
    if claim.kind not in ("degree", "note") and not (
        claim.kind == "device" and claim.name in (*RELIABLE, *CERTAIN)
    ):
        return False
    if sentence.is_question:
        return False
    before, after = sentence.text[: claim.first], sentence.text[claim.last :]
    clause = pattern_of(r"[;:,]").split(pattern_of(NOT_DENIED).sub("", before))[-1]
    denied = (
        NOT_THERE.search(clause)
        or ALL_BUT.search(before)
        or (LEFT.search(clause) and LEFT_OUT.match(after))
        or IS_OUT.match(after)
    )
    if not denied or FORBIDDEN.search(before) or AFTERTHOUGHT.search(after):
        return False
    return not QUALIFIED.search(BUT_IT.sub("", OWN_CHOICE.sub("", sentence.text)))


# All that the cue shows: a denial of it is one of each of its bars.
ALL_SHOWN = pattern_of(
    r"\b(?:on|over|in|of|during|through|throughout|across) (?:(?:either|any|both|all|one) (?:of )?)?(?:these|those"
    r"|this(?= (?:whole )?(?:line|phrase|passage|excerpt|section|stretch)))(?: (?:two|three|four|five|six|whole))?"
    r" (?:bars?|measures?|chords?|changes|line|phrase|passage|excerpt|section|stretch)\b"
)


# A note that a figure is said to have: "there's a thirteenth hidden in this cross rhythm".
THERE_IS = pattern_of(r"\bthere(?:'s| is) (?:an?|even an?)(?: [\w-]+)? $")
INSIDE = pattern_of(
    r"(?: [\w-]+)? (?:in|inside|within)(?: the (?:middle|heart|cent(?:er|re)) of)? (?:this|that|the|our) "
)
HAS_INSIDE = pattern_of(r" (?:has|holds|contains|hides|includes) an? ")


class Denials(Common):
    """Decides what is denied, and what figures are said to have that they have not."""

    def hold_inside(self, claims: Sequence[Claim], decided: list[Decided]) -> None:
        """Call false a degree that a figure which is lit is said to have, where no such note is in sight."""
        for index, (one, other) in enumerate(pairwise(claims)):
            between = self.sentence.text[one.last : other.first]
            before = self.sentence.text[: one.first]
            first = one.kind == "degree" and other.kind == "device"
            if first and THERE_IS.search(before) and INSIDE.fullmatch(between):
                at, figure = index, index + 1
            elif one.kind == "device" and other.kind == "degree" and HAS_INSIDE.fullmatch(between):
                at, figure = index + 1, index
            else:
                continue
            mention = decided[figure].mention
            if mention is None or not mention.notes or decided[at].says:
                continue
            if self.options[at] or self.scopes[at].unknown:
                continue
            words = self.sentence.words(claims[at].first, claims[at].last)
            target = f"{claims[at].names[0]}@{decided[figure].target.partition('@')[2]}"
            what = f"“{words}”: there is none in what is at {decided[figure].target}"
            decided[at] = Decided(None, target, (), what, "name a note that it has")

    def denied(self, claim: Claim, scope: Scope, notes: Sequence[Note]) -> Decided:
        """A degree or a note that is said not to be there: a fault where it is."""
        named = claim.kind == "note"
        there = [note for note in notes if named or self.music.finding(note).degree in claim.names]
        chord = self.one_chord() if not scope.tests else None
        there = [note for note in there if chord is None or chord(note, self.music)]
        figures = self.figures_lacking(claim, scope)
        there = [note for note in there if not figures or note.id in figures]
        if not there or not self.is_placed(scope):
            return NOTHING
        degree, at = self.music.finding(there[0]).degree, format_position(self.music.score, there[0].onset)
        return self.is_there(
            claim, self.music.target_of(there[0]), f"a {claim.name if named else degree} at {at}"
        )

    def figures_lacking(self, claim: Claim, scope: Scope) -> set[str]:
        """The ids of the notes of the figure that is said to lack something: "the arpeggio omits the root"."""
        before = self.claims_before(claim)[-1:]
        if (
            not before
            or before[0].kind != "device"
            or pattern_of(r"[,;:]").search(self.between(before[0], claim))
        ):
            return set()
        spans = scope.spans or tuple(self.spans)
        return {
            name
            for device in self.music.analysis.devices
            if device.kind == before[0].name and any(overlap(device.span, span) > 0 for span in spans)
            for name in device.notes
        }

    def between(self, one: Claim, other: Claim) -> str:
        """The words between two claims."""
        return self.sentence.text[one.last : other.first]

    def denied_device(self, claim: Claim, scope: Scope, found: Decided) -> Decided:
        """A device that is said not to be there: a fault where one is found."""
        if found.mention is None or not self.is_placed(scope):
            return NOTHING
        return self.is_there(claim, found.target, f"one at {found.target.partition('@')[2]}")

    def is_there(self, claim: Claim, target: str, what: str) -> Decided:
        """What is denied is there."""
        words = self.sentence.words(claim.first, claim.last)
        return Decided(
            None,
            target,
            (),
            f"no “{words}” is claimed, but there is {what}",
            "say it without, or name the bars that have none",
        )

    def is_placed(self, scope: Scope) -> bool:
        """Whether a denial is sure of where: a bar, or a chord, that is named, or the one bar or chord in sight."""
        if scope.unknown:
            return False
        bar = any(place.level == "bar" and not place.pointed for place in self.places)
        shown = [bar for span in self.spans for bar in bars_in(self.music.score, span)]
        chords = [change for span in self.spans for change in self.music.changes_in(span)]
        alone = self.one_chord() is not None or (len(shown) == 1 and (len(chords) < 2 or bool(scope.tests)))
        return bar or alone or ALL_SHOWN.search(self.sentence.text) is not None

    def one_chord(self) -> Test | None:
        """The chord that the sentence names, if it names one and the cue shows it once."""
        named = [place.test for place in self.places if place.level == "chord" and place.test is not None]
        if len(named) != 1:
            return None
        struck = [note for span in self.spans for note in self.music.struck_between(span.start, span.end)]
        times = [over for over, _ in groupby(named[0](note, self.music) for note in struck)].count(True)
        return named[0] if times == 1 else None
