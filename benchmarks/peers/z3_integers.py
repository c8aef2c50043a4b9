"""Z3 on integers with Distinct, a solver for each puzzle, as its guide writes such grids."""

from __future__ import annotations

import z3

DIGITS = range(9)


def count(line: str) -> int:
    """0, 1 or 2 solutions of a 9×9 line."""
    grid = [[z3.Int(f"r{row}c{column}") for column in DIGITS] for row in DIGITS]
    cells = [cell for row in grid for cell in row]
    solver = z3.Solver()
    solver.add([z3.And(cell >= 1, cell <= 9) for cell in cells])
    for a in DIGITS:
        solver.add(z3.Distinct(grid[a]), z3.Distinct([grid[b][a] for b in DIGITS]))
        solver.add(z3.Distinct([grid[a // 3 * 3 + b // 3][a % 3 * 3 + b % 3] for b in DIGITS]))
    solver.add([c == int(s) for c, s in zip(cells, line, strict=True) if s in "123456789"])
    found = 0
    while found < 2 and solver.check() == z3.sat:
        found += 1
        model = solver.model()
        solver.add(z3.Or([cell != model[cell] for cell in cells]))
    return found
