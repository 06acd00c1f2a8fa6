"""What a script says of the author's recordings: of a cue, of a lesson, for all editions or for one."""

import pytest

from lessonmaker.faults import MaterialError
from lessonmaker.script.load import load_lesson

HEAD = "lesson: x\nscore: etude.musicxml\n"
CUES = "cues:\n  - say: one\n  - say: two\n"


@pytest.fixture
def load(script, tmp_path):
    """A lesson loaded from a script beside some recordings."""
    (tmp_path / "voices").mkdir()
    for name in ("read.wav", "retakes.wav", "film.mp4", "b.wav", "voices/02.wav", "voices/notes.txt"):
        (tmp_path / name).write_text("")
    return lambda text: load_lesson(script(text))


def named(recordings):
    """The recordings' names and editions."""
    return [(recording.path.name, recording.edition) for recording in recordings]


@pytest.mark.parametrize(
    ("value", "found"),
    [
        ("read.wav", [("read.wav", None)]),
        ("film.mp4", [("film.mp4", None)]),
        ("[read.wav, retakes.wav]", [("read.wav", None), ("retakes.wav", None)]),
        ("{all: read.wav, b-flat: b.wav}", [("read.wav", None), ("b.wav", "b-flat")]),
        (
            "{b-flat: [b.wav, retakes.wav], all: read.wav}",
            [("b.wav", "b-flat"), ("retakes.wav", "b-flat"), ("read.wav", None)],
        ),
    ],
)
def test_recordings_of_a_lesson_and_of_a_cue_are_named_alike(load, value, found):
    lesson = load(f"{HEAD}narration: {value}\n{CUES}")
    assert named(lesson.narration) == found
    assert not lesson.remarks
    cue = load(f"{HEAD}cues:\n  - say: x\n    narration: {value}").cues[0]
    assert named(cue.narration) == found


def test_a_recording_knows_its_place(load):
    lesson = load(f"{HEAD}narration:\n  all: read.wav\n  b-flat: [b.wav, retakes.wav]\n{CUES}")
    assert [(one.place.line, one.place.column) for one in lesson.narration] == [(4, 8), (5, 12), (5, 19)]


def test_a_recording_that_is_not_there_is_a_remark(load):
    lesson = load(f"{HEAD}narration: [read.wav, retake.wav]\n{CUES}    narration: first.ogg")
    assert named(lesson.narration) == [("read.wav", None)]
    assert lesson.cues[1].narration == ()
    assert [str(remark).split(": ", 1)[1] for remark in lesson.remarks] == [
        "there is no recording retake.wav yet: the draft voice speaks what only it would hold; "
        "did you mean retakes.wav?",
        "there is no recording first.ogg yet: the draft voice speaks this cue; check the name;"
        " paths count from the script's own folder",
    ]


def test_recordings_in_a_folder_belong_to_cues_by_number(load, tmp_path):
    text = f"{HEAD}narration: voices\n{CUES}"
    assert [named(cue.narration) for cue in load(text).cues] == [[], [("02.wav", None)]]
    assert load(text).narration == ()
    (tmp_path / "voices" / "2.flac").write_text("")
    (tmp_path / "voices" / "7.wav").write_text("")
    with pytest.raises(MaterialError, match=r"two recordings of cue 2: 02\.wav, 2\.flac; keep one") as caught:
        load(text)
    assert "7.wav in this folder belongs to no cue; the cues are 1 to 2" in str(caught.value)


def test_what_a_cue_names_itself_counts_over_the_folder(load):
    text = f"{HEAD}narration: {{all: [voices, read.wav], e-flat: voices}}\n{CUES}    narration: b.wav\n"
    lesson = load(text)
    assert named(lesson.cues[1].narration) == [("02.wav", "e-flat"), ("b.wav", None)]
    assert named(lesson.narration) == [("read.wav", None)]


def test_pauses_stay_unless_a_longest_is_named(load):
    assert load(HEAD + CUES).longest_pause_s is None
    for written, seconds in (("1.2", 1.2), ("0.8 s", 0.8), ("30", 30.0)):
        assert load(f"{HEAD}longest_pause: {written}\n{CUES}").longest_pause_s == seconds


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("narration: away", r":3:12: there is no folder away; check the name"),
        ("narration: {b-flt: b.wav}", r":3:13: there is no edition 'b-flt'; did you mean b-flat\?"),
        ("narration: {}", r":3:12: the map names no recording; write a recording's file name"),
        ("narration: []", r":3:12: the list is empty; write a recording's file name"),
        ("narration: [[read.wav]]", r":3:13: a list stands where text is expected"),
        ("narration: {all: {b-flat: b.wav}}", r":3:18: a map stands where text is expected"),
        ("narration: ''", r":3:12: nothing stands here"),
        ("longest_pause: 0.1", r":3:16: '0.1' is no length of a pause; write seconds from 0.3 to 30"),
        ("longest_pause: short", r"'short' is no length of a pause"),
        ("longest_pause: 31", r"'31' is no length of a pause"),
    ],
)
def test_each_fault_says_where_and_what_to_do(load, line, message):
    with pytest.raises(MaterialError, match=message):
        load(f"{HEAD}{line}\n{CUES}")
