"""The barest python-sat loop: one incremental solver, houses hard, givens assumed.

As a program it reads the lines of a file and prints for each how many solutions it counted, up to
two.
"""

from __future__ import annotations

import sys
from itertools import combinations

from pysat.solvers import Solver

DIGITS = range(9)


def _variable(row: int, column: int, digit: int) -> int:
    return (row * 9 + column) * 9 + digit + 1


class BareLoop:
    """Counts to two."""

    def __init__(self, solver: str = "cadical153") -> None:
        self.solver = Solver(name=solver)
        self.spare = 729
        for a in DIGITS:
            for b in DIGITS:
                for group in (
                    [_variable(a, b, d) for d in DIGITS],
                    [_variable(a, d, b) for d in DIGITS],
                    [_variable(d, a, b) for d in DIGITS],
                    [_variable(a // 3 * 3 + d // 3, a % 3 * 3 + d % 3, b) for d in DIGITS],
                ):
                    self.solver.add_clause(group)
                    for x, y in combinations(group, 2):
                        self.solver.add_clause([-x, -y])

    def count(self, line: str) -> int:
        """0, 1 or 2 solutions."""
        assumptions = [
            _variable(place // 9, place % 9, int(symbol) - 1)
            for place, symbol in enumerate(line)
            if symbol in "123456789"
        ]
        if not self.solver.solve(assumptions=assumptions):
            return 0
        true = [x for x in self.solver.get_model()[:729] if x > 0]
        self.spare += 1
        self.solver.add_clause([-self.spare, *[-x for x in true]])
        second = self.solver.solve(assumptions=[*assumptions, self.spare])
        self.solver.add_clause([-self.spare])
        return 2 if second else 1


if __name__ == "__main__":
    with open(sys.argv[1]) as file:  # noqa: PTH123  (pathlib would be one more import to time)
        bare = BareLoop()
        for given in file:
            print(bare.count(given.strip()))
