"""Drafts: they hold, whatever the score; and what was said of a score, as a script."""

import re
import zlib
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import yaml

from lessonmaker.score.edition import EDITIONS
from lessonmaker.score.position import parse_span
from lessonmaker.score.read import read_score
from lessonmaker.script.ad_lib import ad_lib_text
from lessonmaker.script.check import examine_lesson
from lessonmaker.script.draft import chord_place_of, cue_spans, draft_of, draft_text
from lessonmaker.script.draft_facts import (
    bar_of,
    form_in_words,
    goes_home_by_way_of_other_keys,
    wording_of,
)
from lessonmaker.script.load import load_lesson
from lessonmaker.script.music import Music
from lessonmaker.script.transcript import Spoken
from lessonmaker.theory.pitch import Interval
from tests.analysis.conftest import build
from tests.tools.piece_xml import piece_xml
from tests.tools.random_piece import STYLES, Piece, changes_of_a_form, line_over
from tests.tools.sentence_sets import OPEN

MEDIA = Path(__file__).parents[2] / "media"
# Every fifth or so, the same ones whatever others there are.
ETUDES = [
    path
    for path in sorted((Path(__file__).parent / "sentences").glob("*.musicxml"))
    if zlib.crc32(path.name.encode()) % 5 == 0
]
DEMO = ["gaslight-errand", "the-tin-heron"]


def any_piece(seed: int) -> Piece:
    """Sixteen bars over changes of their own, in one of two styles."""
    rng = np.random.default_rng(seed)
    key, changes = changes_of_a_form(rng, 16, 4)
    line = line_over(rng, changes, 64, STYLES[seed % len(STYLES)], 55, key)
    return Piece(4, 16, key, 120, changes, line)


@cache
def heard(path: Path) -> Music:
    return Music.of(read_score(path))


@cache
def drafted(path: Path) -> str:
    score = heard(path).score
    return draft_text(draft_of(score, score.title or path.stem), score, path, str(path))


def held(text: str, folder: Path, score_file: Path):
    script = folder / "draft.yaml"
    script.write_text(text, encoding="utf-8")
    return examine_lesson(load_lesson(script), heard(score_file).score, tuple(EDITIONS.values()))


@pytest.mark.parametrize("name", DEMO)
def test_a_draft_of_the_demo_holds_and_says_something(tmp_path: Path, name: str) -> None:
    path = MEDIA / f"{name}.musicxml"
    examined = held(drafted(path), tmp_path, path)
    assert examined.faults == ()
    assert [
        remark for remark in examined.checked.remarks if remark.place.path == tmp_path / "draft.yaml"
    ] == []
    cues = examined.checked.cues
    assert sum(len(cue.mentions) for cue in cues) >= len(cues)
    titles = [cue.cue.title for cue in cues]
    assert len(set(titles)) == len(titles)
    assert any(title.startswith("To practise") for title in titles)


@pytest.mark.parametrize("name", DEMO)
def test_a_draft_says_no_sentence_twice_in_a_row_and_names_no_note(name: str) -> None:
    data = yaml.safe_load(drafted(MEDIA / f"{name}.musicxml"))
    said = [line for cue in data["cues"] for line in cue["say"].splitlines()]
    bare = [line.split("](")[0] for line in said]
    assert all(one != other for one, other in pairwise(bare))


@pytest.mark.parametrize("seed", range(6))
def test_a_draft_of_any_piece_holds(tmp_path: Path, seed: int) -> None:
    path = tmp_path / "piece.musicxml"
    path.write_text(piece_xml(any_piece(seed)), encoding="utf-8")
    examined = held(drafted(path), tmp_path, path)
    assert examined.faults == ()
    assert examined.checked.cues


@pytest.mark.parametrize("path", ETUDES, ids=lambda path: path.stem)
def test_a_draft_of_an_etude_holds_and_has_every_title_once(tmp_path: Path, path: Path) -> None:
    examined = held(drafted(path), tmp_path, path)
    assert examined.faults == ()
    titles = [cue.cue.title for cue in examined.checked.cues]
    assert len(set(titles)) == len(titles)


@pytest.mark.parametrize(
    ("name", "link"),
    [("harbour-of-slate", "deceptive cadence@22-24"), ("lantern-waltz", "plagal cadence@22-24")],
)
def test_a_cadence_that_goes_another_way_is_told(name: str, link: str) -> None:
    assert f"]({link})" in drafted(OPEN.with_name(f"{name}.musicxml"))


COLOURS = {"b9", "9", "#9", "11", "#11", "b13", "13", "4"}
LINK = re.compile(r"\[[^\]]*\]\(((?:[a-z -]+ )?(?:triad|arpeggio|enclosure))@([^)]*)\)")


