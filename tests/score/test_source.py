"""Opening score files: what is refused, and with which words."""

import io
import zipfile
from pathlib import Path

import pytest

from lessonmaker.faults import MaterialError
from lessonmaker.score.read import read_score
from lessonmaker.score.source import MOST_BYTES, open_source

NOTE = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration><type>whole</type></note>"
PARTWISE = (
    '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Solo</part-name></score-part></part-list>'
    f'<part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes>{NOTE}</measure></part>'
    "</score-partwise>"
)
CONTAINER = '<container><rootfiles><rootfile full-path="{}"/></rootfiles></container>'


def write(folder: Path, data: str | bytes, name: str = "score.musicxml") -> Path:
    path = folder / name
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return path


def mxl(members: dict[str, bytes | str], compression: int = zipfile.ZIP_DEFLATED) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", compression) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return buffer.getvalue()


BAD_FILES = {
    "empty": (b"", "the file is empty"),
    "blank": (b" \n\n", "the file is empty"),
    "not XML": (b"<score-partwise><part>", r"score\.musicxml:1:\d+: this is no well-formed XML"),
    "text": (b"just text", "this is no well-formed XML"),
    "other XML": (b"<html><body/></html>", "neither MusicXML nor MEI: it is <html>"),
    "collection": (b"<opus/>", "a collection of scores"),
    "no part": (b"<score-partwise/>", "the score has no part"),
    "no notes": (PARTWISE.replace(NOTE, "").encode(), "'Solo' has no notes"),
    "ZIP without score": (mxl({"a.txt": "hello"}), "holds no score"),
    "climbing": (mxl({"../evil.xml": PARTWISE}), r"climbs out of it: '\.\./evil\.xml'"),
    "absolute": (mxl({"/etc/evil.xml": PARTWISE}), "climbs out of it"),
    "drive": (mxl({"C:\\evil.xml": PARTWISE}), "climbs out of it"),
    "many members": (mxl({f"{i}.xml": "" for i in range(1001)}), "holds 1001 files"),
    "cut short": (mxl({"a.xml": PARTWISE})[:-30], "is damaged"),
}


@pytest.mark.parametrize("name", BAD_FILES)
def test_a_bad_file_is_one_fault(tmp_path: Path, name: str) -> None:
    data, message = BAD_FILES[name]
    with pytest.raises(MaterialError, match=message) as caught:
        read_score(write(tmp_path, data))
    assert len(caught.value.faults) == 1


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(MaterialError, match=r"no\.xml: there is no such file"):
        open_source(tmp_path / "no.xml")
    with pytest.raises(MaterialError, match="this is a folder"):
        open_source(tmp_path)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-16-be"])
def test_entities_are_refused_before_they_grow(tmp_path: Path, encoding: str) -> None:
    levels = "".join(f'<!ENTITY e{i} "{f"&e{i - 1};" * 10}">\n' for i in range(1, 12))
    text = f'<?xml version="1.0"?>\n<!DOCTYPE a [<!ENTITY e0 "boom">\n{levels}]><score-partwise>&e11;</score-partwise>'
    with pytest.raises(MaterialError, match=r":2: the file declares XML entities of its own"):
        read_score(write(tmp_path, text.encode(encoding)))


def test_an_external_entity_is_not_read(tmp_path: Path) -> None:
    secret = write(tmp_path, "secret", "secret.txt")
    text = f'<!DOCTYPE a [<!ENTITY x SYSTEM "{secret.as_uri()}">]><score-partwise>&x;</score-partwise>'
    with pytest.raises(MaterialError, match="declares XML entities"):
        read_score(write(tmp_path, text))


def test_a_zip_bomb_is_refused_while_it_unpacks(tmp_path: Path) -> None:
    path = write(tmp_path, mxl({"a.xml": b"\0" * (MOST_BYTES + 1)}))
    assert path.stat().st_size < 2**20
    with pytest.raises(MaterialError, match="unpacks to more than 64 MB"):
        read_score(path)


def test_a_zip_that_lies_about_its_sizes_is_refused(tmp_path: Path) -> None:
    data = bytearray(mxl({"a.xml": PARTWISE}))
    at = data.rfind(b"PK\x01\x02")
    data[at + 24 : at + 28] = (7).to_bytes(4, "little")
    with pytest.raises(MaterialError, match=r"damaged|no well-formed XML"):
        read_score(write(tmp_path, bytes(data)))


def test_a_directory_too_large_to_read_is_refused(tmp_path: Path) -> None:
    data = bytearray(mxl({"a.xml": PARTWISE}))
    at = data.rfind(b"PK\x05\x06")
    data[at + 12 : at + 16] = (2**30).to_bytes(4, "little")
    with pytest.raises(MaterialError, match="holds too many files"):
        read_score(write(tmp_path, bytes(data)))


DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)
GOOD_FILES = {
    "plain": PARTWISE.encode(),
    "doctype": f'<?xml version="1.0" encoding="UTF-8"?>{DOCTYPE}{PARTWISE}'.encode(),
    "byte order mark": b"\xef\xbb\xbf" + PARTWISE.encode(),
    "utf-16": f'<?xml version="1.0" encoding="UTF-16"?>{PARTWISE}'.encode("utf-16"),
    "namespace": PARTWISE.replace(
        "<score-partwise", '<score-partwise xmlns="http://example.org/x"', 1
    ).encode(),
    "mxl": mxl({"META-INF/container.xml": CONTAINER.format("it's.xml"), "it's.xml": PARTWISE}),
    "mxl without container": mxl({"score.xml": PARTWISE}),
    "mxl stored": mxl({"score.xml": PARTWISE}, zipfile.ZIP_STORED),
}


@pytest.mark.parametrize("name", GOOD_FILES)
def test_a_good_file_is_read_whatever_its_suffix(tmp_path: Path, name: str) -> None:
    score = read_score(write(tmp_path, GOOD_FILES[name], "score.bin"))
    assert [str(note.sounding) for note in score.notes] == ["C5"]


def test_a_time_wise_score_is_read(tmp_path: Path) -> None:
    cells = [f'<measure number="{n}"><part id="P1">{NOTE}</part></measure>' for n in (1, 2)]
    text = f'<score-timewise><part-list><score-part id="P1"/></part-list>{"".join(cells)}</score-timewise>'
    score = read_score(write(tmp_path, text))
    assert [(bar.number, bar.start) for bar in score.bars] == [("1", 0), ("2", 4)]
    assert len(score.notes) == 2


def test_a_part_is_chosen_by_name_or_id_and_a_near_miss_is_suggested(tmp_path: Path) -> None:
    second = PARTWISE[PARTWISE.index('<part id="P1"') : PARTWISE.index("</score-partwise>")]
    second = second.replace("P1", "P2").replace("<step>C", "<step>D")
    text = PARTWISE.replace(
        "</part-list>", '<score-part id="P2"><part-name>Alto Sax</part-name></score-part></part-list>'
    )
    path = write(tmp_path, text.replace("</score-partwise>", second + "</score-partwise>"))
    assert str(read_score(path).notes[0].written) == "C5"
    assert str(read_score(path, "alto sax").notes[0].written) == "D5"
    assert read_score(path, "P2").part == "Alto Sax"
    with pytest.raises(
        MaterialError, match=r"no part 'Alto Sex'; did you mean 'Alto Sax'\? it has: Solo, Alto Sax"
    ):
        read_score(path, "Alto Sex")
