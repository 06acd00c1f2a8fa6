"""Joins and shortened silences, by the samples: nothing clicks, words stay with their sounds."""

from itertools import pairwise

import numpy as np
import pytest

from lessonmaker.sound.joins import assembled, shortened
from lessonmaker.sound.model import Audio, Difference, Narration, SentenceRead, WordTime
from lessonmaker.sound.pauses import loudness_db, pieces

RATE = 16_000
ROOM = 1e-3


def room(seconds, seed=0):
    return np.random.default_rng(seed).normal(0, ROOM, round(seconds * RATE)).astype(np.float32)


def word(pitch_hz, seconds=0.4):
    """A word for the ear: a tone that swells and dies, so that only its pitch says which it is."""
    time = np.arange(round(seconds * RATE)) / RATE
    return (0.3 * np.sin(2 * np.pi * pitch_hz * time) * np.sin(np.pi * time / seconds)).astype(np.float32)


def recording(*parts):
    """Pauses in seconds and words by pitch; the words' times by pitch."""
    pieces, places, at = [], {}, 0
    for part in parts:
        samples = np.zeros(round(part * RATE), np.float32) if isinstance(part, float) else word(part)
        if not isinstance(part, float):
            places[part] = (at / RATE, (at + len(samples)) / RATE)
        pieces.append(samples)
        at += len(samples)
    whole = np.concatenate(pieces)
    return Audio(whole + room(len(whole) / RATE), RATE), places


def reading(places, *pitches):
    times = tuple(WordTime(str(pitch), *places[pitch]) for pitch in pitches)
    return SentenceRead(times[0].start_s, times[-1].end_s, times, ())


def pitch_at(audio, time):
    """The strongest frequency while a word is said."""
    part = audio.samples[round(time.start_s * audio.rate) : round(time.end_s * audio.rate)]
    return np.argmax(np.abs(np.fft.rfft(part * np.hanning(len(part)), audio.rate)))


def steepest(samples):
    return float(np.abs(np.diff(samples)).max())


def sounds_as_timed(narration):
    return all(
        pitch_at(narration.audio, time) == pytest.approx(float(time.word), abs=6) for time in narration.words
    )


def test_sentences_read_in_one_go_keep_their_own_pause():
    audio, places = recording(0.5, 300, 0.2, 400, 1.3, 500, 0.5)
    narration = assembled([(audio, reading(places, 300, 400)), (audio, reading(places, 500))])
    assert narration.words[2].start_s - narration.words[1].end_s == pytest.approx(1.3, abs=0.001)
    start = round((places[300][0] - narration.words[0].start_s) * RATE)
    middle = slice(RATE // 4, RATE)
    assert np.array_equal(narration.audio.samples[middle], audio.samples[start:][middle])
    assert not narration.draft


def test_sentences_from_different_places_are_joined_by_a_natural_pause():
    audio, places = recording(0.5, 300, 0.5, 700, 0.5, 400, 0.5)
    narration = assembled([(audio, reading(places, 300)), (audio, reading(places, 400))])
    first, second = narration.words
    assert 0.3 <= second.start_s - first.end_s <= 0.8
    assert sounds_as_timed(narration)
    assert narration.audio.seconds < audio.seconds - 0.9


def test_what_was_read_later_can_come_first():
    audio, places = recording(0.5, 300, 0.5, 400, 0.5)
    narration = assembled([(audio, reading(places, 400)), (audio, reading(places, 300))])
    assert [time.word for time in narration.words] == ["400", "300"]
    assert sounds_as_timed(narration)


def test_recordings_of_other_rates_are_joined_at_the_first_one_s():
    audio, places = recording(0.5, 300, 0.5)
    other, others = recording(0.5, 400, 0.5)
    doubled = Audio(np.repeat(other.samples, 2), 2 * RATE)
    narration = assembled([(audio, reading(places, 300)), (doubled, reading(others, 400))])
    assert narration.audio.rate == RATE
    assert sounds_as_timed(narration)


def test_joins_never_click_and_never_go_dead():
    """Where stretches meet, no step is steeper than the room's own noise or the words make it, nor is it silent."""
    audio, places = recording(0.3, 300, 0.1, 900, 0.1, 400, 0.1, 950, 0.1, 500, 0.3)
    narration = assembled([(audio, reading(places, pitch)) for pitch in (500, 300, 400)])
    times = narration.words
    quiet_steps = steepest(room(2.0))
    for before, after in pairwise(times):
        between = narration.audio.samples[round(before.end_s * RATE) : round(after.start_s * RATE)]
        assert steepest(between) < 1.6 * quiet_steps
        assert loudness_db(between, RATE).min() > 20 * np.log10(ROOM) - 6


def test_the_ends_of_a_narration_are_faded():
    audio, places = recording(300, 0.3)
    narration = assembled([(audio, reading(places, 300))])
    assert abs(narration.audio.samples[0]) < 0.1 * ROOM * 4
    assert abs(narration.audio.samples[-1]) < 0.1 * ROOM * 4


def test_differences_move_with_their_words():
    audio, places = recording(0.5, 300, 0.5, 700, 0.5, 400, 0.5)
    amiss = SentenceRead(*places[400], reading(places, 400).words, (Difference("added", 0, 0, "well", 2.5),))
    narration = assembled([(audio, reading(places, 300)), (audio, amiss)])
    [one] = narration.differences
    assert (one.first, one.last) == (1, 1)
    assert one.time_s - narration.words[1].start_s == pytest.approx(2.5 - places[400][0], abs=1e-6)


def narration_of(*parts):
    audio, places = recording(*parts)
    words = tuple(WordTime(str(pitch), *span) for pitch, span in places.items())
    return Narration(audio, words, False, (Difference("added", 1, 1, "well", words[-1].start_s),))


def test_long_silences_are_shortened_and_words_move_along():
    before = narration_of(0.5, 300, 3.0, 400, 0.4, 500, 4.0, 600, 0.5)
    after = shortened(before, 0.8)
    gaps = [second.start_s - first.end_s for first, second in pairwise(after.words)]
    assert gaps == pytest.approx([0.8, 0.4, 0.8], abs=0.15)
    assert sounds_as_timed(after)
    assert after.differences[0].time_s == pytest.approx(after.words[-1].start_s, abs=1e-6)
    assert after.audio.seconds == pytest.approx(before.audio.seconds - 2.2 - 3.2, abs=0.3)


def test_shortening_leaves_the_room_and_makes_no_step():
    before = narration_of(0.5, 300, 3.0, 400, 0.5)
    after = shortened(before, 0.6)
    between = after.audio.samples[round((after.words[0].end_s) * RATE) : round(after.words[1].start_s * RATE)]
    assert steepest(between) < 1.6 * steepest(room(2.0))
    assert loudness_db(between, RATE).min() > 20 * np.log10(ROOM) - 6


def test_short_silences_stay_as_they_are():
    before = narration_of(0.5, 300, 0.7, 400, 0.5)
    assert shortened(before, 0.8) is before


def test_a_recording_is_listened_to_in_pieces_cut_in_its_pauses():
    audio, places = recording(
        *([0.4] + [300 + k for k in range(1)]), *(part for k in range(100) for part in (0.4, 310 + k))
    )
    cuts = list(pieces(audio.samples, RATE))
    assert [first for first, _ in cuts] == [0, *(last for _, last in cuts[:-1])]
    assert cuts[-1][1] == len(audio.samples)
    assert all(last - first <= 20 * RATE for first, last in cuts)
    for _, cut in cuts[:-1]:
        assert not any(start + 0.02 < cut / RATE < end - 0.02 for start, end in places.values())
