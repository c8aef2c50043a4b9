"""A puzzle written out again: as a line if that says everything, else as a TOML document.

It reads back as the same puzzle, apart from its source.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from math import isqrt
from typing import TYPE_CHECKING, Any

from gridassay.encodings.grid import Cell, Grid, classic
from gridassay.encodings.puzzle import Puzzle

if TYPE_CHECKING:
    from gridassay.encodings.rules.base import Rule


def puzzle_text(puzzle: Puzzle) -> str:
    """The text of a puzzle file: one puzzle line, or TOML."""
    plain = puzzle.plain and not (puzzle.title or puzzle.credit or puzzle.expect)
    size = isqrt(len(puzzle.canvas.cells))
    if plain and puzzle.canvas == classic(size):
        return puzzle.given_line() + "\n"
    return "\n".join([*_head(puzzle), *_tables(puzzle), ""])


def _head(puzzle: Puzzle) -> Iterator[str]:
    for key, text in (
        ("title", puzzle.title),
        ("credit", puzzle.credit),
        ("expect", puzzle.expect),
    ):
        if text:
            yield f"{key} = {_value(text)}"
    canvas = puzzle.canvas
    if not canvas.grids:
        yield f"rows = {canvas.rows}"
        yield f"columns = {canvas.columns}"
        yield 'houses = "none"'
    elif len(canvas.grids) == 1:
        yield from _grid(canvas.grids[0])
    yield f"digits = {_value(list(canvas.digits) or 'none')}"
    if puzzle.letters_differ:
        yield 'letters = "different"'
    has_digits = any(isinstance(one.variable, Cell) for one in puzzle.givens)
    if has_digits or len(canvas.cells) < canvas.rows * canvas.columns:
        line = puzzle.given_line()
        rows = (line[at : at + canvas.columns] for at in range(0, len(line), canvas.columns))
        yield "\n".join(['givens = """', *rows, '"""'])
    if puzzle.doublers:
        yield "doublers = {}"


def _grid(grid: Grid) -> Iterator[str]:
    yield f"size = {grid.size}"
    if grid.regions is not None:
        yield f"regions = {_value(grid.regions)}"
    else:
        yield f"box = {_value(f'{grid.box[0]}x{grid.box[1]}' if grid.box else 'none')}"


def _tables(puzzle: Puzzle) -> Iterator[str]:
    if len(puzzle.canvas.grids) > 1:
        for grid in puzzle.canvas.grids:
            yield "\n[[grid]]"
            yield f"name = {_value(grid.name)}"
            yield f"at = {_value(str(grid.at))}"
            yield from _grid(grid)
    given = dict(puzzle.givens)
    for layer in puzzle.layers:
        yield "\n[[layer]]"
        for key, value in layer.fields().items():
            if key != "givens":
                yield f"{key} = {_value(value)}"
        own = {one: given[one] for one in layer.variables(puzzle.canvas) if one in given}
        if own:
            yield f"givens = {_value(layer.givens_of(puzzle.canvas, own))}"
    for rule in puzzle.rules:
        yield "\n[[rule]]"
        for key, value in _fields(rule).items():
            yield f"{key} = {_value(value)}"


def _fields(rule: Rule) -> dict[str, Any]:
    """The fields of a rule as a file has them. Nested rules need their kinds, so defaults stay in."""
    return rule.model_dump(mode="json", by_alias=True, exclude_none=True)


def _value(value: object) -> str:
    """A value in TOML, whose numbers, truths and strings are written as in JSON but for one symbol."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_value(k)} = {_value(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
