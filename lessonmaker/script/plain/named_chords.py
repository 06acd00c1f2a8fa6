"""A chord that a sentence names as one of the bars in sight, whether they have it or not: "in bar nine we're on A7".

Common practice, no source. Whoever names a chord by its letter and its kind, in a plain statement about bars that are
shown, means one of these; unless it is compared, imagined, left out, stood in for, or what lies outside the bars.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.score.position import Span, format_span, hull
from lessonmaker.script.model import Mention
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_words import (
    NO_CHORD,
    ROOT_NAME,
    ChordSaid,
    chords_said,
    is_spelt,
    root_said,
    sounding,
)
from lessonmaker.script.plain.decided import Decided
from lessonmaker.script.plain.heard import Harmony, Heard
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.stance_words import DENIALS, ELSEWHERE, NOT_DENIED, UNREAL, WISHES
from lessonmaker.script.plain.text import Sentence

__all__ = ["OF_THE_LINE", "QUALITY", "absent_chord", "is_note_with_octave", "is_stated", "present_chord"]

# What speaks of what sounds under the line.
UNDER_IT = (
    r"harmon(?:y|ies)|chords?|changes|band|pian(?:o|ist)|guitar(?:ist)?|bass(?:ist)?|rhythm section|comp(?:s"
    r"|ing)?|accompan\w+|underneath"
    r"|beneath|under (?:it|this|that|us|you|all)|background|bars?|measures?|here(?!'s)"
    r"|(?:lead )?sheet|symbols?|chart|printed|harmoni[sz]ed|progression"
)
# Before a chord that is what sounds, or what is played over.
HEARD = pattern_of(
    r"(?:^|[,;:] |'(?:re|ve) |\b(?:we|it|this|that|here|there)'s |\b(?:is|are|have|got|gets?|hear|hears|plays?"
    r"|playing"
    r"|comes|gives|(?:we|you|it|they)(?:'re|'s| are| is)? (?:\w+ )?on|(?:we|you|they|us)(?:'re|'ve| are"
    r"| have)? (?:\w+ ){0,3}[a-z]+(?: at| on| to| over)?|\w+ing over|(?:playing"
    r"|^|[,;:]) ?over) )"
    r"(?:(?:just|still|now|back|here|only|simply|really|us|you) )*(?:on |over )?(?:the |an? |our |that |this )?$"
)
GOES_ON = pattern_of(
    r"\s*(?:[.!]|$|[,:]? (?:and|in|for|on|under|underneath|here|there|now|chord|bar|the whole|all|again|by the way"
    r"|so|simple|to|into|goes|leads|moves|resolves)\b)"
)
THIS_BAR = pattern_of(r"(?:this|that|these)\b")
HARMONIC = pattern_of(rf"\b(?:{UNDER_IT})\b")
# What may be said of a chord that is not there.
OF_ANOTHER = pattern_of(
    r"\b(?:like|as if|as though|as on|instead|rather|same|substitut\w*|subs?|stand(?:s|ing)? (?:in|where|for)"
    r"|replac\w+|swap\w*|tritone|keys?|modes?|shape|pentatonic"
    r"|on top|slash|sitting on|in the bass|expect\w*|ought|borrow\w*|usual\w*|normal\w*|sounds?|heard? as|spell\w*"
    r"|outlin\w*|related?|relative|parallel|family|lydian|dorian|mixolydian|altered|think\w*|imagin\w*|pretend"
    r"|call\w*"
    r"|job|role|function\w*|belong\w*|disguise|really|version|edition|if|when|earlier|later|last time|other|another"
    r"|elsewhere|after|before|until|towards?|ready|prepar\w*|want\w*|(?<!this )(?<!that )point\w*|aim\w*|ahead"
    r"|coming|or|outta|out(?! of)"
    r"|(?:step|third|tritone|fourth|fifth|right|get|getting) away|been|was"
    r"|(?<!harmonised )(?<!harmonized )(?<!backed )with|grips?)\b"
)
# What has the name of a chord, and is none.
ANOTHER_THING = r"\b(?:upper[- ]structures?|triads?|arpeggios?|scales?)\b"
ANOTHER_PART = pattern_of(r"[;:]| but | because | so ")
QUALITY = pattern_of(
    r"[a-g](?:b|#|[ -]flat|[ -]sharp)? ?(?:\d|m|dim|aug|sus|half|major|minor|dominant (?:seven|nine)|seven|six|nine)"
)
# "The C minor chord here": one that is there, whatever is said of it.
A_CHORD_HERE = pattern_of(r" chord (?:right )?(?:here|in (?:this|bar|measure)\b)")
THE = pattern_of(r"(?:^|[,;:] |\b(?:and|so|but|now) )(?:the|that|this) $")
# What makes a name more than a name.
SAID_OF = pattern_of(
    r"'(?:s|re|ve)\b|\b(?:is|are|has|have|got|gets?|hear|plays?|playing|we|you|it|progression|turnaround"
    rf"|goes|moves|leads|resolves|uses|sits|stays|{UNDER_IT})\b"
)
# What is said of the line, so that a chord is only named to say where.
OF_THE_LINE = pattern_of(
    r"\b(?:lines?|melody|scales?|runs?|licks?|arpeggios?|notes?|figures?|triplets?|motifs?|solo|horn|phrases?|i|root"
    r"|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth|nine|eleven|thirteen|early|late|spells?)\b"
)
SAYS_WHERE = pattern_of(
    r"(?:^|[,;:] |\b(?:and|so|now) )(?:the )?$"
    r"|\b(?:over|on|onto|into|to|against|above|through|for|with|in|of|around|at) (?:the |an? )?$"
)
ROOT = pattern_of(ROOT_NAME)
OCTAVE_NAME = pattern_of(r"([a-g](?:b|#|[ -]flat|[ -]sharp)?) ?(\d)")
# What is said of no bar that is shown.
AT_HOME = pattern_of(
    r"\b(?:once|favou?rite|in theory|at (?:home|school|weddings?|night)|last (?:week|month|year|night)|yesterday"
    r"|tomorrow"
    r"|tonight|years|gigs?|concerts?|my (?:old|first)|usual\w*|always|never|often|(?:play|try|sing|hit"
    r"|hold) [^,;:]* and"
    r" (?:then )?listen)\b"
)
# "A major seventh is a half step from an octave".
ANY_SUCH = pattern_of(r"a (?:[\w-]+ ){1,3}(?:is|makes|means|spans)\b")
# "C seven is a chord that many players fear": any such chord.
A_SORT = pattern_of(r"(?: is|'s| was) an? (?:[\w-]+ ){0,2}(?:chord|sound|colou?r|thing|one|key)\b(?! here)")
ALTERED = pattern_of(r"\balt")
IN_A_KEY = pattern_of(r"(?<!chord changes )(?<!chord moves )(?<!chord goes )\b(?:in|into|to|home to) $")
OF_A_KEY = pattern_of(r"[a-g](?:b|#|[ -]flat|[ -]sharp)? ?(?:m|major|minor)(?! ?(?:\d|seven|six|nine))")
# From a chord to a bar that is that of another: ", which leads to the E flat in".
LATER_CHORD = pattern_of(r"[,;:].*\b(?:to|into|onto|at|on|for|towards?)(?: the| an?)? [a-g](?![\w'])")
# Between a bar and the chord that it is plainly said to have; what else is named near a bar may stand beside it.
OF_THE_BAR = pattern_of(
    r",? (?:we|you|it)(?:'re|'ve| are| have|'s| is)?(?: \w+){0,2} (?:on|over|got)(?: the| an?)? "
)


def absent_chord(
    sentence: Sentence, places: Sequence[Place], spans: Sequence[Span], music: Music
) -> tuple[ChordSaid, Decided] | None:
    """A chord that a sentence says to be in the bars that it speaks of, and a fault; None where there is none."""
    text = sentence.text
    if not is_stated(sentence):
        return None
    named = [
        said
        for said in chords_said(sentence, ("name",))
        if _is_of_these(sentence, said) and not is_note_with_octave(text, said.first, said.last, music)
    ]
    if not named:
        return None
    bars = [p for p in places if p.level == "bar" and not p.pointed and len(p.spans) == 1]
    where = bars[0].spans[0] if len(bars) == 1 else hull(spans)
    harmony = Harmony(music)
    if not harmony.within(where):
        return None
    for said in named:
        later = len(bars) == 1 and _is_of_a_later_chord(said, bars[0], named, text)
        whole = hull(spans) if later else where
        inside = harmony.within(whole)
        beside = [*filter(None, (harmony.before(inside[0]), harmony.after(inside[-1])))]
        if OF_A_KEY.match(text, said.first) and _is_key(text[said.first : said.last], where, harmony):
            continue
        if ALTERED.search(text[said.first : said.last]) and _has_root(text[said.first :], inside, harmony):
            continue  # the line may alter a plain dominant
        if is_spelt(text[said.first : said.last], where, harmony):
            continue
        sure = len(bars) == 1 and OF_THE_BAR.fullmatch(text[bars[0].last : said.first])
        if not any(said.fits(each, harmony) for each in (inside if sure else [*inside, *beside])):
            words, target = text[said.first : said.last], format_span(music.score, whole)
            what = f"“{words}”: {music.said(whole)} has {harmony.said(inside)}"
            return said, Decided(None, target, (), what, "name the chord that is there")
    return None


def _is_of_a_later_chord(said: ChordSaid, bar: Place, named: Sequence[ChordSaid], text: str) -> bool:
    """Whether a bar is that of another chord, which is named after one: "E seven, which leads to A in bar five"."""
    later = any(said.last <= other.first < bar.first for other in named)
    return said.last <= bar.first and (later or LATER_CHORD.search(text[said.last : bar.first]) is not None)


def is_note_with_octave(text: str, first: int, last: int, music: Music) -> bool:
    """Whether what may be a chord's name is that of a note with its octave, and the score has the note: "up to C6"."""
    name = OCTAVE_NAME.fullmatch(text[first:last])
    if name is None or text[last:].startswith(" chord"):
        return False
    root = root_said(name[1])
    return any(
        (note.written.step, note.written.alter, note.written.octave) == (root.step, root.alter, int(name[2]))
        for note in music.struck
    )


