"""Puzzles made for the tests: one solution, no given to spare; a seed each, so that they stay.

Each is made with an engine of its own: what an engine answers depends on what it was asked before.
"""

from __future__ import annotations

import random
from dataclasses import replace

from gridassay.encodings.grid import Canvas
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify import Clock, read
from gridassay.verify.engines.sat import SatEngine

CLOCK = Clock(float("inf"))


def random_solution(puzzle: Puzzle, rng: random.Random) -> Solution:
    """A solution of a puzzle, pushed in a random direction."""
    engine = SatEngine(puzzle.model, CLOCK)
    facts = list(puzzle.givens)
    for cell in rng.sample(puzzle.canvas.cells, len(puzzle.canvas.cells) // 4):
        for digit in rng.sample(puzzle.canvas.digits, len(puzzle.canvas.digits)):
            if engine.solve([*facts, Fact(cell, digit)], CLOCK):
                facts.append(Fact(cell, digit))
                break
    solution = engine.solve(facts, CLOCK)
    assert solution is not None
    return solution


def minimal(canvas: Canvas, seed: int) -> Puzzle:
    """A puzzle without rules on a canvas."""
    return without_spare_givens(Puzzle(canvas), seed)


def without_spare_givens(puzzle: Puzzle, seed: int, solution: Solution | None = None) -> Puzzle:
    """The puzzle with givens from one of its solutions, none of which can be left out."""
    rng = random.Random(seed)
    solution = solution or random_solution(puzzle, rng)
    engine = SatEngine(puzzle.model, CLOCK)
    cells = puzzle.canvas.cells
    givens = [Fact(cell, digit) for cell, digit in zip(cells, solution, strict=False)]
    rng.shuffle(givens)
    other = engine.forbid(solution)
    for given in list(givens):
        fewer = [kept for kept in givens if kept != given]
        if engine.solve(fewer, CLOCK, demands=[other]) is None:
            givens = fewer
    return replace(puzzle, givens=tuple(sorted(givens)))


def variant(seed: int, cages: int = 20, lines: int = 4, spare: int = 8) -> Puzzle:
    """A 9×9 puzzle with cages and thermometers made to fit a solution, and the givens it needs.

    ``spare`` more givens keep it from being harder than anyone would set it.
    """
    rng = random.Random(seed)
    plain = read("." * 81)
    solution = random_solution(plain, rng)
    digit = dict(zip(plain.canvas.cells, solution, strict=True))
    used: set[object] = set()
    rules: list[str] = []
    for kind, wanted in (("thermometer", lines), ("cage", cages)):
        made = 0
        while made < wanted:
            path = [rng.choice([cell for cell in plain.canvas.cells if cell not in used])]
            while len(path) < rng.choice((3, 4)):
                beside = [
                    cell
                    for cell in plain.canvas.neighbours(path[-1])
                    if cell not in used
                    and (
                        digit[cell] > digit[path[-1]]
                        if kind == "thermometer"
                        else digit[cell] not in [digit[other] for other in path]
                    )
                ]
                if not beside:
                    break
                path.append(rng.choice(beside))
            if len(path) < 2:
                continue
            made += 1
            used.update(path)
            total = f"sum = {sum(digit[cell] for cell in path)}" if kind == "cage" else ""
            cells = " ".join(map(str, path))
            rules.append(f'[[rule]]\nkind = "{kind}"\ncells = "{cells}"\n{total}\n')
    puzzle = read('title = "Slack Tide"\nsize = 9\n' + "\n".join(rules), "tide.toml")
    least = without_spare_givens(puzzle, seed, solution)
    extra = [Fact(cell, digit[cell]) for cell in rng.sample(plain.canvas.cells, spare)]
    return Puzzle(
        least.canvas, tuple(sorted({*least.givens, *extra})), least.rules, title="Slack Tide"
    )
