"""A first lesson script for a score: cues along its phrases and sections, and what is worth saying in each.

The draft is checked as any script is: what the check objects to is left out, so that what remains holds.
"""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from zlib import crc32

from lessonmaker.analysis.lines import LONGEST_BREATH
from lessonmaker.analysis.model import Device, ScaleUse
from lessonmaker.analysis.scale_text import root_words
from lessonmaker.analysis.words import number_words
from lessonmaker.score.edition_table import EDITIONS, Edition
from lessonmaker.score.model import Bar, Note, Score
from lessonmaker.score.position import (
    INSTANT,
    Span,
    bars_in,
    format_position,
    format_span,
    overlap,
    whole_bars,
)
from lessonmaker.script.candidates import PAIRS, device_candidate, scale_target
from lessonmaker.script.check import Examined, examine_lesson
from lessonmaker.script.draft_facts import (
    LEAST_CONFIDENCE,
    bar_of,
    degrees_in_words,
    form_in_words,
    goes_home_by_way_of_other_keys,
    wording_of,
    wording_of_motif,
    wording_of_scale,
)
from lessonmaker.script.draft_words import (
    CLOSINGS,
    COMPARISONS,
    FORMS,
    KEYS,
    OPENINGS,
    PEAKS,
    PRACTICE,
    SENTENCES,
    TITLES,
    WORTH,
)
from lessonmaker.script.load import load_lesson
from lessonmaker.script.music import Music
from lessonmaker.theory.chord import degree_spoken

__all__ = ["chord_place_of", "draft_of", "draft_text", "examined_text", "quoted"]

FEWEST_BARS, MOST_BARS = 4, 8
MOST_SENTENCES = 3
FEWEST_MOTIF_NOTES = 5
MOST_PRACTICE = 3
LEAST_SCALE_CONFIDENCE = 0.6
WHOLE_FIGURE, SMALL_FIGURE = 4, 0.75
AGAIN = 0.7  # what saying a kind of thing again is worth
COLOURS = ("b9", "#9", "#11", "b13", "#5", "4")
RESTING = {"9": "ninth", "11": "eleventh", "13": "thirteenth", "5": "fifth", "4": "fourth", "6": "sixth"}
RESTING |= {"b7": "flat seventh", "7": "seventh"}


@dataclass
class DraftCue:
    """A cue of a draft: the bars it shows, its title and its sentences, in the script's own notation.

    Two places that it compares stand in `bars` one after the other: "1-2, 25-26".
    """

    bars: str
    title: str
    sentences: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Draft:
    """A drafted lesson."""

    title: str
    cues: tuple[DraftCue, ...]


@dataclass(frozen=True)
class Thing:
    """Something worth saying: its kind, its place, what it is worth, and how its sentence is filled in.

    `detail` chooses among the sentences of its kind; no two things that say (`says`) the same stand in one cue.
    """

    kind: str
    span: Span
    worth: float
    filled: Callable[[str], str]
    detail: str = ""
    says: str = ""

    def wording(self, texts: Collection[str]) -> str:
        """Which of some sentences it has: those for its detail, where there are any."""
        detailed = f"{self.kind}:{self.detail}"
        return detailed if detailed in texts else self.kind


def draft_of(score: Score, title: str) -> Draft:
    """A draft for a score; `title` is the lesson's. Without bars it has one cue that says so little as to be true."""
    music = Music.of(score)
    things = sorted(_things(music), key=lambda thing: -thing.worth)
    writer = _Writer(music, crc32(title.encode()))
    cues = [DraftCue("all", "The whole etude", writer.overview())]
    cues += [writer.cue(span, things) for span in cue_spans(music)]
    cues += writer.comparison()
    cues += writer.practice(things)
    return Draft(title, tuple(cues))


# Where the cues are cut ----------------------------------------------------------------------------------


def cue_spans(music: Music) -> list[Span]:
    """Stretches of four to eight bars along sections and phrases; they cover every full bar."""
    spans: list[Span] = []
    for section in _sections(music.score):
        start = 0
        while start < len(section):
            length = _length(music, section[start:])
            part = section[start : start + length]
            spans.append(Span(part[0].start, part[-1].end))
            start += length
    return spans


