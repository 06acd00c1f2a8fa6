"""Lesson scripts and books as values, before and after their claims are checked.

A loaded `Lesson` holds what the author wrote, each part with its place in the file. `check_lesson` turns
it into a `CheckedLesson`, in which every link is a `Mention` of real bars and notes and every pair of
braces a `Named` thing. `tokens_for` an edition turns a cue's commentary into `Token`s: what is printed,
what is spoken, what it lights.

Chord and note names in a script are those of the score file's own page: concert names for a concert
score, the instrument's names for a part written for it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import Literal

from lessonmaker.analysis.model import Analysis, Device, ScaleUse
from lessonmaker.faults import Fault, Place
from lessonmaker.score.model import Score
from lessonmaker.score.position import Span
from lessonmaker.script.overlay_style import STANDARD_STYLE, OverlayStyle
from lessonmaker.theory.chord import Chord

__all__ = [
    "Book",
    "BookOverlay",
    "CheckedCue",
    "CheckedLesson",
    "Commentary",
    "Cue",
    "Hearing",
    "Lesson",
    "Lit",
    "Mention",
    "Named",
    "Piece",
    "Pin",
    "PinnedPlace",
    "Play",
    "Recording",
    "Run",
    "SceneCode",
    "Span",
    "Token",
    "Understood",
]


@dataclass(frozen=True)
class Piece:
    """A run of commentary.

    "text" is plain; "link" has the spoken words in `text` (and, taken apart, in `inside`) and what they
    light in `target`; "brace" holds what stands between the braces in `target`. `start` is the offset of
    the first character of `text` (of `target` for braces) in the commentary as YAML gives it.
    """

    kind: Literal["text", "link", "brace"]
    text: str
    target: str
    place: Place
    start: int = 0
    inside: tuple[Piece, ...] = ()


@dataclass(frozen=True)
class Run:
    """From this offset on, each character of the text is one column further in this line of the file."""

    offset: int
    line: int
    column: int


@dataclass(frozen=True)
class Commentary:
    """What is said in a cue; `runs` lead from an offset in the text to a place in the file."""

    pieces: tuple[Piece, ...]
    place: Place
    runs: tuple[Run, ...] = ()

    def place_at(self, offset: int) -> Place:
        """Where the character at an offset of the text stands in the file."""
        return place_in_runs(self.runs, offset, self.place)


def place_in_runs(runs: Sequence[Run], offset: int, whole: Place) -> Place:
    """The place of an offset, or of the whole text where no run holds it."""
    found = bisect_right(runs, offset, key=lambda run: run.offset)
    if not found:
        return whole
    run = runs[found - 1]
    return Place(whole.path, run.line, run.column + offset - run.offset)


@dataclass(frozen=True)
class Play:
    """Play a passage from the take: `tempo` is a share of the take's, `times` how often.

    `bars` is the author's text ("all", "3-4"), or "" for the cue's own bars. `play: no` has `times` 0.
    """

    bars: str
    tempo: Fraction
    times: int
    place: Place


@dataclass(frozen=True)
class Recording:
    """A file of the author's voice: for an edition (its id), or for all (None)."""

    path: Path
    edition: str | None
    place: Place


@dataclass(frozen=True)
class SceneCode:
    """The function of the author's that makes a scene: `function` in the file `module` beside the script."""

    module: str
    function: str
    place: Place

    @property
    def name(self) -> str:
        """As it is written in a script."""
        return f"{self.module}:{self.function}"


@dataclass(frozen=True)
class Cue:
    """One step of a lesson, as written; `places` holds the place of each key's value.

    Of `narration` the later recordings count over the earlier ones.
    """

    place: Place
    bars: str | None = None
    title: str | None = None
    say: Commentary | None = None
    play: Play | None = None
    compare: tuple[str, ...] = ()
    show: tuple[str, ...] = ()
    narration: tuple[Recording, ...] = ()
    scene: SceneCode | None = None
    places: dict[str, Place] = field(default_factory=dict)


@dataclass(frozen=True)
class Hearing:
    """One chord over a span, whatever is printed; `chord` is None for N.C. (named as in the score file)."""

    bars: str
    chord: Chord | None
    place: Place


@dataclass(frozen=True)
class Pin:
    """A place of the etude that the author pinned to a time in the take, as written; a place for either."""

    position: str
    time_s: float
    place: Place
    time_place: Place


@dataclass(frozen=True)
class PinnedPlace:
    """A pin on the score: `bar` an index into Score.bars, `visit` the time round, `quarters` into the bar."""

    bar: int
    visit: int
    quarters: Fraction
    time_s: float
    pin: Pin


@dataclass(frozen=True)
class Lesson:
    """A lesson script, loaded. Paths are resolved against the script's folder; `remarks` are no faults.

    `narration` are the reads of the whole lesson, of which later ones count over earlier ones;
    `longest_pause_s` is what pauses of the recordings are shortened to, None where they stay as they are.
    """

    path: Path
    title: str
    score: Path
    take: Path | None
    part: str | None
    written_for: str | None
    composer: str | None
    hear: tuple[Hearing, ...]
    changes: tuple[Hearing, ...]
    cues: tuple[Cue, ...]
    remarks: tuple[Fault, ...] = ()
    places: dict[str, Place] = field(default_factory=dict)
    sync: tuple[Pin, ...] = ()
    narration: tuple[Recording, ...] = ()
    longest_pause_s: float | None = None


