"""The score as a layer for an editor: what `overlay` lays over a film, alone and transparent."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from lessonmaker.build.overlay import (
    FittedFilm,
    Overlaid,
    Overlay,
    clock_of,
    evenly,
    finished,
    laid_out,
    part_of,
    refuse_same_file,
    seconds_of_work,
    stage_film,
)
from lessonmaker.build.progress import Progress
from lessonmaker.video.footage import Footage, Turn
from lessonmaker.video.layer import SQUARE_ONLY, Layer, write_layer
from lessonmaker.video.markers import even_rate, frame_at
from lessonmaker.video.overlay import Part

__all__ = ["make_layer"]

LAYER_SHARE = 0.2  # about what it takes of the work that the film would


def make_layer(order: Overlay, fitted: FittedFilm, progress: Progress) -> Overlaid:
    """Write the layer of a film, with its bar table and chapters.

    It is as large as the film is seen, begins with a whole frame, and has a frame for each of the film's where those
    come evenly.

    Raises:
        MaterialError: the part asked for is not in the film, or the output cannot be what it is called.
        OSError: a file cannot be written.
    """
    refuse_same_file(order)
    footage = upright(fitted.footage, square=order.output.suffix.lower() in SQUARE_ONLY)
    asked = part_of(footage, order.start_s, order.end_s)
    first = frame_at(asked.start_s, footage.rate)
    frames = max(round(asked.end_s * footage.rate) - first, 1)
    part = Part(first / footage.rate, (first + frames) / footage.rate)
    clock = clock_of(order, footage, part.start_s)
    staged = stage_film(order, fitted, part)
    band, lay = laid_out(order, staged, footage)
    layer = Layer(
        size=(footage.width, footage.height),
        place=lay.picture,
        aspect=footage.aspect,
        rate=footage.rate,
        frames=frames,
        code=clock.at(0),
        ground=lay.ground,
    )
    frame_s = seconds_of_work(footage, part) * LAYER_SHARE / frames
    progress.expect(frames * frame_s)
    progress.begin()
    write_layer(
        order.output, band, layer, staged.timeline.title, lambda done: progress.advance(done * frame_s)
    )
    progress.finished()
    return finished(order, staged, clock, (*fitted.remarks, *staged.remarks, *band.remarks))


def upright(footage: Footage, square: bool) -> Footage:
    """A film as it is seen, at an even rate, its pixels squared if asked for."""
    (width, height), aspect = footage.seen_size, footage.seen_aspect
    if square:
        width, aspect = evenly(width * aspect), Fraction(1)
    rate = even_rate(footage.rate)
    return replace(footage, width=width, height=height, aspect=aspect, turn=Turn(), rate=rate)
