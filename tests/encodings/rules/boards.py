"""Small boards for tests of rules, and two questions to ask of them."""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.engines.sat import SatEngine

from .witnesses import CLOCK, solutions


def line(kind: str, cells: str, fields: str = "") -> str:
    """A rule on cells, in TOML."""
    return f'[[rule]]\nkind = "{kind}"\ncells = "{cells}"\n{fields}\n'


def with_digits(rows: int, columns: int, digits: Sequence[int], rule: str) -> Puzzle:
    """A bare canvas with any digits."""
    head = f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\ndigits = {list(digits)}\n'
    return read_document(head + rule, "test.toml")


def doubled(rule: str) -> Puzzle:
    """A Latin square of order 4 with doublers: values and digits differ."""
    return read_document(f'size = 4\nbox = "none"\n[doublers]\n{rule}', "test.toml")


def count(puzzle: Puzzle) -> int:
    """How many solutions the SAT engine finds."""
    return len(solutions(SatEngine(puzzle.model, CLOCK)))


def doublers_agree(rule: str) -> int:
    """Require that the clauses keep what the plain reading keeps of all Latin squares with doublers.

    Gives the number kept: of 4 × 4 squares, those with a transversal, once for each.
    """
    puzzle = doubled(rule)
    free = solutions(SatEngine(doubled("").model, CLOCK))
    kept = {row for row in free if next(puzzle.violations(row), None) is None}
    assert set(solutions(SatEngine(puzzle.model, CLOCK))) == kept
    return len(kept)
