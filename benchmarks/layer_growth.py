"""Growth of layers from 6×6 to 16×16: each encoding of each connected member, side by side.

Each puzzle has a solution that is known by construction, of which a third is given: two colours like the
teeth of two combs, a loop that goes to and fro, regions that are rows.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from time import process_time
from typing import Any

from benchmarks.tables import alternatives
from gridassay.encodings.cnf.compile import compile_model
from gridassay.encodings.documents import read_document
from gridassay.encodings.pace import TooLarge
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines.sat import SatEngine

SIZES = (6, 8, 10, 12, 16)
LIMIT = 10.0
"""Seconds for building one model, and again for loading it and counting to two.

An encoding that reaches it at one size is not asked at larger ones, so that the whole ends in minutes.
"""

SHARE = 3
"""One of so many parts of the solution is given."""


def combs(size: int) -> Puzzle:
    """Two colours, each connected, no square of one colour."""
    rows = range(1, size + 1)
    deep = {(row, column) for row in rows[::2] for column in range(1, size)}
    deep |= {(row, 1) for row in rows}
    some = _some(size, [(row, column) for row in rows for column in rows])
    drawn = "\n".join(
        "".join(
            "." if (row, column) not in some else "d" if (row, column) in deep else "s"
            for column in rows
        )
        for row in rows
    )
    rules = "".join(
        f'[[rule]]\nkind = "connected"\nlayer = "water"\nvalue = "{value}"\n'
        for value in ("deep", "shallow")
    )
    return read_document(
        f'digits = "none"\nsize = {size}\n[[layer]]\nname = "water"\nkind = "shading"\n'
        f'values = ["deep", "shallow"]\ngivens = """\n{drawn}\n"""\n'
        f'{rules}[[rule]]\nkind = "no-square"\nlayer = "water"\n'
    )


def to_and_fro(size: int) -> Puzzle:
    """A loop through all cells."""
    way = [(row, 1) for row in range(size, 0, -1)]
    for row in range(1, size + 1):
        columns = range(2, size + 1)
        way += [(row, column) for column in (columns if row % 2 else reversed(columns))]
    links = sorted((min(pair), max(pair)) for pair in zip(way, [*way[1:], way[0]], strict=True))
    given = [f"{_cell(one)}-{_cell(other)}" for one, other in sorted(_some(size, links))]
    return read_document(
        f'digits = "none"\nsize = {size}\n[[layer]]\nname = "cruise"\nkind = "loop"\n'
        f'visits = "all"\ngivens = {_listed(given)}\n'
    )


def rows_apart(size: int) -> Puzzle:
    """Regions of one size."""
    pairs = [
        ((row, column), other)
        for row in range(1, size + 1)
        for column in range(1, size + 1)
        for other in ((row, column + 1), (row + 1, column))
        if max(other) <= size
    ]
    given = [
        f"{_cell(one)}{'=' if one[0] == other[0] else '|'}{_cell(other)}"
        for one, other in sorted(_some(size, pairs))
    ]
    return read_document(
        f'digits = "none"\nsize = {size}\n[[layer]]\nname = "wards"\nkind = "regions"\n'
        f"sizes = {size}\ngivens = {_listed(given)}\n"
    )


def _some(size: int, pieces: list[Any]) -> set[Any]:
    """The pieces of a solution that are given."""
    return set(random.Random(size).sample(pieces, len(pieces) // SHARE))


def _cell(cell: tuple[int, int]) -> str:
    return f"r{cell[0]}c{cell[1]}"


def _listed(texts: list[str]) -> str:
    return "[" + ", ".join(f'"{text}"' for text in texts) + "]"


PUZZLES: dict[str, tuple[Callable[[int], Puzzle], str]] = {
    "two colours": (combs, "Connected"),
    "a loop through all cells": (to_and_fro, "Connected"),
    "regions: their walls": (rows_apart, "Separated"),
    "regions: their sizes": (rows_apart, "GroupSizes"),
}
"""What is to be found, with the member of the language that says so."""


def layer_growth(
    quick: bool, tell: Callable[[str], None] = lambda line: None
) -> list[dict[str, Any]]:
    """A line for each puzzle and encoding: clauses and processor seconds by size.

    ``answer`` is the time to count to two once the model is loaded. It is None if the limit was
    reached, and ``sizes`` ends there; ``clauses`` and ``build`` are None too if building took longer.
    Raises AssertionError if two encodings count differently.
    """
    grown = []
    counts: dict[tuple[str, int], int] = {}
    for what, (make, member) in PUZZLES.items():
        for encoding in alternatives(member):
            tell(f"layers: {what}, {encoding}")
            line: dict[str, Any] = {"puzzle": what, "member": member, "encoding": encoding}
            line |= {"sizes": [], "clauses": [], "build": [], "answer": []}
            for size in SIZES[:3] if quick else SIZES:
                measured = _measured(make(size), {member: encoding})
                if measured["count"] is not None:
                    known = counts.setdefault((what, size), measured["count"])
                    if known != measured["count"]:
                        raise AssertionError(f"{what} {size}: {encoding} counts otherwise")
                line["sizes"].append(size)
                for figure in ("clauses", "build", "answer"):
                    line[figure].append(measured[figure])
                if measured["answer"] is None:
                    break
            grown.append(line)
    return grown


def _measured(puzzle: Puzzle, choices: dict[str, str]) -> dict[str, Any]:
    """Clauses, seconds to build and to count to two, and the count; None if the limit was reached."""
    found: dict[str, Any] = dict.fromkeys(("clauses", "build", "answer", "count"))
    try:
        clock = Clock(LIMIT)
        began = process_time()
        with clock.running():
            compiled = compile_model(puzzle.model, choices, clock.check, cuts=True)
        found["build"] = float(f"{process_time() - began:.4g}")
        found["clauses"] = len(compiled.clauses)
        del compiled
        clock = Clock(LIMIT)
        with clock.running():
            engine = SatEngine(puzzle.model, clock, choices)
            began = process_time()
            first = engine.solve(puzzle.givens, clock)
            second = (
                None
                if first is None
                else engine.solve(puzzle.givens, clock, demands=[engine.forbid(first)])
            )
        found["answer"] = float(f"{process_time() - began:.4g}")
        found["count"] = (first is not None) + (second is not None)
    except (OutOfTime, TooLarge):
        pass
    return found
