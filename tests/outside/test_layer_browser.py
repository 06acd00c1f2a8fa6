"""A WebM layer as a browser shows it: Chromium takes its colours for straight, and finds the cover."""

from __future__ import annotations

import base64
import re
import shutil
import subprocess
from fractions import Fraction

import numpy as np
import pytest

from lessonmaker.picture.raster import Area
from lessonmaker.video.layer import Layer, write_layer
from tests.tools.flat_cover import FlatCover

CHROMIUM = shutil.which("chromium")
BLUE, PAPER = (40, 90, 200), (251, 248, 242)
PAGE = """<body><pre id="seen"></pre><video id="film" muted preload="auto" src="data:video/webm;base64,{film}"></video>
<script>
const film = document.getElementById("film");
film.onloadeddata = () => {{
  const canvas = document.createElement("canvas");
  canvas.width = 192; canvas.height = 128;
  const drawn = canvas.getContext("2d");
  drawn.drawImage(film, 0, 0);
  const at = (x, y) => Array.from(drawn.getImageData(x, y, 1, 1).data).join(",");
  document.getElementById("seen").textContent = [at(8, 8), at(56, 88), at(136, 88)].join(" ");
}};
</script>"""


@pytest.mark.skipif(CHROMIUM is None, reason="needs chromium")
def test_a_browser_shows_straight_colours_and_their_cover(tmp_path):
    place = Area(16, 64, 176, 112)
    covers = FlatCover((160, 48), ((BLUE, 255), (PAPER, 128)))
    layer = Layer((192, 128), place, Fraction(1), Fraction(30), 10, "00:00:00:00", PAPER)
    write_layer(tmp_path / "made.webm", covers, layer, "Night Ferry")
    film = base64.b64encode((tmp_path / "made.webm").read_bytes()).decode("ascii")
    (tmp_path / "page.html").write_text(PAGE.format(film=film), encoding="ascii")
    options = (
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--no-first-run",
        "--disable-extensions",
        "--dump-dom",
    )
    page = subprocess.run(
        [CHROMIUM, *options, f"--user-data-dir={tmp_path / 'browser'}", (tmp_path / "page.html").as_uri()],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    ).stdout
    seen = re.search(r'<pre id="seen">(.*?)</pre>', page)
    outside, opaque, clear = (
        np.array([int(value) for value in pixel.split(",")]) for pixel in seen[1].split(" ")
    )
    assert outside[3] == 0
    assert np.abs(opaque - [*BLUE, 255]).max() <= 8
    assert np.abs(clear - [*PAPER, 128]).max() <= 4
