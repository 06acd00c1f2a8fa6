"""Talking about bars: the narration, the light on its words, labels, arrows, captions.

A light's fade-in has its half level 20 ms before the word, and it stays at least 1.2 s; labels and rings stay to
the end of the sentence that names them, at most five labels at a time; an arrow comes with the word that names
the resolution. The amber light is in one place at a time: it gives way to the next one.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from lessonmaker.analysis.model import Analysis
from lessonmaker.score.model import Note, Score
from lessonmaker.score.position import bars_in
from lessonmaker.script.model import Lit, Mention, Token
from lessonmaker.sound.model import Narration
from lessonmaker.timeline.captions import SHORTEST, TimedToken, captions_of, ends_sentence
from lessonmaker.timeline.model import Arrow, AudioClip, Label, Light, Sign, Use
from lessonmaker.timeline.performance import Pages, turn_to
from lessonmaker.timeline.reel import MILLISECOND, Reel, whole_samples
from lessonmaker.timeline.signs import mention_signs

__all__ = [
    "Amber",
    "Spoken",
    "Subject",
    "Talk",
    "ambers",
    "discuss",
    "draw_labels",
    "draw_signs",
    "light_ambers",
    "light_capsule",
    "mention_bars",
    "mention_use",
    "ringed",
]

FADE_IN, FADE_OUT = 120 * MILLISECOND, 200 * MILLISECOND
ARROW_FADE = 200 * MILLISECOND
HALF_LEVEL_BEFORE = 20 * MILLISECOND
AT_LEAST = 1200 * MILLISECOND
PAGE_AHEAD = 300 * MILLISECOND
PAGE_TURN = 250 * MILLISECOND
CAPTION_STAYS = 400 * MILLISECOND  # no longer than the shortest pause after a talk
MOST_LABELS = 5
WIDEST_AREA = 1  # an area's notes lie in one bar or in neighbours: it is to point, not to cover the page


@dataclass(frozen=True)
class Subject:
    """What one cue speaks of in one edition."""

    score: Score
    analysis: Analysis
    mentions: tuple[Mention, ...]


@dataclass(frozen=True)
class Talk(Subject):
    """One cue's commentary in one edition. `source` names its narration to the mixer."""

    tokens: tuple[Token, ...]
    narration: Narration
    source: str
    line_length: int


@dataclass(frozen=True)
class Amber:
    """One amber light: bars (a span) or notes, and the mentions it is for."""

    spoken: tuple[Spoken, ...]
    bars: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Spoken:
    """A mention as it is spoken or read: its index, its first tick, which sentence it is in, and where that ends."""

    index: int
    start: int
    sentence: int
    sentence_end: int


def discuss(reel: Reel, talk: Talk, pages: Pages) -> None:
    """Lay the narration at the cursor and everything that its words light."""
    began = reel.cursor
    length = whole_samples(talk.narration.audio.seconds)
    reel.clips.append(AudioClip(began, talk.source, "narration", 0.0, talk.narration.audio.seconds))
    timed = timed_tokens(talk, began)
    spoken = spoken_mentions(timed, began + length)
    end = seen_until(timed, spoken, began + length)
    reel.captions.extend(captions_of(timed, end + CAPTION_STAYS, talk.line_length))
    shown = {bar for page in pages for row in page for bar in row}
    for said in spoken:
        turn_to_mention(reel, talk, said, pages)
        light_mention(reel, talk, said)
        draw_signs(reel, talk, said, shown)
    draw_labels(reel, talk, spoken)
    light_ambers(reel, talk, ambers(talk, spoken))
    reel.cursor = end


def seen_until(timed: Sequence[TimedToken], spoken: Sequence[Spoken], end: int) -> int:
    """The end of the talk, put off where its last light or caption would be cut short."""
    lights = [said.sentence_end for said in spoken]
    captions = [timed[-1].start + SHORTEST - CAPTION_STAYS] if timed else []
    return max(end, *lights, *captions) if lights or captions else end


def timed_tokens(talk: Talk, began: int) -> list[TimedToken]:
    """Each printed word with its time: the narration has one a token."""
    timed: list[TimedToken] = []
    for token, word in zip(talk.tokens, talk.narration.words, strict=True):
        start, end = began + whole_samples(word.start_s), began + whole_samples(word.end_s)
        use = mention_use(talk.mentions[token.mention]) if token.mention is not None else None
        timed.append(TimedToken(token.printed, start, max(end, start), token.mention, use))
    return timed


def mention_use(mention: Mention) -> Use:
    """The colour a mention's term and notes take."""
    if mention.kind != "notes":
        return "now"
    return "tension" if any(lit.tension for lit in mention.notes) else "rest"


