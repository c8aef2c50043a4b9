"""A conflict of givens by the deletion algorithm of CPMpy, houses hard: minimal, not smallest."""

from __future__ import annotations

import cpmpy
from cpmpy.tools.explain import mus


def conflict(line: str) -> int:
    """The number of givens in a minimal conflict of a 9×9 line."""
    grid = cpmpy.intvar(1, 9, shape=(9, 9))
    houses = [cpmpy.AllDifferent(row) for row in grid]
    houses += [cpmpy.AllDifferent(column) for column in grid.T]
    houses += [cpmpy.AllDifferent(grid[r : r + 3, c : c + 3]) for r in (0, 3, 6) for c in (0, 3, 6)]
    givens = [
        grid[place // 9, place % 9] == int(symbol)
        for place, symbol in enumerate(line)
        if symbol in "123456789"
    ]
    return len(mus(givens, hard=houses, solver="ortools"))
