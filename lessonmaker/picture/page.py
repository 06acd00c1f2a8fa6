"""A page of systems laid out: where staves, chord symbols, labels and lights stand, in look units.

Each system stands at its kind's fixed height whatever its notes do; only where two systems would touch are
they moved apart. Chord symbols share one baseline a system, raised until clear of what stands below them; labels
share one lane opposite the stems.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from lessonmaker.picture.chords import capsule_box, set_chord
from lessonmaker.picture.faces import Face
from lessonmaker.picture.figures import Figure, Frame, letter_box, text_figure
from lessonmaker.picture.look import Kind, Look
from lessonmaker.picture.shapes import Box, rectangle, union
from lessonmaker.picture.text import Setting, set_text
from lessonmaker.score.drawing import Box as ScoreBox
from lessonmaker.score.drawing import EndingMark, NoteShape
from lessonmaker.score.engrave import AIR_PX, EngraveStyle, engrave
from lessonmaker.score.model import Score
from lessonmaker.score.system import System
from lessonmaker.theory.signs import in_print
from lessonmaker.timeline.model import SignShape

__all__ = ["Beats", "Engraving", "Row", "engraving_of", "label_setting", "lay_row", "settled", "stack_rows"]

SYMBOL_SIDE = 8  # how near a chord symbol or its capsule, sideways, something may come before it lifts them
FULL_FROM = (
    0.5  # a system whose natural width is below this share of the measure is not stretched to all of it
)
LOOSEST = 1.7  # ... but to this many times its natural width
TIGHT_CLEAR = 0.4  # the share of the air under chord symbols that is left where a page is too full
OPENING_REACH, OPENING_AIR = 100, 8  # how far right a section letter reaches; its air above the clef
LABEL_AIR = 0.2  # between two labels, in shares of their size
ROW_AIR = 4  # between the lights of two rows


@dataclass(frozen=True)
class Row:
    """One system at its place.

    Attributes:
        kind: its sizes.
        system: the engraving, in its own coordinates.
        x, y: where the engraving's origin stands.
        symbols: the chord symbols, by the id of their change.
        endings: the brackets of endings with their numbers.
        texts: other texts of the engraving: directions and the like.
        opening: the section letter or bar number at the left.
        labels: the degree labels that may appear, by note and text.
        lane: the baseline of the labels.
        lane_above: whether the labels stand above the staff.
        arrows: whether an arrow may join two of the labels.
        signs: what hangs under the row (see `skyline`), by its shape.
        beats: how wide its beats were asked to be, if they were.
        light_share: how much there is, in shares, of the air that its bars' light takes above and below.
    """

    look: Look
    kind: Kind
    system: System
    bars: tuple[int, ...]
    x: float
    y: float
    symbols: Mapping[str, Setting]
    endings: tuple[Figure, ...]
    texts: tuple[Setting, ...]
    opening: tuple[Figure, ...]
    labels: Mapping[tuple[str, str], Setting]
    lane: float
    lane_above: bool
    arrows: bool
    signs: Mapping[SignShape, tuple[Figure, ...]] = field(default_factory=dict)
    beats: Beats | None = None
    light_share: float = 1.0

    def placed(self, box: ScoreBox) -> Box:
        """A box of the engraving on the page."""
        return Box(box.x0 + self.x, box.y0 + self.y, box.x1 + self.x, box.y1 + self.y)

    @property
    def staff_top(self) -> float:
        """The top line."""
        return self.system.staff_top + self.y

    @property
    def staff_bottom(self) -> float:
        """The bottom line."""
        return self.system.staff_bottom + self.y

    @cached_property
    def obstacles(self) -> tuple[tuple[str, Box], ...]:
        """What is drawn, with its kind."""
        return tuple((obstacle.kind, self.placed(obstacle.box)) for obstacle in self.system.obstacles)

    @cached_property
    def ink(self) -> Box:
        """Around everything: engraving, symbols, opening."""
        boxes = [box for _, box in self.obstacles]
        boxes += [setting.box for setting in (*self.symbols.values(), *self.texts) if setting.box]
        boxes += [figure.box for figure in (*self.opening, *self.endings)]
        staff = Box(self.x, self.staff_top, self.x + self.system.width, self.staff_bottom)
        return union([staff, *boxes]) or staff

    @cached_property
    def extent(self) -> Box:
        """Around everything that may ever be drawn in the row, labels included."""
        size = self.kind.chord_size
        capsules = (
            [capsule_box(self.look, one, size) for one in self.symbols.values()] if self.kind.capsules else []
        )
        signs = [figure.box for figures in self.signs.values() for figure in figures]
        return union([self.ink, *capsules, *self.lane_boxes, *signs]) or self.ink

    @property
    def lane_boxes(self) -> list[Box]:
        """The labels, and the room for arrows beside them."""
        labels = [setting.box for setting in self.labels.values() if setting.box]
        around = union(labels)
        if around is None:
            return []
        if self.lane_above:
            rise = label_height(self) + self.arrow_room
            return [*labels, Box(around.left, self.lane - rise, around.right, self.lane)]
        return [*labels, Box(around.left, self.lane, around.right, self.lane + self.arrow_room)]

    @property
    def arrow_room(self) -> float:
        """How far beyond the labels an arrow reaches; where there is none, only the labels' own air."""
        return self.kind.arrow["depth"] if self.arrows else self.kind.arrow["drop"]

    def shape(self, note: str) -> NoteShape | None:
        """A note's shape, in the engraving's coordinates."""
        return self.system.notes.get(note)

    def moved(self, dy: float) -> Row:
        """The row lower down."""
        if dy == 0:
            return self
        down = {key: setting.at(0, dy) for key, setting in self.symbols.items()}
        labels = {key: setting.at(0, dy) for key, setting in self.labels.items()}
        texts = tuple(setting.at(0, dy) for setting in self.texts)
        return replace(
            self,
            y=self.y + dy,
            symbols=down,
            texts=texts,
            opening=tuple(one.moved(0, dy) for one in self.opening),
            endings=tuple(one.moved(0, dy) for one in self.endings),
            labels=labels,
            lane=self.lane + dy,
            signs={
                shape: tuple(one.moved(0, dy) for one in figures) for shape, figures in self.signs.items()
            },
        )

    def within(self, left: float, right: float, kinds: Iterable[str] = ()) -> list[Box]:
        """What is drawn between two x, of some kinds or of all."""
        wanted = set(kinds)
        return [
            box
            for kind, box in self.obstacles
            if box.left < right and left < box.right and (not wanted or kind in wanted)
        ]

    def bar_edges(self, bar: int) -> tuple[float, float]:
        """Where a bar's music begins and where the bar ends."""
        box = self.placed(self.system.bars[bar])
        first = bar == self.bars[0]
        return (self.system.music_left + self.x if first else box.left), box.right


