"""Timed transcripts: what somebody said, and when: WebVTT, SRT, or words with times (JSON, CSV, TSV).

Sources: WebVTT, W3C Candidate Recommendation 2019; SRT as its makers write it (no standard). Words with times are a
JSON list of {"word", "start", "end"}, also in parts ("segments", each with "words" or a "text" of its own), or lines of
start, end and word in seconds, parted by commas, tabs or semicolons. What captions tell of sounds ("[laughs]") and
of how they are to be set is not said.
"""

from __future__ import annotations

import csv
import html
import io
import json
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

import webvtt
from webvtt.models import Timestamp

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.script.pattern_store import pattern_of

__all__ = ["Spoken", "read_transcript", "sentences_spoken"]

MOST_BYTES = 5_000_000
MOST_WORDS = 100_000
LONGEST_SENTENCE_WORDS = 40
PAUSE_S = 1.2
FORMATS = "WebVTT (.vtt), SRT (.srt), or words with times (.json, .csv, .tsv)"
WORD_KEYS = ("word", "text")
WORD_COLUMN = 2  # where nothing tells which it is
SENTENCE_END = pattern_of(r"[.!?…][\"'”’)\]]*$")
NO_TEXT = pattern_of(r"[\x00-\x08\x0b-\x1f\x7f]")
# What stands in captions and is not said: sounds, music, where they are set, that another speaker begins.
NOT_SAID = pattern_of(r"\[[^\[\]]*\]|\{\\[^{}]*\}|[♪♫]+|>>|^\s*\([^()]*\)\s*$")
FEWEST_REPEATED = 3  # words at the end of a caption that the next one, rolling on, begins with
BYTE_ORDER_MARKS = (b"\xff\xfe", b"\xfe\xff")
VTT_HEAD = pattern_of(r"WEBVTT(?:[ \t\n]|$)")
# A line of times, well written or not; and what it is to be.
MEANT_AS_TIMES = pattern_of(r"-->|^\s*\d[\d:.,]*\s*-+>")
TIME = r"(?:(\d{1,4}):)?([0-5]?\d):([0-5]\d)[.,](\d{1,3})"
TIMES = pattern_of(rf"^\s*{TIME}\s+-->\s+{TIME}(?:\s.*)?$")


@dataclass(frozen=True)
class Spoken:
    """A stretch of speech: its text, and its start and end in seconds."""

    text: str
    start_s: float
    end_s: float


def read_transcript(path: Path) -> tuple[Spoken, ...]:
    """Read a timed transcript, in the order of speech.

    Raises:
        MaterialError: the file cannot be read, is too large, or is no transcript of a kind known here.
    """
    text = _text(path)
    readers = {".vtt": _vtt, ".srt": _srt, ".json": _json, ".csv": _lines, ".tsv": _lines, ".txt": _lines}
    reader = readers.get(path.suffix.lower())
    if reader is None:
        raise _fault(path, f"a transcript is no {path.suffix or 'file without an ending'}", f"give {FORMATS}")
    found = [said for each in reader(path, text) if (said := _said(each)).text] if text.strip() else []
    if not found:
        what = (
            "no words with times are" if text.strip() and path.suffix.lower() == ".txt" else "nothing is said"
        )
        raise _fault(path, f"{what} in this transcript", f"give {FORMATS}")
    return tuple(sorted(_without_repetitions(found), key=lambda each: each.start_s))


def _said(each: Spoken) -> Spoken:
    return replace(each, text=" ".join(NOT_SAID.sub(" ", each.text).split()))


def _fault(path: Path, what: str, todo: str, line: int | None = None) -> MaterialError:
    return MaterialError(Fault(what, todo, Place(path, line)))


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise _fault(path, f"a transcript of more than {MOST_BYTES // 1_000_000} MB", "cut it into parts")
        data = path.read_bytes()
        encoding = "utf-16" if data.startswith(BYTE_ORDER_MARKS) else "utf-8-sig"
        text = data.decode(encoding).replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        line = path.read_bytes()[: error.start].count(b"\n") + 1
        raise _fault(path, "this is not UTF-8 text", "save it as UTF-8", line) from None
    except OSError as error:
        raise _fault(path, f"the transcript cannot be read: {error.strerror}", "name a transcript") from None
    if odd := NO_TEXT.search(text):
        line = text[: odd.start()].count("\n") + 1
        raise _fault(path, "a character that no text file should hold", "delete it", line)
    return text


