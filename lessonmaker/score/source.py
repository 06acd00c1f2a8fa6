"""Opening score files that nobody vouches for: MusicXML, compressed MusicXML (.mxl) and MEI.

What a file says about itself (its suffix, the sizes in a ZIP's directory) is never believed: the format is
told from the content, sizes are counted while reading. No entity is ever expanded, nothing is fetched,
nothing is written. Container layout: MusicXML 4.0, "Compressed .MXL files".
"""

from __future__ import annotations

import io
import zipfile
import zlib
from dataclasses import dataclass
from html import escape
from pathlib import Path, PurePosixPath
from typing import Literal

from lxml import etree

from lessonmaker.faults import Fault, MaterialError, Place, nearest_file

__all__ = ["MEI_NAMESPACE", "Source", "open_source"]

MEI_NAMESPACE = "http://www.music-encoding.org/ns/mei"
MOST_BYTES = 64 * 2**20
MOST_MEMBERS = 1000
MOST_DIRECTORY_BYTES = 2**20
CHUNK_BYTES = 2**16
SUFFIXES = ".musicxml, .xml, .mxl or .mei"
ZIP_FAILURES = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    RuntimeError,
    NotImplementedError,
    KeyError,
    ValueError,
    OSError,
)


@dataclass(frozen=True)
class Source:
    """A score file, parsed: `root` is a <score-partwise> without namespaces, or an <mei>."""

    path: Path
    root: etree._Element
    kind: Literal["musicxml", "mei"]


def open_source(path: Path) -> Source:
    """Open a score file safely.

    Raises:
        MaterialError: the file is missing, empty, too large, dangerous, or no score.
    """
    data = _read_bytes(path)
    if data[:4] == b"PK\x03\x04":
        data = _root_file(data, path)
    return _as_source(_parse(data, path), path)


def _refuse(
    path: Path, what: str, todo: str = "", line: int | None = None, column: int | None = None
) -> MaterialError:
    return MaterialError(Fault(what, todo, Place(path, line, column)))


def _read_bytes(path: Path) -> bytes:
    """The file's bytes, never more than the limit."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _refuse(path, f"there is no such file{nearest_file(path)}", "check the score's path") from None
    except IsADirectoryError:
        raise _refuse(path, "this is a folder, not a score", f"name a {SUFFIXES} file") from None
    except OSError as error:
        raise _refuse(path, f"the file cannot be read ({error.strerror})") from None
    if not data.strip():
        raise _refuse(path, "the file is empty", "export the score again")
    if len(data) > MOST_BYTES:
        raise _refuse(
            path,
            f"the file is larger than {MOST_BYTES >> 20} MB",
            "no single part needs that: export it alone",
        )
    return data


def _root_file(data: bytes, path: Path) -> bytes:
    """The score inside a compressed MusicXML file."""
    _check_directory(data, path)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _check_members(archive, path)
            return _read_member(archive, _root_name(archive, path), path)
    except ZIP_FAILURES as error:
        raise _refuse(path, f"the compressed score is damaged ({error})", "export it again") from None


def _check_directory(data: bytes, path: Path) -> None:
    """Refuse a directory so large that reading it alone would fill memory."""
    end = data.rfind(b"PK\x05\x06")
    if end < 0:
        raise _refuse(path, "the compressed score is damaged (its end is missing)", "export it again")
    size = int.from_bytes(data[end + 12 : end + 16], "little")
    if size > MOST_DIRECTORY_BYTES or data[max(end - 20, 0) : end].startswith(b"PK\x06\x07"):
        raise _refuse(
            path, "the compressed score holds too many files", "a score needs one or two: export it again"
        )


def _check_members(archive: zipfile.ZipFile, path: Path) -> None:
    names = archive.namelist()
    if len(names) > MOST_MEMBERS:
        raise _refuse(
            path,
            f"the compressed score holds {len(names)} files",
            "a score needs one or two: export it again",
        )
    for name in names:
        if _climbs(name):
            raise _refuse(
                path,
                f"the compressed score holds a file that climbs out of it: {name!r}",
                "do not use this file",
            )


def _climbs(name: str) -> bool:
    member = PurePosixPath(name.replace("\\", "/"))
    return member.is_absolute() or ".." in member.parts or ":" in member.parts[0] if member.parts else False


def _root_name(archive: zipfile.ZipFile, path: Path) -> str:
    """The score's member name, from META-INF/container.xml, else the only score in the archive."""
    names = archive.namelist()
    if "META-INF/container.xml" in names:
        container = _parse(_read_member(archive, "META-INF/container.xml", path), path)
        for element in container.iter("{*}rootfile"):
            name = element.get("full-path", "")
            if name in names and element.get("media-type", "").split("+")[0] not in (
                "application/pdf",
                "audio/mpeg",
            ):
                return name
    scores = [n for n in names if n.endswith((".xml", ".musicxml", ".mei")) and not n.startswith("META-INF/")]
    if not scores:
        raise _refuse(path, "this ZIP file holds no score", f"export the score as {SUFFIXES}")
    return scores[0]