@dataclass(frozen=True)
class Beats:
    """The least width of each beat of a row, and how wide the row is to be (0: as wide as it likes)."""

    widths: tuple[float, ...]
    measure: float = 0.0


@dataclass(frozen=True)
class RowOrder:
    """What a row is made from: kind, bars, what stands at its left, which labels, arrows and signs may appear in it.

    `beats` say how wide its beats are to be, where they stand under those of another row.
    """

    kind: str
    bars: tuple[int, ...]
    letter: str
    number: str
    labels: tuple[tuple[str, str], ...]
    arrows: bool = False
    signs: tuple[SignShape, ...] = ()
    beats: Beats | None = None


@dataclass(frozen=True)
class Engraving:
    """What the engraver is told of a row.

    Attributes:
        bars: indices into the score's bars.
        style: sizes and spacing.
        chords: the width of each chord symbol, by the id of its change.
        labels: how far each label reaches left and right of its note's middle, by its note.
        beats: how wide the beats are to be, where they stand under those of another row.
    """

    bars: tuple[int, ...]
    style: EngraveStyle
    chords: tuple[tuple[str, float], ...]
    labels: tuple[tuple[str, tuple[float, float]], ...]
    beats: Beats | None

    def made(self, score: Score) -> System:
        """The row engraved: over the whole measure, unless its bars are few."""
        if self.beats is not None and self.beats.measure:
            return self.filling(score, min(self.beats.measure / self.style.width, 1.0))
        system = self.filling(score, 1.0)
        if system.natural_width >= FULL_FROM * self.style.width:
            return system
        wide = max(system.natural_width * LOOSEST, FULL_FROM * self.style.width)
        return self.filling(score, wide / self.style.width)

    def filling(self, score: Score, share: float) -> System:
        """The row engraved over a share of the measure."""
        widths = self.beats.widths if self.beats is not None else ()
        style = replace(self.style, fill=share)
        return engrave(score, self.bars, style, dict(self.chords), dict(self.labels), widths)


def label_text(text: str) -> str:
    """A degree as it is printed: "b13" with its real sign."""
    return in_print(text)


