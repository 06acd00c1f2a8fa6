"""`sync` as a user calls it: two files or a lesson, for people and for programs."""

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import soundfile
from PIL import Image

from lessonmaker.cli import main
from lessonmaker.sound.align import fit as fitting
from tests.tools.tiny_book import BARS, LEAD_IN_S, QUARTER_S, RATE, add_tone, midi, score_text

DEMO = Path(__file__).parents[2]
SCORE = DEMO / "media" / "the-tin-heron.musicxml"
TAKE = DEMO / "media" / "the-tin-heron.ogg"

TURNED = (
    ("E", "minor-seventh", "F#3 C#5 G#4 A#3", 1),
    ("A", "dominant", "D#5 E-4 C#4 B3", 1),
    ("D", "major-seventh", "G#3 A#4 D#4 C#5", 1),
    ("D", "major-seventh", "F#4 G#5", 2),
)


@pytest.fixture
def script(book):
    return book / "scripts" / "four-bars.yaml"


@pytest.fixture
def said(capsys):
    """What `sync` prints for people, line by line."""

    def lines(*arguments, status=0):
        assert main(["sync", *map(str, arguments)]) == status
        return capsys.readouterr().out.splitlines()

    return lines


def test_for_programs(book, capsys):
    score, take = book / "media" / "four-bars.musicxml", book / "media" / "four-bars.wav"
    assert main(["sync", "--json", str(score), str(take)]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["accepted"] is True
    assert 0.5 < answer["confidence"] <= 1
    assert [(bar["bar"], bar["pass"]) for bar in answer["bars"]] == [(n, 1) for n in range(1, 1 + len(BARS))]
    truth = [LEAD_IN_S + 4 * QUARTER_S * number for number in range(len(BARS))]
    assert [bar["time_s"] for bar in answer["bars"]] == pytest.approx(truth, abs=0.05)
    assert all(0 <= bar["sure"] <= 1 for bar in answer["bars"])
    assert all(set(note) == {"index", "pass", "time_s"} for note in answer["notes"])
    assert [note["index"] for note in answer["notes"]] == list(range(14))
    assert isinstance(answer["departures"], list)
    assert {"transposed_by", "tuning_cents", "jumps", "unsure"} <= set(answer)


def test_the_demo_for_people(said):
    lines = said(SCORE, TAKE)
    assert lines[0] == "Accepted, confidence 100%."
    facts = {line[2:13].strip(): line[15:] for line in lines[1:5]}
    assert set(facts) == {"pitch", "tempo", "played", "passed over"}
    assert facts["pitch"] == "as written, in tune"
    assert facts["played"] == "as printed, with its repeats"
    assert facts["passed over"].startswith("3.2 s before the first bar, ")
    bars = [line.split()[1] for line in lines[lines.index("Bars start at:") + 1 :]]
    assert bars[:7] == ["1x1", "2x1", "3x1", "4x1", "5x1", "6x1", "7"]
    assert sum(bar.endswith("x2") for bar in bars) == 6


def test_a_take_of_another_etude_is_refused_with_what_helps(said):
    lines = said(SCORE, DEMO / "media" / "gaslight-errand.ogg", status=1)
    assert lines[0].startswith("Refused: this recording does not seem to be of the score (confidence ")
    assert lines[2] == "What helps:"
    assert any("sync: {1: 0:03.2, 33: 1:05}" in line for line in lines[3:])
    assert any("--part" in line for line in lines[3:])


def test_a_lesson_is_synced_by_script_by_name_and_in_its_book(book, script, said, monkeypatch):
    by_script = said(script)
    assert by_script[0].startswith("Accepted")
    assert (book / "out" / "sync" / "four-bars.fit.json").is_file()
    assert said(book, "four-bars") == said(book) == by_script
    monkeypatch.chdir(book)
    assert said("four-bars") == by_script


def test_the_second_time_the_kept_fit_is_read(script, said, monkeypatch, capsys):
    first = said(script)

    def aligner(*_):
        pytest.fail("the aligner ran")

    monkeypatch.setattr(fitting, "fit_take", aligner)
    assert main(["sync", str(script)]) == 0
    captured = capsys.readouterr()
    assert captured.out.splitlines() == first
    assert captured.err == ""


def test_pins_of_the_lesson_hold(script, change, capsys):
    change("cues:\n", "sync: {2.1: 0:02.45, 4: 6.4}\ncues:\n")
    assert main(["sync", "--json", str(script)]) == 0
    bars = json.loads(capsys.readouterr().out)["bars"]
    assert bars[1]["time_s"] == pytest.approx(2.45, abs=0.03)
    assert bars[3]["time_s"] == pytest.approx(6.4, abs=0.03)


def test_pins_are_said(script, change, said):
    change("cues:\n", "sync: {2.1: 0:02.45, 4.3: 7.4}\ncues:\n")
    assert "  pinned       2.1 to 0:02.45, 4.3 to 0:07.40" in said(script)


def test_a_take_of_another_lesson_is_told(book, script, said):
    """The book's second lesson has another line, and by mistake the first one's take."""
    (book / "media" / "other.musicxml").write_text(score_text(TURNED))
    text = script.read_text().replace("four-bars.musicxml", "other.musicxml").replace("(b9@2)", "(2)")
    (script.parent / "other.yaml").write_text(text)
    listed = (script.parent / "book.yaml").read_text().replace("[four", "[broken.yaml, other.yaml, four")
    (script.parent / "book.yaml").write_text(listed)
    (script.parent / "broken.yaml").write_text("lesson: Broken\n")
    lines = said(script.parent / "other.yaml", status=1)
    assert lines[0].startswith("Refused")
    assert lines[-1] == f"It is a take of another lesson: {script}"


def test_a_damaged_kept_fit_is_said_and_made_anew(book, script, said, capsys):
    first = said(script)
    (book / "out" / "sync" / "four-bars.fit.json").write_text("{")
    assert main(["sync", str(script)]) == 0
    captured = capsys.readouterr()
    assert captured.out.splitlines() == first
    assert "remark: " in captured.err
    assert "four-bars.fit.json: the kept fit is damaged or was edited; it is made anew" in captured.err


OTHER_NOTES = {"A4": "beat 2 G4 played for A4", "G5": "beat 2 G5 played an octave below"}


@pytest.mark.parametrize("printed", OTHER_NOTES)
def test_where_the_player_left_the_page(printed, book, script, said, capsys):
    """The take has a G4 where the score has another note."""
    other = (*BARS[:2], (*BARS[2][:2], f"E4 {printed} B4 F#5", 1), BARS[3])
    (book / "media" / "four-bars.musicxml").write_text(score_text(other))
    lines = said(script)
    assert lines[lines.index("Off the page:") + 1] == f"  bar 3        {OTHER_NOTES[printed]}"
    assert lines[lines.index("Off the page:") + 2] == "Bars start at:"
    assert main(["sync", "--json", str(script)]) == 0
    (away,) = json.loads(capsys.readouterr().out)["departures"]
    assert (away["bar"], away["pass"], away["index"], away["heard"]) == (3, 1, 9, 67)
    assert away["time_s"] == pytest.approx(LEAD_IN_S + 9 * QUARTER_S, abs=0.05)


def test_a_false_claim_does_not_stand_in_the_way(script, change, said):
    change("(b9@2)", "(b13@2)")
    assert said(script)[0].startswith("Accepted")


PINS = {
    "an unknown bar": ("{9: 3}", r"four-bars.yaml:5:8: there is no bar or section '9'"),
    "a time beyond the end": ("{1: 0:20}", r"four-bars.yaml:5:11: 1 is pinned to 0:20, but the take ends at 0:09"),
    "backwards": ("{1: 5, 3: 4}", r"four-bars.yaml:5:17: 3 is played after 1, but is pinned to 0:04"),
    "no time": ("{1: now}", r"four-bars.yaml:5:11: 'now' is no time in the take; write minutes and seconds"),
}  # fmt: skip


@pytest.mark.parametrize("name", PINS)
def test_pins_that_cannot_be(name, script, change, fault):
    sync, message = PINS[name]
    change("cues:\n", f"sync: {sync}\ncues:\n")
    said = fault("sync", script)
    assert message in said
    assert fault("check", script) == said


def test_all_faults_of_a_script_come_with_those_of_its_pins(script, change, capsys):
    change("cues:\n", "sync: {9: 3, 1: 0:20}\ncues:\n")
    change("(b9@2)", "(b13@2)")
    assert main(["check", str(script)]) == 1
    said = capsys.readouterr().err
    assert said.count("four-bars.yaml:") == 3
    assert all(text in said for text in ("no bar or section '9'", "there is no b13", "the take ends at"))


def test_a_lesson_without_a_take(script, change, fault):
    change("take: ../media/four-bars.wav\n", "")
    assert "four-bars.yaml: the lesson has no take; add one, as in `take: " in fault("sync", script)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([SCORE], f"{SCORE}: name a score and its take, or a lesson"),
        ([SCORE, TAKE, TAKE], "name a score and its take, or a lesson"),
        ([DEMO], "sync looks at one take at a time: name one of gaslight-errand, the-tin-heron"),
        ([DEMO, "tin-heron"], "there is no lesson 'tin-heron' (did you mean 'the-tin-heron'?)"),
        ([DEMO, "the-tin-heron", "--part", "Solo"], "a lesson's part and transposition are those of its script"),
        ([SCORE, TAKE, "--plot", "take.jpg"], "'take.jpg' is no picture's name: it ends with .png or .svg"),
    ],
)  # fmt: skip
def test_wrong_usage(arguments, message, fault):
    assert message in fault("sync", *arguments, status=2)