def _sections(score: Score) -> list[list[Bar]]:
    sections: list[list[Bar]] = []
    for bar in (bar for bar in score.bars if bar.length > 0):
        if not sections or (bar.section and bar.start > 0):
            sections.append([])
        sections[-1].append(bar)
    return sections


def _length(music: Music, bars: Sequence[Bar]) -> int:
    """How many bars the next cue takes: up to where a phrase begins, and never a short rest at the end."""
    if len(bars) <= MOST_BARS and (len(bars) < 2 * FEWEST_BARS or not _begins(music, bars[FEWEST_BARS])):
        return len(bars)
    allowed = [n for n in range(FEWEST_BARS, MOST_BARS + 1) if len(bars) - n >= FEWEST_BARS or len(bars) == n]
    return next(
        (n for n in allowed if n < len(bars) and _begins(music, bars[n])),
        allowed[0] if allowed else len(bars),
    )


def _begins(music: Music, bar: Bar) -> bool:
    """Whether a phrase begins with a bar: in its first beat, or as a pickup to it."""
    beat = bar.metre.unit_quarters
    starts = (phrase.span.start for phrase in music.analysis.phrases)
    return any(bar.start - bar.metre.bar_quarters / 2 <= start <= bar.start + beat for start in starts)


# What is worth saying ------------------------------------------------------------------------------------


def _things(music: Music) -> Iterator[Thing]:
    for device in music.analysis.devices:
        if device.confidence >= LEAST_CONFIDENCE and device.kind in WORTH and _has_words(device):
            yield _device_thing(device, music)
    for use in music.analysis.scales:
        if _is_told(use) and _is_of_one_chord(use, music):
            yield _scale_thing(use, music)
    for note in music.struck:
        if music.finding(note).role in ("anticipation", "suspension"):
            yield _role_thing(note, music)


def _is_told(use: ScaleUse) -> bool:
    """Whether a scale is sure, told by a note of its own, and all that the notes use."""
    return use.confidence >= LEAST_SCALE_CONFIDENCE and bool(use.deciding) and not use.outside


def _is_of_one_chord(use: ScaleUse, music: Music) -> bool:
    """Whether a scale is that of one chord, from its root."""
    names = set(use.notes)
    chords = {music.finding(note).chord for note in music.struck if note.id in names}
    chord = next(iter(chords)) if len(chords) == 1 else None
    return chord is not None and chord.root.pitch_class == use.root.pitch_class


def _has_words(device: Device) -> bool:
    return device.kind in SENTENCES or f"{device.kind}:{device.detail}" in SENTENCES


def _device_thing(device: Device, music: Music) -> Thing:
    worth = WORTH[device.kind] * device.confidence
    if device.kind in PAIRS and device.detail.split(" -> ")[0] not in COLOURS:
        worth /= 2
    if device.kind == "upper-structure triad" and len(device.notes) < WHOLE_FIGURE:
        worth *= SMALL_FIGURE
    wording = wording_of(device, music)
    if device.kind == "landing note":
        return Thing(device.kind, device.span, worth, lambda text: _with_note(text, device.notes[0], music))
    if device.kind in PAIRS:
        return Thing(
            device.kind,
            device.span,
            worth,
            lambda text: _with_pair(text, device, music),
            wording,
            device.detail,
        )
    target = device_candidate(device, music).target

    def filled(text: str) -> str:
        if "{degrees}" in text:
            text = text.replace("{degrees}", degrees_in_words(device, music))
        return _linked(_times(text, device), target, device.span, music)

    return Thing(device.kind, device.span, worth, filled, wording)


def _scale_thing(use: ScaleUse, music: Music) -> Thing:
    target = scale_target(use, music)
    first = music.struck_by_id.get(use.notes[0])
    chord = None if first is None else music.finding(first).chord
    name = root_words(use.scale, use.root.pitch_class, chord)

    def filled(text: str) -> str:
        return _linked(text.replace("{scale}", f"[{name}](-)"), target, use.span, music)

    return Thing("scale", use.span, WORTH["scale"] * use.confidence, filled, wording_of_scale(use))


