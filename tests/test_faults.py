"""What is nearest to a name that is not known."""

import pytest

from lessonmaker.faults import MaterialError, nearest, nearest_file
from lessonmaker.score.read import read_score
from lessonmaker.sound.read import read_audio


def test_the_nearest_name_is_asked_for_and_a_far_one_is_not():
    assert nearest("concrt", ["concert", "bass-clef"]) == " (did you mean 'concert'?)"
    assert nearest("violin", ["concert", "bass-clef"]) == ""


def test_the_nearest_file_is_one_of_its_folder(tmp_path):
    (tmp_path / "take-2.wav").write_bytes(b"sound")
    (tmp_path / "take-1").mkdir()
    assert nearest_file(tmp_path / "take-1.wav") == " (did you mean 'take-2.wav'?)"
    assert nearest_file(tmp_path / "take-2.musicxml") == ""
    assert nearest_file(tmp_path / "none" / "take-1.wav") == ""


@pytest.mark.parametrize("read", [read_score, read_audio])
def test_a_file_that_is_missing_is_said_with_the_nearest(tmp_path, read):
    (tmp_path / "gaslight-errand.xml").write_bytes(b"")
    with pytest.raises(MaterialError, match=r"\(did you mean 'gaslight-errand\.xml'\?\); check the"):
        read(tmp_path / "gaslight-erand.xml")
