"""``gridassay book`` and ``answer --reply`` at the command line: what is printed, and how each ends."""

from __future__ import annotations

from pathlib import Path

import pytest

from .run import gridassay

LINES = ("1..4...2....43..", "...4..1.2....3.1", "1...34.....3..2.")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, line in zip("abc", LINES, strict=True):
        text = (
            f'title = "Pier {name.upper()}"\ncredit = "Old Hask"\nsize = 4\ngivens = """{line}"""\n'
        )
        (tmp_path / f"{name}.toml").write_text(text)
    return tmp_path


def test_from_a_folder_to_a_checked_book_and_its_pages(folder: Path) -> None:
    book = folder / "book.toml"
    run = gridassay("book", "new", folder)
    assert (run.code, run.out) == (
        0,
        f"{book}: a book of 3 puzzles; gridassay book check {book} is next\n",
    )
    run = gridassay("book", "check", book, "--page", folder / "check.html")
    assert (run.code, run.err) == (0, "")
    assert "  1  Pier A  unique   singles  met" in run.out
    assert "levels  ▁▁▁" in run.out
    assert run.out.endswith("3 puzzles, every one as wanted, 0 notes\n")
    assert "<td>Pier B</td>" in (folder / "check.html").read_text()
    run = gridassay("book", "make", book, "-o", folder / "out.pdf")
    assert (run.code, run.err) == (0, "")
    assert (folder / "out.pdf").read_bytes().startswith(b"%PDF")
    run = gridassay("book", "make", book, "-o", folder / "web", "--pictures", folder / "loose")
    assert (run.code, run.err) == (0, "")
    assert (folder / "web" / "index.html").exists()
    assert len(list((folder / "loose").iterdir())) == 13


def test_a_check_that_fails_and_one_that_is_cut_short(folder: Path) -> None:
    gridassay("book", "new", folder)
    book = folder / "book.toml"
    assert gridassay("book", "check", book, "--budget", "0").code == 3
    late = gridassay("book", "make", book, "-o", folder / "late.pdf", "--budget", "0")
    assert late.code == 3, "what is not known is not called wrong"
    assert late.err.count("its solution was not found within --budget, so it has no answer") == 3
    (folder / "b.toml").write_text('title = "Pier B"\nsize = 4\n')
    run = gridassay("book", "check", book, "--github", "--junit", folder / "junit.xml")
    assert run.code == 1
    assert "wrong   2 Pier B: it has several solutions, and the book wants one solution" in run.out
    assert "\n::error file=" in run.out
    assert 'failures="1"' in (folder / "junit.xml").read_text()
    (found,) = gridassay("book", "check", book, "--json").objects
    assert [one["verdict"] for one in found["puzzles"]] == ["unique", "multiple", "unique"]
    run = gridassay("book", "make", book, "-o", folder / "out.pdf")
    assert run.code == 1
    assert run.err == (
        "gridassay: 2 Pier B: it does not have exactly one solution, so it has no answer here\n"
    )


def test_bad_input_is_told_in_a_line_each_and_leaves_nothing_behind(folder: Path) -> None:
    book = folder / "book.toml"
    book.write_text(
        'title = "Piers"\n[[chapter]]\npuzzles = ["x.toml", "y*.toml"]\n'
        '[[chapter.puzzle]]\nfile = "a.toml"\nnumber = 3\n'
        '[[chapter.puzzle]]\nfile = "b.toml"\nnumber = 3\n'
    )
    before = sorted(folder.iterdir())
    said = [
        f"gridassay: {book}:3: there is no file x.toml",
        f"gridassay: {book}:3: no file matches y*.toml",
        f"gridassay: {book}:8: number 3 stands twice: a.toml and b.toml",
    ]
    for words in (["check"], ["make", "-o", folder / "out.pdf"], ["make", "-o", folder / "web"]):
        run = gridassay("book", words[0], book, *words[1:])
        assert (run.code, run.out, run.err.splitlines()) == (2, "", said)
    (found,) = gridassay("book", "check", book, "--json").objects
    assert len(found["problems"]) == 3
    assert sorted(folder.iterdir()) == before


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["new", "nowhere"], "nowhere: there is no such folder"),
        (["make", "book.toml"], "-o OUT is where the pages go; --pictures DIR where pictures do"),
        (["make", "book.toml", "-o", "out.txt"], "out.txt: a book is a .pdf file or a folder"),
        (["make", "book.toml", "-o", "web", "--bleed", "3"], "--bleed is for a .pdf file"),
        (
            ["check", "book.toml", "--page", "a.png"],
            "a.png: a page is a file that ends in .html or .pdf",
        ),
        (["diff", "a.toml", "nowhere.toml"], "a.toml:3: there is no field 'size'"),
    ],
)
def test_what_makes_no_sense_is_told(
    folder: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], told: str
) -> None:
    monkeypatch.chdir(folder)
    run = gridassay("book", *words)
    assert run.code == 2
    assert f"gridassay: {told}" in run.err


def test_two_versions_of_a_book(folder: Path) -> None:
    old, new = folder / "book.toml", folder / "new.toml"
    gridassay("book", "new", folder)
    new.write_text(old.read_text().replace('    "a.toml",\n', ""))
    run = gridassay("book", "diff", old, new)
    assert run.code == 0
    assert "removed 1 Pier A\nmoved 1 Pier B, was number 2\nmoved 2 Pier C, was number 3" in run.out
    (found,) = gridassay("book", "diff", old, new, "--json").objects
    assert [one["title"] for one in found["removed"]] == ["Pier A"]


def test_a_reply_to_a_reader(folder: Path) -> None:
    run = gridassay(
        "answer", folder / "a.toml", "r1c2 = 2", "--reply", "--picture", folder / "r.svg"
    )
    assert run.code == 0
    assert run.out.startswith("Yes, r1c2 = 2, and there is no need to guess at r1c2: ")
    assert (folder / "r.svg").read_text().startswith("<svg")
    run = gridassay("answer", folder / "a.toml", "uses swordfish", "--reply", "--json")
    assert run.code == 1
    assert run.objects[0]["right"] is False
    run = gridassay("answer", folder / "a.toml", "so there", "--reply")
    assert (run.code, run.out) == (2, "")
