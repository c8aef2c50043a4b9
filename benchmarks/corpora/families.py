"""Makers of drawn rules for each family: true of a solution, and about as many as a setter would use."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from random import Random

from benchmarks.drawing import Sketch, Table, run
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import spell

Draw = Callable[[Sketch, int], Iterator[Table]]


def _nothing(sketch: Sketch, number: int) -> Iterator[Table]:
    yield from ()


def _grid(size: int) -> Table:
    return {"size": size}


def _latin(size: int) -> Table:
    return {"size": 6, "box": "none"}


@dataclass(frozen=True)
class Family:
    """``before`` gives the rules that a solution must keep, ``draw`` those drawn true to it."""

    draw: Draw = _nothing
    before: Callable[[int, int, Random], list[Table]] = lambda number, size, rng: []
    head: Callable[[int], Table] = _grid


def _whole_grid(number: int, size: int, rng: Random) -> list[Table]:
    diagonals, apart = {"kind": "diagonals"}, {"kind": "nonconsecutive"}
    knight, king = {"kind": "anti-knight"}, {"kind": "anti-king"}
    windows, places = {"kind": "windows"}, {"kind": "box-places"}
    if size == 6:
        return [{"kind": "diagonals", "which": "falling"}, {"kind": "entropic-squares"}]
    copied = {"kind": "copy", "cells": "r1c1..r3c3", "of": "r4c5 r5c6 r6c4"}
    queen = {"kind": "anti-queen", "digits": [9]}
    ring = {"kind": "all-different", "cells": "r2c5 r3c4 r3c6 r5c2 r5c5 r5c8 r7c4 r7c6 r8c5"}
    together = [
        [diagonals, windows],
        [knight, king],
        [apart, queen],
        [places, copied],
        [],
        [diagonals, knight],
        [{"kind": "entropic-squares"}, ring],
    ]
    return together[number - 1]


def _marks(sketch: Sketch, number: int) -> Iterator[Table]:
    """Marks on a third of the pairs that could have one, and four crossings."""
    for pair in sketch.neighbours():
        a, b = sketch.filled.digits(pair)
        options: list[Table] = [
            {"kind": "greater", "cells": spell(pair if a > b else pair[::-1])},
            {"kind": "pair-difference", "cells": spell(pair), "value": abs(a - b)},
        ]
        if a + b in (5, 10):
            options.append({"kind": "pair-sum", "cells": spell(pair), "sum": a + b})
        if abs(a - b) == 1:
            options.append({"kind": "consecutive-pair", "cells": spell(pair)})
        if max(a, b) == 2 * min(a, b):
            options.append({"kind": "double-pair", "cells": spell(pair)})
        if max(a, b) == 3 * min(a, b):
            options.append({"kind": "pair-ratio", "cells": spell(pair), "value": 3})
        if sketch.rng.random() < (0.7 if len(options) > 2 else 0.08):
            yield options[-1] if len(options) > 2 else sketch.rng.choice(options)
    for _ in range(4):
        corner = sketch.rng.choice([c for c in sketch.canvas.cells if c.step(1, 1) in _all(sketch)])
        around = [corner, corner.step(0, 1), corner.step(1, 0), corner.step(1, 1)]
        digits = sorted(sketch.rng.sample(sketch.filled.digits(around), 2))
        yield {"kind": "contains", "cells": spell(around), "digits": digits}


def _all(sketch: Sketch) -> set[Cell]:
    return set(sketch.canvas.cells)


def _complete(sketch: Sketch, number: int) -> Iterator[Table]:
    """Every mark of some kinds, and the rule that there are no others."""
    sums = [5, 10] if len(sketch.canvas.digits) == 9 else [5, 7]
    both = ["consecutive-pair", "double-pair"]
    kinds = [["consecutive-pair"], both, ["pair-sum"], both, both, ["consecutive-pair"], both]
    marked = kinds[number - 1]
    yield {"kind": "marks-complete", "kinds": marked} | (
        {"sums": sums} if "pair-sum" in marked else {}
    )
    for pair in sorted(sketch.neighbours()):
        a, b = sketch.filled.digits(pair)
        if "consecutive-pair" in marked and abs(a - b) == 1:
            yield {"kind": "consecutive-pair", "cells": spell(pair)}
        elif "double-pair" in marked and max(a, b) == 2 * min(a, b):
            yield {"kind": "double-pair", "cells": spell(pair)}
        elif "pair-sum" in marked and a + b in sums:
            yield {"kind": "pair-sum", "cells": spell(pair), "sum": a + b}


def _cages(sketch: Sketch, number: int) -> Iterator[Table]:
    """Cages of two to five cells on most of the grid; now and then totals without a number."""
    share = len(sketch.canvas.digits)
    total = lambda path: {"cells": run(path), "sum": sketch.total(path)}  # noqa: E731
    yield from sketch.lines("cage", 2 * share, [2, 3, 3, 4, 5], total, diagonal=False)
    if number in (2, 4):
        first, second = (sketch.walk(3, diagonal=False, apart=False) for _ in "ab")
        order = sorted((first, second), key=sketch.total, reverse=True)
        same = sketch.total(first) == sketch.total(second)
        kind = "equal-sums" if same else "greater-sum"
        yield {"kind": kind, "groups": [run(path) for path in order]}


def _calculations(sketch: Sketch, number: int) -> Iterator[Table]:
    def target(path: list[Cell]) -> Table:
        digits = sketch.filled.digits(path)
        product = 1
        for digit in digits:
            product *= digit
        most = max(digits)
        options: list[tuple[str, int]] = [("+", sum(digits)), ("*", product)]
        if 2 * most > sum(digits):
            options.append(("-", 2 * most - sum(digits)))
        if most * most % product == 0:
            options.append(("/", most * most // product))
        operation, number = sketch.rng.choice(options)
        return {"cells": run(path), "operation": operation, "target": number}

    yield from sketch.lines("calculation-cage", 16, [2, 2, 3, 3, 4], target, diagonal=False)


def _thermometers(sketch: Sketch, number: int) -> Iterator[Table]:
    long = len(sketch.canvas.digits) // 2
    yield from sketch.lines("thermometer", 5, [long - 1, long, long + 1])
    yield from sketch.lines("slow-thermometer", 2, [long])


def _arrows(sketch: Sketch, number: int) -> Iterator[Table]:
    one = lambda path: {"bulb": run(path[:1]), "shaft": run(path[1:])}  # noqa: E731
    two = lambda path: {"bulb": run(path[:2]), "shaft": run(path[2:])}  # noqa: E731
    yield from sketch.lines("arrow", 6, [3, 4], one)
    yield from sketch.lines("arrow", 1, [5], two)
    yield from sketch.lines("double-arrow", 2, [4, 5])


def _set_lines(sketch: Sketch, number: int) -> Iterator[Table]:
    kinds = ["renban", "palindrome", "modular", "entropic", "parity-line"]
    sketch.rng.shuffle(kinds)
    for kind in kinds[:3]:
        yield from sketch.lines(kind, 3, [4, 5] if kind != "renban" else [3, 4, 5])


def _difference_lines(sketch: Sketch, number: int) -> Iterator[Table]:
    n = len(sketch.canvas.digits)
    far = lambda path: {"cells": run(path), "difference": (n + 1) // 2}  # noqa: E731
    wide = lambda path: {"cells": run(path), "difference": 3 if n == 6 else 4}  # noqa: E731
    yield from sketch.lines("whisper", 3, [4, 5], far)
    others: list[Callable[[], Iterator[Table]]] = [
        lambda: sketch.lines("spread", 2, [3]),
        lambda: sketch.lines("between-ends", 2, [4, 5]),
        lambda: sketch.lines("outside-ends", 2, [4], wide),
        lambda: sketch.lines("equal-difference", 2, [4]),
        lambda: sketch.lines("progression", 2, [3]),
    ]
    for other in sketch.rng.sample(others, 3):
        yield from other()


def _sum_lines(sketch: Sketch, number: int) -> Iterator[Table]:
    def runs(path: list[Cell]) -> Table:
        digits = sketch.filled.digits(path)
        return {"cells": run(path), "total": digits[0] + digits[1]}

    yield from sketch.lines("region-sum", 4, [4, 5, 6])
    yield from sketch.lines("zipper", 2, [4, 5])
    yield from sketch.lines("sum-run", 2, [4, 5, 6], runs)


def _outside(sketch: Sketch, number: int) -> Iterator[Table]:
    """Clues of the three kinds for this puzzle's number, each in many places."""
    wheel: list[Sequence[str]] = [
        ("sandwich", "little-killer", "x-sum"),
        ("seen-count", "numbered-room", "head-sum"),
        ("battlefield", "head-digits", "sandwich"),
        ("x-sum", "numbered-room", "little-killer"),
        ("sandwich", "seen-count", "head-sum"),
        ("little-killer", "head-digits", "battlefield"),
        ("sandwich", "x-sum", "seen-count"),
    ]
    for kind in wheel[number - 1]:
        for place in sketch.rng.sample(list(_places(sketch, kind)), 6):
            yield _clue(sketch, {"kind": kind} | place)


