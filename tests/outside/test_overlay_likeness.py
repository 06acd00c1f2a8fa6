"""How much of a film is kept under a laid picture, as FFmpeg's filters `psnr` and `ssim` judge it."""

from __future__ import annotations

from fractions import Fraction

import av
import numpy as np
import pytest

from lessonmaker.picture.raster import Area
from lessonmaker.video.film import FilmInfo
from lessonmaker.video.footage import open_film, read_footage, timed_frames
from lessonmaker.video.overlay import Composer, Lay, Part, Version, overlay_films
from tests.tools.camera_film import camera_film
from tests.tools.flat_cover import FlatCover
from tests.tools.likeness import likeness

SIZE, RATE = (640, 360), Fraction(30)
PLACE = Area(0, 280, 640, 360)
BLUE, PAPER = (0, 96, 160), (251, 248, 242)
SOUND_RATE = 48_000


def frames_of(path):
    with av.open(str(path)) as container:
        yield from container.decode(video=0)


@pytest.fixture(scope="module")
def film(tmp_path_factory):
    sound = 0.1 * np.sin(np.arange(SOUND_RATE) * 0.05)
    path = tmp_path_factory.mktemp("likeness") / "film.mp4"
    return camera_film(path, 1, sound, SOUND_RATE, SIZE, RATE)


def test_a_camera_film_is_kept_as_good_as_it_came(film, tmp_path):
    """From 45 dB and 0.98 on nobody sees a difference (common practice, no source); bits stay in reason."""
    footage, output = read_footage(film), tmp_path / "made.mp4"
    covers = FlatCover((640, 80), ((BLUE, 255), (PAPER, 153)), [Fraction(1, 2)])
    lay, part = Lay(Area(0, 0, *SIZE), PLACE), Part(Fraction(0), footage.seconds)
    info = FilmInfo("Night Ferry", "", "", 240_000, ())
    overlay_films(footage, part, [Version(output, covers, lay, info)], 2)
    composer = Composer(footage, covers, lay)
    with open_film(film) as container:
        frames = timed_frames(container, footage, part.start_s, part.end_s)
        handed_over = (composer.frame(frame, gone_s) for frame, _, gone_s in frames)
        found = likeness(frames_of(output), handed_over)
    assert found.psnr_db > 45
    assert 0.98 < found.ssim < 1
    assert output.stat().st_size < 1.6 * film.stat().st_size


def test_what_is_lost_is_noticed(film):
    """The judges themselves: equal pictures are equal, one code of every sample is 48.1 dB (255 squared by 1)."""
    frames = list(frames_of(film))[:5]
    assert likeness(frames, frames_of(film)).ssim == pytest.approx(1, abs=1e-6)
    brighter = []
    for frame in frames:
        shifted = frame.to_ndarray()
        shifted[:360] += 1
        brighter.append(av.VideoFrame.from_ndarray(shifted, format="yuv420p"))
    assert likeness(brighter, frames_of(film)).psnr_db == pytest.approx(48.13, abs=0.01)
