"""What is said of scores with next to nothing in them, or of bars that are not there, is read without a stumble."""

import json

import pytest
import yaml

from tests.tools.sentence_sets import judge_set

NOTE = (
    "<note><pitch><step>{0}</step><octave>4</octave></pitch><duration>{1}</duration><type>{2}</type></note>"
)
CHORD = "<harmony><root><root-step>C</root-step></root><kind>dominant</kind></harmony>"
SCORES = {
    "one note": CHORD + NOTE.format("C", 4, "whole"),
    "no chords": "".join(NOTE.format(step, 1, "quarter") for step in "CDEF"),
    "a rest and a note": f"{CHORD}<note><rest/><duration>3</duration></note>{NOTE.format('G', 1, 'quarter')}",
}
SAID = (
    "Every note in bar one lasts two beats.",
    "Everything lasts a beat.",
    "There's a perfect cadence in bar one.",
    "There's a pedal.",
    "It starts with a pickup.",
    "It's the longest note, the ninth.",
    "These two bars hold a two-five.",
    "All the C's, the root of C, come back.",
    "Over the second half of bar four we get three, flat nine, flat seven and root.",
    "Bars thirteen and fourteen are a sequence, four notes at a time.",
    "Nothing in the piece is lower than the D in bar eight.",
    "There is no G sharp in bar four.",
    "The line climbs up to the ninth.",
)


@pytest.mark.parametrize("name", SCORES)
def test_each_sentence_has_its_reading_whose_targets_have_names(tmp_path, name):
    time = "<time><beats>4</beats><beat-type>4</beat-type></time>"
    attributes = f"<attributes><divisions>1</divisions>{time}</attributes>"
    part = f"<part id='P1'><measure number='1'>{attributes}{SCORES[name]}</measure></part>"
    parts = "<part-list><score-part id='P1'><part-name>Made up</part-name></score-part></part-list>"
    score = tmp_path / "score.musicxml"
    score.write_text(f"<score-partwise version='4.0'>{parts}{part}</score-partwise>", encoding="utf-8")
    items = [{"score": str(score), "bars": "1-1", "say": say} for say in SAID]
    (tmp_path / "set.yaml").write_text(yaml.safe_dump(items), encoding="utf-8")
    judged = judge_set(tmp_path / "set.yaml")
    assert [each.say for each in judged] == list(SAID)
    assert "None@" not in json.dumps([each.read for each in judged])
