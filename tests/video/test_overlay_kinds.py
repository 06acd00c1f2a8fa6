"""Films of every kind under a laid picture: codings, shapes of pixels, turns, sounds, starts, and what is refused."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import av
import numpy as np
import pytest
from av.video.reformatter import ColorRange, Colorspace

from lessonmaker.faults import MaterialError
from lessonmaker.picture.raster import Area
from lessonmaker.video import overlay, spans
from lessonmaker.video.film import FilmInfo
from lessonmaker.video.footage import read_footage
from lessonmaker.video.overlay import Lay, Part, SoundCopy, Version, overlay_films
from tests.tools.clock_film import clock_ms, make_film
from tests.tools.flat_cover import FlatCover

SIZE = (256, 144)
PLACE = Area(0, 96, 256, 144)
BLUE, PAPER, GROUND = (0, 96, 160), (251, 248, 242), (250, 250, 250)
RATE = 48_000
BT601, BT709 = (6, 6, 6), (1, 1, 1)
IDENTITY = (65536, 0, 0, 0, 65536, 0, 0, 0, 1 << 30)
HALF_TURN = (-65536, 0, 0, 0, -65536, 0, 0, 0, 1 << 30)
MIRRORED = (-65536, 0, 0, 0, 65536, 0, 0, 0, 1 << 30)


def times(rate=Fraction(25), seconds=1, start_s=Fraction(0)):
    return [start_s + number / rate for number in range(int(seconds * rate))]


def hum(seconds=1.0):
    return 0.3 * np.sin(np.arange(int(seconds * RATE)) * 0.05).astype(np.float32)


def film_of(path, frames=None, **how):
    return make_film(path, frames or times(), SIZE, **({"sound": hum(), "rate": RATE} | how))


def lay_over(film, output, covers=None, place=PLACE, film_place=None, part_s=None):
    footage = read_footage(film)
    size = (place.width, place.height)
    covers = covers or FlatCover(size, ((BLUE, 255), (PAPER, 128)))
    start_s, end_s = part_s or (Fraction(0), footage.seconds)
    info = FilmInfo("Night Ferry", "", "", round((end_s - start_s) * 240_000), ())
    lay = Lay(film_place or Area(0, 0, *footage.seen_size), place, GROUND)
    version = Version(output, covers, lay, info)
    overlay_films(footage, Part(start_s, end_s), [version], 2)
    return output


def frames_of(path):
    with av.open(str(path)) as container:
        stream = container.streams.video[0]
        return list(container.decode(stream)), stream.time_base


def planes_of(frame):
    """Samples in codes of 8 bits."""
    bits = frame.format.components[0].bits
    kind, scale = (np.uint8, 1) if bits == 8 else (np.uint16, 1 << bits - 8)
    return [
        np.frombuffer(memoryview(plane), kind).reshape(plane.height, -1)[:, : plane.width] / scale
        for plane in frame.planes
    ]


def rgb_by_ffmpeg(frame, bt601, full):
    """What FFmpeg's scaler makes of a frame that is told how its colours are coded."""
    return frame.reformat(
        format="rgb24",
        src_colorspace=Colorspace.ITU601 if bt601 else Colorspace.ITU709,
        dst_colorspace=Colorspace.ITU709,
        src_color_range=ColorRange.JPEG if full else ColorRange.MPEG,
        dst_color_range=ColorRange.JPEG,
    ).to_ndarray()


@pytest.mark.parametrize(
    "pixels", ["yuv420p", "yuv422p", "yuv444p", "yuv420p10le", "yuv422p10le", "yuv444p10le"]
)
@pytest.mark.parametrize(("colours", "full"), [(BT709, False), (BT601, False), (BT709, True), (BT601, True)])
def test_every_coding_keeps_its_colours_and_takes_ours(tmp_path, pixels, colours, full):
    film = film_of(tmp_path / "film.mp4", times(seconds=1)[:5], pixels=pixels, colours=colours, full=full)
    output = lay_over(film, tmp_path / "made.mp4")
    (before, _), (after, _) = frames_of(film), frames_of(output)
    assert len(after) == 5
    assert after[3].format.name == before[3].format.name
    with av.open(str(output)) as container:
        codec = container.streams.video[0].codec_context
        assert (codec.color_primaries, codec.color_trc, codec.colorspace) == colours
        assert codec.color_range == (2 if full else 1)
    for was, now in zip(planes_of(before[3]), planes_of(after[3]), strict=True):
        flat = now.shape[0] * 40 // 144, now.shape[0] * 92 // 144  # from under the clock to over the picture
        assert np.abs(now - was)[slice(*flat)].max() <= 2
    seen = rgb_by_ffmpeg(after[3], colours == BT601, full).astype(float)
    under = rgb_by_ffmpeg(before[3], colours == BT601, full).astype(float)[60, 200]
    assert np.abs(seen[104:136, 8:120] - BLUE).max() <= 3  # two codes of Y'CbCr may be three of R'G'B'
    mixed = (np.array(PAPER) * 128 + under * 127) / 255
    assert np.abs(seen[104:136, 136:248] - mixed).max() <= 3