def _role_thing(note: Note, music: Music) -> Thing:
    role = music.finding(note).role or ""
    span = Span(note.onset, note.onset + note.held)
    return Thing(role, span, WORTH[role] * 0.8, lambda text: _with_note(text, note.id, music))


# Filling in ----------------------------------------------------------------------------------------------


def _linked(text: str, target: str, span: Span, music: Music) -> str:
    """A sentence with its link and its chord filled in."""
    while "{link:" in text:
        before, _, rest = text.partition("{link:")
        words, _, after = rest.partition("}")
        text = f"{before}[{words}]({target}){after}"
    return _with_chord(text, span, music)


def _with_chord(text: str, span: Span, music: Music) -> str:
    """The braces that name the chord where something begins; without one the sentence cannot be said."""
    if "{chord}" not in text:
        return text
    first = next(iter(music.struck_in(span)), None)
    place = _chord_place(span.start, music) if first is None else chord_place_of(first, music)
    return text.replace("{chord}", f"{{chord {place}}}") if place else ""


def _chord_place(time: Fraction, music: Music) -> str:
    """A position at which a chord is in force, or nothing."""
    there = music.changes_in(Span(time, time + INSTANT))
    return format_position(music.score, time) if there else ""


def chord_place_of(note: Note, music: Music) -> str:
    """A position at which the chord is in force that a note is heard against: of one that is early, the next."""
    heard = music.finding(note).chord
    end = note.onset + max(note.held, INSTANT) + LONGEST_BREATH  # before which an early note is struck again
    changes = music.changes_in(Span(note.onset, end + INSTANT))
    times = [max(change.onset, note.onset) for change in changes if change.chord == heard]
    return _chord_place(times[0] if times else note.onset, music)


def _times(text: str, device: Device) -> str:
    count = len(device.groups)
    return text.replace("{times}", "twice" if count == 2 else f"{number_words(count)} times")


def _degree_link(note: Note, music: Music) -> str:
    degree = music.finding(note).degree or ""
    words = RESTING.get(degree) or degree_spoken(degree)
    return f"[{words}]({degree}@{format_position(music.score, note.onset)})"


def _with_pair(text: str, device: Device, music: Music) -> str:
    first, second = (music.struck_by_id[name] for name in device.notes[:2])
    falls = second.sounding.midi < first.sounding.midi
    text = text.replace("{first}", _degree_link(first, music)).replace(
        "{second}", _degree_link(second, music)
    )
    text = text.replace("{next}", f"{{chord {chord_place_of(second, music)}}}")
    text = text.replace("{moves}", "falls" if falls else "rises").replace(
        "{move}", "fall" if falls else "rise"
    )
    return _linked(text, device_candidate(device, music).target, device.span, music)


def _with_note(text: str, name: str, music: Music) -> str:
    note = music.struck_by_id[name]
    if music.finding(note).degree is None:
        return ""
    text = text.replace("{note}", _degree_link(note, music))
    return _with_chord(text, Span(note.onset, note.onset + INSTANT), music)


