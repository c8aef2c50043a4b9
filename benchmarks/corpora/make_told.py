"""Makes ``told.txt`` from seeds: ``python -m benchmarks.corpora.make_told``, 60 variants to be told.

Five puzzles of each of a dozen families, the third 6×6, the others 9×9, each with one solution and
rules enough that a person could solve it. This is ensured without any technique: first no given can
be removed, then some come back, at random, until it is enough to try single candidates,
one at a time, each only as far as what follows at once (failed literals under
unit propagation, as in Zabih and McAllester, "A rearrangement search strategy for determining
propositional satisfiability", AAAI 1988).

Routes are measured on them, so they stay as they are: a puzzle that reads badly is not
replaced.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random

from pysat.solvers import Solver

from benchmarks.corpora import FOLDER, RULE_OFF, families
from benchmarks.drawing import Sketch, Table, document, read, run
from benchmarks.maker import fewer_givens, random_solution
from gridassay.encodings.cnf.compile import compile_model
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.encodings.rules.base import spell
from gridassay.verify import check
from gridassay.verify.budget import Clock, OutOfTime

SIZES = (9, 9, 6, 9, 9)
PATIENCE = 20.0
"""Seconds to spend on a puzzle before another is tried."""

Draw = Callable[[Sketch, int], Iterator[Table]]


@dataclass(frozen=True)
class Family:
    """``before`` gives the rules that a solution must keep, ``draw`` those drawn true to it."""

    draw: Draw
    before: Callable[[int], list[Table]] = lambda number: []
    head: Callable[[int], Table] = lambda number: {}


def _cages(sketch: Sketch, number: int) -> Iterator[Table]:
    total = lambda path: {"cells": run(path), "sum": sketch.total(path)}  # noqa: E731
    size = len(sketch.canvas.digits)
    yield from sketch.lines("cage", 3 * size, [2, 2, 3, 3, 4], total, diagonal=False)


def _thermometers(sketch: Sketch, number: int) -> Iterator[Table]:
    long = len(sketch.canvas.digits) // 2
    yield from sketch.lines("thermometer", 7, [long - 1, long, long + 1])
    yield from sketch.lines("slow-thermometer", 2, [long])


def _arrows(sketch: Sketch, number: int) -> Iterator[Table]:
    one = lambda path: {"bulb": run(path[:1]), "shaft": run(path[1:])}  # noqa: E731
    yield from sketch.lines("arrow", 9, [3, 3, 4], one)
    yield from sketch.lines("double-arrow", 2, [4])


def _whispers(sketch: Sketch, number: int) -> Iterator[Table]:
    far = {"difference": (len(sketch.canvas.digits) + 1) // 2}
    yield from sketch.lines("whisper", 5, [4, 5, 6], lambda path: {"cells": run(path)} | far)
    yield from sketch.lines("parity-line", 2, [4])
    yield from sketch.lines("between-ends", 2, [4, 5])


def _sets(sketch: Sketch, number: int) -> Iterator[Table]:
    yield from sketch.lines("renban", 6, [3, 4, 5])
    for kind in sketch.rng.sample(["modular", "entropic", "parity-line", "progression"], 2):
        yield from sketch.lines(kind, 3, [3, 4] if kind != "progression" else [3])


def _sums(sketch: Sketch, number: int) -> Iterator[Table]:
    yield from sketch.lines("region-sum", 6, [4, 5, 6])
    yield from sketch.lines("zipper", 3, [3, 5])
    yield from _pairs(sketch, 0.2)


def _pairs(sketch: Sketch, share: float) -> Iterator[Table]:
    """Marks between neighbours, on some of the pairs that could have one."""
    for pair in sketch.neighbours():
        a, b = sketch.filled.digits(pair)
        if sketch.rng.random() < share:
            if a + b in (5, 10):
                yield {"kind": "pair-sum", "cells": spell(pair), "sum": a + b}
            elif abs(a - b) == 1:
                yield {"kind": "consecutive-pair", "cells": spell(pair)}
            elif max(a, b) == 2 * min(a, b):
                yield {"kind": "double-pair", "cells": spell(pair)}


def _marks(sketch: Sketch, number: int) -> Iterator[Table]:
    yield from families.FAMILIES["marks"].draw(sketch, number)


def _outside(sketch: Sketch, number: int) -> Iterator[Table]:
    yield from families.FAMILIES["outside"].draw(sketch, number)


def _whole_grid(number: int) -> list[Table]:
    together: list[list[Table]] = [
        [{"kind": "diagonals"}, {"kind": "windows"}],
        [{"kind": "anti-knight"}],
        [{"kind": "diagonals", "which": "falling"}],
        [{"kind": "anti-king"}, {"kind": "box-places"}],
        [{"kind": "nonconsecutive"}],
    ]
    return together[number - 1]


def _copies(number: int) -> list[Table]:
    """A few cells, and as many of the same shape that hold the same digits."""
    together = [
        ("r1c2 r2c3 r3c1", "r4c5 r5c6 r6c4"),
        ("r1c6 r2c7 r3c7", "r5c1 r6c2 r7c2"),
        ("r1c1 r1c2 r2c3", "r3c4 r3c5 r4c6"),
        ("r1c1 r1c2 r2c2 r3c2", "r6c6 r6c7 r7c7 r8c7"),
        ("r2c5 r3c4 r3c5", "r7c3 r8c2 r8c3"),
    ]
    cells, home = together[number - 1]
    return [{"kind": "copy", "cells": cells, "of": home}]


def _palindromes(sketch: Sketch, number: int) -> Iterator[Table]:
    yield from sketch.lines("palindrome", 4, [3, 4, 5])
    filled = sketch.filled
    for kind, wanted in (("even", 0), ("odd", 1)):
        fitting = [cell for cell in sketch.canvas.cells if filled[cell] % 2 == wanted]
        count = len(sketch.canvas.digits)
        yield {"kind": kind, "cells": spell(sorted(sketch.rng.sample(fitting, count)))}
    yield from _pairs(sketch, 0.2)


def _unknowns(sketch: Sketch, number: int) -> Iterator[Table]:
    """Cages whose totals are values of doubled cells, or letters."""
    value = sketch.filled.value
    size = len(sketch.canvas.digits)
    total = lambda path: {"cells": run(path), "sum": sum(map(value, path))}  # noqa: E731
    cages = list(sketch.lines("cage", 3 * size, [2, 2, 3, 3], total, diagonal=False))
    if number in _DOUBLED:
        yield from cages
        return
    sums = [cage["sum"] for cage in cages]
    named = sketch.rng.sample(sorted(set(sums)), 4)
    for cage in cages:
        if cage["sum"] in named:
            yield cage | {"sum": "ABCD"[named.index(cage["sum"])]}
        elif sketch.rng.random() < 0.6:
            yield cage


_DOUBLED = (3, 4, 5)


def _unknown_head(number: int) -> Table:
    return {"doublers": {}} if number in _DOUBLED else {"letters": "different"}


def _mixture(sketch: Sketch, number: int) -> Iterator[Table]:
    """A few of everything, with a rule of the setter's own."""
    half = (len(sketch.canvas.digits) + 1) // 2
    total = lambda path: {"cells": run(path), "sum": sketch.total(path)}  # noqa: E731
    yield from sketch.lines("cage", 6, [2, 3, 4], total, diagonal=False)
    kinds: list[Callable[[], Iterator[Table]]] = [
        lambda: sketch.lines("thermometer", 3, [3, 4]),
        lambda: sketch.lines(
            "arrow", 3, [3, 4], lambda path: {"bulb": run(path[:1]), "shaft": run(path[1:])}
        ),
        lambda: sketch.lines(
            "whisper", 2, [4], lambda path: {"cells": run(path), "difference": half}
        ),
        lambda: sketch.lines("renban", 3, [3, 4]),
        lambda: sketch.lines("region-sum", 2, [4, 5]),
        lambda: sketch.lines("palindrome", 2, [3, 4]),
        lambda: sketch.lines(
            "relation", 3, [3], lambda path: {"cells": run(path), "holds": "a + c == 2*b"}
        ),
    ]
    for kind in sketch.rng.sample(kinds, 4):
        yield from kind()
    yield from _pairs(sketch, 0.12)


