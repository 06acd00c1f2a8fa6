"""Devices, roles and scales as links name them, on the demo's first etude."""

import re
from pathlib import Path

import pytest

from lessonmaker.analysis.devices.passages import diatonic_passage
from lessonmaker.faults import MaterialError, Place
from lessonmaker.score.position import Span, parse_span
from lessonmaker.score.read import read_score
from lessonmaker.script.candidates import ROLES, device_candidate, role_candidates, scale_target
from lessonmaker.script.check import check_lesson, examine_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Piece
from lessonmaker.script.music import Findings, Music
from lessonmaker.script.targets import resolve
from tests.tools.sentence_sets import OPEN

MEDIA = Path(__file__).parents[2] / "media"
ERRAND = MEDIA / "gaslight-errand.musicxml"


@pytest.fixture(scope="module", params=sorted(MEDIA.glob("*.musicxml")), ids=lambda path: path.stem)
def music(request):
    return music_of(request.param)


@pytest.fixture(scope="module")
def errand():
    return music_of(ERRAND)


def music_of(path):
    score = read_score(path)
    return Music.of(score)


def found(music, target):
    findings = Findings()
    mention = resolve(Piece("link", "x", target, Place()), music, findings)
    assert not findings.faults, findings.faults
    return mention


def fault(music, target):
    findings = Findings()
    assert resolve(Piece("link", "x", target, Place()), music, findings) is None
    (one,) = findings.faults
    return str(one)


def positions(music, mention):
    notes = [music.struck_by_id[lit.note] for lit in mention.notes]
    return [music.position(note) for note in notes]


# What is found names itself -----------------------------------------------------------------------------


def test_the_target_of_every_device_finds_it(music):
    assert len(music.analysis.devices) > 50
    for device in music.analysis.devices:
        assert found(music, device_candidate(device, music).target).device == device


def test_the_target_of_every_role_finds_its_note(music):
    bars = music.score.bars
    for role in ROLES:
        for each in role_candidates(role, Span(bars[0].start, bars[-1].end), music):
            assert found(music, each.target).notes == each.mention.notes


def test_the_target_of_every_scale_finds_it(music):
    assert len(music.analysis.scales) > 5
    for use in music.analysis.scales:
        target = scale_target(use, music)
        assert found(music, target).scale.scale == use.scale
        assert found(music, target[target.index("scale@") :]).scale == use


# Devices ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("where", ["21-22", "21.1-22.2", "20-22", "19-24"])
def test_a_device_is_found_in_a_span_that_is_near_enough(errand, where):
    mention = found(errand, f"sequence@{where}")
    assert (mention.kind, mention.target) == ("device", f"sequence@{where}")
    assert mention.device.detail == "through the changes"
    assert [lit.label for lit in mention.notes] == [None] * 16


def test_a_device_is_found_in_a_part_of_it(errand):
    assert found(errand, "diatonic passage@34").device == found(errand, "diatonic passage@33-36").device


def test_plain_bars_are_no_false_claim_where_they_do_not_stand_out(errand):
    assert all(
        device.span.start != 0 for device in errand.analysis.devices if device.kind == "diatonic passage"
    )
    assert found(errand, "diatonic passage@1").device.span == Span(0, 4)
    assert "there is no diatonic passage in bar 6" in fault(errand, "diatonic passage@6")


@pytest.mark.parametrize("name", ["hemiola", "Cross-Rhythms", "2+3 cross rhythm", "cross rhythm 2+3"])
def test_a_device_goes_by_any_of_its_names(errand, name):
    assert found(errand, f"{name}@37-38").device.kind == "cross rhythm"


@pytest.mark.parametrize("name", ["bVI triad", "♭VI triad", "bVI major triad", "upper structure", "triad"])
def test_a_triad_goes_by_its_numeral(errand, name):
    mention = found(errand, f"{name}@30")
    assert mention.device.detail == "bVI"
    assert (mention.kind, [lit.label for lit in mention.notes]) == ("notes", ["b13", "1", "#9", "1"])


def test_a_major_triad_is_no_minor_one(errand):
    assert found(errand, "II minor triad@28").device.detail == "II minor"
    assert "there is no II triad in bar 28: it has upper-structure triad@28.1&-28.2& (II minor)" in fault(
        errand, "II triad@28"
    )


def test_a_resolution_lights_its_two_notes_with_labels(errand):
    mention = found(errand, "resolution@6.4&-7.1")
    assert [(lit.label, lit.tension) for lit in mention.notes] == [("b9", True), ("5", False)]
    assert found(errand, "b9 -> 5 resolution@6-7").device == mention.device


def test_what_the_harmony_does_is_a_span(errand):
    mention = found(errand, "ii-V-I@14-15")
    assert (mention.kind, mention.notes, mention.device.kind) == ("span", (), "two five one")


@pytest.mark.parametrize(
    ("target", "message"),
    [
        (
            "sequence@17-20",
            r"there is no sequence in bars 17-20: it has arpeggio@17\.1-17\.3 \(3-5-7-9-#11\), .*"
            r"; the nearest is sequence@21-22; !sequence@17-20 overrules$",
        ),
        (
            "turnaround@21-22",
            r"there is no turnaround in bars 21-22: it has .*two five one@21\.1-22\.2 \(ii-V-I\).*"
            r"the nearest is turnaround@25-28; !turnaround@21-22 overrules$",
        ),
        (
            "guide-tone line@1",
            r"there is no guide-tone line in bar 1: .*; none is found in the score; !guide",
        ),
        (
            "arpeggio@17-18",
            r"2 things in bars 17-18 fit 'arpeggio'; write arpeggio@17\.1-17\.3 or arpeggio@18",
        ),
        ("suspension@17", r"no suspension in bar 17: it has chord tone, tension; none is found in the score"),
        (
            "chord tone@30",
            r"4 things in bar 30 fit 'chord tone'; write chord tone@30\.1& or chord tone@30\.2&",
        ),
        ("sequense@21", r"'sequense' names nothing; did you mean sequence@21\?"),
        ("scale@17-20", r"3 scales are used in bars 17-20; write lydian scale@17 or altered scale@18\.3"),
        ("scale@42", r"no scale is told by the notes of bar 42; !scale@42 overrules$"),
        (
            "whole-tone scale@17",
            r"bar 17 does not use the whole-tone scale: .*; the nearest is lydian scale@17; !whole-tone scale@17",
        ),
    ],
)
def test_a_false_claim_says_what_there_is(errand, target, message):
    assert re.search(message, fault(errand, target)), fault(errand, target)