class _Writer:
    """Writes cues, and does not say the same words twice in a row; where it begins is another for each `number`."""

    def __init__(self, music: Music, number: int) -> None:
        self.music = music
        self.number = number
        self.said: Counter[str] = Counter()

    def overview(self) -> list[str]:
        """What is said of the whole etude: how long it is, where it goes, what to listen for."""
        found = [self.next(OPENINGS, "opening")]
        form = form_in_words(self.music.score.bars)
        if form is not None:
            bars, sections = form
            found.append(self.next(FORMS, "form").format(bars=bars, sections=sections))
        if goes_home_by_way_of_other_keys(self.music):
            found.append(self.next(KEYS, "keys"))
        dissonant, highest = (bar_of(kind, self.music) for kind in ("most dissonant spot", "register peak"))
        if dissonant and highest and dissonant != highest:
            places = {
                "dissonant": f"[bar {dissonant}]({dissonant})",
                "highest": f"[bar {highest}]({highest})",
            }
            found.append(self.next(PEAKS, "peaks").format_map(places))
        return found

    def cue(self, span: Span, things: Sequence[Thing]) -> DraftCue:
        """The cue over a stretch of bars."""
        chosen = self.chosen(span, things)
        sentences = [sentence for thing in chosen if (sentence := self.sentence(thing))]
        bars = format_span(self.music.score, span)
        if not sentences:
            sentences = [self.next(CLOSINGS, "")]
        return DraftCue(bars, self.title(chosen, bars), sentences)

    def chosen(self, span: Span, things: Sequence[Thing]) -> list[Thing]:
        """The few things worth most that lie inside a stretch, each kind once, none over another; in time."""
        found: list[Thing] = []
        for thing in sorted(things, key=lambda thing: -thing.worth * AGAIN ** self.said[thing.kind]):
            inside = span.start <= thing.span.start and thing.span.end <= span.end
            new = not any(thing.kind == o.kind or (thing.says and thing.says == o.says) for o in found)
            apart = all(not overlap(thing.span, other.span) for other in found)
            if inside and new and apart and len(found) < MOST_SENTENCES:
                found.append(thing)
        return sorted(found, key=lambda thing: thing.span.start)

    def sentence(self, thing: Thing) -> str:
        """The next sentence of a kind that can be said of a thing."""
        wording = thing.wording(SENTENCES)
        self.said[thing.kind] += 1
        for _ in SENTENCES[wording]:
            filled = thing.filled(self.next(SENTENCES[wording], f"words {thing.kind}"))
            if filled:
                return filled
        return ""

    def next(self, texts: Sequence[str], kind: str) -> str:
        """The texts of a kind in turn."""
        self.said[kind] += 1
        return texts[(self.number + self.said[kind] - 1) % len(texts)]

    def title(self, chosen: Sequence[Thing], bars: str) -> str:
        """A title after what is worth most; never one twice."""
        best = max(chosen, key=lambda thing: thing.worth, default=None)
        for kind in ([best.kind] if best is not None else []) + [
            thing.kind for thing in chosen if thing is not best
        ]:
            count = self.said[f"title {kind}"]
            if count < len(TITLES.get(kind, ())):
                self.said[f"title {kind}"] += 1
                return TITLES[kind][count]
        return f"Bars {bars}" if "-" in bars else f"Bar {bars}"

    def comparison(self) -> list[DraftCue]:
        """The two places between which a figure of the etude is away longest, one above the other."""
        score = self.music.score
        for motif in sorted(told_motifs(self.music.analysis.devices), key=lambda each: -len(each.notes)):
            spans = [_span_of(group, self.music) for group in (motif.groups[0], motif.groups[-1])]
            first, last = (_bars_round(score, span) for span in spans)
            if bars_in(score, spans[0])[-1] + 1 >= bars_in(score, spans[1])[0]:
                continue
            text = self.next(COMPARISONS[wording_of_motif(motif, self.music)], "comparison")
            links = [f"[this]({format_span(score, span)})" for span in spans]
            sentence = _times(text, motif).replace("{one}", links[0]).replace("{other}", links[1])
            return [DraftCue(f"{first}, {last}", self.next(TITLES["motif"], "title motif"), [sentence])]
        return []

    def practice(self, things: Sequence[Thing]) -> list[DraftCue]:
        """What to take through the keys, and why: the best of several kinds, at different bars."""
        best: dict[str, tuple[str, Thing]] = {}
        for thing in things:
            bars = _bars_round(self.music.score, thing.span)
            taken = thing.kind in best or bars in (other for other, _ in best.values())
            if thing.kind in PRACTICE and not taken:
                best[thing.kind] = bars, thing
        cues: list[DraftCue] = []
        for bars, thing in sorted(list(best.values())[:MOST_PRACTICE], key=lambda one: one[1].span.start):
            sentence = thing.filled(self.next(PRACTICE[thing.wording(PRACTICE)], "practice"))
            if sentence:
                cues.append(
                    DraftCue(bars, f"To practise: {'bars' if '-' in bars else 'bar'} {bars}", [sentence])
                )
        return cues


