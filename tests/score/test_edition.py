"""Editions: what is printed for each instrument, and what never changes."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from lxml import etree

from lessonmaker.faults import MaterialError
from lessonmaker.score.edition import EDITIONS, Edition, load_editions, make_edition
from lessonmaker.score.model import Bar, Change, Clef, Key, Note, Score
from lessonmaker.score.read import read_score
from lessonmaker.score.spelling import choose_key, spell
from lessonmaker.theory.chord import parse_chord
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, NoteName, Pitch

MEDIA = Path(__file__).parents[2] / "media"
DEMOS = ("gaslight-errand.musicxml", "the-tin-heron.musicxml")
EVERY_INTERVAL = ("m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "M6", "m7", "M7", "P8", "-m3", "-P5")
MEI = "{http://www.music-encoding.org/ns/mei}"
XML_ID = "{http://www.w3.org/XML/1998/namespace}id"
ALTERS = {"s": 1, "f": -1, "n": 0, "ss": 2, "x": 2, "ff": -2}
ROOTS_NOT_PRINTED = {"C♭", "F♭", "E♯", "B♯"}


@pytest.fixture(scope="module", params=DEMOS)
def demo(request: pytest.FixtureRequest) -> Score:
    return read_score(MEDIA / request.param)


def an_edition(interval: str, clef: str = "G") -> Edition:
    lowest, highest = Pitch("A", 0, 3), Pitch("D", 0, 6)
    return Edition("x", "X edition", "X edition", Interval.parse(interval), Clef(clef, 2), lowest, highest)


def line(symbols: str, pitches: str, key: int) -> Score:
    """One bar a chord, a quarter note a pitch, four to the bar; without MEI."""
    names = [NoteName(text[0], {"#": 1, "b": -1}.get(text[1:-1], 0)) for text in pitches.split()]
    octaves = [int(text[-1]) for text in pitches.split()]
    spelt = [Pitch(name.step, name.alter, octave) for name, octave in zip(names, octaves, strict=True)]
    chords = [parse_chord(symbol) for symbol in symbols.split()]
    bars = [
        Bar(n, f"b{n}", str(n + 1), Fraction(4 * n), Fraction(4), Metre(4, 4), Key(key))
        for n in range(len(chords))
    ]
    one = Fraction(1)
    notes = [Note(f"n{n}", n // 4, Fraction(n), one, one, pitch, pitch) for n, pitch in enumerate(spelt)]
    changes = [Change(f"c{n}", n, Fraction(4 * n), chord, chord) for n, chord in enumerate(chords)]
    return Score(
        "", "", "", tuple(bars), tuple(notes), tuple(changes), (), Interval(0, 0), Clef("G", 2), None, ""
    )


def roots(score: Score, interval: str) -> list[str]:
    chords = spell(score, Interval.parse(interval)).chords
    return [str(chord.root) for chord in chords.values() if chord is not None]


@pytest.mark.parametrize("interval", EVERY_INTERVAL)
def test_sounding_ids_and_times_stay_and_written_is_the_interval_away(demo: Score, interval: str) -> None:
    made = make_edition(demo, an_edition(interval)).score
    semitones = Interval.parse(interval).semitones
    for old, new in zip(demo.notes, made.notes, strict=True):
        assert new == replace(old, written=new.written)
        assert (new.written.midi - new.sounding.midi - semitones) % 12 == 0
    for before, after in zip(demo.changes, made.changes, strict=True):
        assert after == replace(before, written=after.written)


@pytest.mark.parametrize("interval", EVERY_INTERVAL)
def test_nothing_is_printed_that_players_dislike(demo: Score, interval: str) -> None:
    made = make_edition(demo, an_edition(interval)).score
    assert max(abs(note.written.alter) for note in made.notes) <= 1
    assert max(abs(bar.key.fifths) for bar in made.bars) <= 6
    written = {str(change.written.root) for change in made.changes if change.written}
    assert written
    assert not written & ROOTS_NOT_PRINTED


@pytest.mark.parametrize("interval", EVERY_INTERVAL)
def test_the_mei_says_what_the_notes_say(demo: Score, interval: str) -> None:
    """Read the printed accidentals back as a player would: key, bar by bar, ties."""
    made = make_edition(demo, an_edition(interval)).score
    root = etree.fromstring(made.mei.encode())
    tied_on = {tie.get("endid", "")[1:] for tie in root.iter(f"{MEI}tie")}
    read = {}
    for bar, measure in zip(made.bars, root.iter(f"{MEI}measure"), strict=True):
        seen: dict[tuple[str, str], int] = {}
        for note in measure.iter(f"{MEI}note"):
            step, octave = note.get("pname", "").upper(), note.get("oct", "")
            order = "FCGDAEB" if bar.key.fifths > 0 else "BEADGCF"
            in_key = step in order[: abs(bar.key.fifths)]
            alter = seen.get((step, octave), in_key * (1 if bar.key.fifths > 0 else -1))
            if note.get("accid"):
                alter = ALTERS[note.get("accid", "")]
            elif note.get(XML_ID) in tied_on:
                alter = ALTERS[note.get("accid.ges", "n")]
                read[note.get(XML_ID)] = Pitch(step, alter, int(octave))
                continue
            seen[step, octave] = alter
            read[note.get(XML_ID)] = Pitch(step, alter, int(octave))
    assert read == {note.id: note.written for note in made.notes}


def test_the_concert_edition_keeps_the_authors_notes(demo: Score) -> None:
    made = make_edition(demo, EDITIONS["concert"])
    assert replace(made.score, mei=demo.mei) == demo
    assert [decision.kind for decision in made.decisions if decision.kind != "out of range"] == []


def test_an_edition_read_as_a_source_gives_the_same_edition(demo: Score) -> None:
    for edition in EDITIONS.values():
        once = make_edition(demo, edition).score
        again = make_edition(once, edition).score
        assert again.notes == once.notes
        assert again.mei == once.mei


def test_phrases_move_whole(demo: Score) -> None:
    """Where neighbours move by step or third without a rest, they keep doing so."""
    for edition in EDITIONS.values():
        made = make_edition(demo, edition).score
        for (old, new), (old_next, new_next) in zip(
            zip(demo.notes, made.notes, strict=True),
            list(zip(demo.notes, made.notes, strict=True))[1:],
            strict=False,
        ):
            step = old_next.sounding.midi - old.sounding.midi
            if abs(step) < 9 and old.onset + old.duration == old_next.onset:
                assert new_next.written.midi - new.written.midi == step


def test_the_usual_editions_lie_in_their_ranges(demo: Score) -> None:
    for edition in EDITIONS.values():
        made = make_edition(demo, edition)
        outside = [one for one in made.decisions if one.kind == "out of range"]
        named = {note for one in outside for note in one.notes}
        low, high = edition.lowest.midi, edition.highest.midi
        assert named == {n.id for n in made.score.notes if not low <= n.written.midi <= high}
        assert len(named) < len(made.score.notes) / 20


@pytest.mark.parametrize(
    ("fifths", "source", "printed"),
    [
        (7, 4, -5),
        (8, 5, -4),
        (6, 4, 6),
        (6, -6, -6),
        (-6, -4, -6),
        (-7, -5, 5),
        (0, 0, 0),
        (9, 6, -3),
        (5, 3, 5),
    ],
)
def test_keys_have_the_fewest_accidentals(fifths: int, source: int, printed: int) -> None:
    assert choose_key(fifths, source) == printed


def test_concert_e_is_d_flat_for_e_flat_instruments_chords_and_line_alike() -> None:
    score = line("F#m7 B7 Emaj7 E6", "F#4 A4 C#5 E5 D#5 B4 A4 F#4 E4 G#4 B4 D#5 E5 B4 G#4 E4", 4)
    spelling = spell(score, Interval.parse("M6"))
    assert spelling.keys == (-5,) * 4
    assert roots(score, "M6") == ["E♭", "A♭", "D♭", "D♭"]
    assert str(spelling.pitches["n4"]) == "C6"
    assert {spelling.pitches[note.id].name.alter for note in score.notes} <= {0, -1}


def test_two_five_one_keeps_its_letters_where_a_root_must_switch() -> None:
    """Up a minor third A flat minor leads to C flat: all three switch together."""
    score = line(
        "Bbm7 Eb7 Abmaj7 C7",
        " ".join(["Bb4 Db5 F5 Ab5", "G4 Bb4 Db5 Eb5", "Ab4 C5 Eb5 G5", "E4 G4 Bb4 C5"]),
        -4,
    )
    found = roots(score, "m3")
    assert found[:3] in (["D♭", "G♭", "B"], ["C♯", "F♯", "B"])
    assert found[:3] == ["C♯", "F♯", "B"]
    assert not set(found) & ROOTS_NOT_PRINTED


def test_the_third_of_b7_is_d_sharp() -> None:
    score = line("A7 Dm6", "A4 C#5 E5 G5 F5 D5 A4 F4", -1)
    spelling = spell(score, Interval.parse("M2"))
    assert [str(spelling.pitches[f"n{n}"].name) for n in range(4)] == ["B", "D♯", "F♯", "A"]


def test_double_accidentals_are_respelt_and_reported() -> None:
    """E sharp up a major third would be G double sharp."""
    score = line("C#7", "C#4 E#4 G#4 B4", 0)
    spelling = spell(score, Interval.parse("M3"))
    assert str(spelling.pitches["n1"].name) == "A"
    score = line("D", "D4 E#4 F#4 A4", 0)
    spelling = spell(score, Interval.parse("M3"))
    assert [str(spelling.pitches[f"n{n}"].name) for n in range(4)] == ["F♯", "A", "A♯", "C♯"]
    assert spelling.respelt == {"n1"}


FURTHER = """\
alto-clef:
  label: Alto clef edition
  spoken: alto clef edition
  written: P1
  clef: C3
  range: C3-A5
