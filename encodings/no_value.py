"""Cells without a value: the formula of a ``counts-as`` has no whole number for their digit.

A rule that adds or compares such a cell is false, whatever else it says; a rule that does not read
the cell is as true as it was. In plain readings such a cell counts as ``NO_VALUE``, with which
nothing can be done (``counted.py``). In the constraint language the variable for its value has some
number, and what is stated here makes false whatever reads it. An automaton reads marks, and goes no
further where one has no value that it needs.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from gridassay.encodings.board import Board, Part
from gridassay.encodings.constraints import (
    AllOf,
    AnyOf,
    CellMark,
    CellValue,
    Constraint,
    HowMany,
    In,
)
from gridassay.encodings.counted import Counting
from gridassay.encodings.grid import Cell
from gridassay.encodings.groups import Joined
from gridassay.encodings.on_graphs import GroupTotal, Run, SameTotal


def have_values(cells: Iterable[Cell], counting: Counting) -> tuple[In, ...]:
    """That each of these cells has a value; nothing if every cell has one."""
    if len(counting.valued) == len(counting.marks):
        return ()
    return tuple(_has_value(cell, counting) for cell in cells)


def strict_parts(parts: Iterable[Part], board: Board) -> Iterator[Part]:
    """The parts of a rule, and that the cells whose values they read have values."""
    counting = board.counting
    if counting is None or len(counting.valued) == len(counting.marks):
        yield from parts
        return
    read: dict[Cell, None] = {}
    for part in parts:
        if isinstance(part.constraint, AnyOf | AllOf | HowMany | GroupTotal | SameTotal):
            yield replace(part, constraint=_strict(part.constraint, counting))
        else:
            # Left as it is, so that whoever knows what to do with a sum finds one.
            read |= dict.fromkeys(_read(part.constraint))
            yield part
    for cell in read:
        yield Part(f"{cell} has a value", _has_value(cell, counting))


def _strict(constraint: Constraint, counting: Counting) -> Constraint:
    """The constraint, but false if it reads a cell without a value."""
    if isinstance(constraint, AllOf | AnyOf):
        members = tuple(_strict(member, counting) for member in constraint.members)
        return replace(constraint, members=members)
    if isinstance(constraint, GroupTotal) and constraint.node is not None:
        run = Run(constraint.graph, constraint.variables, constraint.node)
        return AllOf((constraint, *_strict_run(run, counting)))
    if isinstance(constraint, SameTotal):
        runs = (*_strict_run(constraint.first, counting), *_strict_run(constraint.second, counting))
        return AllOf((constraint, *runs))
    valued = tuple(_has_value(cell, counting) for cell in dict.fromkeys(_read(constraint)))
    return AllOf((constraint, *valued)) if valued else constraint


def _strict_run(run: Run, counting: Counting) -> Iterator[Constraint]:
    """Every cell that is in the group of the node has a value."""
    for node, variable in enumerate(run.variables):
        if isinstance(variable, CellValue):
            apart = Joined(run.graph, run.node, node).negated()
            yield AnyOf((_has_value(variable.cell, counting), apart))


def _read(constraint: Constraint) -> Iterator[Cell]:
    return (one.cell for one in constraint.scope() if isinstance(one, CellValue))


def _has_value(cell: Cell, counting: Counting) -> In:
    return In(CellMark(cell), counting.valued)
