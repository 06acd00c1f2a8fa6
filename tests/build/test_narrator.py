"""Whose voice says a cue, and from which recording: what recordings hold is made up here."""

from dataclasses import replace

import numpy as np
import pytest

from lessonmaker.build import listen, narrator, own_words
from lessonmaker.build.check import check_order
from lessonmaker.build.listen import NotHeardError
from lessonmaker.build.narrator import narrator_of
from lessonmaker.build.order import editions_said, find_order
from lessonmaker.build.store import Store
from lessonmaker.build.to_record import sentences_to_record
from lessonmaker.build.voice import Voice
from lessonmaker.build.workshop import Part
from lessonmaker.sound.carried import CarriedFile
from lessonmaker.sound.model import Audio, Difference, Narration, SentenceRead, WordTime
from tests.tools.tiny_book import make_book

SILENCE = Audio(np.zeros(10, np.float32), 10)
HUM, IN_G, IN_E, END = "Hum it.", "It leans on G seven.", "It leans on E seven.", "So it ends."
SAY = "Hum it. It leans on {chord 2}. So it ends."
EDITIONS = ("concert", "e-flat")


def narration_of(words, draft):
    return Narration(SILENCE, tuple(WordTime(word, 0, 1) for word in words), draft)


def reading(text, start_s, *differences):
    """A sentence read in a second."""
    times = tuple(WordTime(word, start_s, start_s + 1) for word in text.split())
    return SentenceRead(start_s, start_s + 1, times, differences)


class Recordings:
    """Stands in for the recogniser: `held` has what each file holds, `listened` what was listened to.

    `again` has what it hears where it is asked about a stretch alone.
    """

    def __init__(self):
        self.held, self.listened, self.again = {}, [], {}

    def read_again(self, _stretch, sentences, _own):
        return tuple(self.again.get(" ".join(words)) for words in sentences)

    def read(self, audio, sentences, _own):
        self.listened.append(audio)
        return tuple(self.reading_in(audio, " ".join(words)) for words in sentences)

    def reading_in(self, name, text):
        for at, held in enumerate(self.held[name]):
            if isinstance(held, str) and held == text:
                return reading(text, at)
            if not isinstance(held, str) and held[0] == text:
                return held[1]
        return None


@pytest.fixture
def recordings(monkeypatch):
    """The recogniser replaced; the narration of a cue names its files."""
    held = Recordings()
    monkeypatch.setattr(
        listen, "read_audio", lambda file: (file.path if isinstance(file, CarriedFile) else file).name
    )
    monkeypatch.setattr(listen, "sound_seconds", lambda _path: 60.0)
    monkeypatch.setattr(own_words, "stretch_about", lambda read, name: own_words.Stretch(name, read.start_s))
    monkeypatch.setattr(listen, "read_sentences", held.read)
    monkeypatch.setattr(own_words, "read_sentences", held.read_again)
    monkeypatch.setattr(narrator, "assembled", lambda parts, *_: [audio for audio, _ in parts])
    monkeypatch.setattr(Voice, "narrate", lambda _, words, path: narration_of(words, path is None))
    return held


@pytest.fixture
def voices(tmp_path, recordings):
    """The voices of a lesson of one cue; `lesson` and `cue` are what its script says of narration."""
    book = make_book(tmp_path / "book")
    path = book / "scripts" / "four-bars.yaml"

    def make(lesson="", cue="", say=SAY, book_s=None, pause="", by_tasks=False, **held):
        recordings.held = {f"{name}.wav": texts for name, texts in held.items()}
        for name in recordings.held:
            (path.parent / name).write_text(name)
        head = "lesson: Four Bars\nscore: ../media/four-bars.musicxml\n"
        head += f"narration: {lesson}\n" if lesson else ""
        head += f"longest_pause: {pause}\n" if pause else ""
        own = f"    narration: {cue}\n" if cue else ""
        path.write_text(f"{head}cues:\n  - bars: 2\n    say: {say}\n{own}")
        order = find_order([str(path)])
        (checked,) = check_order(order)
        voice, editions = Voice.of(order.book), editions_said(order)
        return narrator_of(checked, editions, voice, longest_pause_s=book_s, by_tasks=by_tasks)

    return make