def label_setting(text: str, face: Face, size: float) -> tuple[Setting, float]:
    """A degree label and where the middle of its digits is, from its start."""
    printed = label_text(text)
    digits = printed.lstrip("♭♯")
    signs = set_text(printed[: len(printed) - len(digits)], face, size)
    figure = set_text(digits, face, size)
    return set_text(printed, face, size), signs.advance + figure.advance / 2


def lay_row(look: Look, frame: Frame, score: Score, order: RowOrder, system: System) -> Row:
    """Lay out what belongs to a row that is engraved, with its top staff line at y 0."""
    kind = look.kinds[order.kind].with_labels(system.label_share)
    symbols = chord_symbols(look, score, order)
    row = Row(
        look=look,
        kind=kind,
        system=system,
        bars=order.bars,
        x=frame.left,
        y=-system.staff_top,
        symbols={},
        endings=(),
        texts=(),
        opening=(),
        labels={},
        lane=0.0,
        lane_above=False,
        arrows=order.arrows,
        beats=order.beats,
    )
    row = replace(row, texts=engraved_texts(row))
    endings = system.endings if kind.endings else ()
    row = replace(row, endings=tuple(figure for mark in endings for figure in ending_figures(row, mark)))
    above = place_symbols(place_lane(row, order, above=True), symbols)
    fits = above.extent.top >= kind.top - kind.tops[0]
    if order.labels and fits and mostly_down(row, [note for note, _ in order.labels]):
        return place_opening(above, order)
    return place_opening(place_symbols(place_lane(row, order, above=False), symbols), order)


def chord_symbols(look: Look, score: Score, order: RowOrder) -> dict[str, Setting]:
    """The chord symbols of a row, by the id of their change."""
    size = look.kinds[order.kind].chord_size
    return {one.id: set_chord(one.written, size, look) for one in score.changes if one.bar in order.bars}


def engraving_of(frame: Frame, score: Score, order: RowOrder) -> Engraving:
    """What the engraver is told of a row."""
    look, kind = frame.look, frame.look.kinds[order.kind]
    strong = look.face("strong")
    return Engraving(
        order.bars,
        EngraveStyle(
            frame.right - frame.left,
            kind.staff,
            kind.spacing[0],
            bar_line_margin=kind.spacing[1],
            least_label=min(look.size("text", "number") / kind.label_size, 1.0),
        ),
        tuple((change, one.advance) for change, one in chord_symbols(look, score, order).items()),
        tuple((note, label_reach(text, strong, kind.label_size)) for note, text in order.labels),
        order.beats,
    )


def label_reach(text: str, face: Face, size: float) -> tuple[float, float]:
    """How far a label reaches left and right of its note's middle: its accidental hangs left.

    Large labels have more air between them than the engraver gives.
    """
    setting, middle = label_setting(text, face, size)
    air = max(LABEL_AIR * size - AIR_PX, 0) / 2
    return middle + air, setting.advance - middle + air


def engraved_texts(row: Row) -> tuple[Setting, ...]:
    """The texts that the engraving reports, set in the look's own type."""
    least = row.look.size("text", "number")
    face = row.look.face("text")
    return tuple(
        set_text(mark.text, face, max(least, mark.size)).at(mark.x + row.x, mark.baseline + row.y)
        for mark in row.system.texts
    )


def ending_figures(row: Row, mark: EndingMark) -> list[Figure]:
    """An ending's bracket, just above the music and under the chord symbols, with its number."""
    ending, line = row.look.sizes["ending"], row.look.size("ending", "line") * row.kind.space
    left, right = mark.x0 + row.x, mark.x1 + row.x
    number = set_text(mark.text, row.look.face("text"), row.look.size("text", "number"))
    size = number.box.height if number.box else 0.0
    music = [row.staff_top, *(box.top for box in row.within(left, right))]
    beside = [row.staff_top, *(box.top for box in row.within(left, left + ending["side"] + number.advance))]
    top = min(min(music) - ending["air"], min(beside) - ending["air"] - size - 2 * ending["side"])
    strokes = [Box(left, top, right, top + line)]
    strokes += [Box(left, top, left + line, top + ending["hook"])] if mark.opens else []
    strokes += [Box(right - line, top, right, top + ending["hook"])] if mark.closes else []
    figures = [Figure((rectangle(box),), box, "ink") for box in strokes]
    baseline = top + line + ending["side"] + size
    return figures + text_figure(number, left + line + ending["side"], baseline, "ink")


