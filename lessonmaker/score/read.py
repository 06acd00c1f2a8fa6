"""Reading a score file into a `Score`: one part, its bars, notes and changes, and their playing order."""

from __future__ import annotations

import difflib
import re
from pathlib import Path

from lxml import etree

from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.score import mei, musicxml, prepare
from lessonmaker.score.assemble import assemble
from lessonmaker.score.model import Score
from lessonmaker.score.raw import RawPart
from lessonmaker.score.source import Source, open_source
from lessonmaker.score.toolkit import new_toolkit
from lessonmaker.theory.pitch import Interval

__all__ = ["read_score"]

ID_SEED = 1
MADE_AT = re.compile(r'(<application\b[^>]*?) isodate="[^"]*"')


def read_score(path: Path, part: str | None = None, written_for: Interval | None = None) -> Score:
    """Read the first part of a score, or the one named.

    Args:
        path: a .musicxml, .xml, .mxl or .mei file.
        part: a part's name or id.
        written_for: the written interval above sounding pitch of the instrument that the part is written
            for, where the file itself does not say.

    Raises:
        MaterialError: the file cannot be read as a score with notes.
    """
    source = open_source(path)
    raw = _read_musicxml(source, part) if source.kind == "musicxml" else _read_mei(source, part)
    return assemble(raw, path, written_for)


def _read_musicxml(source: Source, part: str | None) -> RawPart:
    root = source.root
    chosen = _choose(musicxml.part_names(root), part, source)
    prepare.keep_part(root, chosen)
    for element in root.findall("part"):
        prepare.give_ids(element)
    raw = musicxml.read_part(root, chosen)
    _check_notes(raw, source)
    prepare.strip_for_engraving(root)
    for element in root.findall("part"):
        prepare.add_beams(element, raw.bars)
    raw.mei = _to_mei(root, source)
    return raw


def _read_mei(source: Source, part: str | None) -> RawPart:
    root = source.root
    names = mei.part_names(root)
    chosen = _choose(names, part, source)
    mei.keep_part(root, chosen)
    raw = mei.read_part(etree.fromstring(_to_mei(root, source).encode()), names[chosen])
    _check_notes(raw, source)
    return raw


def _choose(names: dict[str, str], wanted: str | None, source: Source) -> str:
    """The id of the part wanted; the first one where none is named."""
    if not names:
        raise MaterialError(Fault("the score has no part", "export the score again", Place(source.path)))
    if wanted is None:
        return next(iter(names))
    for id_, name in names.items():
        if wanted.casefold().strip() in (id_.casefold(), name.casefold()):
            return id_
    near = difflib.get_close_matches(wanted, names.values(), 1)
    meant = f"did you mean {near[0]!r}? " if near else ""
    listed = ", ".join(dict.fromkeys(names.values()))
    raise MaterialError(
        Fault(f"the score has no part {wanted!r}", f"{meant}it has: {listed}", Place(source.path))
    )


def _check_notes(raw: RawPart, source: Source) -> None:
    if not any(bar.notes for bar in raw.bars):
        what = f"the part {raw.name!r} has no notes"
        raise MaterialError(Fault(what, "name another part, or export the score again", Place(source.path)))


def _to_mei(root: etree._Element, source: Source) -> str:
    """The engraver's own form of the score: MEI in which the notes keep their ids, without the hour it was made."""
    toolkit = new_toolkit()
    toolkit.setOptions({"xmlIdSeed": ID_SEED})
    if not toolkit.loadData(etree.tostring(root, encoding="unicode")):
        raise MaterialError(
            Fault("the engraver cannot read this score", "export it again", Place(source.path))
        )
    return MADE_AT.sub(r"\1", toolkit.getMEI())
