"""Journeys through ``gridassay draw``."""

from __future__ import annotations

import re
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


def test_a_step_of_the_route_is_drawn(tmp_path: Path) -> None:
    out = tmp_path / "a.svg"
    assert gridassay("draw", HARBOUR, "-o", out, "--step", "1").code == 0
    words = spoken(out)
    assert "Step 1, hidden single: 6 in box 2: column 4 and row 3" in words
    assert out.read_text().count('class="placed"') == 1
    # The fourth line of the steps file is the third step.
    steps = tmp_path / "half.steps"
    gridassay("route", HARBOUR, "--save", steps)
    steps.write_text("".join(steps.read_text().splitlines(keepends=True)[:3]))
    assert gridassay("draw", HARBOUR, "-o", out, "--step", "1", "--from", steps).code == 0
    told = gridassay("route", HARBOUR, "--from", steps, "--next", "--json").objects[0]
    assert told["steps"][0]["text"] in spoken(out)


def test_candidates_are_drawn(tmp_path: Path) -> None:
    out, position = tmp_path / "a.svg", tmp_path / "a.candidates"
    position.write_text("1 234 234 234\n34 . . .\n. . . .\n. . . 2-\n")
    run = gridassay("draw", "-", "-o", out, "--candidates", position, stdin="1...............")
    assert (run.code, run.err) == (0, "")
    drawn = out.read_text()
    assert drawn.count('class="given"') == 1
    assert drawn.count('class="candidate"') == 3 * 3 + 2 + 10 * 4 + 1
    # A steps file is a position as well: the one it leads to.
    position.write_text("r1c2 = 2\n")
    gridassay("draw", "-", "-o", out, "--candidates", position, stdin="1...............")
    assert out.read_text().count('class="digit"') == 1


def spoken(picture: Path) -> str:
    """The lines below the grid as one."""
    return " ".join(re.findall(r'class="caption".*?>(.*?)<', picture.read_text()))


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
        (["-o", "a.gif"], "a.gif: a picture is a file that ends in .svg, .png or .pdf"),
        (["-o", "a.svg", "--per-page", "2"], "pages of a book, are a .pdf file"),
        (["-o", "a.pdf", "--answers", "--show", "possible"], "a book shows the givens"),
        (["-o", "missing/a.svg"], "missing/a.svg: cannot be written: no such file"),
        (["-o", "a.svg", "--style", "none.toml"], "none.toml: cannot be read"),
        (["-o", "a.svg", "--step", "55"], "there is no step 55: the route has 54 steps"),
        (["-o", "a.svg", "--step", "-1"], "there is no step -1: they are numbered from 1"),
        (["-o", "a.svg", "--from", "a.steps"], "--from goes with --step"),
        (["-o", "a.svg", "--step", "1", "--from", "a.steps"], "a.steps: cannot be read"),
        (["-o", "a.svg", "--candidates", "a.steps"], "a.steps: cannot be read"),
        (["-o", "a.svg", "--step", "1", "--show", "heat"], "one of --show, --candidates and --st"),
        (["-o", "a.pdf", "--step", "1", "--answers"], "a book shows the givens"),
        ([HARBOUR, "-o", "a.pdf", "--step", "1"], "one puzzle, but there are 2"),
        ([], "give either -o for a picture, or --frames for the folder of a walkthrough"),
        (
            ["-o", "a.svg", "--frames", "f"],
            "give either -o for a picture, or --frames for the folder of a walkthrough",
        ),
        (["-o", "a.svg", "--steps", "a.steps"], "--steps goes with --frames"),
        (["--frames", "f", "--steps", "a.steps"], "a.steps: cannot be read"),
        (["--frames", "f", "--show", "heat"], "--frames shows only the steps"),
        ([HARBOUR, "--frames", "f"], "a walkthrough is for one puzzle, but there are 2"),
    ],
)
def test_bad_usage_is_told_in_a_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str | Path], message: str
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
    assert "tide-table.txt:4: there is no single solution to show: it has several" in run.err
    assert not list(tmp_path.iterdir())


def test_frames_of_a_route_and_of_steps_of_your_own(tmp_path: Path) -> None:
    puzzle = tmp_path / "four.txt"
    puzzle.write_text("1......2..3..4..\n")
    steps = tmp_path / "mine.steps"
    steps.write_text("r1c2 = 2  # nothing else fits here, so it is 2\n")
    route = gridassay("draw", puzzle, "--frames", tmp_path / "route", "--frame-format", "svg")
    assert route.code == 0
    assert "26 frames and cues.vtt" in route.out
    mine = gridassay("draw", puzzle, "--steps", steps, "--frames", tmp_path / "mine", "--dpi", "50")
    assert mine.code == 0
    names = sorted(path.name for path in (tmp_path / "mine").iterdir())
    assert names == ["001.png", "002.png", "003.png", "cues.vtt"]
    assert "Nothing else fits here." in (tmp_path / "mine" / "cues.vtt").read_text()


def test_a_starter_style_is_written_and_taken(tmp_path: Path) -> None:
    out = tmp_path / "mine.toml"
    assert gridassay("draw", "--starter-style", "-o", out).code == 0
    assert gridassay("draw", "--starter-style").out == out.read_text()
    plain, styled = tmp_path / "plain.svg", tmp_path / "styled.svg"
    assert gridassay("draw", HARBOUR, "-o", plain).code == 0
    assert gridassay("draw", HARBOUR, "-o", styled, "--style", out).code == 0
    assert plain.read_text() == styled.read_text()
