"""Draws rules that are true of a solution, removes what is not needed, and writes puzzle files.

Rules are handled as the tables of a puzzle file (``{"kind": "cage", "cells": …, "sum": 15}``), so
that the rules drawn are the rules written. ``Sketch`` holds a solution and draws on it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from random import Random
from typing import Any

from benchmarks.maker import fewer_givens
from gridassay.encodings.board import Filled
from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.encodings.rules.base import spell
from gridassay.encodings.rules.reading import read_rule
from gridassay.verify.budget import Clock
from gridassay.verify.engines import sat_engine_for

Table = dict[str, Any]


def run(cells: Sequence[Cell]) -> str:
    """Write cells, a straight run of three or more by its ends."""
    steps = {(b.row - a.row, b.column - a.column) for a, b in pairwise(cells)}
    if len(cells) > 2 and len(steps) == 1 and max(map(abs, next(iter(steps)))) == 1:
        return f"{cells[0]}..{cells[-1]}"
    return spell(cells)


class Sketch:
    """A solution of a board and a random source to draw on it with."""

    def __init__(self, puzzle: Puzzle, solution: Solution, rng: Random) -> None:
        self.canvas: Canvas = puzzle.canvas
        self.rng = rng
        self.filled: Filled = puzzle.fill(solution)
        self.used: set[Cell] = set()

    def total(self, cells: Sequence[Cell]) -> int:
        """The digits of some cells added up."""
        return sum(self.filled.digits(cells))

    def keeps(self, table: Table) -> bool:
        """Whether the solution keeps the rule."""
        return read_rule(table).holds(self.filled)

    def walk(self, length: int, *, diagonal: bool = True, apart: bool = True) -> list[Cell]:
        """A random path of neighbouring cells, shorter if it runs into a dead end.

        With ``apart`` it keeps off cells that are in use.
        """
        barred = set(self.used) if apart else set()
        open_cells = [cell for cell in self.canvas.cells if cell not in barred]
        if not open_cells:
            return []
        path = [self.rng.choice(open_cells)]
        while len(path) < length:
            barred.add(path[-1])
            around = [
                cell
                for down in (-1, 0, 1)
                for right in (-1, 0, 1)
                if (diagonal or not (down and right))
                and (cell := path[-1].step(down, right)) in self.canvas.index
                and cell not in barred
            ]
            if not around:
                break
            path.append(self.rng.choice(around))
        return path

    def lines(
        self,
        kind: str,
        number: int,
        lengths: Sequence[int],
        fields: Callable[[list[Cell]], Table] = lambda path: {"cells": run(path)},
        *,
        diagonal: bool = True,
        tries: int = 4000,
    ) -> Iterator[Table]:
        """Up to ``number`` true lines of a kind, on cells that nothing drawn so far uses.

        ``fields`` gives the fields of a rule along a path.
        """
        for _ in range(number):
            for _ in range(tries):
                length = self.rng.choice(lengths)
                path = self.walk(length, diagonal=diagonal)
                if len(path) < length:
                    continue
                table = {"kind": kind} | fields(path)
                if self.fits(table) and self.keeps(table):
                    self.used.update(path)
                    yield table
                    break

    def fits(self, table: Table) -> bool:
        """Whether the rule can stand on the board."""
        try:
            read_rule(table).check(self.filled.board)
        except ValueError:
            return False
        return True

    def neighbours(self) -> Iterator[list[Cell]]:
        """Every pair of orthogonal neighbours, in random order."""
        pairs = [
            [cell, other]
            for cell in self.canvas.cells
            for other in (cell.step(0, 1), cell.step(1, 0))
            if other in self.canvas.index
        ]
        self.rng.shuffle(pairs)
        yield from pairs


def document(head: Table, rules: Sequence[Table], puzzle: Puzzle | None = None) -> str:
    """A puzzle file: the head's keys, the givens of ``puzzle``, then the rules."""
    lines = [
        f'{key} = """\n{value.strip()}\n"""' if "\n" in str(value) else f"{key} = {_value(value)}"
        for key, value in head.items()
        if key not in ("grid", "doublers")
    ]
    if puzzle is not None and puzzle.givens:
        lines.append(f'givens = """\n{drawn(puzzle)}\n"""')
    if "doublers" in head:
        lines.append("\n[doublers]")
    lines += _tables("grid", head.get("grid", ()))
    lines += _tables("rule", rules)
    return "\n".join(lines) + "\n"


def drawn(puzzle: Puzzle) -> str:
    """The givens as rows, cut at the boxes of a single grid."""
    canvas, line = puzzle.canvas, puzzle.given_line()
    box = canvas.grids[0].box if len(canvas.grids) == 1 else None
    wide = box[1] if box else 3 if len(canvas.grids) > 1 else canvas.columns
    rows = [line[start : start + canvas.columns] for start in range(0, len(line), canvas.columns)]
    return "\n".join(
        " ".join(row[start : start + wide] for start in range(0, len(row), wide)) for row in rows
    )


def _tables(name: str, tables: Sequence[Table]) -> list[str]:
    lines = []
    for table in tables:
        lines.append(f"\n[[{name}]]")
        lines += [f"{key} = {_value(value)}" for key, value in table.items() if key != "of"]
        inner = table.get("of", ())
        if isinstance(inner, str):
            lines.append(f"of = {_value(inner)}")
        else:
            lines += _tables(f"{name}.of", inner)
    return lines


def _value(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def read(head: Table, rules: Sequence[Table] = (), puzzle: Puzzle | None = None) -> Puzzle:
    """The puzzle that such a file would hold."""
    return read_document(document(head, rules, puzzle))


def thinned(
    head: Table,
    rules: Sequence[Table],
    solution: Solution,
    rng: Random,
    clock: Clock,
    orbit: Callable[[Fact], Sequence[Fact]] = lambda given: [given],
    keep: Callable[[Table], bool] = lambda table: False,
) -> tuple[list[Table], Puzzle]:
    """Remove givens while the puzzle stays unique, then rules except those to keep.

    Givens are removed first, so that few or none are left; returns the remaining rules and puzzle.
    """
    whole = fewer_givens(read(head, rules), solution, rng, clock, orbit)
    engine = sat_engine_for(whole, clock)
    other = engine.forbid(solution)
    names = dict(zip(whole.rule_names, rules, strict=True))
    houses = [premise.name for premise in whole.model.premises if premise.name not in names]
    kept = list(names)
    for name in rng.sample(kept, len(kept)):
        rest = [one for one in kept if one != name]
        on = [*houses, *rest]
        if not keep(names[name]) and not engine.solve(whole.givens, clock, on, [other]):
            kept = rest
    engine.retire(other)
    left = [names[name] for name in kept]
    return left, replace(read(head, left), givens=whole.givens)