def _is_key(name: str, where: Span, harmony: Harmony) -> bool:
    """Whether a key is heard in some bars that has the root of a chord's name."""
    root = ROOT.match(name)
    tonic = sounding(root_said(root[0]), harmony) if root is not None else None
    return any(key.tonic.pitch_class == tonic for key in harmony.keys_in(where))


def _has_root(name: str, chords: Sequence[Heard], harmony: Harmony) -> bool:
    """Whether one of some chords has the root of a chord's name."""
    root = ROOT.match(name)
    return root is not None and any(sounding(root_said(root[0]), harmony) in each.roots for each in chords)


def present_chord(
    sentence: Sentence, places: Sequence[Place], spans: Sequence[Span], music: Music
) -> tuple[ChordSaid, Decided] | None:
    """A chord that a sentence says to be in the bars that it speaks of, which one chord there is; None otherwise."""
    bars = [place for place in places if place.level == "bar" and not place.pointed]
    if not is_stated(sentence) or any(not THIS_BAR.match(sentence.text, place.first) for place in bars):
        return None
    where, harmony = hull(spans), Harmony(music)
    for said in chords_said(sentence, ("name",)):
        fitting = [each for each in harmony.within(where) if said.fits(each, harmony)]
        if len(fitting) == 1 and _is_of_these(sentence, said) and _sounds(sentence, said):
            span = fitting[0].span
            span = Span(max(span.start, where.start), min(span.end, where.end))
            target = format_span(music.score, span)
            return said, Decided(Mention("span", span, (), target=target), target)
    return None


