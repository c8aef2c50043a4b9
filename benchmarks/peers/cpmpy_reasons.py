"""Smallest reasons by CPMpy's explanation tools, one open elimination after the other.

As with OptUx, the candidates are hard and the houses soft: an easier question than gridassay answers.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import cpmpy
from cpmpy.tools.explain import optimal_mus

from benchmarks.peers.houses import CELLS, HOUSES, SIZE


def fewest_houses(masks: Sequence[int], targets: Iterable[tuple[int, int]]) -> int:
    """The fewest houses that any of the targets follows from, as ``optimal_mus`` finds them."""
    grid = cpmpy.intvar(0, SIZE - 1, shape=len(CELLS))
    candidates = [
        grid[cell] != digit
        for cell in CELLS
        for digit in range(SIZE)
        if not masks[cell] >> digit & 1
    ]
    houses = [cpmpy.AllDifferent([grid[cell] for cell in house]) for house in HOUSES]
    return min(
        len(optimal_mus(houses, hard=[*candidates, grid[cell] == digit])) for cell, digit in targets
    )
