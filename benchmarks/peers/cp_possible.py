"""The digits each cell takes over all solutions, by a fresh OR-Tools model for every candidate."""

from __future__ import annotations

from ortools.sat.python import cp_model

DIGITS = range(9)


def possible(line: str) -> list[set[int]]:
    """The digits of each cell of a 9×9 line, in reading order."""
    return [{digit for digit in range(1, 10) if _fits(line, cell, digit)} for cell in range(81)]


def _fits(line: str, place: int, digit: int) -> bool:
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
    model.add(cells[place] == digit)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    return solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
