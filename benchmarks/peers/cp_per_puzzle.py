"""OR-Tools CP-SAT, a model built for each puzzle, as its sudoku example does; counts to two."""

from __future__ import annotations

from ortools.sat.python import cp_model

DIGITS = range(9)


def count(line: str) -> int:
    """0, 1 or 2 solutions of a 9×9 line."""
    model = cp_model.CpModel()
    grid = [[model.new_int_var(1, 9, "") for _ in DIGITS] for _ in DIGITS]
    for a in DIGITS:
        model.add_all_different(grid[a])
        model.add_all_different([grid[b][a] for b in DIGITS])
        model.add_all_different([grid[a // 3 * 3 + b // 3][a % 3 * 3 + b % 3] for b in DIGITS])
    cells = [cell for row in grid for cell in row]
    for cell, symbol in zip(cells, line, strict=True):
        if symbol in "123456789":
            model.add(cell == int(symbol))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    found = 0
    while found < 2 and solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        found += 1
        model.add_forbidden_assignments(cells, [[solver.value(cell) for cell in cells]])
    return found