def _places(sketch: Sketch, kind: str) -> Iterator[Table]:
    size = len(sketch.canvas.digits)
    if kind == "little-killer":
        for start in range(2, size - 1):
            yield {"start": f"r1c{start}", "direction": "down-right"}
            yield {"start": f"r{start}c1", "direction": "down-right"}
            yield {"start": f"r{size}c{start}", "direction": "up-left"}
            yield {"start": f"r{start}c{size}", "direction": "down-left"}
        return
    for line in range(1, size + 1):
        for along, sides in (("r", ("left", "right")), ("c", ("top", "bottom"))):
            side = {} if kind in ("sandwich", "battlefield") else {"side": sketch.rng.choice(sides)}
            yield {"line": f"{along}{line}"} | side


def _clue(sketch: Sketch, table: Table) -> Table:
    """The clue with its true number."""
    kind, size = table["kind"], len(sketch.canvas.digits)
    if kind == "head-digits":
        pairs = ([a, b] for a in range(1, size) for b in range(a + 1, size + 1))
        fitting = [pair for pair in pairs if sketch.keeps(table | {"digits": pair})]
        return table | {"digits": sketch.rng.choice(fitting)}
    key = {"seen-count": "seen", "numbered-room": "digit"}.get(kind, "sum")
    for number in range(10 * size):
        clued = table | {key: number}
        if sketch.fits(clued) and sketch.keeps(clued):
            return clued
    raise ValueError(f"no number is true of {table}")


