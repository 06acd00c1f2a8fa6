"""Reading sound: what can be read comes back whole and in place, what cannot is refused in one message."""

from __future__ import annotations

import pickle
from pathlib import Path

import av
import numpy as np
import pytest
import soundfile

from lessonmaker.faults import MaterialError
from lessonmaker.sound.carried import CarriedFile
from lessonmaker.sound.model import Audio
from lessonmaker.sound.read import read_audio, require_take

RATE = 44100
TONE_FROM_S = 1.0


def late_tone() -> np.ndarray:
    """Three seconds, stereo (frames, 2): silence, then from one second on a tone, softer on the right."""
    time_s = np.arange(3 * RATE) / RATE
    left = 0.3 * np.sin(2 * np.pi * 440 * time_s) * (time_s >= TONE_FROM_S)
    return np.stack([left, left / 2], axis=1).astype(np.float32)


def write_film(path: Path, sound: bool = True, picture: bool = False, delay: int = 0) -> None:
    with av.open(str(path), "w") as container:
        video = (
            container.add_stream("mpeg4", rate=10, width=64, height=64, pix_fmt="yuv420p")
            if picture
            else None
        )
        audio = container.add_stream("aac", rate=RATE, layout="stereo") if sound else None
        if video is not None:
            for number in range(30):
                frame = av.VideoFrame.from_ndarray(np.zeros((64, 64, 3), np.uint8))
                frame.pts = number
                container.mux(video.encode(frame))
            container.mux(video.encode())
        if audio is not None:
            block = np.ascontiguousarray(late_tone().T)
            frame = av.AudioFrame.from_ndarray(block, format="fltp", layout="stereo")
            frame.rate, frame.pts = RATE, delay
            container.mux(audio.encode(frame))
            container.mux(audio.encode())


def first_sound_s(audio: Audio) -> float:
    loud = np.abs(audio.samples.reshape(len(audio.samples), -1)).max(axis=1) > 0.05
    return int(np.flatnonzero(loud)[0]) / audio.rate


@pytest.mark.parametrize("name", ["take.wav", "take.flac", "take.ogg", "take.mp3"])
@pytest.mark.parametrize("rate", [None, 22050])
def test_libsndfile_formats_keep_their_time(tmp_path: Path, name: str, rate: int | None) -> None:
    soundfile.write(tmp_path / name, late_tone(), RATE)
    audio = read_audio(tmp_path / name, rate)
    assert audio.rate == (rate or RATE)
    assert audio.samples.dtype == np.float32
    assert audio.samples.ndim == 1
    assert audio.seconds == pytest.approx(3, abs=0.03)
    assert first_sound_s(audio) == pytest.approx(TONE_FROM_S, abs=0.01)


@pytest.mark.parametrize("picture", [False, True])
def test_the_sound_of_phone_films_keeps_its_time(tmp_path: Path, picture: bool) -> None:
    write_film(tmp_path / "film.mp4", picture=picture)
    assert first_sound_s(read_audio(tmp_path / "film.mp4", 22050)) == pytest.approx(TONE_FROM_S, abs=0.01)


