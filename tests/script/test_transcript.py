"""Timed transcripts: what can be read, and what is said of what cannot."""

import json
from pathlib import Path

import pytest

from lessonmaker.faults import MaterialError
from lessonmaker.script.transcript import read_transcript, sentences_spoken

VTT = """WEBVTT

NOTE made up

00:01.000 --> 00:03.000 align:start
<v Thea>Hello, this is <b>bar two</b>.

00:00:04.500 --> 00:00:06.000
Flat nine &amp; third
"""
SRT = (
    "1\n00:00:01,000 --> 00:00:03,000\nHello, this is bar two.\n\n2\n"
    "00:00:04,500 --> 00:00:06,000\nFlat nine & third\n"
)
WORDS = [["Flat", 1.0, 1.2], ["nine.", 1.2, 1.5], ["Then", 1.6, 1.8]]


def write(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(("name", "text"), [("a.vtt", VTT), ("a.srt", SRT), ("b.vtt", "\ufeff" + VTT)])
def test_captions_are_read(tmp_path: Path, name: str, text: str) -> None:
    """WebVTT, W3C: a byte order mark, notes, settings, voices and tags may stand in a file."""
    found = read_transcript(write(tmp_path, name, text))
    assert [(each.text, each.start_s, each.end_s) for each in found] == [
        ("Hello, this is bar two.", 1.0, 3.0),
        ("Flat nine & third", 4.5, 6.0),
    ]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.json", json.dumps(WORDS)),
        ("b.json", json.dumps({"words": [{"word": w, "start": s, "end": e} for w, s, e in WORDS]})),
        ("a.csv", "start,end,word\n1.0,1.2,Flat\n1.2,1.5,nine.\n1.6,1.8,Then\n"),
        ("a.tsv", "Flat\t1.0\t1.2\nnine.\t1.2\t1.5\nThen\t1.6\t1.8\n"),
        ("b.csv", "1.0,1.2,Flat\n1.1,1.2,\n1.2,1.5,nine.\n1.6,1.8,Then\n"),
        ("c.json", json.dumps({"segments": [{"words": WORDS[:2]}, {"words": WORDS[2:]}]})),
        ("d.json", json.dumps({"segments": [{"text": f" {w}", "start": s, "end": e} for w, s, e in WORDS]})),
    ],
)
def test_words_with_times_are_read(tmp_path: Path, name: str, text: str) -> None:
    found = read_transcript(write(tmp_path, name, text))
    assert [(each.text, each.start_s) for each in found] == [("Flat", 1.0), ("nine.", 1.2), ("Then", 1.6)]
    assert [each.text for each in sentences_spoken(found)] == ["Flat nine.", "Then"]


@pytest.mark.parametrize(
    "text",
    ["start,end,word\n0,1,13\n1,2,then\n", "0,1,13\n1,2,then\n", "word,start,end\n13,0,1\nthen,1,2\n"],
)
def test_a_number_is_a_word_too(tmp_path: Path, text: str) -> None:
    found = read_transcript(write(tmp_path, "a.csv", text))
    assert [(each.text, each.start_s) for each in found] == [("13", 0.0), ("then", 1.0)]


def test_what_captions_tell_besides_is_not_said(tmp_path: Path) -> None:
    shown = ["{\\an8}>> Bar 14 [music] rises.", "(laughs)", "[applause]", "♪♪", "It (really) lands. ♪"]
    text = "".join(f"{n}\n00:00:0{n},000 --> 00:00:0{n},900\n{line}\n\n" for n, line in enumerate(shown, 1))
    found = read_transcript(write(tmp_path, "a.srt", text))
    assert [(each.text, each.start_s) for each in found] == [
        ("Bar 14 rises.", 1.0),
        ("It (really) lands.", 5.0),
    ]


def test_captions_that_roll_say_their_words_once(tmp_path: Path) -> None:
    shown = [
        "in bar six there is",
        "in bar six there is\na flat nine that falls",
        "a flat nine that falls\nto the root",
        "to the root",
        "the root it is",
    ]
    text = "".join(f"{n}\n00:00:0{n},000 --> 00:00:0{n},900\n{line}\n\n" for n, line in enumerate(shown, 1))
    found = read_transcript(write(tmp_path, "a.srt", text))
    said = ["in bar six there is", "a flat nine that falls", "to the root", "the root it is"]
    assert [each.text for each in found] == said


