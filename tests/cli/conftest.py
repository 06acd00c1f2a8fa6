"""A tiny book, and one that is built."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from lessonmaker.cli import main
from tests.tools.at_once import in_one_process
from tests.tools.tiny_book import make_book


@pytest.fixture(scope="module")
def in_this_process() -> Iterator[None]:
    """Have every part made here: what is tested is not how workers are reached."""
    with in_one_process():
        yield


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book of one lesson of four bars in two editions, in a small picture."""
    return make_book(tmp_path / "book")


@pytest.fixture
def change(book: Path) -> Callable[[str, str], None]:
    """Change a text in the book's lesson script."""

    def changed(old: str, new: str) -> None:
        script = book / "scripts" / "four-bars.yaml"
        assert old in script.read_text()
        script.write_text(script.read_text().replace(old, new))

    return changed


@pytest.fixture
def fault(capsys: pytest.CaptureFixture[str]) -> Callable[..., str]:
    """The message of a command that fails, without lines that say what is being done."""

    def said(*arguments: object, status: int = 1) -> str:
        assert main([str(argument) for argument in arguments]) == status
        captured = capsys.readouterr()
        assert "Traceback" not in captured.err
        lines = [line for line in captured.err.splitlines() if not line.endswith(STEPS)]
        (one,) = lines or [""]
        return one

    return said


STEPS = (
    "to make",
    "fitting the take",
    "laying out",
    "making its own scenes",
    "listening to read.wav",
    "fitting to four-bars.musicxml",
    "fitting to the-tin-heron.musicxml",
)