def test_a_late_sound_track_stays_late(tmp_path: Path) -> None:
    write_film(tmp_path / "film.mp4", picture=True, delay=RATE // 2)
    assert first_sound_s(read_audio(tmp_path / "film.mp4")) == pytest.approx(TONE_FROM_S + 0.5, abs=0.01)


@pytest.mark.parametrize("name", ["take.flac", "film.mp4"])
def test_a_file_that_was_sent_reads_as_it_does_where_it_lies(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    if name.endswith("mp4"):
        write_film(path)
    else:
        soundfile.write(path, late_tone(), RATE)
    here = read_audio(CarriedFile(path), 48_000)
    sent = pickle.dumps(CarriedFile(path))
    path.unlink()
    there = read_audio(pickle.loads(sent), 48_000)
    assert there.seconds > 2.9
    assert np.array_equal(there.samples, here.samples)


def test_a_file_that_was_sent_and_is_no_sound_is_refused_by_its_name(tmp_path: Path) -> None:
    for content, message in (
        (b"", r"read\.wav is empty"),
        (b"hello " * 9, r"read\.wav is not sound that can be"),
    ):
        (tmp_path / "read.wav").write_bytes(content)
        sent = pickle.loads(pickle.dumps(CarriedFile(tmp_path / "read.wav")))
        (tmp_path / "read.wav").unlink()
        with pytest.raises(MaterialError, match=message):
            read_audio(sent)


def test_stereo_stays_stereo_when_wanted(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "take.wav", late_tone(), RATE, subtype="FLOAT")
    write_film(tmp_path / "take.m4a")
    exact = read_audio(tmp_path / "take.wav", mono=False)
    np.testing.assert_array_equal(exact.samples, late_tone())
    assert read_audio(tmp_path / "take.m4a", 48000, mono=False).samples.shape[1] == 2


def test_resampling_in_blocks_equals_resampling_at_once(tmp_path: Path) -> None:
    noise = np.random.default_rng(1).uniform(-0.5, 0.5, 400_000).astype(np.float32)
    soundfile.write(tmp_path / "take.wav", noise, RATE, subtype="FLOAT")
    import soxr

    np.testing.assert_allclose(
        read_audio(tmp_path / "take.wav", 22050).samples, soxr.resample(noise, RATE, 22050), atol=1e-4
    )


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("missing.wav", None, r"missing\.wav does not exist; check the name"),
        ("empty.wav", b"", r"empty\.wav is empty; export the recording again"),
        ("text.wav", b"hello " * 100, r"text\.wav is not sound that can be read; export it as WAV"),
    ],
)
def test_what_is_no_sound_is_refused(tmp_path: Path, name: str, content: bytes | None, message: str) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with pytest.raises(MaterialError, match=message):
        read_audio(tmp_path / name)


def test_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(MaterialError, match="is not a file; name a sound file"):
        read_audio(tmp_path)


def test_a_film_without_sound_is_refused(tmp_path: Path) -> None:
    write_film(tmp_path / "mute.mp4", sound=False, picture=True)
    with pytest.raises(
        MaterialError, match=r"mute\.mp4 has no sound track; choose the file that has the sound"
    ):
        read_audio(tmp_path / "mute.mp4")


def films_packets(path: Path) -> tuple[list[bytes], np.ndarray]:
    """The packets of a film's sound as they lie in its file, and what is heard of all of them."""
    with av.open(str(path)) as container:
        packets = [bytes(packet) for packet in container.demux(audio=0) if packet.size]
    return packets, read_audio(path).samples


def test_of_a_recording_that_breaks_off_all_but_the_last_packet_is_heard(tmp_path: Path) -> None:
    film = tmp_path / "take.m4a"
    write_film(film)
    packets, whole = films_packets(film)
    data = film.read_bytes()
    film.write_bytes(data.replace(packets[-1], bytes(len(packets[-1]))))
    heard = read_audio(film).samples
    assert len(whole) - 2048 <= len(heard) < len(whole)
    assert np.array_equal(heard, whole[: len(heard)])


def test_sound_that_is_damaged_on_the_way_is_refused(tmp_path: Path) -> None:
    film = tmp_path / "take.m4a"
    write_film(film)
    packets, _ = films_packets(film)
    data = film.read_bytes()
    for packet in packets[60:64]:
        data = data.replace(packet, bytes([255] * len(packet)))
    film.write_bytes(data)
    with pytest.raises(MaterialError, match=r"take\.m4a has damaged sound; copy or export it again"):
        read_audio(film)


def test_a_file_without_samples_is_refused(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "none.wav", np.zeros(0), RATE)
    with pytest.raises(MaterialError, match=r"none\.wav holds no samples"):
        read_audio(tmp_path / "none.wav")


def test_a_take_may_be_neither_short_nor_silent() -> None:
    path = Path("take.wav")
    tone = late_tone()[:, 0]
    require_take(Audio(tone, RATE), path)
    with pytest.raises(MaterialError, match=r"lasts 0\.50 s, too short for a take"):
        require_take(Audio(tone[-RATE // 2 :], RATE), path)
    with pytest.raises(MaterialError, match="is silent; check the microphone"):
        require_take(Audio(np.zeros(2 * RATE, np.float32), RATE), path)