def _cell_marks(sketch: Sketch, number: int) -> Iterator[Table]:
    filled, digits = sketch.filled, sketch.canvas.digits
    half = len(digits) // 2
    looks: dict[str, Callable[[int], bool]] = {
        "even": lambda digit: digit % 2 == 0,
        "odd": lambda digit: digit % 2 == 1,
        "low": lambda digit: digit in digits[:half],
        "high": lambda digit: digit in digits[-half:],
    }
    for kind, look in looks.items():
        fitting = [cell for cell in sketch.canvas.cells if look(filled[cell])]
        yield {"kind": kind, "cells": spell(sorted(sketch.rng.sample(fitting, 2 * half)))}
    for kind, sign in (("below-neighbours", 1), ("above-neighbours", -1)):
        least = [
            cell
            for cell in sketch.canvas.cells
            if all(sign * (filled[c] - filled[cell]) > 0 for c in sketch.canvas.neighbours(cell))
        ]
        yield {"kind": kind, "cells": spell(least)}
    among = sorted(sketch.rng.sample(digits, 3))
    fitting = [cell for cell in sketch.canvas.cells if filled[cell] in among]
    chosen = sorted(sketch.rng.sample(fitting, 4))
    yield {"kind": "among", "cells": spell(chosen), "digits": among}


def _positions(number: int, size: int, rng: Random) -> list[Table]:
    cells = [Cell(row, column) for row in range(1, size + 1) for column in range(1, size + 1)]
    circles = sorted(rng.sample(cells, 13 if size == 9 else 7))
    lines = rng.sample(["c1", "r1", f"c{size}", f"r{size}", "c5", "r5"], 2)
    indexing = [{"kind": "indexing", "line": line} for line in lines]
    return [{"kind": "counting-circles", "cells": spell(circles)}, *indexing]