def missing(told):
    """The words that no recording has."""
    return [sentence.wordings[0].printed for sentence in told.missing]


def files(told):
    """The files that a narration is made of, None for the draft voice."""
    return [one.recording and one.recording.path.name for one in told.heard]


def to_record(voices):
    """Each sentence to be recorded, its editions, and what is recorded instead."""
    return [
        (one.wording.printed, one.wording.editions, one.recorded and one.recorded.wording.printed)
        for one in sentences_to_record(voices, EDITIONS)
    ]


def hear(told, edition, store):
    """Have tasks listen until it is known who says the cues; the files that they asked for, each time."""
    rounds = []
    while wanted := told.to_hear(edition):
        rounds.append([recording.path.name for recording, _ in wanted])
        for one in wanted:
            told.listener.take(*one, Part(told.listener.task(*one), store))
    return rounds


@pytest.mark.parametrize(
    ("lesson", "cue", "held"),
    [
        ("read.wav", "", {"read": [HUM, IN_G, END]}),
        ("read.wav", "", {"read": [HUM, IN_G, IN_E, END]}),
        ("{all: read.wav, e-flat: flat.wav}", "", {"read": [HUM, IN_G, END], "flat": [IN_E]}),
        ("read.wav", "own.wav", {"read": [HUM, END], "own": [IN_G]}),
    ],
)
def test_recordings_that_tasks_listen_to_say_what_they_say_at_once(lesson, cue, held, voices, tmp_path):
    store = Store(tmp_path / "store")
    at_once, by_tasks = (voices(lesson, cue, by_tasks=which, **held) for which in (False, True))
    assert hear(by_tasks, EDITIONS[0], store)
    for edition in EDITIONS:
        hear(by_tasks, edition, store)
        told, other = by_tasks.tell(0, edition), at_once.tell(0, edition)
        assert (files(told), missing(told)) == (files(other), missing(other))
    assert by_tasks.listener.reads == at_once.listener.reads


def test_only_recordings_that_are_needed_are_listened_to_by_tasks_and_what_they_hold_is_kept(
    voices, recordings, tmp_path
):
    store, held = Store(tmp_path / "store"), {"read": [HUM, IN_G, END], "flat": [HUM, IN_E, END]}
    for listened in (["flat.wav", "read.wav"], []):
        told = voices("{concert: read.wav, e-flat: flat.wav}", by_tasks=True, **held)
        with pytest.raises(NotHeardError):
            told.plan(0, "e-flat")
        assert hear(told, "e-flat", store) == [["flat.wav"]]
        assert hear(told, "concert", store) == [["read.wav"]]
        assert recordings.listened == listened
        recordings.listened.clear()


def test_a_read_of_the_whole_lesson_serves_the_editions_whose_words_it_has(voices):
    told = voices("read.wav", read=[HUM, IN_G, END])
    assert files(told.tell(0, "concert")) == ["read.wav"] * 3
    assert told.tell(0, "concert").narration == ["read.wav"] * 3
    draft = told.tell(0, "e-flat")
    assert (files(draft), missing(draft), draft.narration.draft) == ([None], ["It leans on G7."], True)
    assert to_record(told) == [("It leans on E7.", ("e-flat",), "It leans on G7.")]


def test_an_edition_needs_only_the_sentences_that_differ(voices):
    told = voices("{all: read.wav, e-flat: flat.wav}", read=[HUM, IN_G, END], flat=[IN_E])
    assert files(told.tell(0, "concert")) == ["read.wav"] * 3
    assert files(told.tell(0, "e-flat")) == ["read.wav", "flat.wav", "read.wav"]
    assert to_record(told) == []


