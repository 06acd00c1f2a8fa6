"""Bad material through the commands: one clear message each, status 1, nothing lost."""

import json
import re
import zipfile

import numpy as np
import pytest
import soundfile

from lessonmaker.cli import main
from tests.tools.tiny_book import BARS, RATE, score_text

BOMB = (
    '<?xml version="1.0"?>\n<!DOCTYPE score-partwise [\n<!ENTITY a "aaaaaaaaaa">\n'
    + "".join(
        f'<!ENTITY {new} "{f"&{old};" * 10}">\n' for old, new in zip("abcdefgh", "bcdefghi", strict=True)
    )
    + "]>\n<score-partwise>&i;</score-partwise>"
)
REST = "<note><rest/><duration>4</duration><type>whole</type></note>"


def zipped(path, members):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)


def zip_bomb(path):
    zipped(path, {"score.xml": b"<score-partwise>" + b" " * (80 << 20)})


def climbing(path):
    zipped(path, {"../../escaped.musicxml": score_text()})


def without_notes(path):
    path.write_text(
        re.sub(r"<note>.*?</note>(?!<note>)", REST, re.sub(r"(<note>.*?</note>)+", REST, score_text()))
    )


SCORES = {
    "missing": (lambda path: path.unlink(missing_ok=True), "there is no such file"),
    "empty": (lambda path: path.write_bytes(b""), "the file is empty"),
    "other XML": (lambda path: path.write_text("<recipe><egg/></recipe>"), "neither MusicXML nor MEI: it is <recipe>"),
    "no XML": (lambda path: path.write_text("four bars in C"), "no well-formed XML"),
    "an entity bomb": (lambda path: path.write_text(BOMB), "declares XML entities of its own"),
    "a ZIP bomb": (zip_bomb, "unpacks to more than 64 MB"),
    "a climbing member": (climbing, "a file that climbs out of it: '../../escaped.musicxml'"),
    "no notes": (without_notes, "has no notes"),
    "a folder": (lambda path: path.mkdir(), "this is a folder, not a score"),
}  # fmt: skip


@pytest.mark.parametrize("name", SCORES)
def test_scores_that_cannot_be_read(name, tmp_path, fault, capsys):
    make, message = SCORES[name]
    path = tmp_path / "work" / "deep" / "score.musicxml"
    path.parent.mkdir(parents=True)
    make(path)
    said = fault("analyse", path)
    assert said.startswith(str(path))
    assert message in said
    assert "; " in said
    assert [found.name for found in tmp_path.iterdir()] == ["work"]
    assert main(["analyse", "--json", str(path)]) == 1
    (one,) = json.loads(capsys.readouterr().out)["faults"]
    assert (one["file"], message in one["what"]) == (str(path), True)


def test_bars_that_do_not_add_up_are_remarked_on(book, capsys):
    (book / "media" / "four-bars.musicxml").write_text(score_text(BARS, drop=1))
    assert main(["check", str(book)]) == 0
    captured = capsys.readouterr()
    assert "no faults" in captured.out
    assert re.search(r"remark: .*bar 2\b", captured.err)
    assert main(["check", "--json", str(book)]) == 0
    (remark,) = json.loads(capsys.readouterr().out)["remarks"]
    assert "bar 2" in remark["what"]


def noise(seconds, level):
    samples = np.random.default_rng(1).normal(0, level, round(RATE * seconds)).astype(np.float32)
    return lambda path: soundfile.write(path, samples, RATE)


TAKES = {
    "too short": (noise(0.5, 0.1), "lasts 0.50 s, too short for a take"),
    "silent": (noise(9, 0), "is silent"),
    "no sound": (lambda path: path.write_text("la la la"), "is not sound that can be read"),
    "empty": (lambda path: path.write_bytes(b""), "is empty"),
    "missing": (lambda path: path.unlink(), "does not exist"),
}


@pytest.mark.parametrize("name", TAKES)
def test_takes_that_are_none(name, book, fault):
    make, message = TAKES[name]
    make(book / "media" / "four-bars.wav")
    said = fault("sync", book / "media" / "four-bars.musicxml", book / "media" / "four-bars.wav")
    assert said.startswith(f"{book}/media/four-bars.wav: four-bars.wav {message}; ")


@pytest.mark.usefixtures("in_this_process")
def test_a_take_that_is_none_makes_no_film(book, fault):
    noise(9, 0)(book / "media" / "four-bars.wav")
    assert "is silent" in fault("build", book)
    assert not list((book / "out").rglob("*.mp4"))


@pytest.mark.usefixtures("in_this_process")
def test_a_take_of_something_else_makes_no_film(book, fault):
    noise(9, 0.1)(book / "media" / "four-bars.wav")
    assert re.search(
        r"four-bars.yaml:4:7: .* does not seem to be of four-bars.musicxml", fault("build", book)
    )
    assert not list((book / "out").rglob("*.mp4"))


SCRIPTS = {
    "a tab": ("    title: The", "\ttitle: The", r"four-bars.yaml:9:1: .*tab"),
    "an unknown key": ("    title: The", "    titel: The", r"four-bars.yaml:9:5: .*title"),
    "a key twice": ("    title: The lean", "    title: One\n    title: Two", r"four-bars.yaml:10:5: "),
    "a bar that is not there": ("bars: 2", "bars: 99", r"four-bars.yaml:8:11: .*99"),
    "a false claim": ("(b9@2)", "(b13@2)", r"four-bars.yaml:10:\d+: there is no b13 in bar 2"),
    "a missing score": ("four-bars.musicxml", "for-bars.musicxml", r"four-bars.yaml:3:8: "),
    "a missing take": ("four-bars.wav", "for-bars.wav", r"four-bars.yaml:4:7: "),
}


@pytest.mark.parametrize("name", SCRIPTS)
def test_faults_of_a_script_have_their_place(name, book, change, fault, capsys):
    old, new, message = SCRIPTS[name]
    change(old, new)
    said = fault("check", book)
    assert re.search(message, said), said
    assert fault("build", book) == said
    assert not (book / "out").exists()
    assert main(["check", "--json", str(book)]) == 1
    (one,) = json.loads(capsys.readouterr().out)["faults"]
    assert f"{one['file']}:{one['line']}:{one['column']}: {one['what']}" in said


def test_pronunciations_are_checked_with_the_lessons(book, fault):
    (book / "shared" / "pronunciations.yaml").write_text("[bass, base]\n")
    said = fault("check", book)
    assert said.startswith(f"{book}/shared/pronunciations.yaml:1:1: is not a list of pronunciations")
    assert fault("build", book) == said


def test_all_faults_of_all_lessons_come_in_one_run(book, change, capsys):
    other = book / "scripts" / "other.yaml"
    other.write_text((book / "scripts" / "four-bars.yaml").read_text().replace("bars: 2", "bars: 99"))
    change("(b9@2)", "(b13@2)")
    file = book / "scripts" / "book.yaml"
    file.write_text(file.read_text().replace("[four-bars.yaml]", "[four-bars.yaml, other.yaml]"))
    assert main(["build", str(book)]) == 1
    said = capsys.readouterr().err
    assert "no b13 in bar 2" in said
    assert "other.yaml:8:11" in said
