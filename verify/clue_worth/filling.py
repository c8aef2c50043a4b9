"""Filling in: each "?" of a file replaced by the value from a chosen solution.

Only the holes are changed, so layout, comments and order stay as they were written.
"""

from __future__ import annotations

import re

from gridassay.encodings.lines import OPEN, PuzzleError
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.clue_worth.sweeping import Hole, OpenPuzzle
from gridassay.verify.engines import sat_engine_for


@within_budget
def fill_in(
    layout: OpenPuzzle | Puzzle, line: str, *, budget: float | Clock = DEFAULT_SECONDS
) -> str:
    """The text of a layout's file with every "?" taken from a solution.

    ``line`` holds the solution's digits over the bounding rectangle. If several values are true
    of it the tightest is written: the largest, or for ``at-most`` the smallest. Raises PuzzleError
    if the line does not solve the rest of the puzzle, OutOfTime if that cannot be decided.
    """
    if isinstance(layout, Puzzle):
        raise PuzzleError("there is no '?' to fill in", layout.source)
    clock = Clock.of(budget)
    solution = _solution(layout.puzzle, line, clock)
    chosen = [(hole, _value(layout.puzzle, hole, solution)) for hole in layout.holes]
    if layout.text is None:
        filled = layout.puzzle.givens + tuple(
            choice for hole, value in chosen if isinstance(choice := hole.values[value], Fact)
        )
        given = dict(filled)
        canvas = layout.puzzle.canvas
        return canvas.line([given.get(cell) for cell in canvas.cells]) + "\n"
    return _fields(layout, chosen)


def _solution(puzzle: Puzzle, line: str, clock: Clock) -> Solution:
    """The solution of these digits, with its unknowns."""
    canvas = puzzle.canvas
    symbols = [
        line[(cell.row - 1) * canvas.columns + cell.column - 1 :][:1] for cell in canvas.cells
    ]
    if len(line) != canvas.rows * canvas.columns or not all(s in canvas.reader for s in symbols):
        raise PuzzleError(
            f"the solution to fill in is not {canvas.rows * canvas.columns} digits of this puzzle",
            puzzle.source,
        )
    digits = [canvas.reader[symbol] for symbol in symbols]
    facts = [Fact(cell, digit) for cell, digit in zip(canvas.cells, digits, strict=True)]
    solution = sat_engine_for(puzzle, clock).solve([*puzzle.givens, *facts], clock)
    if solution is None:
        wrong = ""
        if len(puzzle.board.shown) == len(digits):
            wrong = f": it breaks {next(puzzle.violations(tuple(digits)))}"
        raise PuzzleError(
            f"the solution to fill in is not a solution of this puzzle{wrong}", puzzle.source
        )
    return solution


def _value(puzzle: Puzzle, hole: Hole, solution: Solution) -> int:
    """The value of a hole that is true of a solution."""
    filled = puzzle.fill(solution)
    rules = dict(zip(puzzle.rule_names, puzzle.rules, strict=True))
    true = [
        value
        for value, choice in hole.values.items()
        if (
            rules[choice].is_kept(filled)
            if isinstance(choice, str)
            else filled.numbers[choice.variable] == choice.value
        )
    ]
    if not true:
        raise PuzzleError(f"no value of {hole.name} fits the solution", puzzle.source)
    return true[0] if hole.place and hole.place[1] == "at-most" else true[-1]


def _fields(layout: OpenPuzzle, chosen: list[tuple[Hole, int]]) -> str:
    from gridassay.encodings.documents import read_document
    from gridassay.encodings.places import Places

    text = layout.text or ""
    places = Places(text)
    lines = text.split("\n")
    symbols = [layout.puzzle.canvas.symbols[value] for hole, value in chosen if hole.place is None]
    row = (places.top("givens") or 1) - 1
    while symbols:
        written, mark, comment = lines[row].partition("#")
        while OPEN in written and symbols:
            written = written.replace(OPEN, symbols.pop(0), 1)
        lines[row] = written + mark + comment
        row += 1
    for hole, value in chosen:
        if hole.place is not None:
            (number, *inside), field = hole.place
            start = places.table(("rule", *["of"] * len(inside)), (number, *inside), field) or 1
            _replace(lines, start - 1, field, value)
    filled = "\n".join(lines)
    read_document(filled, layout.puzzle.source)
    return filled


def _replace(lines: list[str], start: int, field: str, value: int) -> None:
    """Write a value in place of the first "?" of a field, from a line on."""
    hole = re.compile(rf"""((?:\b|["']){re.escape(field)}["']?\s*=\s*)(["'])\?\2""")
    for row in range(start, len(lines)):
        written, count = hole.subn(rf"\g<1>{value}", lines[row], count=1)
        if count:
            lines[row] = written
            return
    raise AssertionError(f"the '?' of {field} was read but cannot be found again")
