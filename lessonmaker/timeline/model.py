"""The timeline's parts. Everything that shows or sounds reads these and nothing else.

Conventions: times are integer ticks of `TICK` seconds (1/240000 s: whole numbers of ticks a frame at 24, 25,
30, 50, 60, 24000/1001 and 30000/1001 frames a second, and a sample at 48 kHz); an interval holds its start and
not its end; nothing is negative. Notes and chord symbols are named by their ids, bars by their index in
the score. Colours are named by use ("now", "tension", "rest"), never by value.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from fractions import Fraction
from typing import Any, Literal

from lessonmaker.theory.chord import Chord

__all__ = [
    "SOUND_RATE",
    "TICK",
    "TICKS_PER_SAMPLE",
    "TICKS_PER_SECOND",
    "Arrow",
    "AudioClip",
    "Caption",
    "CaptionTerm",
    "Chapter",
    "CueTime",
    "Label",
    "Light",
    "Page",
    "Scene",
    "SceneKind",
    "Sign",
    "SignShape",
    "Timeline",
    "seconds_to_ticks",
    "ticks_to_seconds",
]

TICKS_PER_SECOND = 240_000
TICK = Fraction(1, TICKS_PER_SECOND)
SOUND_RATE = 48_000
TICKS_PER_SAMPLE = TICKS_PER_SECOND // SOUND_RATE

Use = Literal["now", "tension", "rest"]
SceneKind = Literal["title", "play", "analysis", "tension", "own", "end"]


def seconds_to_ticks(seconds: float | Fraction) -> int:
    """The nearest tick.

    Raises:
        ValueError: the time is negative.
    """
    if seconds < 0:
        raise ValueError(f"a time cannot be negative: {seconds}")
    return round(Fraction(seconds) * TICKS_PER_SECOND)


def ticks_to_seconds(ticks: int) -> Fraction:
    """The exact time of a tick in seconds."""
    return ticks * TICK


@dataclass(frozen=True)
class Scene:
    """A stretch with one kind of layout; one follows the other without a gap.

    `bars` are the score's bar indices it is about, in order.

    kind: "title" (card), "play" (two or three systems, turning), "analysis" (bars large, lane for labels),
    "tension" (one or two bars, very large), "own" (a moving picture of the author's, painted elsewhere), "end" (card).
    """

    kind: SceneKind
    start: int
    end: int
    bars: tuple[int, ...] = ()
    heading: str = ""


@dataclass(frozen=True)
class Page:
    """Which systems are in sight, top to bottom: each row is a system's bar indices, () an empty place.

    A dissolve from the page before takes `dissolve` ticks and ends at `start` (nothing of it is late). Where the
    same bars stand in two rows (a repeat), only row `playing` takes the light.
    """

    start: int
    end: int
    kind: SceneKind
    rows: tuple[tuple[int, ...], ...] = ()
    dissolve: int = 0
    playing: int | None = None


@dataclass(frozen=True)
class Light:
    """Something lit. Targets are bar indices for "bar", "range" and "span", ids for "note", "chord" and "area".

    kinds: "bar" the bar that sounds (tint and rule; blue in the strip), "note" a ring and colour on a notehead,
    "chord" the capsule of the current chord (change ids), "range" bars under discussion (amber in the strip),
    "span" the amber light over whole bars, "area" the amber light over a run of notes.
    """

    kind: Literal["bar", "note", "chord", "range", "span", "area"]
    start: int
    end: int
    targets: tuple[str, ...] | tuple[int, ...]
    use: Use = "now"
    fade_in: int = 0
    fade_out: int = 0


@dataclass(frozen=True)
class Label:
    """A degree label in the lane at a note."""

    start: int
    end: int
    note: str
    text: str
    use: Use
    fade_in: int = 0
    fade_out: int = 0


@dataclass(frozen=True)
class Arrow:
    """A resolution arrow under the lane, from one labelled note to another."""

    start: int
    end: int
    from_note: str
    to_note: str
    fade_in: int = 0
    fade_out: int = 0


@dataclass(frozen=True)
class SignShape:
    """What a sign under the staff draws. `targets` are the ids of its notes in time, or of its chord symbol.

    kinds: "bracket" (round a run of notes, with `text` in its middle), "arc" (a phrase), "beats" (ticks at `points`),
    "numeral" (`text` under a chord symbol), "scale" (`words`, each with how it is drawn: "used", "deciding" or "").
    A point is a share of the way from one note to another, and whether it begins a bar: (from, to, share, first).
    Signs of one `lane` belong together: those of a kind stand at one height.
    """

    kind: Literal["bracket", "arc", "beats", "numeral", "scale"]
    targets: tuple[str, ...]
    lane: str = ""
    text: str = ""
    points: tuple[tuple[str, str, float, bool], ...] = ()
    words: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Sign:
    """A sign under the staff, and when it is in sight."""

    start: int
    end: int
    shape: SignShape
    fade_in: int = 0
    fade_out: int = 0


@dataclass(frozen=True)
class CaptionTerm:
    """A term within a caption that is coloured while spoken: characters [first, last) of line `line`."""

    start: int
    end: int
    line: int
    first: int
    last: int
    use: Use


@dataclass(frozen=True)
class Caption:
    """One or two lines of text and when they are in sight."""

    start: int
    end: int
    lines: tuple[str, ...]
    terms: tuple[CaptionTerm, ...] = ()


@dataclass(frozen=True)
class Chapter:
    """A chapter mark."""

    start: int
    title: str


@dataclass(frozen=True)
class CueTime:
    """When a cue of the lesson script takes place; its `number` counts from 1."""

    start: int
    end: int
    number: int


@dataclass(frozen=True)
class AudioClip:
    """A piece of sound: `source` names a take, a narration or a scene's sound handed to the mixer, cut in its seconds.

    `stretch` is the tempo as a share of the original (3/5: slower).
    """

    start: int
    source: str
    kind: Literal["take", "narration", "scene"]
    cut_start_s: float
    cut_end_s: float
    stretch: Fraction = Fraction(1)


@dataclass(frozen=True)
class Timeline:
    """A whole lesson in one edition.

    `form` is the strip: (section letter or "", bar indices) a section. `bar_numbers` are the printed numbers
    by bar index. `heard` are the chord symbols (ids) that the author hears otherwise: the capsule shows what is heard.
    `curve` is the tension over the form, from 0 to 1, for each bar index, in halves of the bar.
    """

    title: str
    composer: str
    edition: str
    duration: int
    form: tuple[tuple[str, tuple[int, ...]], ...]
    bar_numbers: tuple[str, ...]
    scenes: tuple[Scene, ...]
    pages: tuple[Page, ...]
    lights: tuple[Light, ...]
    labels: tuple[Label, ...]
    arrows: tuple[Arrow, ...]
    captions: tuple[Caption, ...]
    chapters: tuple[Chapter, ...]
    clips: tuple[AudioClip, ...]
    heard: tuple[tuple[str, Chord], ...] = ()
    signs: tuple[Sign, ...] = ()
    curve: tuple[tuple[int, tuple[float, ...]], ...] = ()
    cues: tuple[CueTime, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """Plain data, ready for json.dump; fractions become "3/5"."""
        data: dict[str, Any] = plain(self)
        return {"ticks_per_second": TICKS_PER_SECOND, **data}


def plain(value: Any) -> Any:
    """Objects, lists and strings for what JSON does not know."""
    if is_dataclass(value):
        return {one.name: plain(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    return value
