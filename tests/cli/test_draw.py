"""Journeys through ``gridassay draw``."""

from __future__ import annotations

from pathlib import Path

import pytest

from .run import EXAMPLES, gridassay

HARBOUR = EXAMPLES / "harbour-lights.toml"


@pytest.mark.parametrize(
    ("name", "start"), [("a.svg", b"<svg"), ("a.png", b"\x89PNG"), ("a.pdf", b"%PDF")]
)
def test_a_picture_in_each_format(tmp_path: Path, name: str, start: bytes) -> None:
    run = gridassay("draw", HARBOUR, "-o", tmp_path / name)
    assert (run.code, run.out, run.err) == (0, "", "")
    assert (tmp_path / name).read_bytes().startswith(start)


def test_options_reach_the_picture(tmp_path: Path) -> None:
    out = tmp_path / "a.svg"
    gridassay("draw", HARBOUR, "-o", out)
    plain = out.read_text()
    assert "Harbour Lights" in plain
    assert 'class="coordinate"' not in plain
    gridassay("draw", HARBOUR, "-o", out, "--bare", "--numbered", "--dark", "--width", "120")
    asked = out.read_text()
    assert "Harbour Lights</text>" not in asked
    assert asked.count('class="coordinate"') == 18
    assert 'width="120mm"' in asked
    assert "#15171c" in asked


@pytest.mark.parametrize(
    ("show", "text", "role"),
    [
        ("solution", "1......2..3..4..", "digit"),
        ("possible", "1.....2.........", "candidate"),
        ("differing", "1.....2.........", "split"),
        ("conflict", "1..1............", "ring"),
        ("heat", "1......2..3..4..", "heat-bar"),
    ],
)
def test_what_is_shown(tmp_path: Path, show: str, text: str, role: str) -> None:
    out = tmp_path / "a.svg"
    assert gridassay("draw", "-", "-o", out, "--show", show, stdin=text).code == 0
    assert f'class="{role}"' in out.read_text()


def test_a_book_with_answers(tmp_path: Path) -> None:
    out = tmp_path / "book.pdf"
    files = [EXAMPLES / f"{name}.toml" for name in ("harbour-lights", "ropewalk", "sandbanks")]
    assert gridassay("draw", *files, "-o", out, "--per-page", "2", "--answers").code == 0
    import pypdfium2

    document = pypdfium2.PdfDocument(out.read_bytes())
    assert len(document) == 3
    assert "Answers" in document[2].get_textpage().get_text_range()


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["-o", "a.gif"], "a.gif: a picture is a file that ends in .svg, .png, .pdf"),
        (["-o", "a.svg", "--per-page", "2"], "pages of a book, are a .pdf file"),
        (["-o", "a.pdf", "--answers", "--show", "possible"], "a book shows the givens"),
        (["-o", "missing/a.svg"], "missing/a.svg: cannot be written: No such file"),
        (["-o", "a.svg", "--style", "none.toml"], "none.toml: cannot be read"),
    ],
)
def test_bad_usage_is_told_in_a_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], message: str
) -> None:
    monkeypatch.chdir(tmp_path)
    run = gridassay("draw", HARBOUR, *arguments)
    assert run.code == 2
    assert message in run.err
    assert run.err.count("\n") == 1
    assert not list(tmp_path.iterdir())


def test_a_bad_puzzle_draws_nothing(tmp_path: Path) -> None:
    run = gridassay("draw", HARBOUR, "-", "-o", tmp_path / "a.pdf", stdin="12x4")
    assert run.code == 2
    assert not list(tmp_path.iterdir())


def test_an_answer_that_is_not_the_only_one_is_not_printed(tmp_path: Path) -> None:
    run = gridassay("draw", EXAMPLES / "tide-table.txt", "-o", tmp_path / "a.pdf", "--answers")
    assert run.code == 1
    assert "tide-table.txt:4: there is no one solution to show: it has several" in run.err
    assert not list(tmp_path.iterdir())