@pytest.mark.parametrize("name", ["take.png", "take.SVG"])
def test_the_picture_is_written(name, script, said, tmp_path):
    path = tmp_path / name
    path.write_text("older")
    assert said(script, "--plot", path)[0].startswith("Accepted")
    if name.endswith("png"):
        with Image.open(path) as picture:
            assert (picture.format, picture.width) == ("PNG", 1920)
    else:
        assert ElementTree.parse(path).getroot().tag.endswith("}svg")
    assert {found.name for found in tmp_path.iterdir()} == {"book", name}


def test_a_refused_take_is_drawn_as_well(book, said, tmp_path):
    path = tmp_path / "refused.png"
    samples = np.random.default_rng(1).normal(0, 0.1, 9 * RATE).astype(np.float32)
    soundfile.write(book / "media" / "noise.wav", samples, RATE)
    said(book / "media" / "four-bars.musicxml", book / "media" / "noise.wav", "--plot", path, status=1)
    with Image.open(path) as picture:
        assert picture.height > 300


def test_a_picture_beside_json(script, capsys, tmp_path):
    assert main(["sync", "--json", str(script), "--plot", str(tmp_path / "take.png")]) == 0
    assert json.loads(capsys.readouterr().out)["accepted"] is True
    assert (tmp_path / "take.png").is_file()


