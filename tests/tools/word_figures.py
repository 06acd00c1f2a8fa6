"""How near word times come, by voice and condition: `python -m tests.tools.word_figures`."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence

import numpy as np

from tests.tools.recorded_words import PROMPTS, in_a_row
from tests.tools.spoken import Spoken, at_rate, errors, joined, noisy, reverberant, voice_set

VOICES = (
    ("en-us", 165), ("en", 140), ("en+f3", 165), ("en-us+m3", 220), ("en-us+f2", 110), ("en-gb-scotland+m3", 165),
    ("en-us+klatt4", 165), ("en-us+f4", 260),
)  # fmt: skip
RATES = (8000, 11025, 44100, 48000, 96000)


def conditions() -> Iterator[tuple[str, Sequence[Spoken]]]:
    """Each condition's name and its speech."""
    for voice, pace in VOICES:
        yield f"{voice} at {pace} words a minute", voice_set(voice, pace)
    mixed = voice_set("en-us", 165, 0, 3) + voice_set("en+f3", 150, 1, 3)
    yield "noise 20 dB below", [noisy(case) for case in mixed]
    yield "noise 10 dB below", [noisy(case, 10.0) for case in mixed]
    yield "reverberant", [reverberant(case) for case in mixed]
    yield "reverberant and noise", [noisy(reverberant(case)) for case in mixed]
    for rate in RATES:
        yield f"{rate} Hz", [at_rate(case, rate) for case in mixed]
    groups = [mixed[index : index + 4] for index in range(0, len(mixed), 4)]
    pauses = [joined(group, (1.5, 6.0), index, breaths=True) for index, group in enumerate(groups)]
    yield "pauses of seconds with breaths", pauses
    yield "the same with noise", [noisy(case) for case in pauses]
    long = joined(voice_set("en-us", 165), (0.2, 1.5))
    yield f"one read of {long.audio.seconds / 60:.1f} minutes", [long]
    yield "the same with noise", [noisy(long)]
    if PROMPTS.exists():
        row = [in_a_row((0.0,), 10, seed) for seed in range(20)]
        yield "recorded words, no pauses", row
        row = [in_a_row((0.0, 0.1, 0.4, 3.0), 10, seed) for seed in range(20)]
        yield "recorded words, pauses", row
        yield "recorded words, reverberant", [reverberant(case) for case in row]
        yield "recorded words, noise", [noisy(case) for case in row]


def main() -> None:
    """Print one line a condition."""
    print(f"{'':42}   words  50 ms 120 ms   bias  worst  s a minute")
    for name, cases in conditions():
        started = time.process_time()
        found = errors(cases)
        taken = time.process_time() - started
        minutes = sum(case.audio.seconds for case in cases) / 60
        off = found.seconds * 1000
        print(
            f"{name:42} {len(off):7} {found.share_within(0.05):6.1%} {found.share_within(0.12):6.1%} "
            f"{np.median(off):+6.0f} {np.abs(off).max():6.0f} {taken / minutes:11.2f}",
            flush=True,
        )


if __name__ == "__main__":
    main()
