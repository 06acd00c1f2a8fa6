"""A lesson in a film of one's own: an opening, a part of the lesson, a closing, put together with MoviePy.

    python scripts/compose_film.py [FILM]

A lesson of the book can show the opening too, with the cue `scene: compose_film:opening`; then
`lessonmaker build --allow-code` makes it.
"""

import sys
from pathlib import Path

import numpy as np
from moviepy import ColorClip, CompositeVideoClip, TextClip, concatenate_videoclips, vfx
from moviepy.audio.AudioClip import AudioClip

import lessonmaker

LESSON = Path(__file__).parent / "the-tin-heron.yaml"
PAPER, INK, NOW = (251, 248, 242), "#1d1b18", (0, 114, 178)
FULL_HD = (1920, 1080)


def opening(size):
    """Words rise out of the paper while a line slides in under them, over two soft notes."""
    width, height = size
    words = TextClip(
        text="Thea Quillfeather plays and explains",
        font_size=height // 14,
        color=INK,
        size=(width, height // 4),
        method="caption",
        text_align="center",
        duration=3,
    )
    line = ColorClip((width // 2, height // 90), color=NOW, duration=3)
    film = CompositeVideoClip(
        [
            ColorClip(size, color=PAPER, duration=3),
            words.with_position(("center", height // 3)).with_effects([vfx.CrossFadeIn(1)]),
            line.with_position(lambda t: (width // 4 - round(width * max(0.5 - t, 0)), round(height * 0.6))),
        ]
    )
    return film.with_audio(AudioClip(two_notes, duration=3, fps=48_000))


def two_notes(t):
    """A fifth that dies away: (samples, 2)."""
    time = np.atleast_1d(t)
    sound = 0.1 * np.exp(-1.5 * time) * (np.sin(2 * np.pi * 220 * time) + np.sin(2 * np.pi * 330 * time))
    stereo = np.stack([sound, sound], axis=1)
    return stereo if np.ndim(t) else stereo[0]


def closing(size):
    """The paper fades to black."""
    return ColorClip(size, color=PAPER, duration=2).with_effects([vfx.FadeOut(2)])


def compose(size=FULL_HD, edition="b-flat", part="Call and answer"):
    """The whole film as a clip."""
    lesson = lessonmaker.clip(LESSON, edition=edition, part=part, size=size)
    return concatenate_videoclips([opening(size), lesson, closing(size)])


if __name__ == "__main__":
    path = sys.argv[1] if len(sys.argv) > 1 else "evening.mp4"
    compose().write_videofile(path, fps=30, audio_fps=48_000)
