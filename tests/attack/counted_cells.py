"""Cells of a shading that count as something else, in the attack's random puzzles with layers.

What they count as is worked out by formulas of Python's own, and rules over values are read as in
``readings.py``.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from .layer_readings import World, board_of, true_of
from .makers import MAKERS, VALUES, Place, suits
from .readings import Table


class Nothing(int):
    """Stands where a cell has no value: whoever adds or compares it is told so."""

    def read(self, *_: object) -> Any:
        raise ArithmeticError

    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = __mod__ = __abs__ = read
    __lt__ = __le__ = __gt__ = __ge__ = __eq__ = __ne__ = __hash__ = __bool__ = read  # type: ignore[assignment]


NOTHING = Nothing()

FORMULAS: dict[str, Callable[[int], int]] = {
    "-d": lambda d: -d,
    "2*d": lambda d: 2 * d,
    "0": lambda d: 0,
    "d + 1": lambda d: d + 1,
    "d - 2": lambda d: d - 2,
    "3 - d**2": lambda d: 3 - d**2,
    "2 // (d - 1)": lambda d: 2 // (d - 1) if d != 1 else NOTHING,
    "2 ** (d - 2)": lambda d: 2 ** (d - 2) if d >= 2 else NOTHING,
}
"""What a cell may count as, and the same in Python."""

KINDS = sorted(
    VALUES
    | {
        *("calculation-cage", "sum-run", "pair-ratio", "consecutive-pair", "double-pair"),
        *("progression", "equal-difference", "outside-ends", "relation", "nonconsecutive"),
        *("below-neighbours", "above-neighbours", "sandwich", "x-sum", "battlefield", "renban"),
    }
)
"""The kinds of rules that are made over such cells; a few of them are about digits."""


def counting(dice: random.Random) -> tuple[list[Table], dict[str, Callable[[int], int]]]:
    """The tables that say what deep cells, shallow ones or both count as, and the same in Python."""
    values = dice.choice((["deep"], ["shallow"], ["deep", "shallow"]))
    chosen = {value: dice.choice([*FORMULAS]) for value in values}
    tables = [
        {"kind": "counts-as", "layer": "water", "value": value, "formula": formula}
        for value, formula in chosen.items()
    ]
    return tables, {value: FORMULAS[formula] for value, formula in chosen.items()}


def rule_over(chosen: World, dice: random.Random) -> Table | None:
    """A random rule over values, more often than not true of the chosen world."""
    board, table = board_of(chosen), None
    kind = dice.choice([one for one in KINDS if suits(one, board)])
    for _ in range(8):
        fields = MAKERS[kind](Place(board, dice))
        if fields is None:
            return None
        table = {"kind": kind, **fields}
        if true_of(table, chosen) or dice.random() < 0.05:
            break
    return table
