"""Layers: what is decoded from them, laid over a picture, is what the overlaid film shows."""

from __future__ import annotations

from fractions import Fraction

import av
import numpy as np
import pytest

from lessonmaker.faults import MaterialError
from lessonmaker.picture.raster import Area
from lessonmaker.video.layer import Layer, write_layer
from tests.tools.layers import LayerFrames

SIZE, PLACE = (192, 128), Area(16, 64, 176, 112)
PAPER = (251, 248, 242)
RATE = Fraction(30000, 1001)
FRAMES = 150
CHANGES_AT = {0: 0, 20: 1, 21: 2, 90: 3}


class Patches:
    """Paper of half cover with a coloured square in it that moves, and a slope of cover under it."""

    size = (PLACE.width, PLACE.height)

    def __init__(self):
        self.asked = []

    def changes(self, _rate):
        return list(CHANGES_AT)

    def key(self, tick):
        frame = int(tick * RATE / 240_000)
        return max(number for start, number in CHANGES_AT.items() if start <= frame)

    def cover(self, key):
        whole = Area(0, 0, *self.size)
        areas = [Area(0, 0, self.size[0], 24)] if self.asked else [whole]
        self.asked.append(key)
        return premultiplied(key), areas


def premultiplied(key):
    straight, cover = patches(key)
    made = np.rint(straight * cover[:, :, None] / 255)
    return np.dstack([made, cover]).astype(np.uint8)


def patches(key):
    height, width = PLACE.height, PLACE.width
    straight = np.empty((height, width, 3))
    straight[:] = PAPER
    cover = np.full((height, width), 128.0)
    straight[8:16, 16 + 32 * key : 32 + 32 * key] = (40, 90, 200)
    cover[8:16, 16 + 32 * key : 32 + 32 * key] = 255
    cover[32:40] = np.rint(np.linspace(0, 255, width))
    return straight, cover


def layer():
    return Layer(SIZE, PLACE, Fraction(1), RATE, FRAMES, "10:00:00;00", PAPER)


def key_of(frame):
    return max(number for start, number in CHANGES_AT.items() if start <= frame)


@pytest.mark.parametrize(("ending", "colour_off", "cover_off"), [(".mov", 2, 0.51), (".webm", 6, 6)])
def test_a_layer_holds_straight_colours_and_the_cover(tmp_path, ending, colour_off, cover_off):
    path = tmp_path / f"made{ending}"
    covers = Patches()
    write_layer(path, covers, layer(), "Night Ferry")
    made = LayerFrames(path)
    assert len(made) == FRAMES
    assert covers.asked == [0, 1, 2, 3]
    for number in (0, 19, 20, 21, 22, 59, 60, 89, 90, 149):
        straight, cover = patches(key_of(number))
        seen = made[number][PLACE.top : PLACE.bottom, PLACE.left : PLACE.right]
        assert np.abs(seen[:, :, 3] - cover).max() <= cover_off
        flat = np.zeros(cover.shape, bool)
        flat[:30] = True  # a whole chroma sample from each edge of the square
        flat[6:18, 12 + 32 * key_of(number) : 36 + 32 * key_of(number)] = False
        flat[10:14, 20 + 32 * key_of(number) : 28 + 32 * key_of(number)] = True
        assert np.abs(seen[:, :, :3] - straight)[flat].max() <= colour_off
    outside = np.ones(SIZE[::-1], bool)
    outside[PLACE.top : PLACE.bottom, PLACE.left : PLACE.right] = False
    assert all(not frame[:, :, 3][outside].any() for frame in map(made.__getitem__, range(0, FRAMES, 30)))
    assert np.abs(made[0][:8, :8, :3] - PAPER).max() <= 2


@pytest.mark.parametrize("ending", [".mov", ".webm"])
def test_frames_that_are_the_same_cost_no_encoding(tmp_path, ending):
    path = tmp_path / f"made{ending}"
    write_layer(path, Patches(), layer(), "Night Ferry")
    with av.open(str(path)) as film:
        stream = film.streams.video[0]
        packets = [packet for packet in film.demux(stream) if packet.size]
        times = [float(packet.pts * packet.time_base) for packet in packets]
    assert times == pytest.approx([float(number / RATE) for number in range(FRAMES)], abs=1e-3)
    if ending == ".mov":
        assert len({bytes(packet) for packet in packets}) == len(CHANGES_AT)
        assert all(packet.is_keyframe for packet in packets)
    else:
        encoded = [number for number, packet in enumerate(packets) if packet.size > 1]
        assert encoded == [0, 20, 21, 60, 90, 120]  # each change, and a key frame every two seconds
        assert [number for number, packet in enumerate(packets) if packet.is_keyframe] == [0, 60, 120]


@pytest.mark.parametrize("ending", [".mov", ".webm"])
def test_what_ffmpeg_reads_of_a_layer(tmp_path, ending):
    path = tmp_path / f"made{ending}"
    wide = Layer(SIZE, PLACE, Fraction(4, 3), RATE, 10, "10:00:00;00", PAPER)
    write_layer(path, Patches(), wide, "Night Ferry")
    with av.open(str(path)) as film:
        stream = film.streams.video[0]
        codec = stream.codec_context
        codes = {name.lower(): text for name, text in stream.metadata.items()}
        assert (codec.width, codec.height) == SIZE
        assert stream.average_rate == RATE
        assert (codec.colorspace, codec.color_range) == (1, 1)
        assert codes["timecode"] == "10:00:00;00"
        assert film.metadata["title"] == "Night Ferry"
        assert not film.streams.audio
        if ending == ".mov":
            assert stream.sample_aspect_ratio == Fraction(4, 3)
            assert codec.codec_tag == "ap4h"  # Apple ProRes 4444 (RDD 36, from memory)
            assert (codec.color_primaries, codec.color_trc) == (1, 1)
        else:
            assert codes["alpha_mode"] == "1"


def test_a_layer_of_another_name_is_refused(tmp_path):
    with pytest.raises(
        MaterialError, match=r"made.mp4 is no name for a layer; end its name with .mov or .webm"
    ):
        write_layer(tmp_path / "made.mp4", Patches(), layer(), "Night Ferry")
    assert not list(tmp_path.iterdir())
