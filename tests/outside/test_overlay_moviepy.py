"""The overlaid film against the same overlay composed by MoviePy, frame by frame.

MoviePy reads the film through FFmpeg's program, turns it into RGB and mixes there; here the strip is mixed in the
film's own planes and encoded. What differs is the loss of H.264 and of chroma at half the size.
"""

from __future__ import annotations

import gc
from fractions import Fraction

import av
import numpy as np
import pytest
from moviepy import CompositeVideoClip, ImageClip, VideoFileClip

from lessonmaker.picture.raster import Area
from lessonmaker.video.film import FilmInfo
from lessonmaker.video.footage import read_footage
from lessonmaker.video.overlay import Lay, Part, Version, overlay_films
from tests.tools.clock_film import make_film
from tests.tools.flat_cover import FlatCover

SIZE, PLACE = (256, 144), Area(0, 96, 256, 144)
BLUE, PAPER = (0, 96, 160), (251, 248, 242)
CUT_S = Fraction(1, 2)
RATE = 48_000


def moviepy_strip(covers, key, start_s, end_s):
    """The strip as MoviePy takes it: straight colours, and a mask of its own."""
    pixels, _ = covers.cover(key)
    cover = pixels[:, :, 3:] / 255
    straight = np.rint(pixels[:, :, :3] / np.maximum(cover, 1 / 255)).clip(0, 255).astype(np.uint8)
    clip = ImageClip(straight, duration=end_s - start_s).with_mask(ImageClip(cover[:, :, 0], is_mask=True))
    return clip.with_start(start_s).with_position((PLACE.left, PLACE.top))


@pytest.mark.filterwarnings("ignore::ResourceWarning")  # MoviePy leaves its reader's pipes open
@pytest.mark.parametrize("cover", [255, 153])
def test_the_overlaid_film_is_what_moviepy_composes(tmp_path, cover):
    times = [Fraction(number, 25) for number in range(25)]
    sound = 0.3 * np.sin(np.arange(RATE) * 0.05).astype(np.float32)
    film = make_film(tmp_path / "film.mp4", times, SIZE, sound=sound, rate=RATE)
    covers = FlatCover((256, 48), ((BLUE, 255), (PAPER, cover)), [CUT_S])
    footage, output = read_footage(film), tmp_path / "made.mp4"
    lay, part = Lay(Area(0, 0, *SIZE), PLACE), Part(Fraction(0), footage.seconds)
    info = FilmInfo("Night Ferry", "", "", 240_000, ())
    overlay_films(footage, part, [Version(output, covers, lay, info)], 2)
    with av.open(str(output)) as container:
        made = [
            frame.reformat(format="rgb24", src_colorspace="ITU709", dst_colorspace="ITU709").to_ndarray()
            for frame in container.decode(video=0)
        ]
    cut_s = float(CUT_S) - 0.02  # the frame in which light comes up shows it
    strips = [moviepy_strip(covers, 0, 0, cut_s), moviepy_strip(covers, 1, cut_s, 1)]
    with VideoFileClip(str(film), audio=False) as under, CompositeVideoClip([under, *strips]) as composed:
        assert len(made) == 25
        for number in range(25):
            other = composed.get_frame((number + 0.1) / 25)
            off = np.abs(made[number].astype(int) - other)
            assert off.mean() < 1.5
            assert np.quantile(off, 0.98) <= 8
    gc.collect()