def test_a_picture_that_cannot_be_written(script, fault, tmp_path):
    assert "there is no such file or folder" in fault("sync", script, "--plot", tmp_path / "no" / "take.png")
    (tmp_path / "take.png").mkdir()
    assert "a folder stands where a file is needed" in fault("sync", script, "--plot", tmp_path / "take.png")
    assert list((tmp_path / "take.png").iterdir()) == []


def test_another_pitch_is_said_in_words(book, said):
    """A take of the same line, sounding fourteen semitones lower and a fifth of a semitone sharp."""
    sound, onset_s = np.zeros(int(9 * RATE), np.float32), LEAD_IN_S
    for _, _, names, quarters in BARS:
        for name in names.split():
            add_tone(sound, onset_s, quarters * QUARTER_S, midi(name) - 14 + 0.2)
            onset_s += quarters * QUARTER_S
    soundfile.write(book / "media" / "lower.wav", sound, RATE)
    lines = said(book / "media" / "four-bars.musicxml", book / "media" / "lower.wav")
    assert lines[1].startswith(
        "  pitch        a major ninth lower than the score says (as when an instrument in B♭"
    )
    cents = re.search(r", (\d+) cents sharp \(A = 44[345] Hz\)$", lines[1])
    assert 14 <= int(cents[1]) <= 26
