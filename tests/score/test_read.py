"""Reading MusicXML and MEI into a score."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from lxml import etree

from lessonmaker.score.model import Clef, Key, Score
from lessonmaker.score.read import read_score
from lessonmaker.theory.chord import ChordDegree
from lessonmaker.theory.metre import Metre
from lessonmaker.theory.pitch import Interval, NoteName
from tests.tools.musicxml_kinds import KIND_VALUES

MEDIA = Path(__file__).parents[2] / "media"
XML_ID = "{http://www.w3.org/XML/1998/namespace}id"
START = "<attributes><divisions>12</divisions>{}<time><beats>4</beats><beat-type>4</beat-type></time>{}</attributes>"
Reader = Callable[..., Score]


def n(pitch: str = "C5", duration: int = 12, more: str = "", before: str = "") -> str:
    """A note, in twelfths of a quarter; `before` stands before the pitch, `more` after the duration."""
    alter = {"#": "<alter>1</alter>", "b": "<alter>-1</alter>"}.get(pitch[1], "")
    head = (
        f"<pitch><step>{pitch[0]}</step>{alter}<octave>{pitch[-1]}</octave></pitch>"
        if pitch != "r-"
        else "<rest/>"
    )
    length = "" if "<grace" in before else f"<duration>{duration}</duration>"
    return f"<note>{before}{head}{length}{more}</note>"


def harmony(root: str, kind: str, more: str = "", text: str = "") -> str:
    return f'<harmony><root><root-step>{root}</root-step></root><kind text="{text}">{kind}</kind>{more}</harmony>'


@pytest.fixture
def read(tmp_path: Path) -> Reader:
    def reader(*bars: str, key: str = "", transpose: str = "", **options: object) -> Score:
        whole = [
            bar if bar.startswith("<measure") else f'<measure number="{i}">{bar}</measure>'
            for i, bar in enumerate(bars, 1)
        ]
        at = whole[0].index(">") + 1
        whole[0] = whole[0][:at] + START.format(key, transpose) + whole[0][at:]
        parts = '<part-list><score-part id="P1"><part-name>Solo</part-name></score-part></part-list>'
        path = tmp_path / "score.musicxml"
        path.write_text(f'<score-partwise>{parts}<part id="P1">{"".join(whole)}</part></score-partwise>')
        return read_score(path, **options)  # type: ignore[arg-type]

    return reader


def onsets(score: Score) -> list[Fraction]:
    return [note.onset for note in score.notes]


def test_a_pickup_has_negative_onsets_and_number_0(read: Reader) -> None:
    score = read(
        f'<measure number="0" implicit="yes">{n()}{n()}</measure>',
        f'<measure number="1">{n("D5", 48)}</measure>',
    )
    assert onsets(score) == [-2, -1, 0]
    assert [(bar.number, bar.start, bar.length) for bar in score.bars] == [("0", -2, 2), ("1", 0, 4)]
    assert [(visit.bar, visit.number, visit.start) for visit in score.order] == [(0, 1, -2), (1, 1, 0)]
    assert score.remarks == ()


def test_ties_hold_and_tied_notes_are_not_struck(read: Reader) -> None:
    start, stop = '<tie type="start"/>', '<tie type="stop"/>'
    score = read(n("r-", 36) + n("B4", 12, start), n("B4", 48, stop + start), n("B4", 12, stop) + n("B4", 36))
    assert [(note.held, note.tied_on) for note in score.notes] == [
        (6, False),
        (0, True),
        (0, True),
        (3, False),
    ]
    assert [note.onset for note in score.struck] == [3, 9]
    assert score.mei.count("<tie ") == 2


def test_a_tie_into_a_second_ending_is_tied_on(read: Reader) -> None:
    tie_on = '<tie type="stop"/>'
    first = '<barline><ending number="1" type="start"/></barline>'
    again = '<barline><ending number="1" type="stop"/><repeat direction="backward"/></barline>'
    second = '<barline><ending number="2" type="start"/></barline>'
    held = n("C5", 48, '<tie type="start"/>')
    score = read(held, first + n("C5", 48, tie_on) + again, second + n("C5", 48, tie_on))
    assert [(note.held, note.tied_on) for note in score.notes] == [(8, False), (0, True), (0, True)]
    assert [visit.bar for visit in score.order] == [0, 1, 0, 2]
    assert [visit.number for visit in score.order] == [1, 1, 2, 1]


def test_tuplets_grace_notes_chords_and_voices(read: Reader) -> None:
    third = (
        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"
    )
    low = "".join(n("C4", 24, "<voice>2</voice>") for _ in range(2))
    score = read(
        n("D5", 0, before="<grace/>")
        + "".join(n("E5", 4, f"<voice>1</voice>{third}") for _ in range(3))
        + n("G5", 36, "<voice>1</voice>")
        + n("B5", 36, "<voice>1</voice>", "<chord/>")
        + "<backup><duration>48</duration></backup>"
        + low
    )
    first = [(str(x.written), x.onset, x.duration, x.grace, x.in_tuplet, x.voice) for x in score.notes]
    assert first == [
        ("D5", 0, 0, True, False, 1),
        ("E5", 0, Fraction(1, 3), False, True, 1),
        ("C4", 0, 2, False, False, 2),
        ("E5", Fraction(1, 3), Fraction(1, 3), False, True, 1),
        ("E5", Fraction(2, 3), Fraction(1, 3), False, True, 1),
        ("G5", 1, 3, False, False, 1),
        ("B5", 1, 3, False, False, 1),
        ("C4", 2, 2, False, False, 2),
    ]


def test_hidden_and_cue_notes_are_not_notes(read: Reader) -> None:
    hidden = n("C5", 12).replace("<note>", '<note print-object="no">')
    assert onsets(read(hidden + n("C5", 12, before="<cue/>") + n("D5", 24))) == [2]


TRANSPOSE = "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>"
TENOR = (
    "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic><octave-change>-1</octave-change></transpose>"
)
BARE = "<transpose><chromatic>-9</chromatic></transpose>"
SLOPPY = "<transpose><diatonic>0</diatonic><chromatic>-9</chromatic></transpose>"


@pytest.mark.parametrize(
    ("transpose", "interval"), [(TRANSPOSE, "M2"), (TENOR, "M9"), (BARE, "M6"), (SLOPPY, "M6"), ("", "P1")]
)
def test_the_transposition_is_written_above_sounding(read: Reader, transpose: str, interval: str) -> None:
    assert read(n("D5", 48), transpose=transpose).transposition == Interval.parse(interval)


def test_concert_transposing_and_declared_parts_sound_the_same(read: Reader) -> None:
    slash = "<bass><bass-step>{}</bass-step></bass>"
    concert = harmony("F", "dominant", slash.format("C")) + n("Bb4", 24) + n("A4", 24)
    written = harmony("G", "dominant", slash.format("D")) + n("C5", 24) + n("B4", 24)
    scores = [
        read(concert),
        read(written, transpose=TRANSPOSE),
        read(written, written_for=Interval.parse("M2")),
    ]
    for score in scores:
        assert [str(note.sounding) for note in score.notes] == ["B♭4", "A4"]
        assert (score.changes[0].chord.root, score.changes[0].chord.bass) == (NoteName("F"), NoteName("C"))
    assert [score.changes[0].written.root.step for score in scores] == ["F", "G", "G"]
    assert [score.transposition.semitones for score in scores] == [0, 2, 2]


def test_the_files_own_transposition_wins_over_a_declared_one(read: Reader) -> None:
    score = read(n("C5", 48), transpose=TRANSPOSE, written_for=Interval.parse("M6"))
    assert score.transposition == Interval.parse("M2")
    assert "states its own transposition" in str(score.remarks[0])


def test_every_kind_of_the_standard_is_read_without_a_remark(read: Reader) -> None:
    score = read("".join(harmony("G", kind) + n("C5", 1) for kind in KIND_VALUES) + n("C5", 15))
    kinds = [change.chord.kind if change.chord else "none" for change in score.changes]
    assert (len(kinds), kinds) == (33, list(KIND_VALUES))
    assert [change.onset for change in score.changes] == [Fraction(i, 12) for i in range(33)]
    assert score.remarks == ()


LOOSE = [
    ("minor-major", "", "major-minor"),
    ("maj69", "", "major-sixth"),
    ("other", "7alt", "altered"),
    ("dominant", "alt", "altered"),
    ("", "m7", "minor-seventh"),
    ("", "", "major"),
    ("nonsense", "", "major"),
]


@pytest.mark.parametrize(("kind", "text", "expected"), LOOSE)
def test_loose_kinds_are_read(read: Reader, kind: str, text: str, expected: str) -> None:
    score = read((harmony("G", kind, text=text) + n("C5", 24)) * 2)
    assert [change.chord.kind for change in score.changes] == [expected] * 2
    assert len(score.remarks) == (kind not in KIND_VALUES)


def test_degrees_offsets_bass_inversion_and_no_chord(read: Reader) -> None:
    altered = "<degree-value>9</degree-value><degree-alter>{}</degree-alter>"
    degree = f"<degree>{altered}<degree-type>add</degree-type></degree>"
    score = read(
        harmony("G", "dominant", degree.format(-1) + degree.format(1))
        + harmony("C", "minor", "<inversion>1</inversion><offset>18</offset>")
        + n("C5", 48),
        harmony("C", "none") + n("C5", 48),
    )
    assert score.changes[0].chord.degrees == (ChordDegree("add", 9, -1), ChordDegree("add", 9, 1))
    assert (score.changes[1].onset, score.changes[1].chord.bass) == (Fraction(3, 2), NoteName("E", -1))
    assert (score.changes[2].bar, score.changes[2].chord, score.changes[2].written) == (1, None, None)
    assert "harm" not in score.mei


def test_an_offset_beyond_the_bar_stands_in_the_next(read: Reader) -> None:
    score = read(n("C5", 48) + harmony("C", "major", "<offset>24</offset>"), n("C5", 48))
    assert (score.changes[0].bar, score.changes[0].onset) == (1, 6)


def test_a_symbol_beyond_the_end_is_left_out(read: Reader) -> None:
    score = read(n("C5", 48) + harmony("C", "major", "<offset>4800</offset>"), n("C5", 48))
    assert not score.changes
    assert [remark.what for remark in score.remarks] == [
        "a chord symbol of bar 1 stands beyond the end: it is left out"
    ]


def test_keys_metres_sections_and_tempo(read: Reader) -> None:
    mark = "<direction><direction-type><rehearsal>{}</rehearsal></direction-type>{}</direction>"
    change = (
        "<attributes><key><fifths>-3</fifths><mode>minor</mode></key>"
        "<time><beats>2+2+3</beats><beat-type>8</beat-type></time></attributes>"
    )
    late = n("D5", 42) + mark.format("C", "")
    score = read(
        mark.format("A", '<sound tempo="132"/>') + n("C5", 48),
        mark.format("B", "") + change + late,
        n("C5", 42),
    )
    assert [bar.section for bar in score.bars] == ["A", "B", "C"]
    assert [str(bar.metre) for bar in score.bars] == ["4/4", "2+2+3/8", "2+2+3/8"]
    assert [bar.key for bar in score.bars] == [Key(0), Key(-3, "minor"), Key(-3, "minor")]
    assert [bar.start for bar in score.bars] == [0, 4, Fraction(15, 2)]
    assert score.tempo == 132


def test_two_metres_in_one_signature_are_added(read: Reader) -> None:
    eighths = "<beats>3</beats><beat-type>8</beat-type>"
    quarters = "<beats>1</beats><beat-type>4</beat-type>"
    time = f"<attributes><time>{eighths}{quarters}</time></attributes>"
    assert read(n("C5", 48), time + n("C5", 30)).bars[1].metre == Metre(5, 8, (3, 2))


def test_a_metronome_mark_counts_its_dotted_unit(read: Reader) -> None:
    mark = (
        "<metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>c. 80</per-minute></metronome>"
    )
    assert read(f"<direction><direction-type>{mark}</direction-type></direction>" + n("C5", 48)).tempo == 120


def test_bars_that_do_not_add_up_are_remarks_and_time_goes_on(read: Reader) -> None:
    score = read(n("C5", 48), n("C5", 36), n("C5", 60), n("C5", 48))
    assert [bar.start for bar in score.bars] == [0, 4, 8, 13]
    said = [remark.what for remark in score.remarks]
    assert said == [
        "bar 2 does not add up: 3 quarters where 4/4 needs 4 quarters",
        "bar 3 does not add up: 5 quarters where 4/4 needs 4 quarters",
    ]


def test_a_bar_cut_by_a_repeat_adds_up(read: Reader) -> None:
    cut = '<barline><repeat direction="backward"/></barline>'
    score = read(n("C5", 48), n("C5", 36) + cut, n("C5", 12), n("C5", 48))
    assert ([bar.start for bar in score.bars], score.remarks) == ([0, 4, 7, 8], ())


def test_jumps_are_read_from_words_and_signs(read: Reader) -> None:
    def words(text: str) -> str:
        return f"<direction><direction-type><words>{text}</words></direction-type></direction>"

    segno = "<direction><direction-type><segno/></direction-type></direction>"
    coda = '<direction><direction-type><coda/></direction-type><sound coda="coda"/></direction>'
    bar = n("C5", 48)
    score = read(bar, segno + bar, bar + words("To Coda"), bar + words("D.S. al Coda"), coda + bar)
    assert [visit.bar for visit in score.order] == [0, 1, 2, 3, 1, 2, 4]
    score = read(bar, words("Fine") + bar, words("D.C. al Fine") + bar)
    assert [visit.bar for visit in score.order] == [0, 1, 2, 0, 1]


def test_notes_without_beams_are_beamed_by_the_metre(read: Reader) -> None:
    eighth = "<type>eighth</type>"
    score = read("".join(n("C5", 6, eighth) for _ in range(8)))
    mei = etree.fromstring(score.mei.encode())
    beams = [[note.get(XML_ID) for note in beam] for beam in mei.iter("{*}beam")]
    assert beams == [[note.id for note in score.notes[i : i + 2]] for i in range(0, 8, 2)]


def test_ids_of_the_file_are_kept_where_sound_and_all_stand_in_the_mei(read: Reader) -> None:
    tagged = "".join(
        n("C5", 12).replace("<note>", f'<note id="{i}">') for i in ("mine", "mine", "9 bad", "yours")
    )
    score = read(tagged)
    assert [note.id for note in score.notes] == ["mine", "bar0n2", "bar0n3", "yours"]
    found = {e.get(XML_ID) for e in etree.fromstring(score.mei.encode()).iter(etree.Element)}
    assert {note.id for note in score.notes} | {bar.id for bar in score.bars} <= found


def test_reading_twice_gives_the_same_score_and_says_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    path = MEDIA / "the-tin-heron.musicxml"
    first, second = read_score(path), read_score(path)
    assert first == second
    assert "<application" in first.mei
    assert "isodate" not in first.mei  # which is another a second later
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("name", ["gaslight-errand", "the-tin-heron"])
def test_a_score_read_back_from_its_own_mei_is_the_same(name: str, tmp_path: Path) -> None:
    score = read_score(MEDIA / f"{name}.musicxml")
    path = tmp_path / "score.mei"
    path.write_text(score.mei)
    again = read_score(path)
    assert again.notes == score.notes
    assert [(b.number, b.start, b.length, b.metre, b.key.fifths, b.section) for b in again.bars] == [
        (b.number, b.start, b.length, b.metre, b.key.fifths, b.section) for b in score.bars
    ]
    assert (again.order, again.clef, again.title, again.tempo) == (
        score.order,
        score.clef,
        score.title,
        score.tempo,
    )


MEI = """<?xml version="1.0"?><mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><meiHead><fileDesc>
<titleStmt><title>Lantern</title><respStmt><persName role="composer">A. Nobody</persName></respStmt></titleStmt>
<pubStmt/>
</fileDesc></meiHead><music><body><mdiv><score><scoreDef meter.count="3" meter.unit="4" keysig="1s" midi.bpm="90">
<staffGrp><staffDef n="1" lines="5" clef.shape="F" clef.line="4"><label>Bass</label></staffDef>
<staffDef n="2" lines="5" clef.shape="G" clef.line="2" trans.diat="-1" trans.semi="-2"><label>Lead</label></staffDef>
</staffGrp></scoreDef><section>
<measure n="1"><staff n="1"><layer n="1"><mRest/></layer></staff><staff n="2"><layer n="1">
<note xml:id="a" dur="4" dots="1" pname="f" oct="4"/><note xml:id="b" dur="8" pname="c" oct="5" accid="s"/>
<note xml:id="c" dur="8" pname="c" oct="5"/><note xml:id="d" dur="8" pname="f" oct="4" accid="n"/></layer></staff>
<reh staff="2" tstamp="1">A</reh><harm staff="2" tstamp="1">D7alt</harm><harm staff="2" tstamp="2.5">G/B</harm>
<harm staff="2" tstamp="3">wobble</harm></measure>
<ending n="1"><measure n="2" right="rptend"><staff n="1"><layer n="1"><mRest/></layer></staff><staff n="2"><layer n="1">
<tuplet num="3" numbase="2"><note dur="4" pname="g" oct="4"/><note dur="4" pname="a" oct="4"/>
<note dur="4" pname="b" oct="4"/></tuplet><note dur="4" grace="unacc" pname="a" oct="4"/>
<note dur="4" pname="f" oct="4" tie="i"/></layer></staff>
</measure>
</ending><ending n="2"><measure n="3"><staff n="1"><layer n="1"><mRest/></layer></staff><staff n="2"><layer n="1">
<note dur="2" dots="1" pname="f" oct="4" tie="t"/></layer></staff><harm staff="2" tstamp="1">N.C.</harm></measure>
</ending>
</section></score></mdiv></body></music></mei>"""


def test_mei_written_by_hand(tmp_path: Path) -> None:
    path = tmp_path / "lantern.mei"
    path.write_text(MEI)
    score = read_score(path, "lead")
    assert (score.title, score.composer, score.part, score.tempo) == ("Lantern", "A. Nobody", "Lead", 90)
    assert score.transposition == Interval.parse("M2") and score.clef == Clef("G", 2)
    assert [str(note.written) for note in score.notes] == [
        "F♯4",
        "C♯5",
        "C♯5",
        "F4",
        "G4",
        "A4",
        "B4",
        "A4",
        "F♯4",
        "F♯4",
    ]
    assert [note.onset for note in score.notes] == [
        *(0, Fraction(3, 2), 2, Fraction(5, 2), 3, Fraction(11, 3), Fraction(13, 3)),
        *(5, 5, 6),
    ]
    assert [(note.held, note.tied_on) for note in score.notes[-2:]] == [(4, False), (0, True)]
    assert [visit.bar for visit in score.order] == [0, 1, 0, 2]
    chords = [
        (change.onset, change.written and str(change.written.root), change.chord and str(change.chord.root))
        for change in score.changes
    ]
    assert chords == [(0, "D", "C"), (Fraction(3, 2), "G", "F"), (6, None, None)]
    assert score.changes[0].chord.kind == "altered"
    assert [remark.what for remark in score.remarks] == [
        "'wobble' is no chord symbol that can be read: it is left out"
    ]
    assert ("<harm" in score.mei, score.mei.count("<beam")) == (False, 1)


ABSURD = {
    "octave": n("C5", 24).replace("<octave>5", "<octave>99999999999999999999"),
    "accidental": n("C#5", 24).replace("<alter>1", "<alter>77"),
    "letter": n("C5", 24).replace("<step>C", "<step>H"),
}


@pytest.mark.parametrize("name", ABSURD)
def test_a_note_without_a_sensible_pitch_is_left_out_and_said(read: Reader, name: str) -> None:
    score = read(ABSURD[name] + n("D5", 24))
    assert [(str(note.written), note.onset) for note in score.notes] == [("D5", 2)]
    assert [remark.what for remark in score.remarks] == [
        "bar 1 has a note without a sensible pitch: it is left out"
    ]


@pytest.mark.parametrize("nonsense", ["1e99999999", "nan", "-5", "1/0", "", "9" * 40])
def test_nonsense_for_a_length_is_no_time(read: Reader, nonsense: str) -> None:
    score = read(n("C5", 48), n("C5", 48).replace("48", nonsense) + n("D5", 48), n("E5", 48))
    assert [bar.start for bar in score.bars] == [0, 4, 8]
    assert [note.onset for note in score.notes] == [0, 4, 4, 8]


def test_notes_without_a_value_are_engraved_by_their_duration(read: Reader) -> None:
    third = (
        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"
    )
    score = read(n("C5", 18) + n("r-", 6) + "".join(n("D5", 4, third) for _ in range(3)) + n("E5", 12))
    events = [e for tag in ("note", "rest") for e in etree.fromstring(score.mei.encode()).iter(f"{{*}}{tag}")]
    assert [(e.get("dur"), e.get("dots")) for e in events] == [
        ("4", "1"),
        *[("8", None)] * 3,
        ("4", None),
        ("8", None),
    ]
    assert score.mei.count("<beam ") == 1
