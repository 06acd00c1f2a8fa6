"""Films in spans: what is kept is not made again, and what is joined is as if nothing had been."""

from __future__ import annotations

from fractions import Fraction

import av
import numpy as np
import pytest

from lessonmaker.picture.raster import Area
from lessonmaker.video.film import FilmInfo
from lessonmaker.video.footage import read_footage
from lessonmaker.video.overlay import Lay, Part, Version, overlay_films
from lessonmaker.video.spans import FrameReader, KeptSpans, spans_of
from tests.tools.clock_film import clock_ms, make_film
from tests.tools.flat_cover import FlatCover

SIZE, PLACE, WHOLE = (256, 144), Area(0, 96, 256, 144), Area(0, 0, 256, 144)
BLUE, PAPER = (0, 96, 160), (251, 248, 242)
SECONDS, RATE = 13, 48_000


class Counting(dict):
    """A store that counts what it is given."""

    def __init__(self, *given):
        super().__init__(*given)
        self.given = 0

    def put(self, key, data):
        self.given += 1
        self[key] = data
        return True


def even_times():
    return [Fraction(number, 25) for number in range(SECONDS * 25)]


def uneven_times():
    """As a phone records, with a picture that stands for three seconds over the end of a span."""
    steps = np.random.default_rng(5).choice([2400, 3000, 3750, 4300], 600)
    times = [Fraction(0), *(Fraction(int(tick), 90_000) for tick in np.cumsum(steps))]
    return [one for one in times if one < SECONDS and not 6 < one < 9]


@pytest.fixture(params=[even_times, uneven_times], ids=["even", "uneven"])
def film(tmp_path, request):
    sound = 0.2 * np.sin(np.arange(SECONDS * RATE) * 0.05).astype(np.float32)
    times = request.param()
    return make_film(tmp_path / "film.mp4", times, SIZE, sound=sound, rate=RATE, options={"g": "60"})


def made(film, output, cut_s, store=None, part=None):
    footage = read_footage(film)
    covers = FlatCover((256, 48), ((BLUE, 255), (PAPER, 255)), [Fraction(cut_s)])
    kept = None if store is None else KeptSpans(store, "the film", str)
    part = part or Part(Fraction(0), footage.seconds)
    info = FilmInfo("Night Ferry", "", "", 240_000, ())
    overlay_films(footage, part, [Version(output, covers, Lay(WHOLE, PLACE), info, kept)], 1)
    return output


def shown(path):
    """When each frame comes, what its clock says, and the luma of what lies at its left."""
    with av.open(str(path)) as container:
        stream = container.streams.video[0]
        return [
            (frame.pts * stream.time_base, clock_ms(luma), int(luma[120, 40]))
            for frame in container.decode(stream)
            for luma in [frame.to_ndarray(format="gray")]
        ]


def test_what_is_joined_is_what_is_made_in_one(film, tmp_path):
    whole = shown(made(film, tmp_path / "whole.mp4", "5.3"))
    joined = shown(made(film, tmp_path / "joined.mp4", "5.3", Counting()))
    assert [one[:2] for one in joined] == [one[:2] for one in whole]
    light = np.array([[one[2] for one in some] for some in (whole, joined)])
    assert np.abs(light[0] - light[1]).max() <= 2
    assert len({one > 160 for one in light[0]}) == 2  # both looks are there


def test_only_spans_whose_picture_changed_are_made_again(film, tmp_path, monkeypatch):
    store, alone = Counting(), Counting()
    made(film, tmp_path / "before.mp4", "5.3", store)
    first = store.given
    made(film, tmp_path / "after.mp4", "4.7", store)
    assert (first, store.given - first) == (len(spans(film)), 1)
    made(film, tmp_path / "undisturbed.mp4", "4.7", alone)
    assert (tmp_path / "after.mp4").read_bytes() == (tmp_path / "undisturbed.mp4").read_bytes()
    monkeypatch.setattr(FrameReader, "of", lambda *_: pytest.fail("the film is decoded again"))
    made(film, tmp_path / "again.mp4", "4.7", store)
    assert (tmp_path / "again.mp4").read_bytes() == (tmp_path / "undisturbed.mp4").read_bytes()


def spans(film):
    footage = read_footage(film)
    return spans_of(footage, Fraction(0), footage.seconds)


def test_spans_begin_where_frames_do_and_hold_them_all(film):
    footage = read_footage(film)
    reader = FrameReader(footage, footage.seconds)
    found = spans(film)
    for span in found[1:] + found[:1]:  # the first at last: it has to be sought
        times = [(start_s, end_s) for _, start_s, end_s in reader.of(span)]
        assert times == list(span.frames)
    ends = [*(span.start_s for span in found[1:]), footage.seconds]
    assert [span.end_s for span in found] == ends


def test_a_part_of_a_film_is_made_in_spans_too(film, tmp_path):
    part, store = Part(Fraction("1.234"), Fraction("11.5")), Counting()
    whole = shown(made(film, tmp_path / "whole.mp4", "5.3", None, part))
    made(film, tmp_path / "first.mp4", "5.3", store, part)
    joined = shown(made(film, tmp_path / "joined.mp4", "5.3", store, part))
    assert [one[:2] for one in joined] == [one[:2] for one in whole]
    assert store.given == len(store) > 1


def test_the_sound_is_whole_whatever_is_kept(film, tmp_path):
    store = Counting()
    paths = [made(film, tmp_path / f"{cut_s}.mp4", cut_s, store) for cut_s in ("5.3", "4.7")]
    assert sound(paths[0]) == sound(paths[1]) == sound(film)


def sound(path):
    with av.open(str(path)) as container:
        stream = container.streams.audio[0]
        return [bytes(packet) for packet in container.demux(stream) if packet.pts is not None]
