"""The formula of a board on which two groups are connected, model by model against flood fill."""

from __future__ import annotations

from itertools import product

from pysat.solvers import Solver

from gridassay.verify import read
from gridassay.verify.budget import Clock
from gridassay.verify.proof.formula import formula_of

ROWS, COLUMNS = 3, 4
BOARD = f"""
rows = {ROWS}
columns = {COLUMNS}
digits = "none"
[[layer]]
name = "water"
kind = "shading"
values = ["deep", "shallow"]
[[rule]]
kind = "connected"
layer = "water"
value = "deep"
[[rule]]
kind = "connected"
layer = "water"
value = "shallow"
"""

Cells = frozenset[tuple[int, int]]


def in_one_piece(cells: Cells) -> bool:
    left, edge = set(cells), [min(cells)] if cells else []
    while edge:
        r, c = edge.pop()
        if (r, c) in left:
            left.remove((r, c))
            edge += [(r + 1, c), (r - 1, c), (r, c + 1), (r, c - 1)]
    return bool(cells) and not left


def test_the_models_of_a_formula_are_the_boards_of_two_connected_groups() -> None:
    places = [(r, c) for r in range(1, ROWS + 1) for c in range(1, COLUMNS + 1)]
    wanted = set()
    for bits in product((False, True), repeat=len(places)):
        deep = frozenset(place for place, bit in zip(places, bits, strict=True) if bit)
        if in_one_piece(deep) and in_one_piece(frozenset(places) - deep):
            wanted.add(deep)
    formula = formula_of(read(BOARD, "water.toml"), None, Clock(60))
    assert "what connected groups say together" in [label for _, label in formula.origins]
    deep_is = {
        number: place
        for number, meaning in enumerate(formula.meanings, start=1)
        for place in places
        if f"r{place[0]}c{place[1]} is 0" in meaning
    }
    assert len(deep_is) == len(places), formula.meanings
    found = set()
    with Solver(bootstrap_with=formula.clauses) as solver:
        while solver.solve():
            model = {*solver.get_model()}
            deep = frozenset(place for number, place in deep_is.items() if number in model)
            assert deep not in found
            found.add(deep)
            solver.add_clause([-x if x in model else x for x in deep_is])
    assert found == wanted
