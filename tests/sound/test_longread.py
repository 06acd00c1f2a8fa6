"""Long reads made up of the draft voice's sentences, tones and noise: which reading counts, and what is told of it."""

import shutil
import subprocess
from itertools import pairwise

import numpy as np
import pytest
import soundfile
import soxr

from lessonmaker.sound.longread import read_sentences, read_whole
from lessonmaker.sound.model import Audio
from lessonmaker.sound.narration import narrate
from lessonmaker.sound.words import time_words
from tests.tools.long_read import RATE, said

OPENING = "The study opens with a rising arpeggio on the tonic."
THREE, YES, FIVE = "Listen to bar three.", "Yes.", "Listen to bar five."
FALLS = "The flat nine falls to B flat, and B flat holds for two beats."
COMES = "In bar 17 the same idea comes back a whole step lower."
LAST = "The last note is A natural, left hanging on purpose."
SCRIPT = (OPENING, THREE, FALLS, YES, FIVE, COMES, LAST)


def tones(seconds):
    """An instrument that plays between: plucked tones of a scale."""
    note = np.arange(round(0.3 * RATE)) / RATE
    played = [
        sum(np.sin(2 * np.pi * 220 * 2 ** (step / 12) * part * note) / part for part in range(1, 7))
        * np.exp(-4 * note)
        for step in (0, 2, 4, 7, 9, 12)
    ]
    return np.resize(np.concatenate(played) * 0.15, round(seconds * RATE)).astype(np.float32)