def test_words_that_are_said_twice_are_no_captions_that_roll(tmp_path: Path) -> None:
    shown = ["count one two three", "one two three four", "that is the idea", "so play"]
    text = "".join(f"{n}\n00:00:0{n},000 --> 00:00:0{n},900\n{line}\n\n" for n, line in enumerate(shown, 1))
    assert [each.text for each in read_transcript(write(tmp_path, "a.srt", text))] == shown


def test_an_empty_column_is_no_word(tmp_path: Path) -> None:
    found = read_transcript(write(tmp_path, "a.csv", "bar,1.2,1.5,\ntwo,1.6,1.9,\n"))
    assert [each.text for each in found] == ["bar", "two"]


def test_brackets_that_are_never_closed_are_read_to_their_end(tmp_path: Path) -> None:
    word = "[" * 100_000
    (found,) = read_transcript(write(tmp_path, "a.json", f'[["{word}", 0, 1]]'))
    assert found.text == word


def test_a_text_in_two_bytes_a_letter_is_read(tmp_path: Path) -> None:
    path = tmp_path / "a.srt"
    path.write_bytes(SRT.encode("utf-16"))
    assert read_transcript(path)[0].text == "Hello, this is bar two."


def test_a_pause_ends_a_sentence(tmp_path: Path) -> None:
    found = read_transcript(write(tmp_path, "a.csv", "0,1,one\n1,2,bar\n5,6,then\n"))
    assert [(each.text, each.start_s) for each in sentences_spoken(found)] == [
        ("one bar", 0.0),
        ("then", 5.0),
    ]


@pytest.mark.parametrize(
    ("name", "text", "message"),
    [
        ("a.vtt", "no captions", r"a\.vtt:1: a WebVTT file begins with WEBVTT"),
        ("a.srt", "", r"nothing is said in this transcript"),
        ("a.txt", "Flat nine, then.", r"no words with times are in this transcript"),
        ("a.json", '{"words": {"segments": []}}', r"this is no list of words; write"),
        ("a.json", '{"segments": 3}', r"this is no list of words; write"),
        ("a.json", '{"segments": [3]}', r"word 1 has no text, start and end"),
        ("a.csv", "1,2\n", r"a\.csv:1: this line has no start, end and word"),
        ("a.vtt", "WEBVTT\n", r"nothing is said in this transcript"),
        ("a.json", "{", r"a\.json:1: this is no JSON"),
        ("a.json", '{"words": 3}', r"this is no list of words; write"),
        ("a.json", '[{"word": "a"}]', r"word 1 has no text, start and end"),
        ("a.json", '[["a", 3, 1]]', r"word 1 has no text, start and end"),
        ("a.csv", "0,1,one\nx\n", r"a\.csv:2: this line has no start, end and word"),
        ("a.csv", '0,1,"' + "x" * 200_000, r"a\.csv:1: these are no words with times: field larger"),
        ("a.vtt", "WEBVTTX\n\n00:01.000 --> 00:02.000\nbar\n", r"a\.vtt:1: a WebVTT file begins with WEBVTT"),
        ("a.vtt", "WEBVTT\n\n0:05 -> 0:07\nbar\n", r"a\.vtt:3: these are no times; write 00:01\.000 -->"),
        (
            "a.vtt",
            "WEBVTT\n\n00:05.000 --> 00:02.000\nbar\n",
            r"a\.vtt:3: this caption ends before it starts",
        ),
        ("a.srt", SRT + "\n3\n00:00:99,000 --> xx\nbar\n", r"a\.srt:10: these are no times"),
        ("a.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\nbar\x00\n", r"a\.vtt:4: a character that no text file"),
        ("a.docx", "", r"a transcript is no \.docx; give WebVTT"),
    ],
)
def test_what_is_no_transcript_is_one_clear_fault(tmp_path: Path, name: str, text: str, message: str) -> None:
    with pytest.raises(MaterialError, match=message):
        read_transcript(write(tmp_path, name, text))


def test_a_file_that_is_not_there_or_no_text(tmp_path: Path) -> None:
    with pytest.raises(MaterialError, match="the transcript cannot be read"):
        read_transcript(tmp_path / "none.vtt")
    (tmp_path / "a.vtt").write_bytes(b"WEBVTT\n\n\xff\xfe")
    with pytest.raises(MaterialError, match=r"a\.vtt:3: this is not UTF-8 text"):
        read_transcript(tmp_path / "a.vtt")


def test_a_very_large_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(MaterialError, match="a transcript of more than 5 MB"):
        read_transcript(write(tmp_path, "a.vtt", "WEBVTT\n" + "x" * 5_000_000))
