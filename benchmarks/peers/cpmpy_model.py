"""CPMpy on its default solver, a model for each puzzle, as its own sudoku example does."""

from __future__ import annotations

import cpmpy as cp
import numpy as np


def count(line: str) -> int:
    """0, 1 or 2 solutions of a 9×9 line."""
    given = np.array([int(symbol) if symbol in "123456789" else 0 for symbol in line])
    given = given.reshape(9, 9)
    grid = cp.intvar(1, 9, shape=(9, 9))
    model = cp.Model([cp.AllDifferent(row) for row in grid], [cp.AllDifferent(c) for c in grid.T])
    for row in range(0, 9, 3):
        for column in range(0, 9, 3):
            model += cp.AllDifferent(grid[row : row + 3, column : column + 3])
    model += grid[given != 0] == given[given != 0]
    found = 0
    while found < 2 and model.solve(solver="ortools", num_workers=1):
        found += 1
        model += ~cp.all(grid == grid.value())
    return found