@dataclass(frozen=True)
class BookOverlay:
    """A film of a performance that a book file has a score laid over, as written; `places` as in `Cue`.

    Attributes:
        film: the film.
        name: what its films are called.
        score: the score, and which part of it, written for whom; None where a lesson says so.
        lesson: the lesson script whose cues are told while the film plays, if any.
        style: how the score is laid over it.
        start_s, end_s: what is kept of the film, in seconds from its start; to its end where `end_s` is None.
        layer: whether the score is written alone, transparent round it.
        container: the kind of file; None: what suits.
        code: the time code of the first frame; None: the film's own.
    """

    film: Path
    name: str
    score: Path | None
    lesson: Path | None
    place: Place
    part: str | None = None
    written_for: str | None = None
    style: OverlayStyle = STANDARD_STYLE
    start_s: float = 0.0
    end_s: float | None = None
    layer: bool = False
    container: str | None = None
    code: str | None = None
    places: dict[str, Place] = field(default_factory=dict, compare=False)


@dataclass(frozen=True)
class Book:
    """A book file, loaded: which lessons, in which editions (ids), with which voice and look.

    `size` is that of the films in hand, one of `sizes`; the book's first unless it is put in another. `sample` is the
    name of the lesson whose film is given away, `keep_bytes` the size that its store is kept within.
    """

    path: Path
    title: str
    author: str
    lessons: tuple[Path, ...]
    editions: tuple[str, ...]
    voice: str | None
    size: tuple[int, int]
    sizes: tuple[tuple[int, int], ...]
    rate: Fraction
    look: Path | None = None
    longest_pause_s: float | None = None
    sample: str | None = None
    keep_bytes: int | None = None
    overlays: tuple[BookOverlay, ...] = ()

    @property
    def in_sizes(self) -> tuple[Book, ...]:
        """The book in each of its sizes."""
        return tuple(replace(self, size=size) for size in self.sizes)

    @property
    def shape(self) -> str:
        """What tells films of this size from those of the book's first: nothing, or as in "1080x1920"."""
        return "" if self.size == self.sizes[0] else "{}x{}".format(*self.size)

    @property
    def folder(self) -> Path:
        """The book's own folder: the one that holds scripts/, media/ and shared/."""
        scripts = self.path.parent
        return scripts.parent if scripts.name == "scripts" else scripts


@dataclass(frozen=True)
class Lit:
    """One note that a mention lights, with the degree label it shows (ASCII, or None for no label)."""

    note: str
    label: str | None
    tension: bool


@dataclass(frozen=True)
class Mention:
    """What a link, or plain words, stand for.

    A "span" that does not begin and end at bar lines has the struck notes inside it in `notes`; "notes" are lit one
    by one with their labels; "chord" has the ids of chord symbols in `changes`; a "device" and a "scale" have
    what the analysis found, and in `notes` the notes to be lit with it. `target` is how a link names it.
    """

    kind: Literal["span", "notes", "chord", "device", "scale"]
    span: Span
    notes: tuple[Lit, ...] = ()
    changes: tuple[str, ...] = ()
    device: Device | None = None
    scale: ScaleUse | None = None
    target: str = ""


@dataclass(frozen=True)
class Understood:
    """What some words of a commentary were understood to claim, by their link or in plain speech.

    "lit": it holds, and `mention` is lit; "fault": it does not, and `what` and `todo` say so; "question": several
    things fit, and `choices` are the targets of which one is to be pasted. `first` and `last` are the offsets in
    the commentary of the first character of the words and of the one after them.
    """

    words: str
    place: Place
    first: int
    last: int
    status: Literal["lit", "fault", "question"]
    mention: Mention | None = None
    target: str = ""
    choices: tuple[str, ...] = ()
    what: str = ""
    todo: str = ""


@dataclass(frozen=True)
class Named:
    """What a pair of braces stands for, to be named in each edition's own way.

    `id` is the note's or the chord symbol's; "heard" has the sounding `chord` the author hears; "key" the
    `bar` index whose key signature counts, and the `mode`.
    """

    kind: Literal["chord", "heard", "note", "key", "edition"]
    id: str = ""
    chord: Chord | None = None
    bar: int = 0
    mode: str = ""


@dataclass(frozen=True)
class Token:
    """A word (or a name that prints as one): `printed` in captions, `spoken` words for the voice.

    `mention` is an index into the cue's mentions, `at` the offset of the first character in the commentary.
    Punctuation belongs to the printed word before it.
    """

    printed: str
    spoken: str
    mention: int | None = None
    at: int = 0


@dataclass(frozen=True)
class CheckedCue:
    """A cue whose bars and links are known.

    `cue.say` has plain words that light something as links too; `mentions` are in the order of its links, `names`
    in the order of its braces, `understood` in the order of the commentary as it was written. A cue without
    bars and comparison of its own keeps the ones before it; all are empty while nothing has been shown.
    `play` is None where the cue has no `play` key or says `play: no`.
    """

    cue: Cue
    bars: Span | None
    play: Span | None
    compare: tuple[Span, ...]
    mentions: tuple[Mention, ...]
    names: tuple[Named, ...] = ()
    understood: tuple[Understood, ...] = ()


@dataclass(frozen=True)
class CheckedLesson:
    """A lesson that holds against its score.

    `score` has the lesson's own changes; `analysis` hears it as the lesson does, and `heard` are the lesson's
    own hearings: (start, end, sounding chord), in quarters. `pinned` are in playing order.
    """

    lesson: Lesson
    score: Score
    cues: tuple[CheckedCue, ...]
    remarks: tuple[Fault, ...]
    analysis: Analysis = field(default_factory=lambda: Analysis(()))
    heard: tuple[tuple[Fraction, Fraction, Chord], ...] = ()
    pinned: tuple[PinnedPlace, ...] = ()
