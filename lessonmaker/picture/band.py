"""The score as a band to be laid over a film: systems that light up, on paper that may be seen through.

A `Band` paints with the `Painter`'s own rows and marks, without header and cards, as premultiplied red, green, blue and
cover. Its height follows from what it has to hold.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, Literal, cast

import numpy as np

from lessonmaker.faults import Fault
from lessonmaker.picture.canvas import Space, blend, flat, to_bytes
from lessonmaker.picture.figures import Figure
from lessonmaker.picture.look import Kind, Look, standard_look
from lessonmaker.picture.page import Row
from lessonmaker.picture.painter import Painter, Screen
from lessonmaker.picture.raster import Area, Pixels
from lessonmaker.picture.recent import Recent
from lessonmaker.picture.remarks import caption_texts, remarks_on_letters
from lessonmaker.picture.room import letters_in
from lessonmaker.picture.shapes import Box, rectangle, union
from lessonmaker.picture.sight import FULL, Dissolve, Mark, Sight
from lessonmaker.picture.stage import Laid
from lessonmaker.score.model import Score
from lessonmaker.timeline.model import Page, Timeline

__all__ = ["Band", "BandStyle", "caption_letters", "make_band"]

PAGES_KEPT = 3
WIDER = 1.1  # how much more music a line takes where the band would be too high
WIDEST = 2.0  # how much more than asked for at most: below that it could not be read
AIR = 16
FORM_ROOM = 84  # the form strip with its letters, in look units
FORM_FOOT = 22  # from the form strip to the band's foot
MARGIN = 40
TALL = 1080
WHOLE, NEARLY = np.float32(255), np.float32(253.5)
COVER = 3
ON_THE_FORM = ("cell", "letter", "curve")
CAPTIONS_AIR = 12  # round the captions' lines
CAPTION_SIDE, CAPTION_RADIUS = (
    28,
    10,
)  # from a caption's longest line to its paper's edge; that paper's corners
CAPTION_RISE, CAPTION_DROP = 0.98, 0.4  # from the first and the last baseline to that paper's edge, in sizes
CAPTION_PLACES = ("first", "second", "single", "top", "bottom")


@dataclass(frozen=True)
class BandStyle:
    """How a band is made.

    Attributes:
        rows: how many systems are in sight.
        units: the width of a line in look units.
        paper: how much the paper covers, 0 to 1.
        form: whether the form strip is shown.
        captions: where captions stand: above the systems or below them; nowhere by default.
        captions_free: whether captions stand on paper of their own, with nothing round them, or in the band.
    """

    rows: int
    units: float
    paper: float = 1.0
    form: bool = False
    captions: Literal["above", "below"] | None = None
    captions_free: bool = True


@dataclass
class BandScreen(Screen):
    """A page premultiplied and with its cover, (height, width, 4); `touched` are the areas painted last."""

    pixels: Pixels
    touched: list[Area] = field(default_factory=list)

    def paint(self, area: Area, laid: Sequence[Laid]) -> None:
        """Paint an area of the pixels again, with some marks."""
        if not area.empty:
            region = self.stage.paint(area, laid, "rgba")
            np.minimum(region, WHOLE, out=region)  # inks that meet may add up to a step more, or less
            region[COVER, region[COVER] > NEARLY] = WHOLE
            self.pixels[area.top : area.bottom, area.left : area.right] = np.moveaxis(to_bytes(region), 0, 2)
            self.touched.append(area)


class Line(Painter):
    """Paints in a look that is already laid out, whatever the picture's shape; its height says how large."""

    def fit(self, look: Look) -> tuple[Look, float]:
        """The look as wide as the picture, and how many pixels one of its own is."""
        scale = self.size[1] / look.size("frame", "height")
        frame = {**look.sizes["frame"], "width": self.size[0] / scale}
        return replace(look, sizes={**look.sizes, "frame": frame}), scale