@pytest.mark.parametrize(
    "target", ["!sequence@17-20", "!bVI triad@17-20", "!suspension@17-20", "!scale@17-20"]
)
def test_an_author_may_overrule(errand, target):
    mention = found(errand, target)
    assert (mention.kind, mention.target, mention.device, mention.scale) == ("span", "17-20", None, None)


# Roles and scales ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["anticipation", "Anticipations"])
def test_a_role_lights_its_note(errand, name):
    mention = found(errand, f"{name}@13")
    assert (mention.kind, positions(errand, mention)) == ("notes", ["12.4&"])


def test_a_scale_lights_its_notes_and_labels_what_decides_it(errand):
    mention = found(errand, "altered scale@6")
    assert (mention.kind, mention.scale.scale) == ("scale", "altered")
    labelled = {lit.note for lit in mention.notes if lit.label is not None}
    assert labelled == set(mention.scale.deciding[:5]) != set()
    assert found(errand, "scale@6").scale.scale == "altered"


def test_a_scale_that_is_alone_in_its_place_is_meant(errand):
    assert found(errand, "scale@6-7").scale == found(errand, "scale@6").scale
    longest = max(errand.analysis.scales, key=lambda use: use.span.end - use.span.start)
    bars = [bar for bar in errand.score.bars if longest.span.start <= bar.start < longest.span.end]
    assert len(bars) > 2
    assert found(errand, f"scale@{bars[1].number}").scale == longest


# Lessons ------------------------------------------------------------------------------------------------


@pytest.fixture
def lesson(script):
    def made(cues):
        return load_lesson(script(f"lesson: L\nscore: etude.musicxml\ncues:\n{cues}"))

    return made


def test_a_device_is_lit_as_far_as_the_cue_shows_it(lesson, errand):
    cue = "  - bars: 17-22\n    say: '[x](phrase@17-20)'\n"
    ((mention,),) = (each.mentions for each in check_lesson(lesson(cue), errand.score).cues)
    assert mention.device.kind == "phrase"
    assert {errand.struck_by_id[lit.note].bar for lit in mention.notes} == {17, 18, 19, 20}
    with pytest.raises(MaterialError, match="phrase@17-20 lights bars 15-19, but the cue shows bar 20"):
        check_lesson(lesson(cue.replace("17-22", "20")), errand.score)


def test_words_may_be_kept_from_being_read(lesson, errand):
    cue = "  - bars: 1-4\n    say: 'The {} in bar three.'\n"
    read = examine_lesson(lesson(cue.format("flat thirteen")), errand.score)
    kept = examine_lesson(lesson(cue.format("[flat thirteen](-)")), errand.score)
    assert [each.status for each in read.checked.cues[0].understood] == ["fault"]
    assert read.faults[0].what.startswith("there is no b13 in bar 3")
    assert "or say that nothing is meant: [words](-)" in read.faults[0].todo
    assert not kept.faults
    assert all("flat" not in each.words for each in kept.checked.cues[0].understood)


def test_a_false_claim_hides_nothing_else(lesson, errand):
    cues = (
        "  - bars: 21-22\n    say: 'The [false](sequence@17-20) and the [true](sequence@21-22) one.'\n"
        "  - bars: 99\n    say: Nothing.\n"
    )
    examined = examine_lesson(lesson(cues), errand.score)
    assert [fault.place.line for fault in examined.faults] == [5, 6]
    false, true = examined.checked.cues[0].understood
    assert (false.words, false.status, false.target) == ("false", "fault", "sequence@17-20")
    assert (true.words, true.status, true.mention.device.kind) == ("true", "lit", "sequence")
    assert examined.checked.cues[0].mentions == (true.mention,)


def test_plain_words_become_links(lesson, errand):
    said = "In bar six the sharp nine begins it. Lovely, isn't it?"
    checked = check_lesson(lesson(f'  - bars: 5-7\n    say: "{said}"\n'), errand.score)
    (cue,) = checked.cues
    (link,) = [piece for piece in cue.cue.say.pieces if piece.kind == "link"]
    assert said[link.start : link.start + len(link.text)] == link.text
    assert "sharp nine" in link.text
    assert link.target.startswith("#9@6")
    assert "".join(piece.text for piece in cue.cue.say.pieces) == said


def test_bars_are_plain_as_a_whole_whatever_part_of_them_is_meant() -> None:
    blues = Music.of(read_score(OPEN.with_name("biscuit-2.musicxml")))
    assert diatonic_passage(blues.etude, parse_span(blues.score, "5.1-5.3")) is None
    assert diatonic_passage(blues.etude, parse_span(blues.score, "1.1-1.2")) is None  # it has both thirds
    music = Music.of(read_score(OPEN.with_name("copper-lantern.musicxml")))
    plain = diatonic_passage(music.etude, parse_span(music.score, "1.1-1.2"))
    assert plain is not None
    assert (plain.span, plain.confidence) == (parse_span(music.score, "1"), 0.5)
