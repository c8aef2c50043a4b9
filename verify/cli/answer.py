"""``gridassay answer``: a reader's grid checked against a puzzle."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, NoReturn

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.notation import listing
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.cli.common import (
    BUDGET,
    AsJson,
    Budget,
    File,
    answering,
    check_ending,
    is_file,
    read_one,
    read_words,
    say,
    stop,
    writing,
)
from gridassay.verify.cli.ending import NOT_UNIQUE
from gridassay.verify.cli.telling import fail, print_json
from gridassay.verify.counting.answers import Answer
from gridassay.verify.counting.answers import answer as judge


def answer(
    file: File,
    grid: Annotated[
        str,
        typer.Argument(
            metavar="ANSWER",
            help="The reader's grid: a file, or the line itself; '.' is an empty cell.",
        ),
    ],
    as_json: AsJson = False,
    budget: Budget = BUDGET,
    reply: Annotated[
        bool,
        typer.Option(
            "--reply",
            help="Write a few sentences to send back; ANSWER may also be a step (r4c2 = "
            "5) or 'uses TECHNIQUE'.",
        ),
    ] = False,
    picture: Annotated[
        Path | None,
        typer.Option(
            "--picture", metavar="OUT", help="With --reply: also draw a picture, if one helps."
        ),
    ] = None,
) -> None:
    """Check a reader's grid: is it right, and if not, why? Or write a reply.

    It is the solution, a second solution, right so far, or wrong. If it is
    wrong, every given, house and rule that it breaks is listed.

    Exit code: 0 if nothing in it is wrong and the puzzle has one solution,
    1 if something is wrong or it is a second solution, 2 for bad input, 3 if
    the budget ran out.
    """
    if picture is not None and not reply:
        stop("--picture goes with --reply")
    with answering(file, as_json=as_json, about="the answer", budget=budget) as clock:
        if reply:
            _write_back(read_one(file, clock), _text(grid), picture, clock, as_json=as_json)
        found = judge(read_one(file, clock), _text(grid), budget=clock)
    if as_json:
        print_json(found.to_json())
    else:
        say(in_words(found))
    if not found.ok or found.other:
        raise typer.Exit(NOT_UNIQUE)


def _write_back(
    puzzle: Puzzle, said: str, out: Path | None, clock: Clock, *, as_json: bool
) -> NoReturn:
    """Print a reply, and draw what it speaks of; then the command ends."""
    from gridassay.verify.book.replies import reply
    from gridassay.verify.draw.output import FORMATS, write_pictures
    from gridassay.verify.draw.scene import picture, with_margin

    if out is not None:
        check_ending(out, FORMATS, "a picture")
    found = reply(puzzle, said, budget=clock)
    if out is not None and found.view is not None:
        with writing(out):
            write_pictures([with_margin(picture(puzzle, found.view))], out)
    if as_json:
        print_json(found.to_json())
    else:
        say(found.text)
        if out is not None and found.view is None:
            fail(PuzzleError("nothing to show, so no picture is written", str(out)))
    raise typer.Exit(0 if found.right else NOT_UNIQUE)


def _text(grid: str) -> str:
    return read_words(grid) if is_file(grid) else grid


def in_words(found: Answer) -> str:
    """The judgement in a sentence or two."""
    puzzle = found.puzzle
    broken = listing([puzzle.rule_phrases.get(one, one) for one in found.broken], "and")
    if found.result == "solution":
        return "THE SOLUTION: it is the only one."
    if found.result == "right so far":
        return f"RIGHT SO FAR: all {len(found.entries)} entries are in the only solution."
    if found.result == "unsolvable":
        from gridassay.verify.mending.cautions import missed_totals

        breaks = [f"This grid breaks {broken}."] if broken else []
        totals = [f"{one[0].upper()}{one[1:]}." for one in missed_totals(puzzle)]
        return " ".join(["NOTHING IS RIGHT: the puzzle has no solution.", *breaks, *totals])
    if found.result == "wrong":
        cells = " ".join(map(str, found.wrong_cells))
        where = f" No solution has the entries in {cells}." if cells else ""
        if broken:
            return f"WRONG: it breaks {broken}.{where}"
        return f"WRONG: it breaks no rule, but no solution contains all of it.{where}"
    other = f"another is {puzzle.whole(found.other)}" if found.other else ""
    if found.result == "second solution":
        return f"A SECOND SOLUTION: the reader is right, the puzzle has more than one; {other}"
    return f"OPEN SO FAR: the entries are in a solution, and the puzzle has several; {other}"
