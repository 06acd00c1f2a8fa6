"""Narration and readings as bytes that can be kept: plain data and samples, nothing that runs when it is read."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import numpy as np

from lessonmaker.sound.model import Audio, Difference, Narration, SentenceRead, WordTime

__all__ = ["narration_bytes", "parse_narration", "parse_reads", "reads_bytes"]

HEAD_BYTES = 4


def narration_bytes(narration: Narration) -> bytes:
    """A narration as bytes: the length of what is said of it, that as JSON, its samples."""
    about = {
        "rate": narration.audio.rate,
        "shape": narration.audio.samples.shape,
        "words": [asdict(word) for word in narration.words],
        "draft": narration.draft,
        "differences": [asdict(one) for one in narration.differences],
    }
    head = json.dumps(about).encode()
    return len(head).to_bytes(HEAD_BYTES, "little") + head + narration.audio.samples.astype("<f4").tobytes()


def parse_narration(data: bytes) -> Narration:
    """A narration from its bytes."""
    end = HEAD_BYTES + int.from_bytes(data[:HEAD_BYTES], "little")
    about = json.loads(data[HEAD_BYTES:end])
    samples = np.frombuffer(data, "<f4", offset=end).astype(np.float32).reshape(about["shape"])
    return Narration(Audio(samples, about["rate"]), word_times(about), about["draft"], differences(about))


def reads_bytes(reads: Sequence[SentenceRead | None]) -> bytes:
    """The readings of some sentences, None for one that is not there, as bytes."""
    return json.dumps([read and asdict(read) for read in reads]).encode()


def parse_reads(data: bytes) -> list[SentenceRead | None]:
    """Readings from their bytes."""
    return [
        read and SentenceRead(read["start_s"], read["end_s"], word_times(read), differences(read))
        for read in json.loads(data)
    ]


def word_times(about: dict[str, Any]) -> tuple[WordTime, ...]:
    """The words' times."""
    return tuple(WordTime(**word) for word in about["words"])


def differences(about: dict[str, Any]) -> tuple[Difference, ...]:
    """Where the voice left the script."""
    return tuple(Difference(**one) for one in about["differences"])
