"""What was made last is kept, so that memory stays flat however long a film is."""

from fractions import Fraction

from lessonmaker.picture.recent import Recent
from lessonmaker.picture.sight import STRIPS_KEPT, Sights
from lessonmaker.timeline.model import TICKS_PER_SECOND
from lessonmaker.timeline.through import Film, play_through
from tests.tools.told_lesson import told_material

RATE = Fraction(25)


def test_what_was_asked_for_longest_ago_is_made_again():
    recent, made = Recent(2), []
    for key in "abacab":
        recent.get_or_make(key, lambda key=key: made.append(key))
    assert made == ["a", "b", "c", "b"]
    assert list(recent) == ["a", "b"]


def test_a_film_played_through_keeps_the_form_strips_of_its_last_bars_alone(tmp_path):
    material = told_material(tmp_path, "gaslight-errand", "- {play: all}")
    fit = material.fit
    film = Film("The Film", "", "", material.score, fit, Fraction(0), Fraction(fit.end_s + 2))
    sights = Sights(play_through(film), material.score, 0)
    seen = {sights.at(round(number * TICKS_PER_SECOND / RATE)) for number in sights.changes(RATE)}
    assert len(seen) > STRIPS_KEPT
    assert 1 < len(sights.strips) <= STRIPS_KEPT
    assert 1 < len(sights.plays) <= STRIPS_KEPT
