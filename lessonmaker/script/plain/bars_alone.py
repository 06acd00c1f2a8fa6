"""Bars that are named and nothing more: whether their music is spoken of, or what somebody does with it.

"Look at bar five" and "bar five is one long line" speak of music; "most of my students rush bar five" does not.
Common practice, no source.
"""

from __future__ import annotations

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.place import Place
from lessonmaker.script.plain.stance_words import CALLED, LEAD
from lessonmaker.script.plain.text import Sentence

__all__ = ["is_of_elsewhere", "is_spoken_of"]

POINTED_AT = pattern_of(
    r"(?:^|[,;:] |\b(?:and|so|now|then|just|please|let's|to) )(?:check out|compare|consider|contrast|examine|hear"
    r"|listen|look(?! (?:after|like|up)\b)|notice|observe"
    r"|see(?= (?:how|in|the|(?:bar|measure)s?)\b)|study|turn|watch|welcome)\b[^,;:]{0,20}$"
    r"|\bcompare\b[^,;:]{0,60}$"
)
# What somebody is told to do with bars: "practise bar three until the line is smooth".
PRACTISED = pattern_of(
    r"\b(?:practi[sc]e|loop|learn|memori[sz]e) (?:the|this|that|these|it|bars?|both|all)\b"
)
# What whoever speaks does and likes: "I'm in two minds about bar six".
OWN_STORY = pattern_of(rf"{LEAD}(?:i|i'd|i'll|i'm|i've|my|let me)\b")
WHERE = pattern_of(r"(?: is| are|'s) (?:where|bars?)\b")
# What music has. A word that means something else as often is not here: "my coffee's gone cold over bar ten again".
OF_MUSIC = pattern_of(
    r"\b(?:[a-g](?: flat| sharp)? ?(?:seven|7)|altered|arpeggio|augmented|beats?|cadence|cells?|chorus"
    r"|(?<!struck a )(?<!strikes a )chords?|chromatic\w*|colou?rs?|comes? (?:again|back)|diatonic|diminished"
    r"|dominants?|dotted|down-?beat|duplets?|eighths?|figures?|from the end|grooves?"
    r"|(?:half|quarter|whole) ?-?(?:tones?|steps?)|halves|harmon\w+|hemiola|higher"
    r"|in (?:[b-g]|a (?:flat|major|minor))|intervals?|(?<!side )key(?! to\b)|leaps?|lines?|lower|majors?|melod\w+"
    r"|metre|meter|minors?(?! (?:detail|miracle|point|problem|quibble|thing))|minus|motifs?|notes?|octaves?"
    r"|off-?beats?|one (?:\w+ )?breath|patterns?|pedals?|phrases?|pick-?ups?|pitch(?:es)?|quarters?|quavers?"
    r"|repeat\w*|resol\w+|rests?(?! on\b)|rhythm\w*|riffs?|rootless|roots?(?! of (?:the|all|my|your)\b)|same"
    r"|says? (?:it )?(?:all )?again|scales?|semitones?|sequences?|shapes?|silen\w+|sixteenths?|step\w*|sus"
    r"|syncopat\w+|tensions?|thirds|threes|tied|ties?|tones?|tonics?|tops?|triads?|triplets?|tritone|twos"
    r"|unison)\b"
)


def is_of_elsewhere(sentence: Sentence) -> bool:
    """Whether a sentence tells what bars are called, a story of whoever speaks, or how something was practised."""
    return any(each.search(sentence.text) for each in (CALLED, OWN_STORY, PRACTISED))


def is_spoken_of(sentence: Sentence, place: Place) -> bool:
    """Whether a sentence speaks of the music of bars that it names, or does nothing but name them."""
    if is_of_elsewhere(sentence):
        return False
    before, after = sentence.text[: place.first], sentence.text[place.last :]
    named_only = pattern_of(r"\w").search(before + after) is None
    spoken_of = POINTED_AT.search(before) or WHERE.match(after) or OF_MUSIC.search(before + after)
    return bool(named_only or spoken_of)
