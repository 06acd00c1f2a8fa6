"""What each check finds, in sentences of any length: how sure it is of long ones is `tests/script/test_doubted.py`."""

import pytest

from lessonmaker.script.plain import text


@pytest.fixture(autouse=True)
def sure(monkeypatch):
    """Sentences of any length are held for short ones."""
    monkeypatch.setattr(text, "SHORT", 100)
