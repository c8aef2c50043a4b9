"""clingo, a program grounded for each puzzle, two models asked for, as its guide writes such grids."""

from __future__ import annotations

from clingo import Control

PROGRAM = """
digit(1..9).
box(R, C, 3 * ((R - 1) / 3) + (C - 1) / 3) :- R = 1..9, C = 1..9.
1 { at(R, C, D) : digit(D) } 1 :- R = 1..9, C = 1..9.
1 { at(R, C, D) : C = 1..9 } 1 :- R = 1..9, digit(D).
1 { at(R, C, D) : R = 1..9 } 1 :- C = 1..9, digit(D).
1 { at(R, C, D) : box(R, C, B) } 1 :- B = 0..8, digit(D).
"""


def count(line: str) -> int:
    """0, 1 or 2 solutions of a 9×9 line."""
    control = Control(["--models=2", "--warn=none"])
    givens = [
        f":- not at({place // 9 + 1}, {place % 9 + 1}, {symbol})."
        for place, symbol in enumerate(line)
        if symbol in "123456789"
    ]
    control.add("base", [], PROGRAM + "\n".join(givens))
    control.ground([("base", [])])
    found = 0
    with control.solve(yield_=True) as models:
        for _ in models:
            found += 1
    return found