_FORMULAS = (
    ("a + b == c", 3),
    ("a + c == 2*b", 3),
    ("abs(a - b) >= 4", 2),
    ("a * b == c", 3),
    ("a < b or c < b", 3),
    ("max(a, b, c) == d", 4),
    ("a + b == c + d", 4),
)
_EACH = (
    ("orthogonal neighbours", "a + b != 10"),
    ("diagonal neighbours", "a != 2*b and b != 2*a"),
    ("row neighbours", "abs(a - b) <= 7"),
    ("2x2 squares", "a + b + c + d <= 28"),
)


def _relation_before(number: int, size: int, rng: Random) -> list[Table]:
    if number % 2:
        return []
    each, formula = _EACH[number // 2 - 1]
    return [{"kind": "relation", "each": each, "holds": formula}]


def _relations(sketch: Sketch, number: int) -> Iterator[Table]:
    for formula, length in sketch.rng.sample(_FORMULAS, 4):

        def stated(path: list[Cell], formula: str = formula) -> Table:
            return {"cells": run(path), "holds": formula}

        yield from sketch.lines("relation", 3, [length], stated)


_PATTERNS = (".*12.*", ".*[1-3]{2}.*", ".*1.*2.*3.*", "[^6].*[^1]", "([135].?)+", ".*(24|42|35).*")


def _sequences(sketch: Sketch, number: int) -> Iterator[Table]:
    size = len(sketch.canvas.digits)
    for line in range(1, size + 1):
        for cells in (f"r{line}c1..r{line}c{size}", f"r1c{line}..r{size}c{line}"):
            for pattern in sketch.rng.sample(_PATTERNS, len(_PATTERNS)):
                table = {"kind": "sequence", "cells": cells, "pattern": pattern}
                if sketch.keeps(table):
                    yield table
                    break


def _lies(sketch: Sketch, number: int) -> Iterator[Table]:
    """Three families of clues in which some are false, or may be."""
    rng, size = sketch.rng, len(sketch.canvas.digits)
    killers = [
        _clue(sketch, {"kind": "little-killer"} | place)
        for place in rng.sample(list(_places(sketch, "little-killer")), 5)
    ]
    heads = [
        _clue(sketch, {"kind": "head-sum"} | place)
        for place in rng.sample(list(_places(sketch, "head-sum")), size - 1)
    ]
    for clues, lies in ((killers, 2), (heads, 3)):
        for clue in rng.sample(clues, lies):
            clue["sum"] += rng.choice([-2, -1, 1, 2])
    yield {"kind": "exactly", "count": 3, "of": killers}
    yield {"kind": "at-least", "count": size - 4, "of": heads}
    climbs = list(sketch.lines("thermometer", 3, [3]))
    climbs += [{"kind": "thermometer", "cells": spell(sketch.walk(3))} for _ in range(2)]
    true = sum(sketch.keeps(climb) for climb in climbs)
    yield {"kind": "exactly", "count": true, "of": climbs}
    for pair in sketch.neighbours():
        a, b = sketch.filled.digits(pair)
        if abs(a - b) == 1 and rng.random() < 0.4:
            yield {"kind": "consecutive-pair", "cells": spell(pair)}


FAMILIES: dict[str, Family] = {
    "whole-grid": Family(before=_whole_grid),
    "marks": Family(_marks),
    "complete-marks": Family(_complete),
    "cages": Family(_cages),
    "calculations": Family(_calculations, head=_latin),
    "thermometers": Family(_thermometers),
    "arrows": Family(_arrows),
    "set-lines": Family(_set_lines),
    "difference-lines": Family(_difference_lines),
    "sum-lines": Family(_sum_lines),
    "outside": Family(_outside),
    "cell-marks": Family(_cell_marks),
    "positions": Family(before=_positions),
    "relations": Family(_relations, _relation_before),
    "sequences": Family(_sequences),
    "lies": Family(_lies),
}
