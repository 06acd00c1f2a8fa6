"""The chords over which a sentence speaks of something: conditions on the chord that a note sounds over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from lessonmaker.analysis.model import Function
from lessonmaker.score.model import Note
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.chord_names import SIGNS, ChordName, chord_names, is_over
from lessonmaker.script.plain.place import Context, Place, Test, words_of_place
from lessonmaker.script.plain.text import Sentence
from lessonmaker.script.plain.verbs import ENDING, LANDING, LEANING, STARTING
from lessonmaker.script.plain.vocabulary import CHORD_WORDS, ORDINAL, ORDINALS, ordinal_of
from lessonmaker.theory.chord import family, readings
from lessonmaker.theory.numeral import bare_numeral
from lessonmaker.theory.pitch import NoteName

__all__ = ["chords", "is_of_family", "is_of_step"]

# "Leans on the five": a note.
ACTS_ON = pattern_of(rf"\b(?:{LEANING}|{STARTING}|{LANDING}|{ENDING})(?: \w+)? $")
REACHED = pattern_of(r"(?:in)?to the (?:one|three|five|seven|tonic)")
A_DEGREE = pattern_of(
    r"\b(?:root|third|fifth|seventh|ninth|eleventh|thirteenth|nine|eleven|thirteen|leading (?:note|tone))\b"
    r"[^;:]{0,40} $"
)
PREPOSITION = r"(?:on top of|over|of|on|against|above|in|to|across|for|from|under|into|with)"
OVER = rf"{PREPOSITION} (?:the|that|this|a|an|its|our) "
NEXT_CHORD = (
    r"(?:(?:next|following) (?:chord|harmony)|chord"
    r" (?:(?:that|which) (?:comes next|follows)|after(?:wards| it| that)?))\b"
)
HAS = (
    r"(?= (?:(?:only|just|also|really|always|simply|itself|here|then) )?"
    r"(?:is|has|gets|takes|carries|brings|holds|starts|ends|begins|opens|finishes|closes|lands|goes|falls|drops"
    r"|moves|resolves|rests|sits|gives) )"
)

# "The third of the one": a chord by its step alone.
OF_A_STEP = pattern_of(
    r"\b(?:root|third|fifth|seventh|ninth|eleventh|thirteenth|three|seven|nine|eleven|thirteen) "
    r"(?P<of>of the (?P<step>one|two|four|six))(?=\s*(?:[,.;:!?]|$)| and\b)"
)
BY_NUMBER = {"one": "I", "two": "II", "four": "IV", "six": "VI"}

# Steps that are named as no note is.
NO_DEGREES = ("tonic", "subdominant")


def chords(sentence: Sentence, context: Context, _: Sequence[Place]) -> Iterator[Place]:
    """The chords that a sentence names by their kind, step, name or number; a bare step is one that is in sight."""
    music = context.music
    seen = [note for bar in context.bars for note in music.struck_between(bar.start, bar.end)]
    for pattern, how, name in CHORD_WORDS:
        test = is_of_family(name) if how == "family" else is_of_step(name)
        is_sure = partial(_is_chord, how, test, seen, music)
        for match in words_of_place(rf"{OVER}(?P<chord>{pattern})").finditer(sentence.text):
            if (
                how == "step"
                and ACTS_ON.search(sentence.text[: match.start()])
                and match[0].startswith("on ")
            ):
                continue  # "starts on the five": a note
            if (
                how == "step"
                and A_DEGREE.search(sentence.text[: match.start()])
                and REACHED.fullmatch(match[0])
            ):
                continue  # "flat nine into the five"
            if is_sure(match["chord"]):
                yield Place("chord", match.start(), match.end(), (), test)
        for match in words_of_place(rf"(?:the|that|this) (?P<chord>{pattern}){HAS}").finditer(sentence.text):
            if is_sure(match["chord"]):
                yield Place("chord", match.start(), match.end(), (), test)
    yield from _of_steps(sentence, seen, music)
    yield from _named_chords(sentence, context)
    yield from _of_both(sentence, context)
    for match in words_of_place(rf"{OVER}{NEXT_CHORD}").finditer(sentence.text):
        yield Place("chord", match.start(), match.end(), (), None)
    for match in words_of_place(rf"{OVER}({ORDINAL}|last|final|closing|opening) chord").finditer(
        sentence.text
    ):
        yield Place("chord", match.start(), match.end(), (), _nth_chord(match[1], context))


def _of_steps(sentence: Sentence, seen: Sequence[Note], music: Music) -> Iterator[Place]:
    """Chords by their steps alone, of which a degree is named."""
    for match in OF_A_STEP.finditer(sentence.text):
        test = is_of_step(BY_NUMBER[match["step"]])
        if any(test(note, music) for note in seen):
            yield Place("chord", *match.span("of"), (), test)


OF_ONE = pattern_of(r"\b(?:of|over|in) (?:the )?(?:one|first)(?= (?:and|but)\b|,)")
OF_OTHER = pattern_of(r"\b(?:of|over|in) the (?:other|second)(?! \w+s?\b)(?=\W|$)")
BOTH_CHORDS = pattern_of(r"\b(?:both(?! bars| measures)|common|shared?s?|(?:the|these) two chords)\b")


def _of_both(sentence: Sentence, context: Context) -> Iterator[Place]:
    """The two chords in sight, where a note is said to be in both: "the third of the one, the fifth of the other"."""
    one = OF_ONE.search(sentence.text)
    other = OF_OTHER.search(sentence.text, one.end()) if one is not None else None
    if one is None or other is None or not BOTH_CHORDS.search(sentence.text):
        return
    changes = [change for span in context.spans for change in context.music.changes_in(span) if change.chord]
    if len({change.chord for change in changes}) == len(changes) == 2:
        for match, word in ((one, "first"), (other, "last")):
            yield Place("chord", *match.span(), (), _nth_chord(word, context))


def _is_chord(how: str, test: Test, seen: Sequence[Note], music: Music, words: str) -> bool:
    """Whether words are sure to mean a chord: no bare step that is not in sight, which is a note."""
    return how == "family" or not words.isalnum() or words in NO_DEGREES or any(test(n, music) for n in seen)


OWNERS = r"(?:the|that|this|an|a|its|our|your|my|his|her|\w+'s)"
OVER_A_NAME = pattern_of(
    rf"(?<!\w)(?:{PREPOSITION}(?: {OWNERS})?(?: (?:last|first|same|next|following|coming|whole))?"
    r"|^\s*(?:the )?|the|that|this) $"
)
# "The third of C": its chord, be it there or not.
OF_ITS_DEGREE = pattern_of(
    rf"\b(?:root|{'|'.join(list(ORDINALS)[2:13])}|three|seven|nine|eleven|thirteen)"
    r" of (?:the |that |our )?(?:(?:following|next|coming) )?$"
)
# A chord that is only named: what is spoken of, unless it is left, reached, or no more than compared with.
TOPIC = pattern_of(
    rf"(?:(?:^|[,;:-] |\b(?:and|so|then|now|but|okay|right|here's|there's|it's|that's|is|have|got"
    rf"|get) ){OWNERS}?(?: \w+)? ?"
    rf"|\b{OWNERS}(?: (?:last|first|same|whole|big|little|old|good))? )$"
)
NO_TOPIC = pattern_of(
    r"\b(?:from|to|into|before|after|until|like|of|than|not|no|as|called|instead of|for)(?: \w+)? $"
)


def _named_chords(sentence: Sentence, context: Context) -> Iterator[Place]:
    """Chords by their names, where one of that name sounds in the bars in sight."""
    music, score = context.music, context.music.score
    bars = {bar.index for bar in context.bars}
    seen = [note for note in music.struck if note.bar in bars]
    for name in chord_names(sentence):
        text = sentence.text[: name.first]
        before = OVER_A_NAME.search(text)
        if pattern_of(r" (?:scale|mode|triad)\b").match(sentence.text[name.last :]):
            continue
        after = pattern_of(r" chord").match(sentence.text[name.last :])
        last = name.last + (after.end() if after else 0)
        bare = before is None or not pattern_of(PREPOSITION).match(before[0])
        acts = pattern_of(rf"{HAS}|(?= (?:arpeggio|triad|line|run|lick|shape|bar|measure)\b)").match(
            sentence.text[last:]
        )
        topic = bare and (before is None or not acts)
        if not score.bars or (topic and (not TOPIC.search(text) or NO_TOPIC.search(text))):
            continue
        first = name.first if before is None or topic else before.start()
        if OF_ITS_DEGREE.search(text) or any(is_over(name, note, music) for note in seen):
            yield Place("chord", first, last, (), partial(is_over, name), pointed=topic)
    for match in THAT_CHORD.finditer(sentence.text):
        named = [*chord_names(sentence), *_reached(sentence)]
        named = sorted([name for name in named if name.last <= match.start()], key=lambda name: name.first)
        if len(named) > 1 and any(is_over(named[-1], note, music) for note in seen):
            yield Place("chord", *match.span(), (), partial(is_over, named[-1]))


def _reached(sentence: Sentence) -> Iterator[ChordName]:
    """The chords by their roots alone to which others go: "C seven resolves to F"."""
    for match in REACHED_ROOT.finditer(sentence.text):
        root = NoteName(match["letter"].upper(), SIGNS[(match["sign"] or "").strip()])
        yield ChordName(match.start("letter"), match.end(), root, ())


REACHED_ROOT = pattern_of(r"\b(?:in)?to (?:the )?(?P<letter>[a-g])(?P<sign> flat| sharp)?(?=[,.;:]| and\b)")
# The last of several chords that are named: "C seven resolves to F, and we land on the third of that chord".
THAT_CHORD = pattern_of(rf"\b{PREPOSITION} (?:that|this)(?: (?:last|same|very))? chord\b")


def is_of_family(name: str) -> Test:
    """What tells the notes over chords of a family."""
    wanted = {"dominant": ("dominant", "altered", "suspended")}.get(name, (name,))

    def test(note: Note, music: Music) -> bool:
        chord = music.finding(note).chord
        return chord is not None and family(readings(chord)[0]) in wanted

    return test


def is_of_step(step: str) -> Test:
    """What tells the notes over chords of a step of the key: "V"."""

    def test(note: Note, music: Music) -> bool:
        function = _function_at(note, music)
        if function is None:
            return False
        bare = bare_numeral(function.numeral).lstrip("b#").upper()
        return bare == step and music.finding(note).chord is not None

    return test


def _function_at(note: Note, music: Music) -> Function | None:
    chord = music.finding(note).chord
    onset = note.onset
    for function in music.analysis.functions:
        if function.span.start <= onset < function.span.end and function.chord == chord:
            return function
        if function.span.start > onset and function.chord == chord:
            return function
    return None


def _nth_chord(word: str, context: Context) -> Test | None:
    changes = [change for span in context.spans for change in context.music.changes_in(span) if change.chord]
    place = (
        len(changes) if word in ("last", "final", "closing") else 1 if word == "opening" else ordinal_of(word)
    )
    if not 0 < place <= len(changes):
        return None
    chord = changes[place - 1].chord
    return lambda note, music: music.finding(note).chord == chord
