"""How alike two runs of pictures are, as FFmpeg's own filters tell: `psnr` and `ssim` (Wang et al. 2004), of luma."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction
from math import inf, log10

import av
import av.filter
import numpy as np

__all__ = ["Likeness", "likeness"]

BT709, LIMITED = 1, 1
WHITE = 255


@dataclass(frozen=True)
class Likeness:
    """Peak signal to noise in dB, of the mean squared error of all pictures; structural similarity, the mean."""

    psnr_db: float
    ssim: float


def likeness(some: Iterable[av.VideoFrame], others: Iterable[av.VideoFrame]) -> Likeness:
    """Compare frames of 8 bits, one by one, as many as there are of both."""
    graph: av.filter.Graph | None = None
    errors: list[float] = []
    likes: list[float] = []
    for number, pair in enumerate(zip(some, others, strict=False)):
        if graph is None:
            graph, ends, sinks = comparing(pair[0])
        for end, frame in zip(ends, pair, strict=True):
            frame.pts, frame.time_base = number, Fraction(1, 30)
            frame.colorspace, frame.color_range = BT709, LIMITED
            end.push(frame)
        for sink, name, found in zip(sinks, ("psnr.mse.y", "ssim.Y"), (errors, likes), strict=True):
            with suppress(av.BlockingIOError):
                found.append(float(sink.pull().metadata[f"lavfi.{name}"]))
    error = float(np.mean(errors))
    return Likeness(10 * log10(WHITE**2 / error) if error else inf, float(np.mean(likes)))


def comparing(
    frame: av.VideoFrame,
) -> tuple[av.filter.Graph, list[av.filter.FilterContext], list[av.filter.FilterContext]]:
    """Both filters in one graph: where pictures like a frame go in, and where what is said of them comes out."""
    graph = av.filter.Graph()
    size = f"video_size={frame.width}x{frame.height}"
    shape = f"{size}:pix_fmt={frame.format.name}:time_base=1/30:colorspace=bt709:range=tv"
    ends = [graph.add("buffer", args=shape) for _ in range(2)]
    filters, sinks = [graph.add("psnr"), graph.add("ssim")], [graph.add("buffersink") for _ in range(2)]
    for place, end in enumerate(ends):
        split = graph.add("split")
        end.link_to(split)
        for number, judge in enumerate(filters):
            split.link_to(judge, number, place)
    for judge, sink in zip(filters, sinks, strict=True):
        judge.link_to(sink)
    graph.configure()
    return graph, ends, sinks
