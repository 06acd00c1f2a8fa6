"""From Verovio's SVG of one system to pixels: the ink in three layers, and a box for every thing drawn.

Conventions: Verovio draws in its own units (ten to a page unit); all that leaves this module is in pixels,
x from the left edge of the staff, y from the top of the drawing. Layers: staff lines; heads with their
accidentals and dots; the rest. Text needs fonts and is left out; its places are reported instead.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from lxml import etree

from lessonmaker.score.cut import CONTINUED

__all__ = ["Box", "EndingMark", "NoteShape", "Obstacle", "Sketch", "TextMark", "read_drawing"]

SVG = "{http://www.w3.org/2000/svg}"
HREF = "{http://www.w3.org/1999/xlink}href"
LEAVES = {
    f"{SVG}{name}" for name in ("use", "path", "polygon", "polyline", "ellipse", "rect", "circle", "line")
}
HEAD_CLASSES = {"notehead", "accid", "dots"}
LEFT_OUT = {
    "harm",
    "reh",
    "tempo",
    "mNum",
    "label",
    "labelAbbr",
    "pgHead",
    "pgFoot",
    "placeholder",
    "bounding-box",
}
TEXT_CLASSES = ("dir", "repeatMark", "dynam", "fing", "octave", "breath")
OBSTACLE_KINDS = {
    "accid": "accidental", "artic": "articulation", "barLine": "barline", "clef": "clef", "dir": "text",
    "dots": "dot", "dynam": "dynamic", "fermata": "fermata", "flag": "flag", "hairpin": "hairpin",
    "keySig": "key", "meterSig": "metre", "mRest": "rest", "mordent": "ornament", "note": "note",
    "repeatMark": "sign", "rest": "rest", "stem": "stem", "trill": "ornament", "tupletBracket": "tuplet",
    "tupletNum": "tuplet", "turn": "ornament", "arpeg": "ornament", "octave": "octave",
    "breath": "sign",
}  # fmt: skip
CURVES = {"slur": "slur", "tie": "tie"}
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass(frozen=True)
class Box:
    """A rectangle: left, top, right, bottom."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """From top to bottom."""
        return self.y1 - self.y0

    @property
    def centre(self) -> tuple[float, float]:
        """The middle, x and y."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    def overlaps(self, other: Box, air: float = 0) -> bool:
        """Whether two boxes come nearer to each other than `air`."""
        apart_x = max(self.x0 - other.x1, other.x0 - self.x1)
        return apart_x < air and max(self.y0 - other.y1, other.y0 - self.y1) < air

    def placed(self, scale: float, dx: float, dy: float) -> Box:
        """Moved by (dx, dy), then scaled."""
        return Box(
            (self.x0 + dx) * scale, (self.y0 + dy) * scale, (self.x1 + dx) * scale, (self.y1 + dy) * scale
        )

    def union(self, other: Box) -> Box:
        """The smallest box around both."""
        return Box(
            min(self.x0, other.x0), min(self.y0, other.y0), max(self.x1, other.x1), max(self.y1, other.y1)
        )


@dataclass(frozen=True)
class NoteShape:
    """What belongs to one notehead. `stem_up` is None where there is no stem."""

    head: Box
    accidental: Box | None = None
    dots: Box | None = None
    stem: Box | None = None
    stem_up: bool | None = None


@dataclass(frozen=True)
class Obstacle:
    """Something drawn that labels and chord symbols must keep clear of."""

    kind: str
    box: Box


@dataclass(frozen=True)
class TextMark:
    """A text that the engraving leaves to the picture, such as "D.S. al Coda" or "cresc.".

    `x` is its left edge, `baseline` its y, `size` the type size it was given room for.
    """

    kind: str
    text: str
    x: float
    baseline: float
    size: float


@dataclass(frozen=True)
class EndingMark:
    """An ending's bracket, which the engraving leaves to the picture, to stand clear of the chord symbols.

    `text` is its number ("" where it goes on from the system before), `opens` and `closes` whether it
    has a hook at its left and right end.
    """

    text: str
    x0: float
    x1: float
    opens: bool
    closes: bool