def _read_member(archive: zipfile.ZipFile, name: str, path: Path) -> bytes:
    """A member's bytes, counted while they are unpacked."""
    parts: list[bytes] = []
    total = 0
    with archive.open(name) as member:
        while chunk := member.read(CHUNK_BYTES):
            total += len(chunk)
            if total > MOST_BYTES:
                raise _refuse(
                    path,
                    f"the compressed score unpacks to more than {MOST_BYTES >> 20} MB",
                    "do not use this file",
                )
            parts.append(chunk)
    return b"".join(parts)


def _parse(data: bytes, path: Path) -> etree._Element:
    _check_entities(data, path)
    parser = etree.XMLParser(
        resolve_entities=False,
        load_dtd=False,
        no_network=True,
        huge_tree=False,
        remove_comments=True,
        remove_pis=True,
    )
    try:
        root = etree.fromstring(data.lstrip(b" \t\r\n"), parser)
    except etree.XMLSyntaxError as error:
        line, column = error.position
        raise _refuse(
            path, f"this is no well-formed XML ({error.msg})", "export the score again", line, column
        ) from None
    dtd = root.getroottree().docinfo.internalDTD
    if dtd is not None and dtd.entities():  # type: ignore[union-attr]  # missing from the stubs
        raise _entities(path, None)
    return root


def _check_entities(data: bytes, path: Path) -> None:
    """Refuse a file that declares entities before any parser sees it."""
    for encoding in ("utf-8", "utf-16-le", "utf-16-be"):
        at = data.find("<!ENTITY".encode(encoding))
        if at >= 0:
            raise _entities(path, data.count("\n".encode(encoding), 0, at) + 1)


def _entities(path: Path, line: int | None) -> MaterialError:
    return _refuse(
        path, "the file declares XML entities of its own, which no score needs", "do not use this file", line
    )


def _as_source(root: etree._Element, path: Path) -> Source:
    name = etree.QName(root).localname
    if name == "mei":
        return Source(path, root, "mei")
    if name == "score-partwise":
        return Source(path, _without_namespaces(root), "musicxml")
    if name == "score-timewise":
        return Source(path, _partwise(_without_namespaces(root)), "musicxml")
    if name == "opus":
        raise _refuse(
            path,
            "this is a collection of scores, not a score",
            "name one of the scores it lists",
            _line(root),
        )
    said = escape(name, quote=False)[:40]
    raise _refuse(
        path,
        f"this XML is neither MusicXML nor MEI: it is <{said}>",
        f"export the score as {SUFFIXES}",
        _line(root),
    )


def _line(element: etree._Element) -> int | None:
    line = element.sourceline
    return line if isinstance(line, int) else None


def _without_namespaces(root: etree._Element) -> etree._Element:
    """MusicXML has no namespace; some programs give it one."""
    for element in root.iter(etree.Element):
        if element.tag.startswith("{"):
            element.tag = etree.QName(element).localname
    return root


def _partwise(root: etree._Element) -> etree._Element:
    """A time-wise score turned into a part-wise one, in place."""
    root.tag = "score-partwise"
    parts: dict[str, etree._Element] = {}
    for measure in root.findall("measure"):
        for cell in measure.findall("part"):
            part = parts.setdefault(cell.get("id", ""), etree.Element("part", id=cell.get("id", "")))
            target = etree.SubElement(part, "measure", {str(k): str(v) for k, v in measure.attrib.items()})
            target.extend(list(cell))
        root.remove(measure)
    root.extend(list(parts.values()))
    return root