def spoken_mentions(timed: Sequence[TimedToken], end: int) -> list[Spoken]:
    """The mentions in the order they are spoken."""
    ends = [token.end for token in timed if ends_sentence(token.printed)] + [end]
    found: list[Spoken] = []
    sentence = 0
    seen: set[int] = set()
    for token in timed:
        if token.mention is not None and token.mention not in seen:
            seen.add(token.mention)
            found.append(
                Spoken(token.mention, token.start, sentence, max(ends[sentence], token.start + AT_LEAST))
            )
        sentence += ends_sentence(token.printed)
    return ending_together(found)


def ending_together(spoken: Sequence[Spoken]) -> list[Spoken]:
    """What a sentence lights goes out together."""
    ends: dict[int, int] = {}
    for said in spoken:
        ends[said.sentence] = max(ends.get(said.sentence, 0), said.sentence_end)
    return [replace(said, sentence_end=ends[said.sentence]) for said in spoken]


def fade_start(word: int) -> int:
    """Where a fade-in begins so that its half level comes just before the word."""
    return max(word - HALF_LEVEL_BEFORE - FADE_IN // 2, 0)


def turn_to_mention(reel: Reel, talk: Talk, said: Spoken, pages: Pages) -> None:
    """Bring the first bar of what a mention lights into sight before it is lit."""
    bars = lit_bars(talk, said)
    if bars and pages:
        start = max(fade_start(said.start) - PAGE_AHEAD, reel.pages[-1].start)
        turn_to(reel, pages, bars[0], start, PAGE_TURN)


def lit_bars(talk: Subject, said: Spoken) -> tuple[int, ...]:
    """The bars of what a mention lights, in order."""
    return mention_bars(talk.score, talk.mentions[said.index])


def mention_bars(score: Score, mention: Mention) -> tuple[int, ...]:
    """The bars of what a mention lights, in order."""
    notes = {lit.note for lit in mention.notes}
    if notes:
        return tuple(note.bar for note in score.struck if note.id in notes)
    if mention.kind == "chord":
        return tuple(change.bar for change in score.changes if change.id in mention.changes)
    return bars_in(score, mention.span)


def light_mention(reel: Reel, talk: Talk, said: Spoken) -> None:
    """The rings of notes, or the capsule of a chord."""
    light_capsule(reel, talk, said)
    span = fade_start(said.start), said.sentence_end + FADE_OUT
    for lit in ringed(talk.mentions[said.index]):
        use: Use = "tension" if lit.tension else "rest"
        reel.lights.append(Light("note", *span, (lit.note,), use, FADE_IN, FADE_OUT))


def light_capsule(reel: Reel, talk: Subject, said: Spoken) -> None:
    """The capsule of a chord that is mentioned."""
    mention = talk.mentions[said.index]
    if mention.kind == "chord":
        span = fade_start(said.start), said.sentence_end + FADE_OUT
        reel.lights.append(Light("chord", *span, mention.changes, "now", FADE_IN, FADE_OUT))


def ringed(mention: Mention) -> tuple[Lit, ...]:
    """The notes of a mention that have a ring: those pointed at one by one, and of a scale those with a label."""
    if mention.kind == "notes":
        return mention.notes
    return tuple(lit for lit in mention.notes if lit.label is not None) if mention.kind == "scale" else ()


def draw_signs(reel: Reel, talk: Subject, said: Spoken, bars: Collection[int] | None = None) -> None:
    """The signs under the staff for a device or a scale, as far as it lies in some bars."""
    span = fade_start(said.start), said.sentence_end + FADE_OUT
    shapes = mention_signs(talk.mentions[said.index], talk.score, bars)
    reel.signs += [Sign(*span, shape, FADE_IN, FADE_OUT) for shape in shapes]


# The amber light ----------------------------------------------------------------------------------------


def ambers(talk: Subject, spoken: Sequence[Spoken]) -> list[Amber]:
    """The amber lights in the order of speech: mentions of a sentence that lie close together share one."""
    found: list[Amber] = []
    for said in spoken:
        mention = talk.mentions[said.index]
        notes = tuple(lit.note for lit in mention.notes)
        if notes and found and share(talk, found[-1], said):
            found[-1] = Amber((*found[-1].spoken, said), notes=(*found[-1].notes, *notes))
        elif notes:
            found.append(Amber((said,), notes=notes))
        elif mention.kind == "span":
            found.append(Amber((said,), bars=bars_in(talk.score, mention.span)))
    return found


def share(talk: Subject, amber: Amber, said: Spoken) -> bool:
    """Whether a mention is of the same sentence as an area, and near enough to widen it."""
    bars = [bar for other in (*amber.spoken, said) for bar in lit_bars(talk, other)]
    together = amber.spoken[-1].sentence == said.sentence
    return bool(amber.notes) and together and max(bars) - min(bars) <= WIDEST_AREA


def light_ambers(reel: Reel, talk: Subject, lit: Sequence[Amber]) -> None:
    """Lay the amber lights, each until the next one comes; under an area its chord is lit too.

    One that comes at once waits until the one before has been seen. Bars that are named only to lead on to something
    in the next breath are not lit.
    """
    seen = 0
    for number, amber in enumerate(lit):
        start, end = max(fade_start(amber.spoken[0].start), seen), amber.spoken[-1].sentence_end
        if number + 1 < len(lit):
            following = fade_start(lit[number + 1].spoken[0].start)
            if amber.bars and following < start + AT_LEAST:
                continue
            end = seen = min(end, max(following, start + AT_LEAST))
        span = start, end + FADE_OUT
        if amber.bars:
            reel.lights.append(Light("span", *span, amber.bars, "now", FADE_IN, FADE_OUT))
        for notes in neighbourhoods(talk.score, amber.notes):
            reel.lights.append(Light("area", *span, notes, "now", FADE_IN, FADE_OUT))
        if amber.notes:
            light_chord(reel, talk.score, amber.notes[0], span)


def neighbourhoods(score: Score, notes: Sequence[str]) -> list[tuple[str, ...]]:
    """Note ids in the order of the score, each once, cut where they reach beyond neighbouring bars."""
    runs: list[list[Note]] = []
    for note in (note for note in score.struck if note.id in notes):
        if runs and note.bar - runs[-1][0].bar <= WIDEST_AREA:
            runs[-1].append(note)
        else:
            runs.append([note])
    return [tuple(note.id for note in run) for run in runs]


def light_chord(reel: Reel, score: Score, first: str, span: tuple[int, int]) -> None:
    """The capsule on the chord under the first note spoken of."""
    onset = next(note.onset for note in score.struck if note.id == first)
    current = [change.id for change in score.changes if change.onset <= onset and change.chord is not None]
    if current:
        reel.lights.append(Light("chord", *span, (current[-1],), "now", FADE_IN, FADE_OUT))


# Labels and arrows --------------------------------------------------------------------------------------


def draw_labels(reel: Reel, talk: Subject, spoken: Sequence[Spoken]) -> None:
    """The labels of what is mentioned, and the arrows between them."""
    drawn: list[Label] = []
    for said in spoken:
        drawn = with_room(drawn, labels_of(talk, said))
    drawn = [label for label in drawn if label.start < label.end]
    reel.labels.extend(drawn)
    for sentence in sorted({said.sentence for said in spoken}):
        draw_arrows(reel, talk, [said for said in spoken if said.sentence == sentence], drawn)


def labels_of(talk: Subject, said: Spoken) -> list[Label]:
    """The labels of one mention, to the end of its sentence."""
    mention = talk.mentions[said.index]
    span = fade_start(said.start), said.sentence_end + FADE_OUT
    return [
        Label(*span, lit.note, lit.label, "tension" if lit.tension else "rest", FADE_IN, FADE_OUT)
        for lit in ringed(mention)
        if lit.label is not None
    ]


def with_room(drawn: Sequence[Label], new: Sequence[Label]) -> list[Label]:
    """Labels and those of the next mention: one in sight stays on; where there would be too many the oldest go.

    Labels that came together go together: what is left of a triad would be misread.
    """
    if not new:
        return list(drawn)
    start, names = new[0].start, {(label.note, label.text) for label in new}
    seen = [label for label in drawn if label.end > start]
    again = [label for label in seen if (label.note, label.text) in names]
    others = [label for label in seen if label not in again]
    oldest = {label.start for label in others[: max(len(others) + len(names) - MOST_LABELS, 0)]}
    leaving = [label for label in others if label.start in oldest]
    ends = {label: max(label.end, new[0].end) for label in again} | dict.fromkeys(leaving, start)
    staying = [replace(label, end=ends.get(label, label.end)) for label in drawn]
    known = {(label.note, label.text) for label in again}
    return [*staying, *(label for label in new if (label.note, label.text) not in known)]


def draw_arrows(reel: Reel, talk: Subject, spoken: Sequence[Spoken], labels: Sequence[Label]) -> None:
    """A sentence's arrows from tensions to their resolutions, from the word that names the resolution on."""
    said_at = {
        lit.note: said for said in reversed(spoken) for lit in talk.mentions[said.index].notes if lit.label
    }
    for finding in talk.analysis.findings:
        source, target = said_at.get(finding.note), said_at.get(finding.resolves_to or "")
        if source and target and source.start <= target.start:
            pair = finding.note, finding.resolves_to or ""
            ends = [
                label.end
                for label in labels
                if label.note in pair and label.start <= target.start < label.end
            ]
            start = max(target.start - HALF_LEVEL_BEFORE - ARROW_FADE // 2, 0)
            if len(ends) == len(pair):
                reel.arrows.append(Arrow(start, min(ends), *pair, ARROW_FADE, FADE_OUT))