@dataclass
class Sketch:
    """One system as read from the SVG, in Verovio's units until `placed`."""

    staff_lines: list[str] = field(default_factory=list)
    heads: list[str] = field(default_factory=list)
    rest: list[str] = field(default_factory=list)
    measures: dict[str, Box] = field(default_factory=dict)
    notes: dict[str, NoteShape] = field(default_factory=dict)
    anchors: dict[str, Box] = field(default_factory=dict)
    obstacles: list[Obstacle] = field(default_factory=list)
    texts: list[TextMark] = field(default_factory=list)
    endings: list[EndingMark] = field(default_factory=list)
    glyphs: dict[str, str] = field(default_factory=dict)

    @property
    def staff(self) -> Box:
        """From the middle of the top line to the middle of the bottom line, over the whole width."""
        boxes = list(self.measures.values())
        return Box(boxes[0].x0, boxes[0].y0, boxes[-1].x1, boxes[0].y1)

    @property
    def space(self) -> float:
        """The distance of two staff lines."""
        return self.staff.height / 4

    @property
    def ink(self) -> Box:
        """Around everything drawn."""
        box = self.staff
        for obstacle in self.obstacles:
            box = box.union(obstacle.box)
        return box


def read_drawing(svg: str, measure_id: str) -> Sketch:
    """Read the system that holds a measure.

    Args:
        svg: what Verovio draws with `svgBoundingBoxes` on.
        measure_id: the MEI id of a measure of that system.
    """
    root = etree.fromstring(svg.encode())
    system = _system_of(root, measure_id)
    sketch = Sketch()
    _Reader(sketch).read(system, ())
    sketch.glyphs = _glyphs(root, "".join(sketch.heads + sketch.rest))
    return sketch


def _system_of(root: etree._Element, measure_id: str) -> etree._Element:
    for group in root.iter(f"{SVG}g"):
        if group.get("id") == measure_id:
            return next(group.iterancestors(f"{SVG}g"))
    raise KeyError(measure_id)


def _glyphs(root: etree._Element, used: str) -> dict[str, str]:
    """The outlines used, by the code point's name."""
    found = {}
    for symbol in root.iterfind(f"{SVG}defs/{SVG}g"):
        name = symbol.get("id", "").partition("-")[0]
        path = symbol.find(f"{SVG}path")
        if path is not None and f"#{name}" in used:
            found[name] = path.get("d", "")
    return found


def _classes(group: etree._Element) -> list[str]:
    return (group.get("class") or "").split()


