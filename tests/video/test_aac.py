"""Stretches of sound encoded apart and joined, decoded again: each sample is at its place, silence is silent."""

from math import ceil

import av
import numpy as np
import pytest

from lessonmaker.video.aac import PACKET, SOUND_RATE, joined_sound, packed_sound

EDGE = 2 * PACKET


def noise(packets, seed):
    """A stretch of coloured noise that fades in and out, silent for two packets at either end."""
    rng = np.random.default_rng(seed)
    samples = np.zeros((packets * PACKET, 2), np.float32)
    heard = np.cumsum(rng.normal(0, 1, (len(samples) - 2 * EDGE, 2)), axis=0)
    heard -= np.linspace(heard[0], heard[-1], len(heard))
    shape = np.minimum(1, np.minimum(np.arange(len(heard)), np.arange(len(heard))[::-1]) / 1440)
    samples[EDGE:-EDGE] = 0.2 * shape[:, None] * heard / np.abs(heard).max()
    return samples


def decoded(packets):
    """Samples (frames, 2), the packet that leads in left out."""
    decoder = av.CodecContext.create("aac", "r")
    encoder = av.CodecContext.create("aac", "w")
    encoder.sample_rate, encoder.layout, encoder.format = SOUND_RATE, "stereo", "fltp"
    encoder.open()
    decoder.extradata = encoder.extradata
    frames = [frame for data in packets for frame in decoder.decode(av.Packet(data))] + decoder.decode(None)
    return np.concatenate([frame.to_ndarray() for frame in frames], axis=1).T[PACKET:]


@pytest.fixture(scope="module")
def programme():
    """Three stretches, two of which touch, and the whole of it: (stretches with their starts, samples)."""
    starts = (5 * PACKET, 45 * PACKET, 85 * PACKET)
    stretches = [
        (start, noise(length, seed))
        for seed, (start, length) in enumerate(zip(starts, (30, 40, 25), strict=True))
    ]
    samples = np.zeros((120 * PACKET - 300, 2), np.float32)
    for start, one in stretches:
        samples[start : start + len(one)] = one
    return stretches, samples


@pytest.fixture(scope="module")
def joined(programme):
    stretches, samples = programme
    return list(joined_sound([(start, packed_sound(one)) for start, one in stretches], len(samples)))


def test_there_are_as_many_packets_as_the_programme_takes(programme, joined):
    assert len(joined) == ceil(len(programme[1]) / PACKET) + 1
    whole = list(joined_sound([(0, packed_sound(programme[1]))], len(programme[1])))
    assert len(whole) == len(joined)


def test_each_sample_is_at_its_place(programme, joined):
    """Within 3 dB as near as in one go: each stretch begins with an encoder that knows nothing yet."""
    samples = programme[1]
    whole = decoded(joined_sound([(0, packed_sound(samples))], len(samples)))
    here = decoded(joined)
    error, usual = (np.square(one[: len(samples)] - samples).sum() for one in (here, whole))
    assert usual > 0
    assert error < 2 * usual
    assert error < 1e-3 * np.square(samples).sum()


def test_silence_is_silent_up_to_the_edges(programme, joined):
    here = decoded(joined)
    silent = np.ones(len(here), bool)
    for start, one in programme[0]:
        silent[start + PACKET : start + len(one) - PACKET] = False
    assert silent.sum() > 20 * PACKET
    assert np.abs(here[silent]).max() < 1e-4  # -80 dBFS


def test_a_stretch_is_the_same_packets_wherever_it_stands(programme, joined):
    start, one = programme[0][1]
    moved = list(joined_sound([(7 * PACKET, packed_sound(one))], 200 * PACKET))
    length = len(one) // PACKET
    assert moved[8 : 8 + length] == joined[start // PACKET + 1 : start // PACKET + 1 + length]


def test_a_programme_of_silence():
    assert np.abs(decoded(joined_sound([], 10 * PACKET + 1))).max() == 0
    assert len(list(joined_sound([], 10 * PACKET + 1))) == 12
