"""A tiny book for tests: an etude of four bars, a take of it made of plain tones, one sentence to say."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import soundfile

RATE = 22_050
QUARTER_S = 0.5
LEAD_IN_S = 0.4
STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
BARS = (  # chord root, chord kind, and the bar's notes with their lengths in quarters
    ("D", "minor-seventh", "D4 F4 A4 C5", 1),
    ("G", "dominant", "B4 F4 A-4 G4", 1),
    ("C", "major-seventh", "E4 G4 B4 F#5", 1),
    ("C", "major-seventh", "E5 C5", 2),
)
LESSON = """\
lesson: Four Bars
composer: Odo Plinth
score: ../media/four-bars.musicxml
take: ../media/four-bars.wav
cues:
  - play: all
    title: All of it
  - bars: 2
    title: The lean
    say: The [flat nine](b9@2) leans on {chord 2}.
"""
BOOK = (
    "book: Tiny\nauthor: Odo Plinth\nlessons: [four-bars.yaml]\neditions: [concert, e-flat]\nsize: 640x360\n"
)


def make_book(folder: Path) -> Path:
    """The book in a folder."""
    for name in ("scripts", "media", "shared"):
        (folder / name).mkdir(parents=True)
    (folder / "media" / "four-bars.musicxml").write_text(score_text(), encoding="utf-8")
    soundfile.write(folder / "media" / "four-bars.wav", take(), RATE)
    (folder / "scripts" / "four-bars.yaml").write_text(LESSON, encoding="utf-8")
    (folder / "scripts" / "book.yaml").write_text(BOOK, encoding="utf-8")
    return folder


def score_text(bars=BARS, drop: int = 0) -> str:
    """The etude as MusicXML; the last `drop` notes of bar 2 are left out."""
    measures = [
        measure(number, root, kind, names.split()[: -drop if drop and number == 2 else None], quarters)
        for number, (root, kind, names, quarters) in enumerate(bars, 1)
    ]
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0"><part-list>'
        '<score-part id="P1"><part-name>Solo</part-name></score-part></part-list>'
        f'<part id="P1">{"".join(measures)}</part></score-partwise>\n'
    )


def measure(number: int, root: str, kind: str, names: list[str], quarters: int) -> str:
    """One bar; the first has the metre, key, clef and tempo."""
    head = (
        "<attributes><divisions>1</divisions><key><fifths>0</fifths></key>"
        "<time><beats>4</beats><beat-type>4</beat-type></time>"
        "<clef><sign>G</sign><line>2</line></clef></attributes>"
        f'<direction><sound tempo="{60 / QUARTER_S:.0f}"/></direction>'
    )
    chord = f"<harmony><root><root-step>{root}</root-step></root><kind>{kind}</kind></harmony>"
    notes = "".join(note(name, quarters) for name in names)
    return f'<measure number="{number}">{head if number == 1 else ""}{chord}{notes}</measure>'


def note(name: str, quarters: int) -> str:
    """A note such as A-4 or F#5."""
    alter = {"-": -1, "#": 1}.get(name[1], 0)
    kind = {1: "quarter", 2: "half"}[quarters]
    return (
        f"<note><pitch><step>{name[0]}</step><alter>{alter}</alter><octave>{name[-1]}</octave></pitch>"
        f"<duration>{quarters}</duration><type>{kind}</type></note>"
    )


def take() -> np.ndarray:
    """The etude played evenly, each note eight harmonics that die away."""
    sound = np.zeros(int((LEAD_IN_S + 16 * QUARTER_S + 0.6) * RATE), np.float32)
    onset_s = LEAD_IN_S
    for _, _, names, quarters in BARS:
        for name in names.split():
            add_tone(sound, onset_s, quarters * QUARTER_S, midi(name))
            onset_s += quarters * QUARTER_S
    return sound


def midi(name: str) -> int:
    """A note's MIDI number."""
    return 12 * (int(name[-1]) + 1) + STEPS[name[0]] + {"-": -1, "#": 1}.get(name[1], 0)


def add_tone(sound: np.ndarray, onset_s: float, length_s: float, pitch: int) -> None:
    """A tone added in place."""
    time_s = np.arange(int(length_s * RATE)) / RATE
    frequency = 440 * 2 ** ((pitch - 69) / 12)
    tone = sum(np.sin(2 * np.pi * frequency * k * time_s) / k for k in range(1, 9))
    shape = np.minimum(1, time_s / 0.01) * np.minimum(1, (length_s - time_s) / 0.03) * np.exp(-2 * time_s)
    begin = int(onset_s * RATE)
    sound[begin : begin + len(time_s)] += (0.12 * tone * shape).astype(np.float32)