class _Reader:
    """Walks a system's groups and files what it meets."""

    def __init__(self, sketch: Sketch) -> None:
        self.sketch = sketch
        self.chord_stem: tuple[Box, bool] | None = None

    def read(self, group: etree._Element, path: tuple[str, ...]) -> None:
        for child in group:
            if child.tag in LEAVES:
                self.ink(child, path)
            elif child.tag == f"{SVG}text":
                self.text(child, path)
            elif child.tag == f"{SVG}g":
                self.group(child, path)

    def group(self, group: etree._Element, path: tuple[str, ...]) -> None:
        classes = _classes(group)
        name = classes[0] if classes else ""
        if name == "harm":
            self.anchor(group)
        if name == "voltaBracket":
            self.ending(group)
            return
        if LEFT_OUT.intersection(classes) or group.get("visibility") == "hidden":
            return
        if name == "measure":
            self.measure(group)
        elif name == "note":
            self.note(group, path)
        elif name == "chord":
            self.chord_stem = _stem(group)
        if name in OBSTACLE_KINDS:
            self.obstacle(group, OBSTACLE_KINDS[name])
        self.read(group, (*path, name))
        if name == "chord":
            self.chord_stem = None

    def measure(self, group: etree._Element) -> None:
        staff = next(child for child in group if "staff" in _classes(child))
        lines = [_numbers(line.get("d", "")) for line in staff.iterchildren(f"{SVG}path")][:5]
        self.sketch.measures[group.get("id", "")] = Box(lines[0][0], lines[0][1], lines[0][2], lines[-1][1])

    def anchor(self, group: etree._Element) -> None:
        rect = next(group.iter(f"{SVG}rect"), None)
        if rect is not None:
            self.sketch.anchors[group.get("id", "")] = _rect(rect)

    def note(self, group: etree._Element, path: tuple[str, ...]) -> None:
        head = _bounding_box(group)
        if head is None:
            return
        shape = NoteShape(head, _part(group, "accid"), _part(group, "dots"))
        stem = _stem(group) or (self.chord_stem if "chord" in path else None)
        if stem is not None:
            shape = replace(shape, stem=stem[0], stem_up=stem[1])
        self.sketch.notes[group.get("id", "")] = shape

    def obstacle(self, group: etree._Element, kind: str) -> None:
        box = _bounding_box(group)
        if box is not None and box.width + box.height > 0:
            self.sketch.obstacles.append(Obstacle(kind, box))

    def ending(self, bracket: etree._Element) -> None:
        """A bracket of up to three strokes: the line above the bars, and a hook at either end."""
        points = [_points(path.get("d", "")) for path in bracket.iterchildren(f"{SVG}path")]
        around = _around([point for stroke in points for point in stroke])
        if around is None:
            return
        hooks = {stroke[0][0] for stroke in points if stroke[0][0] == stroke[-1][0]}
        owner = next((one.get("id", "") for one in bracket.iterancestors() if "ending" in _classes(one)), "")
        words = "" if owner.startswith(CONTINUED) else _words(bracket)
        mark = EndingMark(words, around.x0, around.x1, around.x0 in hooks, around.x1 in hooks)
        self.sketch.endings.append(mark)

    def ink(self, leaf: etree._Element, path: tuple[str, ...]) -> None:
        text = _leaf_text(leaf)
        if path and path[-1] == "staff":
            self.sketch.staff_lines.append(text)
        elif HEAD_CLASSES.intersection(path) and ("note" in path or "chord" in path):
            self.sketch.heads.append(text)
        else:
            self.sketch.rest.append(text)
        self.sketch.obstacles.extend(_shape_obstacles(leaf, path))

    def text(self, text: etree._Element, path: tuple[str, ...]) -> None:
        kind = next((name for name in reversed(path) if name in TEXT_CLASSES), "")
        words = _words(text)
        if not kind or not words:
            return
        sizes = [
            float(span.get("font-size", "0px")[:-2])
            for span in text.iter(f"{SVG}tspan")
            if span.get("font-size")
        ]
        mark = TextMark(
            kind, words, float(text.get("x", "0")), float(text.get("y", "0")), max(sizes, default=0.0)
        )
        self.sketch.texts.append(mark)


def _words(element: etree._Element) -> str:
    return "".join(str(text) for text in element.itertext()).strip()


def _leaf_text(leaf: etree._Element) -> str:
    attributes = {str(name): str(value) for name, value in leaf.attrib.items()}
    if HREF in attributes:
        attributes["xlink:href"] = attributes.pop(HREF).partition("-")[0]
    inside = " ".join(f'{name}="{value}"' for name, value in attributes.items())
    return f"<{etree.QName(leaf).localname} {inside}/>"


def _stem(group: etree._Element) -> tuple[Box, bool] | None:
    """The stem's box and whether it points up: Verovio draws a stem from the head outwards or back."""
    stem = next((child for child in group if "stem" in _classes(child)), None)
    box = None if stem is None else _bounding_box(stem)
    if box is None:
        return None
    heads = [
        _bounding_box(note) for note in (group, *group.iterchildren(f"{SVG}g")) if "note" in _classes(note)
    ]
    centres = [head.centre[1] for head in heads if head is not None]
    if not centres:
        return None
    middle = sum(centres) / len(centres)
    return box, middle - box.y0 > box.y1 - middle