def test_untagged_small_films_are_taken_as_bt601(tmp_path):
    film = film_of(tmp_path / "film.mp4", times()[:3], colours=(2, 2, 2))
    output = lay_over(film, tmp_path / "made.mp4")
    seen = rgb_by_ffmpeg(frames_of(output)[0][1], bt601=True, full=False).astype(float)
    assert np.abs(seen[104:136, 8:120] - BLUE).max() <= 3


@pytest.mark.parametrize("ending", [".mp4", ".mov", ".mkv"])
def test_pixels_that_are_not_square_stay_so(tmp_path, ending):
    film = film_of(tmp_path / f"film{ending}", aspect=Fraction(4, 3))
    covers = FlatCover((342, 48), ((BLUE, 255), (PAPER, 255)))  # in square pixels
    output = lay_over(film, tmp_path / f"made{ending}", covers)
    with av.open(str(output)) as container:
        assert container.streams.video[0].sample_aspect_ratio == Fraction(4, 3)
    luma = planes_of(frames_of(output)[0][10])[0]
    edge = np.flatnonzero(luma[120] > 160)[0]
    assert edge == pytest.approx(128, abs=2)
    assert clock_ms(luma) == 400


@pytest.mark.parametrize(
    ("matrix", "as_seen"),
    [
        (IDENTITY, np.asarray),
        (HALF_TURN, lambda luma: luma[::-1, ::-1]),
        (MIRRORED, lambda luma: luma[:, ::-1]),
    ],
)
@pytest.mark.parametrize("ending", [".mp4", ".mkv"])
def test_turned_and_mirrored_films_are_seen_as_before(tmp_path, matrix, as_seen, ending):
    film = film_of(tmp_path / "film.mp4", matrix=matrix)
    place = Area(0, 96, 256, 128)
    halves = ((BLUE, 255), (PAPER, 255))
    output = lay_over(film, tmp_path / f"made{ending}", FlatCover((256, 32), halves), place)
    frames, _ = frames_of(output)
    luma = planes_of(frames[10])[0]
    data = frames[10].side_data.get("DISPLAYMATRIX")
    kept = IDENTITY if data is None else tuple(np.frombuffer(bytes(data), np.int32))
    assert kept == matrix
    seen = as_seen(luma)
    assert seen[100:124, 8:120].max() < 110
    assert seen[100:124, 136:248].min() > 220
    assert np.abs(seen[60:90].astype(int) - 110).max() <= 3
    assert clock_ms(luma) == 400


def test_versions_of_a_film_are_made_from_one_decoding_as_if_each_were_made_alone(tmp_path, monkeypatch):
    film = film_of(tmp_path / "film.mp4")
    footage, part = read_footage(film), Part(Fraction(0), Fraction(1))
    info, whole = FilmInfo("Night Ferry", "", "", 240_000, ()), Area(0, 0, *SIZE)

    def versions(folder):
        folder.mkdir()
        kinds = {"opaque": ((BLUE, 255), (PAPER, 255)), "clear": ((BLUE, 128), (PAPER, 40))}
        lays = {"opaque": Lay(whole, PLACE, GROUND), "clear": Lay(Area(42, 0, 214, 96), PLACE, GROUND)}
        return [
            Version(folder / f"{name}.mp4", FlatCover((256, 48), halves, [Fraction(1, 3)]), lays[name], info)
            for name, halves in kinds.items()
        ]

    decodings, told = [], []
    frames = spans.timed_frames
    monkeypatch.setattr(spans, "timed_frames", lambda *asked: decodings.append(asked) or frames(*asked))
    overlay.overlay_films(footage, part, versions(tmp_path / "together"), 2, told.append)
    assert (len(decodings), sum(told)) == (1, 2 * 25)
    for version in versions(tmp_path / "alone"):
        overlay.overlay_films(footage, part, [version], 1)
        assert version.path.read_bytes() == (tmp_path / "together" / version.path.name).read_bytes()


def test_a_version_that_cannot_be_written_leaves_none_half_written(tmp_path, monkeypatch):
    film, covers = film_of(tmp_path / "film.mp4"), FlatCover((256, 48), ((BLUE, 255), (PAPER, 255)))
    write = overlay.Writer.write

    def full(writer, frame, start_s, end_s):
        if start_s > Fraction(1, 3):
            raise OSError(28, "No space left on device")
        write(writer, frame, start_s, end_s)

    monkeypatch.setattr(overlay.Writer, "write", full)
    with pytest.raises(OSError, match="No space left"):
        lay_over(film, tmp_path / "made.mp4", covers)
    assert [path.name for path in tmp_path.iterdir()] == ["film.mp4"]


