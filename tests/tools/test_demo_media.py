"""The demo's media: made again they are the same, the truth is whole, and the takes sound where it says."""

import csv
import subprocess
import sys
from collections import Counter
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import soundfile
from scipy.signal import stft

REPOSITORY = Path(__file__).parents[2]
MEDIA, DATA = REPOSITORY / "media", REPOSITORY / "tests" / "data"
SWING, SEVEN = "gaslight-errand", "the-tin-heron"
ETUDES = (SWING, SEVEN)
LARGEST_BYTES = 3_000_000


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(newline="", encoding="utf-8") as file:
        found = list(csv.DictReader(file))
    assert found, f"{name} has no rows"
    return found


def test_the_scores_are_made_from_their_text(tmp_path: Path) -> None:
    tool = REPOSITORY / "tests" / "tools" / "make_demo_scores.py"
    subprocess.run([sys.executable, str(tool), "--out", str(tmp_path)], check=True)
    made = {path.name: path.read_text(encoding="utf-8") for path in tmp_path.iterdir()}
    assert sorted(made) == [f"{name}.musicxml" for name in ETUDES]
    for name, text in made.items():
        assert text == (MEDIA / name).read_text(encoding="utf-8"), f"{name}: run make_demo_scores.py again"


@pytest.mark.parametrize(("etude", "printed", "played"), [(SWING, 275, 275), (SEVEN, 215, 268)])
def test_every_printed_note_is_played_each_time_round(etude: str, printed: int, played: int) -> None:
    notes = rows(f"{etude}.truth.csv")
    assert {int(row["index"]) for row in notes} == set(range(printed))
    assert len(notes) == played
    assert max(Counter((row["index"], row["pass"]) for row in notes).values()) == 1


@pytest.mark.parametrize("etude", ETUDES)
def test_the_true_times_go_forward(etude: str) -> None:
    onsets = [float(row["onset_s"]) for row in rows(f"{etude}.truth.csv")]
    bars = [float(row["time_s"]) for row in rows(f"{etude}.bars.csv")]
    assert all(before < after for times in (onsets, bars) for before, after in pairwise(times))


def test_the_repeat_is_played_as_printed() -> None:
    order = [(int(row["bar"]), int(row["pass"])) for row in rows(f"{SEVEN}.bars.csv")]
    first = [(bar, 1) for bar in range(1, 9)]
    again = [(bar, 2) for bar in range(1, 7)]
    assert order == first + again + [(bar, 1) for bar in range(9, 27)]


def test_the_swing_etude_swings_and_the_other_does_not() -> None:
    assert long_to_short(SWING) == pytest.approx(1.9, abs=0.25)
    assert long_to_short(SEVEN) == pytest.approx(1.0, abs=0.08)


def long_to_short(etude: str) -> float:
    """The median ratio of a beat's two eighths, from runs of beat, off-beat, beat."""
    notes = [(float(row["beat"]), row["bar"], float(row["onset_s"])) for row in rows(f"{etude}.truth.csv")]
    ratios = [
        (middle[2] - first[2]) / (last[2] - middle[2])
        for first, middle, last in zip(notes, notes[1:], notes[2:], strict=False)
        if first[1] == last[1]
        and first[0] % 1 == 0
        and middle[0] == first[0] + 0.5
        and last[0] == first[0] + 1
    ]
    assert len(ratios) > 40
    return float(np.median(ratios))


def test_the_soloist_lies_behind_the_beat() -> None:
    bars = {(row["bar"], row["pass"]): float(row["time_s"]) for row in rows(f"{SWING}.bars.csv")}
    downbeats = [row for row in rows(f"{SWING}.truth.csv") if row["beat"] == "1.0"]
    late_s = [float(row["onset_s"]) - bars[row["bar"], row["pass"]] for row in downbeats]
    assert 0.010 < float(np.median(late_s)) < 0.035


@pytest.mark.parametrize("etude", ETUDES)
def test_slurred_and_ghosted_notes_are_among_them(etude: str) -> None:
    attacks = Counter(row["attack"] for row in rows(f"{etude}.truth.csv"))
    assert attacks["slurred"] > 80
    assert sum(count for attack, count in attacks.items() if "ghosted" in attack) >= 5


@pytest.mark.parametrize("etude", ETUDES)
def test_a_take_is_small_mono_and_not_clipped(etude: str) -> None:
    path = MEDIA / f"{etude}.ogg"
    audio, rate_hz = soundfile.read(path)
    assert path.stat().st_size < LARGEST_BYTES
    assert (audio.ndim, rate_hz) == (1, 44100)
    assert 0.5 < np.abs(audio).max() < 0.95
    assert 60 < len(audio) / rate_hz < 120


@pytest.mark.parametrize(("etude", "tolerance_s", "share"), [(SWING, 0.035, 0.85), (SEVEN, 0.015, 0.97)])
def test_something_begins_near_each_tongued_note(etude: str, tolerance_s: float, share: float) -> None:
    """The spectral flux peaks near the true times; the ride cymbal sounds before a soloist who lays back."""
    times_s, flux = spectral_flux(MEDIA / f"{etude}.ogg")
    onsets = [float(row["onset_s"]) for row in rows(f"{etude}.truth.csv") if row["attack"] == "tongued"]
    peaks = [peak_near(times_s, flux, onset_s) for onset_s in onsets]
    near = [abs(peak_s - onset_s) < tolerance_s for peak_s, onset_s in zip(peaks, onsets, strict=True)]
    assert np.mean(near) >= share
    late = [onset_s + 0.07 for onset_s in onsets]
    shifted = [abs(peak_near(times_s, flux, onset_s) - onset_s) < tolerance_s for onset_s in late]
    assert np.mean(near) > np.mean(shifted) + 0.2, "the test would pass at wrong times too"


def spectral_flux(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """Frame times in seconds and the rise of the log spectrum, 200 Hz to 10 kHz, in 5 ms steps."""
    audio, rate_hz = soundfile.read(path)
    _, times_s, spectrum = stft(audio, rate_hz, nperseg=1024, noverlap=1024 - 220, boundary=None)
    rise = np.diff(np.log(np.abs(spectrum[5:235]) + 1e-4), axis=1)
    return times_s[1:], np.maximum(rise, 0).mean(axis=0)


def peak_near(times_s: np.ndarray, flux: np.ndarray, onset_s: float) -> float:
    window = (times_s > onset_s - 0.05) & (times_s < onset_s + 0.05)
    return float(times_s[window][np.argmax(flux[window])])