def linked_degrees(path: Path, words: str) -> Iterator[tuple[str, set[str]]]:
    """The lines of a draft that hold some words, each with the degrees of what it links to."""
    music = heard(path)
    for line in drafted(path).splitlines():
        link = LINK.search(line) if words in line else None
        if link is not None:
            start = parse_span(music.score, link[2]).start
            kind = link[1] if "triad" in link[1] else link[1].split()[-1]
            (device,) = (d for d in music.analysis.devices if d.kind == kind and d.span.start == start)
            yield line, {music.finding(music.struck_by_id[name]).degree or "" for name in device.notes}


def test_what_a_draft_says_of_the_notes_it_links_is_so() -> None:
    """A triad is all colours, an arpeggio the chord itself, or its root is missing, only where that is so."""
    said: Counter[str] = Counter()
    for path in ETUDES:
        for words, holds in (
            ("every note of it is a colour", lambda degrees: degrees <= COLOURS),
            ("three colours in one", lambda degrees: degrees <= COLOURS),
            ("The chord itself", lambda degrees: "1" in degrees and not degrees & COLOURS),
            ("the tones of the chord", lambda degrees: "1" in degrees and not degrees & COLOURS),
            ("No root", lambda degrees: "1" not in degrees),
            ("leaves the root", lambda degrees: "1" not in degrees),
            ("goes on:", lambda degrees: "1" in degrees and bool(degrees & COLOURS)),
        ):
            for line, degrees in linked_degrees(path, words):
                assert holds(degrees), (path.stem, line, degrees)
                said[words] += 1
    assert len(said) == 7, said


@pytest.mark.parametrize(
    ("tune", "wording"),
    [
        ("[G7] G4e F5 D5 B4 rh | [Cmaj7] E4w | [Cmaj7] C4w | [Cmaj7] G4w", "the root elsewhere"),
        ("[G7] F5e D5 B4 re rh | [G7] G4w | [Cmaj7] C4w | [Cmaj7] G4w", "the root elsewhere"),
        ("[G7] G4w | [G7] F5e D5 B4 re rh | [Cmaj7] E4w | [Cmaj7] C4w", "the root elsewhere"),
        ("[Em7] rh re G4q.~ | [G7] G4e F5 D5 B4 rh | [Cmaj7] E4w | [Cmaj7] C4w", "the root elsewhere"),
        ("[G7] A4e F5 D5 B4 rh | [Cmaj7] G4w | [Cmaj7] C4w | [Cmaj7] G4w", "without the root"),
    ],
)
def test_a_root_is_left_to_others_only_where_the_line_has_none_over_the_chord(
    tune: str, wording: str
) -> None:
    score = build(tune)
    music = Music.of(score)
    figures = [d for d in music.analysis.devices if d.kind == "arpeggio" and len(d.notes) == 3]
    assert [wording_of(device, music) for device in figures] == [wording]
    said = str(draft_of(score, "T"))
    assert wording == "without the root" or not ("No root" in said or "leaves the root" in said)


def test_a_note_that_is_early_is_told_of_with_its_own_chord() -> None:
    """An anticipation is heard against the chord that is printed after it begins."""
    early = 0
    for name in ("copper-otter", "biscuit"):
        music = heard(Path(__file__).parent / "sentences" / f"{name}.musicxml")
        for note in music.struck:
            span = parse_span(music.score, chord_place_of(note, music))
            assert music.changes_in(span)[0].chord == music.finding(note).chord
            early += span.start > note.onset
    assert early > 1


@pytest.mark.parametrize("early", ["E4q. Ab4e", "E4q Ab4e r"])
def test_an_early_note_that_is_struck_again_is_told_of_with_the_chord_that_comes(early: str) -> None:
    score = build(f"[Dm7] D5e C5 A4 F4 {early} | [Db7] Ab4e F4 Db5 B4 Ab4h | [Cmaj7] G4w | [Cmaj7] E4w")
    music = Music.of(score)
    (note,) = music.anticipations
    assert (music.finding(note).degree, chord_place_of(note, music)) == ("5", "2.1")


def test_a_draft_puts_a_figure_beside_its_return() -> None:
    compared = 0
    for path in ETUDES:
        music = heard(path)
        for cue in yaml.safe_load(drafted(path))["cues"]:
            if "compare" not in cue:
                continue
            spans = [parse_span(music.score, target) for target in re.findall(r"\]\(([^)]*)\)", cue["say"])]
            first, last = ([note.sounding.midi for note in music.struck_in(span)] for span in spans)
            assert len(first) == len(last) >= 5
            if "the very same notes" in cue["say"]:
                assert first == last
            if "at another pitch" in cue["say"]:
                assert {one - other for one, other in zip(first, last, strict=True)} != {0}
            compared += 1
    assert compared > len(ETUDES) / 3


def test_what_a_draft_says_of_the_whole_is_so() -> None:
    score = read_score(MEDIA / "gaslight-errand.musicxml")
    assert form_in_words(score.bars) == ("44", "five sections")
    starts = [bar.index for bar in score.bars if bar.section]
    assert form_in_words(score.bars[: starts[2]]) == ("16", "two sections of eight")
    assert form_in_words(score.bars[10:14]) is None
    music = Music.of(score)
    assert bar_of("register peak", music) == ""
    spot = max(
        (d for d in music.analysis.devices if d.kind == "most dissonant spot"), key=lambda d: d.confidence
    )
    assert bar_of("most dissonant spot", music) == score.bars[music.struck_by_id[spot.notes[0]].bar].number


