"""Makes the corpora that are hard for a solver from seeds: ``python -m benchmarks.corpora.make_strong``.

sparse25.txt      25×25 grids with one solution and few givens
letters9.txt      27 lines of three cells cut into runs of unknown totals, all of them different
sequences.txt     pictures of two digits, 15×15 to 35×60, every row and column a ``sequence``
multisets12.txt   12×12 grids in which each row, column and box holds a multiset (``contains``)
sandwiches12.txt  12×12 grids with a sandwich clue on every line
mixed16.txt       16×16 grids of cages, thermometers, whispers and arrows

A given is added only where two remaining solutions differ, or if a solver needs more than
a number of conflicts; wasted givens are then removed, as far as a solver can tell. So nothing makes
them easy by chance, and each can be solved.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import replace
from itertools import groupby
from random import Random

from pysat.solvers import Solver

from benchmarks.corpora import FOLDER, RULE_OFF
from benchmarks.drawing import Sketch, Table, document, read, run
from benchmarks.maker import random_solution
from gridassay.encodings.cnf.compile import compile_plainly
from gridassay.encodings.grid import Cell, classic
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.encodings.rules.base import spell
from gridassay.verify.budget import Clock
from gridassay.verify.engines.one_shot import CHOICES, OutrightEngine

EFFORT = 10_000
"""The conflicts that a puzzle may cost a bare solver with its givens as unit clauses."""


class Tightener:
    """Finds givens that leave one solution of a puzzle's houses and rules."""

    def __init__(
        self, puzzle: Puzzle, solution: Solution, rng: Random, effort: int = EFFORT
    ) -> None:
        self.puzzle, self.rng, self.effort = puzzle, rng, effort
        plain = compile_plainly(puzzle.model, choices=CHOICES)
        self.clauses, self.cardinalities = plain.writer.clauses, plain.writer.cardinalities
        shown = puzzle.board.shown
        self.facts = [Fact(v, n) for v, n in zip(shown, solution, strict=True)]
        self.literals = [plain.writer.literal(*fact[:2]) for fact in self.facts]
        self.cells = len(puzzle.canvas.cells)

    def tight(self, start: Sequence[int], handfuls: Sequence[int] = ()) -> Puzzle:
        """The puzzle with givens at these places and at as many more as it needs.

        Wasted givens are then removed, tried in handfuls of these sizes.
        """
        chosen = list(start)
        places = {literal: place for place, literal in enumerate(self.literals)}
        with self._solver(chosen) as solver:
            while True:
                solver.conf_budget(self.effort)
                answer = solver.solve_limited()
                if answer is False:
                    break
                model = set(solver.get_model()) if answer else set()
                open_ones = [
                    place
                    for literal, place in places.items()
                    if place < self.cells and place not in chosen and literal not in model
                ]
                if not open_ones:  # the two differ in a letter alone: no given can help
                    raise ValueError("a letter stays open")
                for more in self.rng.sample(open_ones, 1 + len(open_ones) // 40):
                    chosen.append(more)
                    solver.add_clause([self.literals[more]])
        chosen = self.thinned(chosen, handfuls)
        return replace(self.puzzle, givens=tuple(self.facts[place] for place in sorted(chosen)))

    def _solver(self, chosen: Sequence[int]) -> Solver:
        """A solver that looks for another solution with givens at these places."""
        solver = Solver(name="gluecard4", bootstrap_with=self.clauses)
        for literals, bound in self.cardinalities:
            solver.add_atmost(literals, bound)
        solver.add_clause([-literal for literal in self.literals])
        for place in chosen:
            solver.add_clause([self.literals[place]])
        return solver

    def thinned(self, chosen: list[int], handfuls: Sequence[int]) -> list[int]:
        """The places without the wasted ones, tried in handfuls.

        It ends early if solvers need more than EFFORT conflicts twice in a row.
        """
        too_hard = 0
        for handful in handfuls:
            order = self.rng.sample(chosen, len(chosen))
            for start in range(0, len(order), handful):
                gone = set(order[start : start + handful])
                rest = [one for one in chosen if one not in gone]
                with self._solver(rest) as solver:
                    solver.conf_budget(self.effort)
                    answer = solver.solve_limited()
                if answer is False:
                    chosen = rest
                too_hard = too_hard + 1 if answer is None else 0
                if too_hard == 2:
                    break
        return chosen


def sparse(number: int, seed: int) -> Iterator[str]:
    """25×25 grids: two fifths of the cells given at random, then those that uniqueness needs."""
    rng, empty = Random(seed), Puzzle(classic(25))
    for _ in range(number):
        # The boxes of a diagonal see nothing of one another: any digits in them can be completed.
        digits = [rng.sample(range(1, 26), 25) for _ in range(5)]
        start = [
            Fact(Cell(5 * box + 1 + place // 5, 5 * box + 1 + place % 5), digit)
            for box in range(5)
            for place, digit in enumerate(digits[box])
        ]
        with closing(OutrightEngine(empty.model, start, Clock(600))) as engine:
            solution = engine.solve(Clock(600))
        assert solution is not None
        chosen = rng.sample(range(625), rng.choice((230, 245, 260)))
        tight = Tightener(empty, solution, rng).tight(chosen, (24, 8, 3))
        print(25, len(tight.givens), file=sys.stderr, flush=True)
        yield tight.given_line()


Drawing = Callable[[Sketch, Random], Iterator[Table]]


def _drawn(
    head: Table, draw: Drawing, number: int, seed: int, *, start: int, effort: int
) -> Iterator[str]:
    """Puzzles with the clues that a random solution of the houses gives."""
    made = 0
    for attempt in range(100 * number):
        rng = Random(f"{seed} {attempt}")
        base = read(head)
        solution = random_solution(base, rng, Clock(120))
        rules = list(draw(Sketch(base, solution, rng), rng))
        puzzle = read(head, rules)
        # What the letters stand for follows from the drawing: they are read off the clues.
        whole = random_solution(replace(puzzle, givens=_facts(base, solution)), rng, Clock(120))
        try:
            chosen = rng.sample(range(len(base.canvas.cells)), start)
            tight = Tightener(puzzle, whole, rng, effort).tight(chosen, (4, 1))
        except ValueError:
            continue
        print(head.get("size"), len(tight.givens), file=sys.stderr, flush=True)
        yield document(head, rules, tight)
        made += 1
        if made == number:
            return


def _facts(puzzle: Puzzle, solution: Solution) -> tuple[Fact, ...]:
    return tuple(Fact(c, d) for c, d in zip(puzzle.canvas.cells, solution, strict=False))


def triples(number: int, seed: int) -> Iterator[str]:
    """27 lines of three cells over the whole grid, each cut into runs with its own total.

    No givens; the solver has to find out whether there is a solution.
    """
    rng = Random(seed)
    for _ in range(number):
        rules: list[Table] = []
        while len(rules) < 27:
            rules = _tiling(rng)
        yield document({"size": 9, "letters": "different"}, rules)


def _tiling(rng: Random) -> list[Table]:
    free = {Cell(row, column) for row in range(1, 10) for column in range(1, 10)}
    rules: list[Table] = []
    while free:
        start = min(free)
        bent = [
            [start, middle, end]
            for middle in _beside(start, free)
            for end in _beside(middle, free - {start})
        ]
        around = [[a, start, b] for a in _beside(start, free) for b in _beside(start, free - {a})]
        if not bent + around:
            break
        line = rng.choice(bent + around)
        free -= set(line)
        rules.append({"kind": "sum-run", "cells": spell(line), "total": f"L{len(rules) + 1}"})
    return rules


def _beside(cell: Cell, free: set[Cell]) -> list[Cell]:
    steps = ((0, 1), (1, 0), (0, -1), (-1, 0), (1, 1), (1, -1), (-1, 1), (-1, -1))
    return [other for step in steps if (other := cell.step(*step)) in free]


def pictures(number: int, seed: int) -> Iterator[str]:
    """Blots of 1 on 0, as they remain after a round or two of votes among neighbours."""
    sizes = [
        (15, 15),
        (20, 20),
        (20, 30),
        (25, 25),
        (25, 40),
        (30, 30),
        (30, 45),
        (30, 50),
        (35, 35),
        (35, 60),
    ]
    for place, (rows, columns) in enumerate(sizes[:number]):
        rng = Random(f"{seed} {place}")
        dots = {(r, c) for r in range(rows) for c in range(columns) if rng.random() < 0.5}
        for _ in range(1 + place % 2):
            votes = {
                (r, c): sum((r + dr, c + dc) in dots for dr in (-1, 0, 1) for dc in (-1, 0, 1))
                for r in range(rows)
                for c in range(columns)
            }
            dots = {at for at, vote in votes.items() if vote >= 5 or (vote == 4 and at in dots)}
        head = {"rows": rows, "columns": columns, "digits": [0, 1], "houses": "none"}
        lines = [[(r, c) for c in range(columns)] for r in range(rows)]
        lines += [[(r, c) for r in range(rows)] for c in range(columns)]
        rules: list[Table] = [
            {
                "kind": "sequence",
                "cells": run([Cell(r + 1, c + 1) for r, c in line]),
                "pattern": _blocks([at in dots for at in line]),
            }
            for line in lines
        ]
        puzzle = read(head, rules)
        solution = tuple(
            int((cell.row - 1, cell.column - 1) in dots) for cell in puzzle.canvas.cells
        )
        tight = Tightener(puzzle, solution, rng).tight([])
        print(rows, columns, len(tight.givens), file=sys.stderr, flush=True)
        yield document(head, rules, tight)


def _blocks(line: Sequence[bool]) -> str:
    blocks = [len(list(group)) for full, group in groupby(line) if full]
    return " ".join(["0*", " 0+ ".join(f"1{{{length}}}" for length in blocks), "0*"])


def multisets(number: int, seed: int) -> Iterator[str]:
    """12×12 grids whose rows, columns and boxes each hold one multiset of six digits."""
    for place in range(number):
        rng = Random(f"{seed} {place}")
        times = [[2] * 6, [3, 3, 2, 2, 1, 1], [4, 2, 2, 2, 1, 1]][place % 3]
        digits = [digit for digit, often in enumerate(times, 1) for _ in range(often)]
        rows = [[Cell(r, c) for c in range(1, 13)] for r in range(1, 13)]
        houses = rows + [list(column) for column in zip(*rows, strict=True)]
        houses += [
            [Cell(r + i, c + j) for i in range(3) for j in range(4)]
            for r in range(1, 13, 3)
            for c in range(1, 13, 4)
        ]
        rules: list[Table] = [
            {"kind": "contains", "cells": spell(house), "digits": digits} for house in houses
        ]
        head = {"rows": 12, "columns": 12, "digits": [1, 2, 3, 4, 5, 6], "houses": "none"}
        base = read(head, rules)
        finer = random_solution(Puzzle(classic(12)), rng, Clock(600))
        solution = tuple(digits[digit - 1] for digit in finer)
        tight = Tightener(base, solution, rng, 3000).tight([], (4, 1))
        print("multiset", len(tight.givens), file=sys.stderr, flush=True)
        yield document(head, rules, tight)


def sandwiches(sketch: Sketch, rng: Random) -> Iterator[Table]:
    """The total between the lowest and the highest digit of every line."""
    size = sketch.canvas.rows
    for name in [f"r{n}" for n in range(1, size + 1)] + [f"c{n}" for n in range(1, size + 1)]:
        number = int(name[1:])
        cells = [
            c for c in sketch.canvas.cells if (c.row if name[0] == "r" else c.column) == number
        ]
        digits = sketch.filled.digits(cells)
        low, high = sorted((digits.index(1), digits.index(size)))
        yield {"kind": "sandwich", "line": name, "sum": sum(digits[low + 1 : high])}


def mixed(sketch: Sketch, rng: Random) -> Iterator[Table]:
    """Cages over a third of the grid, and lines of three kinds over another."""
    yield from sketch.lines("thermometer", 8, (4, 5, 3))
    yield from sketch.lines(
        "whisper", 6, (4, 5, 3), lambda path: {"cells": run(path), "difference": 8}
    )
    yield from sketch.lines(
        "arrow", 8, (3, 4), lambda path: {"bulb": str(path[0]), "shaft": spell(path[1:])}
    )
    yield from sketch.lines(
        "cage",
        24,
        (3, 4, 5),
        lambda path: {"cells": spell(path), "sum": sketch.total(path)},
        diagonal=False,
    )


def write(name: str, pieces: Iterator[str]) -> None:
    """Write a corpus, as far as it is made: lines, or documents with a line of dashes between them."""
    made: list[str] = []
    for piece in pieces:
        made.append(piece)
        between = RULE_OFF if "\n" in piece else "\n"
        (FOLDER / f"{name}.txt").write_text(between.join(made) + "\n", encoding="utf-8")


MAKERS: dict[str, Callable[[], None]] = {
    "sparse25": lambda: write("sparse25", sparse(4, 21)),
    "letters9": lambda: write("letters9", triples(10, 22)),
    "sequences": lambda: write("sequences", pictures(10, 24)),
    "multisets12": lambda: write("multisets12", multisets(6, 25)),
    "sandwiches12": lambda: write(
        "sandwiches12", _drawn({"size": 12}, sandwiches, 4, 26, start=40, effort=2000)
    ),
    "mixed16": lambda: write("mixed16", _drawn({"size": 16}, mixed, 8, 27, start=60, effort=3000)),
}

if __name__ == "__main__":
    for name in sys.argv[1:] or MAKERS:
        MAKERS[name]()
