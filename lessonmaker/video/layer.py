"""A picture with cover as a film of its own, to be laid over footage in an editor: an even rate, a time code, no sound.

Colours are straight, not premultiplied: that is what editors and browsers take ProRes 4444 and VP9 with alpha to hold
(common practice, no source). Where nothing covers, the colour is that of the ground, so that no dark edge shows when
the layer is scaled. Y'CbCr is BT.709, limited range, and tagged so.

A frame that looks like the one before costs no encoding. A ProRes frame stands by itself: its bytes are written again.
A VP9 frame is shown again by a frame of one byte (`show_existing_frame`, VP9 Bitstream & Decoding Process
Specification 0.6, 6.2 and 7.2), which names the place where every frame encoded here is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal, cast

import av
import numpy as np
import numpy.typing as npt
from av.packet import PacketSideData
from av.video.frame import PictureType

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.files import finished_file
from lessonmaker.picture.raster import Area
from lessonmaker.video.cover import CHROMA, WHOLE, coding_of, fitted, mean, planes_of
from lessonmaker.video.footage import BT709, Colours
from lessonmaker.video.overlay import Covers, last_tick

__all__ = ["LAYER_ENDINGS", "SQUARE_ONLY", "Layer", "packing_of", "write_layer"]

COVER = 3  # the plane and the channel that say how much is covered
LIMITED = 1
KEY_SECONDS = 2
QUANTISER = 2 * 118  # the second finest, in FFmpeg's steps (FF_QP2LAMBDA): 72 dB luma PSNR
ALPHA: Literal["matroska_block_additional"] = "matroska_block_additional"
ALPHA_HEAD = 8  # bytes that say that what follows is alpha
SHOWN_AGAIN = (
    b"\x88"  # frame marker 2, profile 0, show_existing_frame, the first place of those frames are kept in
)


@dataclass(frozen=True)
class Packing:
    """How a layer is kept in a file."""

    container: str
    codec: str
    format: str
    options: dict[str, str]
    repeated: Callable[[av.Packet[Any]], av.Packet[Any]]
    keyed: bool = False


def copied(packet: av.Packet[Any]) -> av.Packet[Any]:
    """A frame that stands by itself, once more."""
    again = av.Packet(bytes(packet))
    again.is_keyframe = True
    return again


def shown_again(packet: av.Packet[Any]) -> av.Packet[Any]:
    """The frame that shows a VP9 frame, and its alpha, once more. Zeros pad the alpha to the length it had."""
    again = av.Packet(SHOWN_AGAIN)
    alpha = PacketSideData.from_packet(packet, ALPHA)
    data = bytes(alpha)
    alpha.update(data[:ALPHA_HEAD] + SHOWN_AGAIN + bytes(len(data) - ALPHA_HEAD - 1))
    again.set_sidedata(alpha)
    return again


# A quantiser that is set: the search for one took six times as long. Eight bits of cover are all that there is.
PRORES = {"profile": "4444", "global_quality": str(QUANTISER), "alpha_bits": "8"}
VP9 = {
    "deadline": "realtime",
    "cpu-used": "5",
    "crf": "4",
    "b": "0",
    "auto-alt-ref": "0",
    "lag-in-frames": "0",
}
PACKINGS = {
    ".mov": Packing("mov", "prores_ks", "yuva444p10le", PRORES, copied),
    ".webm": Packing("webm", "libvpx-vp9", "yuva420p", VP9, shown_again, keyed=True),
}
LAYER_ENDINGS = tuple(PACKINGS)
SQUARE_ONLY = (
    ".webm",
)  # what a VP9 picture does not say of its pixels, FFmpeg's writer does not say here either


@dataclass(frozen=True)
class Layer:
    """A layer's frames.

    Attributes:
        size: Width and height, as the film is seen.
        place: Where the picture lies on it.
        aspect: The width of a pixel as a share of its height; a WebM file has square ones.
        rate: Frames a second.
        frames: How many.
        code: The time code of the first.
        ground: Red, green, blue where nothing covers.
    """

    size: tuple[int, int]
    place: Area
    aspect: Fraction
    rate: Fraction
    frames: int
    code: str
    ground: tuple[int, int, int]


def write_layer(
    path: Path, covers: Covers, layer: Layer, title: str, told: Callable[[int], None] | None = None
) -> None:
    """Write a layer; the file is whole or not there.

    Args:
        path: the file to write: .mov holds ProRes 4444, .webm VP9.
        covers: the picture; its tick 0 is where the layer begins.
        layer: its frames.
        title: what the file calls itself.
        told: called with each number of frames that are done.

    Raises:
        MaterialError: the output's name does not fit.
        OSError: the file cannot be written.
    """
    packing = packing_of(path)
    with (
        finished_file(path) as fragment,
        av.open(str(fragment), "w", format=packing.container) as output,
    ):
        output.metadata["title"] = title
        writer = Writer(output, packing, layer)
        straight = Straight(packing.format, layer)
        shown: object = None
        for number in range(layer.frames):
            key = covers.key(last_tick((number + 1) / layer.rate))
            if key != shown:
                pixels, areas = covers.cover(key)
                straight.change(*fitted(pixels, areas, layer.place))
                shown = key
                writer.write(straight.frame)
            else:
                writer.again(straight.frame)
            if told is not None:
                told(1)


def packing_of(path: Path) -> Packing:
    """How a layer of a name is kept.

    Raises:
        MaterialError: no layer is written under such a name.
    """
    packing = PACKINGS.get(path.suffix.lower())
    if packing is None:
        todo = f"end its name with {' or '.join(PACKINGS)}"
        raise MaterialError(Fault(f"{path.name} is no name for a layer", todo, Place(path)))
    return packing


class Straight:
    """A frame with straight colours and cover, brought up to date in the areas that change."""

    def __init__(self, format_: str, layer: Layer) -> None:
        """Nothing but ground that covers nothing."""
        self.coding = coding_of(format_, Colours(BT709, BT709, BT709, LIMITED, bt601=False))
        self.frame = av.VideoFrame(*layer.size, format_)
        self.planes = planes_of(self.frame, self.coding)
        self.ground, self.place = np.array(layer.ground, np.float32), layer.place
        self.matrix = self.coding.matrix.astype(np.float32)
        nothing = np.zeros((self.coding.down, self.coding.across, COVER + 1), np.float32)
        for number, plane in enumerate(self.planes):
            plane[:] = self.samples(number, nothing)[0, 0]

    def change(self, pixels: npt.NDArray[np.uint8], areas: Iterable[Area]) -> None:
        """Take over some areas (on whole chroma samples) of a premultiplied picture, (height, width, 4)."""
        for area in areas:
            part = pixels[area.top : area.bottom, area.left : area.right].astype(np.float32)
            for number, plane in enumerate(self.planes):
                across, down = self.coding.step(number)
                top, left = (self.place.top + area.top) // down, (self.place.left + area.left) // across
                made = self.samples(number, part)
                plane[top : top + made.shape[0], left : left + made.shape[1]] = made

    def samples(self, number: int, part: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
        """A plane's samples of a premultiplied part, (height, width, 4), 0 to 255."""
        if number == COVER:
            most = np.float32((1 << self.coding.bits) - 1)
            return cast(npt.NDArray[np.float32], np.rint(part[:, :, COVER] * (most / WHOLE)))
        if number in CHROMA:
            across, down = self.coding.across, self.coding.down
            part = np.stack([mean(part[:, :, place], across, down) for place in range(COVER + 1)], axis=2)
        row, cover = self.matrix[number], part[:, :, COVER]
        shown = (part[:, :, :COVER] @ row[:COVER]) / np.maximum(cover, 1 / WHOLE) * WHOLE
        colour = np.where(cover > 0, shown, self.ground @ row[:COVER])
        return cast(npt.NDArray[np.float32], np.rint(colour + row[COVER]))


