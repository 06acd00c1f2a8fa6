"""One cue's narration: the author's own recording where there is one, else the draft voice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from lessonmaker.sound.longread import read_whole
from lessonmaker.sound.model import Audio, Difference, Narration, WordTime
from lessonmaker.sound.read import CarriedFile, read_audio
from lessonmaker.sound.voice import Draft, VoiceSettings, speak_sentences
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
    draft = speak_sentences(words, settings)
    return Narration(draft.audio, _draft_times(draft, words, settings), draft=True)


def _recorded(audio: Audio, words: Sequence[str], settings: VoiceSettings) -> Narration:
    """The author's recording, with what was said instead; one in which nothing of it is heard is timed all the same."""
    telling = read_whole(audio, words, settings.own)
    if telling is None:
        times = tuple(replace(time, guessed=True) for time in time_words(audio, words, settings.own))
        missing = (Difference("left out", 0, len(words), "", 0.0),) if words else ()
        return Narration(audio, times, draft=False, differences=missing)
    return Narration(audio, telling.words, draft=False, differences=telling.differences)


def _draft_times(draft: Draft, words: Sequence[str], settings: VoiceSettings) -> tuple[WordTime, ...]:
    """Word times of the draft voice: each breath by itself, as it is known where each lies."""
    times: list[WordTime] = []
    rate = draft.audio.rate
    for part in draft.sentences:
        samples = draft.audio.samples[round(part.start_s * rate) : round(part.end_s * rate)]
        for time in time_words(Audio(samples, rate), words[part.first : part.last], settings.own):
            times.append(replace(time, start_s=time.start_s + part.start_s, end_s=time.end_s + part.start_s))
    return tuple(times)
