"""Alphabets of sounds: IPA as authors write it, the voice's own letters, and ARPAbet for the word aligner.

The voice's letters are IPA with one capital for a diphthong or affricate (A for eɪ, I for aɪ, O for oʊ, W for
aʊ, Y for ɔɪ, ʧ, ʤ), as its vocabulary defines them. ARPAbet is the phone set of the CMU dictionary, without stress.
"""

from __future__ import annotations

__all__ = ["arpabet", "ipa_to_voice", "unknown_letters"]

IPA_TO_VOICE = (
    ("eɪ", "A"), ("aɪ", "I"), ("oʊ", "O"), ("əʊ", "O"), ("aʊ", "W"), ("ɔɪ", "Y"), ("t͡ʃ", "ʧ"),
    ("d͡ʒ", "ʤ"), ("tʃ", "ʧ"), ("dʒ", "ʤ"), ("ɝ", "ɜɹ"), ("ɚ", "əɹ"), ("g", "ɡ"), ("r", "ɹ"), ("ɫ", "l"),
    ("ʍ", "w"), ("'", "ˈ"), ("ː", ""), ("ˑ", ""), (".", ""), ("ɾ", "T"),
)  # fmt: skip
STRESS = "ˈˌ"
VOWELS = "AIOQWYaeiouæɑɒɐɔəɛɜɪʊʌᵊᵻ"

ARPABET = {
    "A": "EY", "I": "AY", "O": "OW", "Q": "OW", "W": "AW", "Y": "OY", "i": "IY", "u": "UW", "ɑ": "AA",
    "ɒ": "AA", "a": "AE", "æ": "AE", "ɛ": "EH", "e": "EY", "ɪ": "IH", "ᵻ": "IH", "ʊ": "UH", "ʌ": "AH",
    "ə": "AH", "ɐ": "AH", "ᵊ": "AH", "ɔ": "AO", "o": "OW", "ɜ": "ER", "b": "B", "d": "D", "f": "F",
    "h": "HH", "j": "Y", "k": "K", "l": "L", "m": "M", "n": "N", "ŋ": "NG", "p": "P", "ɹ": "R", "s": "S",
    "ʃ": "SH", "t": "T", "T": "T", "v": "V", "w": "W", "z": "Z", "ʒ": "ZH", "ʤ": "JH", "ʧ": "CH",
    "ð": "DH", "θ": "TH", "ɡ": "G", "ʔ": "T", "x": "K", "ç": "HH", "ɲ": "N", "ʎ": "L", "y": "UW",
    "ø": "ER", "œ": "ER", "c": "K", "ʁ": "R", "χ": "K", "β": "V", "ɣ": "G",
}  # fmt: skip


def ipa_to_voice(ipa: str) -> str:
    """IPA in the voice's letters; a word of vowels without a stress mark gets one on its first vowel."""
    for old, new in IPA_TO_VOICE:
        ipa = ipa.replace(old, new)
    if any(mark in ipa for mark in STRESS):
        return _stress_before_vowel(ipa)
    first = next((place for place, letter in enumerate(ipa) if letter in VOWELS), None)
    return ipa if first is None or ipa in ("ə", "ɐ") else f"{ipa[:first]}ˈ{ipa[first:]}"


def _stress_before_vowel(ipa: str) -> str:
    """IPA marks stress before the syllable, the voice before its vowel."""
    letters: list[str] = []
    waiting = ""
    for letter in ipa:
        if letter in STRESS:
            waiting = letter
        elif waiting and letter in VOWELS:
            letters += [waiting, letter]
            waiting = ""
        else:
            letters.append(letter)
    return "".join(letters)


def unknown_letters(voice: str) -> str:
    """The letters of a pronunciation that stand for no sound known here."""
    return "".join(
        dict.fromkeys(letter for letter in voice if letter not in ARPABET and letter not in STRESS + " ")
    )


def arpabet(voice: str) -> str:
    """ARPAbet phones, separated by spaces, of a pronunciation in the voice's letters; what has no phone is left out."""
    phones: list[str] = []
    for before, letter in zip(" " + voice, voice, strict=False):
        if letter == "ɹ" and before in "ɜə":
            phones[-1] = "ER"
        elif letter in ARPABET:
            phones.append(ARPABET[letter])
    return " ".join(phones)
