"""clingo grounded once, givens as assumptions: the multi-shot way of its own library."""

from __future__ import annotations

from clingo import Control

from benchmarks.peers.clingo_per_puzzle import PROGRAM


class MultiShot:
    """Counts to two."""

    def __init__(self) -> None:
        self.control = Control(["--models=2", "--warn=none"])
        self.control.add("base", [], PROGRAM)
        self.control.ground([("base", [])])
        # Looked up once: the solver takes its own literals faster than atoms by name.
        self.literals: dict[tuple[int, str], int] = {}
        for atom in self.control.symbolic_atoms.by_signature("at", 3):
            row, column, digit = (argument.number for argument in atom.symbol.arguments)
            self.literals[9 * row + column - 10, str(digit)] = atom.literal

    def count(self, line: str) -> int:
        """0, 1 or 2 solutions of a 9×9 line."""
        given = [
            self.literals[place, symbol]
            for place, symbol in enumerate(line)
            if symbol in "123456789"
        ]
        found = 0
        with self.control.solve(assumptions=given, yield_=True) as models:
            for _ in models:
                found += 1
        return found
