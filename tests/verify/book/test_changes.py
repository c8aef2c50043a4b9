"""Two versions of a book: what came, went, moved and changed, and on which pages."""

from __future__ import annotations

from pathlib import Path

from gridassay.verify.book.changes import BookChanges, book_changes
from gridassay.verify.book.reading import read_book

from .shelf import ALL, LINES, book, four, puzzle, written

OTHER = "1...34.....3..21"


def changes(tmp_path: Path, old: dict[str, str], new: dict[str, str]) -> BookChanges:
    books = [written(tmp_path / name, files) for name, files in (("old", old), ("new", new))]
    return book_changes(*(read_book(str(path)) for path in books))


def test_nothing_changed(tmp_path: Path) -> None:
    files = {**four(), "book.toml": book(ALL)}
    found = changes(tmp_path, files, files)
    assert found.same
    assert found.lines() == ["nothing changed"]
    assert found.pages == ()


def test_added_removed_moved_and_changed(tmp_path: Path) -> None:
    old = {**four(), "book.toml": book(ALL)}
    new = {**four(Mooring=LINES[2].replace("4", ".")), "fender.toml": puzzle(OTHER, "Fender")}
    del new["breakwater.toml"]
    order = "puzzles = ['bollard.toml', 'slipway.toml', 'mooring.toml', 'fender.toml']"
    found = changes(tmp_path, old, {**new, "book.toml": book(order)})
    data = found.to_json()
    assert [one["title"] for one in data["added"]] == ["Fender"]
    assert [one["title"] for one in data["removed"]] == ["Breakwater"]
    assert [(one["title"], one["was"], one["number"]) for one in data["moved"]] == [
        ("Bollard", 2, 1),
        ("Slipway", 1, 2),
    ]
    (changed,) = data["changed"]
    assert (changed["title"], changed["new"]["verdict"]) == ("Mooring", "multiple")
    assert changed["changes"] == [{"what": "r2c2", "old": "4", "new": None}]
    lines = found.lines()
    assert "moved 1 Bollard, was number 2" in lines
    assert "changed 3 Mooring: removed r2c2: 4; verdict multiple, was unique" in lines
    assert lines[-1].startswith("pages affected: ")


def test_a_puzzle_in_another_file_is_the_same_puzzle(tmp_path: Path) -> None:
    renamed = {
        ("quay.toml" if name == "mooring.toml" else name): text for name, text in four().items()
    }
    old, new = book(ALL), book(ALL.replace("mooring", "quay"))
    found = changes(tmp_path, {**four(), "book.toml": old}, {**renamed, "book.toml": new})
    assert found.same


def test_a_solution_that_changed_is_told_with_its_cells(tmp_path: Path) -> None:
    turned = LINES[0].translate(str.maketrans("12", "21"))
    old, new = ({**four(Slipway=line), "book.toml": book(ALL)} for line in (LINES[0], turned))
    found = changes(tmp_path, old, new)
    ((_, _, one),) = found.changed
    assert one.moved is not None
    assert len(one.moved) == 8
    assert len(found.pages) == 1