def test_one_read_may_hold_the_words_of_all_editions(voices, recordings):
    told = voices("read.wav", read=[HUM, IN_G, IN_E, END])
    assert [one.words[0].start_s for one in told.tell(0, "e-flat").heard] == [0, 2, 3]
    assert [one.words[0].start_s for one in told.tell(0, "concert").heard] == [0, 1, 3]
    assert to_record(told) == []
    assert recordings.listened == ["read.wav"]


def test_later_recordings_count_over_earlier_ones_and_an_editions_own_over_all(voices):
    told = voices(
        "{e-flat: flat.wav, all: [read.wav, retakes.wav]}",
        read=[HUM, IN_G, END],
        retakes=[END, IN_E],
        flat=[IN_E, HUM],
    )
    assert files(told.tell(0, "concert")) == ["read.wav", "read.wav", "retakes.wav"]
    assert files(told.tell(0, "e-flat")) == ["flat.wav", "flat.wav", "retakes.wav"]


def test_what_an_edition_says_alike_serves_where_nothing_else_has_it(voices):
    told = voices("{all: read.wav, e-flat: flat.wav}", read=[IN_G, END], flat=[HUM, IN_E])
    assert files(told.tell(0, "concert")) == ["flat.wav", "read.wav", "read.wav"]


def test_two_voices_never_speak_in_one_cue(voices):
    told = voices("read.wav", read=[IN_G, END])
    for edition in EDITIONS:
        assert files(told.tell(0, edition)) == [None]
    assert to_record(told) == [
        ("Hum it.", EDITIONS, None),
        ("It leans on E7.", ("e-flat",), "It leans on G7."),
    ]


def test_a_recording_that_was_listened_to_in_vain_is_remarked_on(voices):
    told = voices("[read.wav, wrong.wav]", read=[HUM, IN_G, END], wrong=[])
    told.tell(0, "concert")
    (remark,) = told.listener.unheard
    assert "nothing of the script is heard in wrong.wav; look whether it is the right file" in str(remark)
    assert (remark.place.line, remark.place.column) == (3, 23)


def test_a_cue_s_own_recording_is_taken_whole_and_at_its_word(voices, recordings):
    told = voices(cue="own.wav", say="Hum it. So it ends.", own=[])
    for edition in EDITIONS:
        assert files(told.tell(0, edition)) == ["own.wav"]
    assert to_record(told) == []
    assert recordings.listened == []


def test_a_sentence_that_a_cue_s_own_recording_leaves_out_is_to_be_recorded(voices, monkeypatch):
    told = voices(cue="own.wav", say="Hum it. So it ends.", own=[])
    left_out = (Difference("left out", 1, 5, "", 1.0),)
    monkeypatch.setattr(
        Voice, "narrate", lambda *_: replace(narration_of(["x"] * 5, False), differences=left_out)
    )
    assert to_record(told) == [("So it ends.", EDITIONS, None)]
    assert files(told.tell(0, "concert")) == ["own.wav"]


def test_a_cue_s_own_recording_that_has_other_words_serves_its_edition_only(voices):
    told = voices(cue="own.wav", own=[HUM, IN_G, END])
    assert files(told.tell(0, "concert")) == ["own.wav"]
    assert files(told.tell(0, "e-flat")) == [None]
    assert to_record(told) == [("It leans on E7.", ("e-flat",), "It leans on G7.")]


def test_a_cue_s_own_recording_counts_where_no_edition_s_words_are_heard_in_it(voices):
    told = voices(cue="own.wav", own=[HUM, END])
    for edition in EDITIONS:
        one = told.tell(0, edition)
        assert (files(one), missing(one)) == (["own.wav"], ["It leans on G7."])


def test_a_cue_s_own_recording_with_all_editions_words_is_put_together(voices):
    told = voices(cue="own.wav", own=[HUM, IN_G, IN_E, END])
    assert [one.words[0].start_s for one in told.tell(0, "e-flat").heard] == [0, 2, 3]


def test_a_cue_may_have_a_recording_for_an_edition_beside_the_read_of_the_lesson(voices):
    told = voices("read.wav", "{e-flat: flat.wav}", read=[HUM, IN_G, END], flat=[IN_E])
    assert files(told.tell(0, "e-flat")) == ["read.wav", "flat.wav", "read.wav"]
    assert files(told.tell(0, "concert")) == ["read.wav"] * 3


