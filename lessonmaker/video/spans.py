"""A film in spans of some seconds, each encoded by itself, so that one whose picture is as before is not made again.

A span begins with a key frame and refers to nothing outside it; spans put one after the other are the film. What a span
is known by is a digest of the film, of how it is encoded, and of what is to be seen over each of its frames.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Protocol

import av

from lessonmaker.video.footage import Footage, frame_times, open_film, timed_frames

__all__ = ["FrameReader", "KeptSpans", "Span", "spans_of", "whole_span"]

SPAN_S = 4

Times = tuple[Fraction, Fraction]


class Keeps(Protocol):
    """Keeps bytes under keys."""

    def get(self, key: str) -> bytes | None:
        """What is kept, if it is."""

    def put(self, key: str, data: bytes) -> bool:
        """Keep something; whether that is done."""


@dataclass(frozen=True)
class KeptSpans:
    """Where a film's spans are kept.

    Attributes:
        store: Keeps them.
        basis: A digest of the film, and of all that makes a picture but what is seen.
        content: A digest of what is seen, by the key of what is laid over the film.
    """

    store: Keeps
    basis: str
    content: Callable[[Hashable], str]


@dataclass(frozen=True)
class Span:
    """A part of a film, in its seconds: from when on, until when its frames begin, and when these come and go.

    Of a film that is made in one span nothing is known of its frames.
    """

    start_s: Fraction
    end_s: Fraction
    frames: tuple[Times, ...] = ()


def whole_span(start_s: Fraction, end_s: Fraction) -> list[Span]:
    """A part of a film in one span."""
    return [Span(start_s, end_s)]


def spans_of(footage: Footage, start_s: Fraction, end_s: Fraction) -> list[Span]:
    """A part of a film in spans that begin where frames do."""
    with open_film(footage.path) as container:
        times = frame_times(container, footage, start_s, end_s)
    groups = [tuple(some) for _, some in groupby(times, key=lambda one: (one[0] - start_s) // SPAN_S)]
    starts = [some[0][0] for some in groups]
    return [
        Span(start, end, frames)
        for start, end, frames in zip(starts, [*starts[1:], end_s], groups, strict=True)
    ]


class FrameReader:
    """Reads a film's frames span after span; where one is left out, it seeks the next."""

    def __init__(self, footage: Footage, end_s: Fraction) -> None:
        """Read a film up to a second."""
        self.footage, self.end_s = footage, end_s
        self.frames: Iterator[tuple[av.VideoFrame, Fraction, Fraction]] = iter(())
        self.next: tuple[av.VideoFrame, Fraction, Fraction] | None = None

    def of(self, span: Span) -> Iterator[tuple[av.VideoFrame, Fraction, Fraction]]:
        """The frames that begin in a span, each with when it comes and when it goes.

        Raises:
            MaterialError: the film breaks off, or a frame cannot be decoded.
        """
        if self.next is None or self.next[1] != span.start_s:
            self.frames = self.frames_from(span.start_s)
            self.next = next(self.frames, None)
        while self.next is not None and self.next[1] < span.end_s:
            yield self.next
            self.next = next(self.frames, None)

    def frames_from(self, start_s: Fraction) -> Iterator[tuple[av.VideoFrame, Fraction, Fraction]]:
        """The frames from a second on."""
        with open_film(self.footage.path) as container:
            yield from timed_frames(container, self.footage, start_s, self.end_s)
