"""``gridassay draw``: pictures of puzzles, and pages of a book."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.cli.common import (
    BOOK,
    BUDGET,
    LOOKS,
    SHOWN,
    WRITTEN,
    Budget,
    answering,
    check_ending,
    read_words,
    stop,
    writing,
)
from gridassay.verify.cli.draw_frames import As, draw_frames
from gridassay.verify.cli.ending import NOT_UNIQUE
from gridassay.verify.cli.telling import fail, read_all

if TYPE_CHECKING:
    from gridassay.verify.draw.style import Style
    from gridassay.verify.draw.view import View

Show = Literal["givens", "solution", "candidates", "possible", "differing", "conflict", "heat"]


def draw(
    files: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="FILE", help="Puzzle files, or files of puzzle lines; - reads standard input."
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            "-o",
            metavar="OUT",
            help="The file to write: .svg, .png or .pdf.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    show: Annotated[
        Show,
        typer.Option(
            "--show",
            help="What to put in the cells: the givens alone, the solution, the candidates that "
            "the givens leave, the digits that each cell takes in some solution, two solutions "
            "(marked where they differ), a conflict, or how much depends on each given.",
            rich_help_panel=SHOWN,
        ),
    ] = "givens",
    candidates: Annotated[
        str | None,
        typer.Option(
            metavar="POSITION",
            help="Draw the position in this file of candidates or steps.",
            rich_help_panel=SHOWN,
        ),
    ] = None,
    step: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            help="Draw step N of the route: premises ringed, conclusions light on dark.",
            rich_help_panel=SHOWN,
        ),
    ] = None,
    start: Annotated[
        str | None,
        typer.Option(
            "--from",
            metavar="FILE",
            help="With --step: start after these steps, or from these candidates.",
            rich_help_panel=SHOWN,
        ),
    ] = None,
    width: Annotated[
        float,
        typer.Option(
            min=20, max=1000, metavar="MM", help="The width of the picture.", rich_help_panel=LOOKS
        ),
    ] = 90,
    dpi: Annotated[
        float,
        typer.Option(
            min=36,
            max=1200,
            help="The resolution of a PNG, in dots per inch.",
            rich_help_panel=LOOKS,
        ),
    ] = 300,
    dark: Annotated[
        bool, typer.Option("--dark", help="Draw light on dark.", rich_help_panel=LOOKS)
    ] = False,
    style: Annotated[
        str | None,
        typer.Option(
            "--style",
            metavar="FILE",
            help="Take colours, dashes and fonts from this file.",
            rich_help_panel=LOOKS,
        ),
    ] = None,
    bare: Annotated[
        bool,
        typer.Option(
            "--bare", help="Draw the grid alone: no title, no rules.", rich_help_panel=LOOKS
        ),
    ] = False,
    numbered: Annotated[
        bool,
        typer.Option(
            "--numbered",
            help="Write row and column numbers beside the grid.",
            rich_help_panel=LOOKS,
        ),
    ] = False,
    per_page: Annotated[
        int | None,
        typer.Option(
            "--per-page",
            min=1,
            max=24,
            help="Make pages of a book with this many puzzles each.",
            rich_help_panel=BOOK,
        ),
    ] = None,
    answers: Annotated[
        bool,
        typer.Option("--answers", help="Add pages of answers at the back.", rich_help_panel=BOOK),
    ] = False,
    paper: Annotated[
        Literal["a4", "a5", "letter"],
        typer.Option("--paper", help="The paper size.", rich_help_panel=BOOK),
    ] = "a4",
    frames: Annotated[
        Path | None,
        typer.Option(
            metavar="DIR",
            help="Write a whole walkthrough: a picture for each stage of a step, and cues.vtt.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    steps: Annotated[
        str | None,
        typer.Option(
            metavar="STEPS",
            help="With --frames: draw the steps of this file instead of the route.",
            rich_help_panel=SHOWN,
        ),
    ] = None,
    frame_format: Annotated[
        As,
        typer.Option("--frame-format", help="The format of each frame.", rich_help_panel=WRITTEN),
    ] = "png",
    transparent: Annotated[
        bool,
        typer.Option(
            "--transparent",
            help="Leave out the paper, so that the picture can be laid over something else.",
            rich_help_panel=LOOKS,
        ),
    ] = False,
    starter_style: Annotated[
        bool,
        typer.Option(
            "--starter-style",
            help="Write a style file that explains every key, to -o or to standard output.",
            rich_help_panel=WRITTEN,
        ),
    ] = False,
    budget: Budget = BUDGET,
) -> None:
    """Draw puzzles: one picture, a PDF with one page per puzzle, or pages of a book.

    With --frames, draw a whole walkthrough instead.
    """
    if starter_style:
        _write_starter(out)
        return
    if not files:
        stop("there is no puzzle to draw: name its file")
    if (out is None) is (frames is None):
        stop("give either -o for a picture, or --frames for the folder of a walkthrough")
    if steps is not None and frames is None:
        stop("--steps goes with --frames")
    if frames is not None:
        with answering(str(frames), budget=budget):
            puzzles = _read(files)
            if len(puzzles) != 1:
                stop(f"a walkthrough is for one puzzle, but there are {len(puzzles)}")
            if (
                show != "givens"
                or candidates is not None
                or step is not None
                or per_page
                or answers
            ):
                stop("--frames shows only the steps")
            if steps is not None and start is not None:
                stop("--from is for a route; --steps always begin at the givens")
            chosen = _style(style, dark)
            with _fonts():
                draw_frames(
                    puzzles[0],
                    frames,
                    steps=steps,
                    start=start,
                    kind=frame_format,
                    width=width,
                    dpi=dpi,
                    style=chosen,
                    clear=transparent,
                    budget=budget,
                )
    assert out is not None
    from gridassay.verify.draw.output import FORMATS, write_pictures

    with answering(str(out)):
        check_ending(out, FORMATS, "a picture")
        puzzles = _read(files)
        chosen = _style(style, dark)
    book = per_page is not None or answers
    if out.suffix.lower() != ".pdf" and (len(puzzles) > 1 or book):
        stop(f"{out}: several puzzles, and pages of a book, are a .pdf file")
    asked = [show != "givens", candidates is not None, step is not None]
    if book and any(asked):
        stop("a book shows the givens; --answers adds the solutions at its back")
    if sum(asked) > 1:
        stop("a picture takes only one of --show, --candidates and --step")
    if start is not None and step is None:
        stop("--from goes with --step")
    if len(puzzles) > 1 and any(asked[1:]):
        stop(f"a position belongs to one puzzle, but there are {len(puzzles)}")

    from gridassay.verify.book.sheets import PageLayout, pages
    from gridassay.verify.draw.looks import run_style
    from gridassay.verify.draw.scene import grid_share, picture, with_margin

    if book:
        solved = _views(puzzles, _view_maker("solution", budget)) if answers else ()
        layout = PageLayout(paper, per_page or 1)
        pictures = pages(puzzles, layout, answers=solved, style=chosen)
    else:
        if candidates is not None:
            make = _position(candidates)
        elif step is not None:
            make = _step(step, start, budget)
        else:
            make = _view_maker(show, budget)
        chosen = run_style(puzzles, chosen)
        share = min(map(grid_share, puzzles)) if len(puzzles) > 1 else 1.0
        pictures = [
            replace(
                with_margin(
                    picture(
                        puzzle,
                        view,
                        width=width,
                        style=chosen,
                        heading=not bare,
                        legend=not bare,
                        numbered=numbered,
                        share=share,
                    )
                ),
                clear=transparent,
            )
            for puzzle, view in zip(puzzles, _views(puzzles, make), strict=True)
        ]
    with answering(str(out)), _fonts(), writing(out):
        write_pictures(pictures, out, dpi=dpi)


@contextmanager
def _fonts() -> Iterator[None]:
    """End the command with one line if a font file of the style cannot be used."""
    try:
        yield
    except PuzzleError:
        raise
    except ValueError as error:
        stop(str(error))


def _write_starter(out: Path | None) -> None:
    """A style file to begin with."""
    from gridassay.verify.draw.starter_style import starter
    from gridassay.verify.saving import save

    if out is None:
        print(starter(), end="")
        return
    with answering(str(out)):
        check_ending(out, (".toml", ".style"), "a style file")
        with writing(out):
            save(out, starter())


def _read(files: Sequence[str]) -> list[Puzzle]:
    """Every puzzle of the files. Raises PuzzleError for the first bad one."""
    puzzles = []
    for found in read_all(files):
        if isinstance(found, PuzzleError):
            raise found
        puzzles.append(found)
    return puzzles


def _style(file: str | None, dark: bool) -> Style:
    """The style of a file, or one of ours. Raises PuzzleError."""
    from gridassay.verify.draw.style import DARK, LIGHT

    if file is None:
        return DARK if dark else LIGHT
    from gridassay.verify.draw.style_files import read_style

    style = read_style(file)
    if not dark:
        return style
    page = {name: getattr(DARK, name) for name in ("paper", "ink", "tinting", "contrast")}
    return replace(style, **page)


Maker = Callable[[Puzzle], "View"]
"""Makes what is shown of a puzzle. Raises NothingToShow, OutOfTime, and PuzzleError of its files."""


def _view_maker(show: Show, budget: float) -> Maker:
    from gridassay.verify.draw import views
    from gridassay.verify.draw.view import PLAIN

    makers = {
        "solution": views.solution_view,
        "possible": views.possible_view,
        "differing": views.differing_view,
        "conflict": views.conflict_view,
        "heat": views.heat_view,
    }
    if show == "candidates":
        return _at_the_start
    return lambda puzzle: PLAIN if show == "givens" else makers[show](puzzle, budget=budget)


def _at_the_start(puzzle: Puzzle) -> View:
    """The board before its first step."""
    from gridassay.verify.draw.route_views import position_view
    from gridassay.verify.solving.board.position import Position

    return position_view(Position.start(puzzle))


def _position(file: str) -> Maker:
    from gridassay.verify.draw.route_views import position_view
    from gridassay.verify.solving.board.position_file import position_from

    return lambda puzzle: position_view(position_from(read_words(file), puzzle, file))


def _step(number: int, start: str | None, budget: float) -> Maker:
    from gridassay.verify.draw.route_views import view_of_number
    from gridassay.verify.solving.board.position_file import position_from

    def make(puzzle: Puzzle) -> View:
        position = position_from(read_words(start), puzzle, start) if start else None
        return view_of_number(puzzle, number, start=position, budget=budget)

    return make


def _views(puzzles: Sequence[Puzzle], make: Maker) -> list[View]:
    """The view of each puzzle. Ends the command if a puzzle does not have what is asked for."""
    from gridassay.verify.draw.views import NothingToShow

    views = []
    for puzzle in puzzles:
        try:
            with answering(puzzle.source):
                views.append(make(puzzle))
        except NothingToShow as error:
            fail(PuzzleError(str(error), puzzle.source))
            raise typer.Exit(NOT_UNIQUE) from None
    return views
