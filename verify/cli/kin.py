"""``gridassay kin``: the symmetries of one puzzle; the same puzzle in disguise among several."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import OutOfTime
from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    WRITTEN,
    AsJson,
    Budget,
    Files,
    say,
    stop,
)
from gridassay.verify.cli.ending import BAD_INPUT, NOT_UNIQUE, UNDECIDED
from gridassay.verify.cli.telling import ExitCode, fail, print_json, read_all, tell

if TYPE_CHECKING:
    from gridassay.verify.kin import Catalogue, KinGroup, SameSolution, Symmetries
    from gridassay.verify.kin.catalogue import Found
    from gridassay.verify.kin.form import Form

Answer = TypeVar("Answer")
_UNDECIDED = "UNDECIDED when the budget ran out: {}"


def kin(
    files: Files,
    solutions: Annotated[
        bool,
        typer.Option(
            "--solutions",
            help="Group puzzles by their solution grids, and list near kin.",
            rich_help_panel=ASKED,
        ),
    ] = False,
    catalogue: Annotated[
        str | None,
        typer.Option(
            metavar="FILE.sqlite",
            help="Search this catalogue for each puzzle and for its layout.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    add: Annotated[
        bool,
        typer.Option(
            "--add/--no-add",
            help="Add the puzzles that the catalogue does not have.",
            rich_help_panel=WRITTEN,
        ),
    ] = False,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Find the symmetries of a puzzle, or puzzles that are the same in disguise.

    Exit code: 0 if no puzzle is a disguise of another one or of one in the
    catalogue; 1 if some puzzle is; 2 for bad input; 3 if the budget ran out.
    A mirrored pattern is reported, but does not change the exit code.
    """
    from gridassay.verify.kin import canonical, symmetries

    if add and catalogue is None:
        stop("--add goes with --catalogue FILE.sqlite")
    code = ExitCode()
    found = list(read_all(files))
    fresh = 0
    with _open(catalogue, budget, add=add) as kept:

        def search(puzzle: Puzzle) -> Found | None:
            """The entries of the catalogue that match it, if there is a catalogue."""
            nonlocal fresh
            if kept is None:
                return None
            held = kept.search(puzzle, budget=budget)
            if held.kin:
                code.add(NOT_UNIQUE)
            elif held.itself is None:
                fresh += 1
                if add:
                    kept.search(puzzle, add=True, budget=budget)
            return held

        several = len(found) > 1 or solutions
        if as_json:
            examined = _examine(
                found, lambda p: symmetries(p, solution=not several, budget=budget), search, code
            )
            _as_json(examined, budget, code, several=several, solutions=solutions)
        elif several:
            forms = _examine(found, lambda p: canonical(p, budget=budget), search, code)
            _as_text(forms, len(found), budget, code, solutions=solutions)
        else:
            for one in _examine(found, lambda p: symmetries(p, budget=budget), search, code):
                _show_one(*one)
    if fresh and not add:
        fail(PuzzleError(f"nothing is added to {catalogue}; --add adds what is new"))
    raise typer.Exit(code.code)


def _examine(
    found: Sequence[Puzzle | PuzzleError],
    ask_one: Callable[[Puzzle], Answer],
    search: Callable[[Puzzle], Found | None],
    code: ExitCode,
) -> Iterator[tuple[Puzzle | PuzzleError, Answer | None, Found | None]]:
    """Each puzzle with its answer (None if time ran out) and its matches in the catalogue."""
    for puzzle in found:
        if isinstance(puzzle, PuzzleError):
            code.add(BAD_INPUT)
            yield puzzle, None, None
            continue
        try:
            yield puzzle, ask_one(puzzle), search(puzzle)
        except OutOfTime:
            code.add(UNDECIDED)
            yield puzzle, None, None


