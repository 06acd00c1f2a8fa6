"""A fit as text: what is read back, and when it is not."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lessonmaker.sound.align import fit_take
from lessonmaker.sound.fitfile import DamagedFitError, Origin, fit_json, fit_text, music_digest, parse_fit
from lessonmaker.sound.model import Anchor, Departure
from lessonmaker.theory.metre import Metre
from tests.tools.tone_takes import play, random_score

TAKE = "0" * 64


@pytest.fixture(scope="module")
def fitted():
    score = random_score(1, [Metre(4, 4)] * 8)
    return score, fit_take(score, play(score)[0])


def origin(score, anchors=()):
    return Origin.of(score, TAKE, anchors)


def test_new_ids_and_another_order_of_reading_do_not_matter(fitted):
    score, fit = fitted
    text = fit_text(score, fit, origin(score), "A take.")
    renamed = replace(score, notes=tuple(replace(note, id=f"new-{note.id}") for note in score.notes))
    again, changed = parse_fit(text, renamed, origin(renamed))
    assert changed == ()
    assert [note.note for note in again.notes] == [f"new-{note.note}" for note in fit.notes]
    np.testing.assert_allclose([n.time_s for n in again.notes], [n.time_s for n in fit.notes], atol=1e-4)
    assert [(bar.bar, bar.visit) for bar in again.bars] == [(bar.bar, bar.visit) for bar in fit.bars]
    assert again.accepted


def test_two_heads_on_one_pitch_each_keep_their_time(fitted):
    score, fit = fitted
    first = score.struck[0]
    doubled = replace(score, notes=(first, replace(first, id="twin"), *score.notes[1:]))
    twin = replace(fit.notes[0], note="twin")
    both = replace(fit, notes=(fit.notes[0], twin, *fit.notes[1:]))
    again, _ = parse_fit(fit_text(doubled, both, origin(doubled), ""), doubled, origin(doubled))
    assert [note.note for note in again.notes] == [note.note for note in both.notes]


CHANGED = {
    "a pitch": lambda note: replace(note, sounding=replace(note.sounding, octave=note.sounding.octave + 1)),
    "a length": lambda note: replace(note, held=note.held / 2),
    "a voice": lambda note: replace(note, voice=2),
    "a tie": lambda note: replace(note, tied_on=True),
}


@pytest.mark.parametrize("name", CHANGED)
def test_a_note_that_sounds_otherwise_changes_the_digest(name, fitted):
    score, _ = fitted
    notes = (*score.notes[:3], CHANGED[name](score.notes[3]), *score.notes[4:])
    assert music_digest(replace(score, notes=notes)) != music_digest(score)


def test_tempo_and_order_change_the_digest_and_spelling_does_not(fitted):
    score, _ = fitted
    assert music_digest(replace(score, tempo=99.0)) != music_digest(score)
    assert music_digest(replace(score, order=score.order[:-1])) != music_digest(score)
    spelt = tuple(replace(note, written=replace(note.written, octave=1)) for note in score.notes)
    assert music_digest(replace(score, notes=spelt, title="Another", changes=())) == music_digest(score)


def test_what_differs_is_named(fitted):
    score, fit = fitted
    text = fit_text(score, fit, origin(score), "")
    pinned = origin(score, [Anchor(3, 1, Fraction(1, 2), 9.0)])
    assert parse_fit(text, score, pinned) == (None, ("pins",))
    assert parse_fit(text, score, replace(pinned, take="1", aligner="2")) == (
        None,
        ("take", "pins", "aligner"),
    )


def test_a_text_of_an_older_version_is_another_version(fitted, monkeypatch):
    score, fit = fitted
    with monkeypatch.context() as older:
        older.setattr("lessonmaker.sound.fitfile.FORMAT", "lessonmaker fit 1")
        text = fit_text(score, fit, origin(score), "")
    assert parse_fit(text, score, origin(score)) == (None, ("aligner",))


@pytest.mark.parametrize("text", ["", "[]", "{}", "null", '{"digest": ""}', "{" * 9999])
def test_what_is_no_fit(fitted, text):
    score, _ = fitted
    with pytest.raises(DamagedFitError):
        parse_fit(text, score, origin(score))


def test_departures_for_programs(fitted):
    score, fit = fitted
    note = score.struck[4]
    away = (
        Departure("wrong", note.bar, 1, 3.25, note.id, 66),
        Departure("added", 2, 1, 5.5, None, 71),
    )
    data = fit_json(score, replace(fit, departures=away))["departures"]
    assert data == [
        {"bar": note.bar + 1, "pass": 1, "time_s": 3.25, "kind": "wrong", "index": 4, "heard": 66},
        {"bar": 3, "pass": 1, "time_s": 5.5, "kind": "added", "index": None, "heard": 71},
    ]
    assert all(0 <= bar["sure"] <= 1 for bar in fit_json(score, fit)["bars"])