def test_a_turned_film_stands_beside_the_score(tmp_path):
    film = film_of(tmp_path / "film.mp4", turned=90)
    place, film_place = Area(0, 160, 144, 256), Area(28, 0, 116, 156)
    output = lay_over(
        film, tmp_path / "made.mp4", FlatCover((144, 96), ((BLUE, 255),) * 2), place, film_place
    )
    frames, _ = frames_of(output)
    assert frames[0].rotation == 90
    seen = np.rot90(planes_of(frames[10])[0])  # as a player shows it
    assert seen.shape == (256, 144)
    assert seen[168:248, 8:136].max() < 110
    assert seen[8:150, 4:24].min() > 220
    assert seen[8:150, 122:140].min() > 220
    small = np.rot90(seen[:156, 28:116], -1)  # as it is coded: the clock in its first rows
    bits = small[5, ((np.arange(16) + 0.5) * 156 / 16).astype(int)] > 128
    assert int(bits @ (1 << np.arange(16))) == 400


@pytest.mark.parametrize(
    ("codec", "ending"),
    [
        ("aac", ".mov"),
        ("pcm_s16le", ".mov"),
        ("pcm_s24le", ".mkv"),
        ("libmp3lame", ".mov"),
        ("libmp3lame", ".mkv"),
        ("libmp3lame", ".mp4"),
        ("libopus", ".mkv"),
        ("libopus", ".mp4"),
        ("flac", ".mkv"),
    ],
)
def test_sound_is_copied_packet_for_packet(tmp_path, codec, ending):
    film = film_of(tmp_path / f"film{ending}", codec=codec)
    output = lay_over(film, tmp_path / f"made{ending}")
    before, after = heard_packets(film), heard_packets(output)
    assert before
    assert [data for _, data in after] == [data for _, data in before]
    assert [time_s for time_s, _ in after] == pytest.approx([time_s for time_s, _ in before], abs=1e-3)
    samples = [heard_samples(path) for path in (film, output)]
    np.testing.assert_array_equal(*samples)


class Counted:
    """An opened film that counts the packets it is asked for."""

    def __init__(self, container):
        self.container, self.asked = container, 0

    def __getattr__(self, name):
        return getattr(self.container, name)

    def demux(self, *streams):
        for packet in self.container.demux(*streams):
            self.asked += 1
            yield packet


def test_of_a_long_sound_only_the_part_that_is_kept_is_read(tmp_path):
    film = film_of(tmp_path / "film.mp4", times(seconds=20), sound=hum(20), options={"g": "25"})
    part = Part(Fraction(5), Fraction(7))
    with av.open(str(film)) as source, av.open(str(tmp_path / "made.mp4"), "w") as output:
        counted = Counted(source)
        output.add_stream("libx264", rate=25).width = 16
        copy = SoundCopy(counted, output, part, to_the_end=False)
        kept = list(copy.packets)
    packet_s = 1024 / RATE
    assert len(kept) == pytest.approx(2 / packet_s, abs=3)
    assert len(kept) < counted.asked < len(kept) + 1.5 / packet_s  # read from a key frame on


def heard_packets(path):
    with av.open(str(path)) as container:
        stream = container.streams.audio[0]
        packets = [packet for packet in container.demux(stream) if packet.size]
        return [(float(packet.pts * packet.time_base), bytes(packet)) for packet in packets]


def heard_samples(path):
    with av.open(str(path)) as container:
        return np.concatenate([frame.to_ndarray() for frame in container.decode(audio=0)], axis=1)


@pytest.mark.parametrize("ending", [".mp4", ".mov", ".mkv"])
@pytest.mark.parametrize(
    ("picture_s", "sound_s"),
    [(Fraction(0), Fraction(1, 3)), (Fraction(1, 5), Fraction(0)), (Fraction(1, 2), Fraction(7, 10))],
)
def test_sound_and_picture_keep_their_distance(tmp_path, ending, picture_s, sound_s):
    frames = times(seconds=2, start_s=picture_s)
    film = film_of(tmp_path / f"film{ending}", frames, heard_from_s=sound_s)
    output = lay_over(film, tmp_path / f"made{ending}")
    assert distance_s(output) == pytest.approx(distance_s(film), abs=1e-3)
    luma = [planes_of(frame)[0] for frame in frames_of(output)[0]]
    assert [clock_ms(one) for one in luma] == [round(time_s * 1000) for time_s in frames]


def distance_s(path):
    with av.open(str(path)) as container:
        picture = min(one.pts * one.time_base for one in container.decode(video=0))
    with av.open(str(path)) as container:
        sound = min(one.pts * one.time_base for one in container.decode(audio=0))
    return float(sound - picture)