class Writer:
    """Writes frames at an even rate; one that is the same as before is not encoded again."""

    def __init__(self, output: av.container.OutputContainer, packing: Packing, layer: Layer) -> None:
        self.output, self.packing, self.rate = output, packing, layer.rate
        stream = output.add_stream(packing.codec, rate=layer.rate)
        codec = cast(av.VideoCodecContext, stream.codec_context)
        codec.width, codec.height, codec.pix_fmt = *layer.size, packing.format
        codec.color_primaries = codec.color_trc = codec.colorspace = BT709
        codec.color_range = LIMITED
        if layer.aspect != 1:
            codec.sample_aspect_ratio = layer.aspect
        codec.time_base = stream.time_base = 1 / layer.rate
        codec.thread_type, codec.thread_count = "SLICE", 0
        codec.options = packing.options
        stream.metadata["timecode"] = layer.code
        self.stream, self.number = cast(av.VideoStream, stream), 0
        self.last: av.Packet[Any] | None = None
        self.keys = max(round(KEY_SECONDS * layer.rate), 1)

    def write(self, frame: av.VideoFrame) -> None:
        """Encode a frame; none is held back."""
        frame.pts, frame.time_base = self.number, 1 / self.rate
        key = not self.number % self.keys
        frame.pict_type = PictureType.I if key else PictureType.NONE
        (self.last,) = self.stream.encode(frame)
        self.mux(self.last)

    def again(self, frame: av.VideoFrame) -> None:
        """Show a frame that is the same as the one before."""
        if self.last is None or (self.packing.keyed and not self.number % self.keys):
            self.write(frame)
        else:
            self.mux(self.packing.repeated(self.last))

    def mux(self, packet: av.Packet[Any]) -> None:
        """Put a packet at the place of the next frame."""
        packet.stream, packet.time_base = self.stream, 1 / self.rate
        packet.pts = packet.dts = self.number
        packet.duration = 1
        self.output.mux(packet)
        self.number += 1