def _part(group: etree._Element, name: str) -> Box | None:
    boxes = [_bounding_box(child) for child in group if name in _classes(child)]
    found = [box for box in boxes if box is not None and box.width > 0]
    return found[0] if found else None


def _bounding_box(group: etree._Element) -> Box | None:
    first = next(iter(group.iterchildren(f"{SVG}g")), None)
    for child in group.iterchildren(f"{SVG}g"):
        if "bounding-box" in _classes(child):
            first = child
            break
    rect = None if first is None or "bounding-box" not in _classes(first) else first.find(f"{SVG}rect")
    return None if rect is None else _rect(rect)


def _rect(rect: etree._Element) -> Box:
    x, y, width, height = (float(rect.get(name, "0")) for name in ("x", "y", "width", "height"))
    return Box(x, y, x + width, y + height)


def _numbers(text: str) -> list[float]:
    return [float(number) for number in NUMBER.findall(text)]


def _points(text: str) -> list[tuple[float, float]]:
    numbers = _numbers(text)
    return list(zip(numbers[::2], numbers[1::2], strict=False))


def _around(points: list[tuple[float, float]]) -> Box | None:
    if not points:
        return None
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _shape_obstacles(leaf: etree._Element, path: tuple[str, ...]) -> Iterator[Obstacle]:
    """Boxes of what is long and slanted, in slices: beams, slurs, ties; and of ledger lines."""
    curve = next((CURVES[name] for name in path if name in CURVES), "")
    if curve and leaf.tag == f"{SVG}path":
        yield from (Obstacle(curve, box) for box in _curve_slices(_points(leaf.get("d", ""))))
    elif leaf.tag == f"{SVG}polygon" and "beam" in path:
        yield from (Obstacle("beam", box) for box in _beam_slices(_points(leaf.get("points", ""))))
    elif path and path[-1] == "ledgerLines":
        box, half = _around(_points(leaf.get("d", ""))), float(leaf.get("stroke-width", "0")) / 2
        if box is not None:
            yield Obstacle("ledger", Box(box.x0, box.y0 - half, box.x1, box.y1 + half))


def _beam_slices(points: list[tuple[float, float]], slices: int = 8) -> Iterator[Box]:
    """A beam's four corners (left, right, and back along the other edge), cut upright."""
    (x0, near0), (x1, near1), (_, far1), (_, far0) = points[:4]
    for number in range(slices):
        a, b = number / slices, (number + 1) / slices
        ys = [left + (right - left) * t for left, right in ((near0, near1), (far0, far1)) for t in (a, b)]
        yield Box(x0 + (x1 - x0) * a, min(ys), x0 + (x1 - x0) * b, max(ys))


def _curve_slices(points: list[tuple[float, float]], slices: int = 8) -> Iterator[Box]:
    """A slur or tie drawn as two cubic curves there and back, cut upright."""
    outer, inner = points[:4], points[3:7][::-1]
    if len(outer) < 4 or len(inner) < 4:
        return
    for number in range(slices):
        ends = (number / slices, (number + 1) / slices)
        box = _around([_cubic(curve, t) for curve in (outer, inner) for t in ends])
        if box is not None:
            yield box


def _cubic(points: list[tuple[float, float]], t: float) -> tuple[float, float]:
    weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
    return (
        sum(weight * x for weight, (x, _) in zip(weights, points, strict=True)),
        sum(weight * y for weight, (_, y) in zip(weights, points, strict=True)),
    )


def placed_note(shape: NoteShape, scale: float, dx: float, dy: float) -> NoteShape:
    """A note's boxes moved and scaled."""
    boxes: Mapping[str, Box | None] = {
        name: getattr(shape, name) for name in ("head", "accidental", "dots", "stem")
    }
    moved = {name: box.placed(scale, dx, dy) for name, box in boxes.items() if box is not None}
    return replace(shape, **moved)  # type: ignore[arg-type]