def place_lane(row: Row, order: RowOrder, *, above: bool) -> Row:
    """Put the labels into one lane over or under the staff, clear of what is drawn there and of the notes' rings."""
    if not order.labels:
        return replace(row, lane=row.staff_bottom + lane_depth(row.kind))
    placed = labels_at(row, order, 0.0)
    spans = [setting.box.grown(6, 0) for setting in placed.values() if setting.box]
    near = [box for span in spans for box in row.within(span.left, span.right)]
    near += [ring_box(row, note) for note, _ in placed]
    lane = lane_above(row, near) if above else lane_below(row, near)
    return replace(row, lane=lane, lane_above=above, labels=labels_at(row, order, lane))


def ring_box(row: Row, note: str) -> Box:
    """Around the ring of a note that the row has."""
    shape = row.shape(note)
    assert shape is not None
    x, y = row.placed(shape.head).centre
    space = row.kind.space
    line = max(row.look.size("ring", "least_line"), row.look.size("ring", "line") * space)
    reach = row.look.size("ring", "radius") * space + line / 2
    return Box(x - reach, y - reach, x + reach, y + reach)


def lane_depth(kind: Kind) -> float:
    """How far below the staff the lane's baseline is."""
    return kind.lane_drop * kind.space + kind.lane_rise


def lane_below(row: Row, near: Sequence[Box]) -> float:
    """The baseline of a lane under the staff."""
    lowest = max((box.bottom for box in near), default=row.staff_bottom)
    return max(row.staff_bottom + lane_depth(row.kind), lowest + row.kind.lane_clear + label_height(row))


def lane_above(row: Row, near: Sequence[Box]) -> float:
    """The baseline of a lane over the staff."""
    highest = min((box.top for box in near), default=row.staff_top)
    return min(row.staff_top - row.kind.space, highest - row.kind.lane_clear)


def label_height(row: Row) -> float:
    """From a label's baseline to its top: the flat is the tallest."""
    box = set_text("♭9", row.look.face("strong"), row.kind.label_size).box
    return -box.top if box else row.kind.label_size


def mostly_down(row: Row, notes: Iterable[str]) -> bool:
    """Whether most of the stems of some notes point down."""
    ups = [shape.stem_up for note in notes if (shape := row.shape(note)) is not None]
    return ups.count(False) > ups.count(True)


def labels_at(row: Row, order: RowOrder, lane: float) -> dict[tuple[str, str], Setting]:
    """The labels, their digits centred on their noteheads."""
    placed = {}
    for note, text in order.labels:
        shape = row.shape(note)
        if shape is not None:
            setting, middle = label_setting(text, row.look.face("strong"), row.kind.label_size)
            placed[note, text] = setting.at(row.placed(shape.head).centre[0] - middle, lane)
    return placed


def place_symbols(row: Row, symbols: Mapping[str, Setting], clear_share: float = 1.0) -> Row:
    """Put the chord symbols on one baseline, clear of everything below them (by a share of the kind's air)."""
    clear = row.kind.chord_clear * clear_share
    xs = {change: row.system.changes[change] + row.x for change in symbols if change in row.system.changes}
    baseline = row.staff_top - row.kind.chord_rise
    lit = [ring_box(row, note) for note, _ in row.labels] + (row.lane_boxes if row.lane_above else [])
    for change, x in xs.items():
        setting = symbols[change].at(x, 0)
        if setting.box is None:
            continue
        span = setting.box.grown(symbol_side(row), 0)
        tops = [box.top for box in row.within(span.left, span.right) if box.top < row.staff_top]
        drawn = [one.box for one in row.texts if one.box] + [one.box for one in row.endings if one.box]
        tops += [box.top for box in drawn if box.left < span.right and span.left < box.right]
        tops += [box.top for box in lit if box.left < span.right and span.left < box.right]
        baseline = min([baseline, *(top - clear - setting.box.bottom for top in tops)])
    return replace(row, symbols={change: symbols[change].at(x, baseline) for change, x in xs.items()})


def symbol_side(row: Row) -> float:
    """How near, sideways, something may come before it lifts the chord symbols: a capsule is wider than its symbol."""
    pad = row.look.size("chord", "pad") * row.kind.chord_size if row.kind.capsules else 0.0
    return SYMBOL_SIDE + pad


def chord_baseline(row: Row) -> float:
    """The baseline of the row's chord symbols, or where it would be."""
    baselines = [setting.baseline for setting in row.symbols.values()]
    return baselines[0] if baselines else row.staff_top - row.kind.chord_rise


