"""One cue's narration: the author's own recording where there is one, else the draft voice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from lessonmaker.sound.breaths import VoiceSettings, breaths, in_one_go
from lessonmaker.sound.carried import CarriedFile
from lessonmaker.sound.longread import read_whole
from lessonmaker.sound.model import Audio, Difference, Narration
from lessonmaker.sound.read import read_audio
from lessonmaker.sound.voice import speak_breath
from lessonmaker.sound.words import time_words

__all__ = ["narrate"]


def narrate(
    words: Sequence[str],
    recording: Path | CarriedFile | None = None,
    settings: VoiceSettings | None = None,
) -> Narration:
    """Speak or read a cue's commentary, and time its words.

    Args:
        words: The words for the voice in order, each with the punctuation after it. What counts as one for
            the caller ("B flat seven,") may be several spoken words.
        recording: The author's own narration of this cue, if it exists.
        settings: The draft voice's settings and the author's pronunciations.

    Raises:
        MaterialError: The recording cannot be read, or the voice is not there.
    """
    settings = settings or VoiceSettings()
    if recording is not None:
        audio = read_audio(recording, mono=True)
        return _recorded(audio, words, settings)
    return in_one_go([_breath(words[first:last], settings) for first, last in breaths(words)])


def _breath(words: Sequence[str], settings: VoiceSettings) -> Narration:
    """What is said in one breath, and when each of its words is."""
    audio = speak_breath(words, settings)
    return Narration(audio, time_words(audio, words, settings.own), draft=True)


def _recorded(audio: Audio, words: Sequence[str], settings: VoiceSettings) -> Narration:
    """The author's recording, with what was said instead; one in which nothing of it is heard is timed all the same."""
    telling = read_whole(audio, words, settings.own)
    if telling is None:
        times = tuple(replace(time, guessed=True) for time in time_words(audio, words, settings.own))
        missing = (Difference("left out", 0, len(words), "", 0.0),) if words else ()
        return Narration(audio, times, draft=False, differences=missing)
    return Narration(audio, telling.words, draft=False, differences=telling.differences)
