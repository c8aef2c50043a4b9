"""Random rules: for each kind a maker of tables that fit on a board; nothing here is gridassay's.

A maker takes the dice and a ``Place`` and gives the fields of a table, or None if its kind cannot
stand on the board. Numbers are chosen so that a fair share of the rules is true somewhere.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from .boards import Board, Cell
from .readings import FORMULAS, READINGS, Scene, Table

VALUES = frozenset(
    [
        "cage",
        "thermometer",
        "slow-thermometer",
        "arrow",
        "double-arrow",
        "pair-sum",
        "pair-difference",
        "greater",
        "whisper",
        "spread",
        "equal-sums",
        "greater-sum",
        "between-ends",
        "zipper",
        "palindrome",
        "all-different",
        "even",
        "odd",
        "among",
        "little-killer",
        "head-sum",
        "seen-count",
    ]
)
"""The kinds that stand on boards with doublers: what they mean there needs no interpretation."""

LETTERED = {
    "cage": "sum",
    "pair-sum": "sum",
    "little-killer": "sum",
    "sandwich": "sum",
    "x-sum": "sum",
    "head-sum": "sum",
    "battlefield": "sum",
    "seen-count": "seen",
    "numbered-room": "digit",
    "sum-run": "total",
}
"""The kinds whose clue may be a letter, which the digits then decide, and the field of the clue."""


@dataclass(frozen=True)
class Place:
    """A board and the dice to choose on it."""

    board: Board
    dice: random.Random

    def cells(self, least: int, most: int) -> str:
        """Cells anywhere, as references."""
        most = min(most, len(self.board.cells))
        chosen = self.dice.sample(self.board.cells, self.dice.randint(min(least, most), most))
        return written(chosen)

    def walk(self, least: int, most: int) -> str:
        """Cells of a walk from neighbour to neighbour, diagonals included, none twice."""
        for _ in range(20):
            walk = [self.dice.choice(self.board.cells)]
            length = self.dice.randint(least, most)
            while len(walk) < length:
                r, c = walk[-1]
                near = [(r + i, c + j) for i in (-1, 0, 1) for j in (-1, 0, 1)]
                free = [cell for cell in near if cell in self.board.cells and cell not in walk]
                if not free:
                    break
                walk.append(self.dice.choice(free))
            if len(walk) >= least:
                return written(walk)
        return written(self.board.cells[:least])

    def pair(self) -> str:
        """Two orthogonal neighbours."""
        scene = Scene(self.board, ())
        one, other = self.dice.choice(scene.beside({}))
        return written([self.board.cells[one], self.board.cells[other]])

    def number(self, low: int, high: int) -> int:
        """A whole number."""
        return self.dice.randint(low, high)

    def digits(self, most: int) -> list[int]:
        """Some of the digits."""
        digits = self.board.digits
        return self.dice.sample(digits, self.dice.randint(1, min(most, len(digits))))

    def grid(self) -> Table:
        """Which grid, if there are several."""
        several = len(self.board.grids) > 1
        return {"grid": self.dice.choice("AB")} if several else {}

    def line(self) -> Table:
        """A row or column."""
        board = self.board
        row = self.dice.random() < 0.5
        grid = self.grid()
        length = 4 if board.grids else board.rows if row else board.columns
        return {"line": f"{'r' if row else 'c'}{self.number(1, length)}", **grid}

    def side(self) -> Table:
        """A row or column and the side it is read from."""
        line = self.line()
        sides = ("left", "right") if line["line"][0] == "r" else ("top", "bottom")
        return {**line, "side": self.dice.choice(sides)}

    def maybe(self, **field: object) -> Table:
        """A field that is present half of the time."""
        return dict(field) if self.dice.random() < 0.5 else {}

    @property
    def top(self) -> int:
        """The greatest digit."""
        return self.board.digits[-1]


def written(cells: list[Cell] | tuple[Cell, ...]) -> str:
    """Cells as references."""
    return " ".join(f"r{r}c{c}" for r, c in cells)


Maker = Callable[[Place], Table | None]


def _walk(least: int, most: int, **more: Callable[[Place], object]) -> Maker:
    return lambda p: {"cells": p.walk(least, most), **{k: f(p) for k, f in more.items()}}


def _closed(least: int, most: int, **more: Callable[[Place], object]) -> Maker:
    made = _walk(least, most, **more)

    def make(p: Place) -> Table:
        table = made(p) or {}
        ends = [p.board.cells[place] for place in Scene(p.board, ()).at(table["cells"])]
        near = max(abs(a - b) for a, b in zip(ends[0], ends[-1], strict=True)) == 1
        return {**table, **(p.maybe(closed=True) if near and len(ends) > 2 else {})}

    return make


def _pair(**more: Callable[[Place], object]) -> Maker:
    return lambda p: {"cells": p.pair(), **{key: make(p) for key, make in more.items()}}


def _gridded(p: Place) -> Table | None:
    return p.grid() if p.board.grids else None


def _boxed(p: Place) -> Table | None:
    return p.grid() if p.board.grids and p.board.grids[0][3] else None


def _thirds(p: Place) -> bool:
    return len(p.board.digits) % 3 == 0


def _cage(p: Place) -> Table:
    most = 4 if len(p.board.digits) > 3 else 3
    cells = p.cells(1, most)
    size = len(cells.split())
    total = p.number(size * p.board.digits[0], size * p.top)
    bound = p.dice.choice(
        [{"sum": total}, {"sum": total}, {"at-least": total}, {"at-most": total}, {}]
    )
    return {"cells": cells, **bound, **(p.maybe(repeats=True) if size > 1 else {})}


def _calculation(p: Place) -> Table | None:
    operation = p.dice.choice("+*-/")
    if p.board.digits[0] == 0 and operation == "/":
        return None
    return {"cells": p.cells(2, 3), "operation": operation, "target": p.number(1, 2 * p.top)}


def _groups(p: Place) -> Table:
    if p.dice.random() < 0.3:
        return {"groups": [p.cells(1, 2), p.cells(1, 2)]}
    cells = p.cells(2, 4).split()
    middle = p.number(1, len(cells) - 1)
    return {"groups": [" ".join(cells[:middle]), " ".join(cells[middle:])]}


def _arrow(p: Place) -> Table:
    bulb, *shaft = p.walk(2, 4).split()
    return {"bulb": bulb, "shaft": " ".join(shaft)}


def _copy(p: Place) -> Table | None:
    cells = p.cells(2, 4).split()
    half = len(cells) // 2
    return {"cells": " ".join(cells[:half]), "of": " ".join(cells[half : 2 * half])}


def _region_sum(p: Place) -> Table | None:
    if not p.board.regions:
        return None
    region = {cell: k for k, part in enumerate(p.board.regions) for cell in part}
    for _ in range(10):
        cells = p.walk(2, 5)
        places = Scene(p.board, ()).at(cells)
        if len({region[p.board.cells[place]] for place in places}) > 1:
            return {"cells": cells}
    return None


def _little(p: Place) -> Table:
    (start,) = p.cells(1, 1).split()
    direction = p.dice.choice(["down-right", "down-left", "up-right", "up-left"])
    return {"start": start, "direction": direction, "sum": p.number(p.board.digits[0], 3 * p.top)}


def _complete(p: Place) -> Table:
    kinds = p.dice.sample(["consecutive-pair", "double-pair", "pair-sum"], p.number(1, 2))
    sums = {"sums": [p.number(2 * p.board.digits[0] + 1, 2 * p.top)]} if "pair-sum" in kinds else {}
    return {"kinds": kinds, **sums, **p.grid()}


def _combined(p: Place) -> Table:
    inner: list[Table] = []
    while len(inner) < p.number(1, 4):
        kind = p.dice.choice(
            ["cage", "greater", "thermometer", "even", "pair-sum", "renban", "seen-count"]
        )
        made = MAKERS[kind](p)
        if made is not None and suits(kind, p.board):
            inner.append({"kind": kind, **made})
    return {"count": p.number(0, len(inner)), "of": inner}


def _relation(p: Place) -> Table:
    where: Table = {"cells": p.cells(2, 2)}
    if p.dice.random() < 0.4:
        each = [
            "row neighbours",
            "column neighbours",
            "orthogonal neighbours",
            "diagonal neighbours",
        ]
        where = {"each": p.dice.choice(each), **p.grid()}
    return {**where, "holds": p.dice.choice(list(FORMULAS))}


def _sequence(p: Place) -> Table:
    symbols = [p.board.symbol(digit) for digit in p.board.digits]
    a, b, c = (p.dice.choice(symbols) for _ in range(3))
    patterns = [
        f".*{a}.*",
        f"[{a}{b}]+.?",
        f"[^{a}]*",
        f"({a}|{b}{c}?|.)+{b}?",
        f".{{1,2}}[{a}{b}].*",
    ]
    return {"cells": p.walk(2, 4), "pattern": p.dice.choice(patterns)}


MAKERS: dict[str, Maker] = {
    "diagonals": lambda p: (
        None
        if not p.board.grids
        else {"which": p.dice.choice(["both", "falling", "rising"]), **p.grid()}
    ),
    "windows": _boxed,
    "box-places": _boxed,
    "anti-knight": lambda p: None if not p.board.grids else {**p.grid(), **p.maybe(wrap=True)},
    "anti-king": _gridded,
    "anti-queen": lambda p: None if not p.board.grids else {"digits": p.digits(2), **p.grid()},
    "nonconsecutive": lambda p: p.grid(),
    "entropic-squares": lambda p: (
        {} if _thirds(p) and min(p.board.rows, p.board.columns) > 1 else None
    ),
    "all-different": lambda p: {"cells": p.cells(2, min(4, len(p.board.digits)))},
    "copy": _copy,
    "consecutive-pair": _pair(),
    "double-pair": _pair(),
    "greater": _pair(),
    "pair-sum": _pair(sum=lambda p: p.number(2 * p.board.digits[0] + 1, 2 * p.top - 1)),
    "pair-difference": _pair(value=lambda p: p.number(1, p.top - p.board.digits[0])),
    "pair-ratio": _pair(value=lambda p: p.number(1, 3)),
    "marks-complete": _complete,
    "contains": lambda p: {"cells": p.cells(2, 4), "digits": p.digits(2)},
    "cage": _cage,
    "calculation-cage": _calculation,
    "equal-sums": _groups,
    "greater-sum": _groups,
    "thermometer": _walk(2, 4),
    "slow-thermometer": _walk(2, 4),
    "arrow": _arrow,
    "double-arrow": _walk(3, 4),
    "palindrome": _walk(2, 4),
    "renban": _walk(2, 4),
    "whisper": _closed(3, 4, difference=lambda p: p.number(1, 3)),
    "spread": _walk(2, 3, difference=lambda p: p.number(1, 2)),
    "between-ends": _walk(3, 4),
    "outside-ends": _walk(3, 4, difference=lambda p: p.number(1, 3)),
    "region-sum": _region_sum,
    "zipper": _walk(3, 4),
    "modular": _closed(3, 4, modulus=lambda p: p.number(2, 3)),
    "entropic": lambda p: {"cells": p.walk(2, 4)} if _thirds(p) else None,
    "parity-line": _walk(2, 4),
    "sum-run": _closed(3, 4, total=lambda p: p.number(max(1, p.top - 1), 2 * p.top)),
    "equal-difference": _closed(3, 4),
    "progression": _walk(2, 4),
    "little-killer": _little,
    "sandwich": lambda p: {**p.line(), "sum": p.number(0, 2 * p.top)},
    "x-sum": lambda p: {**p.side(), "sum": p.number(1, 3 * p.top)},
    "seen-count": lambda p: {**p.side(), "seen": p.number(1, 4)},
    "numbered-room": lambda p: {**p.side(), "digit": p.dice.choice(p.board.digits)},
    "head-digits": lambda p: {**p.side(), "digits": p.digits(2), "length": 2},
    "head-sum": lambda p: {**p.side(), "sum": p.number(2, 2 * p.top), "length": 2},
    "battlefield": lambda p: {**p.line(), "sum": p.number(0, 2 * p.top)},
    "even": lambda p: {"cells": p.cells(1, 2)},
    "odd": lambda p: {"cells": p.cells(1, 2)},
    "low": lambda p: {"cells": p.cells(1, 2)},
    "high": lambda p: {"cells": p.cells(1, 2)},
    "among": lambda p: {"cells": p.cells(1, 2), "digits": p.digits(3)},
    "below-neighbours": lambda p: {"cells": p.cells(1, 2)},
    "above-neighbours": lambda p: {"cells": p.cells(1, 2)},
    "counting-circles": lambda p: {"cells": p.cells(2, 5)},
    "counts-neighbours": lambda p: {
        "cells": p.cells(1, 2),
        "digits": p.digits(3),
        **p.maybe(around="sides"),
    },
    "indexing": lambda p: None if not p.board.grids else p.line(),
    "relation": _relation,
    "sequence": _sequence,
    "exactly": _combined,
    "at-least": _combined,
}

_NEEDS_ROOM = frozenset(
    ["battlefield", "sandwich", "x-sum", "head-sum", "head-digits", "numbered-room", "seen-count"]
)


def suits(kind: str, board: Board) -> bool:
    """Whether rules of a kind are made on the board at all."""
    if board.doublers:
        return kind in VALUES
    if kind in _NEEDS_ROOM:
        return bool(board.grids) or min(board.rows, board.columns) > 1
    return True


def rule(place: Place, world: tuple[int, ...], tables: list[Table]) -> Table | None:
    """A random rule, more often than not one that is true of this filling."""
    kinds = [kind for kind in MAKERS if suits(kind, place.board)]
    kind = place.dice.choice(kinds)
    made = None
    for _ in range(8):
        fields = MAKERS[kind](place)
        if fields is None:
            return None
        made = {"kind": kind, **fields}
        scene = Scene(place.board, [*tables, made])
        if READINGS[kind](made, scene)(world, world, {}) or place.dice.random() < 0.05:
            break
    return made
