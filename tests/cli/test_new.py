"""What a new book holds, and what `new` says comes next."""

from lessonmaker.cli import main


def test_the_demo_book_holds_nothing_but_the_book(tmp_path, capsys):
    folder = tmp_path / "demo"
    assert main(["new", "--demo", str(folder)]) == 0
    assert f"Next: lessonmaker build {folder}" in capsys.readouterr().out
    kinds = {path.suffix for path in folder.rglob("*") if path.is_file()}
    assert kinds == {".yaml", ".musicxml", ".ogg", ".md", ".py"}


def test_an_empty_book_asks_for_its_first_lesson(tmp_path, capsys):
    assert main(["new", str(tmp_path / "book")]) == 0
    assert f"name it in {tmp_path / 'book' / 'scripts' / 'book.yaml'}" in capsys.readouterr().out