# Captions ------------------------------------------------------------------------------------------------


def _vtt(path: Path, text: str) -> Iterator[Spoken]:
    if not VTT_HEAD.match(text):
        raise _fault(path, "a WebVTT file begins with WEBVTT", f"give {FORMATS}", 1)
    yield from _captions(path, text, "vtt")


def _srt(path: Path, text: str) -> Iterator[Spoken]:
    yield from _captions(path, text, "srt")


def _captions(path: Path, text: str, kind: str) -> Iterator[Spoken]:
    _check_times(path, text)
    try:
        captions = webvtt.from_buffer(io.StringIO(text), format=kind).captions
    except (webvtt.errors.MalformedFileError, webvtt.errors.MalformedCaptionError, ValueError) as error:
        raise _fault(path, f"these are no captions: {error}", f"give {FORMATS}") from None
    for caption in captions:
        said = " ".join(html.unescape(caption.text).replace("\xa0", " ").split())
        start, end = (_seconds(time) for time in (caption.start_time, caption.end_time))
        yield Spoken(said, start, max(end, start))


def _seconds(time: Timestamp) -> float:
    """A caption's time; webvtt's own `start_in_seconds` leaves its thousandths out."""
    return (time.hours * 60 + time.minutes) * 60 + time.seconds + time.milliseconds / 1000


def _check_times(path: Path, text: str) -> None:
    """Every line of times is one, and no caption ends before it starts."""
    for number, line in enumerate(text.split("\n"), 1):
        if not MEANT_AS_TIMES.search(line):
            continue
        times = TIMES.match(line)
        if times is None:
            raise _fault(path, "these are no times", "write 00:01.000 --> 00:04.000", number)
        groups = times.groups(default="0")
        start, end = (_thousandths(groups[place : place + 4]) for place in (0, 4))
        if end < start:
            raise _fault(path, "this caption ends before it starts", "write its start first", number)


def _thousandths(parts: Sequence[str]) -> int:
    hours, minutes, seconds = (int(part) for part in parts[:3])
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + int(parts[3].ljust(3, "0"))


def _without_repetitions(found: Iterable[Spoken]) -> Iterator[Spoken]:
    """Captions that roll repeat what stood there before: it is said once."""
    captions = list(found)
    words = [each.text.split() for each in captions]
    ends = [_rolled(*pair) for pair in pairwise(words)]
    rolls = 2 * sum(end > 0 for end in ends) > len(ends)
    for each, before, own, end in zip(captions, [[], *words], words, [0, *ends], strict=False):
        new = own[_whole(before, own) or (end if rolls else 0) :]
        if new:
            yield replace(each, text=" ".join(new))


def _whole(before: Sequence[str], words: Sequence[str]) -> int:
    """How many words the caption before has, if this one begins with all of it."""
    return len(before) if words == before or (len(before) > 1 and words[: len(before)] == before) else 0


def _rolled(before: Sequence[str], words: Sequence[str]) -> int:
    """How many of the first words have stood at the end of the caption before."""
    longest = min(len(before), len(words))
    ends = (n for n in range(longest, FEWEST_REPEATED - 1, -1) if before[-n:] == words[:n])
    return next(ends, 0)


# Words with times ----------------------------------------------------------------------------------------


def _json(path: Path, text: str) -> Iterator[Spoken]:
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        raise _fault(path, "this is no JSON", f"give {FORMATS}", line) from None
    words = _entries(data)
    if words is None or len(words) > MOST_WORDS:
        raise _fault(
            path, "this is no list of words", 'write [{"word": "bar", "start": 1.2, "end": 1.5}, ...]'
        )
    for number, word in enumerate(words, 1):
        yield _word(path, word, number)


