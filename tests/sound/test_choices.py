"""The ways into the states of a search: kept by the half byte, in memory or in a file on disk."""

from functools import partial
from tempfile import SpooledTemporaryFile, TemporaryFile

import numpy as np
import pytest

from lessonmaker.sound.align.choices import Choices

ROWS, COLUMNS, TICKS, BLOCKS = 5, 3, 8, 4


@pytest.mark.parametrize("opened", [TemporaryFile, partial(SpooledTemporaryFile, ROWS * COLUMNS * TICKS)])
def test_every_way_is_found_again(opened):
    ways = np.random.default_rng(2).integers(0, 16, (ROWS, COLUMNS, TICKS * BLOCKS), dtype=np.uint8)
    with opened() as file:
        choices = Choices(file, ROWS, COLUMNS, TICKS)
        for block in np.split(ways, BLOCKS, axis=2):
            choices.add(block)
        found = [choices.at(*place) for place in np.ndindex(ways.shape)]
        file.seek(0, 2)
        assert file.tell() == ways.size / 2
    assert found == ways.ravel().tolist()