@contextmanager
def _open(path: str | None, budget: float, *, add: bool) -> Iterator[Catalogue | None]:
    """The catalogue, if one is wanted; an error in it ends the command."""
    if path is None:
        yield None
        return
    from gridassay.verify.kin import Catalogue

    try:
        with Catalogue(path, looking=not add, budget=budget) as kept:
            yield kept
    except PuzzleError as error:
        fail(error)
        raise typer.Exit(BAD_INPUT) from None
    except OutOfTime:
        fail(
            PuzzleError("its forms are from another version; each run with --add renews some", path)
        )
        raise typer.Exit(UNDECIDED) from None


def _as_json(
    examined: Iterator[tuple[Puzzle | PuzzleError, Symmetries | None, Found | None]],
    budget: float,
    code: ExitCode,
    *,
    several: bool,
    solutions: bool,
) -> None:
    forms: list[tuple[Puzzle, str | None]] = []
    for puzzle, known, held in examined:
        if isinstance(puzzle, PuzzleError):
            tell(puzzle, as_json=True)
            continue
        result: dict[str, Any] = {"source": puzzle.source, "undecided": True}
        if known is not None:
            result = known.to_json()
        if held is not None:
            result["catalogue"] = held.to_json()
        print_json(result)
        forms.append((puzzle, known.canonical if known else None))
    if not several:
        return
    if not solutions:
        groups = _groups(forms, budget, code)
        ways = [way for group in groups for way in group.ways_json()]
        print_json({"groups": [group.to_json() for group in groups], "ways": ways})
        return
    same, unsolved = _same(forms, budget, code)
    alone = [[puzzle.source] for puzzle in unsolved]
    near = [
        [[puzzle.source for puzzle in members] for members in one.kin]
        for one in same
        if len(one.kin) > 1
    ]
    ways = [way for one in same for way in one.grids.ways_json()]
    groups_json = [*(one.grids.to_json() for one in same), *alone]
    print_json({"groups": groups_json, "near": near, "ways": ways})


def _show_one(puzzle: Puzzle | PuzzleError, known: Symmetries | None, held: Found | None) -> None:
    from gridassay.verify.cli.show_kin import show_found, show_symmetries

    if isinstance(puzzle, PuzzleError):
        fail(puzzle)
    elif known is None:
        say(_UNDECIDED.format(puzzle.source))
    else:
        if held is not None:
            show_found(puzzle, held, brief=False)
            say()
        show_symmetries(known)


def _as_text(
    examined: Iterator[tuple[Puzzle | PuzzleError, Form | None, Found | None]],
    total: int,
    budget: float,
    code: ExitCode,
    *,
    solutions: bool,
) -> None:
    """Yield the catalogue's matches for each puzzle, with a progress bar, then the groups."""
    from gridassay.verify.cli.show import Progress
    from gridassay.verify.cli.show_kin import show_found, show_groups, show_same

    forms: list[tuple[Puzzle, str | None]] = []
    with Progress("comparing", total) as progress:
        for puzzle, form, held in examined:
            progress.step()
            if isinstance(puzzle, Puzzle):
                forms.append((puzzle, form.text if form else None))
                if form and not (held and (held.kin or held.layout)):
                    continue
            with progress.pause():
                if isinstance(puzzle, PuzzleError):
                    fail(puzzle)
                elif form is None:
                    say(_UNDECIDED.format(puzzle.source))
                elif held is not None:
                    show_found(puzzle, held, brief=True)
    if solutions:
        show_same(*_same(forms, budget, code))
    else:
        show_groups(_groups(forms, budget, code))


def _groups(
    forms: Sequence[tuple[Puzzle, str | None]], budget: float, code: ExitCode
) -> tuple[KinGroup, ...]:
    from gridassay.verify.kin import groups_of

    groups = groups_of(forms, budget=budget)
    if any(group.ways for group in groups):
        code.add(NOT_UNIQUE)
    return groups


def _same(
    forms: Sequence[tuple[Puzzle, str | None]], budget: float, code: ExitCode
) -> tuple[tuple[SameSolution, ...], tuple[Puzzle, ...]]:
    from gridassay.verify.kin import same_solutions

    same, unsolved = same_solutions((puzzle for puzzle, _ in forms), budget=budget)
    if any(one.grids.ways for one in same):
        code.add(NOT_UNIQUE)
    return same, unsolved