FAMILIES: dict[str, Family] = {
    "cages": Family(_cages),
    "thermometers": Family(_thermometers),
    "arrows": Family(_arrows),
    "whispers": Family(_whispers),
    "sets": Family(_sets),
    "sums": Family(_sums),
    "marks": Family(_marks),
    "outside": Family(_outside),
    "whole grid": Family(lambda sketch, number: iter(()), _whole_grid),
    "copies": Family(_palindromes, _copies),
    "unknowns": Family(_unknowns, head=_unknown_head),
    "mixtures": Family(_mixture),
}


def make(name: str, number: int) -> str:
    """The document of a family's puzzle ``number``, from 1; tries seed after seed until one works."""
    for attempt in range(100):
        made = _attempt(FAMILIES[name], number, Random(f"told {name} {number} {attempt}"))
        if made:
            head, rules, puzzle = made
            title = f"{name.capitalize()} {number}"
            return document({"title": title, "expect": "unique"} | head, rules, puzzle)
    raise AssertionError(f"no puzzle {number} of {name} in 100 attempts")


def _attempt(family: Family, number: int, rng: Random) -> tuple[Table, list[Table], Puzzle] | None:
    head = {"size": SIZES[number - 1]} | family.head(number)
    rules = family.before(number)
    try:
        base = read(head, rules)
        found = random_solution(base, rng, Clock(PATIENCE))
        rules = [*rules, *family.draw(Sketch(base, found, rng), number)]
        whole = read(head, rules)
        cells = whole.canvas.cells
        filled = tuple(Fact(cell, digit) for cell, digit in zip(cells, found, strict=False))
        answer = check(replace(whole, givens=filled), budget=PATIENCE)
        if answer.status != "unique":
            return None
        solution = answer.solutions[0]
        puzzle = fewer_givens(whole, solution, rng, Clock(PATIENCE))
    except (ValueError, OutOfTime):
        return None
    puzzle = _tellable(puzzle, filled, rng)
    return head, rules, puzzle