def test_sixty_frames_a_second_keep_their_times(tmp_path):
    rate = Fraction(60000, 1001)
    film = film_of(tmp_path / "film.mp4", times(rate))
    output = lay_over(film, tmp_path / "made.mp4")
    frames, base = frames_of(output)
    assert [float(frame.pts * base) for frame in frames] == pytest.approx(
        [float(time_s) for time_s in times(rate)], abs=1e-4
    )
    assert [clock_ms(planes_of(frame)[0]) for frame in frames] == [
        round(time_s * 1000) for time_s in times(rate)
    ]
    with av.open(str(output)) as container:
        assert container.streams.video[0].guessed_rate == rate


def test_a_picture_of_odd_sides_is_overlaid(tmp_path):
    film = make_film(tmp_path / "film.mp4", times()[:5], (259, 145), pixels="yuv444p", sound=hum(), rate=RATE)
    output = lay_over(film, tmp_path / "made.mp4", place=Area(0, 96, 258, 144))
    luma = planes_of(frames_of(output)[0][3])[0]
    assert luma.shape == (145, 259)
    assert clock_ms(luma) == 120


@pytest.mark.parametrize(
    ("how", "message"),
    [
        ({"options": {"x264-params": "tff=1"}}, "film.mp4 is interlaced; make it progressive first"),
        ({"colours": (9, 18, 9)}, r"film.mp4 is in HDR \(HLG\); export it in BT.709"),
        ({"colours": (9, 16, 9)}, r"film.mp4 is in HDR \(PQ\)"),
    ],
)
def test_films_that_cannot_be_overlaid_are_told(tmp_path, how, message):
    film = film_of(tmp_path / "film.mp4", times()[:3], **how)
    with pytest.raises(MaterialError, match=message):
        read_footage(film)


@pytest.mark.parametrize(
    ("kept", "message"),
    [
        ("audio", "film.mp4 holds no picture"),
        ("video", "film.mp4 has no sound track; the score is fitted to"),
    ],
)
def test_films_of_picture_or_sound_alone_are_told(tmp_path, kept, message):
    whole, film = film_of(tmp_path / "whole.mp4"), tmp_path / "film.mp4"
    with av.open(str(whole)) as source, av.open(str(film), "w") as target:
        stream = getattr(source.streams, kept)[0]
        copy = target.add_stream_from_template(stream)
        for packet in source.demux(stream):
            if packet.dts is not None:
                packet.stream = copy
                target.mux(packet)
    with pytest.raises(MaterialError, match=message):
        read_footage(film)


def test_picture_and_sound_do_not_drift_in_fifty_minutes(tmp_path):
    """Clock, click and laid picture agree at an uneven rate of three frames a second."""
    rng = np.random.default_rng(8)
    seconds, rate, bar_s = 3000, 8000, Fraction(1999, 1000)
    steps = np.cumsum(rng.integers(20_000, 40_000, 4 * seconds))
    frames = [Fraction(0), *(Fraction(int(step), 90_000) for step in steps if step < seconds * 90_000)]
    bars = [bar_s * number for number in range(1, int(seconds / bar_s))]
    clicks = np.zeros(seconds * rate, np.float32)
    for bar in bars:
        clicks[round(bar * rate) : round(bar * rate) + 40] = 0.9
    film = make_film(
        tmp_path / "film.mov",
        frames,
        (64, 48),
        sound=clicks,
        rate=rate,
        codec="pcm_s16le",
        square=4,
        options={"g": "100"},
    )
    covers = FlatCover((64, 24), ((BLUE, 255), (PAPER, 255)), bars)
    output = lay_over(film, tmp_path / "made.mov", covers, Area(0, 24, 64, 48))
    shown = []
    with av.open(str(output)) as container:
        stream = container.streams.video[0]
        for frame in container.decode(stream):
            luma = np.frombuffer(memoryview(frame.planes[0]), np.uint8).reshape(48, -1)[:, :64]
            shown.append((float(frame.pts * stream.time_base), clock_ms(luma, 4) / 1000, luma[36, 8] > 160))
    first_shown = {clock_s: time_s for time_s, clock_s, _ in reversed(shown)}
    assert len(first_shown) == len(frames)
    assert max(abs(time_s - clock_s) for clock_s, time_s in first_shown.items()) <= 0.001
    lights = [later[0] for earlier, later in pairwise(shown) if earlier[2] != later[2]]
    heard = heard_samples(output)[0] / 32768
    starts = np.flatnonzero((heard[1:] > 0.5) & (heard[:-1] <= 0.5)) / rate
    assert len(lights) == len(starts) == len(bars)
    assert (
        np.abs(np.array(lights) - starts).max() <= 1 / 30
    )  # a frame that stands is shown again for each light
    assert np.abs(starts - np.array([float(bar) for bar in bars])).max() < 0.002
