"""The houses of a classic 9×9 grid for peers, cells numbered in reading order."""

from __future__ import annotations

SIZE = 9
CELLS = range(SIZE * SIZE)
HOUSES = [
    *([9 * row + column for column in range(9)] for row in range(9)),
    *([9 * row + column for row in range(9)] for column in range(9)),
    *(
        [9 * (top + r) + left + c for r in range(3) for c in range(3)]
        for top in (0, 3, 6)
        for left in (0, 3, 6)
    ),
]
