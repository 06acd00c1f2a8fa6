"""Which note each name in a sentence means, by learned weights, and what becomes of what was read."""

import pytest

from lessonmaker.faults import Place
from lessonmaker.score.position import format_position, parse_span
from lessonmaker.script.candidates import note_candidate
from lessonmaker.script.model import Commentary, Piece, Understood
from lessonmaker.script.music import Music
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.claims import claims_in
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.place import Context
from lessonmaker.script.plain.places import places_in
from lessonmaker.script.plain.reference import Facts, Referent, facts_in_sight, refer, settle
from lessonmaker.script.plain.reference.weights import SIZE, STEP, place_of, score_of, trained_weights
from lessonmaker.script.plain.text import Sentence, sentences_in
from lessonmaker.theory.pitch import Interval

FILE = Place(None, 1, 1)
UPWARDS = [Interval(1, 2), Interval(2, 3), Interval(3, 5), Interval(5, 9)]


def sentence_of(say: str, music: Music) -> Sentence:
    (sentence,) = sentences_in(Commentary((Piece("text", say, "", FILE),), FILE), music, ())
    return sentence


def referents_of(score, bars: str, say: str) -> list[Referent]:
    music = Music.of(score)
    spans = (parse_span(score, bars),)
    sentence = sentence_of(say, music)
    places = places_in(sentence, Context(music, spans, None))
    ground = Ground(sentence, places, spans, music)
    return refer(ground, claims_in(sentence), facts_in_sight(music, spans))


def told(score, bars: str, say: str) -> list[tuple[str, str | None]]:
    line = Music.of(score).line
    return [
        (
            say[each.claim.first : each.claim.last],
            None if each.note is None else format_position(score, line[each.note].onset),
        )
        for each in referents_of(score, bars, say)
    ]


@pytest.mark.parametrize(
    ("say", "expected"),
    [
        ("We go from the sharp nine to the third.", [("sharp nine", "2.3&"), ("third", "2.4")]),
        ("The D turns into an F and then an A.", [("D", "1.1"), ("F", "1.2"), ("A", "1.3")]),
        ("The B at the end of bar two is the third of G seven.", [("B", "2.4"), ("third", "2.4")]),
    ],
)
def test_names_mean_the_notes_that_fit_together(score, say, expected) -> None:
    assert told(score, "1-4", say) == expected


def test_a_chord_or_small_talk_means_no_note(score) -> None:
    for say in ("Over D minor you can take your time.", "Give it five minutes, three times a week."):
        assert all(note is None for _, note in told(score, "1-4", say))


@pytest.mark.parametrize("up", UPWARDS)
def test_degrees_mean_the_same_notes_in_every_edition(score, score_of, up) -> None:
    say = "The flat nine goes through the sharp nine to the third, and bar three starts on the third."
    here, there = (referents_of(each, "1-4", say) for each in (score, score_of(up)))
    assert [(each.note, each.chance) for each in here] == [(each.note, each.chance) for each in there]


def test_facts_of_notes(score) -> None:
    music = Music.of(score)
    facts = facts_in_sight(music, (parse_span(score, "1-2"),))
    first, held = facts.of(1), facts.of(4)
    assert {"first of bar", "first", "on the beat", "first of chord"} <= set(first)
    assert {"last of bar", "off the beat", "before the bar", "kept", "last of chord"} <= set(held)
    assert "top of all" in facts.of(7)


@pytest.mark.parametrize(
    ("one", "other", "relation"),
    [
        (1, 1, "same"),
        (1, 2, "next"),
        (2, 1, "before"),
        (1, 3, "second next"),
        (3, 1, "earlier"),
        (4, 6, "next other"),
    ],
)
def test_how_one_note_stands_to_another(score, one, other, relation) -> None:
    music = Music.of(score)
    facts = facts_in_sight(music, (parse_span(score, "1-4"),))
    assert facts.relation(one, other) == relation


def test_intervals_and_chords_between_notes(score) -> None:
    music = Music.of(score)
    facts = Facts(music, tuple(range(len(music.line))))
    assert facts.interval(6, 7) == "half up"
    assert facts.interval(7, 8) == "fifth down"
    assert facts.chords_apart(1, 3) == "own"
    assert facts.chords_apart(3, 5) == "next"
    assert facts.chords_apart(5, 1) == "earlier"