class Band(Line):
    """Paints the systems of a timeline alone."""

    def __init__(
        self,
        timeline: Timeline,
        score: Score,
        look: Look,
        size: tuple[int, int],
        rate: Fraction,
        style: BandStyle,
    ) -> None:
        """Prepare to paint; `look` is that of a band, as `band_look` makes it."""
        super().__init__(timeline, score, look, size, rate)
        self.style = style
        self.bands: Recent[BandScreen] = Recent(PAGES_KEPT)
        self.seen: int | None = None

    @property
    def remarks(self) -> tuple[Fault, ...]:
        """What could not be drawn as it is written: a band shows neither titles nor cards."""
        return tuple(remarks_on_letters(caption_texts(self.frame, self.timeline)))

    def cover(self, key: Hashable) -> tuple[Pixels, list[Area]]:
        """The band's pixels, (height, width, 4), and where they differ from those given before.

        Red, green and blue are premultiplied by the cover. The array is painted on again by the next call.
        """
        if isinstance(key, Dissolve):
            first, second = self.band(key.first), self.band(key.second)
            self.seen = None
            return blend(first.pixels, second.pixels, key.level / FULL), [self.whole_area]
        sight = cast(Sight, key)
        screen = self.band(sight)
        areas = screen.touched if self.seen == sight.page else [self.whole_area]
        self.seen = sight.page
        return screen.pixels, areas

    def band(self, sight: Sight) -> BandScreen:
        """The page's screen, painted so that it shows the sight."""
        screen = self.bands.get_or_make(sight.page, lambda: self.new_band(sight.page))
        screen.touched = []
        self.bring(screen, sight)
        return screen

    def new_band(self, page: int) -> BandScreen:
        """A page without marks."""
        width, height = self.size
        screen = BandScreen(self.stage(page), frozenset(), np.empty((height, width, 4), np.uint8))
        screen.paint(self.whole_area, ())
        return screen

    def new_ground(self, _name: str, space: Space) -> Pixels:
        """Nothing but paper, as far as it covers."""
        paper = flat(space, self.whole_area, self.look.colour("paper"))
        if space != "rgba":
            return to_bytes(paper)
        paper *= np.float32(self.style.paper)
        paper[:, self.free_rows] = 0
        return to_bytes(paper)

    @property
    def free_rows(self) -> slice:
        """The rows of pixels that only captions cover."""
        if self.style.captions is None or not self.style.captions_free:
            return slice(0)
        height, room = self.size[1], round(captions_room(self.given_look) * self.scale)
        return slice(room) if self.style.captions == "above" else slice(height - room, height)

    def elsewhere_figures(self, mark: Mark) -> list[Figure]:
        """What a mark outside the staves draws: never a header; the form where it is asked for."""
        hidden = mark.kind == "place" or (mark.kind in ON_THE_FORM and not self.style.form)
        figures = [] if hidden else super().elsewhere_figures(mark)
        if mark.kind == "caption" and self.style.captions_free:
            lines = len(self.timeline.captions[cast(Any, mark.name)[0]].lines)
            return [*paper_under(figures, self.look, lines), *figures]
        return figures


def make_band(
    timeline: Timeline,
    score: Score,
    rate: Fraction,
    style: BandStyle,
    width: int,
    most_height: int,
    own: Look | None = None,
) -> Band:
    """A band of a width, and of at most a height, in pixels.

    A line takes more music where the band would be higher than that.

    Args:
        timeline: what is seen when.
        score: as the edition prints it.
        rate: at most how many frames a second it is asked for: light comes up to a frame early.
        style: how it looks.
        width: in pixels, even.
        most_height: in pixels, without captions that stand free.
        own: colours, faces and sizes; the standard look by default.
    """
    units = style.units
    while True:
        look = band_look(own or standard_look(), timeline, score, replace(style, units=units))
        scale = width / units
        height = round(look.size("frame", "height") * scale / 2) * 2
        free = captions_room(look) * scale if style.captions and style.captions_free else 0
        most = int(most_height + free) // 2 * 2
        if height <= most or units * WIDER > style.units * WIDEST:
            break
        units *= WIDER
    return Band(timeline, score, look, (width, min(height, most)), rate, style)


