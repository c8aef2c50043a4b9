"""Puzzles made from a seed: a filled grid, clues that fit it, and givens until none can be spared."""

from __future__ import annotations

import random
from collections.abc import Iterator

from gridassay.encodings.files import read
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.engines import sat_engine_for

CLOCK = Clock(float("inf"))

CLASSIC = "size = 9"
SIX = "size = 6"
LATIN = "size = 5"
SMALL_LATIN = 'size = 4\nbox = "none"'
SIXTEEN = "size = 16"
IRREGULAR = 'size = 5\nregions = """\nAAABB\nAACBB\nDCCCB\nDDCEE\nDDEEE\n"""'


def made(
    grid: str,
    seed: int,
    *,
    rules: str = "",
    cages: int = 0,
    thermometers: int = 0,
    spare: int = 0,
) -> bytes:
    """The file of a puzzle with one solution, none of whose givens is wasted.

    ``grid`` is the head of the file and ``rules`` are kept to; cages and thermometers are added.
    ``spare`` stops the search for wasted givens after so many.
    """
    chance = random.Random(seed)
    empty = read(f"{grid}\n{rules}", "head.toml")
    canvas = empty.canvas
    digits = _filled(empty, chance)
    added = [_cage(canvas, digits, chance) for _ in range(cages)]
    added += [_thermometer(canvas, digits, chance) for _ in range(thermometers)]
    head = "\n".join([f'title = "Slack Tide {seed}"', grid])
    puzzle = read("\n".join([head, rules, *added]), "made.toml")
    givens = _needed(puzzle, digits, chance, spare or len(digits))
    line = canvas.line([dict(givens).get(cell) for cell in canvas.cells])
    return "\n".join([head, f'givens = "{line}"', rules, *added, ""]).encode()


def as_line(document: bytes) -> bytes:
    """A puzzle file without rules as one puzzle line."""
    return read(document.decode(), "made.toml").given_line().encode()


def _filled(puzzle: Puzzle, chance: random.Random) -> dict[Cell, int]:
    """A filled grid with a random first row, or any where the rules forbid that row."""
    canvas = puzzle.canvas
    engine = sat_engine_for(puzzle, CLOCK)
    row = chance.sample(canvas.digits, len(canvas.digits))
    facts = [Fact(cell, digit) for cell, digit in zip(canvas.cells, row, strict=False)]
    solution = engine.solve(facts, CLOCK) or engine.solve((), CLOCK)
    assert solution is not None
    return dict(zip(canvas.cells, solution, strict=True))


def _needed(
    puzzle: Puzzle, digits: dict[Cell, int], chance: random.Random, tries: int
) -> list[Fact]:
    engine = sat_engine_for(puzzle, CLOCK)
    other = engine.forbid(tuple(digits.values()))
    givens = [Fact(cell, digit) for cell, digit in digits.items()]
    for given in chance.sample(givens, len(givens))[:tries]:
        fewer = [fact for fact in givens if fact != given]
        if engine.solve(fewer, CLOCK, demands=[other]) is None:
            givens = fewer
    engine.retire(other)
    return givens


def _walk(canvas: Canvas, chance: random.Random) -> Iterator[Cell]:
    """Cells from a random one to neighbours, never twice, for as long as it goes on."""
    cell = chance.choice(canvas.cells)
    seen = {cell}
    while True:
        yield cell
        open_cells = [other for other in canvas.neighbours(cell) if other not in seen]
        if not open_cells:
            return
        cell = chance.choice(open_cells)
        seen.add(cell)


def _spelt(cells: list[Cell]) -> str:
    return " ".join(map(str, cells))


def _cage(canvas: Canvas, digits: dict[Cell, int], chance: random.Random) -> str:
    cells: list[Cell] = []
    for cell in _walk(canvas, chance):
        if len(cells) == 4 or digits[cell] in {digits[other] for other in cells}:
            break
        cells.append(cell)
    total = sum(digits[cell] for cell in cells)
    return f'[[rule]]\nkind = "cage"\ncells = "{_spelt(cells)}"\nsum = {total}'


def _thermometer(canvas: Canvas, digits: dict[Cell, int], chance: random.Random) -> str:
    while True:
        cells: list[Cell] = []
        for cell in _walk(canvas, chance):
            if cells and digits[cell] <= digits[cells[-1]]:
                break
            cells.append(cell)
        if len(cells) > 1:
            return f'[[rule]]\nkind = "thermometer"\ncells = "{_spelt(cells)}"'