def told_motifs(devices: Sequence[Device]) -> Iterator[Device]:
    """The motifs that are long enough to be known again by those who have not been told of them."""
    for device in devices:
        told = device.kind == "motif" and device.confidence >= LEAST_CONFIDENCE
        if told and len(device.groups[0]) >= FEWEST_MOTIF_NOTES:
            yield device


def _span_of(names: Sequence[str], music: Music) -> Span:
    first, last = (music.struck_by_id[name] for name in (names[0], names[-1]))
    return Span(first.onset, last.onset + last.held)


def _bars_round(score: Score, span: Span) -> str:
    return format_span(score, whole_bars(score, bars_in(score, span)))


# The script ----------------------------------------------------------------------------------------------


def draft_text(draft: Draft, score: Score, score_file: Path, written: str, head: Sequence[str] = ()) -> str:
    """The lesson script of a draft, without what the check objects to.

    Args:
        draft: what was drafted.
        score: its score.
        score_file: where the score is.
        written: how the script names it.
        head: further lines for the script's head (`written_for: ...`).
    """
    cues = list(draft.cues)
    while wrong := _objected(_script(draft.title, cues, str(score_file.resolve()), head), score):
        cues = [kept for number, cue in enumerate(cues) if (kept := _without(cue, wrong.get(number, set())))]
    return _script(draft.title, cues, written, head)


def _without(cue: DraftCue, wrong: set[int]) -> DraftCue | None:
    sentences = [sentence for number, sentence in enumerate(cue.sentences) if number not in wrong]
    if not sentences and (cue.title.startswith("To practise") or ", " in cue.bars):
        return None
    return DraftCue(cue.bars, cue.title, sentences or [CLOSINGS[0]])


def _script(title: str, cues: Sequence[DraftCue], score_file: str, head: Sequence[str]) -> str:
    lines = [
        "# A first draft: change every word of it.",
        f"lesson: {quoted(title)}",
        f"score: {quoted(score_file)}",
    ]
    lines += [*head, "cues:"]
    for cue in cues:
        lines += [_shown(cue.bars), f"    title: {quoted(cue.title)}", "    say: |"]
        lines += [f"      {sentence}" for sentence in cue.sentences]
        lines.append("")
    return "\n".join(lines)


def _shown(bars: str) -> str:
    """What a cue shows, as the line that begins it."""
    places = [quoted(place) for place in bars.split(", ")]
    return f"  - compare: [{', '.join(places)}]" if len(places) > 1 else f"  - bars: {places[0]}"


def quoted(text: str) -> str:
    """A YAML scalar that stays this text."""
    if (
        text
        and all(char.isalnum() or char in " -_./’!" for char in text)
        and text[0].isalnum()
        and text == text.strip()
    ):
        return text
    plain = "".join(char if char.isprintable() else " " for char in text)
    return "'" + plain.replace("'", "''") + "'"


def examined_text(text: str, score: Score, editions: Sequence[Edition] = ()) -> Examined:
    """A script that is in no file yet, read against its score; `editions` are what it is made for."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "draft.yaml"
        path.write_text(text, encoding="utf-8")
        return examine_lesson(load_lesson(path), score, editions)


def _objected(text: str, score: Score) -> dict[int, set[int]]:
    """The sentences of a script that have a fault, a question or a remark, by cue."""
    examined = examined_text(text, score, tuple(EDITIONS.values()))
    path = examined.checked.lesson.path
    said = [*examined.faults, *examined.checked.remarks]
    lines = {fault.place.line for fault in said if fault.place.path == path and fault.place.line}
    return _by_cue(text.splitlines(), lines)


def _by_cue(text: Sequence[str], lines: set[int]) -> dict[int, set[int]]:
    wrong: dict[int, set[int]] = {}
    cue, sentence = -1, 0
    for number, line in enumerate(text, 1):
        if line.startswith("  - "):
            cue, sentence = cue + 1, 0
        elif line.startswith("      "):
            if number in lines:
                wrong.setdefault(cue, set()).add(sentence)
            sentence += 1
    return wrong