def test_a_recording_with_a_part_of_a_cue_never_stands_for_all_of_it(voices):
    told = voices("read.wav", "{e-flat: flat.wav}", read=[IN_G, END], flat=[IN_E])
    assert files(told.tell(0, "e-flat")) == [None]
    told = voices(cue="[own.wav, retake.wav]", own=[HUM, END], retake=[END])
    assert files(told.tell(0, "concert")) == [None]


def test_one_reading_is_of_one_edition_the_one_whose_words_fit_best(voices):
    slip = Difference("left out", 0, 1, "", 1.2)
    told = voices("read.wav", read=[HUM, (IN_G, reading(IN_G, 1)), (IN_E, reading(IN_E, 1.3, slip)), END])
    assert to_record(told) == [("It leans on E7.", ("e-flat",), "It leans on G7.")]


def test_a_reading_with_another_name_is_no_reading_of_the_edition(voices):
    other = Difference("said otherwise", 3, 4, "D seven", 1.2)
    astray = [HUM, (IN_G, reading(IN_G, 1, other)), END]
    assert to_record(voices("read.wav", read=astray)) == [
        ("It leans on G7.", ("concert",), None),
        ("It leans on E7.", ("e-flat",), None),
    ]
    # The author's word for whose recording it is counts; that it was misread is remarked on.
    told = voices("{all: read.wav, concert: c.wav}", read=[HUM, END], c=[astray[1]])
    assert files(told.tell(0, "concert")) == ["read.wav", "c.wav", "read.wav"]


def test_what_was_taken_for_another_edition_s_words_is_tried_in_those_of_all(voices, recordings):
    other = Difference("said otherwise", 3, 4, "G seven", 4.2)
    recordings.again = {IN_G: reading(IN_G, 0.25)}
    told = voices("read.wav", read=[HUM, (IN_E, reading(IN_E, 4, other)), END])
    assert to_record(told) == [("It leans on E7.", ("e-flat",), "It leans on G7.")]
    read = told.tell(0, "concert").heard[1]
    assert (read.words[0].start_s, read.differences) == (4.25, ())


def test_a_retake_that_was_taken_for_another_edition_s_words_counts(voices, recordings):
    other = Difference("said otherwise", 3, 4, "G seven", 4.2)
    recordings.again = {IN_G: reading(IN_G, 0.25)}
    told = voices("read.wav", read=[HUM, IN_G, (IN_E, reading(IN_E, 4, other)), END])
    assert told.tell(0, "concert").heard[1].words[0].start_s == 4.25
    assert [edition for _, edition, _ in to_record(told)] == [("e-flat",)]


def test_nothing_recorded_is_all_to_be_recorded_once_through_then_what_differs(voices):
    assert to_record(voices()) == [
        ("Hum it.", EDITIONS, None),
        ("It leans on G7.", ("concert",), None),
        ("So it ends.", EDITIONS, None),
        ("It leans on E7.", ("e-flat",), None),
    ]


@pytest.mark.parametrize(
    ("book_s", "pause", "longest_s"),
    [(None, "", None), (2.0, "", 2.0), (2.0, "0.8", 0.8), (None, "0.8", 0.8)],
)
def test_pauses_are_shortened_on_request_the_lesson_s_before_the_book_s(
    voices, monkeypatch, book_s, pause, longest_s
):
    monkeypatch.setattr(narrator, "shortened", lambda _, longest: longest)
    told = voices("read.wav", book_s=book_s, pause=pause, read=[HUM, IN_G, END])
    put_together = told.tell(0, "concert").narration
    assert put_together == (["read.wav"] * 3 if longest_s is None else longest_s)
    assert told.tell(0, "e-flat").narration.draft
    whole = (
        voices(cue="own.wav", say="Hum it.", book_s=book_s, pause=pause, own=[]).tell(0, "concert").narration
    )
    assert whole == longest_s if longest_s else not whole.draft
