"""Triplets of several values, as one figure each, by the value that they are called by."""

import pytest
import yaml

from tests.tools.sentence_sets import judge_set

TRIPLET = (
    "<note><pitch><step>{0}</step><octave>4</octave></pitch><duration>{1}</duration><type>{2}</type>"
    "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification></note>"
)
HALF = "<note><pitch><step>C</step><octave>4</octave></pitch><duration>6</duration><type>half</type></note>"
CHORD = "<harmony><root><root-step>C</root-step></root><kind>dominant</kind></harmony>"
BARS = {
    "quarter": "".join(TRIPLET.format(step, 2, "quarter") for step in "GFE") + HALF,
    "eighth": "".join(TRIPLET.format(step, 1, "eighth") for step in "GFEGFE") + HALF,
    "half": "".join(TRIPLET.format(step, 4, "half") for step in "GFE"),
}


@pytest.fixture
def said(tmp_path):
    """How a sentence is read about a bar of triplets."""

    def read(kind, say):
        time = "<time><beats>4</beats><beat-type>4</beat-type></time>"
        attributes = f"<attributes><divisions>3</divisions>{time}</attributes>"
        part = f"<part id='P1'><measure number='1'>{attributes}{CHORD}{BARS[kind]}</measure></part>"
        parts = "<part-list><score-part id='P1'><part-name>Made up</part-name></score-part></part-list>"
        score = tmp_path / "score.musicxml"
        score.write_text(f"<score-partwise version='4.0'>{parts}{part}</score-partwise>", encoding="utf-8")
        items = [{"score": str(score), "bars": "1", "say": say}]
        (tmp_path / "set.yaml").write_text(yaml.safe_dump(items), encoding="utf-8")
        return str(judge_set(tmp_path / "set.yaml")[0].read)

    return read


@pytest.mark.parametrize(
    ("kind", "say", "lit"),
    [
        ("quarter", "Here's a triplet.", "'1.1 1.1+2/3 1.2+1/3'"),
        ("quarter", "A quarter-note triplet, so let it float.", "'1.1 1.1+2/3 1.2+1/3'"),
        ("quarter", "There's a quarter note triplet on beats one and two.", "'1.1 1.1+2/3 1.2+1/3'"),
        ("half", "The half-note triplet fills the bar.", "'1.1 1.2+1/3 1.3+2/3'"),
        ("eighth", "There are two eighth-note triplets.", "'1.1 1.1+1/3 1.1+2/3 1.2 1.2+1/3 1.2+2/3'"),
    ],
)
def test_a_triplet_is_one_figure_over_its_beats(said, kind, say, lit):
    found = said(kind, say)
    assert lit in found
    assert "fault" not in found


@pytest.mark.parametrize(
    ("kind", "say"),
    [
        ("quarter", "The bar opens with an eighth-note triplet."),
        ("eighth", "The bar opens with a quarter-note triplet."),
        ("half", "There's a quarter note triplet in bar one."),
    ],
)
def test_a_triplet_of_another_value_is_false(said, kind, say):
    found = said(kind, say)
    assert "fault" in found
    assert "lit" not in found
