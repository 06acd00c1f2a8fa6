"""What both users of PocketSphinx share: the sound it takes, and the words of its answer with their places."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
import soxr
from pocketsphinx import Decoder

from lessonmaker.sound.model import Audio
from lessonmaker.sound.pauses import FRAME_S

__all__ = ["RECOGNISER_RATE", "decoded", "mono_speech"]

RECOGNISER_RATE = 16_000
FULL_SCALE = 32767
NO_WORDS = ("<", "[", "+", "(NULL)")
"""How the names of silences, noises and empty steps begin."""

Samples = npt.NDArray[np.float32]


def mono_speech(audio: Audio) -> Samples:
    """A recording as mono samples (frames,) at `RECOGNISER_RATE`."""
    mono = audio.samples if audio.samples.ndim == 1 else audio.samples.mean(axis=1)
    return np.asarray(soxr.resample(mono, audio.rate, RECOGNISER_RATE), np.float32)


def decoded(decoder: Decoder, speech: Samples) -> Iterator[tuple[str, float, float]]:
    """Name, start and end in seconds of each word that a decoder hears, without silences and noises.

    What it heard before counts for nothing: its front end begins anew.
    """
    decoder.reinit_feat()
    decoder.start_utt()
    decoder.process_raw((speech * FULL_SCALE).astype("<i2").tobytes(), full_utt=True)
    decoder.end_utt()
    for part in decoder.seg() or ():
        if not part.word.startswith(NO_WORDS):
            yield part.word, part.start_frame * FRAME_S, (part.end_frame + 1) * FRAME_S