def band_look(look: Look, timeline: Timeline, score: Score, style: BandStyle) -> Look:
    """A look whose height holds every row of a timeline, and the form strip under them where it is shown."""
    painter = Line(
        timeline, score, with_sizes(look, look.kinds["play"], TALL, TALL), (round(style.units / 2) * 2, TALL)
    )
    rows = [
        painter.laid_row(page.kind, bars, None, painter.shown_on(page))
        for page in unlike_pages(timeline)
        for bars in page.rows
        if bars
    ]
    above, below = reaches(look, rows)
    pitch = above + below
    room = captions_room(look) if style.captions else 0
    head = AIR + (room if style.captions == "above" else 0)
    bottom = head + style.rows * pitch
    height = bottom + (FORM_ROOM if style.form else AIR)
    tops = [head + above + number * pitch for number in range(style.rows)]
    kind = replace(look.kinds["play"], tops=tops, single=tops[0], top=head - AIR, bottom=bottom)
    captioned = with_captions(look, 0 if style.captions == "above" else height)
    return with_sizes(captioned, kind, height + (room if style.captions == "below" else 0), height)


def caption_letters(look: Look, units: float) -> int:
    """How many letters a line of captions has room for, in a band so many look units wide."""
    return letters_in(look, units - 2 * MARGIN - 2 * CAPTION_SIDE)


def captions_room(look: Look) -> float:
    """The height that captions take, in look units."""
    return look.size("caption", "bottom") - look.size("caption", "top") + 2 * CAPTIONS_AIR


def with_captions(look: Look, top: float) -> Look:
    """A look whose captions stand below a height."""
    down = top + CAPTIONS_AIR - look.size("caption", "top")
    places = {name: look.size("caption", name) + down for name in CAPTION_PLACES}
    return replace(look, sizes={**look.sizes, "caption": {**look.sizes["caption"], **places}})


def paper_under(figures: Sequence[Figure], look: Look, lines: int) -> list[Figure]:
    """Paper for the lines of a caption that stands on nothing."""
    bounds = union(figure.box for figure in figures)
    if bounds is None:
        return []
    size, names = look.size("caption", "size"), ("first", "second") if lines > 1 else ("single", "single")
    first, last = (look.size("caption", name) for name in names)
    sides = bounds.grown(CAPTION_SIDE, 0)
    box = Box(sides.left, first - CAPTION_RISE * size, sides.right, last + CAPTION_DROP * size)
    return [Figure((rectangle(box, CAPTION_RADIUS),), box, "paper")]


def unlike_pages(timeline: Timeline) -> list[Page]:
    """The pages of a timeline, of those that look alike one."""
    return list({(page.kind, page.rows): page for page in timeline.pages}.values())


def with_sizes(look: Look, kind: Kind, height: float, foot: float) -> Look:
    """A look with one kind of page, of another height, without a header; the form strip stands above `foot`."""
    sizes = dict(look.sizes)
    sizes["frame"] = {**sizes["frame"], "height": height, "left": MARGIN, "right": MARGIN}
    sizes["header"] = {**sizes["header"], "rule": 0.0}
    down = foot - FORM_FOOT - sizes["strip"]["bottom"]
    places = {name: sizes["strip"][name] + down for name in ("top", "bottom", "baseline")}
    sizes["strip"] = {**sizes["strip"], **places}
    return replace(look, kinds={**look.kinds, "play": kind}, sizes=sizes)


def reaches(look: Look, rows: Sequence[Row]) -> tuple[float, float]:
    """How far the rows, with their light, reach above their top line and below it."""
    light = look.sizes["light"]
    above = max((row.staff_top - row.extent.top for row in rows), default=0.0)
    below = max((row.extent.bottom - row.staff_top for row in rows), default=0.0)
    return above + light["air"], below + light["rule_drop"]