def is_stated(sentence: Sentence) -> bool:
    """Whether a sentence states something, and of no other thing that is named as a chord is."""
    stated = pattern_of(NOT_DENIED).sub("", sentence.text)
    unsure = pattern_of(f"{DENIALS}|{WISHES}|{UNREAL}|{ANOTHER_THING}").search(stated)
    far = ELSEWHERE.search(sentence.text) or AT_HOME.search(sentence.text)
    return not (sentence.is_question or sentence.pointers or unsure or far)


def _is_of_these(sentence: Sentence, said: ChordSaid) -> bool:
    """Whether a chord is named as one of the bars that are spoken of."""
    text = sentence.text
    around = ANOTHER_PART.split(text[: said.first])[-1] + ANOTHER_PART.split(text[said.last :])[0]
    named = QUALITY.match(text, said.first) and not NO_CHORD.match(text, said.last)
    is_key = IN_A_KEY.search(text[: said.first]) and OF_A_KEY.match(text, said.first)
    is_whose = text[: said.first].endswith((" of ", " of the "))
    if named and A_CHORD_HERE.match(text, said.last) and THE.search(text[: said.first]):
        return True
    is_said = bool(named and SAID_OF.search(text[: said.first] + text[said.last :]))
    is_any = A_SORT.match(text, said.last) is not None
    is_any = is_any or (not text[: said.first].strip() and ANY_SUCH.match(text, said.first) is not None)
    return is_said and not (is_key or is_whose or is_any) and not OF_ANOTHER.search(around)


def _sounds(sentence: Sentence, said: ChordSaid) -> bool:
    """Whether a chord is told as what sounds, and is not only where something is."""
    before = sentence.text[: said.first]
    if HEARD.search(before) and GOES_ON.match(sentence.text, said.last):
        return True
    harmonic = HARMONIC.search(sentence.text) and not OF_THE_LINE.search(sentence.text)
    return bool(harmonic) and not SAYS_WHERE.search(before)
