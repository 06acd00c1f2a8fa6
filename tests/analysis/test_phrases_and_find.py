"""Phrases, and where the same happens again."""

from fractions import Fraction

import pytest

from lessonmaker.analysis.device_names import DeviceName, device_name
from lessonmaker.analysis.find import QuestionError, find, find_like, parse_question
from lessonmaker.analysis.model import Device
from lessonmaker.analysis.overview import overview_text
from lessonmaker.analysis.report import analysis_json
from lessonmaker.analysis.whole import analyse
from lessonmaker.score.position import Span, format_position, format_span, parse_span

TWO_BREATHS = "[Dm7] F4e A4 C5 E5 D5h | [G7] rq B4e D5 F5 A5 G5q | [Cmaj7] E5w | [Dm7] F4e A4 C5 E5 D5h"
FLAT_NINES = (
    "[Dm7] F4q A4 C5 A4 | [G7] B4q D5 F5 Ab5 | [Cmaj7] G5w | "
    "[Gm7] Bb4q D5 F5 D5 | [C7] E5q G5 Bb5 Db5 | [Fmaj7] C5w"
)


def test_phrases_end_at_rests_and_long_notes(tune) -> None:
    score = tune(TWO_BREATHS)
    starts = [format_position(score, phrase.span.start) for phrase in analyse(score).phrases]
    assert starts == ["1.1", "2.2", "4.1"]


def test_every_note_is_in_one_phrase(tune) -> None:
    score = tune(TWO_BREATHS)
    named = [name for phrase in analyse(score).phrases for name in phrase.notes]
    assert named == [note.id for note in score.struck]


@pytest.mark.parametrize(
    ("question", "places"),
    [
        ("b9 -> 5", ["2.4", "5.4"]),
        ("♭9 → 5 over V", ["2.4", "5.4"]),
        ("b9 over the dominant", ["2.4", "5.4"]),
        ("b9 over I", []),
        ("two five one", ["1.1", "4.1"]),
    ],
)
def test_a_question_is_answered(tune, question: str, places: list[str]) -> None:
    score = tune(FLAT_NINES)
    found = find(parse_question(question), score, analyse(score))
    assert [format_position(score, each.span.start) for each in found] == places


@pytest.mark.parametrize(
    ("question", "found"),
    [
        ("upper-structure triad bVI over V", 1),
        ("bVI upper structure", 1),
        ("bVI triad", 1),
        ("triads over the dominant", 1),
        ("upper-structure triad VI", 0),
        ("bVI triad over I", 0),
    ],
)
def test_a_triad_is_found_by_its_own_numeral_only(tune, question: str, found: int) -> None:
    score = tune("[G7] Eb4e G4 Bb4 Eb5 Bb4 G4 F4q | [Cmaj7] E4w")
    assert len(find(parse_question(question), score, analyse(score))) == found


@pytest.mark.parametrize(("grouping", "found"), [("2+3", 1), ("3", 0)])
def test_a_cross_rhythm_is_found_by_its_whole_grouping(tune, grouping: str, found: int) -> None:
    score = tune("[Dm7] A4q D5q. A4q D5e~ | D5q A4q D5q. A4e~ | A4e D5q. rh | D5w")
    assert len(find(parse_question(f"cross rhythm {grouping}"), score, analyse(score))) == found


@pytest.mark.parametrize(("order", "found"), [("3-5-7-9", 2), ("5-7", 2), ("9-7", 0), ("3-7", 0)])
def test_an_arpeggio_is_found_by_degrees_in_a_row(tune, order: str, found: int) -> None:
    score = tune("[Dm7] F4e A4 C5 E5 D5h | [G7] B4e D5 F5 A5 G5h | [Cmaj7] E5w")
    assert len(find(parse_question(f"arpeggio {order}"), score, analyse(score))) == found


@pytest.mark.parametrize(
    ("asked", "kind", "detail"),
    [
        ("bVI triad", "triad", "bVI"),
        ("triad", "triad", ""),
        ("tritone-substitute triad", "tritone-substitute triad", ""),
        ("upper structure triad II major", "upper-structure triad", "II major"),
        ("Arpeggio 3-5-7-9", "arpeggio", "3-5-7-9"),
        ("diatonic sequence", "sequence", "diatonic"),
    ],
)
def test_a_device_is_named_with_its_detail_before_or_after(asked: str, kind: str, detail: str) -> None:
    assert device_name(asked) == DeviceName(kind, detail)


@pytest.mark.parametrize("asked", ["", "wobbly triad", "bVIII triad", "3-5-7-9"])
def test_what_is_no_device_is_not_named(asked: str) -> None:
    assert device_name(asked) is None


@pytest.mark.parametrize(
    ("kind", "detail", "fits"),
    [
        ("triad", "VI", False),
        ("triad", "♭VI", True),
        ("triad", "bVI major", True),
        ("triad", "bVI minor", False),
        ("upper-structure triad", "", True),
        ("arpeggio", "", False),
    ],
)
def test_major_goes_without_saying_of_triads(kind: str, detail: str, fits: bool) -> None:
    device = Device("upper-structure triad", Span(Fraction(0), Fraction(1)), "", 1.0, detail="bVI")
    assert DeviceName(kind, detail).fits(device) is fits