"""


def test_further_editions_are_a_few_lines(tmp_path: Path) -> None:
    path = tmp_path / "editions.yaml"
    path.write_text(FURTHER, encoding="utf-8")
    edition = load_editions(path)["alto-clef"]
    assert (edition.clef, edition.interval) == (Clef("C", 3), Interval(0, 0))
    made = make_edition(read_score(MEDIA / DEMOS[0]), edition).score
    assert made.clef == Clef("C", 3)
    assert "<clef" in made.mei and 'shape="C"' in made.mei


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("clef: C3", "clef: alto", r"editions.yaml:5:9: 'alto' is no clef; write G2"),
        ("written: P1", "written: second", r"editions.yaml:4:12: 'second' is no interval"),
        ("range: C3-A5", "range: high", r"editions.yaml:6:10: 'high' is no range"),
        ("range: C3-A5", "range: C5-A5", r"narrower than an octave"),
        ("spoken:", "spokn:", r"editions.yaml:3:3: unknown key 'spokn'; did you mean 'spoken'"),
        ("  clef: C3\n", "", r"editions.yaml:1:1: edition 'alto-clef' lacks clef"),
        ("alto-clef:", "Alto Clef:", r"editions.yaml:1:1: 'Alto Clef' cannot name an edition"),
        ("  clef: C3", "  clef: C3\n  clef: C4", r"editions.yaml:6:3: 'clef' is given twice"),
        ("  label: Alto", "\tlabel: Alto", r"editions.yaml:2:1: this is no YAML"),
        ("label: Alto clef edition", "label: [a]", r"editions.yaml:2:10: 'label' must be a text"),
    ],
)
def test_faults_in_the_file_of_editions(tmp_path: Path, old: str, new: str, message: str) -> None:
    path = tmp_path / "editions.yaml"
    path.write_text(FURTHER.replace(old, new), encoding="utf-8")
    with pytest.raises(MaterialError, match=message):
        load_editions(path)


def test_a_missing_file_of_editions(tmp_path: Path) -> None:
    with pytest.raises(MaterialError, match="the editions cannot be read: No such file"):
        load_editions(tmp_path / "editions.yaml")


@pytest.mark.parametrize("via", ["b-flat", "e-flat"])
def test_a_part_for_an_instrument_gives_the_same_editions_as_a_concert_score(demo: Score, via: str) -> None:
    part = make_edition(demo, EDITIONS[via]).score
    for name in EDITIONS.keys() - {via, "concert"}:
        straight = make_edition(demo, EDITIONS[name])
        round_about = make_edition(part, EDITIONS[name])
        assert round_about.score.notes == straight.score.notes
        assert round_about.score.changes == straight.score.changes
        assert [bar.key for bar in round_about.score.bars] == [bar.key for bar in straight.score.bars]
