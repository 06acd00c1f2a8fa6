"""Font packages for tests: installed folders with metadata, and fonts whose letters are squares."""

from __future__ import annotations

import io
from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from lessonmaker.picture.faces import LATIN

EM, SIDE = 1000, 500


def square_font(weight: int = 400, italic: bool = False, letters: str = LATIN, advance: int = 600) -> bytes:
    """A TrueType font in which every letter is a square as wide as half an em."""
    names = [".notdef", *(f"u{ord(letter):04X}" for letter in letters)]
    pen = TTGlyphPen(None)
    pen.moveTo((50, 0))
    for point in ((50, SIDE), (50 + SIDE, SIDE), (50 + SIDE, 0)):
        pen.lineTo(point)
    pen.closePath()
    square = pen.glyph()
    font = FontBuilder(EM, isTTF=True)
    font.setupGlyphOrder(names)
    font.setupCharacterMap({ord(letter): name for letter, name in zip(letters, names[1:], strict=True)})
    font.setupGlyf(dict.fromkeys(names, square))
    font.setupHorizontalMetrics(dict.fromkeys(names, (advance, 50)))
    font.setupHorizontalHeader(ascent=800, descent=-200)
    font.setupNameTable({"familyName": "Squares", "styleName": f"{weight}"})
    font.setupOS2(usWeightClass=weight, fsSelection=1 if italic else 64)
    font.setupPost(italicAngle=-12 if italic else 0)
    held = io.BytesIO()
    font.save(held)
    return held.getvalue()


def install(site: Path, name: str, files: dict[str, bytes], version: str = "1.0") -> None:
    """Lay a package into a folder that stands on `sys.path`; its code must not be run."""
    folder = name.replace("-", "_")
    files = {f"{folder}/__init__.py": b"raise RuntimeError('imported')\n"} | {
        f"{folder}/files/{file}": data for file, data in files.items()
    }
    about = f"{folder}-{version}.dist-info"
    files[f"{about}/METADATA"] = f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n".encode()
    files[f"{about}/RECORD"] = "".join(f'"{path}",,\n' for path in [*files, f"{about}/RECORD"]).encode()
    for path, data in files.items():
        (site / path).parent.mkdir(parents=True, exist_ok=True)
        (site / path).write_bytes(data)
