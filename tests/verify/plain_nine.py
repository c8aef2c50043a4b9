"""The classic 9×9 grid in clauses, written for the tests alone."""

from __future__ import annotations

from itertools import combinations

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact


def plain_literal(fact: Fact) -> int:
    """The variable that is true when a cell has a digit, numbered from 1."""
    cell = fact.variable
    assert isinstance(cell, Cell)
    return 81 * (cell.row - 1) + 9 * (cell.column - 1) + fact.value


def plain_clauses() -> list[list[int]]:
    """Every cell one digit, every row, column and box each digit once."""

    def literal(row: int, column: int, digit: int) -> int:
        return plain_literal(Fact(Cell(row + 1, column + 1), digit + 1))

    span = range(9)
    units = [[(r, c) for c in span] for r in span] + [[(r, c) for r in span] for c in span]
    units += [
        [(r + i, c + j) for i in range(3) for j in range(3)] for r in (0, 3, 6) for c in (0, 3, 6)
    ]
    clauses = [[literal(r, c, d) for d in span] for r in span for c in span]
    for unit in units:
        for digit in span:
            clauses.append([literal(*cell, digit) for cell in unit])
            clauses += [
                [-literal(*a, digit), -literal(*b, digit)] for a, b in combinations(unit, 2)
            ]
    for row in span:
        for column in span:
            digits = [literal(row, column, digit) for digit in span]
            clauses += [[-a, -b] for a, b in combinations(digits, 2)]
    return clauses
