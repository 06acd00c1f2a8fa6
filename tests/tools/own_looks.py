"""Looks of a book's own for tests: dark paper, other fonts, a drawn logo, own cards."""

from __future__ import annotations

from pathlib import Path

from PIL import Image, ImageDraw

DARK = """\
colours:
  paper: "#171B20"
  ink: "#F0ECE2"
  now: "#6FB7E9"
  tension: "#F0925A"
"""
REST = """\
fonts: {titles: fontpkg-source-sans-3, text: fontpkg-source-serif-4}
sizes: {titles: 110%, captions: 115%, chords: 110%, labels: 110%}
logo: {picture: logo.png, height: 120, place: top right, on: [title, end, pages]}
title_card:
  lines: ["{edition}", "{form}", "From {book}"]
end_card:
  heading: Thank you for practising
  under: "{title}"
  lines: ["{edition}", "Next: through all twelve keys"]
"""


def make_look(book: Path) -> Path:
    """The look in a book's shared folder, with its logo."""
    shared = book / "shared"
    shared.mkdir(exist_ok=True)
    draw_logo(shared / "logo.png")
    path = shared / "look.yaml"
    path.write_text(DARK + REST, "utf-8")
    return path


def draw_logo(path: Path) -> None:
    """A ring and a bar on nothing."""
    picture = Image.new("RGBA", (480, 240), (0, 0, 0, 0))
    draw = ImageDraw.Draw(picture)
    draw.ellipse((10, 10, 230, 230), fill=(230, 159, 0, 255))
    draw.ellipse((70, 70, 170, 170), fill=(0, 0, 0, 0))
    draw.rounded_rectangle((260, 60, 470, 180), 30, fill=(111, 183, 233, 255))
    picture.save(path)