def place_opening(row: Row, order: RowOrder) -> Row:
    """Put the boxed section letter or the bar number at the left, on the chord symbols' line, clear of the clef."""
    baseline = chord_baseline(row)
    leading = row.within(row.x, row.x + OPENING_REACH)
    highest = min((box.top for box in leading), default=row.staff_top)
    if order.letter:
        opening = letter_box(row.look, order.letter, row.x, min(baseline + 7, highest - OPENING_AIR))
    else:
        setting = set_text(order.number, row.look.face("text"), row.look.size("text", "number"))
        opening = text_figure(setting, row.x + 4, min(baseline - 2, highest - OPENING_AIR), "second")
    return replace(row, opening=tuple(opening))


def stack_rows(kind: Kind, rows: Sequence[Row | None]) -> list[Row | None]:
    """Put rows at their kind's heights, and apart where they would touch. None is an empty place."""
    count = sum(row is not None for row in rows)
    tops = [kind.single] if len(rows) == 1 else kind.tops
    if count == 0:
        return list(rows)
    to_middle = (tops[-1] - tops[min(len(rows), len(tops)) - 1]) / 2  # where there is room for more
    placed = [row and row.moved(top + to_middle) for row, top in zip(rows, tops, strict=False)]
    return spread(kind, placed)


def spread(kind: Kind, rows: list[Row | None]) -> list[Row | None]:
    """Move rows apart by as little as it takes, within the room of the page.

    The light of a bar reaches above and below its row; where the page is too full for that, the rows' own ink
    still keeps apart.
    """
    for share in (1.0, 0.5, 0.0):
        apart = settle(kind, rows, share)
        if settled(kind, apart, share):
            return lit_within(apart, share)
    return lit_within(settle(kind, [row and tightened(row) for row in rows], 0.0), 0.0)


def lit_within(rows: Sequence[Row | None], share: float) -> list[Row | None]:
    """Rows whose light takes no more than its share of the air between them."""
    return [row and replace(row, light_share=share) for row in rows]


def tightened(row: Row) -> Row:
    """A row whose labels and chord symbols stand as near to the music as they may."""
    homes = {change: row.system.changes[change] + row.x for change in row.symbols}
    loose = {change: one.at(-homes[change], -one.baseline) for change, one in row.symbols.items()}
    lowered = place_symbols(raised_lane(row), loose, TIGHT_CLEAR)
    down = chord_baseline(lowered) - chord_baseline(row)
    highest = min((box.top for box in row.within(row.x, row.x + OPENING_REACH)), default=row.staff_top)
    foot = max((figure.box.bottom for figure in row.opening), default=highest)
    opening = tuple(figure.moved(0, min(down, highest - OPENING_AIR - foot)) for figure in row.opening)
    return replace(lowered, opening=opening if down > 0 else row.opening)


def raised_lane(row: Row) -> Row:
    """A row whose labels stand as near under the music as they may."""
    if row.lane_above or not row.labels:
        return row
    spans = [setting.box.grown(6, 0) for setting in row.labels.values() if setting.box]
    near = [box for span in spans for box in row.within(span.left, span.right)]
    near += [ring_box(row, note) for note, _ in row.labels]
    lowest = max([row.staff_bottom + row.kind.space / 2, *(box.bottom for box in near)])
    lane = min(row.lane, lowest + row.kind.lane_clear + label_height(row))
    labels = {name: setting.at(0, lane - row.lane) for name, setting in row.labels.items()}
    return replace(row, lane=lane, labels=labels)


def settle(kind: Kind, rows: Sequence[Row | None], share: float) -> list[Row | None]:
    """Push rows down from the top, then up from the bottom."""
    rows = list(rows)
    limit = kind.top
    for index, row in enumerate(rows):
        if row is not None:
            rows[index] = row = row.moved(max(limit - reach(row, share).top, 0.0))
            limit = reach(row, share).bottom + ROW_AIR
    limit = kind.bottom
    for index in reversed(range(len(rows))):
        row = rows[index]
        if row is not None:
            rows[index] = row = row.moved(min(limit - reach(row, share).bottom, 0.0))
            limit = reach(row, share).top - ROW_AIR
    return rows


def settled(kind: Kind, rows: Sequence[Row | None], share: float) -> bool:
    """Whether the rows keep below the page's upper limit."""
    tops = [reach(row, share).top for row in rows if row is not None]
    return min(tops) >= kind.top - 0.5


def reach(row: Row, share: float) -> Box:
    """A row with a share of the air that its light takes."""
    light = row.look.sizes["light"]
    box = row.extent
    return Box(box.left, box.top - share * light["air"], box.right, box.bottom + share * light["rule_drop"])