def cough():
    """A burst of noise that dies away."""
    noise = np.random.default_rng(1).normal(0, 0.1, RATE // 4)
    return (noise * np.exp(-np.arange(len(noise)) / 1500)).astype(np.float32)


def recording(*parts, noise=5e-4):
    """Texts, samples and pauses one after another, the room's noise all along; where each text lies in seconds."""
    pieces, places = [], []
    for part in parts:
        at = sum(map(len, pieces)) / RATE
        samples = said(part) if isinstance(part, str) else part
        samples = np.zeros(round(part * RATE), np.float32) if isinstance(part, float) else samples
        if isinstance(part, str):
            places.append((part, at, at + len(samples) / RATE))
        pieces.append(samples)
    whole = np.concatenate(pieces)
    whole = whole + np.random.default_rng(2).normal(0, noise, len(whole)).astype(np.float32)
    return Audio(whole, RATE), places


def last_place(places, text):
    """Where a text was said last."""
    return next((start, end) for one, start, end in reversed(places) if one == text)


def read(audio, script=SCRIPT):
    return dict(zip(script, read_sentences(audio, [line.split() for line in script]), strict=True))


@pytest.fixture(scope="module")
def session():
    """A whole session: begun again, spoken between, played between, left out, read again at the end."""
    audio, places = recording(
        0.5, OPENING, 0.5, THREE, 0.4, "The flat nine falls to", 0.3, "Sorry, again.", 0.4, FALLS, 0.6, cough(), 0.4,
        YES, 0.4, tones(3.0), 0.6, COMES, 2.5, "Right, so this is my favourite part.", 0.5, LAST, 0.5,
        "Let me do that one more time.", 0.5, FALLS, 0.5, YES, 0.5,
    )  # fmt: skip
    return audio, places, read(audio)


def test_the_last_complete_reading_of_each_sentence_counts(session):
    _, places, reads = session
    for text in (OPENING, THREE, FALLS, YES, COMES, LAST):
        start, end = last_place(places, text)
        assert reads[text].start_s == pytest.approx(start, abs=0.15), text
        assert reads[text].end_s == pytest.approx(end, abs=0.2), text


def test_a_sentence_that_was_not_read_has_no_reading(session):
    assert session[2][FIVE] is None


def test_nothing_is_amiss_in_a_faithful_reading(session):
    assert [one.differences for one in session[2].values() if one] == [()] * 6


def test_every_word_of_a_reading_has_its_time_in_order(session):
    for text, one in session[2].items():
        if one:
            assert [time.word for time in one.words] == text.split()
            assert all(first.end_s <= second.start_s + 1e-6 for first, second in pairwise(one.words))
            assert one.start_s <= one.words[0].start_s and one.words[-1].end_s <= one.end_s


def test_a_reading_broken_off_does_not_count_before_a_complete_one():
    audio, places = recording(0.3, OPENING, 0.5, FALLS, 0.5, "The flat nine falls to B flat", 0.5, LAST, 0.3)
    found = read(audio, (OPENING, FALLS, LAST))[FALLS]
    assert found.start_s == pytest.approx(last_place(places, FALLS)[0], abs=0.15)
    assert found.differences == ()


def test_where_none_is_complete_the_best_reading_counts_with_what_it_lacks():
    audio, places = recording(
        0.3,
        OPENING,
        0.5,
        "The flat nine falls to B flat, and B flat",
        0.5,
        "The flat nine falls to B flat",
        0.5,
        LAST,
    )
    found = read(audio, (OPENING, FALLS, LAST))[FALLS]
    assert found.start_s == pytest.approx(
        last_place(places, "The flat nine falls to B flat, and B flat")[0], abs=0.15
    )
    assert [(one.kind, one.first, one.last) for one in found.differences] == [("left out", 10, 14)]


@pytest.mark.parametrize(
    ("spoken", "kind", "first", "last", "heard"),
    [
        ("The sharp nine falls to B flat, and B flat holds for two beats.", "said otherwise", 1, 2, "sharp"),
        ("The flat nine falls to B flat, and B flat holds for five beats.", "said otherwise", 12, 13, "five"),
        ("The flat nine falls, and B flat holds for two beats.", "left out", 4, 7, ""),
        (
            "The flat nine falls to — falls to B flat, and B flat holds for two beats.",
            "said twice",
            3,
            5,
            "falls to",
        ),
        ("The flat nine really falls to B flat, and B flat holds for two beats.", "added", 3, 3, "really"),
    ],
)
def test_what_is_said_instead_is_told_with_its_place(spoken, kind, first, last, heard):
    audio, _ = recording(0.3, f"{OPENING}", 0.4, spoken, 0.3)
    before = len(OPENING.split())
    [one] = read_whole(audio, f"{OPENING} {FALLS}".split()).differences
    assert (one.kind, one.first - before, one.last - before, one.heard) == (kind, first, last, heard)
    assert audio.seconds - len(said(spoken)) / RATE - 0.3 <= one.time_s <= audio.seconds


def test_words_left_out_do_not_drag_their_neighbours():
    spoken = "The flat nine falls, and B flat holds for two beats."
    audio, _ = recording(0.3, spoken, 0.3)
    told = read_whole(audio, FALLS.split())
    known = time_words(audio, spoken.split())
    kept = [*told.words[:4], *told.words[7:]]
    assert [time.guessed for time in told.words] == [False] * 4 + [True] * 3 + [False] * 7
    assert max(abs(time.start_s - true.start_s) for time, true in zip(kept, known, strict=True)) < 0.08


def test_alike_sentences_are_each_given_their_own_reading():
    script = (THREE, "It leans on the third.", FIVE, "It leans on the fifth.", "Listen to bar seven.")
    audio, places = recording(*(part for text in script for part in (0.5, text)), 0.5)
    found = read(audio, script)
    for text, start, _ in places:
        assert found[text].start_s == pytest.approx(start, abs=0.15)
        assert found[text].differences == ()


def test_of_several_editions_words_those_that_were_said_are_found():
    """The wordings of three editions stand side by side; the E-flat part's are read."""
    ends = "And it ends on {}."
    script = (
        "The line leans on A flat.", "The line leans on B flat.", "The line leans on F.",
        THREE, *(ends.format(note) for note in ("A flat", "B flat", "F")),
    )  # fmt: skip
    audio, places = recording(0.5, script[2], 0.5, THREE, 0.5, script[6], 0.5)
    found = read(audio, script)
    assert [text for text, one in found.items() if one] == [text for text, _, _ in places]
    assert all(one.differences == () for one in found.values() if one)


def test_words_that_no_dictionary_has_are_found_in_their_sentence():
    script = (OPENING, "The Zwischendominante leads to G♯m7♭5, as in Querstand.", LAST)
    audio, places = recording(*(part for text in script for part in (0.5, text)), 0.5)
    found = read(audio, script)
    assert [found[text].start_s for text, _, _ in places] == pytest.approx(
        [one[1] for one in places], abs=0.15
    )


@pytest.mark.parametrize(
    "audio",
    [
        Audio(np.zeros(0, np.float32), RATE),
        Audio(np.zeros(2 * RATE, np.float32), RATE),
        Audio(np.stack([tones(3.0)] * 2, axis=1), RATE),
    ],
)
def test_silence_and_music_hold_no_sentence(audio):
    assert set(read(audio).values()) == {None}
    assert read_whole(audio, LAST.split()) is None


def test_a_recording_of_something_else_holds_no_sentence():
    audio, _ = recording(
        "My neighbour's cat sleeps all morning and eats fish in the evening.", 0.4, "It is grey."
    )
    assert set(read(audio).values()) == {None}


def test_nothing_asked_nothing_found():
    audio, _ = recording(YES)
    assert read_sentences(audio, []) == ()
    assert read_sentences(audio, [[], ["—"]]) == (None, None)


def test_a_cue_s_own_recording_tells_what_is_amiss(tmp_path):
    path = tmp_path / "cue.wav"
    audio, _ = recording(0.3, "The flat thirteen falls to B flat, and B flat holds for two beats.", 0.3)
    soundfile.write(path, audio.samples, audio.rate)
    narration = narrate(FALLS.split(), path)
    assert [(one.kind, one.first, one.last) for one in narration.differences] == [("said otherwise", 2, 3)]
    assert [time.guessed for time in narration.words] == [index == 2 for index in range(14)]


def test_a_cue_s_recording_of_something_else_leaves_all_of_it_out(tmp_path):
    path = tmp_path / "cue.wav"
    soundfile.write(path, tones(3.0), RATE)
    narration = narrate(THREE.split(), path)
    assert [(one.kind, one.first, one.last) for one in narration.differences] == [("left out", 0, 4)]
    assert all(time.guessed for time in narration.words)


@pytest.mark.skipif(not shutil.which("espeak-ng"), reason="espeak-ng is not installed")
def test_another_voice_is_understood_too(tmp_path):
    """espeak-ng, a synthesiser of another kind, reads the script with one sentence begun again."""
    pieces, places = [], []
    for text in (OPENING, "The flat nine falls", FALLS, THREE, COMES, LAST):
        path = tmp_path / "said.wav"
        command = ["espeak-ng", "-v", "en-us", "-s", "140", "-w", str(path), text]
        subprocess.run(command, check=True, timeout=20)
        samples, rate = soundfile.read(path, dtype="float32")
        samples = soxr.resample(samples, rate, RATE)
        audible = np.flatnonzero(np.abs(samples) > 0.01)
        pieces += [0.5, samples[audible[0] : audible[-1]].astype(np.float32)]
        places.append((text, sum(0.5 if isinstance(one, float) else len(one) / RATE for one in pieces[:-1])))
    audio, _ = recording(*pieces, 0.5)
    found = read(audio)
    for text, start in places:
        if text in SCRIPT:
            assert found[text].start_s == pytest.approx(start, abs=0.15), text
    assert found[FIVE] is None
