"""``gridassay draw``: pictures of puzzles, and pages of a book."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal, NoReturn

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.cli.common import (
    BAD_INPUT,
    BUDGET,
    NOT_UNIQUE,
    UNDECIDED,
    Budget,
    Files,
    fail,
    read_all,
)

if TYPE_CHECKING:
    from gridassay.verify.draw.style import Style
    from gridassay.verify.draw.view import View

Show = Literal["givens", "solution", "possible", "differing", "conflict", "heat"]


def draw(
    files: Files,
    out: Annotated[
        Path, typer.Option("--out", "-o", metavar="OUT", help="A .svg, .png or .pdf file.")
    ],
    show: Annotated[
        Show,
        typer.Option(
            "--show",
            help="What stands in the cells: the givens alone, the solution, the possible digits over "
            "all solutions, two solutions where they differ, what contradicts what, or how much hangs "
            "on each given.",
        ),
    ] = "givens",
    width: Annotated[
        float, typer.Option(min=20, max=1000, metavar="MM", help="Width of the picture.")
    ] = 90,
    dpi: Annotated[float, typer.Option(min=36, max=1200, help="Dots an inch of a PNG.")] = 300,
    dark: Annotated[bool, typer.Option("--dark", help="Light on dark.")] = False,
    style: Annotated[
        str | None,
        typer.Option("--style", metavar="FILE", help="A style file: colours, dashes and fonts."),
    ] = None,
    bare: Annotated[
        bool, typer.Option("--bare", help="The grid alone: no title, no rules.")
    ] = False,
    numbered: Annotated[
        bool, typer.Option("--numbered", help="Write row and column numbers beside the grid.")
    ] = False,
    per_page: Annotated[
        int | None,
        typer.Option(
            "--per-page", min=1, max=24, help="Make pages of a book, so many puzzles each."
        ),
    ] = None,
    answers: Annotated[
        bool, typer.Option("--answers", help="Pages of answers at the back of the book.")
    ] = False,
    paper: Annotated[
        Literal["a4", "a5", "letter"], typer.Option("--paper", help="The paper of a book.")
    ] = "a4",
    budget: Budget = BUDGET,
) -> None:
    """Draw puzzles: a picture of one, or a PDF with a page each, or the pages of a book."""
    from gridassay.verify.draw.output import FORMATS, write_pictures

    kind = out.suffix.lower()
    if kind not in FORMATS:
        _end(f"{out}: a picture is a file that ends in {', '.join(FORMATS)}")
    puzzles = _read(files)
    book = per_page is not None or answers
    if kind != ".pdf" and (len(puzzles) > 1 or book):
        _end(f"{out}: several puzzles, and pages of a book, are a .pdf file")
    if book and show != "givens":
        _end("a book shows the givens; --answers adds the solutions at its back")
    chosen = _style(style, dark)

    from gridassay.verify.draw.book import Layout, pages
    from gridassay.verify.draw.scene import framed, picture

    if book:
        solved = _views(puzzles, "solution", budget) if answers else ()
        layout = Layout(paper, per_page or 1)
        pictures = pages(puzzles, layout, answers=solved, style=chosen)
    else:
        pictures = [
            framed(
                picture(
                    puzzle,
                    view,
                    width=width,
                    style=chosen,
                    heading=not bare,
                    legend=not bare,
                    numbered=numbered,
                )
            )
            for puzzle, view in zip(puzzles, _views(puzzles, show, budget), strict=True)
        ]
    try:
        write_pictures(pictures, out, dpi=dpi)
    except OSError as error:
        _end(f"{out}: cannot be written: {error.strerror}")
    except ValueError as error:
        _end(str(error))


def _read(files: Sequence[str]) -> list[Puzzle]:
    puzzles = []
    for found in read_all(files):
        if isinstance(found, PuzzleError):
            fail(found)
            raise typer.Exit(BAD_INPUT)
        puzzles.append(found)
    return puzzles


def _style(file: str | None, dark: bool) -> Style:
    from gridassay.verify.draw.style import DARK, LIGHT

    if file is None:
        return DARK if dark else LIGHT
    from gridassay.verify.draw.style_files import read_style

    try:
        style = read_style(file)
    except PuzzleError as error:
        fail(error)
        raise typer.Exit(BAD_INPUT) from None
    return replace(style, paper=DARK.paper, ink=DARK.ink, tinting=DARK.tinting) if dark else style


def _views(puzzles: Sequence[Puzzle], show: Show, budget: float) -> list[View]:
    """What is shown of each puzzle. Ends the command where one has not got it."""
    from gridassay.verify.budget import OutOfTime
    from gridassay.verify.draw.view import PLAIN
    from gridassay.verify.draw.views import (
        NothingToShow,
        conflict_view,
        differing_view,
        heat_view,
        possible_view,
        solution_view,
    )

    makers = {
        "solution": solution_view,
        "possible": possible_view,
        "differing": differing_view,
        "conflict": conflict_view,
        "heat": heat_view,
    }
    if show == "givens":
        return [PLAIN] * len(puzzles)
    views = []
    for puzzle in puzzles:
        try:
            views.append(makers[show](puzzle, budget))
        except NothingToShow as error:
            fail(PuzzleError(str(error), puzzle.source))
            raise typer.Exit(NOT_UNIQUE) from None
        except OutOfTime:
            fail(PuzzleError("the budget ran out before all was known", puzzle.source))
            raise typer.Exit(UNDECIDED) from None
    return views


def _end(message: str) -> NoReturn:
    fail(PuzzleError(message))
    raise typer.Exit(BAD_INPUT)
