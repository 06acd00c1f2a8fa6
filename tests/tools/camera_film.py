"""A film as a camera makes it, as far as an encoder can tell: a textured room, a player who moves, noise."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from PIL import Image

__all__ = ["camera_film"]

LOOP_FRAMES, KEPT_NOISES, NOISE = 60, 7, 2.6
OPTIONS = {"preset": "veryfast", "crf": "19", "bf": "0", "g": str(LOOP_FRAMES)}


def camera_film(
    path: Path, seconds: float, sound: np.ndarray, sound_rate: int, size: tuple[int, int], rate: Fraction
) -> Path:
    """A film of a length: two seconds of picture over and over, copied packet by packet, under a mono sound."""
    with av.open(str(path), "w") as output:
        picture = output.add_stream("libx264", rate=rate)
        picture.width, picture.height, picture.pix_fmt = *size, "yuv420p"
        codec = picture.codec_context
        codec.color_primaries = codec.color_trc = codec.colorspace = codec.color_range = 1
        codec.time_base = picture.time_base = 1 / rate
        codec.thread_type, codec.options = "FRAME", OPTIONS
        heard = output.add_stream("aac", rate=sound_rate, layout="mono")
        parts = room_and_player(size)
        frames = (loop_frame(parts, number, rate) for number in range(LOOP_FRAMES))
        packets = [bytes(packet) for frame in [*frames, None] for packet in picture.encode(frame)]
        for number in range(round(seconds * rate)):
            packet = av.Packet(packets[number % LOOP_FRAMES])
            packet.stream, packet.time_base, packet.duration = picture, 1 / rate, 1
            packet.pts = packet.dts = number
            packet.is_keyframe = not number % LOOP_FRAMES
            output.mux(packet)
        block = av.AudioFrame.from_ndarray(
            sound[None, : round(seconds * sound_rate)].astype(np.float32), format="fltp", layout="mono"
        )
        block.sample_rate, block.pts, block.time_base = sound_rate, 0, Fraction(1, sound_rate)
        output.mux(heard.encode(block))
        output.mux(heard.encode(None))
    return path


def textured(rng: np.random.Generator, height: int, width: int, *layers: tuple[int, float]) -> np.ndarray:
    """Smooth random patterns over each other, each of a cell in pixels and of a strength."""
    whole = np.zeros((height, width), np.float32)
    for cell, strength in layers:
        cells = rng.normal(0, strength, (height // cell + 3, width // cell + 3)).astype(np.float32)
        whole += np.asarray(Image.fromarray(cells).resize((width, height), Image.Resampling.BICUBIC))
    return whole


def room_and_player(size: tuple[int, int]) -> tuple[np.ndarray, np.ndarray, list[np.ndarray]]:
    """The luma of a still room and of a player, and a few noises."""
    rng = np.random.default_rng(4)
    width, height = size
    room = 120 + textured(rng, height, width, (160, 30), (24, 14), (6, 6))
    player = 110 + textured(rng, height * 2 // 3, width // 5, (80, 40), (12, 15), (6, 6))
    return room, player, [rng.normal(0, NOISE, room.shape).astype(np.float32) for _ in range(KEPT_NOISES)]


def loop_frame(
    parts: tuple[np.ndarray, np.ndarray, list[np.ndarray]], number: int, rate: Fraction
) -> av.VideoFrame:
    """A frame of the loop: the player has swayed once when it begins again."""
    room, player, noises = parts
    height, width = room.shape
    turn = 2 * np.pi * number / LOOP_FRAMES
    left, top = int(width * (0.42 + 0.06 * np.sin(turn))), int(height * (0.17 + 0.03 * np.sin(2 * turn)))
    luma = room.copy()
    luma[top : top + player.shape[0], left : left + player.shape[1]] = player
    luma += np.roll(noises[number % KEPT_NOISES], number * 37 % height, 0)
    frame = av.VideoFrame(width, height, "yuv420p")
    for plane, values in zip(
        frame.planes, (luma.clip(16, 235), np.float32(120), np.float32(136)), strict=True
    ):
        np.frombuffer(memoryview(plane), np.uint8).reshape(plane.height, -1)[:, : plane.width] = values
    frame.pts, frame.time_base = number, 1 / rate
    return frame