def _tellable(puzzle: Puzzle, filled: Sequence[Fact], rng: Random) -> Puzzle:
    """Add givens until trying candidates one by one leaves nothing open."""
    probe = Probe(puzzle)
    while open_cells := probe.left(puzzle.givens):
        given = rng.choice([fact for fact in filled if fact.variable in open_cells])
        puzzle = replace(puzzle, givens=(*puzzle.givens, given))
    order = {cell: place for place, cell in enumerate(puzzle.canvas.cells)}
    return replace(puzzle, givens=tuple(sorted(puzzle.givens, key=lambda g: order[g.variable])))


class Probe:
    """The candidates left open after trying each one: no search, only what follows at once."""

    def __init__(self, puzzle: Puzzle) -> None:
        compiled = compile_model(puzzle.model)
        self._solver = Solver("minisat22", bootstrap_with=compiled.writer.clauses)
        names = [premise.name for premise in puzzle.model.premises if not premise.optional]
        self._on = compiled.assumptions(names)
        self._cells = puzzle.canvas.cells
        domains = puzzle.model.domains
        self._values = {
            name: [compiled.literal(name, value) for value in domains[name]]
            for name in puzzle.model.shown
        }
        self._literal = compiled.literal

    def left(self, givens: Sequence[Fact]) -> set[Cell]:
        """The cells that are open when no more single candidates can be struck."""
        held = [*self._on, *(self._literal(given.variable, given.value) for given in givens)]
        while True:
            fine, known = self._solver.propagate(assumptions=held)
            assert fine, "the puzzle has a solution"
            true = set(known)
            struck = [
                -literal
                for literals in self._values.values()
                for literal in literals
                if literal not in true
                and -literal not in true
                and not self._solver.propagate(assumptions=[*held, literal])[0]
            ]
            if not struck:
                break
            held += struck
        unsettled = [name for name, lits in self._values.items() if not true.intersection(lits)]
        # A letter or doubler is settled by cells: any cell that is open will do.
        cells = {name for name in unsettled if name in set(self._cells)}
        assert cells or not unsettled, "cells settle the rest"
        return cells


def main(names: Sequence[str]) -> None:
    """Write the corpus, or remake some families of it."""
    file = FOLDER / "told.txt"
    known = file.read_text(encoding="utf-8").split(RULE_OFF) if file.exists() else []
    made = []
    for place, name in enumerate(FAMILIES):
        start = place * len(SIZES)
        if names and name not in names:
            made += known[start : start + len(SIZES)]
            continue
        for number in range(1, len(SIZES) + 1):
            made.append(make(name, number))
            print(name, number, flush=True)
    file.write_text(RULE_OFF.join(made), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