def _entries(data: object) -> list[object] | None:
    """The words of a transcript as they stand: its list, or those of its parts one after the other."""
    if isinstance(data, list):
        return data
    if not isinstance(data, dict):
        return None
    parts = data.get("segments")
    if "words" in data or not isinstance(parts, list):
        words = data.get("words")
        return words if isinstance(words, list) else None
    own = (part.get("words") or [part] if isinstance(part, dict) else [part] for part in parts)
    return [word for some in own for word in (some if isinstance(some, list) else [some])]


def _word(path: Path, word: object, number: int) -> Spoken:
    try:
        if isinstance(word, dict):
            text = next(word[key] for key in WORD_KEYS if key in word)
            start, end = float(word["start"]), float(word["end"])
        else:
            text, start, end = word[0], float(word[1]), float(word[2])  # type: ignore[index]
        return _checked(str(text), start, end)
    except (KeyError, IndexError, TypeError, ValueError, StopIteration):
        what = f"word {number} has no text, start and end"
        raise _fault(path, what, 'write {"word": "bar", "start": 1.2, "end": 1.5}') from None


def _checked(text: str, start: float, end: float) -> Spoken:
    if not 0 <= start <= end < float("inf"):
        raise ValueError
    return Spoken(text.strip(), start, end)


def _lines(path: Path, text: str) -> Iterator[Spoken]:
    head = text.splitlines()[0] if text else ""
    comma = max("\t;,", key=head.count)
    place = _word_place(row for _, row in _rows(path, text, comma))
    for number, row in _rows(path, text, comma):
        if not row or (number == 1 and not any(_is_number(cell) for cell in row)):
            continue
        times = [float(cell) for at, cell in enumerate(row) if at != place and _is_number(cell)]
        try:
            if number > MOST_WORDS:
                raise ValueError
            yield _checked(row[place], times[0], times[1])
        except (ValueError, IndexError):
            what = "this line has no start, end and word"
            raise _fault(path, what, "write seconds, as in 1.2,1.5,bar", number) from None


def _word_place(rows: Iterable[Sequence[str]]) -> int:
    """The column of words: it is headed as such, or the first line with times has no number there."""
    for row in rows:
        named = [at for at, cell in enumerate(row) if cell.strip().lower() in WORD_KEYS]
        filled = [at for at, cell in enumerate(row) if cell.strip()]
        words = [at for at in filled if not _is_number(row[at])]
        if len(named) == 1 and words == filled:
            return named[0]
        if len(words) == 1 and len(row) > 1:
            return words[0]
    return WORD_COLUMN


def _rows(path: Path, text: str, comma: str) -> Iterator[tuple[int, list[str]]]:
    rows = csv.reader(io.StringIO(text), delimiter=comma)
    try:
        yield from enumerate(rows, 1)
    except csv.Error as error:
        line = max(rows.line_num, 1)
        raise _fault(path, f"these are no words with times: {error}", f"give {FORMATS}", line) from None


def _is_number(text: str) -> bool:
    return bool(re.fullmatch(r"\s*\d+(?:\.\d+)?\s*", text))


# Sentences -----------------------------------------------------------------------------------------------


def sentences_spoken(spoken: Iterable[Spoken]) -> tuple[Spoken, ...]:
    """The speech cut into sentences: at full stops, at pauses, and where none comes for very long."""
    found: list[Spoken] = []
    going: list[Spoken] = []
    for word in _single_words(spoken):
        pause = bool(going) and word.start_s - going[-1].end_s >= PAUSE_S
        if going and (pause or SENTENCE_END.search(going[-1].text) or len(going) >= LONGEST_SENTENCE_WORDS):
            found.append(_sentence(going))
            going = []
        going.append(word)
    return tuple([*found, _sentence(going)] if going else found)


def _single_words(spoken: Iterable[Spoken]) -> Iterator[Spoken]:
    """Each word with a time: those of a caption share its length evenly."""
    for each in spoken:
        words = each.text.split()
        step = (each.end_s - each.start_s) / max(len(words), 1)
        for place, word in enumerate(words):
            yield Spoken(word, each.start_s + place * step, each.start_s + (place + 1) * step)


def _sentence(words: list[Spoken]) -> Spoken:
    return Spoken(" ".join(word.text for word in words), words[0].start_s, words[-1].end_s)