def test_drafts_of_a_book_do_not_all_begin_alike() -> None:
    score = read_score(MEDIA / "the-tin-heron.musicxml")
    drafts = [draft_of(score, title) for title in ("Night Ferry", "Coal Lane", "Two Doors", "Slow Weir")]
    assert len({draft.cues[0].sentences[0] for draft in drafts}) > 1
    assert len({tuple(draft.cues[1].sentences) for draft in drafts}) > 1
    assert draft_of(score, "Night Ferry") == drafts[0]


def test_cues_cover_every_bar_in_four_to_eight_bars() -> None:
    score = read_score(MEDIA / "gaslight-errand.musicxml")
    spans = cue_spans(Music.of(score))
    assert spans[0].start == score.bars[0].start
    assert spans[-1].end == score.bars[-1].end
    assert all(one.end == other.start for one, other in pairwise(spans))
    lengths = [sum(span.start <= bar.start < span.end for bar in score.bars) for span in spans]
    assert all(4 <= length <= 8 for length in lengths), lengths


SAID = [
    Spoken("So hello [everybody], this is my etude.", 1, 3),
    Spoken("In bar two I sit on the sharp eleven.", 4, 6),
    Spoken("There is a natural nine in bar six.", 7, 9),
    Spoken("And bars 21 to 22 are a sequence.", 10, 12),
]


def test_what_was_said_becomes_a_script(tmp_path: Path) -> None:
    path = MEDIA / "gaslight-errand.musicxml"
    made = ad_lib_text(SAID, read_score(path), "Said", path, str(path))
    examined = held(made.text, tmp_path, path)
    assert examined.faults == ()
    data = yaml.safe_load(made.text)
    assert [str(cue["bars"]) for cue in data["cues"]] == ["all", "2", "6", "21-22"]
    assert data["cues"][0]["say"].strip() == "So hello (everybody), this is my etude."
    assert "[sharp eleven](#11@2.1)" in data["cues"][1]["say"]
    assert "[natural nine](-)" in data["cues"][2]["say"]
    assert "[sequence](sequence@21-22)" in data["cues"][3]["say"]
    ((time, what),) = made.unlinked
    assert time == 7
    assert "there is no 9 in bar 6" in what
    assert "# not linked: “natural nine”" in made.text


def test_words_that_are_false_beside_links_are_unlinked_too(tmp_path: Path) -> None:
    path = MEDIA / "gaslight-errand.musicxml"
    said = [Spoken("Bar two has the sharp eleven.", 1, 3), Spoken("And in bar ninety nothing happens.", 3, 5)]
    made = ad_lib_text(said, read_score(path), "Said", path, str(path))
    assert held(made.text, tmp_path, path).faults == ()
    (cue,) = yaml.safe_load(made.text)["cues"]
    assert cue["say"] == (
        "Bar two has the [sharp eleven](#11@2.1).\nAnd in [bar ninety](-) [nothing happens](-).\n"
    )
    assert [time for time, _ in made.unlinked] == [1, 1]
    assert "there is no such bar" in made.unlinked[0][1]


def test_bars_said_by_their_bare_numbers_begin_cues() -> None:
    path = MEDIA / "gaslight-errand.musicxml"
    said = [
        Spoken("Twenty-one and twenty-two is one shape.", 1, 3),
        Spoken("And in thirty we have a triad.", 4, 6),
    ]
    made = ad_lib_text(said, read_score(path), "Said", path, str(path))
    assert [str(cue["bars"]) for cue in yaml.safe_load(made.text)["cues"]] == ["21-22", "30"]


def test_an_etude_goes_home_in_whatever_key_its_part_is_written() -> None:
    path = Path(__file__).parent / "sentences" / "alibi.musicxml"
    for source in (None, Interval(1, 2), Interval(5, 9)):
        assert goes_home_by_way_of_other_keys(Music.of(read_score(path, None, source)))


@pytest.mark.parametrize(
    ("line", "metre", "wording"),
    [
        ("[C7] G4q. Bb4q. C5q | D5w", "4/4", "grouped bars"),
        ("[C7] G4q. Bb4q. C5q G4q~ | G4e Bb4q. C5q G4q. Bb4e~ | Bb4q C5q D5h.", "5/4", ""),
    ],
)
def test_only_the_accents_of_a_grouped_bar_come_home_with_the_bar_line(
    line: str, metre: str, wording: str
) -> None:
    music = Music.of(build(line, metre))
    (device,) = [each for each in music.analysis.devices if each.kind == "cross rhythm"]
    assert (device.detail, wording_of(device, music)) == ("3+3+2", wording)