def test_the_table_of_weights_is_whole() -> None:
    table = trained_weights()
    assert len(table) == SIZE
    assert sum(weight != 0 for weight in table) > SIZE // 4
    clue = "none letter"
    assert score_of([clue, clue]) == pytest.approx(2 * STEP * table[place_of(clue)])


# What was read, set right ------------------------------------------------------------------------------------


def understood(sentence: Sentence, words: str, status: str, mention=None) -> Understood:
    first = sentence.text.index(words)
    start, end = sentence.offsets[first], sentence.offsets[first + len(words) - 1] + 1
    return Understood(
        words, FILE, start, end, status, mention, "", ("a", "b") if status == "question" else ()
    )


def referent(sentence: Sentence, words: str, note: int | None, chance: float) -> Referent:
    first = sentence.text.index(words)
    claim = Claim("degree", first, first + len(words), "", ("9",))
    return Referent(claim, note, chance, () if note is None else (note,))


SAY = "The ninth and the third."
LONG_SAY = "So here, as you can hear for yourself, the ninth is what we play and the third comes later."


@pytest.mark.parametrize(
    ("status", "chance", "is_lit"),
    [
        (None, 0.96, True),
        (None, 0.94, False),
        ("question", 0.75, True),
        ("question", 0.65, False),
        ("fault", 0.99, False),
    ],
)
def test_what_goes_against_it_has_to_be_less_likely(score, status, chance, is_lit) -> None:
    sentence = sentence_of(SAY, Music.of(score))
    names = [referent(sentence, "ninth", 3, chance), referent(sentence, "third", 4, 0.6)]
    found = [understood(sentence, "ninth", status)] if status else []
    settled = settle(found, names, sentence, {})
    assert [each.note for each in settled.lit] == ([3] if is_lit else [])
    assert len(settled.kept) == (0 if is_lit else len(found))


def test_the_only_name_of_a_sentence_is_asked_about_more_readily(score) -> None:
    sentence = sentence_of("That ninth is lovely.", Music.of(score))
    found = [understood(sentence, "ninth", "question")]
    assert settle(found, [referent(sentence, "ninth", 3, 0.8)], sentence, {}).kept == tuple(found)


def test_other_notes_are_lit_where_that_is_likely(score) -> None:
    music = Music.of(score)
    sentence = sentence_of(SAY, music)
    lit = note_candidate("1", music.line[1], music).mention
    found = [understood(sentence, "ninth", "lit", lit)]
    at = {note.id: index for index, note in enumerate(music.line)}
    assert settle(found, [referent(sentence, "ninth", 1, 0.99)], sentence, at).kept == tuple(found)
    assert [
        each.note for each in settle(found, [referent(sentence, "ninth", 3, 0.96)], sentence, at).lit
    ] == [3]
    assert settle(found, [referent(sentence, "ninth", 3, 0.9)], sentence, at).kept == tuple(found)


@pytest.mark.parametrize(
    ("say", "chance", "doubted", "lit"), [(SAY, 0.6, 0, 0), (LONG_SAY, 0.6, 1, 0), (LONG_SAY, 0.95, 0, 1)]
)
def test_a_fault_in_a_long_sentence_is_doubted_or_none(score, say, chance, doubted, lit) -> None:
    sentence = sentence_of(say, Music.of(score))
    found = [understood(sentence, "ninth", "fault")]
    settled = settle(found, [referent(sentence, "ninth", 3, chance)], sentence, {})
    assert (len(settled.doubted), len(settled.lit)) == (doubted, lit)


@pytest.mark.parametrize(
    ("say", "lit"),
    [
        ("We hear a third and then the ninth.", 1),
        ("We do not hear the third or the ninth.", 0),
        ("It is not the third but the ninth.", 1),
        ("The third, ninth.", 0),
    ],
)
def test_names_that_are_denied_or_whose_list_is_not_there_stay_unlit(score, say, lit) -> None:
    sentence = sentence_of(say, Music.of(score))
    names = [referent(sentence, "third", None, 0.9), referent(sentence, "ninth", 3, 0.99)]
    assert len(settle([], names, sentence, {}).lit) == lit