def test_major_says_something_of_a_key_change() -> None:
    device = Device("key change", Span(Fraction(0), Fraction(1)), "", 1.0, detail="major -> minor")
    assert DeviceName("key change", "major -> minor").fits(device)
    assert not DeviceName("key change", "minor -> major").fits(device)


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("flat nine", "b9"),
        ("the flat nine to the fifth over V", "b9 -> 5 over V"),
        ("sharp eleven → five", "#11 -> 5"),
        ("♭9→5", "b9 -> 5"),
        ("suspensions", "suspension"),
        ("passing note over I", "passing over I"),
        ("the Altered scale", "altered scale"),
        ("super locrian scale", "altered scale"),
    ],
)
def test_a_question_may_be_asked_in_words(said: str, written: str) -> None:
    assert parse_question(said) == parse_question(written)


def test_a_role_and_a_scale_are_found(tune) -> None:
    altered = "[G7alt] Ab4e B4 Bb4 Ab4 Db5 Eb5 F5 Db5"
    score = tune(f"[Dm7] F4e A4 C5 F5 E5 D5 C5q~ | [G7] C5q B4 G4h | {altered} | [Cmaj7] C5w")
    heard = analyse(score)
    (suspended,) = find(parse_question("suspension"), score, heard)
    assert suspended.text == "The flat seventh of the minor chord: suspension."
    assert find(parse_question("suspension over V"), score, heard) == ()
    assert find(parse_question("suspension over ii"), score, heard) == (suspended,)
    (scale,) = find(parse_question("altered scale"), score, heard)
    assert scale.kind == "scale" and "altered" in scale.text
    assert find(parse_question("blues scale"), score, heard) == ()


@pytest.mark.parametrize(
    ("question", "places"),
    [
        ("b9 over G7", ["2.1", "4.1"]),
        ("b9 over G7alt", ["4.1"]),
        ("b9 over the dominant", ["2.1", "4.1"]),
        ("b9 over C7", []),
        ("9 over Dm", ["1.2&"]),
        ("arpeggio b3-5-b7-9", ["1.1-1.2&"]),
        ("arpeggio 3-5-7-9", ["1.1-1.2&", "3.1-3.2&"]),
        ("arpeggio 3-5-7-9 over Cmaj7", ["3.1-3.2&"]),
        ("arpeggio 3-5-b7-9", []),
    ],
)
def test_a_chord_may_be_asked_for_by_its_symbol_and_an_arpeggio_by_its_degrees(
    tune, question: str, places: list[str]
) -> None:
    score = tune(
        "[Dm7] F4e A4 C5 E5 D5h | [G7] Ab4q B4 D5h | [Cmaj7] E4e G4 B4 D5 C5h | [G7alt] Ab4q B4 Eb5h | [Cmaj7] C5w"
    )
    found = find(parse_question(question), score, analyse(score))
    onsets = [[note.onset for note in score.struck if note.id in set(each.notes)] for each in found]
    ends = [dict.fromkeys(format_position(score, each) for each in (row[0], row[-1])) for row in onsets]
    assert ["-".join(each) for each in ends] == places


@pytest.mark.parametrize(
    ("question", "message"),
    [
        ("wobble scale", r"'wobble scale' cannot be looked for; ask for"),
        ("wobble", r"'wobble' cannot be looked for; ask for"),
        ("b9 over Q", r"'Q' is no chord that can be asked for"),
    ],
)
def test_a_question_that_is_none_says_what_can_be_asked(question: str, message: str) -> None:
    with pytest.raises(QuestionError, match=message):
        parse_question(question)


def test_an_example_finds_what_is_like_it(tune) -> None:
    score = tune(FLAT_NINES)
    heard = analyse(score)
    found = find_like(parse_span(score, "2-3"), score, heard, (score, heard))
    assert "5.4-6" in {format_span(score, each.span).replace("6.4", "6") for each in found}
    assert all(each.span.start >= Fraction(12) or each.span.end <= 4 for each in found)


def test_all_that_is_found_is_plain_data_with_places(tune) -> None:
    score = tune(FLAT_NINES)
    data = analysis_json(score, analyse(score))
    assert set(data) == {"notes", "phrases", "keys", "functions", "scales", "devices", "proposals", "tension"}
    for part in ("phrases", "keys", "functions", "scales", "devices", "tension"):
        for each in data[part]:
            first, last = each["from"], each["to"]
            assert parse_span(score, first if first == last else f"{first}-{last}")
    assert {"kind", "from", "to", "text", "confidence"} <= data["devices"][0].keys()


def test_the_overview_names_places_as_a_script_does(tune) -> None:
    score = tune(FLAT_NINES)
    lines = overview_text(score, analyse(score)).splitlines()
    assert "Keys" in lines and "Resolution" in lines
    (line,) = [
        line for line in lines if "falls a half step to the fifth of the next chord" in line and "2.4" in line
    ]
    assert line.split()[0] == "2.4-3.1"
