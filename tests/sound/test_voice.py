"""The draft voice: what is said for a written word, how it is said, and the sound of it."""

import numpy as np
import pytest

from lessonmaker.faults import MaterialError
from lessonmaker.sound.breaths import LONGEST_BREATH, VoiceSettings, breaths
from lessonmaker.sound.phonemes import arpabet, ipa_to_voice
from lessonmaker.sound.pronunciation import marked, read_pronunciations, sounds_of
from lessonmaker.sound.spelling import ends_sentence, pause_after, spoken_words
from lessonmaker.sound.voice import speak, speak_sentences

TEXT = "The bass leans on the flat nine. Then it falls to A, the fifth."


def sounds(text):
    words, marks = [], []
    for written in text.split():
        spoken = spoken_words(written)
        words += spoken
        marks += [""] * (len(spoken) - 1) + [pause_after(written)] if spoken else []
    return sounds_of(marked(words, marks)).replace("ˌ", "ˈ")


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("B♭7,", "B flat seven"),
        ("Bb7", "B flat seven"),
        ("F#m7b5", "F sharp minor seven flat five"),
        ("C/E", "C over E"),
        ("C6/9", "C six nine"),
        ("G7alt", "G seven altered"),
        ("ii-V-I", "two five one"),
        ("V7", "five seven"),
        ("bb7", "double flat seven"),
        ("#11.", "sharp eleven"),
        ("7/4", "seven four"),
        ("12-15", "twelve to fifteen"),
        ("23rd", "twenty third"),
        ("1959", "nineteen fifty nine"),
        ("upper-structure", "upper structure"),
        ("it’s", "it's"),
        ("Am", "Am"),
        ("Add", "Add"),
        ("—", ""),
    ],
)
def test_a_written_word_is_read_as_a_musician_says_it(written, said):
    assert " ".join(spoken_words(written)) == said


def test_abbreviations_end_no_sentence():
    assert [ends_sentence(word) for word in ("vs.", "e.g.", "nine.", "nine?”", "nine,")] == [
        False,
        False,
        True,
        True,
        False,
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The bass plays.", "bˈAs"),
        ("The lead line.", "lˈid"),
        ("It was recorded live.", "lˈIv"),
        ("The notes live here.", "lˈɪv"),
        ("A live take.", "lˈIv"),
        ("This etude", "ˈAtud"),
        ("back to the segno", "sˈɛnjO"),
        ("a minute shift", "mInˈut"),
        ("one minute", "mˈɪnət"),
        ("a close voicing", "klˈOs"),
        ("phrases close here", "klˈOz"),
        ("I have read it", "ɹˈɛd"),
        ("lines wind down", "wˈInd"),
        ("the wind section", "wˈɪnd"),
        ("a ii-V-I", "tˈu fˈIv wˈʌn"),
        ("It rests on A.", "ˈA."),
        ("It moves to A minor", "ˈA mˈInəɹ"),
        ("A flat is the third", "ˈA flˈæt"),
        ("the A section", "ˈA sˈɛkʃən"),
    ],
)
def test_trade_words_are_pronounced_right(text, expected):
    assert expected in sounds(text).replace("mˈɪnɪt", "mˈɪnət")


@pytest.mark.parametrize("text", ["A flat nine leans here", "A minor third above", "over a minor chord"])
def test_an_article_is_no_note(text):
    assert "ˈA" not in sounds(text)


def test_ipa_is_turned_into_the_voices_letters_and_phones():
    assert ipa_to_voice("ˈbeɪsɪz") == "bˈAsɪz"
    assert arpabet("bˈAsɪz") == "B EY S IH Z"
    assert arpabet("mˈInəɹ") == "M AY N ER"


def test_an_author_adds_pronunciations(tmp_path):
    path = tmp_path / "pronunciations.yaml"
    path.write_text("Qaanaaq: /kɑːˈnɑːk/\non: off\n", encoding="utf-8")
    own = read_pronunciations(path)
    assert sounds_of(marked(["Qaanaaq"], [""], own)) == "kɑnˈɑk"
    assert own["on"] == "off"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("- bass\n", r"pronunciations.yaml:1:1: is not a list of pronunciations"),
        ("bass: base\nlead: /l%d/\n", r"pronunciations.yaml:2:1: '%' in the pronunciation of 'lead'"),
        ("two words: base\n", r":1:1: 'two words' is not one word"),
        ("bass: [a, b]\n", r":1:1: a pronunciation is one word"),
        ("bass:\n", r":1:1: nothing says how 'bass' is spoken"),
        ("bass: 'x\n", r"is not YAML"),
    ],
)
def test_a_wrong_list_of_pronunciations_is_told(tmp_path, text, message):
    path = tmp_path / "pronunciations.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(MaterialError, match=message):
        read_pronunciations(path)


def test_the_same_seed_speaks_the_same_samples():
    assert np.array_equal(speak(TEXT, seed=3).samples, speak(TEXT, seed=3).samples)
    assert not np.array_equal(speak(TEXT, seed=3).samples, speak(TEXT, seed=4).samples)


def test_sentences_lie_where_they_are_said_to_with_silence_between():
    draft = speak_sentences(TEXT.split(), VoiceSettings())
    assert [(part.first, part.last) for part in draft.sentences] == [(0, 7), (7, 14)]
    samples, rate = draft.audio.samples, draft.audio.rate
    gap = samples[round(draft.sentences[0].end_s * rate) : round(draft.sentences[1].start_s * rate)]
    assert len(gap) == round(0.45 * rate)
    assert not gap.any()
    for part in draft.sentences:
        speech = samples[round(part.start_s * rate) : round(part.end_s * rate)]
        assert abs(speech[0]) < 1e-4
        assert abs(speech[-1]) < 2e-3
        assert np.abs(speech).max() > 0.1


def test_a_long_sentence_is_said_in_several_breaths():
    words = ["and"] * 30 + ["then,"] + ["so"] * 40
    runs = breaths(words)
    assert runs[0] == (0, 31)
    assert [first for first, _ in runs[1:]] == [last for _, last in runs[:-1]]
    assert max(last - first for first, last in runs) <= LONGEST_BREATH


def test_nothing_to_say_is_no_sound():
    assert speak("").seconds == 0
    assert speak("— …").seconds < 1


def test_a_voice_that_is_not_there_is_told():
    with pytest.raises(MaterialError, match="there is no voice 'nobody'"):
        speak("Hello.", settings=VoiceSettings(voice="nobody"))
